//! Checks and generators of the project itself: `cargo run -p xtask -- tidy` and `-- demo-ground`.

mod demo_ground;

use std::process::ExitCode;

fn main() -> ExitCode {
    let task = std::env::args().nth(1).unwrap_or_default();
    let result = match task.as_str() {
        "demo-ground" => demo_ground::write(),
        _ => Err(format!("unknown task \"{task}\": write demo-ground")),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}
