use serde_json::{Value, json};

use super::*;

/// A plan without faults: a walked swale with one sill, a drain by its pegs, a roof, a seep and a tree.
fn sound() -> Value {
    json!({
        "name": "Back field",
        "place": { "latitude_deg": 38.7, "elevation_m": 200.0, "anchor": { "longitude_deg": -5.2, "latitude_deg": 38.7 } },
        "ground": { "raster": "ground/hill.asc" },
        "tool": { "kind": "a-frame", "step_m": 2.0, "walked": "pivoted" },
        "soil": [{ "name": "loam", "texture": "loam" }],
        "rain": { "design": { "depth_mm": 60.0, "hours": 6.0, "once_in_years": 10.0, "worst_ten_minutes_mm": 12.0 } },
        "source": [
            { "name": "hill", "kind": "hillside", "curve_number": 79.0 },
            { "name": "roof", "kind": "hard surface", "area_m2": 100.0, "into": "ditch", "at_m": 0.0 },
            { "name": "seep", "kind": "seep", "flow_l_min": 2.0, "into": "top" }
        ],
        "line": [
            {
                "name": "top", "kind": "swale", "from": [10.0, 40.0], "length_m": 30.0,
                "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
                "sill": [{ "at_m": 5.0, "width_m": 2.0, "below_bank_m": 0.1, "to": "ditch" }]
            },
            {
                "name": "ditch", "kind": "drain", "pegs": [[50.0, 40.0], [80.0, 38.0]],
                "bed_width_m": 0.3, "depth_m": 0.3, "bank_height_m": 0.0, "to": "ground"
            }
        ],
        "tree": [
            { "name": "F1", "species": "fig", "line": "top", "at_m": 10.0 },
            { "name": "F2", "species": "fig", "x_m": 1.0, "y_m": 2.0 }
        ],
        "barrier": [{ "name": "fence", "kind": "fence", "along": [[0.0, 0.0], [1.0, 1.0]] }],
        "keep_clear": [
            { "name": "well", "kind": "well", "at": [1.0, 1.0] },
            { "name": "barn", "kind": "building", "area": [[0.0, 0.0], [9.0, 0.0], [9.0, 9.0]] }
        ],
        "opinion": [{ "about": "ground-too-steep", "by": "A. Engineer, chartered", "date": "2024-02-29", "line": "top" }]
    })
}

/// The codes and paths of the faults of the sound plan after values at JSON pointers were put or taken out.
fn faults_after(changes: &[(&str, Option<Value>)]) -> Vec<(&'static str, String)> {
    let mut plan = sound();
    for (pointer, value) in changes {
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        let parent = plan.pointer_mut(parent).unwrap();
        match (parent, value) {
            (Value::Object(map), Some(value)) => {
                map.insert(key.to_owned(), value.clone());
            }
            (Value::Object(map), None) => {
                map.remove(key).unwrap();
            }
            (Value::Array(list), Some(value)) => list.push(value.clone()),
            (other, _) => panic!("{pointer} leads into {other}"),
        }
    }
    let plan: Plan = serde_json::from_value(plan).unwrap();
    check(&plan).into_iter().map(|fault| (fault.code, fault.path)).collect()
}

/// One change, one fault, at one path.
fn one(pointer: &str, value: Option<Value>, code: &'static str, path: &str) {
    assert_eq!(faults_after(&[(pointer, value)]), [(code, path.to_owned())], "{pointer}");
}

#[test]
fn a_sound_plan_has_no_faults() {
    assert_eq!(faults_after(&[]), []);
}

