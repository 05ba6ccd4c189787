//! Weather drawn by chance, from what a calendar of the months says.
//!
//! Where there is no record, twelve rows of an almanac (rain, days with rain, least and greatest temperature) allow
//! years that could have been. Whether it rains hangs on whether it rained the day before; with f the share of wet
//! days of the month, rain follows a dry day with chance p and a wet one with chance q:
//!   p = 0.75 f,   q = 0.25 + p
//! so that in the long run a share p/(1 + p − q) = f of the days is wet. A wet day's depth is exponential about the
//! month's rain over its wet days. Temperatures follow a smooth course of cosines whose mean over each month is the
//! month's; wet days may be cooler, and days may stray from the course by a spread that lasts ([`Days`]).
//!
//! Source: Richardson 1981, Water Resources Research 17, pp. 182–190 (chain of two states, exponential depths, course
//! of cosines, lasting strays); Geng, Penning de Vries and Supit 1986, Agricultural and Forest Meteorology 36,
//! pp. 363–376 (0.75 and 0.25). Leaves out: wet and dry years beyond what chance gives, so long droughts come too
//! seldom; the heavy tail of depths, so it must never size a sill; humidity, wind and radiation.

use std::f64::consts::PI;

use quantity::{Chance, Day};

use crate::weather::{Origin, RainRead, Weather, WeatherDay};

/// How much likelier rain is after rain (Geng et al. 1986).
const AFTER_RAIN: f64 = 0.25;
/// Months in a year.
const MONTHS: usize = 12;
/// Waves of the course of temperatures: the most that twelve months can tell.
const WAVES: usize = MONTHS / 2;
/// A year that is not a leap year: its months hold no more days than those of any other.
const PLAIN_YEAR: i32 = 2023;

/// An ordinary month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Month {
    /// Rain of the month.
    pub rain_mm: f64,
    /// Days with rain.
    pub rain_days: f64,
    /// Mean of the days' least temperatures.
    pub tmin_c: f64,
    /// Mean of the days' greatest temperatures.
    pub tmax_c: f64,
}

/// How single days differ from the ordinary course. Nothing by default: an almanac does not tell.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Days {
    /// How much cooler the afternoon of a wet day is than that of a dry one.
    pub wet_cooler_c: f64,
    /// Standard deviation of the days' temperatures about their course.
    pub spread_c: f64,
    /// How much of one day's stray the next day keeps: correlation of one day with the next.
    pub lasting_frac: f64,
}

/// An ordinary year, from which weather can be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    months: [Month; MONTHS],
    days: Days,
    tmin: Course,
    tmax: Course,
}

/// Months that make no climate.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ClimateError {
    /// Days with rain that the month does not have.
    #[error("month {month} has {rain_days} days with rain; it has 0 to {most}")]
    RainDays {
        /// The month, from 1.
        month: usize,
        /// Its days with rain.
        rain_days: f64,
        /// Most there can be.
        most: u32,
    },
    /// Rain on no day, or days with rain and no depth.
    #[error("month {month} has {rain_mm} mm of rain on {rain_days} days; either both are 0 or neither")]
    Rain {
        /// The month, from 1.
        month: usize,
        /// Its rain.
        rain_mm: f64,
        /// Its days with rain.
        rain_days: f64,
    },
    /// Temperatures too near to one another for the day's own differences.
    #[error(
        "about day {day} of month {month} the afternoon of a wet day would be colder than its night by \
         {colder_c} °C; see whether least and greatest were swapped, or make wet days less cool"
    )]
    Range {
        /// The month, from 1.
        month: usize,
        /// Day of the month.
        day: u32,
        /// By how much.
        colder_c: f64,
    },
    /// Differences of days that cannot be.
    #[error("{name} is {value}; it lies from {least} to under {under}")]
    Days {
        /// Which.
        name: &'static str,
        /// Its value.
        value: f64,
        /// Least it can be.
        least: f64,
        /// What it stays under.
        under: f64,
    },
}

impl Climate {
    /// From the twelve months, January first.
    ///
    /// # Errors
    /// Months or differences of days that cannot be.
    pub fn new(months: [Month; MONTHS], days: Days) -> Result<Climate, ClimateError> {
        for (name, value, under) in [
            ("wet_cooler_c", days.wet_cooler_c, 30.0),
            ("spread_c", days.spread_c, 30.0),
            ("lasting_frac", days.lasting_frac, 1.0),
        ] {
            if !(0.0..under).contains(&value) {
                return Err(ClimateError::Days { name, value, least: 0.0, under });
            }
        }
        for (i, month) in months.iter().enumerate() {
            check_rain(i + 1, month)?;
        }
        let tmin = Course::through(&months.map(|month| month.tmin_c));
        let tmax = Course::through(&months.map(|month| month.tmax_c));
        let climate = Climate { months, days, tmin, tmax };
        climate.check_range()?;
        Ok(climate)
    }

