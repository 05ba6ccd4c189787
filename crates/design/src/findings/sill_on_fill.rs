//! A sill on made ground, or nobody has looked.

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "sill-on-fill";

/// One finding a sill.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (line, laid, _) in facts.lines() {
        for sill in &line.sills {
            let (severity, state) = match sill.on_firm_ground {
                Some(true) => continue,
                Some(false) => (Severity::Stop, "stands on earth that was thrown up"),
                None => (Severity::Note, "may stand on thrown earth: the plan does not say"),
            };
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, sill.at_m),
                values: vec![("state", state.to_owned())],
                source: "common practice: a sill stands on undisturbed ground, not on fill",
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn fill_stops_and_silence_is_noted() {
        for (firm, severity) in
            [(Some(true), None), (None, Some(Severity::Note)), (Some(false), Some(Severity::Stop))]
        {
            let mut sample = Sample::sound();
            sample.site.plan.lines[0].sills[0].on_firm_ground = firm;
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{firm:?}");
        }
    }
}
