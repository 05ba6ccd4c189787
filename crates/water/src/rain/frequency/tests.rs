use super::*;

/// Eleven values of the test suite of Hosking's package, as carried on by a public translation of it.
const HOSKING: [f64; 11] = [2.0, 3.0, 4.0, 2.4, 5.5, 1.2, 5.4, 2.2, 7.1, 1.3, 1.5];

/// Chicago, greatest 10-minute rain of each year 1913–1947, inches: Chow, Maidment & Mays 1988, example 12.2.1.
const CHICAGO: [f64; 35] = [
    0.49, 0.66, 0.36, 0.58, 0.41, 0.47, 0.74, 0.53, 0.76, 0.57, 0.80, 0.66, 0.68, 0.68, 0.61, 0.88, 0.49,
    0.33, 0.96, 0.94, 0.80, 0.62, 0.71, 1.11, 0.64, 0.52, 0.64, 0.34, 0.70, 0.57, 0.92, 0.66, 0.65, 0.63,
    0.60,
];

/// Amarillo, Texas, greatest 7-day rain of each year 1948–1994, inches: USGS Water-Resources Investigations Report
/// 98-4044.
const AMARILLO: [f64; 47] = [
    4.39, 4.85, 4.15, 8.54, 1.72, 3.32, 2.42, 3.07, 1.98, 3.72, 4.14, 4.43, 9.14, 3.56, 6.25, 2.77, 3.96,
    6.07, 2.82, 2.19, 2.30, 3.66, 1.37, 3.90, 1.99, 2.62, 4.16, 2.75, 2.66, 2.62, 6.16, 4.72, 1.98, 3.12,
    5.02, 3.08, 4.96, 3.00, 3.35, 3.23, 4.73, 3.56, 3.13, 2.05, 4.60, 4.09, 2.66,
];

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} against {expected}");
}

/// Hosking's package: l₁ 3.23636364, l₂ 1.14181818, t₃ 0.27388535, t₄ 0.02335456; GEV and Gumbel with quantiles at
/// 0.2, 0.5 and 0.8. Its k is iterated to 1e-6 or so: 1e-5.
#[test]
fn published_l_moments_and_fits() {
    let moments = l_moments(&HOSKING).unwrap();
    near(moments.l1, 3.236_363_64, 1e-7);
    near(moments.l2, 1.141_818_18, 1e-7);
    near(moments.t3, 0.273_885_35, 1e-7);
    near(moments.t4, 0.023_354_56, 1e-7);
    let gev = Extremes::gev(&moments).unwrap();
    near(gev.place, 2.179_288_4, 1e-5);
    near(gev.spread, 1.395_640_4, 1e-5);
    near(gev.k, -0.155_560_9, 1e-5);
    for (below, expected) in [(0.2, 1.539_112), (0.5, 2.705_672), (0.8, 4.537_048)] {
        near(gev.quantile(below), expected, 1e-5);
    }
    let gumbel = Extremes::gumbel(&moments);
    near(gumbel.place, 2.285_519, 1e-6);
    near(gumbel.spread, 1.647_295, 1e-6);
    for (below, expected) in [(0.2, 1.501_596), (0.5, 2.889_274), (0.8, 4.756_363)] {
        near(gumbel.quantile(below), expected, 1e-6);
    }
}

/// Fits of the Chicago record by L-moments, worked out beforehand by an independent library.
#[test]
fn chicago_by_l_moments() {
    let moments = l_moments(&CHICAGO).unwrap();
    near(moments.l1, 0.648_857, 5e-7);
    near(moments.l2, 0.099_479, 5e-7);
    near(moments.t3, 0.071_250, 1e-6);
    near(moments.t4, 0.202_818, 1e-6);
    let gumbel = Extremes::gumbel(&moments);
    near(gumbel.place, 0.56602, 1e-5);
    near(gumbel.spread, 0.14352, 1e-5);
    near(gumbel.once_in(10.0), 0.889, 5e-4);
    near(gumbel.once_in(100.0), 1.226, 5e-4);
    let gev = Extremes::gev(&moments).unwrap();
    near(gev.place, 0.57730, 1e-5);
    near(gev.spread, 0.16305, 1e-5);
    near(gev.k, 0.15980, 1e-5);
    near(gev.once_in(10.0), 0.885, 5e-4);
    near(gev.once_in(100.0), 1.108, 5e-4);
}

