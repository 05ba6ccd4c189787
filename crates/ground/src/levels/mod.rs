//! Level books: heights from staff readings.
//!
//! The line of sight of a level is one flat plane. What the staff reads on a point is how far that point lies
//! below the plane, so a reading back to a known height gives the plane, and every reading forward a height:
//!
//! plane = known height + backsight · height = plane − reading (height of collimation)
//! height = height before + (reading before − reading), within one setup (rise and fall)
//!
//! An inverted staff, held up against something overhead, is read negative; the same lines hold. Both methods
//! are worked, the book's arithmetic is checked ([`Checks`]), the run is closed on a known height where there
//! is one, the misclosure held against what is allowed ([`Rule`]), and spread ([`Spread`]).
//!
//! Source: US Navy Engineering Aid course 14071, "Level computations"; the sources of each rule stand there.
//! Arithmetic checks prove arithmetic only: not that the staff was read right. A book whose arithmetic failed
//! is never adjusted; one that misses its closing mark is adjusted and not called good.
#![doc = ""]
#![doc = include_str!("../../../../docs/methods/levels.md")]

mod adjust;
mod book;
mod check;
mod reduce;
pub mod sight;
mod tolerance;
pub mod two_peg;

pub use adjust::{Spread, by_distance};
pub use book::{Book, BookError, Row, RowFault, Shot, Sights, Station, rows_of_setups};
pub use check::{Check, Checks, Slip};
pub use reduce::{Reduced, Reduction, Sums, reduce};
pub use tolerance::{GRADES, Grade, Rule, SHORTEST_ALLOWED_M};

/// What is asked of a book.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Known height of the last point, over what the book says.
    pub closes_on_z_m: Option<f64>,
    /// What misclosure is allowed.
    pub rule: Rule,
    /// How a misclosure is spread.
    pub spread: Spread,
}

/// A book worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Levelled {
    /// Every point, by both methods.
    pub reduction: Reduction,
    /// The arithmetic checks, of the heights the book gives if it gives all, else of ours.
    pub checks: Checks,
    /// Whether the book gives a height on every row: worked out by hand, and held against ours.
    pub worked_by_hand: bool,
    /// Where the heights worked by hand go wrong.
    pub slips: Vec<Slip>,
    /// Known heights on the way, and how ours differ.
    pub marks: Vec<Mark>,
    /// How the run closes; none without a known height at its end.
    pub closing: Option<Closing>,
    /// What the rule allows.
    pub allowed_m: f64,
    /// What to add to each height; none where nothing is to be spread or the arithmetic failed.
    pub corrections_m: Option<Vec<f64>>,
}

/// A known height on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// The point, counted from 0.
    pub station: usize,
    /// Its known height.
    pub known_z_m: f64,
    /// Ours less the known one.
    pub differs_m: f64,
}

/// Where the closing height came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClosesOn {
    /// It was asked for.
    Asked,
    /// The book gives the last point's height.
    LastPoint,
    /// The last point is the first again.
    Start,
}

/// How a run closes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Closing {
    /// Where the closing height came from.
    pub on: ClosesOn,
    /// The known height.
    pub known_z_m: f64,
    /// Observed less known.
    pub misclosure_m: f64,
}

/// Why a good book could not be worked as asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LevelError {
    /// Spreading by distance, and a point has none.
    #[error("point \"{point}\" has no chainage_m: fill the column, or spread the misclosure by setups")]
    NoChainage {
        /// The point.
        point: String,
    },
    /// Spreading by distance over no distance.
    #[error("the run is {length_m} m long: a misclosure cannot be spread over that; check chainage_m")]
    NoLength {
        /// The last chainage less the first.
        length_m: f64,
    },
}

impl Levelled {
    /// Whether the arithmetic holds.
    pub fn arithmetic_holds(&self) -> bool {
        self.checks.hold() && self.slips.is_empty()
    }

