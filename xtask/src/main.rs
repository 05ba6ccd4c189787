//! Checks and generators of the project itself: `cargo run -p xtask -- tidy`, `-- licences` and `-- demo-ground`.

mod demo_ground;
mod licences;
mod tidy;

use std::process::ExitCode;

fn main() -> ExitCode {
    let task = std::env::args().nth(1).unwrap_or_default();
    let result = match task.as_str() {
        "demo-ground" => demo_ground::write(),
        "tidy" => tidy::run(),
        "licences" => licences::check(),
        _ => Err(format!("unknown task \"{task}\": write tidy, licences or demo-ground")),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}
