//! Every dependency's licence lets us be MIT OR Apache-2.0. The list is that of `deny.toml`.

use std::process::Command;

use serde_json::Value;

/// Complains of every package whose licence expression has no branch made of allowed licences.
pub fn check() -> Result<(), String> {
    let allowed = allowed()?;
    let output = Command::new(std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned()))
        .args(["metadata", "--format-version", "1", "--locked"])
        .output()
        .map_err(|e| format!("cargo metadata: {e}"))?;
    let metadata: Value =
        serde_json::from_slice(&output.stdout).map_err(|e| format!("cargo metadata: {e}"))?;
    let packages = metadata["packages"].as_array().ok_or("cargo metadata lists no packages")?;
    let complaints: Vec<String> = packages
        .iter()
        .filter_map(|package| {
            let licence = package["license"].as_str().unwrap_or("none given");
            (!is_allowed(licence, &allowed)).then(|| format!("{}: licence {licence}", package["name"]))
        })
        .collect();
    if complaints.is_empty() { Ok(()) } else { Err(complaints.join("\n")) }
}

fn allowed() -> Result<Vec<String>, String> {
    let text = std::fs::read_to_string("deny.toml").map_err(|e| format!("deny.toml: {e}"))?;
    let table: toml::Table = text.parse().map_err(|e| format!("deny.toml: {e}"))?;
    let list = table["licenses"]["allow"].as_array().ok_or("deny.toml lists no licences")?;
    Ok(list.iter().filter_map(|name| name.as_str().map(str::to_owned)).collect())
}

/// Whether a licence expression can be met: OR needs one branch, AND all. Brackets bind one level deep, which
/// is all that registries use; the old slash means OR.
fn is_allowed(expression: &str, allowed: &[String]) -> bool {
    let flat = expression.replace('/', " OR ");
    if let Some((open, close)) = flat.find('(').zip(flat.find(')')) {
        let inside = if is_allowed(&flat[open + 1..close], allowed) { "MIT" } else { "none" };
        return is_allowed(&format!("{}{inside}{}", &flat[..open], &flat[close + 1..]), allowed);
    }
    flat.split(" OR ").any(|branch| {
        branch.split(" AND ").all(|licence| {
            let name = licence.trim().split(" WITH ").next().unwrap_or_default();
            allowed.iter().any(|allowed| allowed == name)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::is_allowed;

    #[test]
    fn one_branch_of_an_or_is_enough_and_every_part_of_an_and() {
        let allowed = ["MIT".to_owned(), "Apache-2.0".to_owned()];
        for good in [
            "MIT",
            "MIT OR GPL-3.0",
            "MIT/Apache-2.0",
            "MIT AND Apache-2.0",
            "(GPL-3.0 OR MIT) AND Apache-2.0",
        ] {
            assert!(is_allowed(good, &allowed), "{good}");
        }
        for bad in ["GPL-3.0", "MIT AND GPL-3.0", "(GPL-3.0 AND MIT) OR AGPL-3.0", "none given"] {
            assert!(!is_allowed(bad, &allowed), "{bad}");
        }
    }
}
