//! Where the surplus goes: from every line to another, and at last to safe ground.

use super::{Fault, GROUND, no_such_line};
use crate::{Line, LineKind, Plan};

pub(super) fn faults(plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (i, line) in plan.lines.iter().enumerate() {
        let label = format!("line \"{}\"", line.name);
        faults.extend(end_fault(i, line, &label));
        for (key, to) in outlets(line) {
            let path = format!("line[{i}].{key}");
            if to == line.name {
                let found = format!("{label}: its surplus goes back into itself");
                let advice = "write the next line downhill, or \"ground\" where it comes out on safe ground";
                faults.push(Fault::new(path, "spills-into-itself", found, advice));
            } else if to != GROUND {
                faults.extend(no_such_line(plan, path, &label, "to", to));
            }
        }
    }
    faults.extend(circles(plan));
    faults
}

/// Whether a line that needs an end has one, and one that ends closed has none.
fn end_fault(i: usize, line: &Line, label: &str) -> Option<Fault> {
    match (line.kind, &line.to) {
        (LineKind::Swale, Some(_)) => Some(Fault::new(
            format!("line[{i}].to"),
            "key-without-use",
            format!("{label}: a swale ends closed, and its surplus leaves over its sills"),
            "write a [[line.sill]] with to, or correct kind",
        )),
        (LineKind::Swale, None) => line.sills.is_empty().then(|| {
            let found = format!("{label}: its surplus has nowhere to go, for it has no sill");
            let advice = "add a [[line.sill]]: without one the bank breaks at its lowest place";
            Fault::new(format!("line[{i}]"), "nowhere-to-spill", found, advice)
        }),
        (kind, None) => Some(Fault::new(
            format!("line[{i}]"),
            "nowhere-to-spill",
            format!("{label}: nothing takes the water at the end of this {kind}"),
            "add to = the name of a line, or \"ground\" for safe ground",
        )),
        (_, Some(_)) => None,
    }
}

/// Where a line's water leaves it: the key and what takes it.
fn outlets(line: &Line) -> impl Iterator<Item = (String, &str)> {
    let sills = line.sills.iter().enumerate();
    let sills = sills.map(|(i, sill)| (format!("sill[{i}].to"), sill.to.as_str()));
    let end = line.to.iter().map(|to| ("to".to_owned(), to.as_str()));
    sills.chain(end)
}

/// Circles of more than one line, each told once, at its first line.
fn circles(plan: &Plan) -> Vec<Fault> {
    let below: Vec<Vec<usize>> = plan
        .lines
        .iter()
        .map(|line| outlets(line).filter_map(|(_, to)| plan.line_named(to).map(|(i, _)| i)).collect())
        .collect();
    let mut told = vec![false; plan.lines.len()];
    let mut faults = Vec::new();
    for start in 0..plan.lines.len() {
        if told[start] {
            continue;
        }
        let Some(circle) = way_back(&below, start).filter(|circle| circle.len() > 1) else {
            continue;
        };
        for i in &circle {
            told[*i] = true;
        }
        let names: Vec<&str> =
            circle.iter().chain(&circle[..1]).map(|i| plan.lines[*i].name.as_str()).collect();
        let found = format!("the surplus goes in a circle: {}", names.join(" → "));
        let advice = "send the last of them on downhill, or to \"ground\"";
        faults.push(Fault::new(format!("line[{start}]"), "spills-in-a-circle", found, advice));
    }
    faults
}

/// The shortest way from a line back to itself, beginning with it.
fn way_back(below: &[Vec<usize>], start: usize) -> Option<Vec<usize>> {
    let mut came_from: Vec<Option<usize>> = vec![None; below.len()];
    let mut queue = std::collections::VecDeque::from([start]);
    while let Some(line) = queue.pop_front() {
        for next in &below[line] {
            if *next == start {
                let mut way = vec![line];
                while way[way.len() - 1] != start {
                    way.push(
                        came_from[way[way.len() - 1]].expect("every line in the queue came from another"),
                    );
                }
                way.reverse();
                return Some(way);
            }
            if came_from[*next].is_none() {
                came_from[*next] = Some(line);
                queue.push_back(*next);
            }
        }
    }
    None
}
