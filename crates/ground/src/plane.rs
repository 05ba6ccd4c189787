//! Points of the plan.

/// A place in plan, in site metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// East.
    pub x_m: f64,
    /// North.
    pub y_m: f64,
}

/// A place with its height above the site datum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point3 {
    /// East.
    pub x_m: f64,
    /// North.
    pub y_m: f64,
    /// Height above the site datum.
    pub z_m: f64,
}

/// The smallest upright rectangle round something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// West edge.
    pub min_x_m: f64,
    /// South edge.
    pub min_y_m: f64,
    /// East edge.
    pub max_x_m: f64,
    /// North edge.
    pub max_y_m: f64,
}

impl Point {
    /// A place from its two coordinates.
    pub const fn new(x_m: f64, y_m: f64) -> Point {
        Point { x_m, y_m }
    }

    /// Horizontal distance to another place.
    pub fn distance_m(self, other: Point) -> f64 {
        let (dx, dy) = (other.x_m - self.x_m, other.y_m - self.y_m);
        (dx * dx + dy * dy).sqrt()
    }

    /// The place a share `t` of the way to another: 0 here, 1 there.
    pub fn towards(self, other: Point, t: f64) -> Point {
        Point::new(self.x_m + t * (other.x_m - self.x_m), self.y_m + t * (other.y_m - self.y_m))
    }
}

impl Point3 {
    /// The place without its height.
    pub fn plan(self) -> Point {
        Point::new(self.x_m, self.y_m)
    }
}

impl Bounds {
    /// Round all the places; none for no place.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
        let mut points = points.into_iter();
        let first = points.next()?;
        let start = Bounds { min_x_m: first.x_m, min_y_m: first.y_m, max_x_m: first.x_m, max_y_m: first.y_m };
        Some(points.fold(start, |b, p| Bounds {
            min_x_m: b.min_x_m.min(p.x_m),
            min_y_m: b.min_y_m.min(p.y_m),
            max_x_m: b.max_x_m.max(p.x_m),
            max_y_m: b.max_y_m.max(p.y_m),
        }))
    }

    /// East-west length.
    pub fn width_m(&self) -> f64 {
        self.max_x_m - self.min_x_m
    }

    /// North-south length.
    pub fn height_m(&self) -> f64 {
        self.max_y_m - self.min_y_m
    }

    /// Whether a place lies inside or on the edge.
    pub fn contains(&self, p: Point) -> bool {
        (self.min_x_m..=self.max_x_m).contains(&p.x_m) && (self.min_y_m..=self.max_y_m).contains(&p.y_m)
    }
}
