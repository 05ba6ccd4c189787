//! Small chains to ask.

use crate::chain::*;
use crate::section::{Corner, Section};

/// A trapezoid dug into level ground, its bed at 0.
pub(super) fn trapezoid(bed_m: f64, batter: f64, deep_m: f64) -> Section {
    let half_m = 0.5 * bed_m;
    let out_m = half_m + batter * deep_m;
    let corner = |offset_m, z_m| Corner { offset_m, z_m };
    let corners =
        vec![corner(-out_m, deep_m), corner(-half_m, 0.0), corner(half_m, 0.0), corner(out_m, deep_m)];
    Section::new(corners, 0.0).unwrap()
}

pub(super) const TIGHT: Soak = Soak::Steady { rate_m_s: 0.0 };

/// A line of equal cells over a bed.
pub(super) fn line(
    section: &Section,
    length_m: f64,
    manning_n: f64,
    soak: Soak,
    beds_z_m: &[f64],
) -> ChainLine {
    let cells = beds_z_m
        .iter()
        .map(|z_m| Cell { length_m, ground_z_m: *z_m, section: section.clone(), manning_n, soak })
        .collect();
    ChainLine { cells, ends: [End::Closed, End::Closed] }
}

pub(super) fn alone(line: ChainLine) -> Chain {
    Chain::new(ChainParts { lines: vec![line], ..ChainParts::default() }).unwrap()
}

/// A steady inflow at one cell.
pub(super) fn into_cell(line: usize, cells: usize, cell: usize, flow_m3_s: f64, seconds: f64) -> Inflow {
    let mut shares = vec![0.0; cells];
    shares[cell] = 1.0;
    Inflow { line, shares, step_s: seconds, flow_m3_s: vec![flow_m3_s] }
}

pub(super) fn until(end_s: f64) -> Settings {
    Settings { end_s, snapshots_s: vec![end_s], hydrograph_step_s: end_s / 10.0, start: Start::Dry }
}

/// A smooth sill of line 0, whose water leaves.
pub(super) fn sill(cell: usize, z_m: f64, length_m: f64) -> ChainCrest {
    ChainCrest {
        line: 0,
        kind: CrestKind::Sill,
        crest: crate::weir::Crest::Smooth,
        parts: vec![CrestPart { cell, z_m, length_m, to: Target::Leaves(0) }],
    }
}

pub(super) const BOTH: [Solver; 2] = [Solver::LongSteps, Solver::SmallSteps];
