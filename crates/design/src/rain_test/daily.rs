//! The chain of lines a day at a time: fast enough for fifty years of days, for every member of an ensemble.
//!
//! A level line is one pool. Through a day, hour by hour: what arrives runs over its bed as a film and soaks; what is
//! more than the bed takes fills the pool; the pool soaks through all it wets; what stands above the lowest sill goes on
//! at once to the line that the plan names. A falling line holds nothing: what its bed does not take leaves at its end.
//!
//!   pool' = pool + arrived + passed in − soaked − passed on                             m³, each hour
//!   soaked depth F of a bed: Green and Ampt, an hour at a time ([`water::soak::GreenAmpt::ponded_m`])
//!
//! The day's rain falls evenly in its first six hours; runoff by curve number follows the rain so far and arrives at once.
//! Where soaking is less than the bed could take, water reaches from where it arrived to either side only as far as it
//! takes to soak away ([`spread`]).
//!
//! Sources: those of the rain test, which works a single storm through in time; how far the two agree is tested below and
//! told in `docs/methods/season.md`. Six hours: the length that the site's design storms usually have; assumed.
//! Leaves out: the time that water takes along a line, heads over sills, what small or blocked sills send over banks,
//! sills of falling lines, lines out of level by chance, ground that is full from below.

mod line;
mod pool;
mod seeps;
mod spread;

use quantity::convert::{m_s_to_mm_h, mm_to_m};
use water::chain::{Soak, Target};
use water::runoff::{CurveNumber, Wetness};
use water::soak::GreenAmpt;

use super::arrive::Feeds;
use super::draw::Draw;
use super::{Prepared, RainTestError};
use line::Hours;
pub(crate) use line::LineDay;
use pool::Pool;

/// Hours in which a day's rain falls. Assumed.
const RAIN_HOURS: usize = 6;
/// Hours of a day.
const HOURS: usize = 24;
/// Seconds of an hour.
const HOUR_S: f64 = 3600.0;

/// A day's rain on the works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DayOfRain {
    pub rain_mm: f64,
    /// How wet the ground is before it.
    pub wetness: Wetness,
    /// Whether it lies in the wet months, in which a seep flows that does not answer single rains.
    pub wet_month: bool,
}

/// The works of a site, ready to be run day by day.
#[derive(Debug)]
pub(crate) struct DailyWorks<'a> {
    prepared: &'a Prepared<'a>,
    pools: Vec<Pool>,
    /// Lines in the order in which water meets them.
    order: Vec<usize>,
}

impl<'a> DailyWorks<'a> {
    /// Makes ready.
    ///
    /// # Errors
    /// The water runs in a circle.
    pub(crate) fn of(prepared: &'a Prepared<'a>) -> Result<DailyWorks<'a>, RainTestError> {
        let works = &prepared.works;
        let pools: Vec<Pool> = (0..works.lines.len()).map(|index| Pool::of(works, index)).collect();
        let order = order(&pools).ok_or(RainTestError::Circle)?;
        Ok(DailyWorks { prepared, pools, order })
    }

    /// Names of the lines, in the order of everything below.
    pub(crate) fn names(&self) -> impl Iterator<Item = &'a str> {
        self.prepared.works.lines.iter().map(|line| line.line.name.as_str())
    }

    /// Ends of the pieces of a line.
    pub(crate) fn pieces_m(&self, line: usize) -> impl Iterator<Item = (f64, f64)> {
        self.prepared.works.lines[line].pieces.iter().map(|piece| (piece.from_m, piece.to_m))
    }

    /// Water in a line when it stands at this height; none for falling lines, which hold none.
    pub(crate) fn holds_at_m3(&self, line: usize, level_z_m: f64) -> Option<f64> {
        let pool = &self.pools[line];
        (!pool.falls).then(|| pool.volume_at_m3(level_z_m))
    }

    /// Height of the water when the line is full.
    pub(crate) fn full_z_m(&self, line: usize) -> f64 {
        self.pools[line].full_z_m
    }

    /// The works with one draw of what is not known well, before the first of these days.
    pub(crate) fn member(&self, seed: u64, member: usize, days: &[DayOfRain]) -> DailyMember<'_> {
        let works = &self.prepared.works;
        let draws = [Wetness::Dry, Wetness::Usual, Wetness::Wet]
            .map(|wetness| Draw::of_member(works, wetness, seed, member));
        let lines = works.lines.iter().zip(&self.prepared.feeds).zip(&self.pools);
        let lines = lines.map(|((line, feeds), pool)| LineState {
            fronts: std::array::from_fn(|wetness| front(line, &draws[wetness])),
            hillsides: hillsides(feeds, &draws),
            soaked_m: 0.0,
            held_m3: 0.0,
            hours: Hours::default(),
            day: LineDay::of(pool.pieces.len()),
        });
        DailyMember {
            works: self,
            lines: lines.collect(),
            seeps: seeps::daily_m3(&works.site.plan.sources, days, &draws[1]),
        }
    }
}

