//! Water: the sections that hold it, the sills and channels that pass it, the rain that brings it and the
//! soil that takes it.
//!
//! Must not know: plants, files, the site.

pub mod section;
pub mod storage;
