//! What misclosure is allowed.
//!
//! Errors of chance grow with the root of what was levelled: C·√K with K in kilometres of line, or so much per
//! setup with the root of their number. For there-and-back levelling K is the one-way length.
//!
//! Source: Montana State University, ITCM 410, laboratory 1 (limits in feet per root mile, here in whole
//! millimetres per root kilometre); the Australian levelling specifications give the same 4 and 12 mm for
//! first and third order; 10 and 15 mm, level-online.net. 5 mm per setup: small works, common practice.
//! Below 200 m of line C·√K asks for more than a staff can be read to, so 5 mm is always allowed (common
//! practice). A sill must be level to about a centimetre whatever any of this says.

/// A grade of levelling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade {
    /// Its name, as a file or option gives it.
    pub name: &'static str,
    /// C: allowed misclosure of one kilometre.
    pub mm_per_root_km: f64,
}

/// The grades, finest first.
pub const GRADES: [Grade; 8] = [
    grade("first-order-1", 3.0),
    grade("first-order-2", 4.0),
    grade("second-order-1", 6.0),
    grade("second-order-2", 8.0),
    grade("building-fine", 10.0),
    grade("third-order", 12.0),
    grade("building", 15.0),
    grade("construction", 24.0),
];

const fn grade(name: &'static str, mm_per_root_km: f64) -> Grade {
    Grade { name, mm_per_root_km }
}

/// Allowed per setup, for small works. Common practice.
const PER_SETUP_M: f64 = 0.005;
/// Allowed however short the line: what a staff can be read to. Common practice.
pub const SHORTEST_ALLOWED_M: f64 = 0.005;

/// How the allowed misclosure is found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rule {
    /// 5 mm · √setups: nothing but the book is needed.
    PerSetup,
    /// C · √K, and never less than 5 mm.
    OverLength {
        /// The grade that gives C.
        grade: Grade,
        /// Length of line levelled, loop or one way.
        length_m: f64,
    },
}

impl Grade {
    /// The grade of this name.
    pub fn named(name: &str) -> Option<Grade> {
        GRADES.into_iter().find(|grade| grade.name == name)
    }

    /// C·√K, without the floor for short lines.
    pub fn allowed_m(self, length_m: f64) -> f64 {
        self.mm_per_root_km / 1000.0 * (length_m / 1000.0).sqrt()
    }
}

impl Rule {
    /// What it allows.
    pub fn allowed_m(self, setups: usize) -> f64 {
        match self {
            Rule::PerSetup => PER_SETUP_M * (setups as f64).sqrt(),
            Rule::OverLength { grade, length_m } => grade.allowed_m(length_m).max(SHORTEST_ALLOWED_M),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Montana State University, ITCM 410, laboratory 1: feet times the root of miles. Ours are whole
    /// millimetres, so half of one.
    #[test]
    fn published_grades_in_feet_and_miles() {
        let metres_in_mile = quantity::convert::ft_to_m(5280.0);
        for (name, feet_per_root_mile) in [
            ("first-order-1", 0.012),
            ("first-order-2", 0.017),
            ("second-order-1", 0.025),
            ("second-order-2", 0.033),
            ("third-order", 0.050),
            ("construction", 0.100),
        ] {
            let published_m = quantity::convert::ft_to_m(feet_per_root_mile);
            let over_a_root_km_m = published_m / (metres_in_mile / 1000.0).sqrt();
            let ours_m = Grade::named(name).unwrap().allowed_m(1000.0);
            assert!((ours_m - over_a_root_km_m).abs() <= 0.0005, "{name}");
        }
    }

    /// Australian levelling specifications: 4√K mm first order, 12√K mm third order. level-online.net: 10, 15.
    #[test]
    fn published_grades_in_millimetres() {
        for (name, mm) in
            [("first-order-2", 4.0), ("third-order", 12.0), ("building-fine", 10.0), ("building", 15.0)]
        {
            assert_eq!(Grade::named(name).unwrap().mm_per_root_km, mm);
        }
    }

    /// C√K by hand to a tenth of a millimetre: 12·√0.1 = 3.79, 24·√0.5 = 16.97 …
    #[test]
    fn allowed_by_hand() {
        for (name, expected_mm) in
            [("third-order", [3.8, 5.4, 8.5, 12.0]), ("construction", [7.6, 10.7, 17.0, 24.0])]
        {
            let grade = Grade::named(name).unwrap();
            for (length_m, mm) in [100.0, 200.0, 500.0, 1000.0].into_iter().zip(expected_mm) {
                assert!((1000.0 * grade.allowed_m(length_m) - mm).abs() <= 0.05);
            }
        }
    }

    /// 12·√0.1 = 3.8 mm is less than a staff can be read to; six setups are 5·√6 = 12.2 mm.
    #[test]
    fn short_lines_and_setups() {
        let grade = Grade::named("third-order").unwrap();
        let over = |length_m| Rule::OverLength { grade, length_m }.allowed_m(9);
        assert_eq!(over(100.0), 0.005);
        assert!((1000.0 * over(500.0) - 8.485).abs() < 5e-4);
        assert!((1000.0 * Rule::PerSetup.allowed_m(6) - 12.247).abs() < 5e-4);
        assert_eq!(Grade::named("fourth"), None);
    }
}
