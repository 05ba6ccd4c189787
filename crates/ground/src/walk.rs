//! Walking a level line, as the hand tool does it.
//!
//! Stand one foot of the frame on the last peg and swing the other round: where the ground under it is level
//! with the peg (or lower by the asked fall), the next peg goes in. Of all such places it is the one nearest
//! to straight on.
//!
//! Peg n stands one step from peg n − 1, on the circle of that radius, where z = z₀ − grade · chainage, with
//! chainage n · step. The aim is taken from the first peg, not from the height found at the last one, so what
//! is left of the search (at most [`HEIGHT_TOLERANCE_M`] a peg) never adds up along the line.
//!
//! On a plane of slope S the line makes the angle asin(grade / S) with the contour; where the grade is
//! steeper than the ground there is no such line and the walk says so. On a cone it is a logarithmic spiral,
//! which for grade 0 closes on itself.
//!
//! Pegs are joined by straight legs: between two pegs the ground may be higher or lower than the leg.
//! The error of the tool leaves the pegs where they are; [`WalkedPeg::band_m`] tells how far off the true line
//! may lie.
#![doc = ""]
#![doc = include_str!("../../../docs/methods/level-line.md")]

use thiserror::Error;

use crate::crossing::{leg_meets_area, leg_meets_line};
use crate::tool::{self, Tool};
use crate::{Direction, Point, Polygon, Polyline, Surface};

mod bring_down;
mod sweep;

pub use bring_down::{BroughtDown, GENTLE_PEGS, bring_down};
pub use sweep::HEIGHT_TOLERANCE_M;

use sweep::{Sweep, Swept};

/// The furthest a walk sights across a barrier, in plan, unless its step is longer than half of this. Two
/// people pass a hose level over a fence or round a rock; common practice, no source.
pub const MAX_JUMP_M: f64 = 6.0;

/// A peg beyond a barrier stands at least this far from it: room for a foot of the frame and a spade. Common
/// practice, no source.
const ROOM_BEYOND_M: f64 = 0.3;

/// A jump is tried this much longer each time until there is room beyond: less than the room it looks for, so
/// none is missed.
const JUMP_LENGTHENING_M: f64 = 0.25;

/// The widest turn from straight on. Two legs of one step with this turn between them end half a step from
/// where they began (2 · step · sin 15° = 0.52 step): beyond it the walk would go back the way it came.
const WIDEST_TURN_DEG: u32 = 150;

/// What is left of a walk when it is as long as was asked: a peg is not set to the millimetre.
const SHORTEST_LEG_M: f64 = 0.001;

/// More pegs than anyone sets: a walk that asks for them has a step or a length in the wrong unit.
const MAX_PEGS: usize = 100_000;

/// How to walk.
#[derive(Debug, Clone)]
pub struct Walk<'a> {
    /// First peg.
    pub from: Point,
    /// Fall along the walk, rise over run, positive downhill; 0 for a level line.
    pub grade: f64,
    /// Distance from peg to peg, horizontal. The last leg is what is left of the length.
    pub step_m: f64,
    /// How far to walk.
    pub length_m: f64,
    /// A place that tells which of the two ways to set off; without one, the way that keeps uphill on the
    /// left hand.
    pub toward: Option<Point>,
    /// Areas not to enter: the walk stops at them.
    pub stop_at: &'a [Polygon],
    /// Fences and rock to be jumped: the walk resumes beyond. A line that ends where it begins is the outline
    /// of a rock, and beyond means outside it.
    pub jump: &'a [Polyline],
}

/// A peg the walk found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WalkedPeg {
    /// Distance along the line from the first peg.
    pub chainage_m: f64,
    /// Where it stands.
    pub at: Point,
    /// Height of the ground there.
    pub z_m: f64,
    /// Slope of the ground there, rise over run.
    pub slope: f64,
    /// Whether a barrier lies between the peg before and this one.
    pub after_jump: bool,
}

impl WalkedPeg {
    /// How far to either side, up or down the slope, the true line may lie when it is pegged with this tool
    /// from the first peg on; none on flat ground.
    pub fn band_m(&self, tool: &Tool) -> Option<f64> {
        let steps = tool.steps_to(self.chainage_m);
        tool::band_m(tool::levelling_error_m(tool, steps), self.slope)
    }
}

/// Why a walk ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// It is as long as was asked.
    LengthReached,
    /// No ground was measured further on.
    EdgeOfGround,
    /// The next step would enter the area with this index in [`Walk::stop_at`].
    KeptClear(usize),
    /// No place one step away has the right height: the ground is flatter than the grade, or the end of a
    /// spur. Also at the start on flat ground, where nothing says which way to set off.
    NoNextPeg,
    /// The line came back to within a step of its first peg.
    CameRound,
    /// The barrier with this index in [`Walk::jump`] is wider than a walk may jump.
    BarrierTooWide(usize),
}

