//! What no single key can show: faults that lie between keys.
//!
//! Each check names the key at fault by its path, so that whoever read the file can point at the place. A
//! plan that passes names only lines that exist, has every line given in exactly one way, and leads all
//! water to safe ground.

mod climate;
mod files;
mod lines;
mod sources;
mod spill;
#[cfg(test)]
mod tests;
mod things;

use ground::{Point, Polygon, Polyline};

use crate::{Day, Line, Plan, Site, Xy, nearest};

/// Something wrong with the plan as written: computing on it would mislead.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Which key, as a path: `line[2].sill[0].at_m`.
    pub path: String,
    /// Another table the fault rests on, as a path; where that is in doubt, so is the fault.
    pub rests_on: Option<String>,
    /// Which kind of fault, for programs: `no-such-line`.
    pub code: &'static str,
    /// What was found, and the limit.
    pub found: String,
    /// What to do.
    pub advice: String,
}

impl Fault {
    fn new(path: String, code: &'static str, found: String, advice: &str) -> Fault {
        Fault { path, rests_on: None, code, found, advice: advice.to_owned() }
    }

    fn resting_on(mut self, path: String) -> Fault {
        self.rests_on = Some(path);
        self
    }
}

/// Checks a plan across its keys; every fault at once, in the order of the kinds of things.
pub fn check(plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    faults.extend(climate::fault(plan));
    faults.extend(files::faults(plan));
    faults.extend(things::faults(plan));
    faults.extend(lines::faults(plan));
    faults.extend(spill::faults(plan));
    faults
}

impl Site {
    /// The line of this name.
    pub fn line(&self, name: &str) -> Option<&Line> {
        self.plan.lines.iter().find(|line| line.name == name)
    }
}

impl Plan {
    /// The line of this name, and its place among the lines.
    fn line_named(&self, name: &str) -> Option<(usize, &Line)> {
        self.lines.iter().enumerate().find(|(_, line)| line.name == name)
    }
}

/// What a line's water may go to besides a line: safe ground.
pub(crate) const GROUND: &str = "ground";

/// A key names a line that is not there.
fn no_such_line(plan: &Plan, path: String, label: &str, key: &str, name: &str) -> Option<Fault> {
    if plan.line_named(name).is_some() {
        return None;
    }
    let names: Vec<&str> = plan.lines.iter().map(|line| line.name.as_str()).collect();
    let advice = match nearest(name, names.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None if names.is_empty() => "add the line as a [[line]]".to_owned(),
        None => format!("write one of {}", quoted(&names)),
    };
    let found = format!("{label}: {key} = \"{name}\" names no line");
    Some(Fault::new(path, "no-such-line", found, &advice))
}

fn quoted(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    quoted.join(", ")
}

/// Length of a line as the plan gives it; none where only the ground can tell.
fn planned_length_m(line: &Line) -> Option<f64> {
    if let Some(tape) = &line.tape {
        return tape.last().map(|peg| peg.at_m).filter(|at_m| *at_m > 0.0);
    }
    if let Some(pegs) = &line.pegs {
        return Polyline::new(points(pegs)).map(|path| path.length_m());
    }
    line.length_m
}

fn points(places: &[Xy]) -> Vec<Point> {
    places.iter().map(|[x_m, y_m]| Point::new(*x_m, *y_m)).collect()
}

/// Why a ring of places encloses nothing that can be computed with.
fn ring_fault(path: &str, label: &str, key: &str, ring: &[Xy]) -> Option<Fault> {
    if ring.len() < 3 {
        let found = format!("{label}: {key} has {} corners", ring.len());
        return Some(Fault::new(
            path.to_owned(),
            "ring-too-short",
            found,
            "a ring needs at least 3 corners; it closes by itself",
        ));
    }
    let encloses = Polygon::new(points(ring)).is_some_and(|polygon| polygon.area_m2() > 0.0);
    if !encloses {
        let found = format!("{label}: {key} encloses no area");
        return Some(Fault::new(
            path.to_owned(),
            "ring-flat",
            found,
            "give its corners in order, round the area",
        ));
    }
    crossing(ring).map(|(first, second)| {
        let found = format!("{label}: the sides of {key} after corners {first} and {second} cross");
        Fault::new(path.to_owned(), "ring-crosses", found, "give its corners in order, round the area")
    })
}

/// The first two sides of a ring that cross, by the corners they begin at, counted from 1.
fn crossing(ring: &[Xy]) -> Option<(usize, usize)> {
    let corner = |i: usize| Point::new(ring[i % ring.len()][0], ring[i % ring.len()][1]);
    for i in 0..ring.len() {
        for j in i + 2..ring.len() {
            let neighbours_over_the_end = i == 0 && j == ring.len() - 1;
            if !neighbours_over_the_end && cross((corner(i), corner(i + 1)), (corner(j), corner(j + 1))) {
                return Some((i + 1, j + 1));
            }
        }
    }
    None
}

/// Whether two stretches cross in their insides.
fn cross(a: (Point, Point), b: (Point, Point)) -> bool {
    let side = |from: Point, to: Point, p: Point| {
        (to.x_m - from.x_m) * (p.y_m - from.y_m) - (to.y_m - from.y_m) * (p.x_m - from.x_m)
    };
    let apart = |from: Point, to: Point, p: Point, q: Point| side(from, to, p) * side(from, to, q) < 0.0;
    apart(a.0, a.1, b.0, b.1) && apart(b.0, b.1, a.0, a.1)
}

/// A path that runs somewhere.
fn path_fault(path: &str, label: &str, key: &str, places: &[Xy]) -> Option<Fault> {
    let runs = Polyline::new(points(places)).is_some_and(|path| path.length_m() > 0.0);
    (!runs).then(|| {
        let found = format!("{label}: {key} does not name two different places");
        Fault::new(path.to_owned(), "path-too-short", found, "give at least two places, [[x, y], [x, y]]")
    })
}

/// Names that stand twice among things of one kind, and blank ones.
fn name_faults<'a>(list: &str, names: impl Iterator<Item = &'a str>) -> Vec<Fault> {
    let mut seen: Vec<&str> = Vec::new();
    let mut faults = Vec::new();
    for (i, name) in names.enumerate() {
        let path = format!("{list}[{i}].name");
        if name.trim().is_empty() {
            let found = format!("{list} {} has a blank name", i + 1);
            faults.push(Fault::new(path, "name-blank", found, "name it, so that papers and other keys can"));
        } else if let Some(first) = seen.iter().position(|other| *other == name) {
            let found = format!("{list} {} and {list} {} are both named \"{name}\"", first + 1, i + 1);
            faults.push(Fault::new(path, "name-twice", found, "rename one of the two"));
        }
        seen.push(name);
    }
    faults
}

/// A day written as "2026-11-20".
fn day_fault(path: String, label: &str, key: &str, day: &str) -> Option<Fault> {
    Day::parse(day).is_none().then(|| {
        let found = format!("{label}: {key} = \"{day}\" is not a day of the calendar");
        Fault::new(path, "not-a-day", found, "write year, month and day as \"2026-11-20\"")
    })
}
