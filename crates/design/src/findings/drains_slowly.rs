//! Water stands too long for roots, or long enough for mosquitoes.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "drains-slowly";

const SOURCE: &str = "UC IPM, Mosquitoes in stormwater devices (72 h); Minnesota dry-swale checklist (48 h)";
/// Some species of mosquito hatch in less than a week: no standing water beyond this, h.
const MOSQUITO_H: f64 = 72.0;
/// Dry swales are to be empty by then, h.
const ROOTS_H: f64 = 48.0;

/// One finding a line that ponds.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (_, laid, sizes) in facts.lines() {
        let Some(hours) = sizes.holding.as_ref().and_then(|holding| holding.drain_down_h) else {
            continue;
        };
        let (severity, limit_h, reason) = if hours.likely() > MOSQUITO_H {
            (
                Severity::Warn,
                MOSQUITO_H,
                "Mosquitoes hatch in water that stands longer than three days, and roots under water drown.",
            )
        } else if hours.likely() > ROOTS_H || hours.high() > MOSQUITO_H {
            (Severity::Note, ROOTS_H, "Roots of many fruit trees suffer after two or three days under water.")
        } else {
            continue;
        };
        found.push(Finding {
            code: CODE,
            severity,
            place: Place::line(laid),
            values: vec![
                ("likely_h", fixed(hours.likely(), 0)),
                ("high_h", fixed(hours.high(), 0)),
                ("limit_h", fixed(limit_h, 0)),
                ("reason", reason.to_owned()),
            ],
            source: SOURCE,
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;
    use quantity::Estimate;

    #[test]
    fn two_days_are_noted_and_three_warned() {
        for (likely_h, severity) in [(30.0, None), (50.0, Some(Severity::Note)), (80.0, Some(Severity::Warn))]
        {
            let mut sample = Sample::sound();
            sample.sizes.lines[0].holding.as_mut().unwrap().drain_down_h = Some(Estimate::exact(likely_h));
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{likely_h}");
        }
    }
}
