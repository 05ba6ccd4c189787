//! How a planted tree fills its place.
//!
//! Crown, height and roots grow from what is planted to what the kind becomes, straight with the years. The
//! ground that the roots have reached is the tree's own column of soil: its area gives litres from millimetres,
//! and the crown against that area says how near the tree's water use comes to that of a closed orchard.
//!
//! Source: root rules in [`crate::roots`], density in [`crate::orchard`]. Straight growth over a stated number
//! of years is common practice, no source. Leaves out: pruning, setbacks, alternate years.

use std::f64::consts::PI;

use crate::coefficients::height_term;
use crate::orchard::{MOST_PER_COVER, density_frac, round_effective_cover_frac};
use crate::roots;

/// Days in a year of the seasons, 365.25.
const DAYS_PER_YEAR: f64 = 365.25;

/// From the planting hole to the mature tree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// Depth of the planting hole, m.
    pub hole_depth_m: f64,
    /// Radius of the planting hole, m.
    pub hole_radius_m: f64,
    /// Depth of the roots when grown, m; the soil may allow less.
    pub root_depth_m: f64,
    /// Years until the roots are that deep.
    pub root_depth_years: f64,
    /// Width of the crown when planted and when grown, m.
    pub crown_width_m: [f64; 2],
    /// Height when planted and when grown, m.
    pub height_m: [f64; 2],
    /// Years until crown and height are grown.
    pub crown_years: f64,
    /// How far roots may reach before they meet the neighbours', m.
    pub reach_limit_m: f64,
    /// Sine of the noon sun's height in the growing season, see [`crate::orchard::noon_sine`].
    pub noon_sine: f64,
}

/// What a tree measures at one age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stature {
    /// Depth of the roots, m.
    pub root_depth_m: f64,
    /// Ground that the roots have reached, m².
    pub area_m2: f64,
    /// Share of that ground under the crown.
    pub cover_frac: f64,
    /// How near the tree's use comes to that of a closed orchard.
    pub density_frac: f64,
    /// (h/3)^0.3 of the climate adjustment.
    pub height_term: f64,
}

impl Growth {
    /// The tree at an age.
    pub fn stature(&self, age_days: u32) -> Stature {
        let age_years = f64::from(age_days) / DAYS_PER_YEAR;
        let grown = (age_years / self.crown_years).min(1.0);
        let between = |[planted, mature]: [f64; 2]| planted + (mature - planted) * grown;
        let crown_radius_m = between(self.crown_width_m) / 2.0;
        let height_m = between(self.height_m);
        let reach_m = roots::reach_m(self.hole_radius_m, crown_radius_m, self.reach_limit_m, age_years);
        let area_m2 = PI * reach_m * reach_m;
        let cover_frac = (PI * crown_radius_m * crown_radius_m / area_m2).min(1.0);
        let shade_frac = round_effective_cover_frac(cover_frac, self.noon_sine);
        let full_depth_m = self.root_depth_m.max(self.hole_depth_m);
        Stature {
            root_depth_m: roots::depth_m(self.hole_depth_m, full_depth_m, age_years, self.root_depth_years),
            area_m2,
            cover_frac,
            density_frac: density_frac(cover_frac, shade_frac, height_m, MOST_PER_COVER),
            height_term: height_term(height_m),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A whip of 0.3 m crown in a hole of 0.3 m radius covers a quarter of its ground; when its crown of 4 m has
    /// grown into a place of 2.5 m reach it covers (2/2.5)² = 0.64 of it. The noon sun stands in the zenith.
    #[test]
    fn a_tree_fills_its_place() {
        let growth = Growth {
            hole_depth_m: 0.3,
            hole_radius_m: 0.3,
            root_depth_m: 1.2,
            root_depth_years: 5.0,
            crown_width_m: [0.3, 4.0],
            height_m: [1.0, 4.0],
            crown_years: 10.0,
            reach_limit_m: 2.5,
            noon_sine: 1.0,
        };
        let planted = growth.stature(0);
        assert!((planted.cover_frac - 0.25).abs() <= 1e-12);
        assert!((planted.area_m2 - PI * 0.09).abs() <= 1e-12);
        assert_eq!(planted.root_depth_m, 0.3);
        // min(2 · 0.25, 0.25^(1/2)) for 1 m of height: both limbs give a half.
        assert!((planted.density_frac - 0.5).abs() <= 1e-12);
        let grown = growth.stature(20 * 366);
        assert!((grown.cover_frac - 0.64).abs() <= 1e-12);
        assert_eq!(grown.root_depth_m, 1.2);
        let mut last = planted;
        for age_days in 0..8000 {
            let now = growth.stature(age_days);
            assert!(now.area_m2 >= last.area_m2 && now.root_depth_m >= last.root_depth_m, "day {age_days}");
            last = now;
        }
    }
}
