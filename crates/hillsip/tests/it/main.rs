//! The program as a whole: what it prints, and how it ends.

#![expect(clippy::unwrap_used, reason = "what fails here is a test that fails")]

mod bad_input;
mod bring;
mod examples;
mod guide;
mod hand_on;
mod help;
mod open;
mod papers;
mod season;
mod site;

use assert_cmd::Command;
use tempfile::TempDir;

/// The program, run in a folder.
fn hillsip(home: &TempDir) -> Command {
    let mut command = Command::cargo_bin("hillsip").expect("the program is built");
    command.current_dir(home.path());
    command
}

/// A folder with the example site in `quarry-bank` and a starter site in `my-slope`.
fn with_sites() -> TempDir {
    let home = tempfile::tempdir().expect("a temporary folder");
    hillsip(&home).args(["demo", "quarry-bank"]).assert().success();
    hillsip(&home).args(["new", "my-slope"]).assert().success();
    home
}

/// Standard output, standard error and the exit code of a run.
fn run(home: &TempDir, args: &[&str]) -> (String, String, i32) {
    let output = hillsip(home).args(args).output().expect("the program runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("output is UTF-8");
    (text(output.stdout), text(output.stderr), output.status.code().expect("the program ends by itself"))
}
