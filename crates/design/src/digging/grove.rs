//! What the planting takes: trees by kind, stakes, nurse plants, mulch, water, days.
//!
//! A ring of mulch holds π(R² − r²)·d: out to R, kept off the bark by r, d deep.
//!
//! Handbooks count hundreds of bare seedlings a day for one person with a spade; on a hillside where each tree is
//! staked, watered and mulched it is 10 to 16. Both are given: the first for nurse plants set bare.

use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use site::Tree;

use crate::sizes::digging::range;

/// Trees that one person plants in a day, each staked, watered and mulched: common practice, no source.
const TREES_A_DAY: (f64, f64, f64) = (10.0, 13.0, 16.0);
/// Holes one person digs in a day, from stony to light soil: ILO-UNDP, Planting trees, section 8.4.
const HOLES_A_DAY: (f64, f64) = (30.0, 80.0);
/// Bare seedlings one person sets with a spade in a day: growers' accounts of 200 to 300.
const BARE_SEEDLINGS_A_DAY: (f64, f64) = (200.0, 300.0);
/// Share of trees to have in reserve: where young trees are watered 80 to 90 % live (World's End, South Australia: over
/// 80 %; NACC, Western Australia: about 90 %), unwatered about 60 % (WOCAT 1625, Niger).
const SPARE_FRAC: (f64, f64, f64) = (0.1, 0.2, 0.4);
/// Nurse plants for each tree: common practice, no source.
const NURSE_PLANTS_A_TREE: (f64, f64, f64) = (1.0, 2.0, 4.0);
/// Soak at planting, L for each tree: at least 10 (Hornsby Shire, tube stock). Twice that likely and four times at
/// most is common practice, no source.
const SOAK_L: (f64, f64, f64) = (10.0, 20.0, 40.0);

/// A ring of mulch.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ring {
    out_to_m: f64,
    off_bark_m: f64,
    depth_m: f64,
}

/// From least to most. Radius 0.6 m: the weed-free ring of at least 2 ft; 0.9 m: 3 ft (Casey Trees). Off the bark by 4 in
/// or 3 in (Sacramento Tree Foundation; Casey Trees). Depth 7.5 to 12.5 cm, 3 to 5 in (City of Fremont), likely 10.
const RINGS: [Ring; 3] = [
    Ring { out_to_m: 0.6, off_bark_m: 0.10, depth_m: 0.075 },
    Ring { out_to_m: 0.6, off_bark_m: 0.10, depth_m: 0.10 },
    Ring { out_to_m: 0.9, off_bark_m: 0.075, depth_m: 0.125 },
];

/// What the planting takes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Grove {
    /// Trees by species and variety, in the order of the plan.
    pub kinds: Vec<TreeKind>,
    /// All of them.
    pub trees: usize,
    /// More to have in reserve, whole trees.
    pub spare_trees: Estimate,
    /// One for each tree: set before the hole is dug.
    pub stakes: usize,
    /// Nurse plants round the trees. Look at your country's list of invasive plants first.
    pub nurse_plants: Estimate,
    /// Mulch in rings that leave the bark bare.
    pub mulch_m3: Estimate,
    /// Water at planting.
    pub planting_water_l: Estimate,
    /// Planting, each tree staked, watered and mulched.
    pub planting_person_days: Estimate,
    /// Holes one person digs in a day, stony to light soil.
    pub holes_per_person_day: Estimate,
    /// Bare seedlings one person sets in a day.
    pub bare_seedlings_per_person_day: Estimate,
}

/// Trees of one species and variety.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeKind {
    /// Species.
    pub species: String,
    /// Variety, where the plan names it.
    pub variety: Option<String>,
    /// How many.
    pub count: usize,
}

/// What planting these trees takes.
pub(crate) fn of(trees: &[&Tree]) -> Grove {
    let count = trees.len() as f64;
    let each = |a_tree: (f64, f64, f64)| range(a_tree).map_monotone(|a_tree| a_tree * count);
    let [least, likely, most] = RINGS.map(|ring| count * ring_m3(ring));
    Grove {
        kinds: kinds(trees),
        trees: trees.len(),
        spare_trees: range(SPARE_FRAC).map_monotone(|frac| whole(frac * count)),
        stakes: trees.len(),
        nurse_plants: each(NURSE_PLANTS_A_TREE),
        mulch_m3: Estimate::spanning(likely, least, most),
        planting_water_l: each(SOAK_L),
        planting_person_days: range(TREES_A_DAY).map_monotone(|a_day| count / a_day),
        holes_per_person_day: span(HOLES_A_DAY),
        bare_seedlings_per_person_day: span(BARE_SEEDLINGS_A_DAY),
    }
}

