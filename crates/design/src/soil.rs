//! What is known of a soil: what the site tells, the rest as its texture usually has it.

use quantity::Estimate;
use site::{Site, Soil, SoilTexture};
use water::soak::Texture;

use crate::layout::LaidLine;

/// The soil at the middle of a line: the one whose area holds it, else the first that is everywhere.
pub fn soil_of<'a>(site: &'a Site, laid: &LaidLine) -> Option<&'a Soil> {
    let under = |soil: &&Soil| soil.area.as_ref().is_some_and(|ring| laid.lies_in(ring));
    let soils = || site.plan.soils.iter();
    soils().find(under).or_else(|| soils().find(|soil| soil.area.is_none()))
}

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
    use crate::layout::lay_out;
    use crate::trial;
    use serde_json::json;

    /// Every texture keeps its name from the site's list to the water's.
    #[test]
    fn textures_keep_their_names() {
        for written in SoilTexture::ALL {
            let name = format!("{:?}", texture(*written));
            assert_eq!(name, format!("{written:?}"));
        }
    }

    #[test]
    fn the_soil_under_the_line_comes_before_that_of_everywhere() {
        let site = trial::on_the_hill(&json!({
            "soil": [
                { "name": "hill", "texture": "loam" },
                { "name": "pocket", "texture": "clay", "soak_mm_h": 2.0, "area": [[0.0, 0.0], [30.0, 0.0], [30.0, 60.0], [0.0, 60.0]] },
            ],
            "line": [
                { "name": "west", "kind": "swale", "pegs": [[10.0, 30.0], [20.0, 30.0]] },
                { "name": "east", "kind": "swale", "pegs": [[50.0, 30.0], [60.0, 30.0]] },
            ],
        }));
        let layout = lay_out(&site);
        let name = |i: usize| soil_of(&site, &layout.lines[i]).unwrap().name.as_str();
        assert_eq!((name(0), name(1)), ("pocket", "hill"));
    }
}
