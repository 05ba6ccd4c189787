//! Names of weather columns: a word for what was read, and a unit.

use std::ops::RangeInclusive;

use grove::reference_et::{RADIATIONS_MJ_M2, TEMPERATURES_C, VAPOURS_KPA, WINDS_M_S};
use quantity::convert::{
    fahrenheit_to_c, hpa_to_kpa, inch_to_mm, km_h_to_m_s, knots_to_m_s, mph_to_m_s, percent_to_frac,
    w_m2_to_mj_m2,
};

use crate::Fault;
use crate::days::DayColumn;
use crate::raster::Note;
use crate::table::{ColumnIdx, Table};

/// Height at which weather services read the wind, m (World Meteorological Organization, Guide to Instruments and
/// Methods of Observation, WMO-No. 8).
const SERVICE_WIND_HEIGHT_M: f64 = 10.0;

/// What a column may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    Rain,
    GatheredDays,
    Tmin,
    Tmax,
    DewPoint,
    Vapour,
    LeastHumidity,
    GreatestHumidity,
    MeanHumidity,
    Wind,
    Radiation,
    Sunshine,
}

/// A unit as names end in it, and what makes the core's unit of its numbers.
type Unit = (&'static str, fn(f64) -> f64);

const AS_IT_IS: fn(f64) -> f64 = |value| value;
const RAIN_UNITS: &[Unit] = &[
    ("mm", AS_IT_IS),
    ("millimetres", AS_IT_IS),
    ("in", inch_to_mm),
    ("inch", inch_to_mm),
    ("inches", inch_to_mm),
];
const TEMPERATURE_UNITS: &[Unit] =
    &[("c", AS_IT_IS), ("degc", AS_IT_IS), ("f", fahrenheit_to_c), ("degf", fahrenheit_to_c)];
const HUMIDITY_UNITS: &[Unit] = &[("pct", percent_to_frac), ("percent", percent_to_frac), ("frac", AS_IT_IS)];
const WIND_UNITS: &[Unit] = &[
    ("m_s", AS_IT_IS),
    ("ms", AS_IT_IS),
    ("km_h", km_h_to_m_s),
    ("kmh", km_h_to_m_s),
    ("mph", mph_to_m_s),
    ("knots", knots_to_m_s),
    ("kn", knots_to_m_s),
];

/// How a column is named.
struct Naming {
    what: What,
    stems: &'static [&'static str],
    units: &'static [Unit],
    /// Whether a name without a unit is understood, as of the first.
    unit_may_lack: bool,
}

const NAMINGS: [Naming; 12] = [
    Naming {
        what: What::Rain,
        stems: &["rain", "rainfall", "precip", "precipitation", "prcp", "ppt", "rainfall_amount"],
        units: RAIN_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::GatheredDays,
        stems: &["gathered", "rain_over", "period"],
        units: &[("days", AS_IT_IS)],
        unit_may_lack: false,
    },
    Naming {
        what: What::Tmin,
        stems: &["tmin", "t_min", "temp_min", "min_temp", "tn", "minimum_temperature", "temperature_min"],
        units: TEMPERATURE_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::Tmax,
        stems: &["tmax", "t_max", "temp_max", "max_temp", "tx", "maximum_temperature", "temperature_max"],
        units: TEMPERATURE_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::DewPoint,
        stems: &["dew", "tdew", "dew_point", "dewpoint"],
        units: TEMPERATURE_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::Vapour,
        stems: &["vapour", "vapour_pressure", "vapor_pressure", "ea"],
        units: &[("kpa", AS_IT_IS), ("hpa", hpa_to_kpa), ("mbar", hpa_to_kpa)],
        unit_may_lack: false,
    },
    Naming {
        what: What::LeastHumidity,
        stems: &["rh_min", "rhmin", "min_humidity", "humidity_min"],
        units: HUMIDITY_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::GreatestHumidity,
        stems: &["rh_max", "rhmax", "max_humidity", "humidity_max"],
        units: HUMIDITY_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::MeanHumidity,
        stems: &["rh", "rh_mean", "rhmean", "humidity", "relative_humidity"],
        units: HUMIDITY_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::Wind,
        stems: &["wind", "wind_speed", "windspeed", "wind_2m", "wind_10m"],
        units: WIND_UNITS,
        unit_may_lack: true,
    },
    Naming {
        what: What::Radiation,
        stems: &["radiation", "solar", "solar_radiation", "rs", "srad"],
        units: &[("mj_m2", AS_IT_IS), ("mj_m2_d", AS_IT_IS), ("w_m2", w_m2_to_mj_m2)],
        unit_may_lack: false,
    },
    Naming {
        what: What::Sunshine,
        stems: &["sunshine", "sun", "bright_sunshine"],
        units: &[("h", AS_IT_IS), ("hours", AS_IT_IS)],
        unit_may_lack: false,
    },
];

impl What {
    /// Values that there may be, in the core's unit. Rain has its own check.
    pub(super) fn limits(self) -> RangeInclusive<f64> {
        match self {
            What::Rain | What::GatheredDays => f64::MIN..=f64::MAX,
            What::Tmin | What::Tmax | What::DewPoint => TEMPERATURES_C,
            What::Vapour => VAPOURS_KPA,
            What::LeastHumidity | What::GreatestHumidity | What::MeanHumidity => 0.0..=1.0,
            What::Wind => WINDS_M_S,
            What::Radiation => RADIATIONS_MJ_M2,
            What::Sunshine => 0.0..=24.0,
        }
    }

