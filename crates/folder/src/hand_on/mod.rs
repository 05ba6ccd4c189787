//! Handing on: the works as files that phones, maps, drawing boards and spreadsheets open.
//!
//! [`Features`] are made once; each format is one small writer of them. Where a format counts in degrees, site metres
//! are brought to WGS 84 through `place.crs` or `place.anchor`. A transverse Mercator about the anchor is true
//! there and 1e-6 too long 9 km away, far below a millimetre on one site; it counts along the sea, so a tape on ground
//! h metres up reads longer by h / 6 378 000: 3 mm in 100 m at 200 m. How well the anchor itself is known counts
//! more: read off a phone it is out by metres, and everything moves together.
//!
//! Heights stay above the site datum in every format; what a format makes of a third coordinate is told.

mod csv;
mod dxf;
mod feature;
mod gather;
mod geojson;
mod gpkg;
mod gpx;
mod kml;
mod shp;
mod wkt;
mod xml;

pub(crate) use gpx::NAMESPACE;

use std::fmt;
use std::str::FromStr;

use design::Answers;
use quantity::figures::{fixed, significant};
use serde::Serialize;
use site::Site;

use crate::Fault;
use crate::raster::{SiteAxes, Wanted};
use crate::site_plane::SitePlane;

use feature::anticlockwise;
pub use feature::{Feature, Features, Layer, Shape, Value, Vertex};

/// What works are handed on as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Format {
    /// GPX 1.1, for phones and receivers.
    Gpx,
    /// GeoJSON, RFC 7946.
    GeoJson,
    /// KML 2.2, for globes.
    Kml,
    /// Tables for spreadsheets.
    Csv,
    /// DXF, release 12, for drawing boards.
    Dxf,
    /// Shapefiles, for maps.
    Shp,
    /// GeoPackage 1.3, for maps.
    Gpkg,
}

impl Format {
    /// All of them.
    pub const ALL: [Format; 7] =
        [Format::Gpx, Format::GeoJson, Format::Kml, Format::Csv, Format::Dxf, Format::Shp, Format::Gpkg];

    /// Its short name.
    pub fn name(self) -> &'static str {
        match self {
            Format::Gpx => "gpx",
            Format::GeoJson => "geojson",
            Format::Kml => "kml",
            Format::Csv => "csv",
            Format::Dxf => "dxf",
            Format::Shp => "shp",
            Format::Gpkg => "gpkg",
        }
    }
}

impl fmt::Display for Format {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Format {
    type Err = String;

    fn from_str(text: &str) -> Result<Format, String> {
        let names: Vec<&str> = Format::ALL.iter().map(|format| format.name()).collect();
        let found = Format::ALL.into_iter().find(|format| format.name().eq_ignore_ascii_case(text));
        found.ok_or_else(|| format!("write one of {}", names.join(", ")))
    }
}

/// Works ready to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Handed {
    /// Name and bytes of each file.
    pub files: Vec<(String, Vec<u8>)>,
    /// The things in them.
    pub features: Features,
    /// What is to be known about places and heights, a sentence each.
    pub notes: Vec<String>,
}

/// Where the site's x and y lie on the map.
pub(crate) struct OnMap {
    plane: SitePlane,
}

impl OnMap {
    /// Longitude and latitude of a place, degrees, WGS 84.
    ///
    /// # Errors
    /// The place lies beyond what the projection can bring back.
    fn degrees(&self, vertex: &Vertex) -> Result<(f64, f64), Fault> {
        let mut places = [(vertex.x_m, vertex.y_m)];
        let beyond = |error| {
            let found = format!("x {}, y {} lies nowhere on the map ({error})", vertex.x_m, vertex.y_m);
            Fault::of_file(
                crate::PLAN,
                "cannot-project",
                found,
                "check place.crs or place.anchor, and the place itself",
            )
        };
        self.plane.site_to_degrees(&mut places).map_err(beyond)?;
        Ok(places[0])
    }
}

/// What every writer is given.
pub(crate) struct Works<'a> {
    /// The site's name.
    site: &'a str,
    features: &'a Features,
    on_map: Option<OnMap>,
    /// The system of the plane in words, for formats that carry it.
    wkt: Option<String>,
    /// Its number in the EPSG register; none where it has none.
    epsg: Option<u32>,
}

impl Works<'_> {
    /// A place in the plane that [`Works::wkt`] describes: the site's own, with north up.
    fn on_plane(&self, vertex: &Vertex) -> (f64, f64) {
        let mut places = [(vertex.x_m, vertex.y_m)];
        if let Some(on_map) = &self.on_map {
            on_map.plane.turn_to_plane(&mut places);
        }
        places[0]
    }
}

