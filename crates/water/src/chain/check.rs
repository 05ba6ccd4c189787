//! The check of a run at the door.

use super::inflow::{Inflow, RunError, Settings, Start};
use super::model::Chain;

/// Room for rounding in shares that must add up to 1.
const SHARES_ROOM: f64 = 1e-9;

/// Checks settings and inflows against a chain.
pub(super) fn check(chain: &Chain, inflows: &[Inflow], settings: &Settings) -> Result<(), RunError> {
    for (name, value) in
        [("end of the run", settings.end_s), ("step of the hydrographs", settings.hydrograph_step_s)]
    {
        if !(value.is_finite() && value > 0.0) {
            return Err(RunError::BadTime { name, value });
        }
    }
    let mut before_s = 0.0;
    for (index, &at_s) in settings.snapshots_s.iter().enumerate() {
        if !(at_s >= before_s && at_s <= settings.end_s) {
            return Err(RunError::BadSnapshot { index, at_s, end_s: settings.end_s });
        }
        before_s = at_s;
    }
    for (index, inflow) in inflows.iter().enumerate() {
        check_inflow(chain, index, inflow)?;
    }
    check_start(chain, &settings.start)
}

fn check_inflow(chain: &Chain, index: usize, inflow: &Inflow) -> Result<(), RunError> {
    if !(inflow.step_s.is_finite() && inflow.step_s > 0.0) {
        return Err(RunError::BadTime { name: "step of an inflow", value: inflow.step_s });
    }
    let cells = chain.lines().get(inflow.line).map_or(0, |line| line.cells.len());
    if cells == 0 || cells != inflow.shares.len() {
        return Err(RunError::SharesMissing {
            inflow: index,
            line: inflow.line,
            found: inflow.shares.len(),
            cells,
        });
    }
    let sum: f64 = inflow.shares.iter().sum();
    let sound = inflow.shares.iter().all(|share| *share >= 0.0);
    if !(sound && (sum - 1.0).abs() <= SHARES_ROOM) {
        return Err(RunError::BadShares { inflow: index, sum });
    }
    for (step, &flow_m3_s) in inflow.flow_m3_s.iter().enumerate() {
        if !(flow_m3_s.is_finite() && flow_m3_s >= 0.0) {
            return Err(RunError::BadFlow { inflow: index, step, flow_m3_s });
        }
    }
    Ok(())
}

fn check_start(chain: &Chain, start: &Start) -> Result<(), RunError> {
    let Start::Levels(levels) = start else {
        return Ok(());
    };
    let lines = chain.lines().len().max(levels.len());
    for line in 0..lines {
        let cells = chain.lines().get(line).map(|l| l.cells.len());
        let given = levels.get(line);
        let finite = given.is_some_and(|given| given.iter().all(|z| z.is_finite()));
        if cells != given.map(Vec::len) || !finite {
            return Err(RunError::BadStart { line });
        }
    }
    Ok(())
}
