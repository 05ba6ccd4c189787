//! What can be asked of the program: declarations only.
//!
//! Each command ends with two examples, which a test runs.

use std::path::PathBuf;

use clap::{Parser, Subcommand};

/// Plan small water lines by hand: where to peg, what a line holds, where it breaks out, what is dangerous
#[derive(Debug, Parser)]
#[command(
    name = "hillsip",
    version,
    max_term_width = 100,
    after_help = "Begin with:\n  hillsip demo quarry-bank\n\n\
        Ends with 0 when done, 1 when done and a finding says stop, 2 when it could not do its work."
)]
pub struct Args {
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write the example site Quarry Bank into a new folder
    Demo(Demo),
}

/// Write the example site.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip demo quarry-bank\n  hillsip demo --json quarry-bank")]
pub struct Demo {
    /// Folder to write; made when it is not there, refused when it holds anything
    pub dir: PathBuf,
    /// Print one JSON document (what was written) instead of sentences
    #[arg(long)]
    pub json: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn declarations_hold_together() {
        Args::command().debug_assert();
    }
}
