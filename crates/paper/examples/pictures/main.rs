//! Draws the pictures that the README shows: `cargo run -p paper --example pictures`, from the checkout's root.

mod list;

use std::path::Path;
use std::process::ExitCode;

use paper::{Subject, svg};

const DEMO: &str = "fixtures/quarry-bank";
const PICTURES: &str = "docs/pictures";

fn main() -> ExitCode {
    let loaded = match folder::load(Path::new(DEMO)) {
        Ok(loaded) => loaded,
        Err(faults) => {
            for fault in faults {
                eprintln!("{fault}");
            }
            return ExitCode::FAILURE;
        }
    };
    let answers = design::answer(&loaded.site);
    let subject = Subject::new(&loaded.site, &answers);
    match draw(&subject) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{PICTURES}: {error}");
            ExitCode::FAILURE
        }
    }
}

fn draw(subject: &Subject) -> std::io::Result<()> {
    std::fs::create_dir_all(PICTURES)?;
    for (name, page) in list::pictures(subject) {
        std::fs::write(format!("{PICTURES}/{name}.svg"), svg::write(&page))?;
    }
    Ok(())
}
