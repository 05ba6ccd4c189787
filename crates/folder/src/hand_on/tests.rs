use serde_json::Value as Json;

use super::*;
use crate::plan_file::read_plan;

/// A line of two pegs, a tree and a building on no measured ground; `place` is what ties it to the map.
fn site(place: &str) -> Site {
    let plan = format!(
        "name = \"A & <B>\"\n[place]\nlatitude_deg = 38.7\nelevation_m = 200\n{place}\n[tool]\nkind = \"hose\"\n\
         step_m = 5\n[[soil]]\nname = \"s\"\ntexture = \"loam\"\n[rain]\n\
         design = {{ depth_mm = 60, hours = 6, once_in_years = 10 }}\n\
         [[line]]\nname = \"top & \\\"first\\\"\"\nkind = \"swale\"\npegs = [[0, 0], [100, 0]]\ncross_slope = \"10%\"\n\
         catchment_m2 = 500\nbed_width_m = 0.5\ndepth_m = 0.3\nbank_height_m = 0.3\n\
         [[line.sill]]\nat_m = 50\nwidth_m = 2\nbelow_bank_m = 0.15\nto = \"ground\"\n\
         [[tree]]\nname = \"F1\"\nspecies = \"fig\"\nx_m = 10\ny_m = -4\n\
         [[keep_clear]]\nname = \"barn\"\nkind = \"building\"\narea = [[0, 20], [0, 30], [10, 30], [10, 20]]\n"
    );
    let plan = read_plan("site.toml", plan.as_bytes()).unwrap_or_else(|faults| panic!("{faults:?}"));
    Site { plan, ground: None, dug: Default::default(), measured: Default::default() }
}

const ANCHOR: &str = "anchor = { longitude_deg = -5.2, latitude_deg = 38.7, bearing_deg = 0 }";

fn handed(place: &str, format: Format) -> Result<Handed, Fault> {
    let site = site(place);
    hand_on(&site, &design::answer(&site), format)
}

fn text(handed: &Handed, file: usize) -> String {
    String::from_utf8(handed.files[file].1.clone()).unwrap()
}

#[test]
fn geojson_has_every_thing_and_rings_run_anticlockwise() {
    let handed = handed(ANCHOR, Format::GeoJson).unwrap();
    let json: Json = serde_json::from_str(&text(&handed, 0)).unwrap();
    let layers: Vec<&str> = json["features"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["properties"]["layer"].as_str().unwrap())
        .collect();
    assert_eq!(layers, ["lines", "pegs", "pegs", "sills", "trees", "keep_clear"]);
    // Nothing was measured, so there is no height, and none is made up.
    let line = &json["features"][0]["geometry"]["coordinates"];
    assert_eq!(line[0], serde_json::json!([-5.2, 38.7]));
    let ring = json["features"][5]["geometry"]["coordinates"][0].as_array().unwrap();
    assert_eq!((ring.len(), &ring[0]), (5, &ring[4]));
    // Reversed, it starts at the south-east corner and runs north.
    let at = |i: usize, k: usize| ring[i][k].as_f64().unwrap();
    assert!(at(0, 0) > at(2, 0) && at(1, 1) > at(0, 1) && (at(1, 0) - at(0, 0)).abs() < 1e-7, "{ring:?}");
}

/// Without a tie to the map, formats in degrees are refused and the others are in site metres.
#[test]
fn what_counts_in_degrees_wants_an_anchor() {
    for format in [Format::Gpx, Format::Kml] {
        let fault = handed("", format).unwrap_err();
        assert_eq!(fault.code, "no-anchor");
        assert!(fault.advice.contains("place.anchor"), "{fault}");
    }
    let json: Json = serde_json::from_str(&text(&handed("", Format::GeoJson).unwrap(), 0)).unwrap();
    assert_eq!(json["features"][0]["geometry"]["coordinates"][1], serde_json::json!([100.0, 0.0]));
    assert!(json["coordinates"].as_str().unwrap().starts_with("site metres"));
    let table = handed("", Format::Csv).unwrap();
    assert_eq!(table.files[0].0, "works-lines.csv");
    assert!(text(&table, 0).starts_with("name,vertex,x_m,y_m,z_m,kind,"), "{}", text(&table, 0));
    assert!(handed("crs = \"EPSG:3857\"", Format::Gpx).is_err_and(|fault| fault.code == "web-mercator"));
}

