//! How deep a rain comes once in so many years at this site.
//!
//! The official table answers first, within its durations and rarities. Else the site's daily record, for a day and
//! more: the greatest sum of each year, a curve of extremes through its L-moments, and how far another record of
//! the same length might have led. Else the plan's own storm.
//!
//! The likely depth is that of the generalized extreme-value curve. Its range is the middle nine tenths of
//! [`RECORDS`] records drawn from that curve, each as long as the true one and fitted alike (parametric bootstrap:
//! Hosking & Wallis, Regional Frequency Analysis, 1997), widened to Gumbel's depth; drawn from a fixed
//! seed, so the same record gives the same range. Leaves out trends: rains are getting harder in many places.

use quantity::Estimate;
use quantity::convert::{h_to_s, m_to_mm};
use serde::Serialize;
use site::{DailyRain, DesignRain, Site};
use water::rain::frequency::{Extremes, RecordError, l_moments};

use super::{DAY_H, HOURS, StormError, StormNote, official_table};

/// Records drawn for the range. The ends are the 26th and the 475th in rank: about twenty lie beyond each.
const RECORDS: usize = 500;
/// Share of the drawn records beyond either end of the range.
const BEYOND_EACH_END: f64 = 0.05;
/// The seed.
const SEED: u64 = 1;
/// Share of a year's days that may be missing. Common practice, no source.
const MOST_MISSING: f64 = 0.1;
/// Under so many years a record says little. Common practice, no source.
const LONG_RECORD_YEARS: usize = 20;
/// A year whose greatest rain is less than this share of the middle one was hardly read to its end. Our own judgement:
/// records of Texas gauges (USGS WRIR 98-4044) hold 0.1 inch among greatest rains of 2 to 7.
const LOW_YEAR: f64 = 0.25;

/// A depth and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignDepth {
    /// The depth; a table's is one number, a record's a range.
    pub depth_mm: Estimate,
    /// What told it.
    pub from: DepthFrom,
    /// What the reader should know.
    pub notes: Vec<StormNote>,
}

/// What told a depth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum DepthFrom {
    /// The official table.
    Table,
    /// The site's daily record.
    Record,
    /// The plan's own storm.
    Plan,
}

impl DesignDepth {
    /// The plan's own storm.
    pub(super) fn of_plan(design: &DesignRain) -> DesignDepth {
        DesignDepth { depth_mm: Estimate::exact(design.depth_mm), from: DepthFrom::Plan, notes: Vec::new() }
    }
}

/// Depth of the rain of so many hours that comes once in so many years.
///
/// # Errors
/// If hours or years are out of range, or neither table nor record nor plan tell it.
pub fn design_depth_mm(site: &Site, hours: f64, years: f64) -> Result<DesignDepth, StormError> {
    if !HOURS.contains(&hours) {
        return Err(StormError::BadHours { hours });
    }
    if !(years.is_finite() && years > 1.0) {
        return Err(StormError::BadYears { years });
    }
    if let Some((table, _)) = official_table(site)?
        && let Some(depth_m) = table.depth_m(h_to_s(hours), years)
    {
        let depth_mm = Estimate::exact(m_to_mm(depth_m));
        return Ok(DesignDepth { depth_mm, from: DepthFrom::Table, notes: Vec::new() });
    }
    if let Some(record) = &site.measured.rain_record
        && let Some(days) = whole_days(hours)
    {
        return of_record(record, days, years);
    }
    let design = &site.plan.rain.design;
    if design.hours == hours && design.once_in_years == years {
        return Ok(DesignDepth::of_plan(design));
    }
    Err(StormError::DepthUnknown { hours, years, design: *design })
}

/// Days in so many hours, where they are whole days.
fn whole_days(hours: f64) -> Option<usize> {
    let days = hours / DAY_H;
    (days >= 1.0 && days == libm::floor(days)).then_some(days as usize)
}