    /// Weather of so many days from the first, drawn from a seed. The same seed gives the same weather.
    pub fn draw(&self, seed: u64, first: Day, count: u32) -> Weather {
        let mut chance = Chance::of_seed(seed);
        let mut wet: Option<bool> = None;
        let mut stray = chance.normal();
        let mut day = first;
        let mut days = Vec::with_capacity(count as usize);
        for _ in 0..count {
            let month = self.month(day);
            let wet_frac = wet_frac(month, Day::last_of(day.year(), day.month()));
            let rains = chance.share() < chance_of_rain(wet_frac, wet);
            let rain_mm = if rains { chance.exponential() * month.rain_mm / month.rain_days } else { 0.0 };
            let [tmin_c, tmax_c] = self.temperatures_c(day, rains, wet_frac);
            let off_c = self.days.spread_c * stray;
            days.push(WeatherDay {
                rain: RainRead::Mm(rain_mm),
                tmin_c: Some(tmin_c + off_c),
                tmax_c: Some(tmax_c + off_c),
                ..WeatherDay::unread(day)
            });
            let kept = self.days.lasting_frac;
            stray = kept * stray + (1.0 - kept * kept).sqrt() * chance.normal();
            wet = Some(rains);
            day = day.next();
        }
        Weather::new(days, Origin::Generated { seed })
            .expect("days were drawn in order, with rain of 0 or more")
    }

    fn month(&self, day: Day) -> &Month {
        &self.months[day.month() as usize - 1]
    }

    /// Least and greatest temperature on the course. Wet days are cooler and dry days warmer by as much as leaves the
    /// month's mean alone.
    fn temperatures_c(&self, day: Day, rains: bool, wet_frac: f64) -> [f64; 2] {
        let at = round_of_year(day);
        let share = if rains { wet_frac - 1.0 } else { wet_frac };
        [self.tmin.at_c(at), self.tmax.at_c(at) + self.days.wet_cooler_c * share]
    }

    fn check_range(&self) -> Result<(), ClimateError> {
        let mut day = Day::new(PLAIN_YEAR, 1, 1).expect("every year begins");
        while day.year() == PLAIN_YEAR {
            let wet_frac = wet_frac(self.month(day), Day::last_of(day.year(), day.month()));
            let rains = wet_frac > 0.0;
            let [tmin_c, tmax_c] = self.temperatures_c(day, rains, wet_frac);
            // Written so that a month that is no number is refused too.
            let in_order = tmin_c <= tmax_c;
            if !in_order {
                let (month, day) = (day.month() as usize, day.of_month());
                return Err(ClimateError::Range { month, day, colder_c: tmin_c - tmax_c });
            }
            day = day.next();
        }
        Ok(())
    }
}

fn check_rain(number: usize, month: &Month) -> Result<(), ClimateError> {
    let Month { rain_mm, rain_days, .. } = *month;
    let most = Day::last_of(PLAIN_YEAR, number as u32);
    if !(0.0..=f64::from(most)).contains(&rain_days) {
        return Err(ClimateError::RainDays { month: number, rain_days, most });
    }
    let fits = rain_mm.is_finite() && (rain_mm > 0.0) == (rain_days > 0.0) && rain_mm >= 0.0;
    if fits { Ok(()) } else { Err(ClimateError::Rain { month: number, rain_mm, rain_days }) }
}

fn wet_frac(month: &Month, days_in_month: u32) -> f64 {
    month.rain_days / f64::from(days_in_month)
}

/// Chance of rain on a day, by whether it rained the day before; the month's share where nobody knows.
fn chance_of_rain(wet_frac: f64, rained: Option<bool>) -> f64 {
    let after_dry = (1.0 - AFTER_RAIN) * wet_frac;
    match rained {
        // A month without rain has none even after a wet day.
        _ if wet_frac <= 0.0 => 0.0,
        None => wet_frac,
        Some(false) => after_dry,
        Some(true) => AFTER_RAIN + after_dry,
    }
}

/// Turn of the year in radians, each month a twelfth of it and the middle of each day counted.
fn round_of_year(day: Day) -> f64 {
    let of_month = (f64::from(day.of_month()) - 0.5) / f64::from(Day::last_of(day.year(), day.month()));
    2.0 * PI * (f64::from(day.month() - 1) + of_month) / MONTHS as f64
}

/// A smooth course through the year with given means over the months.
#[derive(Debug, Clone, PartialEq)]
struct Course {
    mean_c: f64,
    cosines_c: [f64; WAVES],
    sines_c: [f64; WAVES],
}