#[test]
fn an_ordinary_year_that_cannot_be() {
    let year = |rain_days: f64, tmin_c: f64| {
        let months = |value: f64| json!(vec![value; 12]);
        let mut days = vec![8.0; 12];
        days[1] = rain_days;
        let mut least = vec![5.0; 12];
        least[6] = tmin_c;
        Some(json!({ "rain_mm": months(50.0), "rain_days": days, "tmin_c": least, "tmax_c": months(20.0) }))
    };
    assert_eq!(faults_after(&[("/climate", year(8.0, 5.0))]), []);
    one("/climate", year(29.0, 5.0), "climate-impossible", "climate.rain_days[1]");
    one("/climate", year(0.0, 5.0), "climate-impossible", "climate.rain_mm[1]");
    let swapped = &faults_after(&[("/climate", year(8.0, 30.0))])[0];
    assert!(swapped.1.starts_with("climate.tmin_c["), "{swapped:?}");
}

#[test]
fn place_ground_tool_and_rain() {
    one("/name", Some(json!(" ")), "name-blank", "name");
    one("/place/crs", Some(json!("EPSG:25830")), "two-places", "place.anchor");
    one("/place/latitude_deg", Some(json!(-38.7)), "two-latitudes", "place.anchor.latitude_deg");
    one("/ground/points", Some(json!("p.csv")), "two-grounds", "ground.points");
    one("/ground/books", Some(json!(["b.csv"])), "two-grounds", "ground.books");
    one("/tool/kind", Some(json!("hose")), "key-without-use", "tool.walked");
    let worst = "rain.design.worst_ten_minutes_mm";
    one("/rain/design/worst_ten_minutes_mm", Some(json!(61.0)), "storm-out-of-shape", worst);
    // 60 mm in 6 h are 36 stretches of ten minutes: 1.67 mm each.
    one("/rain/design/worst_ten_minutes_mm", Some(json!(1.6)), "storm-out-of-shape", worst);
    assert_eq!(faults_after(&[("/rain/design/worst_ten_minutes_mm", Some(json!(1.7)))]), []);
    let no_anchor = ("/place/anchor", None);
    for bad in ["25830", "EPSG:", "epsg:1", "EPSG:12a"] {
        let faults = faults_after(&[no_anchor.clone(), ("/place/crs", Some(json!(bad)))]);
        assert_eq!(faults, [("not-a-crs", "place.crs".to_owned())], "{bad}");
    }
    let raster = ("/ground/raster", None);
    assert_eq!(faults_after(std::slice::from_ref(&raster))[0].0, "no-ground-file");
    let books = ("/ground/books", Some(json!(["b.csv"])));
    assert_eq!(faults_after(&[raster, books])[0].0, "books-without-places");
}

#[test]
fn soils_sources_and_what_is_in_the_way() {
    one("/soil/+", Some(json!({ "name": "clay", "texture": "clay" })), "two-soils-everywhere", "soil[1]");
    let clay = |area: Value| Some(json!({ "name": "clay", "texture": "clay", "area": area }));
    one("/soil/+", clay(json!([[0.0, 0.0], [1.0, 1.0]])), "ring-too-short", "soil[1].area");
    one("/soil/+", clay(json!([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]])), "ring-flat", "soil[1].area");
    let bow_tie = json!([[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 3.0]]);
    one("/soil/+", clay(bow_tie), "ring-crosses", "soil[1].area");
    one("/soil", Some(json!([])), "no-soil", "soil");
    one("/source/1/into", Some(json!("dich")), "no-such-line", "source[1].into");
    one("/source/1/at_m", Some(json!(31.0)), "beyond-line", "source[1].at_m");
    one("/source/1/area_m2", None, "no-area", "source[1].area_m2");
    one("/source/2/into", None, "source-into-nothing", "source[2].into");
    one("/source/2/flow_l_min", None, "no-flow", "source[2].flow_l_min");
    one("/source/2/area_m2", Some(json!(4.0)), "key-without-use", "source[2].area_m2");
    one("/source/0/at_m", Some(json!(1.0)), "key-without-use", "source[0].at_m");
    one("/source/0/flow_l_min", Some(json!(1.0)), "key-without-use", "source[0].flow_l_min");
    one("/source/2/name", Some(json!("hill")), "name-twice", "source[2].name");
    one("/barrier/0/along", Some(json!([[1.0, 1.0], [1.0, 1.0]])), "path-too-short", "barrier[0].along");
    one("/keep_clear/0/at", None, "keep-clear-nowhere", "keep_clear[0]");
    one("/keep_clear/1/at", Some(json!([1.0, 1.0])), "keep-clear-twice", "keep_clear[1]");
    one("/opinion/0/date", Some(json!("2023-02-29")), "not-a-day", "opinion[0].date");
    one("/opinion/0/line", Some(json!("tip")), "no-such-line", "opinion[0].line");
    one("/opinion/0/by", Some(json!("")), "name-blank", "opinion[0].by");
}

