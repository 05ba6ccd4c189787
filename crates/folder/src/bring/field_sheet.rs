//! What a field sheet saved: notes into the field book, pegs too, and levels of lines dug from end to end into `dug/`.
//!
//! Notes go through the reader of the field book, so that a unit or a kind is checked by one rule. An entry keeps its
//! `id`: the same sheet twice adds nothing, a later one puts right what was changed.
//!
//! A peg that was set with a reading stands as high as it was aimed at, less what it was read too low: from the last
//! peg, what is off adds up along the line; pegs without a reading count as right, as on the sheet. The bank on the sheet
//! is loose, so its settled height is written: lower by the most that banks thrown by hand settle.

use std::path::Path;

use design::pegs::Settlement;
use quantity::figures::fixed;
use serde::Deserialize;
use serde_json::Value as Json;

use crate::Fault;
use crate::dug::read_dug;
use crate::field_book::{Added, COLUMNS, FIELD_BOOK, note_down, read_field_book};
use crate::inside::SiteDir;
use crate::save::save_new;

use super::put::Done;

/// The document of a sheet.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct FieldSheet {
    /// Name of the site it was made for.
    pub site: String,
    version: u32,
    #[serde(default)]
    read_from: String,
    #[serde(default)]
    saved_at: String,
    #[serde(default)]
    pegs: Vec<Peg>,
    #[serde(default)]
    proofs: Vec<Proof>,
    #[serde(default)]
    notes: Vec<serde_json::Map<String, Json>>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Peg {
    id: String,
    line: String,
    peg: u32,
    chainage_m: f64,
    z_m: Option<f64>,
    #[serde(default)]
    done: bool,
    fall_aimed_mm: Option<f64>,
    fall_read_mm: Option<f64>,
    cut_cm: Option<f64>,
    bank_cm: Option<f64>,
    #[serde(default)]
    at: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Proof {
    line: String,
    found_mm: Option<f64>,
    #[serde(default)]
    at: String,
}

/// Reads what a sheet saved; none where the file is something else.
///
/// # Errors
/// It is a sheet, and broken or of a later version.
pub fn field_sheet(path: &Path) -> Result<Option<FieldSheet>, Vec<Fault>> {
    let file = path.display().to_string();
    let bytes = super::bytes_of(path, &file)?;
    let Ok(json) = serde_json::from_slice::<Json>(bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&bytes))
    else {
        return Ok(None);
    };
    if json["format"] != "hillsip-field-sheet" {
        return Ok(None);
    }
    let fault = |code, found: String, advice: &str| vec![Fault::of_file(&file, code, found, advice)];
    let sheet: FieldSheet = serde_json::from_value(json).map_err(|error| {
        fault(
            "sheet-broken",
            format!("the field sheet's file is broken ({error})"),
            "save it on the phone again",
        )
    })?;
    if sheet.version != 1 {
        let found = format!("the field sheet is of version {}, and 1 is known here", sheet.version);
        return Err(fault("sheet-version", found, "bring it with the program that wrote the sheet"));
    }
    Ok(Some(sheet))
}

