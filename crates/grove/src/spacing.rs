//! How far trees stand from each other and from what is dug.
//!
//! Two trees have room when their grown crowns just meet. Beside a line a trunk stands at one of five spots, each
//! at its own distance from the trench's downhill lip.
//!
//! Source: crown widths in [`crate::trees`]; half of each width is geometry. Spots are advice of growers: at the
//! toe by default, on the bank only if it is 2.4 m wide or more, in the trench in dry places only, on a mound on
//! wet clay (0.3 to 0.4 m high). Clearances are common practice, no source.
//! Leaves out: the shade that one tree throws on the next, machines.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::trees::{Fact, Species};

/// Where a tree stands beside a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Spot {
    /// On the trench's floor.
    Trench,
    /// On the ledge or the bank.
    Bank,
    /// At the downhill foot of the bank, or just below the pegs of a line without one.
    Toe,
    /// Uphill of the trench.
    Above,
    /// On a mound of its own below the bank.
    Mound,
    /// Further downhill: found where a tree is given by its place, never asked for.
    #[serde(skip_deserializing)]
    Beyond,
}

impl Spot {
    /// Every spot that a tree is planted at, from the trench outward.
    pub const ALL: [Spot; 5] = [Spot::Trench, Spot::Bank, Spot::Toe, Spot::Above, Spot::Mound];

    /// As people say it.
    pub const fn words(self) -> &'static str {
        match self {
            Spot::Trench => "trench",
            Spot::Bank => "bank",
            Spot::Toe => "toe",
            Spot::Above => "above",
            Spot::Mound => "mound",
            Spot::Beyond => "beyond",
        }
    }
}

/// The parts of a line that a trunk keeps clear of, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dug {
    /// Width of the trench at the top.
    pub trench_width_m: f64,
    /// Ground left between trench and bank.
    pub ledge_m: f64,
    /// Width of the bank at its foot.
    pub bank_width_m: f64,
}

/// Bank on which a tree has room, m (growers' advice: 8 feet).
pub const WIDE_BANK_M: f64 = 2.4;
/// Trunk to the foot of a bank, and to the edge of a trench above it, m. Common practice, no source.
const CLEAR_OF_BANK_M: f64 = 0.5;
const CLEAR_OF_TRENCH_M: f64 = 1.0;
/// Radius of a mound, m. Common practice, no source.
const MOUND_RADIUS_M: f64 = 1.0;
/// Height of a mound on wet clay, m: the lower of 0.3 to 0.4 (growers' advice).
pub const MOUND_HEIGHT_M: f64 = 0.3;
/// How far below the bank still counts as its toe, m: half the width of a young crown. Common practice, no source.
pub const TOE_REACH_M: f64 = 1.5;

/// How far the trunk stands from the trench's downhill lip, m, positive downhill.
pub fn trunk_downhill_m(spot: Spot, dug: &Dug) -> f64 {
    let foot_m = dug.ledge_m + dug.bank_width_m;
    match spot {
        Spot::Trench => -dug.trench_width_m / 2.0,
        Spot::Bank => dug.ledge_m + dug.bank_width_m / 2.0,
        Spot::Toe => foot_m + CLEAR_OF_BANK_M,
        Spot::Above => -dug.trench_width_m - CLEAR_OF_TRENCH_M,
        Spot::Mound => foot_m + MOUND_RADIUS_M,
        Spot::Beyond => foot_m + 2.0 * TOE_REACH_M,
    }
}

/// Distance at which the grown crowns of two trees meet, m, least and most; none where a width is not known.
pub fn apart_m(a: &Species, b: &Species) -> Option<[f64; 2]> {
    let (Fact { low: a_low, high: a_high, .. }, Fact { low: b_low, high: b_high, .. }) =
        (a.width_m?, b.width_m?);
    Some([(a_low + b_low) / 2.0, (a_high + b_high) / 2.0])
}

/// How many trees of one width fit on a stretch, trunks half a width from its ends.
pub fn fit(stretch_m: f64, width_m: f64) -> usize {
    debug_assert!(width_m > 0.0, "width_m = {width_m}");
    // A stretch measured to the millimetre may miss a whole number of widths by the last bit.
    const ROUNDING_M: f64 = 1e-6;
    ((stretch_m + ROUNDING_M) / width_m).floor().max(0.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trees::find;

    /// Trench 1 m wide, ledge 0.3 m, bank 1.6 m: its middle at 1.1 m, its foot at 1.9 m.
    #[test]
    fn trunks_keep_clear() {
        let dug = Dug { trench_width_m: 1.0, ledge_m: 0.3, bank_width_m: 1.6 };
        let found = Spot::ALL.map(|spot| trunk_downhill_m(spot, &dug));
        for (found_m, expected_m) in found.into_iter().zip([-0.5, 1.1, 2.4, -2.0, 2.9]) {
            assert!((found_m - expected_m).abs() <= 1e-12, "{found:?}");
        }
    }

    #[test]
    fn crowns_meet_halfway() {
        let (fig, pomegranate) = (find("fig").unwrap(), find("pomegranate").unwrap());
        assert_eq!(apart_m(fig, pomegranate), Some([3.5, 6.0]));
        assert_eq!(apart_m(fig, pomegranate), apart_m(pomegranate, fig));
        assert_eq!(apart_m(fig, find("papaya").unwrap()), None);
    }

    #[test]
    fn trees_on_a_stretch() {
        assert_eq!(fit(40.0, 5.0), 8);
        assert_eq!(fit(39.9, 5.0), 7);
        assert_eq!(fit(3.0 * 0.1, 0.1), 3);
        assert_eq!(fit(2.0, 5.0), 0);
    }
}
