//! What matters to those next door: how far the water keeps from what is theirs, and where the surplus goes.
//!
//! Distances are those of the finding `too-near`, from the water's edge when a line stands full; ways those of the
//! finding `surplus-leaves`. Here all are told, not only those that fall short.

use serde::Serialize;
use site::{KeepClearKind, Site};

use crate::findings::facts::Facts;
use crate::findings::surplus_leaves::ways;
use crate::layout::Layout;
use crate::{setback, sizes};

/// Distances and ways.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// One entry a thing to keep clear of that has a place, in the order of the plan.
    pub distances: Vec<Distance>,
    /// One entry a place where surplus is handed to the ground.
    pub ways: Vec<Way>,
}

/// How near the works come to something.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Distance {
    /// What.
    pub thing: String,
    /// What kind of thing.
    pub kind: KeepClearKind,
    /// The line that comes nearest.
    pub line: String,
    /// Where along it.
    pub chainage_m: f64,
    /// From the edge of its water when it stands full.
    pub distance_m: f64,
    /// What that line should keep: the plan's distance or else the usual.
    pub asked_m: f64,
}

/// Where surplus goes that no line takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Way {
    /// The line that lets it go.
    pub line: String,
    /// Where along it.
    pub at_m: f64,
    /// The boundary or road that it reaches first; none where it reaches none on the measured ground.
    pub edge: Option<String>,
    /// How far it runs till there.
    pub path_m: Option<f64>,
}

/// What to tell the neighbours.
pub fn neighbours(site: &Site, layout: &Layout, sizes: &sizes::Answer) -> Answer {
    let facts = Facts { site, layout, sizes };
    let distances = site.plan.keep_clears.iter().filter_map(|thing| {
        let near = facts.lines().filter_map(|(line, laid, sizes)| {
            let near = facts.nearness(laid, sizes, thing).filter(|near| near.distance_m.is_finite())?;
            Some((line, near))
        });
        let (line, near) = near.min_by(|a, b| a.1.distance_m.total_cmp(&b.1.distance_m))?;
        Some(Distance {
            thing: thing.name.clone(),
            kind: thing.kind,
            line: line.name.clone(),
            chainage_m: near.chainage_m,
            distance_m: near.distance_m,
            asked_m: setback::distance_for_m(line.kind, thing),
        })
    });
    let ways = ways(&facts).into_iter().map(|way| Way {
        line: way.laid.line.clone(),
        at_m: way.at_m,
        edge: way.edge.map(|(edge, _)| edge.name.clone()),
        path_m: way.edge.map(|(_, path_m)| path_m),
    });
    Answer { distances: distances.collect(), ways: ways.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::sample::{Sample, keep_clear};

    /// The line runs from (0, 0) to (30, 0) with water 0.5 m to either side, on a southern slope; its sill is at 5 m.
    #[test]
    fn distances_and_ways_by_hand() {
        let mut sample = Sample::sound();
        sample.lay_on_a_southern_slope();
        let well = keep_clear("well", KeepClearKind::Well, 12.0, 10.0);
        let mut edge = keep_clear("south boundary", KeepClearKind::Boundary, 0.0, 0.0);
        edge.at = None;
        edge.along = Some(vec![[-50.0, -20.0], [80.0, -20.0]]);
        sample.site.plan.keep_clears = vec![well, edge];
        let answer = neighbours(&sample.site, &sample.layout, &sample.sizes);
        assert_eq!((answer.distances[0].distance_m, answer.distances[0].asked_m), (9.5, 15.0));
        assert_eq!(answer.distances[1].distance_m, 19.5);
        let way = &answer.ways[0];
        assert_eq!(way.edge.as_deref(), Some("south boundary"));
        assert!((way.path_m.unwrap() - 19.0).abs() <= 1.5, "{way:?}");
    }

    /// A thing without a place is no distance away, and is left out rather than told as far.
    #[test]
    fn what_has_no_place_is_left_out() {
        let mut sample = Sample::sound();
        let mut well = keep_clear("well", KeepClearKind::Well, 0.0, 0.0);
        well.at = None;
        sample.site.plan.keep_clears = vec![well];
        assert!(neighbours(&sample.site, &sample.layout, &sample.sizes).distances.is_empty());
    }
}
