//! Words of the sheet for after a rain.

use quantity::figures::fixed;

/// Under the title.
pub const WORDS: &str = "Go while it still stands, or read the marks it left: litter, silt, wet soil. One sheet a rain. What you \
                         write here teaches the plan: type it into field-book.csv, or use the field sheet on a phone.";
/// Box.
pub const DATE: &str = "date";
/// Box.
pub const RAIN_MM: &str = "rain, mm";
/// Box.
pub const HOURS: &str = "hours";
/// Box.
pub const WHO: &str = "who";
/// Heading.
pub const EXPECTED_TITLE: &str = "What the plan expects";
/// Under it.
pub const EXPECTED_WORDS: &str =
    "Rain of a storm as long as the design storm, mm, on ground as wet as usual.";
/// Column.
pub const FILLS_MM: &str = "full from, mm";
/// Column.
pub const SPILLS_MM: &str = "over its sill from, mm";
/// Column.
pub const BREAKS_MM: &str = "over its bank from, mm";
/// Not up to the deepest rain that was tried.
pub fn beyond(up_to_mm: f64) -> String {
    format!("not up to {}", fixed(up_to_mm, 0))
}
/// Heading.
pub const SEEN_TITLE: &str = "What was seen";
/// Column.
pub const REACHED: &str = "water got to peg";
/// Column.
pub const EDGE: &str = "highest, cm below peg";
/// Column.
pub const OVER_SILL: &str = "over the sill? cm";
/// Column.
pub const OVER_BANK: &str = "over the bank? at peg";
/// Column.
pub const EMPTY: &str = "empty after, h";
/// Heading.
pub const LOOK_TITLE: &str = "What to look at, and mend before the next rain";
/// Column.
pub const LOOK: &str = "look at";
/// Column.
pub const WHERE_AND_WHAT: &str = "where, what was done";
/// What to look at. Common practice, no source.
pub const LOOK_AT: [&str; 8] = [
    "low places of the bank, cracks, slumps, burrows: tamp in firm soil and raise them",
    "sills: level, clean, no bite at the lip or its ends",
    "landings: no bare rill, no moved rock, grass closed",
    "trench: silt and litter out, above all at the inlets",
    "wet spots, seeps, cracks or leaning trees below the lines: stop filling the line and ask an engineer",
    "where the surplus went: no new rill on the way, nothing on the neighbour's land or the road",
    "trees: no stems under silt or water, mulch in place, stakes firm",
    "standing water after three days: drain it, for mosquitoes",
];
/// Last.
pub fn then(bed_as_dug: &str) -> String {
    format!(
        "If a bank was raised or a bed cleaned, level it again and write it as \"{bed_as_dug}\" on the peg sheet."
    )
}
