//! Level books, as CSV.
//!
//! Three ways of booking, told apart by their columns:
//! - `point, backsight_m, intermediate_m, foresight_m, z_m, note`: the classic book, one point a row. `z_m` is
//!   the known height of the first point, of the last if it is a mark, and of marks on the way; where every row
//!   has one they are heights worked out by hand. `chainage_m` is the distance levelled so far.
//! - `setup, reading_m, point, z_m, note`: readings in the order they were taken, each with the number of the
//!   setup it was taken from.
//! - `from, to, from_reading_m, to_reading_m, from_z_m, to_z_m, note`: a hose level, one pair of staffs a row.
//!
//! `_mm` or `_ft` instead of `_m` in a column's name says that it is in millimetres or in feet.

use ground::levels::{Book, BookError, Row, RowFault, Shot, rows_of_setups};

use crate::Fault;
use crate::lengths::{Lengths, columns, gather, names_of, text_of};
use crate::table::{self, ColumnIdx, Table};

/// How a book was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Booking {
    /// One point a row, with backsight, intermediate sight and foresight.
    Sights,
    /// One reading a row, with its setup.
    Readings,
    /// One pair of staffs of a hose level a row.
    Hose,
}

/// A level book read from a file.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelBook {
    /// How it was kept.
    pub booking: Booking,
    /// What it says.
    pub book: Book,
}

/// Reads a level book, or every fault of it.
pub fn read_level_book(file: &str, bytes: &[u8]) -> Result<LevelBook, Vec<Fault>> {
    level_book(&Table::read(file, bytes)?)
}

/// The way of booking a table's columns show.
pub(crate) fn booking(table: &Table) -> Option<Booking> {
    let has = |stem: &str| names_of(stem).any(|name| table.column(&name).is_some());
    if has("backsight") || has("foresight") {
        Some(Booking::Sights)
    } else if has("from_reading") || has("to_reading") {
        Some(Booking::Hose)
    } else if table.column("setup").is_some() {
        Some(Booking::Readings)
    } else {
        None
    }
}

/// The book in a table, or every fault of it.
pub(crate) fn level_book(table: &Table) -> Result<LevelBook, Vec<Fault>> {
    let booking = booking(table).unwrap_or(Booking::Sights);
    let book = match booking {
        Booking::Sights => book_of_sights(table),
        Booking::Readings => book_of_readings(table),
        Booking::Hose => book_of_hose(table),
    }?;
    Ok(LevelBook { booking, book })
}

fn book_of_sights(table: &Table) -> Result<Book, Vec<Fault>> {
    let stems = ["backsight!", "intermediate", "foresight!", "z", "chainage"];
    let lengths = columns(table, stems, &["point", "note"])?;
    let point = table.column("point");
    let mut faults = Vec::new();
    let mut rows = Vec::with_capacity(table.len());
    for row in table.rows() {
        let [backsight_m, intermediate_m, foresight_m, z_m] =
            lengths.first_chunk().expect("five columns").map(|column| legible(column.m(&row), &mut faults));
        let chainage_m = lengths[4].m(&row).unwrap_or_else(|fault| {
            faults.push(fault);
            None
        });
        rows.push(Row {
            point: text_of(&row, point),
            backsight_m,
            intermediate_m,
            foresight_m,
            z_m,
            chainage_m,
        });
    }
    let place = |fault: &RowFault| place_among_sights(&rows, fault, &lengths);
    match Book::new(&rows) {
        Ok(book) if faults.is_empty() => Ok(book),
        Ok(_) => Err(faults),
        Err(found) => {
            faults.extend(told(table, &found, place));
            faults.sort_by_key(|fault| (fault.line, fault.column));
            Err(faults)
        }
    }
}

/// A cell's value. One that cannot be read is a fault, and stands as 0 while the book's form is looked at, so that
/// faults of other rows show in the same go; nothing is computed from it.
fn legible(read: Result<Option<f64>, Fault>, faults: &mut Vec<Fault>) -> Option<f64> {
    read.unwrap_or_else(|fault| {
        faults.push(fault);
        Some(0.0)
    })
}

/// The column a fault of a classic book is shown in.
fn place_among_sights(rows: &[Row], fault: &RowFault, lengths: &[Lengths; 5]) -> Option<ColumnIdx> {
    let [backsight, intermediate, foresight, z, chainage] = lengths;
    let too_long = |value: Option<f64>, value_m: f64| value.is_some_and(|m| m == value_m || m.is_nan());
    match &fault.error {
        BookError::ReadingTooLong { value_m, .. } => {
            let row = &rows[fault.row];
            if too_long(row.backsight_m, *value_m) {
                backsight.column()
            } else if too_long(row.intermediate_m, *value_m) {
                intermediate.column()
            } else {
                foresight.column()
            }
        }
        BookError::NoStartHeight | BookError::HeightOutOfReach { .. } => z.column(),
        BookError::ChainageFalls { .. } => chainage.column(),
        BookError::MissingForesight => foresight.column(),
        BookError::NoStart | BookError::NoReading | BookError::MissingBacksight => backsight.column(),
        BookError::EndsOnBacksight => backsight.column(),
        BookError::TwoKinds | BookError::EndsOnIntermediate => intermediate.column(),
        BookError::Empty | BookError::LonelyReading { .. } | BookError::ChangeOnTwoPoints { .. } => None,
    }
}

