//! Spreading a misclosure.
//!
//! The correction is known − observed and grows along the run: by as much at each setup, or with the distance
//! levelled. An intermediate sight takes the correction of the setup it was taken from.
//!
//! Source: R. Rode, "Collimation method to reduce a leveling field book page" (by setups); the distance rule
//! is the same with length for the number of setups. Leaves out: networks, weights, sights of unequal length.

use super::{Book, LevelError, Reduction};

/// How a misclosure is spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// The same at each setup: where sight lengths were not booked.
    BySetup,
    /// With the distance levelled.
    ByDistance,
}

/// Corrections by setups.
pub(super) fn by_setup(reduction: &Reduction, correction_m: f64) -> Vec<f64> {
    let each_m = correction_m / reduction.setups as f64;
    let share = |setup: usize| each_m * setup as f64;
    reduction.points.iter().map(|point| share(point.setup)).collect()
}

/// Corrections by distance: nothing at the first chainage, all of it at the last. The chainages rise.
pub fn by_distance(chainages_m: &[f64], correction_m: f64) -> Vec<f64> {
    let (first_m, last_m) = (chainages_m[0], chainages_m[chainages_m.len() - 1]);
    let share = |chainage_m: &f64| correction_m * (chainage_m - first_m) / (last_m - first_m);
    chainages_m.iter().map(share).collect()
}

/// The chainage of every point.
pub(super) fn chainages(book: &Book) -> Result<Vec<f64>, LevelError> {
    let chainage = |station: &super::Station| {
        station.chainage_m.ok_or_else(|| LevelError::NoChainage { point: station.point.clone() })
    };
    let chainages_m: Vec<f64> = book.stations().iter().map(chainage).collect::<Result<_, _>>()?;
    let length_m = chainages_m[chainages_m.len() - 1] - chainages_m[0];
    if length_m > 0.0 { Ok(chainages_m) } else { Err(LevelError::NoLength { length_m }) }
}
