//! Runoff of a storm by curve number.
//!
//! Ia = 0.2·S stays behind before anything runs; after that the share that runs grows with the rain:
//! Q = (P − Ia)²/(P − Ia + S), S = 1000/CN − 10 inches.
//!
//! Source: TR-55 eq. 2-1 to 2-4; NEH 630 ch. 9 and 10. Made for daily rains over small catchments; weak where the
//! runoff is under 13 mm (½ inch, TR-55, page from memory, unverified) and for CN below 40. Through a storm the
//! same equation on the rain so far gives the runoff so far (NEH 630 ch. 10, table 10-2).

use quantity::convert::{inch_to_mm, mm_to_m};

/// Share of S that stays behind before runoff starts. TR-55 eq. 2-2.
const INITIAL_LOSS: f64 = 0.2;
/// Curve number of connected hard surface. TR-55 table 2-2a.
const HARD_SURFACE: f64 = 98.0;

/// Curve number: 0 sheds nothing, 100 sheds all.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct CurveNumber(f64);

/// Why a number is no curve number.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CurveNumberError {
    /// Outside the range.
    #[error("a curve number of {found} does not exist: give more than 0 and at most 100")]
    OutOfRange {
        /// As found.
        found: f64,
    },
    /// Nothing to mix, or shares that are not shares.
    #[error("shares of ground add up to {sum}: they must be 0 or more and add up to 1")]
    SharesNotWhole {
        /// Their sum.
        sum: f64,
    },
}

/// How wet the ground is before the storm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wetness {
    /// Dry: condition I.
    Dry,
    /// Usual: condition II, what the tables give.
    Usual,
    /// Wet: condition III.
    Wet,
}

impl CurveNumber {
    /// A curve number.
    ///
    /// # Errors
    /// If it is not above 0 and at most 100.
    pub fn new(number: f64) -> Result<CurveNumber, CurveNumberError> {
        if number > 0.0 && number <= 100.0 {
            Ok(CurveNumber(number))
        } else {
            Err(CurveNumberError::OutOfRange { found: number })
        }
    }

    /// For tables whose rows are curve numbers.
    pub(super) fn of_table(number: f64) -> CurveNumber {
        debug_assert!(number > 0.0 && number <= 100.0, "number = {number}");
        CurveNumber(number)
    }

    /// The number.
    pub fn number(self) -> f64 {
        self.0
    }

    /// S, the most that the ground can still keep once runoff starts.
    pub fn storage_m(self) -> f64 {
        mm_to_m(inch_to_mm(1000.0 / self.0 - 10.0))
    }

    /// Ia, the rain before any runs.
    pub fn initial_loss_m(self) -> f64 {
        INITIAL_LOSS * self.storage_m()
    }

    /// Runoff of a rain, as a depth.
    pub fn runoff_m(self, rain_m: f64) -> f64 {
        let beyond_m = rain_m - self.initial_loss_m();
        if beyond_m <= 0.0 {
            return 0.0;
        }
        beyond_m * beyond_m / (beyond_m + self.storage_m())
    }

    /// Rain that gives a runoff: the positive root of e² − Q·e − Q·S = 0 with e = P − Ia. For no runoff it is Ia,
    /// the most rain that gives none.
    pub fn rain_for_runoff_m(self, runoff_m: f64) -> f64 {
        let root = (runoff_m * runoff_m + 4.0 * runoff_m * self.storage_m()).sqrt();
        self.initial_loss_m() + 0.5 * (runoff_m + root)
    }

    /// The number for ground drier or wetter than usual: NEH 630 ch. 10, table 10-1, straight between its rows.
    pub fn when(self, wetness: Wetness) -> CurveNumber {
        let column: fn(&(f64, f64, f64)) -> f64 = match wetness {
            Wetness::Dry => |row| row.1,
            Wetness::Usual => return self,
            Wetness::Wet => |row| row.2,
        };
        let above = CONDITIONS.partition_point(|row| row.0 < self.0).max(1);
        let (low, high) = (&CONDITIONS[above - 1], &CONDITIONS[above]);
        let t = (self.0 - low.0) / (high.0 - low.0);
        CurveNumber(column(low) + t * (column(high) - column(low)))
    }
}

