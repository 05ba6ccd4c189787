//! One file a command: it reads the site, asks `design` or `paper`, and prints.

mod bring;
mod check;
mod compare;
pub mod demo;
mod digging;
mod hand_on;
mod levels;
mod new;
mod open;
mod paper;
mod pegs;
mod planting;
mod progress;
mod rain;
mod season;
mod sizes;
mod soak;
mod walk;

use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use design::findings::{self, Severity, messages};
use design::pegs::CheckBack;
use folder::Fault;
use quantity::figures::fixed;
use serde::Serialize;
use site::{Site, nearest};

use crate::args::Command;
use crate::print::paragraph;

/// How a command that did its work ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// All is well.
    Done,
    /// It did its work, and a finding says stop.
    SaysStop,
}

impl Ended {
    /// Whether a finding says stop.
    fn of(findings: &findings::Answer) -> Ended {
        if findings.says_stop() { Ended::SaysStop } else { Ended::Done }
    }

    /// 0 or 1.
    pub fn exit_code(self) -> ExitCode {
        match self {
            Ended::Done => ExitCode::SUCCESS,
            Ended::SaysStop => ExitCode::from(1),
        }
    }
}

/// Why a command could not do its work.
#[derive(Debug)]
pub enum Refused {
    /// The files have faults.
    Faults(Vec<Fault>),
    /// What was asked cannot be done: what was found, and what to do.
    Asked(String),
    /// The faults are the answer itself and are already on standard output.
    AlreadyTold,
    /// Standard output could not be written.
    Output(io::Error),
}

impl From<io::Error> for Refused {
    fn from(error: io::Error) -> Refused {
        Refused::Output(error)
    }
}

impl From<Vec<Fault>> for Refused {
    fn from(faults: Vec<Fault>) -> Refused {
        Refused::Faults(faults)
    }
}

impl From<Fault> for Refused {
    fn from(fault: Fault) -> Refused {
        Refused::Faults(vec![fault])
    }
}

impl Refused {
    /// Says why on standard error; 2.
    pub fn tell(&self) -> ExitCode {
        match self {
            Refused::Faults(faults) => {
                for fault in faults {
                    eprintln!("{fault}");
                }
                eprintln!("{}", count_of_faults(faults.len()));
            }
            Refused::Asked(words) => eprintln!("hillsip: {words}"),
            Refused::AlreadyTold => {}
            // The reader of a pipe has seen enough: that is no failure of ours.
            Refused::Output(error) if error.kind() == io::ErrorKind::BrokenPipe => return ExitCode::SUCCESS,
            Refused::Output(error) => eprintln!("hillsip: the answer could not be written: {error}"),
        }
        ExitCode::from(2)
    }
}

/// "1 fault: …", "3 faults: …".
fn count_of_faults(count: usize) -> String {
    let faults = if count == 1 { "fault" } else { "faults" };
    format!("{count} {faults}: nothing was computed and nothing was changed")
}

/// Does what was asked.
pub fn run(command: &Command, out: &mut dyn Write) -> Result<Ended, Refused> {
    match command {
        Command::Demo(args) => demo::run(args, out),
        Command::Levels(args) => levels::run(args, out),
        Command::New(args) => new::run(args, out),
        Command::Check(args) => check::run(args, out),
        Command::Compare(args) => compare::run(args, out),
        Command::Soak(args) => soak::run(args, out),
        Command::Walk(args) => walk::run(args, out),
        Command::Pegs(args) => pegs::run(args, out),
        Command::Sizes(args) => sizes::run(args, out),
        Command::Planting(args) => planting::run(args, out),
        Command::Digging(args) => digging::run(args, out),
        Command::Rain(args) => rain::run(args, out),
        Command::Season(args) => season::run(args, out),
        Command::Paper(args) => paper::run(args, out),
        Command::Bring(args) => bring::run(args, out),
        Command::HandOn(args) => hand_on::run(args, out),
        Command::Open(args) => open::run(args, out),
    }
}

/// An answer under the name of its site, as JSON.
#[derive(Serialize)]
struct Document<'a, T> {
    site: &'a str,
    #[serde(flatten)]
    answer: &'a T,
}

impl<'a, T> Document<'a, T> {
    fn new(site: &'a Site, answer: &'a T) -> Document<'a, T> {
        Document { site: &site.plan.name, answer }
    }
}

/// Tells on standard error which findings say stop: nobody should dig by a table without knowing.
fn tell_stops(answer: &findings::Answer, dir: &Path) -> Ended {
    let ended = Ended::of(answer);
    for finding in answer.findings.iter().filter(|finding| finding.severity == Severity::Stop) {
        let spoken = messages::speak(finding);
        eprintln!("stop: {}: {}", spoken.title, spoken.says);
    }
    if ended == Ended::SaysStop {
        eprintln!("`hillsip check {}` says why, what to do and whom to ask", dir.display());
    }
    ended
}

/// Keeps only the line that was asked for.
fn only_line<T>(lines: &mut Vec<T>, asked: Option<&str>, name: impl Fn(&T) -> &str) -> Result<(), Refused> {
    let Some(asked) = asked else {
        return Ok(());
    };
    if !lines.iter().any(|line| name(line) == asked) {
        let near = nearest(asked, lines.iter().map(&name));
        let advice = near.map_or_else(String::new, |near| format!("; did you mean \"{near}\"?"));
        return Err(Refused::Asked(format!("the plan has no line \"{asked}\"{advice}")));
    }
    lines.retain(|line| name(line) == asked);
    Ok(())
}

/// The proof that a line is what it should be, although it may look as if it ran uphill.
fn print_check_back(check: &CheckBack, out: &mut dyn Write) -> io::Result<()> {
    let mut words = format!(
        "To prove it, level back from the last peg to the first: the last should come out {} mm below the first. \
         A difference of up to {} mm is chance.",
        fixed(check.expected_fall_mm, 0),
        fixed(check.allowed_mm, 0)
    );
    if check.tool_fault_shows_mm > 0.0 {
        let shows = format!(
            " A frame whose same leg always leads shows its own fault as {} mm.",
            fixed(check.tool_fault_shows_mm, 0)
        );
        words.push_str(&shows);
    }
    paragraph(out, "", &words)
}

/// Prints an answer as one JSON document.
fn print_json(out: &mut dyn Write, document: &impl serde::Serialize) -> Result<(), Refused> {
    serde_json::to_writer_pretty(&mut *out, document).map_err(io::Error::from)?;
    writeln!(out)?;
    Ok(())
}
