//! A traverse: bearings and lengths from corner to corner, closed by the compass rule.
//!
//! Each leg goes so far north and so far east; round a ring the sums ought to be nothing. What they come to is
//! the closing error, and the compass (Bowditch) rule gives each leg its share by length:
//!
//! north = L·cos(bearing) · east = L·sin(bearing) · correction = −sum · L / ΣL · precision = error / ΣL
//!
//! Source: Purdue University, ASM 215, traverse page; J. Mahun, open access surveying library, traverses.
//! Declination stays apart from the bearings as read: it turns the whole figure, never one leg.
//! The rule spreads errors of chance and cannot find a blunder; [`Traverse::suspects`] hints at one.

use std::f64::consts::PI;

use crate::Point;

/// A leg as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Bearing as read, clockwise from the compass's north.
    pub bearing_rad: f64,
    /// Bearing read back from its far end.
    pub back_bearing_rad: Option<f64>,
    /// Horizontal length.
    pub length_m: f64,
}

/// Where a traverse runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchor {
    /// Where it starts.
    pub start: Point,
    /// Where it is known to end: the start again, for a ring.
    pub end: Point,
    /// How far the compass's north lies east of the plan's, clockwise.
    pub declination_rad: f64,
}

/// A leg after closing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClosedLeg {
    /// North as measured.
    pub north_m: f64,
    /// East as measured.
    pub east_m: f64,
    /// Added to it.
    pub north_correction_m: f64,
    /// Added to it.
    pub east_correction_m: f64,
    /// Its far end.
    pub to: Point,
    /// Back bearing less fore bearing less a half turn, −π to π; none where none was read.
    pub back_differs_rad: Option<f64>,
}

/// A traverse after closing.
#[derive(Debug, Clone, PartialEq)]
pub struct Traverse {
    /// Its legs.
    pub legs: Vec<ClosedLeg>,
    /// Sum of the legs.
    pub length_m: f64,
    /// Measured end north of the known one.
    pub north_error_m: f64,
    /// Measured end east of the known one.
    pub east_error_m: f64,
}

/// Why measurements make no traverse.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TraverseError {
    /// Too few legs to close on anything.
    #[error("{count} legs: a ring has at least three")]
    TooFewLegs {
        /// How many there are.
        count: usize,
    },
    /// A leg of no length, or a number that is not one.
    #[error("leg {leg} is {length_m:?} m long: every leg has a bearing and a length above 0")]
    NoLength {
        /// The leg, counted from 0.
        leg: usize,
        /// Its length.
        length_m: f64,
    },
}

/// A compass is read to a degree at best, so fore and back together may be two degrees off. Common practice.
pub const BACK_BEARING_LIMIT_RAD: f64 = 2.0 * PI / 180.0;
/// What a hand compass and tape should reach: closing error over length. Common practice; sources give 1:300 to
/// 1:500 from memory, unverified.
pub const HAND_PRECISION: f64 = 1.0 / 300.0;
/// How near the closing error must lie to a leg's direction to point at it. Common practice.
const SUSPECT_RAD: f64 = 5.0 * PI / 180.0;

impl ClosedLeg {
    /// Length after closing.
    pub fn adjusted_length_m(&self) -> f64 {
        let (north_m, east_m) = self.adjusted_m();
        (north_m * north_m + east_m * east_m).sqrt()
    }

    /// Bearing after closing, from the plan's north, 0 to 2π.
    pub fn adjusted_bearing_rad(&self) -> f64 {
        let (north_m, east_m) = self.adjusted_m();
        bearing_rad(north_m, east_m)
    }

    fn adjusted_m(&self) -> (f64, f64) {
        (self.north_m + self.north_correction_m, self.east_m + self.east_correction_m)
    }

    /// Whether fore and back bearing differ by more than reading them explains: iron near one end.
    pub fn bearings_disagree(&self) -> bool {
        self.back_differs_rad.is_some_and(|off| off.abs() > BACK_BEARING_LIMIT_RAD)
    }
}

impl Traverse {
    /// Distance between the measured and the known end.
    pub fn closing_error_m(&self) -> f64 {
        (self.north_error_m * self.north_error_m + self.east_error_m * self.east_error_m).sqrt()
    }

