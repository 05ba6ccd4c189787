//! Words of the trees.

use design::planting::{PlacedTree, Suits};

/// Under the title.
pub const WORDS: &str = "Stakes first: set each, walk the lines after a rain, and plant only where the ground was as wet as meant. \
                         Widths and tolerances go by species; rootstock and growers nearby know better.";
/// Column.
pub const STAKE: &str = "stake";
/// Column.
pub const TREE: &str = "tree";
/// Column.
pub const ALONG_M: &str = "m along";
/// Column.
pub const DOWNHILL_M: &str = "m downhill";
/// Column.
pub const SPOT: &str = "spot";
/// Column.
pub const ABOVE_M: &str = "above full water, m";
/// Column.
pub const WIDE_M: &str = "grows wide, m";
/// Heading.
pub const CARDS: &str = "Tree by tree";
/// Column.
pub const SUITS: &str = "does the place suit";
/// Column.
pub const STORM_L: &str = "design storm, litres in its metre";
/// Column.
pub const PLANTED: &str = "planted on";
/// Column.
pub const FIRST_SUMMER: &str = "after summer 1";
/// Column.
pub const SECOND_SUMMER: &str = "after summer 2";
/// Last.
pub const CAUTION: &str = "Local rules on trees near boundaries, wires and buried services come first.";

/// Whether the place suits, and what is too near.
pub fn verdict(tree: &PlacedTree) -> String {
    let mut told = match tree.verdict {
        None => "not known: no list holds this species".to_owned(),
        Some(verdict) => match verdict.suits {
            Suits::Yes => "yes".to_owned(),
            Suits::Doubtful => format!("doubtful: {}", verdict.because),
            Suits::No => format!("no: {}", verdict.because),
        },
    };
    for near in &tree.too_near {
        told.push_str(&format!("; too near {} {}", near.kind, near.thing));
    }
    told
}
