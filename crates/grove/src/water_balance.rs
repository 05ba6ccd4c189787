//! The water of one tree's ground, a day at a time.
//!
//! The soil that the roots have reached is a column. Rain, the line and the can fill it; tree, live cover and bare
//! ground draw on it; what is more than field capacity drains on to the soil below the roots and from there
//! out of reach. As roots grow deeper they find the water of the soil below.
//!
//!   roots' water' = roots' water + rain + line + hand + reached − passed down − turned away
//!                   − by tree − by live cover − evaporated                        all mm over the roots' ground
//!
//! Each day: roots reach on, water comes in and drains, then the air draws: the order of FAO-56, example 38 (read
//! literally, its eq. 88 drains last). Demand is (Ks Kcb + Ke) ETo; Ks comes from the depletion after the filling.
//! Drainage falls straight from the saturated rate in full pores to nothing at field capacity, so that excess x
//! of a layer that holds X between the two leaves as x (1 − exp(−K/X)) a day: never all at once, so that wet
//! feet can be seen. What the ground below cannot take backs up; what full pores cannot take is turned away.
//!
//! Sources: Allen et al. 1998, FAO-56, eq. 71–88, ch. 8; growth in [`crate::growth`]; the linear rate is ours.
//! Leaves out: capillary rise (nil where water stands over 1 m below the roots, FAO-56, p. 171), runoff (the
//! caller's), sideways flow, snow, surface wetting from the line, the slowing of a tree with wet feet. When
//! roots spread sideways the new ring is taken to be as wet as the old ground, which has more roots: the dry side.

mod day;

pub use day::{DayIn, DayOut, Fluxes};

use crate::coefficients::Stages;
use crate::evaporation::Surface;
use crate::growth::{Growth, Stature};
use crate::soil_water::SoilWater;

/// Days between two looks at the tree's size. Roots of a tree that deepens a metre in five years move 5 mm.
const STATURE_EVERY_DAYS: u32 = 10;
/// Share of air in the soil under which roots lack it: common rule of the trade, from memory, unverified.
const LEAST_AIR_FRAC: f64 = 0.10;
/// How far above field capacity a soil must be to count as wet, share of volume: ours, a tenth of the air rule,
/// because heavy clay is within the air rule when drained and drainage never quite ends.
const ABOVE_FIELD_CAPACITY_FRAC: f64 = 0.01;

/// The yearly course of a crop's basal coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Season {
    /// Stages of the season.
    pub stages: Stages,
    /// Day of the year on which it starts, 1 to 365.
    pub start_day: u16,
    /// Kcb at the start, in mid-season, at the end, of a full stand.
    pub basal: [f64; 3],
    /// Kcb outside the season.
    pub resting_basal: f64,
    /// Whether the tree is bare outside its season.
    pub drops_leaves: bool,
    /// Share of available water used without stress at 5 mm/d.
    pub depletion_frac: f64,
}

/// What stays the same about a tree and its ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TreeGround {
    /// What the soil holds.
    pub soil: SoilWater,
    /// Depth of soil that roots and water can enter, m.
    pub soil_depth_m: f64,
    /// How fast the ground under the soil takes water, mm/h.
    pub under_mm_h: f64,
    /// The layer that dries by evaporation.
    pub surface: Surface,
    /// Share of the open ground under organic mulch.
    pub mulched_frac: f64,
    /// Share of the open ground under grass or nurse plants, which drink like the reference lawn.
    pub live_cover_frac: f64,
    /// A day counts as dry when the tree gets less than this share of what it would use.
    pub dry_below_frac: f64,
    /// From planting to the grown tree.
    pub growth: Growth,
    /// Its year.
    pub season: Season,
}

/// Why a tree's ground cannot be worked.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum GroundError {
    /// A number that must be a share is not.
    #[error("{name} = {value} must be a share from 0 to 1")]
    Share {
        /// Which.
        name: &'static str,
        /// As given.
        value: f64,
    },
    /// A number that must be above 0 is not.
    #[error("{name} = {value} must be above 0")]
    NotPositive {
        /// Which.
        name: &'static str,
        /// As given.
        value: f64,
    },
    /// Pores do not rise from wilting point over field capacity to saturation.
    #[error(
        "wilting point {wilting_point_frac}, field capacity {field_capacity_frac} and saturation \
         {saturation_frac} must rise between 0 and 1"
    )]
    Pores {
        /// As given.
        wilting_point_frac: f64,
        /// As given.
        field_capacity_frac: f64,
        /// As given.
        saturation_frac: f64,
    },
    /// The hole is deeper than the soil.
    #[error(
        "a planting hole {hole_depth_m} m deep does not fit a soil of {soil_depth_m} m: dig the hole shallower or plant on a mound"
    )]
    HoleTooDeep {
        /// Depth of the hole.
        hole_depth_m: f64,
        /// Depth of the soil.
        soil_depth_m: f64,
    },
}

