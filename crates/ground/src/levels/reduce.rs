//! Heights of a book by both methods.

use super::{Book, Sights};

/// A point with its height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reduced {
    /// The setup it was sighted from: 1 for the first, 0 for the start itself.
    pub setup: usize,
    /// Height of the plane of collimation set up by the backsight on this point.
    pub collimation_z_m: Option<f64>,
    /// Rise (positive) or fall (negative) from the point before; none for the first.
    pub rise_m: Option<f64>,
    /// Height, by the height of collimation.
    pub z_m: f64,
    /// Height, by rises and falls.
    pub z_by_rises_m: f64,
}

/// Sums of a book's columns.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Sums {
    /// Backsights.
    pub backsight_m: f64,
    /// Intermediate sights.
    pub intermediate_m: f64,
    /// Foresights.
    pub foresight_m: f64,
    /// Rises.
    pub rise_m: f64,
    /// Falls, as a positive number.
    pub fall_m: f64,
}

/// A book worked out, not yet closed.
#[derive(Debug, Clone, PartialEq)]
pub struct Reduction {
    /// One for each station.
    pub points: Vec<Reduced>,
    /// Sums of the columns.
    pub sums: Sums,
    /// How often the instrument was set up.
    pub setups: usize,
}

impl Sights {
    /// The reading from the setup that came to this point; none for the start.
    pub fn forward_m(self) -> Option<f64> {
        match self {
            Sights::Start { .. } => None,
            Sights::Intermediate { intermediate_m } => Some(intermediate_m),
            Sights::Change { foresight_m, .. } | Sights::End { foresight_m } => Some(foresight_m),
        }
    }

    /// The reading from the setup that goes on from this point.
    pub fn back_m(self) -> Option<f64> {
        match self {
            Sights::Start { backsight_m } | Sights::Change { backsight_m, .. } => Some(backsight_m),
            Sights::Intermediate { .. } | Sights::End { .. } => None,
        }
    }
}

/// Works a book out by both methods.
pub fn reduce(book: &Book) -> Reduction {
    let start_z_m = book.start_z_m();
    let mut points = Vec::with_capacity(book.stations().len());
    let mut sums = Sums::default();
    let mut setups = 0;
    let (mut plane_z_m, mut z_by_rises_m, mut before_m) = (start_z_m, start_z_m, 0.0);
    for station in book.stations() {
        let sights = station.sights;
        let rise_m = sights.forward_m().map(|reading_m| before_m - reading_m);
        let z_m = sights.forward_m().map_or(start_z_m, |reading_m| plane_z_m - reading_m);
        z_by_rises_m += rise_m.unwrap_or(0.0);
        let setup = setups;
        let collimation_z_m = sights.back_m().map(|backsight_m| z_m + backsight_m);
        if let Some(z_m) = collimation_z_m {
            plane_z_m = z_m;
            setups += 1;
        }
        if let Some(reading_m) = sights.back_m().or(sights.forward_m()) {
            before_m = reading_m;
        }
        sums.take(sights, rise_m.unwrap_or(0.0));
        points.push(Reduced { setup, collimation_z_m, rise_m, z_m, z_by_rises_m });
    }
    Reduction { points, sums, setups }
}

impl Sums {
    fn take(&mut self, sights: Sights, rise_m: f64) {
        self.backsight_m += sights.back_m().unwrap_or(0.0);
        match sights {
            Sights::Start { .. } => {}
            Sights::Intermediate { intermediate_m } => self.intermediate_m += intermediate_m,
            Sights::Change { foresight_m, .. } | Sights::End { foresight_m } => {
                self.foresight_m += foresight_m;
            }
        }
        if rise_m >= 0.0 {
            self.rise_m += rise_m;
        } else {
            self.fall_m -= rise_m;
        }
    }
}
