use proptest::prelude::*;

use super::*;

fn rough(manning_n: f64, breadth_m: f64) -> Crest {
    Crest::Rough { breadth_m, manning_n }
}

/// FAO Irrigation & Drainage Paper 64, p. 39: Q = 1.7·b·H^1.5, which gives 9, 19, 38 and 54 L/s a metre at 3, 5, 8
/// and 10 cm; critical flow is 0.3 % above it, so whole litres a second leave half a litre.
#[test]
fn published_broad_crest_rule() {
    let sill = Sill { length_m: 1.0, crest: Crest::Smooth };
    for (head_m, l_s) in [(0.03, 9.0), (0.05, 19.0), (0.08, 38.0), (0.10, 54.0)] {
        let found = 1000.0 * sill.flow_m3_s(head_m);
        let by_rule = 1700.0 * head_m * f64::sqrt(head_m);
        assert!((by_rule - l_s).abs() <= 0.5, "{by_rule}");
        assert!((found - by_rule).abs() <= 0.003 * by_rule, "{head_m}: {found}");
    }
}

/// (2/3)^1.5·√g = 1.70489 for g = 9.81.
#[test]
fn smooth_crest_in_closed_form() {
    assert!((Crest::Smooth.unit_flow_m2_s(1.0) - 1.70489).abs() <= 5e-6);
    for (mm, l_s) in
        [(10.0, 1.705), (20.0, 4.822), (30.0, 8.859), (50.0, 19.061), (80.0, 38.577), (150.0, 99.045)]
    {
        let found = 1000.0 * Crest::Smooth.unit_flow_m2_s(mm / 1000.0);
        assert!((found - l_s).abs() <= 5e-4, "{mm} mm: {found}");
        let back = 1000.0 * Crest::Smooth.head_m(found / 1000.0).unwrap();
        assert!((back - mm).abs() <= 1e-9);
    }
}

/// Heads over rough crests, mm, and C = q/H^1.5 at 1, 5 and 20 L/s a metre: worked out beforehand by another
/// program that marched dE/dx = −n²q²/h^(10/3) from the critical edge in ever smaller steps.
#[test]
fn table_of_rough_crests() {
    #[rustfmt::skip]
    let rows = [
        (0.03, 0.3, [(10.0, 1.00), (24.3, 1.32), (55.8, 1.52)]),
        (0.03, 0.5, [(10.8, 0.89), (25.7, 1.21), (57.6, 1.45)]),
        (0.03, 1.0, [(12.3, 0.73), (28.2, 1.06), (61.1, 1.32)]),
        (0.05, 0.3, [(11.9, 0.77), (27.5, 1.10), (60.0, 1.36)]),
        (0.05, 0.5, [(13.1, 0.67), (29.6, 0.98), (63.2, 1.26)]),
        (0.05, 1.0, [(15.1, 0.54), (33.3, 0.82), (69.0, 1.10)]),
        (0.10, 0.3, [(15.6, 0.51), (34.4, 0.78), (70.8, 1.06)]),
        (0.10, 0.5, [(17.4, 0.43), (37.9, 0.68), (76.6, 0.94)]),
        (0.10, 1.0, [(20.3, 0.35), (43.6, 0.55), (86.3, 0.79)]),
    ];
    for (n, breadth_m, columns) in rows {
        for (q, (mm, c)) in [0.001, 0.005, 0.020].into_iter().zip(columns) {
            let head_m = rough(n, breadth_m).head_m(q).unwrap();
            assert!((1000.0 * head_m - mm).abs() <= 0.05, "n {n}, {breadth_m} m, {q}: {head_m}");
            let found_c = q / (head_m * head_m.sqrt());
            assert!((found_c - c).abs() <= 0.005 + 1e-9, "n {n}, {breadth_m} m, {q}: {found_c}");
        }
    }
}

/// The same balance marched plainly: from critical depth at the outer edge, E grows by n²q²/h^(10/3) a metre
/// upstream, h the deeper root of h + q²/(2g·h²) = E. 200 000 plain steps over 0.5 m are off by less than
/// 1e-6 m at the critical edge, where the first step is worst.
#[test]
fn closed_form_agrees_with_marching() {
    let (q, n, breadth_m): (f64, f64, f64) = (0.004, 0.06, 0.5);
    let critical_m = libm::cbrt(q * q / GRAVITY_M_S2);
    let steps = 200_000;
    let mut energy_m = 1.5 * critical_m;
    let mut depth_m = critical_m;
    for _ in 0..steps {
        let growth = n * n * q * q / libm::pow(depth_m, 10.0 / 3.0);
        energy_m += growth * breadth_m / f64::from(steps);
        // Fixed point h = E − q²/(2g·h²) settles on the deeper root.
        for _ in 0..4 {
            depth_m = energy_m - q * q / (2.0 * GRAVITY_M_S2 * depth_m * depth_m);
        }
    }
    let head_m = rough(n, breadth_m).head_m(q).unwrap();
    assert!((head_m - energy_m).abs() < 1e-5, "{head_m} against {energy_m}");
}

/// Villemonte 1947: (1 − (H₂/H₁)^1.5)^0.385, four digits.
#[test]
fn drowned_sill_in_closed_form() {
    for (ratio, share) in [
        (0.3, 0.9332),
        (0.5, 0.8454),
        (0.6, 0.7861),
        (0.7, 0.7123),
        (0.8, 0.6163),
        (0.9, 0.4770),
        (0.95, 0.3671),
    ] {
        let found = drowned_share(0.1, 0.1 * ratio);
        assert!((found - share).abs() <= 5e-5, "{ratio}: {found}");
    }
    assert_eq!(drowned_share(0.1, -0.02), 1.0);
    assert_eq!(drowned_share(0.1, 0.1), 0.0);
    assert_eq!(drowned_share(0.0, 0.1), 0.0);
}

