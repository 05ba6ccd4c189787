//! Bringing: what a phone, a map, a drawing board or a spreadsheet gives, understood and put into the site folder.
//!
//! First the file is read as it stands ([`read`]): what it is is told by its first bytes, never by its name. Then
//! its places are brought to the site's x and y ([`placed`]), and what it holds is told. Last it is put where it
//! belongs ([`put`]). What cannot be known, such as the unit of a bare number or what a track is meant to be, is asked
//! for and never guessed; nothing is written before everything is understood.

mod drawing;
mod field_sheet;
mod geojson;
mod gpx;
mod kml;
mod place;
mod put;
mod table;
#[cfg(test)]
mod tests;
mod xml;

use std::fs::File;
use std::io::Read;
use std::path::Path;

use ground::Point;
use serde::Serialize;
use site::Site;

use crate::Fault;
use crate::inside::unreadable;
use crate::load::surface::drawn_places;
use crate::raster::{Note, Wanted};

pub(crate) use drawing::APPLICATION as DXF_APPLICATION;
pub use field_sheet::{FieldSheet, field_sheet, merge};
pub use place::{Asked, AskedSystem, GoodFor, Placed, PlacedThing, Understood, placed};
pub use put::{As, Done, Wish, put};

/// Most bytes of a file that is read whole.
pub const MOST_BYTES: u64 = 128 << 20;
/// Most vertices that are taken from one file: a site of some hectares has a thousandth of them.
pub const MOST_VERTICES: usize = 1_000_000;

/// What a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Tracks, routes and waypoints.
    Gpx,
    /// Placemarks of a globe.
    Kml,
    /// GeoJSON.
    GeoJson,
    /// A table of points.
    Table,
    /// A drawing, DXF.
    Dxf,
}

impl Kind {
    /// What a person calls it.
    pub fn words(self) -> &'static str {
        match self {
            Kind::Gpx => "GPX",
            Kind::Kml => "KML",
            Kind::GeoJson => "GeoJSON",
            Kind::Table => "a table of points",
            Kind::Dxf => "a drawing (DXF)",
        }
    }
}

/// What x and y of a file are, as far as it says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Axes {
    /// Longitude and latitude, degrees, WGS 84.
    Degrees,
    /// A plane, in a unit of so many metres where the file says so, in a system where it names one.
    Plane {
        /// Metres in one unit of x and y.
        unit_m: Option<f64>,
        /// EPSG code.
        epsg: Option<u32>,
    },
}

/// Who measured the heights of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HeightsBy {
    /// A phone or a handheld receiver.
    Receiver,
    /// A model of the globe, or nobody.
    Globe,
    /// This program, from the site's own ground.
    Ourselves,
    /// The file does not say.
    Unknown,
}

/// A vertex as the file gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RawVertex {
    /// East or longitude.
    pub x: f64,
    /// North or latitude.
    pub y: f64,
    /// Height, in the file's unit.
    pub z: Option<f64>,
}

/// What kind of shape a thing has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ShapeKind {
    /// One place.
    Point,
    /// A line.
    Line,
    /// A ring.
    Area,
}

/// One thing of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// What it is called.
    pub name: Option<String>,
    /// The layer, folder or type it is in.
    pub layer: Option<String>,
    /// What kind of shape it has.
    pub shape: ShapeKind,
    /// Its vertices; a ring's first is not repeated.
    pub vertices: Vec<RawVertex>,
    /// What else is said of it.
    pub attributes: Vec<(String, String)>,
}

impl Thing {
    /// One of its attributes.
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }
}

/// A file as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Brought {
    /// What it is.
    pub kind: Kind,
    /// Its things, in order.
    pub things: Vec<Thing>,
    /// What its x and y are.
    pub axes: Axes,
    /// Metres in one unit of its heights, where it says so.
    pub height_unit_m: Option<f64>,
    /// Who measured its heights.
    pub heights_by: HeightsBy,
    /// What was understood on the way.
    pub notes: Vec<Note>,
}

