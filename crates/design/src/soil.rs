//! What is known of a soil: what the site tells, the rest as its texture usually has it.

use quantity::Estimate;
use serde::Serialize;
use site::{Site, SoakTest, Soil, SoilTexture};
use water::soak::Texture;
use water::soak::stones::passes_times;

use crate::layout::LaidLine;
use crate::soaking;

/// The soil at the middle of a line: the one whose area holds it, else the first that is everywhere.
pub fn soil_of<'a>(site: &'a Site, laid: &LaidLine) -> Option<&'a Soil> {
    let under = |soil: &&Soil| soil.area.as_ref().is_some_and(|ring| laid.lies_in(ring));
    let soils = || site.plan.soils.iter();
    soils().find(under).or_else(|| soils().find(|soil| soil.area.is_none()))
}

/// How fast a soil soaks, and how that is known.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SoakRate {
    /// The soil.
    pub soil: String,
    /// Rate at which water soaks into it once it is wet.
    pub soak_mm_h: Estimate,
    /// Where the range comes from that the tests narrow.
    pub before_tests: SoakFrom,
    /// Soak tests of the folder that were made in it.
    pub tests: usize,
}

/// Where a range of soak rates comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SoakFrom {
    /// The usual range of its texture, less what stones take.
    Texture,
    /// The plan.
    Plan,
}

/// The least rate that a test is taken to show, mm/h: the tenth of a millimetre that a rule does not show in an hour.
const LEAST_SEEN_MM_H: f64 = 0.1;
/// Standard deviations from the middle of a normal range to the ends between which nine in ten lie.
const NINE_IN_TEN: f64 = 1.645;

impl SoakRate {
    /// How it is known, in words: "from 3 soak tests".
    pub fn known_from(&self) -> String {
        let before = match self.before_tests {
            SoakFrom::Texture => "from its texture",
            SoakFrom::Plan => "as the plan says",
        };
        match self.tests {
            0 => before.to_owned(),
            1 => format!("{before}, narrowed by 1 soak test"),
            tests => format!("{before}, narrowed by {tests} soak tests"),
        }
    }
}

/// How fast every soil of a plan soaks, in its order.
pub fn soak_rates(site: &Site) -> Vec<SoakRate> {
    site.plan.soils.iter().map(|soil| soak_rate(site, soil)).collect()
}

/// How fast a soil soaks: as the plan says, else as its texture usually does, narrowed by the soak tests made in it.
pub fn soak_rate(site: &Site, soil: &Soil) -> SoakRate {
    let only = site.plan.soils.len() == 1;
    let in_it = |test: &&SoakTest| test.soil.as_ref().map_or(only, |name| *name == soil.name);
    let tests_mm_h: Vec<f64> = site
        .measured
        .soak_tests
        .iter()
        .filter(in_it)
        .map(|test| soaking::soaking(test).soak_mm_h.likely())
        .collect();
    let usual = usual_mm_h(soil);
    SoakRate {
        soil: soil.name.clone(),
        soak_mm_h: narrowed(soil.soak_mm_h.unwrap_or(usual), usual, &tests_mm_h),
        before_tests: if soil.soak_mm_h.is_some() { SoakFrom::Plan } else { SoakFrom::Texture },
        tests: tests_mm_h.len(),
    }
}

/// The usual range of its texture, less what its stones take.
fn usual_mm_h(soil: &Soil) -> Estimate {
    let usual = texture(soil.texture).usual_rate();
    let stones_frac = soil.gravel_frac.map_or(0.0, quantity::Fraction::get);
    let range = Estimate::spanning(usual.likely_mm_h, usual.low_mm_h, usual.high_mm_h);
    range.map_monotone(|mm_h| mm_h * passes_times(stones_frac))
}

/// What was thought counts as one test, and each test as one more, all on a logarithmic scale because soils differ by
/// factors. Likely is their geometric mean; each end of the range stays as many times off as it was, to the power
/// 1/√(1 + n), or as the tests' own scatter has it where they scatter more. A plain number has the texture's spread.
///
/// Counting what was thought as one test is an assumption without a source.
fn narrowed(thought: Estimate, usual: Estimate, tests_mm_h: &[f64]) -> Estimate {
    if tests_mm_h.is_empty() {
        return thought;
    }
    let ln = |mm_h: f64| libm::log(if mm_h > LEAST_SEEN_MM_H { mm_h } else { LEAST_SEEN_MM_H });
    let spread = if thought.is_exact() { usual } else { thought };
    let below = ln(spread.likely()) - ln(spread.low());
    let above = ln(spread.high()) - ln(spread.likely());
    let seen: Vec<f64> = tests_mm_h.iter().map(|mm_h| ln(*mm_h)).collect();
    let count = 1.0 + seen.len() as f64;
    let likely = (ln(thought.likely()) + seen.iter().sum::<f64>()) / count;
    let scatter = NINE_IN_TEN * deviation(&seen);
    let end = |thought: f64| if scatter > thought { scatter } else { thought } / count.sqrt();
    let (low, high) = (libm::exp(likely - end(below)), libm::exp(likely + end(above)));
    Estimate::spanning(libm::exp(likely), low, high)
}

