//! A sill beyond the end of a line that was walked: the walk stopped before it.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "sill-off-the-line";

/// A walk ends within so much of the length that was asked, where nothing stops it: rounding of its steps.
const END_TOLERANCE_M: f64 = 0.001;

/// One finding a sill. What is beyond a length that the plan itself gives is a fault of the plan.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (line, laid, _) in facts.lines() {
        let length_m = laid.length_m();
        for sill in &line.sills {
            let ends_m = sill.at_m + sill.width_m / 2.0;
            if laid.pegs.is_empty() || ends_m <= length_m + END_TOLERANCE_M {
                continue;
            }
            found.push(Finding {
                code: CODE,
                severity: Severity::Stop,
                place: Place::on(laid, length_m),
                values: vec![
                    ("at_m", fixed(sill.at_m, 1)),
                    ("ends_m", fixed(ends_m, 1)),
                    ("length_m", fixed(length_m, 1)),
                ],
                source: "the level-line walk",
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    /// The sample's line is 30 m long: a sill of 4 m in its last 4 m ends just with it.
    #[test]
    fn a_sill_must_lie_on_the_line_as_it_was_walked() {
        for (at_m, stops) in [(5.0, false), (28.0, false), (28.1, true), (60.0, true)] {
            let mut sample = Sample::sound();
            let sill = &mut sample.site.plan.lines[0].sills[0];
            (sill.at_m, sill.width_m) = (at_m, 4.0);
            let found = find(&sample.facts());
            assert_eq!(found.len(), usize::from(stops), "{at_m}");
        }
    }

    #[test]
    fn a_line_without_pegs_is_found_elsewhere() {
        let mut sample = Sample::sound();
        sample.site.plan.lines[0].sills[0].at_m = 60.0;
        sample.layout.lines[0].pegs.clear();
        assert!(find(&sample.facts()).is_empty());
    }
}
