//! Drawings and documents from answers.
//!
//! A page is plain data in paper millimetres ([`page`]); SVG is one writer of that data.
//!
//! Must not know: files, the network.
