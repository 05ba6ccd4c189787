//! Water too near a building, septic field, well, boundary, road or steep drop.
//!
//! Published distances differ from place to place; each kind has the one usually asked for and, where sources
//! disagree, a larger one that some ask. The site's own local distance rules both. Slips and services are
//! findings of their own. What only carries water may come nearer than what lets it stand and soak.

use quantity::figures::fixed;
use site::{KeepClearKind, LineKind};

use super::{Facts, Finding, Place, Severity};
use crate::setback;

/// The finding's code.
pub const CODE: &str = "too-near";

/// What one kind of thing asks.
struct Rule {
    kind: KeepClearKind,
    /// A distance that some places ask, where it is more than the usual, m.
    some_ask_m: Option<f64>,
    /// How much it weighs to be within the usual distance.
    severity: Severity,
    reason: &'static str,
    whom: &'static str,
    source: &'static str,
}

const RULES: [Rule; 6] = [
    Rule {
        kind: KeepClearKind::Building,
        some_ask_m: Some(5.0),
        severity: Severity::Stop,
        reason: "Water soaking in beside a footing softens the ground it stands on and comes up through the floor.",
        whom: "The local building authority.",
        source: "Washington State rain garden handbook and Minnesota Stormwater Manual: 10 ft (3 m); English guidance for soakaways: 5 m",
    },
    Rule {
        kind: KeepClearKind::Septic,
        some_ask_m: None,
        severity: Severity::Stop,
        reason: "Water soaking into a septic field drowns it, and what it was cleaning comes out uncleaned.",
        whom: "The local health or building authority.",
        source: "Washington State rain garden handbook: 50 ft (15 m) where the water is uphill; Minnesota Stormwater Manual: 35 ft (10.7 m)",
    },
    Rule {
        kind: KeepClearKind::Well,
        some_ask_m: None,
        severity: Severity::Stop,
        reason: "What runs off yards, tracks and pasture carries filth into the ground, and from there into the well.",
        whom: "The local health authority; have the well tested.",
        source: "Minnesota Stormwater Manual: 50 ft (15 m) from a private well",
    },
    Rule {
        kind: KeepClearKind::Boundary,
        some_ask_m: None,
        severity: Severity::Warn,
        reason: "Water that soaks or spills at the edge is at once the neighbour's.",
        whom: "The neighbour.",
        source: "Minnesota Stormwater Manual: 10 ft (3 m); UK building-control practice: 2.5 m",
    },
    Rule {
        kind: KeepClearKind::Road,
        some_ask_m: Some(15.0),
        severity: Severity::Warn,
        reason: "Water under a road breaks it, and in some places a drain beside it may not be dug without consent.",
        whom: "The road's owner or authority.",
        source: "English guidance for soakaways: 5 m; Kildare County Council: written consent to dig or deepen a drain within 15 m",
    },
    Rule {
        kind: KeepClearKind::SteepDrop,
        some_ask_m: Some(15.0),
        severity: Severity::Stop,
        reason: "Water soaking in behind a face comes out of it, and brings the face down.",
        whom: "A geotechnical engineer.",
        source: "English guidance for soakaways (Sevenoaks): 5 m from unstable land; Washington State rain garden handbook: an engineer within 50 ft (15 m) of steep ground",
    },
];

/// One finding a line and thing.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for thing in &facts.site.plan.keep_clears {
        let Some(rule) = RULES.iter().find(|rule| rule.kind == thing.kind) else {
            continue;
        };
        for (line, laid, sizes) in facts.lines() {
            let Some(near) = facts.nearness(laid, sizes, thing) else {
                continue;
            };
            let usual_m = setback::distance_for_m(line.kind, thing);
            let soaks = line.kind == LineKind::Swale;
            let some_ask_m = rule.some_ask_m.filter(|_| soaks && thing.distance_m.is_none());
            let (severity, who_asks, asked_m) = match some_ask_m {
                _ if near.distance_m < usual_m => (rule.severity, "the distance to keep is", usual_m),
                Some(some_m) if near.distance_m < some_m => (Severity::Note, "some places ask for", some_m),
                _ => continue,
            };
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, near.chainage_m).with_thing(&thing.name),
                values: vec![
                    ("distance_m", fixed(near.distance_m, 1)),
                    ("kind", thing.kind.words().to_owned()),
                    ("who_asks", who_asks.to_owned()),
                    ("asked_m", fixed(asked_m, 1)),
                    ("reason", rule.reason.to_owned()),
                    ("whom", rule.whom.to_owned()),
                ],
                source: rule.source,
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, keep_clear};
    use super::*;

    fn severity_at(kind: KeepClearKind, y_m: f64, local_m: Option<f64>) -> Option<Severity> {
        let mut sample = Sample::sound();
        let mut thing = keep_clear("thing", kind, 15.0, y_m);
        thing.distance_m = local_m;
        sample.site.plan.keep_clears = vec![thing];
        find(&sample.facts()).first().map(|f| f.severity)
    }

    /// The line lies along y = 0 with water 0.5 m to either side.
    #[test]
    fn published_distances_from_the_edge_of_the_water() {
        use KeepClearKind::{Boundary, Building, Road, Septic, SteepDrop, Well};
        for (kind, y_m, severity) in [
            (Building, 3.4, Some(Severity::Stop)),
            (Building, 4.0, Some(Severity::Note)),
            (Building, 5.6, None),
            (Septic, 15.4, Some(Severity::Stop)),
            (Septic, 15.6, None),
            (Well, 15.4, Some(Severity::Stop)),
            (Well, 15.6, None),
            (Boundary, 3.4, Some(Severity::Warn)),
            (Boundary, 3.6, None),
            (Road, 5.4, Some(Severity::Warn)),
            (Road, 15.4, Some(Severity::Note)),
            (Road, 15.6, None),
            (SteepDrop, 5.4, Some(Severity::Stop)),
            (SteepDrop, 15.4, Some(Severity::Note)),
            (SteepDrop, 15.6, None),
        ] {
            assert_eq!(severity_at(kind, y_m, None), severity, "{kind} at {y_m}");
        }
    }

    #[test]
    fn a_drain_may_pass_where_a_swale_may_not() {
        let mut sample = Sample::sound();
        sample.site.plan.keep_clears = vec![keep_clear("barn", KeepClearKind::Building, 15.0, 2.0)];
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
        sample.make(LineKind::Drain);
        assert!(find(&sample.facts()).is_empty());
    }

    #[test]
    fn the_local_distance_rules() {
        assert_eq!(severity_at(KeepClearKind::Building, 9.0, Some(10.0)), Some(Severity::Stop));
        assert_eq!(severity_at(KeepClearKind::Building, 4.0, Some(2.0)), None);
    }
}
