//! `hillsip season` on bad weather and on a site as people write it.

use std::fs;

use serde_json::Value;
use tempfile::TempDir;

use super::{run, with_sites};

/// What `season` says of the example with this weather: words, complaints, exit code.
fn with_weather(home: &TempDir, weather: &str) -> (String, String, i32) {
    fs::write(home.path().join("quarry-bank/weather.csv"), weather).unwrap();
    let (out, told, code) = run(home, &["season", "--members", "1", "quarry-bank"]);
    (joined(&out), joined(&told), code)
}

fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn bad_weather_is_told_with_its_place() {
    let home = with_sites();
    let head = "date,rain_mm,tmin_c,tmax_c\n";
    for (rows, expected) in [
        ("2020-01-02,0,5,12\n2020-01-01,0,5,12\n", "weather.csv:3"),
        ("2020-01-01,0,5,12\n2020-01-01,0,5,12\n", "weather.csv:3"),
        ("2020-02-31,0,5,12\n", "weather.csv:2"),
        ("2020-01-01,0,15,12\n", "see whether the two were swapped"),
        ("2020-01-01,-4,5,12\n", "weather.csv:2"),
    ] {
        let (out, told, code) = with_weather(&home, &format!("{head}{rows}"));
        assert_eq!((code, out.as_str()), (2, ""), "{rows}");
        assert!(told.contains(expected) && told.contains("nothing was computed"), "{rows}: {told}");
    }
    // A depth that may be inches read as millimetres, or the reverse, is asked about by `check`.
    let deep: String =
        (1..=9).map(|day| format!("2020-01-0{day},{},5,12\n", if day == 5 { 400 } else { 0 })).collect();
    fs::write(home.path().join("quarry-bank/weather.csv"), format!("{head}{deep}")).unwrap();
    let (out, _, _) = run(&home, &["check", "quarry-bank"]);
    assert!(joined(&out).contains("400.0 mm on 2020-01-05: are unit and point right?"), "{out}");
}

#[test]
fn gaps_are_told_and_rain_alone_goes_by_the_ordinary_year() {
    let home = with_sites();
    let days: String =
        (1..=28).map(|day| format!("2020-06-{day:02},{}\n", if day == 9 { "" } else { "2" })).collect();
    let (out, told, code) = with_weather(&home, &format!("date,rain_mm\n{days}"));
    assert_eq!(code, 0, "{told}");
    assert!(out.contains("rain was not read on 1 days of the run: they are taken as dry"), "{out}");
    assert!(out.contains("temperatures were not read on 28 days"), "{out}");
    let (_, told, code) = run(&home, &["season", "--from", "2031-01-01", "quarry-bank"]);
    assert_eq!(code, 2);
    assert!(joined(&told).contains("the record runs from 2020-06-01 to 2020-06-28"), "{told}");
}

#[test]
fn the_json_has_the_promised_keys_and_the_dates_are_told() {
    let home = with_sites();
    let (out, _, code) = run(&home, &["season", "--members", "3", "--json", "quarry-bank"]);
    assert_eq!(code, 0);
    let answer: Value = serde_json::from_str(&out).unwrap();
    for tree in answer["trees"].as_array().unwrap() {
        for key in [
            "tree",
            "litres_from_line",
            "litres_from_rain",
            "dry_days",
            "wet_feet_days",
            "chance_of_dry_spell_frac",
        ] {
            assert!(!tree[key].is_null(), "{key}: {tree}");
        }
        assert!(tree["water_rounds"][0]["date"].is_string() && tree["water_rounds"][0]["litres"].is_number());
    }
    assert!(answer["balance"]["soil_worst_day_frac"].as_f64().unwrap() <= 1e-9);
    let notes = answer["notes"].to_string();
    assert!(notes.contains("planted after the weather's last day") && notes.contains("F1"), "{notes}");
    let (drawn, _, _) = run(&home, &["season", "--members", "1", "--years", "2", "quarry-bank"]);
    assert!(joined(&drawn).contains("this weather never happened: it was drawn by chance"), "{drawn}");
}

#[test]
fn a_species_that_no_list_holds_is_left_out_and_two_trees_in_one_spot_are_told() {
    let home = with_sites();
    let plan = home.path().join("quarry-bank/site.toml");
    let sound = fs::read_to_string(&plan).unwrap();
    fs::write(&plan, sound.replacen("species = \"fig\"", "species = \"figg\"", 1)).unwrap();
    let (out, told, code) = run(&home, &["season", "--members", "1", "quarry-bank"]);
    assert_eq!(code, 0, "{told}");
    assert!(
        joined(&out)
            .contains("\"F1\" is left out: no list holds the species \"figg\"; did you mean \"fig\"?"),
        "{out}"
    );
    fs::write(&plan, sound.replacen("at_m = 22", "at_m = 14", 1)).unwrap();
    let (_, told, code) = run(&home, &["season", "--members", "1", "quarry-bank"]);
    assert_eq!(code, 2, "{told}");
    assert!(told.contains("F1") && told.contains("F2"), "{told}");
}
