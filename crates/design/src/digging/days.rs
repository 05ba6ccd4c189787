//! The days of the digging, one by one.
//!
//! Trial trenches first, then rain, then the whole sections. Of the first day half goes into pegging, marking and
//! finding the pace: a planner's choice, as the pace itself is (see the digging norms of the sizes). The sections
//! begin on a new day, because a rain lies between.

use schemars::JsonSchema;
use serde::Serialize;

/// Share of the first day that is left for digging. A planner's choice, no source.
const FIRST_DAY_FRAC: f64 = 0.5;

/// Person-days smaller than this are a rounding error of sums.
const NOTHING_DAYS: f64 = 1e-9;

/// What is dug.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Stage {
    /// A trench a spade deep, tried in the next rain.
    Trial,
    /// The rest of the section, bank and sills.
    Section,
}

/// One day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Day {
    /// 1 is the first.
    pub day: u32,
    /// Trial trenches or whole sections.
    pub stage: Stage,
    /// What is dug, in order.
    pub work: Vec<Work>,
}

/// One line's digging on one day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Work {
    /// Which line.
    pub line: String,
    /// So much of it, all people together.
    pub person_days: f64,
    /// Share of this stage of the line that is done by the evening.
    pub done_frac: f64,
}

/// One stage of one line.
pub(super) struct Job<'a> {
    pub line: &'a str,
    pub person_days: f64,
}

/// Days that so many people need for trial trenches and then for the rest of the sections.
pub(super) fn needed(trial_days: f64, section_days: f64, people: u32) -> u32 {
    let trial = whole_days(trial_days, people, FIRST_DAY_FRAC);
    let first_frac = if trial == 0 { FIRST_DAY_FRAC } else { 1.0 };
    trial + whole_days(section_days, people, first_frac)
}

fn whole_days(person_days: f64, people: u32, first_frac: f64) -> u32 {
    if person_days <= NOTHING_DAYS {
        return 0;
    }
    let missed_frac = 1.0 - first_frac;
    (person_days / f64::from(people) + missed_frac - NOTHING_DAYS).ceil() as u32
}

/// The days one by one.
pub(super) fn plan(trials: &[Job], sections: &[Job], people: u32) -> Vec<Day> {
    let mut days = Vec::new();
    for (stage, jobs) in [(Stage::Trial, trials), (Stage::Section, sections)] {
        fill(&mut days, stage, jobs, people);
    }
    days
}

/// Fills new days with the jobs of one stage.
fn fill(days: &mut Vec<Day>, stage: Stage, jobs: &[Job], people: u32) {
    let mut free = 0.0;
    let mut begun = false;
    for job in jobs {
        let mut left = job.person_days;
        while left > NOTHING_DAYS {
            if !begun || free <= NOTHING_DAYS {
                let share_frac = if days.is_empty() { FIRST_DAY_FRAC } else { 1.0 };
                free = share_frac * f64::from(people);
                days.push(Day { day: days.len() as u32 + 1, stage, work: Vec::new() });
                begun = true;
            }
            let person_days = if left < free { left } else { free };
            left -= person_days;
            free -= person_days;
            let done_frac = if left <= NOTHING_DAYS { 1.0 } else { 1.0 - left / job.person_days };
            let work = Work { line: job.line.to_owned(), person_days, done_frac };
            days.last_mut().expect("a day was just begun").work.push(work);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Two people, trial 0.6, sections 3.0 and 2.0 person-days. Day 1 has 0.5·2 = 1.0: the trial. Day 2 takes 2.0 of
    /// the first line, day 3 its last 1.0 and 1.0 of the second, day 4 the last 1.0: four days.
    #[test]
    fn days_by_hand() {
        let job = |line, person_days| Job { line, person_days };
        let days = plan(&[job("a", 0.6)], &[job("a", 3.0), job("b", 2.0)], 2);
        assert_eq!(days.len(), 4);
        assert_eq!(needed(0.6, 5.0, 2), 4);
        assert_eq!((days[0].stage, days[1].stage), (Stage::Trial, Stage::Section));
        let third: Vec<(&str, f64)> = days[2].work.iter().map(|w| (w.line.as_str(), w.person_days)).collect();
        assert_eq!(third, [("a", 1.0), ("b", 1.0)]);
        assert!((days[1].work[0].done_frac - 2.0 / 3.0).abs() < 1e-12);
        assert_eq!(days[3].work[0].done_frac, 1.0);
    }

    proptest! {
        /// More people never need more days; the days listed are as many as said; all work is in them.
        #[test]
        fn more_people_never_need_more_days(trial in 0.0..3.0f64, a in 0.0..20.0f64, b in 0.0..20.0f64, people in 1u32..12) {
            let job = |line, person_days| Job { line, person_days };
            let days = plan(&[job("a", trial)], &[job("a", a), job("b", b)], people);
            prop_assert_eq!(days.len() as u32, needed(trial, a + b, people));
            prop_assert!(needed(trial, a + b, people + 1) <= needed(trial, a + b, people));
            let done: f64 = days.iter().flat_map(|day| &day.work).map(|work| work.person_days).sum();
            prop_assert!((done - trial - a - b).abs() < 1e-6);
        }
    }
}
