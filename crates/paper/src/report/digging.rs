//! Digging days and the shopping list.

use design::digging::{Answer, Covers, Day, SOURCES, Stage};
use quantity::figures::{fixed, range};

use super::{Bundle, Chapter, flowing};
use crate::flow::{Flow, Table};
use crate::page::{Align, Page};
use crate::words::peg_sheet;
use crate::words::report as said;
use crate::words::report::digging as dig;

pub(super) fn pages(bundle: &Bundle) -> Vec<Page> {
    let digging = bundle.digging;
    flowing(bundle, Chapter::Digging, |flow| {
        flow.title(said::DIGGING);
        order(digging, flow);
        days(digging, flow);
        shopping(digging, flow);
        costs(digging, flow);
        flow.heading(dig::SOURCES);
        let sources: Vec<String> =
            SOURCES.iter().map(|sourced| format!("{}: {}.", sourced.figure, sourced.source)).collect();
        flow.list(&sources);
    })
}

fn order(digging: &Answer, flow: &mut Flow) {
    flow.heading(dig::ORDER);
    flow.say(dig::order_words(digging));
    let mut table = Table::of(&[
        (dig::TURN, 0.08, Align::End),
        (said::LINE, 0.24, Align::Start),
        (dig::KIND, 0.12, Align::Start),
        (dig::CUT_M3, 0.12, Align::End),
        (dig::TRIAL_M3, 0.14, Align::End),
        (said::PERSON_DAYS, 0.30, Align::End),
    ]);
    for (i, turn) in digging.order.iter().enumerate() {
        table.rows.push(vec![
            (i + 1).to_string(),
            turn.line.clone(),
            turn.kind.to_string(),
            fixed(turn.cut_m3, 1),
            turn.trial.map_or(peg_sheet::NONE.to_owned(), |trial| fixed(trial.cut_m3, 1)),
            range(turn.person_days, 1),
        ]);
    }
    flow.table(&table);
    let mut meanwhile = Vec::new();
    if !digging.already_dug.is_empty() {
        let dug: Vec<&str> = digging.already_dug.iter().map(|dug| dug.line.as_str()).collect();
        meanwhile.push(dig::already_dug(&dug));
    }
    if !digging.later.is_empty() {
        meanwhile.push(dig::later(&digging.later));
    }
    let dug =
        digging.already_dug.iter().map(|dug| (&dug.line, &dug.spills_meanwhile_over, &dug.pours_unsafely_on));
    let turns =
        digging.order.iter().map(|turn| (&turn.line, &turn.spills_meanwhile_over, &turn.pours_unsafely_on));
    for (line, spills, pours) in dug.chain(turns) {
        meanwhile.extend(dig::meanwhile(line, spills, pours));
    }
    flow.list(&meanwhile);
}

fn days(digging: &Answer, flow: &mut Flow) {
    if digging.days.is_empty() {
        return;
    }
    flow.heading(dig::DAYS);
    flow.say(&dig::days_words(digging));
    let mut table = Table::of(&[
        (dig::DAY, 0.08, Align::End),
        (dig::STAGE, 0.27, Align::Start),
        (dig::BY_EVENING, 0.57, Align::Start),
        (peg_sheet::DONE, 0.08, Align::Start),
    ]);
    for day in &digging.days {
        let stage = match day.stage {
            Stage::Trial => dig::TRIAL,
            Stage::Section => dig::SECTION,
        };
        table.rows.push(vec![day.day.to_string(), stage.to_owned(), evening(day), dig::TICK.to_owned()]);
    }
    flow.table(&table);
}

fn evening(day: &Day) -> String {
    let parts = day.work.iter().map(|work| dig::done(&work.line, work.done_frac));
    parts.collect::<Vec<_>>().join(", ")
}

fn shopping(digging: &Answer, flow: &mut Flow) {
    flow.heading(dig::BRING);
    let tools: Vec<String> =
        digging.tools.iter().map(|tool| format!("{} × {}", tool.count, tool.tool)).collect();
    flow.say(&dig::tools(&tools.join(", ")));
    let mut table = Table::of(&[
        (said::WHAT, 0.56, Align::Start),
        (said::HOW_MUCH, 0.36, Align::End),
        (dig::GOT, 0.08, Align::Start),
    ]);
    let supplies = &digging.supplies;
    let mut row = |what: &str, how_much: String| {
        table.rows.push(vec![what.to_owned(), how_much, dig::TICK.to_owned()]);
    };
    if !digging.order.is_empty() {
        row(dig::PEGS, supplies.pegs.to_string());
        row(dig::SEED, dig::kg(&range(supplies.seed_kg, 2)));
        row(dig::STRAW, dig::kg(&range(supplies.straw_kg, 0)));
        row(dig::ROCK, dig::rock(&fixed(supplies.rock_m3, 1), &range(supplies.rock_kg, 0)));
        row(dig::BARROWS, range(supplies.barrow_trips, 0));
    }
    let grove = &digging.grove;
    for kind in &grove.kinds {
        row(&dig::tree_kind(&kind.species, kind.variety.as_deref()), kind.count.to_string());
    }
    if grove.trees > 0 {
        row(dig::RESERVE, range(grove.spare_trees, 0));
        row(dig::STAKES, grove.stakes.to_string());
        row(dig::NURSE, range(grove.nurse_plants, 0));
        row(dig::MULCH, crate::words::facts::m3(&range(grove.mulch_m3, 1)));
        row(dig::PLANTING_WATER, dig::litres(&range(grove.planting_water_l, 0)));
    }
    flow.table(&table);
    let rock: Vec<String> = supplies
        .rock
        .iter()
        .map(|rock| {
            let at_m = if rock.covers == Covers::Landing { rock.at_m } else { None };
            dig::rock_at(rock, at_m)
        })
        .collect();
    flow.list(&rock);
}

fn costs(digging: &Answer, flow: &mut Flow) {
    let Some(costs) = &digging.costs else {
        return;
    };
    flow.heading(&dig::costs(&costs.currency));
    let mut table = Table::of(&[(said::WHAT, 0.6, Align::Start), (dig::COST, 0.4, Align::End)]);
    table.rows = costs.things.iter().map(|cost| vec![cost.thing.to_owned(), range(cost.cost, 0)]).collect();
    table.rows.push(vec![dig::TOTAL.to_owned(), range(costs.total_cost, 0)]);
    flow.table(&table);
    if !costs.without_price.is_empty() {
        flow.say(&dig::without_price(&costs.without_price.join(", ")));
    }
}
