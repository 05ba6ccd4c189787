//! Curve numbers by cover and soil.

use super::CurveNumber;

/// How fast wet soil takes water: TR-55, appendix A.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoilGroup {
    /// Deep sand and gravel.
    A,
    /// Loam, sandy loam.
    B,
    /// Clay loam, shallow loam.
    C,
    /// Clay, soil on a pan, high ground water.
    D,
}

impl SoilGroup {
    /// The group by the rate at which water still soaks in when the ground is wet, mm/h: limits 0.30, 0.15 and
    /// 0.05 inches an hour, TR-55 appendix A. (NEH 630 ch. 7, 2009, sets limits several times higher.)
    pub fn by_soak_rate(soak_mm_h: f64) -> SoilGroup {
        if soak_mm_h > quantity::convert::inch_to_mm(0.30) {
            SoilGroup::A
        } else if soak_mm_h > quantity::convert::inch_to_mm(0.15) {
            SoilGroup::B
        } else if soak_mm_h > quantity::convert::inch_to_mm(0.05) {
            SoilGroup::C
        } else {
            SoilGroup::D
        }
    }

    fn column(self) -> usize {
        match self {
            SoilGroup::A => 0,
            SoilGroup::B => 1,
            SoilGroup::C => 2,
            SoilGroup::D => 3,
        }
    }
}

macro_rules! covers {
    ($($(#[$doc:meta])* $variant:ident [$a:literal, $b:literal, $c:literal, $d:literal],)*) => {
        /// What covers the ground: NEH 630 ch. 9, tables 9-1, 9-2 and 9-5, the same as TR-55 tables 2-2a to 2-2d.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Cover {
            $($(#[$doc])* $variant,)*
        }

        impl Cover {
            /// Every row of the table.
            pub const ALL: &'static [Cover] = &[$(Cover::$variant,)*];

            /// The curve number on a soil, for ground as wet as usual.
            pub fn curve_number(self, soil: SoilGroup) -> CurveNumber {
                let row: [f64; 4] = match self {
                    $(Cover::$variant => [$a, $b, $c, $d],)*
                };
                CurveNumber::of_table(row[soil.column()])
            }
        }
    };
}

covers! {
    /// Roofs, paved roads with kerbs, yards.
    HardSurface [98.0, 98.0, 98.0, 98.0],
    /// Paved road with open ditches, its verges included.
    PavedRoadAndVerges [83.0, 89.0, 92.0, 93.0],
    /// Gravel road, its verges included.
    GravelRoadAndVerges [76.0, 85.0, 89.0, 91.0],
    /// Dirt road, its verges included.
    DirtRoadAndVerges [72.0, 82.0, 87.0, 89.0],
    /// Bare soil, newly graded or fallow.
    Bare [77.0, 86.0, 91.0, 94.0],
    /// Pasture, poor: under half covered, or heavily grazed.
    PasturePoor [68.0, 79.0, 86.0, 89.0],
    /// Pasture, fair: half to three quarters covered.
    PastureFair [49.0, 69.0, 79.0, 84.0],
    /// Pasture, good: over three quarters covered, lightly grazed.
    PastureGood [39.0, 61.0, 74.0, 80.0],
    /// Meadow, mown, not grazed.
    Meadow [30.0, 58.0, 71.0, 78.0],
    /// Brush, poor.
    BrushPoor [48.0, 67.0, 77.0, 83.0],
    /// Brush, fair.
    BrushFair [35.0, 56.0, 70.0, 77.0],
    /// Brush, good. On group A the true value is below 30; the handbook says to use 30.
    BrushGood [30.0, 48.0, 65.0, 73.0],
    /// Orchard or tree farm over grass, poor.
    OrchardPoor [57.0, 73.0, 82.0, 86.0],
    /// Orchard or tree farm over grass, fair.
    OrchardFair [43.0, 65.0, 76.0, 82.0],
    /// Orchard or tree farm over grass, good.
    OrchardGood [32.0, 58.0, 72.0, 79.0],
    /// Woods, poor: litter and brush grazed or burnt away.
    WoodsPoor [45.0, 66.0, 77.0, 83.0],
    /// Woods, fair: grazed but not burnt.
    WoodsFair [36.0, 60.0, 73.0, 79.0],
    /// Woods, good. On group A the true value is below 30; the handbook says to use 30.
    WoodsGood [30.0, 55.0, 70.0, 77.0],
    /// Farmstead: buildings, lanes and the ground round them.
    Farmstead [59.0, 74.0, 82.0, 86.0],
    /// Row crop on the contour, poor.
    RowCropContouredPoor [70.0, 79.0, 84.0, 88.0],
    /// Row crop on the contour, good.
    RowCropContouredGood [65.0, 75.0, 82.0, 86.0],
    /// Row crop on the contour and terraced, poor.
    RowCropTerracedPoor [66.0, 74.0, 80.0, 82.0],
    /// Row crop on the contour and terraced, good.
    RowCropTerracedGood [62.0, 71.0, 78.0, 81.0],
    /// Desert shrub, poor.
    DesertShrubPoor [63.0, 77.0, 85.0, 88.0],
    /// Desert shrub, good.
    DesertShrubGood [49.0, 68.0, 79.0, 84.0],
}
