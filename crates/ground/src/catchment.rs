//! The land that drains to each metre of each line.
//!
//! A swale or drain across a slope takes the water that comes down to it and lets none past: what lies below
//! is fed only by the strip between. So every line is a sink, the water of each cell of ground is followed
//! downhill (D∞, see [`FlowPaths`]), and where it first meets a line it is counted there, by the side it came
//! from and the metre it arrived at.
//!
//! Σ over lines + what leaves the ground + what stays in hollows = all known land.
//!
//! A line takes the cells it crosses, joined side to side so that no water slips through at a corner; they
//! are its own land. The water of a cell arrives spread over one cell's length of line about the nearest
//! chainage. A cell crossed by two lines belongs to the nearer one.
//!
//! On a plane each metre of a level line gets as many square metres as it is metres to the upper edge; on a
//! cone, half the radius r where slopes spread and (R² − r²)/2r where they gather from R. One path from one
//! place follows the least sideways drift: Orlandini et al. 2003, Water Resources Research 39(6), 1144.
//!
//! Leaves out: how much rain runs off; pipes and walls; lines that are full and spill. D∞ shares water by
//! angle, so its mean way leans up to 4.1° to the diagonal of the cells (atan(α / 45°) − α at α = 22.5°).
#![doc = ""]
#![doc = include_str!("../../../docs/methods/catchment.md")]

use std::collections::BTreeMap;

use crate::{Direction, FlowPaths, Frame, Grid, Point, Polyline, Way, fill_to};

mod cells;
mod path;

pub use path::{DownhillPath, Ends};

/// Length of line that one [`Metre`] stands for.
const METRE_M: f64 = 1.0;

/// What hollows of the ground do with the water that runs into them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hollows {
    /// They are full and pass it on where they spill, or give it to a line that runs through them: a long wet
    /// spell, or hollows that are only the roughness of the measurement.
    Full,
    /// They keep it: a dry spell, or hollows that soak.
    Keep,
}

/// What a metre of a line gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metre {
    /// Where it begins.
    pub chainage_m: f64,
    /// Its length: a metre, or what is left at the end of the line.
    pub length_m: f64,
    /// Land that drains to it from the left as one walks the line.
    pub from_left_m2: f64,
    /// Land that drains to it from the right.
    pub from_right_m2: f64,
    /// Land in the cells the line itself crosses.
    pub own_m2: f64,
}

impl Metre {
    /// All land whose water arrives here.
    pub fn area_m2(&self) -> f64 {
        self.from_left_m2 + self.from_right_m2 + self.own_m2
    }
}

/// What a line gets.
#[derive(Debug, Clone, PartialEq)]
pub struct LineCatchment {
    /// Metre by metre from its first peg.
    pub metres: Vec<Metre>,
    /// Land that drains to it from the left as one walks it.
    pub from_left_m2: f64,
    /// Land that drains to it from the right.
    pub from_right_m2: f64,
    /// Land in the cells the line itself crosses; 0 for a line off the known ground.
    pub own_m2: f64,
    /// Where its water comes from, the mean over what arrives; none if nothing does, or equally from all sides.
    pub comes_from: Option<Direction>,
}

impl LineCatchment {
    /// All land whose water arrives at the line.
    pub fn area_m2(&self) -> f64 {
        self.from_left_m2 + self.from_right_m2 + self.own_m2
    }

    fn empty(line: &Polyline) -> LineCatchment {
        let count = (line.length_m() / METRE_M).ceil().max(1.0) as usize;
        let metre = |i: usize| {
            let chainage_m = i as f64 * METRE_M;
            Metre {
                chainage_m,
                length_m: (line.length_m() - chainage_m).min(METRE_M),
                from_left_m2: 0.0,
                from_right_m2: 0.0,
                own_m2: 0.0,
            }
        };
        LineCatchment {
            metres: (0..count).map(metre).collect(),
            from_left_m2: 0.0,
            from_right_m2: 0.0,
            own_m2: 0.0,
            comes_from: None,
        }
    }
}

/// The catchments of lines on a ground, and the ways of the water between them.
#[derive(Debug, Clone)]
pub struct Catchments {
    paths: FlowPaths,
    /// The line that takes a cell's water, for cells that a line crosses.
    takers: BTreeMap<usize, usize>,
    lines: Vec<LineCatchment>,
    leaving_m2: f64,
    staying_m2: f64,
    known_m2: f64,
}

impl Catchments {
    /// Follows the water of every cell of the ground to the first line it meets.
    pub fn new(ground: &Grid, lines: &[Polyline], hollows: Hollows) -> Catchments {
        let frame = *ground.frame();
        let takers = cells::takers(ground, lines);
        let mut sinks = vec![false; frame.len()];
        for index in takers.keys() {
            sinks[*index] = true;
        }
        let paths = match hollows {
            Hollows::Full => FlowPaths::d_infinity(&filled_to(ground, &sinks)),
            Hollows::Keep => FlowPaths::d_infinity(ground),
        };
        let arriving = paths.accumulate_to(&sinks);
        let cell_m2 = frame.cell_m * frame.cell_m;
        let total_m2 = |way: Way| {
            let ends_so = |index: &usize| paths.way(*index) == way && !sinks[*index];
            (0..frame.len()).filter(ends_so).map(|index| arriving[index]).sum::<f64>() * cell_m2
        };
        let known = ground.known().iter().filter(|known| **known).count();
        Catchments {
            lines: credit(&paths, &arriving, &takers, lines),
            leaving_m2: total_m2(Way::Leaves),
            staying_m2: total_m2(Way::Stays),
            known_m2: known as f64 * cell_m2,
            paths,
            takers,
        }
    }

