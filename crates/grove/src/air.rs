//! The air: its weight, the water it holds and could hold, its wind.
//!
//! Dry, windy, thin air draws more water. What it could still take up is the gap between saturation and what it
//! holds:
//!   P  = 101.3 ((293 − 0.0065 z)/293)^5.26      pressure                      (eq. 7)
//!   γ  = 0.000665 P                             psychrometric constant        (eq. 8)
//!   e° = 0.6108 exp(17.27 T/(T + 237.3))        saturation vapour pressure    (eq. 11)
//!   Δ  = 4098 e°/(T + 237.3)²                   its slope                     (eq. 13)
//!   u2 = uz 4.87/ln(67.8 z − 5.42)              wind at two metres            (eq. 47)
//! Saturation of a day is the mean of that at its least and its greatest temperature (eq. 12): the curve bends,
//! so the saturation at the mean temperature would be too small.
//!
//! Source: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, ch. 3.
//! Leaves out: ice, weather's own changes of pressure, wind over anything but short grass.

/// Vapour pressure of a day's air from readings of humidity, by what was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Humidity {
    /// Vapour pressure itself, kPa.
    VapourKpa(f64),
    /// Temperature at which dew forms, °C.
    DewPointC(f64),
    /// Least and greatest relative humidity.
    Extremes {
        /// Least, a share of one.
        least_frac: f64,
        /// Greatest, a share of one.
        greatest_frac: f64,
    },
    /// Greatest relative humidity, a share of one: where the least is in doubt.
    GreatestFrac(f64),
    /// Mean relative humidity, a share of one.
    MeanFrac(f64),
}

/// Pressure at a height above the sea, in still weather (eq. 7).
pub fn pressure_kpa(elevation_m: f64) -> f64 {
    101.3 * libm::pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26)
}

/// How much a wet thermometer's fall says of the vapour, kPa for each °C (eq. 8).
pub fn psychrometric_kpa_c(pressure_kpa: f64) -> f64 {
    0.000_665 * pressure_kpa
}

/// Vapour pressure of air that holds all it can (eq. 11).
pub fn saturation_kpa(t_c: f64) -> f64 {
    0.6108 * libm::exp(17.27 * t_c / (t_c + 237.3))
}

/// Saturation vapour pressure through a day (eq. 12).
pub fn day_saturation_kpa(tmin_c: f64, tmax_c: f64) -> f64 {
    (saturation_kpa(tmin_c) + saturation_kpa(tmax_c)) / 2.0
}

/// How fast saturation rises with temperature, kPa for each °C (eq. 13).
pub fn saturation_slope_kpa_c(t_c: f64) -> f64 {
    let from_pole_c = t_c + 237.3;
    4098.0 * saturation_kpa(t_c) / (from_pole_c * from_pole_c)
}

/// Vapour pressure of a day's air (eq. 14, 17, 18, 19).
pub fn vapour_kpa(humidity: Humidity, tmin_c: f64, tmax_c: f64) -> f64 {
    match humidity {
        Humidity::VapourKpa(kpa) => kpa,
        Humidity::DewPointC(dew_c) => saturation_kpa(dew_c),
        Humidity::Extremes { least_frac, greatest_frac } => {
            (saturation_kpa(tmin_c) * greatest_frac + saturation_kpa(tmax_c) * least_frac) / 2.0
        }
        Humidity::GreatestFrac(greatest_frac) => saturation_kpa(tmin_c) * greatest_frac,
        Humidity::MeanFrac(mean_frac) => mean_frac * day_saturation_kpa(tmin_c, tmax_c),
    }
}

/// Vapour pressure by a dry and a wet thermometer in a draught (eq. 15, 16).
pub fn vapour_by_wet_bulb_kpa(dry_c: f64, wet_c: f64, pressure_kpa: f64) -> f64 {
    /// For a ventilated pair with air at about 5 m/s, for each °C (FAO-56 eq. 16).
    const VENTILATED_C: f64 = 0.000_662;
    saturation_kpa(wet_c) - VENTILATED_C * pressure_kpa * (dry_c - wet_c)
}

