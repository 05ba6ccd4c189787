//! What disturbs a hose level, and by how much.
//!
//! Water stands at one level at both ends, if both ends are open, no air sits in the hose, the water is of
//! one temperature, the bores are equal, and it has come to rest.
//!
//! Swing of the water: period 2π·√(l / 2g) (a column of length l between two open ends).
//! Warm water in one leg stands higher by β·ΔT·h. Water climbs a bore of diameter D by 4γ / ρgD.
//!
//! Source: hydrostatics of a U-tube; constants of water at 20 °C beside each name.
//! Leaves out: bubbles, which cost up to the height they fill, and friction, which damps the swing.

/// Gravity, m/s² (standard value, CGPM 1901).
const GRAVITY_M_S2: f64 = 9.806_65;
/// Expansion of water at 20 °C, 1/K. From memory, unverified.
const WATER_EXPANSION_PER_K: f64 = 2.07e-4;
/// Surface tension of water at 20 °C over its weight, m²: 0.0728 N/m ÷ (998 kg/m³ · g). From memory, unverified.
const TENSION_OVER_WEIGHT_M2: f64 = 0.0728 / (998.0 * GRAVITY_M_S2);

/// Time of one swing of the water after the staffs were moved: wait for several.
pub fn swing_s(hose_m: f64) -> f64 {
    2.0 * std::f64::consts::PI * (hose_m / (2.0 * GRAVITY_M_S2)).sqrt()
}

/// How much higher the water stands in a leg that is warmer by so much, over a column this high.
pub fn warm_leg_m(column_m: f64, warmer_k: f64) -> f64 {
    WATER_EXPANSION_PER_K * warmer_k * column_m
}

/// How far water climbs in a bore: cancels only where both bores are equal.
pub fn climb_m(bore_m: f64) -> f64 {
    4.0 * TENSION_OVER_WEIGHT_M2 / bore_m
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2π√(l/2g) by hand: √(10/19.61) = 0.714 → 4.5 s; 20 m 6.3 s; 30 m 7.8 s. Tenths, so half of one.
    #[test]
    fn swing_by_hand() {
        for (hose_m, seconds) in [(10.0, 4.5), (20.0, 6.3), (30.0, 7.8)] {
            assert!((swing_s(hose_m) - seconds).abs() <= 0.05, "{hose_m}");
        }
    }

    /// 2.07e-4 · 10 · 1.5 = 3.1 mm; 4·0.0728/(998·9.807·0.008) = 3.7 mm, 3.0 at 10 mm, 2.5 at 12 mm.
    #[test]
    fn warm_and_narrow_by_hand() {
        assert!((1000.0 * warm_leg_m(1.5, 10.0) - 3.1).abs() <= 0.05);
        for (bore_mm, climb_mm) in [(8.0, 3.7), (10.0, 3.0), (12.0, 2.5)] {
            assert!((1000.0 * climb_m(bore_mm / 1000.0) - climb_mm).abs() <= 0.05, "{bore_mm}");
        }
    }
}
