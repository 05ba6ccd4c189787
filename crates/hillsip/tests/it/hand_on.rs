use std::fs;

use super::{run, with_sites};

/// Into out/ without asking, elsewhere with `--to`; twice gives the same bytes.
#[test]
fn works_are_handed_on() {
    let home = with_sites();
    for (format, first) in [
        ("gpx", "works.gpx"),
        ("geojson", "works.geojson"),
        ("kml", "works.kml"),
        ("csv", "works-lines.csv"),
        ("dxf", "works.dxf"),
        ("shp", "works-lines.shp"),
    ] {
        let (out, told, code) = run(&home, &["hand-on", "quarry-bank", "--as", format, "--json"]);
        assert_eq!(code, 0, "{told}");
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        let file = home.path().join(json["files"][0].as_str().unwrap());
        assert!(file.ends_with(first), "{file:?}");
        let bytes = fs::read(&file).unwrap();
        let lines =
            json["layers"].as_array().unwrap().iter().find(|layer| layer["layer"] == "lines").unwrap();
        assert_eq!(lines["count"], 5);
        assert_eq!(lines["vertices"], lines["with_height"], "every peg stands on measured ground");
        fs::create_dir_all(home.path().join("usb")).unwrap();
        let (out, told, code) = run(&home, &["hand-on", "quarry-bank", "--as", format, "--to", "usb"]);
        assert_eq!(code, 0, "{told}");
        assert!(out.contains("Heights are metres above the site datum"), "{out}");
        assert_eq!(fs::read(home.path().join("usb").join(first)).unwrap(), bytes, "{format}");
    }
}

#[test]
fn what_cannot_be_handed_on_is_refused_and_nothing_is_written() {
    let home = with_sites();
    for (args, expected) in [
        (&["hand-on", "my-slope", "--as", "csv"][..], "nothing in the plan has a place"),
        (&["hand-on", "quarry-bank", "--as", "pdf"], "write one of gpx, geojson"),
        (&["hand-on", "quarry-bank", "--as", "gpx", "--to", "nowhere"], "there is no folder of this name"),
        (&["hand-on", "nowhere", "--as", "gpx"], "there is no folder of this name"),
    ] {
        let (out, told, code) = run(&home, args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert!(told.contains(expected), "{told}");
    }
    assert!(!home.path().join("quarry-bank/out").exists());
    let plan = home.path().join("quarry-bank/site.toml");
    let text = fs::read_to_string(&plan).unwrap();
    fs::write(&plan, text.replace("anchor = {", "# anchor = {")).unwrap();
    let (_, told, code) = run(&home, &["hand-on", "quarry-bank", "--as", "kml"]);
    assert_eq!(code, 2);
    assert!(told.contains("kml counts in longitude and latitude"), "{told}");
    assert!(!home.path().join("quarry-bank/out").exists());
}
