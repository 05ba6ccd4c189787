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

#[derive(Serialize)]
struct FindingInWords<'a> {
    #[serde(flatten)]
    finding: &'a Finding,
    words: Spoken,
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
        let in_words = |finding| FindingInWords { words: speak(finding), finding };
        let wrong = Wrong {
            site: Some(&site.plan.name),
            faults: &[],
            notes: &loaded.notes,
            findings: answer.findings.iter().map(in_words).collect(),
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
    for finding in findings {
        let spoken = speak(finding);
        writeln!(out)?;
        let word = finding.severity.word().to_uppercase();
        writeln!(out, "{word:<5} {}{}", spoken.title, place_words(&finding.place))?;
        paragraph(out, "      ", &spoken.says)?;
        for (what, text) in [("Why", &spoken.why), ("Do", &spoken.remedy), ("Ask", &spoken.ask)] {
            paragraph(out, &format!("      {what}: "), text)?;
        }
        paragraph(out, "      Source: ", finding.source)?;
        writeln!(out, "      ({})", finding.code)?;
    }
    Ok(())
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

fn place_words(place: &Place) -> String {
    let line = place.line.as_ref().map(|line| format!("line \"{line}\""));
    let at = place.chainage_m.map(|at_m| format!("at {} m", fixed(at_m, 1)));
    let words: Vec<String> = [line, at, place.thing.clone()].into_iter().flatten().collect();
    if words.is_empty() { String::new() } else { format!(" ({})", words.join(", ")) }
}
