//! A daily record: `date` and `rain_mm` (or `rain_in`), in order; what other columns hold is left alone.
//!
//! A blank cell or a day that is not there was not read: it is no dry day. Gaps are told, and so is a day so wet that
//! it may be a slip.

use quantity::convert::{h_to_s, inch_to_mm, m_to_mm};
use quantity::figures::fixed;
use site::{DailyRain, Day, DayOfRain};
use water::rain::record_rain_m;

use crate::Fault;
use crate::days::DayColumn;
use crate::raster::Note;
use crate::table::{ColumnIdx, Row, Table};

/// A day of this or more is asked about, mm: once in decades on a coast of cloudbursts, else a slip of the point. Common
/// practice, no source.
pub(crate) const WETTEST_MM: f64 = 400.0;

/// Reads a record, with what is to be told of it.
///
/// # Errors
/// Every fault of the table.
pub fn read_daily_rain(file: &str, bytes: &[u8]) -> Result<(DailyRain, Vec<Note>), Vec<Fault>> {
    let table = Table::read(file, bytes)?;
    let mut faults = Vec::new();
    let date = DayColumn::require(&table).map_err(|fault| faults.push(fault)).ok();
    let rain = match table.column("rain_in") {
        Some(column) => Some((column, inch_to_mm as fn(f64) -> f64)),
        None => table
            .require("rain_mm")
            .map(|column| (column, (|mm| mm) as fn(f64) -> f64))
            .map_err(|fault| faults.push(fault))
            .ok(),
    };
    let (Some(date), Some(rain)) = (date, rain) else {
        return Err(faults);
    };
    let mut days: Vec<DayOfRain> = Vec::new();
    let mut blank = 0;
    let mut last: Option<Day> = None;
    for row in table.rows() {
        let day = date.day(&row).map_err(|fault| faults.push(fault)).ok();
        let rain_mm = rain_mm(&row, rain).map_err(|fault| faults.push(fault)).ok();
        if let Some(day) = day {
            faults.extend(last.and_then(|last| date.order_fault(&row, day, last)));
            last = Some(day);
        }
        match (day, rain_mm) {
            (Some(day), Some(Some(rain_mm))) => days.push(DayOfRain { day, rain_mm }),
            (Some(_), Some(None)) => blank += 1,
            _ => {}
        }
    }
    if faults.is_empty() && days.is_empty() {
        faults.push(table.fault("too-few-rows", "no day was read".to_owned(), "write one row for each day"));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let notes = notes(file, &days, blank);
    Ok((DailyRain { days }, notes))
}

pub(crate) fn rain_mm(row: &Row, rain: (ColumnIdx, fn(f64) -> f64)) -> Result<Option<f64>, Fault> {
    let (column, to_mm) = rain;
    let Some(rain_mm) = row.number(column)?.map(to_mm) else {
        return Ok(None);
    };
    let record_mm = m_to_mm(record_rain_m(h_to_s(24.0)));
    if rain_mm < 0.0 {
        let found = format!("{rain_mm} is less than no rain");
        let advice = "leave the cell blank where the gauge was not read";
        return Err(row.fault(column, "rain-negative", found, advice));
    }
    if rain_mm > record_mm {
        let found = format!("{rain_mm} mm is more than any day ever brought, {} mm", fixed(record_mm, 0));
        return Err(row.fault(column, "beyond-all-rain", found, "check the point and the unit"));
    }
    Ok(Some(rain_mm))
}

fn notes(file: &str, days: &[DayOfRain], blank: usize) -> Vec<Note> {
    let mut notes = Vec::new();
    let gaps: Vec<(Day, i64)> = days
        .windows(2)
        .map(|pair| (pair[0].day, pair[1].day.number() - pair[0].day.number() - 1))
        .filter(|(_, missing)| *missing > 0)
        .collect();
    let missing: i64 = gaps.iter().map(|(_, missing)| missing).sum();
    if let Some((after, longest)) = gaps.iter().max_by_key(|(after, missing)| (*missing, -after.number())) {
        let text = format!(
            "{file} lacks {missing} days ({blank} of them blank), the longest gap is {longest} days after {after}: \
             they count as not read, not as dry"
        );
        notes.push(Note::new("rain-gaps", text));
    }
    for wet in days.iter().filter(|wet| wet.rain_mm >= WETTEST_MM) {
        let text = format!("{file}: {} mm on {}: is the point in its place?", fixed(wet.rain_mm, 1), wet.day);
        notes.push(Note::new("rain-very-deep", text));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<(&'static str, Option<usize>)> {
        let faults = read_daily_rain("rain/daily.csv", text.as_bytes()).unwrap_err();
        faults.iter().map(|fault| (fault.code, fault.line)).collect()
    }

    #[test]
    fn days_gaps_and_doubts() {
        let text = b"date,rain_mm,tmin_c\n2024-02-27,0,3\n2024-02-28,412.5,\n2024-02-29,,4\n2024-03-03,1,\n";
        let (record, notes) = read_daily_rain("f", text).unwrap();
        assert_eq!(record.days.len(), 3);
        let codes: Vec<_> = notes.iter().map(|note| note.code).collect();
        assert_eq!(codes, ["rain-gaps", "rain-very-deep"]);
        assert!(notes[0].text.contains("lacks 3 days (1 of them blank)"), "{}", notes[0].text);
        let (inches, _) = read_daily_rain("f", b"date,rain_in\n2024-02-27,1\n").unwrap();
        assert_eq!(inches.days[0].rain_mm, 25.4);
    }

    #[test]
    fn every_fault_is_told() {
        assert_eq!(
            codes("date,rain_mm\n2024-02-31,0\n2024-03-02,-1\n2024-03-02,0\n2024-03-01,x\n2024-03-05,2000\n"),
            [
                ("not-a-day", Some(2)),
                ("rain-negative", Some(3)),
                ("day-twice", Some(4)),
                ("not-a-number", Some(5)),
                ("days-out-of-order", Some(5)),
                ("beyond-all-rain", Some(6)),
            ]
        );
        assert_eq!(codes("day,rain\n"), [("column-missing", Some(1)), ("column-missing", Some(1))]);
        assert_eq!(codes("date,rain_mm\n")[0].0, "too-few-rows");
    }
}