impl TreeGround {
    /// Whether the numbers are ones that the balance holds for.
    ///
    /// # Errors
    /// A share outside 0 to 1, a size that is not above 0, pores out of order, a hole deeper than the soil.
    pub fn check(&self) -> Result<(), GroundError> {
        let (soil, growth) = (&self.soil, &self.growth);
        let SoilWater { wilting_point_frac: wp, field_capacity_frac: fc, saturation_frac: sat, .. } = *soil;
        if !(0.0 < wp && wp < fc && fc < sat && sat < 1.0) {
            return Err(GroundError::Pores {
                wilting_point_frac: wp,
                field_capacity_frac: fc,
                saturation_frac: sat,
            });
        }
        for (name, value) in [
            ("mulched_frac", self.mulched_frac),
            ("live_cover_frac", self.live_cover_frac),
            ("dry_below_frac", self.dry_below_frac),
            ("depletion_frac", self.season.depletion_frac),
        ] {
            if !(0.0..=1.0).contains(&value) {
                return Err(GroundError::Share { name, value });
            }
        }
        for (name, value) in [
            ("soil_depth_m", self.soil_depth_m),
            ("conductivity_mm_h", soil.conductivity_mm_h),
            ("readily_mm", self.surface.readily_mm),
            ("total_mm", self.surface.total_mm - self.surface.readily_mm),
            ("hole_depth_m", growth.hole_depth_m),
            ("hole_radius_m", growth.hole_radius_m),
            ("root_depth_years", growth.root_depth_years),
            ("crown_years", growth.crown_years),
            ("reach_limit_m", growth.reach_limit_m),
            ("noon_sine", growth.noon_sine),
        ] {
            // Negated so that a NaN is refused too.
            if !(value > 0.0 && value.is_finite()) {
                return Err(GroundError::NotPositive { name, value });
            }
        }
        if self.under_mm_h.is_nan() || self.under_mm_h < 0.0 {
            return Err(GroundError::NotPositive { name: "under_mm_h", value: self.under_mm_h });
        }
        if growth.hole_depth_m > self.soil_depth_m {
            return Err(GroundError::HoleTooDeep {
                hole_depth_m: growth.hole_depth_m,
                soil_depth_m: self.soil_depth_m,
            });
        }
        Ok(())
    }

    /// The tree at an age, roots no deeper than the soil.
    fn stature(&self, age_days: u32) -> Stature {
        let stature = self.growth.stature(age_days);
        Stature { root_depth_m: stature.root_depth_m.min(self.soil_depth_m), ..stature }
    }
}

/// What changes from day to day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TreeState {
    /// Days since planting.
    pub age_days: u32,
    /// The tree's size.
    pub stature: Stature,
    /// Water among the roots, mm.
    pub root_mm: f64,
    /// Water in the soil below the roots, mm.
    pub below_mm: f64,
    /// Water that the surface layer has lost, mm.
    pub surface_depleted_mm: f64,
    /// Days in a row with wet feet, this day among them.
    pub wet_run_days: u32,
    /// Days in a row that were dry, this day among them.
    pub dry_run_days: u32,
}

impl TreeState {
    /// A tree on the day it is planted, in soil that holds the share `wetness_frac` of its available water.
    pub fn planted(ground: &TreeGround, wetness_frac: f64) -> TreeState {
        debug_assert!((0.0..=1.0).contains(&wetness_frac), "wetness_frac = {wetness_frac}");
        let soil = &ground.soil;
        let available_frac = soil.field_capacity_frac - soil.wilting_point_frac;
        let held_frac = soil.wilting_point_frac + wetness_frac * available_frac;
        let stature = ground.stature(0);
        TreeState {
            age_days: 0,
            stature,
            root_mm: 1000.0 * held_frac * stature.root_depth_m,
            below_mm: 1000.0 * held_frac * (ground.soil_depth_m - stature.root_depth_m),
            surface_depleted_mm: ground.surface.total_mm * (1.0 - wetness_frac),
            wet_run_days: 0,
            dry_run_days: 0,
        }
    }

    /// A tree that was planted so many days ago, in soil that holds the share `wetness_frac` of its available water all
    /// through. Its age is that of the last day on which its size was looked at.
    pub fn grown(ground: &TreeGround, wetness_frac: f64, age_days: u32) -> TreeState {
        let planted = TreeState::planted(ground, wetness_frac);
        let age_days = age_days - age_days % STATURE_EVERY_DAYS;
        let stature = ground.stature(age_days);
        let whole_mm = planted.root_mm + planted.below_mm;
        let root_mm = whole_mm * stature.root_depth_m / ground.soil_depth_m;
        TreeState { age_days, stature, root_mm, below_mm: whole_mm - root_mm, ..planted }
    }

    /// Whether the tree's size is looked at today, and so may change.
    pub fn is_measured_today(&self) -> bool {
        self.age_days.is_multiple_of(STATURE_EVERY_DAYS)
    }

    /// Ground that the roots reach once the tree has its size of today, m².
    pub fn area_today_m2(&self, ground: &TreeGround) -> f64 {
        if self.is_measured_today() { ground.stature(self.age_days).area_m2 } else { self.stature.area_m2 }
    }

    /// Water that the roots' ground lacks to field capacity, mm; none when it holds more.
    pub fn depletion_mm(&self, ground: &TreeGround) -> f64 {
        (1000.0 * ground.soil.field_capacity_frac * self.stature.root_depth_m - self.root_mm).max(0.0)
    }

    /// Litres in the roots' ground and in the soil below it.
    pub fn stored_l(&self) -> f64 {
        // A millimetre on a square metre is a litre.
        (self.root_mm + self.below_mm) * self.stature.area_m2
    }

    /// Lets the tree reach its size of today. Gives the water its roots found below, mm, and the ground found
    /// sideways, m².
    fn grow(&mut self, ground: &TreeGround) -> (f64, f64) {
        if !self.is_measured_today() {
            return (0.0, 0.0);
        }
        let stature = ground.stature(self.age_days);
        let below_m = ground.soil_depth_m - self.stature.root_depth_m;
        let deeper_m = stature.root_depth_m - self.stature.root_depth_m;
        let reached_mm = if deeper_m > 0.0 { self.below_mm * deeper_m / below_m } else { 0.0 };
        self.root_mm += reached_mm;
        self.below_mm -= reached_mm;
        let widened_m2 = stature.area_m2 - self.stature.area_m2;
        self.stature = stature;
        (reached_mm, widened_m2)
    }
}

#[cfg(test)]
pub(crate) mod tests;
