//! Waves, fronts and varied profiles with known answers, in channels so wide that the sides do not count.

use super::build::*;
use crate::GRAVITY_M_S2;
use crate::chain::*;

const WIDE_M: f64 = 1000.0;

/// Sum of the differences over the sum of the depths.
fn relative_error(found_m: &[f64], expected_m: &[f64]) -> f64 {
    let off: f64 = found_m.iter().zip(expected_m).map(|(a, b)| (a - b).abs()).sum();
    off / expected_m.iter().sum::<f64>()
}

/// Depths at the end of a run of one line from given depths.
fn depths_m(solver: Solver, chain: &Chain, start_m: &[f64], inflows: &[Inflow], end_s: f64) -> Vec<f64> {
    let beds_z_m: Vec<f64> = chain.lines()[0].cells.iter().map(Cell::bed_z_m).collect();
    let levels = beds_z_m.iter().zip(start_m).map(|(z, h)| z + h).collect();
    let settings = Settings { start: Start::Levels(vec![levels]), ..until(end_s) };
    let outcome = run_with(solver, chain, inflows, &settings).unwrap();
    assert!(outcome.balance.balance_error_frac <= 1e-9);
    outcome.snapshots[0].level_z_m[0].iter().zip(&beds_z_m).map(|(level, z)| level - z).collect()
}

/// A dam breaks onto standing water, 1 m onto 0.1 m: behind the bore the depth hm fulfils
/// 2(c_l − c_m) = (hm − hr)·√(g(hm + hr)/(2·hm·hr)), the bore runs at hm·um/(hm − hr).
#[test]
fn a_dam_breaks_onto_standing_water() {
    let (left_m, right_m) = (1.0_f64, 0.1);
    let c = |h: f64| (GRAVITY_M_S2 * h).sqrt();
    let middle_m = crate::root::rising_root(0.3, 1e-9, |h| {
        let jump = (h - right_m) * (GRAVITY_M_S2 * (h + right_m) / (2.0 * h * right_m)).sqrt();
        jump - 2.0 * (c(left_m) - c(h))
    })
    .unwrap();
    let middle_m_s = 2.0 * (c(left_m) - c(middle_m));
    let bore_m_s = middle_m * middle_m_s / (middle_m - right_m);
    let exact_m = |x_over_t: f64| {
        if x_over_t <= -c(left_m) {
            left_m
        } else if x_over_t <= middle_m_s - c(middle_m) {
            let twice = 2.0 * c(left_m) - x_over_t;
            twice * twice / (9.0 * GRAVITY_M_S2)
        } else if x_over_t <= bore_m_s {
            middle_m
        } else {
            right_m
        }
    };
    let error = |length_m: f64| {
        let cells = (60.0 / length_m) as usize;
        let chain = alone(line(&trapezoid(WIDE_M, 0.0, 2.0), length_m, 0.0, TIGHT, &vec![0.0; cells]));
        let at_m: Vec<f64> = (0..cells).map(|i| (i as f64 + 0.5) * length_m - 30.0).collect();
        let start_m: Vec<f64> = at_m.iter().map(|x| if *x < 0.0 { left_m } else { right_m }).collect();
        let expected_m: Vec<f64> = at_m.iter().map(|x| exact_m(x / 3.0)).collect();
        relative_error(&depths_m(Solver::SmallSteps, &chain, &start_m, &[], 3.0), &expected_m)
    };
    let (coarse, fine) = (error(0.5), error(0.1));
    assert!(coarse <= 0.015 && fine <= 0.4 * coarse, "{coarse}, {fine}");
}

/// Water swings in a parabolic bowl, its shore moving, without friction (Thacker 1981): after three whole swings of
/// 2π/√(2·g·h₀) it is back where it began. First order: the error falls with the cell.
#[test]
fn water_swings_in_a_bowl() {
    let deep_m = 0.5;
    let period_s = 2.0 * std::f64::consts::PI / (2.0 * GRAVITY_M_S2 * deep_m).sqrt();
    let error = |length_m: f64| {
        let cells = (4.0 / length_m) as usize;
        let at = |i: usize| (i as f64 + 0.5) * length_m - 2.0;
        let beds_z_m: Vec<f64> = (0..cells).map(|i| deep_m * (at(i) * at(i) - 1.0)).collect();
        let chain = alone(line(&trapezoid(WIDE_M, 0.0, 3.0), length_m, 0.0, TIGHT, &beds_z_m));
        let start_m: Vec<f64> =
            (0..cells).map(|i| (deep_m * (1.0 - (at(i) + 0.5) * (at(i) + 0.5))).max(0.0)).collect();
        relative_error(&depths_m(Solver::SmallSteps, &chain, &start_m, &[], 3.0 * period_s), &start_m)
    };
    let (coarse, fine) = (error(0.05), error(0.02));
    assert!(coarse <= 0.25 && fine <= 0.5 * coarse, "{coarse}, {fine}");
}

