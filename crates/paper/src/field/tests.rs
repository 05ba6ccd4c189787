use super::*;
use serde_json::Value;

fn demo() -> site::Site {
    let dir = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures/quarry-bank");
    folder::load(std::path::Path::new(dir)).expect("the demo loads").site
}

fn sheet_of(site: &site::Site) -> (String, Value, design::Answers) {
    let answers = design::answer(site);
    let html = field_sheet(&Subject::new(site, &answers));
    let start = html.find("const given = ").expect("the sheet is given its site") + "const given = ".len();
    let mut documents = serde_json::Deserializer::from_str(&html[start..]).into_iter::<Value>();
    let given = documents.next().expect("a document").expect("of JSON");
    (html, given, answers)
}

/// Aims, cuts and banks on the phone are those of the peg sheet, peg by peg.
#[test]
fn every_figure_is_the_answer_s() {
    let site = demo();
    let (_, given, answers) = sheet_of(&site);
    assert_eq!(given["site"], site.plan.name.as_str());
    let lines = given["lines"].as_array().unwrap();
    assert_eq!(lines.len(), answers.pegs.lines.len());
    let mut pegs = 0;
    for (line, expected) in lines.iter().zip(&answers.pegs.lines) {
        assert_eq!(line["name"], expected.line.as_str());
        for (peg, row) in line["pegs"].as_array().unwrap().iter().zip(&expected.pegs) {
            assert_eq!(peg["peg"], row.peg);
            // JSON is read back within one unit of the last place.
            let near = |key: &str, expected: f64| (peg[key].as_f64().unwrap() - expected).abs() < 1e-9;
            assert!(near("chainage_m", row.chainage_m));
            assert_eq!(peg["z_m"].is_null(), row.z_m.is_none());
            assert!(row.z_m.is_none_or(|z_m| near("z_m", z_m)));
            assert!((peg["cut_cm"].as_f64().unwrap() - 100.0 * row.cut_m).abs() < 1e-9);
            assert!(
                (peg["bank_loose_cm"].as_f64().unwrap() - 100.0 * row.bank_build_m.likely()).abs() < 1e-9
            );
            pegs += 1;
        }
    }
    assert!(pegs > 50, "{pegs} pegs");
}

/// Half a megabyte is what a phone on a hill may be sent; the demo's sheet is far below it.
#[test]
fn it_is_one_small_file_that_asks_the_network_for_nothing() {
    let (html, ..) = sheet_of(&demo());
    assert!(html.len() < 500_000, "{} bytes", html.len());
    for outside in ["http:", "https:", "src=", "@import", "url(", "fetch(", "XMLHttpRequest", "import("] {
        assert!(!html.contains(outside), "{outside}");
    }
    assert!(html.contains("default-src 'none'"));
}

/// Names from the site file are text, in the page and in its script.
#[test]
fn a_name_cannot_break_out_of_the_page() {
    let mut site = demo();
    let hostile = "</script><script>alert(1)</script>\u{2028}{stops}";
    site.plan.name = hostile.to_owned();
    site.plan.lines[0].name = hostile.to_owned();
    let (html, given, _) = sheet_of(&site);
    assert_eq!(html.matches("<script>").count(), 1);
    assert_eq!(html.matches("</script>").count(), 1);
    assert_eq!(given["site"], hostile);
    assert_eq!(given["lines"][0]["name"], hostile);
}

/// The first thing under the name is what must not be dug, and only then.
#[test]
fn what_says_stop_comes_first() {
    let (html, _, answers) = sheet_of(&demo());
    let stops =
        answers.findings.findings.iter().filter(|f| f.severity == design::findings::Severity::Stop).count();
    let at = html.find("class=\"stop\"");
    assert_eq!(at.is_some(), stops > 0);
    if let Some(at) = at {
        assert!(at < html.find("id=\"lines\"").unwrap());
        let section = &html[at..at + html[at..].find("</section>").unwrap()];
        assert_eq!(section.matches("<li>").count(), stops);
    }
    assert_eq!(super::stops(&[]), "");
}

/// A sheet of a changed plan keeps its entries apart from those of the old one.
#[test]
fn a_changed_plan_is_another_sheet() {
    let mut site = demo();
    let (_, before, _) = sheet_of(&site);
    let (_, again, _) = sheet_of(&site);
    assert_eq!(before["sheet"], again["sheet"]);
    site.plan.lines[0].depth_m = Some(0.77);
    let (_, after, _) = sheet_of(&site);
    assert_ne!(before["sheet"], after["sheet"]);
}

/// Every text the script asks for is there, and none is there in vain.
#[test]
fn the_words_and_the_script_agree() {
    for (name, _) in said::PAGE {
        assert!(SCRIPT.contains(&format!("'{name}'")), "{name} is never said");
    }
    for asked in SCRIPT.split("say('").skip(1) {
        let name = asked.split('\'').next().unwrap();
        assert!(said::PAGE.iter().any(|(known, _)| *known == name), "{name} has no words");
    }
}

/// The sheet and the field book that it goes into know the same kinds of things, with the same units.
#[test]
fn what_is_seen_is_what_the_field_book_takes() {
    let ours: Vec<(&str, &str)> = said::SEEN.iter().map(|(kind, _, unit)| (*kind, *unit)).collect();
    let book = site::SeenKind::ALL.iter().map(|kind| (kind.words(), kind.unit().unwrap_or("")));
    assert_eq!(ours, book.collect::<Vec<_>>());
}
