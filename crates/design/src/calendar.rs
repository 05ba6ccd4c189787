//! What to do when: a year of work, by hemisphere and by when the rain comes.
//!
//! Everything hangs on the wet season. Peg at its end, when a rain can still be watched; dig while the ground is
//! moist after it and be done before the next (WOCAT 1625, Niger); plant when the next has wetted the ground, or in the
//! dormant months where winters are cold and no season is dry; lop nurse plants as the dry begins, so that they stop
//! drinking and their leaves are mulch.
//!
//! With twelve months of rain the wet season is the longest run of months that bring more than a twelfth of the
//! year; a year whose every month brings half a twelfth or more has no dry season. Both rules are ours. Without, it is a
//! guess by latitude, and says so: rain when the sun is high within 30° of the equator, winter rain up to 45°, no dry
//! season beyond. East coasts and mountains do otherwise: look at your own months of rain.
//!
//! Leaves out: frost dates, and rains that fail.

use schemars::JsonSchema;
use serde::Serialize;

/// Months of a year.
const MONTHS: u32 = 12;
/// Latitudes at which the guess changes, degrees. A rough rule of ours, no source.
const HIGH_SUN_RAIN_TO_DEG: f64 = 30.0;
/// See [`HIGH_SUN_RAIN_TO_DEG`].
const WINTER_RAIN_TO_DEG: f64 = 45.0;
/// A month with less than this share of the mean month is dry. A rough rule of ours, no source.
const DRY_MONTH_FRAC: f64 = 0.5;

/// When the rain comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RainSeason {
    /// In the cold half of the year, with a dry summer.
    Winter,
    /// In the warm half of the year, or when the sun is high.
    Summer,
    /// In every month.
    AllYear,
}

/// A year of work.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "CalendarAnswer")]
pub struct Answer {
    /// When the rain comes.
    pub rain_season: RainSeason,
    /// First and last month of the wet season, 1 is January; of the cool half of the year where every month is wet.
    pub wet_months: (u32, u32),
    /// Whether this is a guess by latitude alone.
    pub guessed_by_latitude: bool,
    /// The work, in the order in which a first year does it.
    pub work: Vec<Work>,
}

/// One kind of work and its months.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "MonthWork")]
pub struct Work {
    /// What.
    pub task: Task,
    /// First month, 1 is January.
    pub from_month: u32,
    /// Last month; before the first where it runs over the new year.
    pub to_month: u32,
    /// What to mind.
    pub note: &'static str,
    /// Where that comes from.
    pub source: &'static str,
}

/// Kinds of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    /// Walk and peg the lines, and dig the trial trenches.
    Peg,
    /// Dig the sections, shape banks and sills.
    Dig,
    /// Sow and cover the banks.
    SeedBanks,
    /// Set stakes, trees and nurse plants.
    Plant,
    /// Lay and renew mulch.
    Mulch,
    /// Look at the lines after rain.
    CheckAfterRain,
    /// Cut back nurse plants.
    Lop,
    /// Carry water to young trees.
    CarryWater,
}

impl Task {
    /// As people say it.
    pub const fn words(self) -> &'static str {
        match self {
            Task::Peg => "peg, and dig the trial trenches",
            Task::Dig => "dig the sections",
            Task::SeedBanks => "sow and cover the banks",
            Task::Plant => "set stakes, trees, nurse plants",
            Task::Mulch => "mulch",
            Task::CheckAfterRain => "look at the lines after rain",
            Task::Lop => "lop nurse plants",
            Task::CarryWater => "carry water in dry weeks",
        }
    }
}

/// A year of work at this latitude, by twelve months of rain (January first) where they are known.
pub fn calendar(latitude_deg: f64, monthly_rain_mm: Option<&[f64; 12]>) -> Answer {
    let known = monthly_rain_mm.and_then(|rain| wet_by_rain(latitude_deg, rain));
    let (rain_season, wet_months) = known.unwrap_or_else(|| guess(latitude_deg));
    Answer {
        rain_season,
        wet_months,
        guessed_by_latitude: known.is_none(),
        work: work(rain_season, wet_months),
    }
}

