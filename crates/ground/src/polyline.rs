//! Lines in plan and the distance along them.

use crate::{Bounds, Point};

/// A line in plan, from its first point on. Chainage is the horizontal distance along it from there.
#[derive(Debug, Clone, PartialEq)]
pub struct Polyline {
    points: Vec<Point>,
    /// Chainage of each point, m; starts at 0, never falls.
    chainages_m: Vec<f64>,
}

/// Where a place comes to lie on a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnLine {
    /// Distance along the line to its nearest place.
    pub chainage_m: f64,
    /// Distance from the line; positive to the left of it as one walks, negative to the right.
    pub offset_m: f64,
    /// The nearest place on the line.
    pub at: Point,
}

impl Polyline {
    /// A line through at least two places; none for fewer.
    pub fn new(points: Vec<Point>) -> Option<Polyline> {
        if points.len() < 2 {
            return None;
        }
        let mut chainages_m = Vec::with_capacity(points.len());
        let mut chainage_m = 0.0;
        chainages_m.push(0.0);
        for pair in points.windows(2) {
            chainage_m += pair[0].distance_m(pair[1]);
            chainages_m.push(chainage_m);
        }
        Some(Polyline { points, chainages_m })
    }

    /// The places it goes through.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Chainage of each of [`Polyline::points`].
    pub fn chainages_m(&self) -> &[f64] {
        &self.chainages_m
    }

    /// Length in plan.
    pub fn length_m(&self) -> f64 {
        self.chainages_m[self.chainages_m.len() - 1]
    }

    /// The place at a chainage; before the start or beyond the end there is none.
    pub fn at(&self, chainage_m: f64) -> Option<Point> {
        if !(0.0..=self.length_m()).contains(&chainage_m) {
            return None;
        }
        let next = self.chainages_m.partition_point(|c| *c < chainage_m).max(1);
        let (from_m, to_m) = (self.chainages_m[next - 1], self.chainages_m[next]);
        let t = if to_m > from_m { (chainage_m - from_m) / (to_m - from_m) } else { 0.0 };
        Some(self.points[next - 1].towards(self.points[next], t))
    }

    /// The nearest place on the line; the first of equals.
    pub fn nearest(&self, place: Point) -> OnLine {
        let mut best = OnLine { chainage_m: 0.0, offset_m: f64::INFINITY, at: self.points[0] };
        for (i, pair) in self.points.windows(2).enumerate() {
            let (dx, dy) = (pair[1].x_m - pair[0].x_m, pair[1].y_m - pair[0].y_m);
            let (ex, ey) = (place.x_m - pair[0].x_m, place.y_m - pair[0].y_m);
            let length_sq = dx * dx + dy * dy;
            let t = if length_sq > 0.0 { ((ex * dx + ey * dy) / length_sq).clamp(0.0, 1.0) } else { 0.0 };
            let at = pair[0].towards(pair[1], t);
            let distance_m = at.distance_m(place);
            if distance_m < best.offset_m.abs() {
                let side = if dx * ey - dy * ex < 0.0 { -1.0 } else { 1.0 };
                let chainage_m = self.chainages_m[i] + t * length_sq.sqrt();
                best = OnLine { chainage_m, offset_m: side * distance_m, at };
            }
        }
        best
    }

    /// The rectangle round it.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(self.points.iter().copied()).expect("a line has points")
    }
}

/// An area in plan: a ring of places, closed by itself, simple (not crossing itself).
#[derive(Debug, Clone, PartialEq)]
pub struct Polygon {
    ring: Vec<Point>,
}

impl Polygon {
    /// An area from at least three corners; none for fewer. A last corner equal to the first is dropped.
    pub fn new(mut ring: Vec<Point>) -> Option<Polygon> {
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        (ring.len() >= 3).then_some(Polygon { ring })
    }

    /// The corners, the first not repeated.
    pub fn ring(&self) -> &[Point] {
        &self.ring
    }

    /// Area, whichever way round the corners run.
    pub fn area_m2(&self) -> f64 {
        let mut twice = 0.0;
        for i in 0..self.ring.len() {
            let (a, b) = (self.ring[i], self.ring[(i + 1) % self.ring.len()]);
            twice += a.x_m * b.y_m - b.x_m * a.y_m;
        }
        twice.abs() / 2.0
    }

    /// Whether a place lies inside, by counting the edges a ray to the east crosses.
    pub fn contains(&self, p: Point) -> bool {
        let mut inside = false;
        for i in 0..self.ring.len() {
            let (a, b) = (self.ring[i], self.ring[(i + 1) % self.ring.len()]);
            if (a.y_m > p.y_m) != (b.y_m > p.y_m) {
                let x_m = a.x_m + (p.y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m);
                if p.x_m < x_m {
                    inside = !inside;
                }
            }
        }
        inside
    }

    /// Distance from a place to the area: 0 inside.
    pub fn distance_m(&self, p: Point) -> f64 {
        if self.contains(p) {
            return 0.0;
        }
        let mut ring = self.ring.clone();
        ring.push(self.ring[0]);
        Polyline::new(ring).expect("a ring has at least three corners").nearest(p).offset_m.abs()
    }

    /// The rectangle round it.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(self.ring.iter().copied()).expect("a polygon has corners")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn elbow() -> Polyline {
        Polyline::new(vec![Point::new(0.0, 0.0), Point::new(3.0, 4.0), Point::new(3.0, 10.0)]).unwrap()
    }

    /// A 3-4-5 leg, then 6 m north.
    #[test]
    fn chainage_by_hand() {
        let line = elbow();
        assert_eq!(line.length_m(), 11.0);
        assert_eq!(line.at(2.5), Some(Point::new(1.5, 2.0)));
        assert_eq!(line.at(8.0), Some(Point::new(3.0, 7.0)));
        assert_eq!(line.at(11.1), None);
    }

    /// Walking north, east is to the right (negative) and west to the left (positive).
    #[test]
    fn sides_of_a_line() {
        let on = elbow().nearest(Point::new(5.0, 7.0));
        assert_eq!((on.chainage_m, on.offset_m), (8.0, -2.0));
        let on = elbow().nearest(Point::new(1.0, 8.0));
        assert_eq!((on.chainage_m, on.offset_m), (9.0, 2.0));
    }

    #[test]
    fn a_square_by_hand() {
        let corner = |x_m, y_m| Point::new(x_m, y_m);
        let square =
            Polygon::new(vec![corner(0.0, 0.0), corner(4.0, 0.0), corner(4.0, 4.0), corner(0.0, 4.0)])
                .unwrap();
        assert_eq!(square.area_m2(), 16.0);
        assert_eq!(square.distance_m(corner(2.0, 2.0)), 0.0);
        assert_eq!(square.distance_m(corner(7.0, 8.0)), 5.0);
    }
}
