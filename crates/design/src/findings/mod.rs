//! What is wrong or doubtful in the design: one file a finding.
//!
//! A finding is not an error: everything was computed, and the design has a fault or a doubt. The words and
//! the remedy of each stand in `messages/en.md`, keyed by its code ([`messages`]); here are only codes,
//! places and values. Limits stand beside their sources, in the file of the finding that uses them.

pub mod messages;

mod above_people;
mod ask_before_you_dig;
mod bank_below_sill;
mod bank_too_high;
mod breaks_out;
mod channel_too_fast;
mod channel_too_small;
mod dispersive_soil;
mod drains_slowly;
mod earth_short;
pub(crate) mod facts;
mod fed_by_nothing;
mod grade_too_flat;
mod ground_too_coarse;
mod ground_too_steep;
mod landing_too_fast;
mod no_ground;
mod not_level;
mod road_water;
#[cfg(test)]
pub(crate) mod sample;
mod service_crossing;
mod sill_off_the_line;
mod sill_on_fill;
mod sill_too_small;
mod slip_near;
mod soak_rate_guessed;
mod soil_not_tested;
mod stopped_early;
mod surplus_in_a_circle;
pub(crate) mod surplus_leaves;
mod surplus_nowhere;
mod too_near;
mod tool_too_coarse;
mod tree_over_service;

use ground::Point;
use quantity::figures::fixed;
use serde::Serialize;
use site::Site;

use crate::layout::{LaidLine, Layout};
use crate::sizes;
pub use breaks_out::of_storm;
use facts::Facts;
pub(crate) use facts::distance_to_m;

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Do not dig before this is settled.
    Stop,
    /// Mend this, or know why not.
    Warn,
    /// Good to know.
    Note,
}

impl Severity {
    /// The word papers use.
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Stop => "stop",
            Severity::Warn => "warn",
            Severity::Note => "note",
        }
    }
}

/// Something wrong or doubtful.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Which finding, as in the catalogue: `sill-too-small`.
    pub code: &'static str,
    /// How much it weighs here.
    pub severity: Severity,
    /// Where.
    pub place: Place,
    /// The values that made it, as the message prints them, by the names the message uses.
    #[serde(serialize_with = "values_as_map")]
    pub values: Vec<(&'static str, String)>,
    /// The publication behind the limit, or "common practice".
    pub source: &'static str,
}

fn values_as_map<S: serde::Serializer>(
    values: &[(&'static str, String)],
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_map(values.iter().map(|(name, text)| (name, text)))
}

/// Where a finding is.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Place {
    /// Which line.
    pub line: Option<String>,
    /// Where along it.
    pub chainage_m: Option<f64>,
    /// Which other thing: a keep-clear, a source, a soil, a tree.
    pub thing: Option<String>,
    /// East, where it is known.
    pub x_m: Option<f64>,
    /// North, where it is known.
    pub y_m: Option<f64>,
}

impl Place {
    /// A whole line, shown at its middle.
    fn line(laid: &LaidLine) -> Place {
        let middle = laid.path.as_ref().and_then(|path| path.at(path.length_m() / 2.0));
        Place { line: Some(laid.line.clone()), ..Place::default() }.shown_at(middle)
    }

    /// A place along a line.
    fn on(laid: &LaidLine, chainage_m: f64) -> Place {
        let at = laid.path.as_ref().and_then(|path| path.at(chainage_m));
        Place { line: Some(laid.line.clone()), chainage_m: Some(chainage_m), ..Place::default() }.shown_at(at)
    }

    /// Something that is not a line.
    fn thing(name: &str) -> Place {
        Place { thing: Some(name.to_owned()), ..Place::default() }
    }

    /// The same, at a line's place nearest to it.
    fn with_thing(self, name: &str) -> Place {
        Place { thing: Some(name.to_owned()), ..self }
    }

    fn shown_at(self, at: Option<Point>) -> Place {
        Place { x_m: at.map(|at| at.x_m), y_m: at.map(|at| at.y_m), ..self }
    }

    /// Where in plan, if known.
    pub fn at(&self) -> Option<Point> {
        Some(Point::new(self.x_m?, self.y_m?))
    }
}

/// All findings, the gravest first.
#[derive(Debug, Clone, Serialize)]
pub struct Answer {
    /// The findings.
    pub findings: Vec<Finding>,
}

impl Answer {
    /// Whether any finding says stop.
    pub fn says_stop(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity == Severity::Stop)
    }

    /// These and others, the gravest first.
    #[must_use]
    pub fn with(&self, others: Answer) -> Answer {
        let mut findings = self.findings.clone();
        findings.extend(others.findings);
        findings.sort_by_key(|finding| finding.severity);
        Answer { findings }
    }
}

