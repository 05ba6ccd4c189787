use ground::levels::{Rule, Settings, Spread, level};
use proptest::prelude::*;

use super::*;

const BOOK: &str = "point,backsight_m,intermediate_m,foresight_m,z_m,note\n\
                    BM1,6.482,,,40.000,\"on the step, left\"\n\
                    CP1,5.844,,2.159,,\n\
                    C,,3.141,,,\n\
                    D,,-2.956,,,staff inverted\n\
                    E,,5.600,,,\n\
                    CP2,4.298,,7.318,,\n\
                    F,,3.015,,,\n\
                    BM2,,,4.264,,\n";

fn heights(text: &str) -> Vec<f64> {
    let read = read_level_book("book.csv", text.as_bytes()).unwrap();
    let settings = Settings { closes_on_z_m: None, rule: Rule::PerSetup, spread: Spread::BySetup };
    let levelled = level(&read.book, &settings).unwrap();
    levelled.reduction.points.iter().map(|point| point.z_m).collect()
}

/// Code, line and column of each fault.
fn faults(text: &str) -> Vec<(&'static str, usize, usize)> {
    let found = read_level_book("book.csv", text.as_bytes()).unwrap_err();
    let place = |fault: Fault| (fault.code, fault.line.unwrap_or(0), fault.column.unwrap_or(0));
    found.into_iter().map(place).collect()
}

fn assert_same(ours_m: &[f64], expected_m: &[f64]) {
    assert_eq!(ours_m.len(), expected_m.len());
    for (our_m, expected_m) in ours_m.iter().zip(expected_m) {
        assert!((our_m - expected_m).abs() <= 0.0005, "{our_m} for {expected_m}");
    }
}

/// PNG University of Technology, surveying lecture 2, from a file in every dress.
#[test]
fn published_book_from_a_file() {
    let printed_m = [40.0, 44.323, 47.026, 53.123, 44.567, 42.849, 44.132, 42.883];
    assert_same(&heights(BOOK), &printed_m);
    let semicolons = BOOK.replace(',', ";").replace("step; left", "step, left").replace('.', ",");
    assert_same(&heights(&semicolons), &printed_m);
    let windows = format!("\u{feff}# the bridge\n\n{}", BOOK.replace('\n', "\r\n"));
    assert_same(&heights(&windows), &printed_m);
    assert_same(&heights(&BOOK.replace(',', "\t").replace("step\t left", "step, left")), &printed_m);
}

/// 10 ft + 4 ft − 2 ft, and millimetres, each where the name says so.
#[test]
fn feet_and_millimetres_only_where_declared() {
    let feet = "point,backsight_ft,foresight_ft,z_ft\nA,4,,10\nB,,2,\n";
    assert_same(&heights(feet), &[3.048, 3.6576]);
    let mixed = "point,backsight_mm,foresight_mm,z_m\nA,1250,,10\nB,,1000,\n";
    assert_same(&heights(mixed), &[10.0, 10.25]);
    let twice = "point,backsight_m,backsight_ft,foresight_m,z_m\nA,1,,,10\nB,,,1,\n";
    assert_eq!(faults(twice), [("unit-twice", 1, 19)]);
}

/// A textbook question published on three answer pages: seven points.
#[test]
fn published_readings_in_a_row_from_a_file() {
    let text = "setup,reading_m,z_m\n1,2.228,150.250\n1,1.606,\n1,0.988,\n2,2.090,\n2,2.864,\n2,1.262,\n\
                3,0.602,\n3,1.982,\n4,1.044,\n4,2.684,\n";
    assert_same(&heights(text), &[150.250, 150.872, 151.490, 150.716, 152.318, 150.938, 149.298]);
    assert_eq!(faults(&text.replace("1.262", "126.2")), [("reading-too-long", 7, 3)]);
    assert_eq!(faults(&text.replace("4,2.684,\n", "")), [("lonely-reading", 10, 1)]);
}

