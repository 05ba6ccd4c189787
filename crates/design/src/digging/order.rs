//! Which line is dug first.
//!
//! With days enough for all, from the top of the slope down, as water meets the lines: a line below then never
//! takes the water of the whole hill alone (ILO, Special Public Works Programmes, Booklet 1, section 5). When days are few, the
//! line that brings its trees most litres for a day's digging comes first, and only whole lines are begun: a bank
//! half built is the one that breaks. Either way a line that would pour on ground that does not stand it waits for
//! the line below that is to take its water.

use site::{Line, LineKind};

use crate::sizes::LineSizes;

use super::days;

/// What the order is made from: one line of the plan.
pub(super) struct Candidate<'a> {
    pub line: &'a Line,
    pub sizes: &'a LineSizes,
    pub already_dug: bool,
    /// Digging of the trial trench, and of the rest of the section.
    pub person_days: (f64, f64),
    /// Litres that the line holds for trees.
    pub for_trees_l: f64,
    /// Place on the slope: 0 is met by water first.
    pub from_top: usize,
}

/// Lines in the order of digging, and those for which the days are too few; by their places in the plan.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Order {
    pub dig: Vec<usize>,
    pub later: Vec<usize>,
    /// Whether the days ruled, not the slope.
    pub days_are_few: bool,
}

/// How the water of a line is taken where it spills.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Below {
    /// The landing stands what comes: it may spill there before the line below is dug.
    Stands,
    /// It would pour on ground that does not stand it, or of which that is not known.
    MustWait,
}

/// The undug lines that a line hands water to, each with what its water would do there until they are dug.
pub(super) fn below(candidates: &[Candidate], i: usize) -> Vec<(usize, Below)> {
    let place = |name: &str| candidates.iter().position(|other| other.line.name == name);
    let Candidate { line, sizes, .. } = &candidates[i];
    let by_sills = line.sills.iter().zip(&sizes.sills).map(|(sill, sizes)| {
        let stands = sizes.landing.is_some_and(|landing| landing.speed_m_s <= landing.stands_m_s);
        (place(&sill.to), if stands { Below::Stands } else { Below::MustWait })
    });
    let ends_open = line.kind != LineKind::Swale;
    // The end of a drain, chute or pipe pours all it carries on one place.
    let by_end = line.to.iter().filter(|_| ends_open).map(|to| (place(to), Below::MustWait));
    by_sills
        .chain(by_end)
        .filter_map(|(to, below)| Some((to?, below)))
        .filter(|(to, _)| *to != i && !candidates[*to].already_dug)
        .collect()
}

/// Puts the lines in order; `people` and the `days` they have.
pub(super) fn order(candidates: &[Candidate], people: u32, days: Option<u32>) -> Order {
    let undug: Vec<usize> = (0..candidates.len()).filter(|i| !candidates[*i].already_dug).collect();
    let fits = |lines: &[usize]| days.is_none_or(|days| days_of(candidates, lines, people) <= days);
    let from_top = from_the_top(candidates, &undug);
    if fits(&from_top) {
        return Order { dig: from_top, later: Vec::new(), days_are_few: false };
    }
    let mut dig: Vec<usize> = Vec::new();
    while let Some(bundle) = best_bundle(candidates, &from_top, &dig, &fits) {
        dig.extend(bundle);
    }
    let later = from_top.into_iter().filter(|i| !dig.contains(i)).collect();
    Order { dig, later, days_are_few: true }
}

fn days_of(candidates: &[Candidate], lines: &[usize], people: u32) -> u32 {
    let sum = |part: fn(&Candidate) -> f64| lines.iter().map(|i| part(&candidates[*i])).sum();
    days::needed(sum(|line| line.person_days.0), sum(|line| line.person_days.1), people)
}

/// From the top of the slope down, each after the lines it must wait for; of a circle the topmost goes first.
fn from_the_top(candidates: &[Candidate], undug: &[usize]) -> Vec<usize> {
    let mut left = undug.to_vec();
    left.sort_by_key(|i| (candidates[*i].from_top, *i));
    let mut order = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let waits = |i: &usize| {
            below(candidates, *i).iter().any(|(to, below)| *below == Below::MustWait && left.contains(to))
        };
        let next = left.iter().position(|i| !waits(i)).unwrap_or(0);
        order.push(left.remove(next));
    }
    order
}

/// The line not yet chosen that, with the lines it must wait for, gives most litres for a person-day and still
/// fits into the days. Of equals the one nearer the top.
fn best_bundle(
    candidates: &[Candidate],
    from_top: &[usize],
    dig: &[usize],
    fits: &impl Fn(&[usize]) -> bool,
) -> Option<Vec<usize>> {
    let mut best: Option<(f64, Vec<usize>)> = None;
    for i in from_top.iter().filter(|i| !dig.contains(i)) {
        let bundle = with_what_it_waits_for(candidates, from_top, dig, *i);
        let whole: Vec<usize> = dig.iter().chain(&bundle).copied().collect();
        if !fits(&whole) {
            continue;
        }
        let litres: f64 = bundle.iter().map(|i| candidates[*i].for_trees_l).sum();
        let days: f64 =
            bundle.iter().map(|i| candidates[*i].person_days.0 + candidates[*i].person_days.1).sum();
        let worth = if days > 0.0 { litres / days } else { litres };
        if best.as_ref().is_none_or(|(most, _)| worth > *most) {
            best = Some((worth, bundle));
        }
    }
    best.map(|(_, bundle)| bundle)
}

/// A line and the undug lines it must wait for, those first, as far as they are not chosen yet.
fn with_what_it_waits_for(
    candidates: &[Candidate],
    from_top: &[usize],
    dig: &[usize],
    line: usize,
) -> Vec<usize> {
    let mut wanted = vec![line];
    let mut next = 0;
    while next < wanted.len() {
        for (to, below) in below(candidates, wanted[next]) {
            if below == Below::MustWait && !dig.contains(&to) && !wanted.contains(&to) {
                wanted.push(to);
            }
        }
        next += 1;
    }
    from_top.iter().copied().filter(|i| wanted.contains(i)).collect()
}
