//! One line walked over the ground on request, before it is part of any plan.
//!
//! Where the ground at the source is too steep for a level line, a short drain or chute may bring the water
//! down to where it is not: the drain falls gently along the hill, the chute goes straight down it, and what
//! either costs is height.

use ground::tool::Tool;
use ground::walk::{BroughtDown, GENTLE_PEGS, Walk, WalkedPeg, bring_down};
use ground::{Point, Surface};
use quantity::convert::m_to_mm;
use serde::Serialize;
use site::{LineKind, Site};

use crate::layout::{self, AS_LONG_AS_ASKED, InTheWay};
use crate::pegs::{self, CheckBack};
use crate::tool;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// First peg.
    pub from: Point,
    /// Fall along the walk, rise over run, positive downhill; 0 for a level line.
    pub grade: f64,
    /// How far to walk.
    pub length_m: f64,
    /// Distance from peg to peg; without it the step of the site's tool.
    pub step_m: Option<f64>,
    /// A place towards which the walk sets off; without it uphill stays on the left hand.
    pub toward: Option<Point>,
}

/// The line that was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// Fall along it, rise over run.
    pub grade: f64,
    /// From peg to peg.
    pub step_m: f64,
    /// From the first peg to the last.
    pub length_m: f64,
    /// The pegs, in walking order.
    pub pegs: Vec<Peg>,
    /// Why the walk ended, in a few words.
    pub stopped_because: String,
    /// The proof that the line is what it should be, although it may look as if it ran uphill.
    pub check_back: Option<CheckBack>,
    /// Steepest slope of the ground at its pegs, rise over run.
    pub steepest_slope: f64,
    /// Where the ground at the first peg is too steep for a level line: how to bring the water down to where it
    /// is not.
    pub short_drain: Option<ShortDrain>,
    /// The ground at the first peg is too steep for a level line and no short drain was found.
    pub too_steep_all_round: bool,
}

/// A peg of the line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Peg {
    /// 1 for the first.
    pub peg: usize,
    /// Distance along the line from the first peg.
    pub chainage_m: f64,
    /// East.
    pub x_m: f64,
    /// North.
    pub y_m: f64,
    /// Height of the ground.
    pub z_m: f64,
    /// How much lower this peg is to stand than the one before: the reading to aim for.
    pub fall_from_last_mm: f64,
    /// Slope of the ground, rise over run.
    pub slope: f64,
    /// Half the width of the band in which the true line may lie; none on flat ground.
    pub band_m: Option<f64>,
    /// Whether a barrier lies between the peg before and this one.
    pub after_jump: bool,
}

/// A short drain or chute from the source to a place where a level line may start.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShortDrain {
    /// A drain along the hill, or a chute straight down it.
    pub kind: LineKind,
    /// Its fall, rise over run.
    pub grade: f64,
    /// From the source to the start of the level line.
    pub length_m: f64,
    /// What it costs in height.
    pub costs_height_m: f64,
    /// Where the level line may start: east.
    pub x_m: f64,
    /// Where the level line may start: north.
    pub y_m: f64,
    /// Height there.
    pub z_m: f64,
    /// Slope of the ground there, rise over run.
    pub slope: f64,
}

/// Why nothing could be walked.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WalkingError {
    /// The site has no ground.
    #[error("no ground is known: add a raster or points under [ground], or give the line by `tape`")]
    NoGround,
    /// The walk itself could not begin.
    #[error(transparent)]
    Walk(#[from] ground::walk::WalkError),
}

/// Steepest ground on which a level line is proposed. Sources run from 5 % (FAO AGL/MISC/17/91) to 36 % (one
/// teacher); 15 % is where half-moons end (guidelines of the World Overview of Conservation Approaches, 2013)
/// and where hillside ditches take over from level works.
pub const LEVEL_LINE_LIMIT: f64 = 0.15;

/// Falls to try for a short drain, the gentlest first. 1 %: the flattest that hand levels set well (Peace Corps
/// R0062, Soil Conservation Techniques for Hillside Farms). 2 % is usual for an unlined roadside ditch and 5 %
/// the most it stands (Local Road Management Manual, after IBRD 2005).
const DRAIN_GRADES: [f64; 3] = [0.01, 0.02, 0.05];

/// Longest drain or chute that is still called short. Common practice, no source.
const SHORT_DRAIN_M: f64 = 60.0;

/// Steps of a path straight down the hill.
const DOWNHILL_STEP_M: f64 = 0.5;

