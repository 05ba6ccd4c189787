//! The site at one revision, with its answers: what every question is answered from.

use std::sync::Arc;

use design::Answers;
use design::layout::{Layout, lay_out_courses};
use folder::Loaded;
use ground::Surface;
use site::Site;

use super::pictures::Pictures;

/// Cells of ground beyond which what drains to the lines is worked out after the change is answered, not before:
/// routing so many takes about as long as a hand waits without noticing, a tenth of a second.
const AT_ONCE_CELLS: usize = 200_000;

/// Cells taken for a net of points, m. As wide as `design` follows water on.
const NET_CELL_M: f64 = 1.0;

/// A site with its answers.
pub struct Held {
    /// Grows by one at each change.
    pub revision: u64,
    /// The text of its plan, as it is on the disk.
    pub text: String,
    /// The site and what was said of its files.
    pub loaded: Loaded,
    /// The answers.
    pub answers: Answers,
    /// Whether the answers know what drains to the lines as they lie now.
    pub is_settled: bool,
    /// The ground as pictures, made when first asked for.
    pub pictures: Arc<Pictures>,
}

impl Held {
    /// A site that was read, with what can be answered at once.
    pub fn of(revision: u64, text: String, loaded: Loaded, before: Option<&Held>) -> Held {
        let same_ground = before.filter(|before| before.loaded.site.plan.ground == loaded.site.plan.ground);
        let pictures = same_ground.map_or_else(Arc::default, |before| Arc::clone(&before.pictures));
        let (answers, is_settled) = match before {
            Some(before) if is_large(&loaded.site) => (at_once(&loaded.site, &before.answers), false),
            _ => (design::answer(&loaded.site), true),
        };
        Held { revision, text, loaded, answers, is_settled, pictures }
    }

    /// The same with everything answered.
    pub fn settled(&self) -> Held {
        Held {
            revision: self.revision,
            text: self.text.clone(),
            loaded: self.loaded.clone(),
            answers: design::answer(&self.loaded.site),
            is_settled: true,
            pictures: Arc::clone(&self.pictures),
        }
    }

    /// The site.
    pub fn site(&self) -> &Site {
        &self.loaded.site
    }

    /// Where everything lies.
    pub fn layout(&self) -> &Layout {
        &self.answers.layout
    }
}

/// Whether the ground is too large to route for every change.
pub fn is_large(site: &Site) -> bool {
    let frame = site.ground.as_ref().map(|surface: &Surface| surface.frame(NET_CELL_M));
    frame.is_some_and(|frame| frame.len() > AT_ONCE_CELLS)
}

/// Where the lines run, what they hold and what they cost, without what drains to them; findings as they were.
pub fn at_once(site: &Site, before: &Answers) -> Answers {
    let layout = lay_out_courses(site);
    let pegs = design::pegs::pegs(site, &layout);
    let sizes = design::sizes::sizes(site, &layout);
    Answers { layout, pegs, sizes, findings: before.findings.clone() }
}
