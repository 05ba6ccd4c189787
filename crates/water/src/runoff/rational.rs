//! The peak of a small place by the rational rule: Q = C·i·A.
//!
//! Rain that falls as long as water needs from the farthest corner drains from all of the place at once; C is the
//! share that runs. Source: FHWA HDS-2, ch. 5; for places under 80 ha. C is the share of the peak, not of the
//! volume.

/// Peak flow: share that runs × intensity × area.
pub fn rational_peak_m3_s(coefficient: f64, intensity_m_s: f64, area_m2: f64) -> f64 {
    coefficient * intensity_m_s * area_m2
}

/// Years of the columns of [`surface_coefficient`]: once in so many on average.
pub const YEARS: [f64; 6] = [2.0, 5.0, 10.0, 25.0, 50.0, 100.0];

/// Surfaces with a coefficient that grows with the rarity of the rain: V. T. Chow, D. R. Maidment & L. W. Mays,
/// Applied Hydrology, 1988, table after the City of Austin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// Asphalt.
    Asphalt,
    /// Concrete and roofs.
    Roof,
    /// Grass over more than three quarters of the ground.
    GrassGood,
    /// Grass over less than half.
    GrassPoor,
    /// Cultivated land.
    Cultivated,
    /// Pasture and range.
    Pasture,
    /// Forest and woodland.
    Forest,
}

/// C of a surface for rain that comes once in so many years. Slope bands end at 2 and 7 %; hard surfaces have one
/// row. Between columns straight in the logarithm of the years; none outside 2 to 100 years.
pub fn surface_coefficient(surface: Surface, slope: f64, years: f64) -> Option<f64> {
    let row = surface_row(surface, slope);
    if !(YEARS[0]..=YEARS[5]).contains(&years) {
        return None;
    }
    let above = YEARS.partition_point(|y| *y < years).max(1);
    let t = libm::log(years / YEARS[above - 1]) / libm::log(YEARS[above] / YEARS[above - 1]);
    Some(row[above - 1] + t * (row[above] - row[above - 1]))
}

#[rustfmt::skip]
fn surface_row(surface: Surface, slope: f64) -> [f64; 6] {
    let bands = match surface {
        Surface::Asphalt => return [0.73, 0.77, 0.81, 0.86, 0.90, 0.95],
        Surface::Roof => return [0.75, 0.80, 0.83, 0.88, 0.92, 0.97],
        Surface::GrassGood => [
            [0.21, 0.23, 0.25, 0.29, 0.32, 0.36],
            [0.29, 0.32, 0.35, 0.39, 0.42, 0.46],
            [0.34, 0.37, 0.40, 0.44, 0.47, 0.51],
        ],
        Surface::GrassPoor => [
            [0.32, 0.34, 0.37, 0.40, 0.44, 0.47],
            [0.37, 0.40, 0.43, 0.46, 0.49, 0.53],
            [0.40, 0.43, 0.45, 0.49, 0.52, 0.55],
        ],
        Surface::Cultivated => [
            [0.31, 0.34, 0.36, 0.40, 0.43, 0.47],
            [0.35, 0.38, 0.41, 0.44, 0.48, 0.51],
            [0.39, 0.42, 0.44, 0.48, 0.51, 0.54],
        ],
        Surface::Pasture => [
            [0.25, 0.28, 0.30, 0.34, 0.37, 0.41],
            [0.33, 0.36, 0.38, 0.42, 0.45, 0.49],
            [0.37, 0.40, 0.42, 0.46, 0.49, 0.53],
        ],
        Surface::Forest => [
            [0.20, 0.25, 0.28, 0.31, 0.35, 0.39],
            [0.31, 0.34, 0.36, 0.40, 0.43, 0.47],
            [0.35, 0.39, 0.41, 0.45, 0.48, 0.52],
        ],
    };
    let band = if slope < 0.02 { 0 } else if slope <= 0.07 { 1 } else { 2 };
    bands[band]
}

/// Farmland of [`farm_coefficient`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FarmCover {
    /// Woodland.
    Woodland,
    /// Pasture.
    Pasture,
    /// Cultivated.
    Cultivated,
}

/// Soil of [`farm_coefficient`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpenSoil {
    /// Open sandy loam.
    SandyLoam,
    /// Clay and silt loam.
    SiltLoam,
    /// Tight clay.
    TightClay,
}

/// Slope band of [`farm_coefficient`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FarmSlope {
    /// Up to 5 %.
    Flat,
    /// 5 to 10 %.
    Rolling,
    /// 10 to 30 %.
    Hilly,
}

impl FarmSlope {
    /// The band of a slope (rise over run); none above 30 %, where the table ends.
    pub fn of(slope: f64) -> Option<FarmSlope> {
        if slope <= 0.05 {
            Some(FarmSlope::Flat)
        } else if slope <= 0.10 {
            Some(FarmSlope::Rolling)
        } else if slope <= 0.30 {
            Some(FarmSlope::Hilly)
        } else {
            None
        }
    }
}

/// C of farmland: NRCS Hydrology Training Series, module 206D.
#[rustfmt::skip]
pub fn farm_coefficient(cover: FarmCover, slope: FarmSlope, soil: OpenSoil) -> f64 {
    let rows = match cover {
        FarmCover::Woodland => [[0.10, 0.30, 0.40], [0.25, 0.35, 0.50], [0.30, 0.50, 0.60]],
        FarmCover::Pasture => [[0.10, 0.30, 0.40], [0.16, 0.36, 0.55], [0.22, 0.42, 0.60]],
        FarmCover::Cultivated => [[0.30, 0.50, 0.60], [0.40, 0.60, 0.70], [0.52, 0.72, 0.82]],
    };
    let row = match slope {
        FarmSlope::Flat => rows[0],
        FarmSlope::Rolling => rows[1],
        FarmSlope::Hilly => rows[2],
    };
    match soil {
        OpenSoil::SandyLoam => row[0],
        OpenSoil::SiltLoam => row[1],
        OpenSoil::TightClay => row[2],
    }
}
