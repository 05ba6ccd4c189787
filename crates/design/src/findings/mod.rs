//! What is wrong or doubtful in the design: one file a finding.
//!
//! A finding is not an error: everything was computed, and the design has a fault or a doubt. The words and
//! the remedy of each stand in `messages/en.md`, keyed by its code; here are only codes, places and values.

use ground::Point;
use serde::Serialize;
use site::Site;

use crate::layout::Layout;
use crate::sizes;

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
    pub values: Vec<(&'static str, String)>,
    /// The publication behind the limit, or "common practice".
    pub source: &'static str,
}

/// Where a finding is.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Place {
    /// Which line.
    pub line: Option<String>,
    /// Where along it.
    pub chainage_m: Option<f64>,
    /// Which other thing: a keep-clear, a source, a tree.
    pub thing: Option<String>,
    /// Where in plan.
    #[serde(skip)]
    pub at: Option<Point>,
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
        self.findings
            .iter()
            .any(|finding| finding.severity == Severity::Stop)
    }
}

/// What is wrong or doubtful in a site.
pub fn findings(_site: &Site, _layout: &Layout, _sizes: &sizes::Answer) -> Answer {
    todo!("findings")
}
