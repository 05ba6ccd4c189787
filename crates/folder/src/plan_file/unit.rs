//! Units in the names of keys, and keys written in another unit.

use quantity::convert;

/// A known key that says the same in another unit.
#[derive(Debug, Clone, Copy)]
pub struct OtherUnit<'a> {
    /// The key to write.
    pub key: &'a str,
    /// Turns a value of the written key into the known one's; none where the written key names no unit.
    pub convert: Option<fn(f64) -> f64>,
}

/// Unit endings people write, the ending of our keys that means the same quantity, and the way between.
type Conversion = (&'static str, &'static str, fn(f64) -> f64);
const UNITS: &[Conversion] = &[
    ("_mm", "_m", convert::mm_to_m),
    ("_cm", "_m", convert::cm_to_m),
    ("_ft", "_m", convert::ft_to_m),
    ("_feet", "_m", convert::ft_to_m),
    ("_in", "_m", |inch| convert::mm_to_m(convert::inch_to_mm(inch))),
    ("_inch", "_m", |inch| convert::mm_to_m(convert::inch_to_mm(inch))),
    ("_inches", "_m", |inch| convert::mm_to_m(convert::inch_to_mm(inch))),
    ("_metres", "_m", same),
    ("_meters", "_m", same),
    ("_m", "_mm", convert::m_to_mm),
    ("_cm", "_mm", |cm| convert::m_to_mm(convert::cm_to_m(cm))),
    ("_in", "_mm", convert::inch_to_mm),
    ("_inch", "_mm", convert::inch_to_mm),
    ("_inches", "_mm", convert::inch_to_mm),
    ("_m_s", "_mm_h", convert::m_s_to_mm_h),
    ("_in_h", "_mm_h", convert::inch_to_mm),
    ("_percent", "_frac", |percent| percent / 100.0),
    ("_pct", "_frac", |percent| percent / 100.0),
    ("_rad", "_deg", convert::rad_to_deg),
];

fn same(value: f64) -> f64 {
    value
}

/// The known key that a key with another unit, or with none, stands for: `bed_width_cm`, `bed_width`.
pub fn other_unit<'a>(written: &str, known: &[&'a str]) -> Option<OtherUnit<'a>> {
    for (ending, ours, convert) in UNITS {
        let Some(stem) = written.strip_suffix(ending) else {
            continue;
        };
        let key = known.iter().find(|key| key.strip_suffix(ours) == Some(stem));
        if let Some(key) = key {
            return Some(OtherUnit { key, convert: Some(*convert) });
        }
    }
    let key = known.iter().find(|key| {
        let rest = key.strip_prefix(written).unwrap_or_default();
        rest.starts_with('_') && unit_of(key).is_some_and(|unit| rest == unit.ending)
    })?;
    Some(OtherUnit { key, convert: None })
}

/// A unit that the ending of a key names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unit {
    /// The ending, `_mm_h`.
    pub ending: &'static str,
    /// As one says it: "millimetres an hour".
    pub words: &'static str,
    /// As one writes it behind a number.
    pub mark: &'static str,
}

/// Units of our keys, the longer endings first.
const OUR_UNITS: &[Unit] = &[
    Unit { ending: "_mm_h", words: "millimetres an hour", mark: "mm/h" },
    Unit { ending: "_l_min", words: "litres a minute", mark: "L/min" },
    Unit { ending: "_m2", words: "square metres", mark: "m²" },
    Unit { ending: "_mm", words: "millimetres", mark: "mm" },
    Unit { ending: "_m", words: "metres", mark: "m" },
    Unit { ending: "_deg", words: "degrees", mark: "°" },
    Unit { ending: "_frac", words: "parts of one", mark: "" },
    Unit { ending: "hours", words: "hours", mark: "h" },
    Unit { ending: "_years", words: "years", mark: "years" },
];

/// The unit a key's name ends with.
pub fn unit_of(key: &str) -> Option<Unit> {
    OUR_UNITS.iter().find(|unit| key.ends_with(unit.ending)).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 50 cm is 0.5 m; 2 ft is 0.6096 m and 1 in is 25.4 mm, by the international foot.
    #[test]
    fn a_key_in_another_unit_is_understood() {
        let known = ["bed_width_m", "random_mm", "soak_mm_h", "gravel_frac", "hours"];
        let told = |written, value| {
            let other = other_unit(written, &known).unwrap();
            (other.key, other.convert.unwrap()(value))
        };
        assert_eq!(told("bed_width_cm", 50.0), ("bed_width_m", 0.5));
        let (key, metres) = told("bed_width_ft", 2.0);
        assert_eq!(key, "bed_width_m");
        assert!((metres - 0.6096).abs() < 1e-12);
        let (key, mm_h) = told("soak_in_h", 1.0);
        assert_eq!(key, "soak_mm_h");
        assert!((mm_h - 25.4).abs() < 1e-12);
        assert_eq!(told("gravel_percent", 15.0), ("gravel_frac", 0.15));
        let bare = other_unit("bed_width", &known).unwrap();
        assert!(bare.key == "bed_width_m" && bare.convert.is_none());
        assert_eq!(other_unit("soak", &known).unwrap().key, "soak_mm_h");
        assert!(other_unit("bed", &known).is_none());
    }
}
