use super::*;

const QUARRY_BANK: &str = include_str!("../../../../fixtures/quarry-bank/site.toml");

/// A small plan without faults, on which each test makes one.
const SOUND: &str = r#"name = "Back field"
[place]
latitude_deg = 38.7
elevation_m = 200
[tool]
kind = "hose"
step_m = 5
[[soil]]
name = "loam"
texture = "loam"
[rain]
design = { depth_mm = 60, hours = 6, once_in_years = 10 }
[[line]]
name = "top"
kind = "swale"
tape = [{ at_m = 0, z_m = 10 }, { at_m = 20, z_m = 10 }]
cross_slope = "12%"
catchment_m2 = 300
bed_width_m = 0.5
depth_m = 0.3
bank_height_m = 0.3
[[line.sill]]
at_m = 5
width_m = 2
below_bank_m = 0.1
to = "ground"
"#;

/// Every fault of a text, one a line.
fn told(text: &str) -> String {
    match read_plan("site.toml", text.as_bytes()) {
        Ok(_) => String::new(),
        Err(faults) => faults.iter().map(|fault| format!("{fault}\n")).collect(),
    }
}

/// The faults after one replacement in the sound plan.
fn told_after(from: &str, to: &str) -> String {
    assert!(SOUND.contains(from), "the sound plan has no {from}");
    told(&SOUND.replacen(from, to, 1))
}

#[test]
fn sound_plans_are_taken() {
    assert_eq!(told(SOUND), "");
    let quarry_bank = PlanFile::read("site.toml", QUARRY_BANK.as_bytes());
    let span = quarry_bank.span("line[0].sill[0].width_m").unwrap();
    assert_eq!(quarry_bank.into_plan().unwrap().name, "Quarry Bank");
    assert_eq!(&QUARRY_BANK[span], "4.0");
}

/// Ten faults, ten messages, in the order of the file and no echo of any.
#[test]
fn ten_faults_are_told_in_one_go() {
    insta::assert_snapshot!(told(include_str!("cases/ten-faults.toml")));
}

#[test]
fn single_faults_and_what_is_said_of_them() {
    let cases = [
        ("step_m = 5", "step_m = \"5 m\""),
        ("step_m = 5", "step_m = \"500 cm\""),
        ("step_m = 5", "step_m = 1e308"),
        ("step_m = 5", "step_m = 1e999"),
        ("step_m = 5", "step_m = nan"),
        ("step_m = 5", "step_m = -inf"),
        ("step_m = 5", "step_m = 0"),
        ("step_m = 5", "step = 5"),
        ("step_m = 5", "step_ft = 16.5"),
        ("step_m = 5", "step_m = true"),
        ("kind = \"hose\"", "kind = 3"),
        ("kind = \"hose\"", "kind = \"theodolite\""),
        ("[tool]", "[[tool]]"),
        ("[tool]", "[tools]"),
        ("[[line]]", "[line]"),
        ("[[line]]", "[[swale]]"),
        ("cross_slope = \"12%\"", "cross_slope = 12"),
        ("cross_slope = \"12%\"", "cross_slope = \"12\""),
        ("cross_slope = \"12%\"", "cross_slope = \"95deg\""),
        ("to = \"ground\"", "to = \"ground\"\nlining = \"grass\""),
        ("to = \"ground\"", "to = 1"),
        ("to = \"ground\"", ""),
        ("at_m = 5\n", ""),
        ("name = \"Back field\"", "name = 12"),
        ("name = \"Back field\"", "name = [\"a\"]"),
        ("name = \"loam\"", "name = \"loam\"\nsoak_mm_h = 9999"),
        ("name = \"loam\"", "name = \"loam\"\nsoak_mm_h = { low = 1, high = 3 }"),
        ("name = \"loam\"", "name = \"loam\"\ngravel_percent = 15"),
        ("name = \"loam\"", "name = \"loam\"\narea = [1, 2]"),
        ("name = \"loam\"", "name = \"loam\"\narea = [[1, 2], [1e9, 3], [4, 4]]"),
        ("name = \"loam\"", "name = \"loam\"\ncolour = \"red\""),
        ("name = \"top\"", "name = \"top\"\npegs = 7"),
    ];
    let told: String = cases
        .iter()
        .map(|(from, to)| format!("{to}\n{}\n", told_after(from, to).replace("site.toml:", "  ")))
        .collect();
    insta::assert_snapshot!(told);
}

#[test]
fn faults_of_form_are_told_in_plain_words() {
    let cases = [
        ("step_m = 5", "step_m = 5,5"),
        ("step_m = 5", "step_m = 5 m"),
        ("step_m = 5", "step_m ="),
        ("step_m = 5", "step_m: 5"),
        ("step_m = 5", "step_m = 5 kind2 = 3"),
        ("step_m = 5", "step_m = .5"),
        ("step_m = 5", "step_m = 5\nstep_m = 6"),
        ("kind = \"hose\"", "kind = hose"),
        ("kind = \"hose\"", "kind = “hose”"),
        ("kind = \"hose\"", "kind = \"hose"),
        ("[tool]", "[tool"),
        ("[[line]]", "[[line]"),
        ("[rain]", "[tool]"),
        ("name = \"top\"", "name = \"top\"\nfirm = True"),
        ("{ depth_mm = 60, hours = 6,", "{ depth_mm = 60 hours = 6,"),
        ("name = \"loam\"", "-- a remark"),
    ];
    let told: String = cases
        .iter()
        .map(|(from, to)| format!("{to}\n{}\n", told_after(from, to).replace("site.toml:", "  ")))
        .collect();
    insta::assert_snapshot!(told);
}

#[test]
fn marks_and_line_ends_of_any_editor_are_taken() {
    let windows = format!("\u{feff}{}", SOUND.replace('\n', "\r\n"));
    assert_eq!(told(&windows), "");
    let faulty = windows.replace("step_m = 5", "step_m = 500");
    assert!(told(&faulty).starts_with("site.toml:7:10: "), "{}", told(&faulty));
}

#[test]
fn empty_files_and_bytes_are_refused() {
    for empty in ["", " \n\t\r\n", "\u{feff}"] {
        let faults = read_plan("site.toml", empty.as_bytes()).unwrap_err();
        assert_eq!(faults[0].code, "empty", "{empty:?}");
    }
    let faults = read_plan("site.toml", b"name = \"caf\xe9\"").unwrap_err();
    assert_eq!((faults[0].line, faults[0].column), (Some(1), Some(12)));
}

/// A doubtful line makes no echoes: its tree is not beyond it, the sill that names it is not lost.
#[test]
fn faults_do_not_echo() {
    let two_lines = format!(
        "{}\n[[line]]\nkind = \"swale\"\n[[tree]]\nname = \"F\"\nspecies = \"fig\"\nline = \"top\"\nat_m = 15\n",
        SOUND.replace("to = \"ground\"", "to = \"low\"")
    );
    assert_eq!(told(&two_lines).lines().count(), 1, "{}", told(&two_lines));
    let tape = "tape = [{ at_m = 0, z_m = 10 }, { at_m = 20, z_m = 10 }]";
    let no_tape = two_lines
        .replace("kind = \"swale\"\n[[tree", "kind = \"swale\"\nname = \"low\"\n[[tree")
        .replace(tape, "tape = [{ at_m = 0, z_m = 10 }, { at_m = \"x\", z_m = 10 }]");
    let told = told(&no_tape);
    assert!(!told.contains("beyond line \"top\""), "{told}");
}
