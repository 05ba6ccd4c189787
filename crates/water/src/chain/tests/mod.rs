//! The chain against what is known of water.

mod agree;
mod build;
mod known;
mod pipes;
mod random;
mod refuse;
mod waves;
