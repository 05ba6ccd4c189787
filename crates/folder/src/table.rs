//! Tables as people write them: CSV from a spreadsheet, a phone or an editor.
//!
//! The first line that is not blank or a comment names the columns; the mark most frequent in it (tab, `;`,
//! `|` or `,`) divides the cells. A cell may stand in double quotes, and then hold that mark, a line end or a
//! doubled quote. Lines that begin with `#` are comments. UTF-8 with or without its mark, and UTF-16 with its
//! mark, are text; anything else is refused.
//!
//! A decimal comma is understood where cells are not divided by commas. Thousands marks are refused, because
//! nobody can tell 1,234 from 1.234. A blank cell is missing, never 0.

mod cells;
pub(crate) mod text;

use crate::Fault;

/// Marks that may divide cells, in the order that settles ties.
const DELIMITERS: [char; 4] = ['\t', ';', '|', ','];

/// A table: named columns and rows of cells, each knowing where in the file it stands.
#[derive(Debug, Clone)]
pub struct Table {
    file: String,
    delimiter: char,
    names: Vec<Cell>,
    rows: Vec<Vec<Cell>>,
    end_line: usize,
}

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Cell {
    text: String,
    line: usize,
    column: usize,
}

/// A column of a [`Table`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ColumnIdx(usize);

/// A row of a [`Table`].
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    table: &'a Table,
    cells: &'a [Cell],
}

impl Table {
    /// Reads a table whole, or every fault of its form: bytes that are not text, a quote that never ends, no
    /// header, a column named twice, a cell under no name.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Table, Vec<Fault>> {
        let table = Table::parse(file, bytes)?;
        let faults = table.faults_of_form();
        if faults.is_empty() { Ok(table) } else { Err(faults) }
    }

    /// The same without a look at its form: for a reader that first asks whether its columns are there at all,
    /// because a file of another kind would have a fault in every row.
    pub(crate) fn parse(file: &str, bytes: &[u8]) -> Result<Table, Vec<Fault>> {
        let text = text::decode(file, bytes).map_err(|fault| vec![fault])?;
        let delimiter = cells::sniff(&text, &DELIMITERS);
        let mut records = cells::split(file, &text, delimiter).map_err(|fault| vec![fault])?.into_iter();
        let Some(names) = records.next() else {
            let found = "the file has no lines";
            let advice = "write the column names on the first line";
            return Err(vec![Fault::of_file(file, "table-empty", found, advice)]);
        };
        Ok(Table {
            file: file.to_owned(),
            delimiter,
            names,
            rows: records.collect(),
            end_line: text.lines().count().max(1),
        })
    }

    /// A column named twice, or the first cell of a row under no name.
    pub(crate) fn faults_of_form(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        for (i, name) in self.names.iter().enumerate() {
            let named_before = self.names[..i].iter().any(|other| same_name(&other.text, &name.text));
            if !name.text.is_empty() && named_before {
                faults.push(self.fault_at(
                    name,
                    "column-twice",
                    format!("column \"{}\" is named twice", name.text),
                    "rename or delete one of the two",
                ));
            }
        }
        for row in &self.rows {
            let named = |i: usize| self.names.get(i).is_some_and(|name| !name.text.is_empty());
            let stray = row.iter().enumerate().find(|(i, cell)| !cell.text.is_empty() && !named(*i));
            if let Some((_, cell)) = stray {
                faults.push(self.fault_at(
                    cell,
                    "cell-without-column",
                    format!("\"{}\" stands under no column name", shown(&cell.text)),
                    "name the column on the first line, or put text that holds the dividing mark in quotes",
                ));
            }
        }
        faults
    }

    /// The file it came from, as the person named it.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The mark that divides its cells.
    pub fn delimiter(&self) -> char {
        self.delimiter
    }

    /// Names of its columns, in order, as written.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.names.iter().map(|name| name.text.as_str())
    }

    /// Line of the file on which its columns are named, 1 for the first.
    pub(crate) fn names_line(&self) -> usize {
        self.names[0].line
    }

    /// Name of a column, as written.
    pub(crate) fn name(&self, column: ColumnIdx) -> Option<&str> {
        self.names.get(column.0).map(|name| name.text.as_str())
    }

    /// The column of this name, capitals or not.
    pub fn column(&self, name: &str) -> Option<ColumnIdx> {
        let found = self.names.iter().position(|cell| same_name(&cell.text, name));
        found.map(ColumnIdx)
    }

    /// The column of this name.
    ///
    /// # Errors
    /// There is none; the fault names the columns there are.
    pub fn require(&self, name: &str) -> Result<ColumnIdx, Fault> {
        self.column(name).ok_or_else(|| {
            let there: Vec<&str> = self.names().collect();
            self.fault_at(
                &self.names[0],
                "column-missing",
                format!("no column \"{name}\" among {}", shown(&there.join(", "))),
                "add it to the first line",
            )
        })
    }

    /// A fault for each column whose name is not one of these.
    pub fn unknown_columns(&self, known: &[&str]) -> Vec<Fault> {
        let unknown = |name: &&Cell| !name.text.is_empty() && !known.iter().any(|k| same_name(k, &name.text));
        let fault = |name: &Cell| {
            self.fault_at(
                name,
                "column-unknown",
                format!("column \"{}\" is not known here", shown(&name.text)),
                &format!("use one of {}", known.join(", ")),
            )
        };
        self.names.iter().filter(unknown).map(fault).collect()
    }

    /// Its rows, in order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }

    /// Number of its rows.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// A fault of the table as a whole, such as too few rows; it points at the last line.
    pub fn fault(&self, code: &'static str, found: String, advice: &str) -> Fault {
        Fault::of_file(&self.file, code, found, advice).on_line(self.end_line)
    }

    /// A fault of a column, shown at its name.
    pub fn fault_of_column(
        &self,
        column: ColumnIdx,
        code: &'static str,
        found: String,
        advice: &str,
    ) -> Fault {
        self.fault_at(&self.names[column.0], code, found, advice)
    }

    fn fault_at(&self, cell: &Cell, code: &'static str, found: String, advice: &str) -> Fault {
        Fault::of_file(&self.file, code, found, advice).at(cell.line, cell.column)
    }
}

