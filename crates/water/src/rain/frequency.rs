//! How deep a rain comes once in so many years, from a record of yearly greatest rains.
//!
//! The rarest rains have not been seen, so a curve is laid through those that have and read beyond them. L-moments
//! (averages of ranked values) fix the curve without letting one freak year pull it about.
//!
//! Gumbel: x(F) = ξ − α·ln(−ln F). GEV: x(F) = ξ + α·(1 − (−ln F)^k)/k, k > 0 bounded above; F = 1 − 1/T.
//!
//! Source: J. R. M. Hosking & J. R. Wallis, Regional Frequency Analysis, 1997, appendix; J. R. M. Hosking, L-moments,
//! J. R. Stat. Soc. B 52, 1990. Leaves out records with a trend. A gauge read once a day misses rain that straddles
//! the reading. Records under about 20 years say little beyond twice their length: show their number.

use crate::root::rising_root;

/// Euler's constant.
const EULER: f64 = 0.577_215_664_901_532_9;
/// Tolerance on k: far below what any record can tell.
const SHAPE_TOLERANCE: f64 = 1e-12;
/// Below this |k| the GEV is computed as its limit, the Gumbel: the difference is under 1e-6 of α, rounding more.
const NEARLY_GUMBEL: f64 = 1e-7;

/// The first L-moments of a sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LMoments {
    /// Mean.
    pub l1: f64,
    /// Half the expected difference of two values.
    pub l2: f64,
    /// Skewness: third over second.
    pub t3: f64,
    /// Kurtosis: fourth over second.
    pub t4: f64,
}

/// Why a record cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RecordError {
    /// Too few values.
    #[error("a record of {found} years is too short: at least 4 are needed, 20 to mean anything")]
    TooShort {
        /// How many there are.
        found: usize,
    },
    /// A value that is not a number of zero or more.
    #[error("year {index} of the record is {value}: give a number of 0 or more")]
    BadValue {
        /// Place in the list, from 0.
        index: usize,
        /// As found.
        value: f64,
    },
    /// All values equal, or a skewness no curve has.
    #[error("the record's spread {l2} and skewness {t3} fit no curve: check for copied values")]
    NoCurve {
        /// Second L-moment.
        l2: f64,
        /// Skewness.
        t3: f64,
    },
}

/// Sample L-moments by unbiased weights.
///
/// # Errors
/// If there are fewer than four values, one is negative or not finite, or all are equal.
pub fn l_moments(values: &[f64]) -> Result<LMoments, RecordError> {
    if values.len() < 4 {
        return Err(RecordError::TooShort { found: values.len() });
    }
    if let Some((index, &value)) = values.iter().enumerate().find(|(_, v)| !(v.is_finite() && **v >= 0.0)) {
        return Err(RecordError::BadValue { index, value });
    }
    let mut ranked = values.to_vec();
    ranked.sort_by(f64::total_cmp);
    if ranked[0] == ranked[ranked.len() - 1] {
        return Err(RecordError::NoCurve { l2: 0.0, t3: f64::NAN });
    }
    let n = ranked.len() as f64;
    let mut b = [0.0; 4];
    for (i, x) in ranked.iter().enumerate() {
        let below = i as f64;
        let mut weight = 1.0;
        for (r, sum) in b.iter_mut().enumerate() {
            *sum += weight * x / n;
            let r = r as f64;
            weight *= (below - r) / (n - 1.0 - r);
        }
    }
    let l2 = 2.0 * b[1] - b[0];
    let l3 = 6.0 * b[2] - 6.0 * b[1] + b[0];
    let l4 = 20.0 * b[3] - 30.0 * b[2] + 12.0 * b[1] - b[0];
    Ok(LMoments { l1: b[0], l2, t3: l3 / l2, t4: l4 / l2 })
}

/// A curve of extremes; `k` = 0 is Gumbel's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Place, ξ.
    pub place: f64,
    /// Spread, α.
    pub spread: f64,
    /// Shape in Hosking's sign: above 0 there is a greatest rain.
    pub k: f64,
}

impl Extremes {
    /// Gumbel's curve: α = l₂/ln 2, ξ = l₁ − 0.5772·α.
    pub fn gumbel(moments: &LMoments) -> Extremes {
        let spread = moments.l2 / std::f64::consts::LN_2;
        Extremes { place: moments.l1 - EULER * spread, spread, k: 0.0 }
    }

    /// The generalized extreme-value curve: k where 2·(1 − 3^−k)/(1 − 2^−k) − 3 = t₃.
    ///
    /// # Errors
    /// If no k above −1 has that skewness.
    pub fn gev(moments: &LMoments) -> Result<Extremes, RecordError> {
        let no_curve = RecordError::NoCurve { l2: moments.l2, t3: moments.t3 };
        // The skewness falls from 1 at k = −1 as k grows; a skewness near −1 would need a k beyond all rain.
        let above =
            rising_root(1.0, SHAPE_TOLERANCE, |x| moments.t3 - gev_skewness(x - 1.0)).ok_or(no_curve)?;
        let k = above - 1.0;
        if k.abs() < NEARLY_GUMBEL {
            return Ok(Extremes::gumbel(moments));
        }
        let gamma = libm::tgamma(1.0 + k);
        let spread = moments.l2 * k / (-libm::expm1(-k * std::f64::consts::LN_2) * gamma);
        Ok(Extremes { place: moments.l1 - spread * (1.0 - gamma) / k, spread, k })
    }

    /// The value that a share `below` (between 0 and 1) of years stays under.
    pub fn quantile(&self, below: f64) -> f64 {
        let y = libm::log(-libm::log(below));
        let reduced = if self.k == 0.0 { -y } else { -libm::expm1(self.k * y) / self.k };
        self.place + self.spread * reduced
    }

    /// The value reached once in so many years.
    pub fn once_in(&self, years: f64) -> f64 {
        self.quantile(1.0 - 1.0 / years)
    }
}

fn gev_skewness(k: f64) -> f64 {
    let ln_3 = libm::log(3.0);
    let ratio = if k.abs() < NEARLY_GUMBEL {
        // The quotient's series to first order in k.
        ln_3 / std::f64::consts::LN_2 * (1.0 - 0.5 * k * (ln_3 - std::f64::consts::LN_2))
    } else {
        libm::expm1(-k * ln_3) / libm::expm1(-k * std::f64::consts::LN_2)
    };
    2.0 * ratio - 3.0
}

/// Chance that a rain of once in `years` comes at least once in the next `n`: 1 − (1 − 1/T)^n.
pub fn chance_within(years: f64, n: f64) -> f64 {
    1.0 - libm::pow(1.0 - 1.0 / years, n)
}

#[cfg(test)]
mod tests;
