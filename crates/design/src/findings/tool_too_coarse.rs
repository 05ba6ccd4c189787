//! A tool whose error eats the margin between sill and bank.

use quantity::convert::m_to_mm;
use quantity::figures::fixed;
use site::LineKind;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "tool-too-coarse";

/// One finding a swale with a sill.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (line, laid, _) in facts.lines().filter(|(line, ..)| line.kind == LineKind::Swale) {
        let margin_m = line.sills.iter().fold(f64::INFINITY, |least, sill| least.min(sill.below_bank_m));
        let error_m = facts.levelling_error_m(laid.pegs.len().saturating_sub(1));
        if !margin_m.is_finite() || error_m <= margin_m / 2.0 {
            continue;
        }
        found.push(Finding {
            code: CODE,
            severity: if error_m > margin_m { Severity::Warn } else { Severity::Note },
            place: Place::on(laid, laid.length_m()),
            values: vec![
                ("error_mm", fixed(m_to_mm(error_m), 0)),
                ("margin_mm", fixed(m_to_mm(margin_m), 0)),
            ],
            source: "growth of levelling error along a line; two standard errors",
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    /// Three steps of a carried frame with 30 mm a step: 90 mm and more, against a margin of 120 mm.
    #[test]
    fn half_the_margin_is_noted_and_all_of_it_warned() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.site.plan.tool.bias_mm = Some(30.0);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Note);
        sample.site.plan.tool.bias_mm = Some(50.0);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Warn);
    }
}
