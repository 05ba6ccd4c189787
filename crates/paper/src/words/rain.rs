//! Words of the papers that show a storm.

use design::rain_test::{Breakout, Ensemble, LeavesBy, StormTold};
use quantity::Estimate;
use quantity::figures::{fixed, range};

/// What the plan in the rain shows.
pub const PLAN_TITLE: &str = "The works in the rain";
/// What a sheet of flows shows.
pub const FLOW_TITLE: &str = "What runs over the sills";

/// What a long section in the rain shows.
pub fn along_title(line: &str) -> String {
    format!("The storm along {line}")
}

/// What a moving picture shows.
pub fn film_title(line: &str) -> String {
    format!("the storm along {line}, moving")
}

/// The storm in a few words.
pub fn storm(storm: &StormTold) -> String {
    format!(
        "{} mm in {} h, {}; ground before it: {}",
        fixed(storm.depth_mm, 0),
        hours_short(storm.hours),
        storm.shape,
        storm.wet_before
    )
}

/// Under levels: what they and the ranges are.
pub fn levels_of_the_plan(ensemble: &Ensemble) -> String {
    format!("Levels in time are those of the plan as drawn, with every likely value. {}", ranges(ensemble))
}

/// The same where bars stand beside them.
pub fn levels_with_bars(ensemble: &Ensemble) -> String {
    if ensemble.members <= 1 {
        return levels_of_the_plan(ensemble);
    }
    format!(
        "Levels in time are those of the plan as drawn; the bars at the right span nine in ten runs. {}",
        ranges(ensemble)
    )
}

/// Under flows: the same.
pub fn flows_of_the_plan(ensemble: &Ensemble) -> String {
    format!(
        "Curves are those of the plan as drawn; hatched is where nine in ten runs lie at each time. {}",
        ranges(ensemble)
    )
}

/// How many runs stand behind the ranges.
fn ranges(ensemble: &Ensemble) -> String {
    if ensemble.members <= 1 {
        return "One run: no ranges.".to_owned();
    }
    let runs = format!("Ranges hold nine in ten of {} runs", ensemble.members);
    match ensemble.guesses.first() {
        Some(guess) => format!("{runs}; the guess that matters most: {}.", guess.guess),
        None => format!("{runs}."),
    }
}

pub(super) fn hours_short(hours: f64) -> String {
    fixed(hours, usize::from(hours.fract() != 0.0))
}

/// A time from the first drop, as people say it.
pub fn clock(hours: f64) -> String {
    let minutes = (60.0 * hours).round() as u64;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes:02}"),
    }
}

/// Beside a level at one time.
pub fn level_at(hours: f64, storm_hours: f64) -> String {
    if (hours - storm_hours).abs() < 1.0 / 120.0 {
        format!("{}: rain ends", clock(hours))
    } else {
        clock(hours)
    }
}

/// Under a level's time: where nine in ten runs have it.
pub fn level_span(low_z_m: f64, high_z_m: f64) -> String {
    let (low, high) = (fixed(low_z_m, 2), fixed(high_z_m, 2));
    if low == high { low } else { format!("{low} to {high}") }
}

/// Beside the highest water.
pub fn highest(level_m: Estimate) -> String {
    format!("highest water {}", range(level_m, 2))
}

/// How far the water gets.
pub fn reach(reach_m: Estimate) -> String {
    format!("water gets to {} m", range(reach_m, 0))
}

/// Least bank above the water.
pub fn freeboard(freeboard_m: Estimate) -> String {
    let likely_m = freeboard_m.likely();
    if likely_m < 0.0 {
        format!("{} m over the bank", fixed(-likely_m, 2))
    } else {
        format!("least bank left {} m", fixed(likely_m, 2))
    }
}

/// A breakout beside its flag.
pub fn breaks_out(breakout: &Breakout) -> String {
    format!("breaks out at {} m", fixed(breakout.at_m, 1))
}

/// A breakout on a plan.
pub fn breaks_out_with(breakout: &Breakout) -> String {
    format!(
        "breaks out: {} L/s, {} m³, raise {} cm",
        fixed(breakout.peak_l_s.likely(), 1),
        fixed(breakout.volume_m3.likely(), 1),
        fixed(breakout.raise_cm.likely().ceil(), 0)
    )
}

