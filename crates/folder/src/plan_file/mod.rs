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
mod reference;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use site::Plan;
use toml::de::DeTable;

use crate::Fault;
use source::{Found, Source};

/// What came of reading `site.toml`.
#[derive(Debug, Clone)]
pub struct PlanFile<'a> {
    source: Source<'a>,
    /// The plan; with placeholders for what is faulty. None where the form is broken.
    plan: Option<Plan>,
    faults: Vec<Fault>,
    spans: BTreeMap<String, Range<usize>>,
    doubtful: BTreeSet<String>,
}

impl<'a> PlanFile<'a> {
    /// Reads the bytes of a plan; `file` is its name in messages.
    pub fn read(file: &'a str, bytes: &'a [u8]) -> PlanFile<'a> {
        match Source::decode(file, bytes) {
            Ok(source) => PlanFile::of_text(source),
            Err(fault) => PlanFile::broken(Source { file, text: "" }, vec![fault]),
        }
    }

    fn of_text(source: Source<'a>) -> PlanFile<'a> {
        if source.text.trim().is_empty() {
            return PlanFile::broken(source, vec![empty(source.file)]);
        }
        let (document, errors) = DeTable::parse_recoverable(source.text);
        let syntax = syntax::faults(source, &errors);
        let reading = read::read(source, shape::shape(), &document);
        if !syntax.is_empty() {
            return PlanFile::broken(source, told(source, seen_through(source, syntax, &reading.faults)));
        }
        let mut found = reading.faults;
        let plan = match serde_json::from_value::<Plan>(reading.value) {
            Ok(plan) => plan,
            Err(error) => {
                if found.is_empty() {
                    found.push(not_taken(&error));
                }
                return PlanFile::broken(source, told(source, found));
            }
        };
        let across = across_keys(&plan, &reading.spans, &reading.doubtful);
        found.extend(across);
        PlanFile {
            source,
            plan: Some(plan),
            faults: told(source, found),
            spans: reading.spans,
            doubtful: reading.doubtful,
        }
    }

    fn broken(source: Source<'a>, faults: Vec<Fault>) -> PlanFile<'a> {
        PlanFile { source, plan: None, faults, spans: BTreeMap::new(), doubtful: BTreeSet::new() }
    }

    /// Every fault, in the order of the text.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// The plan, if there is no fault in it.
    pub fn into_plan(self) -> Result<Plan, Vec<Fault>> {
        match self.plan {
            Some(plan) if self.faults.is_empty() => Ok(plan),
            _ => Err(self.faults),
        }
    }

    /// The plan, where nothing in these tables is in doubt: enough to read the files they name, so that the
    /// faults of those are told together with these.
    pub fn sure_of(&self, tables: &[&str]) -> Option<&Plan> {
        let in_doubt = |table: &str| self.doubtful.iter().any(|doubtful| is_within(doubtful, table));
        self.plan.as_ref().filter(|_| !tables.iter().any(|table| in_doubt(table)))
    }

    /// A fault of the value of a key, by its path.
    pub fn fault_at(&self, path: &str, code: &'static str, found: String, advice: &str) -> Fault {
        self.source.fault(Found {
            path: path.to_owned(),
            at: place_of(&self.spans, path),
            code,
            found,
            advice: advice.to_owned(),
        })
    }

    /// The bytes of the text that hold the value of a key, by its path; a byte order mark is not counted.
    pub fn span(&self, path: &str) -> Option<Range<usize>> {
        self.spans.get(path).cloned()
    }
}

/// Reads `site.toml`.
///
/// # Errors
/// Every fault, in the order of the text.
pub fn read_plan(file: &str, bytes: &[u8]) -> Result<Plan, Vec<Fault>> {
    PlanFile::read(file, bytes).into_plan()
}

fn empty(file: &str) -> Fault {
    Fault::of_file(
        file,
        "empty",
        "the file is empty",
        "begin with one that `hillsip new` writes, or bring back the last from .hillsip/history",
    )
}

fn told(source: Source, mut found: Vec<Found>) -> Vec<Fault> {
    found.sort_by_key(|fault| fault.at);
    found.into_iter().map(|fault| source.fault(fault)).collect()
}

/// Faults of form, and those behind them that are surely not their echo: what is there and wrong, on another
/// line than a fault of form. What seems missing may only be hidden.
fn seen_through(source: Source, syntax: Vec<Found>, behind: &[Found]) -> Vec<Found> {
    let line = |found: &Found| found.at.map(|at| source.place(at).0);
    let broken: Vec<_> = syntax.iter().map(line).collect();
    let hidden = syntax.iter().any(|fault| syntax::HIDING.contains(&fault.code));
    let mut found = syntax;
    if !hidden {
        let sure =
            behind.iter().filter(|fault| fault.code != "missing-key" && !broken.contains(&line(fault)));
        found.extend(sure.cloned());
    }
    found
}

/// Faults across keys that do not follow from what is in doubt.
fn across_keys(
    plan: &Plan,
    spans: &BTreeMap<String, Range<usize>>,
    doubtful: &BTreeSet<String>,
) -> Vec<Found> {
    let within_doubt = |path: &str| doubtful.iter().any(|doubtful| is_within(path, doubtful));
    let holds_doubt = |path: &str| doubtful.iter().any(|doubtful| is_within(doubtful, path));
    let names_in_doubt = within_doubt("line") || plan.lines.iter().any(|line| line.name.is_empty());
    let follows = |fault: &site::Fault| {
        within_doubt(&fault.path)
            || fault.rests_on.as_deref().is_some_and(|path| within_doubt(path) || holds_doubt(path))
            || (names_in_doubt && fault.code == "no-such-line")
    };
    site::check(plan)
        .into_iter()
        .filter(|fault| !follows(fault))
        .map(|fault| Found {
            at: place_of(spans, &fault.path),
            path: fault.path,
            code: fault.code,
            found: fault.found,
            advice: fault.advice,
        })
        .collect()
}

/// Whether a key lies in a table; nothing lies in the whole file in this sense.
fn is_within(path: &str, table: &str) -> bool {
    !table.is_empty()
        && path.strip_prefix(table).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
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
