//! What planting asks of a species: how wide it grows, and how its roots stand water.

use grove::trees::{self, WetFeet};
use quantity::Estimate;

/// What is known of a species.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Kind {
    /// Width of the grown crown; the likely value is the middle of what the lists give.
    pub width_m: Option<Estimate>,
    /// How its roots stand water.
    pub wet_feet: WetFeet,
}

/// The facts of a species by its plain name; none for one that the list does not hold.
pub(super) fn of(species: &str) -> Option<Kind> {
    let known = trees::find(species)?;
    let width_m =
        known.width_m.map(|width| Estimate::spanning((width.low + width.high) / 2.0, width.low, width.high));
    Some(Kind { width_m, wet_feet: known.wet_feet.0 })
}

/// The name in the list that is nearest to what was written, if one is near.
pub fn nearest(species: &str) -> Option<&'static str> {
    site::nearest(species, trees::all().flat_map(trees::Species::names))
}