/// Where a breakout is, and how sure it is.
pub fn breakout_place(breakout: &Breakout, peg: Option<usize>, members: usize) -> String {
    let at = fixed(breakout.at_m, 1);
    let place = match peg {
        Some(peg) => format!("at {at} m, peg {peg}"),
        None => format!("at {at} m"),
    };
    if members > 1 {
        let times = (breakout.chance_frac * members as f64).round();
        format!("{place}, in {} of {members} runs", fixed(times, 0))
    } else {
        place
    }
}

/// What a breakout does.
pub fn breakout_flow(breakout: &Breakout) -> String {
    format!("{} L/s, {} m³", range(breakout.peak_l_s, 1), range(breakout.volume_m3, 1))
}

/// When a breakout begins.
pub fn breakout_time(breakout: &Breakout) -> String {
    format!("from {}", clock(breakout.first_h.likely()))
}

/// When a breakout grows.
pub const WASHES_OUT: &str = "fast enough to wash out loose fill: it grows";

/// What to do about a breakout.
pub fn breakout_remedy(breakout: &Breakout) -> String {
    format!("raise {} cm", range(breakout.raise_cm, 0))
}

/// Heading.
pub const WATER_TITLE: &str = "The water, m³";
/// Heading.
pub const COURSE_TITLE: &str = "How far and how high";
/// Heading.
pub const BREAKOUTS_TITLE: &str = "Where it breaks out";
/// Row.
pub const ARRIVES: &str = "comes off its own ground";
/// Row.
pub const PASSED_IN: &str = "comes from lines above";
/// Row.
pub const SOAKS: &str = "soaks in along it";
/// Row.
pub const STANDS: &str = "still stands there at the end";
/// Row.
pub const PASSES_ON: &str = "goes on to other lines";
/// Row.
pub const LEAVES: &str = "leaves for the ground below";
/// Row.
pub const REACH: &str = "the water gets to, m";
/// Row.
pub const REACH_WHEN: &str = "it is there after, h";
/// Row.
pub const PEAK_LEVEL: &str = "highest level, m";
/// Row.
pub const FREEBOARD: &str = "least bank above it, m";
/// Row.
pub const FASTEST: &str = "fastest, m/s, of what the bed stands";
/// Row.
pub const DRY_AFTER: &str = "empty after the rain's end, h";
/// When no reach is told.
pub const NOT_WET: &str = "stays dry";
/// When it does not drain.
pub const STILL_WET: &str = "not while it was followed";
/// When nothing breaks out.
pub const NO_BREAKOUT: &str = "nowhere";
/// When nothing breaks out, beside it.
pub const NO_BREAKOUT_BESIDE: &str = "the bank stays above the water";
/// More breakouts than fit.
pub fn more_breakouts(count: usize) -> String {
    format!("and {count} more: see the table of the rain test")
}

/// Beside the bars of what soaks in.
pub const SOAKED_AXIS: &str = "soaks in, litres in each metre";
/// Under a long section.
pub const ALONG_AXIS: &str = "m along the line";
/// Under a chart in time.
pub const TIME_AXIS: &str = "hours from the first drop";
/// Beside a chart of flows.
pub const FLOW_AXIS: &str = "flow, L/s";
/// Beside hanging bars.
pub const RAIN_AXIS: &str = "rain, mm/h";

