//! The demo site.

use std::path::Path;

use site::Site;

/// As it lies in the fixtures.
pub fn site() -> Site {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/quarry-bank");
    let loaded = folder::load(&dir).unwrap_or_else(|faults| panic!("{faults:?}"));
    loaded.site
}
