//! What fruit trees, nut trees and nurse plants want and stand.
//!
//! A plain table of facts, each with where it is from: a cited source, common practice, or memory that nobody has
//! checked. What is from memory is shown as such and is no more than a place to start asking: growers nearby
//! and the rootstock's seller know better.
//!
//! Sources are named once each in [`Source`]; the page of all facts is [`page`]. Leaves out: varieties, rootstocks, pollination, pests.

mod fruit;
mod nurse;
mod page;
mod setting;

pub use fruit::FRUIT;
pub use nurse::NURSE;
pub use page::page;
pub use setting::{Setting, tree_ground};

use crate::coefficients::{ROWS, Row, STAGES, Stages};

/// Where a figure is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// Allen et al. 1998, FAO-56, tables 12, 17 and 22.
    Fao56,
    /// FAO's crop requirement database. Killing temperatures there are not all dormant hardiness.
    Ecocrop,
    /// Tolerance of tropical fruit trees to flooding and drought.
    Florida,
    /// Flooding of fruit crops: Jacobs and Johnson 1996.
    Hortscience,
    /// Eleven kinds of Prunus under flooding: Ranney 1994.
    Ranney,
    /// Peach under flooding: Ziegler et al. 2023.
    Peach,
    /// Critical temperatures of buds.
    Frost,
    /// Spacing of orchard trees.
    Maine,
    /// Distances of nut trees, a nursery's chart.
    NutChart,
    /// Crown widths seen by one grower.
    Grower,
    /// Olive grove design.
    OliveGuide,
    /// A garden page on one fruit.
    GardenPage,
    /// The list of the worst invaders.
    Invaders,
    /// Taught widely, no single source.
    CommonPractice,
    /// From memory, unverified.
    Memory,
}

/// How far a figure can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Read in the source that is named.
    Sourced,
    /// A trade's word: a list of one grower or seller.
    Trade,
    /// Taught widely, no source.
    CommonPractice,
    /// From memory, unverified.
    Unverified,
}

impl Source {
    /// Every source, in the order of their letters on the page.
    pub const ALL: [Source; 15] = [
        Source::Fao56,
        Source::Ecocrop,
        Source::Florida,
        Source::Hortscience,
        Source::Ranney,
        Source::Peach,
        Source::Frost,
        Source::Maine,
        Source::NutChart,
        Source::Grower,
        Source::OliveGuide,
        Source::GardenPage,
        Source::Invaders,
        Source::CommonPractice,
        Source::Memory,
    ];

    /// The publication.
    pub fn citation(self) -> &'static str {
        match self {
            Source::Fao56 => {
                "Allen, Pereira, Raes, Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, \
                 tables 12, 17, 22"
            }
            Source::Ecocrop => {
                "FAO EcoCrop database of crop requirements, as printed there; its killing temperatures are not all \
                 dormant hardiness"
            }
            Source::Florida => {
                "UF/IFAS Extension HS202, flooding and drought tolerance of tropical fruit trees"
            }
            Source::Hortscience => {
                "Jacobs and Johnson 1996, HortScience 31:988-991, reviewing Rowe and Beardsell 1973, Rowe and \
                 Catlin 1971, Mizutani et al. 1979"
            }
            Source::Ranney => {
                "Ranney 1994, eleven taxa of Prunus under root-zone flooding (abstract); rootstock decides"
            }
            Source::Peach => "Ziegler et al. 2023, Revista Chapingo Serie Horticultura 29(2) (abstract)",
            Source::Frost => {
                "Penn State Extension, Orchard frost: critical temperatures (after WSU EB0419, 1989)"
            }
            Source::Maine => "University of Maine Extension, spacing trees in an orchard",
            Source::NutChart => {
                "a nursery's planting-distance chart for nut trees; where a range is given, its lower end is a \
                 grower's crown width under light pruning (trade)"
            }
            Source::Grower => {
                "a grower's list of widths of full-size trees with minimal pruning, Waikato, May 2021 (trade)"
            }
            Source::OliveGuide => "an olive growers' guide, grove design and spacing (trade)",
            Source::GardenPage => "a garden page (trade)",
            Source::Invaders => {
                "Lowe, Browne, Boudjelas 2000, 100 of the World's Worst Invasive Alien Species, IUCN/ISSG"
            }
            Source::CommonPractice => "common practice, no source",
            Source::Memory => "from memory, unverified",
        }
    }

    /// How far it can be trusted.
    pub fn status(self) -> Status {
        match self {
            Source::NutChart | Source::Grower | Source::OliveGuide | Source::GardenPage => Status::Trade,
            Source::CommonPractice => Status::CommonPractice,
            Source::Memory => Status::Unverified,
            _ => Status::Sourced,
        }
    }
}

