//! Soils, trees, barriers, keep-clears and opinions.

use super::{Fault, day_fault, name_faults, no_such_line, path_fault, planned_length_m, ring_fault};
use crate::{KeepClear, Opinion, Plan, Tree};

/// Trees nearer than this stand in one spot, m: distances along a tape are read to the decimetre.
const ONE_SPOT_M: f64 = 0.1;

pub(super) fn faults(plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    faults.extend(name_faults("soil", plan.soils.iter().map(|soil| soil.name.as_str())));
    faults.extend(soil_faults(plan));
    faults.extend(super::sources::faults(plan));
    faults.extend(name_faults("tree", plan.trees.iter().map(|tree| tree.name.as_str())));
    for (i, tree) in plan.trees.iter().enumerate() {
        faults.extend(tree_faults(plan, i, tree));
    }
    faults.extend(trees_in_one_spot(&plan.trees));
    faults.extend(name_faults("barrier", plan.barriers.iter().map(|barrier| barrier.name.as_str())));
    for (i, barrier) in plan.barriers.iter().enumerate() {
        let label = format!("barrier \"{}\"", barrier.name);
        faults.extend(path_fault(&format!("barrier[{i}].along"), &label, "along", &barrier.along));
    }
    faults.extend(name_faults("keep_clear", plan.keep_clears.iter().map(|clear| clear.name.as_str())));
    for (i, clear) in plan.keep_clears.iter().enumerate() {
        faults.extend(keep_clear_fault(i, clear));
    }
    for (i, opinion) in plan.opinions.iter().enumerate() {
        faults.extend(opinion_faults(plan, i, opinion));
    }
    faults
}

fn soil_faults(plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    if plan.soils.is_empty() && !plan.lines.is_empty() {
        let found = "no [[soil]] is given, and what a line holds and loses depends on it".to_owned();
        let advice = "add one with its name and its texture by feel: the texture's usual range is taken";
        faults.push(Fault::new("soil".to_owned(), "no-soil", found, advice));
    }
    let mut everywhere = None;
    for (i, soil) in plan.soils.iter().enumerate() {
        let label = format!("soil \"{}\"", soil.name);
        match (&soil.area, everywhere) {
            (Some(area), _) => faults.extend(ring_fault(&format!("soil[{i}].area"), &label, "area", area)),
            (None, None) => everywhere = Some(&soil.name),
            (None, Some(first)) => {
                let found = format!("{label} and soil \"{first}\" both lie everywhere");
                let advice = "give all soils but one the area in which they lie";
                faults.push(Fault::new(format!("soil[{i}]"), "two-soils-everywhere", found, advice));
            }
        }
    }
    faults
}

/// A place along a line that lies past the line's end, as far as the plan gives its length.
pub(super) fn beyond_line(
    plan: &Plan,
    path: String,
    label: &str,
    place: (&str, Option<f64>),
) -> Option<Fault> {
    let (name, at_m) = place;
    let at_m = at_m?;
    let (i, line) = plan.line_named(name)?;
    let length_m = planned_length_m(line)?;
    (at_m > length_m).then(|| {
        let found =
            format!("{label}: at_m = {at_m} lies beyond line \"{name}\", which is {length_m:.1} m long");
        Fault::new(path, "beyond-line", found, "count from the line's first peg; correct at_m or the line")
            .resting_on(format!("line[{i}]"))
    })
}

