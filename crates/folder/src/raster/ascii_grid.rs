//! ESRI ASCII grid: a header of names and numbers, then heights row by row from the north.
//!
//! ```text
//! ncols 4
//! nrows 3
//! xllcorner 100
//! yllcorner 200
//! cellsize 2
//! NODATA_value -9999
//! 12.1 12.4 -9999 12.9 …
//! ```
//! The format is loose and this reader takes it at its word: header lines in any order and in capitals or not,
//! the corner or the middle of the first cell for x and y each, dx and dy instead of one cell size, a missing
//! mark for "no data" (then −9999), rows wrapped or run together, decimal commas as long as no number of the
//! file has a dot.
//!
//! Source: Esri, "ESRI ASCII raster format", ArcGIS Desktop help: row 1 is the north row, line ends do not
//! matter between values, NODATA_value is optional with −9999 as its default.
//! Leaves out: files whose rows run from the south; they cannot be told from the others.

use std::io::BufRead;

use super::{Affine, FARTHEST_HEIGHT, MOST_CELLS, Note, Raw, Refusal, System};
use crate::Fault;

/// The mark for "no data" where the header gives none.
const USUAL_NODATA: f64 = -9999.0;

/// Longest word that can be a number or a header name; longer ones are not text of this kind.
const LONGEST_WORD: usize = 64;

/// After so many bad words the rest is not looked at: the file is of another kind.
const MOST_FAULTS: usize = 20;

/// Reads the cells; `file` is the name for messages.
pub(super) fn read(source: impl BufRead, file: &str) -> Result<Raw, Vec<Fault>> {
    let mut reader = Reader { words: Words::new(source), file, faults: Vec::new(), mark: None };
    let header = reader.header();
    match header {
        Some(header) => reader.cells(&header),
        None => Err(reader.faults),
    }
}

/// One word of the file and where it stands.
#[derive(Debug, Clone)]
struct Word {
    text: String,
    line: usize,
    column: usize,
}

struct Words<S> {
    source: S,
    line: usize,
    column: usize,
    back: Option<Word>,
}

impl<S: BufRead> Words<S> {
    fn new(source: S) -> Words<S> {
        Words { source, line: 1, column: 1, back: None }
    }

    /// The next word; none at the end.
    fn next(&mut self) -> std::io::Result<Option<Word>> {
        if let Some(word) = self.back.take() {
            return Ok(Some(word));
        }
        let mut bytes = Vec::new();
        let mut place = (self.line, self.column);
        loop {
            let buffer = self.source.fill_buf()?;
            if buffer.is_empty() {
                break;
            }
            let (mut used, mut ended) = (0, false);
            for &byte in buffer {
                if byte.is_ascii_whitespace() {
                    if !bytes.is_empty() {
                        ended = true;
                        break;
                    }
                    (self.line, self.column) = match byte {
                        b'\n' => (self.line + 1, 1),
                        _ => (self.line, self.column + 1),
                    };
                } else {
                    if bytes.is_empty() {
                        place = (self.line, self.column);
                    }
                    if bytes.len() < LONGEST_WORD {
                        bytes.push(byte);
                    }
                    self.column += 1;
                }
                used += 1;
            }
            self.source.consume(used);
            if ended {
                break;
            }
        }
        let text = String::from_utf8_lossy(&bytes).into_owned();
        // A byte-order mark stands before the first word and is no part of it.
        let text = match place {
            (1, 1) => text.trim_start_matches('\u{feff}').to_owned(),
            _ => text,
        };
        Ok((!bytes.is_empty()).then_some(Word { text, line: place.0, column: place.1 }))
    }
}

#[derive(Debug, Clone, Copy)]
enum Start {
    Corner(f64),
    Middle(f64),
}

#[derive(Debug, Clone)]
struct Header {
    columns: usize,
    rows: usize,
    affine: Affine,
    nodata: f64,
    notes: Vec<Note>,
}

/// What was found so far.
#[derive(Debug, Default)]
struct Keys {
    columns: Option<f64>,
    rows: Option<f64>,
    x: Option<Start>,
    y: Option<Start>,
    dx: Option<f64>,
    dy: Option<f64>,
    nodata: Option<f64>,
}

struct Reader<'a, S> {
    words: Words<S>,
    file: &'a str,
    faults: Vec<Fault>,
    /// The decimal mark in use, once a number has shown one.
    mark: Option<char>,
}

