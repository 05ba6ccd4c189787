use std::fs;
use std::path::Path;

use serde_json::Value;
use tempfile::TempDir;

use super::{run, with_sites};

/// Every byte of a site folder but what the program keeps for itself.
fn contents(dir: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() && name != ".hillsip" {
            found.extend(contents(&path));
        } else if path.is_file() {
            found.push((path.display().to_string(), fs::read(&path).unwrap()));
        }
    }
    found.sort();
    found
}

fn brought(home: &TempDir, args: &[&str]) -> Value {
    let all: Vec<&str> = ["bring", "quarry-bank"].iter().chain(args).chain(&["--json"]).copied().collect();
    let (out, told, code) = run(home, &all);
    assert_eq!(code, 0, "{args:?}: {told}");
    serde_json::from_str(&out).unwrap()
}

#[test]
fn a_file_is_only_looked_at_until_it_is_said_what_it_is() {
    let home = with_sites();
    let before = contents(&home.path().join("quarry-bank"));
    let (out, told, code) = run(&home, &["bring", "quarry-bank", "quarry-bank/bring/phone.gpx"]);
    assert_eq!(code, 2);
    assert!(out.contains("NOT to dig by") && told.contains("--as ground"), "{out}{told}");
    assert_eq!(contents(&home.path().join("quarry-bank")), before);
}

#[test]
fn twice_is_not_a_duplicate() {
    let home = with_sites();
    for args in [
        &["quarry-bank/bring/phone.gpx", "--as", "ground"][..],
        &["quarry-bank/bring/well.csv", "--as", "keep-clear", "--kind", "well", "--unit", "m"],
        &["quarry-bank/bring/phone.gpx", "--as", "barrier", "--kind", "hedge"],
        &["quarry-bank/bring/phone.gpx", "--as", "tree", "--species", "fig"],
    ] {
        let first = brought(&home, args);
        assert!(first["done"]["new"].as_u64().unwrap() > 0, "{first}");
        let after = contents(&home.path().join("quarry-bank"));
        let again = brought(&home, args);
        assert_eq!(again["done"]["new"], 0, "{again}");
        assert_eq!(again["done"]["known"], first["done"]["new"]);
        assert_eq!(contents(&home.path().join("quarry-bank")), after);
    }
    let (_, told, code) = run(&home, &["check", "quarry-bank"]);
    assert!(code < 2, "{told}");
}

/// What is handed on comes back as it was: pegs to the millimetre, with heights and names, and nothing new in the plan.
#[test]
fn what_is_handed_on_comes_back() {
    let home = with_sites();
    let pegs: Value = serde_json::from_str(&run(&home, &["pegs", "quarry-bank", "--json"]).0).unwrap();
    for (format, file, layer) in [
        ("gpx", "works.gpx", Some("peg")),
        ("kml", "works.kml", Some("pegs")),
        ("geojson", "works.geojson", Some("pegs")),
        ("csv", "works-pegs.csv", None),
        ("dxf", "works.dxf", Some("pegs")),
    ] {
        run(&home, &["hand-on", "quarry-bank", "--as", format]);
        let path = format!("quarry-bank/out/{file}");
        let mut args = vec![path.as_str(), "--as", "ground"];
        args.extend(layer.iter().flat_map(|layer| ["--layer", layer]));
        let told = brought(&home, &args);
        assert_eq!(told["done"]["new"], 103, "{format}: {told}");
        let written = home.path().join("quarry-bank").join(told["done"]["file"].as_str().unwrap());
        let text = fs::read_to_string(&written).unwrap();
        let rows: Vec<Vec<&str>> = text.lines().skip(2).map(|line| line.split(',').collect()).collect();
        let lines = pegs["lines"].as_array().unwrap().iter();
        let all = lines.flat_map(|line| line["pegs"].as_array().unwrap().iter().map(move |peg| (line, peg)));
        for ((line, peg), row) in all.zip(&rows) {
            assert_eq!(row[0], format!("{} {}", line["line"].as_str().unwrap(), peg["peg"]));
            for (cell, key) in row[1..4].iter().zip(["x_m", "y_m", "z_m"]) {
                let (found, expected) = (cell.parse::<f64>().unwrap(), peg[key].as_f64().unwrap());
                assert!((found - expected).abs() <= 0.001, "{format} {key}: {found} {expected}");
            }
        }
        fs::remove_file(written).unwrap();
    }
    for (file, what, layer, count) in [
        ("works.gpx", "tree", "tree", 12),
        ("works.kml", "line", "lines", 5),
        ("works.geojson", "keep-clear", "keep_clear", 6),
    ] {
        let path = format!("quarry-bank/out/{file}");
        let told = brought(&home, &[&path, "--as", what, "--layer", layer]);
        assert_eq!((&told["done"]["new"], &told["done"]["known"]), (&0.into(), &count.into()), "{told}");
    }
}

