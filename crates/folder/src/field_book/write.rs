//! Writing down what was seen: rows at the end of the book.

use std::path::Path;

use site::Seen;

use super::{COLUMNS, Entry, FIELD_BOOK, guarded, read_field_book};
use crate::Fault;
use crate::inside::SiteDir;
use crate::save;
use crate::table::Table;

/// What became of entries that were brought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Added {
    /// Entries that are new.
    pub new: usize,
    /// Entries that put an earlier one right, or strike it out.
    pub corrected: usize,
    /// Entries that the book has already.
    pub known: usize,
}

/// Writes entries into the field book of a site folder; one is begun where there is none. What the book has already is
/// not written again, so that the same entries may be brought twice.
///
/// # Errors
/// Every fault of the book that is there or would come out, or that it cannot be saved. Nothing is written then.
pub fn note_down(dir: &Path, entries: &[Entry]) -> Result<Added, Vec<Fault>> {
    let site = SiteDir::open(dir).map_err(|fault| vec![fault])?;
    let was = match site.bytes(FIELD_BOOK) {
        Ok(bytes) => Some(bytes),
        Err(fault) if fault.code == "no-file" => None,
        Err(fault) => return Err(vec![fault]),
    };
    let (now, added) = with_entries(&site.shown(FIELD_BOOK), was.as_deref(), entries)?;
    if added != Added::default() {
        // What would not be read again as it was meant is not written.
        read_field_book(&site.shown(FIELD_BOOK), &now)?;
    }
    let saved = match &was {
        Some(was) => save::save(dir, FIELD_BOOK, was, &now),
        None if added == Added::default() => Ok(()),
        None => save::save_new(dir, FIELD_BOOK, &now),
    };
    saved.map_err(|fault| vec![fault])?;
    Ok(added)
}

/// The book with these entries behind what is there, and what became of them.
pub(super) fn with_entries(
    file: &str,
    was: Option<&[u8]>,
    entries: &[Entry],
) -> Result<(Vec<u8>, Added), Vec<Fault>> {
    let there = was.map_or(Ok(Vec::new()), |bytes| read_field_book(file, bytes))?;
    let mut book = there;
    let mut added = Added::default();
    let mut fresh: Vec<Entry> = Vec::new();
    for entry in entries {
        let entry = as_kept(entry);
        let last = book.iter().rev().find(|known| known.seen.id == entry.seen.id);
        match last {
            Some(known) if *known == entry => added.known += 1,
            Some(_) => added.corrected += 1,
            None => added.new += 1,
        }
        if last != Some(&entry) {
            book.push(entry.clone());
            fresh.push(entry);
        }
    }
    if fresh.is_empty() {
        return Ok((was.unwrap_or_default().to_vec(), added));
    }
    let bytes = match was {
        Some(bytes) => continued(file, bytes, &fresh)?,
        None => begun(&fresh),
    };
    Ok((bytes, added))
}

/// An entry as it will be read again: words without line ends, nor blanks round them.
fn as_kept(entry: &Entry) -> Entry {
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let some = |text: &Option<String>| text.as_deref().map(one_line).filter(|text| !text.is_empty());
    let seen = &entry.seen;
    let mut place = seen.place.clone();
    place.line = some(&place.line);
    place.tree = some(&place.tree);
    let seen = Seen {
        id: one_line(&seen.id),
        note: one_line(&seen.note),
        photo: some(&seen.photo),
        who: some(&seen.who),
        place,
        ..seen.clone()
    };
    Entry { seen, struck: entry.struck }
}

fn begun(entries: &[Entry]) -> Vec<u8> {
    let mut text = COLUMNS.join(",") + "\n";
    for entry in entries {
        text += &row(entry, &COLUMNS, ',');
        text += "\n";
    }
    text.into_bytes()
}

/// The rows in the book's own columns, mark and line ends; columns that it lacks are named behind its own.
fn continued(file: &str, bytes: &[u8], entries: &[Entry]) -> Result<Vec<u8>, Vec<Fault>> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        let found = "it is not written in UTF-8, so nothing can be added to it";
        let advice = "save it from your spreadsheet as \"CSV UTF-8\"";
        return Err(vec![Fault::of_file(file, "not-utf8", found, advice)]);
    };
    let table = Table::read(file, bytes)?;
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut names: Vec<&str> = table.names().collect();
    let lacking: Vec<&str> = COLUMNS.iter().copied().filter(|name| needs(&table, entries, name)).collect();
    names.extend(&lacking);
    let mut out = with_more_names(text, &table, &lacking);
    if !out.ends_with('\n') {
        out += end;
    }
    for entry in entries {
        out += &row(entry, &names, table.delimiter());
        out += end;
    }
    Ok(out.into_bytes())
}

/// Whether the book lacks a column that an entry fills.
fn needs(table: &Table, entries: &[Entry], name: &str) -> bool {
    table.column(name).is_none() && entries.iter().any(|entry| !cell(entry, name).is_empty())
}

fn with_more_names(text: &str, table: &Table, lacking: &[&str]) -> String {
    if lacking.is_empty() {
        return text.to_owned();
    }
    let mut out = String::new();
    for (i, line) in text.split_inclusive('\n').enumerate() {
        let bare = line.trim_end_matches(['\n', '\r']);
        out += bare;
        if i + 1 == table.names_line() {
            for name in lacking {
                out.push(table.delimiter());
                out += name;
            }
        }
        out += &line[bare.len()..];
    }
    out
}

fn row(entry: &Entry, names: &[&str], delimiter: char) -> String {
    let cells: Vec<String> =
        names.iter().map(|name| quoted(&cell(entry, &name.to_ascii_lowercase()), delimiter)).collect();
    cells.join(&delimiter.to_string())
}

fn cell(entry: &Entry, name: &str) -> String {
    let seen = &entry.seen;
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let number = |value: Option<f64>| value.map_or(String::new(), |value| value.to_string());
    match name {
        "id" => seen.id.clone(),
        "date" => seen.when.day.to_string(),
        "time" => seen.when.clock(),
        "kind" => seen.kind.words().to_owned(),
        "line" => text(&seen.place.line),
        "chainage_m" => number(seen.place.chainage_m),
        "x_m" => number(seen.place.at.map(|at| at[0])),
        "y_m" => number(seen.place.at.map(|at| at[1])),
        "tree" => text(&seen.place.tree),
        "value" => number(seen.value),
        "unit" => seen.value.and(seen.kind.unit()).unwrap_or_default().to_owned(),
        "note" => guarded(&seen.note),
        "photo" => text(&seen.photo),
        "who" => guarded(&text(&seen.who)),
        "struck" if entry.struck => "yes".to_owned(),
        _ => String::new(),
    }
}

fn quoted(text: &str, delimiter: char) -> String {
    let needs = text.contains([delimiter, '"', '\n', '\r']) || text.starts_with('#');
    if needs { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}
