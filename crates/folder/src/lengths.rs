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
        let mut found = Lengths { column: None, to_m: |m| m };
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

/// Collects the good of many, or the faults of all.
pub(crate) fn gather<T>(all: impl IntoIterator<Item = Result<T, Fault>>, faults: &mut Vec<Fault>) -> Vec<T> {
    let mut good = Vec::new();
    for one in all {
        match one {
            Ok(one) => good.push(one),
            Err(fault) => faults.push(fault),
        }
    }
    good
}

/// Finds the columns of these stems; a stem that ends in `!` must be there. Columns of other names than these
/// and `texts` are faults, because a misspelt column would be missing without a word.
pub(crate) fn columns<const N: usize>(
    table: &Table,
    stems: [&str; N],
    texts: &[&str],
) -> Result<[Lengths; N], Vec<Fault>> {
    let names = stems.map(|stem| stem.trim_end_matches('!'));
    let mut known: Vec<String> = texts.iter().map(|name| (*name).to_owned()).collect();
    known.extend(names.into_iter().flat_map(names_of));
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    let mut faults = table.unknown_columns(&known);
    let find = |stem: &str| match stem.strip_suffix('!') {
        Some(stem) => Lengths::require(table, stem),
        None => Lengths::find(table, stem),
    };
    let found = gather(stems.map(find), &mut faults);
    if faults.is_empty() { Ok(found.try_into().expect("one column for each stem")) } else { Err(faults) }
}

pub(crate) fn text_of(row: &Row, column: Option<ColumnIdx>) -> String {
    column.map_or_else(String::new, |column| row.text(column).to_owned())
}

/// Every name a stem may have: for the list of known columns.
pub(crate) fn names_of(stem: &str) -> impl Iterator<Item = String> {
    UNITS.iter().map(move |(unit, _)| format!("{stem}{unit}"))
}