    /// What each line gets, in the order given.
    pub fn lines(&self) -> &[LineCatchment] {
        &self.lines
    }

    /// Land whose water leaves the known ground without meeting a line.
    pub fn leaving_m2(&self) -> f64 {
        self.leaving_m2
    }

    /// Land whose water ends in a hollow; none if hollows are full.
    pub fn staying_m2(&self) -> f64 {
        self.staying_m2
    }

    /// All known land.
    pub fn known_m2(&self) -> f64 {
        self.known_m2
    }

    /// The way water takes from a place downhill, until it meets a line, leaves the ground or stays in a
    /// hollow; none where there is no ground. From a place on a line it is the way of what the line spills
    /// there: it counts as having left that line once it is off its cells.
    pub fn downhill_path(&self, from: Point) -> Option<DownhillPath> {
        path::trace(&self.paths, &self.takers, from)
    }
}

/// The ground with its hollows full, up to the lines that take their water.
fn filled_to(ground: &Grid, sinks: &[bool]) -> Grid {
    let mut filled = fill_to(ground.clone(), sinks).ground;
    let (z_m, _) = filled.parts_mut();
    for index in (0..sinks.len()).filter(|index| sinks[*index]) {
        // By the least that can be written, so that a hollow filled level with the line has somewhere to fall.
        z_m[index] = z_m[index].next_down();
    }
    filled
}

/// Counts what arrives at the cells of lines.
fn credit(
    paths: &FlowPaths,
    arriving: &[f64],
    takers: &BTreeMap<usize, usize>,
    lines: &[Polyline],
) -> Vec<LineCatchment> {
    let frame = paths.frame();
    let cell_m2 = frame.cell_m * frame.cell_m;
    let mut credited: Vec<LineCatchment> = lines.iter().map(LineCatchment::empty).collect();
    // For each line the directions its water comes from, each as long as the land it comes from.
    let mut from = vec![(0.0, 0.0); lines.len()];
    for (&index, &taker) in takers {
        let line = &lines[taker];
        let mut arrival = Arrival { own_m2: cell_m2, ..Arrival::default() };
        for giver in paths.givers(index) {
            if takers.contains_key(&giver.index) {
                continue; // It keeps what it gets.
            }
            let area_m2 = giver.share_frac * arriving[giver.index] * cell_m2;
            let offset_m = line.nearest(frame.centre(frame.cell(giver.index))).offset_m;
            if offset_m >= 0.0 {
                arrival.from_left_m2 += area_m2;
            } else {
                arrival.from_right_m2 += area_m2;
            }
            let downhill_rad = paths.angle_rad(giver.index).expect("a giver's water goes on");
            let (sin, cos) = libm::sincos(downhill_rad);
            from[taker].0 -= area_m2 * cos;
            from[taker].1 -= area_m2 * sin;
        }
        spread(&mut credited[taker], line, frame, index, &arrival);
    }
    for (line, (east, north)) in credited.iter_mut().zip(from) {
        line.comes_from = Direction::along(east, north);
    }
    credited
}

/// What arrives at one cell.
#[derive(Default)]
struct Arrival {
    from_left_m2: f64,
    from_right_m2: f64,
    own_m2: f64,
}

/// Spreads what arrives at a cell over one cell's length of line about the nearest chainage.
fn spread(credited: &mut LineCatchment, line: &Polyline, frame: &Frame, index: usize, arrival: &Arrival) {
    credited.from_left_m2 += arrival.from_left_m2;
    credited.from_right_m2 += arrival.from_right_m2;
    credited.own_m2 += arrival.own_m2;
    let chainage_m = line.nearest(frame.centre(frame.cell(index))).chainage_m;
    let start_m = (chainage_m - frame.cell_m / 2.0).max(0.0);
    let end_m = (chainage_m + frame.cell_m / 2.0).min(line.length_m());
    let last = credited.metres.len() - 1;
    let first_metre = ((start_m / METRE_M) as usize).min(last);
    let last_metre = ((end_m / METRE_M) as usize).min(last);
    for metre in &mut credited.metres[first_metre..=last_metre] {
        let common_m = end_m.min(metre.chainage_m + metre.length_m) - start_m.max(metre.chainage_m);
        let share = if end_m > start_m { common_m.max(0.0) / (end_m - start_m) } else { 1.0 };
        metre.from_left_m2 += share * arrival.from_left_m2;
        metre.from_right_m2 += share * arrival.from_right_m2;
        metre.own_m2 += share * arrival.own_m2;
    }
}

#[cfg(test)]
mod tests;
