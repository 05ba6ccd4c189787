//! What each line holds, moves and costs.

use quantity::Estimate;
use serde::Serialize;
use site::{LineKind, Site};

use crate::layout::Layout;

pub mod spill;

/// The sizes of every line, and the way the surplus takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// One entry a line, in the order of the plan.
    pub lines: Vec<LineSizes>,
    /// The lines from the first to safe ground, in the order in which water meets them.
    pub spill_order: Vec<String>,
    /// Lines whose surplus goes in a circle; empty in a sound plan.
    pub spill_circle: Vec<String>,
    /// Digging of all lines.
    pub person_days: Estimate,
}

/// One line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineSizes {
    /// Its name.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// Whether the levels are those taken along the dug line (true) or planned (false).
    pub as_dug: bool,
    /// From the first peg to the last.
    pub length_m: f64,
    /// What stands in it; none (no such keys) where its section is not known.
    #[serde(flatten)]
    pub holding: Option<Holding>,
    /// What comes to it.
    #[serde(flatten)]
    pub supply: Supply,
    /// Flow of the design peak along a drain, chute or pipe.
    pub flow: Option<AlongFlow>,
    /// What it takes to dig; none (no such keys) where its section is not known.
    #[serde(flatten)]
    pub digging: Option<Digging>,
    /// Why its section is not known.
    pub unknown_because: Option<String>,
    /// Its sills.
    pub sills: Vec<SillSizes>,
    /// Where the surplus goes: line names or "ground", in the order of the sills, then the end. Empty where it
    /// has nowhere to go.
    pub spills_to: Vec<String>,
}

/// What a line holds. A drain, chute or pipe holds nothing: it is open at its end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Holding {
    /// Volume when water stands at the level where the line first spills.
    pub holds_m3: f64,
    /// Farther of the water's two edges from the pegs, anywhere along the line, when it stands full.
    pub water_half_width_m: f64,
    /// What it may hold when the lowest place of the bank, or the bed, is out by the level error of the tool.
    pub holds_range_m3: Estimate,
    /// Level at which it first spills, over a sill or over its bank; none where no height is known.
    pub spills_at_z_m: Option<f64>,
    /// What lets the water out first at that level.
    pub spills_over: Option<SpillsOver>,
    /// The lowest place of the bank: it rules.
    pub lowest_bank: Option<LowPlace>,
    /// What raising the lowest place of the bank gains.
    pub raise: Vec<Raise>,
    /// Hours from brim-full to empty by soaking alone.
    pub drain_down_h: Option<Estimate>,
}

/// What lets the water out of a line first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SpillsOver {
    /// A sill, as meant.
    Sill,
    /// The bank: a breakout.
    Bank,
    /// The ground uphill, where it is lower than the bank: water walks round behind.
    Uphill,
    /// The end of a drain, chute or pipe, as meant.
    End,
}

/// What comes to a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Supply {
    /// Ground that drains to it and to nothing above it.
    pub catchment_m2: Option<f64>,
    /// Rain that fills it from its own catchment, running off as the curve number says, from the hard surfaces
    /// and through the drains that lead into it, and from the rain on the line itself.
    pub holds_rain_mm: Option<f64>,
    /// Rate of the storm's peak at the line, L/s: all that comes from above passed on at once, nothing held.
    pub design_peak_l_s: Option<Estimate>,
}

/// What a line takes to dig.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Digging {
    /// Undisturbed soil to dig.
    pub cut_m3: f64,
    /// Settled bank to build.
    pub fill_m3: f64,
    /// The soil once it is loose.
    pub loose_m3: Estimate,
    /// Settled bank that the cut makes, less the bank to build: negative is a shortage.
    pub spare_fill_m3: Estimate,
    /// Days of one person's digging.
    pub person_days: Estimate,
}

/// A low place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LowPlace {
    /// Distance along the line.
    pub chainage_m: f64,
    /// Height of the bank's top there.
    pub z_m: f64,
    /// How far it lies below the sill's crest (negative: above it).
    pub below_sill_m: Option<f64>,
}

/// What raising the lowest place of the bank gains.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Raise {
    /// By so much.
    pub by_cm: f64,
    /// It holds so much more.
    pub gains_m3: f64,
}

/// Uniform flow along a drain or chute at the design peak.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AlongFlow {
    /// The flow.
    pub flow_l_s: f64,
    /// Its depth.
    pub depth_m: f64,
    /// Its mean speed.
    pub speed_m_s: f64,
    /// Shear on the bed.
    pub shear_pa: f64,
    /// Mean speed that the bed stands, by soil and lining.
    pub stands_m_s: f64,
    /// What the trench carries brim-full.
    pub brim_l_s: f64,
}

/// One sill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SillSizes {
    /// Distance of its middle along the line.
    pub at_m: f64,
    /// Length of its crest.
    pub width_m: f64,
    /// Height of its crest above the site datum.
    pub crest_z_m: Option<f64>,
    /// What takes the water.
    pub to: String,
    /// The flow it must pass.
    pub design_l_s: Option<f64>,
    /// Depth of water above the crest at that flow, by the energy balance of a rough crest.
    pub head_m: Option<f64>,
    /// The same by the hard-crest rule: what a smooth sill would need, for comparison.
    pub head_hard_crest_m: Option<f64>,
    /// What is left between that water and the lowest place of the bank.
    pub freeboard_m: Option<f64>,
    /// What should be left.
    pub freeboard_wanted_m: f64,
    /// Length of crest that leaves it; none where no length does, because the crest lies too high.
    pub width_needed_m: Option<f64>,
    /// The most that one metre of the lip carries, over the mean, when the lip is 6 mm out of level.
    pub out_of_level_times: Option<f64>,
    /// Where the water comes down.
    pub landing: Option<Landing>,
}

/// Where the water of a sill comes down.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Landing {
    /// Slope of the ground, rise over run.
    pub slope: f64,
    /// Speed of the sheet.
    pub speed_m_s: f64,
    /// Speed that the landing stands, by what covers it.
    pub stands_m_s: f64,
    /// Middle size of rock that holds here, mm.
    pub rock_d50_mm: Option<f64>,
}

/// The sizes of every line of a site.
pub fn sizes(_site: &Site, _layout: &Layout) -> Answer {
    todo!("sizes")
}
