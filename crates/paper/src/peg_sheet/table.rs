//! The table of one line: peg, reading, dig, bank, what is there, what was dug, done; then the proof.

use design::pegs::{CheckBack, PegRow};
use quantity::figures::fixed;

use super::reading;
use crate::flow::{BODY_MM, Flow, across};
use crate::ink::{Face, HAIR_PEN, INK, INK_2, MARK_PEN, PLUM, PLUM_PEN};
use crate::lettering::{cut, width_mm, wrap};
use crate::page::{Align, Mark, Pen, Rect, Role, Spot, Text};
use crate::subject::{Known, Subject};
use crate::symbols::{NUMBER_RADIUS_MM, number};
use crate::words::peg_sheet as said;

const ROW_MM: f64 = 7.5;
const HEAD_ROW_MM: f64 = 10.5;
const FIGURE_MM: f64 = 3.4;
const SMALL_MM: f64 = 2.6;
/// Side of the box to tick.
const BOX_MM: f64 = 5.4;
/// Every so many rows a rule is stronger, so that the eye keeps its row.
const STRONG_EACH: usize = 5;

/// A column of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Column {
    Peg,
    Along,
    Reading,
    Band,
    Cut,
    Bank,
    Notes,
    BedAsDug,
    BankAsDug,
    Done,
}

/// Columns from left to right with their widths; together 190 mm.
const COLUMNS: [(Column, f64); 10] = [
    (Column::Peg, 10.0),
    (Column::Along, 14.0),
    (Column::Reading, 45.0),
    (Column::Band, 13.0),
    (Column::Cut, 13.0),
    (Column::Bank, 15.0),
    (Column::Notes, 40.0),
    (Column::BedAsDug, 15.0),
    (Column::BankAsDug, 15.0),
    (Column::Done, 10.0),
];

/// Writes the pages of one line.
pub(super) fn write(subject: &Subject, line: &Known, sheets: &mut Flow) {
    sheets.turn(&line.line.name);
    write_title(subject, line, sheets);
    if line.pegs.pegs.is_empty() {
        let why = line.pegs.stopped_because.as_deref();
        sheets.paragraph(&said::no_pegs(why), Face::Serif, BODY_MM, 0.0);
        return;
    }
    write_head(sheets);
    for (i, row) in line.pegs.pegs.iter().enumerate() {
        if sheets.room_mm() < ROW_MM {
            sheets.turn(&said::continued(&line.line.name));
            write_head(sheets);
        }
        let told = Told {
            reading: reading::words(&subject.answers.pegs, &line.pegs.pegs, i),
            sill: line.line.sills.iter().find(|sill| is_on(sill, row)).map(|sill| crest_m(line, sill, row)),
        };
        write_row(row, &told, (i + 1) % STRONG_EACH == 0, sheets);
    }
    if let Some(check) = &line.pegs.check_back {
        write_proof(line, check, sheets);
    }
}

/// What a row says besides its figures.
struct Told {
    reading: String,
    /// Where the peg stands at a sill: height of the crest above the peg, if known. No bank is thrown up there.
    sill: Option<Option<f64>>,
}

fn is_on(sill: &site::Sill, row: &PegRow) -> bool {
    (row.chainage_m - sill.at_m).abs() <= sill.width_m / 2.0
}

fn crest_m(line: &Known, sill: &site::Sill, row: &PegRow) -> Option<f64> {
    Some(line.sections.as_ref()?.crest_z_m(sill) - row.z_m?)
}

