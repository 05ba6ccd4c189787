//! An official table of rain depths by duration and rarity.
//!
//! Depth grows with duration and with rarity along nearly straight lines on doubly logarithmic paper, so it is
//! read between rows and columns as the power law through the neighbours.
//!
//! Source: common to depth–duration–frequency tables; highest rain on record, J. L. H. Paulhus, Monthly Weather
//! Review 93, 1965: 16.6·D^0.475 inches in D hours. Nothing is read outside the table.

use quantity::convert::{inch_to_mm, mm_to_m, s_to_h};

/// Rain depths for some durations and return periods.
#[derive(Debug, Clone, PartialEq)]
pub struct DepthTable {
    durations_s: Vec<f64>,
    years: Vec<f64>,
    /// One row a duration, one column a return period.
    depths_m: Vec<Vec<f64>>,
}

/// Why a table of depths cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DepthTableError {
    /// Headings that are missing, not positive or not in rising order.
    #[error("{name} must be positive and rise from one to the next: number {index} is {value}")]
    BadHeading {
        /// Durations or years.
        name: &'static str,
        /// Place in the list, from 0.
        index: usize,
        /// As found.
        value: f64,
    },
    /// Rows and headings that do not fit.
    #[error("row {row} has {found} depths for {expected} return periods")]
    Ragged {
        /// Row, from 0.
        row: usize,
        /// Its depths.
        found: usize,
        /// Return periods.
        expected: usize,
    },
    /// A depth that cannot be.
    #[error(
        "row {row}, column {column}: a depth of {depth_m} m is not above 0 and below the highest on record"
    )]
    BadDepth {
        /// Row, from 0.
        row: usize,
        /// Column, from 0.
        column: usize,
        /// As found.
        depth_m: f64,
    },
    /// A longer rain that is no deeper.
    #[error("column {column}: rain in row {row} is not deeper than the shorter one above it; check both")]
    LongerNotDeeper {
        /// Row, from 0.
        row: usize,
        /// Column, from 0.
        column: usize,
    },
    /// A longer rain that is harder.
    #[error("column {column}: rain in row {row} is harder than the shorter one above it; check both")]
    LongerHarder {
        /// Row, from 0.
        row: usize,
        /// Column, from 0.
        column: usize,
    },
    /// A rarer rain that is no deeper.
    #[error("row {row}: rain in column {column} is not deeper than the commoner one before it; check both")]
    RarerNotDeeper {
        /// Row, from 0.
        row: usize,
        /// Column, from 0.
        column: usize,
    },
}

/// The deepest rain on record for a duration: more is a slip of the pen. Paulhus 1965.
pub fn record_rain_m(duration_s: f64) -> f64 {
    mm_to_m(inch_to_mm(16.6 * libm::pow(s_to_h(duration_s), 0.475)))
}

impl DepthTable {
    /// A table with one row a duration and one column a return period.
    ///
    /// # Errors
    /// The first fault found: headings out of order, ragged rows, impossible depths, or rains that cross.
    pub fn new(
        durations_s: Vec<f64>,
        years: Vec<f64>,
        depths_m: Vec<Vec<f64>>,
    ) -> Result<DepthTable, DepthTableError> {
        rising("durations", &durations_s)?;
        rising("return periods", &years)?;
        if depths_m.len() != durations_s.len() {
            return Err(DepthTableError::BadHeading {
                name: "durations",
                index: depths_m.len(),
                value: f64::NAN,
            });
        }
        for (row, depths) in depths_m.iter().enumerate() {
            if depths.len() != years.len() {
                return Err(DepthTableError::Ragged { row, found: depths.len(), expected: years.len() });
            }
            check_row(&durations_s, &depths_m, row)?;
        }
        Ok(DepthTable { durations_s, years, depths_m })
    }

