//! Every raster of `fixtures/rasters` against what a general-purpose library read from it.

use std::path::PathBuf;

use ground::{Point, Surface};
use serde_json::Value;

use super::*;

fn fixtures() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures/rasters"))
}

fn expected() -> Value {
    let text = std::fs::read_to_string(fixtures().join("expected.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn asc(text: &str) -> Result<RasterRead, Vec<Fault>> {
    read_bytes(text.as_bytes(), "hill.asc", &Wanted::default())
}

fn codes(faults: &[Fault]) -> Vec<&str> {
    faults.iter().map(|f| f.code).collect()
}

fn has(read: &RasterRead, code: &str) -> bool {
    read.notes.iter().any(|note| note.code == code)
}

/// Every cell bit for bit: the same number, or missing in both.
fn assert_exact(name: &str, read: &RasterRead, entry: &Value, sets: &Value) {
    let frame = read.grid.frame();
    let number = |key: &str| entry[key].as_f64().unwrap_or_else(|| panic!("{name}: {key}"));
    assert_eq!(frame.columns as f64, number("columns"), "{name}");
    assert_eq!(frame.rows as f64, number("rows"), "{name}");
    // A ten-thousandth of a millimetre: ten digits of coordinates in the millions are left.
    for (found, key) in [(frame.cell_m, "cell_m"), (frame.west_m, "west_m"), (frame.north_m, "north_m")] {
        let wanted = number(key);
        assert!((found - wanted).abs() <= 1e-7, "{name}: {key} {found}, not {wanted}");
    }
    let heights = sets[entry["heights"].as_str().unwrap()].as_array().unwrap();
    assert_eq!(heights.len(), frame.len(), "{name}");
    for (i, height) in heights.iter().enumerate() {
        let cell = frame.cell(i);
        assert_eq!(read.grid.cell_z_m(cell), height.as_f64(), "{name}: {cell:?}");
    }
}

fn assert_plane(name: &str, read: &RasterRead, entry: &Value) {
    assert!(has(read, "resampled"), "{name}");
    let number = |key: &str| entry[key].as_f64().unwrap();
    let frame = *read.grid.frame();
    let mut known = 0;
    for i in 0..frame.len() {
        let Some(z) = read.grid.cell_z_m(frame.cell(i)) else {
            continue;
        };
        known += 1;
        let p = frame.centre(frame.cell(i));
        let on_plane = number("z0_m")
            + number("east") * (p.x_m - number("x0_m"))
            + number("north") * (p.y_m - number("y0_m"));
        // Coordinates of 4 285 000 m carry 1e-9 m, and the plane a tenth of that; heights carry 1e-13.
        assert!((z - on_plane).abs() <= 1e-8, "{name}: {z}, not {on_plane}");
    }
    // 24 × 18 middles enclose 23 × 17 file cells; a rotated rim loses at most the new cells it cuts.
    assert!(known >= 22 * 16, "{name}: {known} cells known");
}

/// 24 columns and 18 rows of a second of arc about 38.6975° N. With the ellipsoid's radii of curvature there,
/// M = a(1−e²)/(1−e² sin²φ)^1.5 = 6 360 388 m and N = a/√(1−e² sin²φ) = 6 386 498 m (a = 6 378 137 m,
/// e² = 0.006 694 38, WGS 84), a second is M·4.848 137e-6 = 30.836 m north and N·cos φ·4.848 137e-6 = 24.165 m
/// east.
fn assert_degrees(name: &str, read: &RasterRead) {
    assert!(has(read, "resampled") && has(read, "about-its-middle"), "{name}");
    let frame = read.grid.frame();
    assert!((frame.cell_m - 24.165).abs() <= 0.0005, "{name}: {}", frame.cell_m);
    let bounds = frame.bounds();
    // The middles span 23 seconds by 17; the rest is the rim of new cells.
    let (wide, high) = (bounds.width_m(), bounds.height_m());
    assert!((23.0 * 24.165..25.0 * 24.165).contains(&wide), "{name}: {wide}");
    assert!((17.0 * 30.835..17.0 * 30.837 + 2.0 * 24.166).contains(&high), "{name}: {high}");
}

#[test]
fn every_geotiff_is_read_exactly_or_refused_with_the_reason() {
    let expected = expected();
    let cases = expected["geotiff"].as_object().unwrap();
    assert!(cases.len() >= 36, "{} variants", cases.len());
    for (name, entry) in cases {
        let path = fixtures().join("geotiff").join(format!("{name}.tif"));
        let result = super::read(&path, &Wanted::default());
        match entry["outcome"].as_str().unwrap() {
            "exact" => {
                let read = result.unwrap_or_else(|f| panic!("{name}: {}", f[0]));
                assert_exact(name, &read, entry, &expected["sets"]);
            }
            "plane" => assert_plane(name, &result.unwrap_or_else(|f| panic!("{name}: {}", f[0])), entry),
            "degrees" => assert_degrees(name, &result.unwrap_or_else(|f| panic!("{name}: {}", f[0]))),
            "several-bands" => {
                assert_eq!(codes(&result.expect_err(name)), ["several-bands"], "{name}");
                let second = Wanted { band: Some(2), ..Wanted::default() };
                let read = super::read(&path, &second).unwrap_or_else(|f| panic!("{name}: {}", f[0]));
                assert_exact(name, &read, entry, &expected["sets"]);
            }
            "refused" => {
                let faults = result.expect_err(name);
                assert_eq!(codes(&faults), [entry["code"].as_str().unwrap()], "{name}: {}", faults[0]);
            }
            other => panic!("{name}: {other}"),
        }
    }
    let listed = std::fs::read_dir(fixtures().join("geotiff")).unwrap().count();
    assert_eq!(listed, cases.len(), "every file of the folder is expected, and none is missing");
}

#[test]
fn every_ascii_grid_is_read_exactly_or_refused_with_the_reason() {
    let expected = expected();
    let cases = expected["ascii"].as_object().unwrap();
    assert!(cases.len() >= 15, "{} variants", cases.len());
    for (name, entry) in cases {
        let path = fixtures().join("ascii").join(format!("{name}.asc"));
        match (super::read(&path, &Wanted::default()), entry["outcome"].as_str().unwrap()) {
            (Ok(read), "exact") => assert_exact(name, &read, entry, &expected["sets"]),
            (Err(faults), "refused") => {
                assert_eq!(codes(&faults), [entry["code"].as_str().unwrap()], "{name}: {}", faults[0]);
            }
            (Ok(_), _) => panic!("{name} was read"),
            (Err(faults), _) => panic!("{name}: {}", faults[0]),
        }
    }
}

/// A public-domain raster of 3 seconds of arc; what it holds is in its own note, `fixtures/jacksboro/README.md`.
#[test]
fn published_jacksboro_cells_and_their_place() {
    let path = fixtures().join("../jacksboro/jacksboro_srtm3_int16.tif");
    let raw = read_raw(&path, "jacksboro", &Wanted::default()).unwrap();
    assert_eq!((raw.columns, raw.rows), (403, 344));
    assert_eq!(raw.z_m.iter().sum::<f64>(), 73_617_913.0);
    let cell = |row: usize, column: usize| raw.z_m[row * 403 + column];
    assert_eq!((cell(0, 0), cell(343, 402), cell(172, 201)), (483.0, 272.0, 583.0));
    assert_eq!(raw.system, System::Geographic { epsg: Some(4326) });

    let read = super::read(&path, &Wanted::default()).unwrap();
    let frame = *read.grid.frame();
    // A step to the east at the raster's middle, 36.589583° N.
    assert!((frame.cell_m - 74.573_157).abs() <= 1e-3, "{}", frame.cell_m);
    // 343 steps to the north of 92.474979 m; the meridian's curvature changes a step by 2e-5 from end to end.
    let high = frame.bounds().height_m();
    assert!((343.0 * 92.474_979 - 1.0..343.0 * 92.474_979 + 2.0 * frame.cell_m + 1.0).contains(&high));
    // The middle of the raster is its origin; the cell there was 583 m, among neighbours the file gives.
    let around: Vec<f64> = (171..174)
        .flat_map(|row| (200..203).map(move |column| (row, column)))
        .map(|(row, column)| cell(row, column))
        .collect();
    let at_origin = Surface::Grid(read.grid).z_m(Point::new(0.0, 0.0)).unwrap();
    let low = around.iter().copied().fold(f64::INFINITY, f64::min);
    let high = around.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert!((low..=high).contains(&at_origin), "{at_origin}");
}

/// The same ground through degrees and through UTM: heights at the same place agree where both are planes.
#[test]
fn degrees_can_be_brought_to_the_projected_system_of_the_site() {
    let wanted = Wanted { axes: SiteAxes::Projected(25830), ..Wanted::default() };
    let read = super::read(&fixtures().join("geotiff/degrees-f32.tif"), &wanted).unwrap();
    assert_eq!(read.epsg, Some(25830));
    // The north-west corner of the file, longitude −1.61°, latitude 38.7°, by PROJ 9.5.1.
    let bounds = read.grid.frame().bounds();
    // The middle of the first cell is half a step in, and north turns by under a degree: 30 cells of 24 m.
    assert!((bounds.min_x_m - 620_871.76).abs() <= 2.0 * 30.84, "{}", bounds.min_x_m);
    assert!((bounds.max_y_m - 4_284_402.94).abs() <= 2.0 * 30.84, "{}", bounds.max_y_m);
    let unknown = Wanted { axes: SiteAxes::Projected(28992), ..Wanted::default() };
    let faults = super::read(&fixtures().join("geotiff/strips-f32.tif"), &unknown).unwrap_err();
    assert_eq!(codes(&faults), ["unknown-crs"]);
}

#[test]
fn notes_tell_what_was_done() {
    for (file, code) in [
        ("geotiff/sparse-tiles-f32.tif", "unwritten"),
        ("geotiff/mask-strips-f32.tif", "masked"),
        ("geotiff/scale-offset-i16.tif", "scaled"),
        ("geotiff/heights-us-feet-f32.tif", "heights-converted"),
        ("geotiff/heights-feet-by-word-f32.tif", "heights-converted"),
        ("geotiff/coordinates-us-feet-f32.tif", "coordinates-converted"),
        ("geotiff/south-up-f32.tif", "turned-over"),
        ("geotiff/nodata-undeclared-f32.tif", "impossible-heights"),
        ("geotiff/strips-f32.tif", "unit-assumed"),
        ("geotiff/no-crs-f32.tif", "no-crs"),
        ("ascii/decimal-comma.asc", "decimal-comma"),
        ("ascii/no-nodata-line.asc", "no-data-assumed"),
    ] {
        let read = super::read(&fixtures().join(file), &Wanted::default()).unwrap();
        assert!(has(&read, code), "{file}: {:?}", read.notes);
    }
}

#[test]
fn a_prj_file_beside_a_grid_names_its_system() {
    let dir = tempfile::tempdir().unwrap();
    let grid = dir.path().join("hill.asc");
    std::fs::copy(fixtures().join("ascii/standard.asc"), &grid).unwrap();
    let read = |prj: &str| {
        std::fs::write(dir.path().join("hill.prj"), prj).unwrap();
        super::read(&grid, &Wanted::default())
    };
    let utm = read("PROJCS[\"ETRS_1989_UTM_Zone_30N\",GEOGCS[\"GCS_ETRS_1989\"]]").unwrap();
    assert_eq!(utm.epsg, Some(25830));
    let unknown = read("PROJCS[\"Somewhere\",GEOGCS[\"Here\"]]").unwrap_err();
    assert_eq!(codes(&unknown), ["unknown-crs"]);
}

#[test]
fn a_letter_in_a_height_is_shown_where_it_stands() {
    let faults = asc("ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2\n3 4x\n").unwrap_err();
    assert_eq!(
        faults[0].to_string(),
        "hill.asc:7:3: \"4x\" is not a number; correct it, or write the mark for \"no data\""
    );
}

#[test]
fn feet_are_suspected_when_only_they_fit_the_site() {
    let wanted = Wanted { elevation_m: Some(620.0), ..Wanted::default() };
    let text = "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n2000 2040\n2035 2050\n";
    let read = read_bytes(text.as_bytes(), "hill.asc", &wanted).unwrap();
    assert!(has(&read, "maybe-feet"), "{:?}", read.notes);
    let metres = text.replace("20", "6");
    assert!(!has(&read_bytes(metres.as_bytes(), "hill.asc", &wanted).unwrap(), "maybe-feet"));
}

/// The site's x axis may point anywhere: a plane read through an anchor with a bearing is the same plane.
#[test]
fn an_anchor_with_a_bearing_turns_the_ground_and_keeps_its_slope() {
    let path = fixtures().join("geotiff/uneven-cells-f64.tif");
    let slope = |axes| {
        let wanted = Wanted { axes, ..Wanted::default() };
        let read = super::read(&path, &wanted).unwrap_or_else(|f| panic!("{}", f[0]));
        let bounds = read.grid.frame().bounds();
        let middle =
            Point::new(0.5 * (bounds.min_x_m + bounds.max_x_m), 0.5 * (bounds.min_y_m + bounds.max_y_m));
        Surface::Grid(read.grid).gradient(middle).unwrap()
    };
    let straight = slope(SiteAxes::AsInFile);
    let anchor = |bearing_deg| {
        SiteAxes::Anchored(site::Anchor { longitude_deg: -1.62, latitude_deg: 38.7, bearing_deg })
    };
    // UTM metres are longer or shorter than true ones by at most 1 part in 1000 in a zone (scale 0.9996 at its
    // middle, 1.0010 at its edge), and its north differs from true north by less than 2° (3° · sin 38.7°).
    let true_north = slope(anchor(0.0));
    assert!((true_north.slope() / straight.slope() - 1.0).abs() <= 1e-3);
    assert!((true_north.east - straight.east).abs() <= 0.04 * straight.slope());
    // With y pointing east, climbing towards y is climbing towards the east.
    let turned = slope(anchor(90.0));
    assert!((turned.north - true_north.east).abs() <= 1e-6);
    assert!((turned.east + true_north.north).abs() <= 1e-6);
}

mod hostile;