    /// The n of "one in n"; none for a traverse that closes to nothing.
    pub fn one_in(&self) -> Option<f64> {
        let error_m = self.closing_error_m();
        (error_m > 0.0).then(|| self.length_m / error_m)
    }

    /// Whether it closes as well as a hand compass and tape should.
    pub fn good_for_hand_tools(&self) -> bool {
        self.closing_error_m() <= HAND_PRECISION * self.length_m
    }

    /// Legs that run along the closing error, if it is more than hand tools explain: their length is the first
    /// to measure again.
    pub fn suspects(&self) -> Vec<usize> {
        if self.good_for_hand_tools() {
            return Vec::new();
        }
        let error = bearing_rad(self.north_error_m, self.east_error_m);
        let along = |leg: &ClosedLeg| {
            let apart = half_turn(bearing_rad(leg.north_m, leg.east_m) - error).abs();
            apart.min(PI - apart) <= SUSPECT_RAD
        };
        (0..self.legs.len()).filter(|i| along(&self.legs[*i])).collect()
    }
}

/// Closes a traverse by the compass rule.
///
/// # Errors
/// Fewer than three legs, or a leg without a length.
pub fn close(legs: &[Leg], anchor: &Anchor) -> Result<Traverse, TraverseError> {
    const FEWEST: usize = 3;
    if legs.len() < FEWEST {
        return Err(TraverseError::TooFewLegs { count: legs.len() });
    }
    let measured = |leg: &Leg| leg.bearing_rad.is_finite() && leg.length_m.is_finite() && leg.length_m > 0.0;
    if let Some(i) = legs.iter().position(|leg| !measured(leg)) {
        let length_m = legs[i].length_m;
        return Err(TraverseError::NoLength { leg: i, length_m });
    }
    let run = |leg: &Leg| {
        let bearing = leg.bearing_rad + anchor.declination_rad;
        (leg.length_m * libm::cos(bearing), leg.length_m * libm::sin(bearing))
    };
    let runs: Vec<(f64, f64)> = legs.iter().map(run).collect();
    let length_m: f64 = legs.iter().map(|leg| leg.length_m).sum();
    let north_m: f64 = runs.iter().map(|run| run.0).sum();
    let east_m: f64 = runs.iter().map(|run| run.1).sum();
    let north_error_m = anchor.start.y_m + north_m - anchor.end.y_m;
    let east_error_m = anchor.start.x_m + east_m - anchor.end.x_m;
    let mut at = anchor.start;
    let mut closed = Vec::with_capacity(legs.len());
    for (leg, (north_m, east_m)) in legs.iter().zip(runs) {
        let share = leg.length_m / length_m;
        let (north_correction_m, east_correction_m) = (-north_error_m * share, -east_error_m * share);
        at = Point::new(at.x_m + east_m + east_correction_m, at.y_m + north_m + north_correction_m);
        closed.push(ClosedLeg {
            north_m,
            east_m,
            north_correction_m,
            east_correction_m,
            to: at,
            back_differs_rad: leg.back_bearing_rad.map(|back| half_turn(back - leg.bearing_rad - PI)),
        });
    }
    Ok(Traverse { legs: closed, length_m, north_error_m, east_error_m })
}

/// Bearing of a direction, clockwise from north, 0 to 2π.
fn bearing_rad(north_m: f64, east_m: f64) -> f64 {
    let angle = libm::atan2(east_m, north_m);
    if angle < 0.0 { angle + 2.0 * PI } else { angle }
}

