//! What soils of one texture usually do.
//!
//! Texture tells the soak rate within a factor of five at best: cracks, worms, roots, hooves and spades move it
//! further than the grains do. So the usual rate is a range that spans two published tables, with the
//! geometric mean as the likely value because the tables are on a logarithmic scale.
//!
//! Sources: basic infiltration, FAO Irrigation Manual / training manual annex 2 (sand > 30, sandy loam 20–30,
//! loam 10–20, clay loam 5–10, clay 1–5 mm/h); permeability by texture class as used in US soil surveys, in/h
//! (6–20, 2–6, 0.60–2, 0.20–0.60, 0.06–0.20). A texture that the first table leaves out has the second only.
//! Green–Ampt figures: Rawls, Brakensiek and Miller 1983, J. Hydraul. Eng. 109(1), as table 4.3.1 of Chow,
//! Maidment and Mays 1988; conductivity there is already about half of the laboratory's, do not halve again.

use quantity::convert::{inch_to_mm, mm_h_to_m_s};

use super::GreenAmpt;

/// Texture classes of the USDA triangle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Texture {
    /// Sand.
    Sand,
    /// Loamy sand.
    LoamySand,
    /// Sandy loam.
    SandyLoam,
    /// Loam.
    Loam,
    /// Silt loam.
    SiltLoam,
    /// Silt.
    Silt,
    /// Sandy clay loam.
    SandyClayLoam,
    /// Clay loam.
    ClayLoam,
    /// Silty clay loam.
    SiltyClayLoam,
    /// Sandy clay.
    SandyClay,
    /// Silty clay.
    SiltyClay,
    /// Clay.
    Clay,
}

/// What a texture usually soaks once it is wet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualRate {
    /// The least that a table gives, mm/h.
    pub low_mm_h: f64,
    /// Geometric mean of the two ends, mm/h.
    pub likely_mm_h: f64,
    /// The most that a table gives, mm/h.
    pub high_mm_h: f64,
}

impl Texture {
    /// All of them, from coarse to fine.
    pub const ALL: [Texture; 12] = [
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

    /// Its name, as `site.toml` writes it.
    pub fn name(self) -> &'static str {
        match self {
            Texture::Sand => "sand",
            Texture::LoamySand => "loamy sand",
            Texture::SandyLoam => "sandy loam",
            Texture::Loam => "loam",
            Texture::SiltLoam => "silt loam",
            Texture::Silt => "silt",
            Texture::SandyClayLoam => "sandy clay loam",
            Texture::ClayLoam => "clay loam",
            Texture::SiltyClayLoam => "silty clay loam",
            Texture::SandyClay => "sandy clay",
            Texture::SiltyClay => "silty clay",
            Texture::Clay => "clay",
        }
    }

    /// The usual rate of wet ground.
    pub fn usual_rate(self) -> UsualRate {
        let (least_mm_h, low_in_h, high_in_h) = match self {
            Texture::Sand => (Some(30.0), 6.0, 20.0),
            Texture::LoamySand => (None, 6.0, 20.0),
            Texture::SandyLoam => (Some(20.0), 2.0, 6.0),
            Texture::Loam => (Some(10.0), 0.60, 2.0),
            Texture::SiltLoam | Texture::Silt => (None, 0.60, 2.0),
            Texture::ClayLoam => (Some(5.0), 0.20, 0.60),
            Texture::SandyClayLoam | Texture::SiltyClayLoam => (None, 0.20, 0.60),
            Texture::Clay => (Some(1.0), 0.06, 0.20),
            Texture::SandyClay | Texture::SiltyClay => (None, 0.06, 0.20),
        };
        let low_mm_h = least_mm_h.unwrap_or_else(|| inch_to_mm(low_in_h));
        let high_mm_h = inch_to_mm(high_in_h);
        UsualRate { low_mm_h, likely_mm_h: (low_mm_h * high_mm_h).sqrt(), high_mm_h }
    }

    /// Green–Ampt figures of the texture, for ground whose pores are filled to the share `wet_frac` of what
    /// drains and fills (effective saturation, 0 dry to 1 full). Silt has no row in the source and takes that
    /// of silt loam, its neighbour in the triangle.
    pub fn green_ampt(self, wet_frac: f64) -> GreenAmpt {
        debug_assert!((0.0..=1.0).contains(&wet_frac), "wet_frac = {wet_frac}");
        let row = self.row();
        GreenAmpt {
            conductivity_m_s: mm_h_to_m_s(10.0 * row.conductivity_cm_h),
            suction_m: row.suction_cm / 100.0,
            deficit_frac: (1.0 - wet_frac) * row.effective_porosity_frac,
        }
    }

    /// Share of the soil that is pores which drain and fill.
    pub fn effective_porosity_frac(self) -> f64 {
        self.row().effective_porosity_frac
    }

