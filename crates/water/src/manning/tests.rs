use proptest::prelude::*;
use quantity::convert::ft_to_m;

use super::*;

fn channel(bed_width_m: f64, batter: f64, manning_n: f64, slope: f64) -> Channel {
    Channel { section: Trapezoid { bed_width_m, batter }, slope, manning_n }
}

/// Y. A. Çengel & J. M. Cimbala, Fluid Mechanics, chapter on open channels: R 0.2859 m, S 0.005236, n 0.03
/// give 1.0467782 m/s as reproduced in the documentation of a general library of fluid formulas.
#[test]
fn published_speed_of_a_trapezoid() {
    let speed = speed_m_s(0.2859, 0.005236, 0.03);
    assert!((speed - 1.046_778_2).abs() <= 5e-8, "{speed}");
}

/// USDA-NRCS TR-55, 1986, example 3-1: A 27 ft², P 28.2 ft, S 0.005, n 0.05 give R 0.957 ft and 2.05 ft/s; its
/// 1.49 stands for 1.486, 0.3 % more.
/// USDA-NRCS NEH 630 ch. 15, 2010, example 15-1: four sections, one decimal, ±0.06 ft/s because the handbook
/// rounds R first.
#[test]
fn published_speeds_of_stream_sections() {
    let speed_ft_s = |area_ft2: f64, perimeter_ft: f64, n: f64, slope: f64| {
        speed_m_s(ft_to_m(area_ft2 / perimeter_ft), slope, n) / ft_to_m(1.0)
    };
    assert!((27.0_f64 / 28.2 - 0.957).abs() <= 0.0005);
    assert!((speed_ft_s(27.0, 28.2, 0.05, 0.005) - 2.05).abs() <= 0.005 + 0.003 * 2.05);
    for (area, perimeter, n, slope, expected) in [
        (48.0, 22.0, 0.040, 0.01, 6.3),
        (55.0, 35.0, 0.055, 0.01, 3.7),
        (55.0, 39.0, 0.055, 0.01, 3.4),
        (56.0, 28.0, 0.040, 0.01, 5.9),
    ] {
        let speed = speed_ft_s(area, perimeter, n, slope);
        assert!((speed - expected).abs() <= 0.06, "{area} ft²: {speed}");
    }
}

/// FHWA HDS-2, 2nd ed., 2002, example 2.3: bed 0.3 m, depth 0.7 m, sides 2 : 1 give R 0.35 m; n 0.040 and
/// S 0.012 give 1.36 m/s. It raises R to 0.67 and rounds R first: 1.5 %.
#[test]
fn published_roadside_channel() {
    let c = channel(0.3, 2.0, 0.040, 0.012);
    let radius_m = c.section.hydraulic_radius_m(0.7);
    assert!((radius_m - 0.35).abs() <= 0.005, "{radius_m}");
    let speed = c.flow_m3_s(0.7) / c.section.area_m2(0.7);
    assert!((speed - 1.36).abs() <= 0.015 * 1.36, "{speed}");
}

/// Small works, worked out beforehand by another program from the equations in the header; depths to 1e-5 m as
/// printed, the rest to the last printed digit.
#[test]
fn table_of_small_works() {
    // bed, batter, L/s, n, S | depth, area, R, speed, critical depth, Froude, shear
    #[rustfmt::skip]
    let rows: [([f64; 5], [f64; 7]); 10] = [
        ([0.3, 1.5, 10.0, 0.035, 0.002], [0.10227, 0.04637, 0.06934, 0.2157, 0.04473, 0.2491, 2.01]),
        ([0.3, 1.5, 30.0, 0.035, 0.005], [0.14325, 0.07376, 0.09033, 0.4067, 0.08648, 0.4085, 7.03]),
        ([0.3, 1.5, 30.0, 0.08, 0.005], [0.21680, 0.13554, 0.12531, 0.2213, 0.08648, 0.1871, 10.63]),
        ([0.5, 1.5, 50.0, 0.03, 0.0025], [0.16877, 0.12711, 0.11467, 0.3934, 0.09138, 0.3534, 4.14]),
        ([0.4, 1.0, 20.0, 0.03, 0.01], [0.08023, 0.03853, 0.06146, 0.5191, 0.06016, 0.6321, 7.87]),
        ([0.0, 3.0, 20.0, 0.05, 0.01], [0.14192, 0.06043, 0.06732, 0.3310, 0.09805, 0.3967, 13.92]),
        ([0.0, 2.0, 10.0, 0.03, 0.02], [0.09375, 0.01758, 0.04193, 0.5689, 0.08739, 0.8390, 18.39]),
        ([0.5, 0.0, 20.0, 0.03, 0.005], [0.09904, 0.04952, 0.07093, 0.4039, 0.05464, 0.4098, 4.86]),
        ([0.3, 1.5, 30.0, 0.045, 0.10], [0.07345, 0.03013, 0.05334, 0.9958, 0.08648, 1.3212, 72.06]),
        ([0.0, 1.0, 5.0, 0.03, 0.05], [0.08373, 0.00701, 0.02960, 0.7133, 0.08739, 1.1130, 41.07]),
    ];
    for ([bed, batter, l_s, n, slope], expected) in rows {
        let c = channel(bed, batter, n, slope);
        let flow = c.uniform(l_s / 1000.0).unwrap();
        let radius_m = c.section.hydraulic_radius_m(flow.depth_m);
        let found = [
            flow.depth_m,
            flow.area_m2,
            radius_m,
            flow.speed_m_s,
            flow.critical_depth_m,
            flow.froude,
            flow.shear_pa,
        ];
        let tolerances = [1e-5, 1e-5, 1e-5, 1e-4, 1e-5, 1e-4, 1e-2];
        for i in 0..7 {
            assert!((found[i] - expected[i]).abs() <= tolerances[i], "{bed} {l_s}: {found:?}");
        }
    }
}

