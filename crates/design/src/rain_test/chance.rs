//! Numbers that look like chance and are not: the same seed gives the same numbers on every machine.
//!
//! SplitMix64: a counter that goes up by ⌊2⁶⁴/φ⌋ and is stirred twice. Source: G. L. Steele, D. Lea and C. H. Flood,
//! Fast Splittable Pseudorandom Number Generators, OOPSLA 2014, p. 453–472. Normal deviates: G. E. P. Box and M. E.
//! Muller, A Note on the Generation of Random Normal Deviates, Ann. Math. Statist. 29, 1958. Enough for some hundred
//! members; not for secrets.

/// ⌊2⁶⁴/φ⌋, made odd.
const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;
/// Values that a 53-bit number takes: as many as fit in the digits of an `f64`.
const FINENESS: f64 = 9_007_199_254_740_992.0;

/// A run of numbers.
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    /// The run of one member: member by member the runs have nothing to do with one another.
    pub(crate) fn of_member(seed: u64, member: usize) -> Chance {
        let mut counter = Chance(seed ^ stirred((member as u64).wrapping_mul(GOLDEN)));
        Chance(counter.next())
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(GOLDEN);
        stirred(self.0)
    }

    /// Between 0 and 1, never either, every value as likely.
    pub(crate) fn uniform(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / FINENESS
    }

    /// A normal deviate of standard error 1.
    pub(super) fn normal(&mut self) -> f64 {
        let (radius, turn) = (self.uniform(), self.uniform());
        (-2.0 * libm::log(radius)).sqrt() * libm::cos(2.0 * std::f64::consts::PI * turn)
    }
}

fn stirred(counter: u64) -> u64 {
    let mut z = counter;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// The value that a share `u` of a triangular law lies below: from `low`, most likely `likely`, to `high`.
pub(crate) fn triangular(u: f64, low: f64, likely: f64, high: f64) -> f64 {
    let width = high - low;
    if width <= 0.0 {
        return likely;
    }
    let below = (likely - low) / width;
    if u < below {
        low + (u * width * (likely - low)).sqrt()
    } else {
        high - ((1.0 - u) * width * (high - likely)).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first numbers of SplitMix64 from 1234567, as printed with the reference code in C.
    #[test]
    fn pin_first_numbers() {
        let mut chance = Chance(1_234_567);
        let found = [chance.next(), chance.next(), chance.next()];
        assert_eq!(found, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }

    /// Mean 0 and variance 1 within four standard errors of 40 000 deviates: 4/√n and 4·√(2/n).
    #[test]
    fn normal_deviates_have_mean_0_and_variance_1() {
        let n = 40_000.0_f64;
        let mut chance = Chance::of_member(7, 3);
        let deviates: Vec<f64> = (0..40_000).map(|_| chance.normal()).collect();
        let mean = deviates.iter().sum::<f64>() / n;
        let variance = deviates.iter().map(|d| d * d).sum::<f64>() / n - mean * mean;
        assert!(mean.abs() <= 4.0 / n.sqrt(), "{mean}");
        assert!((variance - 1.0).abs() <= 4.0 * (2.0 / n).sqrt(), "{variance}");
    }

    /// The triangular law: below the likeliest value lies the share (likely − low)/(high − low); the ends are the ends.
    #[test]
    fn the_triangle_turns_where_it_should() {
        assert!((triangular(0.25, 2.0, 3.0, 6.0) - 3.0).abs() <= 1e-12);
        assert!((triangular(0.0, 2.0, 3.0, 6.0) - 2.0).abs() <= 1e-12);
        assert!((triangular(1.0, 2.0, 3.0, 6.0) - 6.0).abs() <= 1e-12);
        assert_eq!(triangular(0.3, 5.0, 5.0, 5.0), 5.0);
    }
}
