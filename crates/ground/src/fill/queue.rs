//! Cells by height, lowest first, for a flood that never falls.
//!
//! As the level only rises, cells well above it need no order yet: they wait in bins of equal height span, and
//! only the bin the level has reached is kept in order. Order among equals is by place in the raster.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Cells a bin holds if heights are spread evenly: few enough to be ordered within the processor's cache.
const CELLS_A_BIN: usize = 64;
/// More bins than this would themselves fall out of the cache.
const MOST_BINS: usize = 1 << 16;

/// A cell in order: its height as an integer of the same order, then its place.
type Ranked = Reverse<(u64, u32)>;

pub(super) struct RisingQueue {
    lowest_m: f64,
    bins_per_m: f64,
    bins: Vec<Vec<u32>>,
    /// The bin the level has reached.
    at: usize,
    ordered: BinaryHeap<Ranked>,
    busiest: usize,
}

impl RisingQueue {
    /// An empty queue for cells of these heights; infinite ones are no ground.
    pub(super) fn over(z_m: &[f64]) -> RisingQueue {
        let (mut lowest_m, mut highest_m) = (f64::INFINITY, f64::NEG_INFINITY);
        for z in z_m.iter().filter(|z| z.is_finite()) {
            lowest_m = lowest_m.min(*z);
            highest_m = highest_m.max(*z);
        }
        let count = (z_m.len() / CELLS_A_BIN).clamp(1, MOST_BINS);
        let bins_per_m = count as f64 / (highest_m - lowest_m);
        RisingQueue {
            lowest_m,
            // Flat ground, no ground, or a span too great to divide: one bin does.
            bins_per_m: if bins_per_m.is_finite() { bins_per_m } else { 0.0 },
            bins: vec![Vec::new(); count],
            at: 0,
            ordered: BinaryHeap::new(),
            busiest: 0,
        }
    }

    /// Adds a cell that is no lower than the last one taken.
    pub(super) fn push(&mut self, index: u32, z_m: f64) {
        let bin = self.bin(z_m);
        debug_assert!(self.at <= bin, "the flood never falls");
        if bin == self.at {
            self.ordered.push(ranked(index, z_m));
        } else {
            self.bins[bin].push(index);
        }
    }

    /// Takes the lowest cell. A cell keeps the height it was pushed with.
    pub(super) fn pop(&mut self, z_m: &[f64]) -> Option<usize> {
        while self.ordered.is_empty() {
            if self.at + 1 == self.bins.len() {
                return None;
            }
            self.at += 1;
            let waiting = std::mem::take(&mut self.bins[self.at]);
            self.ordered.extend(waiting.into_iter().map(|index| ranked(index, z_m[index as usize])));
        }
        self.busiest = self.busiest.max(self.ordered.len());
        self.ordered.pop().map(|Reverse((_, index))| index as usize)
    }

    /// The most cells that had to be kept in order at a time.
    #[cfg(test)]
    pub(super) fn busiest(&self) -> usize {
        self.busiest
    }

    /// Rounding is monotone, so a higher cell is never in a lower bin.
    fn bin(&self, z_m: f64) -> usize {
        (((z_m - self.lowest_m) * self.bins_per_m) as usize).min(self.bins.len() - 1)
    }
}

/// Puts a height in integers of the same order: for positive numbers the bits are that already, for negative
/// ones their complement is.
fn ranked(index: u32, z_m: f64) -> Ranked {
    let bits = z_m.to_bits();
    let sign = 1 << 63;
    let rank = if bits & sign == 0 { bits | sign } else { !bits };
    Reverse((rank, index))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lowest_first_then_by_place() {
        let z_m = [3.0, -1.0, 3.0, 0.0, -2.5, 1e3];
        let mut queue = RisingQueue::over(&z_m);
        for index in [5, 3, 2, 0, 1] {
            queue.push(index, z_m[index as usize]);
        }
        let mut taken = vec![queue.pop(&z_m).unwrap()];
        // Lower than all that wait, no lower than the last one taken: −1.
        queue.push(1, -1.0);
        while let Some(index) = queue.pop(&z_m) {
            taken.push(index);
        }
        assert_eq!(taken, [1, 1, 3, 0, 2, 5]);
    }

    #[test]
    fn many_bins_give_the_same_order() {
        // Multiples of a prime modulo 1009 in a scrambled order.
        let z_m: Vec<f64> = (0..4000_u32).map(|i| f64::from(i * 7919 % 1009) / 16.0 - 20.0).collect();
        let mut queue = RisingQueue::over(&z_m);
        assert!(queue.bins.len() > 1);
        for (index, z) in z_m.iter().enumerate() {
            queue.push(index as u32, *z);
        }
        let taken: Vec<usize> = std::iter::from_fn(|| queue.pop(&z_m)).collect();
        let mut expected: Vec<usize> = (0..z_m.len()).collect();
        expected.sort_by(|a, b| z_m[*a].total_cmp(&z_m[*b]).then(a.cmp(b)));
        assert_eq!(taken, expected);
    }

    #[test]
    fn level_ground_and_no_ground() {
        for z_m in [vec![7.0; 200], vec![f64::INFINITY; 200], vec![f64::MAX, f64::MIN]] {
            let mut queue = RisingQueue::over(&z_m);
            queue.push(1, z_m[1]);
            queue.push(0, z_m[0].max(z_m[1]));
            assert_eq!(queue.ordered.len() + queue.bins.iter().map(Vec::len).sum::<usize>(), 2);
        }
    }
}