/// A V has closed forms: yₙ = (Q·n/(√S·m))^(3/8)·(2√(1+m²)/m)^(1/4), y_c = (2Q²/(g·m²))^(1/5).
#[test]
fn depths_of_a_v_in_closed_form() {
    let c = channel(0.0, 3.0, 0.05, 0.01);
    let flow_m3_s: f64 = 0.02;
    let normal =
        libm::pow(flow_m3_s * 0.05 / (0.1 * 3.0), 0.375) * libm::pow(2.0 * 10.0_f64.sqrt() / 3.0, 0.25);
    let critical = libm::pow(2.0 * flow_m3_s * flow_m3_s / (9.81 * 9.0), 0.2);
    let found = c.uniform(flow_m3_s).unwrap();
    assert!((found.depth_m - normal).abs() <= DEPTH_TOLERANCE_M);
    assert!((found.critical_depth_m - critical).abs() <= DEPTH_TOLERANCE_M);
}

/// Sheets, worked out beforehand by another program: L/s a metre, S, n | mm, m/s, to the printed digit.
#[test]
fn table_of_sheets() {
    for (l_s_m, slope, n, mm, speed) in [
        (0.1, 0.02, 0.05, 2.133, 0.0469),
        (0.1, 0.2, 0.05, 1.069, 0.0935),
        (0.5, 0.1, 0.15, 6.684, 0.0748),
        (1.0, 0.1, 0.15, 10.131, 0.0987),
        (1.0, 0.2, 0.24, 10.910, 0.0917),
        (1.0, 0.3, 0.03, 2.774, 0.3605),
        (5.0, 0.2, 0.1, 16.946, 0.2951),
    ] {
        let depth_mm = 1000.0 * sheet_depth_m(l_s_m / 1000.0, slope, n);
        assert!((depth_mm - mm).abs() <= 5e-4, "{l_s_m}: {depth_mm}");
        assert!((sheet_speed_m_s(l_s_m / 1000.0, slope, n) - speed).abs() <= 5e-5);
    }
}

#[test]
fn every_row_of_the_tables_is_in_order() {
    for bed in ChannelBed::ALL {
        let n = bed.manning_n();
        assert!(0.01 < n.low() && n.low() < n.likely() && n.likely() < n.high() && n.high() < 0.2, "{bed:?}");
    }
    assert!(SheetCover::DenseGrass.manning_n() > ChannelBed::TallWeeds.manning_n().high());
}

#[test]
fn what_cannot_flow_is_refused() {
    let level = channel(0.4, 1.0, 0.03, 0.0);
    assert!(matches!(level.normal_depth_m(0.01), Err(FlowError::NoDepth { .. })));
    assert!(matches!(level.normal_depth_m(-0.01), Err(FlowError::BadFlow { .. })));
    assert!(matches!(level.normal_depth_m(f64::NAN), Err(FlowError::BadFlow { .. })));
    let nothing = Trapezoid { bed_width_m: 0.0, batter: 0.0 };
    assert!(matches!(critical_depth_m(&nothing, 0.01), Err(FlowError::NoCriticalDepth { .. })));
    assert_eq!(level.normal_depth_m(0.0), Ok(0.0));
}

proptest! {
    /// The depth carries the flow it was found for. A depth off by half of 1e-6 m carries at most
    /// 5e-7·(dQ/dy) more, and dQ/dy ≤ (8/3)·Q/y in any trapezoid.
    #[test]
    fn depth_carries_the_flow(
        bed in 0.05..2.0_f64, batter in 0.0..4.0_f64, slope in 0.0005..0.5_f64, n in 0.015..0.3_f64,
        flow in 0.0001..1.0_f64,
    ) {
        let c = channel(bed, batter, n, slope);
        let depth = c.normal_depth_m(flow).unwrap();
        let room = DEPTH_TOLERANCE_M * 8.0 / 3.0 * flow / depth;
        prop_assert!((c.flow_m3_s(depth) - flow).abs() <= room);
    }
}