/// Lines come to a site that has none, with their kind, section and sills.
#[test]
fn lines_come_to_another_site() {
    let home = with_sites();
    run(&home, &["hand-on", "quarry-bank", "--as", "geojson"]);
    let plan = home.path().join("my-slope/site.toml");
    let text = fs::read_to_string(&plan).unwrap();
    let anchored = text.replacen(
        "[place]\n",
        "[place]\nanchor = { longitude_deg = -5.2, latitude_deg = 38.7, bearing_deg = 0 }\n",
        1,
    );
    fs::write(&plan, anchored).unwrap();
    let (_, told, code) = run(
        &home,
        &["bring", "my-slope", "quarry-bank/out/works.geojson", "--as", "line", "--layer", "lines"],
    );
    assert_eq!(code, 2, "a swale without a sill asks where it spills");
    assert!(told.contains("--sill-at-m") || told.contains("to"), "{told}");
}

#[test]
fn bad_files_are_told_and_nothing_is_written() {
    let home = with_sites();
    let big = format!("x_m,y_m\n{}", "1,2\n".repeat(1_000_001));
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("cut.gpx", b"<gpx><wpt lat=\"38.7\" lon=\"-5.2\"><ele>2".to_vec(), "breaks off"),
        ("empty.kml", Vec::new(), "the file is empty"),
        ("zip.gpx", b"PK\x03\x04\x00\x00".to_vec(), "unpack it"),
        ("picture.csv", b"\x89PNG\r\n\x1a\n".to_vec(), "this is a picture"),
        ("page.kml", b"<html></html>".to_vec(), "<html>"),
        ("swapped.gpx", b"<gpx><wpt lat=\"-5.2\" lon=\"38.7\"/></gpx>".to_vec(), "only the other way round"),
        ("far.gpx", b"<gpx><wpt lat=\"48.7\" lon=\"11.2\"/></gpx>".to_vec(), "km from the site"),
        ("absurd.csv", b"x_m,y_m,z_m\n1e12,2,3\n".to_vec(), "no place on Earth"),
        ("high.csv", b"x_m,y_m,z_m\n1,2,1e9\n".to_vec(), "no place on Earth"),
        ("bare.csv", b"x,y,z\n1,2,3\n".to_vec(), "--unit"),
        ("utm.csv", b"x_m,y_m,z_m\n308000,4285000,3\n".to_vec(), "--crs"),
        ("numbers.csv", b"1,2,3\n4,5,6\n".to_vec(), "the names of the columns"),
        ("words.csv", b"x_m,y_m,z_m\n1,two,3\n".to_vec(), "is not a number"),
        ("cut.json", b"{\"type\":\"Feature".to_vec(), "is not JSON"),
        ("cut.dxf", b"0\nSECTION\n2\nENTITIES\n0\nPOINT\n10\n".to_vec(), "breaks off"),
        (
            "bomb.gpx",
            b"<!DOCTYPE g [<!ENTITY a \"b\"><!ENTITY c \"&a;&a;\">]><gpx><wpt lat=\"1\" lon=\"2\"><name>&c;</name></wpt></gpx>".to_vec(),
            "entities",
        ),
        ("many.csv", big.into_bytes(), "more than 1000000"),
    ];
    let before = contents(&home.path().join("quarry-bank"));
    for (name, bytes, expected) in cases {
        fs::write(home.path().join(name), bytes).unwrap();
        let (out, told, code) = run(&home, &["bring", "quarry-bank", name, "--as", "ground"]);
        assert_eq!((code, out.as_str()), (2, ""), "{name}");
        assert!(told.contains(expected) && told.contains(name), "{name}: {told}");
    }
    for (args, expected) in [
        (&["bring", "quarry-bank", "nothing.gpx"][..], "there is no file"),
        (&["bring", "quarry-bank", "my-slope"], "folder"),
        (&["bring", "quarry-bank", "quarry-bank/bring/phone.gpx", "--as", "line"], "--kind swale"),
        (&["bring", "quarry-bank", "quarry-bank/bring/phone.gpx", "--as", "tree"], "--species"),
        (
            &[
                "bring",
                "quarry-bank",
                "quarry-bank/bring/phone.gpx",
                "--as",
                "line",
                "--kind",
                "moat",
                "--to",
                "ground",
            ],
            "--kind",
        ),
        (
            &[
                "bring",
                "quarry-bank",
                "quarry-bank/bring/phone.gpx",
                "--as",
                "line",
                "--kind",
                "drain",
                "--to",
                "nowhere",
            ],
            "nowhere",
        ),
        (
            &["bring", "quarry-bank", "quarry-bank/bring/phone.gpx", "--as", "ground", "--layer", "x"],
            "no layer",
        ),
    ] {
        let (out, told, code) = run(&home, args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert!(told.contains(expected), "{args:?}: {told}");
    }
    assert_eq!(contents(&home.path().join("quarry-bank")), before);
}

