//! The peg sheet: what a helper carries along the line, a clipboard and a pencil in hand.
//!
//! First a page with what must stop the work, the findings, the tool in three lines and the cautions; then a
//! table a line, each on a page of its own so that two people can peg two lines. Boxes to tick are large
//! enough for a muddy pencil; what is dug is written beside what was asked, and typed in later.

mod opening;
pub(crate) mod reading;
mod table;

use crate::flow::{Flow, Titles};
use crate::page::Page;
use crate::subject::{Known, Subject};
use crate::words;

/// The peg sheet, page by page.
pub fn peg_sheet(subject: &Subject) -> Vec<Page> {
    let mut sheets = Flow::new(subject.format);
    opening::write(subject, &mut sheets);
    for line in subject.lines() {
        table::write(subject, &line, &mut sheets);
    }
    sheets.into_pages(&titles(subject, "pegs", true))
}

/// The first pages of a peg sheet, to be bound: what to know before pegging.
pub(crate) fn before_pegging(subject: &Subject) -> Vec<Page> {
    let mut sheets = Flow::new(subject.format);
    opening::write(subject, &mut sheets);
    sheets.into_pages(&titles(subject, "before-pegging", false))
}

/// The pages of one line, to be bound.
pub(crate) fn pegs_of(subject: &Subject, line: &Known) -> Vec<Page> {
    let mut sheets = Flow::new(subject.format);
    table::write(subject, line, &mut sheets);
    sheets.into_pages(&titles(subject, "pegs", false))
}

fn titles<'a>(subject: &Subject<'a>, key: &'a str, numbered: bool) -> Titles<'a> {
    Titles { site: &subject.site.plan.name, sheet: words::PEG_SHEET_TITLE, key, numbered }
}
