//! Hillsip: where to peg, what a line holds, where it breaks out, what is dangerous.
//!
//! The program reads a site folder, asks `design` and `paper`, and prints. Results go to standard output,
//! all else to standard error. It ends with 0 when done, 1 when done and a finding says stop, 2 when it
//! could not do its work.
//!
//! Must not know: any formula.

mod args;
mod cmd;
mod print;
mod serve;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let args = args::Args::parse();
    let mut out = io::BufWriter::new(io::stdout().lock());
    let ended = cmd::run(&args.command, &mut out).and_then(|ended| {
        out.flush()?;
        Ok(ended)
    });
    match ended {
        Ok(ended) => ended.exit_code(),
        Err(refused) => {
            // What was computed before the refusal is still a result.
            let _ = out.flush();
            refused.tell()
        }
    }
}
