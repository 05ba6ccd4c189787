//! Words of the bound report.

use design::digging::Answer as DiggingAnswer;
use design::rain_test::SiteRain;
use design::sizes::{LineSizes, SpillsOver};
use quantity::Estimate;
use quantity::figures::{fixed, range};
use site::{Line, LineKind, Source, SourceKind};

pub mod after_rain;
pub mod assumed;
pub mod digging;
pub mod neighbour;
pub mod trees;
pub mod year;

/// In the head of each page.
pub const REPORT: &str = "Report";
/// Chapter.
pub const JOB: &str = "The job in words";
/// Chapter.
pub const WATER: &str = "The water budget";
/// Chapter.
pub const BEFORE_PEGGING: &str = "Before pegging";
/// Chapter.
pub const SECTIONS: &str = "Along and across the lines";
/// Chapter.
pub const SILLS: &str = "Sill cards";
/// Chapter.
pub const RAIN: &str = "The rain test";
/// Chapter.
pub const TREES: &str = "The trees";
/// Chapter.
pub const AFTER_RAIN: &str = "After each rain";
/// Chapter.
pub const NEIGHBOUR: &str = "For those next door";
/// Chapter.
pub const DIGGING: &str = "Digging days and what to bring";
/// Chapter.
pub const YEAR: &str = "A year of work";
/// Chapter.
pub const FINDINGS: &str = "Findings, cautions and whom to ask";
/// Chapter.
pub const ASSUMPTIONS: &str = "What was assumed";
/// Chapter of a line.
pub fn line_title(line: &str) -> String {
    format!("{line}: pegs, sections, sills")
}

/// Heading.
pub const KEY_FIGURES: &str = "In figures";
/// Heading.
pub const CONTENTS: &str = "What is bound here";
/// Column.
pub const CHAPTER: &str = "chapter";
/// Column.
pub const PAGE: &str = "page";
/// Column.
pub const WHAT: &str = "what";
/// Column.
pub const HOW_MUCH: &str = "how much";
/// Column.
pub const LINE: &str = "line";
/// Column.
pub const WHERE: &str = "where";
/// Column.
pub const VOLUME_M3: &str = "in all, m³";
/// Column.
pub const PEAK_L_S: &str = "greatest, L/s";

/// Row.
pub const LINES_HOLD: &str = "the lines hold, brim-full";
/// Row.
pub const STORM: &str = "the design storm";
/// Row.
pub const ARRIVES: &str = "it brings to the works";
/// Row.
pub const SOAKS: &str = "of that soaks in along them";
/// Row.
pub const LEAVES: &str = "of that leaves them";
/// Row.
pub const PEAK_BEFORE: &str = "greatest flow off this ground without the works";
/// Row.
pub const PEAK_AFTER: &str = "greatest flow with them";
/// Row.
pub const PERSON_DAYS: &str = "days of one person's digging";
/// Row.
pub const DAYS: &str = "days for the hands there are";
/// So many days for so many people.
pub fn days_of(people: u32, days: &str) -> String {
    let hands = if people == 1 { "one person".to_owned() } else { format!("{people} people") };
    format!("{hands}: {days}")
}
/// A storm.
pub fn storm_depth(depth_mm: f64, hours: f64) -> String {
    format!("{} mm in {} h", fixed(depth_mm, 0), super::rain::hours_short(hours))
}
/// So many of each weight.
pub fn findings_count(stops: usize, warnings: usize, notes: usize) -> String {
    format!("{stops} stop, {warnings} to mend, {notes} to note")
}

/// A site without lines.
pub const NO_LINES: &str = "The plan has no lines yet: nothing can be pegged, sized or dug. Add a line to site.toml and print again.";
/// A site without sources.
pub const NO_SOURCES: &str = "The plan names no source of water: only the rain on the lines counts.";

/// How many lines of which kind.
pub fn lines_in_words(kinds: &[LineKind]) -> String {
    let count = |kind| kinds.iter().filter(|k| **k == kind).count();
    let parts: Vec<String> = [
        (LineKind::Swale, "swale", "swales"),
        (LineKind::Drain, "drain", "drains"),
        (LineKind::Chute, "chute", "chutes"),
        (LineKind::Pipe, "pipe", "pipes"),
    ]
    .into_iter()
    .filter_map(|(kind, one, many)| match count(kind) {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {many}")),
    })
    .collect();
    format!("The works: {}. Swales are level and hold; drains fall and carry.", parts.join(", "))
}

