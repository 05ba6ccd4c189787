//! Solves the linear equations of a step: cells that touch only a few others.
//!
//! Cells are struck out one by one, those with the fewest neighbours first (of equals the first in the list), and
//! each hands its equation on to the neighbours that are left. The order and the places of all numbers are found once
//! a run; along a line nothing is added, so the work grows with the number of cells.
//!
//! Source: Gauss elimination in the order of least degree, Tinney and Walker 1967, Proc. IEEE 55. No pivots are
//! sought: each cell's own number outweighs the others in its column, because what leaves it arrives elsewhere.

use std::collections::{BTreeMap, BTreeSet};

/// One cell's striking out.
#[derive(Debug, Clone, Copy)]
struct Strike {
    cell: usize,
    /// Its neighbours still standing: first and last but one in the list of all, and the first of their changes.
    near: (usize, usize),
    changes: usize,
}

/// A neighbour of a cell that is struck out.
#[derive(Debug, Clone, Copy)]
struct Near {
    cell: usize,
    /// Place of the number in the neighbour's equation.
    theirs: usize,
    /// Place of the number in the equation that is struck out.
    ours: usize,
}

/// The equations and their order.
#[derive(Debug, Clone)]
pub(super) struct Elimination {
    strikes: Vec<Strike>,
    near: Vec<Near>,
    /// Neighbour by neighbour the places that a striking out changes.
    changes: Vec<usize>,
    /// Places of pairs, row first.
    place: BTreeMap<(usize, usize), usize>,
    values: Vec<f64>,
}

impl Elimination {
    /// For so many cells and these pairs that touch.
    pub(super) fn new(cells: usize, touching: &[(usize, usize)]) -> Elimination {
        let mut around: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); cells];
        for &(a, b) in touching {
            around[a].insert(b);
            around[b].insert(a);
        }
        let mut elimination = Elimination {
            strikes: Vec::with_capacity(cells),
            near: Vec::new(),
            changes: Vec::new(),
            place: (0..cells).map(|cell| ((cell, cell), cell)).collect(),
            values: vec![0.0; cells],
        };
        let mut standing: BTreeSet<(usize, usize)> =
            around.iter().enumerate().map(|(cell, near)| (near.len(), cell)).collect();
        while let Some((_, cell)) = standing.pop_first() {
            let near: Vec<usize> = around[cell].iter().copied().collect();
            for &a in &near {
                standing.remove(&(around[a].len(), a));
                around[a].remove(&cell);
                around[a].extend(near.iter().filter(|b| **b != a));
                standing.insert((around[a].len(), a));
            }
            elimination.strike_out(cell, &near);
        }
        elimination
    }

    fn strike_out(&mut self, cell: usize, near: &[usize]) {
        let from = self.near.len();
        self.strikes.push(Strike { cell, near: (from, from + near.len()), changes: self.changes.len() });
        for &a in near {
            let (theirs, ours) = (self.claim(a, cell), self.claim(cell, a));
            self.near.push(Near { cell: a, theirs, ours });
        }
        for &a in near {
            for &b in near {
                let changes = self.claim(a, b);
                self.changes.push(changes);
            }
        }
    }

    fn claim(&mut self, row: usize, column: usize) -> usize {
        let next = self.values.len();
        let place = *self.place.entry((row, column)).or_insert(next);
        if place == next {
            self.values.push(0.0);
        }
        place
    }

    /// Where the number of a row and column is kept; a cell's own is at its index.
    pub(super) fn place(&self, row: usize, column: usize) -> usize {
        self.place[&(row, column)]
    }

    /// The numbers, to be filled in; they are used up by [`Elimination::solve`].
    pub(super) fn values(&mut self) -> &mut [f64] {
        &mut self.values
    }

    /// Turns the right-hand sides into the answers.
    pub(super) fn solve(&mut self, sides: &mut [f64]) {
        let values = &mut self.values;
        for strike in &self.strikes {
            let near = &self.near[strike.near.0..strike.near.1];
            let (per_own, side) = (1.0 / values[strike.cell], sides[strike.cell]);
            let mut place = strike.changes;
            for a in near {
                let changes = &self.changes[place..place + near.len()];
                place += near.len();
                let theirs = values[a.theirs];
                // A neighbour that does not feel this cell has nothing to take over.
                if theirs == 0.0 {
                    continue;
                }
                let factor = theirs * per_own;
                sides[a.cell] -= factor * side;
                for (b, &change) in near.iter().zip(changes) {
                    values[change] -= factor * values[b.ours];
                }
            }
            // Kept for the way back.
            values[strike.cell] = per_own;
        }
        for strike in self.strikes.iter().rev() {
            let mut side = sides[strike.cell];
            for a in &self.near[strike.near.0..strike.near.1] {
                side -= values[a.ours] * sides[a.cell];
            }
            sides[strike.cell] = side * values[strike.cell];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the equations themselves: a ring of cells with a chord, each own number outweighing its column.
    #[test]
    fn answers_fulfil_the_equations() {
        let cells = 12;
        let mut touching: Vec<(usize, usize)> = (0..cells).map(|i| (i, (i + 1) % cells)).collect();
        touching.push((2, 9));
        let mut elimination = Elimination::new(cells, &touching);
        let mut full = vec![vec![0.0; cells]; cells];
        for (k, &(a, b)) in touching.iter().enumerate() {
            let (up, down) = (-1.0 - 0.3 * k as f64, -0.2 * (k % 5) as f64);
            full[a][b] += up;
            full[b][b] -= up;
            full[b][a] += down;
            full[a][a] -= down;
        }
        for cell in 0..cells {
            full[cell][cell] += 1.0;
        }
        for row in 0..cells {
            for column in 0..cells {
                if full[row][column] != 0.0 {
                    let place = elimination.place(row, column);
                    elimination.values()[place] = full[row][column];
                }
            }
        }
        let sides: Vec<f64> = (0..cells).map(|i| (i * i) as f64 - 20.0).collect();
        let mut answers = sides.clone();
        elimination.solve(&mut answers);
        for row in 0..cells {
            let sum: f64 = (0..cells).map(|column| full[row][column] * answers[column]).sum();
            assert!((sum - sides[row]).abs() < 1e-11, "row {row}: {sum} for {}", sides[row]);
        }
    }

    /// Along a line each cell touches two: nothing is added, so the places are the cells and two a pair.
    #[test]
    fn a_line_needs_no_more_places_than_it_has_pairs() {
        for cells in [10, 100, 1000] {
            let touching: Vec<(usize, usize)> = (1..cells).map(|i| (i - 1, i)).collect();
            let elimination = Elimination::new(cells, &touching);
            assert_eq!(elimination.values.len(), 3 * cells - 2);
        }
    }
}
