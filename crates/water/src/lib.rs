//! Water: the sections that hold it, the sills and channels that pass it, the rain that brings it and the
//! soil that takes it.
//!
//! Must not know: plants, files, the site.

/// The generator of chains is shared by the tests beside the code and the long test, under one name.
#[cfg(test)]
extern crate self as water;

pub mod chain;
pub mod manning;
pub mod pipe;
pub mod rain;
mod root;
pub mod runoff;
pub mod scour;
pub mod section;
pub mod seep;
pub mod soak;
pub mod spacing;
pub mod storage;
pub mod weir;

/// Pull of the earth, m/s², as hydraulics handbooks round the standard 9.80665 of the 3rd General Conference on
/// Weights and Measures (1901).
pub(crate) const GRAVITY_M_S2: f64 = 9.81;
/// Weight of a cubic metre of water, N: 1000 kg at [`GRAVITY_M_S2`].
pub(crate) const WATER_WEIGHT_N_M3: f64 = 9810.0;

/// The methods pages, so that their worked examples run as tests.
#[cfg(doctest)]
mod pages {
    #[doc = include_str!("../../../docs/methods/section-and-storage.md")]
    mod section_and_storage {}
    #[doc = include_str!("../../../docs/methods/sills.md")]
    mod sills {}
    #[doc = include_str!("../../../docs/methods/channels.md")]
    mod channels {}
    #[doc = include_str!("../../../docs/methods/runoff.md")]
    mod runoff {}
    #[doc = include_str!("../../../docs/methods/rain.md")]
    mod rain {}
    #[doc = include_str!("../../../docs/methods/soak.md")]
    mod soak {}
    #[doc = include_str!("../../../docs/methods/pipes.md")]
    mod pipes {}
    #[doc = include_str!("../../../docs/methods/seeps.md")]
    mod seeps {}
    #[doc = include_str!("../../../docs/methods/chain.md")]
    mod chain {}
}