    /// Whether the run closes on a known height within what is allowed, its arithmetic being right.
    pub fn closed(&self) -> bool {
        let within = |closing: &Closing| self.within_allowed(closing.misclosure_m);
        self.arithmetic_holds() && self.closing.as_ref().is_some_and(within)
    }

    /// Whether a difference from a known height is allowed. A book that is exactly at its limit does not fail by
    /// a rounding of the computer's.
    pub fn within_allowed(&self, misclosure_m: f64) -> bool {
        const ROUNDING_M: f64 = 1e-9;
        misclosure_m.abs() <= self.allowed_m + ROUNDING_M
    }

    /// Whether the run misses its mark by so much that chance is out of the question: a staff misread, a wrong
    /// mark, a change point that moved.
    pub fn blundered(&self) -> bool {
        let beyond = |closing: &Closing| closing.misclosure_m.abs() > BLUNDER * self.allowed_m;
        self.closing.as_ref().is_some_and(beyond)
    }

    /// The adjusted height of a point; none where nothing was spread.
    pub fn adjusted_z_m(&self, station: usize) -> Option<f64> {
        let corrections_m = self.corrections_m.as_ref()?;
        Some(self.reduction.points[station].z_m + corrections_m[station])
    }
}

/// Times the allowed misclosure that chance does not reach: what is allowed is about two standard errors, so
/// this is six. Common practice.
const BLUNDER: f64 = 3.0;

/// Works a book out.
///
/// # Errors
/// The misclosure is to be spread by distance and the book gives none.
pub fn level(book: &Book, settings: &Settings) -> Result<Levelled, LevelError> {
    let reduction = reduce(book);
    let given = check::worked_by_hand(book);
    let ours: Vec<f64> = reduction.points.iter().map(|point| point.z_m).collect();
    let heights_m = given.as_ref().unwrap_or(&ours);
    let closing = closing(book, given.is_some(), settings.closes_on_z_m, &ours);
    let mut levelled = Levelled {
        checks: check::checks(book, &reduction, heights_m),
        worked_by_hand: given.is_some(),
        slips: check::slips(book, heights_m),
        marks: if given.is_some() { Vec::new() } else { marks(book, &ours) },
        closing,
        allowed_m: settings.rule.allowed_m(reduction.setups),
        corrections_m: None,
        reduction,
    };
    if let (true, Some(closing)) = (levelled.arithmetic_holds(), closing) {
        let correction_m = -closing.misclosure_m;
        levelled.corrections_m = Some(match settings.spread {
            Spread::BySetup => adjust::by_setup(&levelled.reduction, correction_m),
            Spread::ByDistance => adjust::by_distance(&adjust::chainages(book)?, correction_m),
        });
    }
    Ok(levelled)
}

fn closing(book: &Book, worked_by_hand: bool, asked_z_m: Option<f64>, ours: &[f64]) -> Option<Closing> {
    let stations = book.stations();
    let (first, last) = (&stations[0], &stations[stations.len() - 1]);
    let same_point = !first.point.is_empty() && first.point == last.point;
    let (on, known_z_m) = match (asked_z_m, last.z_m) {
        (Some(z_m), _) => (ClosesOn::Asked, z_m),
        // The last height of a column worked by hand is a result, not a mark: it must not prove itself.
        (None, Some(z_m)) if !worked_by_hand => (ClosesOn::LastPoint, z_m),
        _ if same_point => (ClosesOn::Start, ours[0]),
        _ => return None,
    };
    Some(Closing { on, known_z_m, misclosure_m: ours[ours.len() - 1] - known_z_m })
}

fn marks(book: &Book, ours: &[f64]) -> Vec<Mark> {
    let stations = book.stations();
    let between = 1..stations.len() - 1;
    let mark = |station: usize| {
        let known_z_m = stations[station].z_m?;
        let differs_m = ours[station] - known_z_m;
        Some(Mark { station, known_z_m, differs_m })
    };
    between.filter_map(mark).collect()
}

#[cfg(test)]
mod tests;
