//! The USDA texture triangle, read so that every mixture has exactly one class.
//!
//! Rub a soil and it feels of sand, silt or clay; weigh the three and the triangle gives the mixture a name.
//! Only the fine earth counts, grains under 2 mm: sand down to 0.05 mm, silt down to 0.002 mm, clay below.
//!
//! Source: boundaries of the texture triangle in USDA, *Soil Survey Manual* (Agriculture Handbook 18), ch. 3.
//! The handbook's sentences leave points on shared edges to two classes or to none; here an edge belongs to the
//! class that the order below reaches first, which closes the triangle without gap or overlap.
//! Leaves out: gravel, organic matter, and what the minerals of the clay do.

use super::Texture;

/// Least sum of shares that rounding of three whole percents can leave, and what it can add: 33 + 33 + 33 and
/// 34 + 34 + 33, with a further per cent for readings to half a division.
const SUM_SLACK: f64 = 0.02;

/// Why three shares are no soil.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum GrainsError {
    /// A share is not a number from 0 to 1.
    #[error(
        "a share of {share_frac} of the soil is impossible: give sand, silt and clay as shares from 0 to 1"
    )]
    Share {
        /// The share as given.
        share_frac: f64,
    },
    /// The shares are far from a whole.
    #[error(
        "sand, silt and clay add up to {sum_frac}, not to 1: measure again, or leave out what is no grain"
    )]
    Sum {
        /// Their sum.
        sum_frac: f64,
    },
}

impl Texture {
    /// Class of a fine earth by its shares of sand, silt and clay. Shares that miss a whole by rounding are
    /// scaled to one first.
    ///
    /// # Errors
    /// A share below 0 or above 1, or shares that add up to less than 0.98 or more than 1.02.
    pub fn of(sand_frac: f64, silt_frac: f64, clay_frac: f64) -> Result<Texture, GrainsError> {
        for share_frac in [sand_frac, silt_frac, clay_frac] {
            if !(0.0..=1.0).contains(&share_frac) {
                return Err(GrainsError::Share { share_frac });
            }
        }
        let sum_frac = sand_frac + silt_frac + clay_frac;
        if (sum_frac - 1.0).abs() > SUM_SLACK + f64::EPSILON {
            return Err(GrainsError::Sum { sum_frac });
        }
        Ok(class(percent(sand_frac / sum_frac), percent(silt_frac / sum_frac), percent(clay_frac / sum_frac)))
    }
}

/// Percent to the hundred-millionth, so that 0.45 of a soil meets the edge at 45 % that it is meant to meet.
fn percent(share_frac: f64) -> f64 {
    const PER_PERCENT: f64 = 1e8;
    (100.0 * share_frac * PER_PERCENT).round() / PER_PERCENT
}

/// The triangle in percent.
fn class(sand: f64, silt: f64, clay: f64) -> Texture {
    if silt + 1.5 * clay < 15.0 {
        return Texture::Sand;
    }
    if silt + 2.0 * clay < 30.0 {
        return Texture::LoamySand;
    }
    if (7.0..20.0).contains(&clay) && sand > 52.0 || clay < 7.0 && silt < 50.0 {
        return Texture::SandyLoam;
    }
    if (7.0..27.0).contains(&clay) && (28.0..50.0).contains(&silt) {
        return Texture::Loam;
    }
    if clay < 27.0 && silt >= 50.0 {
        return if silt >= 80.0 && clay < 12.0 { Texture::Silt } else { Texture::SiltLoam };
    }
    if clay < 35.0 && silt < 28.0 && sand > 45.0 {
        return Texture::SandyClayLoam;
    }
    heavy_class(sand, silt, clay)
}