/// Fits of the Amarillo record by L-moments, worked out beforehand by an independent library.
#[test]
fn amarillo_by_l_moments() {
    let moments = l_moments(&AMARILLO).unwrap();
    near(moments.l1, 3.72255, 5e-6);
    near(moments.l2, 0.84180, 1e-5);
    near(moments.t3, 0.22957, 1e-5);
    near(moments.t4, 0.19636, 1e-5);
    let gev = Extremes::gev(&moments).unwrap();
    near(gev.k, -0.0907, 5e-5);
    near(gev.place, 2.9739, 1e-4);
    near(gev.spread, 1.1088, 1e-4);
    for (years, inches) in [(2.0, 3.39), (5.0, 4.76), (10.0, 5.74), (25.0, 7.09), (50.0, 8.16), (100.0, 9.30)]
    {
        near(gev.once_in(years), inches, 0.006);
    }
    let gumbel = Extremes::gumbel(&moments);
    near(gumbel.place, 3.0215, 1e-4);
    near(gumbel.spread, 1.2145, 1e-4);
    near(gumbel.once_in(10.0), 5.75, 0.006);
    near(gumbel.once_in(100.0), 8.61, 0.006);
}

/// FHWA HDS-2, 2002, table 4.25: chance of at least one in n years, three decimals.
#[test]
fn published_chances() {
    let years = [2.0, 5.0, 10.0, 25.0, 50.0, 100.0];
    for (n, row) in [
        (1.0, [0.500, 0.200, 0.100, 0.040, 0.020, 0.010]),
        (5.0, [0.969, 0.672, 0.410, 0.185, 0.096, 0.049]),
        (10.0, [0.999, 0.893, 0.651, 0.335, 0.183, 0.096]),
    ] {
        for (t, expected) in years.into_iter().zip(row) {
            near(chance_within(t, n), expected, 0.0006);
        }
    }
    for (t, expected) in [(5.0, 0.988), (10.0, 0.878), (25.0, 0.558), (50.0, 0.332), (100.0, 0.182)] {
        near(chance_within(t, 20.0), expected, 0.0006);
    }
    for (t, expected) in [(10.0, 0.995), (25.0, 0.870), (50.0, 0.636), (100.0, 0.395)] {
        near(chance_within(t, 50.0), expected, 0.0006);
    }
}

/// A GEV of k = 0 is Gumbel's, and the skewness of Gumbel's curve is 2·ln 3/ln 2 − 3 = 0.169925.
#[test]
fn gev_of_gumbel_skewness_is_gumbel() {
    let moments =
        LMoments { l1: 50.0, l2: 8.0, t3: 2.0 * libm::log(3.0) / std::f64::consts::LN_2 - 3.0, t4: 0.15 };
    let (gev, gumbel) = (Extremes::gev(&moments).unwrap(), Extremes::gumbel(&moments));
    near(gev.once_in(100.0), gumbel.once_in(100.0), 1e-4);
}

#[test]
fn useless_records_are_refused() {
    assert!(matches!(l_moments(&[1.0, 2.0, 3.0]), Err(RecordError::TooShort { found: 3 })));
    assert!(matches!(l_moments(&[1.0, 2.0, f64::NAN, 3.0]), Err(RecordError::BadValue { index: 2, .. })));
    assert!(matches!(l_moments(&[1.0, 2.0, -1.0, 3.0]), Err(RecordError::BadValue { index: 2, .. })));
    assert!(matches!(l_moments(&[2.0; 10]), Err(RecordError::NoCurve { .. })));
}
