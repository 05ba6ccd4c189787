//! Trees to their places.

use ground::Point;
use grove::spacing::{self, Spot};
use site::{Site, Tree};

use super::keep_clear::point;
use super::{LaidLine, LaidTree, lines};
use crate::section;

/// Downhill of the pegs, where the section of the line is not known: at the toe of a bank of the usual size. Common
/// practice, no source.
const USUAL_DOWNHILL_M: f64 = 2.0;

/// Brings a tree to its place.
pub(super) fn lay(site: &Site, tree: &Tree, lines: &[LaidLine]) -> LaidTree {
    let line = tree.line.as_ref().and_then(|name| lines.iter().find(|line| line.line == *name));
    let given = tree.x_m.zip(tree.y_m).map(|(x_m, y_m)| point([x_m, y_m]));
    let along = line.zip(tree.at_m);
    let downhill_m = along.map(|(line, at_m)| {
        let by_spot = || downhill_m(site, line, (tree, at_m));
        tree.downhill_m.unwrap_or_else(by_spot)
    });
    let beside = along.zip(downhill_m).and_then(|((line, at_m), m)| beside(line, at_m, m));
    let at = given.or(beside);
    let nearest = || Some(line?.path.as_ref()?.nearest(at?).chainage_m);
    LaidTree {
        tree: tree.name.clone(),
        species: tree.species.clone(),
        line: tree.line.clone(),
        chainage_m: tree.at_m.or_else(nearest),
        downhill_m,
        at,
    }
}

/// How far downhill of the pegs its spot lies, by the section of the line there.
fn downhill_m(site: &Site, line: &LaidLine, (tree, at_m): (&Tree, f64)) -> f64 {
    let planned = site.plan.lines.iter().find(|planned| planned.name == line.line);
    let sections = planned.and_then(|planned| section::sections(site, planned, line).ok());
    let dug = sections.and_then(|sections| section::dug(&sections.at(at_m).hand));
    dug.map_or(USUAL_DOWNHILL_M, |dug| spacing::trunk_downhill_m(tree.spot.unwrap_or(Spot::Toe), &dug))
}

/// The place so far downhill of a place on the line.
pub(crate) fn beside(line: &LaidLine, chainage_m: f64, downhill_m: f64) -> Option<Point> {
    let path = line.path.as_ref()?;
    let on_line = path.at(chainage_m)?;
    let next = path.chainages_m().partition_point(|c| *c <= chainage_m);
    let next = next.clamp(1, path.points().len() - 1);
    let left = lines::left_of(&path.points()[next - 1..=next], 0)?;
    let side_m = line.pegs.first()?.downhill_side * downhill_m;
    Some(Point::new(on_line.x_m + side_m * left.0, on_line.y_m + side_m * left.1))
}
