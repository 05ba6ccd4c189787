//! What seeps give day by day: their steady flow, and above it what past rain wakes.
//!
//! As in the rain test, in steps of a day: a share of what sinks above comes out after a delay and falls off by halves
//! ([`water::seep`]). A year like the first lies before the first day. A seep that is not told to answer rain gives its
//! flow in the wet months and none in the others, as its key has it.

use quantity::convert::mm_to_m;
use site::{Source, SourceKind};

use super::DayOfRain;
use crate::rain_test::draw::Draw;
use crate::rain_test::seeps::{Sinks, steady_m3_s};

/// Seconds of a day, and days of the year before.
const DAY_S: f64 = 86_400.0;
const RUN_IN_DAYS: usize = 365;

/// Of each source that is a seep, m³ of each day; empty for the others.
pub(super) fn daily_m3(sources: &[Source], days: &[DayOfRain], draw: &Draw) -> Vec<Vec<f64>> {
    let run_in = RUN_IN_DAYS.min(days.len());
    let rain_m: Vec<f64> = days[..run_in].iter().chain(days).map(|day| mm_to_m(day.rain_mm)).collect();
    let by_day =
        |of_day: &dyn Fn(f64) -> f64, _: &dyn Fn(f64) -> f64| rain_m.iter().map(|m| of_day(*m)).collect();
    let sinks = Sinks { sources, draw, step_s: DAY_S, by_rain: &by_day };
    let flow = |source: &Source| {
        if source.kind != SourceKind::Seep {
            return Vec::new();
        }
        let steady_m3 = DAY_S * steady_m3_s(source, draw);
        match sinks.above_steady_m3(source) {
            None => days.iter().map(|day| if day.wet_month { steady_m3 } else { 0.0 }).collect(),
            Some(above_m3) => above_m3[run_in..].iter().map(|m3| steady_m3 + m3).collect(),
        }
    };
    sources.iter().map(flow).collect()
}
