//! No label of a paper lies on another or leaves its sheet, by the lettering's own estimate of widths.

use paper::labels::LabelBox;
use paper::lettering::{CAPITAL_SHARE, width_mm};
use paper::page::{Align, Mark, Page, Rect, Text};
use paper::plan::{Sheet, plan_on};
use paper::{Subject, papers};

use crate::quarry_bank;

/// The room a text takes, from its base line up to its capitals.
fn room(text: &Text) -> LabelBox {
    let width_mm = width_mm(&text.words, text.face, text.size_mm);
    let height_mm = CAPITAL_SHARE * text.size_mm;
    let ahead_mm = match text.align {
        Align::Start => width_mm / 2.0,
        Align::Middle => 0.0,
        Align::End => -width_mm / 2.0,
    };
    let (sin, cos) = libm::sincos(text.turn_deg.to_radians());
    LabelBox {
        centre: text.at.moved(ahead_mm * cos + height_mm / 2.0 * sin, ahead_mm * sin - height_mm / 2.0 * cos),
        width_mm,
        height_mm,
        turn_deg: text.turn_deg,
    }
}

fn texts<'a>(marks: &'a [Mark], found: &mut Vec<&'a Text>) {
    for mark in marks {
        match mark {
            Mark::Text(text) => found.push(text),
            Mark::Within(_, marks) | Mark::Named(_, marks) | Mark::Part(_, marks) => texts(marks, found),
            Mark::Drawn(_) | Mark::Picture(_) => {}
        }
    }
}

pub fn overlaps(page: &Page) -> Vec<String> {
    let mut found = Vec::new();
    texts(&page.marks, &mut found);
    let sheet = Rect::new(0.0, 0.0, page.width_mm, page.height_mm);
    let mut faults = Vec::new();
    for (i, text) in found.iter().enumerate() {
        let here = room(text);
        if !here.corners().iter().all(|corner| sheet.contains(*corner)) {
            faults.push(format!("“{}” leaves the sheet", text.words));
        }
        for other in &found[i + 1..] {
            if here.meets(&room(other)) {
                faults.push(format!("“{}” lies on “{}”", text.words, other.words));
            }
        }
    }
    faults
}

#[test]
fn no_two_labels_overlap() {
    let site = quarry_bank::site();
    let answers = design::answer(&site);
    let subject = Subject::new(&site, &answers);
    for paper in papers(&subject) {
        let faults = overlaps(&paper.page);
        assert!(faults.is_empty(), "{}: {faults:#?}", paper.file);
    }
    for sheet in [Sheet::A4Portrait, Sheet::A3Landscape, Sheet::A3Portrait] {
        let page = plan_on(&subject, sheet).unwrap();
        assert_eq!((page.width_mm, page.height_mm), sheet.size_mm());
        let faults = overlaps(&page);
        assert!(faults.is_empty(), "plan on {sheet:?}: {faults:#?}");
        let out = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
        std::fs::write(out.join(format!("plan-{sheet:?}.svg")), paper::svg::write(&page)).unwrap();
    }
}
