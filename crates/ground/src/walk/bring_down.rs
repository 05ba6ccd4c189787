//! From a source on ground too steep for a level line down to ground that is not.
//!
//! A swale on a steep slope holds little and may slip, but a drain that falls gently may cross it. So the water
//! is led along a graded line to the first place where the ground is gentle enough to begin the level one. The
//! way there costs height: everything above the drain's end goes without this water.
//!
//! height lost = grade · length of the drain.
//!
//! Both ways along the slope are tried, unless one is asked for, and the shorter drain is taken. Ground is
//! gentle enough where it is so for [`GENTLE_PEGS`] pegs together. Which slope is too steep, and which grade
//! the drain's soil stands, is for the caller to say. Left out: a chute or pipe straight down.

use super::{Stopped, Walk, WalkError, WalkedPeg, first_heading, first_peg, walk};
use crate::{Point, Surface};

/// A single gentle peg may be a ledge or a slip of the measurement; three with two legs between them are the
/// beginning of a line. Our choice, no source.
pub const GENTLE_PEGS: usize = 3;

/// How the water of a source gets to ground for a level line.
#[derive(Debug, Clone, PartialEq)]
pub enum BroughtDown {
    /// The ground at the source is gentle enough: the level line may begin there.
    NotNeeded,
    /// By a drain.
    Drain {
        /// Its pegs from the source on; the level line begins at the last.
        pegs: Vec<WalkedPeg>,
        /// Its length.
        length_m: f64,
        /// Height between the source and its end.
        height_lost_m: f64,
    },
    /// Not within the length allowed: why each way that was tried ended.
    NotFound(Vec<Stopped>),
}

/// Looks for the shortest drain by which a source gets to ground no steeper than `gentle`, rise over run.
///
/// `drain` says where the source is, at which grade and at most how far it may run, and what to keep clear of.
///
/// # Errors
/// As for [`walk`].
pub fn bring_down(surface: &Surface, drain: &Walk, gentle: f64) -> Result<BroughtDown, WalkError> {
    let source = first_peg(surface, drain)?;
    if source.slope <= gentle {
        return Ok(BroughtDown::NotNeeded);
    }
    let mut shortest: Option<Vec<WalkedPeg>> = None;
    let mut ended = Vec::new();
    for toward in ways(surface, drain) {
        let way = Walk { toward: Some(toward), ..drain.clone() };
        let walked = walk(surface, &way)?;
        let is_gentle = |pegs: &[WalkedPeg]| pegs.iter().all(|peg| peg.slope <= gentle);
        let Some(end) = walked.pegs.windows(GENTLE_PEGS).position(is_gentle) else {
            ended.push(walked.stopped);
            continue;
        };
        let pegs = walked.pegs[..=end].to_vec();
        let is_shorter =
            shortest.as_ref().is_none_or(|best| pegs[end].chainage_m < best[best.len() - 1].chainage_m);
        if is_shorter {
            shortest = Some(pegs);
        }
    }
    let Some(pegs) = shortest else {
        return Ok(BroughtDown::NotFound(ended));
    };
    let end = pegs[pegs.len() - 1];
    Ok(BroughtDown::Drain { length_m: end.chainage_m, height_lost_m: source.z_m - end.z_m, pegs })
}

/// Places that tell the ways to try: the one asked for, or along the slope to either side.
fn ways(surface: &Surface, drain: &Walk) -> Vec<Point> {
    if let Some(toward) = drain.toward {
        return vec![toward];
    }
    let Some(along) = first_heading(surface, drain) else {
        return Vec::new();
    };
    let from = drain.from;
    vec![
        Point::new(from.x_m + along.east, from.y_m + along.north),
        Point::new(from.x_m - along.east, from.y_m - along.north),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Frame, Grid};

    /// 40 % above y = 0 and 10 % below, over the western 100 m; the break lies on a row of middles.
    fn broken_slope(height_m: impl Fn(Point) -> f64) -> Surface {
        let frame = Frame { columns: 101, rows: 61, cell_m: 2.0, west_m: -101.0, north_m: 61.0 };
        Surface::Grid(Grid::from_fn(frame, |p| Some(height_m(p))))
    }

    fn break_at_foot(p: Point) -> f64 {
        if p.y_m > 0.0 { 0.4 * p.y_m } else { 0.1 * p.y_m }
    }

    fn drain(y_m: f64, length_m: f64) -> Walk<'static> {
        Walk {
            from: Point::new(0.0, y_m),
            grade: 0.02,
            step_m: 2.0,
            length_m,
            toward: None,
            stop_at: &[],
            jump: &[],
        }
    }

    /// The source lies 1.95 m above the break in plan, 0.78 m in height; a drain of 2 % is 39 m long until it is
    /// there, and its next peg is the one at 40 m, 0.80 m lower. Either way is as long: the first is taken, with
    /// uphill on the left, eastwards.
    #[test]
    fn a_drain_by_hand() {
        let ground = broken_slope(break_at_foot);
        let BroughtDown::Drain { pegs, length_m, height_lost_m } =
            bring_down(&ground, &drain(1.95, 70.0), 0.25).unwrap()
        else {
            panic!("no drain")
        };
        assert_eq!((pegs.len(), length_m), (21, 40.0));
        assert!((height_lost_m - 0.8).abs() <= 2.0 * crate::walk::HEIGHT_TOLERANCE_M);
        assert!(pegs[20].at.x_m > 0.0 && pegs[20].at.y_m < 0.0);
    }

    /// To the west the foot comes up to meet the drain: it lies along y = −x/10, and the drain, 6 m above it at
    /// x = 0, comes down 0.05 m in plan a metre, so they meet after some 6 / 0.15 = 40 m, give or take a cell where
    /// the break is rounded off. To the east the foot falls away faster than the drain.
    #[test]
    fn the_shorter_way_is_taken() {
        let ground = broken_slope(|p| 0.4 * p.y_m - 0.3 * (p.y_m + 0.1 * p.x_m).min(0.0));
        let BroughtDown::Drain { pegs, length_m, .. } = bring_down(&ground, &drain(6.0, 80.0), 0.25).unwrap()
        else {
            panic!("no drain")
        };
        assert!(pegs[pegs.len() - 1].at.x_m < 0.0);
        assert!((38.0..=44.0).contains(&length_m), "{length_m}");
        let east = Walk { toward: Some(Point::new(9.0, 6.0)), ..drain(6.0, 80.0) };
        assert!(matches!(bring_down(&ground, &east, 0.25).unwrap(), BroughtDown::NotFound(_)));
    }

    #[test]
    fn not_needed_or_not_found() {
        let ground = broken_slope(break_at_foot);
        assert_eq!(bring_down(&ground, &drain(-5.0, 70.0), 0.25).unwrap(), BroughtDown::NotNeeded);
        let short = bring_down(&ground, &drain(1.95, 30.0), 0.25).unwrap();
        assert_eq!(short, BroughtDown::NotFound(vec![Stopped::LengthReached; 2]));
    }
}