impl<S: BufRead> Reader<'_, S> {
    fn next(&mut self) -> Option<Word> {
        match self.words.next() {
            Ok(word) => word,
            Err(error) => {
                self.faults.push(super::cannot_read(self.file, &error));
                None
            }
        }
    }

    fn fault(&mut self, word: &Word, code: &'static str, found: String, advice: &str) {
        let fault = Fault::of_file(self.file, code, found, advice).at(word.line, word.column);
        self.faults.push(fault);
    }

    fn number(&mut self, word: &Word) -> Option<f64> {
        let text = word.text.as_str();
        let mark = [',', '.'].into_iter().find(|mark| text.contains(*mark));
        let mixed = matches!((self.mark, mark), (Some(before), Some(now)) if before != now);
        self.mark = self.mark.or(mark);
        let number = if text.contains(',') && !text.contains('.') {
            text.replacen(',', ".", 1).parse().ok()
        } else {
            text.parse().ok()
        };
        match number {
            Some(number) if !mixed => Some(number),
            Some(_) => {
                let found = format!("\"{text}\" has another decimal mark than the numbers before it");
                self.fault(word, "mixed-decimal-marks", found, "use a dot everywhere");
                None
            }
            None => {
                let found = format!("\"{text}\" is not a number");
                self.fault(word, "not-a-number", found, "correct it, or write the mark for \"no data\"");
                None
            }
        }
    }

    fn header(&mut self) -> Option<Header> {
        let mut keys = Keys::default();
        while let Some(word) = self.next() {
            if starts_number(&word.text) {
                self.words.back = Some(word);
                break;
            }
            let Some(value) = self.next() else {
                let found = format!("the file ends after \"{}\"", word.text);
                self.fault(&word, "truncated", found, "copy the file again");
                return None;
            };
            let name = word.text.to_ascii_lowercase();
            if !is_key(&name) {
                let found = format!("\"{}\" is no line of an ASCII grid's header", word.text);
                let advice = "bring heights as an ESRI ASCII grid or a GeoTIFF";
                self.fault(&word, "not-a-raster", found, advice);
                return None;
            }
            let number = self.number(&value)?;
            if !keys.set(&name, number) {
                let found = format!("the header gives \"{}\" twice", word.text);
                self.fault(&word, "twice", found, "keep the right one");
            }
        }
        match keys.header() {
            Ok(header) if self.faults.is_empty() => Some(header),
            Ok(_) => None,
            Err(refusal) => {
                self.faults.push(refusal.of(self.file));
                None
            }
        }
    }

    fn cells(mut self, header: &Header) -> Result<Raw, Vec<Fault>> {
        let expected = header.columns * header.rows;
        // The header may lie: memory is taken as heights arrive.
        let mut z_m: Vec<f64> = Vec::new();
        let (mut no_data, mut impossible) = (0, 0);
        while let Some(word) = self.next() {
            if z_m.len() == expected {
                let found = format!("there are more heights than the {expected} of the header");
                self.fault(&word, "too-many-heights", found, "check ncols and nrows against the rows");
                break;
            }
            let Some(stored) = self.number(&word) else {
                z_m.push(f64::NAN);
                if self.faults.len() >= MOST_FAULTS {
                    return Err(self.faults);
                }
                continue;
            };
            z_m.push(if stored == header.nodata || (stored.is_nan() && header.nodata.is_nan()) {
                no_data += 1;
                f64::NAN
            } else if stored.abs() <= FARTHEST_HEIGHT {
                stored
            } else {
                impossible += 1;
                f64::NAN
            });
        }
        if z_m.len() < expected {
            let found = format!("the file holds {} of its {expected} heights", z_m.len());
            self.faults.push(Fault::of_file(self.file, "truncated", found, "copy the file again"));
        }
        if !self.faults.is_empty() {
            return Err(self.faults);
        }
        let mut notes = header.notes.clone();
        if self.mark == Some(',') {
            notes.push(Note::new("decimal-comma", "numbers are written with a decimal comma"));
        }
        if no_data > 0 {
            let text = format!("{no_data} cells hold the mark for \"no data\", {}", header.nodata);
            notes.push(Note::new("no-data", text));
        }
        if impossible > 0 {
            let text = format!(
                "{impossible} cells hold no number or one beyond ±100 000, and were taken as missing"
            );
            notes.push(Note::new("impossible-heights", text));
        }
        notes.push(Note::new(
            "unit-assumed",
            "the file names no unit for its heights; they were taken as metres",
        ));
        Ok(Raw {
            columns: header.columns,
            rows: header.rows,
            z_m,
            affine: header.affine,
            system: System::Unstated,
            notes,
        })
    }
}