/// The clay end of the triangle.
fn heavy_class(sand: f64, silt: f64, clay: f64) -> Texture {
    match clay {
        ..40.0 if sand <= 20.0 => Texture::SiltyClayLoam,
        ..40.0 if sand <= 45.0 => Texture::ClayLoam,
        _ if sand > 45.0 => Texture::SandyClay,
        _ if silt >= 40.0 => Texture::SiltyClay,
        _ => Texture::Clay,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether the point lies in the class by the class's own conditions, each written out in full as the
    /// handbook does: independent of the order in which [`class`] asks.
    fn lies_in(texture: Texture, sand: f64, silt: f64, clay: f64) -> bool {
        match texture {
            Texture::Sand => silt + 1.5 * clay < 15.0,
            Texture::LoamySand => silt + 1.5 * clay >= 15.0 && silt + 2.0 * clay < 30.0,
            Texture::SandyLoam => {
                let open = silt + 2.0 * clay >= 30.0;
                open && ((7.0..20.0).contains(&clay) && sand > 52.0 || clay < 7.0 && silt < 50.0)
            }
            Texture::Loam => (7.0..27.0).contains(&clay) && (28.0..50.0).contains(&silt) && sand <= 52.0,
            Texture::SiltLoam => {
                silt >= 50.0 && (12.0..27.0).contains(&clay) || (50.0..80.0).contains(&silt) && clay < 12.0
            }
            Texture::Silt => silt >= 80.0 && clay < 12.0,
            Texture::SandyClayLoam => (20.0..35.0).contains(&clay) && silt < 28.0 && sand > 45.0,
            Texture::ClayLoam => (27.0..40.0).contains(&clay) && 20.0 < sand && sand <= 45.0,
            Texture::SiltyClayLoam => (27.0..40.0).contains(&clay) && sand <= 20.0,
            Texture::SandyClay => clay >= 35.0 && sand > 45.0,
            Texture::SiltyClay => clay >= 40.0 && silt >= 40.0,
            Texture::Clay => clay >= 40.0 && sand <= 45.0 && silt < 40.0,
        }
    }

    const ALL: [Texture; 12] = [
        Texture::Sand,
        Texture::LoamySand,
        Texture::SandyLoam,
        Texture::Loam,
        Texture::SiltLoam,
        Texture::Silt,
        Texture::SandyClayLoam,
        Texture::ClayLoam,
        Texture::SiltyClayLoam,
        Texture::SandyClay,
        Texture::SiltyClay,
        Texture::Clay,
    ];

    /// Every mixture in half percents lies in exactly one class, and it is the one that is found.
    #[test]
    fn the_triangle_is_closed() {
        for a in 0..=200_u32 {
            for b in 0..=200 - a {
                let (sand, silt) = (f64::from(a) / 2.0, f64::from(b) / 2.0);
                let clay = 100.0 - sand - silt;
                let found = class(sand, silt, clay);
                for texture in ALL {
                    assert_eq!(lies_in(texture, sand, silt, clay), texture == found, "{sand} {silt} {clay}");
                }
            }
        }
    }

    /// Points of the 1 % grid by class, counted from the handbook's own conditions as in `lies_in`; clay has
    /// by far the most.
    #[test]
    fn whole_percents_by_class() {
        let mut counts = [0; 12];
        for sand in 0..=100_u32 {
            for silt in 0..=100 - sand {
                let clay = 100 - sand - silt;
                let share = |percent: u32| f64::from(percent) / 100.0;
                let found = Texture::of(share(sand), share(silt), share(clay)).unwrap();
                counts[ALL.iter().position(|texture| *texture == found).unwrap()] += 1;
            }
        }
        assert_eq!(counts, [85, 155, 565, 349, 840, 186, 392, 325, 273, 210, 231, 1540]);
    }

    /// Points on and beside edges, worked out from the handbook's conditions.
    #[test]
    fn edges_belong_to_one_class() {
        for (sand, silt, clay, expected) in [
            (85.0, 15.0, 0.0, Texture::LoamySand),
            (86.0, 14.0, 0.0, Texture::Sand),
            (90.0, 0.0, 10.0, Texture::LoamySand),
            (90.1, 0.0, 9.9, Texture::Sand),
            (85.0, 0.0, 15.0, Texture::SandyLoam),
            (70.0, 30.0, 0.0, Texture::SandyLoam),
            (71.0, 29.0, 0.0, Texture::LoamySand),
            (80.0, 5.0, 15.0, Texture::SandyLoam),
            (80.0, 0.0, 20.0, Texture::SandyClayLoam),
            (8.0, 80.0, 12.0, Texture::SiltLoam),
            (9.0, 80.0, 11.0, Texture::Silt),
            (52.0, 41.0, 7.0, Texture::Loam),
            (52.0, 42.0, 6.0, Texture::SandyLoam),
            (52.1, 40.9, 7.0, Texture::SandyLoam),
            (53.0, 27.0, 20.0, Texture::SandyClayLoam),
            (52.0, 28.0, 20.0, Texture::Loam),
            (52.0, 27.0, 21.0, Texture::SandyClayLoam),
            (50.0, 49.0, 1.0, Texture::SandyLoam),
            (43.0, 51.0, 6.0, Texture::SiltLoam),
            (45.0, 28.0, 27.0, Texture::ClayLoam),
            (46.0, 27.0, 27.0, Texture::SandyClayLoam),
            (45.0, 20.0, 35.0, Texture::ClayLoam),
            (45.1, 19.9, 35.0, Texture::SandyClay),
            (46.0, 20.0, 34.0, Texture::SandyClayLoam),
            (45.0, 15.0, 40.0, Texture::Clay),
            (46.0, 14.0, 40.0, Texture::SandyClay),
            (20.0, 40.0, 40.0, Texture::SiltyClay),
            (20.1, 39.9, 40.0, Texture::Clay),
            (20.0, 53.0, 27.0, Texture::SiltyClayLoam),
            (23.0, 50.0, 27.0, Texture::ClayLoam),
            (100.0, 0.0, 0.0, Texture::Sand),
            (0.0, 100.0, 0.0, Texture::Silt),
            (0.0, 0.0, 100.0, Texture::Clay),
            (33.0, 33.0, 33.0, Texture::ClayLoam),
        ] {
            let found = Texture::of(sand / 100.0, silt / 100.0, clay / 100.0);
            assert_eq!(found, Ok(expected), "{sand} {silt} {clay}");
        }
    }

    #[test]
    fn what_is_no_soil_is_refused() {
        assert_eq!(Texture::of(0.0, 0.0, 0.0), Err(GrainsError::Sum { sum_frac: 0.0 }));
        assert_eq!(Texture::of(40.0, 40.0, 20.0), Err(GrainsError::Share { share_frac: 40.0 }));
        assert!(matches!(Texture::of(f64::NAN, 0.5, 0.5), Err(GrainsError::Share { .. })));
        assert!(matches!(Texture::of(0.5, 0.3, 0.1), Err(GrainsError::Sum { .. })));
    }
}