/// A figure as a range, with its source. A single figure has both ends alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fact {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Where it is from.
    pub source: Source,
}

/// How long roots stand water in leaf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WetFeet {
    /// Heavy damage or death after one to a few days of wet soil.
    NotTolerant,
    /// Stands several days.
    Moderate,
    /// Stands several days to a few weeks.
    Tolerant,
}

impl WetFeet {
    /// Days in a row after which the tree is in danger: our reading of the source's words (UF/IFAS Extension
    /// HS202 prints none).
    pub fn limit_days(self) -> u32 {
        match self {
            WetFeet::NotTolerant => 2,
            WetFeet::Moderate => 5,
            WetFeet::Tolerant => 14,
        }
    }
}

/// How a kind stands dry years.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Drought {
    /// Wants more than 400 mm of rain a year.
    Thirsty,
    /// Lives on 250 to 400 mm.
    Middling,
    /// Lives on 250 mm or less.
    Hardy,
}

/// Limits of rain for the drought classes, mm a year: ours.
const HARDY_RAIN_MM: f64 = 250.0;
const MIDDLING_RAIN_MM: f64 = 400.0;

/// Cold that kills.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cold {
    /// At rest, °C.
    pub rest_c: Option<Fact>,
    /// In early growth, °C.
    pub early_c: Option<Fact>,
    /// At full bloom, °C: what kills a tenth of the buds in half an hour, and nine tenths.
    pub bloom_c: Option<Fact>,
    /// What to know of the figures.
    pub doubt: Option<&'static str>,
}

/// What a plant is grown for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// Fruit.
    Fruit,
    /// Nuts.
    Nut,
    /// To shelter, feed and mulch the others.
    Nurse,
}

/// The facts of one species.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// Common name, lower case.
    pub name: &'static str,
    /// Other names.
    pub also: &'static [&'static str],
    /// Botanical name.
    pub botanical: &'static str,
    /// What it is grown for.
    pub used_for: Use,
    /// Its row in FAO-56, or the one lent to it.
    pub coefficients: Coefficients,
    /// Width of the grown crown, m.
    pub width_m: Option<Fact>,
    /// How its roots stand water, with the source.
    pub wet_feet: (WetFeet, Source),
    /// Least rain a year it grows with, mm.
    pub least_rain_mm: Option<Fact>,
    /// Cold.
    pub cold: Cold,
    /// What the grower must know before planting it.
    pub caution: Option<&'static str>,
}

/// The row of coefficients that a species goes by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coefficients {
    /// Index in [`ROWS`].
    row: usize,
    /// Index in [`STAGES`].
    stages: usize,
    /// Whether the table names the species; otherwise the row is a stand-in.
    pub own: bool,
}

impl Coefficients {
    /// The row.
    pub fn row(self) -> &'static Row {
        &ROWS[self.row]
    }

    /// The stages of its season.
    pub fn stages(self) -> &'static Stages {
        &STAGES[self.stages]
    }
}

impl Species {
    /// How it stands dry years, from the least rain it grows with; none where that is not known.
    pub fn drought(&self) -> Option<Drought> {
        let least_mm = self.least_rain_mm?.low;
        Some(if least_mm <= HARDY_RAIN_MM {
            Drought::Hardy
        } else if least_mm <= MIDDLING_RAIN_MM {
            Drought::Middling
        } else {
            Drought::Thirsty
        })
    }

    /// The line that stands with every nurse plant, and the species' own caution.
    pub fn cautions(&self) -> Vec<&'static str> {
        let nurse = (self.used_for == Use::Nurse).then_some(CHECK_THE_LIST);
        nurse.into_iter().chain(self.caution).collect()
    }
}

/// Said of every nurse plant: absence from a list of the worst does not mean little threat.
pub const CHECK_THE_LIST: &str = "check your national list of invasive plants before you plant it";

/// Every species: fruit and nut trees first, then nurse plants.
pub fn all() -> impl Iterator<Item = &'static Species> {
    FRUIT.iter().chain(&NURSE)
}

/// The species of a common name, other name or botanical name, capitals aside.
///
/// ```
/// assert_eq!(grove::trees::find("Fig").unwrap().botanical, "Ficus carica");
/// assert_eq!(grove::trees::find("kaki").unwrap().name, "persimmon");
/// assert!(grove::trees::find("figg").is_none());
/// ```
pub fn find(name: &str) -> Option<&'static Species> {
    let name = name.trim().to_lowercase();
    all().find(|species| species.names().any(|known| known.to_lowercase() == name))
}

impl Species {
    /// All names it goes by.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        [self.name, self.botanical].into_iter().chain(self.also.iter().copied())
    }
}

#[cfg(test)]
mod tests;
