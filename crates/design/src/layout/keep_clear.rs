//! Areas a walk does not enter.
//!
//! Everything within the distance r of a straight piece is a capsule: the piece with a half circle round each
//! end. An area kept clear by r is itself and a capsule round each of its edges. A half circle of k sides is
//! drawn outside the true one, at r / cos(π / 2k), so that no place nearer than r is left out.

use ground::{Point, Polygon};
use site::{KeepClear, LineKind, Xy};

use crate::setback;

/// Sides of a half circle: it then reaches at most 1/cos(π/24) − 1, under 1 %, too far.
const HALF_CIRCLE_SIDES: usize = 12;

/// Areas, and which keep-clear each belongs to.
pub(crate) struct KeptClear<'a> {
    pub(crate) areas: Vec<Polygon>,
    owners: Vec<&'a KeepClear>,
}

impl<'a> KeptClear<'a> {
    /// The areas that a line of this kind does not enter.
    pub(crate) fn of(keep_clears: &'a [KeepClear], kind: LineKind) -> KeptClear<'a> {
        let mut kept = KeptClear { areas: Vec::new(), owners: Vec::new() };
        for keep_clear in keep_clears {
            let distance_m = setback::distance_for_m(kind, keep_clear);
            kept.add(keep_clear, distance_m);
        }
        kept
    }

    /// The name of the keep-clear to which an area belongs.
    pub(crate) fn name(&self, area: usize) -> &str {
        &self.owners[area].name
    }

    fn add(&mut self, keep_clear: &'a KeepClear, distance_m: f64) {
        let mut areas = Vec::new();
        if let Some(at) = keep_clear.at {
            areas.extend(capsule(point(at), point(at), distance_m));
        }
        if let Some(along) = &keep_clear.along {
            areas.extend(capsules(&points(along), distance_m));
        }
        if let Some(ring) = keep_clear.area.as_deref().map(points).and_then(Polygon::new) {
            let mut edges = ring.ring().to_vec();
            edges.push(edges[0]);
            areas.push(ring);
            areas.extend(capsules(&edges, distance_m));
        }
        for area in areas {
            self.areas.push(area);
            self.owners.push(keep_clear);
        }
    }
}

pub(crate) fn point(at: Xy) -> Point {
    Point::new(at[0], at[1])
}

pub(crate) fn points(places: &[Xy]) -> Vec<Point> {
    places.iter().copied().map(point).collect()
}

fn capsules(points: &[Point], distance_m: f64) -> impl Iterator<Item = Polygon> {
    points.windows(2).filter_map(move |piece| capsule(piece[0], piece[1], distance_m))
}

/// Everything within a distance of a straight piece; none for no distance.
fn capsule(from: Point, to: Point, distance_m: f64) -> Option<Polygon> {
    if distance_m <= 0.0 {
        return None;
    }
    let side_angle = std::f64::consts::PI / HALF_CIRCLE_SIDES as f64;
    let radius_m = distance_m / libm::cos(side_angle / 2.0);
    // From the right of the piece round its far end to its left, then back round its near end.
    let heading = libm::atan2(to.y_m - from.y_m, to.x_m - from.x_m);
    let mut ring = Vec::with_capacity(2 * (HALF_CIRCLE_SIDES + 1));
    for (centre, turned) in [(to, -0.5), (from, 0.5)] {
        for side in 0..=HALF_CIRCLE_SIDES {
            let angle = heading + turned * std::f64::consts::PI + side as f64 * side_angle;
            ring.push(Point::new(
                centre.x_m + radius_m * libm::cos(angle),
                centre.y_m + radius_m * libm::sin(angle),
            ));
        }
    }
    Polygon::new(ring)
}

#[cfg(test)]
mod tests {
    use super::*;
    use site::KeepClearKind;

    fn boundary() -> KeepClear {
        KeepClear {
            name: "hedge bank".to_owned(),
            kind: KeepClearKind::Boundary,
            at: None,
            along: Some(vec![[0.0, 0.0], [10.0, 0.0]]),
            area: None,
            distance_m: None,
        }
    }

    /// All that is within 3 m of the piece lies inside, and nothing beyond 3 m / cos(7.5°) = 3.026 m.
    #[test]
    fn a_capsule_is_all_that_is_near() {
        let capsule = capsule(Point::new(0.0, 0.0), Point::new(10.0, 0.0), 3.0).unwrap();
        for i in 0..360 {
            let angle = quantity::convert::deg_to_rad(f64::from(i));
            for (centre_x_m, east) in [(10.0, true), (0.0, false)] {
                let (cos, sin) = (libm::cos(angle), libm::sin(angle));
                if (cos > 0.0) == east {
                    let at = |r: f64| Point::new(centre_x_m + r * cos, r * sin);
                    assert!(capsule.contains(at(2.999)), "{i}");
                    assert!(!capsule.contains(at(3.027)), "{i}");
                }
            }
        }
    }

    #[test]
    fn what_carries_may_come_nearer_than_what_soaks() {
        let keep_clears = [boundary()];
        let near = Point::new(5.0, 2.0);
        let within = |kind| {
            let kept = KeptClear::of(&keep_clears, kind);
            let found = kept.areas.iter().position(|area| area.contains(near));
            found.map(|area| kept.name(area).to_owned())
        };
        assert_eq!(within(LineKind::Swale).as_deref(), Some("hedge bank"));
        assert_eq!(within(LineKind::Drain), None);
    }

    #[test]
    fn the_inside_of_a_building_is_kept_clear_too() {
        let barn = KeepClear {
            kind: KeepClearKind::Building,
            along: None,
            area: Some(vec![[0.0, 0.0], [20.0, 0.0], [20.0, 20.0], [0.0, 20.0]]),
            ..boundary()
        };
        let keep_clears = [barn];
        let kept = KeptClear::of(&keep_clears, LineKind::Swale);
        for at in [(10.0, 10.0), (-2.9, 10.0), (22.0, 22.0)] {
            assert!(kept.areas.iter().any(|area| area.contains(Point::new(at.0, at.1))), "{at:?}");
        }
    }
}
