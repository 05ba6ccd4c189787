//! The papers of the demo site.

mod quarry_bank;

use std::path::Path;

use paper::Subject;

#[test]
fn papers_of_the_demo() {
    let site = quarry_bank::site();
    let answers = design::answer(&site);
    let subject = Subject {
        site: &site,
        answers: &answers,
    };
    let out = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let plan = paper::plan::plan(&subject).unwrap();
    std::fs::write(out.join("plan.svg"), paper::svg::write(&plan)).unwrap();
    for (i, page) in paper::peg_sheet::peg_sheet(&subject).iter().enumerate() {
        std::fs::write(out.join(format!("pegs-{}.svg", i + 1)), paper::svg::write(page)).unwrap();
    }
    for line in &site.plan.lines {
        if let Some(page) = paper::sections::along(&subject, &line.name) {
            std::fs::write(
                out.join(format!("along-{}.svg", line.name)),
                paper::svg::write(&page),
            )
            .unwrap();
        }
        if let Some(page) = paper::sections::across(&subject, &line.name) {
            std::fs::write(
                out.join(format!("across-{}.svg", line.name)),
                paper::svg::write(&page),
            )
            .unwrap();
        }
    }
}
