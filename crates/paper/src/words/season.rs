//! Words of the trees' years.

use design::season::TreeStrip;

/// Months, by their first letters.
pub const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
/// Over the soil water.
pub const SOIL_AXIS: &str = "water left in the roots' ground, %";
/// Beside the hanging bars.
pub const RAIN_AXIS: &str = "rain, mm a day";
/// Beside the bars of the line.
pub const LINE_BAND: &str = "from the line, L";
/// Beside the band of days.
pub const DAYS_BAND: &str = "dry, wet feet, by hand";
/// What the signs mean.
pub const KEY: &str = "Black: dry day, the tree gets less than half of what it would use. Hatched: its roots lack air. \
                       Disc: water carried. One likely course of many: `hillsip season` has the ranges.";

/// Title of a tree's sheet.
pub fn title(strip: &TreeStrip) -> String {
    format!("{}, {}: the first three years", strip.tree, strip.species)
}

/// Under it.
pub fn facts(strip: &TreeStrip) -> String {
    let weather = if strip.drawn { "drawn weather that never happened" } else { "the weather of the record" };
    format!("planted {}, mulched, watered in rounds; {weather}", strip.planted)
}

/// Beside each row.
pub fn year(number: usize) -> String {
    format!("year {number}")
}

/// Days and litres of one year.
pub fn sum(dry: usize, wet: usize, line_l: &str, hand_l: &str, rounds: usize) -> String {
    format!(
        "{dry} dry days, {wet} with wet feet; {line_l} L from the line, {hand_l} L by hand in {rounds} rounds"
    )
}

/// "200 L".
pub fn litres(figure: &str) -> String {
    format!("{figure} L")
}
