//! Edits of things with names: added, renamed, moved and taken out, with what names them.

use serde::Serialize;
use site::Tree;

use super::draft::Draft;
use super::text::Step;
use super::{EditError, Said, Thing, TreeSpot, toml_words};

/// A new thing.
pub(super) fn add(
    draft: &mut Draft,
    what: Thing,
    name: &str,
    thing: &impl Serialize,
) -> Result<Said, EditError> {
    draft.is_free(what, name)?;
    draft.add_thing(what, thing);
    Ok(Said::only(format!("added the {} \"{name}\"", what.words())))
}

/// Several new trees.
pub(super) fn add_trees(draft: &mut Draft, trees: &[Tree]) -> Result<Said, EditError> {
    for tree in trees {
        draft.is_free(Thing::Tree, &tree.name)?;
    }
    for tree in trees {
        draft.add_thing(Thing::Tree, tree);
    }
    let names: Vec<&str> = trees.iter().map(|tree| tree.name.as_str()).collect();
    let word = if trees.len() == 1 { "tree" } else { "trees" };
    Ok(Said::only(format!("added {} {word}: {}", trees.len(), names.join(", "))))
}

/// A thing other than a line is taken out.
pub(super) fn remove(draft: &mut Draft, what: Thing, name: &str) -> Result<Said, EditError> {
    let index = draft.index(what, name)?;
    draft.take_thing(what, index);
    Ok(Said::only(format!("took out the {} \"{name}\"", what.words())))
}

/// Another name, also where it is named.
pub(super) fn rename(draft: &mut Draft, what: Thing, name: &str, to: &str) -> Result<Said, EditError> {
    let index = draft.index(what, name)?;
    if name != to {
        draft.is_free(what, to)?;
    }
    draft.write(&[Step::Key(what.key()), Step::Member(index)], "name", &toml_words::quoted(to))?;
    let also = if what == Thing::Line { name_anew(draft, name, to, Because::Renamed)? } else { Vec::new() };
    Ok(Said { says: format!("the {} \"{name}\" is now \"{to}\"", what.words()), also })
}

/// Why what names a line names another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Because {
    /// The line has another name.
    Renamed,
    /// The line is part of another now.
    Joined,
    /// The line is gone, and its water goes where its surplus went.
    Removed,
}

/// What names a line names another, or the ground.
pub(super) fn name_anew(
    draft: &mut Draft,
    name: &str,
    to: &str,
    because: Because,
) -> Result<Vec<String>, EditError> {
    let mut also = water_anew(draft, name, to, because)?;
    also.extend(sources_anew(draft, name, to, because)?);
    let to = toml_words::quoted(to);
    for (i, tree) in draft.plan.trees.iter().enumerate() {
        // A tree with its place along the line follows with that place.
        let follows = because == Because::Renamed || (because == Because::Joined && tree.at_m.is_none());
        if follows && tree.line.as_deref() == Some(name) {
            draft.write(&[Step::Key("tree"), Step::Member(i)], "line", &to)?;
        }
    }
    for (i, opinion) in draft.plan.opinions.iter().enumerate() {
        if because != Because::Removed && opinion.line.as_deref() == Some(name) {
            draft.write(&[Step::Key("opinion"), Step::Member(i)], "line", &to)?;
        }
    }
    Ok(also)
}

/// Sills and ends that sent their water to a line.
fn water_anew(draft: &mut Draft, name: &str, to: &str, because: Because) -> Result<Vec<String>, EditError> {
    let mut also = Vec::new();
    let words = toml_words::quoted(to);
    for (i, line) in draft.plan.lines.iter().enumerate() {
        let is_changed_itself = because != Because::Renamed && (line.name == name || line.name == to);
        if is_changed_itself && (because == Because::Joined || line.name == name) {
            continue;
        }
        let table = [Step::Key("line"), Step::Member(i)];
        if line.to.as_deref() == Some(name) {
            draft.write(&table, "to", &words)?;
            also.push(format!("\"{}\" now leads to \"{to}\"", line.name));
        }
        for (k, _) in line.sills.iter().enumerate().filter(|(_, sill)| sill.to == name) {
            draft.write(&[table[0], table[1], Step::Key("sill"), Step::Member(k)], "to", &words)?;
            also.push(format!("sill {} of \"{}\" now spills to \"{to}\"", k + 1, line.name));
        }
    }
    Ok(also)
}

/// Sources that fed a line.
fn sources_anew(draft: &mut Draft, name: &str, to: &str, because: Because) -> Result<Vec<String>, EditError> {
    let mut also = Vec::new();
    let is_line = draft.plan.lines.iter().any(|line| line.name == to);
    let words = toml_words::quoted(to);
    for (i, source) in draft.plan.sources.iter().enumerate() {
        if source.into.as_deref() != Some(name) {
            continue;
        }
        let table = [Step::Key("source"), Step::Member(i)];
        match because {
            Because::Renamed => draft.write(&table, "into", &words)?,
            // With its place along the line it has followed already.
            Because::Joined if source.at_m.is_some() => {}
            Because::Joined => draft.write(&table, "into", &words)?,
            Because::Removed => {
                draft.take_key(&table, "at_m")?;
                if is_line {
                    draft.write(&table, "into", &words)?;
                    also.push(format!("the source \"{}\" now feeds \"{to}\"", source.name));
                } else {
                    draft.take_key(&table, "into")?;
                    also.push(format!("the source \"{}\" feeds no line now", source.name));
                }
            }
        }
    }
    Ok(also)
}

/// A tree stands elsewhere.
pub(super) fn move_tree(draft: &mut Draft, name: &str, to: &TreeSpot) -> Result<Said, EditError> {
    let index = draft.index(Thing::Tree, name)?;
    let table = [Step::Key("tree"), Step::Member(index)];
    match to {
        TreeSpot::AtLine { line, at_m, downhill_m } => {
            draft.line(line)?;
            for key in ["x_m", "y_m"] {
                draft.take_key(&table, key)?;
            }
            draft.write(&table, "line", &toml_words::quoted(line))?;
            draft.write(&table, "at_m", &toml_words::coordinate(*at_m))?;
            if let Some(downhill_m) = downhill_m {
                draft.take_key(&table, "spot")?;
                draft.write(&table, "downhill_m", &toml_words::coordinate(*downhill_m))?;
            }
            let at = toml_words::coordinate(*at_m);
            Ok(Said::only(format!("moved the tree \"{name}\" to {at} m along \"{line}\"")))
        }
        TreeSpot::AtPlace { x_m, y_m } => {
            let (x, y) = (toml_words::coordinate(*x_m), toml_words::coordinate(*y_m));
            draft.write(&table, "x_m", &x)?;
            draft.write(&table, "y_m", &y)?;
            for key in ["line", "at_m", "spot", "downhill_m"] {
                draft.take_key(&table, key)?;
            }
            Ok(Said::only(format!("moved the tree \"{name}\" to {x}, {y}")))
        }
    }
}
