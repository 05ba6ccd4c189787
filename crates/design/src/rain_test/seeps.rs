//! What seeps give in a storm: their steady flow, and above it what past rain and the storm itself wake.
//!
//! A share of what sinks above a seep comes out of it after a delay and falls off by halves ([`water::seep`]). What
//! sinks: of the ground above it all its rain; of a hillside the rain that its curve number keeps back, day by day and
//! then through the storm; of a hard surface what runs off it and no line picks up; of a seep what it gives above its
//! steady flow and no line picks up. Hour by hour, from the first of the days before to the end of the run.
//!
//! Leaves out: ground that is too dry to pass anything on, and what soaks in along the lines.

use quantity::convert::{l_to_m3, mm_to_m};
use site::{Rises, Source, SourceKind};
use water::rain::Storm;
use water::runoff::hard_surface_runoff_m;
use water::seep::Recession;

use super::draw::Draw;
use super::followed_s;
use crate::sizes::supply;

/// Steps in which what sinks and what comes out are counted.
const STEP_S: f64 = 3600.0;
const STEPS_A_DAY: usize = 24;
const DAY_S: f64 = 86_400.0;
const MINUTE_S: f64 = 60.0;

/// What falls, and when.
#[derive(Clone, Copy)]
pub(super) struct Rainfall<'a> {
    pub storm: &'a Storm,
    /// Rain of each day before the storm, the last one next to it.
    pub before_mm: &'a [f64],
}

/// Flow of every source of a plan that is a seep, in steps of an hour from the first drop.
#[derive(Debug, Clone, Default)]
pub(super) struct SeepFlows {
    by_source: Vec<(String, Vec<f64>)>,
}

impl SeepFlows {
    /// The flows of one member.
    pub(super) fn of(sources: &[Source], rainfall: Rainfall, draw: &Draw) -> SeepFlows {
        let hours = Hours { rainfall };
        let sinks = Sinks {
            sources,
            draw,
            step_s: STEP_S,
            by_rain: &|of_day, of_storm| hours.sink_m3(of_day, of_storm),
        };
        let flow = |source: &Source| {
            let steady_m3_s = steady_m3_s(source, draw);
            let above_m3 = sinks.above_steady_m3(source).unwrap_or_else(|| vec![0.0; hours.steps()]);
            let storm_begins = rainfall.before_mm.len() * STEPS_A_DAY;
            let flow_m3_s = above_m3[storm_begins..].iter().map(|m3| steady_m3_s + m3 / STEP_S);
            (source.name.clone(), flow_m3_s.collect())
        };
        let seeps = sources.iter().filter(|source| source.kind == SourceKind::Seep);
        SeepFlows { by_source: seeps.map(flow).collect() }
    }

    /// Flow of one seep, hour by hour.
    pub(super) fn flow_m3_s(&self, source: &Source) -> &[f64] {
        self.by_source.iter().find(|(name, _)| *name == source.name).map_or(&[], |(_, flow)| flow)
    }

    /// Length of its steps.
    pub(super) fn step_s() -> f64 {
        STEP_S
    }

    /// Flow of one seep in the middle of each of so many steps.
    pub(super) fn in_steps_m3_s(&self, source: &Source, step_s: f64, steps: usize) -> Vec<f64> {
        let hours = self.flow_m3_s(source);
        let hour = |step: usize| ((step as f64 + 0.5) * step_s / STEP_S) as usize;
        (0..steps).map(|step| hours.get(hour(step)).copied().unwrap_or(0.0)).collect()
    }
}

/// What a seep gives whatever the rain.
pub(super) fn steady_m3_s(source: &Source, draw: &Draw) -> f64 {
    l_to_m3(source.flow_l_min.map_or(0.0, |range| draw.seep_l_min(range))) / MINUTE_S
}

/// Hours of the days before and of the storm.
struct Hours<'a> {
    rainfall: Rainfall<'a>,
}

