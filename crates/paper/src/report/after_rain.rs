//! The sheet to fill in after a rain: what the plan expects, and boxes for what was seen.

use quantity::figures::fixed;

use super::{Bundle, Chapter, flowing};
use crate::flow::Table;
use crate::page::{Align, Page};
use crate::words::peg_sheet;
use crate::words::report::{self as said, after_rain as after};

pub(super) fn pages(bundle: &Bundle) -> Vec<Page> {
    flowing(bundle, Chapter::AfterRain, |flow| {
        flow.title(said::AFTER_RAIN);
        flow.say(after::WORDS);
        flow.blanks(&[after::DATE, after::RAIN_MM, after::HOURS, after::WHO]);
        flow.gap(2.0);
        flow.heading(after::EXPECTED_TITLE);
        flow.say(after::EXPECTED_WORDS);
        let mut expected = Table::of(&[
            (said::LINE, 0.22, Align::Start),
            (after::FILLS_MM, 0.26, Align::End),
            (after::SPILLS_MM, 0.26, Align::End),
            (after::BREAKS_MM, 0.26, Align::End),
        ]);
        if let Ok((_, steps)) = bundle.rain {
            for line in &steps.lines {
                let mm =
                    |mm: Option<f64>| mm.map_or_else(|| after::beyond(steps.up_to_mm), |mm| fixed(mm, 0));
                expected.rows.push(vec![
                    line.line.clone(),
                    mm(line.fills_mm),
                    mm(line.spills_mm),
                    mm(line.breaks_out_mm),
                ]);
            }
        }
        if let Err(because) = bundle.rain {
            flow.say(&said::no_storm(because));
        }
        flow.table(&expected);
        flow.heading(after::SEEN_TITLE);
        let mut seen = Table::of(&[
            (said::LINE, 0.20, Align::Start),
            (after::REACHED, 0.16, Align::Middle),
            (after::EDGE, 0.16, Align::Middle),
            (after::OVER_SILL, 0.14, Align::Middle),
            (after::OVER_BANK, 0.18, Align::Middle),
            (after::EMPTY, 0.16, Align::Middle),
        ])
        .with_blanks_from(1);
        for line in &bundle.subject.site.plan.lines {
            let blanks = std::iter::repeat_n(String::new(), 5);
            seen.rows.push(std::iter::once(line.name.clone()).chain(blanks).collect());
        }
        if seen.rows.is_empty() {
            flow.say(said::NO_LINES);
        }
        flow.table(&seen);
        flow.heading(after::LOOK_TITLE);
        let mut look =
            Table::of(&[(after::LOOK, 0.62, Align::Start), (after::WHERE_AND_WHAT, 0.38, Align::Middle)])
                .with_blanks_from(1);
        look.rows = after::LOOK_AT.map(|what| vec![what.to_owned(), String::new()]).to_vec();
        flow.table(&look);
        flow.say(&after::then(peg_sheet::BED_AS_DUG));
    })
}