fn write_title(subject: &Subject, line: &Known, sheets: &mut Flow) {
    const NAME_MM: f64 = 7.0;
    let area = sheets.area(NAME_MM * 1.35);
    let told = line.line.name.clone();
    let base = area.top_mm + NAME_MM * 0.85;
    let mut left = area.left_mm;
    if let Some(order) = subject.spill_number(&line.line.name) {
        let centre = Spot::new(left + NUMBER_RADIUS_MM, base - 2.4);
        sheets.add([Mark::part(Role::Ornament, number(centre, order))]);
        left += 2.0 * NUMBER_RADIUS_MM + 2.0;
    }
    let name = cut(&line.line.name, Face::SerifBold, NAME_MM, area.right_mm() - left);
    let name = Text::new(Spot::new(left, base), name, Face::SerifBold, NAME_MM).into();
    sheets.add([Mark::part(Role::Heading(1, told), vec![name])]);
    let mut facts =
        vec![said::line_facts(line.line.kind, line.pegs.grade, line.pegs.length_m, line.pegs.pegs.len())];
    if let Some(bed_width_m) = line.line.bed_width_m {
        facts.push(said::bed_width(bed_width_m));
    }
    if let Some(why) = &line.pegs.stopped_because {
        facts.push(said::ended(why));
    }
    sheets.paragraph(&facts.join(" "), Face::Serif, BODY_MM, 0.0);
    if line.line.bank_height_m.unwrap_or(0.0) > 0.0 {
        let settlement = &line.pegs.settlement;
        let words = said::settlement(settlement.add_frac, settlement.source);
        sheets.paragraph(&words, Face::SerifItalic, BODY_MM, 0.0);
    }
    sheets.gap(2.0);
}

fn write_head(sheets: &mut Flow) {
    let area = sheets.area(HEAD_ROW_MM);
    let mut marks = Vec::new();
    let mut left = area.left_mm;
    for (column, width) in COLUMNS {
        let said = head_of(column);
        let colour = if is_for_the_pencil(column) { PLUM } else { INK };
        let lines = wrap(said, Face::SerifBold, SMALL_MM, width - 1.0);
        let first = area.bottom_mm() - 1.6 - (lines.len() as f64 - 1.0) * SMALL_MM * 1.15;
        let line = |(row, line): (usize, String)| {
            let at = Spot::new(left + width / 2.0, first + row as f64 * SMALL_MM * 1.15);
            let text = Text::new(at, line, Face::SerifBold, SMALL_MM);
            text.aligned(Align::Middle).in_colour(colour).into()
        };
        marks.push(Mark::part(Role::Head, lines.into_iter().enumerate().map(line).collect()));
        left += width;
    }
    marks.push(across(area, area.bottom_mm(), Pen::new(INK, 0.45)));
    sheets.add_row(marks);
}

fn head_of(column: Column) -> &'static str {
    match column {
        Column::Peg => said::PEG,
        Column::Along => said::ALONG,
        Column::Reading => said::READING,
        Column::Band => said::BAND,
        Column::Cut => said::CUT,
        Column::Bank => said::BANK,
        Column::Notes => said::NOTES,
        Column::BedAsDug => said::BED_AS_DUG,
        Column::BankAsDug => said::BANK_AS_DUG,
        Column::Done => said::DONE,
    }
}

fn is_for_the_pencil(column: Column) -> bool {
    matches!(column, Column::BedAsDug | Column::BankAsDug | Column::Done)
}

fn write_row(row: &PegRow, told: &Told, is_strong: bool, sheets: &mut Flow) {
    let area = sheets.area(ROW_MM);
    let base = area.top_mm + ROW_MM / 2.0 + FIGURE_MM * 0.36;
    let mut row_marks = Vec::new();
    let mut left = area.left_mm;
    for (column, width) in COLUMNS {
        let cell = Rect::new(left, area.top_mm, width, ROW_MM);
        row_marks.push(Mark::part(Role::Cell, cell_marks(column, row, told, cell, base)));
        left += width;
    }
    let rule = if is_strong { MARK_PEN } else { HAIR_PEN };
    row_marks.push(across(area, area.bottom_mm(), rule));
    sheets.add_row(row_marks);
}

fn cell_marks(column: Column, row: &PegRow, told: &Told, cell: Rect, base_mm: f64) -> Vec<Mark> {
    match column {
        Column::Notes => notes(row, told, cell),
        Column::Done => {
            let (left, top) = (cell.centre().x_mm - BOX_MM / 2.0, cell.centre().y_mm - BOX_MM / 2.0);
            vec![Mark::rect(Rect::new(left, top, BOX_MM, BOX_MM), Some(Pen::new(PLUM, 0.4)), None)]
        }
        Column::BedAsDug | Column::BankAsDug => vec![Mark::rect(cell.inset(0.7), Some(PLUM_PEN), None)],
        Column::Reading => {
            let words = cut(&told.reading, Face::SansBold, FIGURE_MM - 0.3, cell.width_mm - 2.0);
            let at = Spot::new(cell.left_mm + 1.5, base_mm);
            vec![Text::new(at, words, Face::SansBold, FIGURE_MM - 0.3).into()]
        }
        Column::Peg | Column::Along | Column::Band | Column::Cut | Column::Bank => {
            let face = if column == Column::Peg { Face::SansBold } else { Face::Sans };
            let at = Spot::new(cell.centre().x_mm, base_mm);
            vec![Text::new(at, figure(column, row, told), face, FIGURE_MM).aligned(Align::Middle).into()]
        }
    }
}