/// Wind at two metres over short grass, from wind read at another height (eq. 47). Below 0.1 m the logarithm means
/// nothing.
pub fn wind_at_2_m_m_s(wind_m_s: f64, read_at_m: f64) -> f64 {
    debug_assert!(0.1 < read_at_m, "read_at_m = {read_at_m}");
    wind_m_s * 4.87 / libm::log(67.8 * read_at_m - 5.42)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::{all_near, near};

    /// FAO-56 annex 2, tables 2.1 and 2.2, and example 2: height above the sea, pressure, γ.
    #[test]
    fn published_pressure_and_psychrometric_constant() {
        #[rustfmt::skip]
        all_near(pressure_kpa, 0.05, &[
            (0.0, 101.3), (100.0, 100.1), (200.0, 99.0), (500.0, 95.5), (1000.0, 90.0), (1500.0, 84.8),
            (2000.0, 79.8), (2500.0, 75.0), (3000.0, 70.5), (4000.0, 62.1), (1800.0, 81.8), (1200.0, 87.9),
        ]);
        #[rustfmt::skip]
        all_near(|z_m| psychrometric_kpa_c(pressure_kpa(z_m)), 0.0005, &[
            (0.0, 0.067), (500.0, 0.064), (1000.0, 0.060), (1500.0, 0.056), (2000.0, 0.053), (3000.0, 0.047),
            (4000.0, 0.041), (1800.0, 0.054),
        ]);
    }

    /// FAO-56 annex 2, tables 2.3 and 2.4, and example 3.
    #[test]
    fn published_saturation_and_its_slope() {
        #[rustfmt::skip]
        all_near(saturation_kpa, 0.0005, &[
            (1.0, 0.657), (5.0, 0.872), (10.0, 1.228), (15.0, 1.705), (20.0, 2.338), (25.0, 3.168), (30.0, 4.243),
            (35.0, 5.623), (40.0, 7.376), (45.0, 9.582), (48.5, 11.447), (24.5, 3.075), (19.5, 2.267),
        ]);
        #[rustfmt::skip]
        all_near(saturation_slope_kpa_c, 0.0005, &[
            (1.0, 0.047), (10.0, 0.082), (20.0, 0.145), (25.0, 0.189), (30.0, 0.243), (35.0, 0.311), (40.0, 0.393),
            (48.5, 0.574),
        ]);
        near(day_saturation_kpa(15.0, 24.5), 2.39, 0.005);
        near(saturation_kpa(19.75), 2.30, 0.005);
    }

    /// FAO-56 examples 4, 5 and 6.
    #[test]
    fn published_vapour_pressure() {
        near(vapour_by_wet_bulb_kpa(25.6, 19.5, pressure_kpa(1200.0)), 1.91, 0.005);
        let both = Humidity::Extremes { least_frac: 0.54, greatest_frac: 0.82 };
        near(vapour_kpa(both, 18.0, 25.0), 1.70, 0.005);
        near(vapour_kpa(Humidity::MeanFrac(0.68), 18.0, 25.0), 1.78, 0.005);
        near(day_saturation_kpa(18.0, 25.0) - vapour_kpa(both, 18.0, 25.0), 0.91, 0.005);
    }

    /// FAO-56 annex 2, table 2.9, and example 14: height of the reading, factor to two metres.
    #[test]
    fn published_wind_factor() {
        #[rustfmt::skip]
        all_near(|height_m| wind_at_2_m_m_s(1.0, height_m), 0.0005, &[
            (1.0, 1.178), (1.4, 1.084), (2.0, 1.000), (3.0, 0.921), (5.0, 0.838), (7.5, 0.783), (10.0, 0.748),
            (10.5, 0.742),
        ]);
        near(wind_at_2_m_m_s(3.2, 10.0), 2.4, 0.05);
    }

    /// The slope is the derivative: against differences over ±0.001 °C, whose own error is some 1e-9 kPa/°C. The
    /// printed 4098 stands for 17.27·237.3 = 4098.17, a share of 4.2e-5.
    #[test]
    fn slope_is_the_derivative() {
        for t_c in [-10.0, 0.0, 15.0, 40.0] {
            let step_c = 0.001;
            let difference = (saturation_kpa(t_c + step_c) - saturation_kpa(t_c - step_c)) / (2.0 * step_c);
            assert!((saturation_slope_kpa_c(t_c) / difference - 1.0).abs() < 5e-5);
        }
    }

    /// Dew at the least temperature is air full at dawn: eq. 14 and eq. 18 agree.
    #[test]
    fn dew_point_and_full_air_agree() {
        let dew = vapour_kpa(Humidity::DewPointC(14.8), 14.8, 26.6);
        assert_eq!(dew, vapour_kpa(Humidity::GreatestFrac(1.0), 14.8, 26.6));
    }
}
