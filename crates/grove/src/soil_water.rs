//! What a soil holds for roots.
//!
//! A soaked soil drains for a day or two and then keeps what its pores can carry: field capacity. Roots take
//! from that until what is left clings too hard: the wilting point. The difference is what a tree lives on.
//!
//! Both follow from the shares S of sand and C of clay and the percent OM of organic matter, by regression:
//!   wilting point θ1500 = t + (0.14 t − 0.02),
//!     t = −0.024 S + 0.487 C + 0.006 OM + 0.005 S·OM − 0.013 C·OM + 0.068 S·C + 0.031
//!   field capacity θ33 = t + (1.283 t² − 0.374 t − 0.015),
//!     t = −0.251 S + 0.195 C + 0.011 OM + 0.006 S·OM − 0.027 C·OM + 0.452 S·C + 0.299
//!   saturation θS = θ33 + [t + (0.636 t − 0.107)] − 0.097 S + 0.043,
//!     t = 0.278 S + 0.034 C + 0.022 OM − 0.018 S·OM − 0.027 C·OM − 0.584 S·C + 0.078
//!   conductivity Ks = 1930 (θS − θ33)^(3 − λ) mm/h, λ = (ln θ33 − ln θ1500) / (ln 1500 − ln 33)
//!
//! Source: Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569–1578, eq. 1–10, 15, 16, 18–20, 22, table 3.
//! Range: fitted to soils of up to 8 % organic matter; density 0.9 to 1.3 of the usual.
//! Leaves out: cracks, roots and wormholes, so that the conductivity is that of the crumb, not of the ground;
//! salt. Measure the soak rate in a hole where it matters.

use water::soak::Texture;
use water::soak::stones::passes_times;

/// Density of the grains of mineral soil, t/m³ (Saxton and Rawls 2006, eq. 6).
const GRAIN_T_M3: f64 = 2.65;
/// Most organic matter the regressions were fitted to (Saxton and Rawls 2006).
const MOST_ORGANIC_MATTER_FRAC: f64 = 0.08;
/// Loosest and most trodden soil that the density factor stands for (Saxton and Rawls 2006).
const DENSITY_TIMES: [f64; 2] = [0.9, 1.3];
/// Organic matter of the sample points of table 3 (Saxton and Rawls 2006).
const SAMPLE_ORGANIC_MATTER_FRAC: f64 = 0.025;

/// Why a soil cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SoilError {
    /// Sand and clay are no shares of one soil.
    #[error(
        "sand {sand_frac} and clay {clay_frac} are no shares of one soil: give each from 0 to 1, together at most 1"
    )]
    Grains {
        /// Sand as given.
        sand_frac: f64,
        /// Clay as given.
        clay_frac: f64,
    },
    /// More organic matter than the regressions know.
    #[error(
        "organic matter {organic_matter_frac} is outside 0 to 0.08 of the soil, which is as far as the formula was \
         fitted: 2.5 % is written 0.025"
    )]
    OrganicMatter {
        /// Organic matter as given.
        organic_matter_frac: f64,
    },
    /// Looser or denser than the density factor stands for.
    #[error("a density of {density_times} times the usual is outside 0.9 to 1.3")]
    Density {
        /// Density as given.
        density_times: f64,
    },
    /// No share of gravel, or nothing but gravel.
    #[error("gravel {gravel_frac} of the soil's mass is outside 0 to below 1")]
    Gravel {
        /// Gravel as given.
        gravel_frac: f64,
    },
    /// A mixture whose pores come out in the wrong order: no such soil was in the fit.
    #[error(
        "this mixture comes out with wilting point {wilting_point_frac}, field capacity {field_capacity_frac} and \
         saturation {saturation_frac}, which must rise: it is beyond the soils that the formula was fitted to"
    )]
    BeyondFit {
        /// Wilting point found.
        wilting_point_frac: f64,
        /// Field capacity found.
        field_capacity_frac: f64,
        /// Saturation found.
        saturation_frac: f64,
    },
}