/// Over a sill's flow.
pub fn sill_title(line: &str, at_m: f64, to: &str) -> String {
    format!("{line}: sill at {} m, {}", fixed(at_m, 1), super::goes_to(to))
}
/// What a sill passes.
pub fn passes(flow_l_s: f64) -> String {
    format!("it passes {} L/s before the bank goes under", fixed(flow_l_s, 0))
}
/// The greatest flow.
pub fn peak(flow_l_s: Estimate, volume_m3: Estimate) -> String {
    format!("greatest {} L/s; in all {} m³", range(flow_l_s, 1), range(volume_m3, 1))
}
/// Over the flow off the site.
pub const LEAVES_IN_TIME: &str = "What leaves, with and without the works";
/// Beside a curve.
pub const WITHOUT_WORKS: &str = "without the works";
/// Beside a curve.
pub const WITH_WORKS: &str = "with them";
/// The greatest flows before and after.
pub fn peaks(before_l_s: Estimate, after_l_s: Estimate) -> String {
    format!("greatest {} L/s without, {} L/s with them", range(before_l_s, 1), range(after_l_s, 1))
}
/// A chart without flow.
pub const NO_FLOW: &str = "nothing passes in this storm";
/// Heading.
pub const SITE_TITLE: &str = "What leaves the works";
/// A place where water leaves.
pub fn leaves_by(line: &str, by: LeavesBy, at_m: f64) -> String {
    let by = match by {
        LeavesBy::Sill => "over its sill",
        LeavesBy::Bank => "over its bank",
        LeavesBy::End => "at its end",
    };
    format!("{line}, {by} at {} m", fixed(at_m, 1))
}
/// What leaves there.
pub fn leaving(volume_m3: Estimate, peak_l_s: Estimate) -> String {
    format!("{} m³, {} L/s", range(volume_m3, 1), range(peak_l_s, 1))
}
/// Row.
pub const LEAVES_IN_ALL: &str = "in all, m³";
/// Row.
pub const PEAK_BEFORE: &str = "greatest flow without the works, L/s";
/// Row.
pub const PEAK_AFTER: &str = "greatest flow with them, L/s";
/// When more places than fit.
pub fn more_outlets(count: usize) -> String {
    format!("and {count} more places")
}
/// When nothing leaves.
pub const NOTHING_LEAVES: &str = "nothing leaves in this storm";
/// A sill in a moving picture.
pub const SILL: &str = "sill";
/// A breakout in a moving picture.
pub const BREAKS_OUT: &str = "breaks out";
/// Over the bars of rain in a moving picture.
pub const MOST_RAIN: &str = "rain, mm/h; at most";
/// A breakout in a sentence.
pub fn breakout_told(breakout: &Breakout) -> String {
    let mut told = format!(
        "Breaks out at {} m {}: {}. To keep it dry there: {}.",
        fixed(breakout.at_m, 1),
        breakout_time(breakout),
        breakout_flow(breakout),
        breakout_remedy(breakout)
    );
    if breakout.washes_out_frac > 0.5 {
        told.push_str(" The water is ");
        told.push_str(WASHES_OUT);
        told.push('.');
    }
    told
}

/// On the plan: what leaves at a place.
pub fn leaves_here(volume_m3: Estimate) -> String {
    format!("{} m³ leave here", range(volume_m3, 1))
}
/// On the plan: a tree with what soaks in beside it.
pub fn tree_litres(tree: &str, litres: f64) -> String {
    format!("{tree} {} L", fixed(litres, 0))
}
/// Beside the plan: a line's storm.
pub fn line_facts(reach_m: Estimate, soaked_m3: Estimate, breakouts: usize) -> String {
    let out = match breakouts {
        0 => String::new(),
        1 => ", breaks out".to_owned(),
        n => format!(", breaks out in {n} places"),
    };
    if reach_m.likely() <= 0.0 {
        return NOT_WET.to_owned();
    }
    format!("wet to {} m, soaks {} m³{out}", fixed(reach_m.likely(), 0), fixed(soaked_m3.likely(), 1))
}
/// Of the legend.
pub const LEGEND_WET: &str = "wet at the highest";
/// Of the legend.
pub fn legend_soaked(longest_l: f64) -> String {
    format!("soaked: here {} L/m", fixed(longest_l, 0))
}
/// Of the legend.
pub const LEGEND_TREE: &str = "tree; litres beside it";
/// Of the legend.
pub const LEGEND_BREAKOUT: &str = "breaks out";
/// Before the way of the water.
pub const LINES_TITLE: &str = "What each line does";
/// Before the list of breakouts.
pub fn breakout_row(line: &str, breakout: &Breakout) -> String {
    format!(
        "{line} at {} m {}: {}, {}",
        fixed(breakout.at_m, 1),
        breakout_time(breakout),
        breakout_flow(breakout),
        breakout_remedy(breakout)
    )
}
