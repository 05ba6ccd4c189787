//! What to dig first, in how many days, with which tools, and what to bring.
//!
//! The order and the days follow from the digging of each line (its cut over what a person digs in a day) and from
//! what each line holds for trees; see `order` for the rule, `days` for the days, [`Supplies`] and [`Grove`] for the list of
//! things. A line is tried before it is dug: a trench a spade deep and a spade wide along it fills in the next rain
//! and shows where the line is out of level, while mending it is still a matter of an hour.
//!
//! Holds for works dug by hand and thrown straight onto the bank. Leaves out: pegging (half the first day), the way
//! there, stripping of topsoil, and the growing of the spoil by stones.

mod cost;
mod days;
pub(crate) mod grove;
mod order;
mod sources;
mod supplies;
mod tools;

use quantity::Estimate;
use quantity::convert::m3_to_l;
use schemars::JsonSchema;
use serde::Serialize;
use site::{LineKind, Site};

use crate::layout::Layout;
use crate::section::{self, Sections};
use crate::sizes::{self, LineSizes};

use days::Job;
use order::{Below, Candidate, Order};
use supplies::ToDig;

pub use cost::{Cost, Costs};
pub use days::{Day, Stage, Work};
pub use grove::{Grove, TreeKind};
pub use sources::{SOURCES, Sourced};
pub use supplies::{Covers, Rock, Supplies};
pub use tools::Tool;

/// Depth and width of a trial trench, m: the blade of a spade. Common practice, no source.
const SPADE_DEEP_M: f64 = 0.25;
/// See [`SPADE_DEEP_M`].
const SPADE_WIDE_M: f64 = 0.2;

/// Who digs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hands {
    /// How many; at least one.
    pub people: u32,
    /// The days they have; none for as many as it takes.
    pub days: Option<u32>,
}

/// The work in its order, and what it needs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "DiggingAnswer")]
pub struct Answer {
    /// How many dig.
    pub people: u32,
    /// Lines to dig, the first first.
    pub order: Vec<Turn>,
    /// Whether the days are too few for all: litres for trees ruled the order then, not the slope.
    pub days_are_few: bool,
    /// Lines that the days are too few for.
    pub later: Vec<String>,
    /// Lines that are dug already, with the undug lines whose ground they spill on.
    pub already_dug: Vec<Dug>,
    /// Digging of the lines in the order.
    pub person_days: Estimate,
    /// Days from the first peg to the last sill, without waiting for rain.
    pub needed_days: Estimate,
    /// The days one by one, at the likely pace.
    pub days: Vec<Day>,
    /// What to bring in the hands.
    pub tools: Vec<Tool>,
    /// What the lines need.
    pub supplies: Supplies,
    /// What the planting takes.
    pub grove: Grove,
    /// What it costs, where the plan gives prices.
    pub costs: Option<Costs>,
}

/// A line's turn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Turn {
    /// Which line.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// All its digging.
    pub person_days: Estimate,
    /// Undisturbed soil to dig.
    pub cut_m3: f64,
    /// The trial trench; none for a chute or pipe.
    pub trial: Option<Trial>,
    /// Litres it holds for the trees that drink from it; of a plan without trees, all it holds.
    pub for_trees_l: f64,
    /// The same for each person-day of its digging.
    pub for_trees_l_per_person_day: f64,
    /// Undug lines onto whose ground it spills until they are dug: its landing stands that.
    pub spills_meanwhile_over: Vec<String>,
    /// Undug lines that ought to be dug first, because its landing does not stand what it pours.
    pub pours_unsafely_on: Vec<String>,
}

/// A line that is dug already.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Dug {
    /// Which line.
    pub line: String,
    /// Undug lines onto whose ground it spills: its landing stands that.
    pub spills_meanwhile_over: Vec<String>,
    /// Undug lines to dig first of all, because its landing does not stand what it pours.
    pub pours_unsafely_on: Vec<String>,
}

