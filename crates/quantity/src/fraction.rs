//! A share of one.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

/// A number from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Fraction(f64);

/// Why a number is not a fraction.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{found} is not a share of one: write a number from 0 to 1 (half is 0.5, not 50)")]
pub struct FractionError {
    /// The number that was found.
    pub found: f64,
}

impl Fraction {
    /// Nothing of it.
    pub const NONE: Fraction = Fraction(0.0);
    /// All of it.
    pub const ALL: Fraction = Fraction(1.0);

    /// A fraction from a plain number.
    ///
    /// # Errors
    /// The number is below 0, above 1 or not a number.
    pub fn new(value: f64) -> Result<Fraction, FractionError> {
        if (0.0..=1.0).contains(&value) { Ok(Fraction(value)) } else { Err(FractionError { found: value }) }
    }

    /// The plain number, 0 to 1.
    pub fn get(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for Fraction {
    type Error = FractionError;

    fn try_from(value: f64) -> Result<Fraction, FractionError> {
        Fraction::new(value)
    }
}

impl From<Fraction> for f64 {
    fn from(fraction: Fraction) -> f64 {
        fraction.0
    }
}

impl JsonSchema for Fraction {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Fraction".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A share of one: half is 0.5.",
            "type": "number",
            "minimum": 0.0,
            "maximum": 1.0
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_kept_and_nan_refused() {
        assert_eq!(Fraction::new(0.0), Ok(Fraction::NONE));
        assert_eq!(Fraction::new(1.0), Ok(Fraction::ALL));
        for bad in [-0.01, 1.01, 50.0, f64::NAN, f64::INFINITY] {
            assert!(Fraction::new(bad).is_err(), "{bad}");
        }
    }
}
