//! What the open windows are told without asking.

use schemars::JsonSchema;
use serde::Serialize;

/// News for every window.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[serde(tag = "event", rename_all = "snake_case")]
pub enum News {
    /// The site changed, from here or from outside.
    Changed {
        /// Its revision now.
        revision: u64,
        /// What changed.
        says: String,
    },
    /// What drains to the lines is known now.
    Settled {
        /// Of which revision.
        revision: u64,
    },
    /// A long work went on, or ended.
    Job {
        /// Which.
        id: u64,
        /// How much of it is done.
        done_frac: f64,
        /// running, done, failed or cancelled.
        state: super::jobs::JobState,
        /// Why it failed, if it did.
        says: Option<String>,
    },
}
