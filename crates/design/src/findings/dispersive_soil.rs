//! Soil that melts in water: the jar test clouded.

use site::JarTest;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "dispersive-soil";

const SOURCE: &str =
    "Land drainage for farming in Tasmania, ch. 9; DPIW, Dispersive soils and their management";

/// One finding a dispersive soil.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .site
        .plan
        .soils
        .iter()
        .filter(|soil| soil.jar_test == Some(JarTest::Clouds))
        .map(|soil| Finding {
            code: CODE,
            severity: Severity::Stop,
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
    fn a_cloud_stops_and_slaking_does_not() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.site.plan.soils[0].jar_test = Some(JarTest::Clouds);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
    }
}
