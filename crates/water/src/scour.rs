//! What running water may do to a bed, a grassed way or a landing before it takes it along.
//!
//! Bare earth stands a slow walk, good grass a fast one, and only on a gentle slope. Where water must come down
//! steeply the bed is rock, and the rock is sized by the flow over each metre of width and by the slope.
//!
//! Rock (angular, on slopes of 2 to 40 %), D50 in mm, q in m³/s a metre:
//! q = 9.76e−7·D50^1.89·S^−1.50 below S = 0.10, q = 8.07e−6·D50^1.89·S^−0.58 from there on.
//!
//! Sources: grass, USDA-SCS TP-61, 1954, as adopted in the codes of Winchester, Indiana, and Norton, Ohio; bare
//! beds, ditch tables of open-channel texts; grains, Keown et al. 1977; shear, C. Fischenich, Stability
//! Thresholds for Stream Restoration Materials, 2001; rock, K. M. Robinson, C. E. Rice & K. C. Kadavy, Design of
//! Rock Chutes, Trans. ASAE 41(3), 1998. Speeds of canals hold at canal depths: in a few centimetres of water
//! check the shear too. Leaves out dispersive soils, which nothing here protects, and freshly placed fill.

use crate::manning::{bed_shear_pa, sheet_depth_m, sheet_speed_m_s};

mod rock;

pub use rock::{RockChute, RockError, rock_apron_m, rock_chute, rock_layer_m};

/// Beds of bare earth or stones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BareBed {
    /// Fine sand or silt loam.
    FineSandOrSilt,
    /// Fine gravel.
    FineGravel,
    /// Sandy clay or clay.
    Clay,
    /// Stiff clay or ordinary gravelly soil.
    StiffClay,
    /// Coarse gravel, hardpan or soft rock.
    Hardpan,
}

/// Mean speed that a bare bed stands: ditch-velocity table of open-channel texts.
pub fn bare_speed_m_s(bed: BareBed) -> f64 {
    match bed {
        BareBed::FineSandOrSilt => 0.45,
        BareBed::FineGravel => 0.75,
        BareBed::Clay => 0.9,
        BareBed::StiffClay => 1.25,
        BareBed::Hardpan => 1.8,
    }
}

/// Mean speeds that move no grain at 0.4 m of water, by grain size: upper edge of the class in mm, m/s. Keown et
/// al. 1977, modified, converted from feet a second.
pub const GRAIN_SPEEDS: [(f64, f64); 9] = [
    // Fine, medium, coarse and very coarse sand end at 0.25, 0.5, 1 and 2 mm (Wentworth 1922, from memory,
    // unverified).
    (0.25, 0.30),
    (0.5, 0.37),
    (1.0, 0.46),
    (2.0, 0.55),
    (4.0, 0.67),
    (8.0, 0.79),
    (16.0, 1.01),
    (32.0, 1.25),
    (64.0, 1.58),
];

/// Shear that bare soils generally stand, Pa: under 0.25 lb/ft², Fischenich 2001.
pub const BARE_SHEAR_PA: f64 = 12.0;
/// Shear that vegetated soils stand, Pa, from the weakest to the strongest: 0.5 to 4 lb/ft², Fischenich 2001.
pub const VEGETATED_SHEAR_PA: (f64, f64) = (24.0, 190.0);

/// Grass in a waterway or on a landing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grass {
    /// Sown this season, or annual cover.
    New,
    /// Redtop or red fescue.
    ThinBunch,
    /// A mixture of grasses, reed canary grass.
    Mixture,
    /// Bluegrass, tall fescue, smooth brome.
    Sod,
    /// Bermuda grass or its like: a dense creeping sod.
    DenseSod,
}

/// How well the soil under the grass holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoilHold {
    /// Sandy or silty: goes easily.
    Erodible,
    /// Clayey, well knit.
    Resistant,
}

/// Mean speed that grass stands on a slope (rise over run), kept and unbroken; none where the source says not to
/// use it. Above 1.5 m/s only with good cover that is looked after.
///
/// Steps in the table are at 5 and 10 %, each step belonging to the gentler side. New grass has no slope in the
/// table; it stops at 10 % with the rule that grassed channels steeper than that want a stone centre.
pub fn grass_speed_m_s(grass: Grass, hold: SoilHold, slope: f64) -> Option<f64> {
    let steps: [Option<[f64; 2]>; 3] = match grass {
        Grass::New => [Some([0.75, 1.05]), Some([0.75, 1.05]), None],
        Grass::ThinBunch => [Some([0.76, 1.07]), None, None],
        Grass::Mixture => [Some([1.2, 1.5]), Some([0.9, 1.2]), None],
        Grass::Sod => [Some([1.52, 2.13]), Some([1.22, 1.83]), Some([0.91, 1.52])],
        Grass::DenseSod => [Some([1.8, 2.4]), Some([1.5, 2.1]), Some([1.2, 1.8])],
    };
    let step = if slope <= 0.05 {
        0
    } else if slope <= 0.10 {
        1
    } else {
        2
    };
    steps[step].map(|[erodible, resistant]| match hold {
        SoilHold::Erodible => erodible,
        SoilHold::Resistant => resistant,
    })
}

/// A sheet of water on the slope below a sill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Depth of the sheet.
    pub depth_m: f64,
    /// Its mean speed.
    pub speed_m_s: f64,
    /// Shear on the ground.
    pub shear_pa: f64,
}

/// The sheet that runs from a sill, once it is steady: a few metres down the slope. Right at the lip it is slower,
/// below a drop faster.
pub fn landing_sheet(unit_flow_m2_s: f64, slope: f64, manning_n: f64) -> Sheet {
    let depth_m = sheet_depth_m(unit_flow_m2_s, slope, manning_n);
    Sheet {
        depth_m,
        speed_m_s: sheet_speed_m_s(unit_flow_m2_s, slope, manning_n),
        shear_pa: bed_shear_pa(depth_m, slope),
    }
}

/// What lies below a level spreader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Below {
    /// A strip of grass.
    Grass,
    /// Woodland with its litter.
    Forest,
}

/// Shortest level spreader, m. Toronto and Region Low Impact Development guide, after Hathaway & Hunt 2006.
pub const SPREADER_SHORTEST_M: f64 = 4.0;
/// Longest level spreader, m: beyond it split the flow. Same source; the Australian "Level spreaders" sheet
/// (Catchments & Creeks) stops at 25 m.
pub const SPREADER_LONGEST_M: f64 = 40.0;

/// Length of level spreader for a flow: 1.4 m for each 10 L/s onto grass, 4.3 m onto forest, never less than
/// [`SPREADER_SHORTEST_M`]. Same source. Beyond [`SPREADER_LONGEST_M`] the flow wants splitting, not a longer lip.
pub fn spreader_length_m(flow_m3_s: f64, below: Below) -> f64 {
    let per_m3_s = match below {
        Below::Grass => 140.0,
        Below::Forest => 430.0,
    };
    let length_m = flow_m3_s * per_m3_s;
    if length_m < SPREADER_SHORTEST_M { SPREADER_SHORTEST_M } else { length_m }
}

#[cfg(test)]
mod tests;
