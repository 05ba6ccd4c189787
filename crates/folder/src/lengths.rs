//! Columns of lengths, in the unit their name declares.

use quantity::convert::{ft_to_m, mm_to_m};

use crate::Fault;
use crate::table::{ColumnIdx, Row, Table};

/// What a column name ends in, and what makes metres of its numbers.
type Unit = (&'static str, fn(f64) -> f64);

/// Units a column's name may end in.
const UNITS: [Unit; 3] = [("_m", |m| m), ("_mm", mm_to_m), ("_ft", ft_to_m)];

/// A column of lengths, or its absence: then every cell is blank.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lengths {
    column: Option<ColumnIdx>,
    to_m: fn(f64) -> f64,
}

impl Lengths {
    /// The column called `stem` and a unit: `backsight_m`, `backsight_mm` or `backsight_ft`. Feet are never
    /// guessed: they are declared by the name.
    ///
    /// # Errors
    /// Two columns of one stem.
    pub(crate) fn find(table: &Table, stem: &str) -> Result<Lengths, Fault> {
        let mut found = Lengths {
            column: None,
            to_m: |m| m,
        };
        for (unit, to_m) in UNITS {
            let Some(column) = table.column(&format!("{stem}{unit}")) else {
                continue;
            };
            if found.column.is_some() {
                let words = format!("\"{stem}\" is there in two units");
                return Err(table.fault_of_column(column, "unit-twice", words, "keep one of the columns"));
            }
            let column = Some(column);
            found = Lengths { column, to_m };
        }
        Ok(found)
    }

    /// The same, where the column must be there.
    pub(crate) fn require(table: &Table, stem: &str) -> Result<Lengths, Fault> {
        let lengths = Lengths::find(table, stem)?;
        match lengths.column {
            Some(_) => Ok(lengths),
            None => table.require(&format!("{stem}_m")).map(|_| lengths),
        }
    }

    /// The length in a row; none where it is blank.
    pub(crate) fn m(&self, row: &Row) -> Result<Option<f64>, Fault> {
        match self.column {
            Some(column) => Ok(row.number(column)?.map(self.to_m)),
            None => Ok(None),
        }
    }

    /// Its column; none where it is not there.
    pub(crate) fn column(&self) -> Option<ColumnIdx> {
        self.column
    }
}

/// Every name a stem may have: for the list of known columns.
pub(crate) fn names_of(stem: &str) -> impl Iterator<Item = String> {
    UNITS.iter().map(move |(unit, _)| format!("{stem}{unit}"))
}
