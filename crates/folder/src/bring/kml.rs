//! KML: placemarks with points, lines, rings and tracks, in any nesting of folders and groups of shapes.
//!
//! Coordinates are `longitude,latitude,height` divided by blanks; blanks after the commas are understood. The third
//! coordinate is a height even where shapes are clamped to the ground, unless all of a file's are 0, which is how
//! programs write "none".

use roxmltree::{Document, Node};

use super::xml::{child_text, number};
use super::{Axes, Brought, HeightsBy, Kind, RawVertex, ShapeKind, Thing};
use crate::Fault;
use crate::raster::Note;

pub(super) fn read(file: &str, document: &Document) -> Result<Brought, Fault> {
    let mut things = Vec::new();
    for placemark in document.descendants().filter(|node| node.tag_name().name() == "Placemark") {
        shapes(file, document, placemark, &mut things)?;
    }
    let linked = document.descendants().any(|node| node.tag_name().name() == "NetworkLink");
    if things.is_empty() && linked {
        let found = "it only links to another file on the network";
        return Err(Fault::of_file(
            file,
            "no-places",
            found,
            "open it in the program it came from and save the places themselves",
        ));
    }
    let ours = things.iter().any(|thing| thing.attribute("fall_from_last_mm").is_some());
    let mut notes = Vec::new();
    let heights = || things.iter().flat_map(|thing| &thing.vertices).filter_map(|vertex| vertex.z);
    if heights().next().is_some() && heights().all(|z| z == 0.0) {
        notes.push(Note::new(
            "heights-all-zero",
            "every height is 0, which is how such files say that there is none",
        ));
        for vertex in things.iter_mut().flat_map(|thing| &mut thing.vertices) {
            vertex.z = None;
        }
    }
    let heights_by = if ours { HeightsBy::Ourselves } else { HeightsBy::Globe };
    Ok(Brought { kind: Kind::Kml, things, axes: Axes::Degrees, height_unit_m: Some(1.0), heights_by, notes })
}

/// Every shape of a placemark.
fn shapes(file: &str, document: &Document, placemark: Node, things: &mut Vec<Thing>) -> Result<(), Fault> {
    let name = child_text(placemark, "name");
    let folder = placemark.ancestors().find(|node| node.tag_name().name() == "Folder");
    let attributes = data(placemark);
    let layer = attributes
        .iter()
        .find(|(name, _)| name == "layer")
        .map(|(_, value)| value.clone())
        .or_else(|| folder.and_then(|folder| child_text(folder, "name")));
    for node in placemark.descendants().filter(Node::is_element) {
        let (shape, text) = match node.tag_name().name() {
            "Point" => (ShapeKind::Point, child_text(node, "coordinates")),
            "LineString" => (ShapeKind::Line, child_text(node, "coordinates")),
            // Holes of a ring are left out: they are no ground of their own.
            "outerBoundaryIs" => {
                let ring = node.descendants().find(|node| node.tag_name().name() == "LinearRing");
                (ShapeKind::Area, ring.and_then(|ring| child_text(ring, "coordinates")))
            }
            "Track" => (ShapeKind::Line, Some(track(node))),
            _ => continue,
        };
        let at = document.text_pos_at(node.range().start);
        let broken = |part: &str| {
            let found = format!("\"{}\" is not a place", crate::fault::shown(part));
            Fault::of_file(file, "not-a-place", found, "write longitude,latitude,height")
                .at(at.row as usize, at.col as usize)
        };
        let mut vertices = coordinates(&text.unwrap_or_default()).map_err(|part| broken(&part))?;
        if shape == ShapeKind::Area && vertices.len() > 1 && vertices.first() == vertices.last() {
            vertices.pop();
        }
        if !vertices.is_empty() {
            let (name, layer, attributes) = (name.clone(), layer.clone(), attributes.clone());
            things.push(Thing { name, layer, shape, vertices, attributes });
        }
    }
    Ok(())
}

/// The places of a track as one run of coordinates: `<gx:coord>` divides by blanks.
fn track(node: Node) -> String {
    let coords = node.children().filter(|child| child.tag_name().name() == "coord");
    let one = |child: Node| child.text().map(|text| text.split_whitespace().collect::<Vec<_>>().join(","));
    coords.filter_map(one).collect::<Vec<_>>().join(" ")
}

fn data(placemark: Node) -> Vec<(String, String)> {
    let data = placemark.descendants().filter(|node| matches!(node.tag_name().name(), "Data" | "SimpleData"));
    let one = |node: Node| {
        let value = match node.tag_name().name() {
            "Data" => child_text(node, "value")?,
            _ => node.text()?.trim().to_owned(),
        };
        Some((node.attribute("name")?.to_owned(), value))
    };
    data.filter_map(one).filter(|(_, value)| !value.is_empty()).collect()
}

/// The vertices of a run of coordinates, or the part that is none.
fn coordinates(text: &str) -> Result<Vec<RawVertex>, String> {
    let joined = text.split(',').map(str::trim).collect::<Vec<_>>().join(",");
    let one = |part: &str| {
        let numbers: Option<Vec<f64>> = part.trim_end_matches(',').split(',').map(number).collect();
        match numbers.as_deref() {
            Some([x, y]) => Ok(RawVertex { x: *x, y: *y, z: None }),
            Some([x, y, z]) => Ok(RawVertex { x: *x, y: *y, z: Some(*z) }),
            _ => Err(part.to_owned()),
        }
    };
    joined.split_whitespace().map(one).collect()
}
