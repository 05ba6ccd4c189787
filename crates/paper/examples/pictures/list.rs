//! The pictures that the README and the documents show, by the names of their files.

use paper::{Subject, page::Page};

/// Every picture of the demo site that can be drawn.
pub fn pictures(subject: &Subject) -> Vec<(&'static str, Page)> {
    let first_peg_sheet =
        paper::peg_sheet::peg_sheet(subject).into_iter().find(|page| page.title.ends_with("top"));
    let pictures = [
        ("plan", paper::plan::plan(subject)),
        ("cross-section", paper::sections::across(subject, "middle")),
        ("long-section", paper::sections::along(subject, "top")),
        ("peg-sheet", first_peg_sheet),
    ];
    pictures.into_iter().filter_map(|(name, page)| Some((name, page?))).collect()
}
