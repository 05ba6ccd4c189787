//! A plan being edited: its values, and its text with the splices made so far.

use serde::Serialize;
use serde_json::Value;
use site::Plan;
use toml_edit::Table;

use super::text::{Node, PlanText, Step};
use super::{EditError, Thing, toml_words};

/// The keys of the file in the order of its documentation: where a first thing of its kind is put.
const ORDER: [&str; 14] = [
    "name",
    "place",
    "ground",
    "tool",
    "soil",
    "rain",
    "climate",
    "source",
    "line",
    "tree",
    "barrier",
    "keep_clear",
    "opinion",
    "prices",
];

/// How far tables inside a table are set in, where there is none yet to follow.
const SET_IN: &str = "  ";

pub(super) struct Draft<'a> {
    /// The plan as it was before the edit.
    pub plan: &'a Plan,
    /// Its text.
    pub text: PlanText<'a>,
}

impl<'a> Draft<'a> {
    pub fn of(text: &'a str, plan: &'a Plan) -> Result<Draft<'a>, EditError> {
        Ok(Draft { plan, text: PlanText::of(text)? })
    }

    pub fn into_text(self) -> String {
        self.text.into_text()
    }

    /// The names of a kind of thing, in the order of the plan.
    pub fn names(&self, what: Thing) -> Vec<&'a str> {
        names(self.plan, what)
    }

    /// The place of a thing among its kind.
    pub fn index(&self, what: Thing, name: &str) -> Result<usize, EditError> {
        let names = self.names(what);
        names.iter().position(|known| *known == name).ok_or_else(|| EditError::no_such(what, name, names))
    }

    /// The line of this name, and its place.
    pub fn line(&self, name: &str) -> Result<(usize, &'a site::Line), EditError> {
        let index = self.index(Thing::Line, name)?;
        Ok((index, &self.plan.lines[index]))
    }

    /// That a name may be given to a new thing.
    pub fn is_free(&self, what: Thing, name: &str) -> Result<(), EditError> {
        if self.names(what).contains(&name) {
            return Err(EditError::NameTaken { what: what.words(), name: name.to_owned() });
        }
        Ok(())
    }

    /// Puts a value in the place of another, or adds its key after the ones that precede it in `order`.
    pub fn write(&mut self, table: &[Step], key: &str, words: &str) -> Result<(), EditError> {
        let path: Vec<Step> = table.iter().copied().chain([Step::Key(key)]).collect();
        match self.text.node(&path) {
            Some(node) => {
                let span = node.span().ok_or_else(|| EditError::NotAValue { path: shown(&path) })?;
                self.text.splice(span, words);
                Ok(())
            }
            None => self.add_key(table, key, words),
        }
    }

    fn add_key(&mut self, table: &[Step], key: &str, words: &str) -> Result<(), EditError> {
        match self.text.node(table) {
            Some(Node::Table(held)) if held.is_dotted() || (held.is_implicit() && !table.is_empty()) => {
                Err(EditError::OddForm { path: shown(table) })
            }
            Some(Node::Table(held)) => {
                let at = self.text.body_end(held);
                let indent = held
                    .iter()
                    .filter_map(|(_, item)| item.as_value().and_then(toml_edit::Value::span))
                    .last()
                    .or_else(|| held.span())
                    .map_or("", |span| self.text.indent(span.start))
                    .to_owned();
                self.insert_lines(at, &format!("{indent}{key} = {words}\n"));
                Ok(())
            }
            Some(Node::Inline(held)) => {
                let last = held.iter().filter_map(|(_, value)| value.span()).map(|span| span.end).max();
                match (last, held.span()) {
                    (Some(last), _) => self.text.splice(last..last, format!(", {key} = {words}")),
                    (None, Some(span)) => self.text.splice(span, format!("{{ {key} = {words} }}")),
                    (None, None) => return Err(EditError::OddForm { path: shown(table) }),
                }
                Ok(())
            }
            None => match table {
                [Step::Key(header)] if ORDER.contains(header) => {
                    let at = self.place_for(header);
                    self.insert_lines(at, &format!("\n[{header}]\n{key} = {words}\n"));
                    Ok(())
                }
                _ => Err(EditError::NoPath { path: shown(table) }),
            },
            Some(_) => Err(EditError::NoPath { path: shown(table) }),
        }
    }

    /// Puts another key and its value in the place of a key.
    pub fn swap_key(&mut self, table: &[Step], old: &str, new: &str, words: &str) -> Result<(), EditError> {
        let path: Vec<Step> = table.iter().copied().chain([Step::Key(old)]).collect();
        let key = match self.text.node(table) {
            Some(Node::Table(held)) => held.key(old).and_then(toml_edit::Key::span),
            Some(Node::Inline(held)) => held.key(old).and_then(toml_edit::Key::span),
            _ => None,
        };
        let value = self.text.node(&path).and_then(Node::span);
        let (Some(key), Some(value)) = (key, value) else {
            return Err(EditError::NoPath { path: shown(&path) });
        };
        self.text.splice(key.start..value.end, format!("{new} = {words}"));
        Ok(())
    }

    /// Takes a key out with its line, where it is there.
    pub fn take_key(&mut self, table: &[Step], key: &str) -> Result<bool, EditError> {
        let path: Vec<Step> = table.iter().copied().chain([Step::Key(key)]).collect();
        let Some(node) = self.text.node(&path) else {
            return Ok(false);
        };
        let span = node.span().ok_or_else(|| EditError::NotAValue { path: shown(&path) })?;
        let cut = match self.text.node(table) {
            Some(Node::Inline(held)) => {
                let value = |name: &str| held.get(name).and_then(toml_edit::Value::span);
                let key_start =
                    held.key(key).and_then(toml_edit::Key::span).map_or(span.start, |key| key.start);
                let before = held
                    .iter()
                    .filter_map(|(name, _)| value(name))
                    .map(|s| s.end)
                    .filter(|e| *e <= key_start)
                    .max();
                let after = held
                    .iter()
                    .filter_map(|(name, _)| held.key(name).and_then(toml_edit::Key::span))
                    .map(|s| s.start)
                    .filter(|start| *start >= span.end)
                    .min();
                match (before, after) {
                    (Some(before), _) => before..span.end,
                    (None, Some(after)) => key_start..after,
                    (None, None) => key_start..span.end,
                }
            }
            _ => self.text.line_start(span.start)..self.text.line_end(span.end),
        };
        self.text.splice(self.whole_key(table, key, cut), "");
        Ok(true)
    }

    /// A value on several lines begins on the line of its key.
    fn whole_key(&self, table: &[Step], key: &str, cut: std::ops::Range<usize>) -> std::ops::Range<usize> {
        match self.text.node(table) {
            Some(Node::Table(held)) => {
                let start =
                    held.key(key).and_then(toml_edit::Key::span).map(|key| self.text.line_start(key.start));
                start.unwrap_or(cut.start).min(cut.start)..cut.end
            }
            _ => cut,
        }
    }

    /// Adds a thing after the last of its kind.
    pub fn add_thing(&mut self, what: Thing, thing: &impl Serialize) {
        let table = as_table(thing);
        match self.text.node(&[Step::Key(what.key())]) {
            Some(Node::Value(toml_edit::Value::Array(array))) => {
                let array = array.clone();
                self.text.add_member(&array, &toml_words::value(&Value::Object(table)));
            }
            _ => {
                let at = self.place_for(what.key());
                let words = self.section(&format!("[[{}]]", what.key()), "", &table);
                self.insert_lines(at, &format!("\n{words}"));
            }
        }
    }

    /// Text of a table under a header, with the tables in it.
    pub fn section(&self, header: &str, indent: &str, table: &serde_json::Map<String, Value>) -> String {
        let (lines, lists) = toml_words::lines_of(table);
        let mut words = format!("{indent}{header}\n");
        for line in lines {
            words.push_str(&format!("{indent}{line}\n"));
        }
        for (name, members) in lists {
            for member in members.iter().filter_map(Value::as_object) {
                let inner = format!("[[line.{name}]]");
                words.push_str(&format!("\n{}", self.section(&inner, &self.set_in(), member)));
            }
        }
        words
    }

    /// How far the file sets its sills in.
    pub fn set_in(&self) -> String {
        let sills = |i: usize| self.text.node(&[Step::Key("line"), Step::Member(i), Step::Key("sill")]);
        let first = (0..self.plan.lines.len()).find_map(|i| match sills(i) {
            Some(Node::Tables(tables)) => tables.get(0).and_then(Table::span),
            _ => None,
        });
        first.map_or(SET_IN, |span| self.text.indent(span.start)).to_owned()
    }

    /// Whole lines at the start of a line, on a line of their own even where the file does not end with one.
    pub fn insert_lines(&mut self, at: usize, lines: &str) {
        let unfinished = at > 0 && !self.text.written(0..at).ends_with('\n');
        let words = if unfinished { format!("\n{lines}") } else { lines.to_owned() };
        self.text.splice(at..at, words);
    }

    /// Takes a member of a list of things out.
    pub fn take_thing(&mut self, what: Thing, index: usize) {
        self.take_table(&[Step::Key(what.key())], index);
    }

    /// Takes a member of a list of tables out, whichever way the list is written.
    pub fn take_table(&mut self, list: &[Step], index: usize) {
        let blocks = match self.text.node(list) {
            Some(Node::Tables(tables)) => tables.get(index).map(|table| self.text.blocks(table)),
            Some(Node::Value(toml_edit::Value::Array(array))) => {
                let array = array.clone();
                self.text.take_member(&array, index);
                None
            }
            _ => None,
        };
        for block in joined(blocks.unwrap_or_default(), |gap| self.text.written(gap).trim().is_empty()) {
            self.text.take_out(block);
        }
    }

    /// Where the next table of a kind goes: after the last of it, or of what precedes it in the file's order.
    pub fn place_for(&self, key: &str) -> usize {
        let upto = ORDER.iter().position(|known| *known == key).unwrap_or(ORDER.len() - 1);
        let nearest = (0..=upto).rev().find(|i| self.text.node(&[Step::Key(ORDER[*i])]).is_some());
        let after_it = nearest.map_or(0, |i| self.text.after_last_of(&[ORDER[i]]));
        // Keys of the file itself stand above every header.
        after_it.max(self.text.root_end())
    }
}

