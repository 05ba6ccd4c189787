//! Any file of levels: which kind it is shows in its columns.
//!
//! - a level book in one of three ways of booking (see [`crate::read_level_book`]);
//! - a tape-and-compass ring: `leg, bearing, back_bearing, length_m, rise_m, note`. With `rise_m`, the height
//!   difference of its ends, a length lies on the slope; without, it is horizontal;
//! - an A-frame turned on two pegs: `pair, reading_mm, turned_mm, spacing_m, bar_below_m, note`;
//! - pegs read back: `pair, fall_mm, note`, one reading a row;
//! - a two-peg test: `a_m, b_m, to_a_m, to_b_m, note`, the first row from midway, the second from elsewhere.

use ground::levels::two_peg::{Pair, Second};
use ground::tape;
use ground::tool::a_frame::AFrame;
use ground::traverse::Leg;

use crate::lengths::{Lengths, columns, gather, text_of};
use crate::level_book::{booking, level_book};
use crate::table::{self, ColumnIdx, Row, Table};
use crate::{Fault, LevelBook, bearing};

/// What a file of levels is.
#[derive(Debug, Clone, PartialEq)]
pub enum LevelFile {
    /// A level book.
    Book(LevelBook),
    /// A tape-and-compass ring.
    Traverse(Vec<TraverseLeg>),
    /// An A-frame turned on two pegs.
    Turned(Vec<Turned>),
    /// Pegs read back.
    ReadBack(Vec<PairReadBack>),
    /// A level tested on two pegs.
    TwoPeg(TwoPeg),
}

/// A level tested on two pegs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoPeg {
    /// Read from midway.
    pub midway: Pair,
    /// Read from elsewhere.
    pub second: Second,
}

/// A leg of a ring.
#[derive(Debug, Clone, PartialEq)]
pub struct TraverseLeg {
    /// Its name; may be empty.
    pub name: String,
    /// What was measured, its length horizontal.
    pub leg: Leg,
    /// What the slope took off its length.
    pub slope_took_m: f64,
}

/// An A-frame's two readings, turned between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// The pair of pegs; may be empty.
    pub pair: String,
    /// The frame.
    pub frame: AFrame,
    /// First reading on the bar.
    pub first_m: f64,
    /// Reading with the frame turned into the same footprints.
    pub turned_m: f64,
}

/// Readings at one pair of pegs.
#[derive(Debug, Clone, PartialEq)]
pub struct PairReadBack {
    /// The pair; may be empty.
    pub pair: String,
    /// How much lower the far peg was read to be, each time.
    pub falls_m: Vec<f64>,
}

/// Reads a file of levels of any kind, or every fault of it.
pub fn read_level_file(file: &str, bytes: &[u8]) -> Result<LevelFile, Vec<Fault>> {
    let table = Table::parse(file, bytes)?;
    let has = |name: &str| table.column(name).is_some();
    let known =
        has("bearing") || has("turned_mm") || has("fall_mm") || has("to_a_m") || booking(&table).is_some();
    let faults = if known { table.faults_of_form() } else { vec![no_kind(&table)] };
    if !faults.is_empty() {
        return Err(faults);
    }
    if has("bearing") {
        traverse(&table).map(LevelFile::Traverse)
    } else if has("turned_mm") {
        turned(&table).map(LevelFile::Turned)
    } else if has("fall_mm") {
        read_back(&table).map(LevelFile::ReadBack)
    } else if has("to_a_m") {
        two_peg(&table).map(LevelFile::TwoPeg)
    } else {
        level_book(&table).map(LevelFile::Book)
    }
}

fn no_kind(table: &Table) -> Fault {
    let names: Vec<&str> = table.names().collect();
    let found = format!("the columns \"{}\" are of no kind of levels", table::shown(&names.join(", ")));
    let advice = "name them as one of: point, backsight_m, intermediate_m, foresight_m, z_m (level book); setup, \
                  reading_m (readings in a row); from, to, from_reading_m, to_reading_m (hose); leg, bearing, length_m \
                  (ring); pair, reading_mm, turned_mm, spacing_m, bar_below_m (A-frame turned); pair, fall_mm (pegs \
                  read back); a_m, b_m, to_a_m, to_b_m (two-peg test)";
    Fault::of_file(table.file(), "no-kind-of-levels", found, advice)
}

/// The number a cell must have.
fn needed(lengths: Lengths, row: &Row) -> Result<f64, Fault> {
    lengths.m(row)?.ok_or_else(|| {
        let column = lengths.column().expect("a required column is there");
        let found = "a row without its measurement".to_owned();
        row.fault(column, "no-reading", found, "write it, or delete the row")
    })
}

/// Reads every row, or every fault.
fn every<T>(table: &Table, read: impl Fn(&Row) -> Result<T, Fault>) -> Result<Vec<T>, Vec<Fault>> {
    let mut faults = Vec::new();
    let read = gather(table.rows().map(|row| read(&row)), &mut faults);
    if table.is_empty() {
        let found = "the table has no rows".to_owned();
        faults.push(table.fault("book-empty", found, "write one measurement a row below the column names"));
    }
    if faults.is_empty() { Ok(read) } else { Err(faults) }
}