/// Merges a sheet into the site folder.
///
/// # Errors
/// It is of another site, names lines that are not there, or holds what the field book does not take. Nothing is
/// written then.
pub fn merge(dir: &Path, site: &site::Site, path: &Path, sheet: &FieldSheet) -> Result<Done, Vec<Fault>> {
    let file = path.display().to_string();
    if sheet.site != site.plan.name {
        let found = format!("the sheet is of \"{}\", and this site is \"{}\"", sheet.site, site.plan.name);
        return Err(vec![Fault::of_file(file, "other-site", found, "name the folder it belongs to")]);
    }
    let known = |line: &str| site.plan.lines.iter().any(|known| known.name == line);
    if let Some(peg) = sheet.pegs.iter().find(|peg| !known(&peg.line)) {
        let found = format!("the plan has no line \"{}\"", crate::fault::shown(&peg.line));
        return Err(vec![Fault::of_file(
            file,
            "no-such-line",
            found,
            "name the line again as it was, then bring the sheet",
        )]);
    }
    let entries = read_field_book(&file, table(sheet).as_bytes())?;
    let dug = dug_levels(dir, sheet)?;
    let Added { new, corrected, known } = note_down(dir, &entries)?;
    let mut done = Done { file: FIELD_BOOK.to_owned(), new, known, ..Done::default() };
    if corrected > 0 {
        done.then
            .push(format!("{corrected} entries put earlier ones right; the earlier rows stay in the book"));
    }
    for level in dug {
        match level.there {
            None => {
                make_folder(dir).map_err(|fault| vec![fault])?;
                save_new(dir, &level.inside, level.text.as_bytes()).map_err(|fault| vec![fault])?;
                done.then
                    .push(format!("{} holds the line as it was dug: it is sized by that now", level.inside));
            }
            Some(true) => {}
            Some(false) => done.left.push(format!(
                "{} is there already with other levels and was left as it is; delete it to take the sheet's",
                level.inside
            )),
        }
    }
    Ok(done)
}

fn make_folder(dir: &Path) -> Result<(), Fault> {
    std::fs::create_dir_all(dir.join("dug")).map_err(|error| {
        let found = format!("it could not be made ({error})");
        Fault::of_file(
            dir.join("dug").display().to_string(),
            "not-saved",
            found,
            "see that the folder can be written",
        )
    })?;
    SiteDir::open(dir)?.folder("dug").map(|_| ())
}

/// The sheet's entries as a table of the field book.
fn table(sheet: &FieldSheet) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let in_memory = "a table in memory can be written";
    writer.write_record(COLUMNS).expect(in_memory);
    for note in &sheet.notes {
        let cell = |name: &&str| match note.get(*name) {
            Some(Json::String(text)) => text.clone(),
            Some(Json::Number(number)) => number.to_string(),
            Some(Json::Bool(true)) => "yes".to_owned(),
            _ => String::new(),
        };
        // A unit without a figure says nothing.
        let figure = note.get("value").is_some_and(Json::is_number);
        let row =
            COLUMNS.iter().map(|name| if *name == "unit" && !figure { String::new() } else { cell(name) });
        writer.write_record(row).expect(in_memory);
    }
    let told = sheet.pegs.iter().filter(|peg| peg.is_told()).map(|peg| peg.row(&sheet.saved_at));
    let proofs = sheet.proofs.iter().filter_map(|proof| proof.row(&sheet.saved_at));
    for row in told.chain(proofs) {
        writer.write_record(COLUMNS.iter().map(|name| row.cell(name))).expect(in_memory);
    }
    String::from_utf8(writer.into_inner().expect(in_memory)).expect("its cells are text")
}

/// A row of the field book made of a peg or a proof.
struct NoteRow {
    id: String,
    date: String,
    line: String,
    chainage_m: String,
    note: String,
}

impl NoteRow {
    fn cell(&self, name: &str) -> &str {
        match name {
            "id" => &self.id,
            "date" => &self.date,
            "kind" => "note",
            "line" => &self.line,
            "chainage_m" => &self.chainage_m,
            "note" => &self.note,
            _ => "",
        }
    }
}

/// The day of a moment in universal time.
fn day_of(at: &str, saved_at: &str) -> String {
    let at = if at.is_empty() { saved_at } else { at };
    at.chars().take(10).collect()
}

impl Peg {
    fn is_told(&self) -> bool {
        self.done || [self.fall_read_mm, self.cut_cm, self.bank_cm].iter().any(Option::is_some)
    }

