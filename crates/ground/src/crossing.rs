//! Where straight pieces in plan cross.

use crate::{Point, Polygon, Polyline};

/// How far along the piece from `a` to `b` it first meets the piece from `c` to `d`, as a share from 0 to 1;
/// none if they do not meet. Touching counts. On a common straight it is the first common place.
pub(crate) fn meeting(a: Point, b: Point, c: Point, d: Point) -> Option<f64> {
    let (rx, ry) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let (sx, sy) = (d.x_m - c.x_m, d.y_m - c.y_m);
    let (qx, qy) = (c.x_m - a.x_m, c.y_m - a.y_m);
    let cross = rx * sy - ry * sx;
    if cross != 0.0 {
        let along = (qx * sy - qy * sx) / cross;
        let other = (qx * ry - qy * rx) / cross;
        let meets = (0.0..=1.0).contains(&along) && (0.0..=1.0).contains(&other);
        return meets.then_some(along);
    }
    let length_sq = rx * rx + ry * ry;
    if length_sq == 0.0 || qx * ry - qy * rx != 0.0 {
        return None;
    }
    let at_c = (qx * rx + qy * ry) / length_sq;
    let at_d = at_c + (sx * rx + sy * ry) / length_sq;
    let first = at_c.min(at_d).max(0.0);
    (first <= at_c.max(at_d).min(1.0)).then_some(first)
}

/// Whether a straight leg meets a line after having left its own start (one may start on the line).
pub(crate) fn leg_meets_line(from: Point, to: Point, line: &Polyline) -> bool {
    line.points()
        .windows(2)
        .any(|piece| meeting(from, to, piece[0], piece[1]).is_some_and(|share| share > 0.0))
}

/// Whether a straight leg enters, crosses or ends in an area.
pub(crate) fn leg_meets_area(from: Point, to: Point, area: &Polygon) -> bool {
    let ring = area.ring();
    area.contains(to)
        || (0..ring.len()).any(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            meeting(from, to, a, b).is_some_and(|share| share > 0.0)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x_m: f64, y_m: f64) -> Point {
        Point::new(x_m, y_m)
    }

    #[test]
    fn meetings_by_hand() {
        let (a, b) = (p(0.0, 0.0), p(4.0, 0.0));
        assert_eq!(meeting(a, b, p(1.0, -1.0), p(1.0, 1.0)), Some(0.25));
        assert_eq!(meeting(a, b, p(1.0, 0.0), p(1.0, 1.0)), Some(0.25), "touching");
        assert_eq!(meeting(a, b, p(1.0, 0.5), p(1.0, 1.0)), None);
        assert_eq!(meeting(a, b, p(0.0, 1.0), p(4.0, 1.0)), None, "side by side");
        assert_eq!(meeting(a, b, p(6.0, 0.0), p(2.0, 0.0)), Some(0.5), "on one straight");
        assert_eq!(meeting(a, b, p(6.0, 0.0), p(5.0, 0.0)), None, "further on the straight");
    }

    #[test]
    fn a_leg_may_start_on_a_fence_and_cross_an_area_whole() {
        let fence = Polyline::new(vec![p(0.0, -1.0), p(0.0, 1.0)]).unwrap();
        assert!(!leg_meets_line(p(0.0, 0.0), p(2.0, 0.0), &fence));
        assert!(leg_meets_line(p(-2.0, 0.0), p(0.0, 0.0), &fence));
        let shed = Polygon::new(vec![p(1.0, -1.0), p(2.0, -1.0), p(2.0, 1.0), p(1.0, 1.0)]).unwrap();
        assert!(leg_meets_area(p(0.0, 0.0), p(3.0, 0.0), &shed));
        assert!(!leg_meets_area(p(0.0, 0.0), p(0.9, 0.0), &shed));
    }
}