impl Hours<'_> {
    fn steps(&self) -> usize {
        let storm = (followed_s(self.rainfall.storm) / STEP_S).ceil() as usize;
        self.rainfall.before_mm.len() * STEPS_A_DAY + storm
    }

    /// What sinks in each hour, given what sinks of a rain: of a day before, and of the storm so far.
    fn sink_m3(&self, of_day: &dyn Fn(f64) -> f64, of_storm: &dyn Fn(f64) -> f64) -> Vec<f64> {
        let mut sinks_m3 = Vec::with_capacity(self.steps());
        for rain_mm in self.rainfall.before_mm {
            let in_step_m3 = of_day(mm_to_m(*rain_mm)) / STEPS_A_DAY as f64;
            sinks_m3.extend([in_step_m3; STEPS_A_DAY]);
        }
        let mut before_m3 = 0.0;
        for step in 0..self.steps() - sinks_m3.len() {
            let so_far_m3 = of_storm(self.rainfall.storm.fallen_m((step + 1) as f64 * STEP_S));
            sinks_m3.push(so_far_m3 - before_m3);
            before_m3 = so_far_m3;
        }
        sinks_m3
    }
}

/// What a rain makes sink, m³ of its depth, m.
type SinksOf<'a> = &'a dyn Fn(f64) -> f64;

/// What sinks above the seeps in one member.
pub(super) struct Sinks<'a> {
    pub sources: &'a [Source],
    pub draw: &'a Draw,
    /// Length of the steps in which what sinks and what comes out are counted.
    pub step_s: f64,
    /// What sinks in each step, given what sinks of the rain of a day, and of the storm so far.
    pub by_rain: &'a dyn Fn(SinksOf, SinksOf) -> Vec<f64>,
}

impl Sinks<'_> {
    /// What a seep gives above its steady flow in each step; none where it answers no rain.
    pub(super) fn above_steady_m3(&self, seep: &Source) -> Option<Vec<f64>> {
        self.above_m3(seep, self.sources.len())
    }

    /// Seeps feed each other in no circle, so `deep` is never used up.
    fn above_m3(&self, seep: &Source, deep: usize) -> Option<Vec<f64>> {
        let (rises, deeper) = seep.rises.as_ref().zip(deep.checked_sub(1))?;
        let share = self.draw.seep_share(rises.share_frac);
        let sinks_m3: Vec<f64> = self.sinks_m3(rises, deeper).iter().map(|m3| share * m3).collect();
        let recession = Recession { half_s: DAY_S * rises.halves_in_days, delay_s: DAY_S * rises.delay_days };
        Some(recession.released_m3(&sinks_m3, self.step_s))
    }

    fn sinks_m3(&self, rises: &Rises, deep: usize) -> Vec<f64> {
        let feeder = rises.fed_by.as_ref().and_then(|name| self.sources.iter().find(|s| s.name == *name));
        let Some(source) = feeder else {
            let area_m2 = rises.area_m2.unwrap_or(0.0);
            return self.of_all(&|rain_m| area_m2 * rain_m);
        };
        let area_m2 = supply::area_m2(source).unwrap_or(0.0);
        match source.kind {
            SourceKind::Hillside => {
                let kept = |number: Option<water::runoff::CurveNumber>| {
                    move |rain_m: f64| area_m2 * (rain_m - number.map_or(0.0, |n| n.runoff_m(rain_m)))
                };
                let range = source.curve_number;
                let before = range.and_then(|range| self.draw.usual_curve_number(range));
                let in_storm = range.and_then(|range| self.draw.curve_number(range));
                (self.by_rain)(&kept(before), &kept(in_storm))
            }
            SourceKind::HardSurface => {
                let wetting_m = mm_to_m(supply::first_wetting_mm(source));
                let left_m2 = source.left_frac() * area_m2;
                self.of_all(&|rain_m| left_m2 * hard_surface_runoff_m(rain_m, wetting_m))
            }
            SourceKind::Seep => {
                let above_m3 = self.above_m3(source, deep).unwrap_or_else(|| self.of_all(&|_| 0.0));
                above_m3.iter().map(|m3| source.left_frac() * m3).collect()
            }
        }
    }

    /// The same of the storm as of the days.
    fn of_all(&self, of_rain: SinksOf) -> Vec<f64> {
        (self.by_rain)(of_rain, of_rain)
    }
}
