//! `site.toml`: from bytes to a plan, or to every fault in it.
//!
//! The text is read as TOML as far as that goes, held against the shape that the plan's types give
//! ([`shape`]), and then checked across its keys ([`site::check`]). Faults of form hide what stands behind
//! them, and a plan with doubtful keys cannot be checked across them; such follow-ups are kept back, so that
//! each fault told is one to mend.

mod advice;
mod read;
pub mod shape;
mod source;
mod syntax;
mod unit;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::ops::Range;

use site::Plan;
use toml::de::DeTable;

use crate::Fault;
use read::Reading;
use source::{Found, Source};

/// A plan, and where in the text each of its keys stands.
#[derive(Debug, Clone)]
pub struct PlanFile {
    /// The plan.
    pub plan: Plan,
    spans: BTreeMap<String, Range<usize>>,
}

impl PlanFile {
    /// The bytes of the text, after any byte order mark, that hold the value of a key, by its path.
    pub fn span(&self, path: &str) -> Option<Range<usize>> {
        self.spans.get(path).cloned()
    }
}

/// Reads `site.toml`.
///
/// # Errors
/// Every fault, in the order of the text.
pub fn read_plan(file: &str, bytes: &[u8]) -> Result<PlanFile, Vec<Fault>> {
    let source = Source::decode(file, bytes).map_err(|fault| vec![fault])?;
    if source.text.trim().is_empty() {
        return Err(vec![Fault::of_file(
            file,
            "empty",
            "the file is empty",
            "begin with one that `hillsip new` writes, or bring back the last from .hillsip/history",
        )]);
    }
    let (document, errors) = DeTable::parse_recoverable(source.text);
    let syntax = syntax::faults(source, &errors);
    let reading = read::read(source, &shape::shape(), &document);
    let mut found = if syntax.is_empty() {
        checked(&reading)
    } else {
        seen_through(source, syntax, &reading.faults)
    };
    if found.is_empty() {
        match serde_json::from_value(reading.value) {
            Ok(plan) => {
                return Ok(PlanFile {
                    plan,
                    spans: reading.spans,
                });
            }
            Err(error) => found.push(not_taken(&error)),
        }
    }
    found.sort_by_key(|fault| fault.at);
    Err(found.into_iter().map(|fault| source.fault(fault)).collect())
}

/// Faults of form, and those behind them that are surely not their echo: what is there and wrong, on another
/// line than a fault of form. What seems missing may only be hidden.
fn seen_through(source: Source, syntax: Vec<Found>, behind: &[Found]) -> Vec<Found> {
    let line = |found: &Found| found.at.map(|at| source.place(at).0);
    let broken: Vec<_> = syntax.iter().map(line).collect();
    let hidden = syntax.iter().any(|fault| syntax::HIDING.contains(&fault.code));
    let mut found = syntax;
    if !hidden {
        let sure = behind
            .iter()
            .filter(|fault| fault.code != "missing-key" && !broken.contains(&line(fault)));
        found.extend(sure.cloned());
    }
    found
}

/// Faults of single keys, and those across keys that do not follow from them.
fn checked(reading: &Reading) -> Vec<Found> {
    let mut found = reading.faults.clone();
    let Ok(plan) = serde_json::from_value::<Plan>(reading.value.clone()) else {
        return found;
    };
    let in_doubt = |path: &str| reading.doubtful.iter().any(|doubtful| is_within(path, doubtful));
    let names_in_doubt = in_doubt("line") || plan.lines.iter().any(|line| line.name.is_empty());
    for fault in site::check(&plan) {
        let rests_on_doubt = fault.rests_on.as_deref().is_some_and(|path| {
            in_doubt(path) || reading.doubtful.iter().any(|doubtful| is_within(doubtful, path))
        });
        let follows =
            in_doubt(&fault.path) || rests_on_doubt || (names_in_doubt && fault.code == "no-such-line");
        if !follows {
            found.push(Found {
                at: place_of(&reading.spans, &fault.path),
                path: fault.path,
                code: fault.code,
                found: fault.found,
                advice: fault.advice,
            });
        }
    }
    found
}

/// Whether a key lies in a table; nothing lies in the whole file in this sense.
fn is_within(path: &str, table: &str) -> bool {
    !table.is_empty()
        && path
            .strip_prefix(table)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
}

/// Where a key stands, or the nearest thing round it that is there.
fn place_of(spans: &BTreeMap<String, Range<usize>>, path: &str) -> Option<usize> {
    let mut path = path;
    loop {
        if let Some(span) = spans.get(path) {
            return Some(span.start);
        }
        path = &path[..path.rfind(['.', '['])?];
    }
}

/// The shape lets through what the types do not take: a fault of the program, told as one.
fn not_taken(error: &serde_json::Error) -> Found {
    Found {
        path: String::new(),
        at: None,
        code: "not-taken",
        found: format!("the file cannot be taken for a plan ({error})"),
        advice:
            "compare it with docs/site-folder.md, and please report this: it should have been caught earlier"
                .to_owned(),
    }
}