/// Reads a file.
///
/// # Errors
/// What is wrong with it, with what to do.
pub fn read(path: &Path) -> Result<Brought, Vec<Fault>> {
    let file = path.display().to_string();
    let bytes = bytes_of(path, &file)?;
    let brought = read_bytes(&file, &bytes)?;
    sound(&file, &brought).map_err(|fault| vec![fault])?;
    Ok(brought)
}

fn bytes_of(path: &Path, file: &str) -> Result<Vec<u8>, Vec<Fault>> {
    let not_read = |error: std::io::Error| vec![unreadable(file, &error)];
    let about = std::fs::metadata(path).map_err(not_read)?;
    if !about.is_file() {
        let fault = Fault::of_file(file, "not-a-file", "this is a folder or a device", "name a file");
        return Err(vec![fault]);
    }
    let mut bytes = Vec::new();
    File::open(path).map_err(not_read)?.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(not_read)?;
    if bytes.len() as u64 > MOST_BYTES {
        let found = format!("the file is larger than {} MiB", MOST_BYTES >> 20);
        let fault = Fault::of_file(file, "too-large", found, "cut out the part with your land");
        return Err(vec![fault]);
    }
    Ok(bytes)
}

fn read_bytes(file: &str, bytes: &[u8]) -> Result<Brought, Vec<Fault>> {
    let one = |fault| vec![fault];
    match kind_of(bytes) {
        Found::Empty => {
            Err(one(Fault::of_file(file, "empty", "the file is empty", "copy or export it again")))
        }
        Found::Other(what, advice) => Err(one(Fault::of_file(file, "kind-unknown", what, advice))),
        Found::Xml => {
            let text = xml::decode(file, bytes).map_err(one)?;
            let document = xml::parse(file, &text).map_err(one)?;
            match document.root_element().tag_name().name() {
                "gpx" => gpx::read(file, &document).map_err(one),
                "kml" => kml::read(file, &document).map_err(one),
                other => {
                    let found = format!(
                        "this is XML of a kind that is not known here: <{}>",
                        crate::fault::shown(other)
                    );
                    Err(one(Fault::of_file(
                        file,
                        "kind-unknown",
                        found,
                        "export it as GPX, KML, GeoJSON or CSV",
                    )))
                }
            }
        }
        Found::Json => geojson::read(file, bytes).map_err(one),
        Found::Dxf => drawing::read(file, bytes).map_err(one),
        Found::Text => table::read(file, bytes),
    }
}

