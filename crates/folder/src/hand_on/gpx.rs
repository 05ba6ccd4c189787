//! GPX 1.1: a waypoint for everything at a place, a track for everything along a line.
//!
//! `<type>` holds the layer, `<desc>` the attributes in words, and `<extensions>` the same one by one for programs.
//! A ring goes as a track that closes. `<ele>` is the height above the site datum; the standard asks for the sea's.

use super::xml::{Xml, escape};
use super::{Feature, OnMap, Shape, Value, Vertex, Works, degrees, metres, plain};
use crate::Fault;

/// Names our own elements apart from others'.
pub(crate) const NAMESPACE: &str = "urn:hillsip:works:1";

pub(super) fn write(works: &Works, on_map: &OnMap) -> Result<String, Fault> {
    let mut xml = Xml::new();
    let root = format!(
        "version=\"1.1\" creator=\"Hillsip\" xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:works=\"{NAMESPACE}\""
    );
    xml.open("gpx", &root);
    xml.open("metadata", "");
    xml.leaf("name", works.site);
    xml.leaf("desc", "Heights are metres above the site datum, not above the sea.");
    xml.close();
    // The standard wants every waypoint before the first track.
    for feature in &works.features.features {
        if let Shape::Point(vertex) = &feature.shape {
            xml.open("wpt", &at(on_map, vertex)?);
            elevation(&mut xml, vertex);
            about(&mut xml, feature);
            xml.close();
        }
    }
    for feature in &works.features.features {
        if !matches!(feature.shape, Shape::Point(_)) {
            track(&mut xml, on_map, feature)?;
        }
    }
    Ok(xml.finish())
}

fn track(xml: &mut Xml, on_map: &OnMap, feature: &Feature) -> Result<(), Fault> {
    xml.open("trk", "");
    about(xml, feature);
    xml.open("trkseg", "");
    let closes = matches!(feature.shape, Shape::Area(_));
    let vertices = feature.shape.vertices();
    for vertex in vertices.iter().chain(vertices.first().filter(|_| closes)) {
        match vertex.z_m {
            Some(z_m) => {
                xml.line(&format!("<trkpt {}><ele>{}</ele></trkpt>", at(on_map, vertex)?, metres(z_m)));
            }
            None => xml.line(&format!("<trkpt {}/>", at(on_map, vertex)?)),
        }
    }
    xml.close();
    xml.close();
    Ok(())
}

fn at(on_map: &OnMap, vertex: &Vertex) -> Result<String, Fault> {
    let (longitude, latitude) = on_map.degrees(vertex)?;
    Ok(format!("lat=\"{}\" lon=\"{}\"", degrees(latitude), degrees(longitude)))
}

fn elevation(xml: &mut Xml, vertex: &Vertex) {
    if let Some(z_m) = vertex.z_m {
        xml.leaf("ele", &metres(z_m).to_string());
    }
}

fn about(xml: &mut Xml, feature: &Feature) {
    xml.leaf("name", &feature.name);
    xml.leaf("desc", &super::in_words(feature));
    xml.leaf("type", feature.layer.one());
    xml.open("extensions", "");
    for (name, value) in &feature.attributes {
        let text = match value {
            Value::Number(number) => plain(*number).to_string(),
            Value::Text(text) => escape(text),
        };
        xml.line(&format!("<works:{name}>{text}</works:{name}>"));
    }
    xml.close();
}
