//! Words of the page for those next door.

use design::neighbours::Way;
use quantity::figures::fixed;
use site::Source;

/// Title.
pub fn title(site: &str) -> String {
    format!("{site}: what is planned, and what it means for you")
}
/// Under it.
pub const WORDS: &str = "On this slope shallow level trenches with low banks are to be dug by hand. They hold rain so that it soaks \
                         in and waters a small grove; what they cannot hold leaves over level sills. This page says what changes \
                         for the land, road or house below. It is an estimate with ranges, not a promise, and no permit.";
/// What must be settled first.
pub fn stop(titles: &[&str]) -> String {
    format!("STOP. Nothing is dug before this is settled: {}.", titles.join("; "))
}
/// Heading.
pub const BEFORE_AFTER: &str = "Before and after";
/// The storm in a sentence.
pub fn storm(storm: &str, once_in_years: f64) -> String {
    format!("In a storm of {storm}; one like it comes about once in {} years.", fixed(once_in_years, 0))
}
/// Column.
pub const WITHOUT: &str = "without the works";
/// Column.
pub const WITH: &str = "with the works";
/// Row.
pub const GREATEST: &str = "greatest flow off this ground";
/// Row.
pub const IN_ALL: &str = "water that leaves, in all";
/// Under the table.
pub const RANGES: &str = "A range tells what may well happen; the number in brackets is the likeliest. Bigger storms than this come: \
                          then more water leaves, at the same places.";
/// Heading.
pub const WHERE: &str = "Where water comes from, and where it leaves";
/// Where it comes from.
pub fn comes(sources: &[Source]) -> String {
    if sources.is_empty() {
        return "It comes as rain on the lines alone.".to_owned();
    }
    let names: Vec<&str> = sources.iter().map(|source| source.name.as_str()).collect();
    format!("It comes from: {}.", names.join(", "))
}
/// A place where it leaves.
pub fn leaves(place: &str, how_much: &str) -> String {
    format!("It leaves at {place}: {how_much}.")
}
/// Where it goes then.
pub fn way(way: &Way) -> String {
    match (&way.edge, way.path_m) {
        (Some(edge), Some(path_m)) => format!(
            "From {} at {} m it runs over the ground and reaches {edge} after {} m.",
            way.line,
            fixed(way.at_m, 1),
            fixed(path_m, 0)
        ),
        _ => format!(
            "From {} at {} m it runs over the ground and reaches no boundary or road where the ground was measured.",
            way.line,
            fixed(way.at_m, 1)
        ),
    }
}
/// Heading.
pub const DISTANCES: &str = "How far the water keeps away, when the lines stand full";
/// Column.
pub const NEAREST: &str = "nearest line";
/// Column.
pub const AWAY_M: &str = "away, m";
/// Column.
pub const KEEP_M: &str = "to keep, m";
/// Without anything to keep clear of.
pub const NOTHING_NEAR: &str =
    "The plan names no building, well, road or boundary. Tell the planner what is missing.";
/// Heading.
pub const MUD_TITLE: &str = "While the earth is open";
/// What is done against mud. Common practice, no source.
pub const MUD: [&str; 5] = [
    "Digging stops when rain is forecast; a trench begun is closed at its ends before the evening.",
    "Banks are sown and covered with straw the day they are shaped; sills and landings are armoured before they take water.",
    "A line is dug only when the line or ground that takes its surplus is ready.",
    "Below open earth a row of straw bales or brush on the contour catches silt; it is cleaned after each rain.",
    "After each rain the way to your land is walked, and what was washed down is fetched back.",
];
/// Heading.
pub const TALK_TITLE: &str = "Talk to us";
/// Under it.
pub const TALK: &str = "Local codes, rights and licensed practice come first: if you know of a rule, a drain, a pipe or an old \
                        agreement that we do not, tell us before we dig.";
/// Box.
pub const NAME: &str = "name";
/// Box.
pub const PHONE: &str = "phone";
/// Box.
pub const FROM_DAY: &str = "digging from";