/// Walks a line over the ground of a site.
///
/// # Errors
/// The site has no ground, there is none at the first peg, or a length or grade is not a sensible number.
pub fn walk(site: &Site, asked: &Asked) -> Result<Answer, WalkingError> {
    let surface = site.ground.as_ref().ok_or(WalkingError::NoGround)?;
    let tool =
        Tool { step_m: asked.step_m.unwrap_or(site.plan.tool.step_m), ..tool::in_hand(&site.plan.tool) };
    let kind = if asked.grade == 0.0 { LineKind::Swale } else { LineKind::Drain };
    let walk = asked.walk(tool.step_m);
    let (pegs, stopped_early) = layout::walk_over(site, surface, kind, &walk)?;
    let first = pegs[0];
    let length_m = pegs[pegs.len() - 1].chainage_m;
    let too_steep = kind == LineKind::Swale && first.slope > LEVEL_LINE_LIMIT;
    let short_drain = too_steep.then(|| short_drain(site, surface, &walk)).flatten();
    Ok(Answer {
        grade: asked.grade,
        step_m: tool.step_m,
        length_m,
        pegs: (0..pegs.len()).map(|i| peg(&pegs, i, (&tool, asked.grade))).collect(),
        stopped_because: stopped_early.map_or(AS_LONG_AS_ASKED.to_owned(), |why| why.to_string()),
        check_back: pegs::check_back(&tool, length_m, asked.grade * length_m),
        steepest_slope: pegs.iter().map(|peg| peg.slope).fold(0.0, f64::max),
        too_steep_all_round: too_steep && short_drain.is_none(),
        short_drain,
    })
}

impl Asked {
    fn walk(&self, step_m: f64) -> Walk<'static> {
        Walk {
            from: self.from,
            grade: self.grade,
            step_m,
            length_m: self.length_m,
            toward: self.toward,
            stop_at: &[],
            jump: &[],
        }
    }
}

fn peg(pegs: &[WalkedPeg], i: usize, (tool, grade): (&Tool, f64)) -> Peg {
    let this = pegs[i];
    let last = pegs[i.saturating_sub(1)];
    Peg {
        peg: i + 1,
        chainage_m: this.chainage_m,
        x_m: this.at.x_m,
        y_m: this.at.y_m,
        z_m: this.z_m,
        fall_from_last_mm: m_to_mm(grade * (this.chainage_m - last.chainage_m)),
        slope: this.slope,
        band_m: this.band_m(tool),
        after_jump: this.after_jump,
    }
}

/// The shortest drain, either way along the hill, to where a level line may start; where no drain gets there,
/// a chute straight down.
fn short_drain(site: &Site, surface: &Surface, level: &Walk) -> Option<ShortDrain> {
    let in_the_way = InTheWay::of(site, LineKind::Drain);
    let mut best: Option<ShortDrain> = None;
    for grade in DRAIN_GRADES {
        let drain = Walk { grade, length_m: SHORT_DRAIN_M, toward: None, ..level.clone() };
        let found = bring_down(surface, &in_the_way.minded_by(&drain), LEVEL_LINE_LIMIT);
        let Ok(BroughtDown::Drain { pegs, .. }) = found else {
            continue;
        };
        let shorter = |best: &ShortDrain| pegs[pegs.len() - 1].chainage_m < best.length_m;
        if best.as_ref().is_none_or(shorter) {
            best = Some(ShortDrain::between(
                LineKind::Drain,
                (pegs[0].z_m, OnTheWay::from(&pegs[pegs.len() - 1])),
            ));
        }
    }
    best.or_else(|| chute(surface, level.from, &in_the_way))
}

#[derive(Clone, Copy)]
struct OnTheWay {
    chainage_m: f64,
    at: Point,
    z_m: f64,
    slope: f64,
}

impl From<&WalkedPeg> for OnTheWay {
    fn from(peg: &WalkedPeg) -> OnTheWay {
        OnTheWay { chainage_m: peg.chainage_m, at: peg.at, z_m: peg.z_m, slope: peg.slope }
    }
}

/// The path of steepest descent, as far as a short drain may go.
fn straight_down(surface: &Surface, from: Point) -> Vec<OnTheWay> {
    let mut path: Vec<OnTheWay> = Vec::new();
    let mut at = from;
    let mut chainage_m = 0.0;
    while let Some((z_m, gradient)) = surface.z_m(at).zip(surface.gradient(at)) {
        let slope = gradient.slope();
        let climbs = path.last().is_some_and(|last| z_m >= last.z_m);
        if climbs || chainage_m > SHORT_DRAIN_M || slope == 0.0 {
            break;
        }
        path.push(OnTheWay { chainage_m, at, z_m, slope });
        at = Point::new(
            at.x_m - DOWNHILL_STEP_M * gradient.east / slope,
            at.y_m - DOWNHILL_STEP_M * gradient.north / slope,
        );
        chainage_m += DOWNHILL_STEP_M;
    }
    path
}

