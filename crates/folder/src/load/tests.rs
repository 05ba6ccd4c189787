use std::fs;
use std::path::PathBuf;

use ground::{Point, Surface};
use proptest::prelude::*;

use super::*;

const QUARRY_BANK: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures/quarry-bank");

/// A copy of the example to spoil.
struct Spoilt {
    home: tempfile::TempDir,
}

impl Spoilt {
    fn new() -> Spoilt {
        let home = tempfile::tempdir().unwrap();
        let spoilt = Spoilt { home };
        for folder in ["ground", "rain"] {
            fs::create_dir_all(spoilt.path(folder)).unwrap();
        }
        for file in ["site.toml", "ground/hill.asc", "rain/depths.csv"] {
            fs::copy(Path::new(QUARRY_BANK).join(file), spoilt.path(file)).unwrap();
        }
        spoilt
    }

    fn path(&self, inside: &str) -> PathBuf {
        self.home.path().join(inside)
    }

    fn write(&self, inside: &str, bytes: &[u8]) {
        let path = self.path(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    fn replace(&self, from: &str, to: &str) {
        let text = fs::read_to_string(self.path(PLAN)).unwrap();
        assert!(text.contains(from), "{from}");
        self.write(PLAN, text.replacen(from, to, 1).as_bytes());
    }

    fn codes(&self) -> Vec<&'static str> {
        match load(self.home.path()) {
            Ok(_) => Vec::new(),
            Err(faults) => faults.iter().map(|fault| fault.code).collect(),
        }
    }
}

#[test]
fn the_example_is_read() {
    let loaded = load(Path::new(QUARRY_BANK)).unwrap();
    assert_eq!(loaded.site.plan.name, "Quarry Bank");
    let Some(Surface::Grid(grid)) = &loaded.site.ground else {
        panic!("its ground is a raster");
    };
    assert_eq!((grid.frame().columns, grid.frame().rows), (120, 100));
}

#[test]
fn a_missing_or_odd_plan_is_told_as_such() {
    let spoilt = Spoilt::new();
    fs::remove_file(spoilt.path(PLAN)).unwrap();
    let faults = load(spoilt.home.path()).unwrap_err();
    assert_eq!(faults[0].code, "no-file");
    assert!(faults[0].advice.contains("hillsip new"), "{}", faults[0]);

    fs::create_dir(spoilt.path(PLAN)).unwrap();
    assert_eq!(spoilt.codes(), ["folder-not-file"]);
    fs::remove_dir(spoilt.path(PLAN)).unwrap();

    spoilt.write(PLAN, b"");
    assert_eq!(spoilt.codes(), ["empty"]);
    spoilt.write(PLAN, &vec![b'#'; 33 << 20]);
    assert_eq!(spoilt.codes(), ["too-large"]);
    spoilt.write(PLAN, b"\x89PNG\r\n\x1a\n\0\0");
    assert_eq!(spoilt.codes(), ["not-text"]);

    assert_eq!(load(&spoilt.path("nowhere")).unwrap_err()[0].code, "no-folder");
    assert_eq!(load(&spoilt.path("ground/hill.asc")).unwrap_err()[0].code, "file-not-folder");
}

#[test]
fn files_outside_the_folder_are_not_read() {
    let spoilt = Spoilt::new();
    for path in ["../hill.asc", "/etc/hostname", ""] {
        let spoilt = Spoilt::new();
        spoilt.replace("ground/hill.asc", path);
        assert_eq!(spoilt.codes(), ["outside-folder"], "{path}");
    }
    spoilt.replace("ground/hill.asc", "ground");
    assert_eq!(spoilt.codes(), ["folder-not-file"]);
    spoilt.replace("\"ground\"", "\"ground/hil.asc\"");
    let faults = load(spoilt.home.path()).unwrap_err();
    assert_eq!((faults[0].code, faults[0].line.is_some()), ("no-file", true), "{}", faults[0]);
}

/// Five points 20 m apart, crossing breaklines that disagree by 1 m in the middle, and one point given twice. The
/// notes say so; the example's raster, surveyed closely, gets none of them.
#[test]
fn what_is_doubtful_about_the_ground_is_told() {
    let spoilt = Spoilt::new();
    spoilt.replace("raster = \"ground/hill.asc\"", "points = \"ground/points.csv\"");
    spoilt.write(
        "ground/points.csv",
        b"point,x_m,y_m,z_m,line\nA,0,0,100,up\nB,20,20,102,up\nC,20,0,100,across\nD,0,20,100,across\n\
          E,40,10,101,\nE,40,10,101,\n",
    );
    let codes = |dir: &Path| -> Vec<&'static str> {
        let notes = load(dir).unwrap().notes;
        notes.iter().map(|note| note.code).collect()
    };
    let of_points = codes(spoilt.home.path());
    for expected in ["points-merged", "breaklines-disagree"] {
        assert!(of_points.contains(&expected), "{expected}: {of_points:?}");
        assert!(!codes(Path::new(QUARRY_BANK)).contains(&expected), "{expected}");
    }
    let notes = load(spoilt.home.path()).unwrap().notes;
    let crossing = notes.iter().find(|note| note.code == "breaklines-disagree").unwrap();
    assert!(
        crossing.text.contains("(10.00, 10.00)") && crossing.text.contains("100.0 cm"),
        "{}",
        crossing.text
    );
}

