//! Other layouts of a site, kept aside: each is a whole plan in `alternatives/NAME.toml`, on the same ground and beside
//! the same measurements.

use std::fs;
use std::path::Path;

use crate::inside::SiteDir;
use crate::load::{Loaded, load_plan};
use crate::save::{lock, not_saved, remember, save_new};
use crate::{Fault, save};

/// The folder, in a site folder.
const ALTERNATIVES: &str = "alternatives";
/// What its plans end in.
const ENDING: &str = ".toml";
/// Most that are kept: more cannot be looked at side by side.
pub const MOST_ALTERNATIVES: usize = 8;
/// Longest name, in characters.
const LONGEST_NAME: usize = 40;

/// The names of a folder's alternatives, sorted.
///
/// # Errors
/// The folder may not be read, or lies elsewhere.
pub fn alternatives(dir: &Path) -> Result<Vec<String>, Fault> {
    let names = SiteDir::open(dir)?.names(ALTERNATIVES, ENDING)?;
    Ok(names.into_iter().filter_map(|name| name.strip_suffix(ENDING).map(str::to_owned)).collect())
}

/// The text of an alternative's plan.
///
/// # Errors
/// There is none of this name.
pub fn alternative_bytes(dir: &Path, name: &str) -> Result<Vec<u8>, Fault> {
    SiteDir::open(dir)?.bytes(&inside(dir, name)?)
}

/// An alternative as a site. `before` is the site on its ground: that is taken over where the alternative names the same.
///
/// # Errors
/// Every fault of its plan and of what it names.
pub fn load_alternative(dir: &Path, name: &str, before: Option<&Loaded>) -> Result<Loaded, Vec<Fault>> {
    let of_one = |fault| vec![fault];
    let bytes = alternative_bytes(dir, name).map_err(of_one)?;
    load_plan(dir, &inside(dir, name).map_err(of_one)?, &bytes, before)
}

/// Keeps a plan aside under a name. One of that name is replaced, and stays in the history.
///
/// # Errors
/// It is no name, there are too many, or it cannot be written.
pub fn keep_alternative(dir: &Path, name: &str, plan: &[u8]) -> Result<(), Fault> {
    let inside = inside(dir, name)?;
    let site = SiteDir::open(dir)?;
    let names = alternatives(dir)?;
    let known = names.iter().find(|known| known.eq_ignore_ascii_case(name));
    if let Some(known) = known {
        let inside = format!("{ALTERNATIVES}/{known}{ENDING}");
        return save(dir, &inside, &site.bytes(&inside)?, plan);
    }
    if names.len() >= MOST_ALTERNATIVES {
        let found = format!("there are {MOST_ALTERNATIVES} alternatives already");
        return Err(Fault::of_file(
            site.shown(ALTERNATIVES),
            "too-many",
            found,
            "drop one that is of no use any more",
        ));
    }
    fs::create_dir_all(dir.join(ALTERNATIVES))
        .map_err(|error| not_saved(&site.shown(ALTERNATIVES), &error))?;
    site.folder(ALTERNATIVES)?;
    save_new(dir, &inside, plan)
}

/// Takes an alternative out of the folder; it stays in the history.
///
/// # Errors
/// There is none of this name, or it cannot be taken out.
pub fn drop_alternative(dir: &Path, name: &str) -> Result<(), Fault> {
    let inside = inside(dir, name)?;
    let site = SiteDir::open(dir)?;
    let (path, bytes) = (site.file(&inside)?, site.bytes(&inside)?);
    let drop = || {
        let _turn = lock(dir)?;
        remember(dir, &inside, &bytes)?;
        fs::remove_file(&path)
    };
    drop().map_err(|error| not_saved(&site.shown(&inside), &error))
}

/// The path of an alternative inside the folder.
fn inside(dir: &Path, name: &str) -> Result<String, Fault> {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | ',');
    let bounded = !name.is_empty() && name.chars().count() <= LONGEST_NAME;
    if !bounded || name.trim() != name || !name.chars().all(plain) {
        let shown = SiteDir::open(dir)?.shown(ALTERNATIVES);
        let found = format!("\"{}\" cannot be the name of an alternative", crate::fault::shown(name));
        let advice = format!("use 1 to {LONGEST_NAME} letters, digits, spaces and hyphens");
        return Err(Fault::of_file(shown, "not-a-name", found, advice));
    }
    Ok(format!("{ALTERNATIVES}/{name}{ENDING}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{past_states, starter};

    fn site() -> tempfile::TempDir {
        let home = tempfile::tempdir().unwrap();
        fs::write(home.path().join("site.toml"), starter("A")).unwrap();
        home
    }

    #[test]
    fn a_layout_is_kept_replaced_read_and_dropped() {
        let home = site();
        let dir = home.path();
        assert!(alternatives(dir).unwrap().is_empty());
        keep_alternative(dir, "two short swales", starter("A").as_bytes()).unwrap();
        keep_alternative(dir, "one long", starter("B").as_bytes()).unwrap();
        assert_eq!(alternatives(dir).unwrap(), ["one long", "two short swales"]);
        keep_alternative(dir, "one long", starter("C").as_bytes()).unwrap();
        assert_eq!(load_alternative(dir, "one long", None).unwrap().site.plan.name, "C");
        drop_alternative(dir, "one long").unwrap();
        assert_eq!(drop_alternative(dir, "one long").unwrap_err().code, "no-file");
        assert_eq!(alternatives(dir).unwrap(), ["two short swales"]);
        assert_eq!(past_states(dir, "alternatives/one long.toml").unwrap().len(), 2, "nothing is lost");
        for i in 0..MOST_ALTERNATIVES - 1 {
            keep_alternative(dir, &format!("n{i}"), b"x").unwrap();
        }
        assert_eq!(keep_alternative(dir, "more", b"x").unwrap_err().code, "too-many");
    }

    #[test]
    fn faults_of_an_alternative_name_its_own_file() {
        let home = site();
        let plan = starter("A").replace("kind = \"swale\"", "kind = \"swal\"");
        keep_alternative(home.path(), "odd", plan.as_bytes()).unwrap();
        let faults = load_alternative(home.path(), "odd", None).unwrap_err();
        assert!(faults[0].file.ends_with("alternatives/odd.toml") && faults[0].line.is_some(), "{faults:?}");
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let home = site();
        for name in ["", ".", "..", "../site", "a/b", "a\\b", " a", "a.toml", "con:", &"x".repeat(41)] {
            assert_eq!(keep_alternative(home.path(), name, b"x").unwrap_err().code, "not-a-name", "{name}");
            assert!(alternative_bytes(home.path(), name).is_err(), "{name}");
        }
    }
}
