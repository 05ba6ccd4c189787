//! A level book as booked, and what makes it one.
//!
//! A run starts with a backsight on a known height, changes the instrument over points that are read twice
//! (foresight, then backsight), and ends with a foresight. Between them stand intermediate sights. A change
//! point may be booked on one row or on two with the same name, as when it is carried over a page.

/// A row of a book, as written.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Row {
    /// The point the staff stood on.
    pub point: String,
    /// First reading of a setup.
    pub backsight_m: Option<f64>,
    /// A reading between.
    pub intermediate_m: Option<f64>,
    /// Last reading of a setup.
    pub foresight_m: Option<f64>,
    /// Height known or worked out by hand.
    pub z_m: Option<f64>,
    /// Distance levelled from the first point.
    pub chainage_m: Option<f64>,
}

/// What was read on a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sights {
    /// The known height the run starts from.
    Start {
        /// Reading back to it.
        backsight_m: f64,
    },
    /// A point on the way.
    Intermediate {
        /// Reading on it.
        intermediate_m: f64,
    },
    /// A point over which the instrument was moved.
    Change {
        /// Reading before the move.
        foresight_m: f64,
        /// Reading after it.
        backsight_m: f64,
    },
    /// The last point.
    End {
        /// Reading on it.
        foresight_m: f64,
    },
}

/// A point of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Its name.
    pub point: String,
    /// What was read on it.
    pub sights: Sights,
    /// Height known or worked out by hand.
    pub z_m: Option<f64>,
    /// Distance levelled from the first point.
    pub chainage_m: Option<f64>,
}

/// A run that starts, changes and ends as it must. The first station has a height.
#[derive(Debug, Clone, PartialEq)]
pub struct Book {
    stations: Vec<Station>,
}

/// What is wrong with a row. Each message says what was found, a colon, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BookError {
    /// Nothing was booked.
    #[error("the book has no readings: book at least a backsight on a known point and a foresight")]
    Empty,
    /// A row without a reading.
    #[error(
        "no reading on this point: book its backsight, intermediate sight or foresight, or delete the row"
    )]
    NoReading,
    /// An intermediate sight beside another.
    #[error(
        "an intermediate sight beside a backsight or foresight: a point is one or the other; use two rows"
    )]
    TwoKinds,
    /// The first row is not a backsight alone.
    #[error(
        "the run does not start with a backsight alone: book the first reading as one, on a known height"
    )]
    NoStart,
    /// The first point has no height.
    #[error(
        "the first point has no z_m: give its known height, or any round one, such as 100, for a site of your own"
    )]
    NoStartHeight,
    /// A backsight alone after the first row.
    #[error(
        "a backsight without a foresight after the run began: book the foresight taken on this point before the \
         instrument was moved; if a second run starts here, give it a file of its own"
    )]
    MissingForesight,
    /// A foresight alone before the last row.
    #[error(
        "a foresight without a backsight, and more readings follow: book the backsight taken on this point after \
         the instrument was moved"
    )]
    MissingBacksight,
    /// The last row is an intermediate sight.
    #[error("the run ends with an intermediate sight: the last reading is a foresight; book it as one")]
    EndsOnIntermediate,
    /// The last row has a backsight.
    #[error(
        "the run ends with a backsight from which nothing was read: delete it, or book what was read after it"
    )]
    EndsOnBacksight,
    /// A reading no staff gives.
    #[error(
        "a reading of {value_m:?} m: no staff is longer than {limit_m} m; is it in millimetres or centimetres?"
    )]
    ReadingTooLong {
        /// The reading.
        value_m: f64,
        /// The limit.
        limit_m: f64,
    },
    /// A height nobody stands at.
    #[error(
        "a height of {value_m:?} m: heights lie between {low_m} and {high_m} m; check the point and the unit"
    )]
    HeightOutOfReach {
        /// The height.
        value_m: f64,
        /// Lowest taken.
        low_m: f64,
        /// Highest taken.
        high_m: f64,
    },
    /// A chainage that goes back.
    #[error(
        "chainage {value_m:?} m after {before_m:?} m: chainage counts on from the first point and never falls"
    )]
    ChainageFalls {
        /// The chainage.
        value_m: f64,
        /// The one before.
        before_m: f64,
    },
    /// A setup from which fewer than two readings were taken.
    #[error("setup {setup} has {count} reading: each has at least two, one back and one forward")]
    LonelyReading {
        /// The setup, 1 for the first.
        setup: usize,
        /// Its readings.
        count: usize,
    },
    /// The change point has two names.
    #[error(
        "the last point of a setup is \"{last}\" and the first of the next \"{first}\": both readings are on one point"
    )]
    ChangeOnTwoPoints {
        /// Named before the move.
        last: String,
        /// Named after it.
        first: String,
    },
}

