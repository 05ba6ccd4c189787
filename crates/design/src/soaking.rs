//! What a soak test says: the rate at which water goes into wet ground, with its range.
//!
//! Dry ground drinks fast, so only the later readings count. Of several fills the first wets the ground and each
//! later one gives a rate; of a single fill the later half of its intervals counts; between double rings the last
//! three intervals. Likely is the last of the rates that count, low and high are the least and the most of them.
//! Equations and sources: `water::soak::field_test`.

use quantity::Estimate;
use quantity::convert::{m_s_to_mm_h, m_to_mm};
use serde::Serialize;
use site::{SoakHole, SoakReading, SoakTest};
use water::soak::feel::Feel;
use water::soak::{Texture, field_test};

/// Intervals between double rings that count. Common practice, no source.
const LAST_INTERVALS: usize = 3;
/// Water that is spoken of when the drain-down is told, mm.
const FOOT_OF_WATER_MM: f64 = 300.0;

/// What a soak test says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// What the water stood in.
    pub kind: &'static str,
    /// How the rates were reckoned.
    pub method: &'static str,
    /// The soil the file names.
    pub soil: Option<String>,
    /// The rates, in the order of the readings.
    pub rates: Vec<Rate>,
    /// The rate of the wet ground.
    pub soak_mm_h: Estimate,
    /// Textures whose usual range holds the likely rate.
    pub usual_of: Vec<&'static str>,
    /// Hours that 300 mm of water over this ground take to soak away through the bed alone; none where nothing soaks.
    pub hours_for_300_mm: Option<Estimate>,
    /// Whether only one fill was watched, so that the ground may not have been wet through.
    pub one_fill_only: bool,
}

/// One rate.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rate {
    /// Fill, from 1.
    pub fill: usize,
    /// From this time.
    pub from_min: f64,
    /// To this time.
    pub to_min: f64,
    /// The rate.
    pub soak_mm_h: f64,
    /// Whether it counts.
    pub counts: bool,
}

/// The answer of a soak test whose fills have two readings or more each, times rising and water falling (between
/// rings: soaked depth rising).
pub fn soaking(test: &SoakTest) -> Answer {
    let mut rates = rates(test);
    let first_counting = match (test.hole, test.fills.len()) {
        (SoakHole::DoubleRing, _) => rates.len().saturating_sub(LAST_INTERVALS),
        (_, 1) => rates.len() / 2,
        _ => 1,
    };
    for rate in &mut rates[first_counting..] {
        rate.counts = true;
    }
    let counting = rates.iter().filter(|rate| rate.counts).map(|rate| rate.soak_mm_h);
    let (low, high) = counting.clone().fold((f64::INFINITY, 0.0), |(low, high), rate| {
        (if rate < low { rate } else { low }, if rate > high { rate } else { high })
    });
    let likely = counting.clone().next_back().expect("every test has a rate that counts");
    let soak_mm_h = Estimate::spanning(likely, low, high);
    let holds = |texture: &&Texture| {
        let usual = texture.usual_rate();
        usual.low_mm_h <= likely && likely <= usual.high_mm_h
    };
    let (kind, method) = words(test.hole);
    Answer {
        kind,
        method,
        soil: test.soil.clone(),
        usual_of: Texture::ALL.iter().filter(holds).map(|texture| texture.name()).collect(),
        hours_for_300_mm: (soak_mm_h.low() > 0.0)
            .then(|| soak_mm_h.map_monotone(|rate| FOOT_OF_WATER_MM / rate)),
        one_fill_only: test.hole != SoakHole::DoubleRing && test.fills.len() == 1,
        rates,
        soak_mm_h,
    }
}

/// One rate a fill; of a single fill, and between rings, one an interval.
fn rates(test: &SoakTest) -> Vec<Rate> {
    let by_interval = test.fills.len() == 1 || test.hole == SoakHole::DoubleRing;
    let mut rates = Vec::new();
    for (fill, readings) in test.fills.iter().enumerate() {
        let ends = [readings[0], readings[readings.len() - 1]];
        let stretches: Vec<&[SoakReading]> =
            if by_interval { readings.windows(2).collect() } else { vec![&ends[..]] };
        for stretch in stretches {
            rates.push(rate(test.hole, fill + 1, stretch[0], stretch[1]));
        }
    }
    rates
}

