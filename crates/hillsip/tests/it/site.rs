use std::fs;

use serde_json::Value;

use super::{hillsip, run, with_sites};

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"))
}

/// The keys that other programs rely on.
#[test]
fn json_has_the_keys_that_others_rely_on() {
    let home = with_sites();
    let walk = json(&run(&home, &["walk", "quarry-bank", "--from", "24,46", "--json"]).0);
    for key in ["peg", "chainage_m", "x_m", "y_m", "z_m", "band_m"] {
        assert!(walk["pegs"][1].get(key).is_some(), "pegs[].{key}");
    }
    assert!(walk["stopped_because"].is_string());
    let sizes = json(&run(&home, &["sizes", "quarry-bank", "--json"]).0);
    let line = &sizes["lines"][0];
    for key in [
        "line",
        "length_m",
        "holds_m3",
        "holds_rain_mm",
        "cut_m3",
        "fill_m3",
        "person_days",
        "sills",
        "spills_to",
    ] {
        assert!(line.get(key).is_some(), "lines[].{key}");
    }
    for key in ["chainage_m", "z_m"] {
        assert!(line["lowest_bank"][key].is_f64(), "lines[].lowest_bank.{key}");
    }
    let pegs = json(&run(&home, &["pegs", "quarry-bank", "--json"]).0);
    assert!(pegs["lines"][0]["pegs"][0]["fall_from_last_mm"].is_number());
}

/// The starter needs no ground and no coordinates, and answers everything.
#[test]
fn a_new_site_answers_from_a_tape_alone() {
    let home = with_sites();
    for command in ["check", "pegs", "sizes"] {
        let (out, told, code) = run(&home, &[command, "my-slope"]);
        assert_eq!(code, 0, "{command}: {told}");
        assert!(out.lines().count() > 5, "{out}");
    }
    let sizes = json(&run(&home, &["sizes", "my-slope", "--json"]).0);
    assert!(sizes["lines"][0]["holds_m3"].as_f64().unwrap() > 1.0);
    assert!(sizes["lines"][0]["sills"][0]["head_m"].as_f64().unwrap() > 0.0);
    let (_, told, code) = run(&home, &["walk", "my-slope", "--from", "1,2"]);
    assert_eq!(code, 2);
    assert!(told.contains("no ground is known"), "{told}");
}

/// Nobody should dig by a table that a finding says stop to: the end and standard error say so, not the table.
#[test]
fn a_stop_finding_ends_with_1() {
    let home = with_sites();
    let plan = home.path().join("my-slope/site.toml");
    let text = fs::read_to_string(&plan).unwrap();
    fs::write(&plan, text.replace("# jar_test = \"holds\"", "jar_test = \"clouds\"")).unwrap();
    for command in ["check", "pegs", "sizes"] {
        let (out, told, code) = run(&home, &[command, "my-slope"]);
        assert_eq!(code, 1, "{command}: {out}");
        if command != "check" {
            assert!(told.contains("stop: ") && !out.contains("stop: "), "{told}");
        }
    }
    let check = json(&run(&home, &["check", "my-slope", "--json"]).0);
    let first = &check["findings"][0];
    assert_eq!((&first["code"], &first["severity"]), (&"dispersive-soil".into(), &"stop".into()));
    for words in ["title", "says", "why", "do", "ask"] {
        assert!(first[words].is_string(), "{words}");
    }
}

#[test]
fn a_line_is_asked_for_by_its_name() {
    let home = with_sites();
    let one = json(&run(&home, &["sizes", "quarry-bank", "--line", "middle", "--json"]).0);
    assert_eq!(one["lines"].as_array().unwrap().len(), 1);
    let (_, told, code) = run(&home, &["pegs", "quarry-bank", "--line", "midle"]);
    assert_eq!(code, 2);
    assert!(told.contains("did you mean \"middle\"?"), "{told}");
}

#[test]
fn folders_that_hold_files_are_left_alone() {
    let home = with_sites();
    let before = fs::read(home.path().join("my-slope/site.toml")).unwrap();
    for command in ["new", "demo"] {
        let (out, told, code) = run(&home, &[command, "my-slope"]);
        assert_eq!((out.as_str(), code), ("", 2));
        assert!(told.contains("the folder holds files already"), "{told}");
    }
    assert_eq!(fs::read(home.path().join("my-slope/site.toml")).unwrap(), before);
}

