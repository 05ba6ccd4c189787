use ground::Point;
use site::Anchor;

use super::*;
use crate::hand_on::Vertex;
use crate::raster::SiteAxes;

const ANCHOR: SiteAxes =
    SiteAxes::Anchored(Anchor { longitude_deg: -5.2, latitude_deg: 38.7, bearing_deg: 0.0 });

fn known() -> Known {
    let places = vec![Point::new(0.0, 0.0), Point::new(120.0, 100.0)];
    Known { places, latitude_deg: 38.7, elevation_m: 205.0 }
}

fn brought(bytes: &[u8]) -> Brought {
    let brought = read_bytes("f", bytes).unwrap_or_else(|faults| panic!("{faults:?}"));
    sound("f", &brought).unwrap();
    brought
}

fn refused(bytes: &[u8]) -> Fault {
    match read_bytes("f", bytes) {
        Err(faults) => faults[0].clone(),
        Ok(brought) => sound("f", &brought).expect_err("it is refused"),
    }
}

fn heights(brought: &Brought) -> Vec<Option<f64>> {
    brought.things.iter().flat_map(|thing| &thing.vertices).map(|vertex| vertex.z).collect()
}

fn gpx(inside: &str) -> Vec<u8> {
    format!("<?xml version=\"1.0\"?><gpx xmlns=\"http://www.topografix.com/GPX/1/1\">{inside}</gpx>")
        .into_bytes()
}

/// Variants that exist: no version, unknown children, a decimal comma, blanks, a blank height, a height as attribute, a
/// prefix, a byte-order mark with carriage returns, Latin-1.
#[test]
fn gpx_as_it_comes() {
    let inside = "<course>12</course><wpt lat=\"38.7\" lon=\"-5.2\"><ele> 201,5 </ele><accuracy>3</accuracy></wpt>\
                  <wpt lat=\" 38.7 \" lon=\"-5.2\"><ele/></wpt>\
                  <trk><trkseg><trkpt lat=\"38.7\" lon=\"-5.2\" ele=\"162\"/><trkpt lat=\"38.7\" lon=\"-5.1999\"/></trkseg></trk>\
                  <rte><rtept lat=\"38.7\" lon=\"-5.2\"/><rtept lat=\"38.7001\" lon=\"-5.2\"/></rte>";
    let found = brought(&gpx(inside));
    assert_eq!(heights(&found), [Some(201.5), None, Some(162.0), None, None, None]);
    assert_eq!(found.heights_by, HeightsBy::Receiver);
    let prefixed = b"\xEF\xBB\xBF<?xml version=\"1.0\"?>\r\n<g:gpx xmlns:g=\"u\">\r\n<g:wpt lat=\"1\" lon=\"2\"><g:name>a &amp; b</g:name></g:wpt></g:gpx>";
    assert_eq!(brought(prefixed).things[0].name.as_deref(), Some("a & b"));
    let latin = b"<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><gpx><wpt lat=\"1\" lon=\"2\"><name>M\xFChle</name></wpt></gpx>";
    assert_eq!(brought(latin).things[0].name.as_deref(), Some("Mühle"));
}

#[test]
fn kml_as_it_comes() {
    let text = "<kml><Document><Folder><name>plan</name><Placemark><name>a</name><Point><coordinates>\n -5.2, 38.7, 201 \n</coordinates></Point></Placemark>\
        <Placemark><MultiGeometry><LineString><coordinates>-5.2,38.7 -5.1999,38.7</coordinates></LineString>\
        <Polygon><outerBoundaryIs><LinearRing><coordinates>-5.2,38.7 -5.1999,38.7 -5.2,38.7001 -5.2,38.7</coordinates></LinearRing></outerBoundaryIs></Polygon></MultiGeometry></Placemark>\
        <Placemark><Track xmlns=\"gx\"><coord>-5.2 38.7 150</coord><coord>-5.2 38.7001 151</coord></Track></Placemark></Folder></Document></kml>";
    let found = brought(text.as_bytes());
    let shapes: Vec<(ShapeKind, usize)> =
        found.things.iter().map(|thing| (thing.shape, thing.vertices.len())).collect();
    assert_eq!(
        shapes,
        [(ShapeKind::Point, 1), (ShapeKind::Line, 2), (ShapeKind::Area, 3), (ShapeKind::Line, 2)]
    );
    assert_eq!(found.things[0].layer.as_deref(), Some("plan"));
    assert_eq!(heights(&found)[0], Some(201.0));
    let flat = "<kml><Placemark><Point><coordinates>-5.2,38.7,0</coordinates></Point></Placemark></kml>";
    let flat = brought(flat.as_bytes());
    assert_eq!(heights(&flat), [None]);
    assert_eq!(flat.notes[0].code, "heights-all-zero");
}

