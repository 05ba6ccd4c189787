//! Draws the pictures that the README shows: `cargo run -p paper --example pictures`, from the checkout's root.

use std::path::Path;
use std::process::ExitCode;

use paper::{Subject, page::Page, svg};

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
    let subject = Subject { site: &loaded.site, answers: &answers };
    match draw(&subject) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{PICTURES}: {error}");
            ExitCode::FAILURE
        }
    }
}

fn draw(subject: &Subject) -> std::io::Result<()> {
    let pictures: [(&str, Option<Page>); 4] = [
        ("plan", paper::plan::plan(subject)),
        ("cross-section", paper::sections::across(subject, "middle")),
        ("long-section", paper::sections::along(subject, "top")),
        (
            "peg-sheet",
            paper::peg_sheet::peg_sheet(subject).into_iter().find(|page| page.title.ends_with("top")),
        ),
    ];
    std::fs::create_dir_all(PICTURES)?;
    for (name, page) in pictures {
        if let Some(page) = page {
            std::fs::write(format!("{PICTURES}/{name}.svg"), svg::write(&page))?;
        }
    }
    Ok(())
}
