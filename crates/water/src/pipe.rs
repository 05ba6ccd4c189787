//! Water through a pipe under a track.
//!
//! A short pipe is throttled either at its mouth, where the water has to squeeze in, or along its length by
//! friction. It passes the lesser of the two.
//!
//! Mouth, with X = 1.811·Q/(A·√D) and S the pipe's slope: up to X = 3.5 the pool stands at
//! HW = H_c + D·(K·X^M + K_s·S) above the mouth's invert, H_c the energy of critical flow in the pipe; from X = 4
//! at HW = D·(c·X² + Y + K_s·S); straight between. Full length: Q = A·√(2g·H/(1 + K_e + 2g·n²·L/R^(4/3))), H the
//! difference of the water levels at its ends.
//!
//! Source: FHWA HDS-5, Hydraulic Design of Highway Culverts, 2nd ed., 2001, appendix A, eq. 26 and table 9; 3rd
//! ed., 2012, table A.1. Holds for a clean, straight, round pipe with a free or drowned outlet. Leaves out friction
//! in a pipe that runs partly full and lies nearly level, and leaves and branches at the mouth, which close small
//! pipes: what a pipe cannot take goes over the track.

use crate::GRAVITY_M_S2;
use crate::root::rising_root;

/// Turns the SI group Q/(A·√D) into the one of the constants, which were fitted in feet. HDS-5, K_u.
const FEET_GROUP: f64 = 1.811;
/// X up to which the mouth works as a weir. HDS-5, appendix A.
const UNDROWNED_TO: f64 = 3.5;
/// X from which it works as an orifice. HDS-5, appendix A.
const DROWNED_FROM: f64 = 4.0;
/// Flows are found to a millilitre a second.
const FLOW_TOLERANCE_M3_S: f64 = 1e-6;
/// First guess of a flow, m³/s.
const FLOW_GUESS_M3_S: f64 = 0.01;
/// Tolerance on filled over unfilled depth in the search for critical depth.
const FILL_TOLERANCE: f64 = 1e-9;

/// The mouth of a pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mouth {
    /// Smooth pipe, square edge in a headwall.
    SquareInHeadwall,
    /// Smooth pipe, grooved end in a headwall.
    GroovedInHeadwall,
    /// Smooth pipe, grooved end sticking out.
    GroovedProjecting,
    /// Corrugated pipe in a headwall.
    CorrugatedInHeadwall,
    /// Corrugated pipe cut to the slope.
    CorrugatedMitred,
    /// Corrugated pipe sticking out.
    CorrugatedProjecting,
    /// Ring bevelled at 45°.
    Bevelled,
}

/// Constants of a mouth.
struct Fit {
    k: f64,
    m: f64,
    c: f64,
    y: f64,
    slope_factor: f64,
}

impl Mouth {
    /// HDS-5, table 9. Some copies print K = 0.0078 for the grooved end in a headwall; the table has 0.0018.
    fn fit(self) -> Fit {
        let (k, m, c, y) = match self {
            Mouth::SquareInHeadwall => (0.0098, 2.0, 0.0398, 0.67),
            Mouth::GroovedInHeadwall => (0.0018, 2.0, 0.0292, 0.74),
            Mouth::GroovedProjecting => (0.0045, 2.0, 0.0317, 0.69),
            Mouth::CorrugatedInHeadwall => (0.0078, 2.0, 0.0379, 0.69),
            Mouth::CorrugatedMitred => (0.0210, 1.33, 0.0463, 0.75),
            Mouth::CorrugatedProjecting => (0.0340, 1.50, 0.0553, 0.54),
            Mouth::Bevelled => (0.0018, 2.50, 0.0300, 0.74),
        };
        let slope_factor = if self == Mouth::CorrugatedMitred { 0.7 } else { -0.5 };
        Fit { k, m, c, y, slope_factor }
    }

