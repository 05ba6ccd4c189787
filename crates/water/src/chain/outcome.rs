//! What became of the water.

/// Water is counted as having arrived in a cell once it stands this deep, m: less is a damp bed. A millimetre is the
/// best that a staff is read to.
pub const WET_DEPTH_M: f64 = 0.001;

/// Flow through one link, added up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Passage {
    /// All that passed on, less what ran back.
    pub volume_m3: f64,
    /// Greatest flow.
    pub peak_m3_s: f64,
    /// When.
    pub peak_s: f64,
    /// Greatest head over the crest, or pool above the mouth's invert.
    pub peak_head_m: f64,
    /// When water first passed.
    pub first_s: Option<f64>,
    /// When water last passed.
    pub last_s: Option<f64>,
}

/// Mean flow in steps of equal length from time 0.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hydrograph {
    /// Length of each step.
    pub step_s: f64,
    /// Mean flow in each.
    pub flow_m3_s: Vec<f64>,
}

/// What happened in a cell.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CellOutcome {
    /// What soaked in.
    pub soaked_m3: f64,
    /// Highest level above the site datum; the bed if it stayed dry.
    pub peak_level_z_m: f64,
    /// When it was first reached.
    pub peak_s: f64,
    /// When the water first stood [`WET_DEPTH_M`] deep.
    pub first_wet_s: Option<f64>,
}

/// What became of a line's water: start + arrived + passed in = soaked + stored + passed on + left.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LineOutcome {
    /// What stood in it at the start.
    pub start_m3: f64,
    /// What came from outside.
    pub arrived_m3: f64,
    /// What other lines passed to it.
    pub passed_in_m3: f64,
    /// What soaked in.
    pub soaked_m3: f64,
    /// What stands in it at the end.
    pub stored_m3: f64,
    /// What went on to other lines.
    pub passed_on_m3: f64,
    /// What left the chain.
    pub left_m3: f64,
    /// When it was empty, but for puddles of [`WET_DEPTH_M`], and stayed so; none if it still holds water at the
    /// end, 0 if it never held any.
    pub drained_s: Option<f64>,
    /// Cell by cell.
    pub cells: Vec<CellOutcome>,
    /// Greatest speed between each cell and the next, either way.
    pub peak_speed_m_s: Vec<f64>,
}

/// What passed over a crest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CrestOutcome {
    /// Over all of it. Its head is the greatest of its parts'.
    pub all: Passage,
    /// Part by part.
    pub parts: Vec<Passage>,
    /// Flow in time over all of it.
    pub hydrograph: Hydrograph,
}

/// What passed through a pipe or an open end.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LinkOutcome {
    /// Added up.
    pub all: Passage,
    /// Flow in time.
    pub hydrograph: Hydrograph,
}

/// Levels at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapshot {
    /// When.
    pub at_s: f64,
    /// Level of each cell of each line above the site datum; the bed where it is dry.
    pub level_z_m: Vec<Vec<f64>>,
    /// Speed between each cell and the next, positive towards the next.
    pub speed_m_s: Vec<Vec<f64>>,
}

/// The run's account.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Balance {
    /// What stood there at the start.
    pub start_m3: f64,
    /// What came from outside.
    pub arrived_m3: f64,
    /// What soaked in.
    pub soaked_m3: f64,
    /// What stands there at the end.
    pub stored_m3: f64,
    /// What left the chain.
    pub left_m3: f64,
    /// |start + arrived − soaked − stored − left| over start + arrived; 0 where nothing came.
    pub balance_error_frac: f64,
}

/// How hard the answer was to get.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Work {
    /// Steps of time.
    pub steps: u64,
    /// Rounds of the solver, all steps together.
    pub rounds: u64,
    /// Steps tried and taken back.
    pub rejected: u64,
    /// Share of the steps in which a cell's outflow had to be held back to what was in it.
    pub limited_steps_frac: f64,
}

/// What became of the water in a chain.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// Line by line.
    pub lines: Vec<LineOutcome>,
    /// Crest by crest.
    pub crests: Vec<CrestOutcome>,
    /// Pipe by pipe.
    pub pipes: Vec<LinkOutcome>,
    /// For each line its first and its last end; a closed one passes nothing.
    pub ends: Vec<[LinkOutcome; 2]>,
    /// For each number of [`super::Target::Leaves`] what left there.
    pub outlets: Vec<Hydrograph>,
    /// Levels at the times asked for.
    pub snapshots: Vec<Snapshot>,
    /// The account of all lines together.
    pub balance: Balance,
    /// How hard it was.
    pub work: Work,
}
