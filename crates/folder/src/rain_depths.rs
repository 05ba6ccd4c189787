//! The official table of rain depths: `duration_min` or `duration_h`, then a column for each return period.
//!
//! A return period is headed `10y` or `once_in_10_years`, in millimetres; in inches only where the heading says
//! so: `10y_in`. Longer rain is deeper and never harder, rarer rain is deeper: rows and columns that cross are slips of
//! the pen and are told, each at its cell.

use quantity::convert::{inch_to_mm, m_to_mm};
use site::RainDepths;
use water::rain::record_rain_m;

use crate::Fault;
use crate::table::{ColumnIdx, Row, Table, shown};

/// A column of one return period.
struct Period {
    years: f64,
    column: ColumnIdx,
    to_mm: fn(f64) -> f64,
}

/// Reads the table.
///
/// # Errors
/// Every fault of it.
pub fn read_rain_depths(file: &str, bytes: &[u8]) -> Result<RainDepths, Vec<Fault>> {
    let table = Table::read(file, bytes)?;
    let (duration, minutes_in, periods) = columns(&table)?;
    let mut faults = Vec::new();
    let rows: Vec<Row> = table.rows().collect();
    let minutes: Vec<Option<f64>> = rows
        .iter()
        .map(|row| take(positive(row, duration), &mut faults).map(|value| minutes_in * value))
        .collect();
    let depths: Vec<Vec<Option<f64>>> = rows
        .iter()
        .map(|row| {
            let depth = |period: &Period| {
                take(positive(row, period.column), &mut faults).map(|value| (period.to_mm)(value))
            };
            periods.iter().map(depth).collect()
        })
        .collect();
    if rows.is_empty() {
        let found = "the table has headings and no row".to_owned();
        faults.push(table.fault("too-few-rows", found, "type in one row for each duration"));
    }
    for i in 0..rows.len() {
        faults.extend(duration_fault(&rows[i], duration, &minutes, i));
        for j in 0..periods.len() {
            faults.extend(depth_fault(&rows[i], &periods, (&minutes, &depths), (i, j)));
        }
    }
    faults.sort_by_key(|fault| (fault.line, fault.column));
    let whole: Option<Vec<Vec<f64>>> = depths.into_iter().map(|row| row.into_iter().collect()).collect();
    match (minutes.into_iter().collect(), whole) {
        (Some(minutes), Some(depths_mm)) if faults.is_empty() => {
            Ok(RainDepths { minutes, years: periods.iter().map(|p| p.years).collect(), depths_mm })
        }
        _ => Err(faults),
    }
}

/// The column of durations, how many minutes its unit has, and the return periods.
fn columns(table: &Table) -> Result<(ColumnIdx, f64, Vec<Period>), Vec<Fault>> {
    let mut faults = Vec::new();
    let by_name = |name: &str, minutes: f64| Some((table.column(name)?, minutes));
    let duration = by_name("duration_min", 1.0).or_else(|| by_name("duration_h", 60.0));
    if duration.is_none() {
        faults.extend(table.require("duration_min").err());
    }
    let mut periods: Vec<Period> = Vec::new();
    let others = table.names().filter(|name| {
        !["duration_min", "duration_h", "note", ""].iter().any(|known| known.eq_ignore_ascii_case(name))
    });
    for name in others {
        let column = table.column(name).expect("a name of the table is a column of it");
        let Some((years, to_mm)) = period(name) else {
            let found = format!("column \"{}\" is no return period", shown(name));
            let advice = "head it 10y or once_in_10_years for millimetres, 10y_in for inches";
            faults.push(table.fault_of_column(column, "column-unknown", found, advice));
            continue;
        };
        if let Some(before) = periods.last().filter(|before| years <= before.years) {
            let found = format!("once in {years} years comes after once in {} years", before.years);
            let advice = "order the columns from common to rare, each return period once";
            faults.push(table.fault_of_column(column, "years-out-of-order", found, advice));
        }
        periods.push(Period { years, column, to_mm });
    }
    if periods.is_empty() && faults.is_empty() {
        let found = "the table has no column of depths".to_owned();
        faults.push(table.fault("column-missing", found, "add one for each return period, such as 10y"));
    }
    match duration {
        Some((column, minutes)) if faults.is_empty() => Ok((column, minutes, periods)),
        _ => Err(faults),
    }
}

/// Years, and what makes millimetres of the column.
type Heading = (f64, fn(f64) -> f64);

/// The return period and unit that a heading declares.
fn period(name: &str) -> Option<Heading> {
    let name = name.to_ascii_lowercase();
    let (name, to_mm): (&str, fn(f64) -> f64) = match name.strip_suffix("_in") {
        Some(rest) => (rest, inch_to_mm),
        None => (name.strip_suffix("_mm").unwrap_or(&name), |mm| mm),
    };
    let number = match name.strip_prefix("once_in_") {
        Some(rest) => rest.strip_suffix("_years")?,
        None => name.strip_suffix('y')?,
    };
    let digits = number.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let years: f64 = number.parse().ok().filter(|_| digits)?;
    (years.is_finite() && years > 1.0).then_some((years, to_mm))
}

/// A value, or its fault put with the others.
fn take(read: Result<f64, Fault>, faults: &mut Vec<Fault>) -> Option<f64> {
    read.map_err(|fault| faults.push(fault)).ok()
}

