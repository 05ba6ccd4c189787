//! Water running steadily down a drain, a chute or a sheet of slope.
//!
//! After a few metres water runs as deep as it needs to lose by friction just what the slope gives it. How
//! deep that is depends above all on how rough the bed is.
//!
//! V = R^(2/3)·√S / n (Manning), R = A/P; critical depth where Q²·T = g·A³; shear on the bed γ·y·S. A sheet is
//! so wide that R is its depth: h = (q·n/√S)^(3/5).
//!
//! Sources: V. T. Chow, Open-Channel Hydraulics, 1959, ch. 5 and 6 (Manning, roughness), ch. 4 (critical flow);
//! FHWA HEC-15, 3rd ed., eq. 3.1 (shear at the deepest place). Holds for turbulent flow over a bed that stays
//! put. Leaves out bends, backwater, air in fast water. In a sheet of a few millimetres n is an effective value
//! only, several times that of a channel: use [`SheetCover`] for sheets and [`ChannelBed`] for channels.

use quantity::Estimate;

use crate::root::rising_root;
use crate::{GRAVITY_M_S2, WATER_WEIGHT_N_M3};

mod roughness;

pub use roughness::{ChannelBed, SheetCover};

/// Depths are found to a micrometre: a thousandth of what can be measured.
const DEPTH_TOLERANCE_M: f64 = 1e-6;
/// First guess of a depth, m; any will do, the bracket grows from it.
const DEPTH_GUESS_M: f64 = 0.1;

/// Why a depth cannot be found.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FlowError {
    /// The flow is not a finite number of zero or more.
    #[error("a flow of {flow_m3_s} m³/s cannot run: give 0 or more")]
    BadFlow {
        /// What was asked.
        flow_m3_s: f64,
    },
    /// No depth carries the flow: no slope, no roughness, or no channel.
    #[error(
        "no depth carries {flow_m3_s} m³/s at a slope of {slope} and roughness {manning_n}: both must be above 0, \
         and the channel must have a bed or battered sides"
    )]
    NoDepth {
        /// What was asked.
        flow_m3_s: f64,
        /// Fall along the bed, rise over run.
        slope: f64,
        /// Manning's n.
        manning_n: f64,
    },
    /// No critical depth: no channel.
    #[error("no depth is critical for {flow_m3_s} m³/s: the channel must have a bed or battered sides")]
    NoCriticalDepth {
        /// What was asked.
        flow_m3_s: f64,
    },
}

/// A channel's section: a level bed and two equal sides. Bed 0 is a V, batter 0 a slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trapezoid {
    /// Width of the bed.
    pub bed_width_m: f64,
    /// Batter of the sides, metres out for each metre up.
    pub batter: f64,
}

impl Trapezoid {
    /// Area of water at a depth.
    pub fn area_m2(&self, depth_m: f64) -> f64 {
        depth_m * (self.bed_width_m + self.batter * depth_m)
    }

    /// Width of the water surface.
    pub fn top_width_m(&self, depth_m: f64) -> f64 {
        self.bed_width_m + 2.0 * self.batter * depth_m
    }

    /// Length of bed and sides under water.
    pub fn wetted_perimeter_m(&self, depth_m: f64) -> f64 {
        self.bed_width_m + 2.0 * depth_m * (1.0 + self.batter * self.batter).sqrt()
    }

    /// Area over wetted perimeter; 0 when dry.
    pub fn hydraulic_radius_m(&self, depth_m: f64) -> f64 {
        if depth_m <= 0.0 {
            return 0.0;
        }
        self.area_m2(depth_m) / self.wetted_perimeter_m(depth_m)
    }
}

/// How a channel runs: its section, its fall and its roughness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// Its section.
    pub section: Trapezoid,
    /// Fall along the bed, rise over run.
    pub slope: f64,
    /// Manning's n of bed and sides, s/m^(1/3).
    pub manning_n: f64,
}

/// Steady flow in a channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UniformFlow {
    /// Depth over the bed.
    pub depth_m: f64,
    /// Area of water.
    pub area_m2: f64,
    /// Mean speed.
    pub speed_m_s: f64,
    /// Speed over that of a small wave: above 1 the water shoots.
    pub froude: f64,
    /// Shear on the bed at its deepest.
    pub shear_pa: f64,
    /// Depth at which this flow would be critical.
    pub critical_depth_m: f64,
}

impl Channel {
    /// Flow that runs at a depth.
    pub fn flow_m3_s(&self, depth_m: f64) -> f64 {
        let radius_m = self.section.hydraulic_radius_m(depth_m);
        self.section.area_m2(depth_m) * speed_m_s(radius_m, self.slope, self.manning_n)
    }

