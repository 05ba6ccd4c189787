//! How tests of this crate compare numbers with printed ones.

/// Both numbers agree within a tolerance.
#[track_caller]
pub(crate) fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} is not {expected} ± {tolerance}");
}

/// A function gives each printed value at its argument.
#[track_caller]
pub(crate) fn all_near(f: impl Fn(f64) -> f64, tolerance: f64, pairs: &[(f64, f64)]) {
    for (argument, expected) in pairs {
        let found = f(*argument);
        assert!(
            (found - expected).abs() <= tolerance,
            "at {argument}: {found} is not {expected} ± {tolerance}"
        );
    }
}