/// A reader that has seen enough is no failure.
#[test]
fn a_closed_pipe_is_no_failure() {
    let home = with_sites();
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("hillsip"))
        .args(["sizes", "quarry-bank", "--json"])
        .current_dir(home.path())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(!told.contains("panicked"), "{told}");
    assert!(matches!(output.status.code(), Some(0 | 1)), "{told}");
}

#[test]
fn what_cannot_be_asked_is_refused_with_2() {
    let home = with_sites();
    for args in [
        &["walk", "quarry-bank", "--from", "24"][..],
        &["walk", "quarry-bank", "--from", "24,46", "--grade", "5"],
        &["walk", "quarry-bank", "--from", "24,46", "--length-m", "nan"],
        &["walk", "quarry-bank", "--from", "500,500"],
        &["dig", "quarry-bank"],
        &[],
    ] {
        let (out, told, code) = run(&home, args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert!(!told.is_empty());
    }
    hillsip(&home).arg("--version").assert().success();
}

/// Every paper is a whole drawing; a second run leaves the same bytes.
#[test]
fn papers_are_written_into_out() {
    let home = with_sites();
    for site in ["quarry-bank", "my-slope"] {
        let told = json(&run(&home, &["paper", site, "--json"]).0);
        let papers = told["papers"].as_array().unwrap();
        assert!(papers.len() > 1, "{told}");
        let read =
            |paper: &serde_json::Value| fs::read(home.path().join(paper["file"].as_str().unwrap())).unwrap();
        let first: Vec<Vec<u8>> = papers.iter().map(read).collect();
        for bytes in &first {
            if bytes.starts_with(b"%PDF-") {
                assert!(bytes.ends_with(b"%%EOF\n") || bytes.ends_with(b"%%EOF"), "a report cut off");
                continue;
            }
            let text = String::from_utf8_lossy(bytes);
            let is_drawing = text.starts_with("<svg") && text.trim_end().ends_with("</svg>");
            let is_film = text.starts_with("<!DOCTYPE html>") && text.trim_end().ends_with("</html>");
            assert!(is_drawing || is_film, "{}", &text[..80]);
        }
        run(&home, &["paper", site]);
        assert!(papers.iter().map(read).eq(first), "{site}");
    }
}

/// Every key of a list of keys, the first item of a list standing for all, in the order of the document.
fn keys(of: &serde_json::Value, path: &str, found: &mut Vec<String>) {
    match of {
        serde_json::Value::Object(map) => {
            for (key, value) in map {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                found.push(path.clone());
                keys(value, &path, found);
            }
        }
        serde_json::Value::Array(list) => {
            if let Some(first) = list.first() {
                keys(first, &format!("{path}[]"), found);
            }
        }
        _ => {}
    }
}

/// The keys of the rain test's document: what others read it by. 200 mm, so that breakouts are among them.
#[test]
fn the_keys_of_the_rain_test() {
    let home = with_sites();
    let (out, told, code) =
        run(&home, &["rain", "quarry-bank", "--json", "--members", "1", "--depth-mm", "200", "--hours", "6"]);
    assert!(code < 2, "{told}");
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(out.matches("\n  \"site\":").count(), 1, "one key site");
    let mut found = Vec::new();
    keys(&json, "", &mut found);
    let promised = [
        "storm",
        "lines[].line",
        "lines[].arrived_m3",
        "lines[].soaked_m3",
        "lines[].stored_m3",
        "lines[].passed_on_m3",
        "lines[].left_m3",
        "lines[].reach_m",
        "lines[].peak_level_m",
        "lines[].least_freeboard",
        "lines[].breakouts",
        "lines[].drain_down_h",
        "balance_error_frac",
        "site.leaves_m3",
        "site.peak_before_l_s",
        "site.peak_after_l_s",
    ];
    for key in promised {
        assert!(found.iter().any(|known| known == key), "{key} is promised and missing");
    }
    insta::assert_snapshot!(found.join("\n"));
}
