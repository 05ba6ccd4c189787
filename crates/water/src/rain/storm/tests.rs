use proptest::prelude::*;
use quantity::convert::{h_to_s, inch_to_mm, mm_to_m};

use super::*;

fn blocks_mm(storm: &Storm) -> Vec<f64> {
    storm.course().windows(2).map(|p| 1000.0 * (p[1].rain_m - p[0].rain_m)).collect()
}

fn assert_blocks(storm: &Storm, expected_mm: &[f64], tolerance_mm: f64) {
    let found = blocks_mm(storm);
    assert_eq!(found.len(), expected_mm.len());
    for (f, e) in found.iter().zip(expected_mm) {
        assert!((f - e).abs() <= tolerance_mm, "{found:?}");
    }
}

/// FHWA HDS-2, 2002, example 6.6: Baltimore, mean intensities of 1 to 6 h, mm/h, 50-year and 2-year, and the blocks
/// as arranged, mm to a tenth.
#[test]
fn published_blocks_of_baltimore() {
    for (mm_h, arranged) in [
        ([76.2, 44.5, 33.0, 26.7, 22.6, 19.6], [6.2, 10.0, 76.2, 12.8, 7.8, 4.6]),
        ([34.3, 20.8, 15.5, 12.7, 10.7, 9.1], [2.7, 4.9, 34.3, 7.3, 4.3, 1.1]),
    ] {
        let depths: Vec<f64> =
            mm_h.iter().enumerate().map(|(i, i_mm_h)| mm_to_m(i_mm_h * (i + 1) as f64)).collect();
        let storm = Storm::of_blocks(h_to_s(1.0), &depths).unwrap();
        assert_blocks(&storm, &arranged, 0.05 + 1e-9);
    }
}

/// The same storm, rain so far over all: 0.053, 0.138, 0.786, 0.895, 0.961, 1.
#[test]
fn published_course_of_baltimore() {
    let depths = [76.2, 89.0, 99.0, 106.8, 113.0, 117.6].map(mm_to_m);
    let storm = Storm::of_blocks(h_to_s(1.0), &depths).unwrap();
    for (i, share) in [0.053, 0.138, 0.786, 0.895, 0.961, 1.0].into_iter().enumerate() {
        let found = storm.course()[i + 1].rain_m / storm.total_m();
        assert!((found - share).abs() <= 0.0006, "{found}");
    }
}

/// Olyaei & Ebtehaj, Hydrologic Design, 2024: Atlanta, i = 97.5/(t^0.83 + 6.88) in/h, seven blocks of 20 min, inches;
/// the second decimal is cut off, not rounded: 0.01.
/// São Paulo: i = 57.71·T^0.172/(t + 22)^1.025 mm/min, T 5 years, ten blocks of 10 min; 0.15 mm for its own rounding.
#[test]
fn published_blocks_from_formulas() {
    let atlanta: Vec<f64> = (1..=7)
        .map(|k| {
            let t = 20.0 * f64::from(k);
            mm_to_m(inch_to_mm(97.5 / (libm::pow(t, 0.83) + 6.88) * t / 60.0))
        })
        .collect();
    let storm = Storm::of_blocks(1200.0, &atlanta).unwrap();
    let inches = [0.13, 0.19, 0.34, 1.72, 0.58, 0.24, 0.15].map(inch_to_mm);
    assert_blocks(&storm, &inches, inch_to_mm(0.01));

    let sao_paulo: Vec<f64> = (1..=10)
        .map(|k| {
            let t = 10.0 * f64::from(k);
            mm_to_m(57.71 * libm::pow(5.0, 0.172) / libm::pow(t + 22.0, 1.025) * t)
        })
        .collect();
    let storm = Storm::of_blocks(600.0, &sao_paulo).unwrap();
    assert_blocks(&storm, &[1.2, 1.8, 3.2, 6.7, 21.8, 11.2, 4.5, 2.4, 1.4, 0.9], 0.15);
    assert!((1000.0 * storm.total_m() - 55.3).abs() <= 0.15);
}

/// A window of k blocks round the peak, taken by rank, holds the table's depth for k blocks.
#[test]
fn windows_round_the_peak_hold_the_table() {
    let depths = [30.0, 42.0, 50.0, 56.0, 61.0, 65.0, 68.0].map(mm_to_m);
    let storm = Storm::of_blocks(600.0, &depths).unwrap();
    for (k, depth_m) in depths.iter().enumerate() {
        let found = storm.hardest_m(600.0 * (k + 1) as f64);
        assert!((found - depth_m).abs() <= 1e-12, "{k}");
    }
}

