//! Several readings at one pair of pegs, and one of them is off: move the peg or not?
//!
//! One odd reading says little about the peg and much about the tool. Two questions settle it. First, is the
//! odd one more than chance does? It differs from the mean of the other n − 1 by D, whose standard error is
//! σ·√(n/(n − 1)); the chance that any of n readings is as far out is 1 − (1 − erfc(D/(s·√2)))^n, and below
//! one in twenty it is struck as a slip. Second, is the mean of what remains, with its doubt
//! (two standard errors 2σ/√m, and the tool's own fault if it was never turned round), outside what the line
//! may stand off by? Only then is the peg moved, across the slope by Δh ÷ slope.
//!
//! Source: the normal law of errors. The tolerance of ±2 cm along a contour line, checked on random pairs, is
//! that of the field manual "Afforestation in arid and semi-arid tropics" (setting out).
//! Leaves out: a tool whose errors are not independent (wind that keeps blowing).

use super::Tool;

/// How far a peg on a level line may stand off: "Afforestation in arid and semi-arid tropics", setting out.
pub const CONTOUR_TOLERANCE_M: f64 = 0.020;
/// Odds below which a reading is called a slip: the usual one in twenty.
const SLIP_CHANCE: f64 = 0.05;
/// Fewest readings in which the odd one can be told: of two, either may be wrong.
const FEWEST_TO_STRIKE: usize = 3;

/// Readings at one pair of pegs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadBack<'a> {
    /// How much lower the far peg was read to be than the near one, each time.
    pub falls_m: &'a [f64],
    /// How much lower it is meant to be.
    pub aim_m: f64,
    /// How far off it may stand: [`ReadBack::level_line`] takes ±20 mm.
    pub tolerance_m: f64,
    /// Slope of the ground across the line, rise over run.
    pub slope: f64,
    /// Whether the tool was turned end for end for half the readings, which cancels its own fault.
    pub turned: bool,
}

/// Why readings say nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadBackError {
    /// No reading at all.
    #[error("no reading: take at least three at this pair of pegs")]
    NoReading,
    /// A number that is not one.
    #[error("reading {number} is not a finite number")]
    NotFinite {
        /// Its place, 1 for the first.
        number: usize,
    },
    /// A tolerance of nothing, or a tool without random error.
    #[error("tolerance {tolerance_m} m and random error {random_m} m must both be greater than 0")]
    NoTolerance {
        /// The tolerance given.
        tolerance_m: f64,
        /// The tool's random error.
        random_m: f64,
    },
}

/// What to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Leave the peg: with its doubt it stands within the tolerance.
    Leave,
    /// Move the peg: even with the doubt in its favour it stands outside the tolerance.
    Move,
    /// The readings cannot tell: take more, the tool turned for half of them.
    ReadMore,
}

/// What the readings come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// What to do.
    pub verdict: Verdict,
    /// The reading struck as a slip, counted from 0.
    pub slip: Option<usize>,
    /// The reading furthest from the others, counted from 0; the first of equals.
    pub oddest: usize,
    /// How far it is from the mean of the others.
    pub oddest_off_m: f64,
    /// The chance that one of so many readings is as far out, the tool being as good as stated.
    pub oddest_chance: f64,
    /// How far the far peg stands below (positive) or above where it is meant to.
    pub off_m: f64,
    /// The doubt in that.
    pub doubt_m: f64,
    /// How far across the slope that is: uphill where the peg is too low. None on level ground.
    pub move_uphill_m: Option<f64>,
}

