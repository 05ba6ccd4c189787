//! Water that arrives along every metre of every line.
//!
//! Hillside: the ground that drains to each metre, less what the full line itself covers, sheds by its curve number;
//! what has run off so far follows the rain so far, and comes down as the humps of the unit hydrograph
//! ([`water::runoff::Catchment`]). Time of concentration by the lag equation (NEH 630 ch. 15, eq. 15-4b) with the
//! length of the strip above the line, each metre weighed by its ground, and the slope at the pegs; at least 0.1 h
//! (TR-55 p. 3-3). The whole line answers as one in time, metre by metre in volume.
//! Hard surface: area × (rain − first wetting), at once. The line's own trench: all the rain on it, at once. Seep: its
//! flow throughout.
//!
//! Rain on the ground = lost on the way + arrived. Leaves out: ground between the lines that a full line's spill
//! wets, and what the storm adds to a seep.

use quantity::convert::{h_to_s, l_to_m3, mm_to_m};
use site::{Source, SourceKind};
use water::chain::Inflow;
use water::rain::Storm;
use water::runoff::{
    Catchment, CurveNumber, SHORTEST_CONCENTRATION_H, hard_surface_runoff_m, lag_concentration_s,
};

use super::build::{Works, WorksLine};
use super::draw::Draw;
use super::{RainTestError, followed_s};
use crate::sizes::supply;

/// Steps in which what arrives is counted: a third of the shortest time of concentration.
const STEP_S: f64 = 120.0;
/// Longer storms take longer steps, so that there are about so many.
const STEPS: f64 = 1000.0;
/// Ground flatter than this counts as this steep: the lag equation has no flat ground. Assumed.
const LEAST_SLOPE: f64 = 0.005;

/// Length of the steps for a storm.
pub(super) fn step_s(storm: &Storm) -> f64 {
    STEP_S.max(storm.duration_s() / STEPS)
}

/// What sheds to one line, the same for every member.
#[derive(Debug, Clone)]
pub(super) struct Feeds<'a> {
    /// Each piece's share of the hillside; together 1, or empty where there is none.
    shares: Vec<f64>,
    hillside_m2: f64,
    hillside: Option<&'a Source>,
    strip_m: f64,
    slope: f64,
    /// Area, first wetting and place.
    hard: Vec<(f64, f64, Option<f64>)>,
    seeps: Vec<&'a Source>,
    catches_m2: Vec<f64>,
}

