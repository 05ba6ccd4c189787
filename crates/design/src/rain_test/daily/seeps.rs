//! What seeps give day by day: their steady flow, and above it what past rain wakes.
//!
//! As in the rain test, in steps of a day: a share of what sinks above comes out after a delay and falls off by halves
//! ([`water::seep`]). A year like the first lies before the first day. A seep that is not told to answer rain gives its
//! flow in the wet months and none in the others, as its key has it.

use quantity::convert::{l_to_m3, mm_to_m};
use site::{Rises, Source, SourceKind};
use water::runoff::hard_surface_runoff_m;
use water::seep::Recession;

use super::DayOfRain;
use crate::rain_test::draw::Draw;
use crate::sizes::supply;

/// Minutes and seconds of a day, and days of the year before.
const DAY_MIN: f64 = 1440.0;
const DAY_S: f64 = 86_400.0;
const RUN_IN_DAYS: usize = 365;

/// Of each source that is a seep, m³ of each day; empty for the others.
pub(super) fn daily_m3(sources: &[Source], days: &[DayOfRain], draw: &Draw) -> Vec<Vec<f64>> {
    let run_in = RUN_IN_DAYS.min(days.len());
    let rain_m: Vec<f64> = days[..run_in].iter().chain(days).map(|day| mm_to_m(day.rain_mm)).collect();
    let sinks = Sinks { sources, rain_m: &rain_m, draw };
    let flow = |source: &Source| {
        if source.kind != SourceKind::Seep {
            return Vec::new();
        }
        let steady_m3 = DAY_MIN * l_to_m3(source.flow_l_min.map_or(0.0, |range| draw.seep_l_min(range)));
        match sinks.above_steady_m3(source, sources.len()) {
            None => days.iter().map(|day| if day.wet_month { steady_m3 } else { 0.0 }).collect(),
            Some(above_m3) => above_m3[run_in..].iter().map(|m3| steady_m3 + m3).collect(),
        }
    };
    sources.iter().map(flow).collect()
}

struct Sinks<'a> {
    sources: &'a [Source],
    rain_m: &'a [f64],
    draw: &'a Draw,
}

impl Sinks<'_> {
    /// What a seep gives above its steady flow; none where it does not rise. Seeps feed each other in no circle, so
    /// `deep` is never used up.
    fn above_steady_m3(&self, seep: &Source, deep: usize) -> Option<Vec<f64>> {
        let (rises, deeper) = seep.rises.as_ref().zip(deep.checked_sub(1))?;
        let share = self.draw.seep_share(rises.share_frac);
        let sinks_m3: Vec<f64> = self.sinks_m3(rises, deeper).iter().map(|m3| share * m3).collect();
        let recession = Recession { half_s: DAY_S * rises.halves_in_days, delay_s: DAY_S * rises.delay_days };
        Some(recession.released_m3(&sinks_m3, DAY_S))
    }

    fn sinks_m3(&self, rises: &Rises, deep: usize) -> Vec<f64> {
        let feeder = rises.fed_by.as_ref().and_then(|name| self.sources.iter().find(|s| s.name == *name));
        let Some(source) = feeder else {
            let area_m2 = rises.area_m2.unwrap_or(0.0);
            return self.rain_m.iter().map(|rain_m| area_m2 * rain_m).collect();
        };
        let area_m2 = supply::area_m2(source).unwrap_or(0.0);
        match source.kind {
            SourceKind::Hillside => {
                let number = source.curve_number.and_then(|range| self.draw.usual_curve_number(range));
                let kept = |rain_m: &f64| area_m2 * (rain_m - number.map_or(0.0, |n| n.runoff_m(*rain_m)));
                self.rain_m.iter().map(kept).collect()
            }
            SourceKind::HardSurface => {
                let wetting_m = mm_to_m(supply::first_wetting_mm(source));
                let left_m2 = source.left_frac() * area_m2;
                self.rain_m.iter().map(|rain_m| left_m2 * hard_surface_runoff_m(*rain_m, wetting_m)).collect()
            }
            SourceKind::Seep => {
                let above_m3 = self.above_steady_m3(source, deep);
                above_m3.map_or_else(
                    || vec![0.0; self.rain_m.len()],
                    |above_m3| above_m3.iter().map(|m3| source.left_frac() * m3).collect(),
                )
            }
        }
    }
}
