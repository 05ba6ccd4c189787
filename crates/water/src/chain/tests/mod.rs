//! The chain against what is known of water.

mod build;
mod known;
