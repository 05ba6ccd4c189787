//! Where water would stand: hollows are filled to the level at which they spill.
//!
//! A flood rises from the edge of the known ground inwards. At each moment it stands at one level, and the
//! lowest dry cell at its brink is taken next; a cell found below the level lies in a hollow and is raised to
//! it. In the end every cell has a way out that never climbs: the height of a cell becomes
//! min over all ways out (max height on the way).
//!
//! Source: priority-flood, Barnes, Lehman and Mulla 2014, Computers & Geosciences 62, 117–127
//! (arXiv 1511.04463); cells of a hollow pass through a plain stack, theirs too. Cells that only climb away
//! from the flood are finished on the spot, and wait in the queue only if a lower dry one lies beside them:
//! Zhou, Sun and Fu 2016, Computers & Geosciences 90, 87–96.
//!
//! Stated rules. Eight neighbours. A cell at the raster's edge or beside unknown ground is an outlet: a hole in
//! the data drains. Equal heights by their place in the raster.
//! Leaves out: culverts and whatever else lets water through a bank that the raster shows as whole.

mod hollows;
mod queue;

pub use hollows::{Hollow, hollows};

use self::queue::RisingQueue;
use crate::{Frame, Grid, NEIGHBOURS};

/// Ground whose hollows are filled.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// The ground with hollows raised to where they spill.
    pub ground: Grid,
    /// Cells that were raised.
    pub raised_cells: usize,
    /// What the hollows hold.
    pub volume_m3: f64,
    /// The most a cell was raised.
    pub deepest_m: f64,
}

/// Fills every hollow to the level at which it spills, in place.
pub fn fill(ground: Grid) -> Filled {
    flood(ground, |flood| flood.fill_level())
}

/// As [`fill`], with cells inside the ground that take water away: ditches, lines, drains. A hollow that one of
/// them runs through is filled no higher than there.
///
/// # Panics
/// The number of outlets is not that of the cells.
pub fn fill_to(ground: Grid, outlets: &[bool]) -> Filled {
    assert_eq!(outlets.len(), ground.frame().len(), "outlets and cells");
    flood(ground, |flood| {
        flood.open(outlets);
        flood.fill_level();
    })
}

/// As [`fill`], with level places raised by the least possible steps so that every cell but an outlet has a
/// lower neighbour. A step is to the next number that can be written, 2⁻⁴⁴ m at 400 m: a fixed step would be
/// lost in high ground or overtop low banks.
pub fn fill_draining(ground: Grid) -> Filled {
    flood(ground, |flood| flood.fill_sloping())
}

fn flood(mut ground: Grid, rise: impl FnOnce(&mut Flood)) -> Filled {
    let frame = *ground.frame();
    let (z_m, known) = ground.parts_mut();
    let mut flood = Flood::from_the_edge(frame, z_m, known);
    rise(&mut flood);
    let (raised_cells, sum_m, deepest_m) = (flood.raised_cells, flood.raised_m, flood.deepest_m);
    Filled { ground, raised_cells, volume_m3: sum_m * frame.cell_m * frame.cell_m, deepest_m }
}

/// Not reached by the flood.
const DRY: u8 = 0;
/// Its final height is known.
const DONE: u8 = 1;
/// The same, at the raster's own edge: some neighbours are missing.
const RIM: u8 = 2;

/// A flood under way.
struct Flood<'a> {
    frame: Frame,
    steps: [isize; 8],
    z_m: &'a mut [f64],
    state: Vec<u8>,
    queue: RisingQueue,
    /// Cells of the hollow that is being filled, whose neighbours are still to be looked at.
    pond: Vec<u32>,
    /// Cells above the flood, whose neighbours are still to be looked at.
    climb: Vec<u32>,
    raised_cells: usize,
    raised_m: f64,
    deepest_m: f64,
    /// Cells that had to wait in the queue.
    queued: usize,
}

