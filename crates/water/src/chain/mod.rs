//! A chain of lines in time: water that runs along, soaks, ponds behind humps, passes sills and pipes, goes over the
//! bank where it is low, and on to the next line.
//!
//! Each line is cut into short cells with one level each. In every step each cell gets what arrives and loses what
//! soaks; between cells water speeds up by the fall of its surface and is braked by the bed:
//!
//!   dV/dt = arriving − K·P·L + Q_in − Q_out        du/dt + u·du/dx + g·dη/dx + g·n²·u·|u|/R^(4/3) = 0
//!
//! with V the volume of a cell of length L, P its wetted perimeter, η the level, Q = u·A.
//!
//! Sources: the equations of Saint-Venant, V. T. Chow, Open-Channel Hydraulics, 1959, ch. 18; scheme on staggered
//! cells, Stelling and Duinmeijer 2003, Int. J. Numer. Meth. Fluids 43. Leaves out: wind, bends, litter, what
//! the water carries off the bed and bank, soaking from ground that is saturated from below.

mod arrivals;
mod check;
mod cube_root;
mod eliminate;
mod explicit;
mod implicit;
mod inflow;
mod laws;
mod ledger;
mod model;
mod network;
mod outcome;
mod table;

use arrivals::Arrivals;
use explicit::Explicit;
use implicit::Implicit;
use ledger::Ledger;
use network::Network;

pub use inflow::{Inflow, RunError, Settings, Start};
pub use model::{
    Cell, CellAt, Chain, ChainCrest, ChainError, ChainLine, ChainParts, ChainPipe, ChainPlace, CrestKind,
    CrestPart, End, Soak, Target,
};
pub use outcome::{
    Balance, CellOutcome, CrestOutcome, Hydrograph, LineOutcome, LinkOutcome, Outcome, Passage, Snapshot,
    WET_DEPTH_M, Work,
};

/// Share of limited steps above which an answer is refused: water that has to be held back was asked for wrongly.
const LIMITED_FRAC: f64 = 0.01;

/// Which solver.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Solver {
    /// Long steps, solved together: the one to use.
    LongSteps,
    /// Small steps with every force in them: the reference, hundreds of times slower.
    SmallSteps,
}

/// What becomes of the water in a chain.
///
/// # Errors
/// If settings or inflows do not fit the chain, a law cannot be solved, or the answer could not be trusted.
pub fn run(chain: &Chain, inflows: &[Inflow], settings: &Settings) -> Result<Outcome, RunError> {
    run_with(Solver::LongSteps, chain, inflows, settings)
}

/// The same with a solver of choice.
///
/// # Errors
/// As [`run`].
pub fn run_with(
    solver: Solver,
    chain: &Chain,
    inflows: &[Inflow],
    settings: &Settings,
) -> Result<Outcome, RunError> {
    check::check(chain, inflows, settings)?;
    let network = Network::new(chain)?;
    let volumes_m3 = start_volumes(&network, &settings.start);
    let arrivals: Vec<Arrivals> =
        inflows.iter().map(|inflow| Arrivals::new(inflow, network.first[inflow.line])).collect();
    let ledger = Ledger::new(&network, settings, chain, &volumes_m3);
    let outcome = match solver {
        Solver::LongSteps => Implicit::new(&network, volumes_m3).run(&arrivals, settings, ledger)?,
        Solver::SmallSteps => Explicit::new(&network, volumes_m3).run(&arrivals, settings, ledger)?,
    };
    let limited_steps_frac = outcome.work.limited_steps_frac;
    if limited_steps_frac > LIMITED_FRAC {
        return Err(RunError::LimiterActive { limited_steps_frac });
    }
    Ok(outcome)
}

fn start_volumes(network: &Network, start: &Start) -> Vec<f64> {
    match start {
        Start::Dry => vec![0.0; network.nodes.len()],
        Start::Levels(levels) => {
            let levels = levels.iter().flatten();
            network.nodes.iter().zip(levels).map(|(node, z_m)| node.volume_m3(*z_m)).collect()
        }
    }
}

#[cfg(test)]
mod tests;