fn figure(column: Column, row: &PegRow, told: &Told) -> String {
    match column {
        Column::Peg => row.peg.to_string(),
        Column::Along => fixed(row.chainage_m, 1),
        Column::Band => row.band_m.map_or(said::NOT_KNOWN.to_owned(), |band_m| fixed(band_m, 2)),
        Column::Cut => fixed(row.cut_m, 2),
        Column::Bank if told.sill.is_some() => said::SILL.to_owned(),
        Column::Bank if row.bank_build_m.high() > 0.0 => fixed(row.bank_build_m.likely(), 2),
        _ => said::NONE.to_owned(),
    }
}

/// What is at the peg, on at most two lines.
fn notes(row: &PegRow, told: &Told, cell: Rect) -> Vec<Mark> {
    let mut notes = row.notes.clone();
    if row.after_jump {
        notes.insert(0, said::AFTER_JUMP.to_owned());
    }
    if let Some(crest_m) = told.sill.flatten() {
        notes.insert(0, said::crest(crest_m));
    }
    let fit_mm = cell.width_mm - 2.0;
    let mut lines = wrap(&notes.join("; "), Face::Serif, SMALL_MM, fit_mm);
    if lines.len() > 2 {
        let rest = lines.split_off(1).join(" ");
        lines.push(cut(&rest, Face::Serif, SMALL_MM, fit_mm));
    }
    let first = cell.centre().y_mm + SMALL_MM * 0.36 - (lines.len() as f64 - 1.0) * SMALL_MM * 0.58;
    let line = |(i, line): (usize, String)| {
        let at = Spot::new(cell.left_mm + 1.0, first + i as f64 * SMALL_MM * 1.16);
        Text::new(at, line, Face::Serif, SMALL_MM).into()
    };
    lines.into_iter().enumerate().map(line).collect()
}

/// Levelling back: what to expect, what is allowed, and a box for what was found.
fn write_proof(line: &Known, check: &CheckBack, sheets: &mut Flow) {
    const HEIGHT_MM: f64 = 40.0;
    if sheets.room_mm() < HEIGHT_MM {
        sheets.turn(&said::continued(&line.line.name));
    }
    sheets.gap(2.0);
    sheets.heading(said::PROOF_TITLE);
    let last = line.pegs.pegs.len();
    let words = said::proof(last, check.expected_fall_mm, check.allowed_mm);
    sheets.paragraph(&words, Face::Serif, BODY_MM + 0.2, 0.0);
    sheets.paragraph(&said::fault(check.tool_fault_shows_mm), Face::Serif, BODY_MM + 0.2, 0.0);
    sheets.paragraph(said::LOOKS_UPHILL, Face::SerifItalic, BODY_MM + 0.2, 0.0);
    sheets.gap(2.0);
    let area = sheets.area(9.0);
    let base = area.top_mm + 6.0;
    let words_mm = width_mm(said::FOUND, Face::SerifBold, BODY_MM + 0.4);
    let answer = Rect::new(area.left_mm + words_mm + 2.0, area.top_mm + 0.5, 30.0, 8.0);
    sheets.add([
        Text::new(Spot::new(area.left_mm, base), said::FOUND, Face::SerifBold, BODY_MM + 0.4)
            .in_colour(PLUM)
            .into(),
        Mark::rect(answer, Some(PLUM_PEN), None),
        Text::new(Spot::new(answer.right_mm() + 2.0, base), said::MM, Face::Sans, BODY_MM)
            .in_colour(INK_2)
            .into(),
    ]);
}
