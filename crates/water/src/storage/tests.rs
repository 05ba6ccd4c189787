use proptest::prelude::*;

use super::*;
use crate::section::HandSection;

fn trapezoid(bed_width_m: f64, depth_m: f64, cut_batter: f64) -> HandSection {
    HandSection {
        cross_slope: 0.0,
        bed_width_m,
        depth_m,
        cut_batter,
        ledge_m: 0.0,
        bank_height_m: 0.0,
        bank_top_m: 0.0,
        bank_batter: 0.0,
    }
}

fn banked(cross_slope: f64, bank_height_m: f64) -> HandSection {
    HandSection {
        cross_slope,
        bed_width_m: 0.4,
        depth_m: 0.3,
        cut_batter: 1.0,
        ledge_m: 0.25,
        bank_height_m,
        bank_top_m: 0.3,
        bank_batter: 2.0,
    }
}

fn station(chainage_m: f64, ground_z_m: f64, hand: HandSection) -> Station {
    Station { chainage_m, ground_z_m, section: hand.section().unwrap() }
}

/// Over whole waves of a bed ȳ ± a·sin the mean of A = b·y + m·y² is A(ȳ) + m·a²/2, because the mean of sin² is
/// ½: b 0.5, m 1.5, ȳ 0.20, a 0.02, 40 m give 40·(0.16 + 0.0003) = 6.4120 m³ (a flat bed 6.4000).
/// Chords of 1/1000 wave cut sin² short by (2π/1000)²/6 ≈ 7e-6 of itself: 40·0.0003·7e-6 < 1e-7 m³.
#[test]
fn wavy_bed_in_closed_form() {
    let stations = (0..=2000).map(|i| {
        let x = 40.0 * f64::from(i) / 2000.0;
        let wave = 0.02 * libm::sin(2.0 * std::f64::consts::PI * x / 20.0);
        station(x, wave, trapezoid(0.5, 0.4, 1.5))
    });
    let line = LineShape::new(stations.collect()).unwrap();
    let volume_m3 = line.volume_m3(-0.4 + 0.20);
    assert!((volume_m3 - 6.4120).abs() < 1e-7, "{volume_m3}");
    assert!((line.flooded_m(-0.2) - 40.0).abs() < 1e-12);
}

/// Water y₀ deep at one end of a falling bed that runs dry after l: ∫(b·y + m·y²) dx = l·(b·y₀/2 + m·y₀²/3).
#[test]
fn bed_that_runs_dry_in_closed_form() {
    let ground = [0.0, 0.5];
    let stations = vec![
        station(0.0, ground[0], trapezoid(0.5, 1.0, 1.5)),
        station(50.0, ground[1], trapezoid(0.5, 1.0, 1.5)),
    ];
    let line = LineShape::new(stations).unwrap();
    let (y0, wet_m) = (0.3, 30.0);
    let expected = wet_m * (0.5 * y0 / 2.0 + 1.5 * y0 * y0 / 3.0);
    assert!((line.volume_m3(-1.0 + y0) - expected).abs() < 1e-12);
    assert!((line.flooded_m(-1.0 + y0) - wet_m).abs() < 1e-12);
    assert!((line.plan_area_m2(-1.0 + y0) - wet_m * (0.5 + 1.5 * y0)).abs() < 1e-12);
}

/// The strip uphill sheds r·D a metre of line, the wedge before an upright wall holds h²/(2p): h = √(2·r·D·p).
/// r 40 mm, D 10 m: p 10 % gives 0.28 m, p 20 % gives 0.40 m.
#[test]
fn wall_that_holds_a_cloudburst() {
    for (slope, height_m) in [(0.10, 0.28), (0.20, 0.40)] {
        let wall = HandSection {
            cross_slope: slope,
            bank_height_m: 1.0,
            bank_top_m: 0.3,
            ..trapezoid(0.0, 0.0, 0.0)
        };
        let line = LineShape::new(vec![station(0.0, 0.0, wall), station(25.0, 0.0, wall)]).unwrap();
        let level_z_m = line.level_for_volume_z_m(0.040 * 10.0 * 25.0).unwrap();
        assert!((level_z_m - height_m).abs() < 0.005, "{level_z_m}");
    }
}

