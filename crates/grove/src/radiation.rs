//! What of the sun's radiation reaches the grass, and what of it stays.
//!
//! Clouds take some on the way, grass throws a quarter back, and warm ground shines away into the sky, less under
//! cloud and moist air:
//!   Rs  = (0.25 + 0.50 n/N) Ra                    by hours of sunshine           (eq. 35)
//!   Rs  = k √(Tmax − Tmin) Ra, at most Rso        by the day's warming           (eq. 50)
//!   Rso = (0.75 + 2·10⁻⁵ z) Ra                    under a clear sky              (eq. 37)
//!   Rns = (1 − 0.23) Rs                           what grass keeps               (eq. 38)
//!   Rnl = σ (TmaxK⁴ + TminK⁴)/2 (0.34 − 0.14 √ea)(1.35 Rs/Rso − 0.35)            (eq. 39)
//!
//! Source: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, ch. 3. Rs/Rso counts as 1 at
//! most. Leaves out: slopes and their aspect, smoke, snow.

/// Share of the radiation above the air that arrives under an overcast sky (eq. 35, not calibrated).
const OVERCAST_FRAC: f64 = 0.25;
/// Share that sunshine adds (eq. 35, not calibrated).
const SUNSHINE_FRAC: f64 = 0.50;
/// Share that green grass throws back (FAO-56, definition of the reference surface).
const ALBEDO_FRAC: f64 = 0.23;
/// Stefan and Boltzmann's constant through a day, MJ/(m² K⁴) (eq. 39).
const STEFAN_BOLTZMANN_MJ_M2_K4: f64 = 4.903e-9;
/// From °C to kelvin as eq. 39 has it.
const KELVIN: f64 = 273.16;

/// Millimetres of water that a megajoule on a square metre evaporates: one over the 2.45 MJ/kg of eq. 20.
pub const MM_OF_MJ_M2: f64 = 0.408;

/// Whether a place lies near a large water, which evens the day's temperatures out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Setting {
    /// Land rules the air.
    #[default]
    Inland,
    /// On or near a coast whose water rules the air.
    Coast,
}

impl Setting {
    /// kRs of eq. 50, for each square root of a degree: 0.16 inland, 0.19 at a coast.
    fn warming_factor(self) -> f64 {
        match self {
            Setting::Inland => 0.16,
            Setting::Coast => 0.19,
        }
    }
}

/// Radiation under a clear sky (eq. 37).
pub fn clear_sky_mj_m2(elevation_m: f64, above_air_mj_m2: f64) -> f64 {
    (0.75 + 2e-5 * elevation_m) * above_air_mj_m2
}

/// Radiation by hours of sunshine, of the hours there could be (eq. 35). No daylight gives none.
pub fn by_sunshine_mj_m2(sunshine_h: f64, daylight_h: f64, above_air_mj_m2: f64) -> f64 {
    if daylight_h <= 0.0 {
        return 0.0;
    }
    (OVERCAST_FRAC + SUNSHINE_FRAC * sunshine_h / daylight_h) * above_air_mj_m2
}

/// Radiation by how much the day warmed: a clear day is warm and its night is cold (eq. 50). Not for islands. May
/// come out above [`clear_sky_mj_m2`], to which the caller keeps it.
pub fn by_warming_mj_m2(setting: Setting, tmin_c: f64, tmax_c: f64, above_air_mj_m2: f64) -> f64 {
    debug_assert!(tmin_c <= tmax_c, "tmin_c = {tmin_c}, tmax_c = {tmax_c}");
    setting.warming_factor() * (tmax_c - tmin_c).sqrt() * above_air_mj_m2
}

/// What grass keeps of the sun (eq. 38).
pub fn kept_mj_m2(solar_mj_m2: f64) -> f64 {
    (1.0 - ALBEDO_FRAC) * solar_mj_m2
}

/// What a black body of this temperature shines away in a day: σT⁴.
fn black_body_mj_m2(t_c: f64) -> f64 {
    let kelvin = t_c + KELVIN;
    let square = kelvin * kelvin;
    STEFAN_BOLTZMANN_MJ_M2_K4 * square * square
}

/// Part of the shining away that moist air lets through (eq. 39).
fn through_vapour(vapour_kpa: f64) -> f64 {
    0.34 - 0.14 * vapour_kpa.sqrt()
}

/// Part that clouds let through, by the share of a clear day's sun (eq. 39).
fn through_cloud(clear_frac: f64) -> f64 {
    1.35 * clear_frac.min(1.0) - 0.35
}

