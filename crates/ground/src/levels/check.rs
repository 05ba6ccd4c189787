//! The arithmetic checks of a level book.
//!
//! 1. Σ backsights − Σ foresights = last height − first height. Sees no intermediate sight.
//! 2. Σ rises − Σ falls = last height − first height. Sees them, where they were worked by rises and falls.
//! 3. Σ of all heights but the first = Σ (plane × heights taken from it) − Σ intermediates − Σ foresights.
//!    The one that finds a slip in an intermediate height.
//!
//! Source: checks 1 and 2, US Navy Engineering Aid course 14071, "Level computations"; check 3 follows from
//! adding up height = plane − reading over every point.
//! They prove arithmetic only; that the field work was right only a closure on a known mark can show.

use super::{Book, Reduction};

/// Two sums that ought to be equal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Check {
    /// From the readings.
    pub readings_m: f64,
    /// From the heights.
    pub heights_m: f64,
}

/// The three checks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checks {
    /// Backsights and foresights.
    pub sights: Check,
    /// Rises and falls.
    pub rises: Check,
    /// Planes of collimation, intermediates and foresights.
    pub collimation: Check,
}

/// A height worked by hand that does not follow from its plane and its reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// The point, counted from 0.
    pub station: usize,
    /// As worked by hand.
    pub worked_z_m: f64,
    /// As it follows from the hand's own height at the change point before.
    pub follows_z_m: f64,
}

/// Half of the millimetre that staffs are read and books are kept to.
const HALF_MILLIMETRE_M: f64 = 0.0005;
/// What sums of doubles may be off by, far below any reading.
const ROUNDING_M: f64 = 1e-9;

impl Check {
    /// Whether the two agree to the last millimetre.
    pub fn holds(self) -> bool {
        agree(self.readings_m, self.heights_m)
    }
}

impl Checks {
    /// Whether all hold.
    pub fn hold(self) -> bool {
        self.sights.holds() && self.rises.holds() && self.collimation.holds()
    }
}

fn agree(a_m: f64, b_m: f64) -> bool {
    (a_m - b_m).abs() <= HALF_MILLIMETRE_M + ROUNDING_M
}

/// Every height of a book that gives one on each of more than two rows: a column worked out by hand.
pub(super) fn worked_by_hand(book: &Book) -> Option<Vec<f64>> {
    let heights_m: Option<Vec<f64>> = book.stations().iter().map(|station| station.z_m).collect();
    heights_m.filter(|heights_m| heights_m.len() > 2)
}

/// The checks of these heights against the book's readings.
pub(super) fn checks(book: &Book, reduction: &Reduction, heights_m: &[f64]) -> Checks {
    let sums = reduction.sums;
    let gained_m = heights_m[heights_m.len() - 1] - heights_m[0];
    let planes_m: f64 = planes_above(book, heights_m).iter().skip(1).sum();
    Checks {
        sights: Check { readings_m: sums.backsight_m - sums.foresight_m, heights_m: gained_m },
        rises: Check { readings_m: sums.rise_m - sums.fall_m, heights_m: gained_m },
        collimation: Check {
            readings_m: planes_m - sums.intermediate_m - sums.foresight_m,
            heights_m: heights_m.iter().skip(1).sum(),
        },
    }
}

/// Where heights do not follow from the plane they were taken from: the place of a slip, not all it spoils.
pub(super) fn slips(book: &Book, heights_m: &[f64]) -> Vec<Slip> {
    let planes_m = planes_above(book, heights_m);
    let mut slips = Vec::new();
    for (station, booked) in book.stations().iter().enumerate() {
        let Some(reading_m) = booked.sights.forward_m() else {
            continue;
        };
        let (worked_z_m, follows_z_m) = (heights_m[station], planes_m[station] - reading_m);
        if !agree(worked_z_m, follows_z_m) {
            slips.push(Slip { station, worked_z_m, follows_z_m });
        }
    }
    slips
}

/// For each point the plane it was sighted from, as these heights have it.
fn planes_above(book: &Book, heights_m: &[f64]) -> Vec<f64> {
    let mut plane_m = heights_m[0];
    let mut planes_m = Vec::with_capacity(heights_m.len());
    for (station, height_m) in book.stations().iter().zip(heights_m) {
        planes_m.push(plane_m);
        if let Some(backsight_m) = station.sights.back_m() {
            plane_m = height_m + backsight_m;
        }
    }
    planes_m
}
