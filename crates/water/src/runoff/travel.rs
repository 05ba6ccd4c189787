//! How long water takes from the farthest corner: the time of concentration.
//!
//! Water starts as a sheet, gathers into rills and ends in channels, each faster than the last; the times add up.
//! Sources: TR-55 ch. 3; NEH 630 ch. 15; FHWA HDS-2 ch. 2. The sheet holds for at most 100 ft (30 m), mostly much
//! less. In channels use Manning's speed.

use quantity::convert::{ft_to_m, h_to_s, m_s_to_mm_h, m_to_mm};

use super::CurveNumber;

/// Metres to feet.
fn feet(m: f64) -> f64 {
    m / ft_to_m(1.0)
}

/// Metres to inches.
fn inches(m: f64) -> f64 {
    m_to_mm(m) / quantity::convert::inch_to_mm(1.0)
}

/// Minutes to seconds.
fn minutes_to_s(min: f64) -> f64 {
    h_to_s(min / 60.0)
}

/// Travel time of a sheet: 0.007·(n·L)^0.8/(P₂^0.5·s^0.4) hours, feet and inches, with P₂ the 2-year 24-hour rain.
/// TR-55 eq. 3-3.
pub fn sheet_s(manning_n: f64, length_m: f64, slope: f64, two_year_day_rain_m: f64) -> f64 {
    let hours = 0.007 * libm::pow(manning_n * feet(length_m), 0.8)
        / (inches(two_year_day_rain_m).sqrt() * libm::pow(slope, 0.4));
    h_to_s(hours)
}

/// Longest sheet before it gathers: 100·√S/n feet, at most 100 ft. NEH 630 ch. 15, eq. 15-9 and table 15-2.
pub fn longest_sheet_m(manning_n: f64, slope: f64) -> f64 {
    let limit_ft = 100.0 * slope.sqrt() / manning_n;
    ft_to_m(if limit_ft > 100.0 { 100.0 } else { limit_ft })
}

/// Travel time of a sheet under steady rain by the kinematic wave: 6.9·(n·L/√S)^0.6/i^0.4 minutes, L in m, i in
/// mm/h. HDS-2, equation number from memory, unverified.
pub fn kinematic_sheet_s(manning_n: f64, length_m: f64, slope: f64, intensity_m_s: f64) -> f64 {
    let over_rain = libm::pow(m_s_to_mm_h(intensity_m_s), 0.4);
    minutes_to_s(6.9 * libm::pow(manning_n * length_m / slope.sqrt(), 0.6) / over_rain)
}

/// Ground over which water has gathered but has no channel yet: NEH 630 ch. 15, table 15-3.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShallowCover {
    /// Pavement and small upland gullies.
    Pavement,
    /// Grassed waterway.
    GrassedWaterway,
    /// Nearly bare, untilled.
    NearlyBare,
    /// Cultivated in straight rows.
    StraightRows,
    /// Short-grass pasture.
    ShortGrass,
    /// Minimum tillage, contour strips, woodland.
    Woodland,
    /// Forest with heavy litter, hay meadow.
    HayMeadow,
}

/// Speed over that ground: k·√s feet a second.
pub fn shallow_speed_m_s(cover: ShallowCover, slope: f64) -> f64 {
    let k_ft_s = match cover {
        ShallowCover::Pavement => 20.328,
        ShallowCover::GrassedWaterway => 16.135,
        ShallowCover::NearlyBare => 9.965,
        ShallowCover::StraightRows => 8.762,
        ShallowCover::ShortGrass => 6.962,
        ShallowCover::Woodland => 5.032,
        ShallowCover::HayMeadow => 2.516,
    };
    ft_to_m(k_ft_s * slope.sqrt())
}

/// Time of concentration by lag: l^0.8·(S + 1)^0.7/(1140·Y^0.5) hours, l the flow length in feet, S in inches, Y the
/// mean slope of the land in percent. NEH 630 ch. 15, eq. 15-4b.
pub fn lag_concentration_s(length_m: f64, land_slope: f64, number: CurveNumber) -> f64 {
    let hours = libm::pow(feet(length_m), 0.8) * libm::pow(inches(number.storage_m()) + 1.0, 0.7)
        / (1140.0 * (100.0 * land_slope).sqrt());
    h_to_s(hours)
}