/// A trench a spade deep and wide, part of the section that comes after.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Trial {
    /// Along the line.
    pub length_m: f64,
    /// Soil to dig.
    pub cut_m3: f64,
    /// Digging.
    pub person_days: f64,
}

/// The order of work, its days, and what it needs.
pub fn digging(site: &Site, layout: &Layout, sizes: &sizes::Answer, hands: Hands) -> Answer {
    let hands = Hands { people: hands.people.max(1), ..hands };
    let candidates = candidates(site, sizes);
    let order = order::order(&candidates, hands.people, hands.days);
    let turns: Vec<Turn> = order.dig.iter().map(|i| turn(&candidates, &order, *i)).collect();
    let sections = sections(site, layout, &order);
    let to_dig: Vec<ToDig> = order
        .dig
        .iter()
        .zip(&sections)
        .map(|(i, sections)| ToDig {
            laid: &layout.lines[*i],
            sizes: &sizes.lines[*i],
            sections: sections.as_ref(),
        })
        .collect();
    let supplies = supplies::of(&to_dig);
    let grove = grove_of(site, &candidates, &order);
    let person_days = sizes::digging::sum(turns.iter().map(|turn| turn.person_days));
    let all_work = sizes::digging::sum([person_days, grove.planting_person_days].into_iter());
    let costs = site.plan.prices.as_ref().map(|prices| cost::of(prices, all_work, &supplies, &grove));
    let name = |i: &usize| candidates[*i].line.name.clone();
    Answer {
        people: hands.people,
        days_are_few: order.days_are_few,
        later: order.later.iter().map(name).collect(),
        already_dug: already_dug(&candidates),
        needed_days: needed_days(&turns, hands.people),
        days: day_plan(&turns, hands.people),
        tools: tools::of(site.plan.tool.kind, hands.people),
        order: turns,
        person_days,
        supplies,
        grove,
        costs,
    }
}

fn candidates<'a>(site: &'a Site, sizes: &'a sizes::Answer) -> Vec<Candidate<'a>> {
    let no_trees = site.plan.trees.is_empty();
    let lines = site.plan.lines.iter().zip(&sizes.lines);
    lines
        .map(|(line, of)| {
            let feeds_trees = site.plan.trees.iter().any(|tree| tree.line.as_ref() == Some(&line.name));
            let holds_m3 = of.holding.as_ref().map_or(0.0, |holding| holding.holds_m3);
            let trial_days = trial(of).map_or(0.0, |trial| trial.person_days);
            let whole_days = of.digging.as_ref().map_or(0.0, |digging| digging.person_days.likely());
            let from_top = sizes.spill_order.iter().position(|name| *name == line.name);
            Candidate {
                line,
                sizes: of,
                already_dug: site.dug.contains_key(&line.name),
                person_days: (trial_days, whole_days - trial_days),
                for_trees_l: if feeds_trees || no_trees { m3_to_l(holds_m3) } else { 0.0 },
                from_top: from_top.unwrap_or(sizes.spill_order.len()),
            }
        })
        .collect()
}

/// The trial trench along a swale or drain. A chute is not opened before its rock is laid.
fn trial(line: &LineSizes) -> Option<Trial> {
    let digging = line.digging.as_ref().filter(|digging| digging.cut_m3 > 0.0)?;
    if !matches!(line.kind, LineKind::Swale | LineKind::Drain) {
        return None;
    }
    let blade_m3 = line.length_m * SPADE_DEEP_M * SPADE_WIDE_M;
    // A section smaller than a spade is dug whole at once.
    let cut_m3 = if blade_m3 < digging.cut_m3 { blade_m3 } else { digging.cut_m3 };
    let share_frac = cut_m3 / digging.cut_m3;
    Some(Trial { length_m: line.length_m, cut_m3, person_days: share_frac * digging.person_days.likely() })
}

