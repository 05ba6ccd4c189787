//! Which triangles may lie at a place: square buckets over the net, each with the triangles that touch it.

use super::SLIVER_M;
use crate::{Bounds, Cell, Frame, Point, Point3};

/// Triangles by place.
#[derive(Debug, Clone)]
pub(super) struct Lookup {
    frame: Frame,
    /// Where each bucket's triangles begin in `triangles`, and at the end where the last one's stop.
    starts: Vec<u32>,
    triangles: Vec<u32>,
}

impl Lookup {
    /// About one bucket a triangle.
    pub fn new(corners: &[Point3], triangles: &[[u32; 3]]) -> Lookup {
        let plan = |triangle: &[u32; 3]| triangle.map(|i| corners[i as usize].plan());
        let Some(hull) = Bounds::around(triangles.iter().flat_map(plan)) else {
            return Lookup::empty();
        };
        // Twice, so that what is widened once lies inside whatever the rounding.
        let bounds = widened(hull, 2.0 * SLIVER_M);
        let side_m = (bounds.width_m() * bounds.height_m() / triangles.len() as f64).sqrt();
        let cells = |length_m: f64| (length_m / side_m).floor() as usize + 1;
        let frame = Frame {
            columns: cells(bounds.width_m()),
            rows: cells(bounds.height_m()),
            cell_m: side_m,
            west_m: bounds.min_x_m,
            north_m: bounds.max_y_m,
        };
        let mut buckets = vec![Vec::new(); frame.len()];
        for (i, triangle) in triangles.iter().enumerate() {
            let around = Bounds::around(plan(triangle)).expect("three corners");
            for bucket in touched(&frame, &widened(around, SLIVER_M)) {
                buckets[bucket].push(i as u32);
            }
        }
        let mut lookup = Lookup {
            frame,
            starts: vec![0],
            triangles: Vec::new(),
        };
        for bucket in buckets {
            lookup.triangles.extend(bucket);
            lookup.starts.push(lookup.triangles.len() as u32);
        }
        lookup
    }

    fn empty() -> Lookup {
        let frame = Frame {
            columns: 0,
            rows: 0,
            cell_m: 1.0,
            west_m: 0.0,
            north_m: 0.0,
        };
        Lookup {
            frame,
            starts: vec![0],
            triangles: Vec::new(),
        }
    }

    /// The triangles that may contain a place, in the order they were built.
    pub fn candidates(&self, at: Point) -> &[u32] {
        let Some(cell) = self.frame.cell_at(at) else {
            return &[];
        };
        let bucket = self.frame.index(cell);
        &self.triangles[self.starts[bucket] as usize..self.starts[bucket + 1] as usize]
    }
}

fn widened(around: Bounds, by_m: f64) -> Bounds {
    Bounds {
        min_x_m: around.min_x_m - by_m,
        min_y_m: around.min_y_m - by_m,
        max_x_m: around.max_x_m + by_m,
        max_y_m: around.max_y_m + by_m,
    }
}

/// The buckets a rectangle touches.
fn touched(frame: &Frame, around: &Bounds) -> impl Iterator<Item = usize> {
    let at = |x_m, y_m| frame.cell_at(Point::new(x_m, y_m)).expect("inside the frame");
    let north_west = at(around.min_x_m, around.max_y_m);
    let south_east = at(around.max_x_m, around.min_y_m);
    let frame = *frame;
    (north_west.row..=south_east.row).flat_map(move |row| {
        (north_west.column..=south_east.column).map(move |column| frame.index(Cell { row, column }))
    })
}
