//! Papers of storms.

use std::path::Path;

use paper::{Subject, rain, svg};

use crate::labels::overlaps;
use crate::quarry_bank;
use crate::storm::storm;

/// A heavy storm, a light one and none: all papers are drawn, alike on repeated runs, without a label on another.
#[test]
fn papers_of_storms() {
    let site = quarry_bank::site();
    let answers = design::answer(&site);
    let subject = Subject { site: &site, answers: &answers };
    let out = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let mut faults = Vec::new();
    for depth_mm in [0.0, 20.0, 62.0] {
        let answer = storm(&site, &answers, depth_mm);
        let papers = rain::papers(&subject, &answer);
        let again = rain::papers(&subject, &answer);
        for (paper, again) in papers.iter().zip(&again) {
            let written = svg::write(&paper.page);
            assert_eq!(written, svg::write(&again.page), "{}", paper.file);
            std::fs::write(out.join(format!("{}-{depth_mm}.svg", paper.file)), written).unwrap();
        }
        for paper in &papers {
            let found = overlaps(&paper.page).into_iter();
            faults.extend(found.map(|fault| format!("{} at {depth_mm} mm: {fault}", paper.file)));
        }
        let names: Vec<&str> = papers.iter().map(|paper| paper.file.as_str()).collect();
        for wanted in ["rain-along-top", "rain-along-low", "rain-flow-1"] {
            assert!(names.contains(&wanted), "{wanted} is missing: {names:?}");
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

/// One file that needs nothing beside it, small, with its data as plain numbers; a name cannot end its script.
#[test]
fn films_stand_alone() {
    let mut site = quarry_bank::site();
    site.plan.name = "</script><b>{film}".to_owned();
    let answers = design::answer(&site);
    let subject = Subject { site: &site, answers: &answers };
    let answer = storm(&site, &answers, 62.0);
    let films = rain::films(&subject, &answer);
    assert!(films.iter().any(|film| film.file == "rain-film-top"));
    for film in &films {
        assert!(film.html.len() < 300_000, "{}: {} bytes", film.file, film.html.len());
        let links = film.html.matches("http").count() - film.html.matches("http-equiv").count();
        assert_eq!(links, film.html.matches("http://www.w3.org/2000/svg").count(), "only the name of SVG");
        assert_eq!(film.html.matches("</script>").count(), 1);
        assert!(film.html.contains("&lt;/script&gt;&lt;b&gt;{film}"));
        assert!(!film.html.contains("NaN") && !film.html.contains("inf"));
    }
    site.plan.name = "Quarry Bank".to_owned();
    let out = Path::new(env!("CARGO_TARGET_TMPDIR"));
    for film in rain::films(&Subject { site: &site, answers: &answers }, &answer) {
        std::fs::write(out.join(format!("{}.html", film.file)), film.html).unwrap();
    }
    let dry = storm(&site, &answers, 0.0);
    assert!(
        rain::film(&Subject { site: &site, answers: &answers }, &dry, "top").is_some(),
        "a dry storm has its film"
    );
}
