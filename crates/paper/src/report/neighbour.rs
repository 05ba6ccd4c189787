//! The page for those next door: before and after, where water comes and leaves, how near, and what is done against
//! mud while the earth is open. Plain words, two pages at most.

use quantity::figures::{fixed, range};

use super::{Bundle, Chapter, flowing};
use crate::flow::{BODY_MM, Flow, Table};
use crate::ink::Face;
use crate::page::{Align, Page};
use crate::words::facts;
use crate::words::rain as rain_said;
use crate::words::report::{self as said, neighbour as next_door};

/// Words on one page, and the plan on a second.
const AT_MOST: usize = 2;

pub(super) fn pages(bundle: &Bundle) -> Vec<Page> {
    let subject = &bundle.subject;
    if subject.site.plan.lines.is_empty() {
        return Vec::new();
    }
    let mut pages = flowing(bundle, Chapter::Neighbour, |flow| {
        flow.title(&next_door::title(&subject.site.plan.name));
        flow.say(next_door::WORDS);
        stops(bundle, flow);
        before_and_after(bundle, flow);
        leaves(bundle, flow);
        distances(bundle, flow);
        flow.heading(next_door::MUD_TITLE);
        flow.list(&next_door::MUD.map(str::to_owned));
        flow.heading(next_door::TALK_TITLE);
        flow.say(next_door::TALK);
        flow.blanks(&[next_door::NAME, next_door::PHONE, next_door::FROM_DAY]);
    });
    let plan = crate::plan::plan(subject);
    pages.extend(plan);
    pages.truncate(AT_MOST);
    pages
}

/// What must be settled first, in few words: the page has no room for the frame.
fn stops(bundle: &Bundle, flow: &mut Flow) {
    let findings = bundle.subject.findings();
    let mut titles: Vec<&str> = Vec::new();
    for stop in findings.iter().filter(|finding| finding.says_stop()) {
        if !titles.contains(&stop.spoken.title.as_str()) {
            titles.push(&stop.spoken.title);
        }
    }
    if !titles.is_empty() {
        flow.paragraph(&next_door::stop(&titles), Face::SansBold, BODY_MM + 0.6, 0.0);
        flow.gap(1.5);
    }
}

fn before_and_after(bundle: &Bundle, flow: &mut Flow) {
    flow.heading(next_door::BEFORE_AFTER);
    let (rain, steps) = match bundle.rain {
        Ok(rain) => rain,
        Err(because) => return flow.say(&said::no_storm(because)),
    };
    let site = &rain.site;
    flow.say(&next_door::storm(
        &rain_said::storm(&rain.storm),
        bundle.subject.site.plan.rain.design.once_in_years,
    ));
    let mut table = Table::of(&[
        (said::WHAT, 0.40, Align::Start),
        (next_door::WITHOUT, 0.30, Align::End),
        (next_door::WITH, 0.30, Align::End),
    ]);
    let row = |what: &str, without: String, with: String| vec![what.to_owned(), without, with];
    table.rows = vec![
        row(
            next_door::GREATEST,
            facts::l_s(&range(site.peak_before_l_s, 1)),
            facts::l_s(&range(site.peak_after_l_s, 1)),
        ),
        row(next_door::IN_ALL, facts::m3(&range(site.arrived_m3, 1)), facts::m3(&range(site.leaves_m3, 1))),
    ];
    flow.table(&table);
    flow.say(next_door::RANGES);
    flow.say(&crate::words::steps::fails_first(steps.fails_first.as_deref(), steps));
    flow.say(&crate::words::steps::chain_reaction(&steps.chain_reaction));
}

fn leaves(bundle: &Bundle, flow: &mut Flow) {
    flow.heading(next_door::WHERE);
    let plan = &bundle.subject.site.plan;
    let mut told: Vec<String> = vec![next_door::comes(&plan.sources)];
    if let Ok((rain, _)) = bundle.rain {
        told.extend(rain.site.outlets.iter().map(|outlet| {
            let leaves = rain_said::leaves_by(&outlet.line, outlet.by, outlet.at_m);
            next_door::leaves(&leaves, &rain_said::leaving(outlet.volume_m3, outlet.peak_l_s))
        }));
    }
    told.extend(bundle.neighbours.ways.iter().map(next_door::way));
    flow.list(&told);
}

fn distances(bundle: &Bundle, flow: &mut Flow) {
    flow.heading(next_door::DISTANCES);
    let mut table = Table::of(&[
        (said::WHAT, 0.36, Align::Start),
        (next_door::NEAREST, 0.28, Align::Start),
        (next_door::AWAY_M, 0.18, Align::End),
        (next_door::KEEP_M, 0.18, Align::End),
    ]);
    for near in &bundle.neighbours.distances {
        table.rows.push(vec![
            format!("{} ({})", near.thing, near.kind.words()),
            near.line.clone(),
            fixed(near.distance_m, 1),
            fixed(near.asked_m, 1),
        ]);
    }
    if table.rows.is_empty() {
        flow.say(next_door::NOTHING_NEAR);
    }
    flow.table(&table);
}