/// What a sheet saved, brought twice: rows of the field book once, and a line dug from end to end once.
#[test]
fn a_field_sheet_is_merged_once() {
    let home = with_sites();
    let pegs: Value = serde_json::from_str(&run(&home, &["pegs", "quarry-bank", "--json"]).0).unwrap();
    let mut lines = pegs["lines"].as_array().unwrap().iter();
    let chute = &lines.find(|line| line["line"] == "yard chute").unwrap()["pegs"];
    let of_sheet = |peg: &Value| {
        serde_json::json!({ "id": format!("s:yard chute#{}", peg["peg"]), "line": "yard chute", "peg": peg["peg"],
            "chainage_m": peg["chainage_m"], "z_m": peg["z_m"], "done": true, "fall_aimed_mm": 0,
            "fall_read_mm": if peg["peg"] == 2 { 20 } else { 0 }, "cut_cm": 20, "bank_cm": 12.5,
            "at": "2026-11-25T14:05:00.000Z" })
    };
    let sheet_pegs: Vec<Value> = chute.as_array().unwrap().iter().map(of_sheet).collect();
    let entries = sheet_pegs.len() + 2;
    let sheet = serde_json::json!({ "format": "hillsip-field-sheet", "version": 1, "site": "Quarry Bank", "sheet": "s",
        "read_from": "last_peg", "saved_at": "2026-11-25T15:00:00.000Z", "pegs": sheet_pegs,
        "proofs": [{ "line": "top", "found_mm": 22, "at": "2026-11-25T14:30:00.000Z" }],
        "notes": [{ "id": "n1", "date": "2026-11-25", "time": "14:05", "kind": "rain", "line": null, "chainage_m": null,
            "tree": null, "value": 18.5, "unit": "mm", "note": "=so much", "photo": "", "who": "", "at": "x" }] });
    let path = home.path().join("sheet.json");
    fs::write(&path, sheet.to_string()).unwrap();
    let (out, told, code) = run(&home, &["bring", "quarry-bank", "sheet.json", "--json"]);
    assert_eq!(code, 0, "{told}");
    let done: Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&done["new"], &done["known"]), (&entries.into(), &0.into()), "{done}");
    // Peg 2 was read 20 mm too low and cut 0.2 m; its loose bank of 12.5 cm settles by 25 % to 10 cm.
    let dug = fs::read_to_string(home.path().join("quarry-bank/dug/yard chute.csv")).unwrap();
    let last: Vec<f64> = dug.lines().nth(3).unwrap().split(',').map(|cell| cell.parse().unwrap()).collect();
    let z_m = chute[1]["z_m"].as_f64().unwrap();
    assert!(
        (last[1] - (z_m - 0.22)).abs() < 0.001 && (last[2] - (z_m - 0.02 + 0.1)).abs() < 0.001,
        "{dug} {z_m}"
    );
    let after = contents(&home.path().join("quarry-bank"));
    let (out, _, _) = run(&home, &["bring", "quarry-bank", "sheet.json", "--json"]);
    let again: Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&again["new"], &again["known"]), (&0.into(), &entries.into()));
    assert_eq!(contents(&home.path().join("quarry-bank")), after);
    let (_, told, code) = run(&home, &["check", "quarry-bank"]);
    assert!(code < 2, "{told}");
    for (from, to, expected) in [
        ("Quarry Bank", "Other", "the sheet is of"),
        ("\"version\":1", "\"version\":2", "is of version 2"),
        ("\"mm\"", "\"furlong\"", "is no unit of rain"),
        ("\"yard chute\"", "\"gone\"", "the plan has no line"),
    ] {
        fs::write(&path, sheet.to_string().replace(from, to)).unwrap();
        let (_, told, code) = run(&home, &["bring", "quarry-bank", "sheet.json"]);
        assert!(code == 2 && told.contains(expected), "{expected}: {told}");
        assert_eq!(contents(&home.path().join("quarry-bank")), after);
    }
}
