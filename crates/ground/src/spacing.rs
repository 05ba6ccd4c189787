//! Whether the ground was measured closely enough to lay a small ditch out on it.
//!
//! Between two measured places the surface runs straight and the real ground bulges. How much shows at the
//! places themselves: take one away, lay a plane through its neighbours, and see by how much the plane misses
//! it. On ground that bends evenly, z = ½(a·x² + b·y²), neighbours at distance d miss by (a + b)·d²/4, and in
//! the middle of four of them the surface misses by (a + b)·d²/8: half as much. So
//!
//! bulge = half the miss that 19 of 20 places keep within.
//!
//! A ditch is trusted to the contours if the bulge is at most a quarter of its depth, so that three quarters
//! of it hold water where the line lies low; and if measured places are at most [`FURTHEST_APART_M`] apart,
//! for a hollow narrower than two gaps can lie between places and show nowhere. Both are common practice,
//! without source.
//!
//! Leaves out: the error of the heights themselves, which adds to the bulge. Breaklines, where ground bends
//! on purpose, are not counted.

use crate::tin::Tin;
use crate::{Bounds, Cell, Frame, Grid, Point, Point3, Surface};

/// Measured places further apart than this cannot show a hollow as wide as a few steps of a frame. Common
/// practice, no source.
pub const FURTHEST_APART_M: f64 = 5.0;

/// The part of a ditch's depth that the ground may bulge unseen. Common practice, no source.
const BULGE_OF_DEPTH: f64 = 0.25;

/// Half of them.
const HALF_FRAC: f64 = 0.5;

/// 19 of 20.
const MOST_FRAC: f64 = 0.95;

/// So many cells tell where 19 of 20 lie to within 2·√(0.95 · 0.05 / n) of a share, 0.04 %.
const LOOKED_AT_CELLS: usize = 1_000_000;

/// How closely the ground was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spacing {
    /// Half of the measured places have their nearest neighbour within this.
    pub median_m: f64,
    /// 19 of 20 places have their nearest neighbour within this.
    pub most_m: f64,
    /// By how much the real ground may lie off the surface between measured places; none where too few places
    /// have neighbours all round.
    pub bulge_m: Option<f64>,
}

impl Spacing {
    /// Whether a ditch of this depth may be laid out by the contours of this surface alone, without pegging.
    pub fn shows_ditch(&self, depth_m: f64) -> bool {
        let bulge_is_small = self.bulge_m.is_some_and(|bulge_m| bulge_m <= BULGE_OF_DEPTH * depth_m);
        bulge_is_small && self.most_m <= FURTHEST_APART_M
    }
}

impl Surface {
    /// How closely the ground was measured; none where nothing was.
    pub fn spacing(&self) -> Option<Spacing> {
        match self {
            Surface::Grid(grid) => grid.known().contains(&true).then(|| Spacing {
                median_m: grid.frame().cell_m,
                most_m: grid.frame().cell_m,
                bulge_m: within(&mut misses_of_raster(grid), MOST_FRAC).map(|miss_m| miss_m / 2.0),
            }),
            Surface::Tin(tin) => {
                let places: Vec<Point> = tin.corners().map(Point3::plan).collect();
                let mut nearest_m = nearest_neighbours_m(&places);
                Some(Spacing {
                    median_m: within(&mut nearest_m, HALF_FRAC)?,
                    most_m: within(&mut nearest_m, MOST_FRAC)?,
                    bulge_m: within(&mut misses_of_net(tin), MOST_FRAC).map(|miss_m| miss_m / 2.0),
                })
            }
        }
    }
}

/// The value which this share of them does not exceed.
fn within(values: &mut [f64], share_frac: f64) -> Option<f64> {
    let last = values.len().checked_sub(1)?;
    let place = (share_frac * last as f64).ceil() as usize;
    Some(*values.select_nth_unstable_by(place, f64::total_cmp).1)
}

/// Each cell against the mean of its four neighbours, which is their plane in the middle. Of a large raster every
/// second, third … cell each way is looked at.
fn misses_of_raster(grid: &Grid) -> Vec<f64> {
    let frame = grid.frame();
    let every = frame.len().div_ceil(LOOKED_AT_CELLS).isqrt().max(1);
    let mut misses_m = Vec::new();
    for row in (1..frame.rows.saturating_sub(1)).step_by(every) {
        for column in (1..frame.columns.saturating_sub(1)).step_by(every) {
            let z_m = |row, column| grid.cell_z_m(Cell { row, column });
            let neighbours =
                [z_m(row - 1, column), z_m(row + 1, column), z_m(row, column - 1), z_m(row, column + 1)];
            if let (Some(here_z_m), [Some(n), Some(s), Some(w), Some(e)]) = (z_m(row, column), neighbours) {
                misses_m.push((here_z_m - (n + s + w + e) / 4.0).abs());
            }
        }
    }
    misses_m
}

