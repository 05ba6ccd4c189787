//! Tables for spreadsheets: one a layer, a vertex a row.
//!
//! Every row has the thing's name, the number of the vertex, x and y in metres, its height and, where the site lies
//! on the map, longitude and latitude; the attributes stand behind.

use super::{Feature, Layer, Value, Vertex, Works, degrees, metres, plain};
use crate::Fault;

pub(super) fn write(works: &Works) -> Result<Vec<(String, Vec<u8>)>, Fault> {
    let mut files = Vec::new();
    for layer in Layer::ALL {
        if works.features.of(layer).next().is_some() {
            files.push((format!("works-{}.csv", layer.name().replace('_', "-")), table(works, layer)?));
        }
    }
    Ok(files)
}

fn table(works: &Works, layer: Layer) -> Result<Vec<u8>, Fault> {
    // Heights of the vertices have their column already.
    let columns: Vec<&str> =
        works.features.columns(layer).into_iter().filter(|name| *name != "z_m").collect();
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut head = vec!["name", "vertex", "x_m", "y_m", "z_m"];
    if works.on_map.is_some() {
        head.extend(["longitude_deg", "latitude_deg"]);
    }
    head.extend(&columns);
    let in_memory = "a table in memory can be written";
    table.write_record(&head).expect(in_memory);
    for feature in works.features.of(layer) {
        for (i, vertex) in feature.shape.vertices().iter().enumerate() {
            let mut row = vec![feature.name.clone(), (i + 1).to_string()];
            row.extend(place(works, vertex)?);
            row.extend(columns.iter().map(|column| cell(feature, column)));
            table.write_record(&row).expect(in_memory);
        }
    }
    Ok(table.into_inner().expect(in_memory))
}

fn place(works: &Works, vertex: &Vertex) -> Result<Vec<String>, Fault> {
    let z = vertex.z_m.map_or_else(String::new, |z_m| metres(z_m).to_string());
    let mut cells = vec![metres(vertex.x_m).to_string(), metres(vertex.y_m).to_string(), z];
    if let Some(on_map) = &works.on_map {
        let (longitude, latitude) = on_map.degrees(vertex)?;
        cells.extend([degrees(longitude).to_string(), degrees(latitude).to_string()]);
    }
    Ok(cells)
}

fn cell(feature: &Feature, column: &str) -> String {
    match feature.attribute(column) {
        Some(Value::Number(number)) => plain(*number).to_string(),
        Some(Value::Text(text)) => text.clone(),
        None => String::new(),
    }
}
