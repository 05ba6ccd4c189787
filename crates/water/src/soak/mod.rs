//! How fast water goes into the ground: by the texture's usual rate, by time since wetting, by a test in a hole.

pub mod feel;
pub mod field_test;
mod green_ampt;
pub mod stones;
mod texture;
mod triangle;

pub use green_ampt::{GreenAmpt, SoakError, Soaked};
pub use texture::{Texture, UsualRate};
pub use triangle::GrainsError;
