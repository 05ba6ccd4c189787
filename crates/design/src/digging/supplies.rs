//! What the lines to dig need besides digging: seed, straw, rock, pegs, and trips with the barrow.
//!
//! A bare bank is sown and covered with straw the day it is shaped, over both faces and the top. Rock lies on the
//! bank's outer face below a sill and on an apron at its foot, or lines a chute, two stones thick with an apron of
//! fifteen (Robinson, Rice & Kadavy 1998). The spoil of a trench is thrown straight on its bank, so the barrow
//! carries only what is over or wanting, and the rock.
//!
//! Leaves out: a filter of gravel under the rock, seed for the ground that feet wear bare.

use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use water::scour::{rock_apron_m, rock_layer_m};
use water::section::{Corner, HandSection, SectionError};

use crate::layout::LaidLine;
use crate::section::Sections;
use crate::sizes::LineSizes;
use crate::sizes::digging::{along, range, sum};

/// Seed on a bare bank, kg/m²: an erosion mixture at 5 to 7 g/m² (a seed merchant's page on erosion control).
const SEED_KG_M2: (f64, f64, f64) = (0.005, 0.006, 0.007);
/// Straw on a bare bank, kg/m²: 0.34 to 0.45 covers 65 to 75 % of it (Alabama extension), wanted on slopes above
/// 5 %, and every face of a bank is steeper.
const STRAW_KG_M2: (f64, f64, f64) = (0.34, 0.395, 0.45);
/// A cubic metre of rock as laid, kg. Stone of 2400 kg/m³ (light sandstone) to 2800 (basalt), likely 2650: common practice,
/// no source; 45 % of the layer is air (Robinson, Rice & Kadavy 1998, mantle porosity).
const ROCK_KG_M3: (f64, f64, f64) = (1320.0, 1457.5, 1540.0);
/// What a barrow takes, m³: a large one 170 L (6 ft³), a builder's 80 L, a garden barrow 60 L (2 ft³). Barrow guides.
const BARROW_M3: (f64, f64, f64) = (0.170, 0.080, 0.060);

/// What the lines to dig need.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Supplies {
    /// Face of the banks, to sow and cover.
    pub bank_m2: f64,
    /// Seed.
    pub seed_kg: Estimate,
    /// Straw.
    pub straw_kg: Estimate,
    /// Rock, place by place.
    pub rock: Vec<Rock>,
    /// All rock as laid.
    pub rock_m3: f64,
    /// The same by weight.
    pub rock_kg: Estimate,
    /// Pegs of the lines.
    pub pegs: usize,
    /// Loose soil left over (negative: wanting) when trench and bank are weighed against each other over all lines.
    pub loose_left_over_m3: Estimate,
    /// Barrow trips for that soil and the rock.
    pub barrow_trips: Estimate,
}

/// Rock to lay.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Rock {
    /// On which line.
    pub line: String,
    /// The sill's place; none for the bed of a whole line.
    pub at_m: Option<f64>,
    /// What it covers.
    pub covers: Covers,
    /// Middle size of the stones.
    pub d50_mm: f64,
    /// Thickness of the layer.
    pub layer_m: f64,
    /// Ground it covers, along the slope.
    pub area_m2: f64,
    /// Rock as laid.
    pub rock_m3: f64,
}

/// What rock covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Covers {
    /// The face below a sill, and its apron.
    Landing,
    /// Bed and sides of a line, and the apron at its end.
    Bed,
}

/// A line with its section, where that is known.
pub(super) struct ToDig<'a> {
    pub laid: &'a LaidLine,
    pub sizes: &'a LineSizes,
    pub sections: Option<&'a Sections>,
}