fn traverse(table: &Table) -> Result<Vec<TraverseLeg>, Vec<Fault>> {
    let texts = ["leg", "bearing", "back_bearing", "note"];
    let [length, rise] = columns(table, ["length!", "rise"], &texts)?;
    let fore = table.require("bearing").map_err(|fault| vec![fault])?;
    let (name, back) = (table.column("leg"), table.column("back_bearing"));
    every(table, |row| {
        let Some(bearing_rad) = bearing_in(row, fore)? else {
            let found = "a leg without a bearing".to_owned();
            return Err(row.fault(fore, "no-bearing", found, "write it, or delete the row"));
        };
        let back_bearing_rad = back.map_or(Ok(None), |back| bearing_in(row, back))?;
        let taped_m = needed(length, row)?;
        let length_m = flat_m(row, taped_m, rise)?;
        let leg = Leg { bearing_rad, back_bearing_rad, length_m };
        let column = length.column().expect("a required column is there");
        if !(length_m > 0.0 && length_m <= LONGEST_LEG_M) {
            let found = format!("a leg of {taped_m:?} m");
            let advice = format!("a leg is longer than 0 and at most {LONGEST_LEG_M} m: check the unit");
            return Err(row.fault(column, "leg-length", found, &advice));
        }
        Ok(TraverseLeg { name: text_of(row, name), leg, slope_took_m: taped_m - length_m })
    })
}

/// Ten kilometres: no hand tape's leg is a hundredth of it. A guard against wrong units.
const LONGEST_LEG_M: f64 = 10_000.0;

fn bearing_in(row: &Row, column: ColumnIdx) -> Result<Option<f64>, Fault> {
    let text = row.text(column);
    if text.is_empty() {
        return Ok(None);
    }
    let bearing = bearing::parse(text);
    let wrong = || {
        let found = format!("\"{text}\" is not a bearing");
        let advice = "write degrees clockwise from north (226.9 or 226°54'23\") or a quadrant (N76°E)";
        row.fault(column, "not-a-bearing", found, advice)
    };
    bearing.map(Some).ok_or_else(wrong)
}

/// The horizontal length of a taped one.
fn flat_m(row: &Row, taped_m: f64, rise: Lengths) -> Result<f64, Fault> {
    let Some(rise_m) = rise.m(row)? else {
        return Ok(taped_m);
    };
    tape::horizontal_m(taped_m, rise_m).ok_or_else(|| {
        let column = rise.column().expect("a rise was read from it");
        let found = format!("a rise of {rise_m:?} m over {taped_m:?} m of tape");
        row.fault(column, "rise-over-length", found, "the tape is never shorter than the rise: check both")
    })
}

fn turned(table: &Table) -> Result<Vec<Turned>, Vec<Fault>> {
    let stems = ["reading!", "turned!", "spacing!", "bar_below!"];
    let [first, turned, spacing, bar_below] = columns(table, stems, &["pair", "note"])?;
    let pair = table.column("pair");
    every(table, |row| {
        let (first_m, turned_m) = (needed(first, row)?, needed(turned, row)?);
        let (spacing_m, bar_below_m) = (needed(spacing, row)?, needed(bar_below, row)?);
        let frame = AFrame::new(spacing_m, bar_below_m).ok_or_else(|| {
            let column = spacing.column().expect("a required column is there");
            let found = format!("a frame with feet {spacing_m:?} m apart and its bar {bar_below_m:?} m down");
            row.fault(column, "frame-size", found, "both are lengths above 0")
        })?;
        Ok(Turned { pair: text_of(row, pair), frame, first_m, turned_m })
    })
}

fn read_back(table: &Table) -> Result<Vec<PairReadBack>, Vec<Fault>> {
    let [fall] = columns(table, ["fall!"], &["pair", "note"])?;
    let pair = table.column("pair");
    let readings = every(table, |row| Ok((text_of(row, pair), needed(fall, row)?)))?;
    let mut pairs: Vec<PairReadBack> = Vec::new();
    for (pair, fall_m) in readings {
        match pairs.iter_mut().find(|known| known.pair == pair) {
            Some(known) => known.falls_m.push(fall_m),
            None => pairs.push(PairReadBack { pair, falls_m: vec![fall_m] }),
        }
    }
    Ok(pairs)
}

/// What the two sights from midway may differ by: at the 1 mm in 10 m that calls for adjusting, a tenth of a
/// millimetre.
const MIDWAY_WITHIN_M: f64 = 1.0;