/// The names of a kind of thing in a plan.
pub(super) fn names(plan: &Plan, what: Thing) -> Vec<&str> {
    match what {
        Thing::Line => plan.lines.iter().map(|each| each.name.as_str()).collect(),
        Thing::Tree => plan.trees.iter().map(|each| each.name.as_str()).collect(),
        Thing::Source => plan.sources.iter().map(|each| each.name.as_str()).collect(),
        Thing::Soil => plan.soils.iter().map(|each| each.name.as_str()).collect(),
        Thing::Barrier => plan.barriers.iter().map(|each| each.name.as_str()).collect(),
        Thing::KeepClear => plan.keep_clears.iter().map(|each| each.name.as_str()).collect(),
    }
}

/// A thing as the keys and values of its table.
pub(super) fn as_table(thing: &impl Serialize) -> serde_json::Map<String, Value> {
    match serde_json::to_value(thing) {
        Ok(Value::Object(table)) => table,
        // The things of a plan are structs of plain values.
        _ => serde_json::Map::new(),
    }
}

/// A path as people read it.
pub(super) fn shown(path: &[Step]) -> Vec<String> {
    path.iter()
        .map(|step| match step {
            Step::Key(key) => (*key).to_owned(),
            Step::Member(i) => (i + 1).to_string(),
        })
        .collect()
}

/// Blocks with nothing but blank lines between them become one.
fn joined(
    blocks: Vec<std::ops::Range<usize>>,
    blank: impl Fn(std::ops::Range<usize>) -> bool,
) -> Vec<std::ops::Range<usize>> {
    let mut out: Vec<std::ops::Range<usize>> = Vec::new();
    for block in blocks {
        match out.last_mut() {
            Some(last) if blank(last.end..block.start) => last.end = block.end,
            _ => out.push(block),
        }
    }
    out
}
