//! What was assumed, with its ranges: what to measure next if an answer matters.

use quantity::Estimate;
use quantity::figures::{fixed, range};

use super::{Bundle, Chapter, flowing};
use crate::flow::{Flow, Table};
use crate::page::{Align, Page};
use crate::words::report as said;
use crate::words::report::assumed;

pub(super) fn assumptions(bundle: &Bundle) -> Vec<Page> {
    flowing(bundle, Chapter::Assumptions, |flow| {
        flow.title(said::ASSUMPTIONS);
        flow.say(assumed::WORDS);
        flow.table(&table(bundle));
        guesses(bundle, flow);
    })
}

fn table(bundle: &Bundle) -> Table {
    let (site, sizes) = (bundle.subject.site, &bundle.subject.answers.sizes);
    let plan = &site.plan;
    let mut table = Table::of(&[
        (said::WHAT, 0.36, Align::Start),
        (assumed::VALUE, 0.26, Align::End),
        (assumed::FROM, 0.38, Align::Start),
    ]);
    let mut row =
        |what: String, value: String, from: &str| table.rows.push(vec![what, value, from.to_owned()]);
    for soil in &sizes.soils {
        row(assumed::soak(&soil.soil), assumed::mm_h(&range(soil.soak_mm_h, 1)), &soil.known_from());
    }
    let design = &plan.rain.design;
    let depth = assumed::storm(design.depth_mm, design.hours, design.once_in_years);
    row(assumed::DESIGN_STORM.to_owned(), depth, assumed::PLAN_SAYS);
    for source in &plan.sources {
        if let Some(number) = source.curve_number {
            row(assumed::curve_number(&source.name), range(number, 0), assumed::PLAN_SAYS);
        }
        if let Some(flow_l_min) = source.flow_l_min {
            row(assumed::seep(&source.name), assumed::l_min(&range(flow_l_min, 1)), assumed::PLAN_SAYS);
        }
        if let Some(wetting_mm) = source.first_wetting_mm {
            row(assumed::wetting(&source.name), said::mm(&fixed(wetting_mm, 1)), assumed::PLAN_SAYS);
        }
    }
    if let Some(error_m) = plan.ground.as_ref().and_then(|ground| ground.height_error_m) {
        row(assumed::GROUND_ERROR.to_owned(), crate::words::facts::m(&fixed(error_m, 2)), assumed::PLAN_SAYS);
    }
    if let Some(pegs) = bundle.subject.answers.pegs.lines.first() {
        let add: Estimate = pegs.settlement.add_frac.map_monotone(|frac| 100.0 * frac);
        row(assumed::SETTLES.to_owned(), assumed::percent(&range(add, 0)), pegs.settlement.source);
    }
    table
}

/// Which guess matters most.
fn guesses(bundle: &Bundle, flow: &mut Flow) {
    let Ok((rain, _)) = bundle.rain else {
        return;
    };
    if rain.ensemble.guesses.is_empty() {
        return;
    }
    flow.heading(assumed::MATTERS);
    flow.say(&assumed::matters_words(&rain.ensemble));
    let mut table = Table::of(&[
        (assumed::GUESS, 0.5, Align::Start),
        (assumed::RANK, 0.25, Align::End),
        (assumed::AGAINST, 0.25, Align::Start),
    ]);
    for guess in &rain.ensemble.guesses {
        table.rows.push(vec![guess.guess.clone(), fixed(guess.rank_correlation, 2), guess.against.clone()]);
    }
    flow.table(&table);
}
