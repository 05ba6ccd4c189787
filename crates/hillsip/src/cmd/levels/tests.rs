use clap::{CommandFactory, Parser};
use serde_json::Value;

use crate::args::{Args, Command};
use crate::cmd::{Ended, Refused};

const QUARRY_BANK: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures/quarry-bank");

/// Runs a command line on the example site.
fn run(line: &str) -> Result<(Ended, String), Refused> {
    let line = line.replace("quarry-bank", QUARRY_BANK);
    let args = Args::try_parse_from(line.split_whitespace()).unwrap();
    let Command::Levels(levels) = &args.command else {
        panic!("not about levels: {line}");
    };
    let mut out = Vec::new();
    let ended = super::run(levels, &mut out)?;
    Ok((ended, String::from_utf8(out).unwrap()))
}

/// Runs on a file with this text.
fn run_on(text: &str, options: &str) -> Result<(Ended, String), Refused> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("levels.csv");
    std::fs::write(&file, text).unwrap();
    run(&format!("hillsip levels {} {options}", file.display()))
}

fn json_on(text: &str, options: &str) -> (Ended, Value) {
    let (ended, out) = run_on(text, &format!("--json {options}")).unwrap();
    (ended, serde_json::from_str(&out).unwrap())
}

/// R. Rode, "Collimation method to reduce a leveling field book page".
const RODE: &str = "point,backsight_m,intermediate_m,foresight_m,z_m,note\n\
    BM1,1.216,,,106.366,\na,,0.025,,,\nb,,1.555,,,\nCP1,1.386,,2.508,,\nc,,3.625,,,\nCP2,1.235,,1.196,,\n\
    CP3,3.655,,3.566,,\nCP4,2.126,,0.506,,\nd,,2.605,,,\ne,,1.094,,,\nCP5,1.125,,3.628,,\nf,,1.394,,,\n\
    BM2,,,0.484,105.263,\n";

fn assert_number(document: &Value, key: &str, printed: f64, half: f64) {
    let ours = document[key].as_f64().unwrap_or_else(|| panic!("{key} in {document}"));
    assert!((ours - printed).abs() <= half, "{key}: {ours} for {printed}");
}

/// The figures of the printed page, through the file and the document.
#[test]
fn published_line_as_a_document() {
    let (ended, document) = json_on(RODE, "");
    assert_eq!(ended, Ended::SaysStop);
    for (key, printed) in [
        ("sum_backsight_m", 10.743),
        ("sum_foresight_m", 11.888),
        ("sum_rise_m", 9.190),
        ("sum_fall_m", 10.335),
        ("misclosure_m", -0.042),
    ] {
        assert_number(&document, key, printed, 0.0005);
    }
    // 5·√6 = 12.25 mm.
    assert_number(&document, "allowed_misclosure_m", 0.012_25, 5e-6);
    assert_eq!(document["closed"], false);
    let printed = [("a", 107.557, 107.564), ("d", 105.603, 105.638), ("BM2", 105.221, 105.263)];
    for (point, z_m, adjusted_z_m) in printed {
        let points = document["points"].as_array().unwrap();
        let found = points.iter().find(|p| p["point"] == point).unwrap();
        assert_number(found, "z_m", z_m, 0.0005);
        assert_number(found, "adjusted_z_m", adjusted_z_m, 0.0005);
    }
}

/// 24·√3.1 = 42.3 mm.
#[test]
fn a_grade_and_a_length_allow_more() {
    let (ended, document) = json_on(RODE, "--length-m 3100 --grade construction");
    assert_eq!((ended, &document["closed"]), (Ended::Done, &Value::Bool(true)));
    assert!(matches!(run_on(RODE, "--grade third-order"), Err(Refused::Asked(_))));
    assert!(matches!(run_on(RODE, "--spread distance"), Err(Refused::Asked(_))));
    assert!(matches!(run_on(RODE, "--length-m -1"), Err(Refused::Asked(_))));
}

#[test]
fn a_book_that_misses_its_mark_in_words() {
    let (_, out) = run_on(RODE, "").unwrap();
    assert!(out.contains("Does it add up? Yes"), "{out}");
    assert!(
        out.contains("Does it close? No: it ends 42 mm below the known 105.263 m (12 mm allowed"),
        "{out}"
    );
    assert!(out.contains("do not dig by it"), "{out}");
}

/// technoupendra, height of instrument method (2020): passes its own check.
#[test]
fn a_wrong_book_in_words() {
    let text = "point,backsight_m,intermediate_m,foresight_m,z_m\nBM,1.255,,,100\nA,,1.755,,99.505\n\
                CP,2.150,,2.750,98.505\nB,,1.950,,98.750\nEND,,,1.550,99.105\n";
    let (ended, out) = run_on(text, "").unwrap();
    assert_eq!(ended, Ended::SaysStop);
    for words in [
        "Does it add up? No.",
        "A: written as 99.505, but from its reading it is 99.500.",
        "B: written as 98.750, but from its reading it is 98.705.",
        "planes less the readings below them: 395.815 from the readings, 395.865 from the heights.",
        "Nothing was adjusted.",
    ] {
        assert!(out.contains(words), "{words}\n{out}");
    }
    let (_, document) = json_on(text, "--closes-on 99.105");
    assert_eq!(
        (&document["closed"], &document["arithmetic_holds"]),
        (&Value::Bool(false), &Value::Bool(false))
    );
    assert_eq!(document["points"][4]["adjusted_z_m"], Value::Null);
}

