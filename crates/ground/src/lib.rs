//! The ground: what is known of its shape, and what follows from its shape alone.
//!
//! Level books, traverses and the error of hand tools; surfaces from points or rasters; the level-line
//! walk; slopes, flow paths and catchments. Plane coordinates are site metres, x east and y north; heights
//! are metres above the site datum.
//!
//! Two rules hold throughout. Where nothing was measured there is no ground: every question about a height
//! answers `Option`, and nothing is extrapolated. Routing decisions use only `+ − × ÷ √ <`, so that the same
//! ground gives the same paths on every machine and on any number of threads.
//!
//! Must not know: rain, plants, files.

pub mod catchment;
mod contour;
mod crossing;
mod direction;
mod fill;
mod flow;
mod grid;
mod hillshade;
pub mod levels;
mod plane;
mod polyline;
mod slope;
mod spacing;
mod surface;
pub mod tape;
pub mod tin;
pub mod tool;
pub mod traverse;
pub mod walk;

pub use contour::{Contour, contour_levels, contours};
pub use direction::Direction;
pub use fill::{Filled, Hollow, fill, fill_draining, fill_to, hollows};
pub use flow::{FlowPaths, Receiver, Way};
pub use grid::{Cell, Frame, Grid, NEIGHBOURS};
pub use hillshade::{hillshade, shade};
pub use plane::{Bounds, Point, Point3};
pub use polyline::{OnLine, Polygon, Polyline};
pub use slope::{Window, horn};
pub use spacing::{FURTHEST_APART_M, Spacing};
pub use surface::{Gradient, Surface};
pub use tin::Tin;
