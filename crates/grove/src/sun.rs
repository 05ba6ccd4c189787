//! The sun's course over a day, and the radiation that arrives above the air.
//!
//! How high the sun stands and how long it shines follow from the latitude and the day of the year alone:
//!   dr = 1 + 0.033 cos(2πJ/365)                     nearness of the sun               (eq. 23)
//!   δ  = 0.409 sin(2πJ/365 − 1.39)                  its declination                   (eq. 24)
//!   ωs = arccos(−tan φ tan δ)                       hour angle of sunset              (eq. 25)
//!   Ra = 24·60/π Gsc dr (ωs sin φ sin δ + cos φ cos δ sin ωs)                          (eq. 21)
//!   N  = 24 ωs/π                                    hours from sunrise to sunset      (eq. 34)
//! South of the equator φ is negative. The south is no mirror of the north half a year later: the sun is nearest
//! in January. Where the sun does not set ωs is π, where it does not rise 0.
//!
//! Source: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, ch. 3. The year stays 365
//! days long in leap years too. The paper itself limits its winter radiation to within 55° of latitude.
//! Leaves out: bending of light by the air and the width of the sun's disc (an almanac's day is a quarter of an
//! hour longer), hills round the horizon. The declination is up to 0.024 rad off near the autumn equinox.

use std::f64::consts::PI;

/// Radiation that meets a plane square to it above the air, MJ/m² a minute (FAO-56 eq. 21).
const SOLAR_CONSTANT_MJ_M2_MIN: f64 = 0.0820;
/// Days in the year of the sun formulas (FAO-56 eq. 23, 24).
const YEAR_DAYS: f64 = 365.0;

/// Angle that the earth has gone round since the year's start.
fn round_of_year_rad(day_of_year: u32) -> f64 {
    2.0 * PI * f64::from(day_of_year) / YEAR_DAYS
}

/// How much stronger the sun is than on average, because the earth is nearer: dr (eq. 23).
pub fn nearness(day_of_year: u32) -> f64 {
    1.0 + 0.033 * libm::cos(round_of_year_rad(day_of_year))
}

/// The sun's height over the equator at noon, positive in the northern summer (eq. 24).
pub fn declination_rad(day_of_year: u32) -> f64 {
    0.409 * libm::sin(round_of_year_rad(day_of_year) - 1.39)
}

/// Half the angle that the earth turns from sunrise to sunset (eq. 25): 0 where the sun stays down, π where it
/// stays up. At a pole the tangent is a huge number, not an infinite one, so this holds there too.
pub fn sunset_rad(latitude_rad: f64, day_of_year: u32) -> f64 {
    debug_assert!(latitude_rad.abs() <= PI / 2.0, "latitude_rad = {latitude_rad}");
    let cosine = -libm::tan(latitude_rad) * libm::tan(declination_rad(day_of_year));
    libm::acos(cosine.clamp(-1.0, 1.0))
}

/// Hours from sunrise to sunset (eq. 34).
pub fn daylight_h(latitude_rad: f64, day_of_year: u32) -> f64 {
    24.0 * sunset_rad(latitude_rad, day_of_year) / PI
}

