use water::soak::Texture;

use super::*;
use crate::soil_water::{Grains, typical};
use crate::water_balance::{DayIn, TreeState};

fn setting(latitude_deg: f64) -> Setting {
    let soil = Grains::of_texture(Texture::Loam).water().unwrap();
    Setting {
        soil,
        soil_depth_m: 1.2,
        under_mm_h: 5.0,
        latitude_deg,
        spacing_m: 5.0,
        mulched_frac: 0.6,
        live_cover_frac: 0.0,
    }
}

/// Enough of each kind, names all different, every range the right way round.
#[test]
fn the_table_is_in_order() {
    assert!(FRUIT.len() >= 30 && NURSE.len() >= 15);
    let mut names: Vec<String> = all().flat_map(Species::names).map(str::to_lowercase).collect();
    let count = names.len();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), count, "two species share a name");
    for species in all() {
        let Cold { rest_c, early_c, bloom_c, .. } = species.cold;
        let facts = [species.width_m, species.least_rain_mm, rest_c, early_c, bloom_c];
        for fact in facts.into_iter().flatten() {
            assert!(fact.low <= fact.high, "{}: {fact:?}", species.name);
        }
        assert!(species.width_m.is_none_or(|width| width.low > 0.5 && width.high < 20.0));
        if let (Some(rest), Some(early)) = (rest_c, early_c) {
            assert!(rest.low <= early.high, "{}", species.name);
        }
        assert_eq!(find(species.name), Some(species));
    }
}

/// Every species can be planted north and south and lives through a watered month.
#[test]
fn every_species_can_be_planted() {
    for species in all() {
        for latitude_deg in [38.7, -38.7] {
            let ground = tree_ground(species, &setting(latitude_deg)).unwrap();
            let mut state = TreeState::planted(&ground, 1.0);
            for day in 0..30 {
                let weather = DayIn {
                    day_of_year: 150 + day,
                    eto_mm: 5.0,
                    climate_term: 0.0,
                    rain_mm: 0.0,
                    line_mm: 0.0,
                    hand_mm: state.depletion_mm(&ground),
                    under_water: false,
                };
                let out = state.step(&ground, &weather);
                assert_eq!(out.stress_frac, 1.0, "{} day {day}", species.name);
            }
        }
    }
}

/// Spring frost, Penn State Extension: full bloom of apple and cherry 28 and 25 °F, pear 28 and 24, peach 27 and 24
/// for a tenth and nine tenths of the buds; printed in whole degrees Fahrenheit, here to tenths of Celsius.
#[test]
fn published_frost_of_blossom() {
    for (name, tenth_f, most_f) in
        [("apple", 28.0, 25.0), ("pear", 28.0, 24.0), ("peach", 27.0, 24.0), ("cherry", 28.0, 25.0)]
    {
        let bloom = find(name).unwrap().cold.bloom_c.unwrap();
        assert!((bloom.high - (tenth_f - 32.0) / 1.8).abs() <= 0.05, "{name}: {bloom:?}");
        assert!((bloom.low - (most_f - 32.0) / 1.8).abs() <= 0.05, "{name}: {bloom:?}");
    }
}

/// UF/IFAS Extension HS202: the classes as printed there.
#[test]
fn published_flooding_tolerance() {
    for (class, names) in [
        (WetFeet::Tolerant, &["guava", "sapodilla", "coconut", "orange", "lemon", "mandarin"][..]),
        (WetFeet::Moderate, &["lychee", "longan", "tahiti lime", "mango", "carambola", "banana"][..]),
        (WetFeet::NotTolerant, &["avocado", "papaya", "jackfruit"][..]),
    ] {
        for name in names {
            assert_eq!(find(name).unwrap().wet_feet, (class, Source::Florida), "{name}");
        }
    }
}