fn tree_faults(plan: &Plan, i: usize, tree: &Tree) -> Vec<Fault> {
    let label = format!("tree \"{}\"", tree.name);
    let path = |key: &str| format!("tree[{i}].{key}");
    let mut faults = Vec::new();
    if let Some(line) = &tree.line {
        faults.extend(no_such_line(plan, path("line"), &label, "line", line));
        faults.extend(beyond_line(plan, path("at_m"), &label, (line, tree.at_m)));
    }
    if let Some(planted) = &tree.planted {
        faults.extend(day_fault(path("planted"), &label, "planted", planted));
    }
    let nowhere = |found: &str, advice: &str| {
        Fault::new(format!("tree[{i}]"), "tree-nowhere", format!("{label}: {found}"), advice)
    };
    let by_line = "write line and at_m, or x_m and y_m";
    match (&tree.line, tree.at_m, tree.x_m, tree.y_m) {
        (_, None, None, None) => faults.push(nowhere("it stands on no line and at no place", by_line)),
        (_, Some(_), None, None) if tree.line.is_none() => {
            faults.push(nowhere("at_m says where along a line, and line names none", by_line));
        }
        (_, Some(_), None, None) | (_, None, Some(_), Some(_)) => {}
        (_, Some(_), _, _) => {
            faults.push(nowhere("at_m and x_m, y_m both say where it stands", "keep one of the two"));
        }
        (_, None, _, _) => faults.push(nowhere("of x_m and y_m one is missing", "write both")),
    }
    if tree.spot.is_some() && tree.at_m.is_none() {
        let found = format!("{label}: spot says where across a line, and at_m is missing");
        faults.push(Fault::new(path("spot"), "key-without-use", found, "write line and at_m, or delete it"));
    }
    if tree.spot.is_some() && tree.downhill_m.is_some() {
        let found = format!("{label}: spot and downhill_m both say where across the line it stands");
        faults.push(Fault::new(path("downhill_m"), "place-twice", found, "keep one of the two"));
    }
    if tree.downhill_m.is_some() && tree.at_m.is_none() {
        let found = format!("{label}: downhill_m counts from the pegs of a line, and at_m is missing");
        faults.push(Fault::new(
            path("downhill_m"),
            "key-without-use",
            found,
            "write line and at_m, or delete it",
        ));
    }
    faults
}

fn trees_in_one_spot(trees: &[Tree]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (i, tree) in trees.iter().enumerate() {
        if let Some(first) = trees[..i].iter().position(|other| in_one_spot(tree, other)) {
            let found = format!("trees \"{}\" and \"{}\" stand in one spot", trees[first].name, tree.name);
            let fault =
                Fault::new(format!("tree[{i}]"), "trees-in-one-spot", found, "move one, or delete it");
            faults.push(fault.resting_on(format!("tree[{first}]")));
        }
    }
    faults
}

fn in_one_spot(a: &Tree, b: &Tree) -> bool {
    let near = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() < ONE_SPOT_M,
        (None, None) => true,
        _ => false,
    };
    let placed = a.at_m.is_some() || (a.x_m.is_some() && a.y_m.is_some());
    let one_line = a.at_m.is_none() || a.line == b.line;
    placed
        && one_line
        && near(a.at_m, b.at_m)
        && a.spot == b.spot
        && near(a.downhill_m, b.downhill_m)
        && near(a.x_m, b.x_m)
        && near(a.y_m, b.y_m)
}

fn keep_clear_fault(i: usize, clear: &KeepClear) -> Option<Fault> {
    let label = format!("keep_clear \"{}\"", clear.name);
    let path = |key: &str| format!("keep_clear[{i}].{key}");
    match (&clear.at, &clear.along, &clear.area) {
        (Some(_), None, None) => None,
        (None, Some(along), None) => path_fault(&path("along"), &label, "along", along),
        (None, None, Some(area)) => ring_fault(&path("area"), &label, "area", area),
        (None, None, None) => Some(Fault::new(
            format!("keep_clear[{i}]"),
            "keep-clear-nowhere",
            format!("{label}: it has no place"),
            "write at = [x, y] for one place, along = [[x, y], …] for a path or area = [[x, y], …] for a ring",
        )),
        _ => Some(Fault::new(
            format!("keep_clear[{i}]"),
            "keep-clear-twice",
            format!("{label}: more than one of at, along and area says where it is"),
            "keep the one that shows it whole",
        )),
    }
}

fn opinion_faults(plan: &Plan, i: usize, opinion: &Opinion) -> Vec<Fault> {
    let label = format!("opinion {}", i + 1);
    let path = |key: &str| format!("opinion[{i}].{key}");
    let mut faults = Vec::new();
    faults.extend(day_fault(path("date"), &label, "date", &opinion.date));
    if let Some(line) = &opinion.line {
        faults.extend(no_such_line(plan, path("line"), &label, "line", line));
    }
    if opinion.by.trim().is_empty() {
        let found = format!("{label}: by is blank");
        let advice = "write who gave it and in what capacity: an opinion counts by who answers for it";
        faults.push(Fault::new(path("by"), "name-blank", found, advice));
    }
    faults
}
