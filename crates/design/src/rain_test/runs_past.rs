//! Water of the sources that no line picks up: it runs past the works and leaves, and is counted.
//!
//! A source whose lines pick up less than the whole leaves the rest on the ground, unless a seep is fed by it: then it
//! sinks. A hillside's rest comes down as fast as water ever does, in the shortest time of concentration (0.1 h, TR-55
//! p. 3-3): on the high side for the peak. Leaves out: lines further down that the rest may run into.

use quantity::convert::{h_to_s, mm_to_m};
use site::{Plan, Source, SourceKind};
use water::runoff::{Catchment, SHORTEST_CONCENTRATION_H, hard_surface_runoff_m};

use super::arrive::{Falling, add, at_once_m3_s};
use super::{RainTestError, followed_s};
use crate::sizes::supply;

/// What runs past, in steps of this length.
pub(super) fn runs_past_m3_s(plan: &Plan, falling: &Falling, step_s: f64) -> Result<Vec<f64>, RainTestError> {
    let mut flow_m3_s = Vec::new();
    for source in plan.sources.iter().filter(|source| source.left_frac() > 0.0 && !sinks(plan, source)) {
        add(&mut flow_m3_s, &rest_m3_s(source, falling, step_s)?);
    }
    Ok(flow_m3_s)
}

/// Whether a seep is fed by what is left of a source.
fn sinks(plan: &Plan, source: &Source) -> bool {
    let fed_by = plan.sources.iter().filter_map(|seep| seep.rises.as_ref()?.fed_by.as_ref());
    fed_by.into_iter().any(|name| *name == source.name)
}

fn rest_m3_s(source: &Source, falling: &Falling, step_s: f64) -> Result<Vec<f64>, RainTestError> {
    let rest_m2 = source.left_frac() * supply::area_m2(source).unwrap_or(0.0);
    Ok(match source.kind {
        SourceKind::Hillside => {
            let range = source.curve_number;
            let Some(number) = range.and_then(|range| falling.draw.curve_number(range)) else {
                return Ok(Vec::new());
            };
            let concentration_s = h_to_s(SHORTEST_CONCENTRATION_H);
            let catchment = Catchment { area_m2: rest_m2, number, concentration_s };
            catchment.hydrograph_m3_s(falling.storm, step_s)?
        }
        SourceKind::HardSurface => {
            let wetting_m = mm_to_m(supply::first_wetting_mm(source));
            at_once_m3_s(falling.storm, step_s, |rain_m| rest_m2 * hard_surface_runoff_m(rain_m, wetting_m))
        }
        SourceKind::Seep => {
            let steps = (followed_s(falling.storm) / step_s).ceil() as usize;
            let all_m3_s = falling.seeps.in_steps_m3_s(source, step_s, steps);
            all_m3_s.into_iter().map(|flow| source.left_frac() * flow).collect()
        }
    })
}
