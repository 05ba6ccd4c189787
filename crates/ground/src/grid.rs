//! Rasters: square cells, rows from north to south, with a mask of what is known.

use crate::{Bounds, Point};

/// Where the cells of a raster lie. Row 0 is the northern row, column 0 the western column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Cells from west to east.
    pub columns: usize,
    /// Cells from north to south.
    pub rows: usize,
    /// Side of a cell.
    pub cell_m: f64,
    /// Western edge of the western column (not its centre).
    pub west_m: f64,
    /// Northern edge of the northern row (not its centre).
    pub north_m: f64,
}

/// A cell of a raster.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cell {
    /// From the north.
    pub row: usize,
    /// From the west.
    pub column: usize,
}

/// The eight neighbours of a cell as (columns east, rows south), counter-clockwise from east, so that
/// neighbour `d` lies `d` eighths of a turn from east. The even ones share a side, the odd ones a corner.
pub const NEIGHBOURS: [(isize, isize); 8] =
    [(1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1)];

impl Frame {
    /// How many cells.
    pub fn len(&self) -> usize {
        self.columns * self.rows
    }

    /// Whether there is no cell at all.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Place of a cell in row-major slices.
    pub fn index(&self, cell: Cell) -> usize {
        cell.row * self.columns + cell.column
    }

    /// The cell at a place in row-major slices.
    pub fn cell(&self, index: usize) -> Cell {
        Cell { row: index / self.columns, column: index % self.columns }
    }

    /// Middle of a cell.
    pub fn centre(&self, cell: Cell) -> Point {
        Point::new(
            self.west_m + (cell.column as f64 + 0.5) * self.cell_m,
            self.north_m - (cell.row as f64 + 0.5) * self.cell_m,
        )
    }

    /// The cell a place falls in; none outside the raster.
    pub fn cell_at(&self, p: Point) -> Option<Cell> {
        let column = ((p.x_m - self.west_m) / self.cell_m).floor();
        let row = ((self.north_m - p.y_m) / self.cell_m).floor();
        let inside = column >= 0.0 && row >= 0.0 && column < self.columns as f64 && row < self.rows as f64;
        inside.then_some(Cell { row: row as usize, column: column as usize })
    }

    /// The neighbour of a cell in one of the eight directions of [`NEIGHBOURS`]; none beyond the raster.
    pub fn neighbour(&self, index: usize, direction: usize) -> Option<usize> {
        let (east, south) = NEIGHBOURS[direction];
        let cell = self.cell(index);
        let column = cell.column.checked_add_signed(east)?;
        let row = cell.row.checked_add_signed(south)?;
        (column < self.columns && row < self.rows).then(|| self.index(Cell { row, column }))
    }

    /// What to add to a place in row-major slices to reach each of [`NEIGHBOURS`], where there is one.
    pub(crate) fn steps(&self) -> [isize; 8] {
        NEIGHBOURS.map(|(east, south)| south * self.columns as isize + east)
    }

    /// The rectangle of all cells.
    pub fn bounds(&self) -> Bounds {
        Bounds {
            min_x_m: self.west_m,
            min_y_m: self.north_m - self.rows as f64 * self.cell_m,
            max_x_m: self.west_m + self.columns as f64 * self.cell_m,
            max_y_m: self.north_m,
        }
    }
}

/// Heights of the ground at the middles of square cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    frame: Frame,
    z_m: Vec<f64>,
    known: Vec<bool>,
}

impl Grid {
    /// A raster of heights, row-major from the north-west. A height that is not finite is unknown ground.
    ///
    /// # Panics
    /// The number of heights is not that of the cells: a reader must have counted them. Or there are 2³² or
    /// more: the kernels keep places of cells in 32 bits.
    pub fn new(frame: Frame, mut z_m: Vec<f64>) -> Grid {
        assert_eq!(z_m.len(), frame.len(), "heights and cells");
        assert!(u32::try_from(z_m.len()).is_ok(), "{} cells", z_m.len());
        let known: Vec<bool> = z_m.iter().map(|z| z.is_finite()).collect();
        for (z, known) in z_m.iter_mut().zip(&known) {
            if !known {
                // Higher than all ground, so that the kernels never route or spill into it; and one fixed
                // value keeps equal rasters equal.
                *z = f64::INFINITY;
            }
        }
        Grid { frame, z_m, known }
    }

    /// A raster of a formula, sampled at the middles of the cells.
    pub fn from_fn(frame: Frame, height_m: impl Fn(Point) -> Option<f64>) -> Grid {
        let z_m =
            (0..frame.len()).map(|i| height_m(frame.centre(frame.cell(i))).unwrap_or(f64::NAN)).collect();
        Grid::new(frame, z_m)
    }

    /// Where its cells lie.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// Heights, row-major; infinite where [`Grid::known`] is false.
    pub fn z_m(&self) -> &[f64] {
        &self.z_m
    }

    /// Whether a cell is known ground beside the raster's edge or beside unknown ground: water leaves there.
    pub fn is_edge(&self, index: usize) -> bool {
        let beyond =
            |direction| self.frame.neighbour(index, direction).is_none_or(|neighbour| !self.known[neighbour]);
        self.known[index] && (0..NEIGHBOURS.len()).any(beyond)
    }

    /// Heights to be changed in place, and what is known. What is known must stay finite, the rest infinite.
    pub(crate) fn parts_mut(&mut self) -> (&mut [f64], &[bool]) {
        (&mut self.z_m, &self.known)
    }

    /// Whether the ground was measured, cell by cell.
    pub fn known(&self) -> &[bool] {
        &self.known
    }

    /// Height of a cell, if known.
    pub fn cell_z_m(&self, cell: Cell) -> Option<f64> {
        let i = self.frame.index(cell);
        self.known[i].then(|| self.z_m[i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame = Frame { columns: 4, rows: 3, cell_m: 2.0, west_m: 10.0, north_m: 106.0 };

    #[test]
    fn cells_and_places() {
        assert_eq!(FRAME.centre(Cell { row: 0, column: 0 }), Point::new(11.0, 105.0));
        assert_eq!(FRAME.cell_at(Point::new(17.9, 100.1)), Some(Cell { row: 2, column: 3 }));
        assert_eq!(FRAME.cell_at(Point::new(18.1, 100.1)), None);
        for i in 0..FRAME.len() {
            assert_eq!(FRAME.cell_at(FRAME.centre(FRAME.cell(i))), Some(FRAME.cell(i)));
        }
    }

    #[test]
    fn what_is_not_finite_is_not_ground() {
        let mut z_m = vec![1.0; 12];
        z_m[5] = f64::NAN;
        let grid = Grid::new(FRAME, z_m);
        assert_eq!(grid.cell_z_m(FRAME.cell(5)), None);
        assert_eq!(grid.cell_z_m(FRAME.cell(6)), Some(1.0));
    }
}
