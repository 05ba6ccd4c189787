//! Water that arrives along every metre of every line.
//!
//! Hillside: the ground that drains to each metre, less what the full line itself covers, sheds by its curve number;
//! what has run off so far follows the rain so far, and comes down as the humps of the unit hydrograph
//! ([`water::runoff::Catchment`]). Time of concentration by the lag equation (NEH 630 ch. 15, eq. 15-4b) with the
//! length of the strip above the line, each metre weighed by its ground, and the slope at the pegs; at least 0.1 h
//! (TR-55 p. 3-3). Each hillside answers as one in time, metre by metre in volume.
//! Hard surface: area × (rain − first wetting), at once. The line's own trench: all the rain on it, at once. Seep: its
//! steady flow and what past rain and the storm wake (`seeps`).
//!
//! Rain on the ground = lost on the way + arrived. Leaves out: ground between the lines that a full line's spill wets.

use quantity::Estimate;
use quantity::convert::{h_to_s, mm_to_m};
use site::{Source, SourceKind};
use water::chain::Inflow;
use water::rain::Storm;
use water::runoff::{
    Catchment, CurveNumber, SHORTEST_CONCENTRATION_H, hard_surface_runoff_m, lag_concentration_s,
};

use super::RainTestError;
use super::build::{Works, WorksLine};
use super::draw::Draw;
use super::seeps::SeepFlows;
use crate::sizes::land::{self, Stretch};
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

/// What falls in one member, and what its seeps give.
pub(super) struct Falling<'a> {
    pub storm: &'a Storm,
    pub draw: &'a Draw,
    pub seeps: &'a SeepFlows,
}

/// A hillside above a line.
#[derive(Debug, Clone)]
struct Hillside<'a> {
    source: &'a Source,
    curve_number: Estimate,
    area_m2: f64,
    /// Each piece's share of it; together 1.
    shares: Vec<f64>,
}

/// A source that a line picks up.
#[derive(Debug, Clone, Copy)]
pub(super) struct Picked<'a> {
    pub source: &'a Source,
    pub at_m: Option<f64>,
    pub share_frac: f64,
}

/// What sheds to one line, the same for every member.
#[derive(Debug, Clone)]
pub(super) struct Feeds<'a> {
    hillsides: Vec<Hillside<'a>>,
    /// The one that rules the ground of the line itself; there even where none of it lies above the line.
    ruling: Option<&'a Source>,
    strip_m: f64,
    slope: f64,
    hard: Vec<Picked<'a>>,
    seeps: Vec<Picked<'a>>,
    catches_m2: Vec<f64>,
}

