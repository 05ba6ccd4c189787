//! What stands in a line.
//!
//! Water rises to whatever lets it out first: a sill, the lowest place of the bank, or the ground uphill where
//! that is lower still. What stands below that level is held, and leaves by soaking alone. The tool that set bank
//! and bed may be out by its level error over the line's length, and so may the level at which it spills: the
//! range is the volume at that level so much lower and so much higher.
//!
//! A drain or chute is open at its end and holds nothing.
//!
//! Leaves out: slowing of the soak as it goes on, evaporation, silt.

use ground::tool::{Tool, levelling_error_m};
use quantity::Estimate;
use quantity::convert::{cm_to_m, mm_h_to_m_s, s_to_h};
use site::Line;
use water::section::Section;
use water::storage::LineShape;

use super::{Holding, LowPlace, Raise, SpillsOver};
use crate::section::Sections;

/// By how much a low place may be raised, cm: what a spade does in one go.
const RAISES_CM: [f64; 4] = [1.0, 2.0, 5.0, 10.0];

/// What a swale holds.
pub(super) fn of_swale(line: &Line, sections: &Sections, shape: &LineShape, tool: &Tool) -> Holding {
    let crests_z_m: Vec<f64> = line.sills.iter().map(|sill| sections.crest_z_m(sill)).collect();
    let level_z_m = shape.spill_z_m(&crests_z_m);
    let holds_m3 = shape.volume_m3(level_z_m);
    let error_m = levelling_error_m(tool, tool.steps_to(shape.length_m())).wide_m();
    let low = shape.lowest_bank();
    let lowest_crest_z_m = crests_z_m.iter().copied().reduce(f64::min);
    Holding {
        holds_m3,
        water_half_width_m: half_width_m(shape, |_| level_z_m),
        holds_range_m3: Estimate::spanning(
            holds_m3,
            shape.volume_m3(level_z_m - error_m),
            shape.volume_m3(level_z_m + error_m),
        ),
        spills_at_z_m: Some(level_z_m),
        spills_over: Some(spills_over(level_z_m, low.z_m, lowest_crest_z_m)),
        lowest_bank: Some(LowPlace {
            chainage_m: low.chainage_m,
            z_m: low.z_m,
            below_sill_m: lowest_crest_z_m.map(|crest_z_m| crest_z_m - low.z_m),
        }),
        raise: RAISES_CM
            .into_iter()
            .map(|by_cm| Raise { by_cm, gains_m3: shape.raise_lowest(cm_to_m(by_cm), &crests_z_m).gains_m3 })
            .collect(),
        drain_down_h: None,
    }
}

/// What a drain or chute holds: nothing, its end is open.
pub(super) fn of_carrier(shape: &LineShape) -> Holding {
    Holding {
        holds_m3: 0.0,
        water_half_width_m: half_width_m(shape, |station| station.ground_z_m),
        holds_range_m3: Estimate::exact(0.0),
        spills_at_z_m: None,
        spills_over: Some(SpillsOver::End),
        lowest_bank: None,
        raise: Vec::new(),
        drain_down_h: None,
    }
}

fn spills_over(level_z_m: f64, lowest_bank_z_m: f64, lowest_crest_z_m: Option<f64>) -> SpillsOver {
    if lowest_crest_z_m.is_some_and(|crest_z_m| crest_z_m <= level_z_m) {
        SpillsOver::Sill
    } else if lowest_bank_z_m <= level_z_m {
        SpillsOver::Bank
    } else {
        SpillsOver::Uphill
    }
}

/// Hours from full to empty by soaking; none where it never empties, because nothing soaks.
pub(super) fn drain_down_h(shape: &LineShape, full_z_m: f64, soak_mm_h: Estimate) -> Option<Estimate> {
    let soaks_m = shape.soaks_to_empty_m(full_z_m);
    (soak_mm_h.low() > 0.0).then(|| soak_mm_h.map_monotone(|mm_h| s_to_h(soaks_m / mm_h_to_m_s(mm_h))))
}

/// The farther edge of the water from the pegs, anywhere along the line, with the water at these levels.
fn half_width_m(shape: &LineShape, level_z_m: impl Fn(&water::storage::Station) -> f64) -> f64 {
    shape.stations().iter().fold(0.0, |widest, station| {
        let edge_m = farthest_edge_m(&station.section, level_z_m(station) - station.ground_z_m);
        if edge_m > widest { edge_m } else { widest }
    })
}

/// How far from the peg water of this level meets the earth, between the hill and the bank's crest.
fn farthest_edge_m(section: &Section, level_z_m: f64) -> f64 {
    let crest_m = section.crest().offset_m;
    let mut farthest_m: f64 = 0.0;
    for piece in section.profile().windows(2) {
        let (from, to) = (piece[0], piece[1]);
        let passed = (from.z_m - level_z_m) * (to.z_m - level_z_m) <= 0.0 && from.z_m != to.z_m;
        if passed && to.offset_m <= crest_m {
            let share = (level_z_m - from.z_m) / (to.z_m - from.z_m);
            let edge_m = from.offset_m + share * (to.offset_m - from.offset_m);
            farthest_m = farthest_m.max(edge_m.abs());
        }
    }
    farthest_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use water::section::HandSection;
    use water::storage::Station;

    /// A trapezoid of bed b and batter m without a bank on flat ground, 10 m long.
    fn trench(bed_width_m: f64, cut_batter: f64, depth_m: f64) -> LineShape {
        let hand = HandSection {
            cross_slope: 0.0,
            bed_width_m,
            depth_m,
            cut_batter,
            ledge_m: 0.25,
            bank_height_m: 0.0,
            bank_top_m: 0.3,
            bank_batter: 2.0,
        };
        let station = |chainage_m| Station { chainage_m, ground_z_m: 10.0, section: hand.section().unwrap() };
        LineShape::new(vec![station(0.0), station(10.0)]).unwrap()
    }

    #[test]
    fn a_range_of_soak_turns_round_and_no_soak_never_empties() {
        let shape = trench(0.5, 1.0, 0.3);
        let range = Estimate::new(5.0, 10.0, 20.0).unwrap();
        let found = drain_down_h(&shape, 10.0, range).unwrap();
        assert!((found.low() - found.likely() / 2.0).abs() < 1e-9);
        assert!((found.high() - found.likely() * 2.0).abs() < 1e-9);
        assert_eq!(drain_down_h(&shape, 10.0, Estimate::new(0.0, 10.0, 20.0).unwrap()), None);
    }

    /// Bed 0.5 m, batter 1, 0.3 m deep, brim-full: from the peg (the downhill lip) to the uphill lip 1.1 m.
    #[test]
    fn the_farther_edge_is_the_uphill_one() {
        let shape = trench(0.5, 1.0, 0.3);
        assert!((half_width_m(&shape, |_| 10.0) - 1.1).abs() < 1e-9);
    }
}