    fn row(&self, saved_at: &str) -> NoteRow {
        let mut parts = vec![if self.done { "set".to_owned() } else { "not ticked".to_owned() }];
        if let Some(read_mm) = self.fall_read_mm {
            let aimed = self.fall_aimed_mm.map_or_else(String::new, |mm| format!(" of {} mm", fixed(mm, 0)));
            parts.push(format!("fall read {} mm{aimed}", fixed(read_mm, 0)));
        }
        let cm = |what: &str, value: Option<f64>| value.map(|cm| format!("{what} {} cm", fixed(cm, 1)));
        parts.extend(cm("cut", self.cut_cm).into_iter().chain(cm("loose bank", self.bank_cm)));
        NoteRow {
            id: self.id.clone(),
            date: day_of(&self.at, saved_at),
            line: self.line.clone(),
            chainage_m: self.chainage_m.to_string(),
            note: format!("peg {}: {}", self.peg, parts.join(", ")),
        }
    }
}

impl Proof {
    fn row(&self, saved_at: &str) -> Option<NoteRow> {
        let found_mm = self.found_mm?;
        Some(NoteRow {
            id: format!("proof:{}:{}", self.line, self.at),
            date: day_of(&self.at, saved_at),
            line: self.line.clone(),
            chainage_m: String::new(),
            note: format!(
                "levelled back from the last peg to the first: {} mm below the first",
                fixed(found_mm, 0)
            ),
        })
    }
}

/// Levels of a line that the sheet knows from end to end.
struct DugLine {
    inside: String,
    text: String,
    /// Whether the file that is there says the same; none where there is none.
    there: Option<bool>,
}

fn dug_levels(dir: &Path, sheet: &FieldSheet) -> Result<Vec<DugLine>, Vec<Fault>> {
    let site = SiteDir::open(dir).map_err(|fault| vec![fault])?;
    let mut lines: Vec<&str> = Vec::new();
    for peg in &sheet.pegs {
        if !lines.contains(&peg.line.as_str()) {
            lines.push(&peg.line);
        }
    }
    let mut dug = Vec::new();
    for line in lines {
        let Some(text) = levels_of(sheet, line) else { continue };
        let inside = format!("dug/{line}.csv");
        let there = match site.bytes(&inside) {
            Ok(bytes) => Some(read_dug(&inside, &bytes)? == read_dug(&inside, text.as_bytes())?),
            Err(fault) if fault.code == "no-file" => None,
            Err(fault) => return Err(vec![fault]),
        };
        // What it would say has to be sound before anything is written.
        read_dug(&inside, text.as_bytes())?;
        dug.push(DugLine { inside, text, there });
    }
    Ok(dug)
}

/// The table of a line whose every peg has a height and a cut; none where one is missing.
fn levels_of(sheet: &FieldSheet, line: &str) -> Option<String> {
    let mut pegs: Vec<&Peg> = sheet.pegs.iter().filter(|peg| peg.line == line).collect();
    pegs.sort_by(|a, b| a.chainage_m.total_cmp(&b.chainage_m));
    let settles = 1.0 + Settlement::hand_thrown().add_frac.high();
    let from_last = sheet.read_from == "last_peg";
    let mut off_m = 0.0;
    let mut text = String::from(
        "# From the field sheet: pegs as read, bank settled by the most that banks thrown by hand settle.\nchainage_m,bed_z_m,bank_z_m\n",
    );
    if pegs.len() < 2 {
        return None;
    }
    for peg in pegs {
        let lower_m =
            peg.fall_read_mm.zip(peg.fall_aimed_mm).map_or(0.0, |(read, aimed)| (read - aimed) / 1000.0);
        off_m = if from_last { off_m + lower_m } else { lower_m };
        let peg_z_m = peg.z_m? - off_m;
        let bed_z_m = peg_z_m - peg.cut_cm? / 100.0;
        let bank =
            peg.bank_cm.map_or_else(String::new, |cm| format!("{:.3}", peg_z_m + cm / 100.0 / settles));
        text += &format!("{},{bed_z_m:.3},{bank}\n", peg.chainage_m);
    }
    Some(text)
}
