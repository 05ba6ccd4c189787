//! The two-peg test: does the line of sight run level?
//!
//! From midway between two pegs a sloping line of sight reads both too high by the same, so the difference is
//! true. From anywhere else the longer sight is off by more, and the change in the difference is the slope:
//!
//! e = ((a2 − b2) − (a1 − b1)) / (dA − dB) · corrected reading = reading − e·d
//!
//! e is how much too high the level reads per metre of sight (line of sight slopes up: e > 0).
//!
//! Source: geometry; the limit for first-order work, 1.0 mm in 50 m, Australian levelling specification.
//! Leaves out: curvature (0.2 mm at 50 m).

/// Readings on the two pegs from one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// On peg A.
    pub a_m: f64,
    /// On peg B.
    pub b_m: f64,
}

/// The test from its second place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Second {
    /// The two readings.
    pub read: Pair,
    /// Length of the sight to A.
    pub to_a_m: f64,
    /// Length of the sight to B.
    pub to_b_m: f64,
}

/// What the test shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineOfSight {
    /// Reads too high by this per metre of sight.
    pub slope_m_per_m: f64,
    /// What the second readings would have been with a level line of sight: what to set the level to.
    pub corrected: Pair,
    /// True height of B above A.
    pub b_above_a_m: f64,
    /// Whether the level is off by more than [`FLAG_M_PER_M`].
    pub needs_adjusting: bool,
}

/// Why a test says nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TwoPegError {
    /// A number that is not one, or a sight of no length.
    #[error(
        "sights of {to_a_m} m and {to_b_m} m: both must be 0 or more and finite, and so must the readings be"
    )]
    NotMeasured {
        /// To A.
        to_a_m: f64,
        /// To B.
        to_b_m: f64,
    },
    /// Both sights alike.
    #[error(
        "both sights of the second setup are {length_m} m: set up close to one of the pegs, so that they differ"
    )]
    EqualSights {
        /// Their length.
        length_m: f64,
    },
    /// No level is that far off.
    #[error(
        "the readings say B is {read_m} m above A and the true difference is {true_m} m: a line of sight would have \
         to slope {slope_m_per_m} in 1; check which peg is which, and the sign of the known difference"
    )]
    Contradiction {
        /// From the second readings.
        read_m: f64,
        /// From midway, or known.
        true_m: f64,
        /// The slope it would take.
        slope_m_per_m: f64,
    },
}

/// A level to be seen to before a line is pegged with unequal sights: 1 mm in 10 m. Common practice.
pub const FLAG_M_PER_M: f64 = 1e-4;
/// Beyond any instrument whose bubble or pendulum is in its run (34 minutes of arc): ten times what a builder's
/// level is thrown away for. Common practice.
const BEYOND_ANY_LEVEL_M_PER_M: f64 = 0.01;

/// The test with a first setup midway.
///
/// # Errors
/// Sights or readings that say nothing, or contradict each other.
pub fn from_midway(midway: Pair, second: Second) -> Result<LineOfSight, TwoPegError> {
    from_known(midway.a_m - midway.b_m, second)
}

