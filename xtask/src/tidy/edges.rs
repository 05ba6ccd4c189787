//! Crates depend one way, from the ground to the people.

use super::tree::Tree;

/// Each crate with the crates it may use.
const ALLOWED: [(&str, &[&str]); 9] = [
    ("quantity", &[]),
    ("ground", &["quantity"]),
    ("water", &["quantity", "ground"]),
    ("grove", &["quantity", "ground", "water"]),
    ("site", &["quantity", "ground", "grove"]),
    ("design", &["quantity", "ground", "water", "grove", "site"]),
    ("folder", &["quantity", "ground", "water", "grove", "site", "design"]),
    ("paper", &["quantity", "ground", "water", "grove", "site", "design"]),
    ("hillsip", &["quantity", "ground", "water", "grove", "site", "design", "folder", "paper"]),
];

/// Crates that would bring files, text formats or the network into the core.
const OUTSIDE: [&str; 8] =
    ["toml", "toml_edit", "csv", "serde_json", "tiff", "clap", "png", "atomic-write-file"];

/// Complains of every edge that is not allowed.
pub fn check(tree: &Tree) -> Vec<String> {
    let mut complaints = Vec::new();
    for (name, allowed) in ALLOWED {
        let path = format!("crates/{name}/Cargo.toml");
        let Some(file) = tree.file(&path) else {
            complaints.push(format!("{path} is missing"));
            continue;
        };
        let used = dependencies(&file.text);
        for (other, _) in ALLOWED {
            if used.iter().any(|used| used == other) && !allowed.contains(&other) {
                complaints.push(format!("{name} must not use {other}"));
            }
        }
        if super::CORE.contains(&name) {
            for outside in OUTSIDE.iter().filter(|outside| used.iter().any(|used| used == *outside)) {
                complaints.push(format!("{name} is core and must not use {outside}"));
            }
        }
    }
    for file in tree.files.iter().filter(|file| is_manifest(&file.path)) {
        let name = file.path.split('/').nth(1).unwrap_or_default();
        if !ALLOWED.iter().any(|(known, _)| *known == name) {
            complaints.push(format!("crate {name} has no place in the table of edges"));
        }
    }
    complaints
}

fn is_manifest(path: &str) -> bool {
    path.starts_with("crates/") && path.ends_with("/Cargo.toml") && path.matches('/').count() == 2
}

/// The names under `[dependencies]`.
fn dependencies(manifest: &str) -> Vec<String> {
    let table: toml::Table = manifest.parse().unwrap_or_default();
    let names = table.get("dependencies").and_then(toml::Value::as_table);
    names.map(|names| names.keys().cloned().collect()).unwrap_or_default()
}
