//! The first pages: what must stop the work, the tool, the cautions, and every finding with its remedy.

use super::sheets::Sheets;
use crate::ink::{CAUTION, CAUTION_GROUND, CAUTION_HATCH, CAUTION_PEN, Face, HAIR_PEN, INK, INK_2, PAPER};
use crate::lettering::{LEADING, wrap};
use crate::page::{Fill, Mark, Pen, Rect, Spot, Text};
use crate::subject::{Numbered, Subject};
use crate::symbols::triangle;
use crate::words::{self, peg_sheet as said};

const TITLE_MM: f64 = 8.5;
const HEADING_MM: f64 = 4.2;
const BODY_MM: f64 = 3.1;
const INDENT_MM: f64 = 8.0;
/// Width of the hatched band round what must stop the work.
const BAND_MM: f64 = 4.0;

pub(super) fn write(subject: &Subject, sheets: &mut Sheets) {
    sheets.turn(said::BEFORE_PEGGING);
    let plan = &subject.site.plan;
    let area = sheets.area(TITLE_MM * 1.3);
    let at = Spot::new(area.left_mm, area.top_mm + TITLE_MM * 0.8);
    sheets.add([Text::new(at, said::opening_title(&plan.name), Face::SerifBold, TITLE_MM).into()]);
    sheets.paragraph(
        &words::pegged_with(plan.tool.kind, plan.tool.step_m),
        Face::SerifItalic,
        BODY_MM + 0.5,
        0.0,
    );
    sheets.gap(3.0);
    let findings = subject.findings();
    let (stops, others): (Vec<_>, Vec<_>) = findings.into_iter().partition(Numbered::says_stop);
    write_stops(&stops, sheets);
    heading(said::TOOL_TITLE, sheets);
    for (i, line) in said::how_to(plan.tool.kind, plan.tool.walked).into_iter().enumerate() {
        numbered(i + 1, line, sheets);
    }
    sheets.gap(3.0);
    heading(words::CAUTIONS_TITLE, sheets);
    for caution in words::CAUTIONS {
        sheets.paragraph(caution, Face::Serif, BODY_MM, 0.0);
    }
    sheets.gap(3.0);
    heading(words::FINDINGS_TITLE, sheets);
    if others.is_empty() {
        let none = if stops.is_empty() { words::NO_FINDINGS } else { said::NO_OTHER_FINDINGS };
        sheets.paragraph(none, Face::Serif, BODY_MM, 0.0);
    }
    for finding in &others {
        write_finding(finding, sheets);
    }
}

/// Everything that says stop, in a hatched frame with the word on top. It goes on over the page where it must.
fn write_stops(stops: &[Numbered], sheets: &mut Sheets) {
    if stops.is_empty() {
        return;
    }
    const SIGN_MM: f64 = 9.0;
    let area = sheets.area(SIGN_MM * 1.3);
    let sign = Rect::new(area.left_mm, area.top_mm, area.width_mm, area.height_mm);
    let at = Spot::new(area.left_mm + 4.0, area.top_mm + SIGN_MM * 0.98);
    let beside = Spot::new(
        at.x_mm + crate::lettering::width_mm(said::STOP, Face::SansBold, SIGN_MM) + 4.0,
        at.y_mm - 1.0,
    );
    sheets.add([
        Mark::rect(sign, Some(CAUTION_PEN), Some(Fill::Even(CAUTION))),
        Text::new(at, said::STOP, Face::SansBold, SIGN_MM).in_colour(PAPER).into(),
        Text::new(beside, said::STOP_BESIDE, Face::SerifBold, 4.0).in_colour(PAPER).into(),
    ]);
    for finding in stops {
        let text = Told::of(finding, sheets.body().width_mm - 2.0 * BAND_MM - INDENT_MM - 4.0);
        let height_mm = text.height_mm() + 2.0;
        let area = sheets.area(height_mm);
        let (left, right) = (area.left_mm, area.right_mm() - BAND_MM);
        let mut marks = vec![Mark::rect(area, None, Some(Fill::Even(CAUTION_GROUND)))];
        for band_left in [left, right] {
            let band = Rect::new(band_left, area.top_mm, BAND_MM, height_mm);
            marks.push(Mark::rect(band, None, Some(Fill::Even(PAPER))));
            marks.push(Mark::rect(band, Some(Pen::new(CAUTION, 0.25)), Some(Fill::Hatched(CAUTION_HATCH))));
        }
        let origin = Spot::new(left + BAND_MM + 2.0, area.top_mm + 1.0);
        marks.extend(text.marks(origin));
        sheets.add(marks);
    }
    let end = sheets.area(3.0);
    let bar = Rect::new(end.left_mm, end.top_mm, end.width_mm, 2.0);
    sheets.add([Mark::rect(bar, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH)))]);
    sheets.gap(4.0);
}

