//! GeoPackage 1.3 (OGC 12-128r17): a table a layer, geometries as binary with their envelope.
//!
//! Places are in the plane of the site: `place.crs`, or a transverse Mercator about the anchor with its definition in
//! words. A thing with a vertex of unknown height has none.

use rusqlite::{Connection, params_from_iter, types::Value as Cell};

use super::{Feature, Layer, Shape, Value, Vertex, Works, plain};
use crate::Fault;

/// "GPKG".
const APPLICATION_ID: i64 = 0x4750_4B47;
/// Version 1.3.0.
const VERSION: i64 = 10_300;
/// Our number for a system that has no EPSG code; the standard keeps the lower ones.
const OWN_SYSTEM: i64 = 100_001;
/// The standard's number for a plane that nothing ties to the map.
const UNDEFINED_PLANE: i64 = -1;
/// When the content was made: fixed, so that the same works give the same bytes.
const MADE: &str = "2000-01-01T00:00:00.000Z";

const SCHEMA: &str = "
CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE,
  description TEXT DEFAULT '', last_change DATETIME NOT NULL, min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE,
  srs_id INTEGER, CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
  srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name),
  CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id));
INSERT INTO gpkg_spatial_ref_sys VALUES
  ('Undefined Cartesian', -1, 'NONE', -1, 'undefined', NULL),
  ('Undefined geographic', 0, 'NONE', 0, 'undefined', NULL),
  ('WGS 84', 4326, 'EPSG', 4326,
   'GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]]', NULL);
";

pub(super) fn write(works: &Works) -> Result<Vec<u8>, Fault> {
    made(works).map_err(|error| {
        let found = format!("the GeoPackage could not be made ({error})");
        Fault::of_file("works.gpkg", "not-made", found, "see that there is room on the disk")
    })
}

fn made(works: &Works) -> rusqlite::Result<Vec<u8>> {
    let mut connection = Connection::open_in_memory()?;
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    connection.pragma_update(None, "user_version", VERSION)?;
    let all = connection.transaction()?;
    all.execute_batch(SCHEMA)?;
    let srs_id = system(&all, works)?;
    for layer in Layer::ALL {
        if works.features.of(layer).next().is_some() {
            table(&all, works, layer, srs_id)?;
        }
    }
    all.commit()?;
    Ok(connection.serialize("main")?.to_vec())
}

/// The number of the site's system, written down where it is not there yet.
fn system(all: &Connection, works: &Works) -> rusqlite::Result<i64> {
    let Some(wkt) = &works.wkt else {
        return Ok(UNDEFINED_PLANE);
    };
    let (srs_id, organization) = works.epsg.map_or((OWN_SYSTEM, "HILLSIP"), |code| (i64::from(code), "EPSG"));
    let name = wkt.split('"').nth(1).unwrap_or_default();
    all.execute(
        "INSERT INTO gpkg_spatial_ref_sys VALUES (?1, ?2, ?3, ?2, ?4, NULL)",
        (name, srs_id, organization, wkt),
    )?;
    Ok(srs_id)
}

