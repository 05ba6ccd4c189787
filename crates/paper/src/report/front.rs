//! The front: what must stop the work, the job in words, what is bound; and the chapter of findings.

use design::findings::Severity;
use quantity::figures::{fixed, range};

use super::{Bundle, Chapter, flowing};
use crate::flow::Flow;
use crate::flow::Table;
use crate::flow::findings::Depth;
use crate::ink::Face;
use crate::page::{Align, Page};
use crate::subject::Numbered;
use crate::words::report as said;
use crate::words::{self, rain as rain_said};

/// The front pages, with titles and first pages of the chapters behind them.
pub(super) fn pages(bundle: &Bundle, contents: &[(String, usize)]) -> Vec<Page> {
    let site = bundle.subject.site;
    flowing(bundle, Chapter::Job, |flow| {
        flow.title(&site.plan.name);
        write_stops(bundle, flow);
        flow.heading(said::JOB);
        flow.list(&job(bundle));
        flow.heading(said::KEY_FIGURES);
        flow.table(&key_figures(bundle));
        flow.heading(words::CAUTIONS_TITLE);
        flow.list(&words::CAUTIONS.map(str::to_owned));
        if !contents.is_empty() {
            flow.heading(said::CONTENTS);
            let mut table = Table::of(&[(said::CHAPTER, 0.85, Align::Start), (said::PAGE, 0.15, Align::End)]);
            table.rows = contents.iter().map(|(title, page)| vec![title.clone(), page.to_string()]).collect();
            flow.table(&table);
        }
    })
}

/// Whether a chapter that is printed alone needs the stops before it: those that tell them already do not.
pub(super) fn must_warn(bundle: &Bundle, chapter: Chapter) -> bool {
    let told = matches!(chapter, Chapter::Job | Chapter::Pegs | Chapter::Findings | Chapter::Neighbour);
    !told && bundle.subject.answers.findings.says_stop()
}

/// What says stop, on a page of its own.
pub(super) fn stops(bundle: &Bundle) -> Vec<Page> {
    flowing(bundle, Chapter::Job, |flow| {
        flow.title(&bundle.subject.site.plan.name);
        write_stops(bundle, flow);
    })
}

fn write_stops(bundle: &Bundle, flow: &mut Flow) {
    let stops: Vec<Numbered> = bundle.subject.findings().into_iter().filter(Numbered::says_stop).collect();
    flow.stops(&stops);
}

/// The job in sentences.
fn job(bundle: &Bundle) -> Vec<String> {
    let subject = &bundle.subject;
    let (plan, sizes) = (&subject.site.plan, &subject.answers.sizes);
    let mut told = Vec::new();
    if plan.lines.is_empty() {
        told.push(said::NO_LINES.to_owned());
        told.extend(bundle.rain.err().map(said::no_storm));
        return told;
    }
    let lines = subject.lines();
    told.push(said::lines_in_words(&lines.iter().map(|line| line.line.kind).collect::<Vec<_>>()));
    let order: Vec<_> =
        sizes.spill_order.iter().filter_map(|name| lines.iter().find(|l| l.line.name == *name)).collect();
    for line in order {
        told.push(said::line_in_words(line.line, line.pegs.length_m, line.sizes));
    }
    if !plan.trees.is_empty() {
        told.push(said::trees(plan.trees.len()));
    }
    match bundle.rain {
        Ok((rain, steps)) => {
            told.push(said::storm(&rain_said::storm(&rain.storm), &rain.site));
            told.push(words::steps::fails_first(steps.fails_first.as_deref(), steps));
        }
        Err(because) => told.push(said::no_storm(because)),
    }
    told.push(said::digging(bundle.digging));
    told
}

fn key_figures(bundle: &Bundle) -> Table {
    let mut table = Table::of(&[(said::WHAT, 0.62, Align::Start), (said::HOW_MUCH, 0.38, Align::End)]);
    let sizes = &bundle.subject.answers.sizes;
    let holds_m3: f64 = sizes.lines.iter().filter_map(|line| line.holding.as_ref()).map(|h| h.holds_m3).sum();
    let mut row = |what: &str, how_much: String| table.rows.push(vec![what.to_owned(), how_much]);
    row(said::LINES_HOLD, words::facts::m3(&fixed(holds_m3, 1)));
    if let Ok((rain, _)) = bundle.rain {
        let site = &rain.site;
        row(said::STORM, said::storm_depth(rain.storm.depth_mm, rain.storm.hours));
        row(said::ARRIVES, words::facts::m3(&range(site.arrived_m3, 1)));
        row(said::SOAKS, words::facts::m3(&range(site.soaked_m3, 1)));
        row(said::LEAVES, words::facts::m3(&range(site.leaves_m3, 1)));
        row(said::PEAK_BEFORE, words::facts::l_s(&range(site.peak_before_l_s, 1)));
        row(said::PEAK_AFTER, words::facts::l_s(&range(site.peak_after_l_s, 1)));
    }
    row(said::PERSON_DAYS, range(bundle.digging.person_days, 1));
    row(said::DAYS, said::days_of(bundle.digging.people, &range(bundle.digging.needed_days, 0)));
    let count = |severity| {
        let findings = bundle.subject.answers.findings.findings.iter();
        findings.filter(|finding| finding.severity == severity).count()
    };
    row(
        words::FINDINGS_TITLE,
        said::findings_count(count(Severity::Stop), count(Severity::Warn), count(Severity::Note)),
    );
    table
}

/// The chapter of findings: all of each, and whom to ask.
pub(super) fn findings(bundle: &Bundle) -> Vec<Page> {
    flowing(bundle, Chapter::Findings, |flow| {
        flow.title(said::FINDINGS);
        write_stops(bundle, flow);
        let findings = bundle.subject.findings();
        if findings.is_empty() {
            flow.say(words::NO_FINDINGS);
        }
        for finding in &findings {
            flow.finding(finding, Depth::Full);
            flow.gap(1.5);
        }
        flow.heading(said::ASK_TITLE);
        let mut asked: Vec<String> = Vec::new();
        for finding in &findings {
            if !asked.contains(&finding.spoken.ask) {
                asked.push(finding.spoken.ask.clone());
            }
        }
        flow.list(&asked);
        flow.heading(words::CAUTIONS_TITLE);
        for caution in words::CAUTIONS.into_iter().chain(said::MORE_CAUTIONS) {
            flow.paragraph(caution, Face::Serif, crate::flow::BODY_MM, 0.0);
            flow.gap(0.8);
        }
    })
}
