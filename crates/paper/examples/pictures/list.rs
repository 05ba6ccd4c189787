//! The pictures that the README and the documents show, by the names of their files.

use design::rain_test::{Answer, Request, rain_test};
use design::storms::{StormRequest, WetBefore, storm};
use paper::{Subject, page::Page, rain};

/// Draws behind the ranges of the pictures.
const MEMBERS: usize = 8;

/// Every picture of the demo site that can be drawn.
pub fn pictures(subject: &Subject) -> Vec<(&'static str, Page)> {
    let first_peg_sheet =
        paper::peg_sheet::peg_sheet(subject).into_iter().find(|page| page.title.ends_with("top"));
    let storm = design_storm(subject);
    let storm = storm.as_ref();
    let pictures = [
        ("plan", paper::plan::plan(subject)),
        ("cross-section", paper::sections::across(subject, "middle")),
        ("long-section", paper::sections::along(subject, "top")),
        ("peg-sheet", first_peg_sheet),
        ("rain-plan", storm.and_then(|storm| paper::plan::plan_in_the_rain(subject, storm))),
        ("rain-along", storm.and_then(|storm| rain::along(subject, storm, "top"))),
        ("rain-flow", storm.and_then(|storm| rain::flows(subject, storm).into_iter().next())),
    ];
    pictures.into_iter().filter_map(|(name, page)| Some((name, page?))).collect()
}

/// The plan's design storm, worked through.
fn design_storm(subject: &Subject) -> Option<Answer> {
    let asked =
        StormRequest { depth_mm: None, hours: None, shape: None, gauge: None, wet_before: WetBefore::Usual };
    let storm = storm(subject.site, &asked).ok()?;
    let request = Request { snapshots_h: rain::moments_h(storm.hours), ..Request::of(&storm, MEMBERS, 1) };
    rain_test(subject.site, &subject.answers.layout, &request, &|| ()).ok()
}
