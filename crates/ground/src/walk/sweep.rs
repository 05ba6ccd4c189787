//! Swinging one foot of the frame round the other: the place of a given height on a circle.
//!
//! The circle is looked at in directions [`SCAN_DEG`] apart, straight on first, then ever further to both
//! sides. Where the miss (height of the ground less the height aimed at) changes sign between two neighbours,
//! there is such a place; it is closed in on by halving. Two places closer together than one scan step on the
//! same side hide each other: on a 2 m step that is 7 cm of ground.

use crate::{Direction, Point, Surface};

/// The ground at a peg has the height aimed at to within this. Far below what any hand tool reads, and above
/// the rounding of coordinates in the millions of metres (an ulp of 1e-9 m) on ground as steep as 10 : 1.
pub const HEIGHT_TOLERANCE_M: f64 = 1e-8;

/// Angle between two looks.
const SCAN_DEG: u32 = 2;

/// Halvings after which two directions one scan step apart are neighbours in `f64`.
const MAX_HALVINGS: usize = 60;

/// A circle to look round.
pub(super) struct Sweep<'a> {
    pub surface: &'a Surface,
    pub from: Point,
    /// Straight on.
    pub heading: Direction,
    pub radius_m: f64,
    pub aim_z_m: f64,
}

/// What a look round found.
pub(super) enum Swept {
    Found(Point),
    /// Nowhere, and part of the circle lies outside the ground.
    NoGround,
    /// Nowhere on known ground.
    NoneLevel,
}

/// A direction with the miss of the ground there; none where there is no ground.
#[derive(Clone, Copy)]
struct Look {
    heading: Direction,
    miss_m: Option<f64>,
}

impl Sweep<'_> {
    /// The place of the right height nearest to straight on; of two equally near, the left one.
    pub fn nearest_to_straight_on(&self, widest_turn_deg: u32) -> Swept {
        let straight = self.look(self.heading);
        if straight.miss_m == Some(0.0) {
            return Swept::Found(self.place(self.heading));
        }
        let mut sides = [straight; 2];
        let mut all_ground = straight.miss_m.is_some();
        for turn_deg in (SCAN_DEG..=widest_turn_deg).step_by(SCAN_DEG as usize) {
            let next = self.heading.turned(turn_deg).map(|heading| self.look(heading));
            all_ground &= next.iter().all(|look| look.miss_m.is_some());
            let left = self.close_in(sides[0], next[0]);
            let right = self.close_in(sides[1], next[1]);
            let found = match (left, right) {
                (Some(left), Some(right)) => Some(self.nearer(left, right)),
                (one, other) => one.or(other),
            };
            if let Some(heading) = found {
                return Swept::Found(self.place(heading));
            }
            sides = next;
        }
        if all_ground { Swept::NoneLevel } else { Swept::NoGround }
    }

    fn nearer(&self, left: Direction, right: Direction) -> Direction {
        if self.heading.agreement(right) > self.heading.agreement(left) { right } else { left }
    }

    fn place(&self, heading: Direction) -> Point {
        Point::new(
            self.from.x_m + self.radius_m * heading.east,
            self.from.y_m + self.radius_m * heading.north,
        )
    }

    fn look(&self, heading: Direction) -> Look {
        let ground_z_m = self.surface.z_m(self.place(heading));
        Look { heading, miss_m: ground_z_m.map(|z_m| z_m - self.aim_z_m) }
    }

    /// The direction of the right height between two looks, if the miss changes sign from the first to the
    /// second (or vanishes at the second). A face so steep that it cannot be found is no place for a peg.
    fn close_in(&self, mut a: Look, mut b: Look) -> Option<Direction> {
        let (miss_a_m, miss_b_m) = (a.miss_m?, b.miss_m?);
        if miss_b_m == 0.0 {
            return Some(b.heading);
        }
        if (miss_a_m > 0.0) == (miss_b_m > 0.0) {
            return None;
        }
        for _ in 0..MAX_HALVINGS {
            let middle = self.look(a.heading.halfway(b.heading));
            let miss_m = middle.miss_m?;
            if miss_m.abs() <= HEIGHT_TOLERANCE_M {
                return Some(middle.heading);
            }
            if (miss_m > 0.0) == (miss_a_m > 0.0) {
                a = middle;
            } else {
                b = middle;
            }
        }
        None
    }
}