/// Where a walk got.
#[derive(Debug, Clone, PartialEq)]
pub struct Walked {
    /// The pegs, the first at [`Walk::from`].
    pub pegs: Vec<WalkedPeg>,
    /// Why it ended.
    pub stopped: Stopped,
}

/// Why a walk could not begin.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum WalkError {
    /// Nothing was measured at the first peg.
    #[error("no ground was measured at the first peg ({x_m} east, {y_m} north): start inside the ground")]
    NoGround {
        /// East.
        x_m: f64,
        /// North.
        y_m: f64,
    },
    /// The step is not a length.
    #[error("step_m is {step_m}: give a distance from peg to peg above 0 m")]
    Step {
        /// As given.
        step_m: f64,
    },
    /// The length is not a length.
    #[error("length_m is {length_m}: give a length above 0 m")]
    Length {
        /// As given.
        length_m: f64,
    },
    /// The grade is not a number.
    #[error("grade is {grade}: give a fall, rise over run, 0 for a level line")]
    Grade {
        /// As given.
        grade: f64,
    },
    /// The step and the length do not belong together.
    #[error(
        "{length_m} m in steps of {step_m} m are more than {limit} pegs: give a longer step or a shorter line"
    )]
    TooManyPegs {
        /// As given.
        length_m: f64,
        /// As given.
        step_m: f64,
        /// The most pegs a walk sets.
        limit: usize,
    },
}

/// Walks a line over the ground.
///
/// The first leg goes the way nearest to [`Walk::toward`], or the way that keeps uphill on the left.
///
/// # Errors
/// There is no ground at the first peg, or a length or grade is not a sensible number.
pub fn walk(surface: &Surface, walk: &Walk) -> Result<Walked, WalkError> {
    let first = first_peg(surface, walk)?;
    let mut walked = Walked { pegs: vec![first], stopped: Stopped::LengthReached };
    if let Some(area) = walk.stop_at.iter().position(|area| area.contains(walk.from)) {
        walked.stopped = Stopped::KeptClear(area);
        return Ok(walked);
    }
    let Some(mut heading) = first_heading(surface, walk) else {
        walked.stopped = Stopped::NoNextPeg;
        return Ok(walked);
    };
    let mut first_leg = None;
    let mut last = first;
    while walk.length_m - last.chainage_m >= SHORTEST_LEG_M {
        let stand = Stand {
            surface,
            walk,
            last,
            first_z_m: first.z_m,
            heading,
            widest_turn_deg: if first_leg.is_some() { WIDEST_TURN_DEG } else { 180 },
        };
        match stand.next_peg() {
            Ok(peg) => last = peg,
            Err(stopped) => {
                walked.stopped = stopped;
                break;
            }
        }
        let before = walked.pegs[walked.pegs.len() - 1];
        heading = Direction::between(before.at, last.at).expect("a leg has a length");
        let set_off = *first_leg.get_or_insert(heading);
        walked.pegs.push(last);
        if came_round(walk, last.at, heading, set_off) {
            walked.stopped = Stopped::CameRound;
            break;
        }
    }
    Ok(walked)
}

fn first_peg(surface: &Surface, walk: &Walk) -> Result<WalkedPeg, WalkError> {
    let &Walk { from, grade, step_m, length_m, .. } = walk;
    if !(step_m.is_finite() && step_m >= SHORTEST_LEG_M) {
        return Err(WalkError::Step { step_m });
    }
    if !(length_m.is_finite() && length_m > 0.0) {
        return Err(WalkError::Length { length_m });
    }
    if !grade.is_finite() {
        return Err(WalkError::Grade { grade });
    }
    if length_m / step_m > MAX_PEGS as f64 {
        return Err(WalkError::TooManyPegs { length_m, step_m, limit: MAX_PEGS });
    }
    peg_at(surface, from, 0.0, false).ok_or(WalkError::NoGround { x_m: from.x_m, y_m: from.y_m })
}

fn peg_at(surface: &Surface, at: Point, chainage_m: f64, after_jump: bool) -> Option<WalkedPeg> {
    Some(WalkedPeg {
        chainage_m,
        at,
        z_m: surface.z_m(at)?,
        slope: surface.gradient(at)?.slope(),
        after_jump,
    })
}

