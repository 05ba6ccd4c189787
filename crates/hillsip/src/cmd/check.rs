//! `hillsip check`: faults of the files, or else the findings of the design.

use std::io::{self, Write};
use std::path::Path;

use design::findings::messages::{Spoken, speak};
use design::findings::{Finding, Place, Severity};
use folder::Fault;
use folder::raster::Note;
use quantity::figures::fixed;
use serde::Serialize;

use super::{Ended, Refused, count_of_faults, print_json};
use crate::args;
use crate::print::paragraph;

/// What is wrong with a site.
#[derive(Serialize)]
struct Wrong<'a> {
    site: Option<&'a str>,
    faults: &'a [Fault],
    notes: &'a [Note],
    findings: Vec<FindingInWords<'a>>,
}

/// A finding with its words, as a document has it.
#[derive(Serialize)]
pub(super) struct FindingInWords<'a> {
    #[serde(flatten)]
    finding: &'a Finding,
    #[serde(flatten)]
    words: Spoken,
}

impl FindingInWords<'_> {
    /// All of them.
    pub fn of(findings: &[Finding]) -> Vec<FindingInWords<'_>> {
        findings.iter().map(|finding| FindingInWords { words: speak(finding), finding }).collect()
    }
}

/// Says what is wrong.
pub fn run(args: &args::Check, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = match folder::load(&args.dir) {
        Ok(loaded) => loaded,
        Err(faults) => {
            print_faults(args.json, &args.dir, &faults, out)?;
            return Err(Refused::AlreadyTold);
        }
    };
    let site = &loaded.site;
    let answer = design::answer(site).findings;
    if args.json {
        let wrong = Wrong {
            site: Some(&site.plan.name),
            faults: &[],
            notes: &loaded.notes,
            findings: FindingInWords::of(&answer.findings),
        };
        print_json(out, &wrong)?;
    } else {
        print_findings(&site.plan.name, &answer.findings, out)?;
        print_notes(&loaded.notes, out)?;
        print_close(out)?;
    }
    Ok(Ended::of(&answer))
}

fn print_faults(json: bool, dir: &Path, faults: &[Fault], out: &mut dyn Write) -> Result<(), Refused> {
    if json {
        let wrong = Wrong { site: None, faults, notes: &[], findings: Vec::new() };
        return print_json(out, &wrong);
    }
    writeln!(out, "{}: {}", dir.display(), count_of_faults(faults.len()))?;
    for fault in faults {
        writeln!(out)?;
        paragraph(out, "", &fault.to_string())?;
    }
    Ok(())
}

fn print_findings(site: &str, findings: &[Finding], out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "{site}: no faults in its files. {}", counted(findings))?;
    print_each(findings, out)
}

/// Each finding with its advice, those alike together.
pub(super) fn print_each(findings: &[Finding], out: &mut dyn Write) -> io::Result<()> {
    for alike in grouped(findings) {
        print_alike(&alike, out)?;
    }
    Ok(())
}

/// Findings that differ only in what they say of their place.
struct Alike<'a> {
    of: Vec<(&'a Finding, Spoken)>,
}

impl Alike<'_> {
    fn takes(&self, finding: &Finding, words: &Spoken) -> bool {
        let (first, spoken) = &self.of[0];
        let key = |f: &Finding| (f.code, f.severity, f.source);
        key(first) == key(finding) && *spoken == Spoken { says: spoken.says.clone(), ..words.clone() }
    }
}

/// The findings, those alike together where the first of them stands.
fn grouped(findings: &[Finding]) -> Vec<Alike<'_>> {
    let mut groups: Vec<Alike> = Vec::new();
    for finding in findings {
        let spoken = speak(finding);
        match groups.iter_mut().find(|group| group.takes(finding, &spoken)) {
            Some(group) => group.of.push((finding, spoken)),
            None => groups.push(Alike { of: vec![(finding, spoken)] }),
        }
    }
    groups
}