/// What a soil is made of, by mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grains {
    /// Sand, share of the fine earth.
    pub sand_frac: f64,
    /// Clay, share of the fine earth.
    pub clay_frac: f64,
    /// Organic matter, share of the fine earth: 2.5 % is 0.025.
    pub organic_matter_frac: f64,
    /// Density against the usual one of this mixture: 0.9 loosened, 1 usual, 1.2 trodden.
    pub density_times: f64,
    /// Gravel, share of the whole soil's mass.
    pub gravel_frac: f64,
}

/// How much water a soil holds, as share of its volume, stones included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoilWater {
    /// Left when roots can take no more (1500 kPa).
    pub wilting_point_frac: f64,
    /// Left when a soaked soil has drained (33 kPa).
    pub field_capacity_frac: f64,
    /// All pores full.
    pub saturation_frac: f64,
    /// How fast water passes when all pores are full, mm/h.
    pub conductivity_mm_h: f64,
    /// Mass of dry soil, t/m³.
    pub density_t_m3: f64,
    /// Share of the volume that is gravel.
    pub gravel_volume_frac: f64,
}

impl Grains {
    /// The sample point of a texture class: Saxton and Rawls 2006, table 3, 2.5 % organic matter, no gravel.
    pub fn of_texture(texture: Texture) -> Grains {
        let (sand_percent, clay_percent) = match texture {
            Texture::Sand => (88.0, 5.0),
            Texture::LoamySand => (80.0, 5.0),
            Texture::SandyLoam => (65.0, 10.0),
            Texture::Loam => (40.0, 20.0),
            Texture::SiltLoam => (20.0, 15.0),
            Texture::Silt => (10.0, 5.0),
            Texture::SandyClayLoam => (60.0, 25.0),
            Texture::ClayLoam => (30.0, 35.0),
            Texture::SiltyClayLoam => (10.0, 35.0),
            Texture::SiltyClay => (10.0, 45.0),
            Texture::SandyClay => (50.0, 40.0),
            Texture::Clay => (25.0, 50.0),
        };
        Grains {
            sand_frac: sand_percent / 100.0,
            clay_frac: clay_percent / 100.0,
            organic_matter_frac: SAMPLE_ORGANIC_MATTER_FRAC,
            density_times: 1.0,
            gravel_frac: 0.0,
        }
    }

    /// What the soil holds.
    ///
    /// # Errors
    /// A share outside its range, or a mixture beyond the soils that the formula was fitted to.
    pub fn water(&self) -> Result<SoilWater, SoilError> {
        self.check()?;
        let wilting_point_frac = self.wilting_point_frac();
        let usual_field_capacity_frac = self.field_capacity_frac();
        let usual_saturation_frac = self.saturation_frac(usual_field_capacity_frac);
        let density_t_m3 = (1.0 - usual_saturation_frac) * GRAIN_T_M3 * self.density_times;
        let saturation_frac = 1.0 - density_t_m3 / GRAIN_T_M3;
        // Eq. 9: packing takes from the large pores first, a fifth of it from field capacity.
        let field_capacity_frac = usual_field_capacity_frac - 0.2 * (usual_saturation_frac - saturation_frac);
        // Negated so that a NaN is refused too.
        let rises = 0.0 < wilting_point_frac
            && wilting_point_frac < field_capacity_frac
            && field_capacity_frac < saturation_frac;
        if !rises {
            return Err(SoilError::BeyondFit { wilting_point_frac, field_capacity_frac, saturation_frac });
        }
        let fines = SoilWater {
            wilting_point_frac,
            field_capacity_frac,
            saturation_frac,
            conductivity_mm_h: conductivity_mm_h(wilting_point_frac, field_capacity_frac, saturation_frac),
            density_t_m3,
            gravel_volume_frac: 0.0,
        };
        Ok(fines.with_gravel(self.gravel_frac))
    }

