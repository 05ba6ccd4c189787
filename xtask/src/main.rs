//! Checks and generators of the project itself: `cargo run -p xtask -- tidy`, `-- licences`, `-- docs`, `-- demo-ground`,
//! `-- demo-weather` and `-- trees-page`.

mod demo_ground;
mod demo_weather;
mod docs;
mod licences;
mod tidy;

use std::process::ExitCode;

/// Where the tree facts lie as a page.
const TREES_PAGE: &str = "docs/trees.md";

fn main() -> ExitCode {
    let task = std::env::args().nth(1).unwrap_or_default();
    let result = match task.as_str() {
        "demo-ground" => demo_ground::write(),
        "demo-weather" => demo_weather::write(),
        "trees-page" => {
            std::fs::write(TREES_PAGE, grove::trees::page()).map_err(|e| format!("{TREES_PAGE}: {e}"))
        }
        "docs" => docs::write(),
        "tidy" => tidy::run(),
        "licences" => licences::check(),
        _ => Err(format!(
            "unknown task \"{task}\": write docs, tidy, licences, demo-ground, demo-weather or trees-page"
        )),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}
