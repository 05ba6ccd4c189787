//! Where the figures of the list come from, as tables and documents print it.

use schemars::JsonSchema;
use serde::Serialize;

/// A figure and its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Sourced {
    /// Which figure, by its key in the answer.
    pub figure: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

const fn from(figure: &'static str, source: &'static str) -> Sourced {
    Sourced { figure, source }
}

/// The figures and their sources.
pub const SOURCES: &[Sourced] = &[
    from(
        "person_days",
        "1.0, 1.5 or 2.5 m³ a day, between tasks on Indian public works (Times of India 2020) and a building \
         estimator's hours; half the first day goes into pegging: a planner's choice",
    ),
    from("order", "top of the slope first: ILO, Special Public Works Programmes, Booklet 1, section 5"),
    from("trial", "a blade 25 cm deep and 20 cm wide: common practice, no source"),
    from("seed_kg", "5 to 7 g/m²: a seed merchant's page on erosion control"),
    from("straw_kg", "0.34 to 0.45 kg/m²: Alabama extension"),
    from(
        "rock_m3",
        "middle size, layer of two stones and apron of fifteen: Robinson, Rice & Kadavy 1998; stone 2400 to \
         2800 kg/m³ (common practice, no source) with 45 % air (the same authors)",
    ),
    from("barrow_trips", "170, 80 or 60 L a trip: barrow guides"),
    from(
        "planting_person_days",
        "10 to 16 trees a day, each staked, watered and mulched: common practice, no source",
    ),
    from("holes_per_person_day", "ILO-UNDP, Planting trees, section 8.4"),
    from("bare_seedlings_per_person_day", "growers' accounts"),
    from(
        "spare_trees",
        "80 to 90 % of watered trees live (World's End, South Australia; NACC, Western Australia), about 60 % \
         unwatered (WOCAT 1625, Niger)",
    ),
    from("nurse_plants", "1 to 4 a tree: common practice, no source"),
    from(
        "mulch_m3",
        "rings 0.6 to 0.9 m out, 7.5 to 12.5 cm deep, the bark bare: Casey Trees; Sacramento Tree Foundation; \
         City of Fremont",
    ),
    from("planting_water_l", "at least 10 L a tree: Hornsby Shire; more is common practice, no source"),
];
