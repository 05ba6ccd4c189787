//! The way of water from one place.
//!
//! A path goes from cell to cell, by eighths of a turn, while the ground falls anywhere between two of them.
//! Always taking the nearer of the two would drift off by up to 22.5°. So the path keeps count of how far it
//! has drifted sideways, and takes the neighbour that leaves the lesser drift: over a cell it gains
//! d · sin α, with d the distance to the neighbour and α the angle between it and the fall (Orlandini et al.
//! 2003, the path-based least transversal deviation with full memory).

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_4, SQRT_2};

use crate::{FlowPaths, Point, Receiver, Way};

/// Where a path ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// At the line with this index.
    Line(usize),
    /// At the edge of the known ground.
    Leaves,
    /// In a hollow.
    Stays,
}

/// The way of water from a place.
#[derive(Debug, Clone, PartialEq)]
pub struct DownhillPath {
    /// The place and then the middles of the cells it goes through.
    pub points: Vec<Point>,
    /// Where it ends.
    pub ends: Ends,
}

pub(super) fn trace(paths: &FlowPaths, takers: &BTreeMap<usize, usize>, from: Point) -> Option<DownhillPath> {
    let frame = paths.frame();
    let mut index = frame.index(frame.cell_at(from)?);
    if paths.way(index) == Way::Unknown {
        return None;
    }
    let mut points = vec![from];
    let mut leaving = takers.get(&index).copied();
    let mut drift = 0.0;
    let ends = loop {
        let taker = takers.get(&index).copied();
        if taker != leaving {
            leaving = None;
        }
        if let (Some(line), None) = (taker, leaving) {
            break Ends::Line(line);
        }
        match paths.way(index) {
            Way::On => {}
            Way::Leaves => break Ends::Leaves,
            Way::Stays | Way::Unknown => break Ends::Stays,
        }
        index = next(paths, index, &mut drift);
        points.push(frame.centre(frame.cell(index)));
    };
    Some(DownhillPath { points, ends })
}

/// The receiver that leaves the lesser drift. Drift is counted in cells, positive to the left of the fall.
fn next(paths: &FlowPaths, index: usize, drift: &mut f64) -> usize {
    let mut receivers = paths.receivers(index);
    let first: Receiver = receivers.next().expect("its water goes on");
    let Some(second) = receivers.next() else {
        return first.index;
    };
    // The share of one is the angle to the other over an eighth of a turn; the second lies to the left.
    let (to_first, to_second) = (second.share_frac * FRAC_PI_4, first.share_frac * FRAC_PI_4);
    let drift_by_first = *drift - reach(paths, index, first) * libm::sin(to_first);
    let drift_by_second = *drift + reach(paths, index, second) * libm::sin(to_second);
    if drift_by_second.abs() < drift_by_first.abs() {
        *drift = drift_by_second;
        second.index
    } else {
        *drift = drift_by_first;
        first.index
    }
}

/// Distance to a neighbour in cells.
fn reach(paths: &FlowPaths, index: usize, to: Receiver) -> f64 {
    let (here, there) = (paths.frame().cell(index), paths.frame().cell(to.index));
    if here.row == there.row || here.column == there.column { 1.0 } else { SQRT_2 }
}
