//! The day on which each tree of a run is planted.
//!
//! As the plan has it. A day after the run's last is moved to the same day of the first year: the years that were are
//! then taken as years that could come. A tree without a day is planted in the middle of its best month
//! ([`grove::planting_season`]). Both are told.

use grove::planting_season::{MonthlyWater, planting_months};
use quantity::Day;

use super::spots::TreeSpot;
use super::weather::RunDays;

/// Middle of a month.
const MID_MONTH: u32 = 15;

/// Days from the run's first day to each tree's planting; negative for trees that are older than the run.
pub(super) fn planted_at(spots: &[TreeSpot], run: &mut RunDays, latitude_deg: f64) -> Vec<i64> {
    let (first, last) = (run.days[0].day, run.days[run.days.len() - 1].day);
    let climate = monthly(run);
    let (mut moved, mut undated) = (Vec::new(), Vec::new());
    let planted_at = spots
        .iter()
        .map(|spot| {
            let day = match spot.planned_day {
                Some(day) if day <= last => day,
                Some(day) => {
                    moved.push(spot.placed.tree.as_str());
                    first_after(first, day.month(), day.of_month())
                }
                None => {
                    undated.push(spot.placed.tree.as_str());
                    let months = planting_months(spot.species, &climate, latitude_deg);
                    first_after(first, u32::from(months.best_month), MID_MONTH)
                }
            };
            // A run too short to hold that day begins with the tree in the ground.
            let day = if day <= last { day } else { first };
            day.number() - first.number()
        })
        .collect();
    if !moved.is_empty() {
        run.notes.push(format!(
            "planted after the weather's last day, {last}, and moved to the first such day of the run: {}. The years \
             of the record stand for years that could come",
            moved.join(", ")
        ));
    }
    if !undated.is_empty() {
        run.notes.push(format!(
            "without a planting day, taken as planted in the middle of the best month: {}",
            undated.join(", ")
        ));
    }
    planted_at
}

/// The first such day of the calendar from a day on; 29 February is 28 February.
fn first_after(first: Day, month: u32, of_month: u32) -> Day {
    let in_year = |year: i32| {
        let least = of_month.min(Day::last_of(year, month));
        Day::new(year, month, least).expect("a day of its month")
    };
    let here = in_year(first.year());
    if here >= first { here } else { in_year(first.year() + 1) }
}

/// Rain and reference evapotranspiration of the run's mean months.
fn monthly(run: &RunDays) -> MonthlyWater {
    let mut sums = [[0.0; 3]; 12];
    for day in &run.days {
        let sum = &mut sums[day.day.month() as usize - 1];
        sum[0] += day.rain.rain_mm;
        sum[1] += day.eto_mm;
        sum[2] += 1.0;
    }
    // A month that the run does not hold has neither.
    let month = |month: usize, what: usize| {
        let days = sums[month][2];
        if days > 0.0 {
            sums[month][what] / days * f64::from(Day::last_of(2023, month as u32 + 1))
        } else {
            0.0
        }
    };
    MonthlyWater {
        rain_mm: std::array::from_fn(|i| month(i, 0)),
        eto_mm: std::array::from_fn(|i| month(i, 1)),
    }
}
