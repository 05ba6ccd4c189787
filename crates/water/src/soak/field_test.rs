//! Soak rates from tests a person does with a spade, a can and a watch.
//!
//! Auger hole: in wet ground water leaves through wall and bottom at the soak rate K, so
//! π·r²·dh/dt = −K·(2π·r·h + π·r²), which gives K = (r/2)·ln((h₀ + r/2)/(h₁ + r/2))/t. A naive fall ÷ time counts
//! what left through the wall as if it had left through the bottom: several times too much.
//! Trial pit: the fall from three quarters to one quarter of the depth, over the wetted area at half depth:
//! K = V₇₅₋₂₅/(a₅₀·t) (BRE Digest 365). Ring with falling head, its water wetting a core of length L below:
//! K = (L/t)·ln(h₀/h₁). Double ring: rates of the intervals; the last ones are the basic rate.
//!
//! Sources: the auger hole is derived above (the inverse auger hole of ILRI Publication 16); pit BRE Digest
//! 365; falling head, course notes CE 3354, Texas Tech University; ring data Subramanya, Engineering Hydrology.
//! All hold for ground that was wetted first: a hole in dry ground drinks several times faster.

/// Soak rate from the fall of water in a hole of radius `r`, from `h₀` to `h₁` above its bottom.
///
/// # Panics
/// In debug builds, unless 0 ≤ `end_m` ≤ `start_m`, the radius and the time are positive.
pub fn auger_hole_m_s(radius_m: f64, start_m: f64, end_m: f64, seconds: f64) -> f64 {
    debug_assert!(0.0 <= end_m && end_m <= start_m, "start_m = {start_m}, end_m = {end_m}");
    debug_assert!(radius_m > 0.0 && seconds > 0.0, "radius_m = {radius_m}, seconds = {seconds}");
    let half_m = 0.5 * radius_m;
    half_m * libm::log((start_m + half_m) / (end_m + half_m)) / seconds
}

/// Soak rate from the fall of water in a pit with upright sides: the same law as the auger hole's, with the bed's area
/// over its rim, A/p, in place of r/2.
pub fn pit_m_s(length_m: f64, width_m: f64, fall_m: (f64, f64), seconds: f64) -> f64 {
    let bed_over_rim_m = length_m * width_m / (2.0 * (length_m + width_m));
    auger_hole_m_s(2.0 * bed_over_rim_m, fall_m.0, fall_m.1, seconds)
}

/// A trial pit with upright sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pit {
    /// Length of its bottom.
    pub length_m: f64,
    /// Width of its bottom.
    pub width_m: f64,
    /// Depth of water when full.
    pub water_m: f64,
}

impl Pit {
    /// Soak rate from the time the water takes from three quarters to one quarter of its depth.
    pub fn soak_m_s(&self, seconds_75_to_25: f64) -> f64 {
        let fallen_m3 = self.length_m * self.width_m * 0.5 * self.water_m;
        let wetted_m2 = self.length_m * self.width_m + (self.length_m + self.width_m) * self.water_m;
        fallen_m3 / (wetted_m2 * seconds_75_to_25)
    }
}

/// Soak rate from a ring whose level falls from `start_m` to `end_m` while its water wets a core `core_m` long.
pub fn falling_ring_m_s(core_m: f64, start_m: f64, end_m: f64, seconds: f64) -> f64 {
    debug_assert!(0.0 < end_m && end_m <= start_m, "start_m = {start_m}, end_m = {end_m}");
    core_m * libm::log(start_m / end_m) / seconds
}

/// Rates of the intervals between readings of what has soaked in, `(seconds, soaked_m)` each, from a start of
/// nothing at time 0.
pub fn interval_rates_m_s(readings: &[(f64, f64)]) -> Vec<f64> {
    let mut before = (0.0, 0.0);
    let mut rates = Vec::with_capacity(readings.len());
    for reading in readings {
        rates.push((reading.1 - before.1) / (reading.0 - before.0));
        before = *reading;
    }
    rates
}

/// Horton's curve f = f_c + (f₀ − f_c)·e^(−k·t), fitted by a straight line through ln(f − f_c) at the ends of
/// the intervals. None for fewer than two rates above the basic rate.
///
/// Returns f₀ in m/s and k in 1/s.
pub fn horton_fit(readings: &[(f64, f64)], basic_m_s: f64) -> Option<(f64, f64)> {
    let rates = interval_rates_m_s(readings);
    let points: Vec<(f64, f64)> = readings
        .iter()
        .zip(&rates)
        .filter(|(_, rate)| **rate > basic_m_s * (1.0 + RATE_ROUNDING))
        .map(|((seconds, _), rate)| (*seconds, libm::log(rate - basic_m_s)))
        .collect();
    let (at_zero, per_second) = straight_line(&points)?;
    Some((basic_m_s + libm::exp(at_zero), -per_second))
}

