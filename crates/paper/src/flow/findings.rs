//! Findings on flowing pages: what says stop in a frame that cannot be missed, the others one after the other.

use super::{BODY_MM, Flow};
use crate::ink::{CAUTION, CAUTION_GROUND, CAUTION_HATCH, CAUTION_PEN, Face, PAPER};
use crate::lettering::{LEADING, width_mm, wrap};
use crate::page::{Fill, Mark, Pen, Rect, Role, Spot, Text};
use crate::subject::Numbered;
use crate::symbols::triangle;
use crate::words::{self, peg_sheet as said};

const INDENT_MM: f64 = 8.0;
/// Width of the hatched band round what must stop the work.
const BAND_MM: f64 = 4.0;
const SIGN_MM: f64 = 9.0;

/// How much is told of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Depth {
    /// What was found, what to do, whom to ask.
    Short,
    /// Why it matters and where the limit comes from too.
    Full,
}

impl Flow {
    /// Everything that says stop, in a hatched frame with the word on top. It goes on over the page where it must.
    pub fn stops(&mut self, stops: &[Numbered]) {
        if stops.is_empty() {
            return;
        }
        self.stop_sign();
        for finding in stops {
            self.stop(finding);
        }
        let end = self.area(3.0);
        let bar = Rect::new(end.left_mm, end.top_mm, end.width_mm, 2.0);
        self.add([Mark::rect(bar, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH)))]);
        self.gap(4.0);
    }

    fn stop_sign(&mut self) {
        let sign = self.area(SIGN_MM * 1.3);
        let at = Spot::new(sign.left_mm + 4.0, sign.top_mm + SIGN_MM * 0.98);
        let beside = Spot::new(at.x_mm + width_mm(said::STOP, Face::SansBold, SIGN_MM) + 4.0, at.y_mm - 1.0);
        let told = format!("{} {}", said::STOP, said::STOP_BESIDE);
        let words = vec![
            Text::new(at, said::STOP, Face::SansBold, SIGN_MM).in_colour(PAPER).into(),
            Text::new(beside, said::STOP_BESIDE, Face::SerifBold, 4.0).in_colour(PAPER).into(),
        ];
        self.add([
            Mark::rect(sign, Some(CAUTION_PEN), Some(Fill::Even(CAUTION))),
            Mark::part(Role::Heading(2, told), words),
        ]);
    }

    fn stop(&mut self, finding: &Numbered) {
        let text = Told::of(finding, Depth::Short, self.body().width_mm - 2.0 * BAND_MM - INDENT_MM - 4.0);
        let height_mm = text.height_mm() + 2.0;
        let area = self.area(height_mm);
        let (left, right) = (area.left_mm, area.right_mm() - BAND_MM);
        let mut marks = vec![Mark::rect(area, None, Some(Fill::Even(CAUTION_GROUND)))];
        for band_left in [left, right] {
            let band = Rect::new(band_left, area.top_mm, BAND_MM, height_mm);
            marks.push(Mark::rect(band, None, Some(Fill::Even(PAPER))));
            marks.push(Mark::rect(band, Some(Pen::new(CAUTION, 0.25)), Some(Fill::Hatched(CAUTION_HATCH))));
        }
        marks.push(text.mark(Spot::new(left + BAND_MM + 2.0, area.top_mm + 1.0)));
        self.add(marks);
    }

    /// A finding with its number.
    pub fn finding(&mut self, finding: &Numbered, depth: Depth) {
        let text = Told::of(finding, depth, self.body().width_mm - INDENT_MM);
        let area = self.area(text.height_mm() + 1.5);
        self.add([text.mark(Spot::new(area.left_mm, area.top_mm))]);
    }
}

/// A finding set in lines.
struct Told {
    number: usize,
    says_stop: bool,
    lines: Vec<(String, Face)>,
}

impl Told {
    fn of(finding: &Numbered, depth: Depth, fit_mm: f64) -> Told {
        let spoken = &finding.spoken;
        let weight = words::severity(finding.finding.severity);
        let mut told = vec![
            (format!("{}. {weight}.", spoken.title), Face::SerifBold),
            (spoken.says.clone(), Face::Serif),
            (format!("{} {}", said::DO, spoken.remedy), Face::Serif),
            (format!("{} {}", said::ASK, spoken.ask), Face::SerifItalic),
        ];
        if depth == Depth::Full {
            told.insert(2, (spoken.why.clone(), Face::Serif));
            told.push((said::limit_from(finding.finding.source), Face::Serif));
        }
        let lines = told
            .into_iter()
            .flat_map(|(words, face)| {
                wrap(&words, face, BODY_MM, fit_mm).into_iter().map(move |line| (line, face))
            })
            .collect();
        Told { number: finding.number, says_stop: finding.says_stop(), lines }
    }

    fn height_mm(&self) -> f64 {
        self.lines.len() as f64 * BODY_MM * LEADING + 1.0
    }

    fn mark(&self, origin: Spot) -> Mark {
        let mut marks = triangle(origin.moved(2.6, 2.6), self.number, self.says_stop);
        for (row, (line, face)) in self.lines.iter().enumerate() {
            let at = origin.moved(INDENT_MM, BODY_MM * (1.0 + row as f64 * LEADING));
            marks.push(Text::new(at, line, *face, BODY_MM).into());
        }
        Mark::part(Role::Paragraph, marks)
    }
}
