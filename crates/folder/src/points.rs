//! Points of the ground, from a table: what a level and a tape, a total station or a phone gives.
//!
//! The columns are told by their names on the first line, never by their order, because point-north-east and
//! point-east-north are both common and look alike: `x_m` (east), `y_m` (north), `z_m` (height), `point` (its
//! name), `line` (the breakline it belongs to, vertices in the order of the rows). Usual names of other
//! instruments are understood too. `_ft` in a name says feet; nothing else does.
//!
//! A blank height is missing, not 0, and may be filled from a level book that knows the point by name.
//!
//! Leaves out: longitudes and latitudes (refused), tables without names on the first line (refused).

use std::collections::BTreeMap;

use ground::{Bounds, Point, Point3};

use crate::Fault;
use crate::raster::{Note, SiteAxes, maybe_feet};
use crate::table::{ColumnIdx, Row, Table, text};

/// Names of the columns people write, in the order they are looked for; units are put behind.
pub(crate) const EAST: [&str; 7] = ["x", "e", "east", "easting", "rechtswert", "este", "ostwert"];
pub(crate) const NORTH: [&str; 6] = ["y", "n", "north", "northing", "hochwert", "norte"];
pub(crate) const HEIGHT: [&str; 9] =
    ["z", "h", "elev", "elevation", "height", "rl", "level", "cota", "hoehe"];
pub(crate) const NAME: [&str; 7] = ["point", "name", "p", "id", "pt", "no", "peg"];
pub(crate) const LINE: [&str; 3] = ["line", "breakline", "string"];
/// Columns of degrees, which are no plane.
const DEGREES: [&str; 6] = ["lat", "latitude", "lon", "long", "longitude", "lng"];

/// Beyond this a number is no place on Earth, in any projection: two and a half times round it.
const FARTHEST_M: f64 = 1e8;
/// No ground is so high or so low.
const FARTHEST_HEIGHT_M: f64 = 1e5;
/// Points nearer to one straight line than this share of its length make no surface: a millimetre in a
/// kilometre, to which such tables are written.
const IN_A_ROW_SHARE: f64 = 1e-6;
/// UTM counts eastings from 500 000 m and a zone is at most 334 km to either side, so none reaches this.
const NO_UTM_EASTING_M: f64 = 1e6;

/// What a reader of points has to know besides the file, to notice what is wrong with it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Expected<'a> {
    /// What the site's x and y are.
    pub axes: SiteAxes,
    /// Where the plan puts things: most of them lie on the ground that was measured.
    pub places: &'a [Point],
    /// Height of the site above the sea.
    pub elevation_m: Option<f64>,
}

/// A point as its row gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct Surveyed {
    /// Its name, if it has one.
    pub name: Option<String>,
    /// East, in site metres.
    pub x_m: f64,
    /// North, in site metres.
    pub y_m: f64,
    /// Height above the site datum, if it was given.
    pub z_m: Option<f64>,
    /// The breakline it is a vertex of.
    pub line: Option<String>,
    /// Line of the file it stands on.
    pub row: usize,
}

/// A table of points.
#[derive(Debug, Clone, PartialEq)]
pub struct Points {
    file: String,
    /// The points, in the order of their rows.
    pub points: Vec<Surveyed>,
    /// What was understood.
    pub notes: Vec<Note>,
}

/// Points ready to make a surface of.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scattered {
    /// Points that belong to no breakline.
    pub points: Vec<Point3>,
    /// Breaklines, in the order in which they are first named.
    pub breaklines: Vec<Vec<Point3>>,
}

/// Reads a table of points, or every fault of it.
///
/// # Errors
/// Faults of the table, of its columns and of its numbers.
pub fn read(file: &str, bytes: &[u8], expected: &Expected) -> Result<Points, Vec<Fault>> {
    let text = text::decode(file, bytes).map_err(|fault| vec![fault])?;
    if let Some(fault) = no_header(file, &text) {
        return Err(vec![fault]);
    }
    let table = Table::read(file, blanks_to_tabs(&text).as_bytes())?;
    let columns = Columns::find(&table)?;
    let mut faults = Vec::new();
    let mut points = Vec::with_capacity(table.len());
    for row in table.rows() {
        match columns.point(&row) {
            Ok(point) => points.push(point),
            Err(of_row) => faults.extend(of_row),
        }
    }
    if points.is_empty() && faults.is_empty() {
        let found = "the table has no points".to_owned();
        faults.push(table.fault("too-few-points", found, "write at least three"));
    }
    faults.extend(swapped(&table, &columns, &points, expected));
    if !faults.is_empty() {
        return Err(faults);
    }
    let notes = columns.notes(&table, &points, expected);
    Ok(Points { file: file.to_owned(), points, notes })
}

