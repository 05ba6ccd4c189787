//! Soak tests: what stood in a hole, a pit or a ring, and how it fell.
//!
//! `time_min` and one of `level_mm` (water above the bottom), `down_mm` (from the rim down to the water) and `soaked_mm`
//! (between double rings: what was poured in so far); `_m` in place of `_mm` says metres. `fill` numbers the fills.
//! What cannot stand in a row stands in remarks, `# radius_mm = 40`: `radius_mm` of an auger hole, `length_mm` and
//! `width_mm` of a pit, `core_mm` of a ring with falling head, `hole_depth_mm` with `down_mm`, and `soil`.

use quantity::convert::mm_to_m;
use site::{SoakHole, SoakReading, SoakTest};

use crate::Fault;
use crate::lengths::Lengths;
use crate::table::{Row, Table, shown, text};

/// A hole, pit or ring beyond this was written in another unit, m.
const LARGEST_M: f64 = 5.0;
/// What a remark may tell, besides `soil`.
const SIZES: [&str; 5] = ["radius", "length", "width", "core", "hole_depth"];

/// What the remarks tell: for each of [`SIZES`] its metres.
#[derive(Default)]
struct Remarks {
    soil: Option<String>,
    sizes_m: [Option<f64>; SIZES.len()],
}

/// Reads a soak test.
///
/// # Errors
/// Every fault of the file.
pub fn read_soak_test(file: &str, bytes: &[u8]) -> Result<SoakTest, Vec<Fault>> {
    let table = Table::read(file, bytes)?;
    let text = text::decode(file, bytes).map_err(|fault| vec![fault])?;
    let mut faults = Vec::new();
    let remarks = remarks(file, &text, &mut faults);
    let columns = Columns::of(&table).map_err(|more| faults.extend(more)).ok();
    let hole = columns
        .as_ref()
        .and_then(|columns| hole(&table, columns, &remarks).map_err(|fault| faults.push(fault)).ok());
    let (Some(columns), Some(hole), true) = (columns, hole, faults.is_empty()) else {
        return Err(faults);
    };
    let fills = fills(&table, &columns, &remarks, hole)?;
    Ok(SoakTest { file: file.to_owned(), soil: remarks.soil, hole, fills })
}

fn remarks(file: &str, text: &str, faults: &mut Vec<Fault>) -> Remarks {
    let mut found = Remarks::default();
    for (i, line) in text.lines().enumerate() {
        let Some((key, value)) = line.trim().strip_prefix('#').and_then(|rest| rest.split_once('=')) else {
            continue;
        };
        let (key, value) = (key.trim(), value.trim().trim_matches('"'));
        if key == "soil" {
            found.soil = Some(value.to_owned());
            continue;
        }
        let fault =
            |code, words: String, advice: &str| Fault::of_file(file, code, words, advice).on_line(i + 1);
        let named = SIZES
            .iter()
            .position(|stem| key.strip_prefix(stem).is_some_and(|unit| unit == "_mm" || unit == "_m"));
        let Some(at) = named else {
            let words = format!("the remark tells \"{}\", which is not known here", shown(key));
            let advice =
                "use radius_mm, length_mm, width_mm, core_mm, hole_depth_mm or soil; a plain remark has no =";
            faults.push(fault("remark-unknown", words, advice));
            continue;
        };
        match value.parse::<f64>().map(|size| if key.ends_with("_mm") { mm_to_m(size) } else { size }) {
            Ok(size_m) if size_m > 0.0 && size_m <= LARGEST_M => found.sizes_m[at] = Some(size_m),
            _ => {
                let words = format!("{key} = {} is no size of a hole", shown(value));
                faults.push(fault("size-impossible", words, "give a plain number above 0, at most 5 m"));
            }
        }
    }
    found
}

/// Which column tells the water.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Tells {
    Level,
    Down,
    Soaked,
}

struct Columns {
    time: crate::table::ColumnIdx,
    fill: Option<crate::table::ColumnIdx>,
    water: Lengths,
    tells: Tells,
}

