//! Reference evapotranspiration: what a well-watered lawn gives to the air in a day.
//!
//! Two things drive it: the sun's warmth kept by the ground, and dry wind.
//!   ETo = [0.408 Δ (Rn − G) + γ 900/(T + 273) u2 (es − ea)] / [Δ + γ (1 + 0.34 u2)]      (eq. 6)
//! with the mean temperature T, radiation kept Rn ([`crate::radiation`]), warmth G that goes into the ground (nothing
//! over a day), wind u2 at two metres and the air's want of vapour es − ea ([`crate::air`]).
//! What was not read is estimated as the source says, and the answer tells what ([`EtFrom`]): dew at the night's
//! least temperature, 2 °C under it in dry places (eq. 48); radiation by the day's warming (eq. 50); 2 m/s of wind.
//! By temperatures alone there is also
//!   ETo = 0.0023 (T + 17.8) √(Tmax − Tmin) Ra, Ra in mm                                  (eq. 52)
//! which runs low in wind over 3 m/s and high in moist air, and is meant for sums over several days. The source finds
//! eq. 6 with estimates usually somewhat better, so that is what [`reference_et`] does.
//!
//! Source: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, ch. 3 and 4.
//! Leaves out: hourly steps, snow, places where the sun does not rise.

use std::ops::RangeInclusive;

use quantity::Day;

use crate::air::{self, Humidity};
use crate::radiation::{self, MM_OF_MJ_M2, Setting};
use crate::sun;

/// Wind where none was read, m/s (FAO-56 ch. 3, on missing wind).
pub const USUAL_WIND_M_S: f64 = 2.0;
/// Still air moves too: warm ground stirs it. Eq. 6 is not used with less wind, m/s (FAO-56 ch. 3).
pub const LEAST_WIND_M_S: f64 = 0.5;
/// How far dew forms under the night's least temperature in dry places, °C (FAO-56 ch. 3, beside eq. 48: 2 to 3).
const DRY_PLACE_DEW_C: f64 = 2.0;

/// Temperatures that air near the ground may have, °C: a little wider than the extremes on record, −89.2 and 56.7 °C
/// (World Meteorological Organization, archive of weather extremes).
pub const TEMPERATURES_C: RangeInclusive<f64> = -90.0..=60.0;
/// Vapour pressures that there may be, kPa: up to that of air full at the highest of those temperatures.
pub const VAPOURS_KPA: RangeInclusive<f64> = 0.0..=20.0;
/// Winds that there may be, m/s: a little wider than the strongest gust on record, 113 m/s (the same archive).
pub const WINDS_M_S: RangeInclusive<f64> = 0.0..=120.0;
/// Radiation that there may be in a day, MJ/m²: above the air a pole gets some 46 at midsummer (eq. 21).
pub const RADIATIONS_MJ_M2: RangeInclusive<f64> = 0.0..=46.0;
/// Heights above the sea of land that is farmed, and more, m.
const ELEVATIONS_M: RangeInclusive<f64> = -500.0..=9000.0;

/// Where the weather is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whereabouts {
    /// Latitude, south negative, at most a quarter turn.
    pub latitude_rad: f64,
    /// Height above the sea.
    pub elevation_m: f64,
    /// Whether a large water rules the air.
    pub setting: Setting,
    /// Whether nights are moist enough for dew.
    pub nights: Nights,
}

/// How moist nights are over grass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Nights {
    /// Dew forms at about the least temperature.
    #[default]
    Dewy,
    /// Too dry for dew: arid places, or a station on bare dry ground.
    Dry,
}

/// What was read of the sun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sunlight {
    /// Radiation on level ground through the day, MJ/m².
    RadiationMjM2(f64),
    /// Hours of bright sunshine.
    SunshineH(f64),
}

/// The air of a day, as far as it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayAir {
    /// Least temperature.
    pub tmin_c: f64,
    /// Greatest temperature.
    pub tmax_c: f64,
    /// Humidity.
    pub humidity: Option<Humidity>,
    /// Wind at two metres, mean of the day.
    pub wind_2m_m_s: Option<f64>,
    /// Radiation or sunshine.
    pub sunlight: Option<Sunlight>,
}

/// Where the air's vapour came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum VapourFrom {
    /// Humidity was read.
    Read,
    /// Dew at, or a little under, the least temperature.
    LeastTemperature,
}

/// Where the radiation came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RadiationFrom {
    /// It was read.
    Read,
    /// Hours of sunshine were read.
    Sunshine,
    /// The day's warming.
    Warming,
}

/// Where the wind came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WindFrom {
    /// It was read.
    Read,
    /// It was read, and was under [`LEAST_WIND_M_S`], which is used.
    ReadTooStill,
    /// [`USUAL_WIND_M_S`] is used.
    Usual,
}

/// What a day's reference evapotranspiration rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct EtFrom {
    /// The vapour.
    pub vapour: VapourFrom,
    /// The radiation.
    pub radiation: RadiationFrom,
    /// The wind.
    pub wind: WindFrom,
}

