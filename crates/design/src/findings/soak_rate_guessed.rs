//! The soak rate is a guess from the texture.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};
use crate::soil;

/// The finding's code.
pub const CODE: &str = "soak-rate-guessed";

const SOURCE: &str =
    "FAO irrigation manual, annex 2, basic infiltration by texture; US soil survey permeability classes";

/// One finding a soil without a measured rate.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .site
        .plan
        .soils
        .iter()
        .filter(|soil| soil.soak_mm_h.is_none())
        .map(|soil| {
            let range = soil::soak_mm_h(soil);
            Finding {
                code: CODE,
                severity: Severity::Note,
                place: Place::thing(&soil.name),
                values: vec![
                    ("soil", soil.name.clone()),
                    ("low", fixed(range.low(), 0)),
                    ("high", fixed(range.high(), 0)),
                ],
                source: SOURCE,
            }
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