/// A steady profile over a bed made for it (MacDonald's way): choose h(x), then the bed falls by
/// S₀ = (1 − q²/(g·h³))·h′ + n²q²/h^(10/3). Close to critical at both ends, so what the water brings along counts.
#[test]
fn a_varied_profile_stands_over_its_bed() {
    let (unit_m2_s, manning_n) = (2.0, 0.033);
    let critical = libm::cbrt(4.0 / GRAVITY_M_S2);
    let bump = |x: f64| 0.5 * libm::exp(-16.0 * (x / 1000.0 - 0.5) * (x / 1000.0 - 0.5));
    let depth_m = |x: f64| critical * (1.0 + bump(x));
    let fall = |x: f64| {
        let h = depth_m(x);
        let growth = critical * bump(x) * -32.0 * (x / 1000.0 - 0.5) / 1000.0;
        let cube = h * h * h;
        (1.0 - unit_m2_s * unit_m2_s / (GRAVITY_M_S2 * cube)) * growth
            + manning_n * manning_n * unit_m2_s * unit_m2_s / (cube * libm::cbrt(h))
    };
    let error = |solver: Solver, length_m: f64| {
        let cells = (1000.0 / length_m) as usize;
        let (mut z_m, mut beds_z_m) = (0.0, Vec::new());
        for step in (0..2 * cells).rev() {
            // Middles of half cells: beds at the middles of cells and at their edges.
            z_m += 0.5 * length_m * fall((step as f64 + 0.5) * 0.5 * length_m);
            if step % 2 == 1 {
                beds_z_m.push(z_m);
            }
        }
        beds_z_m.reverse();
        let mut channel = line(&trapezoid(WIDE_M, 0.0, 3.0), length_m, manning_n, TIGHT, &beds_z_m);
        channel.ends[1] = End::Level { z_m: depth_m(1000.0), to: Target::Leaves(0) };
        let chain = alone(channel);
        let expected_m: Vec<f64> = (0..cells).map(|i| depth_m((i as f64 + 0.5) * length_m)).collect();
        let inflow = into_cell(0, cells, 0, unit_m2_s * WIDE_M, 3000.0);
        relative_error(&depths_m(solver, &chain, &expected_m, &[inflow], 3000.0), &expected_m)
    };
    let (coarse, fine) = (error(Solver::SmallSteps, 10.0), error(Solver::SmallSteps, 5.0));
    let long = error(Solver::LongSteps, 10.0);
    assert!(coarse <= 0.006 && fine <= 0.6 * coarse, "{coarse}, {fine}");
    // Without what the water brings along the profile is 2 % off however short the cells.
    assert!(long <= 0.03, "{long}");
}

/// The same at the size of a swale: trapezoid, 20 L/s, h = 0.16 + 0.06·exp(−16·(x/60 − ½)²), alone and with 0.2 L/s
/// soaking from each metre, which leaves at the water's speed:
/// S₀ = (1 − Q²T/(g·A³))·h′ + n²Q²/(A²R^(4/3)) + Q·Q′/(g·A²).
/// The bed's height at x = 0 was worked out beforehand by another program.
#[test]
fn a_swales_profile_stands_over_its_bed() {
    let (bed_m, batter, manning_n) = (0.4, 1.5_f64, 0.05);
    let side = (1.0 + batter * batter).sqrt();
    let bump = |x: f64| 0.06 * libm::exp(-16.0 * (x / 60.0 - 0.5) * (x / 60.0 - 0.5));
    let depth_m = |x: f64| 0.16 + bump(x);
    let area_m2 = |h: f64| h * (bed_m + batter * h);
    let wetted_m = |h: f64| bed_m + 2.0 * side * h;
    for (seeps_m2_s, top_z_m) in [(0.0, 0.071_598), (0.0002, 0.036_355)] {
        let fall = |x: f64| {
            let (h, flow_m3_s) = (depth_m(x), 0.02 - seeps_m2_s * x);
            let growth = bump(x) * -32.0 * (x / 60.0 - 0.5) / 60.0;
            let (a, radius_m) = (area_m2(h), area_m2(h) / wetted_m(h));
            let square = flow_m3_s * flow_m3_s;
            let froude = square * (bed_m + 2.0 * batter * h) / (GRAVITY_M_S2 * a * a * a);
            let friction = manning_n * manning_n * square / (a * a * radius_m * libm::cbrt(radius_m));
            (1.0 - froude) * growth + friction - flow_m3_s * seeps_m2_s / (GRAVITY_M_S2 * a * a)
        };
        let (cells, length_m) = (60, 1.0);
        let (mut z_m, mut beds_z_m) = (0.0, Vec::new());
        for step in (0..2 * cells).rev() {
            z_m += 0.5 * length_m * fall((f64::from(step) + 0.5) * 0.5 * length_m);
            if step % 2 == 1 {
                beds_z_m.push(z_m);
            }
        }
        assert!((z_m - top_z_m).abs() <= 5e-6, "{z_m}");
        beds_z_m.reverse();
        let mut swale = line(&trapezoid(bed_m, batter, 1.0), length_m, manning_n, TIGHT, &beds_z_m);
        let expected_m: Vec<f64> = (0..cells).map(|i| depth_m((f64::from(i) + 0.5) * length_m)).collect();
        for (cell, h) in swale.cells.iter_mut().zip(&expected_m) {
            cell.soak = Soak::Steady { rate_m_s: seeps_m2_s / wetted_m(*h) };
        }
        swale.ends[1] = End::Level { z_m: depth_m(60.0), to: Target::Leaves(0) };
        let chain = alone(swale);
        let inflow = into_cell(0, 60, 0, 0.02, 1000.0);
        // Without what the water brings along it is a quarter of a per cent off.
        for (solver, room) in [(Solver::SmallSteps, 0.0015), (Solver::LongSteps, 0.005)] {
            let found_m = depths_m(solver, &chain, &expected_m, std::slice::from_ref(&inflow), 1000.0);
            let error = relative_error(&found_m, &expected_m);
            assert!(error <= room, "{solver:?}, {seeps_m2_s} m²/s soaking: {error}");
        }
    }
}