fn positive(row: &Row, column: ColumnIdx) -> Result<f64, Fault> {
    match row.number(column)? {
        Some(value) if value > 0.0 => Ok(value),
        Some(value) => {
            let found = format!("{value} is not above 0");
            Err(row.fault(column, "not-positive", found, "write what the official table prints"))
        }
        None => {
            let found = "the cell is blank".to_owned();
            let advice =
                "write the depth, or leave the whole row or column out: it is read between the others";
            Err(row.fault(column, "cell-blank", found, advice))
        }
    }
}

fn duration_fault(row: &Row, column: ColumnIdx, minutes: &[Option<f64>], i: usize) -> Option<Fault> {
    let (before, now) = (minutes[i.checked_sub(1)?]?, minutes[i]?);
    (now <= before).then(|| {
        let found = format!("a rain of {now} minutes comes after one of {before}");
        row.fault(
            column,
            "durations-out-of-order",
            found,
            "order the rows from short to long, each duration once",
        )
    })
}

/// What is wrong with a depth by itself, beside the commoner one on its left and the shorter one above it.
fn depth_fault(
    row: &Row,
    periods: &[Period],
    read: (&[Option<f64>], &[Vec<Option<f64>>]),
    at: (usize, usize),
) -> Option<Fault> {
    let ((minutes, depths), (i, j)) = (read, at);
    let fault = |code, found: String| {
        Some(row.fault(periods[j].column, code, found, "compare both with the official table"))
    };
    let (now_min, now_mm) = (minutes[i]?, depths[i][j]?);
    let record_mm = m_to_mm(record_rain_m(60.0 * now_min));
    if now_mm > record_mm {
        let found =
            format!("{now_mm:.1} mm in {now_min} minutes is more than was ever measured, {record_mm:.0} mm");
        return fault("beyond-all-rain", found);
    }
    if let Some(commoner_mm) = j.checked_sub(1).and_then(|left| depths[i][left])
        && now_mm <= commoner_mm
    {
        return fault(
            "rarer-not-deeper",
            format!("{now_mm:.1} mm is not deeper than the commoner rain, {commoner_mm:.1} mm"),
        );
    }
    let above = i.checked_sub(1)?;
    let (above_min, above_mm) = (minutes[above]?, depths[above][j]?);
    if now_min > above_min && now_mm <= above_mm {
        return fault(
            "longer-not-deeper",
            format!("{now_mm:.1} mm is not deeper than the shorter rain, {above_mm:.1} mm"),
        );
    }
    if now_min > above_min && now_mm / now_min > above_mm / above_min {
        let found = format!(
            "{now_mm:.1} mm in {now_min} minutes is harder rain than {above_mm:.1} mm in {above_min}"
        );
        return fault("longer-harder", found);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<(&'static str, Option<usize>, Option<usize>)> {
        let faults = read_rain_depths("rain/depths.csv", text.as_bytes()).unwrap_err();
        faults.iter().map(|fault| (fault.code, fault.line, fault.column)).collect()
    }

    #[test]
    fn tables_are_read_in_minutes_hours_and_declared_inches() {
        let plain = read_rain_depths("f", b"duration_min,2y,10y\n10,9,13\n60,18,27\n").unwrap();
        assert_eq!((plain.minutes, plain.years), (vec![10.0, 60.0], vec![2.0, 10.0]));
        assert_eq!(plain.depths_mm, [[9.0, 13.0], [18.0, 27.0]]);
        let long =
            read_rain_depths("f", "duration_h;once_in_2_years;10y_in\n0,5;12;1\n1;18;1,5\n".as_bytes())
                .unwrap();
        assert_eq!(long.minutes, [30.0, 60.0]);
        assert_eq!(long.depths_mm[1][0], 18.0);
        assert!((long.depths_mm[1][1] - 38.1).abs() < 1e-9);
    }

    #[test]
    fn every_slip_of_the_pen_is_told_at_its_cell() {
        let text = "duration_min,2y,10y\n10,9,13\n60,8,27\n30,10,9\n120,,x\n240,-4,4000\n";
        assert_eq!(
            codes(text),
            [
                ("longer-not-deeper", Some(3), Some(4)),
                ("durations-out-of-order", Some(4), Some(1)),
                ("rarer-not-deeper", Some(4), Some(7)),
                ("cell-blank", Some(5), Some(5)),
                ("not-a-number", Some(5), Some(6)),
                ("not-positive", Some(6), Some(5)),
                ("beyond-all-rain", Some(6), Some(8)),
            ]
        );
        assert_eq!(codes("duration_min,2y\n10,9\n20,19\n"), [("longer-harder", Some(3), Some(4))]);
        assert_eq!(codes("duration_min,10y,2y\n10,9,8\n")[0], ("years-out-of-order", Some(1), Some(18)));
        assert_eq!(codes("duration_min,ten\n10,9\n")[0].0, "column-unknown");
        assert_eq!(codes("minutes,2y\n10,9\n")[0].0, "column-missing");
        assert_eq!(codes("duration_min\n10\n")[0].0, "column-missing");
        assert_eq!(codes("duration_min,2y\n")[0].0, "too-few-rows");
    }
}
