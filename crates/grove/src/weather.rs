//! Weather day by day, as far as it was read.
//!
//! A day that is not there, a cell that was blank, a gauge emptied after three days: each is kept as what it is. A
//! trace of rain is a day that was read and had no depth to speak of. Nothing is filled unless one asks for it, and
//! what is drawn by chance says so ([`Origin`]).
//!
//! Leaves out: hours, snow as snow.

use quantity::Day;

use crate::air::Humidity;
use crate::reference_et::{DayAir, EtError, ReferenceEt, Sunlight, Whereabouts, reference_et};

/// What is known of a day's rain.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum RainRead {
    /// The gauge was not read.
    #[default]
    NotRead,
    /// Depth that fell, 0 on a dry day.
    Mm(f64),
    /// Some, too little to measure.
    Trace,
    /// Depth that fell on this day and those before it since the gauge was last emptied.
    Gathered {
        /// Depth of all of them.
        total_mm: f64,
        /// How many days, this one counted.
        days: u32,
    },
}

impl RainRead {
    /// Rain of the day alone, where it is known. A trace counts as none: it wets no soil.
    pub fn mm(self) -> Option<f64> {
        match self {
            RainRead::Mm(mm) => Some(mm),
            RainRead::Trace => Some(0.0),
            RainRead::NotRead | RainRead::Gathered { .. } => None,
        }
    }
}

/// A day's weather.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeatherDay {
    /// The day.
    pub day: Day,
    /// Its rain.
    pub rain: RainRead,
    /// Least temperature.
    pub tmin_c: Option<f64>,
    /// Greatest temperature.
    pub tmax_c: Option<f64>,
    /// Humidity.
    pub humidity: Option<Humidity>,
    /// Wind at two metres.
    pub wind_2m_m_s: Option<f64>,
    /// Radiation or sunshine.
    pub sunlight: Option<Sunlight>,
}

impl WeatherDay {
    /// A day of which nothing was read.
    pub fn unread(day: Day) -> WeatherDay {
        WeatherDay {
            day,
            rain: RainRead::NotRead,
            tmin_c: None,
            tmax_c: None,
            humidity: None,
            wind_2m_m_s: None,
            sunlight: None,
        }
    }

    /// Its air; none where a temperature is missing.
    pub fn air(&self) -> Option<DayAir> {
        Some(DayAir {
            tmin_c: self.tmin_c?,
            tmax_c: self.tmax_c?,
            humidity: self.humidity,
            wind_2m_m_s: self.wind_2m_m_s,
            sunlight: self.sunlight,
        })
    }

    /// Its reference evapotranspiration; none where a temperature is missing.
    ///
    /// # Errors
    /// Readings that cannot be.
    pub fn reference_et(&self, place: &Whereabouts) -> Result<Option<ReferenceEt>, EtError> {
        self.air().map(|air| reference_et(place, self.day, &air)).transpose()
    }
}

/// Where weather came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// It was read.
    Record,
    /// It never happened: drawn by chance from this seed.
    Generated {
        /// The seed.
        seed: u64,
    },
}

/// Weather of many days, in their order.
#[derive(Debug, Clone, PartialEq)]
pub struct Weather {
    days: Vec<WeatherDay>,
    origin: Origin,
}

/// Days that are no record.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WeatherError {
    /// A day does not come after the one before.
    #[error("{day} comes after {last}; give each day once, in order")]
    OutOfOrder {
        /// The day.
        day: Day,
        /// The one before it in the list.
        last: Day,
    },
    /// Rain that cannot be.
    #[error("rain of {mm} mm on {day} cannot be; it is 0 or more")]
    Rain {
        /// The day.
        day: Day,
        /// Its rain.
        mm: f64,
    },
    /// A reading of several days holds a day with a reading of its own.
    #[error(
        "the {days} days of rain read on {day} hold a day that was read by itself, {read}; make them fewer"
    )]
    GatheredOverRead {
        /// Day of the reading.
        day: Day,
        /// Days it is said to hold.
        days: u32,
        /// The day inside them.
        read: Day,
    },
    /// A reading of several days that holds fewer than two.
    #[error("the rain read on {day} gathers {days} days; a gathered reading holds 2 or more")]
    GatheredTooFew {
        /// Day of the reading.
        day: Day,
        /// Days it is said to hold.
        days: u32,
    },
}

