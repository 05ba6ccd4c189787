//! Flow over a sill: a level place in a bank where a line is meant to spill.
//!
//! Water pools behind the sill and runs out over its crest. Over a hard, smooth crest only the height of the
//! pool above it counts. Over grass or stones, at the few centimetres we have, the crest itself brakes the
//! water, and the pool must stand higher: up to four times the flow of the smooth rule is missing.
//!
//! Smooth: q = (2/3)·H·√(2/3·g·H) = 1.705·H^1.5, with q a metre of crest and H the head. Rough, breadth B along
//! the flow: the water leaves the outer edge at critical depth y = ∛(q²/g), and upstream of it the energy grows
//! by n²q²/h^(10/3) a metre. With h = k·y at the inner edge that adds up in closed form:
//!
//! n²·g·B / y^(4/3) = (3/13)·(k^(13/3) − 1) − (3/4)·(k^(4/3) − 1),   H = y·(k + 1/(2k²)).
//!
//! Sources: critical flow and Manning's friction, V. T. Chow, Open-Channel Hydraulics, 1959, ch. 3–5; rule
//! 1.7·b·H^1.5, FAO Irrigation & Drainage Paper 64, p. 39; drowning, J. R. Villemonte, Engineering News-Record
//! 139, 1947. Leaves out the speed of approach, the sides of the notch, litter on the crest.

use crate::GRAVITY_M_S2;
use crate::root::rising_root;

mod lip;

pub use lip::{Lip, LipPoint, OutOfLevel, out_of_level};

/// Tolerance on the logarithm of k = h/y: a relative error of the head far below a micrometre in a metre.
const LOG_DEPTH_TOLERANCE: f64 = 1e-12;
/// First guess of that logarithm: k = 1.1 or so.
const LOG_DEPTH_GUESS: f64 = 0.1;

/// Why a sill cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SillError {
    /// A dimension that makes no crest.
    #[error("{name} is {value}: give a number of 0 or more, and a crest longer than 0")]
    BadDimension {
        /// Which dimension.
        name: &'static str,
        /// What was given.
        value: f64,
    },
    /// The flow is not a finite number of zero or more.
    #[error("a flow of {flow_m3_s} m³/s cannot spill: give 0 or more")]
    BadFlow {
        /// What was asked.
        flow_m3_s: f64,
    },
    /// No head was found within the limit of the search.
    #[error("no head found for {flow_m3_s} m³/s: check the crest's length, breadth and roughness")]
    NoHead {
        /// What was asked.
        flow_m3_s: f64,
    },
    /// A lip with fewer than two places, or places out of order.
    #[error("a lip needs two places or more, each farther along than the one before")]
    BadLip,
}

/// What the crest is like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Crest {
    /// Hard and smooth: board, slab, stone with a sharp or rounded edge.
    Smooth,
    /// Earth, grass or loose stones.
    Rough {
        /// Breadth along the flow.
        breadth_m: f64,
        /// Manning's n, s/m^(1/3).
        manning_n: f64,
    },
}

impl Crest {
    /// n²·g·B: what a crest brakes, m^(4/3). 0 for a smooth one.
    fn braking(self) -> f64 {
        match self {
            Crest::Smooth => 0.0,
            Crest::Rough { breadth_m, manning_n } => manning_n * manning_n * GRAVITY_M_S2 * breadth_m,
        }
    }

    fn check(self) -> Result<(), SillError> {
        if let Crest::Rough { breadth_m, manning_n } = self {
            not_negative("breadth of the crest", breadth_m)?;
            not_negative("roughness of the crest", manning_n)?;
        }
        Ok(())
    }

    /// Flow over a metre of crest under a head; none at the crest and below it.
    pub fn unit_flow_m2_s(self, head_m: f64) -> f64 {
        if head_m <= 0.0 {
            return 0.0;
        }
        let braking = self.braking();
        if braking <= 0.0 {
            return smooth_unit_flow_m2_s(head_m);
        }
        // The head falls as k grows, because the water gets shallower faster than k grows. The smooth crest is
        // its end at k = 1, so the root is always there.
        let critical_at = |log_k: f64| libm::pow(braking / braking_at(log_k), 0.75);
        let log_k = rising_root(LOG_DEPTH_GUESS, LOG_DEPTH_TOLERANCE, |log_k| {
            head_m - critical_at(log_k) * head_over_critical(log_k)
        });
        log_k.map_or(f64::NAN, |log_k| {
            let critical_m = head_m / head_over_critical(log_k);
            (GRAVITY_M_S2 * critical_m).sqrt() * critical_m
        })
    }

