//! A buried service in a line's way.

use quantity::figures::fixed;
use site::KeepClearKind;

use super::{Facts, Finding, Place, Severity};
use crate::setback;

/// The finding's code.
pub const CODE: &str = "service-crossing";

const SOURCE: &str = "US 811 pages: by hand only within 18 to 24 in (0.45 to 0.6 m) of a mark; no depth is exempt; private lines are not marked";
/// A place read off a handheld GPS is 1 to 3 m out ("Making contour maps on the cheap"): nearer than this the
/// service may as well be in the trench, m.
const PLAN_ERROR_M: f64 = 3.0;

/// One finding a line and service.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    let services = facts.site.plan.keep_clears.iter().filter(|thing| thing.kind == KeepClearKind::Service);
    for service in services {
        for (_, laid, sizes) in facts.lines() {
            let Some(near) = facts.nearness(laid, sizes, service) else {
                continue;
            };
            let severity = if near.distance_m < setback::distance_m(service) {
                Severity::Stop
            } else if near.distance_m < PLAN_ERROR_M {
                Severity::Warn
            } else {
                continue;
            };
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, near.chainage_m).with_thing(&service.name),
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
    fn a_crossing_stops_and_a_near_one_warns() {
        for (y_m, severity) in [(0.2, Some(Severity::Stop)), (2.0, Some(Severity::Warn)), (4.0, None)] {
            let mut sample = Sample::sound();
            sample.site.plan.keep_clears = vec![keep_clear("cable", KeepClearKind::Service, 15.0, y_m)];
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{y_m}");
        }
    }
}
