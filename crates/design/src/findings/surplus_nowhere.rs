//! A line whose surplus has no way out.

use site::LineKind;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "surplus-nowhere";

/// One finding a line.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .lines()
        .filter_map(|(line, laid, _)| {
            let fault = match line.kind {
                LineKind::Swale if line.sills.is_empty() => "no sill",
                LineKind::Drain | LineKind::Chute | LineKind::Pipe if line.to.is_none() => {
                    "an end that leads nowhere"
                }
                _ => return None,
            };
            Some(Finding {
                code: CODE,
                severity: Severity::Stop,
                place: Place::line(laid),
                values: vec![("fault", fault.to_owned())],
                source: "common practice: every line spills over a sill onto safe ground",
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn a_swale_needs_a_sill_and_a_drain_an_end() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.site.plan.lines[0].sills.clear();
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
        sample.make(LineKind::Drain);
        sample.site.plan.lines[0].to = None;
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
    }
}
