//! GeoJSON: features, collections and bare geometries.
//!
//! Coordinates are longitude and latitude unless the old member `crs` names another system, or our own `coordinates` says
//! that they are site metres.

use serde_json::Value as Json;

use super::{Axes, Brought, HeightsBy, Kind, RawVertex, ShapeKind, Thing};
use crate::Fault;
use crate::raster::Note;
use crate::raster::crs;

/// How deep collections may be nested in each other.
const DEEPEST: usize = 16;

pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Brought, Fault> {
    let text = crate::table::text::decode(file, bytes)?;
    let json: Json = serde_json::from_str(&text).map_err(|error| {
        let found = format!("the file breaks off or is not JSON ({error})");
        Fault::of_file(file, "json-broken", found, "copy or export it again")
            .at(error.line(), error.column().max(1))
    })?;
    let mut reader = Reader { file, things: Vec::new() };
    reader.object(&json, &About::default(), 0)?;
    let ours = json["coordinates"].as_str().filter(|_| json["type"] == "FeatureCollection");
    let (axes, notes) = axes(file, &json, ours)?;
    let heights_by = if ours.is_some() { HeightsBy::Ourselves } else { HeightsBy::Unknown };
    Ok(Brought {
        kind: Kind::GeoJson,
        things: reader.things,
        axes,
        height_unit_m: Some(1.0),
        heights_by,
        notes,
    })
}

fn axes(file: &str, json: &Json, ours: Option<&str>) -> Result<(Axes, Vec<Note>), Fault> {
    if ours.is_some_and(|text| text.starts_with("site metres")) {
        let note = Note::new("site-metres", "the file says that its x and y are site metres");
        return Ok((Axes::Plane { unit_m: Some(1.0), epsg: None }, vec![note]));
    }
    let Some(name) = json["crs"]["properties"]["name"].as_str() else {
        return Ok((Axes::Degrees, Vec::new()));
    };
    let upper = name.to_uppercase();
    let code = upper.rsplit([':', '/']).next().and_then(|digits| digits.parse::<u32>().ok());
    if upper.contains("CRS84") || code == Some(4326) {
        return Ok((Axes::Degrees, Vec::new()));
    }
    match code.filter(|code| crs::projection(*code).is_some()) {
        Some(epsg) => Ok((
            Axes::Plane { unit_m: Some(1.0), epsg: Some(epsg) },
            vec![Note::new("crs", format!("the file is in EPSG:{epsg}"))],
        )),
        None => {
            let found =
                format!("its coordinates are in \"{}\", which is not known here", crate::fault::shown(name));
            Err(Fault::of_file(
                file,
                "unknown-crs",
                found,
                "export it in WGS 84 or in the UTM zone of your land",
            ))
        }
    }
}

/// What a geometry's feature says of it.
#[derive(Default, Clone)]
struct About {
    name: Option<String>,
    layer: Option<String>,
    attributes: Vec<(String, String)>,
}

impl About {
    fn of(feature: &Json) -> About {
        let text = |value: &Json| match value {
            Json::String(text) => Some(text.clone()),
            Json::Number(number) => Some(number.to_string()),
            Json::Bool(flag) => Some(flag.to_string()),
            _ => None,
        };
        let properties = feature["properties"].as_object();
        let attributes: Vec<(String, String)> = properties
            .into_iter()
            .flatten()
            .filter_map(|(name, value)| Some((name.clone(), text(value)?)))
            .collect();
        let named = |wanted: &str| {
            let found = attributes.iter().find(|(name, _)| name.eq_ignore_ascii_case(wanted));
            found.map(|(_, value)| value.clone()).filter(|value| !value.is_empty())
        };
        About { name: named("name"), layer: named("layer"), attributes: attributes.clone() }
    }
}

struct Reader<'a> {
    file: &'a str,
    things: Vec<Thing>,
}

impl Reader<'_> {
    fn object(&mut self, json: &Json, about: &About, depth: usize) -> Result<(), Fault> {
        if depth > DEEPEST {
            let found = format!("collections are nested more than {DEEPEST} deep");
            return Err(Fault::of_file(self.file, "too-deep", found, "export the file again"));
        }
        let members = |name: &str| json[name].as_array().into_iter().flatten();
        let coordinates = &json["coordinates"];
        match json["type"].as_str().unwrap_or_default() {
            "FeatureCollection" => {
                members("features").try_for_each(|member| self.object(member, about, depth + 1))
            }
            "GeometryCollection" => {
                members("geometries").try_for_each(|member| self.object(member, about, depth + 1))
            }
            "Feature" if json["geometry"].is_null() => Ok(()),
            "Feature" => self.object(&json["geometry"], &About::of(json), depth + 1),
            "Point" => self.add(about, ShapeKind::Point, &[coordinates]),
            "MultiPoint" => {
                self.each(coordinates, |reader, point| reader.add(about, ShapeKind::Point, &[point]))
            }
            "LineString" => self.line(about, coordinates),
            "MultiLineString" => self.each(coordinates, |reader, line| reader.line(about, line)),
            "Polygon" => self.ring(about, coordinates),
            "MultiPolygon" => self.each(coordinates, |reader, polygon| reader.ring(about, polygon)),
            other => {
                let found = format!("\"{}\" is no kind of GeoJSON", crate::fault::shown(other));
                Err(Fault::of_file(self.file, "not-geojson", found, "export it as GeoJSON (RFC 7946)"))
            }
        }
    }

    fn each(
        &mut self,
        json: &Json,
        mut one: impl FnMut(&mut Self, &Json) -> Result<(), Fault>,
    ) -> Result<(), Fault> {
        json.as_array().into_iter().flatten().try_for_each(|member| one(self, member))
    }

    fn line(&mut self, about: &About, json: &Json) -> Result<(), Fault> {
        let positions: Vec<&Json> = json.as_array().into_iter().flatten().collect();
        self.add(about, ShapeKind::Line, &positions)
    }

    /// The outer ring; holes are no ground of their own.
    fn ring(&mut self, about: &About, json: &Json) -> Result<(), Fault> {
        let mut positions: Vec<&Json> = json[0].as_array().into_iter().flatten().collect();
        if positions.len() > 1 && positions.first() == positions.last() {
            positions.pop();
        }
        self.add(about, ShapeKind::Area, &positions)
    }

    fn add(&mut self, about: &About, shape: ShapeKind, positions: &[&Json]) -> Result<(), Fault> {
        let vertices: Result<Vec<RawVertex>, Fault> =
            positions.iter().map(|position| self.vertex(position)).collect();
        let About { name, layer, attributes } = about.clone();
        self.things.push(Thing { name, layer, shape, vertices: vertices?, attributes });
        Ok(())
    }

    fn vertex(&self, position: &Json) -> Result<RawVertex, Fault> {
        match (position[0].as_f64(), position[1].as_f64()) {
            (Some(x), Some(y)) => Ok(RawVertex { x, y, z: position[2].as_f64() }),
            _ => {
                let found = format!("{} is not a place", crate::fault::shown(&position.to_string()));
                Err(Fault::of_file(
                    self.file,
                    "not-a-place",
                    found,
                    "write [longitude, latitude] or [longitude, latitude, height]",
                ))
            }
        }
    }
}