impl Columns {
    fn of(table: &Table) -> Result<Columns, Vec<Fault>> {
        let known =
            ["time_min", "fill", "note", "level_mm", "level_m", "down_mm", "down_m", "soaked_mm", "soaked_m"];
        let mut faults = table.unknown_columns(&known);
        let time = table.require("time_min").map_err(|fault| faults.push(fault)).ok();
        let mut water = Vec::new();
        for (stem, tells) in [("level", Tells::Level), ("down", Tells::Down), ("soaked", Tells::Soaked)] {
            match Lengths::find(table, stem) {
                Ok(lengths) if lengths.column().is_some() => water.push((lengths, tells)),
                Ok(_) => {}
                Err(fault) => faults.push(fault),
            }
        }
        if water.len() > 1 {
            let column = water[1].0.column().expect("it was found");
            let found = "the water is told in two ways".to_owned();
            faults.push(table.fault_of_column(
                column,
                "column-twice",
                found,
                "keep one of level, down and soaked",
            ));
        }
        if water.is_empty() && faults.is_empty() {
            faults.extend(table.require("level_mm").err());
        }
        match (time, water.first()) {
            (Some(time), Some((water, tells))) if faults.is_empty() => {
                Ok(Columns { time, fill: table.column("fill"), water: *water, tells: *tells })
            }
            _ => Err(faults),
        }
    }
}

/// What the water stood in, by the sizes that are told.
fn hole(table: &Table, columns: &Columns, remarks: &Remarks) -> Result<SoakHole, Fault> {
    let [radius_m, length_m, width_m, core_m, depth_m] = remarks.sizes_m;
    let fault =
        |found: &str, advice: &str| Err(table.fault("sizes-missing", found.to_owned(), advice).on_line(1));
    if columns.tells == Tells::Down && depth_m.is_none() {
        return fault(
            "the water is told from the rim down, and not how deep the hole is",
            "add a line # hole_depth_mm = 300",
        );
    }
    match (columns.tells, radius_m, length_m, width_m, core_m) {
        (Tells::Soaked, None, None, None, None) => Ok(SoakHole::DoubleRing),
        (Tells::Soaked, ..) => fault(
            "soaked depths belong to double rings, which need no size",
            "delete the sizes, or write the levels of the water",
        ),
        (_, Some(radius_m), None, None, None) => Ok(SoakHole::Auger { radius_m }),
        (_, None, Some(length_m), Some(width_m), None) => Ok(SoakHole::Pit { length_m, width_m }),
        (_, None, None, None, Some(core_m)) => Ok(SoakHole::FallingRing { core_m }),
        _ => fault(
            "it is not told what the water stood in",
            "add one kind of size at the top: # radius_mm = 40 for an auger hole, # length_mm and # width_mm for a pit, \
             # core_mm for a ring",
        ),
    }
}

fn fills(
    table: &Table,
    columns: &Columns,
    remarks: &Remarks,
    hole: SoakHole,
) -> Result<Vec<Vec<SoakReading>>, Vec<Fault>> {
    let mut faults = Vec::new();
    let mut fills: Vec<Vec<SoakReading>> = Vec::new();
    let mut fill = None;
    for row in table.rows() {
        let read = match reading(&row, columns, remarks, hole) {
            Ok(read) => read,
            Err(fault) => {
                faults.push(fault);
                continue;
            }
        };
        let number = columns.fill.map_or("", |column| row.text(column));
        if fill != Some(number) {
            fill = Some(number);
            fills.push(Vec::new());
        }
        let readings = fills.last_mut().expect("a fill was begun");
        if let Some(last) = readings.last() {
            faults.extend(order_fault(&row, columns, *last, read));
        }
        readings.push(read);
    }
    let short = fills.is_empty() || fills.iter().any(|fill| fill.len() < 2);
    if faults.is_empty() && short {
        let found = "a fill has fewer than two readings".to_owned();
        faults.push(table.fault(
            "too-few-rows",
            found,
            "read the water at the start and at the end of each fill",
        ));
    }
    if faults.is_empty() { Ok(fills) } else { Err(faults) }
}

fn reading(row: &Row, columns: &Columns, remarks: &Remarks, hole: SoakHole) -> Result<SoakReading, Fault> {
    let water_column = columns.water.column().expect("the column was found");
    let blank = |column| {
        row.fault(column, "cell-blank", "the cell is blank".to_owned(), "write it, or delete the row")
    };
    let at_min = row.number(columns.time)?.ok_or_else(|| blank(columns.time))?;
    let told_m = columns.water.m(row)?.ok_or_else(|| blank(water_column))?;
    let depth_m = remarks.sizes_m[4];
    let water_m = match (columns.tells, depth_m) {
        (Tells::Down, Some(depth_m)) => depth_m - told_m,
        _ => told_m,
    };
    let dry_ring = matches!(hole, SoakHole::FallingRing { .. }) && water_m <= 0.0;
    if water_m < 0.0 || dry_ring || water_m > LARGEST_M {
        let found = format!("the water would stand {water_m} m above the bottom");
        let advice = "check the reading and its unit; end the readings before the ring is dry";
        return Err(row.fault(water_column, "level-impossible", found, advice));
    }
    Ok(SoakReading { at_min, water_m })
}

