//! KML 2.2: a folder a layer, a placemark a thing, attributes as extended data.
//!
//! Shapes are clamped to the ground: heights above a site datum would put them under or over the globe. They stand in
//! the third coordinate all the same, and a thing without heights has only two.

use super::xml::{Xml, escape};
use super::{Feature, Layer, OnMap, Shape, Value, Vertex, Works, degrees, metres, plain};
use crate::Fault;

pub(super) fn write(works: &Works, on_map: &OnMap) -> Result<String, Fault> {
    let mut xml = Xml::new();
    xml.open("kml", "xmlns=\"http://www.opengis.net/kml/2.2\"");
    xml.open("Document", "");
    xml.leaf("name", works.site);
    xml.leaf("description", "Heights are metres above the site datum, not above the sea.");
    for layer in Layer::ALL {
        if works.features.of(layer).next().is_none() {
            continue;
        }
        xml.open("Folder", "");
        xml.leaf("name", layer.name());
        for feature in works.features.of(layer) {
            placemark(&mut xml, on_map, feature)?;
        }
        xml.close();
    }
    Ok(xml.finish())
}

fn placemark(xml: &mut Xml, on_map: &OnMap, feature: &Feature) -> Result<(), Fault> {
    xml.open("Placemark", "");
    xml.leaf("name", &feature.name);
    xml.leaf("description", &super::in_words(feature));
    xml.open("ExtendedData", "");
    data(xml, "layer", feature.layer.name());
    for (name, value) in &feature.attributes {
        match value {
            Value::Number(number) => data(xml, name, &plain(*number).to_string()),
            Value::Text(text) => data(xml, name, text),
        }
    }
    xml.close();
    match &feature.shape {
        Shape::Point(vertex) => xml.open_with("Point", &coordinates(on_map, std::slice::from_ref(vertex))?),
        Shape::Line(vertices) => xml.open_with("LineString", &coordinates(on_map, vertices)?),
        Shape::Area(vertices) => {
            let mut ring = super::anticlockwise(vertices);
            ring.extend(ring.first().copied());
            xml.open("Polygon", "");
            xml.leaf("altitudeMode", "clampToGround");
            xml.open("outerBoundaryIs", "");
            xml.open("LinearRing", "");
            xml.leaf("coordinates", &coordinates(on_map, &ring)?);
            xml.close();
            xml.close();
            xml.close();
        }
    }
    xml.close();
    Ok(())
}

impl Xml {
    /// A shape of one run of coordinates.
    fn open_with(&mut self, name: &'static str, coordinates: &str) {
        self.open(name, "");
        self.leaf("altitudeMode", "clampToGround");
        self.leaf("coordinates", coordinates);
        self.close();
    }
}

fn data(xml: &mut Xml, name: &str, value: &str) {
    xml.line(&format!("<Data name=\"{name}\"><value>{}</value></Data>", escape(value)));
}

fn coordinates(on_map: &OnMap, vertices: &[Vertex]) -> Result<String, Fault> {
    let one = |vertex: &Vertex| {
        let (longitude, latitude) = on_map.degrees(vertex)?;
        let height = vertex.z_m.map_or_else(String::new, |z_m| format!(",{}", metres(z_m)));
        Ok(format!("{},{}{height}", degrees(longitude), degrees(latitude)))
    };
    let all: Result<Vec<String>, Fault> = vertices.iter().map(one).collect();
    Ok(all?.join(" "))
}
