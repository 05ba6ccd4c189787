//! Breaklines cut into pieces that meet only at corners.
//!
//! Where two breaklines cross, both get a corner there; where a breakline passes a measured place within
//! [`SAME_PLACE_M`], it goes through it. So no piece crosses another, and no place lies beside a breakline at a
//! distance that is only rounding.

use super::places::{Places, Seen};
use super::{BreaklineCrossing, SAME_PLACE_M};
use crate::crossing::meeting;
use crate::{Point, Point3};

/// The cut breaklines.
pub(super) struct Breaks {
    /// The corners there were, and then those of the crossings.
    pub corners: Vec<Point3>,
    /// Pieces from corner to corner.
    pub pieces: Vec<[usize; 2]>,
    /// Where breaklines cross, relative to the origin.
    pub crossings: Vec<BreaklineCrossing>,
}

pub(super) fn split(places: &Places) -> Breaks {
    let whole: Vec<[usize; 2]> =
        places.breaklines.iter().flat_map(|line| line.windows(2).map(|piece| [piece[0], piece[1]])).collect();
    let mut seen = Seen::of(places.corners.clone());
    let crossings = cross(&whole, &mut seen);
    let corners = seen.corners;
    let mut by_x: Vec<usize> = (0..corners.len()).collect();
    by_x.sort_by(|a, b| corners[*a].x_m.total_cmp(&corners[*b].x_m).then(a.cmp(b)));
    let mut pieces = Vec::new();
    for piece in whole {
        let chain = through(piece, &corners, &by_x);
        pieces.extend(chain.windows(2).map(|pair| [pair[0], pair[1]]));
    }
    Breaks { corners, pieces, crossings }
}

/// Gives the crossings of pieces their corners: at the height of the later piece.
fn cross(whole: &[[usize; 2]], seen: &mut Seen) -> Vec<BreaklineCrossing> {
    let ends = |piece: usize, seen: &Seen| whole[piece].map(|corner| seen.corners[corner]);
    let span_m = |piece: usize, seen: &Seen| {
        let [a, b] = ends(piece, seen);
        (a.x_m.min(b.x_m), a.x_m.max(b.x_m))
    };
    let mut from_west: Vec<usize> = (0..whole.len()).collect();
    from_west.sort_by(|a, b| span_m(*a, seen).0.total_cmp(&span_m(*b, seen).0).then(a.cmp(b)));
    let mut crossings = Vec::new();
    for (place, one) in from_west.iter().enumerate() {
        let east_m = span_m(*one, seen).1;
        for other in &from_west[place + 1..] {
            if span_m(*other, seen).0 > east_m {
                break;
            }
            let (earlier, later) = (*one.min(other), *one.max(other));
            crossings.extend(cross_two(ends(earlier, seen), ends(later, seen), seen));
        }
    }
    crossings
}

/// The crossing of two pieces away from all corners there were.
fn cross_two([a, b]: [Point3; 2], [c, d]: [Point3; 2], seen: &mut Seen) -> Option<BreaklineCrossing> {
    let share = meeting(a.plan(), b.plan(), c.plan(), d.plan())?;
    let place = a.plan().towards(b.plan(), share);
    let at = height_on(c, d, place);
    let corners_before = seen.corners.len();
    let is_new = seen.corner(at) == corners_before;
    is_new.then(|| BreaklineCrossing { at, disagreement_m: (height_on(a, b, place).z_m - at.z_m).abs() })
}

/// A piece as a chain through all corners that lie on it.
fn through([from, to]: [usize; 2], corners: &[Point3], by_x: &[usize]) -> Vec<usize> {
    let (a, b) = (corners[from].plan(), corners[to].plan());
    let length_m = a.distance_m(b);
    let (west_m, east_m) = (a.x_m.min(b.x_m) - SAME_PLACE_M, a.x_m.max(b.x_m) + SAME_PLACE_M);
    let first = by_x.partition_point(|corner| corners[*corner].x_m < west_m);
    let mut on_it: Vec<(f64, usize)> = by_x[first..]
        .iter()
        .take_while(|corner| corners[**corner].x_m <= east_m)
        .filter_map(|corner| {
            let p = corners[*corner].plan();
            let (dx, dy) = ((b.x_m - a.x_m) / length_m, (b.y_m - a.y_m) / length_m);
            let along_m = (p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy;
            let aside_m = (p.x_m - a.x_m) * dy - (p.y_m - a.y_m) * dx;
            let between = 0.0 < along_m && along_m < length_m && ![from, to].contains(corner);
            (between && aside_m.abs() <= SAME_PLACE_M).then_some((along_m, *corner))
        })
        .collect();
    on_it.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    let mut chain = vec![from];
    chain.extend(on_it.into_iter().map(|(_, corner)| corner));
    chain.push(to);
    chain
}

/// A place on a straight piece, with the height there.
pub(super) fn height_on(from: Point3, to: Point3, at: Point) -> Point3 {
    let share = from.plan().distance_m(at) / from.plan().distance_m(to.plan());
    Point3 { x_m: at.x_m, y_m: at.y_m, z_m: from.z_m + share * (to.z_m - from.z_m) }
}
