//! GeoJSON (RFC 7946): one collection, the layer of each thing as its property `layer`.
//!
//! Coordinates are longitude, latitude and, where it is known, height. Where the site lies nowhere on the map they are
//! site metres, which the RFC (§4) allows where both sides know; the collection then says so in its `coordinates`.

use serde_json::{Map, Value as Json, json};

use super::{OnMap, Shape, Value, Vertex, Works, degrees, metres, plain};
use crate::Fault;

pub(super) fn write(works: &Works) -> Result<String, Fault> {
    let features: Result<Vec<Json>, Fault> = works
        .features
        .features
        .iter()
        .map(|feature| {
            let mut properties = Map::new();
            properties.insert("layer".to_owned(), feature.layer.name().into());
            properties.insert("name".to_owned(), feature.name.as_str().into());
            for (name, value) in &feature.attributes {
                properties.insert((*name).to_owned(), property(value));
            }
            let geometry = geometry(&feature.shape, works.on_map.as_ref())?;
            Ok(json!({ "type": "Feature", "properties": properties, "geometry": geometry }))
        })
        .collect();
    let coordinates = if works.on_map.is_some() {
        "longitude and latitude, degrees, WGS 84; heights in metres above the site datum"
    } else {
        "site metres: x east, y north; heights in metres above the site datum"
    };
    let collection = json!({
        "type": "FeatureCollection",
        "name": works.site,
        "coordinates": coordinates,
        "features": features?,
    });
    Ok(format!("{collection:#}\n"))
}

fn property(value: &Value) -> Json {
    match value {
        Value::Number(number) => plain(*number).into(),
        Value::Text(text) => text.as_str().into(),
    }
}

fn geometry(shape: &Shape, on_map: Option<&OnMap>) -> Result<Json, Fault> {
    let position = |vertex: &Vertex| position(vertex, on_map);
    let positions = |vertices: &[Vertex]| vertices.iter().map(position).collect::<Result<Vec<Json>, Fault>>();
    Ok(match shape {
        Shape::Point(vertex) => json!({ "type": "Point", "coordinates": position(vertex)? }),
        Shape::Line(vertices) => json!({ "type": "LineString", "coordinates": positions(vertices)? }),
        Shape::Area(vertices) => {
            let mut ring = positions(&super::anticlockwise(vertices))?;
            ring.extend(ring.first().cloned());
            json!({ "type": "Polygon", "coordinates": [ring] })
        }
    })
}

fn position(vertex: &Vertex, on_map: Option<&OnMap>) -> Result<Json, Fault> {
    let (x, y) = match on_map {
        Some(on_map) => {
            let (longitude, latitude) = on_map.degrees(vertex)?;
            (degrees(longitude), degrees(latitude))
        }
        None => (metres(vertex.x_m), metres(vertex.y_m)),
    };
    Ok(match vertex.z_m {
        Some(z_m) => json!([x, y, metres(z_m)]),
        None => json!([x, y]),
    })
}
