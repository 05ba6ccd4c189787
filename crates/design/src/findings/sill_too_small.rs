//! A sill that the design storm overtops, or nearly.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "sill-too-small";

const SOURCE: &str =
    "USDA-NRCS practice standard 362 as quoted in a mine permit: freeboard not less than 0.3 ft (0.09 m)";
/// One finding a sill.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (_, laid, sizes) in facts.lines() {
        for sill in &sizes.sills {
            let (Some(flow_l_s), Some(head_m), Some(freeboard_m)) =
                (sill.design_l_s, sill.head_m, sill.freeboard_m)
            else {
                continue;
            };
            if freeboard_m >= sill.freeboard_wanted_m {
                continue;
            }
            let severity = if freeboard_m < 0.0 {
                Severity::Stop
            } else {
                Severity::Warn
            };
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, sill.at_m),
                values: vec![
                    ("rain", facts.rain_words()),
                    ("design_l_s", fixed(flow_l_s, 1)),
                    ("head_m", fixed(head_m, 3)),
                    ("freeboard_m", fixed(freeboard_m, 3)),
                    (
                        "width_needed_m",
                        sill.width_needed_m
                            .map_or("more than any length of".to_owned(), |width_m| fixed(width_m, 1)),
                    ),
                ],
                source: SOURCE,
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
    fn little_freeboard_warns_and_none_stops() {
        for (freeboard_m, severity) in [
            (0.10, None),
            (0.05, Some(Severity::Warn)),
            (-0.01, Some(Severity::Stop)),
        ] {
            let mut sample = Sample::sound();
            sample.sizes.lines[0].sills[0].freeboard_m = Some(freeboard_m);
            assert_eq!(
                find(&sample.facts()).first().map(|f| f.severity),
                severity,
                "{freeboard_m}"
            );
        }
    }
}
