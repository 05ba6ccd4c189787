//! `weather.csv`: a day a row, with whatever the user's station or weather service gives.
//!
//! Columns are told by their names, never by their order, and by the unit at the end of the name: `rain_mm`,
//! `precip_in`, `Tmin (°C)`, `t_max_f`, `rh_min_pct`, `wind_10m_km_h`, `sunshine_h` ([`names`]). A rain or temperature
//! without a unit is taken as mm or °C, and the reading says so; so is wind without a height, as at 10 m, where
//! weather services read it. Columns that are not known are left alone and named.
//!
//! A blank cell was not read. `T` is a trace of rain. A column of days beside the rain tells readings that gathered
//! several days. Marks such as NA or −9999 count as blank, and are counted. Nothing is filled in.

mod names;

use std::collections::BTreeMap;

use grove::air::{Humidity, wind_at_2_m_m_s};
use grove::reference_et::Sunlight;
use grove::weather::{Gap, Origin, RainRead, Wanted, Weather, WeatherDay};
use quantity::Day;
use quantity::figures::fixed;

use crate::Fault;
use crate::daily_rain::{WETTEST_MM, rain_mm};
use crate::days::DayColumn;
use crate::raster::Note;
use crate::table::{ColumnIdx, Row, Table};
use names::{Columns, Found, What};

/// What stations and services write for a reading that there is not.
const MISSING_WORDS: [&str; 8] = ["na", "n/a", "nan", "null", "none", "-", "--", "m"];
/// Numbers they write for it: none of them can be a reading.
const MISSING_NUMBERS: [f64; 6] = [-99.0, -99.9, -99.99, -999.0, -999.9, -9999.0];
/// What they write for rain too little to measure.
const TRACES: [&str; 3] = ["t", "tr", "trace"];
/// Most days that one reading of rain may gather: a holiday, not a season. Common practice, no source.
const MOST_GATHERED_DAYS: f64 = 31.0;

/// A weather file as it was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherFile {
    /// The weather.
    pub weather: Weather,
    /// What was assumed, left alone, missing or doubtful.
    pub notes: Vec<Note>,
}

/// Reads a weather file.
///
/// # Errors
/// Every fault of the table.
pub fn read_weather(file: &str, bytes: &[u8]) -> Result<WeatherFile, Vec<Fault>> {
    let table = Table::read(file, bytes)?;
    let mut faults = Vec::new();
    let date = DayColumn::require(&table).map_err(|fault| faults.push(fault)).ok();
    let columns = Columns::find(&table).map_err(|of_columns| faults.extend(of_columns)).ok();
    let (Some(date), Some(columns)) = (date, columns) else {
        return Err(faults);
    };
    let mut reading = Reading { columns: &columns, faults, marks: 0, deep: Vec::new() };
    let mut days = Vec::new();
    let mut lines: BTreeMap<Day, usize> = BTreeMap::new();
    let mut last: Option<Day> = None;
    for row in table.rows() {
        let day = date.day(&row).map_err(|fault| reading.faults.push(fault)).ok();
        let read = reading.row(&row, day);
        let Some(day) = day else { continue };
        reading.faults.extend(last.and_then(|last| date.order_fault(&row, day, last)));
        last = Some(day);
        lines.insert(day, row.line());
        days.push(read);
    }
    let Reading { mut faults, marks, deep, .. } = reading;
    if faults.is_empty() && days.is_empty() {
        faults.push(table.fault("too-few-rows", "no day was read".to_owned(), "write one row for each day"));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let weather = Weather::new(days, Origin::Record).map_err(|error| {
        let fault = Fault::of_file(file, "rain-gathered", error.to_string(), "mend the days beside the rain");
        vec![fault.on_line(lines.get(&error.day()).copied().unwrap_or(1))]
    })?;
    let mut notes = columns.notes(file);
    notes.extend(deep.iter().map(|(line, day, mm)| {
        let text = format!("{file}:{line}: {} mm on {day}: are unit and point right?", fixed(*mm, 1));
        Note::new("rain-very-deep", text)
    }));
    if marks > 0 {
        let text = format!("{file}: {marks} cells hold a mark such as NA or -9999 and count as not read");
        notes.push(Note::new("marks-of-missing", text));
    }
    notes.extend(gap_notes(file, &weather, &columns));
    Ok(WeatherFile { weather, notes })
}

fn gap_notes(file: &str, weather: &Weather, columns: &Columns) -> Vec<Note> {
    let mut notes = Vec::new();
    for (wanted, needs, words) in [
        (Wanted::Rain, What::Rain, "rain"),
        (Wanted::Temperatures, What::Tmin, "least and greatest temperature"),
    ] {
        if columns.of(needs).is_none() {
            let text = format!("{file} has no column of {words}");
            notes.push(Note::new("column-absent", text));
            continue;
        }
        let gaps = weather.gaps(wanted);
        let missing: i64 = gaps.iter().map(Gap::days).sum();
        // The first of equally long gaps.
        if let Some(longest) = gaps.iter().rev().max_by_key(|gap| gap.days()) {
            let text = format!(
                "{file}: {missing} days lack {words}, the most in a row from {} to {}: they count as not read",
                longest.first, longest.last
            );
            notes.push(Note::new("weather-gaps", text));
        }
    }
    notes
}

/// The state of reading one file.
struct Reading<'a> {
    columns: &'a Columns,
    faults: Vec<Fault>,
    /// Cells that hold a mark of missing.
    marks: usize,
    /// Rain to ask about: line, day, depth.
    deep: Vec<(usize, Day, f64)>,
}