/// Where water comes from.
pub fn source(source: &Source) -> String {
    let name = super::capitalised(&source.name);
    let area = source.area_m2.map_or(String::new(), |m2| format!(" of {} m²", fixed(m2, 0)));
    let what = match source.kind {
        SourceKind::Hillside => format!("hillside{area}"),
        SourceKind::HardSurface => format!("hard surface{area}"),
        SourceKind::Seep => "seep".to_owned(),
    };
    let flow = source.flow_l_min.map_or(String::new(), |l_min| format!(", {} L/min", range(l_min, 1)));
    let into: Vec<String> = source.picked_up().map(|picked| picked.line.to_owned()).collect();
    let into = if into.is_empty() {
        " to whatever line the ground leads to".to_owned()
    } else {
        format!(" to {}", into.join(", "))
    };
    let road = match (source.road_water, source.consent) {
        (Some(true), Some(true)) => " It is road water; its owner has agreed.",
        (Some(true), _) => " It is road water: its owner must agree first.",
        _ => "",
    };
    format!("{name}: {what}{flow},{into}.{road}")
}

/// A line in a sentence.
pub fn line_in_words(line: &Line, length_m: f64, sizes: &LineSizes) -> String {
    let name = super::capitalised(&line.name);
    let kind = super::kind(line.kind).to_lowercase();
    let mut told = format!("{name}, a {kind} of {} m", fixed(length_m, 0));
    if let Some(holding) = sizes.holding.as_ref().filter(|_| line.kind == LineKind::Swale) {
        told.push_str(&format!(", holds {} m³", range(holding.holds_range_m3, 1)));
    }
    if let Some(rain_mm) = sizes.supply.holds_rain_mm.filter(|_| line.kind == LineKind::Swale) {
        told.push_str(&format!(" and is filled by {} mm of rain", fixed(rain_mm, 0)));
    }
    let over = sizes.holding.as_ref().and_then(|holding| holding.spills_over);
    let by = match over {
        Some(SpillsOver::Sill) => " over its sill",
        Some(SpillsOver::Bank) => " over its bank, which is not meant",
        Some(SpillsOver::Uphill) => " round behind its bank, which is not meant",
        Some(SpillsOver::End) | None => "",
    };
    if sizes.spills_to.is_empty() {
        told.push('.');
    } else {
        let to: Vec<String> = sizes.spills_to.iter().map(|to| super::goes_to(to)).collect();
        told.push_str(&format!("; its surplus goes{by} {}.", to.join(" and ")));
    }
    told
}

/// How many trees.
pub fn trees(count: usize) -> String {
    if count == 1 {
        "One tree drinks from the lines.".to_owned()
    } else {
        format!("{count} trees drink from the lines.")
    }
}

/// What the storm does.
pub fn storm(storm: &str, site: &SiteRain) -> String {
    format!(
        "The rain test ({storm}): {} m³ come to the works, {} m³ soak in, {} m³ leave; the greatest flow off this ground \
         goes from {} to {} L/s.",
        range(site.arrived_m3, 1),
        range(site.soaked_m3, 1),
        range(site.leaves_m3, 1),
        range(site.peak_before_l_s, 1),
        range(site.peak_after_l_s, 1)
    )
}

/// Why there is no storm.
pub fn no_storm(because: &str) -> String {
    format!("The design storm could not be worked through: {because}.")
}

/// How much digging.
pub fn digging(digging: &DiggingAnswer) -> String {
    format!(
        "Digging takes {} person-days, {} days for {}.",
        range(digging.person_days, 1),
        range(digging.needed_days, 0),
        if digging.people == 1 { "one person".to_owned() } else { format!("{} people", digging.people) }
    )
}

/// Heading.
pub const SOURCES_TITLE: &str = "Where it comes from";
/// Heading.
pub const HOLDS_TITLE: &str = "What each line holds";
/// Under it.
pub const HOLDS_WORDS: &str = "Held means standing level with the place where the line first spills. A range is what the level \
                               error of the tool leaves open. The rain that fills a line counts nothing as soaked meanwhile.";
