//! Text to cells, and cells to numbers.

use super::{Cell, shown};
use crate::Fault;

/// The mark that divides cells: the most frequent of `marks` on the first line that says anything, quotes left
/// out of account; the earlier of equals; the last of all where none occurs.
pub(super) fn sniff(text: &str, marks: &[char; 4]) -> char {
    let header = text.lines().find(|line| says_something(line)).unwrap_or("");
    let mut quoted = false;
    let mut counts = [0_usize; 4];
    for c in header.chars() {
        if c == '"' {
            quoted = !quoted;
        } else if let (false, Some(i)) = (quoted, marks.iter().position(|mark| *mark == c)) {
            counts[i] += 1;
        }
    }
    let most = counts.iter().copied().max().unwrap_or(0);
    match counts.iter().position(|count| *count == most && most > 0) {
        Some(i) => marks[i],
        None => marks[3],
    }
}

fn says_something(line: &str) -> bool {
    let line = line.trim();
    !line.is_empty() && !line.starts_with('#')
}

/// Every record with something in it, comments and blank lines left out.
pub(super) fn split(file: &str, text: &str, delimiter: char) -> Result<Vec<Vec<Cell>>, Fault> {
    let mut splitter = Splitter {
        delimiter,
        records: Vec::new(),
        record: Vec::new(),
        cell: Cell { text: String::new(), line: 1, column: 1 },
        quote: Quote::None,
        line: 1,
        column: 1,
    };
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        if splitter.at_line_start() && c == '#' {
            splitter.quote = Quote::Comment;
        }
        // A carriage return before a line feed is half of one line end; alone it is an old one of its own.
        if c == '\r' && chars.peek() == Some(&'\n') {
            continue;
        }
        splitter.take(c);
    }
    splitter.finish(file)
}

#[derive(PartialEq, Eq)]
enum Quote {
    None,
    Open,
    /// The cell was quoted and its closing mark has been seen.
    Closed,
    Comment,
}

struct Splitter {
    delimiter: char,
    records: Vec<Vec<Cell>>,
    record: Vec<Cell>,
    cell: Cell,
    quote: Quote,
    line: usize,
    column: usize,
}

impl Splitter {
    /// Whether nothing but blanks has been seen on this line, outside quotes.
    fn at_line_start(&self) -> bool {
        self.quote == Quote::None && self.record.is_empty() && self.cell.text.trim().is_empty()
    }

    fn take(&mut self, c: char) {
        let ends_line = c == '\n' || c == '\r';
        match self.quote {
            Quote::Open if c == '"' => self.quote = Quote::Closed,
            Quote::Open => self.cell.text.push(c),
            _ if ends_line => self.end_record(),
            Quote::Comment => {}
            _ if c == self.delimiter => self.end_cell(),
            Quote::None if c == '"' && self.cell.text.trim().is_empty() => {
                self.cell.text.clear();
                (self.cell.line, self.cell.column) = (self.line, self.column);
                self.quote = Quote::Open;
            }
            // A doubled quote is one quote.
            Quote::Closed if c == '"' => {
                self.cell.text.push(c);
                self.quote = Quote::Open;
            }
            _ => self.cell.text.push(c),
        }
        self.column += 1;
        if ends_line {
            self.line += 1;
            self.column = 1;
        }
        if self.quote == Quote::None && self.cell.text.trim().is_empty() {
            (self.cell.line, self.cell.column) = (self.line, self.column);
            self.cell.text.clear();
        }
    }

    fn end_cell(&mut self) {
        let next = Cell { text: String::new(), line: self.line, column: self.column + 1 };
        let mut cell = std::mem::replace(&mut self.cell, next);
        cell.text = cell.text.trim().to_owned();
        self.record.push(cell);
        self.quote = Quote::None;
    }

    fn end_record(&mut self) {
        self.end_cell();
        let record = std::mem::take(&mut self.record);
        if record.iter().any(|cell| !cell.text.is_empty()) {
            self.records.push(record);
        }
    }

    fn finish(mut self, file: &str) -> Result<Vec<Vec<Cell>>, Fault> {
        if self.quote == Quote::Open {
            let found = format!("a quote opens before \"{}\" and never closes", shown(&self.cell.text));
            let advice = "close it with \", or write a quote inside quotes twice";
            let fault = Fault::of_file(file, "quote-never-ends", found, advice);
            return Err(fault.at(self.cell.line, self.cell.column));
        }
        self.end_record();
        Ok(self.records)
    }
}

/// The number a text says, or what to do about it. Digits, one point (or comma), a sign, an exponent: nothing
/// else, so that "nan", "inf", "1e999", "0x1F" and "1 234" are refused.
pub(super) fn number(text: &str, decimal_comma: bool) -> Result<f64, &'static str> {
    let mut plain = text.replace('\u{2212}', "-");
    if plain.contains(',') {
        if !decimal_comma {
            return Err("write decimals with a point where cells are divided by commas");
        }
        if plain.contains('.') || plain.matches(',').count() > 1 {
            return Err("write the number without thousands marks");
        }
        plain = plain.replace(',', ".");
    }
    let allowed = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | 'e' | 'E');
    if !plain.chars().all(allowed) {
        return Err(
            "write digits alone, without unit or thousands marks; leave the cell blank if it was not read",
        );
    }
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        Ok(_) => Err("no measurement is that large: check the exponent"),
        Err(_) => Err("write one number, such as 1.216 or -0.35"),
    }
}
