//! Young and sparse orchards: how much of the full figure a small crown uses.
//!
//! A crown that shades a tenth of the ground uses less than a closed canopy, though more than a tenth of it,
//! because light and wind reach it from the sides.
//!
//!   Kcb = Kc min + Kd (Kcb full − Kc min),  Kd = min(1, M f, f_eff^(1/(1+h)))
//!   f = crown area / ground per tree; f_eff = f / sin η for round crowns, f (1 + HWR / tan η) for hedges
//!   Kcb full = 1.0 + 0.1 h, at most 1.20, where no table has the tree
//! η is the height of the noon sun, h the height of the crop, M 2 in FAO-56 and 1.5 to 2.0 in Allen and Pereira.
//! Under stomata that close more than grass does, the figure shrinks by Fr (eq. 102).
//!
//! Source: Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 94–102; Allen and Pereira 2009,
//! Irrigation Science 28:17–34. The coefficient is that of the whole ground per tree, not of the crown.
//! Leaves out: the 20 % canopy row of the citrus table, which does not follow these equations.

use std::f64::consts::PI;

/// Limit of the water use per cover of scattered crowns: 2 in FAO-56, eq. 98.
pub const MOST_PER_COVER: f64 = 2.0;
/// Full basal coefficient of tall vegetation (FAO-56, eq. 101).
const MOST_FULL: f64 = 1.20;
/// Stomatal resistance of a grass leaf, s/m (FAO-56, eq. 102).
const GRASS_LEAF_S_M: f64 = 100.0;

/// Kd: how near a sparse stand comes to the full one.
pub fn density_frac(cover_frac: f64, effective_cover_frac: f64, height_m: f64, most_per_cover: f64) -> f64 {
    let by_area = most_per_cover * cover_frac;
    let by_height = libm::pow(effective_cover_frac, 1.0 / (1.0 + height_m));
    by_area.min(by_height).min(1.0)
}

/// Kcb of a stand with density `density_frac` (eq. 98).
pub fn basal(least: f64, full: f64, density_frac: f64) -> f64 {
    least + (full - least) * density_frac
}

/// Share of the ground under a round crown.
pub fn round_cover_frac(crown_width_m: f64, ground_m2: f64) -> f64 {
    (PI * crown_width_m * crown_width_m / 4.0 / ground_m2).min(1.0)
}

/// Sine of the noon sun's height: sin η = sin φ sin δ + cos φ cos δ.
pub fn noon_sine(latitude_rad: f64, declination_rad: f64) -> f64 {
    libm::cos(latitude_rad - declination_rad)
}

/// Shade of scattered round crowns at noon as share of the ground (eq. 97). A sun on the horizon shades it all.
pub fn round_effective_cover_frac(cover_frac: f64, noon_sine: f64) -> f64 {
    if cover_frac >= noon_sine { 1.0 } else { cover_frac / noon_sine }
}

/// Shade of hedge rows of the given height to width ratio at noon (eq. 97).
pub fn row_effective_cover_frac(cover_frac: f64, height_per_width: f64, noon_height_rad: f64) -> f64 {
    (cover_frac * (1.0 + height_per_width / libm::tan(noon_height_rad))).min(1.0)
}

/// Kcb of a full stand that no table has, before the climate adjustment (eq. 101).
pub fn full_by_height(height_m: f64) -> f64 {
    (1.0 + 0.1 * height_m).min(MOST_FULL)
}

/// Fr: a full coefficient shrinks by this where leaves resist more than grass (eq. 102). `slope` is that of the
/// vapour pressure curve and `gamma` the psychrometric constant, both kPa/°C.
pub fn resistance_frac(slope: f64, gamma: f64, wind_m_s: f64, leaf_s_m: f64) -> f64 {
    let grass = slope + gamma * (1.0 + 0.34 * wind_m_s);
    grass / (slope + gamma * (1.0 + 0.34 * wind_m_s * leaf_s_m / GRASS_LEAF_S_M))
}

/// Acm: what a stand loses against the dense one by its cover (eq. 96), for annual crops.
pub fn thinning(cover_frac: f64, dense_cover_frac: f64) -> f64 {
    1.0 - (cover_frac / dense_cover_frac).sqrt()
}

#[cfg(test)]
mod tests;
