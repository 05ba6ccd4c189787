//! A line's cross-sections, place by place: as planned, or as dug where levels were taken along it.
//!
//! As planned, bed and bank follow the ground at the pegs at the depth and height that the site file asks. A
//! line of given pegs far apart follows the ground between them too, looked at every step of the tool. As dug,
//! the levels taken replace both: the bed lies and the bank ends where it was measured, and only the slope of
//! the hill beside them is still the ground's. A level taken within the width of a sill is one of its crest.
//!
//! Ground that falls away from the bank is taken as flat across the line: a bank holds nothing there, and the
//! hollow in front of it is then somewhat too large.

use grove::spacing::Dug;
use site::{DugLevel, Line, LineKind, Site};
use water::section::{HandSection, SectionError};
use water::storage::{LineShape, ShapeError, Station};

use crate::layout::{LaidLine, LaidPeg};

/// Where the site file gives no such dimension: what it promises to take.
const USUAL_CUT_BATTER: f64 = 1.0;
/// Lemo district table 1, after the Ethiopian guideline for soil bunds: 0.20 to 0.25 m.
const USUAL_LEDGE_M: f64 = 0.25;
/// The same table gives 0.3 to 0.5 m.
const USUAL_BANK_TOP_M: f64 = 0.3;
/// Catchments and Creeks, catch drains: fill no steeper than 2 out for 1 up.
const USUAL_BANK_BATTER: f64 = 2.0;

/// The sections of one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Sections {
    /// Whether the levels are those taken along the dug line.
    pub as_dug: bool,
    /// From the first to the last; at least two.
    pub places: Vec<SectionAt>,
}

/// The section at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionAt {
    /// Distance along the line from its first peg.
    pub chainage_m: f64,
    /// Height of the ground at the peg's line.
    pub ground_z_m: f64,
    /// What is dug and built there.
    pub hand: HandSection,
    /// Height of a sill's crest measured here; the bank is then taken as it stands beside the sill.
    pub measured_crest_z_m: Option<f64>,
}

impl SectionAt {
    /// Height of the bed above the site datum.
    pub fn bed_z_m(&self) -> f64 {
        self.ground_z_m - self.hand.depth_m
    }

    /// Height of the settled bank's top above the site datum.
    pub fn bank_z_m(&self) -> f64 {
        self.ground_z_m + self.hand.bank_height_m
    }
}

/// Why the section of a line is not known.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SectionUnknown {
    /// A pipe.
    #[error("a pipe has no open section")]
    Pipe,
    /// Fewer than two places with a height.
    #[error("no ground heights are known along it: add ground under [ground] or give the line by `tape`")]
    NoHeights,
    /// Nothing says how the ground slopes across it.
    #[error("the slope of the ground across it is not known: give `cross_slope`")]
    NoCrossSlope,
    /// The levels taken along it and the ground do not fit.
    #[error(
        "at {chainage_m} m the dug bed at {bed_z_m} m lies above the ground at {ground_z_m} m: check that both \
         are heights above the same datum"
    )]
    BedAboveGround {
        /// Where.
        chainage_m: f64,
        /// As measured.
        bed_z_m: f64,
        /// As laid out.
        ground_z_m: f64,
    },
    /// The section cannot be built on this ground.
    #[error("at {chainage_m} m: {why}")]
    Section {
        /// Where.
        chainage_m: f64,
        /// Why.
        why: SectionError,
    },
    /// The places along it are not in order.
    #[error(transparent)]
    Shape(#[from] ShapeError),
}

/// Dimensions of a line on ground of this slope across it, the usual ones where the site file gives none. A
/// depth, bed or bank that is not given is none.
pub fn hand_section(line: &Line, cross_slope: f64) -> HandSection {
    HandSection {
        cross_slope: if cross_slope > 0.0 { cross_slope } else { 0.0 },
        bed_width_m: line.bed_width_m.unwrap_or(0.0),
        depth_m: line.depth_m.unwrap_or(0.0),
        cut_batter: line.cut_batter.unwrap_or(USUAL_CUT_BATTER),
        ledge_m: line.ledge_m.unwrap_or(USUAL_LEDGE_M),
        bank_height_m: line.bank_height_m.unwrap_or(0.0),
        bank_top_m: line.bank_top_m.unwrap_or(USUAL_BANK_TOP_M),
        bank_batter: line.bank_batter.unwrap_or(USUAL_BANK_BATTER),
    }
}

