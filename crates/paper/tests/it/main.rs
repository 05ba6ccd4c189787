//! The papers of the demo site, and of sites that lack much or carry odd names.

mod labels;
mod odd_sites;
mod pictures;
mod quarry_bank;
mod rain;
mod report;
mod storm;

use std::path::Path;

use paper::{Subject, papers, svg};

/// All papers are drawn, alike on repeated runs, and left where one can look at them.
#[test]
fn papers_of_the_demo() {
    let site = quarry_bank::site();
    let answers = design::answer(&site);
    let subject = Subject::new(&site, &answers);
    let out = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let (first, second) = (papers(&subject), papers(&subject));
    let mut names = Vec::new();
    for (paper, again) in first.iter().zip(&second) {
        let written = svg::write(&paper.page);
        assert_eq!(written, svg::write(&again.page), "{}", paper.file);
        std::fs::write(out.join(format!("{}.svg", paper.file)), written).unwrap();
        names.push(paper.file.as_str());
    }
    for wanted in ["plan", "pegs-1", "along-top", "across-top", "along-yard-drain", "across-low"] {
        assert!(names.contains(&wanted), "{wanted} is missing: {names:?}");
    }
}