/// A length column: where it is, and metres in its unit.
#[derive(Debug, Clone, Copy)]
struct Length {
    column: ColumnIdx,
    m: f64,
    declared: bool,
}

#[derive(Debug)]
struct Columns {
    x: Length,
    y: Length,
    z: Option<Length>,
    name: Option<ColumnIdx>,
    line: Option<ColumnIdx>,
    ignored: Vec<String>,
}

impl Columns {
    fn find(table: &Table) -> Result<Columns, Vec<Fault>> {
        if let Some(column) = DEGREES.iter().find_map(|name| table.column(name)) {
            return Err(vec![table.fault_of_column(
                column,
                "points-in-degrees",
                "the points are given in degrees".into(),
                "export them in metres, in the projected system of the site (place.crs) or in site metres",
            )]);
        }
        let mut faults = Vec::new();
        let mut length = |stems: &[&str], wanted: &str| match one_of(table, stems) {
            Ok(Some(length)) => Some(length),
            Ok(None) => {
                if !wanted.is_empty() {
                    faults.extend(table.require(wanted).err());
                }
                None
            }
            Err(fault) => {
                faults.push(fault);
                None
            }
        };
        let x = length(&EAST, "x_m");
        let y = length(&NORTH, "y_m");
        let z = length(&HEIGHT, "");
        match (x, y) {
            (Some(x), Some(y)) if faults.is_empty() => {
                let name = NAME.iter().find_map(|name| table.column(name));
                let line = LINE.iter().find_map(|name| table.column(name));
                Ok(Columns {
                    x,
                    y,
                    z,
                    name,
                    line,
                    ignored: ignored(
                        table,
                        [Some(x.column), Some(y.column), z.map(|z| z.column), name, line],
                    ),
                })
            }
            _ => Err(faults),
        }
    }

    fn point(&self, row: &Row) -> Result<Surveyed, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut number = |length: Length, farthest_m: f64| {
            let value = row.number(length.column).map(|value| value.map(|v| v * length.m));
            match value {
                Ok(Some(value)) if value.abs() > farthest_m => {
                    let found = format!("\"{}\" is no place on Earth", row.text(length.column));
                    faults.push(row.fault(length.column, "not-on-earth", found, "correct it"));
                    None
                }
                Ok(value) => value,
                Err(fault) => {
                    faults.push(fault);
                    None
                }
            }
        };
        let x_m = number(self.x, FARTHEST_M);
        let y_m = number(self.y, FARTHEST_M);
        let z_m = self.z.and_then(|z| number(z, FARTHEST_HEIGHT_M));
        for (value, length, name) in [(x_m, self.x, "x"), (y_m, self.y, "y")] {
            if value.is_none() && row.text(length.column).is_empty() {
                let found = format!("the point has no {name}");
                faults.push(row.fault(length.column, "no-place", found, "write it, or delete the row"));
            }
        }
        let text =
            |column: Option<ColumnIdx>| column.map(|c| row.text(c).to_owned()).filter(|t| !t.is_empty());
        match (x_m, y_m) {
            (Some(x_m), Some(y_m)) if faults.is_empty() => {
                Ok(Surveyed { name: text(self.name), x_m, y_m, z_m, line: text(self.line), row: row.line() })
            }
            _ => Err(faults),
        }
    }

    fn notes(&self, table: &Table, points: &[Surveyed], expected: &Expected) -> Vec<Note> {
        let missing = points.iter().filter(|p| p.z_m.is_none()).count();
        let mut notes =
            vec![Note::new("points", format!("{} points, {missing} without a height", points.len()))];
        let lengths = [Some(self.x), Some(self.y), self.z];
        let of = |wanted: fn(&Length) -> bool| {
            let names = lengths.into_iter().flatten().filter(wanted);
            let names: Vec<&str> = names.filter_map(|l| table.name(l.column)).collect();
            names.join(", ")
        };
        let feet = of(|l| l.m != 1.0);
        if !feet.is_empty() {
            notes.push(Note::new("feet-converted", format!("{feet}: from feet to metres")));
        }
        let undeclared = of(|l| !l.declared);
        if !undeclared.is_empty() {
            let text = format!("{undeclared}: no unit in the name, taken as metres");
            notes.push(Note::new("unit-assumed", text));
        }
        if !self.ignored.is_empty() {
            let text = format!("columns not used: {}", self.ignored.join(", "));
            notes.push(Note::new("columns-ignored", text));
        }
        let heights = || points.iter().filter_map(|p| p.z_m);
        let (low_m, high_m) = (heights().reduce(f64::min), heights().reduce(f64::max));
        if let (Some(low_m), Some(high_m)) = (low_m, high_m) {
            notes.extend(maybe_feet(low_m, high_m, expected.elevation_m));
        }
        notes
    }
}

