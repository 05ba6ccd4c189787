//! Which cells a line crosses.

use std::collections::BTreeMap;

use crate::{Cell, Frame, Grid, Point, Polyline};

/// The line that each crossed cell of known ground belongs to: of several the one nearest to its middle, of
/// equally near ones the first.
pub(super) fn takers(ground: &Grid, lines: &[Polyline]) -> BTreeMap<usize, usize> {
    let frame = ground.frame();
    let mut nearest: BTreeMap<usize, (f64, usize)> = BTreeMap::new();
    for (line_idx, line) in lines.iter().enumerate() {
        for piece in line.points().windows(2) {
            for index in crossed(frame, piece[0], piece[1]) {
                if !ground.known()[index] {
                    continue;
                }
                let offset_m = line.nearest(frame.centre(frame.cell(index))).offset_m.abs();
                let taker = nearest.entry(index).or_insert((offset_m, line_idx));
                if offset_m < taker.0 {
                    *taker = (offset_m, line_idx);
                }
            }
        }
    }
    nearest.into_iter().map(|(index, (_, line_idx))| (index, line_idx)).collect()
}

/// The cells a straight piece crosses, each sharing a side with the one before. Through a corner it goes by
/// the cell to the east or west.
fn crossed(frame: &Frame, from: Point, to: Point) -> Vec<usize> {
    let Some((from, to)) = inside(frame, from, to) else {
        return Vec::new();
    };
    let column = |p: Point| (p.x_m - frame.west_m) / frame.cell_m;
    let row = |p: Point| (frame.north_m - p.y_m) / frame.cell_m;
    // The eastern and southern edges of the raster belong to its last cells.
    let cell = |p: Point| Cell {
        row: (row(p) as usize).min(frame.rows - 1),
        column: (column(p) as usize).min(frame.columns - 1),
    };
    let (mut at, end) = (cell(from), cell(to));
    let (along_columns, along_rows) = (column(to) - column(from), row(to) - row(from));
    let sides = at.column.abs_diff(end.column) + at.row.abs_diff(end.row);
    let mut cells = vec![frame.index(at)];
    for _ in 0..sides {
        // How far along the piece it leaves this cell's column and row: never, if it ends in them.
        let leaves_column = if at.column == end.column {
            f64::INFINITY
        } else {
            let side = at.column + usize::from(along_columns > 0.0);
            (side as f64 - column(from)) / along_columns
        };
        let leaves_row = if at.row == end.row {
            f64::INFINITY
        } else {
            let side = at.row + usize::from(along_rows > 0.0);
            (side as f64 - row(from)) / along_rows
        };
        if leaves_column <= leaves_row {
            at.column = next_towards(at.column, end.column);
        } else {
            at.row = next_towards(at.row, end.row);
        }
        cells.push(frame.index(at));
    }
    cells
}

fn next_towards(at: usize, end: usize) -> usize {
    if at < end { at + 1 } else { at - 1 }
}

/// The part of a straight piece that lies on the raster.
fn inside(frame: &Frame, from: Point, to: Point) -> Option<(Point, Point)> {
    if frame.is_empty() {
        return None;
    }
    let bounds = frame.bounds();
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (start, step, least, most) in [
        (from.x_m, to.x_m - from.x_m, bounds.min_x_m, bounds.max_x_m),
        (from.y_m, to.y_m - from.y_m, bounds.min_y_m, bounds.max_y_m),
    ] {
        if step == 0.0 {
            if !(least..=most).contains(&start) {
                return None;
            }
            continue;
        }
        let (one, other) = ((least - start) / step, (most - start) / step);
        first = first.max(one.min(other));
        last = last.min(one.max(other));
    }
    (first <= last).then(|| (from.towards(to, first), from.towards(to, last)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame = Frame { columns: 5, rows: 4, cell_m: 1.0, west_m: 0.0, north_m: 4.0 };

    fn cells(from: (f64, f64), to: (f64, f64)) -> Vec<(usize, usize)> {
        crossed(&FRAME, Point::new(from.0, from.1), Point::new(to.0, to.1))
            .into_iter()
            .map(|index| (FRAME.cell(index).row, FRAME.cell(index).column))
            .collect()
    }

    #[test]
    fn crossed_by_hand() {
        assert_eq!(cells((0.5, 3.5), (2.5, 3.5)), [(0, 0), (0, 1), (0, 2)]);
        assert_eq!(cells((2.5, 3.5), (0.5, 3.5)), [(0, 2), (0, 1), (0, 0)]);
        assert_eq!(cells((1.5, 0.2), (1.5, 2.2)), [(3, 1), (2, 1), (1, 1)]);
        // Leaves (3, 0) at x = 1, y = 0.8; row 3 ends at y = 1, x = 1.25.
        assert_eq!(cells((0.0, 0.0), (2.0, 1.6)), [(3, 0), (3, 1), (2, 1), (2, 2)]);
        assert_eq!(cells((0.5, 0.5), (1.5, 1.5)), [(3, 0), (3, 1), (2, 1)], "through a corner");
        assert_eq!(cells((2.2, 2.2), (2.2, 2.2)), [(1, 2)]);
    }

    #[test]
    fn only_the_part_on_the_raster() {
        assert_eq!(cells((-100.0, 3.5), (1.5, 3.5)), [(0, 0), (0, 1)]);
        assert_eq!(cells((4.5, 3.5), (4.5, 1e9)), [(0, 4)]);
        assert_eq!(cells((-1.0, 0.0), (-1.0, 4.0)), []);
        assert_eq!(cells((-2.0, 2.0), (3.0, 9.0)), [], "past the corner");
    }
}
