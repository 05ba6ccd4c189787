//! A number not known well: low ≤ likely ≤ high.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Error as _, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

/// A range with a most likely value. In a file: a plain number, or `{ low = 8, likely = 20, high = 45 }`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Estimate {
    low: f64,
    likely: f64,
    high: f64,
}

/// Why three numbers are not an estimate.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum EstimateError {
    /// The three are not in order.
    #[error(
        "low {low}, likely {likely} and high {high} are not in rising order: swap them so that low ≤ likely ≤ high"
    )]
    OutOfOrder {
        /// As found.
        low: f64,
        /// As found.
        likely: f64,
        /// As found.
        high: f64,
    },
    /// One of the three is not a finite number.
    #[error("{found} is not a number that can be computed with: write a plain number")]
    NotFinite {
        /// As found.
        found: f64,
    },
}

impl Estimate {
    /// A number known exactly, or taken as if it were.
    ///
    /// # Panics
    /// In debug builds, when the number is not finite: files are checked at the door.
    pub fn exact(value: f64) -> Estimate {
        debug_assert!(value.is_finite(), "value = {value}");
        Estimate { low: value, likely: value, high: value }
    }

    /// A range.
    ///
    /// # Errors
    /// The three are not in rising order, or one is not finite.
    pub fn new(low: f64, likely: f64, high: f64) -> Result<Estimate, EstimateError> {
        for found in [low, likely, high] {
            if !found.is_finite() {
                return Err(EstimateError::NotFinite { found });
            }
        }
        if low <= likely && likely <= high {
            Ok(Estimate { low, likely, high })
        } else {
            Err(EstimateError::OutOfOrder { low, likely, high })
        }
    }

    /// The range that three answers span, in whatever order they came: a low guess of a soak rate can
    /// give the high answer.
    ///
    /// # Panics
    /// In debug builds, when one is not finite.
    pub fn spanning(likely: f64, one_end: f64, other_end: f64) -> Estimate {
        let mut low = likely;
        let mut high = likely;
        for end in [one_end, other_end] {
            debug_assert!(end.is_finite(), "end = {end}");
            if end < low {
                low = end;
            }
            if end > high {
                high = end;
            }
        }
        Estimate { low, likely, high }
    }

    /// The least it may be.
    pub fn low(self) -> f64 {
        self.low
    }

    /// The most likely value.
    pub fn likely(self) -> f64 {
        self.likely
    }

    /// The most it may be.
    pub fn high(self) -> f64 {
        self.high
    }

    /// Whether the three are one number.
    pub fn is_exact(self) -> bool {
        self.low == self.high
    }

    /// The estimate of `f(self)` for an `f` that only rises or only falls over the range.
    pub fn map_monotone(self, f: impl Fn(f64) -> f64) -> Estimate {
        Estimate::spanning(f(self.likely), f(self.low), f(self.high))
    }
}

impl<'de> Deserialize<'de> for Estimate {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Estimate, D::Error> {
        deserializer.deserialize_any(EstimateVisitor)
    }
}

struct EstimateVisitor;

impl<'de> Visitor<'de> for EstimateVisitor {
    type Value = Estimate;

    fn expecting(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str("a number, or { low = …, likely = …, high = … }")
    }

    fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<Estimate, E> {
        Estimate::new(value, value, value).map_err(E::custom)
    }

    fn visit_i64<E: serde::de::Error>(self, value: i64) -> Result<Estimate, E> {
        self.visit_f64(value as f64)
    }

    fn visit_u64<E: serde::de::Error>(self, value: u64) -> Result<Estimate, E> {
        self.visit_f64(value as f64)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Estimate, A::Error> {
        let (mut low, mut likely, mut high) = (None, None, None);
        while let Some(key) = map.next_key::<String>()? {
            let slot = match key.as_str() {
                "low" => &mut low,
                "likely" => &mut likely,
                "high" => &mut high,
                _ => return Err(A::Error::unknown_field(&key, &["low", "likely", "high"])),
            };
            *slot = Some(map.next_value::<f64>()?);
        }
        let low = low.ok_or_else(|| A::Error::missing_field("low"))?;
        let likely = likely.ok_or_else(|| A::Error::missing_field("likely"))?;
        let high = high.ok_or_else(|| A::Error::missing_field("high"))?;
        Estimate::new(low, likely, high).map_err(A::Error::custom)
    }
}

impl JsonSchema for Estimate {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Estimate".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let range = json_schema!({
            "type": "object",
            "properties": {
                "low": { "type": "number", "description": "The least it may be." },
                "likely": { "type": "number", "description": "The most likely value." },
                "high": { "type": "number", "description": "The most it may be." }
            },
            "required": ["low", "likely", "high"],
            "additionalProperties": false
        });
        // Written it is always a range; a person may give a number.
        if generator.contract().is_serialize() {
            return range;
        }
        json_schema!({
            "description": "A number, or a range of what it may be: low ≤ likely ≤ high.",
            "anyOf": [{ "type": "number" }, range]
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn order_is_kept_and_nonsense_refused() {
        assert!(Estimate::new(1.0, 2.0, 3.0).is_ok());
        assert!(matches!(Estimate::new(3.0, 2.0, 1.0), Err(EstimateError::OutOfOrder { .. })));
        assert!(matches!(Estimate::new(1.0, f64::NAN, 3.0), Err(EstimateError::NotFinite { .. })));
        assert!(matches!(Estimate::new(1.0, 2.0, f64::INFINITY), Err(EstimateError::NotFinite { .. })));
    }

    /// A falling function turns the range round: 1/x of 2…4…8 is 0.125…0.25…0.5.
    #[test]
    fn a_falling_function_turns_the_range_round() {
        let range = Estimate::new(2.0, 4.0, 8.0).unwrap().map_monotone(|x| 1.0 / x);
        assert_eq!((range.low(), range.likely(), range.high()), (0.125, 0.25, 0.5));
    }
}