fn of_record(record: &DailyRain, days: usize, years: f64) -> Result<DesignDepth, StormError> {
    let mut notes = vec![StormNote::ReadDaily];
    let maxima = yearly_greatest_mm(record, days, &mut notes);
    let depths: Vec<f64> = maxima.iter().map(|(_, rain_mm)| *rain_mm).collect();
    let moments = l_moments(&depths)?;
    let curve = Extremes::gev(&moments)?;
    let gumbel_mm = Extremes::gumbel(&moments).once_in(years);
    notes.push(StormNote::Gumbel { gumbel_mm });
    notes.extend(doubts(&maxima, years));
    let likely_mm = curve.once_in(years);
    let (low_mm, high_mm) = range_mm(&curve, depths.len(), years)?;
    let low_mm = if gumbel_mm < low_mm { gumbel_mm } else { low_mm };
    let high_mm = if gumbel_mm > high_mm { gumbel_mm } else { high_mm };
    let depth_mm = Estimate::spanning(likely_mm, low_mm, high_mm);
    Ok(DesignDepth { depth_mm, from: DepthFrom::Record, notes })
}

/// The greatest sum of so many days on end in each year that was read well enough, with its year.
fn yearly_greatest_mm(record: &DailyRain, days: usize, notes: &mut Vec<StormNote>) -> Vec<(i32, f64)> {
    let read = &record.days;
    let mut maxima: Vec<(i32, f64)> = Vec::new();
    let mut left_out = 0;
    let mut start = 0;
    while start < read.len() {
        let year = read[start].day.year();
        let end = start + read[start..].partition_point(|day| day.day.year() == year);
        let whole = f64::from(site::Day::days_in(year));
        if ((end - start) as f64) < (1.0 - MOST_MISSING) * whole {
            left_out += 1;
        } else {
            let sums = (start..end).filter_map(|last| sum_to(record, last, days));
            let greatest = sums.fold(0.0, |most, sum| if sum > most { sum } else { most });
            maxima.push((year, greatest));
        }
        start = end;
    }
    if left_out > 0 {
        notes.push(StormNote::YearsLeftOut { count: left_out });
    }
    maxima
}

/// Rain of the days that end with one of the record; none where one of them was not read. A sum over New Year counts
/// for the year it ends in.
fn sum_to(record: &DailyRain, last: usize, days: usize) -> Option<f64> {
    let first = (last + 1).checked_sub(days)?;
    let stretch = &record.days[first..=last];
    let whole = stretch[days - 1].day.number() - stretch[0].day.number() == days as i64 - 1;
    whole.then(|| stretch.iter().map(|day| day.rain_mm).sum())
}

fn doubts(maxima: &[(i32, f64)], years: f64) -> Vec<StormNote> {
    let mut notes = Vec::new();
    let count = maxima.len();
    if count < LONG_RECORD_YEARS {
        notes.push(StormNote::ShortRecord { years: count });
    }
    if years > 2.0 * count as f64 {
        notes.push(StormNote::BeyondRecord { years, record_years: count });
    }
    let mut ranked: Vec<f64> = maxima.iter().map(|(_, rain_mm)| *rain_mm).collect();
    ranked.sort_by(f64::total_cmp);
    let middle_mm = ranked[count / 2];
    let low = maxima.iter().filter(|(_, rain_mm)| *rain_mm < LOW_YEAR * middle_mm);
    notes.extend(low.map(|(year, rain_mm)| StormNote::LowYear { year: *year, rain_mm: *rain_mm }));
    notes
}

/// Where the middle nine tenths of records like this one would have led.
fn range_mm(curve: &Extremes, length: usize, years: f64) -> Result<(f64, f64), RecordError> {
    let mut chance = Chance(SEED);
    let mut found = Vec::with_capacity(RECORDS);
    let mut drawn = vec![0.0; length];
    for _ in 0..RECORDS {
        for value in &mut drawn {
            // A year brings no less than none.
            let rain_mm = curve.quantile(chance.next());
            *value = if rain_mm > 0.0 { rain_mm } else { 0.0 };
        }
        found.push(Extremes::gev(&l_moments(&drawn)?)?.once_in(years));
    }
    found.sort_by(f64::total_cmp);
    let beyond = (BEYOND_EACH_END * RECORDS as f64) as usize;
    Ok((found[beyond], found[RECORDS - 1 - beyond]))
}

/// Numbers between 0 and 1, without either end, from a seed: SplitMix64 (Steele, Lea & Flood, Fast splittable
/// pseudorandom number generators, OOPSLA 2014).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        // 52 bits and a half: never 0 and never 1.
        ((z >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
    }
}