impl<'a> Row<'a> {
    /// Line of the file it starts on, 1 for the first.
    pub fn line(&self) -> usize {
        self.cells[0].line
    }

    /// The text of a cell without blanks round it; empty where the row is too short.
    pub fn text(&self, column: ColumnIdx) -> &'a str {
        self.cells.get(column.0).map_or("", |cell| cell.text.as_str())
    }

    /// The number in a cell; none where it is blank.
    ///
    /// # Errors
    /// The cell holds something else.
    pub fn number(&self, column: ColumnIdx) -> Result<Option<f64>, Fault> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        let decimal_comma = self.table.delimiter != ',';
        match cells::number(text, decimal_comma) {
            Ok(value) => Ok(Some(value)),
            Err(advice) => {
                let found = format!("\"{}\" is not a number", shown(text));
                Err(self.fault(column, "not-a-number", found, advice))
            }
        }
    }

    /// A fault of one of its cells.
    pub fn fault(&self, column: ColumnIdx, code: &'static str, found: String, advice: &str) -> Fault {
        let cell = self.cells.get(column.0).unwrap_or(&self.cells[0]);
        self.table.fault_at(cell, code, found, advice)
    }
}

fn same_name(a: &str, b: &str) -> bool {
    a.eq_ignore_ascii_case(b)
}

/// Text as a message shows it: short, and without marks that would disturb the terminal.
pub(crate) fn shown(text: &str) -> String {
    /// Characters of a cell that a message repeats.
    const LONGEST: usize = 40;
    let plain = |c: char| if c.is_control() { '\u{FFFD}' } else { c };
    let mut short: String = text.chars().take(LONGEST).map(plain).collect();
    if text.chars().nth(LONGEST).is_some() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests;