/// Runoff of ground of several kinds: each sheds its own, shares by area. Mixing the curve numbers first would
/// hide the runoff of the hard parts in small rains.
///
/// # Errors
/// If the shares are negative or do not add up to 1 within a millionth.
pub fn mixed_runoff_m(parts: &[(f64, CurveNumber)], rain_m: f64) -> Result<f64, CurveNumberError> {
    let sum: f64 = parts.iter().map(|(share, _)| share).sum();
    let whole = (sum - 1.0).abs() <= 1e-6 && parts.iter().all(|(share, _)| *share >= 0.0);
    if !whole {
        return Err(CurveNumberError::SharesNotWhole { sum });
    }
    Ok(parts.iter().map(|(share, number)| share * number.runoff_m(rain_m)).sum())
}

/// Curve number of ground of which a share is hard surface, a part of that draining onto the soft ground instead
/// of away. NEH 630 ch. 9, eq. 9-1 and 9-2, for up to 30 % hard surface.
///
/// # Errors
/// If the number comes out of range: the shares are not shares.
pub fn with_hard_surface(
    soft: CurveNumber,
    hard_share: f64,
    unconnected_share: f64,
) -> Result<CurveNumber, CurveNumberError> {
    CurveNumber::new(soft.0 + hard_share * (HARD_SURFACE - soft.0) * (1.0 - 0.5 * unconnected_share))
}

/// Condition II, and I and III for it: NEH 630 ch. 10, table 10-1.
#[rustfmt::skip]
pub(super) const CONDITIONS: [(f64, f64, f64); 77] = [
    (0.0, 0.0, 0.0), (5.0, 2.0, 13.0), (10.0, 4.0, 22.0), (15.0, 6.0, 30.0), (20.0, 9.0, 37.0),
    (25.0, 12.0, 43.0), (30.0, 15.0, 50.0), (31.0, 16.0, 51.0), (32.0, 16.0, 52.0), (33.0, 17.0, 53.0),
    (34.0, 18.0, 54.0), (35.0, 18.0, 55.0), (36.0, 19.0, 56.0), (37.0, 20.0, 57.0), (38.0, 21.0, 58.0),
    (39.0, 21.0, 59.0), (40.0, 22.0, 60.0), (41.0, 23.0, 61.0), (42.0, 24.0, 62.0), (43.0, 25.0, 63.0),
    (44.0, 25.0, 64.0), (45.0, 26.0, 65.0), (46.0, 27.0, 66.0), (47.0, 28.0, 67.0), (48.0, 29.0, 68.0),
    (49.0, 30.0, 69.0), (50.0, 31.0, 70.0), (51.0, 31.0, 70.0), (52.0, 32.0, 71.0), (53.0, 33.0, 72.0),
    (54.0, 34.0, 73.0), (55.0, 35.0, 74.0), (56.0, 36.0, 75.0), (57.0, 37.0, 75.0), (58.0, 38.0, 76.0),
    (59.0, 39.0, 77.0), (60.0, 40.0, 78.0), (61.0, 41.0, 78.0), (62.0, 42.0, 79.0), (63.0, 43.0, 80.0),
    (64.0, 44.0, 81.0), (65.0, 45.0, 82.0), (66.0, 46.0, 82.0), (67.0, 47.0, 83.0), (68.0, 48.0, 84.0),
    (69.0, 50.0, 84.0), (70.0, 51.0, 85.0), (71.0, 52.0, 86.0), (72.0, 53.0, 86.0), (73.0, 54.0, 87.0),
    (74.0, 55.0, 88.0), (75.0, 57.0, 88.0), (76.0, 58.0, 89.0), (77.0, 59.0, 89.0), (78.0, 60.0, 90.0),
    (79.0, 62.0, 91.0), (80.0, 63.0, 91.0), (81.0, 64.0, 92.0), (82.0, 66.0, 92.0), (83.0, 67.0, 93.0),
    (84.0, 68.0, 93.0), (85.0, 70.0, 94.0), (86.0, 72.0, 94.0), (87.0, 73.0, 95.0), (88.0, 75.0, 95.0),
    (89.0, 76.0, 96.0), (90.0, 78.0, 96.0), (91.0, 80.0, 97.0), (92.0, 81.0, 97.0), (93.0, 83.0, 98.0),
    (94.0, 85.0, 98.0), (95.0, 87.0, 98.0), (96.0, 89.0, 99.0), (97.0, 91.0, 99.0), (98.0, 94.0, 99.0),
    (99.0, 97.0, 100.0), (100.0, 100.0, 100.0),
];
