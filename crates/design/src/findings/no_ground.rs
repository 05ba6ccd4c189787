//! A line where nothing is known of the ground.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "no-ground";

/// One finding a line.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .lines()
        .filter_map(|(_, laid, _)| {
            let missing = laid.pegs.iter().filter(|peg| peg.ground_z_m.is_none()).count();
            if missing == 0 && !laid.pegs.is_empty() {
                return None;
            }
            Some(Finding {
                code: CODE,
                severity: Severity::Warn,
                place: Place::line(laid),
                values: vec![
                    (
                        "missing",
                        if laid.pegs.is_empty() { "any".to_owned() } else { fixed(missing as f64, 0) },
                    ),
                    ("pegs", fixed(laid.pegs.len() as f64, 0)),
                ],
                source: "no ground is computed where none was measured",
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn one_peg_off_the_ground_is_told() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.layout.lines[0].pegs[2].ground_z_m = None;
        assert!(find(&sample.facts())[0].values.contains(&("missing", "1".to_owned())));
        sample.layout.lines[0].pegs.clear();
        assert!(find(&sample.facts())[0].values.contains(&("missing", "any".to_owned())));
    }
}
