//! Chance from a seed: the same seed gives the same numbers on every machine.
//!
//! A counter steps by the golden ratio's share of 2^64 and its bits are mixed: the generator SplitMix64 of Steele,
//! Lea and Flood 2014, "Fast splittable pseudorandom number generators", OOPSLA '14, pp. 453–472. Good enough for
//! weather and for trying guesses; of no use for secrets.

/// A stream of chance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chance {
    state: u64,
}

/// Step of the counter: 2^64 over the golden ratio, made odd (Steele et al. 2014).
const STEP: u64 = 0x9E37_79B9_7F4A_7C15;
/// Multipliers of the mix (Steele et al. 2014, after variant 13 of Stafford).
const MIX: [u64; 2] = [0xBF58_476D_1CE4_E5B9, 0x94D0_49BB_1331_11EB];

impl Chance {
    /// The stream of a seed.
    pub fn of_seed(seed: u64) -> Chance {
        Chance { state: seed }
    }

    /// Sixty-four bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(STEP);
        let mut bits = self.state;
        bits = (bits ^ (bits >> 30)).wrapping_mul(MIX[0]);
        bits = (bits ^ (bits >> 27)).wrapping_mul(MIX[1]);
        bits ^ (bits >> 31)
    }

    /// A number from 0 up to, never at, 1, evenly: the 53 bits that a double holds.
    pub fn share(&mut self) -> f64 {
        const TWO_TO_53: f64 = 9_007_199_254_740_992.0;
        (self.bits() >> 11) as f64 / TWO_TO_53
    }

    /// A positive number that is on average 1, with chance exp(−x) of being over x.
    pub fn exponential(&mut self) -> f64 {
        -libm::log(1.0 - self.share())
    }

    /// A number on average 0 with standard deviation 1 (Box and Muller 1958, Ann. Math. Stat. 29, p. 610).
    pub fn normal(&mut self) -> f64 {
        let radius = (2.0 * self.exponential()).sqrt();
        radius * libm::cos(2.0 * std::f64::consts::PI * self.share())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reference outputs for the seeds 1234567 and 0 that implementations of SplitMix64 check themselves by.
    #[test]
    fn published_outputs_of_splitmix64() {
        let mut chance = Chance::of_seed(1_234_567);
        for expected in [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ] {
            assert_eq!(chance.bits(), expected);
        }
        assert_eq!(Chance::of_seed(0).bits(), 0xE220_A839_7B1D_CDAF);
    }

    /// Means within five standard errors: share ½ ± 5·√(1/12)/√n, exponential 1 ± 5/√n, normal 0 ± 5/√n and its
    /// square 1 ± 5·√2/√n.
    #[test]
    fn means_are_what_they_should_be() {
        let n = 100_000;
        let root = f64::from(n).sqrt();
        let mean = |draw: &dyn Fn(&mut Chance) -> f64| {
            let mut chance = Chance::of_seed(7);
            (0..n).map(|_| draw(&mut chance)).sum::<f64>() / f64::from(n)
        };
        assert!((mean(&Chance::share) - 0.5).abs() < 5.0 * (1.0_f64 / 12.0).sqrt() / root);
        assert!((mean(&Chance::exponential) - 1.0).abs() < 5.0 / root);
        assert!(mean(&Chance::normal).abs() < 5.0 / root);
        let square = |chance: &mut Chance| {
            let x = chance.normal();
            x * x
        };
        assert!((mean(&square) - 1.0).abs() < 5.0 * 2.0_f64.sqrt() / root);
    }
}
