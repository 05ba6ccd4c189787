//! The days that a season run lives through: the folder's record, or years drawn from the plan's ordinary year.
//!
//! Of each day the run wants rain, reference evapotranspiration and the weather's part of the climate adjustment. Days of
//! a record that lack a reading are told and then taken so: rain not read is no rain, which is the dry side; a
//! temperature not read is the mean of its month in the record, or else in the ordinary year. Rain read after several
//! days is spread over them.
//!
//! How wet the ground is before a day's rain goes by the five days before ([`crate::storms`]), plants growing in the
//! warm half of the year: April to September in the north, October to March in the south.

use std::f64::consts::FRAC_PI_2;

use grove::air;
use grove::coefficients::climate_term;
use grove::radiation;
use grove::reference_et::{Nights, USUAL_WIND_M_S, Whereabouts};
use grove::weather::{RainRead, Wanted, Weather, WeatherDay};
use quantity::Day;
use quantity::convert::deg_to_rad;
use site::{Place, Site};

use super::{Request, SeasonError};
use crate::calendar::calendar;
use crate::rain_test::daily::DayOfRain;
use crate::storms::{Season, wetness_by_five_days};

/// First day of years that are drawn where nothing says which: a water year's first in the north.
const DRAWN_FROM: (i32, u32, u32) = (2001, 10, 1);
/// The same in the south.
const DRAWN_FROM_SOUTH: (i32, u32, u32) = (2001, 4, 1);
/// Most years that are drawn.
pub const MOST_YEARS: u32 = 200;
/// Years drawn where the request names no number.
const USUAL_YEARS: u32 = 10;
/// Days of a mean month.
const MONTH_DAYS: f64 = 365.25 / 12.0;
/// Days that tell how wet the ground is.
const DAYS_BEFORE: usize = 5;

/// A day of the run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct RunDay {
    pub day: Day,
    pub day_of_year: u16,
    pub rain: DayOfRain,
    pub eto_mm: f64,
    pub climate_term: f64,
    /// Place of its year among the run's years.
    pub year: usize,
}

/// The days of a run.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RunDays {
    pub days: Vec<RunDay>,
    /// First day of each year, counted from the run's first day.
    pub years_from: Vec<Day>,
    /// Whether the last year is whole.
    pub last_is_whole: bool,
    /// What they were drawn from; none for a record.
    pub drawn_seed: Option<u64>,
    pub notes: Vec<String>,
}

impl RunDays {
    /// Years that are whole.
    pub(super) fn whole_years(&self) -> usize {
        self.years_from.len() - usize::from(!self.last_is_whole)
    }

    /// The rain as the lines take it.
    pub(super) fn rain(&self) -> Vec<DayOfRain> {
        self.days.iter().map(|day| day.rain).collect()
    }
}

/// The days that were asked for.
pub(super) fn run_days(site: &Site, request: &Request) -> Result<RunDays, SeasonError> {
    if let (Some(from), Some(to)) = (request.from, request.to)
        && to < from
    {
        return Err(SeasonError::Backwards { from, to });
    }
    let record = site.measured.weather.as_ref().filter(|_| request.years.is_none());
    match record {
        Some(record) => recorded(site, record, request),
        None => drawn(site, request),
    }
}