/// FAO EcoCrop: killing temperature at rest and in early growth, °C, and least rain, mm, as printed there.
#[test]
fn published_killing_cold_and_least_rain() {
    for (name, rest_c, early_c, rain_mm) in [
        ("olive", -10.0, 0.0, Some(200.0)),
        ("fig", -12.0, -1.0, Some(300.0)),
        ("pomegranate", -10.0, 0.0, Some(400.0)),
        ("almond", -5.0, -1.0, Some(250.0)),
        ("apple", -30.0, -2.0, Some(500.0)),
        ("pear", -34.0, -9.0, Some(400.0)),
        ("walnut", -24.0, -2.0, Some(400.0)),
        ("carob", -4.0, 0.0, Some(200.0)),
        ("pistachio", -18.0, -1.0, Some(250.0)),
        ("persimmon", -18.0, 0.0, Some(300.0)),
        ("hazel", -10.0, -3.0, Some(600.0)),
        ("quince", -25.0, -1.0, Some(500.0)),
        ("loquat", -10.0, -1.0, Some(400.0)),
        ("pecan", -20.0, -1.0, Some(400.0)),
        ("orange", -10.0, 0.0, Some(450.0)),
        ("lemon", -6.0, -2.0, None),
        ("peach", -5.0, -5.0, Some(600.0)),
        ("apricot", -5.0, -1.0, Some(600.0)),
        ("plum", -10.0, -2.0, Some(600.0)),
        ("mango", -1.0, 0.0, None),
        ("guava", -5.0, -1.0, None),
        ("pawpaw", -25.0, 0.0, None),
    ] {
        let species = find(name).unwrap();
        assert_eq!(
            species.cold.rest_c,
            Some(Fact { low: rest_c, high: rest_c, source: Source::Ecocrop }),
            "{name}"
        );
        assert_eq!(species.cold.early_c.map(|fact| fact.low), Some(early_c), "{name}");
        assert_eq!(species.least_rain_mm.map(|fact| fact.low), rain_mm, "{name}");
    }
}

/// University of Maine Extension, in feet: dwarf to standard apple 6 to 25, pear and cherry 5 more than semi-dwarf
/// and standard, stone fruit 15; to tenths of a metre.
#[test]
fn published_widths() {
    for (name, low_ft, high_ft) in
        [("apple", 6.0, 25.0), ("pear", 20.0, 30.0), ("peach", 15.0, 15.0), ("pecan", 50.0, 50.0)]
    {
        let width = find(name).unwrap().width_m.unwrap();
        let near = |found_m: f64, ft: f64| (found_m - quantity::convert::ft_to_m(ft)).abs() <= 0.3;
        assert!(near(width.low, low_ft) && near(width.high, high_ft), "{name}: {width:?}");
    }
}

/// The worst invaders of the nurse plants say so, and all of them send the grower to the national list.
#[test]
fn published_invaders_are_named() {
    for name in ["leucaena", "black wattle", "mesquite"] {
        let caution = find(name).unwrap().caution.unwrap();
        assert!(caution.contains("100 worst"), "{name}");
    }
    for species in &NURSE {
        assert_eq!(species.cautions().first(), Some(&CHECK_THE_LIST), "{}", species.name);
    }
    assert!(!find("olive").unwrap().cautions().contains(&CHECK_THE_LIST));
}

/// What is from memory never claims to be read.
#[test]
fn memory_is_shown_as_such() {
    assert_eq!(Source::Memory.status(), Status::Unverified);
    for source in Source::ALL {
        assert_eq!(source.citation().contains("unverified"), source.status() == Status::Unverified);
        assert_eq!(source.citation().contains("(trade)"), source.status() == Status::Trade);
    }
    // Trees that FAO-56 has no row for.
    for name in
        ["fig", "pomegranate", "carob", "mulberry", "chestnut", "hazel", "loquat", "mango", "guava", "jujube"]
    {
        assert!(!find(name).unwrap().coefficients.own, "{name}");
    }
}

/// The share of the surface layer that leaves at full rate, from the middles of FAO-56, table 19.
#[test]
fn published_table_gives_the_readily_evaporable_share() {
    let textures = [
        Texture::Sand,
        Texture::LoamySand,
        Texture::SandyLoam,
        Texture::Loam,
        Texture::SiltLoam,
        Texture::Silt,
        Texture::SiltyClayLoam,
        Texture::SiltyClay,
        Texture::Clay,
    ];
    let middle = |[low, high]: [f64; 2]| (low + high) / 2.0;
    let shares = textures.map(|texture| {
        let row = typical(texture).unwrap();
        middle(row.readily_evaporable_mm) / middle(row.evaporable_mm)
    });
    let mean = shares.iter().sum::<f64>() / shares.len() as f64;
    let surface = crate::evaporation::Surface::of(&setting(0.0).soil);
    assert!((surface.readily_mm / surface.total_mm - mean).abs() <= 0.005, "{mean}");
}

/// The page in the documents is this page.
#[test]
fn the_page_is_up_to_date() {
    assert_eq!(page(), include_str!("../../../../docs/trees.md"), "run: cargo run -p xtask -- trees-page");
}
