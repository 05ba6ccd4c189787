//! Stones in the ground: water goes round them.
//!
//! Ground of which the share v is stones passes (1 − v)/(1 + v/2) times what its fine earth alone would.
//!
//! Source: Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569–1578, eq. 19 and 22, which take stones by mass m:
//! K/K_fine = (1 − m)/(1 − m·(1 − 1.5·α)), v = α·m/(1 − m·(1 − α)), with α the density of the fine earth over that of
//! stone. Putting m = v/(v + α·(1 − v)) from the second into the first leaves v alone. Leaves out: stones that water
//! runs down along, gaps between them, and stone that itself soaks.

/// What ground passes with this share of its volume stones, over its fine earth.
///
/// # Panics
/// In debug builds, outside 0 to below 1.
pub fn passes_times(stones_frac: f64) -> f64 {
    debug_assert!((0.0..=1.0).contains(&stones_frac), "stones_frac = {stones_frac}");
    (1.0 - stones_frac) / (1.0 + 0.5 * stones_frac)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Eq. 22 by mass and eq. 19, for fine earth of 1.2 to 1.6 t/m³ between stones of 2.65, give the same.
    #[test]
    fn by_volume_is_by_mass() {
        for density_t_m3 in [1.2, 1.43, 1.6] {
            for mass_frac in [0.0, 0.1, 0.3, 0.5, 0.8] {
                let alpha = density_t_m3 / 2.65;
                let volume_frac = alpha * mass_frac / (1.0 - mass_frac * (1.0 - alpha));
                let by_mass = (1.0 - mass_frac) / (1.0 - mass_frac * (1.0 - 1.5 * alpha));
                assert!((passes_times(volume_frac) - by_mass).abs() <= 1e-12, "{mass_frac}");
            }
        }
        assert_eq!(passes_times(0.0), 1.0);
    }
}