/// What these lines need.
pub(super) fn of(lines: &[ToDig]) -> Supplies {
    let bank_m2: f64 = lines
        .iter()
        .filter_map(|line| along(line.sections?, bank_face_m).ok())
        .fold(0.0, |sum_m2, face_m2| sum_m2 + face_m2);
    let rock: Vec<Rock> = lines.iter().flat_map(rock_of).collect();
    let rock_m3 = rock.iter().fold(0.0, |sum_m3, rock| sum_m3 + rock.rock_m3);
    let loose_left_over_m3 = sum(lines.iter().filter_map(|line| loose_left_over_m3(line.sizes)));
    Supplies {
        bank_m2,
        seed_kg: range(SEED_KG_M2).map_monotone(|kg_m2| kg_m2 * bank_m2),
        straw_kg: range(STRAW_KG_M2).map_monotone(|kg_m2| kg_m2 * bank_m2),
        rock_kg: range(ROCK_KG_M3).map_monotone(|kg_m3| kg_m3 * rock_m3),
        pegs: lines.iter().map(|line| line.laid.pegs.len()).sum(),
        barrow_trips: barrow_trips(loose_left_over_m3, rock_m3),
        loose_left_over_m3,
        rock,
        rock_m3,
    }
}

/// Trips for soil left over or wanting, and rock: the least with a large barrow, the most with a small one.
pub(super) fn barrow_trips(loose_m3: Estimate, rock_m3: f64) -> Estimate {
    let (large_m3, usual_m3, small_m3) = BARROW_M3;
    let ends_m3 = [loose_m3.low().abs(), loose_m3.high().abs()];
    let crosses_nothing = loose_m3.low() < 0.0 && loose_m3.high() > 0.0;
    let least_m3 = if crosses_nothing { 0.0 } else { ends_m3[0].min(ends_m3[1]) };
    let most_m3 = ends_m3[0].max(ends_m3[1]);
    let trips = |soil_m3: f64, barrow_m3: f64| ((soil_m3 + rock_m3) / barrow_m3).ceil();
    Estimate::spanning(
        trips(loose_m3.likely().abs(), usual_m3),
        trips(least_m3, large_m3),
        trips(most_m3, small_m3),
    )
}

/// Spoil that the bank does not take, loose: the share of the cut that is over, or wanting.
fn loose_left_over_m3(sizes: &LineSizes) -> Option<Estimate> {
    let digging = sizes.digging.as_ref()?;
    let left = |loose_m3: f64, spare_m3: f64| {
        let packed_m3 = spare_m3 + digging.fill_m3;
        if packed_m3 > 0.0 { loose_m3 * spare_m3 / packed_m3 } else { 0.0 }
    };
    let (loose, spare) = (digging.loose_m3, digging.spare_fill_m3);
    Some(Estimate::spanning(
        left(loose.likely(), spare.likely()),
        left(loose.likely(), spare.low()),
        left(loose.likely(), spare.high()),
    ))
}

fn apart_m(a: Corner, b: Corner) -> f64 {
    let (dx, dz) = (b.offset_m - a.offset_m, b.z_m - a.z_m);
    (dx * dx + dz * dz).sqrt()
}

/// Length of a bank's faces and top across the line, along the slope.
fn bank_face_m(hand: &HandSection) -> Result<f64, SectionError> {
    let bank = hand.corners()?.bank;
    Ok(bank.map_or(0.0, |bank| bank.in_order().windows(2).map(|pair| apart_m(pair[0], pair[1])).sum()))
}

/// Length of a trench's bed and sides across the line, along the slope.
fn trench_face_m(hand: &HandSection) -> Result<f64, SectionError> {
    let c = hand.corners()?;
    let corners = [c.uphill_lip, c.bed_uphill, c.bed_downhill, c.peg];
    Ok(corners.windows(2).map(|pair| apart_m(pair[0], pair[1])).sum())
}