    /// Entrance loss of the full pipe, K_e: square edge 0.5, grooved end and bevelled edge 0.2, sticking out 0.9,
    /// mitred 0.7. HDS-5, table 12.
    fn entrance_loss(self) -> f64 {
        match self {
            Mouth::SquareInHeadwall | Mouth::CorrugatedInHeadwall => 0.5,
            Mouth::GroovedInHeadwall | Mouth::GroovedProjecting | Mouth::Bevelled => 0.2,
            Mouth::CorrugatedMitred => 0.7,
            Mouth::CorrugatedProjecting => 0.9,
        }
    }
}

/// Why a pipe passes nothing that can be computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PipeError {
    /// A dimension that makes no pipe.
    #[error("the pipe's {name} is {value}: give a number above 0")]
    BadDimension {
        /// Which.
        name: &'static str,
        /// As found.
        value: f64,
    },
    /// A flow or level that is not a number of zero or more.
    #[error("{name} is {value}: give a number of 0 or more")]
    BadInput {
        /// Which.
        name: &'static str,
        /// As found.
        value: f64,
    },
    /// The search did not end.
    #[error("no flow found through the pipe for a pool {pool_m} m above its mouth")]
    NoFlow {
        /// Pool over the mouth's invert.
        pool_m: f64,
    },
}

/// A round pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pipe {
    /// Inner width.
    pub diameter_m: f64,
    /// Length.
    pub length_m: f64,
    /// Fall along it, rise over run.
    pub slope: f64,
    /// Manning's n of its wall.
    pub manning_n: f64,
    /// Its mouth.
    pub mouth: Mouth,
}

impl Pipe {
    /// Height of the pool above the mouth's invert that pushes a flow into the mouth.
    ///
    /// # Errors
    /// If a dimension is not above 0, or the flow is not a number of 0 or more.
    pub fn pool_at_mouth_m(&self, flow_m3_s: f64) -> Result<f64, PipeError> {
        self.check()?;
        not_negative("flow", flow_m3_s)?;
        if flow_m3_s == 0.0 {
            return Ok(0.0);
        }
        let x = self.group(flow_m3_s);
        if x <= UNDROWNED_TO {
            return self.undrowned_m(flow_m3_s);
        }
        if x >= DROWNED_FROM {
            return Ok(self.drowned_m(x));
        }
        let from_m = self.undrowned_m(flow_m3_s * UNDROWNED_TO / x)?;
        let t = (x - UNDROWNED_TO) / (DROWNED_FROM - UNDROWNED_TO);
        Ok(from_m + t * (self.drowned_m(DROWNED_FROM) - from_m))
    }

    /// Flow of the full pipe for a difference of the water levels at its ends.
    pub fn full_flow_m3_s(&self, head_m: f64) -> f64 {
        if head_m <= 0.0 {
            return 0.0;
        }
        let radius_m = 0.25 * self.diameter_m;
        let twice_g = 2.0 * GRAVITY_M_S2;
        let friction =
            twice_g * self.manning_n * self.manning_n * self.length_m / libm::pow(radius_m, 4.0 / 3.0);
        let losses = 1.0 + self.mouth.entrance_loss() + friction;
        self.area_m2() * (twice_g * head_m / losses).sqrt()
    }

    /// What the pipe passes with the pool at a height above the mouth's invert and the water below the outlet at a
    /// height above the outlet's invert (the top of the pipe where that is higher: the full pipe's jet). The lesser
    /// of mouth and full length.
    ///
    /// # Errors
    /// If a dimension is not above 0, or a height is not a number of 0 or more.
    pub fn flow_m3_s(&self, pool_m: f64, below_m: f64) -> Result<f64, PipeError> {
        self.check()?;
        not_negative("pool", pool_m)?;
        not_negative("water below", below_m)?;
        if pool_m == 0.0 {
            return Ok(0.0);
        }
        let at_mouth_m3_s = rising_root(FLOW_GUESS_M3_S, FLOW_TOLERANCE_M3_S, |flow_m3_s| {
            self.pool_at_mouth_m(flow_m3_s).map_or(f64::NAN, |needs_m| needs_m - pool_m)
        })
        .ok_or(PipeError::NoFlow { pool_m })?;
        if pool_m < self.diameter_m && below_m < self.diameter_m {
            // Neither end is drowned: the pipe runs partly full and its mouth rules.
            return Ok(at_mouth_m3_s);
        }
        let outlet_m = if below_m > self.diameter_m { below_m } else { self.diameter_m };
        let full_m3_s = self.full_flow_m3_s(pool_m + self.slope * self.length_m - outlet_m);
        Ok(if full_m3_s < at_mouth_m3_s { full_m3_s } else { at_mouth_m3_s })
    }

