//! A line that no water comes to.

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "fed-by-nothing";

/// One finding a line. A catchment not known feeds a line as far as anyone can tell.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let plan = &facts.site.plan;
    facts
        .lines()
        .filter(|(line, _, sizes)| {
            let by_ground = sizes.supply.catchment_m2.is_none_or(|area_m2| area_m2 > 0.0);
            let by_source =
                plan.sources.iter().any(|source| source.picked_up_by(&line.name).next().is_some());
            let by_line = facts.sizes.lines.iter().any(|other| other.spills_to.contains(&line.name));
            !(by_ground || by_source || by_line)
        })
        .map(|(_, laid, _)| Finding {
            code: CODE,
            severity: Severity::Warn,
            place: Place::line(laid),
            values: vec![],
            source: "the plan and the ground",
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn ground_or_a_source_or_a_line_is_enough() {
        let mut sample = Sample::sound();
        sample.sizes.lines[0].supply.catchment_m2 = Some(0.0);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Warn);
        sample.sizes.lines[0].spills_to = vec!["top".to_owned()];
        assert!(find(&sample.facts()).is_empty());
        sample.sizes.lines[0].supply.catchment_m2 = None;
        assert!(find(&sample.facts()).is_empty());
    }
}
