//! What was measured of rain and of soaking, as its files hold it.

use quantity::Estimate;

use crate::Day;

/// What was measured besides the ground.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// The official table of depths that the plan names.
    pub rain_depths: Option<RainDepths>,
    /// The daily record that the plan names.
    pub rain_record: Option<DailyRain>,
    /// Soak tests of the folder, in the order of their file names.
    pub soak_tests: Vec<SoakTest>,
}

/// An official table of rain depths: one row a duration, one column a return period.
#[derive(Debug, Clone, PartialEq)]
pub struct RainDepths {
    /// Durations, rising.
    pub minutes: Vec<f64>,
    /// Return periods, rising.
    pub years: Vec<f64>,
    /// Depths, deeper with duration and with rarity.
    pub depths_mm: Vec<Vec<f64>>,
}

/// Daily rain, in the order of its days. A day that is not there was not read: it is no dry day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DailyRain {
    /// The days that were read.
    pub days: Vec<DayOfRain>,
}

/// One day's rain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayOfRain {
    /// The day.
    pub day: Day,
    /// Its rain.
    pub rain_mm: f64,
}

/// What a gauge had caught by a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeReading {
    /// Minutes from the first reading.
    pub at_min: f64,
    /// Rain since the first reading.
    pub rain_mm: f64,
}

/// A soak test of the folder.
#[derive(Debug, Clone, PartialEq)]
pub struct SoakTest {
    /// File, inside the folder.
    pub file: String,
    /// The soil it was made in, where the file names one.
    pub soil: Option<String>,
    /// What it gave: from the slowest to the fastest of the readings that count, likely the one to go by.
    pub soak_mm_h: Estimate,
}
