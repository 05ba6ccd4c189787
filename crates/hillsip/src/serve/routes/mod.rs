//! The handlers: one file an area, each as thin as it can be.

pub mod alternatives;
pub mod begin;
pub mod edit;
pub mod field_book;
pub mod ground;
pub mod jobs;
pub mod plans;
mod query;
pub mod rain;
pub mod season;
pub mod site;