/// The parts of a section that a tree keeps clear of; none where the section cannot be built.
pub(crate) fn dug(hand: &HandSection) -> Option<Dug> {
    let corners = hand.corners().ok()?;
    let width_m = |bank: water::section::BankCorners| bank.downhill_toe.offset_m - bank.uphill_toe.offset_m;
    Some(Dug {
        trench_width_m: -corners.uphill_lip.offset_m,
        ledge_m: corners.bank.map_or(0.0, |bank| bank.uphill_toe.offset_m),
        bank_width_m: corners.bank.map_or(0.0, width_m),
    })
}

/// The sections along a line.
///
/// # Errors
/// Heights or slope are not known, or levels taken along the dug line do not fit the ground.
pub fn sections(site: &Site, line: &Line, laid: &LaidLine) -> Result<Sections, SectionUnknown> {
    if line.kind == LineKind::Pipe {
        return Err(SectionUnknown::Pipe);
    }
    let ground = ground_along(site, laid)?;
    let dug = site.dug.get(&line.name).filter(|levels| levels.len() > 1);
    let places = match dug {
        None => ground.iter().map(|place| place.planned(line)).collect(),
        Some(levels) => as_dug(line, levels, &ground)?,
    };
    Ok(Sections { as_dug: dug.is_some(), places })
}

impl Sections {
    /// The shape that holds water.
    ///
    /// # Errors
    /// A section cannot be built, or its places are not in order.
    pub fn shape(&self) -> Result<LineShape, SectionUnknown> {
        let mut stations = Vec::with_capacity(self.places.len());
        for place in &self.places {
            let why = |why| SectionUnknown::Section { chainage_m: place.chainage_m, why };
            stations.push(Station {
                chainage_m: place.chainage_m,
                ground_z_m: place.ground_z_m,
                section: place.hand.section().map_err(why)?,
            });
        }
        Ok(LineShape::new(stations)?)
    }

    /// Height of the settled bank's top at a place along the line, straight between the places known.
    pub fn bank_top_z_m(&self, chainage_m: f64) -> f64 {
        let tops: Vec<(f64, f64)> =
            self.places.iter().map(|place| (place.chainage_m, place.bank_z_m())).collect();
        between(&tops, chainage_m)
    }

    /// The section at a place along the line, every dimension straight between the places known.
    pub(crate) fn at(&self, chainage_m: f64) -> SectionAt {
        let along = |dimension: fn(&SectionAt) -> f64| {
            let known: Vec<(f64, f64)> =
                self.places.iter().map(|place| (place.chainage_m, dimension(place))).collect();
            between(&known, chainage_m)
        };
        SectionAt {
            chainage_m,
            ground_z_m: along(|place| place.ground_z_m),
            hand: HandSection {
                cross_slope: along(|place| place.hand.cross_slope),
                depth_m: along(|place| place.hand.depth_m),
                bank_height_m: along(|place| place.hand.bank_height_m),
                ..self.places[0].hand
            },
            measured_crest_z_m: None,
        }
    }

    /// Height of a sill's crest: as measured within its width, else so far below the settled bank as planned.
    pub fn crest_z_m(&self, sill: &site::Sill) -> f64 {
        let measured = self
            .places
            .iter()
            .filter(|place| within(sill, place.chainage_m))
            .filter_map(|place| place.measured_crest_z_m)
            .reduce(|low, z| if z < low { z } else { low });
        measured.unwrap_or_else(|| self.bank_top_z_m(sill.at_m) - sill.below_bank_m)
    }
}

fn within(sill: &site::Sill, chainage_m: f64) -> bool {
    (chainage_m - sill.at_m).abs() < sill.width_m / 2.0
}

/// The ground at one place along a line.
#[derive(Debug, Clone, Copy)]
struct GroundAt {
    chainage_m: f64,
    z_m: f64,
    cross_slope: f64,
}

impl GroundAt {
    fn planned(&self, line: &Line) -> SectionAt {
        SectionAt {
            chainage_m: self.chainage_m,
            ground_z_m: self.z_m,
            hand: hand_section(line, self.cross_slope),
            measured_crest_z_m: None,
        }
    }
}

/// The ground at the pegs, and every step of the tool between pegs that stand further apart.
fn ground_along(site: &Site, laid: &LaidLine) -> Result<Vec<GroundAt>, SectionUnknown> {
    let mut ground = Vec::with_capacity(laid.pegs.len());
    let mut last: Option<GroundAt> = None;
    for peg in &laid.pegs {
        let Some(z_m) = peg.ground_z_m else { continue };
        let here = GroundAt {
            chainage_m: peg.chainage_m,
            z_m,
            cross_slope: peg.cross_slope.ok_or(SectionUnknown::NoCrossSlope)?,
        };
        if let Some(last) = last {
            ground.extend(looked_at_between(site, laid, (last, here)));
        }
        ground.push(here);
        last = Some(here);
    }
    if ground.len() < 2 {
        return Err(SectionUnknown::NoHeights);
    }
    Ok(ground)
}

