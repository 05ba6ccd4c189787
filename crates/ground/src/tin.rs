//! The ground from scattered points: a net of triangles.
//!
//! Three neighbouring points span a flat piece of ground; together the pieces make the surface. Where the
//! ground bends sharply (edge of a terrace, foot of a bank, bed of a ditch) a breakline keeps every triangle
//! to one side of it: without it, contours cut the corner.
//!
//! Inside a triangle z = Σ wᵢ·zᵢ, with wᵢ the area of the part opposite to corner i over the whole: exact at
//! the points and on any plane. The net is Delaunay's, constrained by the breaklines; see for example
//! de Berg et al., Computational Geometry (2008), chapter 9.
//!
//! No ground outside what was measured. A net fills the hull of its points, so across a bay of the measured
//! area it spans long outer triangles over ground that nobody saw. [`Outline::Peeled`] takes outer triangles
//! away while their outer edge is longer than [`LONGEST_OUTER_EDGE`] times the usual longest edge;
//! [`Outline::Given`] keeps to the area the surveyor names.
//!
//! Left out: any smoothing. The gradient jumps from triangle to triangle.
#![doc = ""]
#![doc = include_str!("../../../docs/methods/surface.md")]

use std::fmt;

use thiserror::Error;

use crate::{Bounds, Frame, Gradient, Grid, Point, Point3, Polygon};

mod breaks;
mod build;
mod lookup;
mod places;

use lookup::Lookup;

/// An outer edge this many times longer than the usual longest edge spans ground that was not measured. Usual is
/// what 9 of 10 triangles keep within: where a ditch was measured closely and the slope about it widely, the
/// slope still counts. Between the rows of a survey the longest edge is the way from row to row, so one row may
/// be left out before its place counts as a gap. Our choice, no source.
pub const LONGEST_OUTER_EDGE: f64 = 2.0;

/// 9 of 10.
const USUAL_FRAC: f64 = 0.9;

/// Places nearer to each other than this, in plan, are the same place measured twice: nobody sets a staff to
/// the millimetre.
pub const SAME_PLACE_M: f64 = 0.001;

/// Two heights of the same place may differ by this: staffs are read to the millimetre.
pub const SAME_HEIGHT_M: f64 = 0.001;

/// Points in a strip narrower than this make no surface: its slope across would be made of the errors of
/// their places (a tape is laid to a few centimetres). Common practice, no source.
pub const NARROWEST_M: f64 = 0.05;

/// Triangles narrower than this are left out and the crack is closed from both sides. Where a breakline runs
/// through a place, or three cross in one, rounding leaves triangles so narrow that their heights are noise.
const SLIVER_M: f64 = 1e-6;

/// A net is not made into a raster of more cells than this: one mistyped coordinate would ask for more memory
/// than there is. The largest ground that a drag must answer on has a quarter of it.
const MOST_CELLS: f64 = 16e6;

/// Where the measured ground ends.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Outline {
    /// Long outer triangles are taken away, see [`LONGEST_OUTER_EDGE`].
    #[default]
    Peeled,
    /// The ground is what lies in this area and in the hull of the points.
    Given(Polygon),
}

/// A place in what was measured, counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measured {
    /// One of the points.
    Point(usize),
    /// A vertex of a breakline.
    Breakline {
        /// Which breakline.
        line: usize,
        /// Which of its vertices.
        vertex: usize,
    },
}

impl fmt::Display for Measured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Measured::Point(i) => write!(f, "point no. {}", i + 1),
            Measured::Breakline { line, vertex } => {
                write!(f, "vertex no. {} of breakline no. {}", vertex + 1, line + 1)
            }
        }
    }
}

/// Two measurements of one place that do not agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disagreement {
    /// Measured first.
    pub first: Measured,
    /// Measured again.
    pub second: Measured,
    /// The place, with the first height.
    pub at: Point3,
    /// The second height.
    pub second_z_m: f64,
}

/// Where two breaklines cross. The net got a corner there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreaklineCrossing {
    /// The place, with the height used: that on the breakline given later.
    pub at: Point3,
    /// By how much the two breaklines disagree about the height there.
    pub disagreement_m: f64,
}