/// A source picked up by several lines: each there, no more than the whole, and a hillside so shared has an area.
#[test]
fn sources_shared_between_lines() {
    let shared = |kind: &str, shares: [f64; 2]| {
        let pick_up = json!([{ "line": "top", "at_m": 4.0, "share_frac": shares[0] }, { "line": "ditch", "share_frac": shares[1] }]);
        Some(json!({ "name": "track", "kind": kind, "area_m2": 100.0, "pick_up": pick_up }))
    };
    assert_eq!(faults_after(&[("/source/+", shared("hard surface", [0.6, 0.4]))]), []);
    assert_eq!(faults_after(&[("/source/+", shared("hillside", [0.5, 0.2]))]), []);
    one(
        "/source/+",
        shared("hard surface", [0.7, 0.4]),
        "shares-above-one",
        "source[3].pick_up[1].share_frac",
    );
    let bad = |key: &str, value: Value| {
        let mut track = shared("hillside", [0.5, 0.2]).unwrap();
        track[key] = value;
        Some(track)
    };
    one("/source/+", bad("area_m2", Value::Null), "no-area", "source[3].area_m2");
    one("/source/+", bad("into", json!("top")), "source-twice", "source[3].into");
    let pick_up = |line: &str, at_m: f64| json!([{ "line": line, "at_m": at_m, "share_frac": 0.5 }]);
    one("/source/+", bad("pick_up", pick_up("tip", 1.0)), "no-such-line", "source[3].pick_up[0].line");
    one("/source/+", bad("pick_up", pick_up("top", 31.0)), "beyond-line", "source[3].pick_up[0].at_m");
    let hill =
        |name: &str| Some(json!({ "name": name, "kind": "hillside", "into": "top", "curve_number": 70.0 }));
    let two = [("/source/+", hill("wood")), ("/source/+", hill("pasture"))];
    assert_eq!(faults_after(&two), [("two-hillsides", "source[4]".to_owned())]);
}

/// A seep that rises is fed by one thing that is there, is large enough to be one, and not by itself.
#[test]
fn what_feeds_a_seep() {
    let rises = |of: Value| {
        let mut rises = json!({ "share_frac": 0.1, "halves_in_days": 12.0 });
        for (key, value) in of.as_object().unwrap() {
            rises[key] = value.clone();
        }
        Some(rises)
    };
    assert_eq!(
        faults_after(&[("/source/2/rises", rises(json!({ "area_m2": 900.0, "delay_days": 2.0 })))]),
        []
    );
    assert_eq!(faults_after(&[("/source/2/rises", rises(json!({ "fed_by": "roof" })))]), []);
    one("/source/2/rises", rises(json!({})), "rises-from-nothing", "source[2].rises");
    let both = json!({ "fed_by": "roof", "area_m2": 9.0 });
    one("/source/2/rises", rises(both), "rises-twice", "source[2].rises.area_m2");
    one("/source/2/rises", rises(json!({ "fed_by": "rooof" })), "no-such-source", "source[2].rises.fed_by");
    one("/source/2/rises", rises(json!({ "fed_by": "hill" })), "no-area", "source[2].rises.fed_by");
    one("/source/2/rises", rises(json!({ "fed_by": "seep" })), "feeds-itself", "source[2].rises.fed_by");
    one("/source/1/rises", rises(json!({ "area_m2": 9.0 })), "key-without-use", "source[1].rises");
    let lower = json!({ "name": "lower", "kind": "seep", "flow_l_min": 1.0, "into": "top", "rises": rises(json!({ "fed_by": "seep" })) });
    let circle = [("/source/2/rises", rises(json!({ "fed_by": "lower" }))), ("/source/+", Some(lower))];
    assert_eq!(faults_after(&circle), [("feeds-itself", "source[2].rises.fed_by".to_owned())]);
    // A roof that only feeds a seep needs no line.
    let soakaway = [
        ("/source/1/into", None),
        ("/source/1/at_m", None),
        ("/source/2/rises", rises(json!({ "fed_by": "roof" }))),
    ];
    assert_eq!(faults_after(&soakaway), []);
}

