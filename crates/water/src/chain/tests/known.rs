//! Closed forms and published profiles.

use super::build::*;
use crate::GRAVITY_M_S2;
use crate::chain::*;
use crate::manning::{Channel, Trapezoid};
use crate::weir::Crest;

/// Level water over a bed with a trench and a berm that stands out of it stays as it is.
#[test]
fn a_lake_at_rest_stays_at_rest() {
    let beds_z_m: Vec<f64> = (0..40)
        .map(|i| match i {
            12..15 => 0.5,
            30..33 => -0.4,
            _ => 0.05 * f64::from((7 * i) % 11) / 11.0,
        })
        .collect();
    let chain = alone(line(&trapezoid(0.5, 1.5, 1.0), 1.0, 0.03, TIGHT, &beds_z_m));
    let settings = Settings { start: Start::Levels(vec![vec![0.2; 40]]), ..until(600.0) };
    for solver in BOTH {
        let outcome = run_with(solver, &chain, &[], &settings).unwrap();
        for (level_z_m, bed_z_m) in outcome.snapshots[0].level_z_m[0].iter().zip(&beds_z_m) {
            let expected_z_m = if *bed_z_m < 0.2 { 0.2 } else { *bed_z_m };
            assert!((level_z_m - expected_z_m).abs() <= 1e-12, "{solver:?}: {level_z_m}");
        }
        assert!(outcome.snapshots[0].speed_m_s[0].iter().all(|u| u.abs() <= 1e-12));
    }
}

/// Manning's depths in trapezoid, triangle and slot, mild and steep: after a while the line runs at normal depth
/// from end to end. The tolerance is 0.1 % of the depth.
#[test]
fn a_steady_drain_runs_at_normal_depth() {
    for (bed_m, batter, flow_l_s, manning_n, slope) in [
        (0.3, 1.5, 10.0, 0.035, 0.002),
        (0.3, 1.5, 30.0, 0.08, 0.005),
        (0.5, 1.5, 50.0, 0.03, 0.0025),
        (0.0, 3.0, 20.0, 0.05, 0.01),
        (0.5, 0.0, 20.0, 0.03, 0.005),
        (0.3, 1.5, 30.0, 0.045, 0.10),
        (0.0, 1.0, 5.0, 0.03, 0.05),
    ] {
        let channel = Channel { section: Trapezoid { bed_width_m: bed_m, batter }, slope, manning_n };
        let expected_m = channel.uniform(flow_l_s / 1000.0).unwrap().depth_m;
        let beds_z_m: Vec<f64> = (0..30).map(|i| -slope * f64::from(i)).collect();
        let mut drain = line(&trapezoid(bed_m, batter, 0.6), 1.0, manning_n, TIGHT, &beds_z_m);
        drain.ends[1] = End::NormalFlow { slope, to: Target::Leaves(0) };
        let chain = alone(drain);
        let inflow = into_cell(0, 30, 0, flow_l_s / 1000.0, 1200.0);
        for solver in BOTH {
            let outcome = run_with(solver, &chain, std::slice::from_ref(&inflow), &until(1200.0)).unwrap();
            let levels_z_m = &outcome.snapshots[0].level_z_m[0];
            for cell in 5..30 {
                let depth_m = levels_z_m[cell] - beds_z_m[cell];
                assert!(
                    (depth_m - expected_m).abs() <= 0.001 * expected_m,
                    "{solver:?}, slope {slope}, cell {cell}: {depth_m} for {expected_m}"
                );
            }
        }
    }
}