/// Towards the place asked for, or with uphill on the left; none on flat ground without such a place.
fn first_heading(surface: &Surface, walk: &Walk) -> Option<Direction> {
    let asked = walk.toward.and_then(|toward| Direction::between(walk.from, toward));
    asked.or_else(|| {
        let uphill = surface.gradient(walk.from)?;
        // The left of (n, −e) is (e, n).
        Direction::along(uphill.north, -uphill.east)
    })
}

/// Whether the first peg lies at most one step off, not behind by more than half a step, and both legs lead
/// the same way (going back along the other side of a narrow gully is not coming round).
fn came_round(walk: &Walk, at: Point, heading: Direction, set_off: Direction) -> bool {
    let (east_m, north_m) = (walk.from.x_m - at.x_m, walk.from.y_m - at.y_m);
    let ahead_m = heading.east * east_m + heading.north * north_m;
    at.distance_m(walk.from) <= walk.step_m
        && ahead_m > -walk.step_m / 2.0
        && heading.agreement(set_off) > 0.0
}

/// Standing at a peg, looking for the next.
struct Stand<'a> {
    surface: &'a Surface,
    walk: &'a Walk<'a>,
    last: WalkedPeg,
    first_z_m: f64,
    heading: Direction,
    widest_turn_deg: u32,
}

impl Stand<'_> {
    fn next_peg(&self) -> Result<WalkedPeg, Stopped> {
        let left_m = self.walk.length_m - self.last.chainage_m;
        let step_m = self.walk.step_m.min(left_m);
        let to = self.place(step_m)?;
        let Some(barrier) = self.barrier_before(to) else {
            self.keep_clear(to)?;
            return self.peg(to, step_m, false);
        };
        self.jump(barrier, step_m)
    }

    /// The place of the right height this far off.
    fn place(&self, leg_m: f64) -> Result<Point, Stopped> {
        let sweep = Sweep {
            surface: self.surface,
            from: self.last.at,
            heading: self.heading,
            radius_m: leg_m,
            aim_z_m: self.first_z_m - self.walk.grade * (self.last.chainage_m + leg_m),
        };
        match sweep.nearest_to_straight_on(self.widest_turn_deg) {
            Swept::Found(place) => Ok(place),
            Swept::NoGround => Err(Stopped::EdgeOfGround),
            Swept::NoneLevel => Err(Stopped::NoNextPeg),
        }
    }

    fn peg(&self, at: Point, leg_m: f64, after_jump: bool) -> Result<WalkedPeg, Stopped> {
        let chainage_m = self.last.chainage_m + leg_m;
        peg_at(self.surface, at, chainage_m, after_jump).ok_or(Stopped::EdgeOfGround)
    }

    fn keep_clear(&self, to: Point) -> Result<(), Stopped> {
        let entered = |area: &Polygon| leg_meets_area(self.last.at, to, area);
        match self.walk.stop_at.iter().position(entered) {
            Some(area) => Err(Stopped::KeptClear(area)),
            None => Ok(()),
        }
    }

    /// The first barrier on the leg.
    fn barrier_before(&self, to: Point) -> Option<usize> {
        let on_leg = |barrier: &Polyline| leg_meets_line(self.last.at, to, barrier);
        self.walk.jump.iter().position(on_leg)
    }

    /// Lengthens the leg until it ends with room beyond every barrier it crosses. It may so end a little
    /// beyond the asked length.
    fn jump(&self, barrier: usize, step_m: f64) -> Result<WalkedPeg, Stopped> {
        let longest_m = MAX_JUMP_M.max(2.0 * self.walk.step_m);
        let mut leg_m = step_m;
        while leg_m <= longest_m {
            if let Ok(to) = self.place(leg_m)
                && self.has_room(to)
            {
                self.keep_clear(to)?;
                return self.peg(to, leg_m, self.barrier_before(to).is_some());
            }
            leg_m += JUMP_LENGTHENING_M;
        }
        Err(Stopped::BarrierTooWide(barrier))
    }

    /// Whether a place lies beyond the barriers between here and there, and not too near to any.
    fn has_room(&self, to: Point) -> bool {
        self.walk.jump.iter().all(|barrier| {
            let near = barrier.nearest(to).offset_m.abs() < ROOM_BEYOND_M;
            !near && !encloses(barrier, to)
        })
    }
}

/// Whether a barrier is the outline of something that has this place inside.
fn encloses(barrier: &Polyline, at: Point) -> bool {
    let points = barrier.points();
    points[0] == points[points.len() - 1]
        && Polygon::new(points.to_vec()).is_some_and(|outline| outline.contains(at))
}

#[cfg(test)]
mod tests;