impl<'a> ReadBack<'a> {
    /// Readings along a level line, held to the tolerance of such a line.
    pub fn level_line(falls_m: &'a [f64], slope: f64) -> ReadBack<'a> {
        ReadBack { falls_m, aim_m: 0.0, tolerance_m: CONTOUR_TOLERANCE_M, slope, turned: false }
    }

    /// Weighs the readings.
    ///
    /// # Errors
    /// No reading, one that is not finite, or nothing to hold them against.
    pub fn settle(&self, tool: &Tool) -> Result<Settled, ReadBackError> {
        self.check(tool)?;
        let n = self.falls_m.len();
        let (oddest, oddest_off_m) = self.oddest();
        let oddest_chance = chance_of_any(oddest_off_m, tool.random_m, n);
        let slip = (n >= FEWEST_TO_STRIKE && oddest_chance < SLIP_CHANCE).then_some(oddest);
        let kept = n - usize::from(slip.is_some());
        let sum_m: f64 = (0..n).filter(|i| Some(*i) != slip).map(|i| self.falls_m[i]).sum();
        let off_m = sum_m / kept as f64 - self.aim_m;
        let own_fault_m = if self.turned { 0.0 } else { tool.constant_m.abs() };
        let doubt_m = super::WIDE * tool.random_m / (kept as f64).sqrt() + own_fault_m;
        let verdict = if off_m.abs() + doubt_m <= self.tolerance_m {
            Verdict::Leave
        } else if off_m.abs() - doubt_m > self.tolerance_m {
            Verdict::Move
        } else {
            Verdict::ReadMore
        };
        Ok(Settled {
            verdict,
            slip,
            oddest,
            oddest_off_m,
            oddest_chance,
            off_m,
            doubt_m,
            move_uphill_m: (self.slope > 0.0).then(|| off_m / self.slope),
        })
    }

    fn check(&self, tool: &Tool) -> Result<(), ReadBackError> {
        if self.falls_m.is_empty() {
            return Err(ReadBackError::NoReading);
        }
        if let Some(i) = self.falls_m.iter().position(|fall_m| !fall_m.is_finite()) {
            return Err(ReadBackError::NotFinite { number: i + 1 });
        }
        let positive = |m: f64| m.is_finite() && m > 0.0;
        if !positive(self.tolerance_m) || !positive(tool.random_m) {
            return Err(ReadBackError::NoTolerance {
                tolerance_m: self.tolerance_m,
                random_m: tool.random_m,
            });
        }
        Ok(())
    }

    /// The reading furthest from the mean of the others, and how far.
    fn oddest(&self) -> (usize, f64) {
        let n = self.falls_m.len();
        if n == 1 {
            return (0, 0.0);
        }
        let sum_m: f64 = self.falls_m.iter().sum();
        let mut furthest = (0, 0.0);
        for (i, fall_m) in self.falls_m.iter().enumerate() {
            let off_m = fall_m - (sum_m - fall_m) / (n - 1) as f64;
            if off_m.abs() > f64::abs(furthest.1) {
                furthest = (i, off_m);
            }
        }
        furthest
    }
}

/// Chance that any of n readings differs from the mean of the others by as much.
fn chance_of_any(off_m: f64, random_m: f64, n: usize) -> f64 {
    if n < 2 {
        return 1.0;
    }
    let standard_error_m = random_m * (n as f64 / (n - 1) as f64).sqrt();
    let one = libm::erfc(off_m.abs() / (standard_error_m * std::f64::consts::SQRT_2));
    1.0 - libm::pow(1.0 - one, n as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tool::ToolKind;

    fn frame(random_mm: f64) -> Tool {
        Tool { random_m: random_mm / 1000.0, constant_m: 0.0, ..Tool::assumed(ToolKind::AFrame) }
    }

    /// Five readings, one 12 mm off, an A-frame of 5 mm. D = 12 mm, s = 5·√(5/4) = 5.590 mm, D/s = 2.1466,
    /// erfc(2.1466/√2) = 0.03182, chance 1 − 0.96818⁵ = 0.1493: chance does that, nothing is struck. Mean
    /// 12/5 = 2.4 mm, doubt 2·5/√5 = 4.47 mm; 6.9 mm is within 20 mm. On a 10 % slope 2.4 mm is 24 mm of ground.
    #[test]
    fn one_of_five_is_twelve_millimetres_off() {
        let falls_m = [0.0, 0.0, 0.012, 0.0, 0.0];
        let settled = ReadBack::level_line(&falls_m, 0.10).settle(&frame(5.0)).unwrap();
        assert_eq!((settled.verdict, settled.slip, settled.oddest), (Verdict::Leave, None, 2));
        assert!((settled.oddest_chance - 0.1493).abs() < 5e-5, "{}", settled.oddest_chance);
        assert!((settled.off_m - 0.0024).abs() < 1e-15);
        assert!((settled.doubt_m - 0.004_472).abs() < 5e-7);
        assert!((settled.move_uphill_m.unwrap() - 0.024).abs() < 1e-12);
    }

    /// The same readings with a tool of 3 mm: D/s = 3.578, one in 2 900, and 1.7 in 1000 for any of five: a
    /// slip. Without it the mean is nought.
    #[test]
    fn a_better_tool_calls_it_a_slip() {
        let falls_m = [0.0, 0.0, 0.012, 0.0, 0.0];
        let settled = ReadBack::level_line(&falls_m, 0.10).settle(&frame(3.0)).unwrap();
        assert_eq!((settled.verdict, settled.slip), (Verdict::Leave, Some(2)));
        assert!((settled.oddest_chance - 0.0017).abs() < 5e-5);
        assert_eq!(settled.off_m, 0.0);
    }

    /// All five say 32 mm: doubt 4.5 mm, so at least 27 mm off: move 0.32 m uphill on 10 %. All five say
    /// 18 mm: between 13.5 and 22.5 mm, the readings cannot tell.
    #[test]
    fn pegs_that_are_truly_off() {
        let off = |m: f64| {
            let falls_m = [m; 5];
            ReadBack::level_line(&falls_m, 0.10).settle(&frame(5.0)).unwrap()
        };
        assert_eq!(off(0.032).verdict, Verdict::Move);
        assert!((off(0.032).move_uphill_m.unwrap() - 0.32).abs() < 1e-12);
        assert!((off(-0.032).move_uphill_m.unwrap() + 0.32).abs() < 1e-12);
        assert_eq!(off(0.018).verdict, Verdict::ReadMore);
        assert_eq!(off(0.012).verdict, Verdict::Leave);
    }

    /// A fault of 10 mm that was never turned out is all doubt; turned, it is gone.
    #[test]
    fn turning_the_tool_removes_its_fault() {
        let tool = Tool { constant_m: 0.010, ..frame(5.0) };
        let falls_m = [0.010; 4];
        let mut readings = ReadBack::level_line(&falls_m, 0.10);
        assert_eq!(readings.settle(&tool).unwrap().verdict, Verdict::ReadMore);
        readings.turned = true;
        assert_eq!(readings.settle(&tool).unwrap().verdict, Verdict::Leave);
    }

    #[test]
    fn of_two_neither_is_struck() {
        let falls_m = [0.0, 0.2];
        let settled = ReadBack::level_line(&falls_m, 0.0).settle(&frame(5.0)).unwrap();
        assert_eq!((settled.slip, settled.move_uphill_m), (None, None));
        assert_eq!(settled.verdict, Verdict::Move);
    }

    #[test]
    fn nothing_to_weigh() {
        let settle = |falls_m: &[f64]| ReadBack::level_line(falls_m, 0.1).settle(&frame(5.0));
        assert_eq!(settle(&[]), Err(ReadBackError::NoReading));
        assert_eq!(settle(&[0.0, f64::NAN]), Err(ReadBackError::NotFinite { number: 2 }));
        assert!(matches!(
            ReadBack::level_line(&[0.0], 0.1).settle(&frame(0.0)),
            Err(ReadBackError::NoTolerance { .. })
        ));
    }
}
