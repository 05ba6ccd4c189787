//! Rain: how much comes in a storm, how often, and in what order.
//!
//! Three questions lead to a storm: how deep is it for its length and rarity ([`DepthTable`] from an official
//! table, [`frequency`] from a record), and how does it fall ([`Storm`]: evenly, in a published shape, in blocks
//! round a peak, or as a gauge saw it). Leaves out snow and how rain differs from place to place.

mod depths;
pub mod frequency;
mod storm;

pub use depths::{DepthTable, DepthTableError, record_rain_m};
pub use storm::{DayShape, Fallen, Storm, StormError};