/// Time of concentration by Kirpich 1940: 0.0078·L^0.77·S^−0.385 minutes, L in feet along the channel.
pub fn kirpich_s(length_m: f64, slope: f64) -> f64 {
    minutes_to_s(0.0078 * libm::pow(feet(length_m), 0.77) * libm::pow(slope, -0.385))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::convert::{inch_to_mm, mm_h_to_m_s, mm_to_m, s_to_h};

    fn in_to_m(inch: f64) -> f64 {
        mm_to_m(inch_to_mm(inch))
    }

    /// TR-55 example 3-1: sheet 0.30 h (0.2959), shallow 1400 ft at 1.6 ft/s 0.24 h, channel 7300 ft 0.99 h, in all
    /// 1.53 h. The channel's 1.49 for 1.486 and its rounded speed leave 0.01 h.
    #[test]
    fn published_time_of_concentration() {
        let sheet_h = s_to_h(sheet_s(0.24, ft_to_m(100.0), 0.01, in_to_m(3.6)));
        assert!((sheet_h - 0.2959).abs() <= 5e-5 && (sheet_h - 0.30).abs() <= 0.005, "{sheet_h}");
        let shallow_m_s = shallow_speed_m_s(ShallowCover::GrassedWaterway, 0.01);
        assert!((feet(shallow_m_s) - 1.6).abs() <= 0.05);
        let shallow_h = s_to_h(ft_to_m(1400.0) / shallow_m_s);
        assert!((shallow_h - 0.24).abs() <= 0.005);
        let channel_m_s = crate::manning::speed_m_s(ft_to_m(27.0 / 28.2), 0.005, 0.05);
        let channel_h = s_to_h(ft_to_m(7300.0) / channel_m_s);
        assert!((channel_h - 0.99).abs() <= 0.01);
        assert!((sheet_h + shallow_h + channel_h - 1.53).abs() <= 0.01);
    }

    /// NEH 630 ch. 15: sheet n 0.15, 100 ft, 3.6 in, s 0.08 gives 0.09 h (0.0884); lag of 3865 ft, 4.79 %, CN 63
    /// gives S 5.87 in and 1.14 h. McCuen, example 9-23: 6500 ft, 1.3 %, CN 92 gives 1.34 h.
    #[test]
    fn published_sheet_and_lag() {
        let sheet_h = s_to_h(sheet_s(0.15, ft_to_m(100.0), 0.08, in_to_m(3.6)));
        assert!((sheet_h - 0.0884).abs() <= 5e-5, "{sheet_h}");
        let orchard = CurveNumber::new(63.0).unwrap();
        assert!((inches(orchard.storage_m()) - 5.87).abs() <= 0.005);
        for (feet_long, slope, number, hours) in [(3865.0, 0.0479, 63.0, 1.14), (6500.0, 0.013, 92.0, 1.34)] {
            let number = CurveNumber::new(number).unwrap();
            let found = s_to_h(lag_concentration_s(ft_to_m(feet_long), slope, number));
            assert!((found - hours).abs() <= 0.005, "{found}");
        }
    }

    /// NEH 630 ch. 15, table 15-2: 100·√S/n feet; the two rows above 100 ft are cut by its own rule of 100 ft.
    #[test]
    fn published_longest_sheets() {
        for (n, slope, expected_ft) in [
            (0.13, 0.01, 77.0),
            (0.41, 0.01, 24.0),
            (0.80, 0.01, 12.5),
            (0.41, 0.05, 55.0),
            (0.80, 0.05, 28.0),
        ] {
            let found = feet(longest_sheet_m(n, slope));
            assert!((found - expected_ft).abs() <= 0.6, "{n}, {slope}: {found}");
        }
        assert_eq!(longest_sheet_m(0.13, 0.05), ft_to_m(100.0));
    }

    /// HDS-2 example 2.2: n 0.15, 50 m, S 0.005: 17, 20 and 20 minutes at 116, 78 and 72 mm/h (t = 113/i^0.4). McCuen,
    /// example 3-12: n 0.15, 120 ft, 0.002: 14.9, 17.9, 18.5, 18.6 min at 8, 5.1, 4.7, 4.6 in/h with a constant of
    /// 0.938 where HDS-2 has 0.93 (0.9 %), rounded again to 6.9 (0.7 %).
    #[test]
    fn published_kinematic_sheets() {
        for (mm_h, minutes) in [(116.0, 17.0), (78.0, 20.0), (72.0, 20.0)] {
            let found = kinematic_sheet_s(0.15, 50.0, 0.005, mm_h_to_m_s(mm_h)) / 60.0;
            assert!((found - minutes).abs() <= 0.5, "{mm_h}: {found}");
        }
        for (in_h, minutes) in [(8.0, 14.9), (5.1, 17.9), (4.7, 18.5), (4.6, 18.6)] {
            let intensity = mm_h_to_m_s(inch_to_mm(in_h));
            let found = kinematic_sheet_s(0.15, ft_to_m(120.0), 0.002, intensity) / 60.0;
            assert!((found - minutes).abs() <= 0.016 * minutes, "{in_h}: {found}");
        }
    }

    /// FHWA HDS-2 example 2.1: seconds over 43 m of litter at 1 %, 15 m of short grass and 15 m of pavement at 1 %, 146 m of
    /// a channel (n 0.15, R 0.3 m, 0.8 %) and 128 m of a full pipe (0.38 m, n 0.011, 0.9 %). It works with R^0.67 and
    /// rounded speeds: 1.5 %. McCuen, example 3-12 by the sheet equation, 2-year rain 3.12 in: 28.8 min.
    #[test]
    fn published_seconds_of_a_path() {
        let pipe_radius_m = 0.38 / 4.0;
        for (length_m, speed_m_s, expected_s) in [
            (43.0, shallow_speed_m_s(ShallowCover::HayMeadow, 0.010), 566.0),
            (15.0, shallow_speed_m_s(ShallowCover::ShortGrass, 0.010), 70.0),
            (15.0, shallow_speed_m_s(ShallowCover::Pavement, 0.010), 24.0),
            (146.0, crate::manning::speed_m_s(0.3, 0.008, 0.15), 541.0),
            (128.0, crate::manning::speed_m_s(pipe_radius_m, 0.009, 0.011), 71.0),
        ] {
            let found_s = length_m / speed_m_s;
            assert!((found_s - expected_s).abs() <= 0.015 * expected_s + 0.5, "{length_m}: {found_s}");
        }
        let sheet_s = sheet_s(0.15, ft_to_m(120.0), 0.002, in_to_m(3.12));
        assert!((sheet_s / 60.0 - 28.8).abs() <= 0.1, "{sheet_s}");
    }

    /// Kirpich 1940 as reworked in public course notes: 1000 m at 5 % 12.6 min; 610 m falling 3.97 m 18.9 min; 1 % for
    /// the rounding of 0.0195 against 0.01947.
    #[test]
    fn published_kirpich() {
        for (length_m, slope, minutes) in [(1000.0, 0.05, 12.6), (610.0, 3.97 / 610.0, 18.9)] {
            let found = kirpich_s(length_m, slope) / 60.0;
            assert!((found - minutes).abs() <= 0.01 * minutes, "{found}");
        }
    }

    /// HDS-2 table 2.2 prints the same speeds as 10·K·√S in m/s: paved 0.619, waterway 0.491 by TR-55's unpaved
    /// line, nearly bare 0.305, rows 0.274 (3 % above NEH), short grass 0.213, woodland 0.152, forest litter 0.076.
    #[test]
    fn published_shallow_speeds() {
        use ShallowCover::{
            GrassedWaterway, HayMeadow, NearlyBare, Pavement, ShortGrass, StraightRows, Woodland,
        };
        for (cover, k) in [
            (Pavement, 0.619),
            (GrassedWaterway, 0.491),
            (NearlyBare, 0.305),
            (StraightRows, 0.274),
            (ShortGrass, 0.213),
            (Woodland, 0.152),
            (HayMeadow, 0.076),
        ] {
            let found = shallow_speed_m_s(cover, 1.0) / 10.0;
            let apart = if cover == StraightRows { 0.03 } else { 0.007 };
            assert!((found - k).abs() <= apart * k + 0.0005, "{cover:?}: {found}");
        }
    }
}
