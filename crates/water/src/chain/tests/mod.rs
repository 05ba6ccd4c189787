//! The chain against what is known of water.

mod agree;
mod build;
mod known;
mod random;
mod waves;