fn span((low, high): (f64, f64)) -> Estimate {
    Estimate::spanning((low + high) / 2.0, low, high)
}

/// Whole trees, never fewer than asked. The billionth keeps 0.1 of 30 trees from being 4.
fn whole(trees: f64) -> f64 {
    (trees - 1e-9).ceil()
}

fn kinds(trees: &[&Tree]) -> Vec<TreeKind> {
    let mut kinds: Vec<TreeKind> = Vec::new();
    for tree in trees {
        match kinds.iter_mut().find(|kind| kind.species == tree.species && kind.variety == tree.variety) {
            Some(kind) => kind.count += 1,
            None => kinds.push(TreeKind {
                species: tree.species.clone(),
                variety: tree.variety.clone(),
                count: 1,
            }),
        }
    }
    kinds
}

fn ring_m3(ring: Ring) -> f64 {
    let Ring { out_to_m, off_bark_m, depth_m } = ring;
    std::f64::consts::PI * (out_to_m * out_to_m - off_bark_m * off_bark_m) * depth_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::convert::m3_to_l;

    /// π(R² − r²)·d worked with a table of squares, in litres.
    #[test]
    fn rings_by_hand() {
        for (out_to_m, off_bark_m, depth_m, litres) in [
            (0.5, 0.1, 0.05, 37.7),
            (0.75, 0.1, 0.08, 138.9),
            (1.0, 0.1, 0.1, 311.0),
            (1.5, 0.15, 0.1, 699.8),
        ] {
            let found_l = m3_to_l(ring_m3(Ring { out_to_m, off_bark_m, depth_m }));
            assert!((found_l - litres).abs() <= 0.05, "{out_to_m}: {found_l}");
        }
    }

    /// ILO-UNDP: 80 holes a day in light soil, 30 in stony. Growers: 200 to 300 seedlings. Hornsby: 10 L. Extension
    /// pages on mulch: 3 in to 5 in deep, 2 ft to 3 ft out.
    #[test]
    fn published_planting_figures() {
        let grove = of(&[]);
        assert_eq!((grove.holes_per_person_day.low(), grove.holes_per_person_day.high()), (30.0, 80.0));
        let bare = grove.bare_seedlings_per_person_day;
        assert_eq!((bare.low(), bare.high()), (200.0, 300.0));
        assert_eq!(SOAK_L.0, 10.0);
        let ft_m = quantity::convert::ft_to_m;
        assert!(
            (RINGS[0].out_to_m - ft_m(2.0)).abs() <= 0.05 && (RINGS[2].out_to_m - ft_m(3.0)).abs() <= 0.05
        );
        assert_eq!(grove.planting_person_days.high(), 0.0);
    }

    /// 26 trees: 26/16 = 1.6, 26/13 = 2, 26/10 = 2.6 days; 3, 6 and 11 in reserve; rings of 0.10996 m³ make 2.859 m³.
    #[test]
    fn a_grove_by_hand() {
        let tree = |name: &str, species: &str| {
            serde_json::from_value::<Tree>(serde_json::json!({ "name": name, "species": species })).unwrap()
        };
        let trees: Vec<Tree> =
            (0..26).map(|i| tree(&i.to_string(), if i % 2 == 0 { "fig" } else { "almond" })).collect();
        let grove = of(&trees.iter().collect::<Vec<_>>());
        assert_eq!((grove.planting_person_days.likely(), grove.planting_person_days.high()), (2.0, 2.6));
        let spare = grove.spare_trees;
        assert_eq!((spare.low(), spare.likely(), spare.high()), (3.0, 6.0, 11.0));
        assert!((grove.mulch_m3.likely() - 2.859).abs() < 0.0005);
        assert_eq!(grove.kinds.len(), 2);
        assert_eq!(grove.kinds[0].count, 13);
    }
}