fn two_peg(table: &Table) -> Result<TwoPeg, Vec<Fault>> {
    let [a, b, to_a, to_b] = columns(table, ["a!", "b!", "to_a!", "to_b!"], &["note"])?;
    let rows = every(table, |row| {
        let read = Pair { a_m: needed(a, row)?, b_m: needed(b, row)? };
        let (to_a_m, to_b_m) = (needed(to_a, row)?, needed(to_b, row)?);
        Ok(Second { read, to_a_m, to_b_m })
    })?;
    let [midway, second] = rows[..] else {
        let found = format!("{} rows", rows.len());
        let advice = "a two-peg test has two: first from midway between the pegs, then from near one of them";
        return Err(vec![table.fault("two-peg-rows", found, advice)]);
    };
    let apart_m = (midway.to_a_m - midway.to_b_m).abs();
    if apart_m > MIDWAY_WITHIN_M {
        let found = format!("the sights of the first row differ by {apart_m:?} m");
        let advice = "the first row is read from midway: set up within half a metre of it";
        return Err(vec![table.fault("two-peg-midway", found, advice)]);
    }
    Ok(TwoPeg { midway: midway.read, second })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::convert::deg_to_rad;

    fn read(text: &str) -> LevelFile {
        read_level_file("levels.csv", text.as_bytes()).unwrap()
    }

    fn codes(text: &str) -> Vec<(&'static str, usize, usize)> {
        let found = read_level_file("levels.csv", text.as_bytes()).unwrap_err();
        let place = |fault: Fault| (fault.code, fault.line.unwrap_or(0), fault.column.unwrap_or(0));
        found.into_iter().map(place).collect()
    }

    #[test]
    fn a_ring() {
        let text = "leg;bearing;back_bearing;length_m;rise_m\nA;N76°E;256;80,40;\nB;S36°E;;46,30;3,00\n";
        let LevelFile::Traverse(legs) = read(text) else { panic!("{text}") };
        assert_eq!(legs[0].leg.back_bearing_rad, Some(deg_to_rad(256.0)));
        assert_eq!((legs[0].leg.length_m, legs[0].slope_took_m), (80.40, 0.0));
        // √(46.3² − 3²) = 46.2027.
        assert!((legs[1].leg.length_m - 46.2027).abs() <= 5e-5);
        assert_eq!(
            codes(&text.replace("N76°E", "N96°E").replace("46,30", "-1")),
            [("not-a-bearing", 2, 3), ("rise-over-length", 3, 13),]
        );
        assert_eq!(
            codes("leg,bearing,length_m\nA,,3\nB,10,\nC,20,0\n"),
            [("no-bearing", 2, 3), ("no-reading", 3, 6), ("leg-length", 4, 6),]
        );
    }

    #[test]
    fn a_frame_turned_and_pegs_read_back() {
        let LevelFile::Turned(turned) = read("reading_mm,turned_mm,spacing_m,bar_below_m\n12,-8,2,1\n")
        else {
            panic!("an A-frame");
        };
        let found = turned[0].frame.reverse(turned[0].first_m, turned[0].turned_m);
        assert!((found.level_mark_m - 0.002).abs() < 1e-12);
        assert_eq!(codes("reading_mm,turned_mm,spacing_m,bar_below_m\n12,-8,0,1\n"), [("frame-size", 2, 7)]);

        let LevelFile::ReadBack(pairs) = read("pair,fall_mm\n3-4,0\n4-5,2\n3-4,12\n") else {
            panic!("read back")
        };
        assert_eq!(pairs.len(), 2);
        assert_eq!((pairs[0].pair.as_str(), &pairs[0].falls_m[..]), ("3-4", &[0.0, 0.012][..]));
        assert_eq!(codes("pair,fall_mm\n"), [("book-empty", 1, 0)]);
    }

    #[test]
    fn a_two_peg_test() {
        let text = "a_m,b_m,to_a_m,to_b_m\n1.283,0.860,25,25\n1.612,1.219,55,5\n";
        let LevelFile::TwoPeg(test) = read(text) else { panic!("{text}") };
        assert_eq!((test.midway.b_m, test.second.to_a_m), (0.860, 55.0));
        assert_eq!(codes(&text.replace("25,25", "25,29")), [("two-peg-midway", 3, 0)]);
        assert_eq!(codes(&text.replace("1.612,1.219,55,5\n", "")), [("two-peg-rows", 2, 0)]);
    }

    #[test]
    fn books_and_what_is_none() {
        assert!(matches!(read("point,backsight_m,foresight_m,z_m\nA,1,,10\nB,,1,\n"), LevelFile::Book(_)));
        assert_eq!(codes("x,y,z\n1,2,3\n"), [("no-kind-of-levels", 0, 0)]);
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            let _ = read_level_file("levels.csv", &bytes);
        }

        #[test]
        fn no_table_makes_it_panic(header in 0..4_usize, rows in "([NS0-9°'. ,E-]{0,12}\n){0,6}") {
            let headers = ["bearing,length_m,rise_m", "reading_mm,turned_mm,spacing_m,bar_below_m", "fall_mm,pair", "a_m,b_m,to_a_m,to_b_m"];
            let _ = read_level_file("levels.csv", format!("{}\n{rows}", headers[header]).as_bytes());
        }
    }
}
