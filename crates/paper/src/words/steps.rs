//! Words of the steps of rain.

use design::rain_test::{StormTold, steps};
use quantity::figures::fixed;

/// What a sheet of steps shows.
pub const STEPS_TITLE: &str = "What fails first";
/// Under the steps.
pub const DEPTH_AXIS: &str = "rain of the whole storm, mm";
/// From so much rain on.
pub const FILLS: &str = "fills from";
/// From so much rain on.
pub const SPILLS: &str = "spills from";
/// From so much rain on.
pub const BREAKS_OUT: &str = "breaks out from";
/// Of the legend.
pub const LEGEND_HOLDS: &str = "takes all that comes";
/// Of the legend.
pub const LEGEND_FULL: &str = "full to a centimetre";
/// Of the legend.
pub const LEGEND_SPILLS: &str = "spills over its sill, as meant";
/// Which line fails first.
pub fn fails_first(line: Option<&str>, steps: &steps::Answer) -> String {
    let breaks = line.and_then(|name| steps.lines.iter().find(|line| line.line == name)?.breaks_out_mm);
    match (line, breaks) {
        (Some(line), Some(at_mm)) => format!("{line} fails first, from {} mm of rain on.", fixed(at_mm, 0)),
        _ => format!("No line breaks out up to {} mm.", fixed(steps.up_to_mm, 0)),
    }
}
/// What a failing bank takes along.
pub fn chain_reaction(reaction: &steps::ChainReaction) -> String {
    let at = fixed(reaction.at_m, 0);
    let gone = if reaction.by_itself {
        format!("With the bank of {} gone at {at} m", reaction.line)
    } else {
        format!("If the bank of {} failed at {at} m, where least of it is left", reaction.line)
    };
    let along = if reaction.takes_along.is_empty() {
        "no other line goes with it".to_owned()
    } else {
        format!("it takes along {}", reaction.takes_along.join(", "))
    };
    format!(
        "{gone}, {along}; {} m³ leave the site instead of {}.",
        fixed(reaction.leaves_after_m3, 1),
        fixed(reaction.leaves_before_m3, 1)
    )
}
/// Under the title of the steps.
pub fn steps_storm(storm: &StormTold) -> String {
    format!(
        "Storms of {} h, {}, deeper and deeper; the plan as drawn, with every likely value",
        super::rain::hours_short(storm.hours),
        storm.shape
    )
}