/// The lines from the top down; none where they run in a circle. Ties go by the order of the plan.
fn order(pools: &[Pool]) -> Option<Vec<usize>> {
    let mut order = Vec::with_capacity(pools.len());
    let mut placed = vec![false; pools.len()];
    while order.len() < pools.len() {
        let fed =
            |line: usize| pools.iter().enumerate().any(|(from, pool)| !placed[from] && pool.leads_to(line));
        let next = (0..pools.len()).find(|line| !placed[*line] && !fed(*line))?;
        placed[next] = true;
        order.push(next);
    }
    Some(order)
}

/// How a bed takes water.
fn front(line: &super::build::WorksLine, draw: &Draw) -> GreenAmpt {
    let pit = line.line.kind == site::LineKind::Pipe;
    let known = line.soil.zip(line.soak_mm_h).filter(|_| !pit);
    let steady = |rate_m_s| GreenAmpt { conductivity_m_s: rate_m_s, suction_m: 0.0, deficit_frac: 0.0 };
    match known.map(|(soil, rate)| draw.soak(soil, rate)) {
        Some(Soak::GreenAmpt(soil)) => soil,
        Some(Soak::Steady { rate_m_s }) => steady(rate_m_s),
        None => steady(0.0),
    }
}

/// Depth that ponded ground takes in an hour when it has taken `soaked_m`.
fn hour_takes_m(front: &GreenAmpt, soaked_m: f64) -> f64 {
    front.ponded_m(soaked_m, HOUR_S).expect("rate, suction and deficit of a soil are sound") - soaked_m
}

/// A hillside above a line, in one member.
#[derive(Debug, Clone)]
struct Hillside {
    area_m2: f64,
    /// Dry, as usual, wet.
    numbers: [Option<CurveNumber>; 3],
}

fn hillsides(feeds: &Feeds, draws: &[Draw; 3]) -> Vec<Hillside> {
    let of_member = |(area_m2, range): (f64, quantity::Estimate)| Hillside {
        area_m2,
        numbers: std::array::from_fn(|wetness| draws[wetness].curve_number(range)),
    };
    feeds.hillsides().map(of_member).collect()
}

/// A line in one member.
#[derive(Debug, Clone)]
struct LineState {
    /// Dry, as usual, wet.
    fronts: [GreenAmpt; 3],
    hillsides: Vec<Hillside>,
    /// Depth soaked since the bed was last dry.
    soaked_m: f64,
    held_m3: f64,
    hours: Hours,
    day: LineDay,
}

/// The works in one member, between two days.
#[derive(Debug)]
pub(crate) struct DailyMember<'a> {
    works: &'a DailyWorks<'a>,
    lines: Vec<LineState>,
    /// Of each source that is a seep, by its place among the sources, m³ of each day.
    seeps: Vec<Vec<f64>>,
}

