//! What was measured: checked, and each place once.

use std::collections::{BTreeMap, BTreeSet};

use super::{Disagreement, Measured, NARROWEST_M, SAME_HEIGHT_M, SAME_PLACE_M, TinError, cross_m2};
use crate::{Bounds, Point, Point3};

/// Ten times the way to the far side of the Earth's plane projections: beyond it a number is a mistake.
const FURTHEST_M: f64 = 1e8;

/// What was measured, each place once, relative to an origin.
pub(super) struct Places {
    pub origin: Point,
    pub corners: Vec<Point3>,
    /// Breaklines as places in `corners`, no place twice in a row.
    pub breaklines: Vec<Vec<usize>>,
    /// How many points were given at the place of another.
    pub merged: usize,
}

impl Places {
    pub fn gather(points: &[Point3], breaklines: &[Vec<Point3>]) -> Result<Places, TinError> {
        if let Some(line) = breaklines.iter().position(|line| line.len() < 2) {
            return Err(TinError::ShortBreakline(line));
        }
        let named_points = points.iter().enumerate().map(|(i, p)| (Measured::Point(i), *p));
        let named_vertices = breaklines.iter().enumerate().flat_map(|(line, vertices)| {
            let name = move |vertex| Measured::Breakline { line, vertex };
            vertices.iter().enumerate().map(move |(vertex, p)| (name(vertex), *p))
        });
        let all: Vec<(Measured, Point3)> = named_points.chain(named_vertices).collect();
        let on_earth = |p: &Point3| [p.x_m, p.y_m, p.z_m].iter().all(|v| v.abs() <= FURTHEST_M);
        if let Some((name, _)) = all.iter().find(|(_, p)| !on_earth(p)) {
            return Err(TinError::NotOnEarth(*name));
        }
        let Some(bounds) = Bounds::around(all.iter().map(|(_, p)| p.plan())) else {
            return Err(TinError::TooFew { found: 0 });
        };
        let middle = Point::new(bounds.min_x_m, bounds.min_y_m)
            .towards(Point::new(bounds.max_x_m, bounds.max_y_m), 0.5);
        Places::merge(middle, &all, points.len(), breaklines)
    }

    /// Gives each place one corner.
    fn merge(
        origin: Point,
        all: &[(Measured, Point3)],
        points: usize,
        breaklines: &[Vec<Point3>],
    ) -> Result<Places, TinError> {
        let mut seen = Seen::default();
        let mut names = Vec::new();
        let mut corner_of = Vec::with_capacity(all.len());
        let mut disagreements = Vec::new();
        for (name, at) in all {
            let local = local_to(origin, *at);
            let corner = seen.corner(local);
            if corner == names.len() {
                names.push(*name);
            }
            let (first, first_z_m) = (names[corner], seen.corners[corner].z_m);
            if (first_z_m - at.z_m).abs() > SAME_HEIGHT_M {
                disagreements.push(Disagreement {
                    first,
                    second: *name,
                    at: Point3 { z_m: first_z_m, ..*at },
                    second_z_m: at.z_m,
                });
            }
            corner_of.push(corner);
        }
        if !disagreements.is_empty() {
            return Err(TinError::SamePlace(disagreements));
        }
        let mut rest = &corner_of[points..];
        let mut lines = Vec::with_capacity(breaklines.len());
        for vertices in breaklines {
            let (line, after) = rest.split_at(vertices.len());
            let mut line = line.to_vec();
            line.dedup();
            lines.push(line);
            rest = after;
        }
        // A breakline that closes, or runs through a point, is no second measurement.
        let distinct_points: BTreeSet<usize> = corner_of[..points].iter().copied().collect();
        Ok(Places {
            origin,
            corners: seen.corners,
            breaklines: lines,
            merged: points - distinct_points.len(),
        })
    }

    /// Whether there are three places that are not in a row.
    pub fn check_width(&self) -> Result<(), TinError> {
        let found = self.corners.len();
        if found < 3 {
            return Err(TinError::TooFew { found });
        }
        let furthest_from = |from: Point| {
            let far = |p: &&Point3| p.plan().distance_m(from);
            let furthest = self.corners.iter().max_by(|a, b| far(a).total_cmp(&far(b)));
            furthest.expect("three places").plan()
        };
        let one_end = furthest_from(self.corners[0].plan());
        let other_end = furthest_from(one_end);
        let length_m = one_end.distance_m(other_end);
        let flat = |p: Point| Point3 { x_m: p.x_m, y_m: p.y_m, z_m: 0.0 };
        let offsets_m = self.corners.iter().map(|p| cross_m2(flat(one_end), flat(other_end), *p) / length_m);
        let (least_m, most_m) =
            offsets_m.fold((0.0_f64, 0.0_f64), |(least, most), m| (least.min(m), most.max(m)));
        let width_m = most_m - least_m;
        if width_m < NARROWEST_M {
            return Err(TinError::InARow { width_m });
        }
        Ok(())
    }
}

fn local_to(origin: Point, at: Point3) -> Point3 {
    // The triangulation refuses differences smaller than this: no two coordinates in metres have one.
    let near = |difference_m: f64| {
        if difference_m.abs() < spade::MIN_ALLOWED_VALUE { 0.0 } else { difference_m }
    };
    Point3 { x_m: near(at.x_m - origin.x_m), y_m: near(at.y_m - origin.y_m), z_m: at.z_m }
}

/// The corners found so far, by the millimetre square they lie in.
#[derive(Default)]
pub(super) struct Seen {
    pub corners: Vec<Point3>,
    by_square: BTreeMap<(i64, i64), usize>,
}

impl Seen {
    /// The corners there are.
    pub fn of(corners: Vec<Point3>) -> Seen {
        let mut seen = Seen::default();
        for corner in corners {
            seen.corner(corner);
        }
        seen
    }

    /// The corner at a place: an earlier one within [`SAME_PLACE_M`], or a new one.
    pub fn corner(&mut self, at: Point3) -> usize {
        let square = |m: f64| (m / SAME_PLACE_M).floor() as i64;
        let (column, row) = (square(at.x_m), square(at.y_m));
        for near in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (column + dx, row + dy))) {
            if let Some(corner) = self.by_square.get(&near)
                && self.corners[*corner].plan().distance_m(at.plan()) <= SAME_PLACE_M
            {
                return *corner;
            }
        }
        self.corners.push(at);
        self.by_square.insert((column, row), self.corners.len() - 1);
        self.corners.len() - 1
    }
}