impl EtFrom {
    /// Whether all of it was read.
    pub fn all_read(self) -> bool {
        let sun_read = self.radiation != RadiationFrom::Warming;
        self.vapour == VapourFrom::Read && sun_read && self.wind != WindFrom::Usual
    }
}

/// Reference evapotranspiration of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceEt {
    /// As the equation gives it: a cold moist day may come out a little under nothing.
    pub by_equation_mm: f64,
    /// What it rests on.
    pub from: EtFrom,
}

impl ReferenceEt {
    /// What evaporates: dew that the equation hints at is left out.
    pub fn mm(&self) -> f64 {
        self.by_equation_mm.max(0.0)
    }
}

/// A day whose evapotranspiration cannot be computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum EtError {
    /// The greatest temperature lies under the least.
    #[error(
        "the greatest temperature, {tmax_c} °C, lies under the least, {tmin_c} °C; see whether they were swapped"
    )]
    TminAboveTmax {
        /// Least temperature.
        tmin_c: f64,
        /// Greatest temperature.
        tmax_c: f64,
    },
    /// A reading that is no number, or no place on Earth.
    #[error("{name} is {value}, which cannot be; it lies from {least} to {most}")]
    Impossible {
        /// What was read.
        name: &'static str,
        /// Its value.
        value: f64,
        /// Least that can be.
        least: f64,
        /// Most that can be.
        most: f64,
    },
    /// The sun does not rise.
    #[error("the sun does not rise on {day} at this latitude; reference evapotranspiration needs daylight")]
    NoSun {
        /// The day.
        day: Day,
    },
}

/// What eq. 6 takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyAndWind {
    /// Mean temperature.
    pub t_c: f64,
    /// Radiation kept less warmth that goes into the ground.
    pub energy_mj_m2: f64,
    /// Wind at two metres.
    pub wind_2m_m_s: f64,
    /// The air's want of vapour, es − ea.
    pub want_kpa: f64,
    /// Psychrometric constant.
    pub psychrometric_kpa_c: f64,
}

/// The two terms of Penman and Monteith's equation for the reference lawn, mm in a day: by radiation and by dry wind
/// (eq. 6).
pub fn penman_monteith_terms_mm(of: &EnergyAndWind) -> [f64; 2] {
    let slope_kpa_c = air::saturation_slope_kpa_c(of.t_c);
    let resisted = slope_kpa_c + of.psychrometric_kpa_c * (1.0 + 0.34 * of.wind_2m_m_s);
    let by_radiation = MM_OF_MJ_M2 * slope_kpa_c * of.energy_mj_m2;
    let by_wind = of.psychrometric_kpa_c * 900.0 / (of.t_c + 273.0) * of.wind_2m_m_s * of.want_kpa;
    [by_radiation / resisted, by_wind / resisted]
}

/// Warmth that goes into the ground through a month, MJ/m² a day, from the mean temperatures of the month before and
/// the month after (eq. 43).
pub fn month_into_ground_mj_m2(before_c: f64, after_c: f64) -> f64 {
    0.07 * (after_c - before_c)
}

/// The same where the month after is not known, from the month before and the month itself (eq. 44).
pub fn month_so_far_into_ground_mj_m2(before_c: f64, itself_c: f64) -> f64 {
    0.14 * (itself_c - before_c)
}

/// Reference evapotranspiration by temperatures alone (eq. 52), mm in a day. Frost below −17.8 °C gives none.
///
/// # Errors
/// Temperatures in the wrong order.
pub fn hargreaves_mm(tmin_c: f64, tmax_c: f64, above_air_mj_m2: f64) -> Result<f64, EtError> {
    in_order(tmin_c, tmax_c)?;
    let mean_c = (tmin_c + tmax_c) / 2.0;
    let mm = 0.0023 * (mean_c + 17.8) * (tmax_c - tmin_c).sqrt() * MM_OF_MJ_M2 * above_air_mj_m2;
    Ok(mm.max(0.0))
}

/// Reference evapotranspiration of a day, by eq. 6 with what was read.
///
/// # Errors
/// Readings that cannot be, or no daylight.
pub fn reference_et(place: &Whereabouts, day: Day, read: &DayAir) -> Result<ReferenceEt, EtError> {
    possible(place, read)?;
    let above_mj_m2 = sun::above_air_mj_m2(place.latitude_rad, day.of_year());
    let clear_mj_m2 = radiation::clear_sky_mj_m2(place.elevation_m, above_mj_m2);
    if clear_mj_m2 <= 0.0 {
        return Err(EtError::NoSun { day });
    }
    let (vapour_kpa, vapour) = vapour(place, read);
    let (wind_2m_m_s, wind) = wind(read);
    let (solar_mj_m2, radiation) = solar(place, day, read, above_mj_m2);
    let away_mj_m2 =
        radiation::shone_away_mj_m2(read.tmin_c, read.tmax_c, vapour_kpa, solar_mj_m2 / clear_mj_m2);
    let terms_mm = penman_monteith_terms_mm(&EnergyAndWind {
        t_c: (read.tmin_c + read.tmax_c) / 2.0,
        energy_mj_m2: radiation::kept_mj_m2(solar_mj_m2) - away_mj_m2,
        wind_2m_m_s,
        want_kpa: air::day_saturation_kpa(read.tmin_c, read.tmax_c) - vapour_kpa,
        psychrometric_kpa_c: air::psychrometric_kpa_c(air::pressure_kpa(place.elevation_m)),
    });
    Ok(ReferenceEt { by_equation_mm: terms_mm[0] + terms_mm[1], from: EtFrom { vapour, radiation, wind } })
}

