//! Words of what was assumed.

use design::rain_test::Ensemble;
use quantity::figures::fixed;

/// Under the title.
pub const WORDS: &str = "Every figure of this report stands on these. A range is what they may well be; a plain number was \
                         taken as known. Measure what matters most to you, write it into the plan, and print again.";
/// Column.
pub const VALUE: &str = "taken as";
/// Column.
pub const FROM: &str = "known from";
/// Where most values come from.
pub const PLAN_SAYS: &str = "the plan";
/// Row.
pub fn soak(soil: &str) -> String {
    format!("soak rate of {soil}")
}
/// With its unit.
pub fn mm_h(figure: &str) -> String {
    format!("{figure} mm/h")
}
/// With its unit.
pub fn l_min(figure: &str) -> String {
    format!("{figure} L/min")
}
/// With its unit.
pub fn percent(figure: &str) -> String {
    format!("{figure} %")
}
/// Row.
pub const DESIGN_STORM: &str = "design storm";
/// The storm.
pub fn storm(depth_mm: f64, hours: f64, once_in_years: f64) -> String {
    format!("{} in {} years", super::storm_depth(depth_mm, hours) + ", once", fixed(once_in_years, 0))
}
/// Row.
pub fn curve_number(source: &str) -> String {
    format!("curve number of {source}")
}
/// Row.
pub fn seep(source: &str) -> String {
    format!("flow of {source}")
}
/// Row.
pub fn wetting(source: &str) -> String {
    format!("rain that only wets {source}")
}
/// Row.
pub const GROUND_ERROR: &str = "error of the ground's heights, one standard error";
/// Row.
pub const SETTLES: &str = "loose banks are thrown higher by";
/// Heading.
pub const MATTERS: &str = "Which guess matters most";
/// Under it.
pub fn matters_words(ensemble: &Ensemble) -> String {
    format!(
        "Over {} runs each guess was drawn from its range. Near 1 or −1 it rules what leaves or soaks in; near 0 it does not \
         matter.",
        ensemble.members
    )
}
/// Column.
pub const GUESS: &str = "guess";
/// Column.
pub const RANK: &str = "rank correlation";
/// Column.
pub const AGAINST: &str = "with";