#[test]
fn geojson_as_it_comes() {
    let text = r#"{"type":"FeatureCollection","features":[
        {"type":"Feature","geometry":null,"properties":{}},
        {"type":"Feature","properties":{"Name":"fence","kind":"hedge","n":3},"geometry":{"type":"GeometryCollection","geometries":[
            {"type":"MultiPoint","coordinates":[[1,2],[3,4,5]]},
            {"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]],[[0.1,0.1],[0.2,0.1],[0.2,0.2],[0.1,0.1]]]]}]}}]}"#;
    let found = brought(text.as_bytes());
    assert_eq!(found.things.len(), 3);
    assert_eq!(found.things[0].name.as_deref(), Some("fence"));
    assert_eq!(found.things[2].attribute("n"), Some("3"));
    assert_eq!((found.things[2].shape, found.things[2].vertices.len()), (ShapeKind::Area, 3));
    let old = r#"{"type":"Point","coordinates":[300000,4285000],"crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::25830"}}}"#;
    assert_eq!(brought(old.as_bytes()).axes, Axes::Plane { unit_m: Some(1.0), epsg: Some(25830) });
    assert_eq!(refused(old.replace("25830", "3857").as_bytes()).code, "unknown-crs");
    let deep =
        format!("{}{}", "{\"type\":\"GeometryCollection\",\"geometries\":[".repeat(40), "]}".repeat(40));
    assert_eq!(refused(deep.as_bytes()).code, "too-deep");
}

/// R12 writes heights of 3-D polylines at each vertex; LWPOLYLINE has one under 38: forgetting it lays every contour at 0.
#[test]
fn drawings_as_they_come() {
    let text = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n\
        0\nPOINT\n8\nSPOT\n10\n1.5\n20\n2.5\n30\n201.25\n\
        0\nLWPOLYLINE\n8\nCONTOUR\n90\n2\n70\n0\n38\n202.0\n10\n0\n20\n0\n10\n5\n20\n0\n42\n0.5\n\
        0\nPOLYLINE\n8\nDITCH\n66\n1\n70\n8\n10\n0\n20\n0\n30\n0\n0\nVERTEX\n8\nDITCH\n10\n1\n20\n1\n30\n201.1\n70\n32\n\
        0\nVERTEX\n8\nDITCH\n10\n2\n20\n1\n30\n201.2\n70\n32\n0\nSEQEND\n8\nDITCH\n\
        0\nINSERT\n8\nTREES\n2\nT\n66\n1\n10\n7\n20\n8\n30\n0\n0\nATTRIB\n2\nNAME\n1\nF\\U+00FCr\n0\nSEQEND\n\
        0\nARC\n8\n0\n10\n0\n20\n0\n40\n1\n0\nENDSEC\n0\nEOF\n";
    let found = brought(text.as_bytes());
    assert_eq!(found.axes, Axes::Plane { unit_m: Some(1.0), epsg: None });
    assert_eq!(
        heights(&found),
        [Some(201.25), Some(202.0), Some(202.0), Some(201.1), Some(201.2), Some(0.0)]
    );
    assert_eq!(found.things[3].name.as_deref(), Some("Für"));
    let notes: Vec<&str> = found.notes.iter().map(|note| note.text.as_str()).collect();
    assert_eq!(notes, ["not taken: 1 ARC", "1 arcs within polylines were taken as straight"]);
    assert_eq!(refused(text.split_at(200).0.as_bytes()).code, "dxf-broken");
    let unitless = brought(text.replace("70\n6\n0\nENDSEC", "70\n0\n0\nENDSEC").as_bytes());
    assert_eq!(unitless.axes, Axes::Plane { unit_m: None, epsg: None });
}

#[test]
fn tables_as_they_come() {
    let found = brought("Name;Ostwert;Hochwert;Höhe;rl\nA;1,5;2,5;;201,25\n".as_bytes());
    assert_eq!(heights(&found), [Some(201.25)]);
    assert_eq!(found.axes, Axes::Plane { unit_m: None, epsg: None });
    let found = brought(b"point,lat,lon,z_ft\nA,38\xC2\xB042'00\"N,5\xC2\xB012'W,656.168\n");
    assert_eq!((found.axes, found.height_unit_m), (Axes::Degrees, Some(0.3048)));
    let vertex = found.things[0].vertices[0];
    assert!((vertex.x + 5.2).abs() < 1e-9 && (vertex.y - 38.7).abs() < 1e-9);
    let found = brought(b"x_m,y_m,z_m,line\n0,0,1,edge\n9,9,2,\n1,0,1,edge\n");
    assert_eq!(found.things[0].vertices.len(), 2);
    assert_eq!(refused(b"1,2,3\n4,5,6\n").code, "no-header");
    assert_eq!(refused(b"x_m,y_ft,z\n1,2,3\n").code, "units-differ");
    assert_eq!(refused(b"x_m,z_m\n1,2\n").code, "column-missing");
}

fn place(bytes: &[u8], axes: SiteAxes, asked: Asked) -> Result<Placed, Fault> {
    placed("f", &brought(bytes), axes, asked, &known()).map_err(|faults| faults[0].clone())
}

fn first(placed: &Placed) -> Vertex {
    placed.things[0].vertices[0]
}

#[test]
fn what_cannot_be_known_is_asked_for() {
    let asked = |unit_m, system| Asked { unit_m, system };
    let bare = b"x,y,z\n20,30,656\n";
    assert_eq!(place(bare, ANCHOR, Asked::default()).unwrap_err().code, "ask-unit");
    let near = place(bare, ANCHOR, asked(Some(1.0), None)).unwrap();
    assert_eq!(first(&near), Vertex { x_m: 20.0, y_m: 30.0, z_m: Some(656.0) });
    // 656 can only be feet where the site lies 205 m up, and a single one tells nothing of a range.
    assert_eq!(near.notes.last().map(|note| note.code), Some("crs-assumed"));
    let far = b"x_m,y_m,z_m\n300000,4285000,205\n";
    let fault = place(far, ANCHOR, Asked::default()).unwrap_err();
    assert_eq!(fault.code, "ask-crs");
    assert!(fault.found.contains("the site's lie from 0, 0 to 120, 100"), "{fault}");
    let fault = place(far, ANCHOR, asked(None, Some(AskedSystem::Epsg(25829)))).unwrap_err();
    assert_eq!(fault.code, "far-away");
    let untied = gpx("<wpt lat=\"38.7\" lon=\"-5.2\"/>");
    let fault = place(&untied, SiteAxes::AsInFile, Asked::default()).unwrap_err();
    assert!(fault.advice.contains("longitude_deg = -5.200000, latitude_deg = 38.700000"), "{fault}");
    let fault = place(&untied, ANCHOR, asked(None, Some(AskedSystem::Site))).unwrap_err();
    assert_eq!(fault.code, "crs-contradicts");
}

#[test]
fn swapped_far_and_absurd_places_are_told() {
    let at = |lat: &str, lon: &str| gpx(&format!("<wpt lat=\"{lat}\" lon=\"{lon}\"/>"));
    let fault = place(&at("-5.2", "38.7"), ANCHOR, Asked::default()).unwrap_err();
    assert!(fault.found.contains("only the other way round"), "{fault}");
    assert_eq!(place(&at("0", "0"), ANCHOR, Asked::default()).unwrap_err().code, "far-away");
    assert_eq!(place(&at("38.7", "120"), ANCHOR, Asked::default()).unwrap_err().code, "far-away");
    for (lat, lon, advice) in
        [("120", "38", "look swapped"), ("NaN", "1", "correct"), ("1e300", "1", "correct")]
    {
        let fault = refused(&at(lat, lon));
        assert!(fault.code == "not-on-earth" && fault.advice.contains(advice), "{fault}");
    }
    assert_eq!(refused(&at("", "1")).code, "not-a-place");
}

#[test]
fn what_heights_are_good_for() {
    let good_for = |bytes: &[u8]| place(bytes, ANCHOR, Asked::default()).unwrap().understood.good_for;
    assert_eq!(
        good_for(&gpx("<wpt lat=\"38.7\" lon=\"-5.2\"><ele>201.123</ele></wpt>")),
        Some(GoodFor::Nothing)
    );
    assert_eq!(good_for(b"x_m,y_m,z_m\n1,2,201.5\n1,3,201\n"), Some(GoodFor::Planning));
    assert_eq!(good_for(b"x_m,y_m,z_m\n1,2,201.53\n1,3,201\n"), Some(GoodFor::Digging));
    assert_eq!(good_for(b"x_m,y_m\n1,2\n"), None);
}

/// A US survey foot is 1200/3937 m: 2 ppm longer than the foot of today, 1 m in a grid of 500 000.
#[test]
fn feet_are_brought_to_metres() {
    let asked = Asked { unit_m: Some(1200.0 / 3937.0), system: Some(AskedSystem::Site) };
    let placed = place(b"x,y,z\n100,200,656\n", ANCHOR, asked).unwrap();
    let vertex = first(&placed);
    assert!((vertex.x_m - 30.480_061).abs() < 1e-6 && (vertex.z_m.unwrap() - 199.949_2).abs() < 1e-4);
    assert_eq!(placed.understood.unit.as_deref(), Some("units of 0.3048006096012192 m"));
}

/// Ten entities that each hold ten of the next: ten lines of text, 1e10 letters.
#[test]
fn what_would_hurt_is_refused() {
    let mut bomb = String::from("<?xml version=\"1.0\"?><!DOCTYPE gpx [<!ENTITY a0 \"aaaaaaaaaa\">");
    for i in 1..10 {
        bomb += &format!("<!ENTITY a{i} \"{}\">", format!("&a{};", i - 1).repeat(10));
    }
    bomb += "]><gpx><wpt lat=\"1\" lon=\"2\"><name>&a9;</name></wpt></gpx>";
    assert_eq!(refused(bomb.as_bytes()).code, "xml-broken");
    assert_eq!(refused(b"<gpx><wpt lat=\"1\" lon=\"2\">").code, "xml-broken");
    assert_eq!(refused(b"<html><body/></html>").code, "kind-unknown");
    assert_eq!(refused(b"{\"type\":\"FeatureCollection\",\"feat").code, "json-broken");
    assert_eq!(refused(b"PK\x03\x04....").code, "kind-unknown");
    assert_eq!(refused(b"").code, "empty");
    assert_eq!(refused(b"  \n ").code, "empty");
    assert_eq!(refused(b"\x00\x01\x02").code, "kind-unknown");
    assert_eq!(refused(&gpx("<metadata/>")).code, "no-places");
    let nested = "[".repeat(100_000);
    assert_eq!(refused(nested.as_bytes()).code, "json-broken");
    let deep = format!("<gpx>{}", "<a>".repeat(100_000));
    assert_eq!(refused(deep.as_bytes()).code, "xml-broken");
}
