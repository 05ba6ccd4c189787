//! The first pages: what must stop the work, the tool, the cautions, and every finding with its remedy.

use crate::flow::findings::Depth;
use crate::flow::{BODY_MM, Flow};
use crate::ink::{Face, INK_2};
use crate::lettering::{LEADING, wrap};
use crate::page::{Mark, Role, Spot, Text};
use crate::subject::{Numbered, Subject};
use crate::words::{self, peg_sheet as said};

const INDENT_MM: f64 = 8.0;

pub(super) fn write(subject: &Subject, sheets: &mut Flow) {
    sheets.turn(said::BEFORE_PEGGING);
    let plan = &subject.site.plan;
    sheets.title(&said::opening_title(&plan.name));
    sheets.paragraph(
        &words::pegged_with(plan.tool.kind, plan.tool.step_m),
        Face::SerifItalic,
        BODY_MM + 0.5,
        0.0,
    );
    sheets.gap(3.0);
    let findings = subject.findings();
    let (stops, others): (Vec<_>, Vec<_>) = findings.into_iter().partition(Numbered::says_stop);
    sheets.stops(&stops);
    sheets.heading(said::TOOL_TITLE);
    for (i, line) in said::how_to(plan.tool.kind, plan.tool.walked).into_iter().enumerate() {
        numbered(i + 1, line, sheets);
    }
    sheets.gap(3.0);
    sheets.heading(words::CAUTIONS_TITLE);
    for caution in words::CAUTIONS {
        sheets.paragraph(caution, Face::Serif, BODY_MM, 0.0);
    }
    sheets.gap(3.0);
    sheets.heading(words::FINDINGS_TITLE);
    if others.is_empty() {
        let none = if stops.is_empty() { words::NO_FINDINGS } else { said::NO_OTHER_FINDINGS };
        sheets.paragraph(none, Face::Serif, BODY_MM, 0.0);
    }
    for finding in &others {
        sheets.finding(finding, Depth::Short);
    }
}

fn numbered(number: usize, words: &str, sheets: &mut Flow) {
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
    sheets.add([Mark::part(Role::Paragraph, marks)]);
}