    fn check(&self) -> Result<(), SoilError> {
        let Grains { sand_frac, clay_frac, organic_matter_frac, density_times, gravel_frac } = *self;
        let shares = (0.0..=1.0).contains(&sand_frac) && (0.0..=1.0).contains(&clay_frac);
        if !shares || sand_frac + clay_frac > 1.0 + f64::EPSILON {
            return Err(SoilError::Grains { sand_frac, clay_frac });
        }
        if !(0.0..=MOST_ORGANIC_MATTER_FRAC).contains(&organic_matter_frac) {
            return Err(SoilError::OrganicMatter { organic_matter_frac });
        }
        if !(DENSITY_TIMES[0]..=DENSITY_TIMES[1]).contains(&density_times) {
            return Err(SoilError::Density { density_times });
        }
        if !(0.0..1.0).contains(&gravel_frac) {
            return Err(SoilError::Gravel { gravel_frac });
        }
        Ok(())
    }

    fn wilting_point_frac(&self) -> f64 {
        let (s, c, om) = self.terms();
        let t = -0.024 * s + 0.487 * c + 0.006 * om + 0.005 * s * om - 0.013 * c * om + 0.068 * s * c + 0.031;
        t + (0.14 * t - 0.02)
    }

    fn field_capacity_frac(&self) -> f64 {
        let (s, c, om) = self.terms();
        let t = -0.251 * s + 0.195 * c + 0.011 * om + 0.006 * s * om - 0.027 * c * om + 0.452 * s * c + 0.299;
        t + (1.283 * t * t - 0.374 * t - 0.015)
    }

    fn saturation_frac(&self, field_capacity_frac: f64) -> f64 {
        let (s, c, om) = self.terms();
        let t = 0.278 * s + 0.034 * c + 0.022 * om - 0.018 * s * om - 0.027 * c * om - 0.584 * s * c + 0.078;
        field_capacity_frac + (t + (0.636 * t - 0.107)) - 0.097 * s + 0.043
    }

    /// Sand, clay as shares and organic matter in percent, as the regressions take them.
    fn terms(&self) -> (f64, f64, f64) {
        (self.sand_frac, self.clay_frac, 100.0 * self.organic_matter_frac)
    }
}

/// Eq. 15, 16 and 18.
fn conductivity_mm_h(wilting_point_frac: f64, field_capacity_frac: f64, saturation_frac: f64) -> f64 {
    let b = (libm::log(1500.0) - libm::log(33.0))
        / (libm::log(field_capacity_frac) - libm::log(wilting_point_frac));
    1930.0 * libm::pow(saturation_frac - field_capacity_frac, 3.0 - 1.0 / b)
}

impl SoilWater {
    /// The same fine earth with gravel between (eq. 19, 20 and 22). Stones hold no water, so what the whole soil
    /// holds shrinks with the share of its volume that is soil.
    fn with_gravel(self, gravel_frac: f64) -> SoilWater {
        let alpha = self.density_t_m3 / GRAIN_T_M3;
        let gravel_volume_frac = alpha * gravel_frac / (1.0 - gravel_frac * (1.0 - alpha));
        let soil_frac = 1.0 - gravel_volume_frac;
        SoilWater {
            wilting_point_frac: self.wilting_point_frac * soil_frac,
            field_capacity_frac: self.field_capacity_frac * soil_frac,
            saturation_frac: self.saturation_frac * soil_frac,
            conductivity_mm_h: self.conductivity_mm_h * passes_times(gravel_volume_frac),
            density_t_m3: self.density_t_m3 * soil_frac + GRAIN_T_M3 * gravel_volume_frac,
            gravel_volume_frac,
        }
    }

    /// Share of gravel by mass that is this share of the volume of fine earth and stones (eq. 19 turned round).
    pub fn gravel_by_mass(&self, volume_frac: f64) -> f64 {
        let alpha = self.density_t_m3 / GRAIN_T_M3;
        volume_frac / (alpha + volume_frac * (1.0 - alpha))
    }

    /// Water between field capacity and wilting point over a root depth, mm.
    /// TAW = 1000 (θFC − θWP) Zr: Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 82.
    pub fn available_mm(&self, root_depth_m: f64) -> f64 {
        1000.0 * (self.field_capacity_frac - self.wilting_point_frac) * root_depth_m
    }
}