impl Reading<'_> {
    /// A row. Where its day is no day the row is read for its other faults, and what it gives is dropped.
    fn row(&mut self, row: &Row, day: Option<Day>) -> WeatherDay {
        let rain = self.rain(row, day);
        let [tmin_c, tmax_c] = [What::Tmin, What::Tmax].map(|what| self.number(row, what));
        if let (Some(low_c), Some(high_c)) = (tmin_c, tmax_c)
            && low_c > high_c
        {
            let found = format!("the least temperature, {low_c} °C, is above the greatest, {high_c} °C");
            self.faults.push(row.fault(
                self.column(What::Tmin),
                "temperatures-swapped",
                found,
                "see whether the two were swapped",
            ));
        }
        let humidity = self.humidity(row);
        let read_at_m = self.columns.of(What::Wind).map_or(2.0, |found| found.height_m);
        let wind_2m_m_s = self.number(row, What::Wind).map(|m_s| wind_at_2_m_m_s(m_s, read_at_m));
        let radiation = self.number(row, What::Radiation).map(Sunlight::RadiationMjM2);
        let sunshine = self.number(row, What::Sunshine).map(Sunlight::SunshineH);
        let sunlight = radiation.or(sunshine);
        let day = day.unwrap_or_else(|| Day::new(1, 1, 1).expect("the calendar's first day"));
        WeatherDay { day, rain, tmin_c, tmax_c, humidity, wind_2m_m_s, sunlight }
    }

    fn rain(&mut self, row: &Row, day: Option<Day>) -> RainRead {
        let gathered = self.gathered_days(row);
        let Some(found) = self.columns.of(What::Rain) else {
            return RainRead::NotRead;
        };
        if TRACES.iter().any(|trace| trace.eq_ignore_ascii_case(row.text(found.column))) {
            return RainRead::Trace;
        }
        if self.is_marked_missing(row, found) {
            return RainRead::NotRead;
        }
        let Some(mm) = rain_mm(row, (found.column, found.to_core))
            .map_err(|fault| self.faults.push(fault))
            .ok()
            .flatten()
        else {
            return RainRead::NotRead;
        };
        if let Some(day) = day.filter(|_| mm >= WETTEST_MM) {
            self.deep.push((row.line(), day, mm));
        }
        match gathered {
            Some(days) if days > 1 => RainRead::Gathered { total_mm: mm, days },
            _ => RainRead::Mm(mm),
        }
    }

    fn gathered_days(&mut self, row: &Row) -> Option<u32> {
        let days = self.number(row, What::GatheredDays)?;
        if days.fract() != 0.0 || !(1.0..=MOST_GATHERED_DAYS).contains(&days) {
            let found = format!("one reading gathers {days} days");
            let advice = "write a whole number of days, 1 to 31";
            self.faults.push(row.fault(self.column(What::GatheredDays), "gathered-days", found, advice));
            return None;
        }
        Some(days as u32)
    }

    fn humidity(&mut self, row: &Row) -> Option<Humidity> {
        let vapour = self.number(row, What::Vapour).map(Humidity::VapourKpa);
        let dew = self.number(row, What::DewPoint).map(Humidity::DewPointC);
        let least = self.number(row, What::LeastHumidity);
        let greatest = self.number(row, What::GreatestHumidity);
        let mean = self.number(row, What::MeanHumidity).map(Humidity::MeanFrac);
        let relative = match (least, greatest) {
            (Some(least_frac), Some(greatest_frac)) => {
                if least_frac > greatest_frac {
                    let found = "the least humidity is above the greatest".to_owned();
                    let advice = "see whether the two were swapped";
                    self.faults.push(row.fault(
                        self.column(What::LeastHumidity),
                        "humidity-swapped",
                        found,
                        advice,
                    ));
                }
                Some(Humidity::Extremes { least_frac, greatest_frac })
            }
            (None, Some(greatest_frac)) => mean.or(Some(Humidity::GreatestFrac(greatest_frac))),
            _ => mean,
        };
        vapour.or(dew).or(relative)
    }

    /// A number in the core's unit; none where it was not read.
    fn number(&mut self, row: &Row, what: What) -> Option<f64> {
        let found = self.columns.of(what)?;
        if self.is_marked_missing(row, found) {
            return None;
        }
        let value = row.number(found.column).map_err(|fault| self.faults.push(fault)).ok()??;
        let core = (found.to_core)(value);
        let limits = what.limits();
        if !limits.contains(&core) {
            let text = format!("{value} cannot be {}", what.words());
            self.faults.push(row.fault(
                self.column(what),
                "reading-impossible",
                text,
                "see whether the unit in the column's name is right",
            ));
            return None;
        }
        Some(core)
    }

    fn is_marked_missing(&mut self, row: &Row, found: &Found) -> bool {
        let text = row.text(found.column);
        let marked = MISSING_WORDS.iter().any(|word| word.eq_ignore_ascii_case(text))
            || row
                .number(found.column)
                .is_ok_and(|number| number.is_some_and(|n| MISSING_NUMBERS.contains(&n)));
        self.marks += usize::from(marked);
        marked
    }

    fn column(&self, what: What) -> ColumnIdx {
        self.columns.of(what).expect("a cell was read from this column").column
    }
}

#[cfg(test)]
mod tests;
