//! The trees through the seasons: day by day over the years, what each gets, when it is dry, when its roots drown, and
//! when to carry water.
//!
//! `weather` makes the days, [`crate::rain_test`]'s daily form runs the lines, `spots` and `share` bring their water to
//! the trees' roots, [`grove::water_balance`] keeps each tree's soil, `rounds` carries water. What is not known well is
//! drawn many times and each draw lives through all the days (`run`); `gather` makes the ranges and the chances.
//!
//! Dry days and chances are those of trees that nobody waters; a second pass carries water in the first three years and
//! gives the rounds. The same request gives the same bits on one thread or many. Methods page: `docs/methods/season.md`.

mod answer;
mod gather;
mod planted;
mod rounds;
mod run;
mod share;
mod spots;
mod weather;

use quantity::Day;
use rayon::prelude::*;
use site::Site;

use crate::layout::Layout;
use crate::rain_test::daily::DailyWorks;
use crate::rain_test::{Prepared, RainTestError};
use crate::{planting, sizes};
use rounds::Watering;
use run::{PassOut, Stage, Trial};

pub use answer::{
    Answer, Balance, Case, Compare, LeftOut, LineSeason, Period, Round, RoundTree, StripDay, Summer,
    TreeGets, TreePlace, TreeSeason, TreeStands, TreeStrip, TreeYear, WaterRound,
};
pub use weather::MOST_YEARS;

/// More members than this tell nothing more.
pub const MOST_MEMBERS: usize = 10_000;
/// Days in a row that make a dry spell: a fortnight. Young trees in semi-arid Mallee country that were watered monthly in
/// their first summer died in numbers, those watered fortnightly lived (grower's page "Watering revegetation").
const DRY_SPELL_DAYS: u32 = 14;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// First day; without it the record's.
    pub from: Option<Day>,
    /// Last day; without it the record's.
    pub to: Option<Day>,
    /// So many years drawn from the plan's ordinary year instead of the record.
    pub years: Option<u32>,
    /// How many draws are lived through; 1 is the plan as drawn.
    pub members: usize,
    /// What they, and weather that is drawn, are drawn by.
    pub seed: u64,
    /// The most water that can be carried in seven days; none for as much as is wanted.
    pub litres_per_week: Option<f64>,
}

impl Default for Request {
    fn default() -> Request {
        Request { from: None, to: None, years: None, members: 1, seed: 1, litres_per_week: None }
    }
}

