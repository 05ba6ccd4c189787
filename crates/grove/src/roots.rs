//! How deep and how wide the roots of a planted tree reach.
//!
//! A tree from the nursery drinks from its planting hole. Year by year its roots reach deeper, to what its kind
//! and the soil allow, and wider, to about three times the radius of its crown, until they meet its neighbours'.
//!
//! Depth: a straight line from hole to full depth over the years to full depth. Allen et al. 1998 (FAO-56,
//! eq. 8-3) draw this line over one season of an annual crop; to draw it over years is our extension.
//! Width: 3 times the branch radius once established (UF/IFAS Extension, establishment period for trees); 2.75
//! times three years after planting from containers (Gilman and Kane 1991, J. Amer. Soc. Hort. Sci. 116:637–641),
//! so the ratio is taken to be reached in three years.
//! Leaves out: pans, stones, trenching, and what a swale's wet strip does to the direction of roots.

use std::f64::consts::PI;

/// Root radius against crown radius of an established tree (UF/IFAS Extension, establishment period for trees).
const ROOT_PER_CROWN: f64 = 3.0;
/// Years until roots have that reach (Gilman and Kane 1991: 2.75 times after three years).
const YEARS_TO_REACH: f64 = 3.0;

/// A straight line from `from` at 0 to `to` at `years`, level after that.
fn straight(from: f64, to: f64, age_years: f64, years: f64) -> f64 {
    if age_years >= years { to } else { from + (to - from) * age_years / years }
}

/// Depth of the roots, m (FAO-56, eq. 8-3, over years). Time before planting has the depth of the hole.
pub fn depth_m(hole_m: f64, full_m: f64, age_years: f64, years_to_full: f64) -> f64 {
    straight(hole_m, full_m, age_years.max(0.0), years_to_full)
}

/// How far roots reach from the trunk, m: never less than the hole, never beyond `limit_m`, half the way to the
/// neighbours.
pub fn reach_m(hole_radius_m: f64, crown_radius_m: f64, limit_m: f64, age_years: f64) -> f64 {
    let established_m = (ROOT_PER_CROWN * crown_radius_m).min(limit_m);
    if established_m <= hole_radius_m {
        return hole_radius_m;
    }
    straight(hole_radius_m, established_m, age_years.max(0.0), YEARS_TO_REACH)
}

/// Area of a disc round the trunk that lies between two straight edges, m²: what a wet strip beside a line
/// shares with a tree's roots. `near_m` and `far_m` are the distances of the edges from the trunk, positive on
/// one side and negative on the other.
///
/// The part of a disc of radius R on one side of a chord at distance c is R² acos(c/R) − c √(R² − c²).
pub fn shared_with_strip_m2(reach_m: f64, near_m: f64, far_m: f64) -> f64 {
    debug_assert!(near_m <= far_m, "near_m = {near_m}, far_m = {far_m}");
    beyond_chord_m2(reach_m, near_m) - beyond_chord_m2(reach_m, far_m)
}

fn beyond_chord_m2(radius_m: f64, chord_m: f64) -> f64 {
    if chord_m >= radius_m {
        return 0.0;
    }
    if chord_m <= -radius_m {
        return PI * radius_m * radius_m;
    }
    let across_m = (radius_m * radius_m - chord_m * chord_m).sqrt();
    radius_m * radius_m * libm::acos(chord_m / radius_m) - chord_m * across_m
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAO-56, eq. 8-3 with Zr 0.3 to 1.2 m between days 100 and 300, worked out by hand.
    #[test]
    fn depth_follows_the_straight_line() {
        for (day, expected_m) in
            [(100.0, 0.300), (150.0, 0.525), (200.0, 0.750), (300.0, 1.200), (400.0, 1.200)]
        {
            assert!((depth_m(0.3, 1.2, day - 100.0, 200.0) - expected_m).abs() <= 1e-12, "day {day}");
        }
        assert_eq!(depth_m(0.3, 1.2, -5.0, 200.0), 0.3);
    }

    /// Gilman and Kane 1991: 2.75 branch radii after three years; the line gives 3, a twelfth more, so the tree
    /// has at least that.
    #[test]
    fn published_reach_after_three_years() {
        let found_m = reach_m(0.25, 0.6, 10.0, 3.0);
        assert!((found_m - 1.8).abs() <= 1e-12 && found_m >= 2.75 * 0.6);
        assert_eq!(reach_m(0.25, 2.0, 2.5, 10.0), 2.5);
        assert_eq!(reach_m(0.4, 0.1, 2.5, 1.0), 0.4);
    }

    /// Half the disc, the whole disc, none of it; and a strip of small width is a chord long: 2 √(R² − c²) dw.
    #[test]
    fn strips_share_discs() {
        assert!((shared_with_strip_m2(2.0, 0.0, 9.0) - 2.0 * PI).abs() <= 1e-12);
        assert!((shared_with_strip_m2(2.0, -9.0, 9.0) - 4.0 * PI).abs() <= 1e-12);
        assert_eq!(shared_with_strip_m2(2.0, 2.0, 9.0), 0.0);
        let thin_m2 = shared_with_strip_m2(2.0, 1.0, 1.0 + 1e-6);
        assert!((thin_m2 / 1e-6 - 2.0 * 3.0_f64.sqrt()).abs() <= 1e-4, "{thin_m2}");
    }
}