/// Why points make no surface.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum TinError {
    /// A coordinate or height is not a number, or further off than the Earth is round.
    #[error("{0} has a coordinate or height that is no number or beyond 100 000 km: correct it")]
    NotOnEarth(Measured),
    /// A breakline of one place.
    #[error("breakline no. {} has fewer than two places: give it two or leave it out", .0 + 1)]
    ShortBreakline(usize),
    /// Places that were measured twice with different heights: all of them.
    #[error("{}", describe_disagreements(.0))]
    SamePlace(Vec<Disagreement>),
    /// Too few places.
    #[error("{found} different places make no surface: measure at least three that are not in a row")]
    TooFew {
        /// Different places given.
        found: usize,
    },
    /// All places in a row.
    #[error(
        "all places lie in a strip {width_m} m wide, narrower than {NARROWEST_M} m: measure some to the side of it"
    )]
    InARow {
        /// Width of the strip.
        width_m: f64,
    },
}

fn describe_disagreements(list: &[Disagreement]) -> String {
    let one = |d: &Disagreement| {
        let Disagreement { first, second, at, second_z_m } = d;
        let (x_m, y_m, z_m) = (at.x_m, at.y_m, at.z_m);
        format!("{first} and {second} at ({x_m}, {y_m}): {z_m} m and {second_z_m} m")
    };
    let all: Vec<String> = list.iter().map(one).collect();
    format!("the same place has two heights, keep the right one: {}", all.join("; "))
}

/// Triangulated ground.
#[derive(Debug, Clone)]
pub struct Tin {
    /// Middle of what was measured: corners are kept relative to it, so that differences stay sharp when
    /// coordinates run into the millions.
    origin: Point,
    corners: Vec<Point3>,
    /// Corners of each triangle, counter-clockwise.
    triangles: Vec<[u32; 3]>,
    /// Whether a breakline runs through a corner.
    on_breakline: Vec<bool>,
    outline: Outline,
    lookup: Lookup,
    merged: usize,
    peeled: usize,
    crossings: Vec<BreaklineCrossing>,
}

impl Tin {
    /// The surface through points, bent only along breaklines between their vertices.
    ///
    /// # Errors
    /// See [`TinError`]. Places measured twice with the same height are merged and counted.
    pub fn new(points: &[Point3], breaklines: &[Vec<Point3>], outline: Outline) -> Result<Tin, TinError> {
        build::build(points, breaklines, outline)
    }

    /// How many places were given more than once with the same height.
    pub fn merged(&self) -> usize {
        self.merged
    }

    /// How many outer triangles were taken away.
    pub fn peeled(&self) -> usize {
        self.peeled
    }

    /// Where breaklines cross each other.
    pub fn crossings(&self) -> &[BreaklineCrossing] {
        &self.crossings
    }

