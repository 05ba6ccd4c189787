//! What an edit is about, and what two states of a plan differ in: so that an edit made on an older state is carried
//! over where nothing it is about has changed.

use std::collections::BTreeSet;

use serde_json::Value;
use site::Plan;

use super::draft::{as_table, names};
use super::{Edit, Thing, TreeSpot};

/// Keys that hold a list of named things.
fn of_key(key: &str) -> Option<Thing> {
    Thing::ALL.into_iter().find(|what| what.key() == key)
}

fn item(what: Thing, name: &str) -> String {
    format!("{} {name}", what.key())
}

impl Edit {
    /// The things the edit is about: `line top`, `tree F1`, `rain`.
    pub fn touches(&self) -> BTreeSet<String> {
        let line = |name: &String| item(Thing::Line, name);
        let all: Vec<String> = match self {
            Edit::MovePeg { line: name, .. }
            | Edit::FixPegs { line: name, .. }
            | Edit::AddSill { line: name, .. }
            | Edit::MoveSill { line: name, .. }
            | Edit::SizeSill { line: name, .. }
            | Edit::RemoveSill { line: name, .. } => vec![line(name)],
            Edit::AddLine { line: new } => vec![line(&new.name)],
            Edit::CutLine { line: name, name: new, .. } => vec![line(name), line(new)],
            Edit::JoinLines { line: name, with } => vec![line(name), line(with)],
            Edit::Remove { what, name, .. } => vec![item(*what, name)],
            Edit::Rename { what, name, to } => vec![item(*what, name), item(*what, to)],
            Edit::Set { path, .. } => vec![of_path(path)],
            Edit::AddSource { source } => vec![item(Thing::Source, &source.name)],
            Edit::AddSoil { soil } => vec![item(Thing::Soil, &soil.name)],
            Edit::AddTree { tree } => vec![item(Thing::Tree, &tree.name)],
            Edit::AddTrees { trees } => trees.iter().map(|tree| item(Thing::Tree, &tree.name)).collect(),
            Edit::MoveTree { tree, to: TreeSpot::AtLine { .. } | TreeSpot::AtPlace { .. } } => {
                vec![item(Thing::Tree, tree)]
            }
            Edit::AddBarrier { barrier } => vec![item(Thing::Barrier, &barrier.name)],
            Edit::AddKeepClear { keep_clear } => vec![item(Thing::KeepClear, &keep_clear.name)],
        };
        all.into_iter().collect()
    }
}

fn of_path(path: &[String]) -> String {
    match path {
        [key, name, ..] => of_key(key).map_or_else(|| key.clone(), |what| item(what, name)),
        [key] => key.clone(),
        [] => String::new(),
    }
}

/// The things in which two plans differ, by the names that [`Edit::touches`] uses.
pub fn changed(before: &Plan, after: &Plan) -> BTreeSet<String> {
    let (old, new) = (as_table(before), as_table(after));
    let keys: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    let mut changed = BTreeSet::new();
    for key in keys {
        if old.get(key) == new.get(key) {
            continue;
        }
        match of_key(key) {
            Some(what) => {
                let either: BTreeSet<&str> =
                    names(before, what).into_iter().chain(names(after, what)).collect();
                let differ =
                    either.into_iter().filter(|name| member(&old, key, name) != member(&new, key, name));
                changed.extend(differ.map(|name| item(what, name)));
            }
            None => {
                changed.insert(key.clone());
            }
        }
    }
    changed
}

fn member<'a>(table: &'a serde_json::Map<String, Value>, key: &str, name: &str) -> Option<&'a Value> {
    table.get(key)?.as_array()?.iter().find(|each| each["name"] == name)
}