/// What the ground shines away (eq. 39), by the sun's share of a clear day.
pub fn shone_away_mj_m2(tmin_c: f64, tmax_c: f64, vapour_kpa: f64, clear_frac: f64) -> f64 {
    let black_body = (black_body_mj_m2(tmax_c) + black_body_mj_m2(tmin_c)) / 2.0;
    black_body * through_vapour(vapour_kpa) * through_cloud(clear_frac)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::{all_near, near};
    use crate::sun;
    use quantity::convert::deg_to_rad;

    /// FAO-56 annex 2, table 2.8.
    #[test]
    fn published_black_body() {
        #[rustfmt::skip]
        all_near(black_body_mj_m2, 0.005, &[
            (1.0, 27.70), (10.0, 31.52), (20.0, 36.21), (25.0, 38.75), (30.0, 41.41), (40.0, 47.15), (48.5, 52.49),
        ]);
    }

    /// FAO-56 examples 10, 11 and 12: 22°54' S in May, 220 h of sun in 31 days, 19.1 to 25.1 °C, 2.1 kPa. The text of
    /// example 11 prints its latitude once as 22.70° and its σT⁴ once as 38.7 and 35.7; example 12 once multiplies 7.7
    /// for 7.6. Asserted is what its other lines say.
    #[test]
    fn published_examples_10_to_12() {
        let latitude_rad = deg_to_rad(-(22.0 + 54.0 / 60.0));
        let above_mj_m2 = sun::above_air_mj_m2(latitude_rad, 135);
        let sunshine_h = 220.0 / 31.0;
        near(sunshine_h, 7.1, 0.05);
        let solar_mj_m2 = by_sunshine_mj_m2(sunshine_h, sun::daylight_h(latitude_rad, 135), above_mj_m2);
        near(solar_mj_m2, 14.5, 0.05);
        near(MM_OF_MJ_M2 * solar_mj_m2, 5.9, 0.05);
        let clear_mj_m2 = clear_sky_mj_m2(0.0, above_mj_m2);
        near(clear_mj_m2, 18.8, 0.05);
        near(black_body_mj_m2(25.1), 38.8, 0.05);
        near(black_body_mj_m2(19.1), 35.8, 0.05);
        near(through_vapour(2.1), 0.14, 0.005);
        let clear_frac = solar_mj_m2 / clear_mj_m2;
        near(clear_frac, 0.77, 0.005);
        near(through_cloud(clear_frac), 0.69, 0.005);
        let away_mj_m2 = shone_away_mj_m2(19.1, 25.1, 2.1, clear_frac);
        near(away_mj_m2, 3.5, 0.05);
        near(kept_mj_m2(solar_mj_m2), 11.1, 0.05);
        let net_mj_m2 = kept_mj_m2(solar_mj_m2) - away_mj_m2;
        near(net_mj_m2, 7.6, 0.05);
        near(MM_OF_MJ_M2 * net_mj_m2, 3.1, 0.05);
    }

    /// FAO-56 example 15: 45°43' N on 15 July, 14.8 to 26.6 °C, inland.
    #[test]
    fn published_example_15() {
        let above_mj_m2 = sun::above_air_mj_m2(deg_to_rad(45.0 + 43.0 / 60.0), 196);
        let solar_mj_m2 = by_warming_mj_m2(Setting::Inland, 14.8, 26.6, above_mj_m2);
        near(solar_mj_m2 / above_mj_m2, 0.55, 0.005);
        near(solar_mj_m2, 22.3, 0.05);
        near(MM_OF_MJ_M2 * solar_mj_m2, 9.1, 0.05);
    }

    /// FAO-56 example 16: 13°44' N on 15 April at the sea, 25.6 to 34.8 °C, 2.85 kPa. The text once prints −0.24 rad
    /// for this northern latitude.
    #[test]
    fn published_example_16() {
        let above_mj_m2 = sun::above_air_mj_m2(deg_to_rad(13.0 + 44.0 / 60.0), 105);
        let solar_mj_m2 = by_warming_mj_m2(Setting::Coast, 25.6, 34.8, above_mj_m2);
        let clear_mj_m2 = clear_sky_mj_m2(0.0, above_mj_m2);
        near(solar_mj_m2, 21.9, 0.05);
        near(clear_mj_m2, 28.5, 0.05);
        near(kept_mj_m2(solar_mj_m2), 16.9, 0.05);
        let away_mj_m2 = shone_away_mj_m2(25.6, 34.8, 2.85, solar_mj_m2 / clear_mj_m2);
        near(away_mj_m2, 3.0, 0.05);
        near(kept_mj_m2(solar_mj_m2) - away_mj_m2, 13.9, 0.05);
    }

    /// More sun than a clear sky gives, as a dusty sensor's calibration may say, shines away as a clear day does.
    #[test]
    fn no_day_is_clearer_than_clear() {
        assert_eq!(shone_away_mj_m2(10.0, 20.0, 1.0, 1.3), shone_away_mj_m2(10.0, 20.0, 1.0, 1.0));
        assert_eq!(by_sunshine_mj_m2(0.0, 0.0, 0.0), 0.0);
    }
}
