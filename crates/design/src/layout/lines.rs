//! One line to its pegs.

use ground::tool::{self, Tool};
use ground::walk::{self, Stopped, Walk, WalkError, WalkedPeg};
use ground::{Point, Polyline, Surface};
use quantity::Slope;
use site::{Line, LineKind, Site, TapePeg};

use super::keep_clear::{KeptClear, point, points};
use super::{LaidLine, LaidPeg, StoppedEarly};

/// A line without a length is walked as far as the ground allows: this is the longest a line may be.
const LONGEST_LINE_M: f64 = 5000.0;

/// How far to each side of the pegs trench, water and bank reach when they are of the usual size. The slope across
/// is taken over this breadth: a tussock at the peg says nothing about the hill.
const WORKS_TO_A_SIDE_M: f64 = 2.0;

/// A peg before anything is known of the slope there.
struct Stood {
    chainage_m: f64,
    at: Option<Point>,
    ground_z_m: Option<f64>,
    after_jump: bool,
}

struct Course {
    pegs: Vec<Stood>,
    stopped_early: Option<StoppedEarly>,
}

impl Course {
    fn nowhere(why: Option<StoppedEarly>) -> Course {
        Course { pegs: Vec::new(), stopped_early: why }
    }

    /// Pegs that were given.
    fn given(pegs: Vec<Stood>) -> Course {
        Course { pegs, stopped_early: None }
    }
}

/// Brings a line to its pegs.
pub(super) fn lay(site: &Site, line: &Line, tool: &Tool) -> LaidLine {
    let course = course(site, line, tool);
    let places: Vec<Point> = course.pegs.iter().filter_map(|peg| peg.at).collect();
    let slopes = Slopes::of(site.ground.as_ref(), &places, line);
    let pegs: Vec<LaidPeg> = course
        .pegs
        .iter()
        .enumerate()
        .map(|(i, stood)| {
            let error = tool::levelling_error_m(tool, tool.steps_to(stood.chainage_m));
            LaidPeg {
                chainage_m: stood.chainage_m,
                at: stood.at,
                ground_z_m: stood.ground_z_m,
                cross_slope: slopes.across(i),
                downhill_side: slopes.downhill_side,
                band_m: slopes.steepest(i).and_then(|slope| tool::band_m(error, slope)),
                after_jump: stood.after_jump,
            }
        })
        .collect();
    LaidLine {
        line: line.name.clone(),
        kind: line.kind,
        grade: grade(line, &pegs),
        pegs,
        path: Polyline::new(places),
        stopped_early: course.stopped_early,
        arrives: Vec::new(),
        comes_from_deg: None,
    }
}

fn course(site: &Site, line: &Line, tool: &Tool) -> Course {
    if let Some(tape) = &line.tape {
        return Course::given(tape.iter().map(on_tape).collect());
    }
    if let Some(pegs) = &line.pegs {
        return Course::given(on_ground(site.ground.as_ref(), &points(pegs)));
    }
    match (line.from, &site.ground) {
        (Some(from), Some(surface)) => walked(site, surface, line, (point(from), tool.step_m)),
        (Some(_), None) => Course::nowhere(Some(StoppedEarly::NoGroundAtStart)),
        (None, _) => Course::nowhere(None),
    }
}

fn on_tape(peg: &TapePeg) -> Stood {
    Stood { chainage_m: peg.at_m, at: None, ground_z_m: Some(peg.z_m), after_jump: false }
}

fn on_ground(ground: Option<&Surface>, places: &[Point]) -> Vec<Stood> {
    let mut chainage_m = 0.0;
    let mut pegs = Vec::with_capacity(places.len());
    for (i, at) in places.iter().enumerate() {
        if i > 0 {
            chainage_m += places[i - 1].distance_m(*at);
        }
        pegs.push(Stood {
            chainage_m,
            at: Some(*at),
            ground_z_m: ground.and_then(|surface| surface.z_m(*at)),
            after_jump: false,
        });
    }
    pegs
}

fn walked(site: &Site, surface: &Surface, line: &Line, (from, step_m): (Point, f64)) -> Course {
    let asked = Walk {
        from,
        grade: line.grade.map_or(0.0, Slope::rise_run),
        step_m,
        length_m: line.length_m.unwrap_or(LONGEST_LINE_M),
        toward: line.toward.map(point),
        stop_at: &[],
        jump: &[],
    };
    match walk_over(site, surface, line.kind, &asked) {
        Ok((pegs, stopped_early)) => Course { pegs: stood(&pegs, asked.grade), stopped_early },
        Err(WalkError::NoGround { .. }) => Course::nowhere(Some(StoppedEarly::NoGroundAtStart)),
        Err(error) => Course::nowhere(Some(StoppedEarly::NotAWalk(error))),
    }
}

/// Walked pegs at the height aimed for: what the search leaves is far below a millimetre, and would make one peg of
/// a level line the lowest by chance.
fn stood(pegs: &[WalkedPeg], grade: f64) -> Vec<Stood> {
    pegs.iter()
        .map(|peg| Stood {
            chainage_m: peg.chainage_m,
            at: Some(peg.at),
            ground_z_m: Some(pegs[0].z_m - grade * peg.chainage_m),
            after_jump: peg.after_jump,
        })
        .collect()
}

/// Walks a line of this kind over the ground, clear of what the site keeps clear and over its barriers.
pub(crate) fn walk_over(
    site: &Site,
    surface: &Surface,
    kind: LineKind,
    asked: &Walk,
) -> Result<(Vec<WalkedPeg>, Option<StoppedEarly>), WalkError> {
    let way = InTheWay::of(site, kind);
    let walked = walk::walk(surface, &way.minded_by(asked))?;
    let stopped_early = way.stopped_early(walked.stopped);
    Ok((walked.pegs, stopped_early))
}