fn rate(hole: SoakHole, fill: usize, from: SoakReading, to: SoakReading) -> Rate {
    let seconds = 60.0 * (to.at_min - from.at_min);
    let soak_m_s = match hole {
        SoakHole::Auger { radius_m } => {
            field_test::auger_hole_m_s(radius_m, from.water_m, to.water_m, seconds)
        }
        SoakHole::Pit { length_m, width_m } => {
            field_test::pit_m_s(length_m, width_m, (from.water_m, to.water_m), seconds)
        }
        SoakHole::DoubleRing => (to.water_m - from.water_m) / seconds,
        SoakHole::FallingRing { core_m } => {
            field_test::falling_ring_m_s(core_m, from.water_m, to.water_m, seconds)
        }
    };
    let soak_mm_h = m_s_to_mm_h(soak_m_s);
    Rate { fill, from_min: from.at_min, to_min: to.at_min, soak_mm_h, counts: false }
}

fn words(hole: SoakHole) -> (&'static str, &'static str) {
    match hole {
        SoakHole::Auger { .. } => ("auger hole", "fall over wetted wall and bottom (inverse auger hole)"),
        SoakHole::Pit { .. } => ("dug pit", "fall over wetted walls and bottom"),
        SoakHole::DoubleRing => ("double ring", "what soaked in, interval by interval"),
        SoakHole::FallingRing { .. } => ("ring with falling head", "falling head over the soil in the ring"),
    }
}

/// What soil of a texture usually does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Usual {
    /// The class.
    pub texture: &'static str,
    /// Its usual rate once it is wet, without stones.
    pub usual_soak_mm_h: Estimate,
    /// Share of it that is pores which drain and fill again.
    pub pores_frac: f64,
    /// How hard dry ground draws water in ahead of the wet front, as a height of water.
    pub suction_mm: f64,
}

impl Usual {
    fn of(texture: Texture) -> Usual {
        let usual = texture.usual_rate();
        Usual {
            texture: texture.name(),
            usual_soak_mm_h: Estimate::spanning(usual.likely_mm_h, usual.low_mm_h, usual.high_mm_h),
            pores_frac: texture.effective_porosity_frac(),
            suction_mm: m_to_mm(texture.green_ampt(0.0).suction_m),
        }
    }
}

/// Texture by feel, and what it usually does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Felt {
    /// The class, and what it usually does.
    #[serde(flatten)]
    pub usual: Usual,
    /// The class that another printing of the diagram finds, where it is another.
    pub or_else: Option<Usual>,
}

/// What the hand finds.
pub fn felt(feel: Feel) -> Felt {
    let (found, other) = (Texture::by_feel(feel), Texture::by_feel_of_other_printing(feel));
    Felt { usual: Usual::of(found), or_else: (other != found).then(|| Usual::of(other)) }
}

/// Texture by the layers in a jar, and what it usually soaks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Jar {
    /// Share of sand.
    pub sand_frac: f64,
    /// Share of silt.
    pub silt_frac: f64,
    /// Share of clay.
    pub clay_frac: f64,
    /// The class, and what it usually does.
    #[serde(flatten)]
    pub usual: Usual,
}

/// Why layers in a jar are no soil.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum JarError {
    /// A layer that is negative or no number, or all are nothing.
    #[error("layers of {sand}, {silt} and {clay} are no soil: give each as 0 or more, and not all as 0")]
    NoLayers {
        /// Sand.
        sand: f64,
        /// Silt.
        silt: f64,
        /// Clay.
        clay: f64,
    },
    /// The shares make no texture.
    #[error(transparent)]
    Grains(#[from] water::soak::GrainsError),
}