impl<'a> Feeds<'a> {
    /// What sheds to a line.
    pub(super) fn of(works: &Works<'a>, line: &WorksLine<'a>) -> Result<Feeds<'a>, RainTestError> {
        let plan = &works.site.plan;
        let into = |source: &&Source| source.into.as_deref() == Some(line.line.name.as_str());
        let hillside = supply::hillside(plan, line.line, line.laid);
        let written_m2 =
            line.line.catchment_m2.or_else(|| supply::area_m2(hillside.filter(|source| into(source))?));
        let catches_m2: Vec<f64> = line.pieces.iter().map(super::build::Piece::catches_m2).collect();
        let mut land_m2 = land_of_pieces(line, &catches_m2);
        if let Some(written_m2) = written_m2 {
            rescale(&mut land_m2, written_m2, line);
        }
        let hillside_m2: f64 = land_m2.iter().sum();
        if hillside_m2 > 0.0 && hillside.and_then(|source| source.curve_number).is_none() {
            return Err(RainTestError::NoCurveNumber { line: line.line.name.clone() });
        }
        let per_m = land_m2.iter().zip(&line.pieces).map(|(m2, piece)| m2 * m2 / piece.length_m());
        let strip_m = if hillside_m2 > 0.0 { per_m.sum::<f64>() / hillside_m2 } else { 0.0 };
        let kind = |kind: SourceKind| plan.sources.iter().filter(into).filter(move |s| s.kind == kind);
        Ok(Feeds {
            shares: land_m2.iter().map(|m2| m2 / hillside_m2).collect(),
            hillside_m2,
            hillside,
            strip_m,
            slope: mean_slope(line),
            hard: kind(SourceKind::HardSurface)
                .filter_map(|source| {
                    let wetting_mm = source.first_wetting_mm.unwrap_or(supply::USUAL_FIRST_WETTING_MM);
                    Some((supply::area_m2(source)?, mm_to_m(wetting_mm), source.at_m))
                })
                .collect(),
            seeps: kind(SourceKind::Seep).collect(),
            catches_m2,
        })
    }

    fn number(&self, draw: &Draw) -> Option<CurveNumber> {
        draw.curve_number(self.hillside?.curve_number?)
    }

    /// Ground that rain falls on: hillside, hard surfaces, the line itself.
    #[cfg(test)]
    pub(super) fn ground_m2(&self) -> f64 {
        let hard_m2: f64 = self.hard.iter().map(|(area_m2, ..)| area_m2).sum();
        self.hillside_m2 + hard_m2 + self.catches_m2.iter().sum::<f64>()
    }

    /// What stays on the hillside and the hard surfaces of a storm.
    #[cfg(test)]
    pub(super) fn lost_m3(&self, storm: &Storm, draw: &Draw) -> f64 {
        let rain_m = storm.total_m();
        let kept_m = self.number(draw).map_or(0.0, |number| rain_m - number.runoff_m(rain_m));
        let hard = self
            .hard
            .iter()
            .map(|(m2, wetting_m, _)| m2 * (rain_m - hard_surface_runoff_m(rain_m, *wetting_m)));
        self.hillside_m2 * kept_m + hard.sum::<f64>()
    }

    /// What arrives at the line in one member.
    pub(super) fn inflows(
        &self,
        index: usize,
        line: &WorksLine,
        storm: &Storm,
        draw: &Draw,
    ) -> Result<Vec<Inflow>, RainTestError> {
        let step_s = step_s(storm);
        let mut inflows = Vec::new();
        if let Some(number) = self.number(draw).filter(|_| self.hillside_m2 > 0.0) {
            let catchment = self.catchment(self.hillside_m2, self.strip_m, number);
            inflows.push(Inflow {
                line: index,
                shares: self.shares.clone(),
                step_s,
                flow_m3_s: catchment.hydrograph_m3_s(storm, step_s)?,
            });
        }
        for (area_m2, wetting_m, at_m) in &self.hard {
            let runoff = |rain_m: f64| area_m2 * hard_surface_runoff_m(rain_m, *wetting_m);
            inflows.push(Inflow {
                line: index,
                shares: shares_at(line, *at_m),
                step_s,
                flow_m3_s: at_once_m3_s(storm, step_s, runoff),
            });
        }
        let catches_m2: f64 = self.catches_m2.iter().sum();
        inflows.push(Inflow {
            line: index,
            shares: self.catches_m2.iter().map(|m2| m2 / catches_m2).collect(),
            step_s,
            flow_m3_s: at_once_m3_s(storm, step_s, |rain_m| catches_m2 * rain_m),
        });
        for source in &self.seeps {
            let flow_l_min = source.flow_l_min.map_or(0.0, |range| draw.seep_l_min(range));
            inflows.push(Inflow {
                line: index,
                shares: shares_at(line, source.at_m),
                step_s: followed_s(storm),
                flow_m3_s: vec![l_to_m3(flow_l_min) / 60.0],
            });
        }
        Ok(inflows)
    }

    fn catchment(&self, area_m2: f64, strip_m: f64, number: CurveNumber) -> Catchment {
        let lag_s = lag_concentration_s(strip_m, self.slope, number);
        let least_s = h_to_s(SHORTEST_CONCENTRATION_H);
        Catchment { area_m2, number, concentration_s: if lag_s > least_s { lag_s } else { least_s } }
    }

    /// The flow that the same ground would bring to the lowest edge without the works, from a strip `strip_m` long:
    /// the trench counts as hillside.
    pub(super) fn without_works_m3_s(
        &self,
        storm: &Storm,
        draw: &Draw,
        strip_m: f64,
    ) -> Result<Vec<f64>, RainTestError> {
        let step_s = step_s(storm);
        let mut flow_m3_s = Vec::new();
        let area_m2 = self.hillside_m2 + self.catches_m2.iter().sum::<f64>();
        if let Some(number) = self.number(draw) {
            add(&mut flow_m3_s, &self.catchment(area_m2, strip_m, number).hydrograph_m3_s(storm, step_s)?);
        }
        for (area_m2, wetting_m, _) in &self.hard {
            let runoff = |rain_m: f64| area_m2 * hard_surface_runoff_m(rain_m, *wetting_m);
            add(&mut flow_m3_s, &at_once_m3_s(storm, step_s, runoff));
        }
        let seeps_l_min: f64 =
            self.seeps.iter().filter_map(|source| Some(draw.seep_l_min(source.flow_l_min?))).sum();
        for flow in &mut flow_m3_s {
            *flow += l_to_m3(seeps_l_min) / 60.0;
        }
        Ok(flow_m3_s)
    }

    /// Length of the strip above the line.
    pub(super) fn strip_m(&self) -> f64 {
        self.strip_m
    }
}

