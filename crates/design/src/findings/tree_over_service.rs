//! A tree planted over a buried service, or so near that its hole would meet it.

use quantity::figures::fixed;
use site::KeepClearKind;

use super::{Facts, Finding, Place, Severity, distance_to_m};
use crate::setback;

/// The finding's code.
pub const CODE: &str = "tree-over-service";

const SOURCE: &str = "US 811 pages: by hand only within 18 to 24 in (0.45 to 0.6 m) of a mark; no depth is exempt; private lines are not marked";
/// Half a planting hole, m: a spade's length. Common practice, no source.
const HOLE_M: f64 = 0.3;

/// One finding a tree and service.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    let services = facts.site.plan.keep_clears.iter().filter(|thing| thing.kind == KeepClearKind::Service);
    for service in services {
        for tree in &facts.layout.trees {
            let Some(at) = tree.at else { continue };
            let distance_m = distance_to_m(service, at);
            let asked_m = HOLE_M + setback::distance_m(service);
            if distance_m < asked_m {
                found.push(Finding {
                    code: CODE,
                    severity: Severity::Stop,
                    place: Place::thing(&service.name).shown_at(Some(at)),
                    values: vec![
                        ("tree", tree.tree.clone()),
                        ("distance_m", fixed(distance_m, 1)),
                        ("asked_m", fixed(asked_m, 1)),
                    ],
                    source: SOURCE,
                });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, keep_clear};
    use super::*;
    use crate::layout::LaidTree;
    use ground::Point;

    /// A hole 0.3 m to each side and 0.6 m to the mark: 0.9 m.
    #[test]
    fn a_hole_that_would_meet_the_service_stops() {
        for (y_m, stops) in [(0.0, true), (0.85, true), (0.95, false)] {
            let mut sample = Sample::sound();
            sample.site.plan.keep_clears =
                vec![keep_clear("cable", KeepClearKind::Service, 15.0, 20.0 + y_m)];
            sample.layout.trees = vec![LaidTree {
                tree: "F1".to_owned(),
                species: "fig".to_owned(),
                line: None,
                chainage_m: None,
                downhill_m: None,
                at: Some(Point::new(15.0, 20.0)),
            }];
            assert_eq!(!find(&sample.facts()).is_empty(), stops, "{y_m}");
        }
    }
}
