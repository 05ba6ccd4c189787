//! How much land drains to each cell.
//!
//! A cell can be summed once all its givers are, so cells are taken from the divides downwards. Sums are made
//! in one fixed order, whatever the number of threads.

use super::FlowPaths;

impl FlowPaths {
    /// Cells whose water arrives at each cell, its own included; 0 where no ground is known.
    ///
    /// Times cell² this is the contributing area, m². On a plane that falls at an angle δ to the nearest axis
    /// the width it passes through is cell · cos δ, not cell (Tarboton 1997).
    pub fn accumulate(&self) -> Vec<f64> {
        self.sum(|_| false)
    }

    /// As [`FlowPaths::accumulate`], with cells that keep what arrives: ditches, lines, drains. What arrives
    /// at one is its own area and all it is given; it passes nothing on.
    ///
    /// Water can slip between two such cells that meet only at a corner: mark lines so that neighbouring cells
    /// share a side.
    ///
    /// # Panics
    /// The number of sinks is not that of the cells.
    pub fn accumulate_to(&self, sinks: &[bool]) -> Vec<f64> {
        assert_eq!(sinks.len(), self.codes.len(), "sinks and cells");
        self.sum(|index| sinks[index])
    }

    fn sum(&self, keeps: impl Fn(usize) -> bool) -> Vec<f64> {
        let steps = self.frame.steps();
        let mut awaited = self.givers_awaited(&steps, &keeps);
        let mut cells: Vec<f64> = self.codes.iter().map(|code| own(*code)).collect();
        let mut ready = Vec::new();
        for start in 0..cells.len() {
            // A cell is summed once: when its last giver was, or here if it never had one.
            if awaited[start] != 0 {
                continue;
            }
            ready.push(start);
            while let Some(index) = ready.pop() {
                awaited[index] = DONE;
                if keeps(index) {
                    continue;
                }
                for to in self.receivers_by(index, &steps) {
                    cells[to.index] += to.share_frac * cells[index];
                    awaited[to.index] -= 1;
                    // Those further on in the raster are left for the scan, which comes to them anyway.
                    if awaited[to.index] == 0 && to.index < start {
                        ready.push(to.index);
                    }
                }
            }
        }
        cells
    }

    /// How many neighbours give to each cell.
    fn givers_awaited(&self, steps: &[isize; 8], keeps: impl Fn(usize) -> bool) -> Vec<u8> {
        let mut awaited = vec![0; self.codes.len()];
        for index in 0..self.codes.len() {
            if keeps(index) {
                continue;
            }
            for to in self.receivers_by(index, steps) {
                awaited[to.index] += 1;
            }
        }
        awaited
    }
}

/// Mark of a cell that was summed; no cell has so many givers.
const DONE: u8 = u8::MAX;

/// A cell's own area in cells.
fn own(code: u8) -> f64 {
    if code == super::UNKNOWN { 0.0 } else { 1.0 }
}
