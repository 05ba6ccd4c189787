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
    let (out, _, code) = run(&home, &["soak", "--feel", "40,neither"]);
    assert_eq!(code, 0);
    assert!(out.contains("By feel: clay loam") && out.contains("by another it is loam"), "{out}");
    let (out, _, _) = run(&home, &["soak", "--feel", "ball", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&json["texture"], &json["or_else"]), (&"loamy sand".into(), &serde_json::Value::Null));
    for (feel, expected) in
        [("sticky", "crumbles, ball"), ("40,sticky", "gritty, smooth or neither"), ("-4,smooth", "1 to 300")]
    {
        let (_, told, code) = run(&home, &["soak", &format!("--feel={feel}")]);
        assert!(code == 2 && told.contains(expected), "{feel}\n{told}");
    }
}

/// What `check` says of the example once one of its files is another; its exit code is 2.
fn told_of(file: &str, bytes: &[u8]) -> String {
    let home = with_sites();
    fs::write(home.path().join("quarry-bank").join(file), bytes).unwrap();
    let (out, told, code) = run(&home, &["check", "quarry-bank"]);
    assert_eq!((code, told.as_str()), (2, ""), "{out}");
    assert_eq!(fs::read(home.path().join("quarry-bank").join(file)).unwrap(), bytes, "nothing is lost");
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Head of an ASCII grid of square cells from (0, 0).
fn grid(columns: &str, rows: &str, cell: &str, heights: &str) -> String {
    format!(
        "ncols {columns}\nnrows {rows}\nxllcorner 0\nyllcorner 0\ncellsize {cell}\nNODATA_value -9999\n{heights}\n"
    )
}

#[test]
fn rasters_that_cannot_be_read_are_told_with_remedy() {
    for (bytes, expected, remedy) in [
        (grid("3", "3", "10", "200 201 202 203"), "holds 4 of its 9 heights", "copy the file again"),
        (
            grid("2", "2", "10", "-9999 -9999 -9999 -9999"),
            "no cell holds a height",
            "check that the file covers",
        ),
        (grid("2", "2", "0.0001", "200 201 202 203"), "look like degrees", "projected system"),
        (grid("40000", "40000", "1", "200"), "at most 200 million", "cut out the part"),
        (grid("4000000000", "4000000000", "1", "200"), "at most 200 million", "cut out the part"),
        (grid("2", "2", "10", "200 2o1 202 203"), "2o1", "; "),
        ("hello world\n".to_owned(), "is no line of an ASCII grid's header", "bring heights as"),
        (String::new(), "the file is empty", "bring heights as"),
    ] {
        let told = told_of("ground/hill.asc", bytes.as_bytes());
        assert!(told.contains("quarry-bank/ground/hill.asc"), "{told}");
        assert!(told.contains(expected) && told.contains(remedy), "{expected}\n{told}");
    }
}

#[test]
fn points_that_make_no_ground_are_told_with_remedy() {
    let home = with_sites();
    let plan = fs::read_to_string(home.path().join("quarry-bank/site.toml")).unwrap();
    let plan = plan.replace("raster = \"ground/hill.asc\"", "points = \"ground/points.csv\"");
    fs::write(home.path().join("quarry-bank/site.toml"), plan).unwrap();
    for (rows, expected) in [
        ("0,0,200\n", "only 1 different place"),
        ("0,0,200\n10,10,201\n20,20,203\n", "in one straight row"),
        ("0,0,200\n0,0,201\n10,0,200\n0,10,200\n", "keep the right one"),
        ("0,0,nan\n10,0,200\n0,10,200\n", "\"nan\" is not a number"),
        ("0,0,1e308\n10,0,200\n0,10,200\n", "no place on Earth"),
    ] {
        fs::write(home.path().join("quarry-bank/ground/points.csv"), format!("x_m,y_m,z_m\n{rows}")).unwrap();
        let (out, _, code) = run(&home, &["check", "quarry-bank"]);
        let told = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(code == 2 && told.contains(expected), "{expected}\n{told}");
    }
}

#[test]
fn level_books_with_faults_are_told_with_place_and_remedy() {
    let home = with_sites();
    for (rows, expected) in [
        ("A,1.2,,,100,\nB,1.5,,,,\nC,,,1.1,,\n", "book.csv:3:"),
        ("A,1.2,,,100,\nB,,,1.l1,,\n", "\"1.l1\" is not a number"),
        ("A,1.2,,,100,\nB,1.3,,1.1,,\nA2,1.4,,,100,\nC,,,1.1,,\n", "if a second run starts here"),
        ("A,1.2,,,100,\nB,,1.5,,,\n", "the last reading is a foresight"),
    ] {
        let book = format!("point,backsight_m,intermediate_m,foresight_m,z_m,note\n{rows}");
        fs::write(home.path().join("book.csv"), &book).unwrap();
        let (out, told, code) = run(&home, &["levels", "book.csv"]);
        assert_eq!((code, out.as_str()), (2, ""), "{told}");
        assert!(told.contains(expected), "{expected}\n{told}");
        assert_eq!(fs::read_to_string(home.path().join("book.csv")).unwrap(), book, "nothing is lost");
    }
}

/// Rain that cannot be, storms too short or too long, tests that rise: each told by file and line, nothing computed.
#[test]
fn bad_rain_is_told_with_its_line() {
    let home = with_sites();
    let gauge = |rows: &str| {
        fs::write(home.path().join("gauge.csv"), format!("time_min,total_mm\n{rows}")).unwrap();
        run(&home, &["rain", "quarry-bank", "--members", "1", "--gauge", "gauge.csv"])
    };
    for rows in ["0,0\n10,-3\n", "0,0\n20,4\n10,6\n", "0,0\n10,7\n20,2\n", "0,0\n10,\n", "0,0\n10,wet\n"] {
        let (out, told, code) = gauge(rows);
        assert_eq!((code, out.as_str()), (2, ""), "{rows}\n{told}");
        assert!(told.contains("gauge.csv:"), "{rows}\n{told}");
    }
    for (flags, expected) in [
        (["--hours", "0.02", "--depth-mm", "5"], "0.05"),
        (["--hours", "300", "--depth-mm", "50"], "240"),
        (["--hours", "6", "--depth-mm", "-5"], "depth"),
        (["--hours", "6", "--depth-mm", "nan"], "depth"),
    ] {
        let mut asked = vec!["rain", "quarry-bank", "--members", "1"];
        asked.extend(flags);
        let (out, told, code) = run(&home, &asked);
        assert_eq!((code, out.as_str()), (2, ""), "{flags:?}\n{told}");
        assert!(told.contains(expected), "{flags:?}\n{told}");
    }
    fs::write(home.path().join("pit.csv"), "# radius_mm = 50\ntime_min,level_mm\n0,300\n30,320\n").unwrap();
    let (_, told, code) = run(&home, &["soak", "pit.csv"]);
    assert_eq!(code, 2);
    assert!(told.contains("pit.csv:4"), "{told}");
    let table = home.path().join("quarry-bank/rain/depths.csv");
    let sound = fs::read_to_string(&table).unwrap();
    fs::write(&table, "minutes,2,10\n10,8,13\n60,6,20\n").unwrap();
    let (_, told, code) = run(&home, &["rain", "quarry-bank", "--members", "1"]);
    assert_eq!(code, 2, "{told}");
    assert!(told.contains("depths.csv:"), "{told}");
    fs::write(&table, sound).unwrap();
}

/// Ten minutes and ten days are storms that can be worked through.
#[test]
fn the_shortest_and_longest_storms_are_worked_through() {
    let home = with_sites();
    for (hours, depth) in [("0.1667", "10"), ("240", "120")] {
        let asked =
            ["rain", "quarry-bank", "--members", "1", "--json", "--hours", hours, "--depth-mm", depth];
        let (out, told, code) = run(&home, &asked);
        assert!(code < 2, "{hours}\n{told}");
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert!(json["balance_error_frac"].as_f64().unwrap() <= 1e-9, "{hours}");
    }
}

/// An earlier storm left the swales full: more leaves than out of empty ones, and what stood there is told.
#[test]
fn lines_that_are_full_before_pass_more() {
    let home = with_sites();
    let leaves = |more: &[&str]| {
        let mut asked =
            vec!["rain", "quarry-bank", "--members", "1", "--json", "--depth-mm", "40", "--hours", "6"];
        asked.extend(more);
        let (out, told, code) = run(&home, &asked);
        assert!(code < 2, "{told}");
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert!(json["balance_error_frac"].as_f64().unwrap() <= 1e-9);
        let likely = |key: &str| json["site"][key]["likely"].as_f64().unwrap();
        (likely("leaves_m3"), likely("stood_before_m3"), json["storm"]["lines_before"].clone())
    };
    let (empty, full) = (leaves(&[]), leaves(&["--full-before"]));
    assert_eq!((empty.1, &empty.2, &full.2), (0.0, &"empty".into(), &"full".into()));
    assert!(full.1 > 30.0 && full.0 > empty.0 + 10.0, "{empty:?} {full:?}");
}

/// A source that its lines pick up more than once over, a seep that feeds itself, a pipe without a width.
#[test]
fn bad_sources_and_pipes_are_told_with_place_and_remedy() {
    let home = with_sites();
    let shares = "area_m2 = 260\npick_up = [{ line = \"top\", share_frac = 0.7 }, { line = \"low\", share_frac = 0.6 }]";
    for (from, to, expected) in [
        ("area_m2 = 260\ninto = \"top\"\nat_m = 34", shares, "pick up 1.30 of its water"),
        (
            "at_m = 0\nflow_l_min",
            "at_m = 0\nrises = { fed_by = \"quarry seep\", share_frac = 0.1, halves_in_days = 9 }\nflow_l_min",
            "feed each other in a circle",
        ),
        (
            "[[tree]]",
            "[[line]]\nname = \"culvert\"\nkind = \"pipe\"\npegs = [[1, 1], [2, 2]]\npipe_diameter_m = 0\nto = \"ground\"\n\n[[tree]]",
            "pipe_diameter_m",
        ),
    ] {
        let told = told_after(&home, from, to);
        assert!(told.contains(expected) && told.contains("quarry-bank/site.toml:"), "{expected}\n{told}");
    }
}
