//! Drawings and documents from answers.
//!
//! A page is plain data in paper millimetres ([`page`]); SVG ([`svg`]) and PDF ([`pdf`]) are writers of that data.
//!
//! Must not know: files, the network.

pub mod chart;
pub mod field;
mod flow;
mod frame;
pub mod ink;
pub mod labels;
pub mod lettering;
pub mod page;
pub mod pdf;
pub mod peg_sheet;
pub mod plan;
pub mod rain;
mod relief;
pub mod report;
pub mod scale;
pub mod season;
pub mod sections;
mod set;
mod subject;
pub mod svg;
mod symbols;
mod template;
pub mod words;

pub use plan::Format;
pub use set::{Paper, papers};
pub use subject::Subject;
