//! A walk that ended before the length that was asked.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "stopped-early";

/// One finding a line.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .lines()
        .filter_map(|(line, laid, _)| {
            let stopped = laid.stopped_early.as_ref()?;
            Some(Finding {
                code: CODE,
                severity: Severity::Warn,
                place: Place::on(laid, laid.length_m()),
                values: vec![
                    ("length_m", fixed(laid.length_m(), 1)),
                    ("asked_m", line.length_m.map_or("?".to_owned(), |m| fixed(m, 1))),
                    ("reason", stopped.to_string()),
                ],
                source: "the level-line walk",
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;
    use crate::layout::StoppedEarly;

    #[test]
    fn the_reason_is_told() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.layout.lines[0].stopped_early = Some(StoppedEarly::KeptClear("barn".to_owned()));
        let found = find(&sample.facts());
        assert!(
            found[0].values.iter().any(|(name, text)| *name == "reason" && text.contains("barn")),
            "{found:?}"
        );
    }
}
