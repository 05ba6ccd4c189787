//! The grove: what sun and air draw from the ground, what water the soil holds for roots, what each tree
//! stands and wants.
//!
//! Must not know: lines, files.

pub mod air;
pub mod coefficients;
pub mod evaporation;
pub mod generator;
pub mod growth;
pub mod mulch;
#[cfg(test)]
mod near;
pub mod orchard;
pub mod planting_season;
pub mod radiation;
pub mod reference_et;
pub mod roots;
pub mod soil_water;
pub mod spacing;
pub mod spots;
pub mod sun;
pub mod trees;
pub mod water_balance;
pub mod water_need;
pub mod weather;

/// The methods pages, so that their worked examples run as tests.
#[cfg(doctest)]
mod pages {
    #[doc = include_str!("../../../docs/methods/evapotranspiration.md")]
    mod evapotranspiration {}
    #[doc = include_str!("../../../docs/methods/weather.md")]
    mod weather {}
    #[doc = include_str!("../../../docs/methods/soil-water.md")]
    mod soil_water {}
    #[doc = include_str!("../../../docs/methods/tree-water.md")]
    mod tree_water {}
}