    /// Depth at which a flow runs, and all that follows from it.
    ///
    /// # Errors
    /// If the flow is not a number of 0 or more, or nothing carries it.
    pub fn uniform(&self, flow_m3_s: f64) -> Result<UniformFlow, FlowError> {
        let depth_m = self.normal_depth_m(flow_m3_s)?;
        let area_m2 = self.section.area_m2(depth_m);
        let speed_m_s = if area_m2 > 0.0 { flow_m3_s / area_m2 } else { 0.0 };
        Ok(UniformFlow {
            depth_m,
            area_m2,
            speed_m_s,
            froude: froude(&self.section, depth_m, flow_m3_s),
            shear_pa: bed_shear_pa(depth_m, self.slope),
            critical_depth_m: critical_depth_m(&self.section, flow_m3_s)?,
        })
    }

    /// Depth at which a flow runs.
    ///
    /// # Errors
    /// As [`Channel::uniform`].
    pub fn normal_depth_m(&self, flow_m3_s: f64) -> Result<f64, FlowError> {
        if dry(flow_m3_s)? {
            return Ok(0.0);
        }
        rising_root(DEPTH_GUESS_M, DEPTH_TOLERANCE_M, |depth_m| self.flow_m3_s(depth_m) - flow_m3_s)
            .ok_or(FlowError::NoDepth { flow_m3_s, slope: self.slope, manning_n: self.manning_n })
    }
}

/// Depth at which a flow is critical: the least energy that passes it.
///
/// # Errors
/// If the flow is not a number of 0 or more, or the channel has neither bed nor sides.
pub fn critical_depth_m(section: &Trapezoid, flow_m3_s: f64) -> Result<f64, FlowError> {
    if dry(flow_m3_s)? {
        return Ok(0.0);
    }
    rising_root(DEPTH_GUESS_M, DEPTH_TOLERANCE_M, |depth_m| {
        let area_m2 = section.area_m2(depth_m);
        area_m2 * (GRAVITY_M_S2 * area_m2 / section.top_width_m(depth_m)).sqrt() - flow_m3_s
    })
    .ok_or(FlowError::NoCriticalDepth { flow_m3_s })
}

/// Whether nothing flows; an error if the flow is no flow.
fn dry(flow_m3_s: f64) -> Result<bool, FlowError> {
    if flow_m3_s.is_finite() && flow_m3_s >= 0.0 {
        Ok(flow_m3_s == 0.0)
    } else {
        Err(FlowError::BadFlow { flow_m3_s })
    }
}

/// Manning's mean speed for a hydraulic radius, a slope and a roughness.
pub fn speed_m_s(hydraulic_radius_m: f64, slope: f64, manning_n: f64) -> f64 {
    libm::pow(hydraulic_radius_m, 2.0 / 3.0) * slope.sqrt() / manning_n
}

/// Mean speed over the speed of a small wave on the same section; 0 when dry.
pub fn froude(section: &Trapezoid, depth_m: f64, flow_m3_s: f64) -> f64 {
    let area_m2 = section.area_m2(depth_m);
    if area_m2 <= 0.0 {
        return 0.0;
    }
    let mean_depth_m = area_m2 / section.top_width_m(depth_m);
    flow_m3_s / area_m2 / (GRAVITY_M_S2 * mean_depth_m).sqrt()
}

/// Shear on the bed at its deepest, γ·y·S.
pub fn bed_shear_pa(depth_m: f64, slope: f64) -> f64 {
    WATER_WEIGHT_N_M3 * depth_m * slope
}

/// Depth of a wide sheet that carries `unit_flow_m2_s` (m³/s for each metre of width) down a slope.
pub fn sheet_depth_m(unit_flow_m2_s: f64, slope: f64, manning_n: f64) -> f64 {
    libm::pow(unit_flow_m2_s * manning_n / slope.sqrt(), 3.0 / 5.0)
}

/// Mean speed of that sheet; 0 when dry.
pub fn sheet_speed_m_s(unit_flow_m2_s: f64, slope: f64, manning_n: f64) -> f64 {
    if unit_flow_m2_s <= 0.0 {
        return 0.0;
    }
    unit_flow_m2_s / sheet_depth_m(unit_flow_m2_s, slope, manning_n)
}

/// A table's row of least, normal and greatest roughness.
fn row(low: f64, likely: f64, high: f64) -> Estimate {
    Estimate::spanning(likely, low, high)
}

#[cfg(test)]
mod tests;