/// What the layers in a jar say, in any one unit.
///
/// # Errors
/// If they are no layers.
pub fn jar(sand: f64, silt: f64, clay: f64) -> Result<Jar, JarError> {
    let sum = sand + silt + clay;
    let sound = [sand, silt, clay].iter().all(|layer| *layer >= 0.0) && sum > 0.0 && sum.is_finite();
    if !sound {
        return Err(JarError::NoLayers { sand, silt, clay });
    }
    let texture = Texture::of(sand / sum, silt / sum, clay / sum)?;
    Ok(Jar { sand_frac: sand / sum, silt_frac: silt / sum, clay_frac: clay / sum, usual: Usual::of(texture) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn test(hole: SoakHole, fills: &[&[(f64, f64)]]) -> SoakTest {
        let reading = |(at_min, water_m): &(f64, f64)| SoakReading { at_min: *at_min, water_m: *water_m };
        let fills = fills.iter().map(|fill| fill.iter().map(reading).collect()).collect();
        SoakTest { file: "f".to_owned(), soil: None, hole, fills }
    }

    /// By hand: r 5 cm, 30 → 20 cm in 30 min: 25 mm · ln(325/225)/0.5 h = 18.39 mm/h; the first fill, twice as fast,
    /// does not count.
    #[test]
    fn the_first_fill_does_not_count() {
        let auger = SoakHole::Auger { radius_m: 0.05 };
        let answer = soaking(&test(auger, &[&[(0.0, 0.3), (15.0, 0.2)], &[(20.0, 0.3), (50.0, 0.2)]]));
        assert!((answer.soak_mm_h.likely() - 18.39).abs() <= 0.005, "{answer:?}");
        assert!(answer.soak_mm_h.is_exact() && !answer.one_fill_only);
        assert!((answer.rates[0].soak_mm_h - 36.78).abs() <= 0.01);
        assert_eq!(answer.usual_of, ["loam", "silt loam", "silt"]);
    }

    /// Subramanya, Engineering Hydrology, example 3.8: the last three intervals of the ring, cm/h, two decimals.
    #[test]
    fn published_ring_levels_off() {
        let cm = [(90.0, 10.20), (110.0, 11.28), (130.0, 12.36), (75.0, 9.30)];
        let ring: Vec<(f64, f64)> = [3, 0, 1, 2].map(|i: usize| (cm[i].0, cm[i].1 / 100.0)).to_vec();
        let answer = soaking(&test(SoakHole::DoubleRing, &[&ring]));
        assert!((answer.soak_mm_h.likely() - 32.4).abs() <= 0.05);
        assert!((answer.soak_mm_h.high() - 36.0).abs() <= 0.05);
    }

    #[test]
    fn one_fill_counts_its_later_half_and_says_so() {
        let pit = SoakHole::Pit { length_m: 0.4, width_m: 0.3 };
        let answer =
            soaking(&test(pit, &[&[(0.0, 0.30), (30.0, 0.25), (60.0, 0.22), (90.0, 0.20), (120.0, 0.19)]]));
        let counts: Vec<bool> = answer.rates.iter().map(|rate| rate.counts).collect();
        assert_eq!(counts, [false, false, true, true]);
        assert!(answer.one_fill_only);
        let still = soaking(&test(pit, &[&[(0.0, 0.3), (30.0, 0.3)]]));
        assert_eq!((still.soak_mm_h.likely(), still.hours_for_300_mm), (0.0, None));
    }

    /// 40 mm, neither gritty nor smooth: clay loam, by the other printing loam; figures of Rawls and others 1983.
    #[test]
    fn a_ribbon_gives_texture_and_what_it_does() {
        let found = felt(Feel::Ribbon { length_m: 0.04, rubs: water::soak::feel::Rubs::Neither });
        assert_eq!((found.usual.texture, found.usual.pores_frac), ("clay loam", 0.309));
        assert!((found.usual.suction_mm - 208.8).abs() <= 1e-9);
        assert_eq!(found.or_else.unwrap().texture, "loam");
        assert_eq!(felt(Feel::FallsApart).or_else, None);
    }

    #[test]
    fn a_jar_gives_texture_and_usual_rate() {
        let found = jar(45.0, 30.0, 15.0).unwrap();
        assert_eq!(found.usual.texture, "loam");
        assert!((found.sand_frac - 0.5).abs() < 1e-12);
        assert_eq!(found.usual.usual_soak_mm_h.low(), 10.0);
        assert_eq!(jar(60.0, 8.0, 12.0).unwrap().usual.texture, "sandy loam");
        assert_eq!(jar(10.0, 30.0, 40.0).unwrap().usual.texture, "clay");
        for (sand, silt, clay) in
            [(0.0, 0.0, 0.0), (-1.0, 2.0, 3.0), (f64::NAN, 1.0, 1.0), (f64::INFINITY, 1.0, 1.0)]
        {
            assert!(jar(sand, silt, clay).is_err(), "{sand}");
        }
    }
}