fn order_fault(row: &Row, columns: &Columns, last: SoakReading, read: SoakReading) -> Option<Fault> {
    if read.at_min <= last.at_min {
        let found = format!("the reading at {} minutes comes after the one at {}", read.at_min, last.at_min);
        let advice =
            "sort the rows by time; where the hole was filled again, number the fills in a column fill";
        return Some(row.fault(columns.time, "times-out-of-order", found, advice));
    }
    let column = columns.water.column().expect("the column was found");
    if columns.tells == Tells::Soaked && read.water_m < last.water_m {
        let found = format!("what soaked in shrinks from {} m to {} m", last.water_m, read.water_m);
        return Some(row.fault(
            column,
            "soaked-shrinks",
            found,
            "write all that was poured in since the start",
        ));
    }
    (columns.tells != Tells::Soaked && read.water_m > last.water_m).then(|| {
        let found = format!("the water rises from {} m to {} m", last.water_m, read.water_m);
        let advice =
            "correct the reading; where the hole was filled again, number the fills in a column fill";
        row.fault(column, "water-rises", found, advice)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<(&'static str, Option<usize>)> {
        let faults = read_soak_test("soak/pit.csv", text.as_bytes()).unwrap_err();
        faults.iter().map(|fault| (fault.code, fault.line)).collect()
    }

    #[test]
    fn holes_pits_and_rings_are_told_apart() {
        let auger = read_soak_test(
            "f",
            b"# radius_mm = 50\n# hole_depth_m = 0.6\n# soil = bank loam\ntime_min,down_mm\n0,300\n30,400\n",
        )
        .unwrap();
        assert_eq!(
            (auger.hole, auger.soil.as_deref()),
            (SoakHole::Auger { radius_m: 0.05 }, Some("bank loam"))
        );
        assert!((auger.fills[0][1].water_m - 0.2).abs() < 1e-12);
        let pit = read_soak_test("f", b"# length_mm = 400\n# width_mm = 300\ntime_min,level_mm,fill\n0,300,1\n30,250,1\n0,300,2\n40,250,2\n").unwrap();
        assert_eq!((pit.hole, pit.fills.len()), (SoakHole::Pit { length_m: 0.4, width_m: 0.3 }, 2));
        let ring = read_soak_test("f", b"time_min,soaked_mm\n0,0\n5,17.5\n").unwrap();
        assert_eq!(ring.hole, SoakHole::DoubleRing);
        let falling = read_soak_test("f", b"# core_mm = 100\ntime_min,level_mm\n0,100\n5,50\n").unwrap();
        assert_eq!(falling.hole, SoakHole::FallingRing { core_m: 0.1 });
    }

    #[test]
    fn every_fault_is_told() {
        assert_eq!(
            codes("# radius_mm = 50\ntime_min,level_mm\n0,300\n10,310\n5,200\n20,\n30,-1\n"),
            [
                ("water-rises", Some(4)),
                ("times-out-of-order", Some(5)),
                ("cell-blank", Some(6)),
                ("level-impossible", Some(7))
            ]
        );
        assert_eq!(codes("time_min,level_mm\n0,300\n10,200\n"), [("sizes-missing", Some(1))]);
        assert_eq!(
            codes("# radius_mm = 50\ntime_min,down_mm\n0,300\n10,400\n"),
            [("sizes-missing", Some(1))]
        );
        assert_eq!(
            codes("# radius_mm = 0\n# radus_mm = 3\ntime_min,level_mm\n0,3\n")[..2],
            [("size-impossible", Some(1)), ("remark-unknown", Some(2))]
        );
        assert_eq!(codes("# radius_mm = 50\ntime_min,level_mm\n0,300\n"), [("too-few-rows", Some(3))]);
        assert_eq!(codes("time_min,soaked_mm\n0,5\n5,3\n"), [("soaked-shrinks", Some(3))]);
        assert_eq!(codes("# core_mm = 90\ntime_min,level_mm\n0,5\n5,0\n"), [("level-impossible", Some(4))]);
        assert_eq!(codes("time_min,level\n0,5\n")[0].0, "column-unknown");
    }
}
