//! Ways over level ground: each cell goes by the fewest steps to where its level falls or leaves.
//!
//! Filling leaves every hollow as a level place. From its outlets a front walks back over it, one step at a
//! time; each cell it reaches sends its water to the cell the front came from. This gives the paths that
//! raising each cell by the least possible step from the outlet inwards would give, without touching heights.

use super::{LEAVES, STAYS, UNKNOWN};
use crate::{Grid, NEIGHBOURS};

/// Gives a direction to every cell that stays and can be reached over level ground from one that does not.
pub(super) fn route(ground: &Grid, codes: &mut [u8]) {
    let mut front = first_front(ground, codes);
    for &(index, direction) in &front {
        codes[index as usize] = direction;
    }
    let (z_m, steps) = (ground.z_m(), ground.frame().steps());
    let mut next = Vec::new();
    while !front.is_empty() {
        for &(index, _) in &front {
            let index = index as usize;
            // A cell of the front had all eight neighbours known when it was told to stay.
            for (direction, step) in steps.iter().enumerate() {
                let neighbour = index.wrapping_add_signed(*step);
                if codes[neighbour] == STAYS && z_m[neighbour] == z_m[index] {
                    codes[neighbour] = opposite(direction);
                    next.push((neighbour as u32, codes[neighbour]));
                }
            }
        }
        front.clear();
        std::mem::swap(&mut front, &mut next);
    }
}

/// The level cells beside an outlet at their own height, each with its direction to the first such outlet.
/// They are told apart from the outlets before any of them is given its direction.
fn first_front(ground: &Grid, codes: &[u8]) -> Vec<(u32, u8)> {
    let (z_m, steps) = (ground.z_m(), ground.frame().steps());
    let is_outlet = |index: usize| !matches!(codes[index], STAYS | UNKNOWN);
    let mut front = Vec::new();
    for index in 0..codes.len() {
        if codes[index] != STAYS {
            continue;
        }
        let outlet = (0..NEIGHBOURS.len()).find(|direction| {
            let neighbour = index.wrapping_add_signed(steps[*direction]);
            is_outlet(neighbour) && z_m[neighbour] == z_m[index]
        });
        front.extend(outlet.map(|direction| (index as u32, direction as u8)));
    }
    front
}

/// The direction back.
fn opposite(direction: usize) -> u8 {
    (direction as u8 + LEAVES / 2) % LEAVES
}