/// Adds one flow in time to another.
pub(super) fn add(sum_m3_s: &mut Vec<f64>, more_m3_s: &[f64]) {
    if sum_m3_s.len() < more_m3_s.len() {
        sum_m3_s.resize(more_m3_s.len(), 0.0);
    }
    for (sum, more) in sum_m3_s.iter_mut().zip(more_m3_s) {
        *sum += more;
    }
}

/// Mean flow in each step of what runs off without delay.
fn at_once_m3_s(storm: &Storm, step_s: f64, runoff_m3: impl Fn(f64) -> f64) -> Vec<f64> {
    let steps = (storm.duration_s() / step_s).ceil() as usize;
    let mut before_m3 = 0.0;
    let mut flow = |step: usize| {
        let so_far_m3 = runoff_m3(storm.fallen_m((step + 1) as f64 * step_s));
        let in_step_m3 = so_far_m3 - before_m3;
        before_m3 = so_far_m3;
        in_step_m3 / step_s
    };
    (0..steps).map(&mut flow).collect()
}

/// Ground that drains to each piece, less what the full line covers of its own cells.
fn land_of_pieces(line: &WorksLine, catches_m2: &[f64]) -> Vec<f64> {
    let mut land_m2 = vec![0.0; line.pieces.len()];
    let mut own_m2 = 0.0;
    for arrives in &line.laid.arrives {
        own_m2 += arrives.own_m2;
        let beside_m2 = arrives.uphill_m2 + arrives.downhill_m2;
        land_m2[line.piece_at(0.5 * (arrives.from_m + arrives.to_m))] += beside_m2;
    }
    let bare_m2 = own_m2 - catches_m2.iter().sum::<f64>();
    if bare_m2 > 0.0 {
        let length_m: f64 = line.pieces.iter().map(super::build::Piece::length_m).sum();
        for (land_m2, piece) in land_m2.iter_mut().zip(&line.pieces) {
            *land_m2 += bare_m2 * piece.length_m() / length_m;
        }
    }
    land_m2
}

/// The area that is written counts: spread as the ground is, or evenly where nothing is known of it.
fn rescale(land_m2: &mut [f64], written_m2: f64, line: &WorksLine) {
    let known_m2: f64 = land_m2.iter().sum();
    let length_m: f64 = line.pieces.iter().map(super::build::Piece::length_m).sum();
    for (land_m2, piece) in land_m2.iter_mut().zip(&line.pieces) {
        let share = if known_m2 > 0.0 { *land_m2 / known_m2 } else { piece.length_m() / length_m };
        *land_m2 = written_m2 * share;
    }
}

/// All at one piece, or spread by length.
fn shares_at(line: &WorksLine, at_m: Option<f64>) -> Vec<f64> {
    let length_m: f64 = line.pieces.iter().map(super::build::Piece::length_m).sum();
    let mut shares: Vec<f64> = line.pieces.iter().map(|piece| piece.length_m() / length_m).collect();
    if let Some(at_m) = at_m {
        shares.fill(0.0);
        shares[line.piece_at(at_m)] = 1.0;
    }
    shares
}

fn mean_slope(line: &WorksLine) -> f64 {
    let slopes: Vec<f64> = line.laid.pegs.iter().filter_map(|peg| peg.cross_slope).collect();
    let mean = slopes.iter().sum::<f64>() / slopes.len().max(1) as f64;
    if mean > LEAST_SLOPE { mean } else { LEAST_SLOPE }
}
