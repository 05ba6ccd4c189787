//! The soak rate is a guess from the texture.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};
use crate::soil::{self, SoakFrom};

/// The finding's code.
pub const CODE: &str = "soak-rate-guessed";

const SOURCE: &str =
    "FAO irrigation manual, annex 2, basic infiltration by texture; US soil survey permeability classes";

/// One finding a soil without a rate of its own and without a soak test.
pub fn find(facts: &Facts) -> Vec<Finding> {
    soil::soak_rates(facts.site)
        .into_iter()
        .filter(|rate| rate.before_tests == SoakFrom::Texture && rate.tests == 0)
        .map(|rate| Finding {
            code: CODE,
            severity: Severity::Note,
            place: Place::thing(&rate.soil),
            values: vec![
                ("soil", rate.soil.clone()),
                ("low", fixed(rate.soak_mm_h.low(), 0)),
                ("high", fixed(rate.soak_mm_h.high(), 0)),
            ],
            source: SOURCE,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn a_measured_rate_is_no_guess() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.site.plan.soils[0].soak_mm_h = None;
        assert_eq!(find(&sample.facts())[0].severity, Severity::Note);
    }
}