impl WeatherError {
    /// The day it is about.
    pub fn day(&self) -> Day {
        match *self {
            WeatherError::OutOfOrder { day, .. }
            | WeatherError::Rain { day, .. }
            | WeatherError::GatheredOverRead { day, .. }
            | WeatherError::GatheredTooFew { day, .. } => day,
        }
    }
}

/// What a day can lack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Rain of the day by itself.
    Rain,
    /// Both temperatures.
    Temperatures,
}

/// Days in a row that lack something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// First of them.
    pub first: Day,
    /// Last of them.
    pub last: Day,
}

impl Gap {
    /// How many days.
    pub fn days(&self) -> i64 {
        self.last.number() - self.first.number() + 1
    }
}

impl Weather {
    /// Days in order.
    ///
    /// # Errors
    /// Days out of order or twice; rain that cannot be; gathered readings that hold other readings.
    pub fn new(days: Vec<WeatherDay>, origin: Origin) -> Result<Weather, WeatherError> {
        let mut last_rain: Option<Day> = None;
        for (i, of) in days.iter().enumerate() {
            if let Some(last) = i.checked_sub(1).map(|i| days[i].day).filter(|last| of.day <= *last) {
                return Err(WeatherError::OutOfOrder { day: of.day, last });
            }
            check_rain(of, last_rain)?;
            if of.rain != RainRead::NotRead {
                last_rain = Some(of.day);
            }
        }
        Ok(Weather { days, origin })
    }

    /// Its days, in order; some may not be there.
    pub fn days(&self) -> &[WeatherDay] {
        &self.days
    }

    /// Where it came from.
    pub fn origin(&self) -> Origin {
        self.origin
    }

    /// Days in a row, between the first and the last, that lack something.
    pub fn gaps(&self, wanted: Wanted) -> Vec<Gap> {
        let has = |of: &WeatherDay| match wanted {
            Wanted::Rain => of.rain.mm().is_some(),
            Wanted::Temperatures => of.air().is_some(),
        };
        let mut gaps: Vec<Gap> = Vec::new();
        for of in self.every_day().filter(|of| !has(of)) {
            match gaps.last_mut().filter(|gap| gap.last.next() == of.day) {
                Some(gap) => gap.last = of.day,
                None => gaps.push(Gap { first: of.day, last: of.day }),
            }
        }
        gaps
    }

    /// The same with every day there from the first to the last, and gathered rain spread evenly over its days: rain
    /// comes in showers, so even rain soaks in more readily than the true one did (common practice, no source). The
    /// gaps tell which days were spread.
    pub fn with_gathered_spread(&self) -> (Weather, Vec<Gap>) {
        let mut days: Vec<WeatherDay> = self.every_day().collect();
        let mut spread = Vec::new();
        for i in 0..days.len() {
            if let RainRead::Gathered { total_mm, days: count } = days[i].rain {
                // Days before the record's first are no part of it: their share of the rain is left out with them.
                let first = (i + 1).saturating_sub(count as usize);
                for of in &mut days[first..=i] {
                    of.rain = RainRead::Mm(total_mm / f64::from(count));
                }
                spread.push(Gap { first: days[first].day, last: days[i].day });
            }
        }
        (Weather { days, origin: self.origin }, spread)
    }

    /// Every day from the first to the last, unread where it is not there.
    fn every_day(&self) -> impl Iterator<Item = WeatherDay> + '_ {
        let mut rest = self.days.iter().peekable();
        let mut day = self.days.first().map(|of| of.day);
        std::iter::from_fn(move || {
            rest.peek()?;
            let now = day?;
            day = Some(now.next());
            let there = rest.next_if(|of| of.day == now);
            Some(there.copied().unwrap_or_else(|| WeatherDay::unread(now)))
        })
    }
}

