//! Rain that becomes running water: how much, how soon and how fast.
//!
//! Dry ground drinks first and sheds later, so twice the rain gives far more than twice the runoff. The curve
//! number sums up soil and cover; the rational rule gives the peak of a short hard rain from a small place.
//!
//! Sources: USDA-NRCS TR-55, 2nd ed., 1986; National Engineering Handbook (NEH) Part 630, ch. 9 and 10, 2004, and
//! ch. 15, 2010; FHWA HDS-2, 2nd ed., 2002. Beside each rule, its own. Leaves out snow, seeps, and runoff that
//! starts where ground water comes up.

mod cover;
mod curve_number;
mod hydrograph;
mod peak;
mod rational;
mod travel;

pub use cover::{Cover, SoilGroup};
pub use curve_number::{CurveNumber, CurveNumberError, Wetness, mixed_runoff_m, with_hard_surface};
pub use hydrograph::{Catchment, HydrographError};
pub use peak::{PeakError, SHORTEST_CONCENTRATION_H, StormType, graphical_peak_m3_s};
pub use rational::{
    FarmCover, FarmSlope, OpenSoil, Surface, YEARS, farm_coefficient, rational_peak_m3_s, surface_coefficient,
};
pub use travel::{
    ShallowCover, kinematic_sheet_s, kirpich_s, lag_concentration_s, longest_sheet_m, shallow_speed_m_s,
    sheet_s,
};

/// Runoff of a roof, track or yard, as a depth: the rain less the first wetting, which stays behind in films and
/// hollows; none until that is met.
pub fn hard_surface_runoff_m(rain_m: f64, first_wetting_m: f64) -> f64 {
    if rain_m <= first_wetting_m {
        return 0.0;
    }
    rain_m - first_wetting_m
}

#[cfg(test)]
mod tests;
