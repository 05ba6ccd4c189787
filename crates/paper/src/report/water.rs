//! The water budget: where it comes from, what each line holds, what one storm does with it.

use quantity::figures::{fixed, range};

use super::{Bundle, Chapter, flowing};
use crate::flow::{Flow, Table};
use crate::page::{Align, Page};
use crate::words::report as said;
use crate::words::{self, peg_sheet, rain as rain_said};

pub(super) fn pages(bundle: &Bundle) -> Vec<Page> {
    flowing(bundle, Chapter::Water, |flow| {
        flow.title(said::WATER);
        flow.heading(said::SOURCES_TITLE);
        let sources: Vec<String> = bundle.subject.site.plan.sources.iter().map(said::source).collect();
        if sources.is_empty() {
            flow.say(said::NO_SOURCES);
        }
        flow.list(&sources);
        holds(bundle, flow);
        in_the_storm(bundle, flow);
    })
}

fn holds(bundle: &Bundle, flow: &mut Flow) {
    let lines = &bundle.subject.answers.sizes.lines;
    if lines.is_empty() {
        return;
    }
    flow.heading(said::HOLDS_TITLE);
    flow.say(said::HOLDS_WORDS);
    let mut table = Table::of(&[
        (said::LINE, 0.20, Align::Start),
        (said::LENGTH_M, 0.11, Align::End),
        (said::GROUND_M2, 0.15, Align::End),
        (said::HOLDS_M3, 0.17, Align::End),
        (said::FILLED_BY_MM, 0.12, Align::End),
        (said::EMPTY_H, 0.15, Align::End),
        (said::SPILLS_TO, 0.10, Align::Start),
    ]);
    for line in lines {
        let unknown = || peg_sheet::NOT_KNOWN.to_owned();
        let holding = line.holding.as_ref();
        let holds = holding.map_or(peg_sheet::NONE.to_owned(), |h| range(h.holds_range_m3, 1));
        let empty = holding.map_or(peg_sheet::NONE.to_owned(), |h| {
            h.drain_down_h.map_or_else(unknown, |hours| range(hours, 0))
        });
        table.rows.push(vec![
            line.line.clone(),
            fixed(line.length_m, 0),
            line.supply.catchment_m2.map_or_else(unknown, |m2| fixed(m2, 0)),
            holds,
            line.supply.holds_rain_mm.map_or(peg_sheet::NONE.to_owned(), |mm| fixed(mm, 0)),
            empty,
            line.spills_to.join(", "),
        ]);
    }
    flow.table(&table);
    for line in lines {
        if let Some(because) = &line.unknown_because {
            flow.say(&said::line_unknown(&line.line, because));
        }
    }
}

fn in_the_storm(bundle: &Bundle, flow: &mut Flow) {
    flow.heading(said::STORM_TITLE);
    let (rain, _) = match bundle.rain {
        Ok(rain) => rain,
        Err(because) => return flow.say(&said::no_storm(because)),
    };
    flow.say(&format!("{}.", rain_said::storm(&rain.storm)));
    flow.say(&rain_said::flows_of_the_plan(&rain.ensemble));
    let mut table = Table::of(&[
        (said::LINE, 0.16, Align::Start),
        (rain_said::ARRIVES, 0.14, Align::End),
        (rain_said::PASSED_IN, 0.14, Align::End),
        (rain_said::SOAKS, 0.14, Align::End),
        (rain_said::STANDS, 0.14, Align::End),
        (rain_said::PASSES_ON, 0.14, Align::End),
        (rain_said::LEAVES, 0.14, Align::End),
    ]);
    for line in &rain.lines {
        let mut row = vec![line.line.clone()];
        let parts = [
            line.arrived_m3,
            line.passed_in_m3,
            line.soaked_m3,
            line.stored_m3,
            line.passed_on_m3,
            line.left_m3,
        ];
        row.extend(parts.map(|m3| range(m3, 1)));
        table.rows.push(row);
    }
    let site = &rain.site;
    let mut all = vec![said::ALL_LINES.to_owned()];
    all.extend([range(site.arrived_m3, 1), peg_sheet::NONE.to_owned(), range(site.soaked_m3, 1)]);
    all.extend([range(site.stored_m3, 1), peg_sheet::NONE.to_owned(), range(site.leaves_m3, 1)]);
    table.rows.push(all);
    flow.table(&table);
    flow.say(&said::balance(rain.balance_error_frac));
    if site.runs_past_m3.high() > 0.0 {
        flow.say(&said::runs_past(site.runs_past_m3));
    }
    for left_out in &rain.left_out {
        flow.say(&said::line_unknown(&left_out.line, &left_out.because));
    }
    flow.heading(rain_said::SITE_TITLE);
    let mut table = Table::of(&[
        (said::WHERE, 0.5, Align::Start),
        (said::VOLUME_M3, 0.25, Align::End),
        (said::PEAK_L_S, 0.25, Align::End),
    ]);
    for outlet in &site.outlets {
        table.rows.push(vec![
            rain_said::leaves_by(&outlet.line, outlet.by, outlet.at_m),
            range(outlet.volume_m3, 1),
            range(outlet.peak_l_s, 1),
        ]);
    }
    if table.rows.is_empty() {
        flow.say(&words::capitalised(rain_said::NOTHING_LEAVES));
    }
    flow.table(&table);
}
