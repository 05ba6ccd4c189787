//! Water that comes in from outside, and for how long the chain is followed.

/// Water from one source, spread over the cells of one line.
///
/// Rain on the line's own water is the caller's to add.
#[derive(Debug, Clone, PartialEq)]
pub struct Inflow {
    /// The line.
    pub line: usize,
    /// Each cell's share; together 1.
    pub shares: Vec<f64>,
    /// Length of each step of the flow, from time 0.
    pub step_s: f64,
    /// Flow in each step; none after the last.
    pub flow_m3_s: Vec<f64>,
}

/// How the chain stands at time 0. Nothing moves yet.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Start {
    /// No water.
    #[default]
    Dry,
    /// A level above the site datum for each cell of each line; at the bed or below it the cell is dry.
    Levels(Vec<Vec<f64>>),
}

/// For how long, and what is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// End of the run.
    pub end_s: f64,
    /// Times of which the levels are kept, rising.
    pub snapshots_s: Vec<f64>,
    /// Length of the steps of the hydrographs that are kept.
    pub hydrograph_step_s: f64,
    /// Levels at the start.
    pub start: Start,
}

/// Why a chain cannot be run.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RunError {
    /// A time that is no time.
    #[error("{name} is {value} s: give a number above 0")]
    BadTime {
        /// Which.
        name: &'static str,
        /// As found.
        value: f64,
    },
    /// Snapshots out of order or out of the run.
    #[error("snapshot {index} at {at_s} s: list them by time, from 0 to the end at {end_s} s")]
    BadSnapshot {
        /// Place in the list, from 0.
        index: usize,
        /// Its time.
        at_s: f64,
        /// End of the run.
        end_s: f64,
    },
    /// An inflow for a line that does not exist, or with another number of shares than the line has cells.
    #[error("inflow {inflow} has {found} shares for line {line}, which has {cells} cells: give one a cell")]
    SharesMissing {
        /// Place in the list, from 0.
        inflow: usize,
        /// The line it names.
        line: usize,
        /// Shares given.
        found: usize,
        /// Cells of that line; 0 if there is no such line.
        cells: usize,
    },
    /// Shares that do not add up to 1, or one below 0.
    #[error("the shares of inflow {inflow} add up to {sum}: give shares of 0 or more that add up to 1")]
    BadShares {
        /// Place in the list, from 0.
        inflow: usize,
        /// Their sum.
        sum: f64,
    },
    /// A flow below 0 or not a number.
    #[error("step {step} of inflow {inflow} is {flow_m3_s} m³/s: give a number of 0 or more")]
    BadFlow {
        /// Place in the list, from 0.
        inflow: usize,
        /// Which step, from 0.
        step: usize,
        /// As found.
        flow_m3_s: f64,
    },
    /// Start levels that do not match the chain.
    #[error("the start levels do not match the chain at line {line}: give one finite level a cell")]
    BadStart {
        /// The first line that does not match.
        line: usize,
    },
    /// The soaked depth could not be found.
    #[error(transparent)]
    Soak(#[from] crate::soak::SoakError),
    /// A pipe that cannot be worked out.
    #[error(transparent)]
    Pipe(#[from] crate::pipe::PipeError),
    /// The equations of a step were not solved, however short it was made.
    #[error(
        "at {at_s} s no step of {step_s} s or more could be solved: look for a cell far shorter than the others"
    )]
    NoStep {
        /// When.
        at_s: f64,
        /// The shortest step tried.
        step_s: f64,
    },
    /// More water was asked of cells than they had, in too many steps for the answer to be trusted.
    #[error(
        "{} % of the steps had to be held back because a cell ran out of water: use shorter cells or gentler links",
        100.0 * .limited_steps_frac
    )]
    LimiterActive {
        /// Share of the steps.
        limited_steps_frac: f64,
    },
}
