//! What is known of a soil: what the site tells, the rest as its texture usually has it.

use quantity::Estimate;
use site::{Soil, SoilTexture};
use water::soak::Texture;

/// Rate at which water soaks into the wet soil, mm/h: measured, else the range of its texture.
pub fn soak_mm_h(soil: &Soil) -> Estimate {
    soil.soak_mm_h.unwrap_or_else(|| {
        let usual = texture(soil.texture).usual_rate();
        Estimate::spanning(usual.likely_mm_h, usual.low_mm_h, usual.high_mm_h)
    })
}

/// The texture as the water crate knows it.
pub fn texture(written: SoilTexture) -> Texture {
    match written {
        SoilTexture::Sand => Texture::Sand,
        SoilTexture::LoamySand => Texture::LoamySand,
        SoilTexture::SandyLoam => Texture::SandyLoam,
        SoilTexture::Loam => Texture::Loam,
        SoilTexture::SiltLoam => Texture::SiltLoam,
        SoilTexture::Silt => Texture::Silt,
        SoilTexture::SandyClayLoam => Texture::SandyClayLoam,
        SoilTexture::ClayLoam => Texture::ClayLoam,
        SoilTexture::SiltyClayLoam => Texture::SiltyClayLoam,
        SoilTexture::SandyClay => Texture::SandyClay,
        SoilTexture::SiltyClay => Texture::SiltyClay,
        SoilTexture::Clay => Texture::Clay,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every texture keeps its name from the site's list to the water's.
    #[test]
    fn textures_keep_their_names() {
        for written in SoilTexture::ALL {
            let name = format!("{:?}", texture(*written));
            assert_eq!(name, format!("{written:?}"));
        }
    }
}