fn table(all: &Connection, works: &Works, layer: Layer, srs_id: i64) -> rusqlite::Result<()> {
    let features: Vec<&Feature> = works.features.of(layer).collect();
    let columns = works.features.columns(layer);
    let is_number =
        |column: &str| features.iter().any(|f| matches!(f.attribute(column), Some(Value::Number(_))));
    let typed =
        |column: &&str| format!(", \"{column}\" {}", if is_number(column) { "DOUBLE" } else { "TEXT" });
    let declared: String = columns.iter().map(typed).collect();
    let name = layer.name();
    let places = || features.iter().flat_map(|f| f.shape.vertices()).map(|vertex| works.on_plane(vertex));
    let edge = |pick: fn(f64, f64) -> f64, start: f64, axis: fn((f64, f64)) -> f64| {
        places().map(axis).fold(start, pick)
    };
    let inf = f64::INFINITY;
    let x: fn((f64, f64)) -> f64 = |place| place.0;
    let y: fn((f64, f64)) -> f64 = |place| place.1;
    all.execute(
        "INSERT INTO gpkg_contents VALUES (?1, 'features', ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        (
            name,
            "Heights are metres above the site datum.",
            MADE,
            edge(f64::min, inf, x),
            edge(f64::min, inf, y),
            edge(f64::max, -inf, x),
            edge(f64::max, -inf, y),
            srs_id,
        ),
    )?;
    // 2: a height may be there or not.
    all.execute(
        "INSERT INTO gpkg_geometry_columns VALUES (?1, 'geom', ?2, ?3, 2, 0)",
        (name, kind_of(&features), srs_id),
    )?;
    all.execute_batch(&format!(
        "CREATE TABLE {name} (id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB, name TEXT{declared});"
    ))?;
    let marks: String = columns.iter().map(|_| ", ?").collect();
    let names: String = columns.iter().map(|column| format!(", \"{column}\"")).collect();
    let mut insert = all.prepare(&format!("INSERT INTO {name} (geom, name{names}) VALUES (?, ?{marks})"))?;
    for feature in features {
        let mut cells = vec![Cell::Blob(geometry(works, feature, srs_id)), Cell::Text(feature.name.clone())];
        cells.extend(columns.iter().map(|column| match feature.attribute(column) {
            Some(Value::Number(number)) => Cell::Real(plain(*number)),
            Some(Value::Text(text)) => Cell::Text(text.clone()),
            None => Cell::Null,
        }));
        insert.execute(params_from_iter(cells))?;
    }
    Ok(())
}

/// The kind of all of them, or any.
fn kind_of(features: &[&Feature]) -> &'static str {
    let kind = |feature: &&Feature| match feature.shape {
        Shape::Point(_) => "POINT",
        Shape::Line(_) => "LINESTRING",
        Shape::Area(_) => "POLYGON",
    };
    let first = features.first().map_or("GEOMETRY", kind);
    if features.iter().all(|feature| kind(feature) == first) { first } else { "GEOMETRY" }
}

/// The standard's header with the envelope in x and y, and well-known binary behind it, all little-endian.
fn geometry(works: &Works, feature: &Feature, srs_id: i64) -> Vec<u8> {
    let with_z = feature.shape.all_heights();
    let places: Vec<(f64, f64)> =
        feature.shape.vertices().iter().map(|vertex| works.on_plane(vertex)).collect();
    let mut blob = b"GP\0\x03".to_vec();
    blob.extend((srs_id as i32).to_le_bytes());
    let least = |axis: fn(&(f64, f64)) -> f64| places.iter().map(axis).fold(f64::INFINITY, f64::min);
    let most = |axis: fn(&(f64, f64)) -> f64| places.iter().map(axis).fold(f64::NEG_INFINITY, f64::max);
    for edge in [least(|p| p.0), most(|p| p.0), least(|p| p.1), most(|p| p.1)] {
        blob.extend(edge.to_le_bytes());
    }
    let (code, run) = match &feature.shape {
        Shape::Point(vertex) => (1, vec![*vertex]),
        Shape::Line(vertices) => (2, vertices.clone()),
        Shape::Area(vertices) => {
            let mut ring = super::anticlockwise(vertices);
            ring.extend(ring.first().copied());
            (3, ring)
        }
    };
    blob.push(1);
    blob.extend((code + if with_z { 1000_u32 } else { 0 }).to_le_bytes());
    if code == 3 {
        blob.extend(1_u32.to_le_bytes());
    }
    if code != 1 {
        blob.extend((run.len() as u32).to_le_bytes());
    }
    for vertex in &run {
        position(&mut blob, works, vertex, with_z);
    }
    blob
}

fn position(blob: &mut Vec<u8>, works: &Works, vertex: &Vertex, with_z: bool) {
    let (x, y) = works.on_plane(vertex);
    blob.extend(x.to_le_bytes());
    blob.extend(y.to_le_bytes());
    if let Some(z_m) = vertex.z_m.filter(|_| with_z) {
        blob.extend(z_m.to_le_bytes());
    }
}