/// Brings the works of a site into a format.
///
/// # Errors
/// The format counts in degrees and nothing ties the site to the map, nothing has a place, or `place.crs` is not
/// known.
pub fn hand_on(site: &Site, answers: &Answers, format: Format) -> Result<Handed, Fault> {
    let features = gather::gather(site, answers);
    if features.features.is_empty() {
        let found = "nothing in the plan has a place: lines by tape lie nowhere on a map";
        let advice = "give lines by pegs or from, or hand on the peg sheet with `hillsip paper`";
        return Err(Fault::of_file(crate::PLAN, "no-places", found, advice));
    }
    let axes = Wanted::for_place(&site.plan.place)?.axes;
    let plane = SitePlane::of(axes).map_err(|refusal| refusal.of(crate::PLAN))?;
    let works = Works {
        site: &site.plan.name,
        features: &features,
        on_map: plane.map(|plane| OnMap { plane }),
        wkt: wkt::of(axes),
        epsg: match axes {
            SiteAxes::Projected(code) => Some(code),
            SiteAxes::AsInFile | SiteAxes::Anchored(_) => None,
        },
    };
    let files = match format {
        Format::Gpx => one(format, gpx::write(&works, needed(&works, format)?)?),
        Format::Kml => one(format, kml::write(&works, needed(&works, format)?)?),
        Format::GeoJson => one(format, geojson::write(&works)?),
        Format::Csv => csv::write(&works)?,
        Format::Dxf => one(format, dxf::write(&works)),
        Format::Shp => shp::write(&works),
        Format::Gpkg => vec![(format!("works.{format}"), gpkg::write(&works)?)],
    };
    let mut notes = notes(axes, format);
    if matches!(format, Format::Dxf | Format::Shp | Format::Gpkg) {
        notes.extend(flat_ones(&features));
    }
    Ok(Handed { files, features, notes })
}

fn one(format: Format, text: String) -> Vec<(String, Vec<u8>)> {
    vec![(format!("works.{format}"), text.into_bytes())]
}

fn needed<'a>(works: &'a Works, format: Format) -> Result<&'a OnMap, Fault> {
    works.on_map.as_ref().ok_or_else(|| {
        let found = format!("{format} counts in longitude and latitude, and nothing says where the site lies");
        let advice = "write place.anchor (longitude_deg, latitude_deg, bearing_deg) or place.crs, or hand on csv, \
                      which takes site metres";
        Fault::of_file(crate::PLAN, "no-anchor", found, advice)
    })
}

fn notes(axes: SiteAxes, format: Format) -> Vec<String> {
    let degrees = matches!(format, Format::Gpx | Format::Kml | Format::GeoJson);
    let places = match axes {
        SiteAxes::AsInFile => "Places are site metres: the plan has neither place.anchor nor place.crs, so they lie \
                               nowhere on a map yet."
            .to_owned(),
        SiteAxes::Anchored(_) => "Places come from place.anchor: a transverse Mercator about it, turned by its bearing, \
                                  true to less than 1 mm over the site. They are as good as the anchor: one read off a \
                                  phone is out by metres, and everything moves together."
            .to_owned(),
        SiteAxes::Projected(code) if degrees => format!(
            "Places were brought from EPSG:{code} to longitude and latitude on WGS 84, to a millimetre; where the \
             system's own datum moves with its continent, it and WGS 84 differ by up to two metres."
        ),
        SiteAxes::Projected(code) => format!("Places are x and y of EPSG:{code}."),
    };
    vec![places, "Heights are metres above the site datum, not above the sea.".to_owned()]
}

/// The things that have heights at some vertices only, which some formats cannot tell.
fn flat_ones(features: &Features) -> Option<String> {
    let partly = features.features.iter().filter(|feature| {
        let some = feature.shape.vertices().iter().any(|vertex| vertex.z_m.is_some());
        some && !feature.shape.all_heights()
    });
    let names: Vec<&str> = partly.map(|feature| feature.name.as_str()).collect();
    (!names.is_empty())
        .then(|| format!("Without heights, because some of their vertices have none: {}.", names.join(", ")))
}

/// A number as files take it: a millionth is far below what anything here is known to.
fn plain(value: f64) -> f64 {
    const MILLIONTHS: f64 = 1e6;
    let rounded = (value * MILLIONTHS).round() / MILLIONTHS;
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// Degrees to 1e-9, a tenth of a millimetre; more digits would be noise.
fn degrees(value: f64) -> f64 {
    const BILLIONTHS: f64 = 1e9;
    (value * BILLIONTHS).round() / BILLIONTHS
}

/// A height or a coordinate in metres to a tenth of a millimetre.
fn metres(value: f64) -> f64 {
    const TENTHS_MM: f64 = 1e4;
    let rounded = (value * TENTHS_MM).round() / TENTHS_MM;
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// The attributes of a thing for a person: "kind swale, length 44 m".
fn in_words(feature: &Feature) -> String {
    let words = |(name, value): &(&str, Value)| {
        let (what, unit) = unit_of(name);
        match value {
            Value::Number(number) => {
                let space = if unit.is_empty() { "" } else { " " };
                // Heights are dug by to the millimetre, whatever the datum.
                let figures = if name.ends_with("z_m") { fixed(*number, 3) } else { short(*number) };
                format!("{what} {figures}{space}{unit}")
            }
            Value::Text(text) => format!("{what} {text}"),
        }
    };
    feature.attributes.iter().map(words).collect::<Vec<_>>().join(", ")
}

/// Four significant figures without the zeros at the end.
fn short(number: f64) -> String {
    let figures = significant(number, 4);
    if figures.contains('.') {
        figures.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        figures
    }
}

/// A name parted from the unit at its end, and the unit as it is written.
fn unit_of(name: &str) -> (String, &'static str) {
    const UNITS: [(&str, &str); 8] = [
        ("_l_min", "L/min"),
        ("_l_s", "L/s"),
        ("_percent", "%"),
        ("_mm", "mm"),
        ("_m3", "m³"),
        ("_m2", "m²"),
        ("_m", "m"),
        ("_deg", "°"),
    ];
    let found = UNITS.iter().find_map(|(ending, unit)| Some((name.strip_suffix(ending)?, *unit)));
    let (what, unit) = found.unwrap_or((name, ""));
    // z is a letter for programs.
    let what = if what == "z" { "height" } else { what };
    (what.replace('_', " ").replace(" z", ""), unit)
}

#[cfg(test)]
mod tests;