/// The year's work at a site: by the rain of its ordinary year where the plan has one.
pub fn of_site(site: &site::Site) -> Answer {
    let plan = &site.plan;
    calendar(plan.place.latitude_deg, plan.climate.as_ref().map(|climate| &climate.rain_mm))
}

/// The month so many after another; 1 is January.
fn after(month: u32, months: u32) -> u32 {
    (month - 1 + months) % MONTHS + 1
}

fn before(month: u32, months: u32) -> u32 {
    after(month, MONTHS - months)
}

/// The cool half of the year: October to March in the north.
fn cool_half(latitude_deg: f64) -> (u32, u32) {
    let (from, to) = (10, 3);
    if latitude_deg < 0.0 { (after(from, 6), after(to, 6)) } else { (from, to) }
}

fn guess(latitude_deg: f64) -> (RainSeason, (u32, u32)) {
    let (from, to) = cool_half(latitude_deg);
    let from_equator_deg = latitude_deg.abs();
    if from_equator_deg < HIGH_SUN_RAIN_TO_DEG {
        (RainSeason::Summer, (after(from, 6), after(to, 6)))
    } else if from_equator_deg < WINTER_RAIN_TO_DEG {
        (RainSeason::Winter, (from, to))
    } else {
        (RainSeason::AllYear, (from, to))
    }
}

/// The wet season by the months of rain; none where no rain was given.
fn wet_by_rain(latitude_deg: f64, rain_mm: &[f64; 12]) -> Option<(RainSeason, (u32, u32))> {
    let year_mm: f64 = rain_mm.iter().sum();
    let usable = rain_mm.iter().all(|mm| *mm >= 0.0) && year_mm > 0.0 && year_mm.is_finite();
    if !usable {
        return None;
    }
    let mean_mm = year_mm / f64::from(MONTHS);
    let cool = cool_half(latitude_deg);
    if rain_mm.iter().all(|mm| *mm >= DRY_MONTH_FRAC * mean_mm) {
        return Some((RainSeason::AllYear, cool));
    }
    let (from, months) = longest_wet_run(rain_mm, mean_mm);
    let rain_in = |first: u32| -> f64 { (0..6).map(|i| rain_mm[after(first, i) as usize - 1]).sum() };
    let season = if 2.0 * rain_in(cool.0) > year_mm { RainSeason::Winter } else { RainSeason::Summer };
    Some((season, (from, after(from, months - 1))))
}

/// First month and length of the longest run of months above the mean; of equals the one with more rain, then the
/// earlier.
fn longest_wet_run(rain_mm: &[f64; 12], mean_mm: f64) -> (u32, u32) {
    let mut best = (1, 1, 0.0);
    for from in 1..=MONTHS {
        let mut rain_in_run_mm = 0.0;
        for months in 1..=MONTHS {
            let month_mm = rain_mm[after(from, months - 1) as usize - 1];
            if month_mm <= mean_mm {
                break;
            }
            rain_in_run_mm += month_mm;
            if months > best.1 || (months == best.1 && rain_in_run_mm > best.2) {
                best = (from, months, rain_in_run_mm);
            }
        }
    }
    (best.0, best.1)
}