fn book_of_readings(table: &Table) -> Result<Book, Vec<Fault>> {
    let [reading, z] = columns(table, ["reading!", "z"], &["setup", "point", "note"])?;
    let setup = table.require("setup").map_err(|fault| vec![fault])?;
    let point = table.column("point");
    let mut faults = Vec::new();
    let shots = gather(table.rows().map(|row| shot(&row, reading, z, point)), &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut setups: Vec<Vec<Shot>> = Vec::new();
    // For each setup the row of the table it starts on.
    let mut starts = Vec::new();
    let mut before = None;
    for (i, (row, shot)) in table.rows().zip(shots).enumerate() {
        let number = row.text(setup);
        if before != Some(number) {
            before = Some(number);
            setups.push(Vec::new());
            starts.push(i);
        }
        setups.last_mut().expect("a setup was begun").push(shot);
    }
    let by_setup = |found: Vec<RowFault>| told(table, &moved(found, |setup| starts[setup]), |_| Some(setup));
    let rows = rows_of_setups(&setups).map_err(by_setup)?;
    // A change point is two rows of the table and one of the book.
    let change = |row: &Row| row.foresight_m.is_some() && row.backsight_m.is_some();
    let in_table = |row: usize| row + rows[..row].iter().filter(|row| change(row)).count();
    Book::new(&rows).map_err(|found| told(table, &moved(found, in_table), |_| reading.column()))
}

fn book_of_hose(table: &Table) -> Result<Book, Vec<Fault>> {
    let stems = ["from_reading!", "to_reading!", "from_z", "to_z"];
    let [from_reading, to_reading, from_z, to_z] = columns(table, stems, &["from", "to", "note"])?;
    let (from, to) = (table.column("from"), table.column("to"));
    let mut faults = Vec::new();
    let mut setups = Vec::new();
    for row in table.rows() {
        let pair = [shot(&row, from_reading, from_z, from), shot(&row, to_reading, to_z, to)];
        setups.push(gather(pair, &mut faults));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let rows = rows_of_setups(&setups).map_err(|found| told(table, &found, |_| from))?;
    // The book's rows are the first peg and then the far peg of each pair.
    let in_table = |row: usize| row.saturating_sub(1);
    Book::new(&rows).map_err(|found| told(table, &moved(found, in_table), |_| from_reading.column()))
}

/// A reading with its point and height.
fn shot(row: &table::Row, reading: Lengths, z: Lengths, point: Option<ColumnIdx>) -> Result<Shot, Fault> {
    let staff_m = reading.m(row)?.ok_or_else(|| {
        let column = reading.column().expect("a required column is there");
        let found = "a row without this reading".to_owned();
        row.fault(column, "no-reading", found, "write what the staff read, or delete the row")
    })?;
    Ok(Shot { point: text_of(row, point), staff_m, z_m: z.m(row)? })
}

/// Faults of rows of a book, or of setups, as faults of rows of the table.
fn moved(found: Vec<RowFault>, in_table: impl Fn(usize) -> usize) -> Vec<RowFault> {
    let at = |fault: RowFault| RowFault { row: in_table(fault.row), ..fault };
    found.into_iter().map(at).collect()
}

/// Faults of a book, in the words and at the place of the file.
fn told(table: &Table, found: &[RowFault], place: impl Fn(&RowFault) -> Option<ColumnIdx>) -> Vec<Fault> {
    let tell = |fault: &RowFault| {
        let words = fault.error.to_string();
        let (found, advice) =
            words.split_once(": ").expect("a message of a book says what to do after a colon");
        let code = code(&fault.error);
        match table.rows().nth(fault.row) {
            Some(row) => match place(fault) {
                Some(column) => row.fault(column, code, found.to_owned(), advice),
                None => table.fault(code, found.to_owned(), advice).on_line(row.line()),
            },
            None => table.fault(code, found.to_owned(), advice),
        }
    };
    found.iter().map(tell).collect()
}

fn code(error: &BookError) -> &'static str {
    match error {
        BookError::Empty => "book-empty",
        BookError::NoReading => "no-reading",
        BookError::TwoKinds => "two-kinds-of-sight",
        BookError::NoStart => "no-start",
        BookError::NoStartHeight => "no-start-height",
        BookError::MissingForesight => "missing-foresight",
        BookError::MissingBacksight => "missing-backsight",
        BookError::EndsOnIntermediate => "ends-on-intermediate",
        BookError::EndsOnBacksight => "ends-on-backsight",
        BookError::ReadingTooLong { .. } => "reading-too-long",
        BookError::HeightOutOfReach { .. } => "height-out-of-reach",
        BookError::ChainageFalls { .. } => "chainage-falls",
        BookError::LonelyReading { .. } => "lonely-reading",
        BookError::ChangeOnTwoPoints { .. } => "change-on-two-points",
    }
}

#[cfg(test)]
mod tests;
