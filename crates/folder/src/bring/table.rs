//! A table of points: the columns by their names, in metres, feet or degrees.
//!
//! Rows of one `line` are a line, in their order; with a column `vertex`, as this program hands tables on, so are the
//! rows of one `name` whose vertices count on. A table without names on its first line is refused with the names to
//! write: point-north-east and point-east-north look alike.

use super::{Axes, Brought, HeightsBy, Kind, RawVertex, ShapeKind, Thing};
use crate::Fault;
use crate::points::{EAST, HEIGHT, LINE, NAME, NORTH, blanks_to_tabs, no_header};
use crate::raster::Note;
use crate::table::{ColumnIdx, Row, Table, text};

/// Names of columns of degrees.
const LATITUDE: [&str; 3] = ["latitude", "lat", "latitude_deg"];
/// See [`LATITUDE`].
const LONGITUDE: [&str; 5] = ["longitude", "lon", "long", "lng", "longitude_deg"];
/// Units behind a name, and their metres.
const UNITS: [(&str, f64); 4] = [("_m", 1.0), ("_ft", 0.3048), ("_mm", 0.001), ("_cm", 0.01)];

pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Brought, Vec<Fault>> {
    let text = text::decode(file, bytes).map_err(|fault| vec![fault])?;
    if let Some(fault) = no_header(file, &text) {
        return Err(vec![fault]);
    }
    let table = Table::read(file, blanks_to_tabs(&text).as_bytes())?;
    let columns = Columns::of(&table).map_err(|fault| vec![fault])?;
    let mut faults = Vec::new();
    let mut rows = Vec::new();
    for row in table.rows() {
        match columns.vertex(&row) {
            Ok(vertex) => rows.push((row, vertex)),
            Err(fault) => faults.push(fault),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let things = columns.things(&table, &rows);
    Ok(Brought {
        kind: Kind::Table,
        things,
        axes: columns.axes,
        height_unit_m: columns.height_unit_m,
        heights_by: HeightsBy::Unknown,
        notes: columns.notes(&table),
    })
}

/// Which column is what.
struct Columns {
    x: ColumnIdx,
    y: ColumnIdx,
    z: Option<ColumnIdx>,
    axes: Axes,
    height_unit_m: Option<f64>,
    name: Option<ColumnIdx>,
    line: Option<ColumnIdx>,
    vertex: Option<ColumnIdx>,
}

impl Columns {
    fn of(table: &Table) -> Result<Columns, Fault> {
        let first = |names: &[&str]| names.iter().find_map(|name| table.column(name));
        let east = length(table, &EAST);
        let north = length(table, &NORTH);
        let degrees = first(&LONGITUDE).zip(first(&LATITUDE));
        // Metres before degrees, where a table has both: they need no projection.
        let (x, y, axes) = match (east, north, degrees) {
            (Some((x, x_unit)), Some((y, y_unit)), _) => {
                if x_unit != y_unit {
                    let found = "x and y are in different units".to_owned();
                    return Err(table.fault_of_column(y, "units-differ", found, "write both in one unit"));
                }
                (x, y, Axes::Plane { unit_m: x_unit, epsg: None })
            }
            (_, _, Some((longitude, latitude))) => (longitude, latitude, Axes::Degrees),
            _ => {
                table.require("x_m")?;
                return Err(table.require("y_m").err().unwrap_or_else(|| {
                    let found = "the columns of the places are not told".to_owned();
                    table.fault("column-missing", found, "name them x_m and y_m, or longitude and latitude")
                }));
            }
        };
        let height = length(table, &HEIGHT);
        let vertex = table.column("vertex");
        Ok(Columns {
            x,
            y,
            z: height.map(|(column, _)| column),
            axes,
            height_unit_m: height.and_then(|(_, unit)| unit),
            name: first(&NAME),
            line: first(&LINE).filter(|_| vertex.is_none()),
            vertex,
        })
    }

    fn vertex(&self, row: &Row) -> Result<RawVertex, Fault> {
        let place = |column: ColumnIdx| {
            let value = if self.axes == Axes::Degrees { degrees(row, column)? } else { row.number(column)? };
            value.ok_or_else(|| {
                let found = "the point has no place".to_owned();
                row.fault(column, "no-place", found, "write it, or delete the row")
            })
        };
        let z = self.z.map_or(Ok(None), |column| row.number(column))?;
        Ok(RawVertex { x: place(self.x)?, y: place(self.y)?, z })
    }

    fn things(&self, table: &Table, rows: &[(Row, RawVertex)]) -> Vec<Thing> {
        let mut things: Vec<Thing> = Vec::new();
        for (row, vertex) in rows {
            let cell = |column: Option<ColumnIdx>| {
                column.map(|column| row.text(column).to_owned()).filter(|text| !text.is_empty())
            };
            let (name, line) = (cell(self.name), cell(self.line));
            let goes_on = cell(self.vertex).is_some_and(|number| number != "1");
            let open = match &line {
                Some(_) => {
                    things.iter_mut().find(|thing| thing.shape == ShapeKind::Line && thing.name == line)
                }
                None => things.last_mut().filter(|last| goes_on && last.name == name),
            };
            if let Some(thing) = open {
                thing.vertices.push(*vertex);
                if thing.shape == ShapeKind::Point {
                    thing.shape = ShapeKind::Line;
                }
                continue;
            }
            let shape = if line.is_some() { ShapeKind::Line } else { ShapeKind::Point };
            let attributes = self.attributes(table, row);
            things.push(Thing {
                name: line.or(name),
                layer: None,
                shape,
                vertices: vec![*vertex],
                attributes,
            });
        }
        for thing in &mut things {
            if thing.shape == ShapeKind::Line && thing.attribute("shape") == Some("area") {
                thing.shape = ShapeKind::Area;
            }
        }
        things
    }

    /// What the other columns say of a row.
    fn attributes(&self, table: &Table, row: &Row) -> Vec<(String, String)> {
        let used = [Some(self.x), Some(self.y), self.z, self.name, self.line, self.vertex];
        let others = table.names().filter_map(|name| Some((name, table.column(name)?)));
        let others = others.filter(|(name, column)| !name.is_empty() && !used.contains(&Some(*column)));
        others
            .map(|(name, column)| (name.to_lowercase(), row.text(column).to_owned()))
            .filter(|(_, value)| !value.is_empty())
            .collect()
    }

    fn notes(&self, table: &Table) -> Vec<Note> {
        let name = |column| table.name(column).unwrap_or_default();
        let height = self.z.map_or_else(String::new, |z| format!(", heights from \"{}\"", name(z)));
        let text = format!("east from column \"{}\", north from \"{}\"{height}", name(self.x), name(self.y));
        vec![Note::new("columns", text)]
    }
}

/// The column that is called by one of these names, and metres in its unit where its name tells.
fn length(table: &Table, stems: &[&str]) -> Option<(ColumnIdx, Option<f64>)> {
    stems.iter().find_map(|stem| {
        let with_unit =
            UNITS.iter().find_map(|(unit, m)| Some((table.column(&format!("{stem}{unit}"))?, Some(*m))));
        with_unit.or_else(|| Some((table.column(stem)?, None)))
    })
}

/// Degrees as a number, or as degrees, minutes and seconds with N, S, E or W.
fn degrees(row: &Row, column: ColumnIdx) -> Result<Option<f64>, Fault> {
    let text = row.text(column);
    if text.contains(['°', '\'', '"', 'N', 'S', 'E', 'W', 'n', 's', 'w']) {
        return sexagesimal(text).map(Some).ok_or_else(|| {
            let found = format!("\"{}\" is no longitude or latitude", crate::fault::shown(text));
            row.fault(column, "not-degrees", found, "write 38.7012 or 38°42'04.3\"N")
        });
    }
    row.number(column)
}

fn sexagesimal(text: &str) -> Option<f64> {
    let upper = text.trim().to_uppercase();
    let sign = if upper.contains(['S', 'W']) || upper.starts_with(['-', '\u{2212}']) { -1.0 } else { 1.0 };
    let parts: Option<Vec<f64>> = upper
        .split(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .filter(|part| !part.is_empty())
        .map(|part| part.replace(',', ".").parse().ok())
        .collect();
    let parts = parts.filter(|parts| (1..=3).contains(&parts.len()))?;
    if parts[1..].iter().any(|part| *part >= 60.0) {
        return None;
    }
    let whole = parts.iter().rev().fold(0.0, |after, part| part + after / 60.0);
    Some(sign * whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 46°30'28" is 46 + 30/60 + 28/3600 = 46.507 777 78.
    #[test]
    fn degrees_as_people_write_them() {
        for (text, expected) in [
            ("46°30'28\"N", 46.507_777_777_8),
            ("93°55.3287'W", -93.922_145),
            ("S 12,5", -12.5),
            ("-5°12'", -5.2),
        ] {
            let found = sexagesimal(text).unwrap_or(f64::NAN);
            assert!((found - expected).abs() < 1e-9, "{text}: {found}");
        }
        assert_eq!(sexagesimal("46°70'"), None);
        assert_eq!(sexagesimal("N"), None);
    }
}