    /// Head that passes a flow over each metre of crest.
    ///
    /// # Errors
    /// If a dimension is negative or not finite, or the flow is.
    pub fn head_m(self, unit_flow_m2_s: f64) -> Result<f64, SillError> {
        self.check()?;
        if !(unit_flow_m2_s.is_finite() && unit_flow_m2_s >= 0.0) {
            return Err(SillError::BadFlow { flow_m3_s: unit_flow_m2_s });
        }
        if unit_flow_m2_s == 0.0 {
            return Ok(0.0);
        }
        let critical_m = libm::cbrt(unit_flow_m2_s * unit_flow_m2_s / GRAVITY_M_S2);
        let braked = self.braking() / libm::pow(critical_m, 4.0 / 3.0);
        let log_k = if braked > 0.0 {
            rising_root(LOG_DEPTH_GUESS, LOG_DEPTH_TOLERANCE, |log_k| braking_at(log_k) - braked)
                .ok_or(SillError::NoHead { flow_m3_s: unit_flow_m2_s })?
        } else {
            0.0
        };
        Ok(critical_m * head_over_critical(log_k))
    }
}

/// A sill: so many metres of level crest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sill {
    /// Length of the crest, across the flow.
    pub length_m: f64,
    /// What it is like.
    pub crest: Crest,
}

impl Sill {
    /// Flow under a head; none at the crest and below it.
    pub fn flow_m3_s(&self, head_m: f64) -> f64 {
        self.length_m * self.crest.unit_flow_m2_s(head_m)
    }

    /// Head that passes a flow.
    ///
    /// # Errors
    /// If the crest has no length, a dimension is negative or not finite, or the flow is.
    pub fn head_m(&self, flow_m3_s: f64) -> Result<f64, SillError> {
        if !(self.length_m.is_finite() && self.length_m > 0.0) {
            return Err(SillError::BadDimension { name: "length of the crest", value: self.length_m });
        }
        self.crest.head_m(flow_m3_s / self.length_m)
    }

    /// Length of crest that passes a flow under a head; none where the head is 0 or less.
    pub fn length_needed_m(crest: Crest, flow_m3_s: f64, head_m: f64) -> Option<f64> {
        let unit_flow_m2_s = crest.unit_flow_m2_s(head_m);
        (unit_flow_m2_s > 0.0).then(|| flow_m3_s / unit_flow_m2_s)
    }
}

/// Share of its free flow that a sill passes when the water below it stands `below_m` above the crest and the
/// pool `head_m`: (1 − (below/head)^1.5)^0.385, Villemonte 1947. 1 while the water below is at or under the
/// crest, 0 when both stand level.
pub fn drowned_share(head_m: f64, below_m: f64) -> f64 {
    if below_m <= 0.0 {
        return 1.0;
    }
    if below_m >= head_m {
        return 0.0;
    }
    let ratio = below_m / head_m;
    libm::pow(1.0 - ratio * ratio.sqrt(), 0.385)
}

/// Critical flow over a smooth crest, q = (2/3)·H·√(2/3·g·H).
fn smooth_unit_flow_m2_s(head_m: f64) -> f64 {
    let critical_m = 2.0 / 3.0 * head_m;
    critical_m * (GRAVITY_M_S2 * critical_m).sqrt()
}

/// (3/13)·(k^(13/3) − 1) − (3/4)·(k^(4/3) − 1) for k = e^L. Near k = 1 both terms are nearly L and their
/// difference is 3/2·L²: `expm1` keeps the digits that subtracting 1 from a power would lose.
fn braking_at(log_k: f64) -> f64 {
    3.0 / 13.0 * libm::expm1(13.0 / 3.0 * log_k) - 0.75 * libm::expm1(4.0 / 3.0 * log_k)
}

/// H/y = k + 1/(2k²) for k = e^L.
fn head_over_critical(log_k: f64) -> f64 {
    let k = libm::exp(log_k);
    k + 0.5 / (k * k)
}

fn not_negative(name: &'static str, value: f64) -> Result<(), SillError> {
    if value.is_finite() && value >= 0.0 { Ok(()) } else { Err(SillError::BadDimension { name, value }) }
}

#[cfg(test)]
mod tests;