/// Column.
pub const LENGTH_M: &str = "length, m";
/// Column.
pub const GROUND_M2: &str = "own ground, m²";
/// Column.
pub const HOLDS_M3: &str = "holds, m³";
/// Column.
pub const FILLED_BY_MM: &str = "filled by rain, mm";
/// Column.
pub const EMPTY_H: &str = "empty by soaking, h";
/// Column.
pub const SPILLS_TO: &str = "spills to";
/// Why a line is not known.
pub fn line_unknown(line: &str, because: &str) -> String {
    format!("{}: not known, because {because}.", super::capitalised(line))
}
/// Heading.
pub const STORM_TITLE: &str = "What the design storm does, m³";
/// Last row.
pub const ALL_LINES: &str = "all lines";
/// The proof of the budget.
pub fn balance(error_frac: f64) -> String {
    format!(
        "Nothing is lost: what came, less what soaked in, stands and left, is {} % of what came, in the worst run.",
        if error_frac == 0.0 { "0".to_owned() } else { format!("{:.0e}", 100.0 * error_frac) }
    )
}
/// What no line takes.
pub fn runs_past(m3: Estimate) -> String {
    format!("{} m³ run past the works: no line picks them up.", range(m3, 1))
}
/// When no bank is passed.
pub const NO_BREAKOUTS: &str = "Nowhere in this storm: every bank stays above the water.";

/// Title of the sill cards of a line.
pub fn sills_of(line: &str) -> String {
    format!("Sills of {line}")
}
/// Under it.
pub const SILL_WORDS: &str = "A sill is the one place where a line is meant to spill: level to a centimetre, on ground that was \
                              never dug, and armoured where the water comes down.";
/// Row.
pub const CREST_FROM_TO: &str = "crest, along the line";
/// From and to.
pub fn from_to(from_m: f64, to_m: f64) -> String {
    format!("{} to {} m", fixed(from_m, 1), fixed(to_m, 1))
}
/// Row.
pub const BELOW_BANK: &str = "crest below the settled bank";
/// Row.
pub const HEAD_HARD: &str = "the same over a hard, smooth crest";
/// Row.
pub const OUT_OF_LEVEL: &str = "flow at the low end if the crest is out by the tool's error";
/// Times the mean.
pub fn times(times: &str) -> String {
    format!("{times} times the mean")
}
/// Row.
pub const LANDING_SLOPE: &str = "landing, slope";
/// Row.
pub const LANDING_SPEED: &str = "landing, speed of the water";
/// Row.
pub const LANDING_STANDS: &str = "landing, speed that it stands";
/// A slope.
pub fn percent(slope: f64) -> String {
    format!("{} %", fixed(100.0 * slope, 0))
}
/// Row.
pub const STORM_PASSES: &str = "rain test: passes in all";
/// Row.
pub const STORM_GREATEST: &str = "rain test: greatest flow";
/// Row.
pub const STORM_HEAD: &str = "rain test: water over the crest";
/// Row.
pub const PASSES_BEFORE_BANK: &str = "it passes before the bank goes under";
/// Row.
pub const ROCK_SIZE: &str = "rock on the landing, middle size";
/// Row.
pub const ROCK_LAYER: &str = "rock, thickness of the layer";
/// Row.
pub const ROCK_AREA: &str = "rock, ground to cover";
/// Row.
pub const ROCK_VOLUME: &str = "rock as laid";
/// With its unit.
pub fn mm(figure: &str) -> String {
    format!("{figure} mm")
}
/// How to build a sill. Common practice, no source.
pub fn sill_build(landing_written: bool) -> &'static str {
    if landing_written {
        "Leave the ground here undug. Peg both ends of the crest level with each other, dress it with a straight board, \
         pour a bucket over it: it must run off along the whole crest at once."
    } else {
        "The plan does not say what covers the landing; grass was taken. Leave the ground here undug. Peg both ends of the \
         crest level with each other, dress it with a straight board, pour a bucket over it: it must run off along the whole \
         crest at once."
    }
}

/// Heading.
pub const ASK_TITLE: &str = "Whom to ask before the spade";
/// Cautions that the drawings have no room for. Common practice, no source.
pub const MORE_CAUTIONS: [&str; 4] = [
    "Water in a trench drowns small children: fence it or stay with them while it stands.",
    "Never enter a trench deeper than your hips alone, and keep heaps and people back from its edge.",
    "What leaves your land must do no harm below: show the neighbour page to whoever lives or drives there.",
    "Figures here are estimates with ranges. After each big rain look, note, and mend before the next.",
];
