//! A gauge's own readings of one storm.
//!
//! `time_min` counts minutes, or `time` is a day and clock, `2026-11-20T14:30`. The rain is `total_mm`, what the gauge
//! had caught so far, or `fell_mm`, what fell since the reading before; `_in` in place of `_mm` says inches. A total
//! that shrinks is a fault, unless the row's `note` says `emptied`: then it counts from nothing again.

use quantity::convert::inch_to_mm;
use site::{Day, GaugeReading};

use crate::Fault;
use crate::table::{ColumnIdx, Row, Table, shown};

/// Minutes of a day.
const DAY_MIN: f64 = 1440.0;

struct Columns {
    time: ColumnIdx,
    by_clock: bool,
    rain: ColumnIdx,
    so_far: bool,
    to_mm: fn(f64) -> f64,
    note: Option<ColumnIdx>,
}

/// Reads the readings: minutes and rain from the first of them.
///
/// # Errors
/// Every fault of the table.
pub fn read_gauge(file: &str, bytes: &[u8]) -> Result<Vec<GaugeReading>, Vec<Fault>> {
    let table = Table::read(file, bytes)?;
    let columns = columns(&table)?;
    let mut faults = Vec::new();
    let mut readings: Vec<GaugeReading> = Vec::new();
    let mut first_min = None;
    let mut shown_before_mm = 0.0;
    for (i, row) in table.rows().enumerate() {
        match reading(&row, &columns, i == 0) {
            Ok((at_min, shown_mm)) => {
                let from_min = *first_min.get_or_insert(at_min);
                let last = readings.last().copied();
                faults
                    .extend(last.and_then(|last| time_fault(&row, &columns, at_min - from_min, last.at_min)));
                let rain_mm = match last {
                    None => 0.0,
                    Some(last) if !columns.so_far => last.rain_mm + shown_mm,
                    Some(last) if emptied(&row, &columns) => last.rain_mm + shown_mm,
                    Some(last) => {
                        faults.extend(reset_fault(&row, &columns, shown_mm, shown_before_mm));
                        last.rain_mm + (shown_mm - shown_before_mm)
                    }
                };
                shown_before_mm = shown_mm;
                readings.push(GaugeReading { at_min: at_min - from_min, rain_mm });
            }
            Err(of_row) => faults.extend(of_row),
        }
    }
    if faults.is_empty() && readings.len() < 2 {
        let found = format!("the gauge was read {} times", readings.len());
        faults.push(table.fault("too-few-rows", found, "give at least the start and the end of the storm"));
    }
    if faults.is_empty() { Ok(readings) } else { Err(faults) }
}

