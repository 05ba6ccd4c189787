//! The year of work.

use super::{Bundle, Chapter, flowing};
use crate::flow::Table;
use crate::page::{Align, Page};
use crate::words::report as said;
use crate::words::report::year as yearly;

pub(super) fn pages(bundle: &Bundle) -> Vec<Page> {
    let year = bundle.calendar;
    flowing(bundle, Chapter::Year, |flow| {
        flow.title(said::YEAR);
        flow.say(&yearly::season(year));
        let mut table = Table::of(&[
            (yearly::WHEN, 0.16, Align::Start),
            (said::WHAT, 0.28, Align::Start),
            (yearly::MIND, 0.56, Align::Start),
        ]);
        for work in &year.work {
            table.rows.push(vec![
                yearly::months(work.from_month, work.to_month),
                work.task.words().to_owned(),
                format!("{} ({}).", crate::words::capitalised(work.note), work.source),
            ]);
        }
        flow.table(&table);
    })
}