/// Each corner with triangles all round and no breakline through it, against the plane of its neighbours.
fn misses_of_net(tin: &Tin) -> Vec<f64> {
    let corners: Vec<Point3> = tin.corners().collect();
    // For each corner the pairs of neighbours its triangles lead from and to.
    let mut links = vec![Vec::new(); corners.len()];
    for [a, b, c] in tin.triangles() {
        links[*a as usize].push((*b, *c));
        links[*b as usize].push((*c, *a));
        links[*c as usize].push((*a, *b));
    }
    let mut misses_m = Vec::new();
    for (i, link) in links.iter().enumerate() {
        let mut from: Vec<u32> = link.iter().map(|(from, _)| *from).collect();
        let mut to: Vec<u32> = link.iter().map(|(_, to)| *to).collect();
        from.sort_unstable();
        to.sort_unstable();
        let closed = from == to && !from.is_empty();
        if closed && !tin.is_on_breakline(i) {
            let ring: Vec<Point3> = from.iter().map(|j| corners[*j as usize]).collect();
            misses_m.extend(miss_of_plane_m(corners[i], &ring));
        }
    }
    misses_m
}

/// Height of a place less that of the least-squares plane through others; none if they lie in a row.
fn miss_of_plane_m(at: Point3, others: &[Point3]) -> Option<f64> {
    let n = others.len() as f64;
    let mean = |value: fn(&Point3) -> f64| others.iter().map(value).sum::<f64>() / n;
    let (x_m, y_m, z_m) = (mean(|p| p.x_m), mean(|p| p.y_m), mean(|p| p.z_m));
    let (mut xx, mut xy, mut yy, mut xz, mut yz) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for p in others {
        let (dx, dy, dz) = (p.x_m - x_m, p.y_m - y_m, p.z_m - z_m);
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
        xz += dx * dz;
        yz += dy * dz;
    }
    let determinant = xx * yy - xy * xy;
    if determinant <= 0.0 {
        return None;
    }
    let east = (xz * yy - yz * xy) / determinant;
    let north = (yz * xx - xz * xy) / determinant;
    Some((at.z_m - z_m - east * (at.x_m - x_m) - north * (at.y_m - y_m)).abs())
}

/// Distance from each place to its nearest neighbour; empty for fewer than two places.
fn nearest_neighbours_m(places: &[Point]) -> Vec<f64> {
    let Some(bounds) = Bounds::around(places.iter().copied()).filter(|_| places.len() > 1) else {
        return Vec::new();
    };
    // About two places a bucket; a row of places still gets buckets of some size.
    let area_m2 = bounds.width_m() * bounds.height_m();
    let longer_m = bounds.width_m().max(bounds.height_m());
    let side_m = (2.0 * area_m2 / places.len() as f64).sqrt().max(longer_m / places.len() as f64);
    let frame = Frame {
        columns: (bounds.width_m() / side_m).floor() as usize + 1,
        rows: (bounds.height_m() / side_m).floor() as usize + 1,
        cell_m: side_m,
        west_m: bounds.min_x_m,
        north_m: bounds.max_y_m,
    };
    let mut buckets = vec![Vec::new(); frame.len()];
    let bucket_of = |p: Point| frame.cell_at(p).expect("inside the frame");
    for (i, place) in places.iter().enumerate() {
        buckets[frame.index(bucket_of(*place))].push(i);
    }
    let nearest = |i: usize| nearest_m(places, i, &frame, &buckets);
    (0..places.len()).map(nearest).collect()
}

