//! The peg sheet: what a helper carries along the line, a clipboard and a pencil in hand.
//!
//! First a page with what must stop the work, the findings, the tool in three lines and the cautions; then a
//! table a line, each on a page of its own so that two people can peg two lines. Boxes to tick are large
//! enough for a muddy pencil; what is dug is written beside what was asked, and typed in later.

mod opening;
pub(crate) mod reading;
mod sheets;
mod table;

use self::sheets::Sheets;
use crate::page::Page;
use crate::subject::Subject;

/// The peg sheet, page by page.
pub fn peg_sheet(subject: &Subject) -> Vec<Page> {
    let mut sheets = Sheets::new();
    opening::write(subject, &mut sheets);
    for line in subject.lines() {
        table::write(subject, &line, &mut sheets);
    }
    sheets.into_pages(&subject.site.plan.name)
}