/// A tree at (50, 540) stands beside a survey that reaches from (500, 0) to (620, 90), and among it once x and y
/// are exchanged.
#[test]
fn exchanged_columns_are_noticed_by_the_things_of_the_plan() {
    let home = tempfile::tempdir().unwrap();
    let points = "point,x_m,y_m,z_m\nA,500,0,200\nB,620,0,205\nC,620,90,210\nD,500,90,210\n";
    fs::create_dir(home.path().join("ground")).unwrap();
    fs::write(home.path().join("ground/points.csv"), points).unwrap();
    for (x_m, y_m, swapped) in [(50, 540, true), (540, 50, false), (5000, 5000, false)] {
        let tree = format!("[[tree]]\nname = \"far\"\nspecies = \"fig\"\nx_m = {x_m}\ny_m = {y_m}\n");
        let ground = "[ground]\npoints = \"ground/points.csv\"\n";
        fs::write(home.path().join(PLAN), format!("{}\n{ground}\n{tree}", crate::starter("far"))).unwrap();
        let faults = load(home.path()).err().unwrap_or_default();
        assert_eq!(faults.iter().any(|fault| fault.code == "columns-swapped"), swapped, "{faults:?}");
    }
}

/// Three points of the plane z = 100 + x/10, one of them only booked: a backsight of 2 m on 100 m and a
/// foresight of 1 m make 101 m at x = 10.
#[test]
fn points_and_books_make_the_ground() {
    let spoilt = Spoilt::new();
    spoilt.replace(
        "raster = \"ground/hill.asc\"",
        "points = \"ground/points.csv\"\nbooks = [\"ground/book.csv\"]",
    );
    spoilt.write("ground/points.csv", b"point,x_m,y_m,z_m\nA,0,0,100\nB,10,0,\nC,0,10,100\nD,10,10,101\n");
    spoilt.write(
        "ground/book.csv",
        b"point,backsight_m,intermediate_m,foresight_m,z_m,note\nA,2,,,100,\nB,,,1,,\n",
    );
    let loaded = load(spoilt.home.path()).unwrap();
    let z_m = loaded.site.ground.unwrap().z_m(Point::new(5.0, 5.0)).unwrap();
    assert!((z_m - 100.5).abs() < 1e-9, "{z_m}");
    assert!(loaded.notes.iter().any(|note| note.code == "heights-from-books"));

    spoilt.write("ground/points.csv", b"point,x_m,y_m,z_m\nA,0,0,1o0\n");
    spoilt.write(
        "ground/book.csv",
        b"point,backsight_m,intermediate_m,foresight_m,z_m,note\nA,x,,,100,\nB,,,1,,\n",
    );
    let faults = load(spoilt.home.path()).unwrap_err();
    let files: Vec<_> = faults.iter().filter_map(|fault| fault.file.rsplit('/').next()).collect();
    assert!(files.contains(&"points.csv") && files.contains(&"book.csv"), "{faults:?}");
    fs::remove_file(spoilt.path("ground/book.csv")).unwrap();
    let faults = load(spoilt.home.path()).unwrap_err();
    assert!(faults.iter().any(|fault| fault.code == "no-file" && fault.column.is_some()), "{faults:?}");
}

#[cfg(unix)]
#[test]
fn links_are_followed_inside_the_folder_only() {
    let spoilt = Spoilt::new();
    std::os::unix::fs::symlink(spoilt.path("ground/hill.asc"), spoilt.path("ground/link.asc")).unwrap();
    spoilt.replace("ground/hill.asc", "ground/link.asc");
    assert_eq!(spoilt.codes(), [""; 0]);

    let elsewhere = tempfile::NamedTempFile::new().unwrap();
    fs::remove_file(spoilt.path("ground/link.asc")).unwrap();
    std::os::unix::fs::symlink(elsewhere.path(), spoilt.path("ground/link.asc")).unwrap();
    assert_eq!(spoilt.codes(), ["outside-folder"]);

    fs::remove_file(spoilt.path("ground/link.asc")).unwrap();
    std::os::unix::fs::symlink(spoilt.path("ground/link.asc"), spoilt.path("ground/link.asc")).unwrap();
    assert_eq!(spoilt.codes(), ["unreadable"]);
}