/// Ground between two pegs, by the surface where there is one. A jumped barrier is not looked under.
fn looked_at_between(site: &Site, laid: &LaidLine, (from, to): (GroundAt, GroundAt)) -> Vec<GroundAt> {
    let gap_m = to.chainage_m - from.chainage_m;
    let jumped = |peg: &LaidPeg| peg.chainage_m == to.chainage_m && peg.after_jump;
    let steps = (gap_m / site.plan.tool.step_m).ceil();
    if steps <= 1.0 || laid.pegs.iter().any(jumped) {
        return Vec::new();
    }
    let Some((surface, path)) = site.ground.as_ref().zip(laid.path.as_ref()) else {
        return Vec::new();
    };
    let mut between = Vec::new();
    for i in 1..steps as usize {
        let share = i as f64 / steps;
        let chainage_m = from.chainage_m + share * gap_m;
        let Some(z_m) = path.at(chainage_m).and_then(|at| surface.z_m(at)) else {
            continue;
        };
        between.push(GroundAt {
            chainage_m,
            z_m,
            cross_slope: from.cross_slope + share * (to.cross_slope - from.cross_slope),
        });
    }
    between
}

fn as_dug(line: &Line, levels: &[DugLevel], ground: &[GroundAt]) -> Result<Vec<SectionAt>, SectionUnknown> {
    let dug = DugAlong::of(line, levels, ground);
    levels.iter().map(|level| dug.section_at(level)).collect()
}

/// What levels along a dug line are read against: heights and slopes by distance along it.
struct DugAlong<'a> {
    line: &'a Line,
    ground_z_m: Vec<(f64, f64)>,
    slopes: Vec<(f64, f64)>,
    /// Tops of the bank outside the sills.
    bank_z_m: Vec<(f64, f64)>,
}

impl<'a> DugAlong<'a> {
    fn of(line: &'a Line, levels: &[DugLevel], ground: &[GroundAt]) -> DugAlong<'a> {
        let mut dug = DugAlong {
            line,
            ground_z_m: ground.iter().map(|at| (at.chainage_m, at.z_m)).collect(),
            slopes: ground.iter().map(|at| (at.chainage_m, at.cross_slope)).collect(),
            bank_z_m: Vec::new(),
        };
        let beside_sills = levels.iter().filter(|level| !dug.on_sill(level));
        dug.bank_z_m = beside_sills.map(|level| (level.chainage_m, dug.measured_bank_z_m(level))).collect();
        dug
    }

    fn on_sill(&self, level: &DugLevel) -> bool {
        self.line.sills.iter().any(|sill| within(sill, level.chainage_m))
    }

    /// The bank's top as measured; the ground where there is no bank.
    fn measured_bank_z_m(&self, level: &DugLevel) -> f64 {
        level.bank_z_m.unwrap_or_else(|| between(&self.ground_z_m, level.chainage_m))
    }

    fn section_at(&self, level: &DugLevel) -> Result<SectionAt, SectionUnknown> {
        let &DugLevel { chainage_m, bed_z_m, .. } = level;
        let ground_z_m = between(&self.ground_z_m, chainage_m);
        if bed_z_m >= ground_z_m {
            return Err(SectionUnknown::BedAboveGround { chainage_m, bed_z_m, ground_z_m });
        }
        let bridged = self.on_sill(level) && !self.bank_z_m.is_empty();
        let bank_z_m =
            if bridged { between(&self.bank_z_m, chainage_m) } else { self.measured_bank_z_m(level) };
        // A bank measured below the ground of the map: the level taken along the line is the better one.
        let lip_z_m = if bank_z_m < ground_z_m { bank_z_m } else { ground_z_m };
        Ok(SectionAt {
            chainage_m,
            ground_z_m: lip_z_m,
            hand: HandSection {
                depth_m: lip_z_m - bed_z_m,
                bank_height_m: bank_z_m - lip_z_m,
                ..hand_section(self.line, between(&self.slopes, chainage_m))
            },
            measured_crest_z_m: level.bank_z_m.filter(|_| self.on_sill(level)),
        })
    }
}

/// A value along a line, straight between the places known and that of the end beyond them. `known` holds
/// distances along the line, in order, each with its value.
fn between(known: &[(f64, f64)], chainage_m: f64) -> f64 {
    let next = known.partition_point(|(at_m, _)| *at_m < chainage_m).min(known.len() - 1);
    let (from_m, from) = known[next.saturating_sub(1)];
    let (to_m, to) = known[next];
    let share = if to_m > from_m { ((chainage_m - from_m) / (to_m - from_m)).clamp(0.0, 1.0) } else { 1.0 };
    from + share * (to - from)
}

#[cfg(test)]
mod tests;