    /// Depth of the rain of a duration that comes once in so many years; none outside the table.
    pub fn depth_m(&self, duration_s: f64, years: f64) -> Option<f64> {
        let (row, t) = between(&self.durations_s, duration_s)?;
        let (column, u) = between(&self.years, years)?;
        let along = |row: usize| {
            let depths = &self.depths_m[row];
            power_between(depths[column], depths[(column + 1).min(depths.len() - 1)], u)
        };
        let next = (row + 1).min(self.durations_s.len() - 1);
        Some(power_between(along(row), along(next), t))
    }

    /// Mean intensity of that rain; none outside the table.
    pub fn intensity_m_s(&self, duration_s: f64, years: f64) -> Option<f64> {
        Some(self.depth_m(duration_s, years)? / duration_s)
    }
}

fn rising(name: &'static str, headings: &[f64]) -> Result<(), DepthTableError> {
    let mut before = 0.0;
    for (index, &value) in headings.iter().enumerate() {
        if !(value.is_finite() && value > before) {
            return Err(DepthTableError::BadHeading { name, index, value });
        }
        before = value;
    }
    if headings.is_empty() {
        return Err(DepthTableError::BadHeading { name, index: 0, value: f64::NAN });
    }
    Ok(())
}

fn check_row(durations_s: &[f64], depths_m: &[Vec<f64>], row: usize) -> Result<(), DepthTableError> {
    for (column, &depth_m) in depths_m[row].iter().enumerate() {
        if !(depth_m > 0.0 && depth_m <= record_rain_m(durations_s[row])) {
            return Err(DepthTableError::BadDepth { row, column, depth_m });
        }
        if column > 0 && depth_m <= depths_m[row][column - 1] {
            return Err(DepthTableError::RarerNotDeeper { row, column });
        }
        if row == 0 {
            continue;
        }
        let shorter_m = depths_m[row - 1][column];
        if depth_m <= shorter_m {
            return Err(DepthTableError::LongerNotDeeper { row, column });
        }
        if depth_m / durations_s[row] > shorter_m / durations_s[row - 1] {
            return Err(DepthTableError::LongerHarder { row, column });
        }
    }
    Ok(())
}

/// The heading at or before a value, and the share of the way to the next in logarithms.
fn between(headings: &[f64], value: f64) -> Option<(usize, f64)> {
    let last = headings.len() - 1;
    if !(headings[0]..=headings[last]).contains(&value) {
        return None;
    }
    let at = headings.partition_point(|h| *h <= value) - 1;
    if at == last {
        return Some((last, 0.0));
    }
    Some((at, libm::log(value / headings[at]) / libm::log(headings[at + 1] / headings[at])))
}

