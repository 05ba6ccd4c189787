//! The frame round a drawing that is not a plan: title above, cautions below.

use crate::ink::{CAUTION, CAUTION_HATCH, CAUTION_PEN, FRAME_PEN, Face, INK_2, PLUM_PEN};
use crate::lettering::width_mm;
use crate::page::{Align, Fill, Mark, Page, Rect, Spot, Text};
use crate::plan::Sheet;
use crate::subject::Subject;
use crate::words;

const BORDER_MM: f64 = 8.0;
const HEAD_MM: f64 = 19.0;
const FOOT_MM: f64 = 13.0;
const PAD_MM: f64 = 4.0;
const SMALL_MM: f64 = 2.3;

/// What stands over a drawing.
pub(crate) struct Block {
    /// What it shows.
    pub title: String,
    /// The line in a few words.
    pub facts: String,
    /// Its scale.
    pub scale: String,
}

/// The part of a sheet that is free for the drawing.
pub(crate) fn drawing_area(sheet: Sheet) -> Rect {
    let (width, height) = sheet.size_mm();
    Rect::new(
        BORDER_MM + PAD_MM,
        BORDER_MM + HEAD_MM + PAD_MM,
        width - 2.0 * (BORDER_MM + PAD_MM),
        height - 2.0 * BORDER_MM - HEAD_MM - FOOT_MM - 2.0 * PAD_MM,
    )
}

/// The page round a drawing.
pub(crate) fn framed(subject: &Subject, sheet: Sheet, key: &str, block: &Block, drawing: Vec<Mark>) -> Page {
    let (width, height) = sheet.size_mm();
    let inner = Rect::new(0.0, 0.0, width, height).inset(BORDER_MM);
    let mut marks = vec![Mark::rect(inner, Some(FRAME_PEN), None)];
    marks.extend(head(subject, inner, block));
    marks.extend(drawing);
    marks.extend(foot(inner));
    let site = &subject.site.plan.name;
    Page {
        title: format!("{site}: {}", block.title),
        key: key.to_owned(),
        width_mm: width,
        height_mm: height,
        marks,
    }
}

fn head(subject: &Subject, inner: Rect, block: &Block) -> Vec<Mark> {
    let left = inner.left_mm + PAD_MM;
    let right = inner.right_mm() - PAD_MM;
    let rule_y = inner.top_mm + HEAD_MM;
    let at = |x: f64, down: f64| Spot::new(x, inner.top_mm + down);
    vec![
        Text::new(at(left, 9.5), &block.title, Face::SerifBold, 6.5).into(),
        Text::new(at(left, 15.5), &block.facts, Face::SerifItalic, 3.2).in_colour(INK_2).into(),
        Text::new(at(right, 8.5), &subject.site.plan.name, Face::SerifBold, 4.2).aligned(Align::End).into(),
        Text::new(at(right, 15.5), &block.scale, Face::Serif, 3.2).aligned(Align::End).into(),
        Mark::run(vec![Spot::new(inner.left_mm, rule_y), Spot::new(inner.right_mm(), rule_y)], PLUM_PEN),
    ]
}

fn foot(inner: Rect) -> Vec<Mark> {
    let top = inner.bottom_mm() - FOOT_MM;
    let band = Rect::new(inner.left_mm + PAD_MM, top + 1.5, 2.4, FOOT_MM - 4.0);
    let left = band.right_mm() + 2.0;
    let mut marks = vec![Mark::rect(band, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH)))];
    let title =
        Text::new(Spot::new(left, top + 4.0), words::CAUTIONS_TITLE, Face::SerifBold, 2.7).in_colour(CAUTION);
    marks.push(title.into());
    let after = left + width_mm(words::CAUTIONS_TITLE, Face::SerifBold, 2.7) + 3.0;
    let first = Text::new(Spot::new(after, top + 4.0), words::CAUTIONS[0], Face::Serif, SMALL_MM);
    let second = format!("{} {}", words::CAUTIONS[1], words::CAUTIONS[2]);
    let second = Text::new(Spot::new(left, top + 8.2), second, Face::Serif, SMALL_MM);
    let made = Text::new(
        Spot::new(inner.right_mm() - PAD_MM, top + 4.0),
        words::MADE_WITH,
        Face::SerifItalic,
        SMALL_MM,
    )
    .aligned(Align::End)
    .in_colour(INK_2);
    marks.extend([first.into(), second.into(), made.into()]);
    marks
}