/// The title and the advice once, and what is found at each place.
fn print_alike(alike: &Alike, out: &mut dyn Write) -> io::Result<()> {
    let (first, spoken) = &alike.of[0];
    let word = first.severity.word().to_uppercase();
    writeln!(out, "\n{word:<5} {}", spoken.title)?;
    for (finding, spoken) in &alike.of {
        paragraph(out, "      ", &format!("{}{}", spoken.says, place_unsaid(&finding.place, &spoken.says)))?;
    }
    for (what, text) in [("Why", &spoken.why), ("Do", &spoken.remedy), ("Ask", &spoken.ask)] {
        paragraph(out, &format!("      {what}: "), text)?;
    }
    paragraph(out, "      Source: ", first.source)?;
    writeln!(out, "      ({})", first.code)
}

/// What was understood and done while the files were read: nothing is changed in silence.
fn print_notes(notes: &[Note], out: &mut dyn Write) -> io::Result<()> {
    if notes.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nUnderstood from the files")?;
    for note in notes {
        paragraph(out, "      ", &note.text)?;
    }
    Ok(())
}

fn print_close(out: &mut dyn Write) -> io::Result<()> {
    writeln!(out)?;
    paragraph(
        out,
        "",
        "Local codes and licensed practice come first. What this program does not find may still be there: \
         look, dig a trial hole, and ask.",
    )
}

fn counted(findings: &[Finding]) -> String {
    let count = |severity: Severity| findings.iter().filter(|f| f.severity == severity).count();
    format!(
        "Findings: {} stop, {} warn, {} note.",
        count(Severity::Stop),
        count(Severity::Warn),
        count(Severity::Note)
    )
}

/// What the sentence leaves unsaid of the place: the line, where along it, the other thing.
fn place_unsaid(place: &Place, says: &str) -> String {
    let named = |name: &String| (!says.contains(name.as_str())).then(|| format!("\"{name}\""));
    let at = place.chainage_m.map(|at_m| format!("{} m", fixed(at_m, 1)));
    let at = at.filter(|at| !says.contains(&format!(" {at}"))).map(|at| format!("at {at}"));
    let line = place.line.as_ref().and_then(named);
    let thing = place.thing.as_ref().and_then(named);
    let words: Vec<String> = [line, at, thing].into_iter().flatten().collect();
    if words.is_empty() { String::new() } else { format!(" ({})", words.join(", ")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finding(line: &str, chainage_m: f64, remedy: &str) -> Finding {
        Finding {
            code: "ground-too-steep",
            severity: Severity::Note,
            place: Place { line: Some(line.to_owned()), chainage_m: Some(chainage_m), ..Place::default() },
            values: vec![("slope_percent", "11.7".to_owned()), ("remedy", remedy.to_owned())],
            source: "a test",
        }
    }

    fn printed(findings: &[Finding]) -> String {
        let mut out = Vec::new();
        print_findings("a site", findings, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn findings_alike_share_their_advice() {
        let text = printed(&[finding("top", 2.0, "wait"), finding("low", 8.0, "wait")]);
        for (words, times) in [("Ground too steep", 1), ("Near 2.0 m", 1), ("Near 8.0 m", 1), ("Do: ", 1)] {
            assert_eq!(text.matches(words).count(), times, "{words}\n{text}");
        }
        assert!(text.contains("0 stop, 0 warn, 2 note"), "{text}");
    }

    #[test]
    fn another_remedy_stands_by_itself() {
        let text = printed(&[finding("top", 2.0, "wait"), finding("low", 8.0, "leave it out")]);
        assert!(text.contains("Do: Wait") && text.contains("Do: Leave it out"), "{text}");
    }

    #[test]
    fn a_place_is_said_once() {
        let place = finding("top", 6.0, "").place;
        assert_eq!(place_unsaid(&place, "At 6.0 m along “top” it leaks."), "");
        assert_eq!(place_unsaid(&place, "“top” leaks."), " (at 6.0 m)");
        assert_eq!(place_unsaid(&place, "It leaks."), " (\"top\", at 6.0 m)");
    }
}
