//! Where a tree stands relative to its line, and whether its roots suit the place.
//!
//! The section of the line at the tree's chainage gives the spot: above the trench, in it, on the bank, at the bank's
//! toe, or beyond. Its ground against the water when the line stands full tells whether the roots will be
//! under water: for as long as the line takes to drain down.
//!
//! The default place is the toe: it drinks what soaks past the bank and drains. On the bank only where that is 2.4 m wide;
//! in the trench nothing but what stands wet feet (growers' advice: "Why place crop trees so close", a growers' forum; WOCAT 1625).

use grove::spacing::{MOUND_HEIGHT_M, Spot, TOE_REACH_M, WIDE_BANK_M};
use grove::trees::WetFeet;
use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use water::section::{Corner, HandCorners, HandSection};

use super::kind::Kind;

/// Hours of a day.
const DAY_H: f64 = 24.0;

/// Whether a place suits a tree's roots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Suits {
    /// As far as is known.
    Yes,
    /// It may do.
    Doubtful,
    /// It will likely fail.
    No,
}

/// A verdict and its reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Verdict {
    /// Whether it suits.
    pub suits: Suits,
    /// Why.
    pub because: &'static str,
}

/// A tree's place across its line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Across {
    pub spot: Spot,
    /// Height of the ground there, built or untouched, above the ground at the pegs.
    pub above_peg_m: f64,
    /// Width of the bank at its foot.
    pub bank_base_m: f64,
}

/// The place so far downhill of the pegs (negative: uphill); where a mound is asked for, the top of it.
pub(super) fn across_of(hand: &HandSection, downhill_m: f64, asked: Option<Spot>) -> Option<Across> {
    let found = across(hand, downhill_m)?;
    Some(match asked {
        Some(Spot::Mound) => {
            Across { spot: Spot::Mound, above_peg_m: found.above_peg_m + MOUND_HEIGHT_M, ..found }
        }
        _ => found,
    })
}

/// The place so far downhill of the pegs (negative: uphill).
pub(super) fn across(hand: &HandSection, downhill_m: f64) -> Option<Across> {
    let corners = hand.corners().ok()?;
    let foot_m = corners.bank.map_or(0.0, |bank| bank.downhill_toe.offset_m);
    let spot = if downhill_m <= corners.uphill_lip.offset_m {
        Spot::Above
    } else if downhill_m < 0.0 {
        Spot::Trench
    } else if downhill_m < foot_m {
        Spot::Bank
    } else if downhill_m <= foot_m + TOE_REACH_M {
        Spot::Toe
    } else {
        Spot::Beyond
    };
    let bank_base_m = corners.bank.map_or(0.0, |bank| foot_m - bank.uphill_toe.offset_m);
    Some(Across { spot, above_peg_m: surface_m(hand, &corners, downhill_m), bank_base_m })
}

/// Height of trench, bank or untouched ground at an offset, above the ground at the peg.
fn surface_m(hand: &HandSection, corners: &HandCorners, offset_m: f64) -> f64 {
    let mut outline = vec![corners.uphill_lip, corners.bed_uphill, corners.bed_downhill, corners.peg];
    outline.extend(corners.bank.into_iter().flat_map(|bank| bank.in_order()));
    let within = |pair: &&[Corner]| pair[0].offset_m <= offset_m && offset_m <= pair[1].offset_m;
    match outline.windows(2).find(within) {
        Some(pair) => {
            let run_m = pair[1].offset_m - pair[0].offset_m;
            let share = if run_m > 0.0 { (offset_m - pair[0].offset_m) / run_m } else { 0.0 };
            pair[0].z_m + share * (pair[1].z_m - pair[0].z_m)
        }
        None => hand.on_ground(offset_m).z_m,
    }
}

