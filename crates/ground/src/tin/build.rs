//! From measured places to a net: check, merge, triangulate, peel.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

use super::breaks::{self, Breaks, height_on};
use super::lookup::Lookup;
use super::places::Places;
use super::{BreaklineCrossing, LONGEST_OUTER_EDGE, Outline, SLIVER_M, Tin, TinError, USUAL_FRAC, cross_m2};
use crate::{Point, Point3};

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
    let breaks = breaks::split(&places);
    let mut net = Net::bulk_load_cdt(breaks.corners.iter().copied().map(Corner).collect(), Vec::new())
        .expect("coordinates are finite and neither huge nor tiny");
    let mut crossings = breaks.crossings.clone();
    crossings.extend(constrain(&mut net, &breaks));
    for crossing in &mut crossings {
        crossing.at.x_m += places.origin.x_m;
        crossing.at.y_m += places.origin.y_m;
    }

    let corners: Vec<Point3> = net.vertices().map(|vertex| vertex.data().0).collect();
    let bends: BTreeSet<(u32, u32)> = net
        .undirected_edges()
        .filter(|edge| edge.is_constraint_edge())
        .map(|edge| {
            let [a, b] = edge.vertices().map(|vertex| vertex.fix().index() as u32);
            (a.min(b), a.max(b))
        })
        .collect();
    let mut triangles: Vec<[u32; 3]> =
        net.inner_faces().map(|face| face.vertices().map(|vertex| vertex.fix().index() as u32)).collect();
    let spanned = triangles.len();
    if outline == Outline::Peeled {
        triangles = peel(&corners, triangles, &bends);
    }
    let peeled = spanned - triangles.len();
    // Not before: what lies beside a sliver is not outer.
    triangles.retain(|triangle| width_m(triangle.map(|i| corners[i as usize])) > SLIVER_M);
    let mut on_breakline = vec![false; corners.len()];
    for (a, b) in bends {
        on_breakline[a as usize] = true;
        on_breakline[b as usize] = true;
    }
    Ok(Tin {
        origin: places.origin,
        lookup: Lookup::new(&corners, &triangles),
        corners,
        peeled,
        triangles,
        on_breakline,
        outline,
        merged: places.merged,
        crossings,
    })
}

/// Width of a triangle across its longest edge.
fn width_m([a, b, c]: [Point3; 3]) -> f64 {
    let length_m = |a: Point3, b: Point3| a.plan().distance_m(b.plan());
    let longest_m = length_m(a, b).max(length_m(b, c)).max(length_m(c, a));
    cross_m2(a, b, c) / longest_m
}

/// Runs the breaklines through the net. They have corners where they meet; where rounding still lets two cross,
/// by less than the same place is wide, the net splits them itself.
fn constrain(net: &mut Net, breaks: &Breaks) -> Vec<BreaklineCrossing> {
    let handles: Vec<_> = net.fixed_vertices().collect();
    let crossed = RefCell::new(Vec::new());
    for [from, to] in &breaks.pieces {
        let (from_corner, to_corner) = (breaks.corners[*from], breaks.corners[*to]);
        net.add_constraint_and_split(handles[*from], handles[*to], |at| {
            let at = height_on(from_corner, to_corner, Point::new(at.x, at.y));
            crossed.borrow_mut().push(BreaklineCrossing { at, disagreement_m: 0.0 });
            Corner(at)
        });
    }
    crossed.into_inner()
}

/// Takes outer triangles away while their outer edge is too long and no breakline.
fn peel(corners: &[Point3], triangles: Vec<[u32; 3]>, bends: &BTreeSet<(u32, u32)>) -> Vec<[u32; 3]> {
    let edges = |[a, b, c]: [u32; 3]| [(a, b), (b, c), (c, a)].map(|(i, j)| (i.min(j), i.max(j)));
    let length_m = |(i, j): (u32, u32)| corners[i as usize].plan().distance_m(corners[j as usize].plan());
    let mut longest_m: Vec<f64> =
        triangles.iter().map(|t| edges(*t).map(length_m).into_iter().fold(0.0, f64::max)).collect();
    longest_m.sort_by(f64::total_cmp);
    let Some(usual_m) = longest_m.get((USUAL_FRAC * longest_m.len() as f64) as usize) else {
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
    let outer = beside.iter().filter(|(edge, sides)| sides.len() == 1 && too_long(**edge));
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
    (0..triangles.len()).filter(|i| kept[*i]).map(|i| triangles[i]).collect()
}
