//! The report as a file: valid, tagged, and with the same figures as the JSON answers.

use std::collections::BTreeMap;
use std::process::Command;

use lopdf::{Dictionary, Document, Object, ObjectId};
use quantity::Estimate;
use quantity::figures::{fixed, range};
use serde_json::Value;
use tempfile::TempDir;

use crate::{run, with_sites};

/// What a command prints as JSON.
fn answer(home: &TempDir, args: &[&str]) -> Value {
    let args: Vec<&str> = args.iter().copied().chain(["quarry-bank", "--json"]).collect();
    let (printed, _, _) = run(home, &args);
    serde_json::from_str(&printed).unwrap_or_else(|error| panic!("{args:?}: {error}"))
}

fn estimate(value: &Value) -> Estimate {
    serde_json::from_value(value.clone()).unwrap_or_else(|error| panic!("{value}: {error}"))
}

/// The words of the pages, spaces between them made even.
fn words(pdf: &Document) -> String {
    let pages: Vec<u32> = pdf.get_pages().into_keys().collect();
    let text = pdf.extract_text(&pages).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// One run of the demo, looked at from all sides: a debug build takes its time over the storm.
#[test]
fn the_report_of_the_demo() {
    let home = with_sites();
    let (_, errors, code) = run(&home, &["paper", "quarry-bank"]);
    assert!(code < 2, "{errors}");
    let dir = home.path().join("quarry-bank");
    for file in ["report.pdf", "neighbour.pdf"] {
        let path = dir.join("out").join(file);
        let pdf = Document::load(&path).unwrap_or_else(|error| panic!("{file}: {error}"));
        is_tagged(&pdf);
        if let Ok(output) = Command::new("qpdf").arg("--check").arg(&path).output() {
            assert!(output.status.success(), "qpdf --check {file}: {output:?}");
        } else {
            eprintln!("qpdf is not on this machine: {file} was checked by one reader only");
        }
    }
    let report = words(&Document::load(dir.join("out/report.pdf")).unwrap());
    holds_the_sizes(&report, &home);
    holds_the_storm(&report, &home);
    holds_the_digging(&report, &home);
    let neighbour = words(&Document::load(dir.join("out/neighbour.pdf")).unwrap());
    let storm = answer(&home, &["rain", "--members", "20"]);
    for key in ["peak_before_l_s", "peak_after_l_s", "arrived_m3", "leaves_m3"] {
        let figure = range(estimate(&storm["site"][key]), 1);
        assert!(neighbour.contains(&figure), "{key}: {figure} is not on the neighbour page");
    }
}

fn holds_the_sizes(report: &str, home: &TempDir) {
    let sizes = answer(home, &["sizes"]);
    for line in sizes["lines"].as_array().unwrap() {
        let name = line["line"].as_str().unwrap();
        if !line["holding"].is_null() {
            let figure = range(estimate(&line["holding"]["holds_range_m3"]), 1);
            assert!(report.contains(&figure), "{name} holds {figure} m³");
        }
        let length = format!("{name} {}", fixed(line["length_m"].as_f64().unwrap(), 0));
        assert!(report.contains(&length), "{length}");
        for sill in line["sills"].as_array().unwrap() {
            let head = format!("{} m", fixed(sill["head_m"].as_f64().unwrap(), 2));
            assert!(report.contains(&head), "{name}: {head}");
        }
    }
    let findings = answer(home, &["check"]);
    for finding in findings["findings"].as_array().unwrap() {
        let says: Vec<&str> = finding["says"].as_str().unwrap().split_whitespace().collect();
        assert!(report.contains(&says[..says.len().min(6)].join(" ")), "{finding}");
    }
}

fn holds_the_storm(report: &str, home: &TempDir) {
    let storm = answer(home, &["rain", "--members", "20"]);
    for key in ["arrived_m3", "soaked_m3", "leaves_m3", "peak_before_l_s", "peak_after_l_s"] {
        let figure = range(estimate(&storm["site"][key]), 1);
        assert!(report.contains(&figure), "{key}: {figure}");
    }
    for line in storm["lines"].as_array().unwrap() {
        for key in ["arrived_m3", "passed_in_m3", "soaked_m3", "passed_on_m3"] {
            let figure = range(estimate(&line[key]), 1);
            assert!(report.contains(&figure), "{}: {key}: {figure}", line["line"]);
        }
    }
}

fn holds_the_digging(report: &str, home: &TempDir) {
    let digging = answer(home, &["digging"]);
    for (key, decimals) in [("person_days", 1), ("needed_days", 0)] {
        let figure = range(estimate(&digging[key]), decimals);
        assert!(report.contains(&figure), "{key}: {figure}");
    }
    for turn in digging["order"].as_array().unwrap() {
        let figure = range(estimate(&turn["person_days"]), 1);
        assert!(report.contains(&figure), "{}: {figure}", turn["line"]);
    }
}

/// ISO 14289-1 (PDF/UA-1) asks for these: the catalogue says that the file is marked, names its language and its
/// title's use, and holds a structure tree; every figure in it has alternative words; a table is rows of cells; no page
/// is untagged; fonts are embedded and map back to letters.
fn is_tagged(pdf: &Document) {
    let catalogue = pdf.catalog().unwrap();
    assert_eq!(catalogue.get(b"Lang").and_then(Object::as_str).unwrap(), b"en");
    let marked = dictionary(pdf, catalogue.get(b"MarkInfo").unwrap()).get(b"Marked").unwrap();
    assert!(marked.as_bool().unwrap());
    let shown =
        dictionary(pdf, catalogue.get(b"ViewerPreferences").unwrap()).get(b"DisplayDocTitle").unwrap();
    assert!(shown.as_bool().unwrap());
    assert!(catalogue.has(b"Outlines") && catalogue.has(b"Metadata"));
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let root = dictionary(pdf, catalogue.get(b"StructTreeRoot").unwrap());
    walk(pdf, root, "", &mut counts);
    for tag in ["H1", "H2", "P", "Table", "TR", "TH", "TD", "L", "LI", "Figure"] {
        assert!(counts.contains_key(tag), "no {tag} among {counts:?}");
    }
    for page in pdf.get_pages().into_values() {
        assert!(pdf.get_dictionary(page).unwrap().has(b"StructParents"), "a page is not tagged");
        fonts_are_inside(pdf, page);
    }
}

fn dictionary<'a>(pdf: &'a Document, object: &'a Object) -> &'a Dictionary {
    pdf.dereference(object).unwrap().1.as_dict().unwrap()
}

/// Counts the elements under one, and holds what each must hold.
fn walk(pdf: &Document, element: &Dictionary, under: &str, counts: &mut BTreeMap<String, usize>) {
    let tag =
        element.get(b"S").and_then(Object::as_name).map_or("", |name| std::str::from_utf8(name).unwrap());
    *counts.entry(tag.to_owned()).or_default() += 1;
    match tag {
        "Figure" => {
            let told = element.get(b"Alt").and_then(Object::as_str).unwrap();
            assert!(told.len() > 5, "a figure without words");
        }
        "TR" => assert_eq!(under, "Table"),
        "TH" | "TD" => assert_eq!(under, "TR"),
        "LI" => assert_eq!(under, "L"),
        _ => {}
    }
    let Ok(kids) = element.get(b"K") else { return };
    let kids = pdf.dereference(kids).unwrap().1;
    let kids: Vec<&Object> = match kids {
        Object::Array(kids) => kids.iter().collect(),
        kid => vec![kid],
    };
    for kid in kids {
        if let Ok(kid) = pdf.dereference(kid).unwrap().1.as_dict()
            && kid.has(b"S")
        {
            walk(pdf, kid, tag, counts);
        }
    }
}

fn fonts_are_inside(pdf: &Document, page: ObjectId) {
    for font in pdf.get_page_fonts(page).unwrap().into_values() {
        assert!(font.has(b"ToUnicode"), "a font that cannot be searched");
        let below = pdf.dereference(font.get(b"DescendantFonts").unwrap()).unwrap().1.as_array().unwrap();
        let descriptor = dictionary(pdf, dictionary(pdf, &below[0]).get(b"FontDescriptor").unwrap());
        assert!(
            descriptor.has(b"FontFile2") || descriptor.has(b"FontFile3"),
            "a font that is not in the file"
        );
    }
}

/// An out folder that cannot be written: a clear message, nothing else, exit code 2.
#[test]
fn an_out_folder_that_is_a_file() {
    let home = with_sites();
    std::fs::write(home.path().join("my-slope/out"), "not a folder").unwrap();
    let (printed, errors, code) = run(&home, &["paper", "my-slope", "--only", "job"]);
    assert_eq!((printed.as_str(), code), ("", 2), "{errors}");
    assert!(errors.contains("out"), "{errors}");
}

/// A site from nothing but a tape: the report is written, and says of a chapter that has nothing to tell that it has not.
#[test]
fn the_starter_site_has_a_report() {
    let home = with_sites();
    let (printed, errors, code) = run(&home, &["paper", "my-slope", "--sheet", "letter", "--only", "job"]);
    assert!(code < 2 && printed.contains("job.pdf"), "{printed}{errors}");
    let pdf = Document::load(home.path().join("my-slope/out/job.pdf")).unwrap();
    let size = pdf.get_dictionary(pdf.get_pages()[&1]).unwrap().get(b"MediaBox").unwrap().as_array().unwrap();
    let points: Vec<f32> = size.iter().map(|edge| edge.as_float().unwrap()).collect();
    // Letter is 8.5 by 11 inches, of 72 points each.
    assert!((points[2] - 612.0).abs() < 0.1 && (points[3] - 792.0).abs() < 0.1, "{points:?}");
    let (_, errors, code) = run(&home, &["paper", "my-slope", "--only", "trees"]);
    assert!(code < 2 || errors.contains("has nothing yet for this chapter"), "{errors}");
}
