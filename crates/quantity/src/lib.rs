//! Quantities that people state in rival ways, and the conversions made once, at the door.
//!
//! The core computes in metres, seconds, cubic metres, radians and fractions of one, as plain `f64`
//! with the unit in the name. This crate holds the few quantities that earn a type: [`Slope`], because
//! people say percent, degrees and one-in-n; [`Fraction`], because it has bounds; [`Estimate`], because
//! a number not known well is a range. It also holds every unit conversion ([`convert`]) and the one
//! formatter of numbers ([`figures`]).
//!
//! Must not know: anything else.

pub mod convert;
mod estimate;
pub mod figures;
mod fraction;
mod slope;

pub use estimate::{Estimate, EstimateError};
pub use fraction::{Fraction, FractionError};
pub use slope::{Slope, SlopeError};
