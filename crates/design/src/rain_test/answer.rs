//! What a rain test answers, as plain data.
//!
//! Every range spans the members of the ensemble: `likely` is the middle member, and nine in ten members lie
//! between `low` and `high`. With one member the three are one number.

use quantity::Estimate;
use serde::Serialize;
use site::LineKind;

use crate::soil::SoakRate;

/// What one storm does along the lines.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// The storm.
    pub storm: StormTold,
    /// How the ranges were found.
    pub ensemble: Ensemble,
    /// One entry a line that was worked through, in the order of the plan.
    pub lines: Vec<LineRain>,
    /// How fast each soil soaks, and how that is known.
    pub soils: Vec<SoakRate>,
    /// Lines that could not be worked through, and why.
    pub left_out: Vec<LeftOut>,
    /// One entry a tree that stands at a line, in the order of the plan.
    pub trees: Vec<TreeRain>,
    /// The site as a whole.
    pub site: SiteRain,
    /// |arrived − soaked − stored − left| over what arrived: the worst of all members.
    pub balance_error_frac: f64,
    /// Levels at the times that were asked for.
    pub snapshots: Vec<Moment>,
}

/// The storm that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StormTold {
    /// All of its rain.
    pub depth_mm: f64,
    /// Its length.
    pub hours: f64,
    /// The most that falls in ten minutes.
    pub worst_ten_minutes_mm: f64,
    /// How it falls, in words.
    pub shape: String,
    /// How wet the ground is before it: dry, usual or wet.
    pub wet_before: String,
    /// Whether the lines are already full when it begins.
    pub lines_before: LinesBefore,
    /// How long the water was followed, from the first drop.
    pub followed_h: f64,
    /// The rain so far against time.
    pub course: Vec<RainSoFar>,
}

/// How the lines stand when the storm begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LinesBefore {
    /// Without water.
    #[default]
    Empty,
    /// Swales to their lowest sill or bank: what an earlier storm left. Drains, chutes and pipes empty.
    Full,
}

/// A corner of the storm's course.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RainSoFar {
    /// Time from the first drop.
    pub at_h: f64,
    /// Rain so far.
    pub rain_mm: f64,
}

/// How the ranges were found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ensemble {
    /// Storms worked through; the first is the plan as drawn with every likely value.
    pub members: usize,
    /// What the guesses were drawn by; the same seed gives the same answer.
    pub seed: u64,
    /// How much each guess moves what leaves over banks, or else what soaks in; the one that matters most first.
    /// Empty with one member.
    pub guesses: Vec<Guess>,
}

/// A thing not known well.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Guess {
    /// Which: soak rate, runoff, seep or levels.
    pub guess: String,
    /// Rank correlation (Spearman) with the volume that leaves over banks where there is any, else with what leaves
    /// the site, else with what soaks in: −1 to 1, 0 where it does not matter.
    pub rank_correlation: f64,
    /// Which volume it was held against.
    pub against: String,
}

/// A line that was left out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftOut {
    /// Its name.
    pub line: String,
    /// Why.
    pub because: String,
}

/// What the storm does along one line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineRain {
    /// Its name.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// From the first peg to the last.
    pub length_m: f64,
    /// What stood in it when the storm began: 0 but for lines that were full before.
    pub stood_before_m3: Estimate,
    /// What comes from its own hillside, surfaces and seeps, and the rain on it.
    pub arrived_m3: Estimate,
    /// What other lines pass to it.
    pub passed_in_m3: Estimate,
    /// What soaks in along it.
    pub soaked_m3: Estimate,
    /// What still stands in it at the end.
    pub stored_m3: Estimate,
    /// What goes on to other lines.
    pub passed_on_m3: Estimate,
    /// What leaves it for the ground below the works.
    pub left_m3: Estimate,
    /// How far along the line the water gets, from the first peg.
    pub reach_m: Estimate,
    /// When it gets there, from the first drop; none where the line stays dry in half of the members.
    pub reach_h: Option<Estimate>,
    /// Length of line that gets wet.
    pub wet_m: Estimate,
    /// Highest level of the water above the site datum; none for a pipe.
    pub peak_level_m: Option<Estimate>,
    /// Least bank left above the water; none for a pipe.
    pub least_freeboard: Option<LeastFreeboard>,
    /// Share of the members in which it spills where it was not meant to.
    pub breaks_out_frac: f64,
    /// Where it spills although it was not meant to, from the first peg on; empty where it never does.
    pub breakouts: Vec<Breakout>,
    /// Its sills, in the order of the site file.
    pub sills: Vec<SillRain>,
    /// Where it runs fastest; none for a pipe.
    pub fastest: Option<Fastest>,
    /// Hours from the end of the rain until it is empty; none where half of the members still hold water at the end.
    pub drain_down_h: Option<Estimate>,
    /// What soaks into each metre, and how high the water stands there. Empty for a pipe.
    pub metres: Vec<MetreRain>,
}

/// The place where the bank is nearest to being passed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LeastFreeboard {
    /// Bank left above the highest water; below 0 water goes over it.
    pub freeboard_m: Estimate,
    /// Where, in the plan as drawn.
    pub at_m: f64,
}