/// An angle brought into −π to π.
fn half_turn(angle_rad: f64) -> f64 {
    angle_rad - 2.0 * PI * ((angle_rad + PI) / (2.0 * PI)).floor()
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::convert::{deg_to_rad, rad_to_deg};

    fn leg(degrees: f64, minutes: f64, seconds: f64, length_m: f64) -> Leg {
        Leg {
            bearing_rad: deg_to_rad(degrees + minutes / 60.0 + seconds / 3600.0),
            back_bearing_rad: None,
            length_m,
        }
    }

    fn ring(x_m: f64, y_m: f64) -> Anchor {
        let start = Point::new(x_m, y_m);
        Anchor { start, end: start, declination_rad: 0.0 }
    }

    fn purdue() -> Traverse {
        let legs = [
            leg(26.0, 10.0, 0.0, 285.10),
            leg(104.0, 35.0, 0.0, 610.45),
            leg(195.0, 30.0, 0.0, 720.48),
            leg(358.0, 18.0, 0.0, 203.00),
            leg(306.0, 54.0, 0.0, 647.02),
        ];
        close(&legs, &ring(10_000.0, 10_000.0)).unwrap()
    }

    /// Purdue University, ASM 215, traverse page. The page rounds each north and east to a hundredth before it
    /// sums and again when it balances: two hundredths and a half at most, and 0.011 is what it comes to.
    #[test]
    fn published_ring_of_five() {
        let closed = purdue();
        let printed = [
            (255.88, 125.72, 0.08, -0.06, 10_255.96, 10_125.66),
            (-153.70, 590.78, 0.18, -0.13, 10_102.44, 10_716.31),
            (-694.28, -192.54, 0.21, -0.15, 9_408.37, 10_523.62),
            (202.91, -6.02, 0.06, -0.05, 9_611.34, 10_517.55),
            (388.48, -517.41, 0.18, -0.14, 10_000.0, 10_000.0),
        ];
        for (leg, printed) in closed.legs.iter().zip(printed) {
            let ours = [
                leg.north_m,
                leg.east_m,
                leg.north_correction_m,
                leg.east_correction_m,
                leg.to.y_m,
                leg.to.x_m,
            ];
            let printed = [printed.0, printed.1, printed.2, printed.3, printed.4, printed.5];
            for (ours, printed) in ours.into_iter().zip(printed) {
                assert!((ours - printed).abs() <= 0.011, "{ours} for {printed}");
            }
        }
        assert!((closed.length_m - 2466.05).abs() <= 0.005);
        assert!((closed.north_error_m + 0.71).abs() <= 0.011);
        assert!((closed.east_error_m - 0.53).abs() <= 0.011);
    }

    /// The same ring without the page's rounding, worked separately.
    #[test]
    fn ring_of_five_unrounded() {
        let closed = purdue();
        assert!((closed.north_error_m + 0.7043).abs() <= 5e-5);
        assert!((closed.east_error_m - 0.5332).abs() <= 5e-5);
        assert!((closed.closing_error_m() - 0.8833).abs() <= 5e-5);
        assert!((closed.one_in().unwrap() - 2792.0).abs() <= 0.5);
        let by_hand = [
            (10_255.963, 10_125.663),
            (10_102.433, 10_716.314),
            (9_408.363, 10_523.618),
            (9_611.331, 10_517.552),
        ];
        for (leg, (north_m, east_m)) in closed.legs.iter().zip(by_hand) {
            assert!((leg.to.y_m - north_m).abs() <= 0.0005 && (leg.to.x_m - east_m).abs() <= 0.0005);
        }
    }

    /// J. Mahun, open access surveying library, traverse problem 2 (in feet; the rule does not care). Its bearings
    /// are kept to a second, which on 816 feet is 0.004, but its own sums agree with ours to a thousandth.
    #[test]
    fn published_ring_of_four() {
        let legs = [
            leg(226.0, 54.0, 23.0, 639.15),
            leg(0.0, 0.0, 0.0, 523.69),
            leg(235.0, 2.0, 29.0, 409.54),
            leg(79.0, 35.0, 2.0, 815.93),
        ];
        let closed = close(&legs, &ring(0.0, 0.0)).unwrap();
        assert!((closed.north_error_m + 0.115).abs() <= 0.001);
        assert!((closed.east_error_m - 0.107).abs() <= 0.001);
        assert!((closed.closing_error_m() - 0.1577).abs() <= 5e-5);
        assert!((closed.one_in().unwrap() - 15_146.0).abs() <= 1.0);
        let printed = [
            (-436.631, -466.761, 226.0, 54.0, 36.6, 639.150),
            (523.715, -0.023, 359.0, 59.0, 50.8, 523.715),
            (-234.640, -335.663, 235.0, 2.0, 42.5, 409.544),
            (147.556, 802.447, 79.0, 34.0, 50.5, 815.901),
        ];
        for (ours, (north, east, degrees, minutes, seconds, length)) in closed.legs.iter().zip(printed) {
            assert!((ours.north_m + ours.north_correction_m - north).abs() <= 0.001);
            assert!((ours.east_m + ours.east_correction_m - east).abs() <= 0.001);
            assert!((ours.adjusted_length_m() - length).abs() <= 0.001);
            // A thousandth across the shortest line is half a second.
            let printed_deg = degrees + minutes / 60.0 + seconds / 3600.0;
            let seconds_off = 3600.0 * (rad_to_deg(ours.adjusted_bearing_rad()) - printed_deg);
            assert!(seconds_off.abs() <= 0.5, "{seconds_off}");
        }
    }

    /// A lecture sheet's compass-and-tape ring: N76°E 80.40, S36°E 46.30, S61°W 72.80, N38°W 68.00.
    #[test]
    fn published_poor_ring() {
        let legs = [
            leg(76.0, 0.0, 0.0, 80.40),
            leg(144.0, 0.0, 0.0, 46.30),
            leg(241.0, 0.0, 0.0, 72.80),
            leg(322.0, 0.0, 0.0, 68.00),
        ];
        let closed = close(&legs, &ring(0.0, 0.0)).unwrap();
        assert!((closed.north_error_m - 0.284).abs() <= 0.0005);
        assert!((closed.east_error_m + 0.311).abs() <= 0.0005);
        let printed = [(-0.085, 0.094), (-0.049, 0.054), (-0.077, 0.085), (-0.072, 0.079)];
        for (leg, (north_m, east_m)) in closed.legs.iter().zip(printed) {
            assert!((leg.north_correction_m - north_m).abs() <= 0.0006, "printed sums are rounded first");
            assert!((leg.east_correction_m - east_m).abs() <= 0.0006, "printed sums are rounded first");
        }
        // Not printed: 0.4209 over 267.5.
        assert!((closed.one_in().unwrap() - 635.0).abs() <= 0.6);
        assert!(closed.good_for_hand_tools() && closed.suspects().is_empty());
    }

    /// A square of 30 m whose east side was taped a metre too long: the error runs north, along that leg and the
    /// one opposite.
    #[test]
    fn a_tape_blunder_points_at_its_legs() {
        let legs = [
            leg(0.0, 0.0, 0.0, 31.0),
            leg(90.0, 0.0, 0.0, 30.0),
            leg(180.0, 0.0, 0.0, 30.0),
            leg(270.0, 0.0, 0.0, 30.0),
        ];
        let closed = close(&legs, &ring(0.0, 0.0)).unwrap();
        assert!(!closed.good_for_hand_tools());
        assert_eq!(closed.suspects(), [0, 2]);
    }

    /// Declination turns the figure and leaves its closing alone; fore and back bearings do not feel it.
    #[test]
    fn declination_turns_the_whole_figure() {
        let mut legs = [leg(10.0, 0.0, 0.0, 40.0), leg(130.0, 0.0, 0.0, 41.0), leg(250.0, 0.0, 0.0, 40.0)];
        legs[1].back_bearing_rad = Some(deg_to_rad(313.5));
        legs[2].back_bearing_rad = Some(deg_to_rad(69.0));
        let plain = close(&legs, &ring(0.0, 0.0)).unwrap();
        let turned = close(&legs, &Anchor { declination_rad: deg_to_rad(12.0), ..ring(0.0, 0.0) }).unwrap();
        assert!((plain.closing_error_m() - turned.closing_error_m()).abs() < 1e-9);
        let first = rad_to_deg(turned.legs[0].adjusted_bearing_rad() - plain.legs[0].adjusted_bearing_rad());
        assert!((first - 12.0).abs() < 1e-9);
        assert!((rad_to_deg(plain.legs[1].back_differs_rad.unwrap()) - 3.5).abs() < 1e-9);
        let disagree: Vec<bool> = turned.legs.iter().map(ClosedLeg::bearings_disagree).collect();
        assert_eq!(disagree, [false, true, false]);
    }

    #[test]
    fn what_is_no_traverse() {
        let legs = [leg(0.0, 0.0, 0.0, 1.0), leg(90.0, 0.0, 0.0, 1.0), leg(225.0, 0.0, 0.0, 0.0)];
        assert_eq!(close(&legs[..2], &ring(0.0, 0.0)), Err(TraverseError::TooFewLegs { count: 2 }));
        let refused = close(&legs, &ring(0.0, 0.0));
        assert_eq!(refused, Err(TraverseError::NoLength { leg: 2, length_m: 0.0 }));
    }
}
