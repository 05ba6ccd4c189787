//! How wet the ground is before a storm.
//!
//! Wet ground sheds more of the same rain, so curve numbers come in three conditions. They were once told by the rain
//! of the five days before: dry below 0.5 inch and wet above 1.1 in the dormant season, 1.4 and 2.1 while plants
//! grow (NEH-4, the limits as a public hydrology library carries them). NEH 630 ch. 10 (2004) withdrew
//! the limits because the ground follows them poorly: use them to choose a trial, not to prove one.

use quantity::convert::inch_to_mm;
use site::{Day, Site};
use water::runoff::Wetness;

use super::StormNote;

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

impl WetBefore {
    pub(super) fn wetness(self, notes: &mut Vec<StormNote>) -> Wetness {
        let (rain_mm, season) = match self {
            WetBefore::Usual => return Wetness::Usual,
            WetBefore::Dry => return Wetness::Dry,
            WetBefore::Wet => return Wetness::Wet,
            WetBefore::FiveDays { rain_mm, season } => (rain_mm, season),
        };
        let (dry_mm, wet_mm) = season.limits_mm();
        let (wetness, class) = if rain_mm < dry_mm {
            (Wetness::Dry, "dry")
        } else if rain_mm > wet_mm {
            (Wetness::Wet, "wet")
        } else {
            (Wetness::Usual, "usual")
        };
        notes.push(StormNote::WetnessByRain { rain_mm, class });
        wetness
    }
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
