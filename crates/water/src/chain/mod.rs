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

mod inflow;
mod model;
mod outcome;

pub use inflow::{Inflow, RunError, Settings, Start};
pub use model::{
    Cell, CellAt, Chain, ChainCrest, ChainError, ChainLine, ChainParts, ChainPipe, ChainPlace, CrestKind,
    CrestPart, End, Soak, Target,
};
pub use outcome::{
    Balance, CellOutcome, CrestOutcome, Hydrograph, LineOutcome, LinkOutcome, Outcome, Passage, Snapshot,
    WET_DEPTH_M, Work,
};
