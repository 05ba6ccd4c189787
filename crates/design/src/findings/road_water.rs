//! Road water taken without its owner's word.

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "road-water";

const SOURCE: &str = "Kildare County Council: written consent, and road drainage must not be blocked; Univ. of Nairobi, Nyeri culvert survey: road water arrives concentrated";

/// One finding a source off a road.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .site
        .plan
        .sources
        .iter()
        .filter(|source| source.road_water == Some(true))
        .map(|source| {
            let (severity, state) = match source.consent {
                Some(true) => (Severity::Note, "; its owner's consent is on record: keep the paper"),
                Some(false) => (Severity::Stop, ", and consent was not given"),
                None => (Severity::Stop, ", and nothing says that its owner agreed"),
            };
            let first = source.picked_up().next();
            Finding {
                code: CODE,
                severity,
                place: Place {
                    line: first.map(|picked| picked.line.to_owned()),
                    chainage_m: first.and_then(|picked| picked.at_m),
                    ..Place::thing(&source.name)
                },
                values: vec![("state", state.to_owned())],
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
    fn consent_turns_a_stop_into_a_note() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.site.plan.sources[0].road_water = Some(true);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
        sample.site.plan.sources[0].consent = Some(true);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Note);
    }
}