fn columns(table: &Table) -> Result<Columns, Vec<Fault>> {
    let mut faults =
        table.unknown_columns(&["time_min", "time", "total_mm", "total_in", "fell_mm", "fell_in", "note"]);
    let by = |names: &[&str]| -> Vec<usize> {
        (0..names.len()).filter(|i| table.column(names[*i]).is_some()).collect()
    };
    let (times, rains) = (["time_min", "time"], ["total_mm", "total_in", "fell_mm", "fell_in"]);
    for (names, found) in [(&times[..], by(&times)), (&rains[..], by(&rains))] {
        match found[..] {
            [] => faults.extend(table.require(names[0]).err()),
            [_] => {}
            [_, second, ..] => {
                let column = table.column(names[second]).expect("it was just found");
                let words = format!("\"{}\" is there besides another that says the same", names[second]);
                faults.push(table.fault_of_column(column, "column-twice", words, "keep one of the two"));
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let (time, rain) = (by(&times)[0], by(&rains)[0]);
    let the = |name| table.column(name).expect("it was just found");
    Ok(Columns {
        time: the(times[time]),
        by_clock: time == 1,
        rain: the(rains[rain]),
        so_far: rain < 2,
        to_mm: if rain % 2 == 1 { inch_to_mm } else { |mm| mm },
        note: table.column("note"),
    })
}

/// Minutes and what the cell of rain shows, in mm. The first row may leave its rain blank: it is the start.
fn reading(row: &Row, columns: &Columns, first: bool) -> Result<(f64, f64), Vec<Fault>> {
    let mut faults = Vec::new();
    let at_min = if columns.by_clock { clock_min(row, columns.time) } else { minutes(row, columns.time) };
    let at_min = at_min.map_err(|fault| faults.push(fault)).ok();
    let rain = row.number(columns.rain).map_err(|fault| faults.push(fault)).ok().flatten();
    let told = |code, found: &str, advice| row.fault(columns.rain, code, found.to_owned(), advice);
    match rain {
        None if faults.is_empty() && !first => {
            let advice = "write what the gauge showed, 0 where nothing fell, or delete the row";
            faults.push(told("cell-blank", "the gauge's reading is blank", advice));
        }
        Some(rain) if rain < 0.0 => {
            faults.push(told(
                "rain-negative",
                &format!("{rain} is less than no rain"),
                "write what the gauge showed",
            ));
        }
        Some(rain) if first && !columns.so_far && rain > 0.0 => {
            let found = format!("{rain} fell before the first reading, nobody knows since when");
            faults.push(told(
                "storm-without-start",
                &found,
                "begin with a row at the start of the storm, with 0",
            ));
        }
        _ => {}
    }
    match at_min {
        Some(at_min) if faults.is_empty() => Ok((at_min, (columns.to_mm)(rain.unwrap_or(0.0)))),
        _ => Err(faults),
    }
}

fn minutes(row: &Row, column: ColumnIdx) -> Result<f64, Fault> {
    row.number(column)?.ok_or_else(|| {
        let found = "the time is blank".to_owned();
        row.fault(column, "cell-blank", found, "write the minutes since the start, or delete the row")
    })
}

/// Minutes since 1970 of a text such as `2026-11-20T14:30` or `2026-11-20 14:30:15`.
fn clock_min(row: &Row, column: ColumnIdx) -> Result<f64, Fault> {
    let text = row.text(column);
    let parsed = text.split_once(['T', ' ']).and_then(|(day, clock)| {
        let day = Day::parse(day)?;
        let parts: Vec<f64> = clock
            .split(':')
            .map(|part| {
                let plain = part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
                plain.then(|| part.parse().ok()).flatten()
            })
            .collect::<Option<Vec<f64>>>()?;
        let (hours, minutes, seconds) = match parts[..] {
            [hours, minutes] => (hours, minutes, 0.0),
            [hours, minutes, seconds] => (hours, minutes, seconds),
            _ => return None,
        };
        let there_is = hours < 24.0 && minutes < 60.0 && seconds < 60.0;
        there_is.then(|| DAY_MIN * day.number() as f64 + 60.0 * hours + minutes + seconds / 60.0)
    });
    parsed.ok_or_else(|| {
        let found = format!("\"{}\" is no day and clock", shown(text));
        row.fault(
            column,
            "not-a-time",
            found,
            "write 2026-11-20T14:30, or count minutes in a column time_min",
        )
    })
}

fn time_fault(row: &Row, columns: &Columns, at_min: f64, before_min: f64) -> Option<Fault> {
    (at_min <= before_min).then(|| {
        let found = format!("the reading at {at_min} minutes comes after the one at {before_min}");
        row.fault(columns.time, "times-out-of-order", found, "sort the rows by time, each time once")
    })
}

fn emptied(row: &Row, columns: &Columns) -> bool {
    columns.note.is_some_and(|note| row.text(note).to_ascii_lowercase().contains("emptied"))
}

fn reset_fault(row: &Row, columns: &Columns, shown_mm: f64, before_mm: f64) -> Option<Fault> {
    (shown_mm < before_mm).then(|| {
        let found = format!("the gauge goes from {before_mm} mm back to {shown_mm} mm");
        let advice =
            "if it was emptied, write emptied in a column note of this row; if not, correct the slip";
        row.fault(columns.rain, "gauge-reset", found, advice)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<(f64, f64)> {
        let readings = read_gauge("g", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults:?}"));
        readings.iter().map(|reading| (reading.at_min, reading.rain_mm)).collect()
    }

    fn codes(text: &str) -> Vec<(&'static str, Option<usize>)> {
        let faults = read_gauge("rain/g.csv", text.as_bytes()).unwrap_err();
        faults.iter().map(|fault| (fault.code, fault.line)).collect()
    }

    #[test]
    fn totals_and_falls_say_the_same() {
        let expected = [(0.0, 0.0), (10.0, 1.5), (30.0, 4.0)];
        assert_eq!(read("time_min,total_mm\n5,2\n15,3.5\n35,6\n"), expected);
        assert_eq!(read("time_min,fell_mm\n0,\n10,1.5\n30,2.5\n"), expected);
        assert_eq!(
            read("time;fell_mm\n2024-02-28 23:55;0\n2024-02-29 00:05;1,5\n2024-02-29T00:25:00;2,5\n"),
            expected
        );
        assert_eq!(read("time_min,total_in\n0,0\n10,1\n"), [(0.0, 0.0), (10.0, 25.4)]);
    }

    #[test]
    fn a_gauge_that_was_emptied_goes_on() {
        assert_eq!(
            read("time_min,total_mm,note\n0,0,\n10,8,\n20,1,Emptied at 12\n30,3,\n"),
            [(0.0, 0.0), (10.0, 8.0), (20.0, 9.0), (30.0, 11.0)]
        );
        assert_eq!(codes("time_min,total_mm\n0,0\n10,8\n20,1\n"), [("gauge-reset", Some(4))]);
    }

    #[test]
    fn every_fault_is_told() {
        assert_eq!(
            codes("time_min,fell_mm\n0,0\n10,-1\n5,\nx,1\n10,2\n10,2\n"),
            [
                ("rain-negative", Some(3)),
                ("cell-blank", Some(4)),
                ("not-a-number", Some(5)),
                ("times-out-of-order", Some(7))
            ]
        );
        assert_eq!(codes("time_min,fell_mm\n0,3\n10,1\n"), [("storm-without-start", Some(2))]);
        assert_eq!(
            codes("time,fell_mm\n2024-02-30T10:00,0\n2024-03-01T25:00,1\n"),
            [("not-a-time", Some(2)), ("not-a-time", Some(3))]
        );
        assert_eq!(codes("time_min,total_mm,fell_mm\n0,0,0\n")[0].0, "column-twice");
        assert_eq!(codes("minutes,rain\n0,0\n")[0].0, "column-unknown");
        assert_eq!(codes("time_min,total_mm\n0,0\n"), [("too-few-rows", Some(2))]);
    }
}