#[test]
fn dug_levels_are_read_and_their_faults_told_with_the_plans() {
    let spoilt = Spoilt::new();
    spoilt.write("dug/top.csv", b"chainage_m,bed_z_m,bank_z_m\n0,205.1,205.7\n44,205.1,205.7\n");
    let loaded = load(spoilt.home.path()).unwrap();
    assert_eq!(loaded.site.dug["top"].len(), 2);

    spoilt.write("dug/midle.csv", b"chainage_m,bed_z_m\n0,204\n10,204\n");
    spoilt.write("dug/low.csv", b"chainage_m,bed_z_m\n0,2o4\n10,204\n");
    spoilt.replace("step_m = 2.0", "step_m = 200");
    let faults = load(spoilt.home.path()).unwrap_err();
    let told: Vec<_> = faults.iter().map(|fault| fault.code).collect();
    assert_eq!(told, ["out-of-range", "not-a-number", "no-such-line"]);
    assert_eq!(faults[2].advice, "did you mean dug/middle.csv?");
}

/// A fault in the plan does not hide those of the files it names.
#[test]
fn faults_of_all_files_are_told_in_one_go() {
    let spoilt = Spoilt::new();
    spoilt.replace("step_m = 2.0", "step_m = 200");
    spoilt.write("ground/hill.asc", b"ncols 2\n");
    spoilt.replace("table = \"rain/depths.csv\"", "table = \"rain/depth.csv\"");
    let faults = load(spoilt.home.path()).unwrap_err();
    assert_eq!(faults[0].code, "out-of-range");
    assert!(faults.iter().any(|fault| fault.file.ends_with("hill.asc")), "{faults:?}");
    assert!(faults.iter().any(|fault| fault.code == "no-file"), "{faults:?}");
}

#[test]
fn soak_tests_are_read_and_their_soil_is_one_of_the_plans() {
    let spoilt = Spoilt::new();
    spoilt.write("soak/a.csv", b"# radius_mm = 40\n# soil = bank loam\ntime_min,level_mm\n0,300\n30,200\n");
    assert_eq!(load(spoilt.home.path()).unwrap().site.measured.soak_tests.len(), 1);
    spoilt.write("soak/a.csv", b"# radius_mm = 40\n# soil = bank lime\ntime_min,level_mm\n0,300\n30,200\n");
    spoilt.write("soak/b.csv", b"# radius_mm = 40\ntime_min,level_mm\n0,300\n30,310\n");
    assert_eq!(spoilt.codes(), ["no-such-soil", "water-rises"]);
}

#[test]
fn weather_is_read_where_there_is_any() {
    let spoilt = Spoilt::new();
    assert_eq!(load(spoilt.home.path()).unwrap().site.measured.weather, None);
    let weather = "date,precip_in,gathered_days,tmin_c,tmax_c\n2026-03-01,T,,3,12\n2026-03-02,,,4,13\n\
                   2026-03-05,1,3,4,14\n2026-03-06,16.5,,4,14\n";
    spoilt.write("weather.csv", weather.as_bytes());
    let loaded = load(spoilt.home.path()).unwrap();
    assert_eq!(loaded.site.measured.weather.unwrap().days().len(), 4);
    let notes: Vec<&str> = loaded.notes.iter().map(|note| note.code).collect();
    assert!(notes.ends_with(&["rain-very-deep", "weather-gaps", "weather-gaps"]), "{notes:?}");
    spoilt.write(
        "weather.csv",
        b"date,rain_mm,tmin_c,tmax_c\n2026-02-31,0,1,2\n2026-03-02,0,9,2\n2026-03-02,0,1,2\n2026-03-01,0,1,2\n",
    );
    spoilt.replace("rain_days = [11,", "rain_days = [32,");
    assert_eq!(
        spoilt.codes(),
        ["climate-impossible", "not-a-day", "temperatures-swapped", "day-twice", "days-out-of-order"]
    );
}

