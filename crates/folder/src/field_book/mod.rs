//! The field book, `field-book.csv`: what was seen, a row a thing.
//!
//! It is a book, so nothing in it is rubbed out: a later row of the same `id` puts an earlier one right, or with
//! `struck` = yes strikes it out. So an entry that comes in twice does no harm, two people can write, and one save only
//! adds rows at the end: every other byte stays. A row written by hand without an `id` is named by its own text.
//!
//! A figure stands with its unit, because nobody can tell 12 mm from 12 inches of rain afterwards.

mod write;

#[cfg(test)]
mod tests;

use quantity::convert::inch_to_mm;
use quantity::fingerprint;
use site::{Day, Seen, SeenAt, SeenKind, When, nearest};

use crate::Fault;
use crate::table::{ColumnIdx, Row, Table, shown};

pub use write::{Added, note_down};

/// Name of the field book in a site folder.
pub const FIELD_BOOK: &str = "field-book.csv";

/// Its columns, as a new book has them.
pub const COLUMNS: [&str; 15] = [
    "id",
    "date",
    "time",
    "kind",
    "line",
    "chainage_m",
    "x_m",
    "y_m",
    "tree",
    "value",
    "unit",
    "note",
    "photo",
    "who",
    "struck",
];

/// More rain than this in one entry is no reading: the greatest ever measured in two days is 2493 mm (WMO archive of
/// weather extremes, from memory).
const MOST_RAIN_MM: f64 = 2500.0;

/// One row as it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What was seen.
    pub seen: Seen,
    /// Whether it strikes out what was written under its name.
    pub struck: bool,
}

/// Reads a field book: every row in order.
///
/// # Errors
/// Every fault of the table.
pub fn read_field_book(file: &str, bytes: &[u8]) -> Result<Vec<Entry>, Vec<Fault>> {
    let table = Table::read(file, bytes)?;
    let mut faults = table.unknown_columns(&COLUMNS);
    let needed = |name: &str| table.require(name);
    let columns = match (needed("date"), needed("kind")) {
        (Ok(date), Ok(kind)) => Columns { table: &table, date, kind },
        (date, kind) => {
            faults.extend(date.err().into_iter().chain(kind.err()));
            return Err(faults);
        }
    };
    let mut entries = Vec::new();
    for row in table.rows() {
        match columns.entry(&row) {
            Ok(entry) => entries.push(entry),
            Err(more) => faults.extend(more),
        }
    }
    if faults.is_empty() { Ok(entries) } else { Err(faults) }
}

/// What holds of a book: each thing as its last row has it, without those that were struck out, in the order in which
/// they were first written down.
pub fn what_holds(entries: &[Entry]) -> Vec<Seen> {
    let mut last: Vec<&Entry> = Vec::new();
    for entry in entries {
        match last.iter_mut().find(|known| known.seen.id == entry.seen.id) {
            Some(known) => *known = entry,
            None => last.push(entry),
        }
    }
    last.into_iter().filter(|entry| !entry.struck).map(|entry| entry.seen.clone()).collect()
}

/// The table with the columns that every row needs.
struct Columns<'a> {
    table: &'a Table,
    date: ColumnIdx,
    kind: ColumnIdx,
}