#[test]
fn without_a_mark_it_is_unproven_and_not_stopped() {
    let text = "from,to,from_reading_m,to_reading_m,from_z_m\n1,2,0.80,0.75,10\n2,3,0.70,0.73,\n";
    let (ended, out) = run_on(text, "").unwrap();
    assert_eq!(ended, Ended::Done);
    assert!(out.starts_with("A hose book, metres; 2 setups."), "{out}");
    assert!(out.contains("Does it close? Not known"), "{out}");
    let (ended, document) = json_on(text, "--closes-on 10.021");
    assert_eq!((ended, &document["closed"]), (Ended::Done, &Value::Bool(true)));
}

/// Purdue University, ASM 215: worked without its roundings the ring closes to 1 in 2792.
#[test]
fn a_ring_as_a_document_and_in_words() {
    let text = "leg,bearing,length_m\nA-B,26°10',285.10\nB-C,104°35',610.45\nC-D,195°30',720.48\nD-E,358°18',203.00\n\
                E-A,306°54',647.02\n";
    let (ended, document) = json_on(text, "");
    assert_eq!((ended, &document["closed"]), (Ended::Done, &Value::Bool(true)));
    assert_number(&document, "one_in", 2792.0, 0.5);
    assert_number(&document["legs"][0], "north_m", 255.88, 0.005);
    let (_, out) = run_on(text, "").unwrap();
    assert!(out.contains("Does it close? Yes: 0.88 m out, 1 in 2792"), "{out}");
    let (ended, out) = run_on(&text.replace("720.48", "735.48"), "").unwrap();
    assert_eq!(ended, Ended::SaysStop);
    assert!(out.contains("The error runs along C-D"), "{out}");
}

#[test]
fn an_a_frame_turned_in_words() {
    let text = "pair,reading_mm,turned_mm,spacing_m,bar_below_m\n1-2,12,-8,2,1\n2-3,4,0,2,1\n";
    let (ended, out) = run_on(text, "").unwrap();
    assert_eq!(ended, Ended::Done);
    assert!(out.contains("Put the level mark at 2.0 mm on the bar"), "{out}");
    assert!(out.contains("The marks agree to 0.0 mm"), "{out}");
}

/// Two-peg exercise published on two tutorial pages: −0.030 m in 50 m, correct reading on A 1.645.
#[test]
fn published_two_peg_test_in_words() {
    let text = "a_m,b_m,to_a_m,to_b_m\n1.283,0.860,25,25\n1.612,1.219,55,5\n";
    let (ended, out) = run_on(text, "").unwrap();
    assert_eq!(ended, Ended::SaysStop);
    assert!(out.contains("In 10 m of sight the level reads 6.0 mm too low."), "{out}");
    assert!(out.contains("until it reads 1.645 on A"), "{out}");
    let (ended, out) = run_on(&text.replace("1.612", "1.640"), "").unwrap();
    assert_eq!(ended, Ended::Done);
    assert!(out.contains("Good enough"), "{out}");
    assert!(matches!(run_on(&text.replace("1.612", "2.612"), ""), Err(Refused::Asked(_))));
}

/// Five readings, one about 12 mm off: left, with the reason.
#[test]
fn pegs_read_back_in_words() {
    let (ended, out) = run("hillsip levels quarry-bank/levels/read-back.csv --slope 10%").unwrap();
    assert_eq!(ended, Ended::Done);
    assert!(out.contains("3-4: leave the peg."), "{out}");
    assert!(out.contains("Reading 3 of 5 is 12 mm from the mean of the others"), "{out}");
    assert!(out.contains("At most 9 mm, so it stands within what a level line may be off."), "{out}");
    assert!(out.contains("2 cm of ground, uphill"), "{out}");
    let off = "fall_mm\n31\n33\n32\n30\n34\n";
    let (ended, out) = run_on(off, "--turned").unwrap();
    assert_eq!(ended, Ended::SaysStop);
    assert!(out.contains("move the peg."), "{out}");
}

#[test]
fn the_examples_of_the_help_run() {
    let program = Args::command();
    let help = program.find_subcommand("levels").unwrap().get_after_help().unwrap().to_string();
    let examples: Vec<&str> = help.lines().filter(|line| line.starts_with("  hillsip")).collect();
    assert_eq!(examples.len(), 2);
    for example in &examples {
        assert_eq!(run(example).unwrap().0, Ended::Done, "{example}");
    }
    let (_, out) = run(examples[0]).unwrap();
    assert!(
        out.contains("Does it close? Yes: it ends 4 mm above the known 207.000 m (10 mm allowed"),
        "{out}"
    );
}

#[test]
fn a_file_that_is_not_there_or_not_a_book() {
    for (line, code) in [
        ("hillsip levels quarry-bank/no-such.csv", "file-not-read"),
        ("hillsip levels quarry-bank", "file-not-read"),
        ("hillsip levels quarry-bank/site.toml", "no-kind-of-levels"),
    ] {
        let Err(Refused::Faults(faults)) = run(line) else {
            panic!("{line}");
        };
        assert!(faults.iter().any(|fault| fault.code == code), "{line}: {faults:?}");
    }
}
