//! What the compiler does not check: crate edges, purity of the core, the map, sizes, glossary, findings, links.
//!
//! Each check returns its complaints as lines; all are printed before the task fails.

mod core;
mod edges;
mod findings;
mod glossary;
mod map;
mod sizes;
pub mod tree;

/// The crates that compute: no I/O, no clock, no chance, no printing.
const CORE: [&str; 6] = ["quantity", "ground", "water", "grove", "site", "design"];

/// Runs all checks.
pub fn run() -> Result<(), String> {
    let tree = tree::Tree::read()?;
    let mut complaints = Vec::new();
    for (name, check) in [
        ("edges", edges::check as fn(&tree::Tree) -> Vec<String>),
        ("core", core::check),
        ("map", map::check),
        ("sizes", sizes::check),
        ("glossary", glossary::check),
        ("findings", findings::check),
        ("links", crate::docs::broken_links),
    ] {
        complaints.extend(check(&tree).into_iter().map(|complaint| format!("tidy {name}: {complaint}")));
    }
    if complaints.is_empty() { Ok(()) } else { Err(complaints.join("\n")) }
}