fn power_between(from: f64, to: f64, t: f64) -> f64 {
    from * libm::pow(to / from, t)
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::convert::{h_to_s, mm_h_to_m_s};

    fn table(durations_h: &[f64], years: &[f64], rows_mm: &[&[f64]]) -> Result<DepthTable, DepthTableError> {
        let depths = rows_mm.iter().map(|row| row.iter().map(|mm| mm_to_m(*mm)).collect());
        DepthTable::new(durations_h.iter().map(|h| h_to_s(*h)).collect(), years.to_vec(), depths.collect())
    }

    /// A power law is read exactly: i = 1000/t mm/h at t = 10 and 100 min gives 31.6227766 mm/h at 31.6227766 min;
    /// twice the rain at 100 as at 10 years gives √2 times at 31.62 years.
    #[test]
    fn power_laws_are_read_exactly() {
        let intensity_mm_h = |min: f64| 1000.0 / min;
        let depth_mm = |min: f64| intensity_mm_h(min) * min / 60.0;
        // A steady depth is no table (longer must be deeper), so the law is tried on slope 0.5 as well.
        let root = |min: f64| depth_mm(10.0) * (min / 10.0).sqrt();
        let rows = [vec![root(10.0), 2.0 * root(10.0)], vec![root(100.0), 2.0 * root(100.0)]];
        let t = table(&[10.0 / 60.0, 100.0 / 60.0], &[10.0, 100.0], &[&rows[0], &rows[1]]).unwrap();
        let middle_s = 60.0 * 1000.0_f64.sqrt();
        let found = t.depth_m(middle_s, 10.0).unwrap();
        assert!((found - mm_to_m(root(1000.0_f64.sqrt()))).abs() <= 1e-12);
        let rarer = t.depth_m(middle_s, 1000.0_f64.sqrt()).unwrap();
        assert!((rarer / found - std::f64::consts::SQRT_2).abs() <= 1e-12);
    }

    /// FHWA HDS-2, 2002, example 6.6, Baltimore 50-year rain: 76.2 mm in 1 h, 89.0 mm in 2 h; the power law gives 83.45
    /// mm in 1.5 h (a straight line would give 82.60).
    #[test]
    fn baltimore_between_hours() {
        let t = table(&[1.0, 2.0], &[50.0], &[&[76.2], &[89.0]]).unwrap();
        let found = t.depth_m(h_to_s(1.5), 50.0).unwrap();
        assert!((found - 0.08345).abs() <= 5e-6, "{found}");
        assert_eq!(t.depth_m(h_to_s(2.0), 50.0), Some(0.089));
        let intensity = t.intensity_m_s(h_to_s(1.0), 50.0).unwrap();
        assert!((intensity - mm_h_to_m_s(76.2)).abs() <= 1e-15);
        assert_eq!(t.depth_m(h_to_s(2.5), 50.0), None);
        assert_eq!(t.depth_m(h_to_s(1.5), 10.0), None);
        assert_eq!(t.depth_m(f64::NAN, 50.0), None);
    }

    /// Between rows and columns the rain is a power law: 100 mm once in 10 years and 200 once in 100 are 100·√2 once in
    /// √1000 years.
    #[test]
    fn halfway_in_the_logarithm_is_the_geometric_mean() {
        let t = table(&[1.0], &[10.0, 100.0], &[&[100.0, 200.0]]).unwrap();
        let found = t.depth_m(h_to_s(1.0), f64::sqrt(1000.0)).unwrap();
        assert!((found - 0.141_421_36).abs() <= 1e-8, "{found}");
    }

    /// Paulhus 1965: 15 min 218 mm, 1 h 422 mm, 6 h 988 mm, 24 h 1908 mm by the envelope; whole millimetres.
    #[test]
    fn published_highest_rains() {
        for (hours, mm) in [(0.25, 218.0), (1.0, 422.0), (6.0, 988.0), (24.0, 1908.0)] {
            assert!((1000.0 * record_rain_m(h_to_s(hours)) - mm).abs() <= 0.5, "{hours} h");
        }
    }

    #[test]
    fn impossible_tables_are_refused() {
        use DepthTableError::{BadDepth, BadHeading, LongerHarder, LongerNotDeeper, Ragged, RarerNotDeeper};
        assert!(matches!(table(&[1.0, 1.0], &[2.0], &[&[20.0], &[30.0]]), Err(BadHeading { index: 1, .. })));
        assert!(matches!(table(&[1.0, 2.0], &[2.0], &[&[20.0]]), Err(BadHeading { .. })));
        assert!(matches!(table(&[], &[2.0], &[]), Err(BadHeading { .. })));
        assert!(matches!(table(&[1.0], &[2.0, 5.0], &[&[20.0]]), Err(Ragged { row: 0, .. })));
        assert!(matches!(table(&[1.0], &[2.0], &[&[-3.0]]), Err(BadDepth { .. })));
        assert!(matches!(table(&[1.0], &[2.0], &[&[500.0]]), Err(BadDepth { .. })));
        assert!(matches!(
            table(&[1.0, 2.0], &[2.0], &[&[20.0], &[19.0]]),
            Err(LongerNotDeeper { row: 1, .. })
        ));
        assert!(matches!(table(&[1.0, 2.0], &[2.0], &[&[20.0], &[41.0]]), Err(LongerHarder { row: 1, .. })));
        assert!(matches!(
            table(&[1.0], &[2.0, 5.0], &[&[20.0, 20.0]]),
            Err(RarerNotDeeper { column: 1, .. })
        ));
    }
}