/// Header names start with a letter, and so do the words for "not a number" and "infinite".
fn starts_number(word: &str) -> bool {
    let lower = word.trim_start_matches(['+', '-']).to_ascii_lowercase();
    lower.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',')
        || lower == "nan"
        || lower == "inf"
}

fn is_key(name: &str) -> bool {
    matches!(
        name,
        "ncols"
            | "nrows"
            | "xllcorner"
            | "xllcenter"
            | "yllcorner"
            | "yllcenter"
            | "cellsize"
            | "dx"
            | "dy"
            | "nodata_value"
            | "nodata"
    )
}

impl Keys {
    /// Takes a value; false if there was one.
    fn set(&mut self, name: &str, value: f64) -> bool {
        match name {
            "ncols" => self.columns.replace(value).is_none(),
            "nrows" => self.rows.replace(value).is_none(),
            "xllcorner" => self.x.replace(Start::Corner(value)).is_none(),
            "xllcenter" => self.x.replace(Start::Middle(value)).is_none(),
            "yllcorner" => self.y.replace(Start::Corner(value)).is_none(),
            "yllcenter" => self.y.replace(Start::Middle(value)).is_none(),
            "dx" => self.dx.replace(value).is_none(),
            "dy" => self.dy.replace(value).is_none(),
            "cellsize" => self.dx.replace(value).is_none() & self.dy.replace(value).is_none(),
            _ => self.nodata.replace(value).is_none(),
        }
    }

    fn header(&self) -> Result<Header, Refusal> {
        let columns = count(self.columns, "ncols")?;
        let rows = count(self.rows, "nrows")?;
        if columns.saturating_mul(rows) > MOST_CELLS {
            return Err(Refusal::new(
                "too-large",
                format!("{columns} × {rows} cells; at most {} million are read", MOST_CELLS / 1_000_000),
                "cut out the part with your land, or save it with larger cells",
            ));
        }
        let (Some(dx), Some(dy)) = (self.dx, self.dy) else {
            return Err(missing("cellsize"));
        };
        let west = edge(self.x, dx, "xllcorner")?;
        let south = edge(self.y, dy, "yllcorner")?;
        let affine = Affine { x0: west, a: dx, b: 0.0, y0: south + rows as f64 * dy, d: 0.0, e: -dy };
        let mut notes = Vec::new();
        if self.nodata.is_none() {
            notes.push(Note::new(
                "no-data-assumed",
                "the header gives no mark for \"no data\"; -9999 was taken, as the format says",
            ));
        }
        if dx <= 0.0 || dy <= 0.0 {
            return Err(Refusal::new(
                "no-georeference",
                format!("cells are {dx} × {dy}"),
                "correct cellsize in the header",
            ));
        }
        Ok(Header {
            columns,
            rows,
            affine: affine.check()?,
            nodata: self.nodata.unwrap_or(USUAL_NODATA),
            notes,
        })
    }
}

fn count(value: Option<f64>, name: &str) -> Result<usize, Refusal> {
    let value = value.ok_or_else(|| missing(name))?;
    if value == 0.0 {
        return Err(Refusal::new("no-heights", format!("{name} is 0"), "export the raster again"));
    }
    // Above this a whole number is not certain to be one any more; far more than is read anyway.
    let whole = value.fract() == 0.0 && (1.0..=f64::from(u32::MAX)).contains(&value);
    if whole {
        Ok(value as usize)
    } else {
        Err(Refusal::new("not-a-count", format!("{name} is {value}"), "write a whole number of cells"))
    }
}

fn edge(start: Option<Start>, step: f64, name: &str) -> Result<f64, Refusal> {
    match start {
        Some(Start::Corner(at)) => Ok(at),
        Some(Start::Middle(at)) => Ok(at - 0.5 * step),
        None => Err(missing(name)),
    }
}

fn missing(name: &str) -> Refusal {
    Refusal::new(
        "missing-header-line",
        format!("the header has no {name}"),
        "bring heights as an ESRI ASCII grid or a GeoTIFF",
    )
}
