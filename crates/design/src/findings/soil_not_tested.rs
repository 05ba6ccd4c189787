//! Soil not tested for melting in water.

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "soil-not-tested";

const SOURCE: &str =
    "jar test: NSW emerson aggregate test for the paddock; DPIW, Dispersive soils and their management";

/// One finding a soil without a jar test.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .site
        .plan
        .soils
        .iter()
        .filter(|soil| soil.jar_test.is_none())
        .map(|soil| Finding {
            code: CODE,
            severity: Severity::Warn,
            place: Place::thing(&soil.name),
            values: vec![("soil", soil.name.clone())],
            source: SOURCE,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn a_soil_without_a_jar_is_asked_about() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.site.plan.soils[0].jar_test = None;
        assert_eq!(find(&sample.facts())[0].severity, Severity::Warn);
    }
}
