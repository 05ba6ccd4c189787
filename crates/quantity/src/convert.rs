//! Conversions between the units people write and the units the core computes in.
//!
//! Each is one function, written once. Feet are the international foot, 0.3048 m exactly, unless the
//! name says otherwise (US survey foot, 1200/3937 m: differs by 2 parts in a million).

/// Metres in an international foot, exact by definition (1959 agreement).
const METRES_IN_FOOT: f64 = 0.3048;
/// Metres in a US survey foot, exact by definition (Mendenhall order, 1893).
const METRES_IN_US_SURVEY_FOOT: f64 = 1200.0 / 3937.0;
/// Seconds in an hour.
const SECONDS_IN_HOUR: f64 = 3600.0;

/// Millimetres to metres.
pub fn mm_to_m(mm: f64) -> f64 {
    mm / 1000.0
}

/// Metres to millimetres.
pub fn m_to_mm(m: f64) -> f64 {
    m * 1000.0
}

/// Centimetres to metres.
pub fn cm_to_m(cm: f64) -> f64 {
    cm / 100.0
}

/// Metres to centimetres.
pub fn m_to_cm(m: f64) -> f64 {
    m * 100.0
}

/// Millimetres an hour to metres a second: rain and soak rates.
pub fn mm_h_to_m_s(mm_h: f64) -> f64 {
    mm_h / (1000.0 * SECONDS_IN_HOUR)
}

/// Metres a second to millimetres an hour.
pub fn m_s_to_mm_h(m_s: f64) -> f64 {
    m_s * 1000.0 * SECONDS_IN_HOUR
}

/// Litres to cubic metres.
pub fn l_to_m3(l: f64) -> f64 {
    l / 1000.0
}

/// Cubic metres to litres.
pub fn m3_to_l(m3: f64) -> f64 {
    m3 * 1000.0
}

/// Hours to seconds.
pub fn h_to_s(h: f64) -> f64 {
    h * SECONDS_IN_HOUR
}

/// Seconds to hours.
pub fn s_to_h(s: f64) -> f64 {
    s / SECONDS_IN_HOUR
}

/// International feet to metres.
pub fn ft_to_m(ft: f64) -> f64 {
    ft * METRES_IN_FOOT
}

/// US survey feet to metres.
pub fn us_survey_ft_to_m(ft: f64) -> f64 {
    ft * METRES_IN_US_SURVEY_FOOT
}

/// Inches to millimetres.
pub fn inch_to_mm(inch: f64) -> f64 {
    inch * 25.4
}

/// Degrees to radians.
pub fn deg_to_rad(deg: f64) -> f64 {
    deg * std::f64::consts::PI / 180.0
}

/// Radians to degrees.
pub fn rad_to_deg(rad: f64) -> f64 {
    rad * 180.0 / std::f64::consts::PI
}

/// Degrees Fahrenheit to degrees Celsius: 32 °F is 0 °C and a degree is five ninths, by definition.
pub fn fahrenheit_to_c(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) * 5.0 / 9.0
}

/// Kilometres an hour to metres a second.
pub fn km_h_to_m_s(km_h: f64) -> f64 {
    km_h * 1000.0 / SECONDS_IN_HOUR
}

/// Miles an hour to metres a second: a mile is 5280 international feet.
pub fn mph_to_m_s(mph: f64) -> f64 {
    ft_to_m(5280.0 * mph) / SECONDS_IN_HOUR
}

/// Knots to metres a second: a nautical mile is 1852 m by definition (1929 conference).
pub fn knots_to_m_s(knots: f64) -> f64 {
    knots * 1852.0 / SECONDS_IN_HOUR
}

/// Watts a square metre, on average through a day, to megajoules a square metre in that day.
pub fn w_m2_to_mj_m2(w_m2: f64) -> f64 {
    w_m2 * 24.0 * SECONDS_IN_HOUR / 1e6
}

/// Hectopascals (millibars) to kilopascals.
pub fn hpa_to_kpa(hpa: f64) -> f64 {
    hpa / 10.0
}

/// Percent to a share of one.
pub fn percent_to_frac(percent: f64) -> f64 {
    percent / 100.0
}

/// Square metres to hectares.
pub fn m2_to_ha(m2: f64) -> f64 {
    m2 / 10_000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each pair undoes itself; 1e-12 relative is a few roundings of a double.
    #[test]
    fn pairs_undo_each_other() {
        type Pair = (fn(f64) -> f64, fn(f64) -> f64);
        let pairs: [Pair; 6] = [
            (mm_to_m, m_to_mm),
            (cm_to_m, m_to_cm),
            (mm_h_to_m_s, m_s_to_mm_h),
            (l_to_m3, m3_to_l),
            (h_to_s, s_to_h),
            (deg_to_rad, rad_to_deg),
        ];
        for (there, back) in pairs {
            assert!((back(there(12.75)) - 12.75).abs() < 12.75e-12);
        }
    }

    /// Definitions: 1 ft = 0.3048 m; 1 US survey ft = 0.304800609601… m; 1 inch = 25.4 mm.
    #[test]
    fn feet_and_inches_by_definition() {
        assert_eq!(ft_to_m(10.0), 3.048);
        assert!((us_survey_ft_to_m(1.0) - 0.304_800_609_601).abs() < 5e-13);
        assert_eq!(inch_to_mm(2.0), 50.8);
    }

    /// Melting ice and boiling water; 36 km/h = 10 m/s; a mile is 1609.344 m; a watt a day is 0.0864 MJ.
    #[test]
    fn weather_units_by_definition() {
        assert_eq!((fahrenheit_to_c(32.0), fahrenheit_to_c(212.0)), (0.0, 100.0));
        assert_eq!(km_h_to_m_s(36.0), 10.0);
        assert!((mph_to_m_s(3600.0) - 1609.344).abs() < 1e-9);
        assert!((knots_to_m_s(3600.0) - 1852.0).abs() < 1e-9);
        assert!((w_m2_to_mj_m2(1.0) - 0.0864).abs() < 1e-15);
        assert_eq!((hpa_to_kpa(1013.0), percent_to_frac(84.0)), (101.3, 0.84));
    }

    /// 36 mm/h is a hundredth of a millimetre a second.
    #[test]
    fn rain_rate_by_hand() {
        assert!((mm_h_to_m_s(36.0) - 1e-5).abs() < 1e-20);
    }
}
