//! `hillsip levels`: does it add up, does it close, and what to do if not.

mod book;
mod frame;
mod ring;
mod two_peg;

use std::io::Write;
use std::path::Path;

use comfy_table::{CellAlignment, Table, presets};
use folder::{Fault, LevelFile, read_level_file};

use super::{Ended, Refused, print_json};
use crate::args;

/// Works a file of levels out.
pub fn run(args: &args::Levels, out: &mut dyn Write) -> Result<Ended, Refused> {
    let file = args.file.display().to_string();
    match read_level_file(&file, &read(&args.file, &file)?)? {
        LevelFile::Book(read) => told(args, out, &book::answer(&read, args)?, book::print),
        LevelFile::Traverse(legs) => told(args, out, &ring::answer(&legs, args)?, ring::print),
        LevelFile::Turned(turned) => told(args, out, &frame::turned(&turned), frame::print_turned),
        LevelFile::TwoPeg(test) => told(args, out, &two_peg::answer(&test)?, two_peg::print),
        LevelFile::ReadBack(pairs) => {
            told(args, out, &frame::read_back(&pairs, args)?, frame::print_read_back)
        }
    }
}

/// An answer, as a document or in words, and whether it says stop.
fn told<A: serde::Serialize + Verdict>(
    args: &args::Levels,
    out: &mut dyn Write,
    answer: &A,
    print: fn(&A, &mut dyn Write) -> std::io::Result<()>,
) -> Result<Ended, Refused> {
    if args.json {
        print_json(out, answer)?;
    } else {
        print(answer, out)?;
    }
    Ok(if answer.says_stop() { Ended::SaysStop } else { Ended::Done })
}

/// Whether nobody should dig by an answer.
trait Verdict {
    fn says_stop(&self) -> bool;
}

fn read(path: &Path, file: &str) -> Result<Vec<u8>, Fault> {
    let advice = "give a CSV file that can be read; docs/methods/levels.md lists the columns";
    std::fs::read(path).map_err(|error| Fault::of_file(file, "file-not-read", error.to_string(), advice))
}

/// A table of text columns on the left and figures on the right of each column; the first is text.
fn sheet(columns: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header(columns.iter().copied());
    for row in rows {
        table.add_row(row);
    }
    for (i, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, 2));
        if i > 0 {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}

/// Prints a table without blanks at the ends of its lines.
fn print_sheet(out: &mut dyn Write, table: &Table) -> std::io::Result<()> {
    for line in table.lines() {
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}

/// A height or reading to the millimetre; blank for none.
fn metres(value_m: Option<f64>) -> String {
    value_m.map_or_else(String::new, |m| quantity::figures::fixed(m, 3))
}

/// Whole millimetres; blank for none.
fn millimetres(value_m: Option<f64>) -> String {
    value_m.map_or_else(String::new, |m| quantity::figures::fixed(quantity::convert::m_to_mm(m), 0))
}

/// What a point is called in a sentence.
fn called(name: &str, number: usize) -> String {
    if name.is_empty() { format!("point {}", number + 1) } else { name.to_owned() }
}

#[cfg(test)]
mod tests;
