//! Where water runs over the ground, and how much land drains to a place.
//!
//! Water runs downhill by the steepest way. Two published answers are offered. *D8* gives all of it to the
//! one neighbour with the steepest fall, (z − z_n) / distance. *D∞* looks at the eight triangles between a
//! cell and its neighbours, takes the steepest of them and shares the water between the two neighbours that
//! span it, by the angle: with the way down at α from one and π/4 − α from the other, the first gets
//! (π/4 − α) / (π/4). The area that drains to a cell is its own and all that is handed to it.
//!
//! Source: D8: O'Callaghan and Mark 1984, Computer Vision, Graphics, and Image Processing 28, 323–344.
//! D∞: Tarboton 1997, Water Resources Research 33(2), 309–319.
//!
//! Stated rules. Equal falls: the first counter-clockwise from east. A level place (after filling) drains by
//! the fewest steps to where it does fall. A cell at the edge of known ground with no lower neighbour lets its
//! water leave; a lower one inside with no way out, on ground that was not filled, keeps it.
//! Leaves out: water that moves below ground, depth and speed of flow; D8 errs by up to 22.5° in direction.
#![doc = ""]
#![doc = include_str!("../../../docs/methods/flow-paths.md")]

mod area;
mod level;
mod steepest;

use crate::{Frame, Grid};

/// Where each cell sends its water.
#[derive(Debug, Clone, PartialEq)]
pub struct FlowPaths {
    frame: Frame,
    /// Direction of the first receiver, or one of the codes below.
    codes: Vec<u8>,
    /// Share of the first receiver; the next one counter-clockwise gets the rest. Empty for D8: all is first.
    shares: Vec<f64>,
}

/// Water leaves the known ground here.
const LEAVES: u8 = 8;
/// Water stays here: a hollow that was not filled, or level ground not yet routed.
const STAYS: u8 = 9;
/// No ground is known here.
const UNKNOWN: u8 = 10;

/// What becomes of the water of a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Goes on to [`FlowPaths::receivers`].
    On,
    /// Leaves the known ground.
    Leaves,
    /// Stays in a hollow of ground that was not filled.
    Stays,
    /// No ground is known here.
    Unknown,
}

/// A neighbour that hands water on, or is handed it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Receiver {
    /// Place of the neighbour in row-major slices.
    pub index: usize,
    /// Share of the giver's water, over 0 and at most 1.
    pub share_frac: f64,
}

impl FlowPaths {
    /// Each cell gives all to the neighbour with the steepest fall (D8).
    pub fn d8(ground: &Grid) -> FlowPaths {
        let mut codes = steepest::of_eight(ground);
        level::route(ground, &mut codes);
        FlowPaths { frame: *ground.frame(), codes, shares: Vec::new() }
    }

    /// Each cell shares between the two neighbours that span the steepest way down (D∞).
    pub fn d_infinity(ground: &Grid) -> FlowPaths {
        let (mut codes, shares) = steepest::of_facets(ground);
        // Level cells have share 1 from the start, so a direction is all they need.
        level::route(ground, &mut codes);
        FlowPaths { frame: *ground.frame(), codes, shares }
    }

    /// Where the cells lie.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// What becomes of the water of a cell.
    pub fn way(&self, index: usize) -> Way {
        match self.codes[index] {
            LEAVES => Way::Leaves,
            STAYS => Way::Stays,
            UNKNOWN => Way::Unknown,
            _ => Way::On,
        }
    }

    /// The one or two neighbours a cell gives its water to; none where it leaves, stays or is not known.
    pub fn receivers(&self, index: usize) -> impl Iterator<Item = Receiver> + use<> {
        self.receivers_by(index, &self.frame.steps())
    }

    /// As [`FlowPaths::receivers`], for loops that have the frame's steps at hand.
    fn receivers_by(&self, index: usize, steps: &[isize; 8]) -> impl Iterator<Item = Receiver> + use<> {
        let first = usize::from(self.codes[index]);
        let share = self.shares.get(index).copied().unwrap_or(1.0);
        let to = |direction: usize, share_frac: f64| Receiver {
            index: index.wrapping_add_signed(steps[direction]),
            share_frac,
        };
        let given = first < steps.len();
        let one = given.then(|| to(first, share));
        let two = (given && share < 1.0).then(|| to((first + 1) % steps.len(), 1.0 - share));
        one.into_iter().chain(two)
    }

    /// The neighbours that give water to a cell, with the share each gives of its own, in the order of
    /// [`crate::NEIGHBOURS`]: which sides the water of a line comes from.
    pub fn givers(&self, index: usize) -> Vec<Receiver> {
        (0..8)
            .filter_map(|direction| self.frame.neighbour(index, direction))
            .flat_map(|giver| {
                self.receivers(giver)
                    .filter(move |to| to.index == index)
                    .map(move |to| Receiver { index: giver, share_frac: to.share_frac })
            })
            .collect()
    }

    /// Direction of a cell's water in radians counter-clockwise from east, as Tarboton (1997) counts it; none
    /// where it does not go on.
    pub fn angle_rad(&self, index: usize) -> Option<f64> {
        let first = self.codes[index];
        let share = self.shares.get(index).copied().unwrap_or(1.0);
        (first < LEAVES).then(|| (f64::from(first) + (1.0 - share)) * std::f64::consts::FRAC_PI_4)
    }
}

#[cfg(test)]
mod tests;
