//! From measured places to a net: check, merge, triangulate, peel.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

use super::lookup::Lookup;
use super::{
    BreaklineCrossing, Disagreement, LONGEST_OUTER_EDGE, Measured, NARROWEST_M, Outline, SAME_HEIGHT_M,
    SAME_PLACE_M, Tin, TinError, cross_m2,
};
use crate::{Bounds, Point, Point3, Polyline};

/// Ten times the way to the far side of the Earth's plane projections: beyond it a number is a mistake.
const FURTHEST_M: f64 = 1e8;

/// A corner while the net is being made, relative to the origin.
#[derive(Clone, Copy)]
struct Corner(Point3);

impl HasPosition for Corner {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.0.x_m, self.0.y_m)
    }
}

type Net = ConstrainedDelaunayTriangulation<Corner>;

pub(super) fn build(
    points: &[Point3],
    breaklines: &[Vec<Point3>],
    outline: Outline,
) -> Result<Tin, TinError> {
    let places = Places::gather(points, breaklines)?;
    places.check_width()?;
    let mut net = Net::bulk_load_cdt(places.corners.iter().copied().map(Corner).collect(), Vec::new())
        .expect("coordinates are finite and neither huge nor tiny");
    let crossings = constrain(&mut net, &places);

    let corners: Vec<Point3> = net.vertices().map(|vertex| vertex.data().0).collect();
    let bends: BTreeSet<(u32, u32)> = net
        .undirected_edges()
        .filter(|edge| edge.is_constraint_edge())
        .map(|edge| {
            let [a, b] = edge.vertices().map(|vertex| vertex.fix().index() as u32);
            (a.min(b), a.max(b))
        })
        .collect();
    let mut triangles: Vec<[u32; 3]> = net
        .inner_faces()
        .map(|face| face.vertices().map(|vertex| vertex.fix().index() as u32))
        .filter(|[a, b, c]| cross_m2(corners[*a as usize], corners[*b as usize], corners[*c as usize]) > 0.0)
        .collect();
    let spanned = triangles.len();
    if outline == Outline::Peeled {
        triangles = peel(&corners, triangles, &bends);
    }
    let mut on_breakline = vec![false; corners.len()];
    for (a, b) in bends {
        on_breakline[a as usize] = true;
        on_breakline[b as usize] = true;
    }
    Ok(Tin {
        origin: places.origin,
        lookup: Lookup::new(&corners, &triangles),
        corners,
        peeled: spanned - triangles.len(),
        triangles,
        on_breakline,
        outline,
        merged: places.merged,
        crossings,
    })
}

/// What was measured, each place once, relative to an origin.
struct Places {
    origin: Point,
    corners: Vec<Point3>,
    /// Breaklines as places in `corners`, no place twice in a row.
    breaklines: Vec<Vec<usize>>,
    merged: usize,
}

