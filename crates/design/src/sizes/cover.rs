//! What covers a bed, a crest or a landing: how rough it is and what speed it stands.
//!
//! The figures themselves stand with the formulas that use them; here each plain word of a site file is given
//! its row of their tables.

use site::{Lining, Soil, SoilTexture};
use water::manning::{ChannelBed, SheetCover};
use water::scour::{self, BareBed, GRAIN_SPEEDS, Grass, SoilHold};

/// Roughness of a corrugated pipe, the roughest that is sold. Chow 1959, table 5-6; from memory, unverified.
pub(crate) const PIPE_N: f64 = 0.024;

/// Roughness of a trench, by its lining.
pub(crate) fn channel_n(lining: Lining) -> f64 {
    let bed = match lining {
        // A sown bed is bare until the grass stands.
        Lining::Bare | Lining::Sown => ChannelBed::WeatheredEarth,
        Lining::Grass => ChannelBed::WindingGrass,
        Lining::Rock => ChannelBed::SteepCobbles,
    };
    bed.manning_n().likely()
}

/// Roughness of a crest under a few centimetres of water: grass there is as high as the water.
pub(crate) fn crest_n(cover: Lining) -> f64 {
    let bed = match cover {
        Lining::Bare | Lining::Sown => ChannelBed::WeatheredEarth,
        Lining::Grass => ChannelBed::TallWeeds,
        Lining::Rock => ChannelBed::Cobbles,
    };
    bed.manning_n().likely()
}

/// Roughness of a landing under a sheet of some millimetres.
pub(crate) fn sheet_n(cover: Lining) -> f64 {
    match cover {
        Lining::Bare | Lining::Sown => SheetCover::Smooth.manning_n(),
        Lining::Grass => SheetCover::ShortGrass.manning_n(),
        // The table of sheets has no row for rock.
        Lining::Rock => ChannelBed::SteepCobbles.manning_n().likely(),
    }
}

/// Mean speed that a bed of this cover stands at this slope. Grass counts as a mixture on soil that erodes
/// easily; where the slope is too steep for it, and until what was sown stands, it is no better than bare soil.
/// Loose rock counts as the largest stones of the table.
pub(crate) fn stands_m_s(cover: Lining, slope: f64, soil: Option<&Soil>) -> f64 {
    let bare_m_s = scour::bare_speed_m_s(bare_bed(soil));
    match cover {
        Lining::Bare | Lining::Sown => bare_m_s,
        Lining::Grass => {
            scour::grass_speed_m_s(Grass::Mixture, SoilHold::Erodible, slope).unwrap_or(bare_m_s)
        }
        Lining::Rock => GRAIN_SPEEDS[GRAIN_SPEEDS.len() - 1].1,
    }
}

/// Bare beds of the ditch tables; soil that nobody named is the weakest.
fn bare_bed(soil: Option<&Soil>) -> BareBed {
    match soil.map(|soil| soil.texture) {
        Some(
            SoilTexture::SandyClayLoam
            | SoilTexture::ClayLoam
            | SoilTexture::SiltyClayLoam
            | SoilTexture::SandyClay
            | SoilTexture::SiltyClay
            | SoilTexture::Clay,
        ) => BareBed::Clay,
        Some(
            SoilTexture::Sand
            | SoilTexture::LoamySand
            | SoilTexture::SandyLoam
            | SoilTexture::Loam
            | SoilTexture::SiltLoam
            | SoilTexture::Silt,
        )
        | None => BareBed::FineSandOrSilt,
    }
}

/// A steep slope unmakes what grass stands, and sown grass is no grass yet.
#[test]
fn grass_helps_only_where_it_stands_and_is_gentle() {
    assert!(stands_m_s(Lining::Grass, 0.05, None) > stands_m_s(Lining::Grass, 0.10, None));
    for slope in [0.02, 0.30] {
        assert_eq!(stands_m_s(Lining::Sown, slope, None), stands_m_s(Lining::Bare, slope, None));
    }
    assert_eq!(stands_m_s(Lining::Grass, 0.30, None), stands_m_s(Lining::Bare, 0.30, None));
}
