//! Tables and paragraphs for a terminal or a pipe: plain text, no colour.

use std::io::{self, Write};

use comfy_table::presets::ASCII_HORIZONTAL_ONLY;
use comfy_table::{CellAlignment, ContentArrangement, LineStyle, Table};

/// Columns of text that read well on paper and screen.
const LINE_LENGTH: usize = 96;

/// How the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// Numbers: to the right.
    Right,
    /// Words: to the left.
    Left,
}

/// A column of a table: its heading with the unit on a second line, and its cells.
#[derive(Debug)]
pub struct Column {
    heading: &'static str,
    stands: Stands,
    cells: Vec<String>,
}

impl Column {
    /// Numbers.
    pub fn numbers(heading: &'static str, cells: impl Iterator<Item = String>) -> Column {
        Column { heading, stands: Stands::Right, cells: cells.collect() }
    }

    /// Words.
    pub fn words(heading: &'static str, cells: impl Iterator<Item = String>) -> Column {
        Column { heading, stands: Stands::Left, cells: cells.collect() }
    }
}

/// Words as a sentence: with a full stop, unless they end as one.
pub fn sentence(words: &str) -> String {
    if words.ends_with(['.', '?', '!']) { words.to_owned() } else { format!("{words}.") }
}

/// Prints columns side by side; one that has nothing to say is left out.
pub fn table(out: &mut dyn Write, columns: Vec<Column>) -> io::Result<()> {
    let columns: Vec<Column> =
        columns.into_iter().filter(|column| column.cells.iter().any(|cell| !cell.is_empty())).collect();
    let rows = columns.iter().map(|column| column.cells.len()).max().unwrap_or(0);
    let mut table = Table::new();
    table
        .load_style(ASCII_HORIZONTAL_ONLY.row_separator(LineStyle::none()))
        .set_content_arrangement(ContentArrangement::Disabled)
        .set_header(columns.iter().map(|column| column.heading));
    for row in 0..rows {
        table.add_row(columns.iter().map(|column| column.cells.get(row).map_or("", String::as_str)));
    }
    for (made, column) in table.column_iter_mut().zip(&columns) {
        made.set_cell_alignment(match column.stands {
            Stands::Right => CellAlignment::Right,
            Stands::Left => CellAlignment::Left,
        });
    }
    writeln!(out, "{}", table.trim_fmt())
}

/// Prints a paragraph behind a lead-in, its lines broken between words; those after the first are indented as
/// far as the lead-in's own indent and two more.
pub fn paragraph(out: &mut dyn Write, lead: &str, text: &str) -> io::Result<()> {
    let indent = lead.chars().take_while(|c| *c == ' ').count() + 2;
    let mut length = lead.chars().count();
    let mut first = true;
    write!(out, "{lead}")?;
    for word in text.split_whitespace() {
        let letters = word.chars().count();
        if !first && length + 1 + letters > LINE_LENGTH {
            write!(out, "\n{}{word}", " ".repeat(indent))?;
            length = indent + letters;
        } else {
            let space = if first { "" } else { " " };
            write!(out, "{space}{word}")?;
            length += space.len() + letters;
        }
        first = false;
    }
    writeln!(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_question_gets_no_full_stop() {
        assert_eq!(sentence("did you mean \"fig\"?"), "did you mean \"fig\"?");
        assert_eq!(sentence("it is dry"), "it is dry.");
    }

    #[test]
    fn numbers_stand_right_and_empty_columns_are_left_out() {
        let mut out = Vec::new();
        let cells =
            |cells: &[&str]| cells.iter().map(|cell| (*cell).to_owned()).collect::<Vec<_>>().into_iter();
        let columns = vec![
            Column::words("line", cells(&["top", "low"])),
            Column::numbers("nothing", cells(&["", ""])),
            Column::numbers("holds\nm³", cells(&["9.5", "10.25"])),
        ];
        table(&mut out, columns).unwrap();
        let text = String::from_utf8(out).unwrap();
        assert!(text.contains(" top      9.5") && text.contains(" low    10.25"), "{text}");
        assert!(!text.contains("nothing"), "{text}");
    }

    #[test]
    fn paragraphs_break_between_words() {
        let mut out = Vec::new();
        paragraph(&mut out, "  So: ", &"word ".repeat(40)).unwrap();
        let text = String::from_utf8(out).unwrap();
        assert!(text.starts_with("  So: word word"), "{text}");
        assert_eq!(text.matches("word").count(), 40);
        assert!(text.lines().all(|line| line.chars().count() <= LINE_LENGTH), "{text}");
        assert!(text.lines().nth(1).unwrap().starts_with("    word"));
    }
}
