//! One line walked over the ground on request, before it is part of any plan.

use ground::Point;
use serde::Serialize;
use site::{LineKind, Site};

use crate::pegs::CheckBack;

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
    pub steepest: f64,
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

/// Walks a line over the ground of a site.
///
/// # Errors
/// The site has no ground, there is none at the first peg, or a length or grade is not a sensible number.
pub fn walk(_site: &Site, _asked: &Asked) -> Result<Answer, WalkingError> {
    todo!("walking")
}