/// Whether a species suits a place: `above_water_m` is the ground above the water when the line stands full.
pub(super) fn verdict(
    kind: Kind,
    across: Across,
    above_water_m: Option<f64>,
    drain_down_h: Option<Estimate>,
) -> Verdict {
    let told = |suits, because| Verdict { suits, because };
    let under_water = across.spot != Spot::Beyond && above_water_m.is_some_and(|above_m| above_m < 0.0);
    let stays_h = drain_down_h.map(Estimate::high);
    let limit_h = DAY_H * f64::from(kind.wet_feet.limit_days());
    match across.spot {
        Spot::Trench if kind.wet_feet != WetFeet::Tolerant => {
            told(Suits::No, "in the trench its roots stand in water; plant it at the toe, or on a mound")
        }
        Spot::Trench => {
            told(Suits::Doubtful, "it stands wet feet, but silt will bury its collar: leave it a step")
        }
        Spot::Bank if across.bank_base_m < WIDE_BANK_M => told(
            Suits::Doubtful,
            "the bank is less than 2.4 m wide at its foot: roots loosen it; plant at the toe",
        ),
        // Downhill of the bank the level of the water is not that of the ground.
        Spot::Above if under_water && stays_h.is_none_or(|hours| hours > limit_h) => told(
            Suits::No,
            "water stands over its roots longer than it bears; plant it higher, or on a mound",
        ),
        Spot::Toe if kind.wet_feet == WetFeet::NotTolerant && stays_h.is_none_or(|hours| hours > limit_h) => {
            told(
                Suits::Doubtful,
                "the ground below a full line stays wet longer than it bears: raise it on a mound",
            )
        }
        Spot::Beyond => told(Suits::Doubtful, "so far below the bank little of the line's water reaches it"),
        Spot::Above | Spot::Bank | Spot::Toe | Spot::Mound => {
            told(Suits::Yes, "it drinks from the line and drains")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Flat ground: bed 0.5 m, 0.3 m deep, 1 : 1; ledge 0.25; bank 0.3 m, top 0.3, 2 : 1. Uphill lip at −1.1; bank from
    /// 0.25 to 0.25 + 0.6 + 0.3 + 0.6 = 1.75, 1.5 m wide.
    fn hand() -> HandSection {
        HandSection {
            cross_slope: 0.0,
            bed_width_m: 0.5,
            depth_m: 0.3,
            cut_batter: 1.0,
            ledge_m: 0.25,
            bank_height_m: 0.3,
            bank_top_m: 0.3,
            bank_batter: 2.0,
        }
    }

    #[test]
    fn spots_by_hand() {
        for (downhill_m, spot, above_m) in [
            (-1.2, Spot::Above, 0.0),
            (-0.5, Spot::Trench, -0.3),
            (-0.15, Spot::Trench, -0.15),
            (0.1, Spot::Bank, 0.0),
            (0.55, Spot::Bank, 0.15),
            (1.0, Spot::Bank, 0.3),
            (1.75, Spot::Toe, 0.0),
            (3.25, Spot::Toe, 0.0),
            (3.3, Spot::Beyond, 0.0),
        ] {
            let across = across(&hand(), downhill_m).unwrap();
            assert_eq!(across.spot, spot, "{downhill_m}");
            assert!((across.above_peg_m - above_m).abs() < 1e-12, "{downhill_m}: {}", across.above_peg_m);
        }
    }

    #[test]
    fn roots_that_drown_are_told() {
        let kind = |wet_feet| Kind { width_m: None, wet_feet };
        let suits = |wet_feet, downhill_m, hours: f64| {
            let across = across(&hand(), downhill_m).unwrap();
            verdict(kind(wet_feet), across, Some(-0.1), Some(Estimate::exact(hours))).suits
        };
        assert_eq!(suits(WetFeet::NotTolerant, -0.5, 10.0), Suits::No);
        assert_eq!(suits(WetFeet::Tolerant, -0.5, 10.0), Suits::Doubtful);
        // Two days are what it bears: 48 h.
        assert_eq!(suits(WetFeet::NotTolerant, 2.0, 48.0), Suits::Yes);
        assert_eq!(suits(WetFeet::NotTolerant, 2.0, 49.0), Suits::Doubtful);
        assert_eq!(suits(WetFeet::Moderate, -1.2, 121.0), Suits::No);
        assert_eq!(suits(WetFeet::Moderate, 1.0, 10.0), Suits::Doubtful);
    }
}