impl<'a> Feeds<'a> {
    /// What sheds to a line.
    pub(super) fn of(works: &Works<'a>, line: &WorksLine<'a>) -> Result<Feeds<'a>, RainTestError> {
        let plan = &works.site.plan;
        let catches_m2: Vec<f64> = line.pieces.iter().map(super::build::Piece::catches_m2).collect();
        let sheds = land::sheds(plan, line.line, line.laid, &stretches(line, &catches_m2));
        let mut hillsides = Vec::new();
        for shed in &sheds {
            let known = shed.source.and_then(|source| Some((source, source.curve_number?)));
            let Some((source, curve_number)) = known else {
                return Err(RainTestError::NoCurveNumber { line: line.line.name.clone() });
            };
            let area_m2 = shed.whole_m2();
            let shares = shed.land_m2.iter().map(|m2| m2 / area_m2).collect();
            hillsides.push(Hillside { source, curve_number, area_m2, shares });
        }
        let kind = |kind: SourceKind| {
            let sources = plan.sources.iter().filter(move |source| source.kind == kind);
            let picked = sources.flat_map(|source| {
                source.picked_up_by(&line.line.name).map(move |picked| Picked {
                    source,
                    at_m: picked.at_m,
                    share_frac: picked.share_frac,
                })
            });
            picked.collect()
        };
        let largest = |a: Hillside<'a>, b: Hillside<'a>| if b.area_m2 > a.area_m2 { b } else { a };
        Ok(Feeds {
            ruling: hillsides.iter().cloned().reduce(largest).map(|hillside| hillside.source),
            strip_m: strip_m(line, &sheds),
            hillsides,
            slope: mean_slope(line),
            hard: kind(SourceKind::HardSurface),
            seeps: kind(SourceKind::Seep),
            catches_m2,
        })
    }

    /// The hillsides above it: area and curve number.
    pub(super) fn hillsides(&self) -> impl Iterator<Item = (f64, Estimate)> {
        self.hillsides.iter().map(|hillside| (hillside.area_m2, hillside.curve_number))
    }

    /// Each piece's share of a hillside.
    pub(super) fn hillside_shares(&self, hillside: usize) -> &[f64] {
        &self.hillsides[hillside].shares
    }

    /// The hard surfaces it picks up.
    pub(super) fn hard_surfaces(&self) -> &[Picked<'a>] {
        &self.hard
    }

    /// The seeps it picks up.
    pub(super) fn seeps(&self) -> &[Picked<'a>] {
        &self.seeps
    }

    /// What each piece catches itself.
    pub(super) fn catches_m2(&self) -> &[f64] {
        &self.catches_m2
    }

    /// Ground that rain falls on: hillside, hard surfaces, the line itself.
    #[cfg(test)]
    pub(super) fn ground_m2(&self) -> f64 {
        let hard_m2: f64 = self.hard.iter().map(Picked::area_m2).sum();
        let hillside_m2: f64 = self.hillsides.iter().map(|hillside| hillside.area_m2).sum();
        hillside_m2 + hard_m2 + self.catches_m2.iter().sum::<f64>()
    }

    /// What stays on the hillside and the hard surfaces of a storm.
    #[cfg(test)]
    pub(super) fn lost_m3(&self, storm: &Storm, draw: &Draw) -> f64 {
        let rain_m = storm.total_m();
        let kept_m3 = |hillside: &Hillside| {
            let number = draw.curve_number(hillside.curve_number).expect("a curve number in its range");
            hillside.area_m2 * (rain_m - number.runoff_m(rain_m))
        };
        let hard_m3 = |hard: &Picked| hard.area_m2() * rain_m - hard.runoff_m3(rain_m);
        self.hillsides.iter().map(kept_m3).sum::<f64>() + self.hard.iter().map(hard_m3).sum::<f64>()
    }

    /// What arrives at the line in one member.
    pub(super) fn inflows(
        &self,
        index: usize,
        line: &WorksLine,
        falling: &Falling,
    ) -> Result<Vec<Inflow>, RainTestError> {
        let storm = falling.storm;
        let step_s = step_s(storm);
        let mut inflows = Vec::new();
        for hillside in &self.hillsides {
            if let Some(number) = falling.draw.curve_number(hillside.curve_number) {
                let catchment = self.catchment(hillside.area_m2, self.strip_m, number);
                inflows.push(Inflow {
                    line: index,
                    shares: hillside.shares.clone(),
                    step_s,
                    flow_m3_s: catchment.hydrograph_m3_s(storm, step_s)?,
                });
            }
        }
        for hard in &self.hard {
            inflows.push(Inflow {
                line: index,
                shares: shares_at(line, hard.at_m),
                step_s,
                flow_m3_s: at_once_m3_s(storm, step_s, |rain_m| hard.runoff_m3(rain_m)),
            });
        }
        let catches_m2: f64 = self.catches_m2.iter().sum();
        inflows.push(Inflow {
            line: index,
            shares: self.catches_m2.iter().map(|m2| m2 / catches_m2).collect(),
            step_s,
            flow_m3_s: at_once_m3_s(storm, step_s, |rain_m| catches_m2 * rain_m),
        });
        for seep in &self.seeps {
            let flow_m3_s = falling.seeps.flow_m3_s(seep.source).iter().map(|flow| seep.share_frac * flow);
            inflows.push(Inflow {
                line: index,
                shares: shares_at(line, seep.at_m),
                step_s: SeepFlows::step_s(),
                flow_m3_s: flow_m3_s.collect(),
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
    /// the trench counts as the hillside that most of its water comes from.
    pub(super) fn without_works_m3_s(
        &self,
        falling: &Falling,
        strip_m: f64,
    ) -> Result<Vec<f64>, RainTestError> {
        let step_s = step_s(falling.storm);
        let mut flow_m3_s = Vec::new();
        for hillside in &self.hillsides {
            let rules = self.ruling.is_some_and(|ruling| ruling.name == hillside.source.name);
            let trench_m2 = if rules { self.catches_m2.iter().sum() } else { 0.0 };
            if let Some(number) = falling.draw.curve_number(hillside.curve_number) {
                let catchment = self.catchment(hillside.area_m2 + trench_m2, strip_m, number);
                add(&mut flow_m3_s, &catchment.hydrograph_m3_s(falling.storm, step_s)?);
            }
        }
        for hard in &self.hard {
            add(&mut flow_m3_s, &at_once_m3_s(falling.storm, step_s, |rain_m| hard.runoff_m3(rain_m)));
        }
        for seep in &self.seeps {
            let steps = flow_m3_s.len();
            let all_m3_s = falling.seeps.in_steps_m3_s(seep.source, step_s, steps);
            let picked_m3_s: Vec<f64> = all_m3_s.iter().map(|flow| seep.share_frac * flow).collect();
            add(&mut flow_m3_s, &picked_m3_s);
        }
        Ok(flow_m3_s)
    }

    /// Length of the strip above the line.
    pub(super) fn strip_m(&self) -> f64 {
        self.strip_m
    }
}

impl Picked<'_> {
    /// The area of a hard surface that this line has the water of.
    fn area_m2(&self) -> f64 {
        self.share_frac * supply::area_m2(self.source).unwrap_or(0.0)
    }

    pub(super) fn runoff_m3(&self, rain_m: f64) -> f64 {
        let wetting_m = mm_to_m(supply::first_wetting_mm(self.source));
        self.area_m2() * hard_surface_runoff_m(rain_m, wetting_m)
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
pub(super) fn at_once_m3_s(storm: &Storm, step_s: f64, runoff_m3: impl Fn(f64) -> f64) -> Vec<f64> {
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

/// Length of the strip of ground above the line, each metre weighed by its ground: what arrives at one place counts as
/// spread over the line.
fn strip_m(line: &WorksLine, sheds: &[land::Shed]) -> f64 {
    let whole_m2: f64 = sheds.iter().map(land::Shed::whole_m2).sum();
    let of_piece_m2 = |i: usize| sheds.iter().map(|shed| shed.land_m2[i]).sum::<f64>();
    let weighed = |(i, piece): (usize, &super::build::Piece)| {
        let m2 = of_piece_m2(i);
        m2 * m2 / piece.length_m()
    };
    if whole_m2 > 0.0 { line.pieces.iter().enumerate().map(weighed).sum::<f64>() / whole_m2 } else { 0.0 }
}

/// Ground that drains to each piece, less what the full line covers of its own cells.
fn stretches(line: &WorksLine, catches_m2: &[f64]) -> Vec<Stretch> {
    let stretch = |piece: &super::build::Piece| Stretch {
        at_m: piece.middle_m(),
        length_m: piece.length_m(),
        land_m2: 0.0,
    };
    let mut stretches: Vec<Stretch> = line.pieces.iter().map(stretch).collect();
    let mut own_m2 = 0.0;
    for arrives in &line.laid.arrives {
        own_m2 += arrives.own_m2;
        let beside_m2 = arrives.uphill_m2 + arrives.downhill_m2;
        stretches[line.piece_at(0.5 * (arrives.from_m + arrives.to_m))].land_m2 += beside_m2;
    }
    let bare_m2 = own_m2 - catches_m2.iter().sum::<f64>();
    if bare_m2 > 0.0 {
        let length_m: f64 = stretches.iter().map(|stretch| stretch.length_m).sum();
        for stretch in &mut stretches {
            stretch.land_m2 += bare_m2 * stretch.length_m / length_m;
        }
    }
    stretches
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