/// A pool behind a sill, level A·dz/dt = −C·L·z^1.5: z = z₀/(1 + C·L·√z₀·t/(2A))².
#[test]
fn a_pool_empties_over_a_sill() {
    let pool = line(&trapezoid(10.0, 0.0, 1.0), 10.0, 0.03, TIGHT, &[-0.2]);
    let chain = Chain::new(ChainParts {
        lines: vec![pool],
        crests: vec![ChainCrest {
            line: 0,
            kind: CrestKind::Sill,
            crest: Crest::Smooth,
            parts: vec![CrestPart { cell: 0, z_m: 0.0, length_m: 1.0, to: Target::Leaves(0) }],
        }],
        pipes: Vec::new(),
    })
    .unwrap();
    let settings = Settings {
        snapshots_s: vec![60.0, 300.0, 600.0, 1800.0, 3600.0],
        start: Start::Levels(vec![vec![0.1]]),
        ..until(3600.0)
    };
    let coefficient = Crest::Smooth.unit_flow_m2_s(1.0);
    for solver in BOTH {
        let outcome = run_with(solver, &chain, &[], &settings).unwrap();
        for snapshot in &outcome.snapshots {
            let spread = 1.0 + coefficient * 0.1_f64.sqrt() * snapshot.at_s / 200.0;
            let expected_m = 0.1 / (spread * spread);
            let head_m = snapshot.level_z_m[0][0];
            assert!((head_m - expected_m).abs() <= 0.001);
        }
    }
}

/// Through the wetted perimeter of a long trapezoid, with s = √(1 + z²):
/// t = [(z/s)·h + (b/(2s))·(1 − z/s)·ln(1 + 2·s·h/b)]/K. Then nothing at all is left.
#[test]
fn a_leaking_pond_empties_in_the_time_of_its_perimeter() {
    for (bed_m, batter, deep_m, rate_mm_h) in
        [(0.5, 1.5_f64, 0.30, 20.0), (0.3, 1.0, 0.40, 10.0), (1.0, 3.0, 0.25, 50.0_f64)]
    {
        let side = (1.0 + batter * batter).sqrt();
        let share: f64 = batter / side;
        let expected_h = (share * deep_m
            + bed_m / (2.0 * side) * (1.0 - share) * libm::log(1.0 + 2.0 * side * deep_m / bed_m))
            / (rate_mm_h / 1000.0);
        let soak = Soak::Steady { rate_m_s: rate_mm_h / 3.6e6 };
        let chain = alone(line(&trapezoid(bed_m, batter, 1.0), 1.0, 0.03, soak, &[0.0; 3]));
        let settings = Settings { start: Start::Levels(vec![vec![deep_m; 3]]), ..until(60.0 * 3600.0) };
        for solver in BOTH {
            let outcome = run_with(solver, &chain, &[], &settings).unwrap();
            let drained_h = outcome.lines[0].drained_s.unwrap() / 3600.0;
            let film_h = 1000.0 * WET_DEPTH_M / rate_mm_h;
            assert!((drained_h + film_h - expected_h).abs() <= 0.02 * expected_h);
            assert_eq!(outcome.lines[0].stored_m3, 0.0);
        }
    }
}

/// A dam breaks onto a dry bed without friction: h = (2c₀ − x/t)²/(9g). Relative error of the depths, added up:
/// first order, so half the cell gives about half of it.
#[test]
fn a_dam_breaks_onto_a_dry_bed() {
    let error = |length_m: f64| {
        let cells = (60.0 / length_m) as usize;
        let chain = alone(line(&trapezoid(1000.0, 0.0, 2.0), length_m, 0.0, TIGHT, &vec![0.0; cells]));
        let at = |cell: usize| (cell as f64 + 0.5) * length_m - 30.0;
        let levels = (0..cells).map(|cell| if at(cell) < 0.0 { 1.0 } else { 0.0 }).collect();
        let settings = Settings { start: Start::Levels(vec![levels]), ..until(3.0) };
        let outcome = run_with(Solver::SmallSteps, &chain, &[], &settings).unwrap();
        let wave_m_s = GRAVITY_M_S2.sqrt();
        let (mut off, mut sum) = (0.0, 0.0);
        for cell in 0..cells {
            let speed = at(cell) / 3.0;
            let expected_m = if speed <= -wave_m_s {
                1.0
            } else if speed >= 2.0 * wave_m_s {
                0.0
            } else {
                (2.0 * wave_m_s - speed) * (2.0 * wave_m_s - speed) / (9.0 * GRAVITY_M_S2)
            };
            off += (outcome.snapshots[0].level_z_m[0][cell] - expected_m).abs();
            sum += expected_m;
        }
        off / sum
    };
    let (coarse, fine) = (error(0.5), error(0.1));
    assert!(coarse <= 0.03 && fine <= 0.01, "{coarse}, {fine}");
}