/// What a file is by its first bytes.
enum Found {
    Empty,
    Xml,
    Json,
    Dxf,
    Text,
    Other(String, &'static str),
}

fn kind_of(bytes: &[u8]) -> Found {
    const AS_TEXT: &str = "export it as GPX, KML, GeoJSON, DXF or CSV";
    let other = |what: &str, advice| Found::Other(what.to_owned(), advice);
    match bytes {
        [] => return Found::Empty,
        [b'P', b'K', 3 | 5, 4 | 6, ..] => {
            return other("this is a zip archive (a KMZ is one too)", "unpack it and bring the file inside");
        }
        [0x1F, 0x8B, ..] => return other("this is packed (gzip)", "unpack it and bring the file inside"),
        [b'%', b'P', b'D', b'F', ..] => return other("this is a PDF", AS_TEXT),
        [0x89, b'P', b'N', b'G', ..] | [0xFF, 0xD8, 0xFF, ..] => return other("this is a picture", AS_TEXT),
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => {
            return other(
                "this is a raster (TIFF)",
                "copy it into ground/ and name it in site.toml: [ground] raster = \"ground/…\"",
            );
        }
        _ => {}
    }
    if bytes.starts_with(b"AutoCAD Binary DXF") {
        return other("this is a DXF in its binary form", "save it as an ASCII DXF");
    }
    // UTF-16 has zero bytes and a mark before them.
    let utf16 = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
    let head = &bytes[..bytes.len().min(4096)];
    if head.contains(&0) && !utf16 {
        return other("this is neither text nor a format known here", AS_TEXT);
    }
    let text: String = String::from_utf8_lossy(head)
        .chars()
        .filter(|c| !matches!(c, '\0' | '\u{FEFF}' | '\u{FFFD}'))
        .collect();
    let text = text.trim_start();
    if text.is_empty() {
        Found::Empty
    } else if text.starts_with('<') {
        Found::Xml
    } else if text.starts_with(['{', '[']) {
        Found::Json
    } else if is_drawing(text) {
        Found::Dxf
    } else if text.starts_with("ncols") || text.to_ascii_lowercase().starts_with("ncols") {
        other(
            "this is a raster (ESRI ASCII grid)",
            "copy it into ground/ and name it in site.toml: [ground] raster = \"ground/…\"",
        )
    } else {
        Found::Text
    }
}

/// A DXF begins with a group code 0 and SECTION, or with remarks under the code 999.
fn is_drawing(text: &str) -> bool {
    let mut lines = text.lines().map(str::trim);
    matches!((lines.next(), lines.next()), (Some("0"), Some("SECTION")) | (Some("999"), Some(_)))
}

/// That there is something, not too much, and all of it numbers.
fn sound(file: &str, brought: &Brought) -> Result<(), Fault> {
    let vertices = || brought.things.iter().flat_map(|thing| &thing.vertices);
    let count = vertices().count();
    if count == 0 {
        let found = format!("{} without a single place in it", brought.kind.words());
        return Err(Fault::of_file(file, "no-places", found, "see that you exported what you meant"));
    }
    if count > MOST_VERTICES {
        let found = format!("it has {count} places, more than {MOST_VERTICES}");
        return Err(Fault::of_file(file, "too-many", found, "cut out the part with your land, or thin it"));
    }
    for vertex in vertices() {
        let place = |value: f64, farthest: f64| value.is_finite() && value.abs() <= farthest;
        let (far_x, far_y) = match brought.axes {
            Axes::Degrees => (180.0, 90.0),
            // Beyond this a number is no place on Earth in any plane and any unit, feet included.
            Axes::Plane { .. } => (1e9, 1e9),
        };
        let height = vertex.z.is_none_or(|z| place(z, 1e5));
        if !(place(vertex.x, far_x) && place(vertex.y, far_y) && height) {
            let z = vertex.z.map_or_else(String::new, |z| format!(", height {z}"));
            let swapped = brought.axes == Axes::Degrees && place(vertex.y, far_x) && place(vertex.x, far_y);
            let advice = if swapped {
                "latitude and longitude look swapped: exchange them where the file was made"
            } else {
                "correct it, or export the file again"
            };
            let found = format!("{}, {}{z} is no place on Earth", vertex.x, vertex.y);
            return Err(Fault::of_file(file, "not-on-earth", found, advice));
        }
    }
    Ok(())
}

/// What the site knows of its own places, for telling whether a file is about the same land.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Where the plan and the measured ground lie, in site metres.
    pub places: Vec<Point>,
    /// Latitude of the site.
    pub latitude_deg: f64,
    /// Height of the site above the sea.
    pub elevation_m: f64,
}

impl Known {
    /// Of a site that was read.
    pub fn of(site: &Site) -> Known {
        let mut places = drawn_places(&site.plan);
        if let Some(ground) = &site.ground {
            let bounds = ground.bounds();
            places.push(Point::new(bounds.min_x_m, bounds.min_y_m));
            places.push(Point::new(bounds.max_x_m, bounds.max_y_m));
        }
        // The anchor is the site's zero point, and the land lies round it.
        if places.is_empty() && site.plan.place.anchor.is_some() && site.plan.place.crs.is_none() {
            places.push(Point::new(0.0, 0.0));
        }
        let place = &site.plan.place;
        Known { places, latitude_deg: place.latitude_deg, elevation_m: place.elevation_m }
    }
}

/// Reads a file and brings it to a site's metres.
///
/// # Errors
/// What is wrong with it, or what has to be asked for.
pub fn understand(path: &Path, site: &Site, asked: Asked) -> Result<Placed, Vec<Fault>> {
    let axes = Wanted::for_place(&site.plan.place).map_err(|fault| vec![fault])?.axes;
    let brought = read(path)?;
    placed(&path.display().to_string(), &brought, axes, asked, &Known::of(site))
}
