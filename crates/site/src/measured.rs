//! What was measured of rain and of soaking, as its files hold it.

use grove::weather::Weather;

use crate::{Day, Seen};

/// What was measured besides the ground.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// The official table of depths that the plan names.
    pub rain_depths: Option<RainDepths>,
    /// The daily record that the plan names.
    pub rain_record: Option<DailyRain>,
    /// The weather of the folder's `weather.csv`, gaps and all.
    pub weather: Option<Weather>,
    /// Soak tests of the folder, in the order of their file names.
    pub soak_tests: Vec<SoakTest>,
    /// The field book: what was seen, as put right by later entries, in the order in which it was first written down.
    pub field_book: Vec<Seen>,
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

/// A soak test.
#[derive(Debug, Clone, PartialEq)]
pub struct SoakTest {
    /// Its file.
    pub file: String,
    /// The soil it was made in, where the file names one.
    pub soil: Option<String>,
    /// What the water stood in.
    pub hole: SoakHole,
    /// Fills, in order, each with two readings or more.
    pub fills: Vec<Vec<SoakReading>>,
}

/// What the water of a soak test stood in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SoakHole {
    /// A round hole without lining.
    Auger {
        /// Its radius.
        radius_m: f64,
    },
    /// A pit with upright sides.
    Pit {
        /// Length of its bottom.
        length_m: f64,
        /// Width of its bottom.
        width_m: f64,
    },
    /// Two rings, one in the other; what soaked in is measured in the inner one.
    DoubleRing,
    /// A ring driven in, its water falling.
    FallingRing {
        /// Length of soil inside the ring.
        core_m: f64,
    },
}

/// One reading of a soak test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoakReading {
    /// Time by the watch.
    pub at_min: f64,
    /// Height of the water above the bottom; between double rings what has soaked in so far.
    pub water_m: f64,
}
