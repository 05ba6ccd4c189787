//! One line: its pegs, its sections, its sills with their landings, the storm along it.

use quantity::figures::{fixed, range};

use super::{Bound, Bundle, Chapter, bind, flowing};
use crate::flow::{Flow, Table};
use crate::page::{Align, Page};
use crate::peg_sheet::pegs_of;
use crate::sections::{across, along};
use crate::subject::Known;
use crate::words::report as said;
use crate::words::{self, facts};

pub(super) fn bound(bundle: &Bundle, line: &Known) -> Vec<Bound> {
    let subject = &bundle.subject;
    let name = &line.line.name;
    let mut bound = bind(Chapter::Pegs, pegs_of(subject, line));
    let sections = [along(subject, name), across(subject, name)];
    bound.extend(bind(Chapter::Sections, sections.into_iter().flatten().collect()));
    bound.extend(bind(Chapter::Sills, sills(bundle, line)));
    if let Ok((rain, _)) = bundle.rain {
        let along = crate::rain::along(subject, rain, name);
        bound.extend(bind(Chapter::Rain, along.into_iter().collect()));
    }
    bound
}

/// The sill cards of a line; none for a line without sills.
fn sills(bundle: &Bundle, line: &Known) -> Vec<Page> {
    if line.sizes.sills.is_empty() {
        return Vec::new();
    }
    flowing(bundle, Chapter::Sills, |flow| {
        flow.title(&said::sills_of(&line.line.name));
        flow.say(said::SILL_WORDS);
        for (sill, sizes) in line.line.sills.iter().zip(&line.sizes.sills) {
            card(bundle, line, (sill, sizes), flow);
        }
    })
}

fn card(
    bundle: &Bundle,
    line: &Known,
    (sill, sizes): (&site::Sill, &design::sizes::SillSizes),
    flow: &mut Flow,
) {
    flow.heading(&facts::sill_title(&fixed(sizes.at_m, 1), &words::goes_to(&sizes.to)));
    let mut table = Table::of(&[(said::WHAT, 0.62, Align::Start), (said::HOW_MUCH, 0.38, Align::End)]);
    let mut row = |what: &str, how_much: String| table.rows.push(vec![what.to_owned(), how_much]);
    let half_m = sizes.width_m / 2.0;
    row(said::CREST_FROM_TO, said::from_to(sizes.at_m - half_m, sizes.at_m + half_m));
    row(facts::CREST_LENGTH, facts::m(&fixed(sizes.width_m, 1)));
    if let Some(z_m) = sizes.crest_z_m {
        row(facts::CREST_LEVEL, facts::m(&fixed(z_m, 2)));
    }
    row(said::BELOW_BANK, facts::m(&fixed(sill.below_bank_m, 2)));
    let rows = [
        (facts::STORM_PEAK, sizes.design_l_s.map(|l_s| facts::l_s(&fixed(l_s, 0)))),
        (facts::HEAD, sizes.head_m.map(|m| facts::m(&fixed(m, 2)))),
        (said::HEAD_HARD, sizes.head_hard_crest_m.map(|m| facts::m(&fixed(m, 2)))),
        (
            facts::FREEBOARD,
            sizes
                .freeboard_m
                .map(|m| facts::m(&facts::of(&fixed(m, 2), &fixed(sizes.freeboard_wanted_m, 2)))),
        ),
        (facts::LENGTH_NEEDED, sizes.width_needed_m.map(|m| facts::m(&fixed(m, 1)))),
        (said::OUT_OF_LEVEL, sizes.out_of_level_times.map(|times| said::times(&fixed(times, 1)))),
    ];
    for (what, how_much) in rows {
        if let Some(how_much) = how_much {
            row(what, how_much);
        }
    }
    if let Some(landing) = &sizes.landing {
        row(said::LANDING_SLOPE, said::percent(landing.slope));
        row(said::LANDING_SPEED, facts::m_s(&fixed(landing.speed_m_s, 2)));
        row(said::LANDING_STANDS, facts::m_s(&fixed(landing.stands_m_s, 2)));
    }
    storm_rows(bundle, line, sizes.at_m, &mut row);
    rock_rows(bundle, line, sizes.at_m, &mut row);
    flow.table(&table);
    flow.say(said::sill_build(sill.landing.is_some()));
}

/// What the rain test says of the sill.
fn storm_rows(bundle: &Bundle, line: &Known, at_m: f64, row: &mut impl FnMut(&str, String)) {
    let Ok((rain, _)) = bundle.rain else {
        return;
    };
    let of_line = rain.lines.iter().find(|told| told.line == line.line.name);
    let Some(sill) = of_line.and_then(|told| told.sills.iter().find(|sill| sill.at_m == at_m)) else {
        return;
    };
    row(said::STORM_PASSES, facts::m3(&range(sill.volume_m3, 1)));
    row(said::STORM_GREATEST, facts::l_s(&range(sill.peak_l_s, 1)));
    row(said::STORM_HEAD, facts::m(&range(sill.head_m, 2)));
    if let Some(passes_l_s) = sill.passes_l_s {
        row(said::PASSES_BEFORE_BANK, facts::l_s(&fixed(passes_l_s, 0)));
    }
}

/// Rock that the shopping list holds for the sill's landing.
fn rock_rows(bundle: &Bundle, line: &Known, at_m: f64, row: &mut impl FnMut(&str, String)) {
    let rock = bundle.digging.supplies.rock.iter();
    for rock in rock.filter(|rock| rock.line == line.line.name && rock.at_m == Some(at_m)) {
        row(said::ROCK_SIZE, said::mm(&fixed(rock.d50_mm, 0)));
        row(said::ROCK_LAYER, facts::m(&fixed(rock.layer_m, 2)));
        row(said::ROCK_AREA, facts::m2(&fixed(rock.area_m2, 1)));
        row(said::ROCK_VOLUME, facts::m3(&fixed(rock.rock_m3, 1)));
    }
}
