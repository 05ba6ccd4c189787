//! The words of the findings: one catalogue, `messages/en.md`, read at compile time.

use super::Finding;

const CATALOGUE: &str = include_str!("../../../../messages/en.md");

/// The words of one finding, its values not yet filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Words {
    /// A few words that head it.
    pub title: &'static str,
    /// What is found.
    pub says: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// What to do.
    pub remedy: &'static str,
    /// Whom to ask.
    pub ask: &'static str,
}

/// A finding in words.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Spoken {
    /// A few words that head it.
    pub title: String,
    /// What is found.
    pub says: String,
    /// Why it matters.
    pub why: String,
    /// What to do.
    #[serde(rename = "do")]
    pub remedy: String,
    /// Whom to ask.
    pub ask: String,
}

/// The words for a code; none for a code that is not in the catalogue.
pub fn words(code: &str) -> Option<Words> {
    let start = CATALOGUE.find(&format!("\n## {code}\n"))? + 1;
    let section = &CATALOGUE[start..];
    let section = section.find("\n## ").map_or(section, |end| &section[..end]);
    let line = |key: &str| section.lines().find_map(|line| line.strip_prefix(key)).map(str::trim);
    Some(Words {
        title: line("title:")?,
        says: line("says:")?,
        why: line("why:")?,
        remedy: line("do:")?,
        ask: line("ask:")?,
    })
}

/// Speaks a finding: its words with its values in their places.
///
/// # Panics
/// The code is not in the catalogue; a test visits every code.
pub fn speak(finding: &Finding) -> Spoken {
    let words = words(finding.code).expect("every code has its section in messages/en.md");
    let filled = |template: &str| capitalised(fill(template, finding));
    Spoken {
        title: filled(words.title),
        says: filled(words.says),
        why: filled(words.why),
        remedy: filled(words.remedy),
        ask: filled(words.ask),
    }
}

/// Puts values, the line's quoted name, the thing's quoted name and the chainage where the words ask for them.
fn fill(template: &str, finding: &Finding) -> String {
    let mut text = template.to_owned();
    for (name, value) in &finding.values {
        text = text.replace(&format!("{{{name}}}"), value);
    }
    let place = &finding.place;
    let quoted = |name: &Option<String>| name.as_ref().map_or(String::new(), |name| format!("“{name}”"));
    let chainage = place.chainage_m.map_or(String::new(), |at_m| quantity::figures::fixed(at_m, 1));
    text.replace("{line}", &quoted(&place.line))
        .replace("{thing}", &quoted(&place.thing))
        .replace("{chainage_m}", &chainage)
}

fn capitalised(text: String) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Place, Severity, codes};
    use super::*;

    #[test]
    fn every_code_has_its_words_and_every_section_its_code() {
        for code in codes() {
            assert!(words(code).is_some(), "{code} has no complete section in messages/en.md");
        }
        for section in CATALOGUE.lines().filter_map(|line| line.strip_prefix("## ")) {
            assert!(codes().any(|code| code == section), "{section} is no finding's code");
        }
    }

    #[test]
    fn values_line_and_place_are_filled_in() {
        let finding = Finding {
            code: "bank-too-high",
            severity: Severity::Stop,
            place: Place { line: Some("top".to_owned()), ..Place::default() },
            values: vec![("bank_height_m", "0.75".to_owned())],
            source: "a test",
        };
        assert_eq!(speak(&finding).says, "“top” has a bank 0.75 m high.");
    }
}