impl Course {
    /// The waves through the months' middles, each raised by as much as averaging over a month flattens it: a wave of
    /// k turns a year keeps sin(x)/x of its height, x = kπ/12.
    fn through(months_c: &[f64; MONTHS]) -> Course {
        let mut course = Course {
            mean_c: months_c.iter().sum::<f64>() / MONTHS as f64,
            cosines_c: [0.0; WAVES],
            sines_c: [0.0; WAVES],
        };
        for wave in 0..WAVES {
            let turns = (wave + 1) as f64;
            let x = turns * PI / MONTHS as f64;
            // The last wave goes up and down with every month: its two sums count each month twice.
            let halves = if wave + 1 == WAVES { 1.0 } else { 2.0 };
            let scale = halves / MONTHS as f64 * x / libm::sin(x);
            for (i, month_c) in months_c.iter().enumerate() {
                let middle = 2.0 * x * (i as f64 + 0.5);
                course.cosines_c[wave] += scale * month_c * libm::cos(middle);
                course.sines_c[wave] += scale * month_c * libm::sin(middle);
            }
        }
        course
    }

    fn at_c(&self, round_rad: f64) -> f64 {
        let mut c = self.mean_c;
        for wave in 0..WAVES {
            let angle = (wave + 1) as f64 * round_rad;
            c += self.cosines_c[wave] * libm::cos(angle) + self.sines_c[wave] * libm::sin(angle);
        }
        c
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An invented hillside at 38.7° N: wet winters, dry summers.
    fn quarry_bank() -> [Month; MONTHS] {
        let rows = [
            (82.0, 11.0, 4.1, 13.2),
            (71.0, 10.0, 4.8, 14.6),
            (60.0, 9.0, 6.3, 17.3),
            (55.0, 9.0, 8.0, 19.4),
            (38.0, 6.0, 11.2, 23.6),
            (12.0, 2.0, 14.5, 28.4),
            (3.0, 0.6, 16.4, 31.9),
            (4.0, 0.8, 16.6, 32.1),
            (24.0, 4.0, 14.9, 28.6),
            (70.0, 8.0, 11.7, 22.7),
            (95.0, 10.0, 7.7, 17.0),
            (98.0, 12.0, 5.2, 13.8),
        ];
        rows.map(|(rain_mm, rain_days, tmin_c, tmax_c)| Month { rain_mm, rain_days, tmin_c, tmax_c })
    }

    const DAYS: Days = Days { wet_cooler_c: 3.0, spread_c: 2.5, lasting_frac: 0.6 };

    /// Sums over 300 years of each month lie within five standard errors of what was asked. With lag-one correlation
    /// r = ¼ the number of wet days in n has variance n f(1−f)(1+r)/(1−r) at most; a sum of N exponential depths of
    /// mean μ has variance μ²(var N + mean N).
    #[test]
    fn rain_of_the_months_is_what_was_asked() {
        const YEARS: i32 = 300;
        let climate = Climate::new(quarry_bank(), DAYS).unwrap();
        let first = Day::new(2001, 1, 1).unwrap();
        let count = Day::new(2001 + YEARS, 1, 1).unwrap().number() - first.number();
        let weather = climate.draw(20_260_301, first, count as u32);
        let years = f64::from(YEARS);
        for (i, month) in quarry_bank().iter().enumerate() {
            let of_month = weather.days().iter().filter(|of| of.day.month() as usize == i + 1);
            let rains: Vec<f64> =
                of_month.filter_map(|of| of.rain.mm()).filter(|rain_mm| *rain_mm > 0.0).collect();
            let variance_days = month.rain_days * (1.0 + AFTER_RAIN) / (1.0 - AFTER_RAIN);
            let error_days = (variance_days / years).sqrt();
            let found_days = rains.len() as f64 / years;
            // The month's first days still feel the month before: a quarter of its difference, dying out by quarters.
            let carried_days = 1.0 / 3.0 * AFTER_RAIN;
            assert!(
                (found_days - month.rain_days).abs() < 5.0 * error_days + carried_days,
                "month {}: {found_days} days, wanted {}",
                i + 1,
                month.rain_days
            );
            let depth_mm = month.rain_mm / month.rain_days;
            let error_mm = depth_mm * ((variance_days + month.rain_days) / years).sqrt();
            let found_mm = rains.iter().sum::<f64>() / years;
            assert!(
                (found_mm - month.rain_mm).abs() < 5.0 * error_mm + carried_days * depth_mm,
                "month {}: {found_mm} mm, wanted {}",
                i + 1,
                month.rain_mm
            );
        }
    }

    /// After rain it rains with chance ¼ + ¾ f: over months of f = 0.4, so 0.55, within five standard errors.
    #[test]
    fn rain_follows_rain() {
        let month = |number: u32| Month {
            rain_mm: 60.0,
            rain_days: 0.4 * f64::from(Day::last_of(PLAIN_YEAR, number)),
            tmin_c: 5.0,
            tmax_c: 15.0,
        };
        let climate = Climate::new(std::array::from_fn(|i| month(i as u32 + 1)), Days::default()).unwrap();
        let weather = climate.draw(3, Day::new(2001, 1, 1).unwrap(), 40_000);
        let wet: Vec<bool> = weather.days().iter().map(|of| of.rain.mm() > Some(0.0)).collect();
        let after_rain = wet.windows(2).filter(|pair| pair[0]).count() as f64;
        let again = wet.windows(2).filter(|pair| pair[0] && pair[1]).count() as f64;
        let error = (0.55 * 0.45 / after_rain).sqrt();
        // Leap Februaries hold 29 days, which takes a 28th of f in a 48th of the days: under 0.001.
        assert!((again / after_rain - 0.55).abs() < 5.0 * error + 0.001, "{}", again / after_rain);
    }

    /// With no spread the mean of a month's days is the month's, but for taking the middle of each day for the whole
    /// of it: the course bends by under 0.01 °C/day², and an interval's middle errs by a 24th of that.
    #[test]
    fn temperatures_of_the_months_are_what_was_asked() {
        let climate = Climate::new(quarry_bank(), Days::default()).unwrap();
        let weather = climate.draw(1, Day::new(2023, 1, 1).unwrap(), 365);
        for (i, month) in quarry_bank().iter().enumerate() {
            let days: Vec<&WeatherDay> =
                weather.days().iter().filter(|of| of.day.month() as usize == i + 1).collect();
            let mean = |of: &dyn Fn(&WeatherDay) -> f64| {
                days.iter().map(|day| of(day)).sum::<f64>() / days.len() as f64
            };
            let tmin_c = mean(&|day| day.tmin_c.unwrap());
            let tmax_c = mean(&|day| day.tmax_c.unwrap());
            assert!((tmin_c - month.tmin_c).abs() < 0.001, "month {}: {tmin_c}", i + 1);
            assert!((tmax_c - month.tmax_c).abs() < 0.001, "month {}: {tmax_c}", i + 1);
        }
    }

    /// Wet days are cooler by what was asked, exactly on the same course; and least never passes greatest.
    #[test]
    fn wet_days_are_cooler_and_no_day_is_upside_down() {
        let climate = Climate::new(quarry_bank(), DAYS).unwrap();
        let day = Day::new(2024, 11, 12).unwrap();
        let [_, dry_c] = climate.temperatures_c(day, false, 0.3);
        let [_, wet_c] = climate.temperatures_c(day, true, 0.3);
        assert!((dry_c - wet_c - 3.0).abs() < 1e-12);
        let weather = climate.draw(5, day, 20_000);
        assert!(weather.days().iter().all(|of| of.tmin_c <= of.tmax_c));
        assert_eq!(weather.origin(), Origin::Generated { seed: 5 });
    }

    #[test]
    fn the_same_seed_gives_the_same_weather_and_another_does_not() {
        let climate = Climate::new(quarry_bank(), DAYS).unwrap();
        let first = Day::new(2024, 1, 1).unwrap();
        assert_eq!(climate.draw(8, first, 400), climate.draw(8, first, 400));
        assert_ne!(climate.draw(8, first, 400).days(), climate.draw(9, first, 400).days());
    }

    #[test]
    fn a_month_without_rain_has_none() {
        let mut months = quarry_bank();
        months[6] = Month { rain_mm: 0.0, rain_days: 0.0, ..months[6] };
        let climate = Climate::new(months, DAYS).unwrap();
        let weather = climate.draw(4, Day::new(2001, 1, 1).unwrap(), 20_000);
        let mut july = weather.days().iter().filter(|of| of.day.month() == 7);
        assert!(july.all(|of| of.rain == RainRead::Mm(0.0)));
    }

    #[test]
    fn months_that_make_no_climate_are_refused() {
        let with = |change: fn(&mut Month)| {
            let mut months = quarry_bank();
            change(&mut months[1]);
            Climate::new(months, DAYS).unwrap_err()
        };
        assert!(matches!(
            with(|month| month.rain_days = 29.0),
            ClimateError::RainDays { month: 2, most: 28, .. }
        ));
        assert!(matches!(with(|month| month.rain_days = 0.0), ClimateError::Rain { month: 2, .. }));
        assert!(matches!(with(|month| month.rain_mm = f64::NAN), ClimateError::Rain { month: 2, .. }));
        assert!(matches!(with(|month| month.tmax_c = 2.0), ClimateError::Range { .. }));
        assert!(matches!(with(|month| month.tmin_c = f64::NAN), ClimateError::Range { .. }));
        let lasting = Days { lasting_frac: 1.0, ..DAYS };
        assert!(matches!(Climate::new(quarry_bank(), lasting), Err(ClimateError::Days { .. })));
    }
}