fn work(season: RainSeason, (wet_from, wet_to): (u32, u32)) -> Vec<Work> {
    let year_round = season == RainSeason::AllYear;
    let dry = (after(wet_to, 1), before(wet_from, 1));
    let dry_begins = (wet_to, after(wet_to, 1));
    let plant = match season {
        // Dormant, and before the buds move.
        RainSeason::AllYear => (after(wet_from, 1), wet_to),
        RainSeason::Winter | RainSeason::Summer => (wet_from, after(wet_from, 1)),
    };
    let rain = if year_round { (1, MONTHS) } else { (wet_from, wet_to) };
    let row = |task, (from_month, to_month), note, source| Work { task, from_month, to_month, note, source };
    vec![
        row(
            Task::Peg,
            dry_begins,
            "while the last rains can be watched: see where water runs, then try each trench in the next rain",
            "common practice, no source",
        ),
        row(
            Task::Dig,
            dry,
            "best in its first two months, while the ground is still moist; be done before the wet",
            "WOCAT 1625, Niger",
        ),
        row(
            Task::SeedBanks,
            dry,
            "the same day each bank is shaped, under straw; sow thin places again with the first rains",
            "growers' practice",
        ),
        row(Task::Plant, plant, plant_note(season), "common practice, no source"),
        row(
            Task::Mulch,
            (plant.0, wet_to),
            "on wet ground, about 10 cm, the bark left bare; renew before it dries out",
            "Casey Trees; Sacramento Tree Foundation; City of Fremont",
        ),
        row(
            Task::CheckAfterRain,
            rain,
            "after every rain that runs: slumps, lost freeboard, blocked sills; mend the first break at once",
            "Catchments & Creeks; greener.land",
        ),
        row(
            Task::Lop,
            dry_begins,
            "first 6 to 18 months after planting: from 1 to 2 m back to 0.2 to 0.3 m, leaves left as mulch",
            "Tearfund PILLARS, agroforestry; a Kenyan agroforestry manual",
        ),
        row(
            Task::CarryWater,
            dry,
            "for two or three summers, in weeks without rain",
            "extension pages on watering new trees: one to three years",
        ),
    ]
}

const fn plant_note(season: RainSeason) -> &'static str {
    match season {
        RainSeason::Winter => {
            "when the first rains have wetted the ground; what frost kills when young waits until frosts are over"
        }
        RainSeason::Summer => "when the first rains have wetted the ground a spade deep",
        RainSeason::AllYear => "bare roots while dormant and the ground is not frozen; evergreens at its end",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn months(answer: &Answer, task: Task) -> (u32, u32) {
        let work = answer.work.iter().find(|work| work.task == task).unwrap();
        (work.from_month, work.to_month)
    }

    /// 38.7° N by latitude: wet October to March. Peg March and April, dig April to September, plant October and
    /// November.
    #[test]
    fn a_year_at_quarry_bank() {
        let answer = calendar(38.7, None);
        assert!(answer.guessed_by_latitude);
        assert_eq!((answer.rain_season, answer.wet_months), (RainSeason::Winter, (10, 3)));
        assert_eq!(months(&answer, Task::Peg), (3, 4));
        assert_eq!(months(&answer, Task::Dig), (4, 9));
        assert_eq!(months(&answer, Task::Plant), (10, 11));
    }

    /// Wet from November to April with 600 of 700 mm, in the south: summer rain.
    #[test]
    fn months_of_rain_come_before_the_guess() {
        let rain_mm = [120.0, 110.0, 100.0, 80.0, 20.0, 10.0, 5.0, 10.0, 20.0, 35.0, 80.0, 110.0];
        let answer = calendar(-35.0, Some(&rain_mm));
        assert!(!answer.guessed_by_latitude);
        assert_eq!((answer.rain_season, answer.wet_months), (RainSeason::Summer, (11, 4)));
        assert_eq!(calendar(35.0, Some(&rain_mm)).rain_season, RainSeason::Winter);
        assert_eq!(calendar(35.0, Some(&[60.0; 12])).rain_season, RainSeason::AllYear);
    }

    proptest! {
        /// Half the globe away and half a year later all is the same.
        #[test]
        fn the_south_mirrors_the_north(latitude_deg in 0.1..66.0f64, rain_mm in prop::array::uniform12(1.0..300.0f64), known: bool) {
            let turned: [f64; 12] = std::array::from_fn(|i| rain_mm[(i + 6) % 12]);
            let north = calendar(latitude_deg, known.then_some(&rain_mm));
            let south = calendar(-latitude_deg, known.then_some(&turned));
            prop_assert_eq!(north.rain_season, south.rain_season);
            for (a, b) in north.work.iter().zip(&south.work) {
                if (a.from_month, a.to_month) == (1, 12) {
                    prop_assert_eq!((b.from_month, b.to_month), (1, 12));
                } else {
                    prop_assert_eq!((after(a.from_month, 6), after(a.to_month, 6)), (b.from_month, b.to_month));
                }
            }
        }
    }
}
