//! What one sight is off by, however well it was read.
//!
//! The ground curves away below a straight line of sight and the air bends the line a little after it:
//! 0.0673·d² metres with d in kilometres. A staff that leans by α reads r/cos α instead of r.
//!
//! Source: the constant, US Navy Engineering Aid course 14071, "Level computations"; the staff, geometry.
//! Both vanish where backsight and foresight are of one length and the staff is plumb.

/// Curvature and refraction, m per km². Read as 0.067 28 in surveying texts.
const CURVATURE_M_PER_KM2: f64 = 0.0673;

/// How much too high a reading is at this distance, because the ground curves away.
pub fn curvature_m(sight_m: f64) -> f64 {
    let sight_km = sight_m / 1000.0;
    CURVATURE_M_PER_KM2 * sight_km * sight_km
}

/// How much too high a leaning staff reads.
pub fn leaning_staff_m(reading_m: f64, lean_rad: f64) -> f64 {
    reading_m * (1.0 / libm::cos(lean_rad) - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0.0673·0.05² = 0.17 mm, 0.0673·0.1² = 0.67 mm; 3·(1/cos 2° − 1) = 1.83 mm. Tenths, so half of one.
    #[test]
    fn small_faults_by_hand() {
        for (sight_m, mm) in [(50.0, 0.2), (100.0, 0.7)] {
            assert!((1000.0 * curvature_m(sight_m) - mm).abs() <= 0.05);
        }
        let lean = quantity::convert::deg_to_rad(2.0);
        assert!((1000.0 * leaning_staff_m(3.0, lean) - 1.8).abs() <= 0.05);
    }
}