/// What a line of one kind stops at and jumps.
pub(crate) struct InTheWay<'a> {
    kept: KeptClear<'a>,
    barriers: Vec<Polyline>,
    names: Vec<&'a str>,
}

impl<'a> InTheWay<'a> {
    pub(crate) fn of(site: &'a Site, kind: LineKind) -> InTheWay<'a> {
        let (barriers, names) = site
            .plan
            .barriers
            .iter()
            .filter_map(|barrier| Some((Polyline::new(points(&barrier.along))?, barrier.name.as_str())))
            .unzip();
        InTheWay { kept: KeptClear::of(&site.plan.keep_clears, kind), barriers, names }
    }

    /// The walk with its own stops and jumps replaced by these.
    pub(crate) fn minded_by<'b>(&'b self, asked: &Walk<'b>) -> Walk<'b> {
        Walk { stop_at: &self.kept.areas, jump: &self.barriers, ..asked.clone() }
    }

    /// Whether a place lies where the line may not go.
    pub(crate) fn keeps_off(&self, at: Point) -> bool {
        self.kept.areas.iter().any(|area| area.contains(at))
    }

    fn stopped_early(&self, stopped: Stopped) -> Option<StoppedEarly> {
        match stopped {
            Stopped::LengthReached => None,
            Stopped::EdgeOfGround => Some(StoppedEarly::EdgeOfGround),
            Stopped::KeptClear(area) => Some(StoppedEarly::KeptClear(self.kept.name(area).to_owned())),
            Stopped::NoNextPeg => Some(StoppedEarly::NoNextPeg),
            Stopped::CameRound => Some(StoppedEarly::CameRound),
            Stopped::BarrierTooWide(i) => Some(StoppedEarly::BarrierTooWide(self.names[i].to_owned())),
        }
    }
}

/// The fall a line is meant to have: as asked where it is walked; where its pegs are given, a swale is level
/// and what carries water falls as its ground does.
fn grade(line: &Line, pegs: &[LaidPeg]) -> f64 {
    let asked = line.grade.map(Slope::rise_run);
    if line.kind == LineKind::Swale || (line.pegs.is_none() && line.tape.is_none()) {
        return asked.unwrap_or(0.0);
    }
    let ends = pegs.first().zip(pegs.last());
    let fall = ends.and_then(|(first, last)| {
        let run_m = last.chainage_m - first.chainage_m;
        let fall_m = first.ground_z_m? - last.ground_z_m?;
        (run_m > 0.0).then(|| fall_m / run_m)
    });
    fall.or(asked).unwrap_or(0.0)
}

/// Slopes of the ground at the pegs of one line.
struct Slopes {
    /// Across the line, towards its downhill side, and straight down.
    at_pegs: Vec<Option<(f64, f64)>>,
    downhill_side: f64,
    /// Where nothing was measured: as the site file says.
    given: Option<f64>,
}

impl Slopes {
    fn of(ground: Option<&Surface>, places: &[Point], line: &Line) -> Slopes {
        let mut leftward = Vec::with_capacity(places.len());
        let mut climb_to_left = 0.0;
        for (i, at) in places.iter().enumerate() {
            let climb = ground.zip(left_of(places, i)).and_then(|(surface, left)| {
                Some((climb_to(surface, *at, left)?, surface.gradient(*at)?.slope()))
            });
            climb_to_left += climb.map_or(0.0, |(climb, _)| climb);
            leftward.push(climb);
        }
        // Where nothing tells, uphill is on the left hand, as when a line sets off.
        let downhill_side = if climb_to_left < 0.0 { 1.0 } else { -1.0 };
        Slopes {
            at_pegs: leftward
                .into_iter()
                .map(|climb| climb.map(|(climb, slope)| (-downhill_side * climb, slope)))
                .collect(),
            downhill_side,
            given: line.cross_slope.map(Slope::rise_run),
        }
    }

    fn across(&self, peg: usize) -> Option<f64> {
        self.at_pegs.get(peg).copied().flatten().map(|(across, _)| across).or(self.given)
    }

    fn steepest(&self, peg: usize) -> Option<f64> {
        self.at_pegs.get(peg).copied().flatten().map(|(_, slope)| slope).or(self.given)
    }
}

/// How the ground climbs to one side over the breadth of the works; at the edge of what was measured, as it does
/// right at the place.
fn climb_to(surface: &Surface, at: Point, side: (f64, f64)) -> Option<f64> {
    let beside = |m: f64| surface.z_m(Point::new(at.x_m + m * side.0, at.y_m + m * side.1));
    let over_the_works = beside(WORKS_TO_A_SIDE_M).zip(beside(-WORKS_TO_A_SIDE_M));
    over_the_works.map(|(there_z_m, here_z_m)| (there_z_m - here_z_m) / (2.0 * WORKS_TO_A_SIDE_M)).or_else(
        || {
            let gradient = surface.gradient(at)?;
            Some(gradient.east * side.0 + gradient.north * side.1)
        },
    )
}

/// The direction to the left of a line at one of its pegs, from the peg before to the one after.
pub(super) fn left_of(places: &[Point], i: usize) -> Option<(f64, f64)> {
    let before = places[i.saturating_sub(1)];
    let after = places[(i + 1).min(places.len() - 1)];
    let length_m = before.distance_m(after);
    (length_m > 0.0).then(|| (-(after.y_m - before.y_m) / length_m, (after.x_m - before.x_m) / length_m))
}