/// Looks in ever wider squares of buckets: a place in the ring at k is at least k − 1 sides away.
fn nearest_m(places: &[Point], i: usize, frame: &Frame, buckets: &[Vec<usize>]) -> f64 {
    let home = frame.cell_at(places[i]).expect("inside the frame");
    let mut best_m = f64::INFINITY;
    for reach in 0..frame.columns.max(frame.rows) {
        if (reach as f64 - 1.0) * frame.cell_m > best_m {
            break;
        }
        let rows = home.row.saturating_sub(reach)..=(home.row + reach).min(frame.rows - 1);
        for row in rows {
            let columns = home.column.saturating_sub(reach)..=(home.column + reach).min(frame.columns - 1);
            for column in columns {
                if row.abs_diff(home.row).max(column.abs_diff(home.column)) != reach {
                    continue;
                }
                let bucket = &buckets[frame.index(Cell { row, column })];
                let others = bucket.iter().filter(|other| **other != i);
                best_m = others.map(|other| places[*other].distance_m(places[i])).fold(best_m, f64::min);
            }
        }
    }
    best_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tin::Outline;

    fn raster(height_m: impl Fn(Point) -> f64) -> Surface {
        let frame = Frame { columns: 21, rows: 21, cell_m: 2.0, west_m: 0.0, north_m: 42.0 };
        Surface::Grid(Grid::from_fn(frame, |p| Some(height_m(p))))
    }

    /// Points 2 m apart, every second row shifted by half of it.
    fn net(height_m: impl Fn(f64, f64) -> f64) -> Surface {
        let mut points = Vec::new();
        for row in 0..15 {
            for column in 0..15 {
                let (x_m, y_m) =
                    (2.0 * f64::from(column) + f64::from(row % 2), 3.0_f64.sqrt() * f64::from(row));
                points.push(Point3 { x_m, y_m, z_m: height_m(x_m, y_m) });
            }
        }
        Surface::Tin(Tin::new(&points, &[], Outline::Peeled).unwrap())
    }

    /// On z = 0.01 (x² + y²), so a = b = 0.02, and places d = 2 m apart the miss is (a + b)·d²/4 = 0.04 m and
    /// the bulge 0.02 m, in squares as in triangles (the ring of six lies at the same distance d).
    #[test]
    fn bulge_of_a_bowl() {
        for surface in
            [raster(|p| 0.01 * (p.x_m * p.x_m + p.y_m * p.y_m)), net(|x, y| 0.01 * (x * x + y * y))]
        {
            let spacing = surface.spacing().unwrap();
            assert!((spacing.bulge_m.unwrap() - 0.02).abs() < 1e-12, "{spacing:?}");
            assert!((spacing.median_m - 2.0).abs() < 1e-12 && (spacing.most_m - 2.0).abs() < 1e-12);
            assert!(spacing.shows_ditch(0.20));
            assert!(!spacing.shows_ditch(0.05), "a quarter of 5 cm is 1.25 cm");
        }
    }

    /// A plane does not bulge, but places 8 m apart could hide what is between them.
    #[test]
    fn few_places_are_not_trusted() {
        let mut points = Vec::new();
        for (row, column) in (0..49).map(|i| (i / 7, i % 7)) {
            points.push(Point3 {
                x_m: 8.0 * f64::from(column),
                y_m: 8.0 * f64::from(row),
                z_m: 0.4 * f64::from(column),
            });
        }
        let spacing = Surface::Tin(Tin::new(&points, &[], Outline::Peeled).unwrap()).spacing().unwrap();
        assert!(spacing.bulge_m.unwrap() < 1e-12);
        assert_eq!((spacing.median_m, spacing.most_m), (8.0, 8.0));
        assert!(!spacing.shows_ditch(0.20));
        let three = Surface::Tin(Tin::new(&points[4..9], &[], Outline::Peeled).unwrap());
        assert_eq!(three.spacing().unwrap().bulge_m, None, "no place has neighbours all round");
    }

    /// A step of 1 m in the ground: told as a bulge, unless a breakline says where it bends.
    #[test]
    fn breaklines_do_not_count_as_bulge() {
        let step = |x: f64| if x > 14.5 { 1.0 } else { 0.0 };
        let spacing = net(|x, _| step(x)).spacing().unwrap();
        assert!(spacing.bulge_m.unwrap() > 0.1, "{spacing:?}");
        let mut points = Vec::new();
        let mut lines = vec![Vec::new(), Vec::new()];
        for (row, column) in (0..225).map(|i| (f64::from(i / 15), f64::from(i % 15))) {
            let at = Point3 { x_m: 2.0 * column, y_m: 2.0 * row, z_m: step(2.0 * column) };
            points.push(at);
            if column == 7.0 || column == 8.0 {
                lines[column as usize - 7].push(at);
            }
        }
        let spacing = Surface::Tin(Tin::new(&points, &lines, Outline::Peeled).unwrap()).spacing().unwrap();
        assert_eq!(spacing.bulge_m, Some(0.0));
    }

    /// Against the slow way, on places that spread without rows.
    #[test]
    fn nearest_neighbours_against_all_pairs() {
        let places: Vec<Point> = (1..400)
            .map(|i| {
                let n = f64::from(i);
                Point::new(70.0 * (n * 2.0_f64.sqrt()).fract(), 30.0 * (n * 7.0_f64.sqrt()).fract())
            })
            .collect();
        let fast_m = nearest_neighbours_m(&places);
        for (i, place) in places.iter().enumerate() {
            let others = (0..places.len()).filter(|j| *j != i);
            let slow_m = others.map(|j| places[j].distance_m(*place)).fold(f64::INFINITY, f64::min);
            assert_eq!(fast_m[i], slow_m);
        }
    }
}
