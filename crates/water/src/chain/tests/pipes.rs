//! Pools that empty through pipes.

use super::build::*;
use crate::chain::*;
use crate::pipe::{Mouth, Pipe};

const POOL_M2: f64 = 20.0;

/// Upright pools of [`POOL_M2`], their beds at these heights, piped from the first to `to`.
fn pools(beds_z_m: &[f64], pipe: Pipe, invert_z_m: f64, to: Target) -> Chain {
    let pool = |z_m: &f64| line(&trapezoid(4.0, 0.0, 5.0), POOL_M2 / 4.0, 0.03, TIGHT, &[*z_m]);
    let from = CellAt { line: 0, cell: 0 };
    Chain::new(ChainParts {
        lines: beds_z_m.iter().map(pool).collect(),
        crests: Vec::new(),
        pipes: vec![ChainPipe { from, invert_z_m, to, pipe }],
    })
    .unwrap()
}

/// A full pipe between two pools passes K·√H, as an orifice does, so the root of the difference of levels falls in a
/// straight line: √H = √H₀ − K·(1/A₁ + 1/A₂)·t/2. The pipe is long, so its length rules and not its mouth.
#[test]
fn pools_level_out_through_a_full_pipe_as_through_an_orifice() {
    let pipe =
        Pipe { diameter_m: 0.1, length_m: 60.0, slope: 0.0, manning_n: 0.02, mouth: Mouth::SquareInHeadwall };
    let to = Target::Cell(CellAt { line: 1, cell: 0 });
    let chain = pools(&[0.0, 0.0], pipe, 0.1, to);
    let (upper_m, lower_m) = (2.5_f64, 1.5);
    let falls = pipe.full_flow_m3_s(1.0) / POOL_M2;
    let level_s = (upper_m - lower_m).sqrt() / falls;
    let settings = Settings {
        snapshots_s: (1..5).map(|quarter| 0.24 * f64::from(quarter) * level_s).collect(),
        start: Start::Levels(vec![vec![upper_m], vec![lower_m]]),
        ..until(1.2 * level_s)
    };
    for solver in BOTH {
        let outcome = run_with(solver, &chain, &[], &settings).unwrap();
        for snapshot in &outcome.snapshots {
            let root = (upper_m - lower_m).sqrt() - falls * snapshot.at_s;
            let found_m = snapshot.level_z_m[0][0] - snapshot.level_z_m[1][0];
            assert!((found_m - root * root).abs() <= 0.002, "{solver:?} {} s: {found_m} m", snapshot.at_s);
        }
    }
}

/// A pool through a pipe that spills freely, against the pipe's own law: from h₀ to h it takes ∫ A/Q(h) dh, here by the
/// midpoints of slices of 0.1 mm. Where that law steps down, as the mouth drowns and the length begins to rule, the chain
/// passes what it passed with a lower pool; its law is kept at points and may be half a per cent off.
#[test]
fn the_chains_pipe_is_the_pipe() {
    for (slope, mouth) in [(0.02, Mouth::CorrugatedProjecting), (0.0, Mouth::SquareInHeadwall)] {
        let pipe = Pipe { diameter_m: 0.1, length_m: 6.0, slope, manning_n: 0.012, mouth };
        let (invert_z_m, from_m, to_m, slice_m) = (0.2, 0.8, 0.25, 0.0001);
        let chain = pools(&[0.0], pipe, invert_z_m, Target::Leaves(0));
        let (mut expected_s, mut most_m3_s) = (0.0, 0.0_f64);
        for slice in 0..6000 {
            let pool_m = (f64::from(slice) + 0.5) * slice_m;
            most_m3_s = most_m3_s.max(pipe.flow_m3_s(pool_m, 0.0).unwrap());
            if pool_m > to_m - invert_z_m {
                expected_s += POOL_M2 * slice_m / most_m3_s;
            }
        }
        let settings = Settings { start: Start::Levels(vec![vec![from_m]]), ..until(expected_s) };
        for solver in BOTH {
            let outcome = run_with(solver, &chain, &[], &settings).unwrap();
            let found_m = outcome.snapshots[0].level_z_m[0][0];
            // Half a per cent of the time is this much of the level's fall.
            let room_m = 0.005 * (from_m - to_m);
            assert!((found_m - to_m).abs() <= room_m, "{solver:?} {mouth:?}: {found_m} m");
        }
    }
}
