//! How wet the ground is before a storm.
//!
//! Wet ground sheds more of the same rain, so curve numbers come in three conditions. They were once told by the rain
//! of the five days before: dry below 0.5 inch and wet above 1.1 in the dormant season, 1.4 and 2.1 while plants
//! grow (NEH-4, the limits as a public hydrology library carries them). NEH 630 ch. 10 (2004) withdrew
//! the limits because the ground follows them poorly: use them to choose a trial, not to prove one.

use quantity::convert::inch_to_mm;
use site::{DailyRain, Day, Site};
use water::runoff::Wetness;

use super::{StormError, StormNote};

/// How wet the ground is before the storm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum WetBefore {
    /// As the tables have it.
    #[default]
    Usual,
    /// Dry.
    Dry,
    /// Wet.
    Wet,
    /// By the rain of the five days before.
    FiveDays {
        /// That rain.
        rain_mm: f64,
        /// Whether plants drink.
        season: Season,
    },
    /// By the site's record, for a storm that begins on a day.
    OnDay {
        /// The day.
        day: Day,
        /// Whether plants drink.
        season: Season,
    },
}

/// The ground before a storm, and the rain that made it so.
pub(super) struct Before {
    pub wetness: Wetness,
    /// The last one next to the storm.
    pub days_mm: Vec<f64>,
}

/// Whether plants drink.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Season {
    /// They rest.
    Dormant,
    /// They grow.
    Growing,
}

impl Season {
    /// Five days' rain below which the ground counts as dry, and above which as wet, mm. NEH-4.
    fn limits_mm(self) -> (f64, f64) {
        match self {
            Season::Dormant => (inch_to_mm(0.5), inch_to_mm(1.1)),
            Season::Growing => (inch_to_mm(1.4), inch_to_mm(2.1)),
        }
    }
}

/// Days of a record that are looked back on: what a seep that halves in a month had from a year ago is 2⁻¹² of it.
const LOOKED_BACK_DAYS: i64 = 365;
/// Days that the old limits count.
const DAYS: usize = 5;

impl WetBefore {
    /// Ground and days before. A class in words stands for the least rain that the limits of the dormant season call
    /// so, spread evenly over five days.
    pub(super) fn before(self, site: &Site, notes: &mut Vec<StormNote>) -> Result<Before, StormError> {
        let (usual_mm, wet_mm) = Season::Dormant.limits_mm();
        let evenly = |rain_mm: f64| vec![rain_mm / DAYS as f64; DAYS];
        Ok(match self {
            WetBefore::Dry => Before { wetness: Wetness::Dry, days_mm: Vec::new() },
            WetBefore::Usual => Before { wetness: Wetness::Usual, days_mm: evenly(usual_mm) },
            WetBefore::Wet => Before { wetness: Wetness::Wet, days_mm: evenly(wet_mm) },
            WetBefore::FiveDays { rain_mm, season } => {
                Before { wetness: by_rain(rain_mm, season, notes), days_mm: evenly(rain_mm) }
            }
            WetBefore::OnDay { day, season } => {
                let record = site.measured.rain_record.as_ref().ok_or(StormError::NoRecord { day })?;
                let rain_mm = five_days_before_mm(site, day).ok_or(StormError::DaysMissing { day })?;
                let wetness = by_rain(rain_mm, season, notes);
                Before { wetness, days_mm: days_before_mm(record, day) }
            }
        })
    }
}

/// How wet the ground is by the rain of five days before.
pub(crate) fn wetness_by_five_days(rain_mm: f64, season: Season) -> Wetness {
    let (dry_mm, wet_mm) = season.limits_mm();
    if rain_mm < dry_mm {
        Wetness::Dry
    } else if rain_mm > wet_mm {
        Wetness::Wet
    } else {
        Wetness::Usual
    }
}

fn by_rain(rain_mm: f64, season: Season, notes: &mut Vec<StormNote>) -> Wetness {
    let wetness = wetness_by_five_days(rain_mm, season);
    let class = match wetness {
        Wetness::Dry => "dry",
        Wetness::Usual => "usual",
        Wetness::Wet => "wet",
    };
    notes.push(StormNote::WetnessByRain { rain_mm, class });
    wetness
}

/// Rain of the days before a day, as far back as every day was read, at most a year.
fn days_before_mm(record: &DailyRain, day: Day) -> Vec<f64> {
    let rain_mm = |back: i64| {
        let number = day.number() - back;
        let at = record.days.binary_search_by_key(&number, |read| read.day.number()).ok()?;
        Some(record.days[at].rain_mm)
    };
    let mut days_mm: Vec<f64> = (1..=LOOKED_BACK_DAYS).map_while(rain_mm).collect();
    days_mm.reverse();
    days_mm
}

/// Rain of the five days before a day, by the site's record; none where one of them was not read.
pub fn five_days_before_mm(site: &Site, day: Day) -> Option<f64> {
    let days = &site.measured.rain_record.as_ref()?.days;
    let before = 1..=5;
    before
        .map(|back| {
            let at = days.binary_search_by_key(&(day.number() - back), |read| read.day.number()).ok()?;
            Some(days[at].rain_mm)
        })
        .sum()
}