fn recorded(site: &Site, record: &Weather, request: &Request) -> Result<RunDays, SeasonError> {
    let (spread, gathered) = record.with_gathered_spread();
    let mut notes = Vec::new();
    if !gathered.is_empty() {
        let days: i64 = gathered.iter().map(grove::weather::Gap::days).sum();
        notes.push(format!("rain read after several days was spread evenly over them: {days} days in all"));
    }
    let asked =
        |day: Day| request.from.is_none_or(|from| from <= day) && request.to.is_none_or(|to| day <= to);
    let days: Vec<WeatherDay> = spread.days().iter().copied().filter(|of| asked(of.day)).collect();
    let (Some(first), Some(last)) = (spread.days().first(), spread.days().last()) else {
        return Err(SeasonError::NoWeather);
    };
    if days.is_empty() {
        return Err(SeasonError::OutsideRecord { from: first.day, to: last.day });
    }
    let clipped = Weather::new(days, record.origin()).expect("days of a record, in its order");
    let lacks = |wanted: Wanted| -> i64 { clipped.gaps(wanted).iter().map(grove::weather::Gap::days).sum() };
    let (no_rain, no_warmth) = (lacks(Wanted::Rain), lacks(Wanted::Temperatures));
    if no_rain == clipped.days().len() as i64 {
        return Err(SeasonError::NoRainRead);
    }
    if no_rain > 0 {
        notes.push(format!("rain was not read on {no_rain} days of the run: they are taken as dry"));
    }
    if no_warmth > 0 {
        notes.push(format!(
            "temperatures were not read on {no_warmth} days of the run: the mean of their month is taken"
        ));
    }
    let means = month_means(site, &spread)?;
    let filled: Vec<WeatherDay> = clipped.days().iter().map(|of| filled(of, &means)).collect();
    days_of(site, &filled, None, notes)
}

fn drawn(site: &Site, request: &Request) -> Result<RunDays, SeasonError> {
    let climate = site.plan.climate.as_ref().ok_or(SeasonError::NoWeather)?;
    let climate = climate.ordinary_year()?;
    let south = site.plan.place.latitude_deg < 0.0;
    let (year, month, day) = if south { DRAWN_FROM_SOUTH } else { DRAWN_FROM };
    let from = request.from.or_else(|| Day::new(year, month, day)).expect("a day of the calendar");
    let count = match request.to.filter(|_| request.years.is_none()) {
        Some(to) => (to.number() - from.number() + 1).max(1) as u32,
        None => {
            let years = request.years.unwrap_or(USUAL_YEARS);
            (anniversary(from, years as i32).number() - from.number()) as u32
        }
    };
    if count > 366 * MOST_YEARS {
        return Err(SeasonError::TooLong { days: count });
    }
    let weather = climate.draw(request.seed, from, count);
    let note = format!(
        "this weather never happened: it was drawn by chance from [climate], seed {}; drawn years have too few long \
         droughts and too few great rains",
        request.seed
    );
    days_of(site, weather.days(), Some(request.seed), vec![note])
}

/// The same day so many years on; 29 February becomes 1 March.
fn anniversary(day: Day, years: i32) -> Day {
    let year = day.year() + years;
    Day::new(year, day.month(), day.of_month())
        .or_else(|| Day::new(year, 3, 1))
        .expect("1 March is in every year")
}

/// Means of least and greatest temperature of each month: of the record, or of the ordinary year.
fn month_means(site: &Site, weather: &Weather) -> Result<[Option<[f64; 2]>; 12], SeasonError> {
    let mut sums = [([0.0, 0.0], 0_u32); 12];
    for of in weather.days() {
        if let (Some(low_c), Some(high_c)) = (of.tmin_c, of.tmax_c) {
            let (sum, count) = &mut sums[of.day.month() as usize - 1];
            sum[0] += low_c;
            sum[1] += high_c;
            *count += 1;
        }
    }
    let climate = site.plan.climate.as_ref();
    let mean = |month: usize| {
        let (sum, count) = sums[month];
        let of_record = (count > 0).then(|| sum.map(|sum| sum / f64::from(count)));
        of_record.or_else(|| climate.map(|climate| [climate.tmin_c[month], climate.tmax_c[month]]))
    };
    let means: [Option<[f64; 2]>; 12] = std::array::from_fn(mean);
    let lacks =
        weather.days().iter().find(|of| of.air().is_none() && means[of.day.month() as usize - 1].is_none());
    match lacks {
        Some(of) => Err(SeasonError::NoTemperatures { month: of.day.month() }),
        None => Ok(means),
    }
}

fn filled(of: &WeatherDay, means: &[Option<[f64; 2]>; 12]) -> WeatherDay {
    let mut of = *of;
    of.rain = RainRead::Mm(of.rain.mm().unwrap_or(0.0));
    if of.tmin_c.is_none() || of.tmax_c.is_none() {
        let [low_c, high_c] =
            means[of.day.month() as usize - 1].expect("months that lack a mean were refused");
        of.tmin_c = Some(low_c);
        of.tmax_c = Some(high_c);
    }
    of
}

