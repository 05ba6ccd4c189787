//! Where everything lies: every line brought to pegs with heights, every tree to a place.
//!
//! A line that is walked gets its pegs from the walk, with the step of the site's tool; a line of given pegs
//! gets its heights from the ground; a line by tape brings its own. Slope across the line is that of the
//! ground from 2 m on one side of the peg to 2 m on the other, square to the line there (from the peg before to
//! the one after). The downhill side is
//! one for the whole line, because the bank stands on one side: the side to which its ground falls on the
//! whole.

mod arrivals;
mod keep_clear;
mod lines;
mod trees;

use ground::walk::WalkError;
use ground::{Point, Polygon, Polyline};
use site::{LineKind, Site};

use crate::tool;

pub use arrivals::{WaterWay, WaterWays, WayEnds};
pub(crate) use lines::{InTheWay, walk_over};
pub(crate) use trees::beside;

/// The site laid out.
#[derive(Debug, Clone)]
pub struct Layout {
    /// The lines, in the order of the plan.
    pub lines: Vec<LaidLine>,
    /// The trees, in the order of the plan.
    pub trees: Vec<LaidTree>,
    /// The ways of water between and below the lines; none without ground.
    pub water_ways: Option<WaterWays>,
}

/// A line with its pegs.
#[derive(Debug, Clone)]
pub struct LaidLine {
    /// Its name.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// Fall along it, rise over run, positive downhill in the walking direction.
    pub grade: f64,
    /// The pegs in walking order; none where nothing is known of the ground.
    pub pegs: Vec<LaidPeg>,
    /// The line in plan; none for a line given by tape only.
    pub path: Option<Polyline>,
    /// Why a walk ended before the length that was asked; none where it did not.
    pub stopped_early: Option<StoppedEarly>,
    /// Ground that drains to each metre of the line; empty where nothing is known of it.
    pub arrives: Vec<Arrives>,
    /// Compass bearing from which that water comes on the whole, degrees; none where none does or nothing is known.
    pub comes_from_deg: Option<f64>,
}

/// A peg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaidPeg {
    /// Distance along the line from the first peg.
    pub chainage_m: f64,
    /// Where it stands; none on a line given by tape only.
    pub at: Option<Point>,
    /// Height of the ground there; none where nothing was measured.
    pub ground_z_m: Option<f64>,
    /// Slope of the ground across the line towards its downhill side, rise over run; negative where the ground
    /// falls the other way.
    pub cross_slope: Option<f64>,
    /// Which side is downhill as one walks from the first peg: +1 left, −1 right. The same for all pegs of a line.
    pub downhill_side: f64,
    /// Half the width of the band in which the true line may lie: level error over slope.
    pub band_m: Option<f64>,
    /// Whether a barrier lies between the peg before and this one.
    pub after_jump: bool,
}

/// Why a walk ended early.
#[derive(Debug, Clone, PartialEq)]
pub enum StoppedEarly {
    /// No ground was measured further on.
    EdgeOfGround,
    /// It came to something to keep clear of, by name.
    KeptClear(String),
    /// No place one step away has the right height.
    NoNextPeg,
    /// It came back to its first peg.
    CameRound,
    /// A barrier, by name, is too wide to jump.
    BarrierTooWide(String),
    /// There is no ground at its first peg.
    NoGroundAtStart,
    /// What was asked is not a walk.
    NotAWalk(WalkError),
}

impl std::fmt::Display for StoppedEarly {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            StoppedEarly::EdgeOfGround => f.write_str("the ground was measured no further"),
            StoppedEarly::KeptClear(name) => write!(f, "it came to what is kept clear: {name}"),
            StoppedEarly::NoNextPeg => f.write_str("no place one step on has the right height"),
            StoppedEarly::CameRound => f.write_str("it came round to its first peg"),
            StoppedEarly::BarrierTooWide(name) => write!(f, "this is too wide to jump: {name}"),
            StoppedEarly::NoGroundAtStart => f.write_str("no ground was measured at its first peg"),
            StoppedEarly::NotAWalk(error) => write!(f, "{error}"),
        }
    }
}

/// Words for a walk that ended as it should.
pub(crate) const AS_LONG_AS_ASKED: &str = "it is as long as was asked";

/// Ground that drains to one stretch of a line.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Arrives {
    /// Start of the stretch.
    pub from_m: f64,
    /// End of the stretch.
    pub to_m: f64,
    /// Ground that drains here from uphill of the line, m².
    pub uphill_m2: f64,
    /// Ground that drains here from the other side, m²: on uneven ground there is some.
    pub downhill_m2: f64,
    /// Ground that the line itself covers, in whole cells of the raster that water was followed on, m².
    pub own_m2: f64,
}

/// A tree in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidTree {
    /// What it is called.
    pub tree: String,
    /// Species, in plain words.
    pub species: String,
    /// The line it drinks from.
    pub line: Option<String>,
    /// Where along that line it stands.
    pub chainage_m: Option<f64>,
    /// How far downhill of the pegs it is to stand, for a tree given along a line; by its spot where the plan has no
    /// distance.
    pub downhill_m: Option<f64>,
    /// Where it stands.
    pub at: Option<Point>,
}

impl LaidLine {
    /// Ground that drains to the line; none where that is not known.
    pub fn catchment_m2(&self) -> Option<f64> {
        let area_m2 = |arrives: &Arrives| arrives.uphill_m2 + arrives.downhill_m2 + arrives.own_m2;
        (!self.arrives.is_empty()).then(|| self.arrives.iter().map(area_m2).sum())
    }

    /// Whether its middle lies within a ring of places; a line by tape lies nowhere.
    pub(crate) fn lies_in(&self, ring: &[site::Xy]) -> bool {
        let middle = self.path.as_ref().and_then(|path| path.at(path.length_m() / 2.0));
        let area = Polygon::new(keep_clear::points(ring));
        middle.zip(area).is_some_and(|(middle, area)| area.contains(middle))
    }

    /// Length along the line, from the first peg to the last.
    pub fn length_m(&self) -> f64 {
        self.pegs.last().map_or(0.0, |peg| peg.chainage_m)
    }
}

impl Layout {
    /// The line of this name.
    pub fn line(&self, name: &str) -> Option<&LaidLine> {
        self.lines.iter().find(|line| line.line == name)
    }
}

/// Lays the site out: walks lines over the ground, reads tapes, places trees.
pub fn lay_out(site: &Site) -> Layout {
    let mut layout = lay_out_courses(site);
    layout.water_ways = site.ground.as_ref().and_then(|surface| WaterWays::over(surface, &layout.lines));
    if let Some(ways) = &layout.water_ways {
        ways.tell(&mut layout.lines);
    }
    layout
}

/// As [`lay_out`], without asking what drains to the lines: for a line under the hand, when the ground is large and
/// the answer must come at once.
pub fn lay_out_courses(site: &Site) -> Layout {
    let tool = tool::in_hand(&site.plan.tool);
    let lines: Vec<LaidLine> = site.plan.lines.iter().map(|line| lines::lay(site, line, &tool)).collect();
    let trees = site.plan.trees.iter().map(|tree| trees::lay(site, tree, &lines)).collect();
    Layout { lines, trees, water_ways: None }
}

#[cfg(test)]
mod tests;
