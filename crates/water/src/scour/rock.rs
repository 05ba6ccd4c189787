//! Rock for a small chute: its middle size, layer and length of the apron.

/// Flattest and steepest slope of the experiments.
const SLOPES: (f64, f64) = (0.02, 0.40);
/// Slope at which one law hands over to the other.
const STEEP_FROM: f64 = 0.10;
/// Exponent of D50 in both laws.
const SIZE_EXPONENT: f64 = 1.89;
/// Factor of safety on D50 that the authors recommend.
const SAFETY: f64 = 1.2;

/// Why rock cannot be sized.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RockError {
    /// The slope lies outside the experiments.
    #[error(
        "a chute at a slope of {slope} lies outside the experiments, 0.02 to 0.40: ease the slope, or split the fall \
         into drops"
    )]
    SlopeOutside {
        /// Rise over run.
        slope: f64,
    },
    /// The flow is not a finite number of zero or more.
    #[error("a flow of {unit_flow_m2_s} m³/s a metre cannot run: give 0 or more")]
    BadFlow {
        /// What was asked.
        unit_flow_m2_s: f64,
    },
}

/// Thickness of the layer, in stones of the middle size.
const LAYER_STONES: f64 = 2.0;
/// Length of the level apron at the foot, in stones of the middle size.
const APRON_STONES: f64 = 15.0;

/// Thickness of a layer of stones of this middle size.
pub fn rock_layer_m(d50_mm: f64) -> f64 {
    LAYER_STONES * quantity::convert::mm_to_m(d50_mm)
}

/// Length of the level apron at the foot of a chute of stones of this middle size.
pub fn rock_apron_m(d50_mm: f64) -> f64 {
    APRON_STONES * quantity::convert::mm_to_m(d50_mm)
}

/// A rock chute: angular, evenly sized stones (D50 15 to 278 mm were tried).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RockChute {
    /// Middle size at which the rock just holds.
    pub holds_d50_mm: f64,
    /// Middle size to lay: that times 1.2.
    pub lay_d50_mm: f64,
    /// Manning's n of the rock laid.
    pub manning_n: f64,
    /// Thickness of the layer: two stones of the middle size.
    pub layer_m: f64,
    /// Length of the level apron at the foot: 15 stones.
    pub apron_m: f64,
    /// Radius of the rounded crest: 40 stones.
    pub crest_radius_m: f64,
}

/// Rock that stands a flow over each metre of width down a slope (rise over run): Robinson, Rice & Kadavy 1998.
///
/// # Errors
/// If the slope lies outside 2 to 40 %, or the flow is not a number of 0 or more.
pub fn rock_chute(unit_flow_m2_s: f64, slope: f64) -> Result<RockChute, RockError> {
    if !(unit_flow_m2_s.is_finite() && unit_flow_m2_s >= 0.0) {
        return Err(RockError::BadFlow { unit_flow_m2_s });
    }
    if !(SLOPES.0..=SLOPES.1).contains(&slope) {
        return Err(RockError::SlopeOutside { slope });
    }
    // Solved for the size, q·S^1.50 and q·S^0.58: a sheet in wide use has the sign of the second wrong.
    let flow_on_slope = if slope < STEEP_FROM {
        unit_flow_m2_s * slope * slope.sqrt() / 9.76e-7
    } else {
        unit_flow_m2_s * libm::pow(slope, 0.58) / 8.07e-6
    };
    let holds_d50_mm = libm::pow(flow_on_slope, 1.0 / SIZE_EXPONENT);
    let lay_d50_mm = SAFETY * holds_d50_mm;
    let lay_d50_m = quantity::convert::mm_to_m(lay_d50_mm);
    Ok(RockChute {
        holds_d50_mm,
        lay_d50_mm,
        manning_n: 0.0292 * libm::pow(lay_d50_mm * slope, 0.147),
        layer_m: rock_layer_m(lay_d50_mm),
        apron_m: rock_apron_m(lay_d50_mm),
        crest_radius_m: 40.0 * lay_d50_m,
    })
}