/// FHWA HDS-2, table 6.5: 49 ordinates from 0 to 1, never falling; type II has its hardest half hour from 11.5 to 12 h
/// with 0.380 of the day, type IA from 7.5 to 8 h with 0.115.
#[test]
fn published_shapes_of_a_day() {
    for shape in [DayShape::I, DayShape::Ia, DayShape::II, DayShape::III] {
        let ordinates = shape.ordinates();
        assert_eq!((ordinates[0], ordinates[48]), (0.0, 1.0));
        assert!(ordinates.windows(2).all(|p| p[0] <= p[1]), "{shape:?}");
    }
    let storm = Storm::of_a_day(DayShape::II, 0.1).unwrap();
    assert!((storm.hardest_m(1800.0) - 0.0380).abs() <= 1e-9);
    assert!((storm.fallen_m(h_to_s(12.0)) - 0.0663).abs() <= 1e-9);
    let gentle = Storm::of_a_day(DayShape::Ia, 0.1).unwrap();
    assert!((gentle.hardest_m(1800.0) - 0.0115).abs() <= 1e-9);
}

/// FHWA HDS-2, table 6.5, every full hour: rain so far over all, in thousandths.
#[test]
fn published_ordinates_of_a_day() {
    #[rustfmt::skip]
    let rows = [
        (DayShape::I, [
            0, 17, 35, 55, 76, 99, 126, 156, 194, 254, 515, 624, 682, 728, 766, 799, 830, 857, 882, 905, 926, 946, 965,
            983, 1000,
        ]),
        (DayShape::Ia, [
            0, 20, 50, 82, 116, 156, 206, 268, 425, 520, 577, 624, 664, 701, 736, 769, 800, 830, 858, 884, 908, 932, 956,
            978, 1000,
        ]),
        (DayShape::II, [
            0, 11, 22, 35, 48, 63, 80, 98, 120, 147, 181, 235, 663, 772, 820, 854, 880, 902, 921, 937, 952, 965, 978, 989,
            1000,
        ]),
        (DayShape::III, [
            0, 10, 20, 31, 43, 57, 72, 91, 114, 146, 189, 250, 500, 750, 811, 854, 886, 910, 928, 943, 957, 969, 981, 991,
            1000,
        ]),
    ];
    for (shape, thousandths) in rows {
        for (hour, expected) in thousandths.into_iter().enumerate() {
            let found = 1000.0 * shape.ordinates()[2 * hour];
            assert!((found - f64::from(expected)).abs() <= 1e-9, "{shape:?}, hour {hour}: {found}");
        }
    }
}

#[test]
fn a_gauge_is_read_as_it_stands() {
    let readings = [(600.0, 0.002), (1200.0, 0.005), (1800.0, 0.005), (2400.0, 0.011)];
    let readings = readings.map(|(at_s, rain_m)| Fallen { at_s, rain_m });
    let storm = Storm::from_readings(&readings).unwrap();
    assert_eq!(storm.duration_s(), 1800.0);
    assert!((storm.total_m() - 0.009).abs() <= 1e-15);
    assert!((storm.fallen_m(300.0) - 0.0015).abs() <= 1e-15);
    assert_eq!(storm.fallen_m(-5.0), 0.0);
    assert_eq!(storm.fallen_m(9999.0), storm.total_m());
    assert!(storm.fallen_m(f64::NAN).is_nan());
}

#[test]
fn impossible_storms_are_refused() {
    let at = |at_s, rain_m| Fallen { at_s, rain_m };
    assert!(matches!(Storm::from_readings(&[at(0.0, 0.0)]), Err(StormError::TooFew { found: 1 })));
    let unsorted = [at(0.0, 0.0), at(60.0, 0.001), at(60.0, 0.002)];
    assert!(matches!(Storm::from_readings(&unsorted), Err(StormError::TimeNotRising { index: 2, .. })));
    let reset = [at(0.0, 0.0), at(60.0, 0.010), at(120.0, 0.001)];
    assert!(matches!(Storm::from_readings(&reset), Err(StormError::GaugeReset { index: 2, .. })));
    let missing = [at(0.0, 0.0), at(60.0, f64::NAN)];
    assert!(matches!(Storm::from_readings(&missing), Err(StormError::GaugeReset { index: 1, .. })));
    assert!(matches!(Storm::even(-0.01, 600.0), Err(StormError::NotPositive { name: "depth", .. })));
    assert!(matches!(
        Storm::of_blocks(600.0, &[0.01, 0.01]),
        Err(StormError::BlocksNotDeeper { index: 1, .. })
    ));
    assert!(matches!(Storm::of_blocks(600.0, &[]), Err(StormError::TooFew { .. })));
}

proptest! {
    /// No block is lost or made, however many there are: sums of up to 40 figures of a tenth of a metre.
    #[test]
    fn blocks_keep_the_rain(steps in prop::collection::vec(0.0001..0.01_f64, 1..40)) {
        let mut depth_m = 0.0;
        let depths: Vec<f64> = steps.iter().map(|s| { depth_m += s; depth_m }).collect();
        let storm = Storm::of_blocks(300.0, &depths).unwrap();
        prop_assert!((storm.total_m() - depth_m).abs() <= 1e-14);
        let peak = blocks_mm(&storm).into_iter().fold(0.0, f64::max);
        prop_assert!((peak - blocks_mm(&storm)[(steps.len() - 1) / 2]).abs() <= 1e-12);
    }
}