fn vapour(place: &Whereabouts, read: &DayAir) -> (f64, VapourFrom) {
    match (read.humidity, place.nights) {
        (Some(humidity), _) => (air::vapour_kpa(humidity, read.tmin_c, read.tmax_c), VapourFrom::Read),
        (None, Nights::Dewy) => (air::saturation_kpa(read.tmin_c), VapourFrom::LeastTemperature),
        (None, Nights::Dry) => {
            (air::saturation_kpa(read.tmin_c - DRY_PLACE_DEW_C), VapourFrom::LeastTemperature)
        }
    }
}

fn wind(read: &DayAir) -> (f64, WindFrom) {
    match read.wind_2m_m_s {
        Some(m_s) if m_s < LEAST_WIND_M_S => (LEAST_WIND_M_S, WindFrom::ReadTooStill),
        Some(m_s) => (m_s, WindFrom::Read),
        None => (USUAL_WIND_M_S, WindFrom::Usual),
    }
}

fn solar(place: &Whereabouts, day: Day, read: &DayAir, above_mj_m2: f64) -> (f64, RadiationFrom) {
    match read.sunlight {
        Some(Sunlight::RadiationMjM2(mj_m2)) => (mj_m2, RadiationFrom::Read),
        Some(Sunlight::SunshineH(sunshine_h)) => {
            let daylight_h = sun::daylight_h(place.latitude_rad, day.of_year());
            (radiation::by_sunshine_mj_m2(sunshine_h, daylight_h, above_mj_m2), RadiationFrom::Sunshine)
        }
        None => {
            let warmed = radiation::by_warming_mj_m2(place.setting, read.tmin_c, read.tmax_c, above_mj_m2);
            let clear_mj_m2 = radiation::clear_sky_mj_m2(place.elevation_m, above_mj_m2);
            (warmed.min(clear_mj_m2), RadiationFrom::Warming)
        }
    }
}

fn in_order(tmin_c: f64, tmax_c: f64) -> Result<(), EtError> {
    // Written so that a temperature that is no number is refused too.
    if tmin_c <= tmax_c { Ok(()) } else { Err(EtError::TminAboveTmax { tmin_c, tmax_c }) }
}

/// Refuses what cannot be.
fn possible(place: &Whereabouts, read: &DayAir) -> Result<(), EtError> {
    let quarter_turn = std::f64::consts::FRAC_PI_2;
    within("latitude_rad", place.latitude_rad, &(-quarter_turn..=quarter_turn))?;
    within("elevation_m", place.elevation_m, &ELEVATIONS_M)?;
    in_order(read.tmin_c, read.tmax_c)?;
    within("tmin_c", read.tmin_c, &TEMPERATURES_C)?;
    within("tmax_c", read.tmax_c, &TEMPERATURES_C)?;
    if let Some(m_s) = read.wind_2m_m_s {
        within("wind_2m_m_s", m_s, &WINDS_M_S)?;
    }
    match read.sunlight {
        Some(Sunlight::RadiationMjM2(mj_m2)) => within("radiation_mj_m2", mj_m2, &RADIATIONS_MJ_M2)?,
        Some(Sunlight::SunshineH(h)) => within("sunshine_h", h, &(0.0..=24.0))?,
        None => {}
    }
    match read.humidity {
        Some(Humidity::VapourKpa(kpa)) => within("vapour_kpa", kpa, &VAPOURS_KPA),
        Some(Humidity::DewPointC(dew_c)) => within("dew_point_c", dew_c, &TEMPERATURES_C),
        Some(Humidity::Extremes { least_frac, greatest_frac }) => {
            within("least_humidity_frac", least_frac, &(0.0..=1.0))?;
            within("greatest_humidity_frac", greatest_frac, &(0.0..=1.0))
        }
        Some(Humidity::GreatestFrac(frac)) => within("greatest_humidity_frac", frac, &(0.0..=1.0)),
        Some(Humidity::MeanFrac(frac)) => within("mean_humidity_frac", frac, &(0.0..=1.0)),
        None => Ok(()),
    }
}

fn within(name: &'static str, value: f64, range: &RangeInclusive<f64>) -> Result<(), EtError> {
    if range.contains(&value) {
        return Ok(());
    }
    Err(EtError::Impossible { name, value, least: *range.start(), most: *range.end() })
}

#[cfg(test)]
mod tests;
