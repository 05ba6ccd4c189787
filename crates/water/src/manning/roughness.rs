//! How rough a bed is: Manning's n by what covers it.

use quantity::Estimate;

use super::row;

/// Beds of channels, from V. T. Chow, Open-Channel Hydraulics, 1959, table 5-6 (least, normal, greatest).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChannelBed {
    /// Earth, straight and even, just dug.
    NewEarth,
    /// The same after some seasons.
    WeatheredEarth,
    /// Gravel, even section, clean.
    Gravel,
    /// Earth with short grass and few weeds.
    ShortGrass,
    /// Earth, winding, no plants.
    WindingEarth,
    /// Earth, winding, grass and some weeds.
    WindingGrass,
    /// Earth, winding, dense weeds or a deep channel.
    WindingWeeds,
    /// Earth bed between rubble sides.
    RubbleSides,
    /// Stony bed with weedy banks.
    StonyWeedy,
    /// Cobble bed with clean sides.
    Cobbles,
    /// Left alone: weeds as high as the water.
    TallWeeds,
    /// Left alone: clean bed, brush on the sides.
    BrushSides,
    /// Left alone: dense brush, high water.
    DenseBrush,
    /// A steep stream bed of gravel, cobbles and few boulders.
    SteepCobbles,
    /// A steep stream bed of cobbles with large boulders.
    SteepBoulders,
}

impl ChannelBed {
    /// Every row of the table.
    pub const ALL: [ChannelBed; 15] = [
        ChannelBed::NewEarth,
        ChannelBed::WeatheredEarth,
        ChannelBed::Gravel,
        ChannelBed::ShortGrass,
        ChannelBed::WindingEarth,
        ChannelBed::WindingGrass,
        ChannelBed::WindingWeeds,
        ChannelBed::RubbleSides,
        ChannelBed::StonyWeedy,
        ChannelBed::Cobbles,
        ChannelBed::TallWeeds,
        ChannelBed::BrushSides,
        ChannelBed::DenseBrush,
        ChannelBed::SteepCobbles,
        ChannelBed::SteepBoulders,
    ];

    /// Manning's n.
    pub fn manning_n(self) -> Estimate {
        match self {
            ChannelBed::NewEarth => row(0.016, 0.018, 0.020),
            ChannelBed::WeatheredEarth => row(0.018, 0.022, 0.025),
            ChannelBed::Gravel => row(0.022, 0.025, 0.030),
            ChannelBed::ShortGrass => row(0.022, 0.027, 0.033),
            ChannelBed::WindingEarth => row(0.023, 0.025, 0.030),
            ChannelBed::WindingGrass => row(0.025, 0.030, 0.033),
            ChannelBed::WindingWeeds => row(0.030, 0.035, 0.040),
            ChannelBed::RubbleSides => row(0.028, 0.030, 0.035),
            ChannelBed::StonyWeedy => row(0.025, 0.035, 0.040),
            ChannelBed::Cobbles => row(0.030, 0.040, 0.050),
            ChannelBed::TallWeeds => row(0.050, 0.080, 0.120),
            ChannelBed::BrushSides => row(0.040, 0.050, 0.080),
            ChannelBed::DenseBrush => row(0.080, 0.100, 0.140),
            ChannelBed::SteepCobbles => row(0.030, 0.040, 0.050),
            ChannelBed::SteepBoulders => row(0.040, 0.050, 0.070),
        }
    }
}

/// Ground under a thin sheet of water: USDA-NRCS TR-55, 2nd ed., 1986, table 3-1 (the same in NEH 630 ch. 15,
/// 2010, table 15-1).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetCover {
    /// Smooth surfaces, gravel, bare smooth soil.
    Smooth,
    /// Fallow, no residue.
    Fallow,
    /// Cultivated, residue cover of a fifth or less.
    CultivatedLittleResidue,
    /// Cultivated, residue cover of more than a fifth.
    CultivatedResidue,
    /// Short prairie grass.
    ShortGrass,
    /// Dense grass.
    DenseGrass,
    /// Bermuda grass.
    BermudaGrass,
    /// Natural range.
    Range,
    /// Woods with light underbrush.
    LightWoods,
    /// Woods with dense underbrush.
    DenseWoods,
}

impl SheetCover {
    /// Manning's n for sheet flow.
    pub fn manning_n(self) -> f64 {
        match self {
            SheetCover::Smooth => 0.011,
            SheetCover::Fallow => 0.05,
            SheetCover::CultivatedLittleResidue => 0.06,
            SheetCover::CultivatedResidue => 0.17,
            SheetCover::ShortGrass => 0.15,
            SheetCover::DenseGrass => 0.24,
            SheetCover::BermudaGrass => 0.41,
            SheetCover::Range => 0.13,
            SheetCover::LightWoods => 0.40,
            SheetCover::DenseWoods => 0.80,
        }
    }
}