/// A fault of one row.
#[derive(Debug, Clone, PartialEq)]
pub struct RowFault {
    /// The row, counted from 0.
    pub row: usize,
    /// What is wrong.
    pub error: BookError,
}

/// Four of the longest staffs in common use (5 m): leaves room for a rod down a well, and still catches
/// readings in centimetres. Common practice.
const LONGEST_READING_M: f64 = 20.0;
/// Lower than any land.
const LOWEST_Z_M: f64 = -1000.0;
/// Higher than any land.
const HIGHEST_Z_M: f64 = 10_000.0;

impl Book {
    /// A book from its rows.
    ///
    /// # Errors
    /// Every fault of every row.
    pub fn new(rows: &[Row]) -> Result<Book, Vec<RowFault>> {
        let mut faults = Vec::new();
        let mut stations: Vec<Station> = Vec::with_capacity(rows.len());
        if rows.is_empty() {
            faults.push(RowFault { row: 0, error: BookError::Empty });
        }
        for (row, booked) in rows.iter().enumerate() {
            let mut found = value_faults(booked, &rows[..row]);
            match sights(rows, row) {
                Ok(Some(sights)) => stations.push(Station {
                    point: booked.point.clone(),
                    sights,
                    z_m: booked.z_m,
                    chainage_m: booked.chainage_m,
                }),
                // Second row of a change point: its height may stand on either.
                Ok(None) => {
                    if let Some(change) = stations.last_mut() {
                        change.z_m = change.z_m.or(booked.z_m);
                        change.chainage_m = change.chainage_m.or(booked.chainage_m);
                    }
                }
                Err(error) => found.push(error),
            }
            faults.extend(found.into_iter().map(|error| RowFault { row, error }));
        }
        if faults.is_empty() { Ok(Book { stations }) } else { Err(faults) }
    }

    /// Its points in the order they were read; at least two.
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// Known height of the first point.
    pub fn start_z_m(&self) -> f64 {
        self.stations[0].z_m.expect("a book's first station has a height")
    }
}

/// What the readings of a row make it; none for the second row of a change point.
fn sights(rows: &[Row], row: usize) -> Result<Option<Sights>, BookError> {
    let booked = &rows[row];
    let (first, last) = (row == 0, row + 1 == rows.len());
    let sights = match (booked.backsight_m, booked.intermediate_m, booked.foresight_m) {
        (None, None, None) => return Err(BookError::NoReading),
        (Some(_), Some(_), _) | (_, Some(_), Some(_)) => return Err(BookError::TwoKinds),
        (Some(_), None, None) if first && last => return Err(BookError::EndsOnBacksight),
        (Some(backsight_m), None, None) if first => Sights::Start { backsight_m },
        _ if first => return Err(BookError::NoStart),
        (Some(_), None, None) if carries_on(&rows[row - 1], booked) => {
            return if last { Err(BookError::EndsOnBacksight) } else { Ok(None) };
        }
        (Some(_), None, None) => return Err(BookError::MissingForesight),
        (Some(_), None, Some(_)) if last => return Err(BookError::EndsOnBacksight),
        (Some(backsight_m), None, Some(foresight_m)) => Sights::Change { foresight_m, backsight_m },
        (None, Some(_), None) if last => return Err(BookError::EndsOnIntermediate),
        (None, Some(intermediate_m), None) => Sights::Intermediate { intermediate_m },
        (None, None, Some(foresight_m)) if last => Sights::End { foresight_m },
        (None, None, Some(foresight_m)) => match rows[row + 1].backsight_m {
            Some(backsight_m) if carries_on(booked, &rows[row + 1]) => {
                Sights::Change { foresight_m, backsight_m }
            }
            _ => return Err(BookError::MissingBacksight),
        },
    };
    Ok(Some(sights))
}