impl<'a> Flood<'a> {
    /// A flood that stands at all outlets.
    fn from_the_edge(frame: Frame, z_m: &'a mut [f64], known: &[bool]) -> Flood<'a> {
        let mut flood = Flood {
            frame,
            steps: frame.steps(),
            queue: RisingQueue::over(z_m),
            z_m,
            state: vec![DRY; frame.len()],
            pond: Vec::new(),
            climb: Vec::new(),
            raised_cells: 0,
            raised_m: 0.0,
            deepest_m: 0.0,
            queued: 0,
        };
        flood.mark_rim();
        flood.mark_unknown(known);
        for index in 0..known.len() {
            if known[index] && flood.state[index] != DRY {
                flood.wait(index);
            }
        }
        flood
    }

    fn mark_rim(&mut self) {
        let (columns, rows) = (self.frame.columns, self.frame.rows);
        for row in self.state.chunks_exact_mut(columns.max(1)) {
            row[0] = RIM;
            row[columns - 1] = RIM;
        }
        if rows > 0 {
            self.state[..columns].fill(RIM);
            self.state[(rows - 1) * columns..].fill(RIM);
        }
    }

    /// Unknown ground is never flooded, and what lies beside it is an outlet.
    fn mark_unknown(&mut self, known: &[bool]) {
        if known.iter().all(|known| *known) {
            return;
        }
        for index in (0..known.len()).filter(|index| !known[*index]) {
            self.state[index] = self.state[index].max(DONE);
            for direction in 0..NEIGHBOURS.len() {
                if let Some(beside) = self.frame.neighbour(index, direction) {
                    self.state[beside] = self.state[beside].max(DONE);
                }
            }
        }
    }

    /// Lets the flood stand at more cells than those of the edge.
    fn open(&mut self, outlets: &[bool]) {
        for index in (0..outlets.len()).filter(|index| outlets[*index]) {
            if self.state[index] == DRY {
                self.state[index] = DONE;
                self.wait(index);
            }
        }
    }

    fn wait(&mut self, index: usize) {
        self.queued += 1;
        self.queue.push(index as u32, self.z_m[index]);
    }

    /// One neighbour of a cell, if it is still dry.
    #[inline(always)]
    fn dry_neighbour(&self, index: usize, direction: usize, at_rim: bool) -> Option<usize> {
        if at_rim && self.frame.neighbour(index, direction).is_none() {
            return None;
        }
        let neighbour = index.wrapping_add_signed(self.steps[direction]);
        (self.state[neighbour] == DRY).then_some(neighbour)
    }

    /// Raises every hollow to the level at which it spills.
    fn fill_level(&mut self) {
        while let Some(index) = self.queue.pop(self.z_m) {
            let level_m = self.z_m[index];
            self.spill(index, level_m);
            while let Some(index) = self.pond.pop() {
                self.spill(index as usize, level_m);
            }
            while let Some(index) = self.climb.pop() {
                self.climb_from(index as usize);
            }
        }
    }

    /// Lets the flood at its level pass from one cell to its neighbours.
    fn spill(&mut self, index: usize, level_m: f64) {
        let at_rim = self.state[index] == RIM;
        for direction in 0..self.steps.len() {
            let Some(neighbour) = self.dry_neighbour(index, direction, at_rim) else {
                continue;
            };
            self.state[neighbour] = DONE;
            if self.z_m[neighbour] <= level_m {
                self.raise(neighbour, level_m);
                self.pond.push(neighbour as u32);
            } else {
                self.climb.push(neighbour as u32);
            }
        }
    }

    /// Finishes the higher neighbours of a cell above the flood. Where a neighbour is not higher the flood must
    /// come by again, at this cell's height: it may be the sill of a hollow.
    fn climb_from(&mut self, index: usize) {
        let mut is_brink = false;
        let at_rim = self.state[index] == RIM;
        for direction in 0..self.steps.len() {
            let Some(neighbour) = self.dry_neighbour(index, direction, at_rim) else {
                continue;
            };
            if self.z_m[neighbour] > self.z_m[index] {
                self.state[neighbour] = DONE;
                self.climb.push(neighbour as u32);
            } else {
                is_brink = true;
            }
        }
        if is_brink {
            self.wait(index);
        }
    }

    /// Raises every hollow and level place to a surface that falls everywhere.
    fn fill_sloping(&mut self) {
        while let Some(index) = self.queue.pop(self.z_m) {
            let least_m = self.z_m[index].next_up();
            let at_rim = self.state[index] == RIM;
            for direction in 0..self.steps.len() {
                let Some(neighbour) = self.dry_neighbour(index, direction, at_rim) else {
                    continue;
                };
                self.state[neighbour] = DONE;
                if self.z_m[neighbour] < least_m {
                    self.raise(neighbour, least_m);
                }
                self.wait(neighbour);
            }
        }
    }

    fn raise(&mut self, index: usize, level_m: f64) {
        let by_m = level_m - self.z_m[index];
        if by_m > 0.0 {
            self.z_m[index] = level_m;
            self.raised_cells += 1;
            self.raised_m += by_m;
            self.deepest_m = self.deepest_m.max(by_m);
        }
    }
}

#[cfg(test)]
mod tests;
