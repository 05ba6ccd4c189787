//! What goes over the wire: plain data made from the answers, every number with its unit in its name.
//!
//! The same types make the API's document and the front end's types. Numbers are those of `design`; nothing is
//! worked out here beyond choosing what is shown. Places are site metres, x east and y north.

pub mod field_book;
pub mod rain;
pub mod site;

use ground::Point;
use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;

/// A place in plan.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "MapPlace")]
pub struct Place {
    /// East.
    pub x_m: f64,
    /// North.
    pub y_m: f64,
}

impl From<Point> for Place {
    fn from(point: Point) -> Place {
        Place { x_m: point.x_m, y_m: point.y_m }
    }
}

impl From<::site::Xy> for Place {
    fn from(xy: ::site::Xy) -> Place {
        Place { x_m: xy[0], y_m: xy[1] }
    }
}

/// A number not known well. Of one run all three are the same.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Range {
    /// Nine in ten are above.
    pub low: f64,
    /// The middle.
    pub likely: f64,
    /// Nine in ten are below.
    pub high: f64,
}

impl From<Estimate> for Range {
    fn from(estimate: Estimate) -> Range {
        Range { low: estimate.low(), likely: estimate.likely(), high: estimate.high() }
    }
}
