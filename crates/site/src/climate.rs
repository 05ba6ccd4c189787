//! The ordinary year of a place, as an almanac gives it: for weather drawn by chance where there is no record.

use grove::generator::{self, ClimateError, Days, Month};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An ordinary year, January first: weather is drawn from it where the folder has no `weather.csv`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Climate {
    /// Rain of each month, mm, January first.
    pub rain_mm: [f64; 12],
    /// Days with rain in each month.
    pub rain_days: [f64; 12],
    /// Mean of the days' least temperatures in each month, °C.
    pub tmin_c: [f64; 12],
    /// Mean of the days' greatest temperatures in each month, °C.
    pub tmax_c: [f64; 12],
    /// How much cooler the afternoon of a wet day is than that of a dry one, °C. Without it 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 20.0))]
    pub wet_cooler_c: Option<f64>,
    /// How far single days stray from the month's course, °C, one standard deviation. Without it 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 20.0))]
    pub spread_c: Option<f64>,
    /// Share of one day's stray that the next day keeps. Without it 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 0.99))]
    pub lasting_frac: Option<f64>,
}

impl Climate {
    /// The same as the generator of weather takes it.
    ///
    /// # Errors
    /// Months or differences of days that cannot be.
    pub fn ordinary_year(&self) -> Result<generator::Climate, ClimateError> {
        let month = |i: usize| Month {
            rain_mm: self.rain_mm[i],
            rain_days: self.rain_days[i],
            tmin_c: self.tmin_c[i],
            tmax_c: self.tmax_c[i],
        };
        let days = Days {
            wet_cooler_c: self.wet_cooler_c.unwrap_or(0.0),
            spread_c: self.spread_c.unwrap_or(0.0),
            lasting_frac: self.lasting_frac.unwrap_or(0.0),
        };
        generator::Climate::new(std::array::from_fn(month), days)
    }
}
