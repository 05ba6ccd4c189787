use std::fs;
use std::path::PathBuf;

use tempfile::TempDir;

use super::{run, with_sites};

/// The plan of the example after one change; what `check` says; and nothing lost.
fn told_after(home: &TempDir, from: &str, to: &str) -> String {
    let plan: PathBuf = home.path().join("quarry-bank/site.toml");
    let sound = fs::read_to_string(&plan).unwrap();
    assert!(sound.contains(from), "{from}");
    let spoilt = sound.replacen(from, to, 1);
    fs::write(&plan, &spoilt).unwrap();
    let (out, told, code) = run(home, &["check", "quarry-bank"]);
    assert_eq!((code, told.as_str()), (2, ""), "{out}");
    assert_eq!(fs::read_to_string(&plan).unwrap(), spoilt, "nothing is written over a faulty plan");
    for command in ["pegs", "sizes"] {
        let (out, told, code) = run(home, &[command, "quarry-bank"]);
        assert_eq!((code, out.as_str()), (2, ""), "{command}");
        assert!(told.contains("nothing was computed"), "{told}");
    }
    fs::write(&plan, &sound).unwrap();
    // Lines are broken to fit the screen: put them together again.
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn faults_of_a_plan_are_told_with_place_and_remedy() {
    let home = with_sites();
    for (from, to, expected) in [
        ("bed_width_m = 0.5", "bed_width_cm = 50", "write bed_width_m = 0.5, in metres"),
        ("at_m = 6\n", "at_m = 600\n", "sill 1 ends at"),
        ("to = \"middle\"", "to = \"top\"", "its surplus goes back into itself"),
        ("to = \"ground\"", "to = \"top\"", "goes in a circle: top → middle → low → top"),
        ("line = \"top\"\nat_m = 14", "", "tree \"F1\": it stands on no line and at no place"),
        ("line = \"top\"\nat_m = 14", "line = \"tip\"\nat_m = 14", "did you mean \"top\"?"),
        ("depth_m = 0.30", "depth_m = nan", "is not a number that can be computed with"),
        ("depth_m = 0.30", "depth_m = 1e308", "depth_m = 1e308 is more than 3"),
        ("depth_m = 0.30", "depth_m = 0,30", "has a comma within a number"),
        ("raster = \"ground/hill.asc\"", "raster = \"../hill.asc\"", "leads out of the site folder"),
        ("raster = \"ground/hill.asc\"", "raster = \"ground\"", "this is a folder, not a file"),
    ] {
        let told = told_after(&home, from, to);
        assert!(told.contains(expected), "{expected}\n{told}");
        assert!(told.contains("quarry-bank/site.toml:"), "{told}");
    }
}

#[test]
fn a_folder_or_nothing_where_a_plan_is_due() {
    let home = with_sites();
    let plan = home.path().join("quarry-bank/site.toml");
    fs::write(&plan, "").unwrap();
    let (out, _, code) = run(&home, &["check", "quarry-bank"]);
    assert_eq!(code, 2);
    assert!(out.contains("the file is empty"), "{out}");
    fs::remove_file(&plan).unwrap();
    let (out, _, _) = run(&home, &["check", "quarry-bank"]);
    assert!(out.contains("the folder has no site.toml") && out.contains("hillsip new"), "{out}");
    fs::create_dir(&plan).unwrap();
    let (out, _, _) = run(&home, &["check", "quarry-bank"]);
    assert!(out.contains("this is a folder, not a file"), "{out}");
    let (out, _, code) = run(&home, &["check", "nowhere"]);
    assert_eq!(code, 2);
    assert!(out.contains("there is no folder of this name"), "{out}");
}

/// Ten faults of one plan, as a person reads them.
#[test]
fn ten_faults_read_well() {
    let home = with_sites();
    let ten = include_str!("../../../folder/src/plan_file/cases/ten-faults.toml");
    fs::write(home.path().join("my-slope/site.toml"), ten).unwrap();
    let (out, _, code) = run(&home, &["check", "my-slope"]);
    assert_eq!(code, 2);
    insta::assert_snapshot!(out);
    let (out, _, _) = run(&home, &["check", "--json", "my-slope"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(json["faults"].as_array().unwrap().len(), 10);
    assert_eq!(json["faults"][0]["line"], 5);
}

#[test]
fn a_soak_test_is_worked_out_or_refused_with_its_place() {
    let home = with_sites();
    let (out, told, code) = run(&home, &["soak", "--json", "quarry-bank/soak/pit-1.csv"]);
    assert_eq!(code, 0, "{told}");
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    let rate = &json["soak_mm_h"];
    assert!(
        rate["low"].as_f64() <= rate["likely"].as_f64() && rate["likely"].as_f64() <= rate["high"].as_f64()
    );
    assert_eq!(json["rates"].as_array().unwrap().len(), 3);
    assert_eq!(json["rates"][0]["counts"], false);

    fs::write(home.path().join("rises.csv"), "# radius_mm = 40\ntime_min,level_mm\n0,300\n10,310\n").unwrap();
    let (out, told, code) = run(&home, &["soak", "rises.csv"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(told.contains("rises.csv:4:4: the water rises"), "{told}");
    let (_, told, code) = run(&home, &["soak", "--jar", "0,0,0"]);
    assert_eq!(code, 2);
    assert!(told.contains("are no soil"), "{told}");
    let (out, _, code) = run(&home, &["soak", "--jar", "45,30,15"]);
    assert_eq!(code, 0);
    assert!(out.contains("Sand 50 %, silt 33 %, clay 17 %: loam"), "{out}");
}
