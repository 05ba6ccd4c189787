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
    /// Work out a level book, and say whether it adds up and closes
    ///
    /// What the file holds shows in its columns: a level book (point, backsight_m, intermediate_m, foresight_m,
    /// z_m), readings in a row (setup, reading_m), a hose book (from, to, from_reading_m, to_reading_m), a
    /// tape-and-compass ring (leg, bearing, length_m), an A-frame turned on two pegs (reading_mm, turned_mm,
    /// spacing_m, bar_below_m), or pegs read back (pair, fall_mm).
    Levels(Levels),
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

/// Work out a file of levels.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip levels quarry-bank/levels/barn-loop.csv\n  \
        hillsip levels --slope 10% quarry-bank/levels/read-back.csv\n\n\
        Ends with 1 when a book does not add up or misses its mark, or a peg must be moved."
)]
pub struct Levels {
    /// CSV file of levels
    pub file: PathBuf,
    /// Known height of the last point, m; without it the book's own, or the start if it comes back there
    #[arg(long, value_name = "Z_M", allow_negative_numbers = true)]
    pub closes_on: Option<f64>,
    /// Length of line levelled, loop or one way, m; then the allowed misclosure goes by length, else by setups
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub length_m: Option<f64>,
    /// Grade of levelling that the length is held to; without it construction, 24 mm in a kilometre
    #[arg(long, value_parser = ground::levels::GRADES.map(|grade| grade.name))]
    pub grade: Option<String>,
    /// How a misclosure is spread: the same at each setup, or with the distance in chainage_m
    #[arg(long, value_enum, default_value = "setups")]
    pub spread: Spread,
    /// How far the compass's north lies east of the map's, degrees; for a ring
    #[arg(
        long,
        value_name = "DEG",
        default_value_t = 0.0,
        allow_negative_numbers = true
    )]
    pub declination_deg: f64,
    /// Slope of the ground, such as 10% or 1:8; for pegs read back, to say how far a peg moves
    #[arg(long, value_parser = slope)]
    pub slope: Option<quantity::Slope>,
    /// The tool's chance error in one reading, one standard error, mm; for pegs read back, without it 5, assumed
    #[arg(long, value_name = "MM")]
    pub random_mm: Option<f64>,
    /// The tool's own fault, mm; for pegs read back, without it 2, assumed
    #[arg(long, value_name = "MM")]
    pub constant_mm: Option<f64>,
    /// The tool was turned round for half of the readings, so that its own fault cancels
    #[arg(long)]
    pub turned: bool,
    /// Print one JSON document instead of a table and sentences
    #[arg(long)]
    pub json: bool,
}

/// How a misclosure is spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Spread {
    /// The same at each setup
    Setups,
    /// With the distance levelled
    Distance,
}

/// A slope of the ground, not level and not falling.
fn slope(text: &str) -> Result<quantity::Slope, String> {
    let slope = quantity::Slope::parse(text).map_err(|error| error.to_string())?;
    if slope.rise_run() > 0.0 {
        Ok(slope)
    } else {
        Err("give the slope of the ground as a number above 0, such as 10%".to_owned())
    }
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
