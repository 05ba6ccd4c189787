//! Mulch: how much it saves, and how much of it to carry.
//!
//! Straw or chips on the ground shade it and keep the wind off: the soil loses about 5 % less for each 10 % of
//! its surface that is covered. What the tree drinks is unchanged.
//!
//! Source: Allen et al. 1998, FAO Irrigation and Drainage Paper 56, ch. 10, p. 195–199, which calls the rule
//! approximate and gives no effect of depth: none is used here. Volume is that of a ring, π (R² − r²) d.
//! Leaves out: rain that the mulch itself keeps and gives back to the air; plastic sheet, which is another case.

use std::f64::consts::PI;

/// Share of soil evaporation that a complete organic mulch saves (FAO-56, ch. 10).
const MOST_SAVED_FRAC: f64 = 0.5;

/// Why a mulch ring cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MulchError {
    /// The bare collar round the trunk reaches to the ring's edge.
    #[error(
        "a mulch ring of {radius_m} m radius with {clear_m} m kept bare round the trunk has no room for mulch: \
         widen the ring or narrow the bare collar"
    )]
    NoRing {
        /// Outer radius as given.
        radius_m: f64,
        /// Bare radius as given.
        clear_m: f64,
    },
    /// Depth is not a thickness.
    #[error("a mulch {depth_m} m deep is impossible: give a depth above 0")]
    Depth {
        /// Depth as given.
        depth_m: f64,
    },
}

/// Factor on the evaporation of soil of which the share `covered_frac` lies under organic mulch.
pub fn evaporation_frac(covered_frac: f64) -> f64 {
    debug_assert!((0.0..=1.0).contains(&covered_frac), "covered_frac = {covered_frac}");
    1.0 - MOST_SAVED_FRAC * covered_frac
}

/// Volume of a mulch ring with a bare collar round the trunk, m³.
///
/// # Errors
/// A collar as wide as the ring, or no depth.
pub fn ring_m3(radius_m: f64, clear_m: f64, depth_m: f64) -> Result<f64, MulchError> {
    if !(0.0 <= clear_m && clear_m < radius_m && radius_m.is_finite()) {
        return Err(MulchError::NoRing { radius_m, clear_m });
    }
    if !(0.0 < depth_m && depth_m.is_finite()) {
        return Err(MulchError::Depth { depth_m });
    }
    Ok(PI * (radius_m * radius_m - clear_m * clear_m) * depth_m)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAO-56, ch. 10: 5 % for each 10 %, so 25 % at half and 50 % at full cover.
    #[test]
    fn published_saving() {
        for (covered, factor) in [(0.0, 1.00), (0.1, 0.95), (0.5, 0.75), (1.0, 0.50)] {
            assert!((evaporation_frac(covered) - factor).abs() <= 1e-12, "{covered}");
        }
    }

    /// π (R² − r²) d by hand, to a tenth of a litre.
    #[test]
    fn volume_of_a_ring() {
        for (radius_m, clear_m, depth_m, litres) in [
            (0.50, 0.10, 0.05, 37.7),
            (0.75, 0.10, 0.08, 138.9),
            (1.00, 0.10, 0.10, 311.0),
            (1.50, 0.15, 0.10, 699.8),
        ] {
            let found_l = 1000.0 * ring_m3(radius_m, clear_m, depth_m).unwrap();
            assert!((found_l - litres).abs() <= 0.05, "{found_l}");
        }
        assert!(ring_m3(0.1, 0.1, 0.1).is_err());
        assert!(ring_m3(f64::NAN, 0.1, 0.1).is_err());
        assert!(ring_m3(1.0, 0.1, 0.0).is_err());
    }
}
