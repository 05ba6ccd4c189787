//! A bank lower than the sill that is to rule it.

use quantity::convert::m_to_cm;
use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "bank-below-sill";

/// One finding a line whose lowest bank is no higher than its sill.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (_, laid, sizes) in facts.lines() {
        let Some(low) = sizes.holding.as_ref().and_then(|holding| holding.lowest_bank) else {
            continue;
        };
        let Some(below_m) = low.below_sill_m.filter(|below_m| *below_m >= 0.0) else {
            continue;
        };
        found.push(Finding {
            code: CODE,
            severity: Severity::Stop,
            place: Place::on(laid, low.chainage_m),
            values: vec![
                ("below_m", fixed(below_m, 2)),
                ("raise_cm", fixed(m_to_cm(below_m + sill_cut_m(facts, &laid.line)).ceil(), 0)),
            ],
            source: "common practice: the sill is lower than every other place of the bank",
        });
    }
    found
}

/// How far the plan sets the sill below the bank, so that mending restores it.
fn sill_cut_m(facts: &Facts, line: &str) -> f64 {
    let sills = facts.site.line(line).map_or(&[][..], |line| &line.sills);
    sills.iter().fold(0.0, |most: f64, sill| if sill.below_bank_m > most { sill.below_bank_m } else { most })
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    /// 3 cm below a sill that is cut 12 cm into the bank: 15 cm restore it.
    #[test]
    fn the_remedy_restores_the_cut_of_the_sill() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.sizes.lines[0].holding.as_mut().unwrap().lowest_bank.as_mut().unwrap().below_sill_m =
            Some(0.03);
        let found = find(&sample.facts());
        assert_eq!(found[0].severity, Severity::Stop);
        assert!(found[0].values.contains(&("raise_cm", "15".to_owned())), "{found:?}");
    }
}