#[test]
fn names_with_marks_of_xml_stay_names() {
    let gpx = text(&handed(ANCHOR, Format::Gpx).unwrap(), 0);
    assert!(gpx.contains("<name>top &amp; &quot;first&quot; 2</name>"), "{gpx}");
    assert!(gpx.contains("<name>A &amp; &lt;B&gt;</name>"));
    let kml = text(&handed(ANCHOR, Format::Kml).unwrap(), 0);
    assert!(kml.contains("<name>top &amp; &quot;first&quot;</name>"));
    assert_eq!(xml::escape("a\u{1}\u{FFFE}b\tc"), "ab\tc");
}

/// A projected system keeps its own numbers in tables, with degrees beside. EPSG:25830 has its meridian at 3° west:
/// easting 500 000 lies on it, and a northing of 0 on the equator.
#[test]
fn a_projected_site_keeps_its_numbers() {
    let mut site = site("crs = \"EPSG:25830\"");
    site.plan.lines[0].pegs = Some(vec![[500_000.0, 0.0], [500_000.0, 100.0]]);
    let table = hand_on(&site, &design::answer(&site), Format::Csv).unwrap();
    let text = text(&table, 0);
    let second: Vec<&str> = text.lines().nth(1).unwrap().split(',').collect();
    // The name is quoted and holds no comma.
    assert_eq!(second[2..4], ["500000", "0"]);
    let degrees: Vec<f64> = second[5..7].iter().map(|cell| cell.parse().unwrap()).collect();
    assert!((degrees[0] + 3.0).abs() < 1e-8 && degrees[1].abs() < 1e-8, "{degrees:?}");
}

/// The package is a database that says what it is; each table's points are the pegs of the table, its envelope is theirs,
/// and the same works give the same bytes. Offsets by the standard: 8 bytes, four of the envelope, then order and type.
#[test]
fn a_geopackage_holds_the_pegs_where_they_stand() {
    let first = handed(ANCHOR, Format::Gpkg).unwrap();
    assert_eq!(first, handed(ANCHOR, Format::Gpkg).unwrap());
    let (name, bytes) = &first.files[0];
    assert_eq!(name, "works.gpkg");
    assert_eq!(&bytes[68..72], b"GPKG", "the application's number stands at byte 68 of the database");
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    let package = rusqlite::Connection::open(&path).unwrap();
    let check: String = package.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
    assert_eq!(check, "ok");
    let broken: i64 =
        package.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0)).unwrap();
    assert_eq!(broken, 0);
    let mut pegs = package.prepare("SELECT name, geom FROM pegs ORDER BY id").unwrap();
    let rows = pegs.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    let rows: Vec<(String, Vec<u8>)> = rows.collect::<Result<_, _>>().unwrap();
    assert_eq!(rows.len(), first.features.of(Layer::Pegs).count());
    let double = |blob: &[u8], at: usize| f64::from_le_bytes(blob[at..at + 8].try_into().unwrap());
    for (feature, (name, blob)) in first.features.of(Layer::Pegs).zip(&rows) {
        let vertex = feature.shape.vertices()[0];
        assert_eq!(name, &feature.name);
        assert_eq!(&blob[..4], b"GP\0\x03");
        assert!((double(blob, 45) - vertex.x_m).abs() < 1e-6 && (double(blob, 53) - vertex.y_m).abs() < 1e-6);
        assert_eq!([double(blob, 8), double(blob, 16)], [double(blob, 45); 2]);
    }
    let edges = "SELECT min_x, max_x FROM gpkg_contents WHERE table_name = 'pegs'";
    let (least, most): (f64, f64) =
        package.query_row(edges, [], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    assert!(least.abs() < 1e-6 && (most - 100.0).abs() < 1e-6, "{least} to {most}");
}

#[test]
fn attributes_in_words_have_their_units() {
    let handed = handed(ANCHOR, Format::Kml).unwrap();
    let line = handed.features.of(Layer::Lines).next().unwrap();
    let words = in_words(line);
    assert!(words.starts_with("kind swale, length 100 m, fall 0 %, bed width 0.5 m, depth 0.3 m"), "{words}");
    assert_eq!(unit_of("spills_at_z_m"), ("spills at".to_owned(), "m"));
    assert_eq!(unit_of("flow_l_min"), ("flow".to_owned(), "L/min"));
}

#[test]
fn a_site_by_tape_alone_has_nothing_to_hand_on() {
    let plan = read_plan("site.toml", crate::starter("x").as_bytes()).unwrap();
    let site = Site { plan, ground: None, dug: Default::default(), measured: Default::default() };
    let fault = hand_on(&site, &design::answer(&site), Format::Csv).unwrap_err();
    assert_eq!(fault.code, "no-places");
}