fn check_rain(of: &WeatherDay, last_rain: Option<Day>) -> Result<(), WeatherError> {
    let day = of.day;
    match of.rain {
        RainRead::NotRead | RainRead::Trace => Ok(()),
        RainRead::Mm(mm) | RainRead::Gathered { total_mm: mm, .. } if !(mm.is_finite() && mm >= 0.0) => {
            Err(WeatherError::Rain { day, mm })
        }
        RainRead::Mm(_) => Ok(()),
        RainRead::Gathered { days, .. } if days < 2 => Err(WeatherError::GatheredTooFew { day, days }),
        RainRead::Gathered { days, .. } => {
            match last_rain.filter(|read| day.number() - read.number() < i64::from(days)) {
                Some(read) => Err(WeatherError::GatheredOverRead { day, days, read }),
                None => Ok(()),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rained(text: &str, rain: RainRead) -> WeatherDay {
        WeatherDay { rain, ..WeatherDay::unread(Day::parse(text).unwrap()) }
    }

    fn gap(first: &str, last: &str) -> Gap {
        Gap { first: Day::parse(first).unwrap(), last: Day::parse(last).unwrap() }
    }

    #[test]
    fn gaps_are_told_and_nothing_is_filled() {
        let warm =
            WeatherDay { tmin_c: Some(3.0), tmax_c: Some(9.0), ..rained("2024-02-27", RainRead::Mm(1.0)) };
        let days = vec![
            warm,
            rained("2024-02-28", RainRead::NotRead),
            rained("2024-03-02", RainRead::Gathered { total_mm: 9.0, days: 3 }),
            rained("2024-03-03", RainRead::Trace),
        ];
        let weather = Weather::new(days, Origin::Record).unwrap();
        assert_eq!(weather.gaps(Wanted::Rain), [gap("2024-02-28", "2024-03-02")]);
        assert_eq!(weather.gaps(Wanted::Rain)[0].days(), 4);
        assert_eq!(weather.gaps(Wanted::Temperatures), [gap("2024-02-28", "2024-03-03")]);
        let (spread, which) = weather.with_gathered_spread();
        assert_eq!(which, [gap("2024-02-29", "2024-03-02")]);
        assert_eq!(spread.gaps(Wanted::Rain), [gap("2024-02-28", "2024-02-28")]);
        let total_mm: f64 = spread.days().iter().filter_map(|of| of.rain.mm()).sum();
        assert_eq!(total_mm, 10.0);
        assert_eq!(spread.days().len(), 6);
    }

    /// A reading that gathers days from before the record gives the record its own share only.
    #[test]
    fn gathered_rain_of_days_before_the_record_stays_before_it() {
        let first = rained("2024-03-02", RainRead::Gathered { total_mm: 12.0, days: 4 });
        let (spread, _) = Weather::new(vec![first], Origin::Record).unwrap().with_gathered_spread();
        assert_eq!(spread.days()[0].rain, RainRead::Mm(3.0));
    }

    #[test]
    fn days_that_are_no_record_are_refused() {
        let refused = |days| Weather::new(days, Origin::Record).unwrap_err();
        let (early, late) = ("2024-03-01", "2024-03-04");
        let dry = RainRead::Mm(0.0);
        assert!(matches!(
            refused(vec![rained(late, dry), rained(early, dry)]),
            WeatherError::OutOfOrder { .. }
        ));
        assert!(matches!(
            refused(vec![rained(late, dry), rained(late, dry)]),
            WeatherError::OutOfOrder { .. }
        ));
        assert!(matches!(refused(vec![rained(late, RainRead::Mm(f64::NAN))]), WeatherError::Rain { .. }));
        let gathered = |days| RainRead::Gathered { total_mm: 5.0, days };
        let read = refused(vec![rained(early, dry), rained(late, gathered(4))]);
        assert!(matches!(read, WeatherError::GatheredOverRead { .. }));
        assert!(Weather::new(vec![rained(early, dry), rained(late, gathered(3))], Origin::Record).is_ok());
        let few = refused(vec![rained(late, gathered(1))]);
        assert!(matches!(few, WeatherError::GatheredTooFew { .. }));
        assert_eq!(few.day().to_string(), late);
    }
}
