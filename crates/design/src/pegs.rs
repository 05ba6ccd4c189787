//! Where to peg: for every line its pegs, the reading to aim for, the cut and the bank to build.

use quantity::Estimate;
use serde::Serialize;
use site::{LineKind, Site, ToolKind};

use crate::layout::Layout;

/// The pegs of every line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// The tool the readings are for.
    pub tool: ToolKind,
    /// Distance between its feet or staffs.
    pub step_m: f64,
    /// One entry a line.
    pub lines: Vec<LinePegs>,
}

/// The pegs of one line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinePegs {
    /// Its name.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// Fall along it, rise over run.
    pub grade: f64,
    /// From the first peg to the last.
    pub length_m: f64,
    /// Heights come from the ground (false) or from the tape as given (true).
    pub from_tape: bool,
    /// The pegs, in walking order; none where nothing is known of the ground.
    pub pegs: Vec<PegRow>,
    /// What the loose bank is thrown up by, over its settled height, and who says so.
    pub settlement: Settlement,
    /// The proof that the line is level, although it may look as if it ran uphill.
    pub check_back: Option<CheckBack>,
    /// Why the walk ended, in words; none where the pegs were given.
    pub stopped_because: Option<String>,
}

/// One row of the peg sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PegRow {
    /// 1 for the first.
    pub peg: usize,
    /// Distance along the line from the first peg.
    pub chainage_m: f64,
    /// East; none for a line given by tape.
    pub x_m: Option<f64>,
    /// North; none for a line given by tape.
    pub y_m: Option<f64>,
    /// Height the peg is meant to stand at (ground level), above the site datum.
    pub z_m: Option<f64>,
    /// How much lower this peg is to stand than the one before: the reading to aim for, step by step.
    pub fall_from_last_mm: f64,
    /// How much lower this peg is to stand than the first: the reading to aim for with a hose or staff.
    pub fall_from_first_mm: f64,
    /// From the ground at the peg down to the bed.
    pub cut_m: f64,
    /// Height to throw the loose bank up to above the ground at the peg, settlement allowed for.
    pub bank_build_m: Estimate,
    /// Half the width of the band in which the true line may lie.
    pub band_m: Option<f64>,
    /// Whether a barrier lies between the peg before and this one.
    pub after_jump: bool,
    /// Sills whose crest begins or ends, and trees that stand, within half a step of this peg.
    pub notes: Vec<String>,
}

/// What a bank loses as it settles.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Settlement {
    /// Height to add, over the settled height.
    pub add_frac: Estimate,
    /// The publication, or "common practice".
    pub source: &'static str,
}

/// Levelling back from the last peg to the first: what to expect.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CheckBack {
    /// Fall from the first peg to the last that the line is meant to have.
    pub expected_fall_mm: f64,
    /// Difference that is within the tool's random error, there and back, two standard errors.
    pub allowed_mm: f64,
    /// What a fault of the tool's own would show on the way back, if the same leg leads.
    pub tool_fault_shows_mm: f64,
}

/// The pegs of every line of a site.
pub fn pegs(_site: &Site, _layout: &Layout) -> Answer {
    todo!("pegs")
}
