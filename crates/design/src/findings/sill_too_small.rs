//! A sill that the design storm overtops, or nearly.

use quantity::convert::m_to_cm;
use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};
use crate::sizes::SillSizes;

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
            let severity = if freeboard_m < 0.0 { Severity::Stop } else { Severity::Warn };
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, sill.at_m),
                values: vec![
                    ("rain", facts.rain_words()),
                    ("design_l_s", fixed(flow_l_s, 1)),
                    ("head_m", fixed(head_m, 3)),
                    ("freeboard_m", fixed(freeboard_m, 3)),
                    ("remedy", remedy(sill)),
                ],
                source: SOURCE,
            });
        }
    }
    found
}

/// A longer crest where that helps; where the bank is too low for any crest, a higher bank.
fn remedy(sill: &SillSizes) -> String {
    match (sill.width_needed_m, sill.freeboard_m) {
        (Some(width_m), _) => format!("Make the crest {} m long, or raise the bank.", fixed(width_m, 1)),
        (None, Some(freeboard_m)) => {
            let raise_cm = m_to_cm(sill.freeboard_wanted_m - freeboard_m).ceil();
            format!(
                "No length of crest will do: raise the lowest place of the bank by {} cm of well-trodden earth.",
                fixed(raise_cm, 0)
            )
        }
        (None, None) => "Raise the bank.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn little_freeboard_warns_and_none_stops() {
        for (freeboard_m, severity) in
            [(0.10, None), (0.05, Some(Severity::Warn)), (-0.01, Some(Severity::Stop))]
        {
            let mut sample = Sample::sound();
            sample.sizes.lines[0].sills[0].freeboard_m = Some(freeboard_m);
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{freeboard_m}");
        }
    }

    /// 9 cm wanted and 3.6 left: 5.4 cm are missing, 6 to be on the safe side.
    #[test]
    fn where_no_crest_is_long_enough_the_bank_is_raised() {
        let mut sample = Sample::sound();
        let sill = &mut sample.sizes.lines[0].sills[0];
        (sill.freeboard_m, sill.width_needed_m) = (Some(0.036), None);
        let remedy = remedy(sill);
        assert!(remedy.contains("by 6 cm"), "{remedy}");
    }
}
