//! What a season run answers, as plain data.
//!
//! Ranges span the members of the ensemble, each of which draws soak rates, runoff, seeps, what the soil holds and how far
//! water spreads below a line: `likely` is the middle member and nine in ten lie between `low` and `high`. Chances are
//! shares of all whole years of all members. With one member a range is one number.

use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::planting::Spot;

/// What the years bring to every tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "SeasonAnswer")]
pub struct Answer {
    /// The days that were lived through.
    pub period: Period,
    /// Draws of what is not known well.
    pub members: usize,
    /// What they were drawn by.
    pub seed: u64,
    /// Days in a row that make a dry spell.
    pub dry_spell_days: u32,
    /// One entry a tree, in the order of the plan.
    pub trees: Vec<TreeSeason>,
    /// One entry a line that holds or carries water, in the order of the plan.
    pub lines: Vec<LineSeason>,
    /// Rounds of carrying water in the first three summers of the trees, in their order.
    pub rounds: Vec<Round>,
    /// Litres of those rounds, summer by summer.
    pub summers: Vec<Summer>,
    /// Trees that could not be run, and why.
    pub left_out: Vec<LeftOut>,
    /// How well the water is accounted for.
    pub balance: Balance,
    /// What was assumed, drawn or taken otherwise than the plan says.
    pub notes: Vec<String>,
}

/// The days of a run.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Period {
    /// First day.
    pub from: String,
    /// Last day.
    pub to: String,
    /// How many.
    pub days: usize,
    /// Years of twelve months from the first day that are whole.
    pub whole_years: usize,
    /// Whether the weather was drawn by chance and never happened.
    pub drawn: bool,
    /// Rain of a mean year.
    pub rain_per_year_mm: f64,
    /// Reference evapotranspiration of a mean year.
    pub eto_per_year_mm: f64,
}

/// What the years bring to one tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeSeason {
    /// Which, and where.
    #[serde(flatten)]
    pub place: TreePlace,
    /// What it gets.
    #[serde(flatten)]
    pub gets: TreeGets,
    /// How it stands the years, unwatered.
    #[serde(flatten)]
    pub stands: TreeStands,
    /// Years one by one, of the likely member.
    pub years: Vec<TreeYear>,
    /// When to carry water to it, and how much, in its first three summers.
    pub water_rounds: Vec<WaterRound>,
    /// With and without lines and mulch, in the likely member.
    pub compare: Compare,
}

/// Which tree, and where it stands.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreePlace {
    /// What it is called.
    pub tree: String,
    /// Its species and variety.
    pub species: String,
    /// The line it drinks from.
    pub line: Option<String>,
    /// Where along it.
    pub chainage_m: Option<f64>,
    /// Where it stands relative to it.
    pub spot: Option<Spot>,
    /// Day of planting in this run.
    pub planted: String,
}

/// What a tree gets in a mean year from planting on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeGets {
    /// From the line into its roots' ground. A young tree's roots reach little of what soaks in.
    pub litres_from_line: Estimate,
    /// From rain on its roots' ground.
    pub litres_from_rain: Estimate,
    /// What it transpires of them, unwatered.
    pub litres_drunk: Estimate,
    /// Carried to it in the first three summers together, not in a mean year.
    pub litres_by_hand: Estimate,
}

/// How a tree that nobody waters stands the years.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeStands {
    /// Days of a mean year on which it gets less than half of what it would use.
    pub dry_days: Estimate,
    /// The same by month, January first.
    pub dry_days_by_month: Vec<Estimate>,
    /// Days of a mean year on which its roots lack air.
    pub wet_feet_days: Estimate,
    /// Longest run of them in any year of the likely member.
    pub longest_wet_feet_days: u32,
    /// Days in a row that its species bears.
    pub bears_wet_feet_days: u32,
    /// Share of years with a longer run than that.
    pub chance_of_wet_feet_frac: f64,
    /// Share of years with a dry spell.
    pub chance_of_dry_spell_frac: f64,
}