#[test]
fn trees() {
    one("/tree/0/line", None, "tree-nowhere", "tree[0]");
    one("/tree/0/at_m", None, "tree-nowhere", "tree[0]");
    one("/tree/0/x_m", Some(json!(1.0)), "tree-nowhere", "tree[0]");
    one("/tree/1/y_m", None, "tree-nowhere", "tree[1]");
    one("/tree/1/downhill_m", Some(json!(1.0)), "key-without-use", "tree[1].downhill_m");
    one("/tree/0/at_m", Some(json!(30.5)), "beyond-line", "tree[0].at_m");
    one("/tree/0/line", Some(json!("tops")), "no-such-line", "tree[0].line");
    one("/tree/0/planted", Some(json!("20 Nov")), "not-a-day", "tree[0].planted");
    let twin = json!({ "name": "F3", "species": "fig", "x_m": 1.05, "y_m": 2.0 });
    one("/tree/+", Some(twin), "trees-in-one-spot", "tree[2]");
}

#[test]
fn lines_are_given_in_one_way() {
    one("/line/0/from", None, "line-nowhere", "line[0]");
    one("/line/0/pegs", Some(json!([[0.0, 0.0], [30.0, 0.0]])), "line-twice", "line[0]");
    one("/line/0/toward", Some(json!([10.0, 40.0])), "toward-nowhere", "line[0].toward");
    one("/line/1/pegs", Some(json!([[50.0, 40.0]])), "path-too-short", "line[1].pegs");
    one("/line/1/length_m", Some(json!(3.0)), "key-without-use", "line[1].length_m");
    one("/line/0/grade", Some(json!("-1%")), "grade-climbs", "line[0].grade");
    one("/tree/1/name", Some(json!("")), "name-blank", "tree[1].name");
    assert_eq!(faults_after(&[("/ground", None)]), [("walk-without-ground", "line[0].from".to_owned())]);
    let walked_drain = [("/line/1/pegs", None), ("/line/1/from", Some(json!([50.0, 40.0])))];
    assert_eq!(faults_after(&walked_drain), [("no-grade", "line[1].grade".to_owned())]);
}

#[test]
fn tapes() {
    let tape = |pegs: Value| {
        [
            ("/line/0/from", None),
            ("/line/0/length_m", None),
            ("/line/0/cross_slope", Some(json!("12%"))),
            ("/line/0/catchment_m2", Some(json!(300.0))),
            ("/line/0/tape", Some(pegs)),
        ]
    };
    let peg = |at_m: f64| json!({ "at_m": at_m, "z_m": 1.0 });
    assert_eq!(faults_after(&tape(json!([peg(0.0), peg(12.0)]))), []);
    let told = |pegs: Value| faults_after(&tape(pegs));
    assert_eq!(told(json!([peg(0.0)]))[0].0, "tape-too-short");
    assert_eq!(told(json!([peg(1.0), peg(12.0)])), [("tape-not-from-0", "line[0].tape[0].at_m".to_owned())]);
    assert_eq!(
        told(json!([peg(0.0), peg(9.0), peg(9.0), peg(12.0)])),
        [("tape-out-of-order", "line[0].tape[2].at_m".to_owned())]
    );
    let sound = json!([peg(0.0), peg(12.0)]);
    let mut bare = tape(sound.clone()).to_vec();
    bare.retain(|(pointer, _)| !pointer.ends_with("cross_slope") && !pointer.ends_with("catchment_m2"));
    let codes: Vec<_> = faults_after(&bare).into_iter().map(|(code, _)| code).collect();
    assert_eq!(codes, ["no-cross-slope", "no-catchment"]);
    let mut uphill = tape(sound).to_vec();
    uphill[2].1 = Some(json!("-12%"));
    assert_eq!(faults_after(&uphill)[0].0, "cross-slope-negative");
}