/// An hour of 60 mm/h on a plane of 100 m at 10 %, n = 0.15 (kinematic wave, Woolhiser and Liggett 1967): the depth
/// at the foot rises as i·t to (i·L/α)^0.6, α = √S/n, and falls after the rain as
/// L = q/i + (5/3)·α^0.6·q^0.4·(t − T). The foot is half a metre above the end of the last cell.
#[test]
fn rain_on_a_plane_rises_and_falls() {
    let (rain_m_s, slope, manning_n) = (60.0 / 3.6e6, 0.1_f64, 0.15);
    let beds_z_m: Vec<f64> = (0..100).map(|i| -slope * f64::from(i)).collect();
    let mut plane = line(&trapezoid(WIDE_M, 0.0, 1.0), 1.0, manning_n, TIGHT, &beds_z_m);
    plane.ends[1] = End::NormalFlow { slope, to: Target::Leaves(0) };
    let chain = alone(plane);
    let rain = Inflow {
        line: 0,
        shares: vec![0.01; 100],
        step_s: 3600.0,
        flow_m3_s: vec![rain_m_s * 100.0 * WIDE_M],
    };
    let expected = [
        (300.0, 5.0000),
        (600.0, 10.0000),
        (1800.0, 13.7646),
        (3600.0, 13.7646),
        (3900.0, 9.4072),
        (4200.0, 6.3611),
        (4800.0, 3.1852),
        (5400.0, 1.8810),
    ];
    let settings =
        Settings { snapshots_s: expected.iter().map(|(at_s, _)| *at_s).collect(), ..until(5400.0) };
    for solver in BOTH {
        let outcome = run_with(solver, &chain, std::slice::from_ref(&rain), &settings).unwrap();
        for (snapshot, (at_s, expected_mm)) in outcome.snapshots.iter().zip(expected) {
            let found_mm = 1000.0 * (snapshot.level_z_m[0][99] - beds_z_m[99]);
            assert!(
                (found_mm - expected_mm).abs() <= 0.03 * expected_mm,
                "{solver:?} {at_s} s: {found_mm} mm"
            );
        }
    }
}

/// Water advances down a dry soaking slope: behind the front q = q₀ − I·x, and the front passes x at
/// t = (5/3)/(I·α^0.6)·(q₀^0.6 − (q₀ − I·x)^0.6). The true toe runs a little ahead of that shock at first.
#[test]
fn a_front_advances_over_a_thirsty_bed() {
    let (unit_m2_s, slope, manning_n, soaks_m_s) = (0.01, 0.01_f64, 0.05, 5e-5);
    let alpha = slope.sqrt() / manning_n;
    let cells = 210;
    let beds_z_m: Vec<f64> = (0..cells).map(|i| -slope * f64::from(i)).collect();
    let soak = Soak::Steady { rate_m_s: soaks_m_s };
    let chain = alone(line(&trapezoid(WIDE_M, 0.0, 1.0), 1.0, manning_n, soak, &beds_z_m));
    let inflow = into_cell(0, cells as usize, 0, unit_m2_s * WIDE_M, 4000.0);
    for solver in BOTH {
        let outcome = run_with(solver, &chain, std::slice::from_ref(&inflow), &until(4000.0)).unwrap();
        let line = &outcome.lines[0];
        for at in [50, 100, 150] {
            let left = unit_m2_s - soaks_m_s * f64::from(at);
            let expected_s = 5.0 / 3.0 / (soaks_m_s * libm::pow(alpha, 0.6))
                * (libm::pow(unit_m2_s, 0.6) - libm::pow(left, 0.6));
            let found_s = line.cells[at as usize].first_wet_s.unwrap();
            assert!((found_s - expected_s).abs() <= 0.05 * expected_s, "{solver:?} {at} m: {found_s} s");
        }
        // The reach is q₀/I = 200 m, found to a cell each side.
        let reach = line.cells.iter().filter(|cell| cell.first_wet_s.is_some()).count();
        assert!(reach.abs_diff(200) <= 2, "{solver:?}: {reach}");
    }
}