/// The test on two pegs of known heights, B above A by so much.
///
/// # Errors
/// Sights or readings that say nothing, or contradict each other.
pub fn from_known(b_above_a_m: f64, second: Second) -> Result<LineOfSight, TwoPegError> {
    let Second { read, to_a_m, to_b_m } = second;
    let length = |m: f64| m.is_finite() && m >= 0.0;
    let readings = [read.a_m, read.b_m, b_above_a_m];
    if !length(to_a_m) || !length(to_b_m) || readings.iter().any(|m| !m.is_finite()) {
        return Err(TwoPegError::NotMeasured { to_a_m, to_b_m });
    }
    if to_a_m == to_b_m {
        return Err(TwoPegError::EqualSights { length_m: to_a_m });
    }
    let read_m = read.a_m - read.b_m;
    let slope_m_per_m = (read_m - b_above_a_m) / (to_a_m - to_b_m);
    if slope_m_per_m.abs() > BEYOND_ANY_LEVEL_M_PER_M {
        return Err(TwoPegError::Contradiction { read_m, true_m: b_above_a_m, slope_m_per_m });
    }
    Ok(LineOfSight {
        slope_m_per_m,
        corrected: Pair { a_m: read.a_m - slope_m_per_m * to_a_m, b_m: read.b_m - slope_m_per_m * to_b_m },
        b_above_a_m,
        needs_adjusting: slope_m_per_m.abs() > FLAG_M_PER_M,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn test(midway: (f64, f64), second: (f64, f64), sights_m: (f64, f64)) -> LineOfSight {
        let pair = |(a_m, b_m)| Pair { a_m, b_m };
        let second = Second { read: pair(second), to_a_m: sights_m.0, to_b_m: sights_m.1 };
        from_midway(pair(midway), second).unwrap()
    }

    /// Two-peg exercise with midway readings 1.283 and 0.860 (published on two tutorial pages): −0.030 m in
    /// 50 m, correct far reading 1.645.
    #[test]
    fn published_test_that_slopes_down() {
        let found = test((1.283, 0.860), (1.612, 1.219), (55.0, 5.0));
        assert!((found.slope_m_per_m * 50.0 + 0.030).abs() <= 0.0005);
        assert!((found.corrected.a_m - 1.645).abs() <= 0.0005);
        // Not printed; follows: 1.219 + 0.0006·5.
        assert!((found.corrected.b_m - 1.222).abs() <= 0.0005);
        assert!((found.b_above_a_m - 0.423).abs() <= 0.0005);
        assert!(found.needs_adjusting);
    }

    /// curioustab, question 66910: correct reading on the far peg 1.345.
    #[test]
    fn published_test_that_slopes_up() {
        let found = test((1.32, 1.56), (1.11, 1.39), (10.0, 90.0));
        assert!((found.corrected.b_m - 1.345).abs() <= 0.0005);
        // Not printed; follow: (−0.28 + 0.24)/(−80) and 1.11 − 0.005.
        assert!((found.slope_m_per_m - 0.0005).abs() < 1e-12);
        assert!((found.corrected.a_m - 1.105).abs() <= 0.0005);
    }

    /// Midway 1.476, 1.432; then 1.556 at 50 m, 1.472 at 10 m: published as 0.001 m per metre. The corrected
    /// readings follow: 1.556 − 0.050, 1.472 − 0.010.
    #[test]
    fn published_test_of_a_thousandth() {
        let found = test((1.476, 1.432), (1.556, 1.472), (50.0, 10.0));
        assert!((found.slope_m_per_m - 0.001).abs() <= 0.0005);
        assert!((found.corrected.a_m - 1.506).abs() <= 0.0005);
        assert!((found.corrected.b_m - 1.462).abs() <= 0.0005);
    }

    /// A published exercise whose known heights (283.665 and 284.295: B higher) and readings (2.847 at 25 m,
    /// 3.462 at 50 m: B lower) contradict each other; its answer of 0.060 per 100 m is refused.
    #[test]
    fn contradictory_pegs_are_refused() {
        let second = Second { read: Pair { a_m: 2.847, b_m: 3.462 }, to_a_m: 25.0, to_b_m: 50.0 };
        let refused = from_known(284.295 - 283.665, second);
        assert!(matches!(refused, Err(TwoPegError::Contradiction { .. })), "{refused:?}");
    }

    #[test]
    fn sights_that_say_nothing() {
        let read = Pair { a_m: 1.0, b_m: 1.1 };
        let second = |to_a_m, to_b_m| Second { read, to_a_m, to_b_m };
        assert!(matches!(from_known(0.0, second(9.0, 9.0)), Err(TwoPegError::EqualSights { .. })));
        for to_a_m in [f64::NAN, -1.0, f64::INFINITY] {
            assert!(matches!(from_known(0.0, second(to_a_m, 9.0)), Err(TwoPegError::NotMeasured { .. })));
        }
    }
}
