//! Directions in plan.

use crate::Point;

/// A direction in plan: a vector of length 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// Part towards the east.
    pub east: f64,
    /// Part towards the north.
    pub north: f64,
}

impl Direction {
    /// Along a vector; none for one without length.
    pub fn along(east: f64, north: f64) -> Option<Direction> {
        let length = (east * east + north * north).sqrt();
        (length > 0.0 && length.is_finite()).then(|| Direction { east: east / length, north: north / length })
    }

    /// From one place to another; none if they are the same.
    pub fn between(from: Point, to: Point) -> Option<Direction> {
        Direction::along(to.x_m - from.x_m, to.y_m - from.y_m)
    }

    /// Angle clockwise from north, from 0 up to 360.
    pub fn azimuth_deg(self) -> f64 {
        let azimuth_deg = libm::atan2(self.east, self.north).to_degrees();
        if azimuth_deg < 0.0 { azimuth_deg + 360.0 } else { azimuth_deg }
    }

    /// Cosine of the angle between the two.
    pub(crate) fn agreement(self, other: Direction) -> f64 {
        self.east * other.east + self.north * other.north
    }

    /// Half-way to another less than 180° off, without angles.
    pub(crate) fn halfway(self, other: Direction) -> Direction {
        Direction::along(self.east + other.east, self.north + other.north).expect("not opposite")
    }

    /// The directions this far to the left and to the right.
    pub(crate) fn turned(self, angle_deg: u32) -> [Direction; 2] {
        let (sin, cos) = libm::sincos(f64::from(angle_deg).to_radians());
        let to = |sin: f64| Direction {
            east: cos * self.east - sin * self.north,
            north: cos * self.north + sin * self.east,
        };
        [to(sin), to(-sin)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn azimuths_of_the_compass() {
        for (east, north, azimuth_deg) in
            [(0.0, 2.0, 0.0), (3.0, 0.0, 90.0), (0.0, -1.0, 180.0), (-5.0, 0.0, 270.0)]
        {
            let direction = Direction::along(east, north).unwrap();
            assert_eq!(direction.azimuth_deg(), azimuth_deg);
        }
        assert_eq!(Direction::along(0.0, 0.0), None);
    }

    #[test]
    fn a_turn_to_the_left_is_counter_clockwise() {
        let [left, right] = Direction::along(1.0, 0.0).unwrap().turned(90);
        assert!((left.north - 1.0).abs() < 1e-15 && (right.north + 1.0).abs() < 1e-15);
    }
}