impl DailyMember<'_> {
    /// Lets a day pass: number `at` of the days the member was made for.
    pub(crate) fn step(&mut self, at: usize, day: &DayOfRain) {
        for index in 0..self.lines.len() {
            self.arrive(index, at, day);
        }
        for place in 0..self.works.order.len() {
            let index = self.works.order[place];
            let pool = &self.works.pools[index];
            self.lines[index].soak(pool, day.wetness);
            self.pass_on(index);
        }
    }

    /// What the day did to a line.
    pub(crate) fn line(&self, index: usize) -> &LineDay {
        &self.lines[index].day
    }

    /// Conductivity of a line's bed: the soak rate that this member drew, mm/h.
    pub(crate) fn soak_mm_h(&self, index: usize) -> f64 {
        m_s_to_mm_h(self.lines[index].fronts[1].conductivity_m_s)
    }

    /// Share of the day's rain that the ground above a line sheds.
    pub(crate) fn sheds_frac(&self, index: usize, day: &DayOfRain) -> f64 {
        let rain_m = mm_to_m(day.rain_mm);
        if rain_m <= 0.0 {
            return 0.0;
        }
        let number = self.lines[index].hillsides.first().and_then(|hill| hill.numbers[place_of(day.wetness)]);
        number.map_or(0.0, |number| number.runoff_m(rain_m) / rain_m)
    }

    /// What comes from a line's own sources, hour by hour and piece by piece.
    fn arrive(&mut self, index: usize, at: usize, day: &DayOfRain) {
        let feeds = &self.works.prepared.feeds[index];
        let line = &self.works.prepared.works.lines[index];
        let state = &mut self.lines[index];
        state.day.begin(state.held_m3);
        state.hours.clear();
        if day.rain_mm > 0.0 {
            let rain_m = mm_to_m(day.rain_mm);
            let wetness = place_of(day.wetness);
            for (place, hillside) in state.hillsides.iter().enumerate() {
                let Some(number) = hillside.numbers[wetness] else { continue };
                let whole_m3 = state.hours.rain(|rain_m| hillside.area_m2 * number.runoff_m(rain_m), rain_m);
                state.day.add_shares(feeds.hillside_shares(place), whole_m3);
            }
            for hard in feeds.hard_surfaces() {
                let whole_m3 = state.hours.rain(|rain_m| hard.runoff_m3(rain_m), rain_m);
                state.day.add_at(line, hard.at_m, whole_m3);
            }
            for (piece, catches_m2) in feeds.catches_m2().iter().enumerate() {
                state.day.add(piece, catches_m2 * rain_m);
            }
            let catches_m2: f64 = feeds.catches_m2().iter().sum();
            state.hours.rain(|rain_m| catches_m2 * rain_m, rain_m);
        }
        for seep in feeds.seeps() {
            let source = self.works.prepared.works.source_place(seep.source);
            let m3 = seep.share_frac * self.seeps[source].get(at).copied().unwrap_or(0.0);
            state.hours.evenly(m3);
            state.day.add_at(line, seep.at_m, m3);
        }
    }

    /// Hands a line's surplus to those below.
    fn pass_on(&mut self, index: usize) {
        let pool = &self.works.pools[index];
        let (passed, whole_m3) = (self.lines[index].hours.passed_m3, self.lines[index].day.surplus_m3);
        if whole_m3 <= 0.0 {
            return;
        }
        for exit in &pool.exits {
            match exit.to {
                Target::Leaves(_) => self.lines[index].day.left_m3 += exit.share_frac * whole_m3,
                Target::Cell(at) => {
                    self.lines[index].day.passed_on_m3 += exit.share_frac * whole_m3;
                    let below = &mut self.lines[at.line];
                    below.day.passed_in_m3 += exit.share_frac * whole_m3;
                    below.day.came_m3[at.cell] += exit.share_frac * whole_m3;
                    for (hour, m3) in passed.iter().enumerate() {
                        below.hours.comes_m3[hour] += exit.share_frac * m3;
                    }
                }
            }
        }
    }
}

/// Place of a class of wetness in lists of three.
fn place_of(wetness: Wetness) -> usize {
    match wetness {
        Wetness::Dry => 0,
        Wetness::Usual => 1,
        Wetness::Wet => 2,
    }
}

#[cfg(test)]
mod tests;
