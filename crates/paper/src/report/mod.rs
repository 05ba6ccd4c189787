//! The report: every paper of a site bound into one, for the one who digs and for the one who must be asked.
//!
//! A chapter is a question: where to peg, what a line holds, what fails first. Each can be printed alone. Every
//! figure is read from an answer of `design`; nothing is computed here but sums of what stands above them.

mod after_rain;
mod alone;
mod digging;
mod front;
mod ground;
mod lines;
mod neighbour;
mod storm;
mod trees;
mod water;
mod year;

use design::{calendar, neighbours, planting, rain_test};

use crate::flow::{Flow, Titles};
use crate::ink::{Face, INK_2};
use crate::page::{Align, Mark, Page, Role, Spot, Text};
use crate::peg_sheet;
use crate::subject::Subject;
use crate::words::report as said;

pub use alone::Chapter;

/// Everything that is bound.
#[derive(Debug, Clone, Copy)]
pub struct Bundle<'a> {
    /// The site with its first answers.
    pub subject: Subject<'a>,
    /// The design storm worked through, or why it cannot be.
    pub rain: Result<(&'a rain_test::Answer, &'a rain_test::steps::Answer), &'a str>,
    /// The digging.
    pub digging: &'a design::digging::Answer,
    /// The year of work.
    pub calendar: &'a calendar::Answer,
    /// The trees.
    pub planting: &'a planting::Answer,
    /// What matters to those next door.
    pub neighbours: &'a neighbours::Answer,
}

/// A page and the chapter it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// The chapter.
    pub chapter: Chapter,
    /// The page.
    pub page: Page,
}

/// The whole report, its pages numbered, with a list of its chapters at the front.
pub fn report(bundle: &Bundle) -> Vec<Bound> {
    let chapters = chapters(bundle);
    let bound = chapters.iter().filter(|(_, bound)| !bound.is_empty());
    let mut contents: Vec<(String, usize)> = bound.clone().map(|(title, _)| (title.clone(), 0)).collect();
    // The list takes as many pages whatever the numbers in it are.
    let mut first = front::pages(bundle, &contents).len() + 1;
    for (entry, (_, bound)) in contents.iter_mut().zip(bound) {
        entry.1 = first;
        first += bound.len();
    }
    let mut all: Vec<Bound> = bind(Chapter::Job, front::pages(bundle, &contents));
    all.extend(chapters.into_iter().flat_map(|(_, bound)| bound));
    let count = all.len();
    for (i, bound) in all.iter_mut().enumerate() {
        number(&mut bound.page, i + 1, count);
    }
    all
}

/// One chapter alone, its pages numbered. What says stop stands on its first page whatever the chapter is.
pub fn only(bundle: &Bundle, chapter: Chapter) -> Vec<Page> {
    let mut pages: Vec<Page> = match chapter {
        Chapter::Job => front::pages(bundle, &[]),
        Chapter::Neighbour => neighbour::pages(bundle),
        _ => {
            let all = chapters(bundle).into_iter().flat_map(|(_, bound)| bound);
            all.filter(|bound| bound.chapter == chapter).map(|bound| bound.page).collect()
        }
    };
    if front::must_warn(bundle, chapter) && !pages.is_empty() {
        pages.splice(0..0, front::stops(bundle));
    }
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        number(page, i + 1, count);
    }
    pages
}

/// The chapters behind the front, each with its title; one without pages has nothing to tell of this site.
fn chapters(bundle: &Bundle) -> Vec<(String, Vec<Bound>)> {
    let subject = &bundle.subject;
    let plan = crate::plan::plan(subject).into_iter().collect();
    let mut chapters = vec![
        (Chapter::Plan.title().to_owned(), bind(Chapter::Plan, plan)),
        (Chapter::Water.title().to_owned(), bind(Chapter::Water, water::pages(bundle))),
        (said::BEFORE_PEGGING.to_owned(), bind(Chapter::Pegs, peg_sheet::before_pegging(subject))),
    ];
    let mut lines = subject.lines();
    lines.sort_by_key(|line| subject.spill_number(&line.line.name).unwrap_or(usize::MAX));
    chapters.extend(lines.iter().map(|line| (said::line_title(&line.line.name), lines::bound(bundle, line))));
    chapters.extend([
        (Chapter::Rain.title().to_owned(), bind(Chapter::Rain, storm::pages(bundle))),
        (Chapter::Trees.title().to_owned(), bind(Chapter::Trees, trees::pages(bundle))),
        (Chapter::Digging.title().to_owned(), bind(Chapter::Digging, digging::pages(bundle))),
        (Chapter::Year.title().to_owned(), bind(Chapter::Year, year::pages(bundle))),
        (Chapter::AfterRain.title().to_owned(), bind(Chapter::AfterRain, after_rain::pages(bundle))),
        (Chapter::Findings.title().to_owned(), bind(Chapter::Findings, front::findings(bundle))),
        (Chapter::Assumptions.title().to_owned(), bind(Chapter::Assumptions, ground::assumptions(bundle))),
    ]);
    chapters
}

fn bind(chapter: Chapter, pages: Vec<Page>) -> Vec<Bound> {
    pages.into_iter().map(|page| Bound { chapter, page }).collect()
}

/// Flowing pages of a chapter.
fn flowing(bundle: &Bundle, chapter: Chapter, write: impl FnOnce(&mut Flow)) -> Vec<Page> {
    let mut flow = Flow::new(bundle.subject.format);
    flow.turn(chapter.title());
    write(&mut flow);
    let titles = Titles {
        site: &bundle.subject.site.plan.name,
        sheet: said::REPORT,
        key: chapter.key(),
        numbered: false,
    };
    flow.into_pages(&titles)
}

/// The page's number at its lower edge, outside every frame.
fn number(page: &mut Page, number: usize, count: usize) {
    const UP_MM: f64 = 4.2;
    const SIZE_MM: f64 = 2.6;
    let at = Spot::new(page.width_mm / 2.0, page.height_mm - UP_MM);
    let words = crate::words::peg_sheet::page(number, count);
    let text: Mark = Text::new(at, words, Face::Sans, SIZE_MM).aligned(Align::Middle).in_colour(INK_2).into();
    if !page.marks.iter().any(|mark| matches!(mark, Mark::Part(..))) {
        let drawing = std::mem::take(&mut page.marks);
        page.marks.push(Mark::part(Role::Heading(1, page.title.clone()), Vec::new()));
        page.marks.push(Mark::part(Role::Figure(page.title.clone()), drawing));
    }
    page.marks.push(Mark::part(Role::Ornament, vec![text]));
}