fn days_of(
    site: &Site,
    weather: &[WeatherDay],
    drawn_seed: Option<u64>,
    notes: Vec<String>,
) -> Result<RunDays, SeasonError> {
    let place = whereabouts(&site.plan.place);
    let wet_months = wet_months(site, weather);
    let rain_mm: Vec<f64> = weather.iter().map(|of| of.rain.mm().unwrap_or(0.0)).collect();
    let from = weather[0].day;
    let mut years_from = vec![from];
    let mut next_year = anniversary(from, 1);
    let mut days = Vec::with_capacity(weather.len());
    for (at, of) in weather.iter().enumerate() {
        if of.day >= next_year {
            years_from.push(of.day);
            next_year = anniversary(from, years_from.len() as i32);
        }
        let air = of.air().ok_or(SeasonError::NoTemperatures { month: of.day.month() })?;
        let eto_mm = of.reference_et(&place)?.map_or(0.0, |et| et.mm());
        let before_mm: f64 = rain_mm[at.saturating_sub(DAYS_BEFORE)..at].iter().sum();
        days.push(RunDay {
            day: of.day,
            day_of_year: of.day.of_year() as u16,
            rain: DayOfRain {
                rain_mm: rain_mm[at],
                wetness: wetness_by_five_days(before_mm, growing(&site.plan.place, of.day)),
                wet_month: wet_months[of.day.month() as usize - 1],
            },
            eto_mm,
            climate_term: weather_term(&air),
            year: years_from.len() - 1,
        });
    }
    let last_is_whole = days[days.len() - 1].day.next() == next_year;
    Ok(RunDays { days, years_from, last_is_whole, drawn_seed, notes })
}

/// The wet months by the rain of these days.
fn wet_months(site: &Site, weather: &[WeatherDay]) -> [bool; 12] {
    let mut sums = [(0.0, 0.0); 12];
    for of in weather {
        let (rain_mm, days) = &mut sums[of.day.month() as usize - 1];
        *rain_mm += of.rain.mm().unwrap_or(0.0);
        *days += 1.0;
    }
    let monthly_mm = sums.map(|(rain_mm, days)| if days > 0.0 { MONTH_DAYS * rain_mm / days } else { 0.0 });
    // Less than a year tells no seasons: the latitude does.
    let known = sums.iter().all(|(_, days)| *days > 0.0).then_some(&monthly_mm);
    let (from, to) = calendar(site.plan.place.latitude_deg, known).wet_months;
    std::array::from_fn(|month| {
        let month = month as u32 + 1;
        if from <= to { (from..=to).contains(&month) } else { month >= from || month <= to }
    })
}

fn whereabouts(place: &Place) -> Whereabouts {
    Whereabouts {
        latitude_rad: deg_to_rad(place.latitude_deg).clamp(-FRAC_PI_2, FRAC_PI_2),
        elevation_m: place.elevation_m,
        setting: radiation::Setting::Inland,
        nights: Nights::Dewy,
    }
}

fn growing(place: &Place, day: Day) -> Season {
    let warm_in_the_north = (4..=9).contains(&day.month());
    if warm_in_the_north == (place.latitude_deg >= 0.0) { Season::Growing } else { Season::Dormant }
}

/// The weather's part of the climate adjustment: least humidity from vapour and greatest temperature (FAO-56, eq. 63, 64).
fn weather_term(of: &grove::reference_et::DayAir) -> f64 {
    let vapour_kpa = match of.humidity {
        Some(humidity) => air::vapour_kpa(humidity, of.tmin_c, of.tmax_c),
        None => air::saturation_kpa(of.tmin_c),
    };
    climate_term(of.wind_2m_m_s.unwrap_or(USUAL_WIND_M_S), vapour_kpa / air::saturation_kpa(of.tmax_c))
}
