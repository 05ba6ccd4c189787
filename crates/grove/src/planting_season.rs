//! When to plant.
//!
//! A tree that loses its leaves is planted bare-rooted while it rests; one that keeps them, or comes in a pot, when
//! the ground will be wet for longest. In both cases the better month is the one after which more rain falls than
//! the air takes: roots then have the longest time before the first dry spell.
//!
//! Source: common practice, no source; planting at the end of the heat kept more trees alive than planting before
//! it in semi-arid revegetation (Mallee, South Australia). Rest is the time outside the stages of FAO-56, table
//! 11, moved by six months south of the equator.
//! Leaves out: frost, which the caller sets against the species' limits; frozen or waterlogged ground; the nursery.

use quantity::convert::deg_to_rad;

use crate::coefficients::day_of_season;
use crate::reference_et::hargreaves_mm;
use crate::sun::above_air_mj_m2;
use crate::trees::Species;

/// Months over which rain after planting counts: ours, no source.
const MONTHS_AFTER: usize = 3;
/// Day of the year in the middle of each month (FAO-56, table 2.5, without 29 February).
const MID_MONTH_DAY: [u16; 12] = [15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349];
/// Days of each month, without 29 February.
const MONTH_DAYS: [f64; 12] = [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];

/// The climate of a place by month, January first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthlyWater {
    /// Mean rain, mm.
    pub rain_mm: [f64; 12],
    /// Mean reference evapotranspiration, mm.
    pub eto_mm: [f64; 12],
}

impl MonthlyWater {
    /// From rain and the mean least and greatest temperatures of each month, the air's thirst by temperatures alone (FAO-56,
    /// eq. 52), taken in the middle of the month; none where temperatures are in the wrong order.
    pub fn by_temperatures(
        rain_mm: [f64; 12],
        [tmin_c, tmax_c]: [[f64; 12]; 2],
        latitude_deg: f64,
    ) -> Option<MonthlyWater> {
        let mut eto_mm = [0.0; 12];
        for (i, month_mm) in eto_mm.iter_mut().enumerate() {
            let above_air_mj_m2 = above_air_mj_m2(deg_to_rad(latitude_deg), u32::from(MID_MONTH_DAY[i]));
            let day_mm = hargreaves_mm(tmin_c[i], tmax_c[i], above_air_mj_m2).ok()?;
            *month_mm = day_mm * MONTH_DAYS[i];
        }
        Some(MonthlyWater { rain_mm, eto_mm })
    }
}

/// Months for planting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlantingMonths {
    /// Whether each month will do, January first.
    pub suits: [bool; 12],
    /// The best of them, 1 to 12; the first of equals, counted from the start of the rest or the year.
    pub best_month: u8,
}

/// Rain less evapotranspiration of the months from `month` on, mm.
fn surplus_mm(climate: &MonthlyWater, month: usize) -> f64 {
    (month..month + MONTHS_AFTER).map(|i| climate.rain_mm[i % 12] - climate.eto_mm[i % 12]).sum()
}

/// When to plant a species: in its rest if it drops its leaves, else in any month, best before the wettest time.
pub fn planting_months(species: &Species, climate: &MonthlyWater, latitude_deg: f64) -> PlantingMonths {
    let stages = species.coefficients.stages();
    let start_day = stages.start_day(latitude_deg);
    let length_days: u16 = stages.days.iter().sum();
    let drops_leaves = species.coefficients.row().drops_leaves;
    let suits = MID_MONTH_DAY.map(|day| !drops_leaves || day_of_season(start_day, day) > length_days);
    // Counted from the start of the season on, so that south and north take the same month of the tree's year.
    let first = MID_MONTH_DAY.iter().position(|day| *day >= start_day).unwrap_or(0);
    let mut best: Option<(usize, f64)> = None;
    for month in (first..first + 12).map(|month| month % 12).filter(|month| suits[*month]) {
        let here_mm = surplus_mm(climate, month);
        if best.is_none_or(|(_, most_mm)| here_mm > most_mm) {
            best = Some((month, here_mm));
        }
    }
    // Every season of the table leaves a month of rest to a tree that drops its leaves.
    let (month, _) = best.expect("some month suits");
    PlantingMonths { suits, best_month: 1 + month as u8 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trees::{all, find};

    /// Winter rain and dry summers, as at Quarry Bank.
    const WINTER_RAIN: MonthlyWater = MonthlyWater {
        rain_mm: [80.0, 75.0, 55.0, 50.0, 35.0, 12.0, 3.0, 5.0, 25.0, 70.0, 90.0, 95.0],
        eto_mm: [35.0, 45.0, 80.0, 105.0, 140.0, 170.0, 195.0, 175.0, 120.0, 75.0, 42.0, 32.0],
    };

    fn south(climate: &MonthlyWater) -> MonthlyWater {
        let mut turned = *climate;
        turned.rain_mm.rotate_left(6);
        turned.eto_mm.rotate_left(6);
        turned
    }

    /// Surplus of three months: November 48 + 63 + 45 = 156, December 138, October 106. Figs rest from late October
    /// to February, olives may be planted at any time: both in November.
    #[test]
    fn before_the_winter_rain() {
        for name in ["fig", "olive", "almond"] {
            let months = planting_months(find(name).unwrap(), &WINTER_RAIN, 38.7);
            assert_eq!(months.best_month, 11, "{name}: {months:?}");
        }
        let fig = planting_months(find("fig").unwrap(), &WINTER_RAIN, 38.7);
        let rest = [true, true, false, false, false, false, false, false, false, false, true, true];
        assert_eq!(fig.suits, rest);
    }

    /// FAO-56, example 20 (Lyon, July: 14.8 and 26.6 °C, 45.72° N): eq. 52 gives 5.0 mm a day, 31 days of it 156 mm.
    #[test]
    fn published_thirst_of_a_month() {
        let water = MonthlyWater::by_temperatures([0.0; 12], [[14.8; 12], [26.6; 12]], 45.72).unwrap();
        assert!((water.eto_mm[6] / 31.0 - 5.0).abs() <= 0.05, "{}", water.eto_mm[6]);
        assert_eq!(MonthlyWater::by_temperatures([0.0; 12], [[5.0; 12], [4.0; 12]], 45.72), None);
    }

    /// The same climate half a year later, south: the best month is six months away, for every species.
    #[test]
    fn hemispheres_mirror() {
        for species in all() {
            let north = planting_months(species, &WINTER_RAIN, 38.7);
            let months = planting_months(species, &south(&WINTER_RAIN), -38.7);
            assert_eq!((north.best_month + 5) % 12 + 1, months.best_month, "{}", species.name);
        }
    }
}
