//! The surface of the ground, from a raster or from triangles.
//!
//! Between the places that were measured the ground is taken to run evenly; beyond them there is none.
//!
//! In a raster the height belongs to the middle of a cell. Between four middles with shares s (from west) and
//! t (from north) of the way across: z = (1−s)(1−t)·z_nw + s(1−t)·z_ne + (1−s)t·z_sw + st·z_se, the bilinear
//! surface, which is exact on planes and on z = xy. Its gradient is that of the same formula, so a small step
//! along the gradient changes the height as the gradient says; across a row or column of middles it jumps.
//!
//! The outer half cell of a raster is beyond the outer middles: no ground there. A place needs all four
//! middles round it known.

use crate::{Bounds, Cell, Frame, Grid, Point, Tin};

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
    /// From scattered points: flat triangles between them.
    Tin(Tin),
}

impl Surface {
    /// Height at a place; none where nothing was measured.
    pub fn z_m(&self, at: Point) -> Option<f64> {
        match self {
            Surface::Grid(grid) => Patch::around(grid, at).map(|patch| patch.z_m()),
            Surface::Tin(tin) => tin.z_m(at),
        }
    }

    /// Slope at a place; none where nothing was measured. Where two pieces of the surface meet it is that of
    /// one of them: in a raster the one to the south-east if there is ground, in a net the one built first.
    pub fn gradient(&self, at: Point) -> Option<Gradient> {
        match self {
            Surface::Grid(grid) => Patch::around(grid, at).map(|patch| patch.gradient(grid.frame().cell_m)),
            Surface::Tin(tin) => tin.gradient(at),
        }
    }

    /// The rectangle round what was measured: there is no ground outside it, but there may be gaps inside.
    pub fn bounds(&self) -> Bounds {
        match self {
            Surface::Grid(grid) => grid.frame().bounds(),
            Surface::Tin(tin) => tin.bounds(),
        }
    }

    /// The surface as a raster with cells of about `cell_m`: a raster is given back as it is, and a net spread
    /// too wide for cells so small gets larger ones.
    ///
    /// # Panics
    /// `cell_m` is not a positive length.
    pub fn to_grid(&self, cell_m: f64) -> Grid {
        assert!(cell_m > 0.0, "cell_m = {cell_m}");
        match self {
            Surface::Grid(grid) => grid.clone(),
            Surface::Tin(tin) => tin.to_grid(cell_m),
        }
    }

    /// The frame [`Surface::to_grid`] would use.
    ///
    /// # Panics
    /// `cell_m` is not a positive length.
    pub fn frame(&self, cell_m: f64) -> Frame {
        assert!(cell_m > 0.0, "cell_m = {cell_m}");
        match self {
            Surface::Grid(grid) => *grid.frame(),
            Surface::Tin(tin) => tin.frame(cell_m),
        }
    }
}

/// Four neighbouring middles of cells with known ground, and a place among them.
struct Patch {
    nw_z_m: f64,
    ne_z_m: f64,
    sw_z_m: f64,
    se_z_m: f64,
    /// Share of the way from the western to the eastern middles.
    s: f64,
    /// Share of the way from the northern to the southern middles.
    t: f64,
}

impl Patch {
    fn around(grid: &Grid, at: Point) -> Option<Patch> {
        let frame = grid.frame();
        let east = (at.x_m - frame.west_m) / frame.cell_m - 0.5;
        let south = (frame.north_m - at.y_m) / frame.cell_m - 0.5;
        // A place on a line of middles lies in the patches of both sides: either will do.
        for (row, t) in gaps_at(south, frame.rows).into_iter().flatten() {
            for (column, s) in gaps_at(east, frame.columns).into_iter().flatten() {
                let z_m = |row, column| grid.cell_z_m(Cell { row, column });
                let corners =
                    (z_m(row, column), z_m(row, column + 1), z_m(row + 1, column), z_m(row + 1, column + 1));
                if let (Some(nw_z_m), Some(ne_z_m), Some(sw_z_m), Some(se_z_m)) = corners {
                    return Some(Patch { nw_z_m, ne_z_m, sw_z_m, se_z_m, s, t });
                }
            }
        }
        None
    }

    fn z_m(&self) -> f64 {
        let north_z_m = (1.0 - self.s) * self.nw_z_m + self.s * self.ne_z_m;
        let south_z_m = (1.0 - self.s) * self.sw_z_m + self.s * self.se_z_m;
        (1.0 - self.t) * north_z_m + self.t * south_z_m
    }