    fn row(self) -> Row {
        let (effective_porosity_frac, suction_cm, conductivity_cm_h) = match self {
            Texture::Sand => (0.417, 4.95, 11.78),
            Texture::LoamySand => (0.401, 6.13, 2.99),
            Texture::SandyLoam => (0.412, 11.01, 1.09),
            Texture::Loam => (0.434, 8.89, 0.34),
            Texture::SiltLoam | Texture::Silt => (0.486, 16.68, 0.65),
            Texture::SandyClayLoam => (0.330, 21.85, 0.15),
            Texture::ClayLoam => (0.309, 20.88, 0.10),
            Texture::SiltyClayLoam => (0.432, 27.30, 0.10),
            Texture::SandyClay => (0.321, 23.90, 0.06),
            Texture::SiltyClay => (0.423, 29.22, 0.05),
            // Suction and conductivity of clay: from memory, unverified.
            Texture::Clay => (0.385, 31.63, 0.03),
        };
        Row { effective_porosity_frac, suction_cm, conductivity_cm_h }
    }
}

struct Row {
    effective_porosity_frac: f64,
    suction_cm: f64,
    conductivity_cm_h: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAO annex 2: sandy loam 20–30, loam 10–20, clay loam 5–10, clay 1–5 mm/h, sand above 30. Each band must
    /// lie inside the range: its lower end is the range's, its upper end is not above.
    #[test]
    fn published_fao_bands_lie_inside_the_ranges() {
        for (texture, low_mm_h, high_mm_h) in [
            (Texture::Sand, 30.0, 30.0),
            (Texture::SandyLoam, 20.0, 30.0),
            (Texture::Loam, 10.0, 20.0),
            (Texture::ClayLoam, 5.0, 10.0),
            (Texture::Clay, 1.0, 5.0),
        ] {
            let usual = texture.usual_rate();
            assert_eq!(usual.low_mm_h, low_mm_h, "{texture:?}");
            assert!(high_mm_h <= usual.high_mm_h + 0.1, "{texture:?}: {usual:?}");
        }
    }

    /// Rawls, Brakensiek & Miller 1983 as table 4.3.1 of Chow, Maidment & Mays 1988: effective porosity, suction in cm,
    /// conductivity in cm/h. Of clay only the porosity was seen in print.
    #[test]
    fn published_green_ampt_figures() {
        for (texture, porosity, suction_cm, conductivity_cm_h) in [
            (Texture::Sand, 0.417, 4.95, 11.78),
            (Texture::LoamySand, 0.401, 6.13, 2.99),
            (Texture::SandyLoam, 0.412, 11.01, 1.09),
            (Texture::Loam, 0.434, 8.89, 0.34),
            (Texture::SiltLoam, 0.486, 16.68, 0.65),
            (Texture::SandyClayLoam, 0.330, 21.85, 0.15),
            (Texture::ClayLoam, 0.309, 20.88, 0.10),
            (Texture::SiltyClayLoam, 0.432, 27.30, 0.10),
            (Texture::SandyClay, 0.321, 23.90, 0.06),
            (Texture::SiltyClay, 0.423, 29.22, 0.05),
        ] {
            let found = texture.green_ampt(0.0);
            assert_eq!(found.deficit_frac, porosity, "{texture:?}");
            assert!((100.0 * found.suction_m - suction_cm).abs() <= 1e-9, "{texture:?}");
            assert!((3.6e5 * found.conductivity_m_s - conductivity_cm_h).abs() <= 1e-9, "{texture:?}");
        }
        assert_eq!(Texture::Clay.effective_porosity_frac(), 0.385);
    }

    /// US soil survey permeability classes in mm/h, printed to whole numbers: 152–508, 51–152, 15–51, 5–15,
    /// 1.5–5. Half a unit of the last digit.
    #[test]
    fn published_permeability_classes_in_millimetres() {
        for (texture, high_mm_h, half) in [
            (Texture::Sand, 508.0, 0.5),
            (Texture::SandyLoam, 152.0, 0.5),
            (Texture::Loam, 51.0, 0.5),
            (Texture::SandyClayLoam, 15.0, 0.5),
            (Texture::SiltyClay, 5.0, 0.5),
        ] {
            assert!((texture.usual_rate().high_mm_h - high_mm_h).abs() <= half, "{texture:?}");
        }
        for (texture, low_mm_h, half) in [
            (Texture::LoamySand, 152.0, 0.5),
            (Texture::SiltLoam, 15.0, 0.5),
            (Texture::SiltyClayLoam, 5.0, 0.5),
            (Texture::SandyClay, 1.5, 0.05),
        ] {
            assert!((texture.usual_rate().low_mm_h - low_mm_h).abs() <= half, "{texture:?}");
        }
    }
}