    fn area_m2(&self) -> f64 {
        0.25 * std::f64::consts::PI * self.diameter_m * self.diameter_m
    }

    fn group(&self, flow_m3_s: f64) -> f64 {
        FEET_GROUP * flow_m3_s / (self.area_m2() * self.diameter_m.sqrt())
    }

    fn undrowned_m(&self, flow_m3_s: f64) -> Result<f64, PipeError> {
        let fit = self.mouth.fit();
        let energy_m = critical_energy_m(self.diameter_m, flow_m3_s)
            .ok_or(PipeError::BadInput { name: "flow", value: flow_m3_s })?;
        let fitted = fit.k * libm::pow(self.group(flow_m3_s), fit.m) + fit.slope_factor * self.slope;
        Ok(energy_m + self.diameter_m * fitted)
    }

    fn drowned_m(&self, x: f64) -> f64 {
        let fit = self.mouth.fit();
        self.diameter_m * (fit.c * x * x + fit.y + fit.slope_factor * self.slope)
    }

    fn check(&self) -> Result<(), PipeError> {
        for (name, value) in
            [("inner width", self.diameter_m), ("length", self.length_m), ("roughness", self.manning_n)]
        {
            if !(value.is_finite() && value > 0.0) {
                return Err(PipeError::BadDimension { name, value });
            }
        }
        not_negative("slope", self.slope)
    }
}

/// Depth plus speed head of critical flow in a round pipe. With the angle θ that the water spans at the centre,
/// A = D²/8·(θ − sin θ), T = D·sin(θ/2), depth D/2·(1 − cos(θ/2)); critical where Q = A·√(g·A/T). The width closes
/// at the top, so there is an answer for every flow; the search runs over filled over unfilled depth.
fn critical_energy_m(diameter_m: f64, flow_m3_s: f64) -> Option<f64> {
    let area_and_width = |depth_share: f64| {
        let half_angle = libm::acos(1.0 - 2.0 * depth_share);
        let area_m2 = diameter_m * diameter_m / 8.0 * (2.0 * half_angle - libm::sin(2.0 * half_angle));
        (area_m2, diameter_m * libm::sin(half_angle))
    };
    let filled = rising_root(1.0, FILL_TOLERANCE, |filled| {
        let (area_m2, width_m) = area_and_width(filled / (1.0 + filled));
        area_m2 * (GRAVITY_M_S2 * area_m2 / width_m).sqrt() - flow_m3_s
    })?;
    let depth_share = filled / (1.0 + filled);
    let speed_m_s = flow_m3_s / area_and_width(depth_share).0;
    Some(diameter_m * depth_share + speed_m_s * speed_m_s / (2.0 * GRAVITY_M_S2))
}

/// Flow through a hole under water with `head_m` over its middle, free below: Q = C·A·√(2·g·H). The coefficient is
/// that of the hole's edge.
pub fn orifice_flow_m3_s(coefficient: f64, area_m2: f64, head_m: f64) -> f64 {
    if head_m <= 0.0 {
        return 0.0;
    }
    coefficient * area_m2 * (2.0 * GRAVITY_M_S2 * head_m).sqrt()
}

fn not_negative(name: &'static str, value: f64) -> Result<(), PipeError> {
    if value.is_finite() && value >= 0.0 { Ok(()) } else { Err(PipeError::BadInput { name, value }) }
}

#[cfg(test)]
mod tests;