type Find = fn(&Facts) -> Vec<Finding>;

/// Every finding there is: its code and what looks for it, in the order of the docs.
const CATALOGUE: &[(&str, Find)] = &[
    (ground_too_steep::CODE, ground_too_steep::find),
    (dispersive_soil::CODE, dispersive_soil::find),
    (soil_not_tested::CODE, soil_not_tested::find),
    (slip_near::CODE, slip_near::find),
    (above_people::CODE, above_people::find),
    (too_near::CODE, too_near::find),
    (service_crossing::CODE, service_crossing::find),
    (tree_over_service::CODE, tree_over_service::find),
    (ask_before_you_dig::CODE, ask_before_you_dig::find),
    (road_water::CODE, road_water::find),
    (surplus_leaves::CODE, surplus_leaves::find),
    (surplus_nowhere::CODE, surplus_nowhere::find),
    (surplus_in_a_circle::CODE, surplus_in_a_circle::find),
    (bank_too_high::CODE, bank_too_high::find),
    (bank_below_sill::CODE, bank_below_sill::find),
    (sill_too_small::CODE, sill_too_small::find),
    (sill_off_the_line::CODE, sill_off_the_line::find),
    (sill_on_fill::CODE, sill_on_fill::find),
    (landing_too_fast::CODE, landing_too_fast::find),
    (channel_too_fast::CODE, channel_too_fast::find),
    (channel_too_small::CODE, channel_too_small::find),
    (grade_too_flat::CODE, grade_too_flat::find),
    (not_level::CODE, not_level::find),
    (tool_too_coarse::CODE, tool_too_coarse::find),
    (earth_short::CODE, earth_short::find),
    (drains_slowly::CODE, drains_slowly::find),
    (fed_by_nothing::CODE, fed_by_nothing::find),
    (no_ground::CODE, no_ground::find),
    (ground_too_coarse::CODE, ground_too_coarse::find),
    (stopped_early::CODE, stopped_early::find),
    (soak_rate_guessed::CODE, soak_rate_guessed::find),
];

/// Findings that need a storm worked through: [`of_storm`] looks for them, [`findings`] does not.
const OF_A_STORM: &[&str] = &[breaks_out::CODE];

/// The codes of all findings, in the order of the docs.
pub fn codes() -> impl Iterator<Item = &'static str> {
    CATALOGUE.iter().map(|(code, _)| *code).chain(OF_A_STORM.iter().copied())
}

/// What is wrong or doubtful in a site: the gravest first, then in the order of the catalogue and the plan.
pub fn findings(site: &Site, layout: &Layout, sizes: &sizes::Answer) -> Answer {
    let facts = Facts { site, layout, sizes };
    let mut findings: Vec<Finding> = CATALOGUE.iter().flat_map(|(_, find)| find(&facts)).collect();
    findings.sort_by_key(|finding| finding.severity);
    Answer { findings }
}

/// A slope in percent, as messages print it.
fn percent(rise_run: f64) -> String {
    fixed(100.0 * rise_run, 1)
}
