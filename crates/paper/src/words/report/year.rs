//! Words of the year of work.

use design::calendar::{Answer, RainSeason};

/// Column.
pub const WHEN: &str = "when";
/// Column.
pub const MIND: &str = "what to mind, and where that comes from";

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// When the rain comes, and how that is known.
pub fn season(year: &Answer) -> String {
    let season = match year.rain_season {
        RainSeason::Winter => "rain in winter, a dry summer",
        RainSeason::Summer => "rain in the warm months",
        RainSeason::AllYear => "rain in every month",
    };
    let doubt = if year.guessed_by_latitude {
        " That is guessed from the latitude alone: shift it to your own months of rain."
    } else {
        ""
    };
    format!("A year with {season}.{doubt}")
}

/// From month to month, 1 is January.
pub fn months(from: u32, to: u32) -> String {
    let name = |month: u32| MONTHS.get(month as usize - 1).copied().unwrap_or_default();
    match (from, to) {
        (1, 12) => "all year".to_owned(),
        (from, to) if from == to => name(from).to_owned(),
        (from, to) => format!("{} to {}", name(from), name(to)),
    }
}
