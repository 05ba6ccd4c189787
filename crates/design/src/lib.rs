//! The questions a grower asks, one module each: it takes a [`site::Site`] and returns one plain answer.
//!
//! The command line, the app and the papers use the same answers, with the unit of every number in its
//! name, so a figure is the same wherever it stands. [`layout`] comes first: it settles where every line
//! runs, and all other modules start from it.
//!
//! Must not know: files, screens.

pub mod calendar;
pub mod compare;
pub mod digging;
pub mod findings;
pub mod layout;
pub mod neighbours;
pub mod pegs;
pub mod planting;
pub mod rain_test;
pub mod season;
pub mod section;
pub mod setback;
pub mod setting;
pub mod sizes;
pub mod soaking;
pub mod soil;
pub mod storms;
pub mod tool;
pub mod walking;

#[cfg(test)]
mod trial;

use site::Site;

/// All answers to one site, computed once and handed to whoever prints them.
#[derive(Debug, Clone)]
pub struct Answers {
    /// Where everything lies.
    pub layout: layout::Layout,
    /// Where to peg and what to aim for.
    pub pegs: pegs::Answer,
    /// What each line holds, moves and costs.
    pub sizes: sizes::Answer,
    /// What is wrong or doubtful.
    pub findings: findings::Answer,
}

/// Answers every question about a site.
pub fn answer(site: &Site) -> Answers {
    let layout = layout::lay_out(site);
    let pegs = pegs::pegs(site, &layout);
    let sizes = sizes::sizes(site, &layout);
    let findings = findings::findings(site, &layout, &sizes);
    Answers { layout, pegs, sizes, findings }
}

/// The methods page, so that its worked example runs as a test.
#[cfg(doctest)]
mod pages {
    #[doc = include_str!("../../../docs/methods/pegs-and-sizes.md")]
    mod pegs_and_sizes {}
    #[doc = include_str!("../../../docs/methods/digging.md")]
    mod digging {}
}
