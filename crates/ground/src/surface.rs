//! The surface of the ground, from a raster or from triangles.

use crate::{Bounds, Frame, Grid, Point};

/// How the ground climbs at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gradient {
    /// Rise over run towards the east.
    pub east: f64,
    /// Rise over run towards the north.
    pub north: f64,
}

impl Gradient {
    /// Rise over run straight uphill.
    pub fn slope(self) -> f64 {
        (self.east * self.east + self.north * self.north).sqrt()
    }
}

/// The ground as a continuous surface over what was measured.
#[derive(Debug, Clone)]
pub enum Surface {
    /// From a raster: bilinear between the middles of four known cells.
    Grid(Grid),
}

impl Surface {
    /// Height at a place; none where nothing was measured.
    pub fn z_m(&self, _at: Point) -> Option<f64> {
        todo!("surface")
    }

    /// Slope at a place; none where nothing was measured.
    pub fn gradient(&self, _at: Point) -> Option<Gradient> {
        todo!("surface")
    }

    /// The rectangle round what was measured.
    pub fn bounds(&self) -> Bounds {
        todo!("surface")
    }

    /// The surface as a raster with cells of about `cell_m` (a raster is given back as it is).
    pub fn to_grid(&self, _cell_m: f64) -> Grid {
        todo!("surface")
    }

    /// The frame [`Surface::to_grid`] would use.
    pub fn frame(&self, _cell_m: f64) -> Frame {
        todo!("surface")
    }
}
