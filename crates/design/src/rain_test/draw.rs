//! One member of the ensemble: a draw of what is not known well.
//!
//! Soak rate: one for each soil, triangular between its low and high on a logarithmic scale, because soils differ by
//! factors. Runoff: one share for all hillsides, triangular over each one's curve numbers. Seep: triangular over its
//! flow and its share of past rain, with one draw for both. Levels: at every step of the tool a normal error is added to the one before (σ·√n after n steps) and the
//! tool's own fault, its sign drawn once for the site: carried it adds up, pivoted it shows at odd steps. A line whose
//! levels were taken as dug is not moved.
//!
//! Ends of a range are taken as ends, which they are not quite: what nobody thought of lies outside. Guesses are drawn
//! independently. Leaves out: how evenly the bank is built between the pegs.

use ground::tool::{Tool, Walked};
use quantity::Estimate;
use quantity::convert::mm_h_to_m_s;
use site::Soil;
use water::chain::Soak;
use water::runoff::{CurveNumber, Wetness};
use water::soak::GreenAmpt;

use super::build::{Works, WorksLine};
use super::chance::{Chance, triangular};
use crate::{soil, tool};

/// Share of the pores that are full before the storm. Assumed, no source: the classes of wetness are words.
const FULL_WHEN_DRY: f64 = 0.2;
/// The same for ground as wet as usual.
const FULL_USUALLY: f64 = 0.5;
/// The same for wet ground.
const FULL_WHEN_WET: f64 = 0.8;
/// The share of a draw at which a range gives its likely value, by sign: no share does for every range.
const LIKELY: f64 = -1.0;

/// One member.
#[derive(Debug, Clone)]
pub(super) struct Draw {
    /// Shares of the draws; [`LIKELY`] for the likely value.
    soak_u: Vec<(String, f64)>,
    pub(super) runoff_u: f64,
    pub(super) seep_u: f64,
    /// Errors of height of each piece of each line.
    shifts_m: Vec<Vec<f64>>,
    wetness: Wetness,
}

impl Draw {
    /// The plan as drawn, with every likely value.
    pub(super) fn likely(works: &Works, wetness: Wetness) -> Draw {
        Draw {
            soak_u: works.site.plan.soils.iter().map(|soil| (soil.name.clone(), LIKELY)).collect(),
            runoff_u: LIKELY,
            seep_u: LIKELY,
            shifts_m: works.lines.iter().map(|line| vec![0.0; line.pieces.len()]).collect(),
            wetness,
        }
    }

    /// A member: number 0 is the plan as drawn.
    pub(super) fn of_member(works: &Works, wetness: Wetness, seed: u64, member: usize) -> Draw {
        if member == 0 {
            return Draw::likely(works, wetness);
        }
        let mut chance = Chance::of_member(seed, member);
        let soils = works.site.plan.soils.iter();
        let soak_u = soils.map(|soil| (soil.name.clone(), chance.uniform())).collect();
        let (runoff_u, seep_u) = (chance.uniform(), chance.uniform());
        let fault_sign = if chance.uniform() < 0.5 { -1.0 } else { 1.0 };
        let tool = tool::in_hand(&works.site.plan.tool);
        let shifts_m =
            works.lines.iter().map(|line| shifts_m(line, &tool, fault_sign, &mut chance)).collect();
        Draw { soak_u, runoff_u, seep_u, shifts_m, wetness }
    }

    pub(super) fn shift_m(&self, line: usize, piece: usize) -> f64 {
        self.shifts_m[line][piece]
    }

    /// The greatest difference of height error along any line: how far out of level the works are.
    pub(super) fn out_of_level_m(&self) -> f64 {
        let span = |shifts: &Vec<f64>| {
            let high = shifts.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            high - shifts.iter().copied().fold(f64::INFINITY, f64::min)
        };
        self.shifts_m.iter().map(span).fold(0.0, f64::max)
    }

    /// The share drawn for the soak rates: of several soils the mean.
    pub(super) fn mean_soak_u(&self) -> f64 {
        self.soak_u.iter().map(|(_, u)| u).sum::<f64>() / self.soak_u.len().max(1) as f64
    }

    /// How a soil soaks: this rate behind the wet front, suction and pores by texture, less the stones.
    pub(super) fn soak(&self, soil: &Soil, rate: Estimate) -> Soak {
        let u = self.soak_u.iter().find(|(name, _)| *name == soil.name).map_or(LIKELY, |(_, u)| *u);
        let rate_mm_h = if u == LIKELY || rate.low() <= 0.0 {
            of_range(rate, u)
        } else {
            let ln = |value: f64| libm::log(value);
            libm::exp(triangular(u, ln(rate.low()), ln(rate.likely()), ln(rate.high())))
        };
        let full = match self.wetness {
            Wetness::Dry => FULL_WHEN_DRY,
            Wetness::Usual => FULL_USUALLY,
            Wetness::Wet => FULL_WHEN_WET,
        };
        let texture = soil::texture(soil.texture).green_ampt(full);
        let stones_frac = soil.gravel_frac.map_or(0.0, quantity::Fraction::get);
        Soak::GreenAmpt(GreenAmpt {
            conductivity_m_s: mm_h_to_m_s(rate_mm_h),
            deficit_frac: texture.deficit_frac * (1.0 - stones_frac),
            ..texture
        })
    }

    /// The curve number of a hillside; none where its range is none.
    pub(super) fn curve_number(&self, range: Estimate) -> Option<CurveNumber> {
        Some(self.usual_curve_number(range)?.when(self.wetness))
    }

    /// The same on ground as wet as usual.
    pub(super) fn usual_curve_number(&self, range: Estimate) -> Option<CurveNumber> {
        CurveNumber::new(of_range(range, self.runoff_u)).ok()
    }

    pub(super) fn seep_l_min(&self, range: Estimate) -> f64 {
        of_range(range, self.seep_u)
    }

    /// The share of past rain that a seep gives: a wet seep is wet in both.
    pub(super) fn seep_share(&self, range: Estimate) -> f64 {
        of_range(range, self.seep_u)
    }
}

fn of_range(range: Estimate, u: f64) -> f64 {
    if u == LIKELY { range.likely() } else { triangular(u, range.low(), range.likely(), range.high()) }
}

/// Errors of height along a line, straight between the steps of the tool.
fn shifts_m(line: &WorksLine, tool: &Tool, fault_sign: f64, chance: &mut Chance) -> Vec<f64> {
    let steps = tool.steps_to(line.laid.length_m()) + 1;
    let mut at_steps_m = vec![0.0];
    let mut random_m = 0.0;
    for step in 1..=steps {
        random_m += tool.random_m * chance.normal();
        let fault_m = match tool.walked {
            Walked::Carried => tool.constant_m * step as f64,
            Walked::Pivoted if step % 2 == 1 => tool.constant_m,
            Walked::Pivoted => 0.0,
        };
        at_steps_m.push(random_m + fault_sign * fault_m);
    }
    if line.as_dug {
        return vec![0.0; line.pieces.len()];
    }
    let at = |piece: &super::build::Piece| {
        let along = piece.middle_m() / tool.step_m;
        let before = (along as usize).min(steps - 1);
        let share = along - before as f64;
        at_steps_m[before] + share * (at_steps_m[before + 1] - at_steps_m[before])
    };
    line.pieces.iter().map(at).collect()
}
