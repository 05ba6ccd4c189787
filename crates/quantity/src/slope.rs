//! A slope or grade, however it was said.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Error as _, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::convert::{deg_to_rad, rad_to_deg};

/// Fall over horizontal distance. In a file: `"1:200"` (one in two hundred), `"0.5%"` or `"12deg"`; never a
/// bare number, because 5 could be any of them.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Slope {
    rise_run: f64,
}

/// Why a text is not a slope.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SlopeError {
    /// No unit, or a unit that is not one of the three.
    #[error("\"{found}\" is not a slope: write \"1:200\" (one in two hundred), \"0.5%\" or \"12deg\"")]
    NotASlope {
        /// The text as found.
        found: String,
    },
    /// A slope at or beyond upright, or not finite.
    #[error("\"{found}\" is steeper than anything one can stand on: 90 degrees is a wall")]
    TooSteep {
        /// The text as found.
        found: String,
    },
}

impl Slope {
    /// Level.
    pub const LEVEL: Slope = Slope { rise_run: 0.0 };

    /// From rise over run, both horizontal-and-vertical lengths in one unit.
    ///
    /// # Panics
    /// In debug builds, when it is not finite: texts are checked by [`Slope::parse`].
    pub fn from_rise_run(rise_run: f64) -> Slope {
        debug_assert!(rise_run.is_finite(), "rise_run = {rise_run}");
        Slope { rise_run }
    }

    /// From percent: 5 is 5 m in 100 m.
    pub fn from_percent(percent: f64) -> Slope {
        Slope::from_rise_run(percent / 100.0)
    }

    /// From an angle above the horizontal.
    pub fn from_degrees(degrees: f64) -> Slope {
        Slope::from_rise_run(libm::tan(deg_to_rad(degrees)))
    }

    /// From "one in n": 200 is 1 m in 200 m.
    pub fn from_one_in(n: f64) -> Slope {
        Slope::from_rise_run(1.0 / n)
    }

    /// From the text people write.
    ///
    /// # Errors
    /// No unit, an unknown unit, or steeper than upright.
    pub fn parse(text: &str) -> Result<Slope, SlopeError> {
        let not_a_slope = || SlopeError::NotASlope { found: text.to_owned() };
        let number = |part: &str| part.trim().parse::<f64>().map_err(|_| not_a_slope());
        let trimmed = text.trim();
        if trimmed.eq_ignore_ascii_case("level") {
            return Ok(Slope::LEVEL);
        }
        let rise_run = if let Some((rise, run)) = trimmed.split_once(':') {
            number(rise)? / number(run)?
        } else if let Some(percent) = trimmed.strip_suffix('%') {
            number(percent)? / 100.0
        } else if let Some(degrees) = trimmed.strip_suffix("deg").or_else(|| trimmed.strip_suffix('°')) {
            let degrees = number(degrees)?;
            if degrees.abs() >= 90.0 {
                return Err(SlopeError::TooSteep { found: text.to_owned() });
            }
            libm::tan(deg_to_rad(degrees))
        } else {
            return Err(not_a_slope());
        };
        if rise_run.is_nan() {
            Err(not_a_slope())
        } else if rise_run.is_infinite() {
            Err(SlopeError::TooSteep { found: text.to_owned() })
        } else {
            Ok(Slope { rise_run })
        }
    }

    /// Rise over run.
    pub fn rise_run(self) -> f64 {
        self.rise_run
    }

    /// Metres in a hundred metres.
    pub fn percent(self) -> f64 {
        self.rise_run * 100.0
    }

    /// Angle above the horizontal.
    pub fn degrees(self) -> f64 {
        rad_to_deg(libm::atan(self.rise_run))
    }

    /// The n of "one in n"; none for a level.
    pub fn one_in(self) -> Option<f64> {
        (self.rise_run != 0.0).then(|| 1.0 / self.rise_run)
    }
}

impl std::fmt::Display for Slope {
    /// Gentle grades as people set them ("1:200"), others in percent. A ratio is used only when it says the
    /// same number, so that reading back what was written changes nothing.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.one_in() {
            None => f.write_str("level"),
            Some(n) if n >= 50.0 && 1.0 / n.round() == self.rise_run => write!(f, "1:{}", n.round()),
            Some(_) => write!(f, "{}%", self.percent()),
        }
    }
}

impl Serialize for Slope {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Slope {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Slope, D::Error> {
        struct SlopeVisitor;
        impl Visitor<'_> for SlopeVisitor {
            type Value = Slope;

            fn expecting(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                f.write_str("a slope such as \"1:200\", \"0.5%\" or \"12deg\"")
            }

            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Slope, E> {
                Slope::parse(text).map_err(E::custom)
            }

            fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<Slope, E> {
                Err(E::custom(SlopeError::NotASlope { found: value.to_string() }))
            }
        }
        let slope = deserializer.deserialize_any(SlopeVisitor)?;
        if slope.rise_run.is_finite() { Ok(slope) } else { Err(D::Error::custom("not a finite slope")) }
    }
}

impl JsonSchema for Slope {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Slope".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A slope with its unit: \"1:200\", \"0.5%\", \"12deg\" or \"level\".",
            "type": "string",
            "format": "slope"
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Arithmetic: 1 in 200 is half a percent; 45° is 100 %; tan 12° = 0.21256.
    #[test]
    fn the_three_ways_of_saying_it() {
        assert_eq!(Slope::parse("1:200").unwrap().percent(), 0.5);
        assert_eq!(Slope::parse(" 0.5 % ").unwrap().one_in(), Some(200.0));
        assert!((Slope::parse("45deg").unwrap().percent() - 100.0).abs() < 1e-12);
        assert!((Slope::parse("12°").unwrap().rise_run() - 0.212_557).abs() < 5e-7);
        assert_eq!(Slope::parse("level").unwrap(), Slope::LEVEL);
    }

    #[test]
    fn a_bare_number_or_a_wall_is_refused() {
        for bad in ["5", "", "1:x", "steep", "nan%", "0:0"] {
            assert!(matches!(Slope::parse(bad), Err(SlopeError::NotASlope { .. })), "{bad}");
        }
        for bad in ["90deg", "1:0", "inf%"] {
            assert!(matches!(Slope::parse(bad), Err(SlopeError::TooSteep { .. })), "{bad}");
        }
    }

    #[test]
    fn what_is_written_reads_back_the_same() {
        for text in ["1:200", "level", "12.5%", "0.37%", "-3%", "1:57"] {
            let slope = Slope::parse(text).unwrap();
            assert_eq!(Slope::parse(&slope.to_string()).unwrap(), slope, "{text}");
        }
    }
}
