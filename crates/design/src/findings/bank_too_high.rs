//! A bank too high for handwork.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "bank-too-high";

const SOURCE: &str = "Pennsylvania stormwater manual, BMP 6.4.10: berm height preferably not above 0.6 m";
/// Height of the settled bank above the ground, m.
const HIGHEST_M: f64 = 0.6;

/// One finding a line.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .lines()
        .filter_map(|(line, laid, _)| line.bank_height_m.map(|height_m| (laid, height_m)))
        .filter(|(_, height_m)| *height_m > HIGHEST_M)
        .map(|(laid, height_m)| Finding {
            code: CODE,
            severity: Severity::Stop,
            place: Place::line(laid),
            values: vec![("bank_height_m", fixed(height_m, 2))],
            source: SOURCE,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn six_decimetres_pass_and_more_does_not() {
        let mut sample = Sample::sound();
        sample.site.plan.lines[0].bank_height_m = Some(0.60);
        assert!(find(&sample.facts()).is_empty());
        sample.site.plan.lines[0].bank_height_m = Some(0.65);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
    }
}
