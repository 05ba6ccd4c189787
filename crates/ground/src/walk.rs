//! Walking a level line, as the hand tool does it.

use crate::{Point, Polygon, Polyline, Surface};

/// How to walk.
#[derive(Debug, Clone)]
pub struct Walk<'a> {
    /// First peg.
    pub from: Point,
    /// Fall along the walk, rise over run, positive downhill; 0 for a level line.
    pub grade: f64,
    /// Distance from peg to peg, horizontal.
    pub step_m: f64,
    /// How far to walk.
    pub length_m: f64,
    /// A place that tells which of the two ways to set off; without one, the way that keeps uphill on the
    /// left hand.
    pub toward: Option<Point>,
    /// Areas not to enter: the walk stops at them.
    pub stop_at: &'a [Polygon],
    /// Fences and rock to be jumped: the walk resumes beyond.
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

/// Why a walk ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// It is as long as was asked.
    LengthReached,
    /// No ground was measured further on.
    EdgeOfGround,
    /// The next step would enter the area with this index in [`Walk::stop_at`].
    KeptClear(usize),
    /// No place one step away has the right height: the ground is flatter than the grade, or the end of a spur.
    NoNextPeg,
    /// The line came back to its first peg.
    CameRound,
    /// The barrier with this index in [`Walk::jump`] is wider than a walk may jump.
    BarrierTooWide(usize),
}

/// Where a walk got.
#[derive(Debug, Clone)]
pub struct Walked {
    /// The pegs, the first at [`Walk::from`].
    pub pegs: Vec<WalkedPeg>,
    /// Why it ended.
    pub stopped: Stopped,
}

/// Walks a line over the ground. None where there is no ground at the first peg.
pub fn walk(_surface: &Surface, _walk: &Walk) -> Option<Walked> {
    todo!("walk")
}