fn rock_of(line: &ToDig) -> Vec<Rock> {
    let Some(sections) = line.sections else {
        return Vec::new();
    };
    let landings = line.sizes.sills.iter().filter_map(|sill| {
        let d50_mm = sill.landing?.rock_d50_mm?;
        let face_m = outer_face_m(sections, sill.at_m)?;
        let area_m2 = sill.width_m * (face_m + rock_apron_m(d50_mm));
        Some(rock(line, (Some(sill.at_m), Covers::Landing), d50_mm, area_m2))
    });
    let bed = line.sizes.flow.and_then(|flow| flow.rock_d50_mm).and_then(|d50_mm| {
        let grade = line.laid.grade;
        let along_slope = (1.0 + grade * grade).sqrt();
        let bed_width_m = sections.places.last()?.hand.bed_width_m;
        let lined_m2 = along(sections, trench_face_m).ok()? * along_slope;
        Some(rock(line, (None, Covers::Bed), d50_mm, lined_m2 + bed_width_m * rock_apron_m(d50_mm)))
    });
    landings.chain(bed).collect()
}

fn rock(line: &ToDig, (at_m, covers): (Option<f64>, Covers), d50_mm: f64, area_m2: f64) -> Rock {
    let layer_m = rock_layer_m(d50_mm);
    let rock_m3 = area_m2 * layer_m;
    Rock { line: line.laid.line.clone(), at_m, covers, d50_mm, layer_m, area_m2, rock_m3 }
}

/// Length of the bank's outer face along the slope, at the place known nearest to a sill; 0 without a bank.
fn outer_face_m(sections: &Sections, at_m: f64) -> Option<f64> {
    let apart = |place: &&crate::section::SectionAt| (place.chainage_m - at_m).abs();
    let nearest = sections.places.iter().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    let bank = nearest.hand.corners().ok()?.bank;
    Some(bank.map_or(0.0, |bank| apart_m(bank.top_downhill, bank.downhill_toe)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Barrow guides: a garden barrow of 60 to 85 L makes 12 to 17 trips of a loose cubic metre, a builder's of 80 L 12
    /// (12.5: half a trip is one), a large one of 170 L 6. Trips are whole, hence one more than 12.
    #[test]
    fn published_trips_for_a_cubic_metre() {
        let trips = barrow_trips(Estimate::exact(1.0), 0.0);
        assert_eq!((trips.low(), trips.likely(), trips.high()), (6.0, 13.0, 17.0));
    }

    /// Soil that may be over by 1 m³ or wanting by 2 needs no trip at best, and 2 / 0.06 = 33.3, so 34, at worst.
    #[test]
    fn soil_that_may_be_over_or_wanting() {
        let trips = barrow_trips(Estimate::new(-2.0, 0.0, 1.0).unwrap(), 0.0);
        assert_eq!((trips.low(), trips.likely(), trips.high()), (0.0, 0.0, 34.0));
    }

    /// Flat ground, bank 0.3 high, top 0.3, faces 2 : 1: each face √(0.6² + 0.3²) = 0.6708; 1.6416 m in all. Trench
    /// 0.3 deep, sides 1 : 1: 2 · 0.4243 + 0.5 = 1.3485 m.
    #[test]
    fn faces_by_hand() {
        let hand = HandSection {
            cross_slope: 0.0,
            bed_width_m: 0.5,
            depth_m: 0.3,
            cut_batter: 1.0,
            ledge_m: 0.25,
            bank_height_m: 0.3,
            bank_top_m: 0.3,
            bank_batter: 2.0,
        };
        assert!((bank_face_m(&hand).unwrap() - 1.641_641).abs() < 1e-6);
        assert!((trench_face_m(&hand).unwrap() - 1.348_528).abs() < 1e-6);
    }

    /// A seed merchant prints 5 to 7 g/m², Alabama extension 0.34 to 0.45 kg/m² of straw.
    #[test]
    fn published_seed_and_straw() {
        let (seed, straw) = (range(SEED_KG_M2), range(STRAW_KG_M2));
        assert_eq!((1000.0 * seed.low(), 1000.0 * seed.high()), (5.0, 7.0));
        assert_eq!((straw.low(), straw.high()), (0.34, 0.45));
    }
}
