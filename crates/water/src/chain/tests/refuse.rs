//! Chains and runs that are refused, each with its own words.

use super::build::*;
use crate::chain::*;
use crate::pipe::{Mouth, Pipe};
use crate::weir::Crest;

/// Two lines of three cells, the upper with a sill into the lower and a pipe out.
fn parts() -> ChainParts {
    let section = trapezoid(0.4, 1.0, 0.6);
    let pipe = Pipe {
        diameter_m: 0.1,
        length_m: 3.0,
        slope: 0.02,
        manning_n: 0.012,
        mouth: Mouth::SquareInHeadwall,
    };
    let mut over = sill(2, 1.3, 0.5);
    over.parts[0].to = Target::Cell(CellAt { line: 1, cell: 0 });
    ChainParts {
        lines: vec![line(&section, 1.0, 0.05, TIGHT, &[1.0; 3]), line(&section, 1.0, 0.05, TIGHT, &[0.0; 3])],
        crests: vec![over],
        pipes: vec![ChainPipe {
            from: CellAt { line: 0, cell: 0 },
            invert_z_m: 1.1,
            to: Target::Leaves(0),
            pipe,
        }],
    }
}

fn refused(spoil: impl Fn(&mut ChainParts)) -> String {
    let mut parts = parts();
    spoil(&mut parts);
    Chain::new(parts).unwrap_err().to_string()
}

#[test]
fn what_is_no_chain_is_refused() {
    assert!(Chain::new(parts()).is_ok());
    let back = Target::Cell(CellAt { line: 0, cell: 0 });
    let nowhere = Target::Cell(CellAt { line: 1, cell: 3 });
    for (said, expected) in [
        (refused(|p| p.lines[1].cells.clear()), "line 1 has no pieces"),
        (refused(|p| p.crests[0].parts.clear()), "crest 0 has no pieces"),
        (refused(|p| p.lines[0].cells[1].length_m = 0.0), "line 0 cell 1: length_m is 0"),
        (refused(|p| p.lines[0].cells[1].manning_n = -0.1), "line 0 cell 1: manning_n is -0.1"),
        (refused(|p| p.lines[0].cells[1].ground_z_m = f64::NAN), "ground_z_m is NaN"),
        (refused(|p| p.lines[0].cells[1].soak = Soak::Steady { rate_m_s: -1.0 }), "soak rate_m_s is -1"),
        (
            refused(|p| p.lines[1].ends[1] = End::Level { z_m: f64::INFINITY, to: Target::Leaves(0) }),
            "z_m is inf",
        ),
        (
            refused(|p| p.lines[1].ends[1] = End::NormalFlow { slope: 0.0, to: Target::Leaves(0) }),
            "slope is 0",
        ),
        (refused(|p| p.crests[0].parts[0].length_m = 0.0), "crest 0: length_m is 0"),
        (
            refused(|p| p.crests[0].crest = Crest::Rough { breadth_m: -1.0, manning_n: 0.05 }),
            "breadth_m is -1",
        ),
        (refused(|p| p.pipes[0].pipe.diameter_m = 0.0), "pipe 0: diameter_m is 0"),
        (refused(|p| p.pipes[0].pipe.slope = -0.01), "pipe 0: slope is -0.01"),
        (refused(|p| p.crests[0].parts[0].cell = 3), "crest 0 names line 0 cell 3"),
        (refused(|p| p.pipes[0].to = nowhere), "pipe 0 names line 1 cell 3"),
        (refused(|p| p.pipes[0].to = back), "pipe 0 leads line 0 back into itself"),
        (refused(|p| p.lines[1].ends[1] = End::FreeFall { to: back }), "in a circle"),
    ] {
        assert!(said.contains(expected), "{said}");
    }
}

/// Without friction there is no normal depth: the flow would have no bound.
#[test]
fn a_bed_without_friction_has_no_normal_flow() {
    let said = refused(|p| {
        p.lines[1].cells[2].manning_n = 0.0;
        p.lines[1].ends[1] = End::NormalFlow { slope: 0.01, to: Target::Leaves(0) };
    });
    assert!(said.contains("line 1 end 1: manning_n of its cell is 0"), "{said}");
}

#[test]
fn runs_that_cannot_be_are_refused() {
    let chain = Chain::new(parts()).unwrap();
    let rain = into_cell(0, 3, 1, 0.001, 600.0);
    let said = |inflow: &Inflow, settings: &Settings| {
        run(&chain, std::slice::from_ref(inflow), settings).unwrap_err().to_string()
    };
    let hour = until(3600.0);
    assert!(run(&chain, std::slice::from_ref(&rain), &hour).is_ok());
    for (said, expected) in [
        (said(&rain, &Settings { end_s: 0.0, ..hour.clone() }), "end of the run is 0 s"),
        (
            said(&rain, &Settings { hydrograph_step_s: f64::NAN, ..hour.clone() }),
            "step of the hydrographs is NaN",
        ),
        (said(&Inflow { step_s: 0.0, ..rain.clone() }, &hour), "step of an inflow is 0 s"),
        (said(&rain, &Settings { snapshots_s: vec![20.0, 10.0], ..hour.clone() }), "snapshot 1 at 10 s"),
        (said(&rain, &Settings { snapshots_s: vec![4000.0], ..hour.clone() }), "snapshot 0 at 4000 s"),
        (said(&Inflow { line: 2, ..rain.clone() }, &hour), "3 shares for line 2, which has 0 cells"),
        (
            said(&Inflow { shares: vec![1.0], ..rain.clone() }, &hour),
            "1 shares for line 0, which has 3 cells",
        ),
        (said(&Inflow { shares: vec![0.5; 3], ..rain.clone() }, &hour), "add up to 1.5"),
        (
            said(&Inflow { flow_m3_s: vec![0.0, -0.1], ..rain.clone() }, &hour),
            "step 1 of inflow 0 is -0.1 m³/s",
        ),
        (said(&rain, &Settings { start: Start::Levels(vec![vec![0.0; 3]]), ..hour.clone() }), "line 1"),
    ] {
        assert!(said.contains(expected), "{said}");
    }
}

/// Twelve sills beside one small cell: each by itself fits the small step, together they ask for more water than
/// there is, step after step. However well its balance closes, such an answer is refused.
#[test]
fn an_answer_held_back_too_often_is_refused() {
    let mut parts = ChainParts {
        lines: vec![line(&trapezoid(0.4, 1.0, 0.6), 1.0, 0.05, TIGHT, &[0.0])],
        ..ChainParts::default()
    };
    parts.crests = vec![sill(0, 0.0, 1.0); 12];
    let chain = Chain::new(parts).unwrap();
    let rain = into_cell(0, 1, 0, 0.01, 600.0);
    let error = run_with(Solver::SmallSteps, &chain, std::slice::from_ref(&rain), &until(600.0)).unwrap_err();
    assert!(
        matches!(error, RunError::LimiterActive { limited_steps_frac } if limited_steps_frac > 0.01),
        "{error}"
    );
    // The long steps solve all of them together and hold nothing back.
    let outcome = run(&chain, &[rain], &until(600.0)).unwrap();
    assert_eq!(outcome.work.limited_steps_frac, 0.0);
}