/// The one column that is called by one of these names, with a unit behind it or none.
fn one_of(table: &Table, stems: &[&str]) -> Result<Option<Length>, Fault> {
    let mut found: Option<Length> = None;
    for stem in stems {
        for (unit, m) in [("", 1.0), ("_m", 1.0), ("_ft", quantity::convert::ft_to_m(1.0))] {
            let Some(column) = table.column(&format!("{stem}{unit}")) else {
                continue;
            };
            if found.is_some() {
                let words = "two columns could be the same coordinate".to_owned();
                return Err(table.fault_of_column(column, "column-ambiguous", words, "delete or rename one"));
            }
            found = Some(Length { column, m, declared: !unit.is_empty() });
        }
    }
    Ok(found)
}

fn ignored(table: &Table, used: [Option<ColumnIdx>; 5]) -> Vec<String> {
    let unused = |name: &&str| !name.is_empty() && !used.contains(&table.column(name));
    table.names().filter(unused).map(str::to_owned).collect()
}

/// A first line of numbers is a point, not names: which column is which cannot be told for certain.
pub(crate) fn no_header(file: &str, text: &str) -> Option<Fault> {
    let (i, line) = text
        .lines()
        .enumerate()
        .find(|(_, line)| !line.trim().is_empty() && !line.trim().starts_with('#'))?;
    let cells = line.split([',', ';', '\t', '|', ' ']).map(str::trim);
    let numbers = cells.filter(|cell| cell.parse::<f64>().is_ok()).count();
    (numbers >= 2).then(|| {
        Fault::of_file(
            file,
            "no-header",
            "the first line holds numbers, not the names of the columns",
            "write a first line such as point,x_m,y_m,z_m with x to the east and y to the north; mind that many \
             instruments give north before east",
        )
        .on_line(i + 1)
    })
}

/// A table whose columns are divided by runs of blanks, with tabs in their place; every character keeps its
/// column. Other tables come back as they are.
pub(crate) fn blanks_to_tabs(text: &str) -> String {
    let header = text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let by_blanks =
        header.is_some_and(|line| !line.contains(['\t', ';', '|', ',']) && line.trim().contains(' '));
    if !by_blanks {
        return text.to_owned();
    }
    let mut changed = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let mut before = ' ';
        for c in line.chars() {
            changed.push(if c == ' ' && before != ' ' { '\t' } else { c });
            before = if c.is_whitespace() { ' ' } else { c };
        }
    }
    changed
}

/// Whether the things of the plan lie beside the points that were measured, and most of them among these once x
/// and y are exchanged.
fn lies_only_the_other_way_round(points: &[Surveyed], places: &[Point]) -> bool {
    let Some(bounds) = Bounds::around(points.iter().map(|p| Point::new(p.x_m, p.y_m))) else {
        return false;
    };
    let within = |turned: bool| {
        let at = |p: &&Point| if turned { Point::new(p.y_m, p.x_m) } else { **p };
        places.iter().filter(|p| bounds.contains(at(p))).count()
    };
    within(false) == 0 && 2 * within(true) > places.len()
}

/// Columns that were taken for each other: found where the rest of the site, or the system of its coordinates,
/// fits only the other way round.
fn swapped(table: &Table, columns: &Columns, points: &[Surveyed], expected: &Expected) -> Option<Fault> {
    let first = points.first()?;
    let by_place = lies_only_the_other_way_round(points, expected.places);
    let utm =
        matches!(expected.axes, SiteAxes::Projected(32_601..=32_760 | 25_828..=25_838 | 26_901..=26_923));
    let easting = |value: f64| (0.0..NO_UTM_EASTING_M).contains(&value);
    let by_system = utm && points.iter().all(|p| !easting(p.x_m) && easting(p.y_m));
    (by_place || by_system).then(|| {
        table.fault_of_column(
            columns.x.column,
            "columns-swapped",
            format!(
                "x and y look swapped: the first point lies at x {}, y {}, and the site fits only the other way round",
                first.x_m, first.y_m
            ),
            "exchange the names of the two columns: x is east, y is north",
        )
    })
}