/// One year of a tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeYear {
    /// Its first day.
    pub from: String,
    /// From the line.
    pub litres_from_line: f64,
    /// From rain.
    pub litres_from_rain: f64,
    /// Dry days.
    pub dry_days: u32,
    /// Longest run of them.
    pub longest_dry_days: u32,
    /// Days with wet feet.
    pub wet_feet_days: u32,
    /// Longest run of them.
    pub longest_wet_feet_days: u32,
}

/// Water carried to one tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WaterRound {
    /// Day.
    pub date: String,
    /// How much.
    pub litres: f64,
}

/// A walk with water, tree by tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Round {
    /// Day.
    pub date: String,
    /// All of it.
    pub litres: f64,
    /// The trees that get some, in walking order, each with its litres.
    pub trees: Vec<RoundTree>,
}

/// A tree of a round.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RoundTree {
    /// Which.
    pub tree: String,
    /// How much.
    pub litres: f64,
}

/// What the rounds of one summer ask for.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Summer {
    /// First day of the year that holds it.
    pub year_from: String,
    /// How many rounds.
    pub rounds: usize,
    /// All their litres: what must be stored where nothing flows in summer.
    pub litres: Estimate,
    /// The most in seven days.
    pub busiest_week_l: f64,
}

/// A tree with and without what helps it: in its first three years, in the likely member.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Compare {
    /// Lines and mulch.
    pub lines_and_mulch: Case,
    /// Lines and bare ground.
    pub lines_only: Case,
    /// Mulch and no lines.
    pub mulch_only: Case,
    /// Neither.
    pub neither: Case,
    /// Lines, mulch, and the rounds as they are walked: dry days that are left, and litres carried. With a limit to what
    /// can be carried the dry days are what it costs.
    pub as_carried: Case,
}

/// One of the four.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, JsonSchema)]
pub struct Case {
    /// Dry days of a mean year: unwatered, but for `as_carried`.
    pub dry_days: f64,
    /// To be carried in a mean year so that it is not dry.
    pub litres_by_hand: f64,
}

/// What the years bring to one line: m³ of a mean year.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LineSeason {
    /// Its name.
    pub line: String,
    /// From its own ground, surfaces and seeps, and the rain on it.
    pub arrived_m3: Estimate,
    /// From other lines.
    pub passed_in_m3: Estimate,
    /// Soaked in along it.
    pub soaked_m3: Estimate,
    /// Passed to other lines.
    pub passed_on_m3: Estimate,
    /// Left for the ground below the works.
    pub left_m3: Estimate,
    /// Days of a mean year on which water soaks in it.
    pub wet_days: Estimate,
    /// Days of a mean year on which it passes something on.
    pub spill_days: Estimate,
}

/// A tree that could not be run.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LeftOut {
    /// Which.
    pub tree: String,
    /// Why.
    pub because: String,
}

/// |came − went| over what came: the worst of all members.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, JsonSchema)]
pub struct Balance {
    /// Of any line on any day.
    pub lines_worst_day_frac: f64,
    /// Of all lines over the whole run.
    pub lines_whole_run_frac: f64,
    /// Of any tree's soil on any day.
    pub soil_worst_day_frac: f64,
    /// Of any tree's soil over the whole run.
    pub soil_whole_run_frac: f64,
}

/// A tree's first three years day by day, likely member, watered as the rounds have it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeStrip {
    /// Which.
    pub tree: String,
    /// Its species and variety.
    pub species: String,
    /// Day of planting in the run: the first of `days` but for trees older than the run.
    pub planted: String,
    /// Whether the weather was drawn by chance.
    pub drawn: bool,
    /// One entry a day.
    pub days: Vec<StripDay>,
}

/// A day of a tree.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct StripDay {
    /// Month, 1 is January.
    pub month: u32,
    /// Day of the month.
    pub of_month: u32,
    /// What is left of the water that its roots' ground can hold for it: 0 at the wilting point, 1 when drained.
    pub soil_frac: f64,
    /// Rain.
    pub rain_mm: f64,
    /// From the line.
    pub line_l: f64,
    /// By hand.
    pub hand_l: f64,
    /// What it got of what it would use.
    pub got_frac: f64,
    /// Whether that was less than half.
    pub dry: bool,
    /// Whether its roots lacked air.
    pub wet_feet: bool,
}
