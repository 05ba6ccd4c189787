//! What each line holds, moves and costs.

use quantity::Estimate;
use serde::Serialize;
use site::{LineKind, Site};

use crate::layout::Layout;

/// The sizes of every line, and the way the surplus takes.
#[derive(Debug, Clone, Serialize)]
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
#[derive(Debug, Clone, Serialize)]
pub struct LineSizes {
    /// Its name.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// Whether the levels are those taken along the dug line (true) or planned (false).
    pub as_dug: bool,
    /// From the first peg to the last.
    pub length_m: f64,
    /// Volume when water stands at the level where the line first spills.
    pub holds_m3: f64,
    /// Level at which it first spills, over a sill or over its bank.
    pub spills_at_z_m: Option<f64>,
    /// Share of the volume that lies below the level error of the tool: how far a line of the right size may
    /// fall short.
    pub holds_range_m3: Estimate,
    /// Ground that drains to it and to nothing above it.
    pub catchment_m2: Option<f64>,
    /// Rain that fills it from its own catchment, running off as the curve number says.
    pub holds_rain_mm: Option<f64>,
    /// The lowest place of the bank: it rules.
    pub lowest_bank: Option<LowPlace>,
    /// What raising the lowest place gains.
    pub raise: Vec<Raise>,
    /// Rate of the storm's peak at the line, L/s.
    pub design_peak_l_s: Option<Estimate>,
    /// Hours from brim-full to empty by soaking alone.
    pub drain_down_h: Option<Estimate>,
    /// Flow of the design peak along a drain or chute.
    pub flow: Option<AlongFlow>,
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
    /// Its sills.
    pub sills: Vec<SillSizes>,
    /// Where the surplus goes: line names or "ground", in the order of the sills, then the end.
    pub spills_to: Vec<String>,
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
#[derive(Debug, Clone, Copy, Serialize)]
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
#[derive(Debug, Clone, Serialize)]
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
    /// Length of crest that keeps the freeboard the site asks for.
    pub width_needed_m: Option<f64>,
    /// The most that one metre of the lip carries, over the mean, when the lip is 6 mm out of level.
    pub out_of_level_times: Option<f64>,
    /// Speed of the sheet on the landing.
    pub landing_speed_m_s: Option<f64>,
    /// Speed that the landing stands, by what covers it.
    pub landing_stands_m_s: Option<f64>,
    /// Slope of the landing, rise over run.
    pub landing_slope: Option<f64>,
    /// Middle size of rock that holds on the landing, mm; none where grass will do.
    pub rock_d50_mm: Option<f64>,
}

/// The sizes of every line of a site.
pub fn sizes(_site: &Site, _layout: &Layout) -> Answer {
    todo!("sizes")
}