impl Points {
    /// Gives heights to the points that have none and are in a level book by name. Gives how many.
    pub fn fill_heights(&mut self, heights: &BTreeMap<String, f64>) -> usize {
        let mut filled = 0;
        for point in self.points.iter_mut().filter(|p| p.z_m.is_none()) {
            point.z_m = point.name.as_ref().and_then(|name| heights.get(name)).copied();
            filled += usize::from(point.z_m.is_some());
        }
        filled
    }

    /// The points as a surface takes them.
    ///
    /// # Errors
    /// Every point without a height, every place with two heights, breaklines of one point, and too few
    /// places or places in a row.
    pub fn scattered(&self) -> Result<Scattered, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut scattered = Scattered::default();
        let mut lines: Vec<(&str, usize)> = Vec::new();
        let mut places: BTreeMap<(u64, u64), &Surveyed> = BTreeMap::new();
        for point in &self.points {
            let Some(z_m) = point.z_m else {
                faults.push(self.no_height(point));
                continue;
            };
            let at = Point3 { x_m: point.x_m, y_m: point.y_m, z_m };
            // −0 and 0 are one place.
            let place = ((point.x_m + 0.0).to_bits(), (point.y_m + 0.0).to_bits());
            match places.get(&place) {
                Some(other) if other.z_m != point.z_m => faults.push(self.two_heights(other, point)),
                Some(_) => {}
                None => {
                    places.insert(place, point);
                }
            }
            match &point.line {
                None => scattered.points.push(at),
                Some(name) => match lines.iter().position(|(known, _)| known == name) {
                    Some(i) => scattered.breaklines[i].push(at),
                    None => {
                        lines.push((name, point.row));
                        scattered.breaklines.push(vec![at]);
                    }
                },
            }
        }
        for ((name, row), line) in lines.iter().zip(&scattered.breaklines) {
            if line.len() < 2 {
                let found = format!("line \"{name}\" has one point");
                faults.push(self.fault(
                    *row,
                    "short-breakline",
                    found,
                    "give it a second, or leave the name out",
                ));
            }
        }
        if faults.is_empty() {
            faults.extend(self.no_surface(places.values()));
        }
        if faults.is_empty() { Ok(scattered) } else { Err(faults) }
    }

    fn fault(&self, row: usize, code: &'static str, found: String, advice: &str) -> Fault {
        Fault::of_file(&self.file, code, found, advice).on_line(row)
    }

    fn no_height(&self, point: &Surveyed) -> Fault {
        let (found, advice) = match &point.name {
            Some(name) => (
                format!("point \"{name}\" has no height"),
                "write its z_m, book it in a level book under this name, or delete the row",
            ),
            None => (
                "a point without a name has no height".to_owned(),
                "write its z_m, name it as in a level book, or delete the row",
            ),
        };
        self.fault(point.row, "no-height", found, advice)
    }

    fn two_heights(&self, first: &Surveyed, second: &Surveyed) -> Fault {
        let z = |p: &Surveyed| quantity::figures::fixed(p.z_m.unwrap_or(f64::NAN), 3);
        self.fault(
            second.row,
            "two-heights",
            format!(
                "the place of line {} is there again with {} m, not {} m",
                first.row,
                z(second),
                z(first)
            ),
            "keep the right one",
        )
    }

    fn no_surface<'a>(&self, places: impl Iterator<Item = &'a &'a Surveyed>) -> Option<Fault> {
        let places: Vec<Point> = places.map(|p| Point::new(p.x_m, p.y_m)).collect();
        let advice = "measure at least three places that are not in a row";
        if places.len() < 3 {
            let found = format!(
                "only {} different place{}: no surface",
                places.len(),
                if places.len() == 1 { "" } else { "s" }
            );
            return Some(Fault::of_file(&self.file, "too-few-points", found, advice));
        }
        let from = places[0];
        let farthest = places
            .iter()
            .copied()
            .reduce(|a, b| if from.distance_m(b) > from.distance_m(a) { b } else { a })?;
        let (dx, dy, length) = (farthest.x_m - from.x_m, farthest.y_m - from.y_m, from.distance_m(farthest));
        let off_line = |p: &Point| ((p.x_m - from.x_m) * dy - (p.y_m - from.y_m) * dx).abs() / length;
        places.iter().all(|p| off_line(p) <= IN_A_ROW_SHARE * length).then(|| {
            let found = format!("all {} places lie in one straight row", places.len());
            Fault::of_file(&self.file, "points-in-a-row", found, advice)
        })
    }
}

#[cfg(test)]
mod tests;
