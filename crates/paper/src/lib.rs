//! Drawings and documents from answers.
//!
//! A page is plain data in paper millimetres ([`page`]); SVG is one writer of that data ([`svg`]).
//!
//! Must not know: files, the network.

pub mod ink;
pub mod labels;
pub mod lettering;
pub mod page;
pub mod scale;
pub mod svg;
