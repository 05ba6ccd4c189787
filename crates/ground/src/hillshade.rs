//! Light and shade, so that a plan shows the lie of the land.
//!
//! The ground is lit from the north-west, 45° above the horizon, as maps have it: lit from the south, hills are
//! taken for hollows. A place is as bright as the cosine of the angle between the light and the upright on the
//! ground: (up − east · slope east − north · slope north) / √(1 + slope²), in darkness 0.
//!
//! Source: Horn 1981, Proceedings of the IEEE 69(1), 14–47 (Lambert's law). The direction of the light is common
//! practice of mapmakers.
//! Leaves out: cast shadows. For drawing only: at the edge of known ground the slope is taken from the one side
//! that is known.

use std::f64::consts::FRAC_1_SQRT_2;

use rayon::prelude::*;

use crate::{Gradient, Grid};

/// Direction to the light: half east −, half north +, and up; a vector of length 1.
const LIGHT_EAST: f64 = -0.5;
const LIGHT_NORTH: f64 = 0.5;
const LIGHT_UP: f64 = FRAC_1_SQRT_2;

/// Brightness of a slope, 0 to 1; level ground has 0.71.
pub fn shade(gradient: Gradient) -> f64 {
    let Gradient { east, north } = gradient;
    let facing = LIGHT_UP - LIGHT_EAST * east - LIGHT_NORTH * north;
    (facing / (1.0 + east * east + north * north).sqrt()).max(0.0)
}

/// Brightness of each cell, row-major; none where no ground is known. Gentle ground shows better with its
/// heights multiplied by an `exaggeration` over 1.
pub fn hillshade(ground: &Grid, exaggeration: f64) -> Vec<Option<f64>> {
    let cell = |index: usize| {
        ground.known()[index].then(|| {
            let gradient = gradient_for_drawing(ground, index);
            shade(Gradient { east: exaggeration * gradient.east, north: exaggeration * gradient.north })
        })
    };
    (0..ground.z_m().len()).into_par_iter().map(cell).collect()
}

/// Horn's slope, or from what neighbours there are.
fn gradient_for_drawing(ground: &Grid, index: usize) -> Gradient {
    let cell = ground.frame().cell(index);
    ground.gradient(cell).unwrap_or_else(|| Gradient {
        east: rise_between(ground, index, EAST, WEST),
        north: rise_between(ground, index, NORTH, SOUTH),
    })
}

/// Places in [`crate::NEIGHBOURS`].
const EAST: usize = 0;
const NORTH: usize = 2;
const WEST: usize = 4;
const SOUTH: usize = 6;

/// Rise over run from the neighbour behind to the one ahead; the cell itself stands in for a missing one.
fn rise_between(ground: &Grid, index: usize, ahead: usize, behind: usize) -> f64 {
    let known =
        |direction| ground.frame().neighbour(index, direction).filter(|neighbour| ground.known()[*neighbour]);
    let (front, back) = (known(ahead), known(behind));
    let cells = f64::from(u8::from(front.is_some()) + u8::from(back.is_some()));
    if cells == 0.0 {
        return 0.0;
    }
    let z_m = ground.z_m();
    (z_m[front.unwrap_or(index)] - z_m[back.unwrap_or(index)]) / (cells * ground.frame().cell_m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Frame;

    /// Ground that faces the light squarely has the light's own slope, tan 45° = 1, falling to the north-west:
    /// it climbs 1/√2 to the east and falls 1/√2 to the north. The opposite slope gets none.
    #[test]
    fn closed_form_brightness() {
        let facing = Gradient { east: FRAC_1_SQRT_2, north: -FRAC_1_SQRT_2 };
        assert!((shade(facing) - 1.0).abs() < 1e-15);
        let away = Gradient { east: -FRAC_1_SQRT_2, north: FRAC_1_SQRT_2 };
        assert!(shade(away).abs() < 1e-15);
        let steeper_away = Gradient { east: -2.0, north: 2.0 };
        assert_eq!(shade(steeper_away), 0.0);
        assert_eq!(shade(Gradient { east: 0.0, north: 0.0 }), FRAC_1_SQRT_2);
    }

    /// A plane is equally bright everywhere, its edge included, and exaggeration steepens it.
    #[test]
    fn a_plane_is_evenly_lit() {
        let frame = Frame { columns: 5, rows: 4, cell_m: 2.0, west_m: 0.0, north_m: 8.0 };
        let ground =
            Grid::from_fn(frame, |p| (p.x_m > 2.0 || p.y_m > 2.0).then_some(0.25 * p.x_m - 0.125 * p.y_m));
        let lit = shade(Gradient { east: 0.5, north: -0.25 });
        let found = hillshade(&ground, 2.0);
        assert_eq!(found[15], None);
        for (i, brightness) in found.iter().enumerate().filter(|(i, _)| *i != 15) {
            assert!((brightness.unwrap() - lit).abs() < 1e-15, "{i}");
        }
        let alone = Grid::new(Frame { columns: 1, rows: 1, ..frame }, vec![3.0]);
        assert_eq!(hillshade(&alone, 1.0), [Some(FRAC_1_SQRT_2)]);
    }
}