/// Standard deviation of a few values; nothing for fewer than two.
fn deviation(values: &[f64]) -> f64 {
    if values.len() < 2 {
        return 0.0;
    }
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    (squares / (values.len() - 1) as f64).sqrt()
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

    /// A pit of 0.4 × 0.3 m whose second fill gives about this rate: ln falls by K·t·p/A.
    fn pit(soil: Option<&str>, soak_mm_h: f64) -> SoakTest {
        let (length_m, width_m) = (0.4, 0.3);
        let bed_over_rim_m = length_m * width_m / (2.0 * (length_m + width_m));
        let falls = libm::exp(-soak_mm_h / 1000.0 / bed_over_rim_m);
        let reading = |at_min: f64, water_m: f64| site::SoakReading { at_min, water_m };
        let end_m = (0.3 + bed_over_rim_m) * falls - bed_over_rim_m;
        SoakTest {
            file: "pit.csv".to_owned(),
            soil: soil.map(str::to_owned),
            hole: site::SoakHole::Pit { length_m, width_m },
            fills: vec![
                vec![reading(0.0, 0.3), reading(60.0, 0.2)],
                vec![reading(70.0, 0.3), reading(130.0, end_m)],
            ],
        }
    }

    fn rate_with(soil: &serde_json::Value, tests: Vec<SoakTest>) -> SoakRate {
        let mut site = trial::by_tape(&json!({ "soil": [soil] }));
        site.measured.soak_tests = tests;
        soak_rate(&site, &site.plan.soils[0])
    }

    /// Thought 4 to 16 (8) mm/h, three tests of 8, 8 and 16: the geometric mean of 8, 8, 8 and 16 is 8·2^¼ = 9.514; the
    /// ends were a factor of 2 off. The tests' logarithms scatter by ln 2/√3 = 0.4002, × 1.645 = 0.6583, less than
    /// ln 2 = 0.6931: so 2 to the power 1/√4 stays: 6.727 to 13.454.
    #[test]
    fn tests_narrow_a_range_by_hand() {
        let soil = json!({ "name": "loam", "texture": "loam", "soak_mm_h": { "low": 4.0, "likely": 8.0, "high": 16.0 } });
        let found = rate_with(&soil, [8.0, 8.0, 16.0].map(|mm_h| pit(Some("loam"), mm_h)).to_vec());
        let range = found.soak_mm_h;
        for (value, expected) in [(range.low(), 6.727), (range.likely(), 9.514), (range.high(), 13.454)] {
            assert!((value - expected).abs() <= 0.001, "{range:?}");
        }
        assert_eq!(found.known_from(), "as the plan says, narrowed by 3 soak tests");
        // Of no test nothing changes.
        let without = rate_with(&soil, vec![]);
        assert_eq!((without.soak_mm_h.low(), without.soak_mm_h.high(), without.tests), (4.0, 16.0, 0));
    }

    /// Holes that scatter by a factor of ten are not made narrower than they scatter: two tests of 3 and 30 have the
    /// deviation ln 10/√2 = 1.628, × 1.645/√3 = 1.546.
    #[test]
    fn tests_that_scatter_keep_the_range_wide() {
        let soil = json!({ "name": "loam", "texture": "loam", "soak_mm_h": { "low": 8.0, "likely": 9.0, "high": 10.0 } });
        let range = rate_with(&soil, vec![pit(None, 3.0), pit(None, 30.0)]).soak_mm_h;
        assert!((libm::log(range.high() / range.likely()) - 1.546).abs() <= 0.001, "{range:?}");
    }

    /// A test of another soil does not count, one without a name only where there is one soil, and one that saw nothing
    /// soak counts as a tenth of a millimetre an hour.
    #[test]
    fn only_tests_of_the_soil_count() {
        let soils = json!([{ "name": "loam", "texture": "loam" }, { "name": "clay", "texture": "clay", "area": [[0.0, 0.0], [9.0, 0.0], [9.0, 9.0]] }]);
        let mut site = trial::by_tape(&json!({ "soil": soils }));
        site.measured.soak_tests = vec![pit(Some("clay"), 3.0), pit(None, 30.0)];
        let tests: Vec<usize> = soak_rates(&site).iter().map(|rate| rate.tests).collect();
        assert_eq!(tests, [0, 1]);
        let still =
            rate_with(&json!({ "name": "clay", "texture": "clay", "soak_mm_h": 1.6 }), vec![pit(None, 0.0)]);
        assert!((still.soak_mm_h.likely() - 0.4).abs() <= 1e-12, "{still:?}");
    }

    /// Half of the ground stones: 0.5/1.25 of the texture's range, and a rate that the plan gives has its stones in it.
    #[test]
    fn stones_slow_what_the_texture_says() {
        let bare = rate_with(&json!({ "name": "l", "texture": "loam" }), vec![]).soak_mm_h;
        let stony =
            rate_with(&json!({ "name": "l", "texture": "loam", "gravel_frac": 0.5 }), vec![]).soak_mm_h;
        assert!((stony.high() / bare.high() - 0.4).abs() <= 1e-12);
        let told = json!({ "name": "l", "texture": "loam", "gravel_frac": 0.5, "soak_mm_h": 9.0 });
        assert_eq!(rate_with(&told, vec![]).soak_mm_h.likely(), 9.0);
    }

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
