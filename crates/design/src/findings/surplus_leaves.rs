//! Surplus that crosses a boundary or reaches a road.
//!
//! What a line spills to the ground is followed downhill until the measured ground ends.

use ground::Point;
use quantity::figures::fixed;
use site::{KeepClear, KeepClearKind, Line};

use super::facts::distance_to_m;
use super::{Facts, Finding, Place, Severity};
use crate::layout::LaidLine;

/// The finding's code.
pub const CODE: &str = "surplus-leaves";

const SOURCE: &str = "Texas Water Code 11.086; West Berkshire and Rossendale councils on altered runoff; New South Wales exempt-works rules: duties differ from place to place";
/// A way goes from cell to cell of about a metre: this near, it has arrived, m.
const ARRIVED_M: f64 = 1.0;
/// The word for safe ground in the plan.
const GROUND: &str = "ground";

/// One finding a place where a line lets water go, and the first edge it reaches.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let edges = ways(facts).into_iter().filter_map(|way| Some((way.laid, way.at_m, way.edge?)));
    let found = edges.map(|(laid, at_m, (edge, path_m))| Finding {
        code: CODE,
        severity: Severity::Warn,
        place: Place::on(laid, at_m).with_thing(&edge.name),
        values: vec![("path_m", fixed(path_m, 0))],
        source: SOURCE,
    });
    found.collect()
}

/// The way of the surplus from one place where a line hands it to the ground.
pub(crate) struct SurplusWay<'a> {
    /// The line.
    pub laid: &'a LaidLine,
    /// Where along it.
    pub at_m: f64,
    /// The boundary or road that it reaches first, and after how far; none where it reaches none on measured ground.
    pub edge: Option<(&'a KeepClear, f64)>,
}

/// The ways of all surplus that goes to the ground, where the ground is known.
pub(crate) fn ways<'a>(facts: &'a Facts) -> Vec<SurplusWay<'a>> {
    let mut found = Vec::new();
    let Some(ways) = &facts.layout.water_ways else {
        return found;
    };
    for (line, laid, _) in facts.lines() {
        for at_m in lets_go_at_m(line, laid) {
            let from = laid.path.as_ref().and_then(|path| path.at(at_m));
            if let Some(way) = from.and_then(|from| ways.from(from)) {
                let edge = first_edge(&way.points, &facts.site.plan.keep_clears);
                found.push(SurplusWay { laid, at_m, edge });
            }
        }
    }
    found
}

/// Chainages where a line hands its surplus to the ground.
fn lets_go_at_m(line: &Line, laid: &LaidLine) -> Vec<f64> {
    let sills = line.sills.iter().filter(|sill| sill.to == GROUND).map(|sill| sill.at_m);
    let end = (line.to.as_deref() == Some(GROUND)).then(|| laid.length_m());
    sills.chain(end).collect()
}

/// The boundary or road that a way reaches first, and after how far.
fn first_edge<'a>(way: &[Point], things: &'a [KeepClear]) -> Option<(&'a KeepClear, f64)> {
    let edges = || things.iter().filter(|t| matches!(t.kind, KeepClearKind::Boundary | KeepClearKind::Road));
    let mut path_m = 0.0;
    for (i, place) in way.iter().enumerate() {
        if i > 0 {
            path_m += way[i - 1].distance_m(*place);
        }
        if let Some(edge) = edges().find(|edge| distance_to_m(edge, *place) <= ARRIVED_M) {
            return Some((edge, path_m));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, keep_clear};
    use super::*;

    /// The sill at (5, 0) spills south down a plane; the boundary lies 20 m on. Where the way begins and ends
    /// in a cell is half a metre uncertain at either side, and arrival counts from a metre before.
    #[test]
    fn the_way_to_the_boundary_is_measured() {
        let mut sample = Sample::sound();
        sample.lay_on_a_southern_slope();
        let mut edge = keep_clear("south boundary", KeepClearKind::Boundary, 0.0, 0.0);
        edge.at = None;
        edge.along = Some(vec![[-50.0, -20.0], [80.0, -20.0]]);
        sample.site.plan.keep_clears = vec![edge];
        let found = find(&sample.facts());
        assert_eq!(found[0].place.thing.as_deref(), Some("south boundary"));
        let path_m: f64 = found[0].values[0].1.parse().unwrap();
        assert!((path_m - 19.0).abs() <= 1.5, "{path_m}");
    }

    #[test]
    fn what_goes_to_another_line_does_not_leave() {
        let mut sample = Sample::sound();
        sample.lay_on_a_southern_slope();
        sample.site.plan.lines[0].sills[0].to = "low".to_owned();
        assert!(find(&sample.facts()).is_empty());
    }
}
