//! The site folder: reads and writes it, and reads what people bring.
//!
//! Every reader collects every fault of its file, with line and column, before it gives up; every save is
//! atomic and keeps the state before it.
//!
//! Must not know: how answers are computed.

mod alternatives;
mod bearing;
pub mod bring;
mod create;
mod daily_rain;
mod days;
mod dug;
pub mod edit;
mod fault;
pub mod field_book;
mod gauge;
pub mod hand_on;
mod inside;
mod lengths;
mod level_book;
mod level_file;
mod load;
mod out;
pub mod photos;
pub mod plan_file;
pub mod points;
mod rain_depths;
pub mod raster;
mod save;
mod site_plane;
mod soak_test;
mod stamp;
mod steps;
pub mod table;
mod weather;

pub use alternatives::{
    MOST_ALTERNATIVES, alternative_bytes, alternatives, drop_alternative, keep_alternative, load_alternative,
};
pub use create::{NewFile, begin, create, starter};
pub use daily_rain::read_daily_rain;
pub use dug::read_dug;
pub use fault::Fault;
pub use gauge::read_gauge;
pub use level_book::{Booking, LevelBook, read_level_book};
pub use level_file::{LevelFile, PairReadBack, TraverseLeg, Turned, TwoPeg, read_level_file};
pub use load::{Loaded, PLAN, load, load_with, plan_bytes};
pub use out::{add_to_out, write_out, write_to};
pub use rain_depths::read_rain_depths;
pub use save::{KEPT, past_states, save};
pub use soak_test::read_soak_test;
pub use stamp::Stamp;
pub use steps::Steps;
pub use weather::{WeatherFile, read_weather};