/// Least and greatest share of the available water that a plant is taken to use without stress
/// (FAO-56, p. 162).
const DEPLETION_LIMITS_FRAC: [f64; 2] = [0.1, 0.8];

/// Share of the available water that a plant uses before it feels it, on a day when it asks for `etc_mm`.
/// p = p22 + 0.04 (5 − ETc), kept in 0.1 to 0.8 (FAO-56, footnote 2 of table 22). `etc_mm` is what the plant
/// would use without stress; the stressed figure would feed back on itself.
pub fn depletion_frac(table_frac: f64, etc_mm: f64) -> f64 {
    (table_frac + 0.04 * (5.0 - etc_mm)).clamp(DEPLETION_LIMITS_FRAC[0], DEPLETION_LIMITS_FRAC[1])
}

/// What a plant uses of what it would use, when `depletion_mm` of its available water is gone: 1 until the
/// share p is gone, then a straight line to 0 at the wilting point.
/// Ks = (TAW − Dr) / ((1 − p) TAW): FAO-56, eq. 84.
pub fn stress_frac(available_mm: f64, depletion_frac: f64, depletion_mm: f64) -> f64 {
    debug_assert!(depletion_frac < 1.0, "depletion_frac = {depletion_frac}");
    let readily_mm = depletion_frac * available_mm;
    if depletion_mm <= readily_mm {
        return 1.0;
    }
    if depletion_mm >= available_mm {
        return 0.0;
    }
    (available_mm - depletion_mm) / (available_mm - readily_mm)
}

/// Typical figures of a texture, lowest and highest (FAO-56, table 19).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typical {
    /// Water content at field capacity.
    pub field_capacity_frac: [f64; 2],
    /// Water content at the wilting point.
    pub wilting_point_frac: [f64; 2],
    /// Their difference, which is narrower than the two ranges.
    pub available_frac: [f64; 2],
    /// Water that leaves a wet surface at full rate, mm.
    pub readily_evaporable_mm: [f64; 2],
    /// All that can leave a surface layer of 0.10 m, mm.
    pub evaporable_mm: [f64; 2],
}

/// FAO-56, table 19. None for the three textures the table leaves out: sandy clay loam, clay loam, sandy clay.
#[rustfmt::skip]
pub fn typical(texture: Texture) -> Option<Typical> {
    let row = |fc, wp, available, rew, tew| Typical {
        field_capacity_frac: fc,
        wilting_point_frac: wp,
        available_frac: available,
        readily_evaporable_mm: rew,
        evaporable_mm: tew,
    };
    Some(match texture {
        Texture::Sand          => row([0.07, 0.17], [0.02, 0.07], [0.05, 0.11], [2.0, 7.0], [6.0, 12.0]),
        Texture::LoamySand     => row([0.11, 0.19], [0.03, 0.10], [0.06, 0.12], [4.0, 8.0], [9.0, 14.0]),
        Texture::SandyLoam     => row([0.18, 0.28], [0.06, 0.16], [0.11, 0.15], [6.0, 10.0], [15.0, 20.0]),
        Texture::Loam          => row([0.20, 0.30], [0.07, 0.17], [0.13, 0.18], [8.0, 10.0], [16.0, 22.0]),
        Texture::SiltLoam      => row([0.22, 0.36], [0.09, 0.21], [0.13, 0.19], [8.0, 11.0], [18.0, 25.0]),
        Texture::Silt          => row([0.28, 0.36], [0.12, 0.22], [0.16, 0.20], [8.0, 11.0], [22.0, 26.0]),
        Texture::SiltyClayLoam => row([0.30, 0.37], [0.17, 0.24], [0.13, 0.18], [8.0, 11.0], [22.0, 27.0]),
        Texture::SiltyClay     => row([0.30, 0.42], [0.17, 0.29], [0.13, 0.19], [8.0, 12.0], [22.0, 28.0]),
        Texture::Clay          => row([0.32, 0.40], [0.20, 0.24], [0.12, 0.20], [8.0, 12.0], [22.0, 29.0]),
        Texture::SandyClayLoam | Texture::ClayLoam | Texture::SandyClay => return None,
    })
}

#[cfg(test)]
mod tests;