/// A place where a line spills although it was not meant to. Places side by side are one breakout.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Breakout {
    /// Start of the stretch over which water goes in any member.
    pub from_m: f64,
    /// Its end.
    pub to_m: f64,
    /// Where it is worst, over all members together.
    pub at_m: f64,
    /// Share of the members in which it happens.
    pub chance_frac: f64,
    /// When it begins, from the first drop, of the members in which it happens. So are the ranges below.
    pub first_h: Estimate,
    /// Greatest flow over it.
    pub peak_l_s: Estimate,
    /// All that goes over it.
    pub volume_m3: Estimate,
    /// By how much to raise the bank there so that it stays dry: the highest water over the bank. Water that is kept
    /// back stands higher still, so run again after raising.
    pub raise_cm: Estimate,
    /// Speed of the water down the outer face of the bank.
    pub face_speed_m_s: Estimate,
    /// Speed that loose bare fill of this soil stands.
    pub fill_stands_m_s: f64,
    /// Share of those members in which the water is faster than that: the spill bites into the bank and grows.
    pub washes_out_frac: f64,
    /// Where the water goes: the name of a line, or "ground".
    pub to: String,
}

/// What passes over a sill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SillRain {
    /// Distance of its middle along the line.
    pub at_m: f64,
    /// Length of its crest.
    pub width_m: f64,
    /// What takes the water.
    pub to: String,
    /// All that passes.
    pub volume_m3: Estimate,
    /// Greatest flow.
    pub peak_l_s: Estimate,
    /// When, of the members in which it spills; none where fewer than half do.
    pub peak_h: Option<Estimate>,
    /// Greatest depth of water above its crest.
    pub head_m: Estimate,
    /// What it passes before the lowest place of the bank goes under, in the plan as drawn; none where a bank lies no
    /// higher than the crest.
    pub passes_l_s: Option<f64>,
    /// Greatest flow over what it passes.
    pub use_frac: Option<Estimate>,
    /// Flow in time.
    pub flow: FlowInTime,
}

/// Mean flow in steps of equal length, from the first drop to the last step in which any member has any.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct FlowInTime {
    /// Length of each step.
    pub step_h: f64,
    /// Flow in each, of the plan as drawn.
    pub flow_l_s: Vec<f64>,
    /// Low end of the members in each step by itself: no one member runs along it.
    pub low_l_s: Vec<f64>,
    /// High end.
    pub high_l_s: Vec<f64>,
}

/// Where the water runs fastest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fastest {
    /// Its mean speed there.
    pub speed_m_s: Estimate,
    /// Where, in the plan as drawn.
    pub at_m: f64,
    /// Speed that the bed stands, by soil and lining.
    pub stands_m_s: f64,
}

/// One short piece of a line, about a metre.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MetreRain {
    /// Start of the piece.
    pub from_m: f64,
    /// Its end.
    pub to_m: f64,
    /// Height of the bed above the site datum, as drawn.
    pub bed_z_m: f64,
    /// Height of the bank or sill, as drawn.
    pub bank_z_m: f64,
    /// Highest water over the bed.
    pub peak_depth_m: Estimate,
    /// What soaks in for each metre of line.
    pub soaked_l_per_m: Estimate,
}

/// What a storm brings to a tree's place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TreeRain {
    /// What it is called.
    pub tree: String,
    /// The line it drinks from.
    pub line: String,
    /// Where along it.
    pub chainage_m: f64,
    /// What soaks into the metre of line beside it.
    pub soaked_l_per_m: Estimate,
}

/// What the storm does to the site as a whole.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SiteRain {
    /// All that stood in the works when the storm began.
    pub stood_before_m3: Estimate,
    /// All that comes to the works.
    pub arrived_m3: Estimate,
    /// All that soaks in along them.
    pub soaked_m3: Estimate,
    /// What still stands in them at the end.
    pub stored_m3: Estimate,
    /// All that leaves them.
    pub leaves_m3: Estimate,
    /// What of the sources no line picks up: it leaves past the works, besides `leaves_m3`.
    pub runs_past_m3: Estimate,
    /// Greatest flow that would come off the same ground without the works, over five minutes.
    pub peak_before_l_s: Estimate,
    /// Greatest flow that leaves with the works, over five minutes: out of them and past them.
    pub peak_after_l_s: Estimate,
    /// What would come off the same ground without the works.
    pub flow_before: FlowInTime,
    /// What leaves with the works.
    pub flow_after: FlowInTime,
    /// Where it leaves.
    pub outlets: Vec<Outlet>,
}

/// A place where water leaves the works.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outlet {
    /// The line it leaves.
    pub line: String,
    /// By what: its sill, its bank or its end.
    pub by: LeavesBy,
    /// Where along the line: of a bank the place where most goes over.
    pub at_m: f64,
    /// East of that place, where it is known.
    pub x_m: Option<f64>,
    /// North of it.
    pub y_m: Option<f64>,
    /// All that leaves.
    pub volume_m3: Estimate,
    /// Greatest flow, over five minutes.
    pub peak_l_s: Estimate,
    /// Flow in time.
    pub flow: FlowInTime,
}

/// What lets water out of the works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LeavesBy {
    /// A sill, as meant.
    Sill,
    /// The bank: a breakout.
    Bank,
    /// The end of a drain, chute or pipe, as meant.
    End,
}

/// Levels at one time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Moment {
    /// Time from the first drop.
    pub at_h: f64,
    /// One entry a line, in the order of `lines`.
    pub lines: Vec<LineAt>,
}

/// The water in one line at one time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineAt {
    /// The line.
    pub line: String,
    /// Level in each piece of `metres` above the site datum, of the plan as drawn; the bed where it is dry. Empty for
    /// a pipe.
    pub level_z_m: Vec<f64>,
    /// Low end of the members' levels in each piece; the bed as drawn where it is dry.
    pub low_z_m: Vec<f64>,
    /// High end.
    pub high_z_m: Vec<f64>,
}
