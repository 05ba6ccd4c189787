//! One file a command: it reads the site, asks `design` or `paper`, and prints.

mod demo;
mod levels;

use std::io::{self, Write};
use std::process::ExitCode;

use folder::Fault;

use crate::args::Command;

/// How a command that did its work ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// All is well.
    Done,
    /// It did its work, and a finding says stop.
    SaysStop,
}

impl Ended {
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
    }
}

/// Prints an answer as one JSON document.
fn print_json(out: &mut dyn Write, document: &impl serde::Serialize) -> Result<(), Refused> {
    serde_json::to_writer_pretty(&mut *out, document).map_err(io::Error::from)?;
    writeln!(out)?;
    Ok(())
}
