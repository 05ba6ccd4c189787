//! `hillsip open`: the app, on this machine.

use std::io::Write;
use std::process::{Command, Stdio};

use super::{Ended, Refused};
use crate::args;
use crate::serve::{ServeError, serve};

/// Serves a site until the program is ended.
pub fn run(args: &args::Open, out: &mut dyn Write) -> Result<Ended, Refused> {
    let told = |address: &str| {
        writeln!(out, "{} is open at {address}", args.dir.display())?;
        writeln!(out, "Every change is saved at once. End with Ctrl-C.")?;
        out.flush()?;
        if !args.no_browser {
            show(address);
        }
        Ok(())
    };
    match serve(&args.dir, args.port, told) {
        Ok(()) => Ok(Ended::Done),
        Err(ServeError::Folder(faults)) => Err(Refused::Faults(faults)),
        Err(other) => Err(Refused::Asked(other.to_string())),
    }
}

/// Shows the address in the person's browser; where that fails, it stands in the terminal.
fn show(address: &str) {
    let (program, first): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(windows) {
        ("cmd", &["/c", "start", ""])
    } else {
        ("xdg-open", &[])
    };
    let begun = Command::new(program)
        .args(first)
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    if begun.is_err() {
        eprintln!("no browser could be started: open the address yourself");
    }
}