    fn gradient(&self, cell_m: f64) -> Gradient {
        let along_north_m = self.ne_z_m - self.nw_z_m;
        let along_south_m = self.se_z_m - self.sw_z_m;
        let along_west_m = self.nw_z_m - self.sw_z_m;
        let along_east_m = self.ne_z_m - self.se_z_m;
        Gradient {
            east: ((1.0 - self.t) * along_north_m + self.t * along_south_m) / cell_m,
            north: ((1.0 - self.s) * along_west_m + self.s * along_east_m) / cell_m,
        }
    }
}

/// The gaps between middles in which a place lies, each with the share of the way across: one gap, or two on
/// a middle. `place` counts middles from 0 to `middles − 1`.
fn gaps_at(place: f64, middles: usize) -> [Option<(usize, f64)>; 2] {
    let last = middles as f64 - 1.0;
    if !(0.0..=last).contains(&place) {
        return [None, None];
    }
    let before = place.floor();
    let share = place - before;
    let gap_after = (before < last).then_some((before as usize, share));
    let gap_before = (share == 0.0 && before > 0.0).then(|| (before as usize - 1, 1.0));
    [gap_after, gap_before]
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame = Frame { columns: 5, rows: 4, cell_m: 2.0, west_m: 100.0, north_m: 58.0 };

    fn ground(height_m: impl Fn(Point) -> f64) -> Surface {
        Surface::Grid(Grid::from_fn(FRAME, |p| Some(height_m(p))))
    }

    /// Between middles z is linear in each coordinate, so planes come out exactly; heights here are below
    /// 16 m, where ten roundings of half an ulp stay under 2e-14 m.
    #[test]
    fn exact_on_a_plane() {
        let plane = ground(|p| 3.0 + 0.05 * p.x_m - 0.02 * p.y_m);
        for (x_m, y_m) in [(101.0, 57.0), (109.0, 51.0), (104.3, 53.9), (105.0, 55.7)] {
            let at = Point::new(x_m, y_m);
            let z_m = plane.z_m(at).unwrap();
            assert!((z_m - (3.0 + 0.05 * x_m - 0.02 * y_m)).abs() < 2e-14, "{at:?}: {z_m}");
            let gradient = plane.gradient(at).unwrap();
            assert!((gradient.east - 0.05).abs() < 1e-14 && (gradient.north + 0.02).abs() < 1e-14);
        }
    }

    /// z = xy is bilinear itself: height xy, gradient (y, x). Heights near 6e3 m have an ulp of 9e-13 m.
    #[test]
    fn exact_on_a_saddle() {
        let saddle = ground(|p| p.x_m * p.y_m);
        let at = Point::new(103.7, 52.2);
        assert!((saddle.z_m(at).unwrap() - 103.7 * 52.2).abs() < 5e-12);
        let gradient = saddle.gradient(at).unwrap();
        assert!((gradient.east - 52.2).abs() < 5e-12 && (gradient.north - 103.7).abs() < 5e-12);
    }

    #[test]
    fn no_ground_beyond_the_outer_middles() {
        let flat = ground(|_| 7.0);
        for inside in [(101.0, 57.0), (109.0, 57.0), (101.0, 51.0), (109.0, 51.0)] {
            assert_eq!(flat.z_m(Point::new(inside.0, inside.1)), Some(7.0));
        }
        for outside in [(100.9, 54.0), (109.1, 54.0), (105.0, 57.1), (105.0, 50.9), (f64::NAN, 54.0)] {
            assert_eq!(flat.z_m(Point::new(outside.0, outside.1)), None);
        }
    }

    /// The middle of the unknown cell is (105, 55): the four patches that touch it are not ground, but the far
    /// edges of those patches belong to patches that are.
    #[test]
    fn no_ground_round_an_unknown_cell() {
        let hole = Surface::Grid(Grid::from_fn(FRAME, |p| (p != Point::new(105.0, 55.0)).then_some(2.0)));
        assert_eq!(hole.z_m(Point::new(104.0, 54.0)), None);
        assert_eq!(hole.z_m(Point::new(105.0, 55.0)), None);
        assert_eq!(hole.z_m(Point::new(103.0, 54.0)), Some(2.0), "west edge");
        assert_eq!(hole.z_m(Point::new(105.0, 53.0)), Some(2.0), "south edge");
        assert!(hole.gradient(Point::new(103.0, 54.0)).is_some());
    }

    #[test]
    fn one_row_has_no_surface() {
        let frame = Frame { rows: 1, ..FRAME };
        let strip = Surface::Grid(Grid::from_fn(frame, |_| Some(1.0)));
        assert_eq!(strip.z_m(Point::new(105.0, 57.0)), None);
    }
}