/// A long trapezoid soaking through its wetted perimeter empties in
/// t = (1/K)·[(m/s)·h + (b/(2s))·(1 − m/s)·ln(1 + 2·s·h/b)], s = √(1 + m²), from dt = T/(K·P) dh. Hours worked out
/// beforehand by another program: b, m, h, K mm/h. A ten-thousandth for slices of 2 mm.
#[test]
fn soaking_empty_in_closed_form() {
    for (bed_m, batter, depth_m, mm_h, hours) in [
        (0.5, 1.5, 0.30, 20.0, 13.8218),
        (0.3, 1.0, 0.40, 10.0, 33.1387),
        (0.5, 1.5, 0.30, 5.0, 55.2874),
        (1.0, 3.0, 0.25, 50.0, 4.8973),
    ] {
        let hand = trapezoid(bed_m, 0.5, batter);
        let line = LineShape::new(vec![station(0.0, 0.5, hand), station(30.0, 0.5, hand)]).unwrap();
        let found_h = 1000.0 * line.soaks_to_empty_m(depth_m) / mm_h;
        assert!((found_h - hours).abs() <= 1e-4 * hours, "{found_h} against {hours}");
    }
}

#[test]
fn the_lowest_place_rules() {
    let heights = [0.25, 0.17, 0.25, 0.21, 0.25];
    let stations = heights.iter().enumerate().map(|(i, h)| {
        let chainage_m = 5.0 * i as f64;
        station(chainage_m, 100.0, banked(0.15, *h))
    });
    let line = LineShape::new(stations.collect()).unwrap();
    let low = line.lowest_bank();
    assert_eq!(low.chainage_m, 5.0);
    assert!((low.z_m - 100.17).abs() < 1e-12);
    assert_eq!(line.spill_z_m(&[]), low.z_m);
    assert_eq!(line.spill_z_m(&[100.10, 100.12]), 100.10);
    // 2 cm count in full, 10 cm only up to the next low at 0.21, none above a sill.
    assert!((line.raise_lowest(0.02, &[]).spill_z_m - 100.19).abs() < 1e-12);
    let far = line.raise_lowest(0.10, &[]);
    assert!((far.spill_z_m - 100.21).abs() < 1e-12);
    let by_hand = line.volume_m3(100.21) - line.volume_m3(100.17);
    assert!((far.gains_m3 - by_hand).abs() < 1e-12);
    assert_eq!(line.raise_lowest(0.10, &[100.10]).gains_m3, 0.0);
}

#[test]
fn two_equal_lows_gain_nothing() {
    let line =
        LineShape::new(vec![station(0.0, 10.0, banked(0.15, 0.25)), station(10.0, 10.0, banked(0.15, 0.25))])
            .unwrap();
    assert_eq!(line.raise_lowest(0.05, &[]).gains_m3, 0.0);
}

#[test]
fn fill_curve_runs_from_empty_to_brim() {
    let line = LineShape::new(vec![
        station(0.0, 10.0, banked(0.15, 0.25)),
        station(20.0, 10.05, banked(0.15, 0.25)),
    ])
    .unwrap();
    let curve = line.fill_curve(10, &[10.15]);
    assert_eq!(curve.len(), 11);
    assert_eq!(curve[0].volume_m3, 0.0);
    assert_eq!(curve[10].volume_m3, line.holds_m3(&[10.15]));
    assert_eq!(curve[10].flooded_m, 20.0);
    assert!(curve.windows(2).all(|p| p[0].volume_m3 < p[1].volume_m3));
}

#[test]
fn bad_stations_are_refused() {
    let one = vec![station(0.0, 0.0, banked(0.1, 0.2))];
    assert!(matches!(LineShape::new(one), Err(ShapeError::TooFewStations { found: 1 })));
    for (chainage_m, ground_z_m) in [(0.0, 1.0), (-1.0, 1.0), (f64::NAN, 1.0), (5.0, f64::INFINITY)] {
        let stations =
            vec![station(0.0, 1.0, banked(0.1, 0.2)), station(chainage_m, ground_z_m, banked(0.1, 0.2))];
        assert!(matches!(LineShape::new(stations), Err(ShapeError::BadStation { index: 1, .. })));
    }
}