#[test]
fn sections_and_sills() {
    one("/line/0/bed_width_m", None, "no-section", "line[0]");
    one("/line/0/pipe_diameter_m", Some(json!(0.1)), "key-without-use", "line[0].pipe_diameter_m");
    one("/line/1/kind", Some(json!("pipe")), "no-section", "line[1].pipe_diameter_m");
    one("/line/1/depth_m", Some(json!(0.0)), "no-room", "line[1].depth_m");
    // A 2 m sill at 29.5 m ends at 30.5 m on a line of 30 m; one at 0.5 m begins before the first peg.
    one("/line/0/sill/0/at_m", Some(json!(29.5)), "sill-beyond-line", "line[0].sill[0].at_m");
    one("/line/0/sill/0/at_m", Some(json!(0.5)), "sill-beyond-line", "line[0].sill[0].at_m");
    assert_eq!(faults_after(&[("/line/0/sill/0/at_m", Some(json!(29.0)))]), []);
    // Trench 0.3 m and bank 0.3 m: the bed lies 0.6 m below the bank.
    one("/line/0/sill/0/below_bank_m", Some(json!(0.6)), "sill-below-bed", "line[0].sill[0].below_bank_m");
    let second = json!({ "at_m": 6.0, "width_m": 1.0, "below_bank_m": 0.1, "to": "ground" });
    one("/line/0/sill/+", Some(second), "sills-overlap", "line[0].sill[1].at_m");
}

#[test]
fn the_surplus_reaches_safe_ground() {
    one("/line/0/sill", Some(json!([])), "nowhere-to-spill", "line[0]");
    one("/line/1/to", None, "nowhere-to-spill", "line[1]");
    one("/line/1/to", Some(json!("ditch")), "spills-into-itself", "line[1].to");
    one("/line/1/to", Some(json!("top")), "spills-in-a-circle", "line[0]");
    one("/line/0/to", Some(json!("ground")), "key-without-use", "line[0].to");
    one("/line/0/sill/0/to", Some(json!("dtich")), "no-such-line", "line[0].sill[0].to");
    let faults: Vec<Fault> = {
        let mut plan = sound();
        plan["line"][1]["to"] = json!("top");
        check(&serde_json::from_value(plan).unwrap())
    };
    assert_eq!(faults[0].found, "the surplus goes in a circle: top → ditch → top");
}

#[test]
fn lines_keep_their_names_apart() {
    let faults = faults_after(&[
        ("/line/1/name", Some(json!("top"))),
        ("/source/1/into", Some(json!("top"))),
        ("/line/0/sill/0/to", Some(json!("ground"))),
    ]);
    assert_eq!(faults, [("name-twice", "line[1].name".to_owned())]);
    let faults = faults_after(&[
        ("/line/1/name", Some(json!("ground"))),
        ("/source/1/into", Some(json!("ground"))),
        ("/line/0/sill/0/to", Some(json!("ground"))),
    ]);
    assert_eq!(faults[0].0, "name-reserved");
}

/// The Gregorian leap rule: 2000 had a 29 February, 1900 had none.
#[test]
fn days_of_the_calendar() {
    for good in ["2026-11-20", "2000-02-29", "2024-02-29", "2026-12-31"] {
        assert!(Day::parse(good).is_some(), "{good}");
    }
    for bad in
        ["1900-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "2026-4-1", "26-04-01", "", "2026-11-20T10"]
    {
        assert!(Day::parse(bad).is_none(), "{bad}");
    }
}
