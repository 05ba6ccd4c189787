//! Sites for tests, small enough to work out by hand.

use std::collections::BTreeMap;

use ground::{Frame, Grid, Point, Surface};
use serde_json::{Value, json};
use site::{Plan, Site};

/// A plan with these keys besides the ones every plan must have.
pub(crate) fn plan(more: &Value) -> Plan {
    let mut plan = json!({
        "name": "trial",
        "place": { "latitude_deg": 38.7, "elevation_m": 200.0 },
        "tool": { "kind": "a-frame", "step_m": 2.0, "random_mm": 5.0, "bias_mm": 2.0, "walked": "pivoted" },
        "rain": { "design": { "depth_mm": 60.0, "hours": 6.0, "once_in_years": 10.0, "worst_ten_minutes_mm": 12.0 } },
    });
    let whole = plan.as_object_mut().expect("an object");
    for (key, value) in more.as_object().expect("an object") {
        whole.insert(key.clone(), value.clone());
    }
    serde_json::from_value(plan).expect("a plan")
}

/// A hill that is a plane: 10 % up to the north, 100 m high at its southern edge, 80 m by 60 m.
pub(crate) fn hill_z_m(at: Point) -> f64 {
    100.0 + 0.1 * at.y_m
}

/// A site on ground of this shape, 80 m by 60 m.
pub(crate) fn on_ground(more: &Value, height_m: impl Fn(Point) -> f64) -> Site {
    on_ground_of(80, more, height_m)
}

/// A site on ground of this shape, so many metres by 60 m.
pub(crate) fn on_ground_of(columns: usize, more: &Value, height_m: impl Fn(Point) -> f64) -> Site {
    let frame = Frame { columns, rows: 60, cell_m: 1.0, west_m: 0.0, north_m: 60.0 };
    Site {
        plan: plan(more),
        ground: Some(Surface::Grid(Grid::from_fn(frame, |at| Some(height_m(at))))),
        dug: BTreeMap::new(),
        measured: site::Measured::default(),
    }
}

/// A site on the plane hill.
pub(crate) fn on_the_hill(more: &Value) -> Site {
    on_ground(more, hill_z_m)
}

/// A site without any ground.
pub(crate) fn by_tape(more: &Value) -> Site {
    Site { plan: plan(more), ground: None, dug: BTreeMap::new(), measured: site::Measured::default() }
}