    /// The corners of the net, in site metres.
    pub fn corners(&self) -> impl ExactSizeIterator<Item = Point3> + '_ {
        self.corners.iter().map(|corner| Point3 {
            x_m: corner.x_m + self.origin.x_m,
            y_m: corner.y_m + self.origin.y_m,
            z_m: corner.z_m,
        })
    }

    /// The triangles, as places in [`Tin::corners`], counter-clockwise.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// Whether a breakline runs through a corner.
    pub(crate) fn is_on_breakline(&self, corner: usize) -> bool {
        self.on_breakline[corner]
    }

    /// Height at a place.
    pub(crate) fn z_m(&self, at: Point) -> Option<f64> {
        let (corners, weights) = self.triangle_at(at)?;
        Some((0..3).map(|i| weights[i] * corners[i].z_m).sum())
    }

    /// Slope at a place; on an edge, that of the triangle built first.
    pub(crate) fn gradient(&self, at: Point) -> Option<Gradient> {
        let ([a, b, c], _) = self.triangle_at(at)?;
        let twice_area_m2 = cross_m2(a, b, c);
        let (rise_b_m, rise_c_m) = (b.z_m - a.z_m, c.z_m - a.z_m);
        Some(Gradient {
            east: (rise_b_m * (c.y_m - a.y_m) - rise_c_m * (b.y_m - a.y_m)) / twice_area_m2,
            north: (rise_c_m * (b.x_m - a.x_m) - rise_b_m * (c.x_m - a.x_m)) / twice_area_m2,
        })
    }

    /// The corners of the triangle round a place, and how much each weighs there.
    fn triangle_at(&self, at: Point) -> Option<([Point3; 3], [f64; 3])> {
        if let Outline::Given(area) = &self.outline
            && !area.contains(at)
        {
            return None;
        }
        let local = Point::new(at.x_m - self.origin.x_m, at.y_m - self.origin.y_m);
        let candidates = self.lookup.candidates(local);
        let within = |allowed_m: f64| {
            candidates.iter().find_map(|triangle| {
                let corners = self.triangles[*triangle as usize];
                let weights = self.weights(corners, local, allowed_m)?;
                Some((corners.map(|i| self.corners[i as usize]), weights))
            })
        };
        within(0.0).or_else(|| within(SLIVER_M))
    }

    /// How much each corner weighs at a place in the triangle, or at most so far outside it; none further off.
    fn weights(&self, [a, b, c]: [u32; 3], local: Point, allowed_m: f64) -> Option<[f64; 3]> {
        let parts_m2 = [self.side_m2(b, c, local), self.side_m2(c, a, local), self.side_m2(a, b, local)];
        let total_m2: f64 = parts_m2.iter().sum();
        let length_m = |i: u32, j: u32| {
            let [from, to] = [i, j].map(|i| self.corners[i as usize].plan());
            from.distance_m(to)
        };
        let is_near = |part_m2: f64, i, j| part_m2 >= 0.0 || part_m2 >= -allowed_m * length_m(i, j);
        let inside = is_near(parts_m2[0], b, c) && is_near(parts_m2[1], c, a) && is_near(parts_m2[2], a, b);
        inside.then(|| parts_m2.map(|part| part / total_m2))
    }

    /// Twice the area to the left of the edge from `i` to `j`. Both triangles of an edge compute the same bits,
    /// up to the sign, so no place falls between them.
    fn side_m2(&self, i: u32, j: u32, local: Point) -> f64 {
        let place = Point3 { x_m: local.x_m, y_m: local.y_m, z_m: 0.0 };
        if i < j {
            cross_m2(self.corners[i as usize], self.corners[j as usize], place)
        } else {
            -cross_m2(self.corners[j as usize], self.corners[i as usize], place)
        }
    }

    /// The rectangle round what was measured.
    pub(crate) fn bounds(&self) -> Bounds {
        let corners = self.corners().map(Point3::plan);
        let hull = Bounds::around(corners).expect("a net has corners");
        match &self.outline {
            Outline::Peeled => hull,
            Outline::Given(area) => overlap(hull, area.bounds()),
        }
    }

    /// The frame of cells over the measured ground, coarser than asked where there would be too many cells.
    pub(crate) fn frame(&self, cell_m: f64) -> Frame {
        let bounds = self.bounds();
        // One more each way than the area asks for, as a strip rounds up to a whole cell.
        let least_m = (bounds.width_m() + bounds.height_m()) / MOST_CELLS;
        let cell_m =
            cell_m.max(least_m).max((2.0 * bounds.width_m() * bounds.height_m() / MOST_CELLS).sqrt());
        let cells = |length_m: f64| ((length_m / cell_m).ceil() as usize).max(1);
        Frame {
            columns: cells(bounds.width_m()),
            rows: cells(bounds.height_m()),
            cell_m,
            west_m: bounds.min_x_m,
            north_m: bounds.max_y_m,
        }
    }

    /// The heights at the middles of cells.
    pub(crate) fn to_grid(&self, cell_m: f64) -> Grid {
        Grid::from_fn(self.frame(cell_m), |at| self.z_m(at))
    }
}

/// Twice the area of a triangle in plan, positive if its corners run counter-clockwise.
fn cross_m2(a: Point3, b: Point3, c: Point3) -> f64 {
    (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m)
}

/// The common part of two rectangles; without one, a rectangle of no size on the first.
fn overlap(a: Bounds, b: Bounds) -> Bounds {
    Bounds {
        min_x_m: b.min_x_m.clamp(a.min_x_m, a.max_x_m),
        min_y_m: b.min_y_m.clamp(a.min_y_m, a.max_y_m),
        max_x_m: b.max_x_m.clamp(a.min_x_m, a.max_x_m),
        max_y_m: b.max_y_m.clamp(a.min_y_m, a.max_y_m),
    }
}

#[cfg(test)]
mod tests;