/// A chute to the first place straight down where the ground is gentle enough for some steps together.
fn chute(surface: &Surface, from: Point, in_the_way: &InTheWay) -> Option<ShortDrain> {
    let mut path = straight_down(surface, from);
    let reached = path.iter().position(|place| in_the_way.keeps_off(place.at));
    path.truncate(reached.unwrap_or(path.len()));
    let gentle = |run: &[OnTheWay]| run.iter().all(|place| place.slope <= LEVEL_LINE_LIMIT);
    let start = path.windows(GENTLE_PEGS).position(gentle).filter(|i| *i > 0)?;
    Some(ShortDrain::between(LineKind::Chute, (path[0].z_m, path[start])))
}

impl ShortDrain {
    fn between(kind: LineKind, (source_z_m, start): (f64, OnTheWay)) -> ShortDrain {
        let costs_height_m = source_z_m - start.z_m;
        ShortDrain {
            kind,
            grade: costs_height_m / start.chainage_m,
            length_m: start.chainage_m,
            costs_height_m,
            x_m: start.at.x_m,
            y_m: start.at.y_m,
            z_m: start.z_m,
            slope: start.slope,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial;
    use serde_json::json;

    fn level(x_m: f64, y_m: f64) -> Asked {
        Asked { from: Point::new(x_m, y_m), grade: 0.0, length_m: 20.0, step_m: None, toward: None }
    }

    /// On the plane hill uphill is north, so with uphill on the left the walk goes east; 10 pegs of 2 m.
    #[test]
    fn a_walk_on_request_by_hand() {
        let site = trial::on_the_hill(&json!({}));
        let answer = walk(&site, &level(20.0, 30.0)).unwrap();
        assert_eq!(answer.pegs.len(), 11);
        let last = answer.pegs[10];
        assert!((last.x_m - 40.0).abs() < 1e-3 && (last.z_m - 103.0).abs() < 1e-3, "{last:?}");
        assert_eq!(answer.stopped_because, "it is as long as was asked");
        assert!(answer.short_drain.is_none() && !answer.too_steep_all_round);
        // 2 · 5 mm · √10 over a slope of 10 %.
        assert!((last.band_m.unwrap() - 0.1 * 10f64.sqrt()).abs() < 1e-6);
    }

    /// West of x = 40 the hill climbs 30 % to the north, east of it 10 %: from (30, 30) the water is brought
    /// east by a drain of 1 %. The ground at peg i is first gentle at x ≥ 40, so the drain is 10 to 14 m long,
    /// and it costs a hundredth of that in height.
    #[test]
    fn a_short_drain_to_gentle_ground() {
        let site = trial::on_ground(&json!({}), |at| {
            let slope = if at.x_m < 40.0 { 0.3 } else { 0.1 };
            100.0 + slope * (at.y_m - 30.0)
        });
        let answer = walk(&site, &level(30.5, 30.5)).unwrap();
        let drain = answer.short_drain.unwrap();
        assert_eq!(drain.kind, LineKind::Drain);
        assert!((8.0..=14.0).contains(&drain.length_m), "{drain:?}");
        assert!((drain.grade - 0.01).abs() < 1e-4, "{drain:?}");
        assert!((drain.costs_height_m - 0.01 * drain.length_m).abs() < 2e-3);
        assert!(drain.slope <= LEVEL_LINE_LIMIT);
    }

    /// 30 % above y = 20 and 10 % below it, all along the hill: drains of up to 5 % and 60 m come down 3 m at
    /// most, which is not enough from y = 40 (6 m above the gentle ground), so a chute goes straight down.
    #[test]
    fn a_chute_where_no_drain_gets_down() {
        let site = trial::on_ground(&json!({}), |at| {
            let slope = if at.y_m < 20.0 { 0.1 } else { 0.3 };
            100.0 + slope * (at.y_m - 20.0)
        });
        let chute = walk(&site, &level(40.0, 40.0)).unwrap().short_drain.unwrap();
        assert_eq!(chute.kind, LineKind::Chute);
        assert!((chute.length_m - 20.0).abs() <= 2.0 * DOWNHILL_STEP_M, "{chute:?}");
        assert!((chute.costs_height_m - 6.0).abs() <= 0.3 * 2.0, "{chute:?}");
    }

    #[test]
    fn steep_all_round_is_said() {
        let site = trial::on_ground(&json!({}), |at| 100.0 + 0.3 * at.y_m);
        let answer = walk(&site, &level(40.0, 30.0)).unwrap();
        assert!(answer.too_steep_all_round && answer.short_drain.is_none());
    }

    #[test]
    fn no_ground_is_an_error_with_advice() {
        let site = trial::by_tape(&json!({}));
        assert_eq!(walk(&site, &level(0.0, 0.0)), Err(WalkingError::NoGround));
        let site = trial::on_the_hill(&json!({}));
        assert!(matches!(walk(&site, &level(-10.0, 0.0)), Err(WalkingError::Walk(_))));
    }
}