/// Radiation of a day on level ground if there were no air, MJ/m² (eq. 21).
pub fn above_air_mj_m2(latitude_rad: f64, day_of_year: u32) -> f64 {
    let declination_rad = declination_rad(day_of_year);
    let sunset_rad = sunset_rad(latitude_rad, day_of_year);
    let turned = sunset_rad * libm::sin(latitude_rad) * libm::sin(declination_rad)
        + libm::cos(latitude_rad) * libm::cos(declination_rad) * libm::sin(sunset_rad);
    24.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN * nearness(day_of_year) * turned
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;
    use quantity::convert::deg_to_rad;

    /// FAO-56 examples 7, 8 and 9: 20° S on 3 September, day 246.
    #[test]
    fn published_example_8() {
        let latitude_rad = deg_to_rad(-20.0);
        near(deg_to_rad(13.0 + 44.0 / 60.0), 0.240, 0.0005);
        near(deg_to_rad(-(22.0 + 54.0 / 60.0)), -0.400, 0.0005);
        near(nearness(246), 0.985, 0.0005);
        near(declination_rad(246), 0.120, 0.0005);
        near(sunset_rad(latitude_rad, 246), 1.527, 0.0005);
        let declination_rad = declination_rad(246);
        near(libm::sin(latitude_rad) * libm::sin(declination_rad), -0.041, 0.0005);
        near(libm::cos(latitude_rad) * libm::cos(declination_rad), 0.933, 0.0005);
        near(above_air_mj_m2(latitude_rad, 246), 32.2, 0.05);
        near(daylight_h(latitude_rad, 246), 11.7, 0.05);
    }

    /// FAO-56 examples 10, 15, 16, 17, 18, 20, 41 and 42: latitude in degrees and minutes, day, Ra, N.
    #[test]
    fn published_radiation_and_daylight_of_other_examples() {
        let at = |degrees: f64, minutes: f64| deg_to_rad(degrees + minutes / 60.0);
        near(above_air_mj_m2(-at(22.0, 54.0), 135), 25.1, 0.05);
        near(daylight_h(-at(22.0, 54.0), 135), 10.9, 0.05);
        near(above_air_mj_m2(at(45.0, 43.0), 196), 40.6, 0.05);
        near(above_air_mj_m2(at(45.0, 43.0), 196), 40.55, 0.0051);
        near(above_air_mj_m2(at(13.0, 44.0), 105), 38.1, 0.05);
        near(above_air_mj_m2(at(13.0, 44.0), 105), 38.06, 0.005);
        near(daylight_h(at(13.0, 44.0), 105), 12.31, 0.005);
        near(above_air_mj_m2(at(50.0, 48.0), 187), 41.09, 0.005);
        near(daylight_h(at(50.0, 48.0), 187), 16.1, 0.05);
        near(declination_rad(200), 0.36, 0.005);
    }

    /// Worked out apart from this code from eq. 21 to 34, to two places: latitude, then Ra and N on days 15, 79, 172,
    /// 266 and 355.
    #[test]
    fn year_round_by_the_equations() {
        type Row = (f64, [(f64, f64); 5]);
        const ROWS: [Row; 8] = [
            (0.0, [(36.16, 12.00), (37.84, 12.00), (33.37, 12.00), (37.41, 12.00), (35.61, 12.00)]),
            (20.0, [(26.78, 10.92), (35.31, 11.97), (39.52, 13.21), (34.77, 11.95), (25.59, 10.79)]),
            (40.0, [(15.01, 9.47), (28.52, 11.92), (41.87, 14.84), (27.93, 11.88), (13.52, 9.16)]),
            (50.8, [(8.41, 8.21), (23.35, 11.88), (41.75, 16.28), (22.77, 11.82), (6.98, 7.72)]),
            (60.0, [(3.25, 6.37), (18.29, 11.84), (41.33, 18.49), (17.73, 11.74), (2.12, 5.51)]),
            (-20.0, [(41.86, 13.08), (35.81, 12.03), (23.98, 10.79), (35.55, 12.05), (42.17, 13.21)]),
            (-35.0, [(43.36, 14.10), (31.42, 12.07), (15.57, 9.64), (31.30, 12.10), (44.43, 14.36)]),
            (-43.6, [(43.20, 14.89), (27.91, 12.09), (10.59, 8.75), (27.88, 12.14), (44.73, 15.25)]),
        ];
        for (latitude_deg, days) in ROWS {
            for (day, (ra_mj_m2, daylight)) in [15, 79, 172, 266, 355].into_iter().zip(days) {
                let latitude_rad = deg_to_rad(latitude_deg);
                near(above_air_mj_m2(latitude_rad, day), ra_mj_m2, 0.0051);
                near(daylight_h(latitude_rad, day), daylight, 0.0051);
            }
        }
    }

    /// Beyond the polar circles: all day in summer, none in winter, and a number at the pole itself.
    #[test]
    fn polar_summer_and_winter() {
        let (north, south, pole) = (deg_to_rad(70.0), deg_to_rad(-70.0), deg_to_rad(90.0));
        near(above_air_mj_m2(north, 172), 42.695, 0.0005);
        near(above_air_mj_m2(pole, 172), 45.435, 0.0005);
        assert_eq!((daylight_h(north, 172), daylight_h(pole, 172)), (24.0, 24.0));
        for (latitude_rad, day) in [(north, 355), (south, 172)] {
            assert_eq!(daylight_h(latitude_rad, day), 0.0);
            assert_eq!(above_air_mj_m2(latitude_rad, day), 0.0);
        }
    }

    /// Daylight in the south is what is left of the day in the north, exactly but for rounding: ωs(−φ) = π − ωs(φ).
    /// Radiation is no such mirror: at 35° the southern midsummer outdoes the northern by the sun's nearness.
    #[test]
    fn hemispheres_mirror_in_daylight_and_not_in_radiation() {
        for day in 1..=366 {
            for degrees in [0.0, 12.0, 38.7, 55.0] {
                let latitude_rad = deg_to_rad(degrees);
                near(daylight_h(latitude_rad, day) + daylight_h(-latitude_rad, day), 24.0, 1e-12);
            }
        }
        near(above_air_mj_m2(deg_to_rad(-35.0), 355), 44.43, 0.005);
        near(above_air_mj_m2(deg_to_rad(35.0), 172), 41.63, 0.005);
    }
}
