//! A line near ground that has slipped.

use quantity::figures::fixed;
use site::KeepClearKind;

use super::{Facts, Finding, Place, Severity};
use crate::setback;

/// The finding's code.
pub const CODE: &str = "slip-near";

const SOURCE: &str = "English guidance for soakaways (Sevenoaks): none within 5 m of unstable land; San Mateo County hazards page: slides occur on 15 % and less";
/// Beyond the distance nothing may come within, a line this near still wants an expert's eye, m.
/// Washington State rain garden handbook, p. 13: ask an engineer within 50 ft of steep ground.
const ASK_WITHIN_M: f64 = 15.0;

/// One finding a line and slip.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    let slips = facts.site.plan.keep_clears.iter().filter(|thing| thing.kind == KeepClearKind::Slip);
    for slip in slips {
        for (_, laid, sizes) in facts.lines() {
            let Some(near) = facts.nearness(laid, sizes, slip) else {
                continue;
            };
            let severity = if near.distance_m < setback::distance_m(slip) {
                Severity::Stop
            } else if near.distance_m < ASK_WITHIN_M {
                Severity::Warn
            } else {
                continue;
            };
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, near.chainage_m).with_thing(&slip.name),
                values: vec![("distance_m", fixed(near.distance_m, 1))],
                source: SOURCE,
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, keep_clear};
    use super::*;

    /// The line lies along y = 0 with water 0.5 m to either side.
    #[test]
    fn five_metres_stop_and_fifteen_warn() {
        for (y_m, severity) in [(5.0, Some(Severity::Stop)), (10.0, Some(Severity::Warn)), (16.0, None)] {
            let mut sample = Sample::sound();
            sample.site.plan.keep_clears = vec![keep_clear("scar", KeepClearKind::Slip, 15.0, y_m)];
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{y_m}");
        }
    }
}
