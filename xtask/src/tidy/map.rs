//! Documents name only paths that exist, and every crate says what it must not know.

use std::path::Path;

use super::tree::Tree;

/// Complains of dead paths in ARCHITECTURE.md, dead links in any document and silent crate headers.
pub fn check(tree: &Tree) -> Vec<String> {
    let mut complaints = Vec::new();
    match tree.file("ARCHITECTURE.md") {
        None => complaints.push("ARCHITECTURE.md is missing".to_owned()),
        Some(file) => {
            for path in quoted_paths(&file.text).filter(|path| !Path::new(path).exists()) {
                complaints.push(format!("ARCHITECTURE.md names {path}, which does not exist"));
            }
        }
    }
    for file in tree.files.iter().filter(|file| file.path.ends_with(".md")) {
        let folder = Path::new(&file.path).parent().unwrap_or(Path::new(""));
        for link in links(&file.text).filter(|link| !folder.join(link).exists()) {
            complaints.push(format!("{} links to {link}, which does not exist", file.path));
        }
    }
    for name in super::CORE.iter().chain(&["folder", "paper"]) {
        let header = tree.file(&format!("crates/{name}/src/lib.rs")).map_or("", |file| &file.text);
        if !header.contains("//! Must not know:") {
            complaints.push(format!("crates/{name}/src/lib.rs does not say what the crate must not know"));
        }
    }
    complaints
}

/// Words between backquotes that look like a path of the tree.
fn quoted_paths(text: &str) -> impl Iterator<Item = &str> {
    text.split('`').skip(1).step_by(2).filter(|word| {
        word.contains('/') && !word.contains([' ', '*', '<', '{', '$', ':']) && !word.starts_with('/')
    })
}

/// Targets of links to files of the tree, without their anchors.
fn links(text: &str) -> impl Iterator<Item = &str> {
    text.split("](")
        .skip(1)
        .filter_map(|rest| rest.split_once(')').map(|(target, _)| target))
        .map(|target| target.split('#').next().unwrap_or_default())
        .filter(|target| !target.is_empty() && !target.contains("://") && !target.starts_with("mailto:"))
}