impl Columns<'_> {
    fn text<'r>(&self, row: &Row<'r>, name: &str) -> &'r str {
        self.table.column(name).map_or("", |column| row.text(column))
    }

    fn some_text(&self, row: &Row, name: &str) -> Option<String> {
        Some(self.text(row, name).to_owned()).filter(|text| !text.is_empty())
    }

    fn entry(&self, row: &Row) -> Result<Entry, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut keep = |fault| faults.push(fault);
        let when = self.when(row).map_err(&mut keep).ok();
        let kind = self.kind(row).map_err(&mut keep).ok();
        let value = kind.and_then(|kind| self.value(row, kind).map_err(&mut keep).ok()).flatten();
        let place = self.place(row).map_err(&mut keep).ok();
        let struck = self.struck(row).map_err(&mut keep).ok();
        let (Some(when), Some(kind), Some(place), Some(struck)) = (when, kind, place, struck) else {
            return Err(faults);
        };
        if !faults.is_empty() {
            return Err(faults);
        }
        let id = self.some_text(row, "id").unwrap_or_else(|| self.own_name(row));
        let seen = Seen {
            id,
            when,
            kind,
            place,
            value,
            note: unguarded(self.text(row, "note")).to_owned(),
            photo: self.some_text(row, "photo"),
            who: self.some_text(row, "who").map(|who| unguarded(&who).to_owned()),
        };
        Ok(Entry { seen, struck })
    }

    /// The name of a row that was given none: the same text has the same.
    fn own_name(&self, row: &Row) -> String {
        let cells: Vec<&str> = COLUMNS.iter().map(|name| self.text(row, name)).collect();
        format!("row-{}", fingerprint(cells.join("\u{1f}").as_bytes()))
    }

    fn when(&self, row: &Row) -> Result<When, Fault> {
        let text = row.text(self.date);
        let day = Day::parse(text).ok_or_else(|| {
            let found = format!("\"{}\" is not a day", shown(text));
            row.fault(self.date, "not-a-day", found, "write it as 2026-11-25")
        })?;
        let clock = self.text(row, "time");
        let minute = When::minute_of(clock);
        if minute.is_none() && !clock.is_empty() {
            let column = self.table.column("time").expect("it holds a text");
            let found = format!("\"{}\" is not a clock", shown(clock));
            return Err(row.fault(column, "not-a-clock", found, "write it as 14:05, or leave it blank"));
        }
        Ok(When { day, minute })
    }

    fn kind(&self, row: &Row) -> Result<SeenKind, Fault> {
        let text = row.text(self.kind);
        SeenKind::ALL.iter().copied().find(|kind| kind.words().eq_ignore_ascii_case(text)).ok_or_else(|| {
            let known: Vec<&str> = SeenKind::ALL.iter().map(|kind| kind.words()).collect();
            let meant = nearest(text, known.iter().copied());
            let advice = match meant {
                Some(meant) => format!("did you mean \"{meant}\"?"),
                None => format!("write one of {}", known.join(", ")),
            };
            let found = format!("\"{}\" is no kind of thing seen", shown(text));
            row.fault(self.kind, "kind-unknown", found, &advice)
        })
    }

    /// The figure in the unit of its kind.
    fn value(&self, row: &Row, kind: SeenKind) -> Result<Option<f64>, Fault> {
        let Some(column) = self.table.column("value") else {
            return Ok(None);
        };
        let Some(value) = row.number(column)? else {
            return Ok(None);
        };
        let told = |code, found: String, advice: &str| Err(row.fault(column, code, found, advice));
        let Some(unit) = kind.unit() else {
            let found = format!("\"{}\" has no figure", kind.words());
            return told(
                "value-without-use",
                found,
                "write it into the note; how far along goes under chainage_m",
            );
        };
        let value = match (kind, self.text(row, "unit")) {
            (_, written) if written == unit => value,
            (SeenKind::Rain, "in") => inch_to_mm(value),
            (_, written) => {
                let found = match written {
                    "" => format!("the figure {value} has no unit"),
                    _ => format!("\"{}\" is no unit of {}", shown(written), kind.words()),
                };
                let inches = if kind == SeenKind::Rain { ", or in for inches" } else { "" };
                return told("unit-missing", found, &format!("write {unit} under unit{inches}"));
            }
        };
        if value < 0.0 {
            return told("value-negative", format!("{value} is less than nothing"), "write what was seen");
        }
        if kind == SeenKind::Rain && value > MOST_RAIN_MM {
            let found = format!("{value} mm of rain has never been seen");
            return told("rain-too-deep", found, "see that the unit is right");
        }
        Ok(Some(value))
    }

    fn place(&self, row: &Row) -> Result<SeenAt, Fault> {
        let number = |name: &str| match self.table.column(name) {
            Some(column) => Ok(row.number(column)?.map(|value| (column, value))),
            None => Ok(None),
        };
        let chainage = number("chainage_m")?;
        if let Some((column, value)) = chainage.filter(|(_, value)| *value < 0.0) {
            let found = format!("{value} m lies before the first peg");
            return Err(row.fault(column, "chainage-negative", found, "count metres from the first peg"));
        }
        let at = match (number("x_m")?, number("y_m")?) {
            (Some((_, x_m)), Some((_, y_m))) => Some([x_m, y_m]),
            (None, None) => None,
            (Some((column, _)), None) | (None, Some((column, _))) => {
                let found = "one of x_m and y_m is missing".to_owned();
                return Err(row.fault(column, "place-half", found, "write both, or neither"));
            }
        };
        Ok(SeenAt {
            line: self.some_text(row, "line"),
            chainage_m: chainage.map(|(_, value)| value),
            tree: self.some_text(row, "tree"),
            at,
        })
    }

    fn struck(&self, row: &Row) -> Result<bool, Fault> {
        match self.text(row, "struck").to_ascii_lowercase().as_str() {
            "" | "no" => Ok(false),
            "yes" => Ok(true),
            other => {
                let column = self.table.column("struck").expect("it holds a text");
                let found = format!("\"{}\" is neither yes nor no", shown(other));
                Err(row.fault(
                    column,
                    "not-yes-or-no",
                    found,
                    "write yes to strike the entry out, or leave it blank",
                ))
            }
        }
    }
}

/// Marks that a spreadsheet takes for the start of a formula.
const FORMULA_MARKS: [char; 4] = ['=', '+', '-', '@'];

/// Words as they are written: a spreadsheet shall not run them.
fn guarded(words: &str) -> String {
    let risky = words.starts_with(FORMULA_MARKS) || words.starts_with('\'');
    if risky { format!("'{words}") } else { words.to_owned() }
}

/// Words as they were meant.
fn unguarded(written: &str) -> &str {
    match written.strip_prefix('\'') {
        Some(rest) if rest.starts_with(FORMULA_MARKS) || rest.starts_with('\'') => rest,
        _ => written,
    }
}