fn write_finding(finding: &Numbered, sheets: &mut Sheets) {
    let text = Told::of(finding, sheets.body().width_mm - INDENT_MM);
    let area = sheets.area(text.height_mm() + 1.5);
    sheets.add(text.marks(Spot::new(area.left_mm, area.top_mm)));
}

/// A finding set in lines.
struct Told {
    number: usize,
    says_stop: bool,
    lines: Vec<(String, Face)>,
}

impl Told {
    fn of(finding: &Numbered, fit_mm: f64) -> Told {
        let spoken = &finding.spoken;
        let weight = words::severity(finding.finding.severity);
        let mut lines = Vec::new();
        for (words, face) in [
            (format!("{}. {weight}.", spoken.title), Face::SerifBold),
            (spoken.says.clone(), Face::Serif),
            (format!("{} {}", said::DO, spoken.remedy), Face::Serif),
            (format!("{} {}", said::ASK, spoken.ask), Face::SerifItalic),
        ] {
            lines.extend(wrap(&words, face, BODY_MM, fit_mm).into_iter().map(|line| (line, face)));
        }
        Told { number: finding.number, says_stop: finding.says_stop(), lines }
    }

    fn height_mm(&self) -> f64 {
        self.lines.len() as f64 * BODY_MM * LEADING + 1.0
    }

    fn marks(&self, origin: Spot) -> Vec<Mark> {
        let mut marks = triangle(origin.moved(2.6, 2.6), self.number, self.says_stop);
        for (row, (line, face)) in self.lines.iter().enumerate() {
            let at = origin.moved(INDENT_MM, BODY_MM * (1.0 + row as f64 * LEADING));
            marks.push(Text::new(at, line, *face, BODY_MM).into());
        }
        marks
    }
}

/// A heading with its rule, and room for something under it.
pub(super) fn heading(words: &str, sheets: &mut Sheets) {
    const WITH_WHAT_FOLLOWS_MM: f64 = 20.0;
    if sheets.room_mm() < WITH_WHAT_FOLLOWS_MM {
        sheets.gap(WITH_WHAT_FOLLOWS_MM);
    }
    let area = sheets.area(HEADING_MM * 1.6);
    let base = area.top_mm + HEADING_MM;
    let rule = base + 1.2;
    sheets.add([
        Text::new(Spot::new(area.left_mm, base), words, Face::SerifBold, HEADING_MM).in_colour(INK).into(),
        Mark::run(vec![Spot::new(area.left_mm, rule), Spot::new(area.right_mm(), rule)], HAIR_PEN),
    ]);
}

fn numbered(number: usize, words: &str, sheets: &mut Sheets) {
    let lines = wrap(words, Face::Serif, BODY_MM, sheets.body().width_mm - INDENT_MM);
    let area = sheets.area(lines.len() as f64 * BODY_MM * LEADING + 0.6);
    let figure = Text::new(
        Spot::new(area.left_mm + 1.0, area.top_mm + BODY_MM),
        number.to_string(),
        Face::SansBold,
        BODY_MM,
    )
    .in_colour(INK_2);
    let mut marks = vec![figure.into()];
    for (row, line) in lines.into_iter().enumerate() {
        let down = BODY_MM * (1.0 + row as f64 * LEADING);
        let at = Spot::new(area.left_mm + INDENT_MM, area.top_mm + down);
        marks.push(Text::new(at, line, Face::Serif, BODY_MM).into());
    }
    sheets.add(marks);
}
