//! The place where a rising function passes zero.
//!
//! Depths and heads are wanted for a given flow, and every law here gives the flow for a depth and rises with
//! it. So the answer is bracketed by doubling and then halved down: slow, but it cannot run away.

/// Doublings of the first guess: 2^80 times any guess in metres is beyond all ground.
const DOUBLINGS_LIMIT: u32 = 80;
/// Halvings: from the last doubling to any tolerance above the spacing of doubles.
const HALVINGS_LIMIT: u32 = 200;

/// The x > 0 at which `rising` passes 0, to within `tolerance`. None if it stays below 0, is not a number, or
/// the tolerance is finer than doubles can tell apart.
pub(crate) fn rising_root(guess: f64, tolerance: f64, rising: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (0.0, guess);
    let mut doublings = 0;
    while rising(high) < 0.0 {
        if doublings == DOUBLINGS_LIMIT {
            return None;
        }
        low = high;
        high *= 2.0;
        doublings += 1;
    }
    for _ in 0..HALVINGS_LIMIT {
        if high - low <= tolerance {
            return Some(0.5 * (low + high)).filter(|x| x.is_finite() && !rising(*x).is_nan());
        }
        let middle = 0.5 * (low + high);
        if rising(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_root_of_two() {
        for guess in [1e-6, 1.0, 1e6] {
            let root = rising_root(guess, 1e-12, |x| x * x - 2.0).unwrap();
            assert!((root - std::f64::consts::SQRT_2).abs() <= 1e-12);
        }
    }

    #[test]
    fn says_when_there_is_none() {
        assert_eq!(rising_root(1.0, 1e-9, |x| -1.0 / x), None);
        assert_eq!(rising_root(1.0, 1e-9, |_| f64::NAN), None);
        assert_eq!(rising_root(f64::NAN, 1e-9, |x| x - 1.0), None);
        assert_eq!(rising_root(1.0, 0.0, |x| x * x - 2.0), None);
    }
}