/// Why the seasons cannot be run.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SeasonError {
    /// No record and no ordinary year.
    #[error(
        "there is no weather: put weather.csv into the folder, or write the ordinary year's twelve months as [climate]"
    )]
    NoWeather,
    /// Nothing of the record lies in what was asked.
    #[error("the record runs from {from} to {to}: nothing of it lies in the days that were asked for")]
    OutsideRecord {
        /// First day of the record.
        from: Day,
        /// Its last.
        to: Day,
    },
    /// The last day comes before the first.
    #[error("{to} comes before {from}: give the first day first")]
    Backwards {
        /// First day as asked.
        from: Day,
        /// Last day as asked.
        to: Day,
    },
    /// Rain was never read.
    #[error(
        "no day of the run has its rain: see which column of weather.csv holds it (`hillsip check` tells)"
    )]
    NoRainRead,
    /// Temperatures are not known.
    #[error(
        "no temperature of month {month} was ever read: add tmin_c and tmax_c to weather.csv, or the months' means as \
         [climate]"
    )]
    NoTemperatures {
        /// The month.
        month: u32,
    },
    /// Too many days.
    #[error("{days} days are too many: at most {MOST_YEARS} years are drawn")]
    TooLong {
        /// As asked.
        days: u32,
    },
    /// A number of members that is none.
    #[error("{found} members: give 1 to {MOST_MEMBERS}")]
    BadMembers {
        /// As asked.
        found: usize,
    },
    /// No tree that can be run.
    #[error("the plan has no tree that can be run: add [[tree]], each with its line and at_m. {because}")]
    NoTrees {
        /// Each tree of the plan and why it cannot.
        because: String,
    },
    /// The ordinary year is none.
    #[error(transparent)]
    Climate(#[from] grove::generator::ClimateError),
    /// A day's weather cannot be.
    #[error(transparent)]
    Weather(#[from] grove::reference_et::EtError),
    /// The lines cannot be followed.
    #[error(transparent)]
    Lines(#[from] RainTestError),
}

/// Lives through the days. `told` is called as each member is done, from any thread.
///
/// # Errors
/// There is no weather or none in the days asked for, a line cannot be followed, no tree can be run.
pub fn season(
    site: &Site,
    layout: &Layout,
    request: &Request,
    told: &(dyn Fn() + Sync),
) -> Result<Answer, SeasonError> {
    if !(1..=MOST_MEMBERS).contains(&request.members) {
        return Err(SeasonError::BadMembers { found: request.members });
    }
    on_stage(site, layout, request, |stage, left_out| {
        let passes = passes(stage, request, told);
        gather::answer(stage, request, &passes, left_out)
    })
}

/// The first three years of every tree day by day, in the likely member, watered as the rounds have it.
///
/// # Errors
/// As [`season`].
pub fn strips(site: &Site, layout: &Layout, request: &Request) -> Result<Vec<TreeStrip>, SeasonError> {
    on_stage(site, layout, request, |stage, _| {
        let watering = Some(Watering { litres_per_week: request.litres_per_week });
        let pass = stage.pass(Trial { member: 0, lines: true, mulched: true, watering, keep_days: true });
        gather::strips(stage, pass)
    })
}

/// Makes all ready that every pass shares, and hands it on.
fn on_stage<T>(
    site: &Site,
    layout: &Layout,
    request: &Request,
    then: impl FnOnce(&Stage, Vec<LeftOut>) -> T,
) -> Result<T, SeasonError> {
    let mut run = weather::run_days(site, request)?;
    let prepared = Prepared::of(site, layout)?;
    let daily = DailyWorks::of(&prepared)?;
    let sizes = sizes::sizes(site, layout);
    let planting = planting::planting(site, layout, &sizes);
    let (mut spots, mut left_out) = spots::spots(site, layout, &planting, &daily);
    let latitude_deg = site.plan.place.latitude_deg;
    spots::leave_out_unworkable(&mut spots, &mut left_out, latitude_deg);
    if spots.is_empty() {
        let because = left_out.iter().map(|tree| format!("{}: {}", tree.tree, tree.because));
        return Err(SeasonError::NoTrees { because: because.collect::<Vec<_>>().join("; ") });
    }
    let planted_at = planted::planted_at(&spots, &mut run, latitude_deg);
    let stage = Stage {
        rain: run.rain(),
        run: &run,
        daily: &daily,
        spots: &spots,
        planted_at,
        pieces_m: (0..daily.names().count()).map(|line| daily.pieces_m(line).collect()).collect(),
        latitude_deg,
        seed: request.seed,
    };
    Ok(then(&stage, left_out))
}

/// Every pass of a run.
struct Passes {
    /// Unwatered, member by member, the likely one first.
    members: Vec<PassOut>,
    /// Watered, member by member.
    watered: Vec<PassOut>,
    /// Of the likely member, lines and mulch: without lines, without mulch, without either; unwatered and watered.
    without: [[PassOut; 2]; 3],
    /// Of the likely member, watered with as much as is wanted.
    as_wanted: PassOut,
}

fn passes(stage: &Stage, request: &Request, told: &(dyn Fn() + Sync)) -> Passes {
    let watering = Watering { litres_per_week: request.litres_per_week };
    let both = |member: usize| {
        let bare = Trial { member, lines: true, mulched: true, watering: None, keep_days: false };
        let pair = (stage.pass(bare), stage.pass(Trial { watering: Some(watering), ..bare }));
        told();
        pair
    };
    let (members, watered) = (0..request.members).into_par_iter().map(both).unzip();
    let as_wanted = Watering { litres_per_week: None };
    let without = [(false, true), (true, false), (false, false)].map(|(lines, mulched)| {
        [None, Some(as_wanted)]
            .map(|watering| stage.pass(Trial { member: 0, lines, mulched, watering, keep_days: false }))
    });
    let with_both =
        Trial { member: 0, lines: true, mulched: true, watering: Some(as_wanted), keep_days: false };
    Passes { members, watered, without, as_wanted: stage.pass(with_both) }
}

#[cfg(test)]
mod tests;
