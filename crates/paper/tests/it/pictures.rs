//! The pictures in the documents are those the program draws today.

#[path = "../../examples/pictures/list.rs"]
mod list;

use std::path::Path;

use paper::{Subject, svg};

use crate::quarry_bank;

#[test]
fn pictures_are_fresh() {
    let site = quarry_bank::site();
    let answers = design::answer(&site);
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/pictures");
    let drawn = list::pictures(&Subject::new(&site, &answers));
    assert!(drawn.len() >= 7, "only {} pictures could be drawn", drawn.len());
    for (name, page) in drawn {
        let path = kept.join(format!("{name}.svg"));
        let found = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        assert!(found == svg::write(&page), "{name}.svg is old: run `cargo run -p paper --example pictures`");
    }
}
