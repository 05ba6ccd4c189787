//! What findings look at.

use ground::tool::levelling_error_m;
use ground::{Point, Polygon, Polyline};
use quantity::figures::fixed;
use site::{KeepClear, KeepClearKind, Line, Site, ToolKind};

use crate::layout::{LaidLine, Layout};
use crate::sizes::{self, LineSizes};
use crate::tool;

/// The site and its answers so far.
pub(crate) struct Facts<'a> {
    pub site: &'a Site,
    pub layout: &'a Layout,
    pub sizes: &'a sizes::Answer,
}

impl Facts<'_> {
    /// Each line as planned, as laid out and as sized; all three are in the order of the plan.
    pub fn lines(&self) -> impl Iterator<Item = (&Line, &LaidLine, &LineSizes)> {
        let planned = self.site.plan.lines.iter();
        planned
            .zip(&self.layout.lines)
            .zip(&self.sizes.lines)
            .map(|((line, laid), sizes)| (line, laid, sizes))
    }

    /// What the level error at a peg will hardly exceed: the tool's own fault and two standard errors.
    pub fn levelling_error_m(&self, steps: usize) -> f64 {
        levelling_error_m(&tool::in_hand(&self.site.plan.tool), steps).wide_m()
    }

    /// Whether levels are set with a tool people make themselves.
    pub fn tool_is_home_made(&self) -> bool {
        self.site.plan.tool.kind != ToolKind::Level
    }

    /// Whether a licensed opinion about this finding covers the line up to this slope.
    pub fn opinion_allows(&self, code: &str, line: &str, slope: f64) -> bool {
        self.site.plan.opinions.iter().any(|opinion| {
            opinion.about == code
                && opinion.line.as_deref().is_none_or(|about| about == line)
                && opinion.up_to.is_none_or(|limit| slope <= limit.rise_run())
        })
    }

    /// The design rain in words: "62 mm in 6 h".
    pub fn rain_words(&self) -> String {
        let rain = self.site.plan.rain.design;
        let decimals = if rain.hours == rain.hours.round() { 0 } else { 1 };
        format!("{} mm in {} h", fixed(rain.depth_mm, 0), fixed(rain.hours, decimals))
    }

    /// How near a line's water comes to something, and where along the line: measured from the water's edge
    /// when the line stands full, not from its pegs. None for a line without places.
    pub fn nearness(&self, laid: &LaidLine, sizes: &LineSizes, thing: &KeepClear) -> Option<Nearness> {
        let path = laid.path.as_ref()?;
        let half_width_m = sizes.holding.as_ref().map_or(0.0, |holding| holding.water_half_width_m);
        let looks = (path.length_m() / LOOK_EACH_M).floor() as usize;
        (0..=looks)
            .map(|i| i as f64 * LOOK_EACH_M)
            .chain(path.chainages_m().iter().copied())
            .chain(thing_points(thing).into_iter().map(|p| path.nearest(p).chainage_m))
            .filter_map(|chainage_m| Some((chainage_m, path.at(chainage_m)?)))
            .map(|(chainage_m, at)| Nearness {
                distance_m: (distance_to_m(thing, at) - half_width_m).max(0.0),
                chainage_m,
            })
            .min_by(|a, b| a.distance_m.total_cmp(&b.distance_m))
    }
}

/// Between pegs a line is looked at this often, m: what crosses it there is found within half of that, a spade's
/// breadth.
const LOOK_EACH_M: f64 = 0.25;

/// How near something is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Nearness {
    pub distance_m: f64,
    pub chainage_m: f64,
}

fn points(of: &[[f64; 2]]) -> Vec<Point> {
    of.iter().map(|[x_m, y_m]| Point::new(*x_m, *y_m)).collect()
}

/// The edge of an area as a line that comes back to its start.
fn closed_ring(area: &[[f64; 2]]) -> Option<Polyline> {
    let mut ring = points(area);
    ring.extend(ring.first().copied());
    Polyline::new(ring)
}

/// The places that a thing to keep clear of is drawn by.
fn thing_points(thing: &KeepClear) -> Vec<Point> {
    let drawn =
        thing.area.as_deref().or(thing.along.as_deref()).or(thing.at.as_ref().map(std::slice::from_ref));
    points(drawn.unwrap_or_default())
}

/// Distance from a place to a thing to keep clear of: 0 inside its area. A thing without a place is nowhere
/// near.
pub(crate) fn distance_to_m(thing: &KeepClear, from: Point) -> f64 {
    if thing.kind == KeepClearKind::Boundary
        && let Some(edge) = thing.area.as_deref().and_then(closed_ring)
    {
        // One's own land is not to be kept clear of, only its edge.
        return edge.nearest(from).offset_m.abs();
    }
    if let Some(area) = thing.area.as_deref().map(points).and_then(Polygon::new) {
        return area.distance_m(from);
    }
    if let Some(along) = thing.along.as_deref().map(points).and_then(Polyline::new) {
        return along.nearest(from).offset_m.abs();
    }
    thing.at.map_or(f64::INFINITY, |[x_m, y_m]| Point::new(x_m, y_m).distance_m(from))
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, keep_clear};
    use super::*;
    use site::KeepClearKind;

    /// The sample's line runs from (0, 0) to (30, 0) with water 0.5 m to either side: a well at (12, 10)
    /// is 9.5 m from the water, beside 12 m.
    #[test]
    fn nearness_is_from_the_edge_of_the_water() {
        let sample = Sample::sound();
        let facts = sample.facts();
        let well = keep_clear("well", KeepClearKind::Well, 12.0, 10.0);
        let near = facts.nearness(&sample.layout.lines[0], &sample.sizes.lines[0], &well).unwrap();
        assert_eq!((near.distance_m, near.chainage_m), (9.5, 12.0));
    }

    /// A pipe crosses at 15 m, midway between pegs 10 m apart, and is drawn by its far ends only.
    #[test]
    fn what_crosses_between_the_pegs_is_found() {
        let sample = Sample::sound();
        let mut pipe = keep_clear("pipe", KeepClearKind::Service, 0.0, 0.0);
        (pipe.at, pipe.along) = (None, Some(vec![[5.0, -40.0], [25.0, 40.0]]));
        let near = sample.facts().nearness(&sample.layout.lines[0], &sample.sizes.lines[0], &pipe).unwrap();
        assert_eq!(near.distance_m, 0.0);
        assert!((near.chainage_m - 15.0).abs() <= 0.75, "{near:?}");
    }

    #[test]
    fn inside_an_area_is_no_distance() {
        let mut barn = keep_clear("barn", KeepClearKind::Building, 0.0, 0.0);
        barn.at = None;
        barn.area = Some(vec![[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]);
        assert_eq!(distance_to_m(&barn, Point::new(5.0, 5.0)), 0.0);
        assert_eq!(distance_to_m(&barn, Point::new(13.0, 14.0)), 5.0);
        barn.kind = KeepClearKind::Boundary;
        assert_eq!(distance_to_m(&barn, Point::new(5.0, 4.0)), 4.0);
    }
}
