//! Quantities that people state in rival ways, and the conversions made once, at the door.
//!
//! The core computes in metres, seconds, cubic metres, radians and fractions of one, as plain `f64`
//! with the unit in the name. This crate holds the few quantities that earn a type: [`Slope`], because
//! people say percent, degrees and one-in-n; [`Fraction`], because it has bounds; [`Estimate`], because
//! a number not known well is a range; [`Day`], because there is no 31 February. It also holds every unit
//! conversion ([`convert`]), the one formatter of numbers ([`figures`]), seeded chance ([`Chance`]) and short names of texts
//! ([`fingerprint`]).
//!
//! Must not know: anything else.

mod chance;
pub mod convert;
mod day;
mod estimate;
pub mod figures;
mod fingerprint;
mod fraction;
mod slope;

pub use chance::Chance;
pub use day::Day;
pub use estimate::{Estimate, EstimateError};
pub use fingerprint::fingerprint;
pub use fraction::{Fraction, FractionError};
pub use slope::{Slope, SlopeError};
