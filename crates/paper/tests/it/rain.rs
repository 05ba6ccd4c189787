//! Papers of storms.

use std::path::Path;

use design::rain_test::steps::{self, ChainReaction, LineSteps};
use paper::{Subject, rain, svg};

use crate::labels::overlaps;
use crate::odd_sites::{by_tape, with_a_line};
use crate::quarry_bank;
use crate::storm::storm;

/// A heavy storm, a light one and none: all papers are drawn, alike on repeated runs, without a label on another.
#[test]
fn papers_of_storms() {
    let site = quarry_bank::site();
    let answers = design::answer(&site);
    let subject = Subject::new(&site, &answers);
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
    let subject = Subject::new(&site, &answers);
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
    for film in rain::films(&Subject::new(&site, &answers), &answer) {
        std::fs::write(out.join(format!("{}.html", film.file)), film.html).unwrap();
    }
    let dry = storm(&site, &answers, 0.0);
    assert!(rain::film(&Subject::new(&site, &answers), &dry, "top").is_some(), "a dry storm has its film");
}

/// A site known by tape alone has no plan, but its storm is drawn all the same.
#[test]
fn a_line_by_tape_has_its_storm() {
    let site = by_tape();
    let answers = design::answer(&site);
    let subject = Subject::new(&site, &answers);
    let answer = storm(&site, &answers, 40.0);
    let papers = rain::papers(&subject, &answer);
    let names: Vec<&str> = papers.iter().map(|paper| paper.file.as_str()).collect();
    assert_eq!(names, ["rain-along-long-one", "rain-flow-1"]);
    assert!(rain::film(&subject, &answer, "long one").is_some());
    let faults: Vec<String> = papers.iter().flat_map(|paper| overlaps(&paper.page)).collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

/// Names are data on the storm's papers too, and in its films.
#[test]
fn names_are_escaped() {
    let site = with_a_line("<b>&'x'</b>", 0.0, 0.0);
    let answers = design::answer(&site);
    let subject = Subject::new(&site, &answers);
    let answer = storm(&site, &answers, 40.0);
    let mut written: Vec<String> =
        rain::papers(&subject, &answer).iter().map(|paper| svg::write(&paper.page)).collect();
    written.extend(rain::films(&subject, &answer).into_iter().map(|film| film.html));
    assert!(written.len() >= 4, "plan, along, flow and film");
    for text in &written {
        assert!(!text.contains("<b>") && !text.contains("&'"));
        assert!(text.contains("&lt;b&gt;&amp;&#39;x&#39;"));
    }
}

/// Events at the very end, all at once, or never: each is told, and no word lies on another.
#[test]
fn steps_of_rain() {
    let site = quarry_bank::site();
    let answers = design::answer(&site);
    let subject = Subject::new(&site, &answers);
    let line = |line: &str, fills_mm, spills_mm, breaks_out_mm| LineSteps {
        line: line.to_owned(),
        fills_mm,
        spills_mm,
        breaks_out_mm,
    };
    let stepped = steps::Answer {
        up_to_mm: 62.0,
        lines: vec![
            line("top", Some(20.0), Some(21.0), Some(22.0)),
            line("middle", Some(61.0), Some(61.5), Some(62.0)),
            line("low", None, None, None),
        ],
        table: Vec::new(),
        fails_first: Some("top".to_owned()),
        chain_reaction: ChainReaction {
            line: "top".to_owned(),
            at_m: 26.0,
            by_itself: true,
            takes_along: vec!["middle".to_owned()],
            leaves_before_m3: 23.0,
            leaves_after_m3: 36.0,
        },
    };
    let told = storm(&site, &answers, 62.0).storm;
    let page = rain::steps(&subject, &stepped, &told).unwrap();
    let written = svg::write(&page);
    for words in [
        "fills from 20",
        "breaks out from 22",
        "breaks out from 62",
        "top fails first, from 22 mm",
        "it takes along middle",
    ] {
        assert!(written.contains(words), "{words}");
    }
    assert_eq!(overlaps(&page), Vec::<String>::new());
    let nothing = steps::Answer { lines: Vec::new(), ..stepped };
    assert!(rain::steps(&subject, &nothing, &told).is_none());
}
