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
            for bucket in touched(&frame, plan(triangle)) {
                buckets[bucket].push(i as u32);
            }
        }
        let mut lookup = Lookup { frame, starts: vec![0], triangles: Vec::new() };
        for bucket in buckets {
            lookup.triangles.extend(bucket);
            lookup.starts.push(lookup.triangles.len() as u32);
        }
        lookup
    }

    fn empty() -> Lookup {
        let frame = Frame { columns: 0, rows: 0, cell_m: 1.0, west_m: 0.0, north_m: 0.0 };
        Lookup { frame, starts: vec![0], triangles: Vec::new() }
    }

    /// How many entries there are.
    #[cfg(test)]
    pub fn size(&self) -> usize {
        self.triangles.len()
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

/// The buckets a triangle touches, row by row: a long narrow one crosses few of those in the rectangle round it.
fn touched(frame: &Frame, triangle: [Point; 3]) -> Vec<usize> {
    let around = widened(Bounds::around(triangle).expect("three corners"), SLIVER_M);
    let at = |x_m, y_m| frame.cell_at(Point::new(x_m, y_m)).expect("inside the frame");
    let rows = at(around.min_x_m, around.max_y_m).row..=at(around.min_x_m, around.min_y_m).row;
    let mut buckets = Vec::new();
    for row in rows {
        let north_m = frame.north_m - row as f64 * frame.cell_m + SLIVER_M;
        let south_m = frame.north_m - (row + 1) as f64 * frame.cell_m - SLIVER_M;
        let Some((west_m, east_m)) = span_between(triangle, south_m, north_m) else {
            continue;
        };
        let west = at(west_m - SLIVER_M, around.min_y_m).column;
        let east = at(east_m + SLIVER_M, around.min_y_m).column;
        buckets.extend((west..=east).map(|column| frame.index(Cell { row, column })));
    }
    buckets
}

/// How far west and east a triangle reaches between two northings; none if it lies beyond them.
fn span_between(triangle: [Point; 3], south_m: f64, north_m: f64) -> Option<(f64, f64)> {
    let mut span: Option<(f64, f64)> = None;
    for i in 0..3 {
        let (a, b) = (triangle[i], triangle[(i + 1) % 3]);
        if a.y_m.max(b.y_m) < south_m || a.y_m.min(b.y_m) > north_m {
            continue;
        }
        let rise_m = b.y_m - a.y_m;
        for y_m in [south_m, north_m] {
            // The end of the part between the northings: on one of them, or the side's own end.
            let share = if rise_m == 0.0 { 0.0 } else { ((y_m - a.y_m) / rise_m).clamp(0.0, 1.0) };
            let ends = if rise_m == 0.0 { [a.x_m, b.x_m] } else { [a.towards(b, share).x_m; 2] };
            for x_m in ends {
                let (west_m, east_m) = span.unwrap_or((x_m, x_m));
                span = Some((west_m.min(x_m), east_m.max(x_m)));
            }
        }
    }
    span
}
