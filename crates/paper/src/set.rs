//! All papers of a site, each with the name of its file.

use std::collections::BTreeSet;

use crate::page::Page;
use crate::peg_sheet::peg_sheet;
use crate::plan::plan;
use crate::sections::{across, along};
use crate::subject::Subject;

/// One paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    /// Name of its file, without the ending: letters, digits and hyphens.
    pub file: String,
    /// What is on it.
    pub page: Page,
}

/// Names of files that are taken.
#[derive(Debug, Default)]
pub(crate) struct Names(BTreeSet<String>);

impl Names {
    /// A paper under the wished name, or the first free one behind it.
    pub(crate) fn paper(&mut self, wanted: &str, page: Page) -> Paper {
        Paper { file: self.take(wanted), page }
    }

    /// The wished name, or the first free one behind it.
    pub(crate) fn take(&mut self, wanted: &str) -> String {
        let file = free_name(wanted, &self.0);
        self.0.insert(file.clone());
        file
    }
}

/// Every paper that can be drawn of a site: the plan, the peg sheet, and for each line the two sections.
pub fn papers(subject: &Subject) -> Vec<Paper> {
    let mut papers = Vec::new();
    let mut names = Names::default();
    if let Some(page) = plan(subject) {
        papers.push(names.paper("plan", page));
    }
    for (i, page) in peg_sheet(subject).into_iter().enumerate() {
        papers.push(names.paper(&format!("pegs-{}", i + 1), page));
    }
    for line in &subject.site.plan.lines {
        if let Some(page) = along(subject, &line.name) {
            papers.push(names.paper(&format!("along-{}", file_name(&line.name)), page));
        }
        if let Some(page) = across(subject, &line.name) {
            papers.push(names.paper(&format!("across-{}", file_name(&line.name)), page));
        }
    }
    papers
}

/// A name that every file system takes: ASCII letters and digits in lower case, hyphens for all else.
pub(crate) fn file_name(name: &str) -> String {
    let mut file = String::new();
    for c in name.chars() {
        if c.is_ascii_alphanumeric() {
            file.push(c.to_ascii_lowercase());
        } else if !file.is_empty() && !file.ends_with('-') {
            file.push('-');
        }
    }
    let file = file.trim_end_matches('-');
    if file.is_empty() { "line".to_owned() } else { file.to_owned() }
}

/// The name, or with the first number behind it that makes it one of its own.
fn free_name(wanted: &str, taken: &BTreeSet<String>) -> String {
    if !taken.contains(wanted) {
        return wanted.to_owned();
    }
    (2..)
        .map(|n| format!("{wanted}-{n}"))
        .find(|name| !taken.contains(name))
        .expect("one of endless numbers is free")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names() {
        assert_eq!(file_name("Yard drain (old)"), "yard-drain-old");
        assert_eq!(file_name("../../etc"), "etc");
        assert_eq!(file_name("水"), "line");
        let taken = BTreeSet::from(["a".to_owned(), "a-2".to_owned()]);
        assert_eq!(free_name("a", &taken), "a-3");
    }
}