impl Places {
    fn gather(points: &[Point3], breaklines: &[Vec<Point3>]) -> Result<Places, TinError> {
        if let Some(line) = breaklines.iter().position(|line| line.len() < 2) {
            return Err(TinError::ShortBreakline(line));
        }
        let named_points = points.iter().enumerate().map(|(i, p)| (Measured::Point(i), *p));
        let named_vertices = breaklines.iter().enumerate().flat_map(|(line, vertices)| {
            let name = move |vertex| Measured::Breakline { line, vertex };
            vertices
                .iter()
                .enumerate()
                .map(move |(vertex, p)| (name(vertex), *p))
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
        let mut corner_of = Vec::with_capacity(all.len());
        let mut disagreements = Vec::new();
        for (name, at) in all {
            let local = local_to(origin, *at);
            let corner = seen.corner(*name, local);
            let (first, first_at) = seen.corners[corner];
            if (first_at.z_m - at.z_m).abs() > SAME_HEIGHT_M {
                disagreements.push(Disagreement {
                    first,
                    second: *name,
                    at: Point3 {
                        z_m: first_at.z_m,
                        ..*at
                    },
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
            corners: seen.corners.into_iter().map(|(_, at)| at).collect(),
            breaklines: lines,
            merged: points - distinct_points.len(),
        })
    }

    /// Whether there are three places that are not in a row.
    fn check_width(&self) -> Result<(), TinError> {
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
        let flat = |p: Point| Point3 {
            x_m: p.x_m,
            y_m: p.y_m,
            z_m: 0.0,
        };
        let offsets_m = self
            .corners
            .iter()
            .map(|p| cross_m2(flat(one_end), flat(other_end), *p) / length_m);
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
        if difference_m.abs() < spade::MIN_ALLOWED_VALUE {
            0.0
        } else {
            difference_m
        }
    };
    Point3 {
        x_m: near(at.x_m - origin.x_m),
        y_m: near(at.y_m - origin.y_m),
        z_m: at.z_m,
    }
}

/// The corners found so far, by the millimetre square they lie in.
#[derive(Default)]
struct Seen {
    corners: Vec<(Measured, Point3)>,
    by_square: BTreeMap<(i64, i64), usize>,
}

impl Seen {
    /// The corner at a place: an earlier one within [`SAME_PLACE_M`], or a new one.
    fn corner(&mut self, name: Measured, at: Point3) -> usize {
        let square = |m: f64| (m / SAME_PLACE_M).floor() as i64;
        let (column, row) = (square(at.x_m), square(at.y_m));
        for near in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (column + dx, row + dy))) {
            if let Some(corner) = self.by_square.get(&near)
                && self.corners[*corner].1.plan().distance_m(at.plan()) <= SAME_PLACE_M
            {
                return *corner;
            }
        }
        self.corners.push((name, at));
        self.by_square.insert((column, row), self.corners.len() - 1);
        self.corners.len() - 1
    }
}

/// Runs the breaklines through the net; where one crosses an earlier one, both get a corner there.
fn constrain(net: &mut Net, places: &Places) -> Vec<BreaklineCrossing> {
    let handles: Vec<_> = net.fixed_vertices().collect();
    let crossed = RefCell::new(Vec::new());
    for line in &places.breaklines {
        for piece in line.windows(2) {
            let (from, to) = (places.corners[piece[0]], places.corners[piece[1]]);
            net.add_constraint_and_split(handles[piece[0]], handles[piece[1]], |at| {
                let at = height_on(from, to, Point::new(at.x, at.y));
                crossed.borrow_mut().push(at);
                Corner(at)
            });
        }
    }
    let crossed = crossed.into_inner();
    crossed
        .into_iter()
        .map(|at| BreaklineCrossing {
            at: Point3 {
                x_m: at.x_m + places.origin.x_m,
                y_m: at.y_m + places.origin.y_m,
                z_m: at.z_m,
            },
            disagreement_m: disagreement_m(places, at),
        })
        .collect()
}

/// A place on a straight piece, with the height there.
fn height_on(from: Point3, to: Point3, at: Point) -> Point3 {
    let share = from.plan().distance_m(at) / from.plan().distance_m(to.plan());
    Point3 {
        x_m: at.x_m,
        y_m: at.y_m,
        z_m: from.z_m + share * (to.z_m - from.z_m),
    }
}

/// The largest difference between a height and those of the breaklines that run through its place.
fn disagreement_m(places: &Places, at: Point3) -> f64 {
    let mut largest_m = 0.0_f64;
    for piece in places.breaklines.iter().flat_map(|line| line.windows(2)) {
        let (from, to) = (places.corners[piece[0]], places.corners[piece[1]]);
        let straight = Polyline::new(vec![from.plan(), to.plan()]).expect("two places");
        if straight.nearest(at.plan()).offset_m.abs() <= SAME_PLACE_M {
            let there = height_on(from, to, at.plan());
            largest_m = largest_m.max((there.z_m - at.z_m).abs());
        }
    }
    largest_m
}

/// Takes outer triangles away while their outer edge is too long and no breakline.
fn peel(corners: &[Point3], triangles: Vec<[u32; 3]>, bends: &BTreeSet<(u32, u32)>) -> Vec<[u32; 3]> {
    let edges = |[a, b, c]: [u32; 3]| [(a, b), (b, c), (c, a)].map(|(i, j)| (i.min(j), i.max(j)));
    let length_m = |(i, j): (u32, u32)| corners[i as usize].plan().distance_m(corners[j as usize].plan());
    let mut longest_m: Vec<f64> = triangles
        .iter()
        .map(|t| edges(*t).map(length_m).into_iter().fold(0.0, f64::max))
        .collect();
    longest_m.sort_by(f64::total_cmp);
    let Some(usual_m) = longest_m.get(longest_m.len() / 2) else {
        return triangles;
    };
    let limit_m = LONGEST_OUTER_EDGE * usual_m;

    let mut beside: BTreeMap<(u32, u32), Vec<usize>> = BTreeMap::new();
    for (i, triangle) in triangles.iter().enumerate() {
        for edge in edges(*triangle) {
            beside.entry(edge).or_default().push(i);
        }
    }
    let too_long = |edge: (u32, u32)| length_m(edge) > limit_m && !bends.contains(&edge);
    let outer = beside
        .iter()
        .filter(|(edge, sides)| sides.len() == 1 && too_long(**edge));
    let mut waiting: Vec<usize> = outer.map(|(_, sides)| sides[0]).collect();
    let mut kept = vec![true; triangles.len()];
    while let Some(i) = waiting.pop() {
        if !kept[i] {
            continue;
        }
        kept[i] = false;
        // What lay behind the triangle is now outer; only a long edge is peeled on.
        for edge in edges(triangles[i]).into_iter().filter(|edge| too_long(*edge)) {
            waiting.extend(beside[&edge].iter().copied().filter(|other| kept[*other]));
        }
    }
    (0..triangles.len())
        .filter(|i| kept[*i])
        .map(|i| triangles[i])
        .collect()
}