/// Whether two rows are one change point: a foresight alone, then a backsight alone, on one named point.
fn carries_on(before: &Row, after: &Row) -> bool {
    let foresight_alone =
        before.foresight_m.is_some() && before.backsight_m.is_none() && before.intermediate_m.is_none();
    let backsight_alone =
        after.backsight_m.is_some() && after.foresight_m.is_none() && after.intermediate_m.is_none();
    foresight_alone && backsight_alone && !before.point.is_empty() && before.point == after.point
}

fn value_faults(booked: &Row, before: &[Row]) -> Vec<BookError> {
    let mut found = Vec::new();
    let readings = [booked.backsight_m, booked.intermediate_m, booked.foresight_m];
    for value_m in readings.into_iter().flatten() {
        if !(-LONGEST_READING_M..=LONGEST_READING_M).contains(&value_m) {
            found.push(BookError::ReadingTooLong { value_m, limit_m: LONGEST_READING_M });
        }
    }
    if before.is_empty() && booked.z_m.is_none() {
        found.push(BookError::NoStartHeight);
    }
    if let Some(value_m) = booked.z_m.filter(|z_m| !(LOWEST_Z_M..=HIGHEST_Z_M).contains(z_m)) {
        found.push(BookError::HeightOutOfReach { value_m, low_m: LOWEST_Z_M, high_m: HIGHEST_Z_M });
    }
    let before_m = before.iter().rev().find_map(|row| row.chainage_m).unwrap_or(0.0);
    if let Some(value_m) = booked.chainage_m.filter(|value_m| !(before_m..f64::INFINITY).contains(value_m)) {
        found.push(BookError::ChainageFalls { value_m, before_m });
    }
    found
}

/// One reading of a staff.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// The point; may be empty.
    pub point: String,
    /// The reading.
    pub staff_m: f64,
    /// Height known or worked out by hand.
    pub z_m: Option<f64>,
}

/// Rows from readings in the order they were taken, one list a setup: the first of each is its backsight, the
/// last its foresight, and the first after a move is on the same point as the last before it. Taking that jump
/// for a rise or fall is the mistake that such lists invite.
///
/// # Errors
/// A setup with fewer than two readings, or a change point with two names; the fault's row is the setup.
pub fn rows_of_setups(setups: &[Vec<Shot>]) -> Result<Vec<Row>, Vec<RowFault>> {
    let mut rows: Vec<Row> = Vec::new();
    let mut faults = Vec::new();
    for (i, shots) in setups.iter().enumerate() {
        if shots.len() < 2 {
            let (setup, count) = (i + 1, shots.len());
            let error = BookError::LonelyReading { setup, count };
            faults.push(RowFault { row: i, error });
            continue;
        }
        match rows.last_mut() {
            Some(change) => {
                if let Err(error) = carry_over(change, &shots[0]) {
                    faults.push(RowFault { row: i, error });
                }
            }
            None => rows.push(Row { backsight_m: Some(shots[0].staff_m), ..row_on(&shots[0]) }),
        }
        let (last, between) = shots[1..].split_last().expect("at least two readings");
        rows.extend(between.iter().map(|shot| Row { intermediate_m: Some(shot.staff_m), ..row_on(shot) }));
        rows.push(Row { foresight_m: Some(last.staff_m), ..row_on(last) });
    }
    if faults.is_empty() { Ok(rows) } else { Err(faults) }
}

fn row_on(shot: &Shot) -> Row {
    Row { point: shot.point.clone(), z_m: shot.z_m, ..Row::default() }
}

/// Books the first reading after a move on the row of the last before it.
fn carry_over(change: &mut Row, shot: &Shot) -> Result<(), BookError> {
    change.backsight_m = Some(shot.staff_m);
    change.z_m = change.z_m.or(shot.z_m);
    if change.point.is_empty() {
        change.point.clone_from(&shot.point);
    } else if !shot.point.is_empty() && shot.point != change.point {
        return Err(BookError::ChangeOnTwoPoints { last: change.point.clone(), first: shot.point.clone() });
    }
    Ok(())
}
