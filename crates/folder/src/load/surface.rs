//! The ground of a site: from a raster, or from points and the level books that give them heights.

use std::collections::BTreeMap;

use ground::levels::reduce;
use ground::tin::Outline;
use ground::{Point, Surface, Tin};
use site::{GroundFiles, Place, Plan};

use super::known::notes_on;
use super::{Reading, named_file, shown_as};
use crate::points::{self, Expected, Points};
use crate::raster::{self, Note, Wanted};
use crate::{Fault, read_level_book};

/// Reads the ground that the plan names. None where it names none, or is in doubt about it.
pub(super) fn read(reading: &Reading, notes: &mut Vec<Note>) -> Result<Option<Surface>, Vec<Fault>> {
    let Some(plan) = reading.plan_file.sure_of(&["ground", "place"]) else {
        return Ok(None);
    };
    match &plan.ground {
        None => Ok(None),
        Some(GroundFiles { raster: Some(inside), .. }) => {
            raster(reading, inside, &plan.place, notes).map(Some)
        }
        Some(GroundFiles { points: Some(inside), books, .. }) => {
            net(reading, (inside, books), &plan.place, notes).map(Some)
        }
        Some(_) => Ok(None),
    }
}

fn raster(
    reading: &Reading,
    inside: &str,
    place: &Place,
    notes: &mut Vec<Note>,
) -> Result<Surface, Vec<Fault>> {
    let path = named_file(reading, "ground.raster", inside).map_err(|fault| vec![fault])?;
    let wanted = Wanted::for_place(place).map_err(|fault| vec![fault])?;
    let read = raster::read(&path, &wanted).map_err(|faults| shown_as(&reading.dir.shown(inside), faults))?;
    notes.extend(read.notes);
    Ok(Surface::Grid(read.grid))
}

fn net(
    reading: &Reading,
    files: (&str, &[String]),
    place: &Place,
    notes: &mut Vec<Note>,
) -> Result<Surface, Vec<Fault>> {
    let (inside, books) = files;
    named_file(reading, "ground.points", inside).map_err(|fault| vec![fault])?;
    let file = reading.dir.shown(inside);
    let bytes = reading.dir.bytes(inside).map_err(|fault| vec![fault])?;
    let places = reading.plan_file.sure_of(&PLACED).map_or_else(Vec::new, drawn_places);
    let expected = Expected {
        axes: Wanted::for_place(place).map_err(|fault| vec![fault])?.axes,
        places: &places,
        elevation_m: Some(place.elevation_m),
    };
    let points = points::read(&file, &bytes, &expected);
    let heights = booked_heights(reading, books);
    let (mut points, heights) = both(points, heights)?;
    if !books.is_empty() {
        let filled = points.fill_heights(&heights);
        let text = format!("{filled} points of {inside} have their heights from level books, as observed");
        notes.push(Note::new("heights-from-books", text));
    }
    notes.extend(points.notes.iter().cloned());
    let tin = triangles(&points, &file)?;
    notes.extend(notes_on(&tin, inside));
    Ok(Surface::Tin(tin))
}

/// Tables of the plan that say where things lie.
const PLACED: [&str; 4] = ["line", "tree", "barrier", "keep_clear"];

/// Every place that the plan gives by its coordinates.
pub(crate) fn drawn_places(plan: &Plan) -> Vec<Point> {
    let lines = plan.lines.iter().flat_map(|line| line.pegs.iter().flatten().chain(&line.from));
    let barriers = plan.barriers.iter().flat_map(|barrier| &barrier.along);
    let keep_clears = plan.keep_clears.iter().flat_map(|thing| {
        thing.at.iter().chain(thing.along.iter().flatten()).chain(thing.area.iter().flatten())
    });
    let trees = plan.trees.iter().filter_map(|tree| Some(Point::new(tree.x_m?, tree.y_m?)));
    let drawn = lines.chain(barriers).chain(keep_clears);
    drawn.map(|[x_m, y_m]| Point::new(*x_m, *y_m)).chain(trees).collect()
}

fn triangles(points: &Points, file: &str) -> Result<Tin, Vec<Fault>> {
    let scattered = points.scattered()?;
    let tin = Tin::new(&scattered.points, &scattered.breaklines, Outline::default());
    tin.map_err(|error| {
        let advice = "correct the points, or measure more";
        vec![Fault::of_file(file, "no-surface", error.to_string(), advice)]
    })
}

/// Heights by the name of the point, the first booked of each.
fn booked_heights(reading: &Reading, books: &[String]) -> Result<BTreeMap<String, f64>, Vec<Fault>> {
    let mut heights = BTreeMap::new();
    let mut faults = Vec::new();
    for (i, inside) in books.iter().enumerate() {
        let key = format!("ground.books[{i}]");
        let bytes = named_file(reading, &key, inside).and_then(|_| reading.dir.bytes(inside));
        let book = bytes
            .map_err(|fault| vec![fault])
            .and_then(|bytes| read_level_book(&reading.dir.shown(inside), &bytes));
        match book {
            Ok(read) => {
                let reduced = reduce(&read.book).points;
                for (station, reduced) in read.book.stations().iter().zip(reduced) {
                    heights.entry(station.point.clone()).or_insert(reduced.z_m);
                }
            }
            Err(of_book) => faults.extend(of_book),
        }
    }
    if faults.is_empty() { Ok(heights) } else { Err(faults) }
}

/// Two results, or the faults of both.
fn both<A, B>(a: Result<A, Vec<Fault>>, b: Result<B, Vec<Fault>>) -> Result<(A, B), Vec<Fault>> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (a, b) => {
            let mut faults = a.err().unwrap_or_default();
            faults.extend(b.err().unwrap_or_default());
            Err(faults)
        }
    }
}
