//! A species on a spot: the ground that the daily balance works on.

use super::Species;
use crate::coefficients::LEAFLESS_BASAL;
use crate::evaporation::{LAYER_DEPTH_M, Surface, evaporable_mm};
use crate::growth::Growth;
use crate::orchard::noon_sine;
use crate::soil_water::SoilWater;
use crate::sun::declination_rad;
use crate::water_balance::{GroundError, Season, TreeGround};
use quantity::convert::deg_to_rad;

/// Share of the surface layer's water that leaves at full rate: mean over the textures of FAO-56, table 19, of
/// the middle of REW over the middle of TEW.
const READILY_EVAPORABLE_FRAC: f64 = 0.44;
/// Planting hole, m: a spade deep and two spades wide. Common practice, no source.
const HOLE_DEPTH_M: f64 = 0.3;
const HOLE_RADIUS_M: f64 = 0.3;
/// A tree from the nursery: crown width and height, m. Common practice, no source.
const PLANTED_CROWN_M: f64 = 0.3;
const PLANTED_HEIGHT_M: f64 = 1.0;
/// Years to a grown crown and to full root depth. From memory, unverified.
const CROWN_YEARS: f64 = 10.0;
const ROOT_DEPTH_YEARS: f64 = 5.0;
/// Crown width taken where no list has the species, m. From memory, unverified.
const UNKNOWN_WIDTH_M: f64 = 4.0;
/// A day is dry when the tree gets less than half of what it would use: our line.
const DRY_BELOW_FRAC: f64 = 0.5;
/// Longest day north and south of the equator.
const NORTHERN_MIDSUMMER_DAY: u32 = 172;
const SOUTHERN_MIDSUMMER_DAY: u32 = 355;

/// Where a tree stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// What the soil holds.
    pub soil: SoilWater,
    /// Depth of soil that roots can enter, m.
    pub soil_depth_m: f64,
    /// How fast the ground under the soil takes water, mm/h.
    pub under_mm_h: f64,
    /// Latitude, negative south.
    pub latitude_deg: f64,
    /// Distance to the neighbours, m.
    pub spacing_m: f64,
    /// Share of the open ground under organic mulch.
    pub mulched_frac: f64,
    /// Share of the open ground under grass or nurse plants.
    pub live_cover_frac: f64,
}

impl Surface {
    /// The surface layer of a soil, 0.10 m deep.
    pub fn of(soil: &SoilWater) -> Surface {
        let total_mm = evaporable_mm(soil.field_capacity_frac, soil.wilting_point_frac, LAYER_DEPTH_M);
        Surface { readily_mm: READILY_EVAPORABLE_FRAC * total_mm, total_mm }
    }
}

/// The ground of a tree of this species, from nursery size to the width that its place allows. Roots go to the
/// smaller depth of the species' row, which suits watering (FAO-56, table 22, footnote 1).
///
/// # Errors
/// A setting that the balance does not hold for.
pub fn tree_ground(species: &Species, setting: &Setting) -> Result<TreeGround, GroundError> {
    let row = species.coefficients.row();
    let stages = *species.coefficients.stages();
    let width_m = species.width_m.map_or(UNKNOWN_WIDTH_M, |width| (width.low + width.high) / 2.0);
    let midsummer_day =
        if setting.latitude_deg < 0.0 { SOUTHERN_MIDSUMMER_DAY } else { NORTHERN_MIDSUMMER_DAY };
    let ground = TreeGround {
        soil: setting.soil,
        soil_depth_m: setting.soil_depth_m,
        under_mm_h: setting.under_mm_h,
        surface: Surface::of(&setting.soil),
        mulched_frac: setting.mulched_frac,
        live_cover_frac: setting.live_cover_frac,
        dry_below_frac: DRY_BELOW_FRAC,
        growth: Growth {
            hole_depth_m: HOLE_DEPTH_M.min(setting.soil_depth_m),
            hole_radius_m: HOLE_RADIUS_M,
            root_depth_m: row.body.root_depth_m[0],
            root_depth_years: ROOT_DEPTH_YEARS,
            crown_width_m: [PLANTED_CROWN_M, width_m.min(setting.spacing_m)],
            height_m: [PLANTED_HEIGHT_M, row.body.height_m[1]],
            crown_years: CROWN_YEARS,
            // The disc of as much ground as the tree's square.
            reach_limit_m: setting.spacing_m / std::f64::consts::PI.sqrt(),
            noon_sine: noon_sine(deg_to_rad(setting.latitude_deg), declination_rad(midsummer_day)),
        },
        season: Season {
            stages,
            start_day: stages.start_day(setting.latitude_deg),
            basal: row.basal,
            resting_basal: if row.drops_leaves { LEAFLESS_BASAL } else { row.basal[0] },
            drops_leaves: row.drops_leaves,
            depletion_frac: row.body.depletion_frac,
        },
    };
    ground.check().map(|()| ground)
}