#[test]
fn tables_of_rain_are_read_and_their_faults_told_with_the_plans() {
    let spoilt = Spoilt::new();
    spoilt.replace("table = \"rain/depths.csv\"", "table = \"rain/depths.csv\"\nrecord = \"rain/daily.csv\"");
    spoilt.write("rain/daily.csv", b"date,rain_mm\n2024-01-01,3\n2024-01-03,0\n");
    let loaded = load(spoilt.home.path()).unwrap();
    let measured = &loaded.site.measured;
    assert_eq!(measured.rain_depths.as_ref().unwrap().depths_mm[6][2], 62.0);
    assert_eq!(measured.rain_record.as_ref().unwrap().days.len(), 2);
    assert!(loaded.notes.iter().any(|note| note.code == "rain-gaps"), "{:?}", loaded.notes);

    spoilt.write("rain/depths.csv", b"duration_min,2y\n10,9\n20,8\n");
    spoilt.write("rain/daily.csv", b"date,rain_mm\n2024-02-31,3\n");
    assert_eq!(spoilt.codes(), ["longer-not-deeper", "not-a-day"]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(7), ..ProptestConfig::default() })]

    /// However a table of rain or a soak test is mangled, it is read or refused with faults that point into it; nothing panics, and
    /// what is read holds together.
    #[test]
    fn mangled_rain_and_soaking_are_read_or_refused(which in 0_usize..4, cuts in proptest::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), mangling()), 1..4)) {
        let daily = b"date,rain_mm\n2024-01-01,3\n2024-01-02,0\n2024-01-03,12.5\n2024-01-05,\n".to_vec();
        let mut bytes = match which {
            0 => fs::read(Path::new(QUARRY_BANK).join("rain/depths.csv")).unwrap(),
            1 => fs::read(Path::new(QUARRY_BANK).join("rain/storm-gauge.csv")).unwrap(),
            3 => fs::read(Path::new(QUARRY_BANK).join("soak/pit-1.csv")).unwrap(),
            _ => daily,
        };
        for (at, len, put) in cuts {
            let at = at.index(bytes.len());
            let end = (at + len.index(12)).min(bytes.len());
            bytes.splice(at..end, put);
        }
        let lines = String::from_utf8_lossy(&bytes).split(['\n', '\r']).count();
        let faults = match which {
            0 => crate::read_rain_depths("t", &bytes).map(|t| assert!(t.depths_mm.iter().flatten().all(|mm| *mm > 0.0))).err(),
            1 => crate::read_gauge("t", &bytes)
                .map(|g| assert!(g.windows(2).all(|p| p[1].at_min > p[0].at_min && p[1].rain_mm >= p[0].rain_mm)))
                .err(),
            3 => crate::read_soak_test("t", &bytes).map(|t| assert!(t.fills.iter().all(|fill| fill.len() > 1))).err(),
            _ => crate::read_daily_rain("t", &bytes)
                .map(|(r, _)| assert!(r.days.windows(2).all(|p| p[1].day > p[0].day)))
                .err(),
        };
        for fault in faults.into_iter().flatten() {
            prop_assert!(fault.line.is_none_or(|line| (1..=lines.max(1)).contains(&line)), "{fault}");
            prop_assert!(!fault.found.is_empty() && !fault.advice.is_empty(), "{fault:?}");
        }
    }

    /// However a plan is mangled, it is read or refused with faults that point into it; nothing panics.
    #[test]
    fn a_mangled_plan_is_read_or_refused(cuts in proptest::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), mangling()), 1..5)) {
        let mut bytes = fs::read(Path::new(QUARRY_BANK).join(PLAN)).unwrap();
        for (at, len, put) in cuts {
            let at = at.index(bytes.len());
            let end = (at + len.index(24)).min(bytes.len());
            bytes.splice(at..end, put);
        }
        let file = PlanFile::read(PLAN, &bytes);
        let lines = bytes.split(|byte| *byte == b'\n').count();
        for fault in file.faults() {
            prop_assert!(fault.line.is_none_or(|line| (1..=lines).contains(&line)), "{fault}");
            prop_assert!(!fault.found.is_empty() && !fault.advice.is_empty(), "{fault:?}");
        }
        let _ = file.into_plan();
    }
}

/// What is put in place of a piece of the plan.
fn mangling() -> impl Strategy<Value = Vec<u8>> {
    let pieces = [
        "",
        "\n",
        "[",
        "]",
        "[[line]]",
        "{",
        "}",
        "=",
        "\"",
        "'",
        "nan",
        "-inf",
        "1e308",
        "1e999",
        "-",
        ",",
        "#",
        "\u{feff}",
        "\r\n",
        "[[",
        "true",
        "2026-11-20",
        "0x1f",
        "999999999999999999999999999999999999999999",
        "top",
        "name = \"top\"\n",
        "[line]\n",
        "a.b.c = 1\n",
        "\"\"\"",
        "[[1,2],[3,4]]",
        "é",
        "\0",
    ];
    prop_oneof![
        4 => prop::sample::select(pieces.to_vec()).prop_map(|piece| piece.as_bytes().to_vec()),
        1 => proptest::collection::vec(any::<u8>(), 0..6),
    ]
}