#[test]
fn volumes_that_it_does_not_hold_have_no_level() {
    let line = LineShape::new(vec![station(0.0, 0.0, banked(0.1, 0.2)), station(5.0, 0.0, banked(0.1, 0.2))])
        .unwrap();
    for volume_m3 in [-0.1, 1000.0, f64::NAN] {
        assert!(line.level_for_volume_z_m(volume_m3).is_err());
    }
}

fn any_line() -> impl Strategy<Value = LineShape> {
    let place = (0.5..8.0_f64, -0.06..0.06_f64, 0.03..0.25_f64, 0.1..0.4_f64);
    prop::collection::vec(place, 2..8).prop_map(|places| {
        let mut chainage_m = 0.0;
        let stations = places.iter().map(|(step_m, ground_z_m, slope, bank_m)| {
            chainage_m += step_m;
            station(chainage_m, *ground_z_m, banked(*slope, *bank_m))
        });
        LineShape::new(stations.collect()).unwrap()
    })
}

/// The same sum by 4000 plain slices a span.
fn sliced_volume_m3(line: &LineShape, level_z_m: f64) -> f64 {
    let n = 4000;
    let mut volume_m3 = 0.0;
    for pair in line.stations().windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        for i in 0..n {
            let t = (f64::from(i) + 0.5) / f64::from(n);
            let depth_m = level_z_m - (a.bed_z_m() + t * (b.bed_z_m() - a.bed_z_m()));
            let area_m2 = (1.0 - t) * a.section.area_m2(a.section.bed_z_m() + depth_m)
                + t * b.section.area_m2(b.section.bed_z_m() + depth_m);
            volume_m3 += area_m2 * (b.chainage_m - a.chainage_m) / f64::from(n);
        }
    }
    volume_m3
}

proptest! {
    /// The exact sum against slices. A slice that holds the step at a lip is off by at most the step
    /// (under 0.05 m² here) over one slice of at most 8 m/4000: 1e-4 m³ a step, two steps a span, 7 spans.
    #[test]
    fn volume_agrees_with_slices(line in any_line(), share in 0.0..1.0_f64) {
        let bed = line.lowest_bed().z_m;
        let level = bed + share * (line.spill_z_m(&[]) - bed);
        let (exact, sliced) = (line.volume_m3(level), sliced_volume_m3(&line, level));
        prop_assert!((exact - sliced).abs() < 1.4e-3, "{exact} against {sliced}");
    }

    /// Lifting the whole site lifts the levels and nothing else: 1e-9 of a volume of cubic metres is what the
    /// rounding of heights near 1000 m (1e-13 m) times a plan area of tens of m² leaves room for.
    #[test]
    fn lifting_the_site_changes_nothing(line in any_line(), share in 0.0..1.0_f64) {
        let lifted = line.stations().iter().map(|s| Station { ground_z_m: s.ground_z_m + 1000.0, ..s.clone() });
        let lifted = LineShape::new(lifted.collect()).unwrap();
        let bed = line.lowest_bed().z_m;
        let level = bed + share * (line.spill_z_m(&[]) - bed);
        let at_a_lip = line.stations().iter().any(|s| (level - s.ground_z_m).abs() < 1e-9);
        prop_assume!(!at_a_lip);
        prop_assert!((lifted.volume_m3(level + 1000.0) - line.volume_m3(level)).abs() < 1e-9);
    }

    /// Volume to level and back within the tolerance of a thousandth of a millimetre, except where the level
    /// waits at a lip.
    #[test]
    fn level_for_volume_undoes_volume(line in any_line(), share in 0.01..1.0_f64) {
        let volume_m3 = share * line.holds_m3(&[]);
        let level = line.level_for_volume_z_m(volume_m3).unwrap();
        prop_assert!(line.volume_m3(level - 1e-6) <= volume_m3 && volume_m3 <= line.volume_m3(level + 1e-6));
    }
}