/// A straight tilted lip has a closed form on a smooth crest: ∫ C·h^1.5 dx = C·L·(2/5)·(h₁^2.5 − h₀^2.5)/(h₁ − h₀).
/// Gauss on slices of 1/16 is within 1e-6 of it while the whole lip is wet.
#[test]
fn tilted_lip_in_closed_form() {
    let points = vec![LipPoint { along_m: 0.0, z_m: 0.0 }, LipPoint { along_m: 3.0, z_m: 0.02 }];
    let lip = Lip::new(points, Crest::Smooth).unwrap();
    let (high, low): (f64, f64) = (0.05, 0.03);
    let c = Crest::Smooth.unit_flow_m2_s(1.0);
    let power = |h: f64| h * h * h.sqrt();
    let expected = c * 3.0 * 0.4 * (power(high) - power(low)) / (high - low);
    let found = lip.flow_m3_s(0.05);
    assert!((found - expected).abs() <= 1e-4 * expected, "{found} against {expected}");
    let level = lip.level_for_flow_z_m(expected).unwrap();
    assert!((level - 0.05).abs() <= 1e-5);
}

/// A berm sagging as 0.06·(1 − e^(−(x/0.8)²)) m under a pool 10 to 60 mm above its low point: L/s worked out
/// beforehand by another program with C = 1.5; ours has C = 1.70489, so the flow scales by their ratio. The berm
/// is cut into chords of 1 cm, which lie within 1e-5 m of it: 0.3 % of the smallest head^1.5 covers that.
#[test]
fn sagging_berm() {
    let berm = (-400..=400).map(|i| {
        let along_m = f64::from(i) / 100.0;
        let ratio = along_m / 0.8;
        LipPoint { along_m, z_m: 0.06 * (1.0 - libm::exp(-ratio * ratio)) }
    });
    let lip = Lip::new(berm.collect(), Crest::Smooth).unwrap();
    let scale = 1.5 / Crest::Smooth.unit_flow_m2_s(1.0);
    for (mm, l_s) in [(10.0, 0.590), (20.0, 2.418), (40.0, 10.268)] {
        let found = 1000.0 * scale * lip.flow_m3_s(mm / 1000.0);
        assert!((found - l_s).abs() <= 0.003 * l_s, "{mm} mm: {found}");
    }
}

/// A low spot of 6 mm at 7 L/s a metre: critical head 26 mm, so it draws (32/26)^1.5 = 1.37 times the mean. A
/// whole lip tilted by ±6 mm draws that much at its low end too, within the small rise of the pool.
#[test]
fn six_millimetres_out_of_level() {
    let sill = Sill { length_m: 4.0, crest: Crest::Smooth };
    let tilted = out_of_level(&sill, 4.0 * 0.007, 0.006).unwrap();
    assert!((tilted.peak_over_mean - 1.37).abs() <= 0.02, "{tilted:?}");
    assert!(tilted.lower_half_share > 0.55 && tilted.lower_half_share < 0.62, "{tilted:?}");
    assert!(tilted.extra_head_m.abs() < 0.001);
    let level = out_of_level(&sill, 0.028, 0.0).unwrap();
    assert!((level.peak_over_mean - 1.0).abs() <= 1e-4 && level.extra_head_m.abs() <= 1e-6);
    // At a trickle the low end takes nearly all.
    let trickle = out_of_level(&sill, 4.0 * 0.0003, 0.006).unwrap();
    assert!(trickle.lower_half_share > 0.8);
}

#[test]
fn impossible_sills_are_refused() {
    let none = Sill { length_m: 0.0, crest: Crest::Smooth };
    assert!(matches!(none.head_m(0.01), Err(SillError::BadDimension { .. })));
    let sill = Sill { length_m: 1.0, crest: rough(-0.05, 0.5) };
    assert!(matches!(sill.head_m(0.01), Err(SillError::BadDimension { .. })));
    let sill = Sill { length_m: 1.0, crest: rough(0.05, 0.5) };
    assert!(matches!(sill.head_m(f64::NAN), Err(SillError::BadFlow { .. })));
    assert!(Lip::new(vec![], Crest::Smooth).is_err());
    assert_eq!(Sill::length_needed_m(Crest::Smooth, 0.01, 0.0), None);
    assert!(Crest::Smooth.unit_flow_m2_s(f64::NAN).is_nan());
    assert!(rough(0.05, 0.5).unit_flow_m2_s(f64::NAN).is_nan());
}

proptest! {
    /// Head to flow and back. The logarithm is found to 1e-12, which leaves 1e-10 of the head.
    #[test]
    fn flow_undoes_head(n in 0.0..0.2_f64, breadth in 0.0..2.0_f64, q in 1e-5..0.2_f64) {
        let crest = rough(n, breadth);
        let head = crest.head_m(q).unwrap();
        let back = crest.unit_flow_m2_s(head);
        prop_assert!((back - q).abs() <= 1e-6 * q, "{back} against {q}");
    }

    /// Rougher, broader or less head never passes more, and no crest beats the smooth one.
    #[test]
    fn roughness_only_brakes(n in 0.001..0.2_f64, breadth in 0.05..2.0_f64, head in 0.002..0.3_f64) {
        let flow = rough(n, breadth).unit_flow_m2_s(head);
        prop_assert!(flow <= Crest::Smooth.unit_flow_m2_s(head));
        prop_assert!(rough(1.1 * n, breadth).unit_flow_m2_s(head) < flow);
        prop_assert!(rough(n, 1.1 * breadth).unit_flow_m2_s(head) < flow);
        prop_assert!(rough(n, breadth).unit_flow_m2_s(0.9 * head) < flow);
    }
}
