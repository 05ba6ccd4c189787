//! Ask before you dig: every plan that digs.

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "ask-before-you-dig";

const SOURCE: &str = "US 811 guidance: enquire before any digging; private lines are not marked";

/// One finding a site with lines.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let lines = facts.site.plan.lines.len();
    if lines == 0 {
        return Vec::new();
    }
    vec![Finding {
        code: CODE,
        severity: Severity::Note,
        place: Place::default(),
        values: vec![(
            "lines",
            if lines == 1 { "one line is".to_owned() } else { format!("{lines} lines are") },
        )],
        source: SOURCE,
    }]
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn every_plan_with_a_line_is_told() {
        let mut sample = Sample::sound();
        assert_eq!(find(&sample.facts()).len(), 1);
        sample.site.plan.lines.clear();
        assert!(find(&sample.facts()).is_empty());
    }
}