/// A rate this close above the basic rate, relatively, is the basic rate read again: its logarithm is noise.
const RATE_ROUNDING: f64 = 1e-9;

/// Kostiakov's curve F = a·t^b, fitted by a straight line through the logarithms. None for fewer than two
/// readings. Its rate goes to nothing with time: no basic rate can be read from it.
///
/// Returns a, the metres soaked in after one second, and b.
pub fn kostiakov_fit(readings: &[(f64, f64)]) -> Option<(f64, f64)> {
    let points: Vec<(f64, f64)> =
        readings.iter().map(|(seconds, soaked_m)| (libm::log(*seconds), libm::log(*soaked_m))).collect();
    let (at_zero, exponent) = straight_line(&points)?;
    Some((libm::exp(at_zero), exponent))
}

/// Least squares: the value at zero and the rise for each unit.
fn straight_line(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let n = points.len() as f64;
    if points.len() < 2 {
        return None;
    }
    let (mean_x, mean_y) =
        (points.iter().map(|p| p.0).sum::<f64>() / n, points.iter().map(|p| p.1).sum::<f64>() / n);
    let spread: f64 = points.iter().map(|p| (p.0 - mean_x) * (p.0 - mean_x)).sum();
    let together: f64 = points.iter().map(|p| (p.0 - mean_x) * (p.1 - mean_y)).sum();
    let rise = together / spread;
    (spread > 0.0).then_some((mean_y - rise * mean_x, rise))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::convert::m_s_to_mm_h;

    /// By hand: r 5 cm, 30 → 20 cm in half an hour: 25 mm · ln(325/225)/0.5 h = 18.39 mm/h, where fall ÷ time
    /// says 200; r 15 cm, 30 → 15: 76.62; r 7.5 cm, 30 → 5 in an hour: 50.62. Two decimals.
    #[test]
    fn auger_holes_by_hand() {
        for (radius_m, start_m, end_m, seconds, expected_mm_h) in [
            (0.05, 0.30, 0.20, 1800.0, 18.39),
            (0.15, 0.30, 0.15, 1800.0, 76.62),
            (0.075, 0.30, 0.05, 3600.0, 50.62),
        ] {
            let rate_mm_h = m_s_to_mm_h(auger_hole_m_s(radius_m, start_m, end_m, seconds));
            assert!((rate_mm_h - expected_mm_h).abs() <= 0.005, "{rate_mm_h}");
        }
    }

    /// The law itself: marching π·r²·dh = −K·(2π·r·h + π·r²)·dt in small steps gives the K back. 1e-4 is the
    /// error of 20 000 Euler steps, which is half the relative fall in one step.
    #[test]
    fn the_hole_gives_back_the_rate_it_was_emptied_with() {
        let (radius_m, rate_m_s, seconds) = (0.06_f64, 2e-6_f64, 5400.0_f64);
        let steps = 20_000;
        let mut head_m = 0.4_f64;
        for _ in 0..steps {
            head_m -= rate_m_s * (2.0 * head_m / radius_m + 1.0) * seconds / f64::from(steps);
        }
        let found_m_s = auger_hole_m_s(radius_m, 0.4, head_m, seconds);
        assert!((found_m_s / rate_m_s - 1.0).abs() <= 1e-4, "{found_m_s}");
    }

    /// BRE Digest 365's formula on a pit of 2.0 × 0.6 m with 1.0 m of water, 75 to 25 % in an hour:
    /// 0.60 m³ over 1.2 + 2.6 = 3.8 m² and 3600 s = 4.386e-5 m/s.
    #[test]
    fn a_pit_by_hand() {
        let pit = Pit { length_m: 2.0, width_m: 0.6, water_m: 1.0 };
        assert!((pit.soak_m_s(3600.0) - 4.386e-5).abs() <= 5e-9);
        assert!((m_s_to_mm_h(pit.soak_m_s(3600.0)) - 157.9).abs() <= 0.05);
    }

    /// The law itself, marched in a pit of 0.4 × 0.3 m: L·W·dh/dt = −K·(L·W + 2·(L + W)·h). 1e-4 as above.
    #[test]
    fn the_pit_gives_back_the_rate_it_was_emptied_with() {
        let (length_m, width_m, rate_m_s, seconds) = (0.4_f64, 0.3_f64, 3e-6_f64, 7200.0_f64);
        let mut head_m = 0.3_f64;
        for _ in 0..20_000 {
            let wetted = 1.0 + 2.0 * (length_m + width_m) * head_m / (length_m * width_m);
            head_m -= rate_m_s * wetted * seconds / 20_000.0;
        }
        let found_m_s = pit_m_s(length_m, width_m, (0.3, head_m), seconds);
        assert!((found_m_s / rate_m_s - 1.0).abs() <= 1e-4, "{found_m_s}");
    }

    /// Subramanya, Engineering Hydrology, example 3.8: a ring read at 5 … 130 min.
    const RING: [(f64, f64); 10] = [
        (5.0, 1.75),
        (10.0, 3.00),
        (15.0, 3.95),
        (25.0, 5.50),
        (45.0, 7.25),
        (60.0, 8.30),
        (75.0, 9.30),
        (90.0, 10.20),
        (110.0, 11.28),
        (130.0, 12.36),
    ];

    fn ring_si() -> Vec<(f64, f64)> {
        RING.iter().map(|(minutes, cm)| (60.0 * minutes, cm / 100.0)).collect()
    }

    /// The book's interval rates, cm/h, printed to a hundredth at the least.
    #[test]
    fn published_ring_rates() {
        let expected = [21.0, 15.0, 11.4, 9.3, 5.25, 4.2, 4.0, 3.6, 3.24, 3.24];
        for (rate_m_s, expected_cm_h) in interval_rates_m_s(&ring_si()).into_iter().zip(expected) {
            assert!((m_s_to_mm_h(rate_m_s) / 10.0 - expected_cm_h).abs() <= 0.005);
        }
    }

    /// The book's Horton fit over the first eight readings with f_c 3.24 cm/h: k 2.6751 1/h, ln(f₀ − f_c)
    /// 2.8868, so f₀ = 3.24 + e^2.8868 = 21.17 cm/h.
    #[test]
    fn published_horton_fit() {
        let basic_m_s = 0.0324 / 3600.0;
        let (start_m_s, k_per_s) = horton_fit(&ring_si()[..8], basic_m_s).unwrap();
        assert!((3600.0 * k_per_s - 2.6751).abs() <= 0.001);
        assert!((m_s_to_mm_h(start_m_s) / 10.0 - 21.17).abs() <= 0.02);
    }

    /// Subramanya, Engineering Hydrology, example 3.8 and problem 3.14: printed readings, fitted beforehand by an
    /// independent program: F = 8.2515·t^0.57700 cm and 42.448·t^0.78406 mm, t in hours. The readings have three figures
    /// and the fits five: 1e-4 of a, and of b.
    #[test]
    fn kostiakov_of_published_rings() {
        let (a, b) = kostiakov_fit(&ring_si()).unwrap();
        let a_cm_h = 100.0 * a * libm::pow(3600.0, b);
        assert!((a_cm_h - 8.2515).abs() <= 8e-4 && (b - 0.57700).abs() <= 1e-4, "{a_cm_h} {b}");
        let minutes_and_mm = [
            (10.0, 9.8),
            (20.0, 18.0),
            (30.0, 25.0),
            (50.0, 38.0),
            (80.0, 55.0),
            (120.0, 76.0),
            (160.0, 94.0),
            (200.0, 110.0),
            (280.0, 137.0),
            (360.0, 163.0),
        ];
        let readings: Vec<(f64, f64)> =
            minutes_and_mm.iter().map(|(minutes, mm)| (60.0 * minutes, mm / 1000.0)).collect();
        let (a, b) = kostiakov_fit(&readings).unwrap();
        let a_mm_h = 1000.0 * a * libm::pow(3600.0, b);
        assert!((a_mm_h - 42.448).abs() <= 4e-3 && (b - 0.78406).abs() <= 1e-4, "{a_mm_h} {b}");
    }

    /// The exact curve comes back from its own points: a 2 mm, b 0.6.
    #[test]
    fn kostiakov_finds_its_own_curve() {
        let readings: Vec<(f64, f64)> =
            (1..8).map(|i| f64::from(i * i)).map(|t| (t, 0.002 * libm::pow(t, 0.6))).collect();
        let (a, b) = kostiakov_fit(&readings).unwrap();
        assert!((a - 0.002).abs() < 1e-12 && (b - 0.6).abs() < 1e-12, "{a} {b}");
        assert_eq!(kostiakov_fit(&readings[..1]), None);
    }

    /// A ring flush with its core, 10 → 5 cm in ln 2 hours over a 10 cm core: 10 cm/h.
    #[test]
    fn falling_ring_by_hand() {
        let rate_m_s = falling_ring_m_s(0.10, 0.10, 0.05, 3600.0 * std::f64::consts::LN_2);
        assert!((m_s_to_mm_h(rate_m_s) - 100.0).abs() < 1e-9);
    }
}