fn already_dug(candidates: &[Candidate]) -> Vec<Dug> {
    let dug = (0..candidates.len()).filter(|i| candidates[*i].already_dug);
    dug.map(|i| Dug {
        line: candidates[i].line.name.clone(),
        spills_meanwhile_over: named(candidates, i, |_, below| below == Below::Stands),
        pours_unsafely_on: named(candidates, i, |_, below| below == Below::MustWait),
    })
    .collect()
}

/// Names of the undug lines below a line that are wanted, each once.
fn named(candidates: &[Candidate], i: usize, wanted: impl Fn(usize, Below) -> bool) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (to, below) in order::below(candidates, i) {
        let name = &candidates[to].line.name;
        if wanted(to, below) && !names.contains(name) {
            names.push(name.clone());
        }
    }
    names
}

fn turn(candidates: &[Candidate], order: &Order, i: usize) -> Turn {
    let Candidate { line, sizes, for_trees_l, .. } = &candidates[i];
    let digging = sizes.digging.as_ref();
    let person_days = digging.map_or(Estimate::exact(0.0), |digging| digging.person_days);
    let turn_of = |line: usize| order.dig.iter().position(|other| *other == line);
    let dug_after = |to: usize| turn_of(to).is_none_or(|theirs| Some(theirs) > turn_of(i));
    Turn {
        line: line.name.clone(),
        kind: line.kind,
        person_days,
        cut_m3: digging.map_or(0.0, |digging| digging.cut_m3),
        trial: trial(sizes),
        for_trees_l: *for_trees_l,
        for_trees_l_per_person_day: if person_days.likely() > 0.0 {
            for_trees_l / person_days.likely()
        } else {
            0.0
        },
        spills_meanwhile_over: named(candidates, i, |to, below| below == Below::Stands && dug_after(to)),
        pours_unsafely_on: named(candidates, i, |to, below| below == Below::MustWait && dug_after(to)),
    }
}

/// Sections of the lines to dig, as planned.
fn sections(site: &Site, layout: &Layout, order: &Order) -> Vec<Option<Sections>> {
    let of = |i: &usize| section::sections(site, &site.plan.lines[*i], &layout.lines[*i]).ok();
    order.dig.iter().map(of).collect()
}

/// Trees of lines that wait for later wait with them.
fn grove_of(site: &Site, candidates: &[Candidate], order: &Order) -> Grove {
    let waits = |line: &String| order.later.iter().any(|i| candidates[*i].line.name == *line);
    let trees: Vec<&site::Tree> =
        site.plan.trees.iter().filter(|tree| !tree.line.as_ref().is_some_and(waits)).collect();
    grove::of(&trees)
}

/// Digging of the trial trenches and of the rest, at a pace that makes the whole so many times the likely.
fn two_stages(turns: &[Turn], pace: fn(Estimate) -> f64) -> (f64, f64) {
    let mut stages = (0.0, 0.0);
    for turn in turns {
        let whole = pace(turn.person_days);
        let share_frac = turn.trial.map_or(0.0, |trial| trial.cut_m3 / turn.cut_m3);
        stages.0 += share_frac * whole;
        stages.1 += (1.0 - share_frac) * whole;
    }
    stages
}

fn needed_days(turns: &[Turn], people: u32) -> Estimate {
    let needed = |pace: fn(Estimate) -> f64| {
        let (trial, section) = two_stages(turns, pace);
        f64::from(days::needed(trial, section, people))
    };
    Estimate::spanning(needed(Estimate::likely), needed(Estimate::low), needed(Estimate::high))
}

fn day_plan(turns: &[Turn], people: u32) -> Vec<Day> {
    let trials: Vec<Job> = turns
        .iter()
        .filter_map(|turn| Some(Job { line: &turn.line, person_days: turn.trial?.person_days }))
        .collect();
    let sections: Vec<Job> = turns
        .iter()
        .map(|turn| {
            let tried = turn.trial.map_or(0.0, |trial| trial.person_days);
            Job { line: &turn.line, person_days: turn.person_days.likely() - tried }
        })
        .collect();
    days::plan(&trials, &sections, people)
}

#[cfg(test)]
mod tests;