/// A hose: what the near staff reads more than the far one, the far peg is higher.
#[test]
fn hose_pairs_from_a_file() {
    let text =
        "from;to;from_reading_m;to_reading_m;from_z_m;to_z_m\n1;2;0,800;0,750;10;\n2;3;0,700;0,730;;10,02\n";
    assert_same(&heights(text), &[10.0, 10.05, 10.02]);
    assert_eq!(faults(&text.replace("\n2;3", "\n4;3")), [("change-on-two-points", 3, 1)]);
    assert_eq!(faults(&text.replace("0,730", "")), [("no-reading", 3, 11)]);
}

#[test]
fn every_fault_in_one_go_and_where_it_stands() {
    let letters = BOOK.replace("5.844", "5.8l4").replace("3.015", "3.o15");
    assert_eq!(faults(&letters), [("not-a-number", 3, 5), ("not-a-number", 8, 4)]);
    assert_eq!(faults(&BOOK.replace("CP1,5.844,,2.159,,", "CP1,5.844,,,,")), [("missing-foresight", 3, 12)]);
    let both = letters.replace("CP2,4.298,,7.318,,", "CP2,4.298,,,,");
    let found = [("not-a-number", 3, 5), ("missing-foresight", 7, 12), ("not-a-number", 8, 4)];
    assert_eq!(faults(&both), found);
    let chainages = "backsight_m,foresight_m,z_m,chainage_m\n1,,10,0\n1,2,,3O\n,1,,20\n";
    assert_eq!(faults(chainages), [("not-a-number", 3, 6)]);
    assert_eq!(faults(&BOOK.replace("40.000", "")), [("no-start-height", 2, 13)]);
    let two_starts = format!("{BOOK}BM1,6.482,,,40,\nX,,,1,,\n");
    assert_eq!(faults(&two_starts), [("missing-backsight", 9, 5), ("missing-foresight", 10, 12)]);
    for (huge, code) in [("1e308", "reading-too-long"), ("NaN", "not-a-number"), ("inf", "not-a-number")] {
        assert_eq!(faults(&BOOK.replace("3.141", huge)), [(code, 4, 4)], "{huge}");
    }
    let misspelt = "point,backsite_m,foresight_m,z_m\nA,1,,10\nB,,1,\n";
    assert_eq!(faults(misspelt), [("column-unknown", 1, 7), ("column-missing", 1, 1)]);
    assert_eq!(faults("point,backsight_m,foresight_m,z_m\n"), [("book-empty", 1, 0)]);
    assert_eq!(faults(""), [("table-empty", 0, 0)]);
    assert_eq!(faults("\u{0}\u{1}\u{2}"), [("not-text", 1, 1)]);
}

#[test]
fn a_fault_reads_as_a_sentence() {
    let text = BOOK.replace("CP1,5.844,,2.159,,", "CP1,5.844,,,,");
    let found = read_level_book("book.csv", text.as_bytes()).unwrap_err();
    assert_eq!(
        found[0].to_string(),
        "book.csv:3:12: a backsight without a foresight after the run began; book the foresight taken on this point \
         before the instrument was moved; if a second run starts here, give it a file of its own"
    );
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = read_level_book("book.csv", &bytes);
    }

    /// Books of nearly the right form, so that the checks behind the table are reached.
    #[test]
    fn no_book_makes_it_panic(
        header in 0..3_usize,
        rows in proptest::collection::vec("[A-C]{0,1},(-?[0-9]{1,2}\\.[0-9]|1e308|x|),(1|),(2|),(3|),", 0..8),
    ) {
        let headers = [
            "point,backsight_m,intermediate_m,foresight_m,z_m,note",
            "setup,reading_m,z_m,point,note,",
            "from,from_reading_m,to_reading_m,from_z_m,to_z_m,to",
        ];
        let text = format!("{}\n{}\n", headers[header], rows.join("\n"));
        if let Err(faults) = read_level_book("book.csv", text.as_bytes()) {
            prop_assert!(!faults.is_empty());
            prop_assert!(faults.iter().all(|fault| !fault.advice.is_empty()));
        }
    }
}