    pub(super) fn words(self) -> &'static str {
        match self {
            What::Rain => "a day's rain",
            What::GatheredDays => "a number of days",
            What::Tmin => "a least temperature",
            What::Tmax => "a greatest temperature",
            What::DewPoint => "a dew point",
            What::Vapour => "a vapour pressure",
            What::LeastHumidity | What::GreatestHumidity | What::MeanHumidity => "a relative humidity",
            What::Wind => "a day's mean wind",
            What::Radiation => "a day's radiation",
            What::Sunshine => "a day's hours of sunshine",
        }
    }
}

/// A column that was recognised.
#[derive(Debug, Clone)]
pub(super) struct Found {
    what: What,
    pub(super) column: ColumnIdx,
    pub(super) to_core: fn(f64) -> f64,
    /// Height at which wind was read.
    pub(super) height_m: f64,
    /// What the name left to be assumed.
    assumed: Option<String>,
}

/// The columns of a file.
#[derive(Debug)]
pub(super) struct Columns {
    found: Vec<Found>,
    /// Names of those left alone.
    others: Vec<String>,
}

impl Columns {
    /// Recognises them.
    ///
    /// # Errors
    /// One thing in two columns, or a unit that nobody can guess.
    pub(super) fn find(table: &Table) -> Result<Columns, Vec<Fault>> {
        let mut columns = Columns { found: Vec::new(), others: Vec::new() };
        let mut faults = Vec::new();
        for name in table.names().filter(|name| !name.is_empty() && !DayColumn::is_named(name)) {
            let column = table.column(name).expect("the table gave this name");
            match recognise(name, column) {
                Some(Ok(found)) if columns.of(found.what).is_some() => {
                    let words = format!("\"{name}\" is the second column of {}", found.what.words());
                    faults.push(table.fault_of_column(
                        column,
                        "column-twice",
                        words,
                        "keep one of the columns",
                    ));
                }
                Some(Ok(found)) => columns.found.push(found),
                Some(Err(units)) => {
                    let words = format!("\"{name}\" does not say its unit");
                    let advice = format!("end the name in one of {units}");
                    faults.push(table.fault_of_column(column, "unit-missing", words, &advice));
                }
                None => columns.others.push(name.to_owned()),
            }
        }
        if faults.is_empty() { Ok(columns) } else { Err(faults) }
    }

    pub(super) fn of(&self, what: What) -> Option<&Found> {
        self.found.iter().find(|found| found.what == what)
    }

    /// What was assumed and what was left alone.
    pub(super) fn notes(&self, file: &str) -> Vec<Note> {
        let assumed = self.found.iter().filter_map(|found| found.assumed.as_ref());
        let mut notes: Vec<Note> =
            assumed.map(|text| Note::new("unit-assumed", format!("{file}: {text}"))).collect();
        if !self.others.is_empty() {
            let text =
                format!("{file}: columns left alone: {}", crate::table::shown(&self.others.join(", ")));
            notes.push(Note::new("columns-left-alone", text));
        }
        notes
    }
}

/// The column of this name; the units to choose from where it needs one and has none; none where it is not known.
fn recognise(name: &str, column: ColumnIdx) -> Option<Result<Found, String>> {
    let plain = plain(name);
    for naming in &NAMINGS {
        for stem in naming.stems {
            let Some(rest) = plain.strip_prefix(stem) else { continue };
            let unit = match rest.strip_prefix('_') {
                Some(unit) => naming.units.iter().find(|(known, _)| *known == unit),
                None if rest.is_empty() && !naming.unit_may_lack => {
                    let units: Vec<String> =
                        naming.units.iter().map(|(unit, _)| format!("_{unit}")).collect();
                    return Some(Err(units.join(", ")));
                }
                None if rest.is_empty() => naming.units.first(),
                None => None,
            };
            if let Some((unit, to_core)) = unit {
                let (height_m, height_assumed) = match *stem {
                    "wind_2m" => (2.0, false),
                    stem => (SERVICE_WIND_HEIGHT_M, naming.what == What::Wind && stem != "wind_10m"),
                };
                let unit_words = rest.is_empty().then(|| format!("\"{name}\" is taken as {unit}"));
                let height_words = height_assumed.then(|| format!("\"{name}\" is taken as read at 10 m"));
                let words: Vec<String> = unit_words.into_iter().chain(height_words).collect();
                let assumed = (!words.is_empty()).then(|| words.join(", "));
                return Some(Ok(Found { what: naming.what, column, to_core: *to_core, height_m, assumed }));
            }
        }
    }
    None
}

/// A name in small letters and digits, with one `_` for each run of anything else.
fn plain(name: &str) -> String {
    let mut plain = String::new();
    for c in name.chars() {
        if c.is_ascii_alphanumeric() {
            plain.push(c.to_ascii_lowercase());
        } else if !plain.is_empty() && !plain.ends_with('_') {
            plain.push('_');
        }
    }
    plain.trim_end_matches('_').to_owned()
}
