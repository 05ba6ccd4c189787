//! The text of a plan with the places of its tables and keys, and the splices an edit makes in it.
//!
//! A table's *block* begins with the remarks that stand directly above its header and ends with the line of its last
//! key; what stands between blocks (blank lines, banners) belongs to nobody and stays.

use std::ops::Range;

use toml_edit::{ArrayOfTables, Document, InlineTable, Item, Table, Value};

use super::EditError;
use crate::Fault;

/// A parsed text and what is to be changed in it.
pub(super) struct PlanText<'a> {
    /// What precedes the text, where an editor wrote it.
    mark: &'a str,
    text: &'a str,
    document: Document<&'a str>,
    splices: Vec<(Range<usize>, String)>,
}

/// A place in the document.
#[derive(Clone, Copy)]
pub(super) enum Node<'d> {
    /// A table with a header, or the whole file.
    Table(&'d Table),
    /// `[[line]]`, one after the other.
    Tables(&'d ArrayOfTables),
    /// `{ … }`.
    Inline(&'d InlineTable),
    /// Any other value.
    Value(&'d Value),
}

/// A step of a path.
#[derive(Debug, Clone, Copy)]
pub(super) enum Step<'p> {
    /// A key.
    Key(&'p str),
    /// A member of a list, from 0.
    Member(usize),
}

impl<'d> Node<'d> {
    fn of_item(item: &'d Item) -> Option<Node<'d>> {
        match item {
            Item::None => None,
            Item::Table(table) => Some(Node::Table(table)),
            Item::ArrayOfTables(tables) => Some(Node::Tables(tables)),
            Item::Value(value) => Some(Node::of_value(value)),
        }
    }

    fn of_value(value: &'d Value) -> Node<'d> {
        match value {
            Value::InlineTable(table) => Node::Inline(table),
            other => Node::Value(other),
        }
    }

    fn step(self, step: Step) -> Option<Node<'d>> {
        match (self, step) {
            (Node::Table(table), Step::Key(key)) => table.get(key).and_then(Node::of_item),
            (Node::Inline(table), Step::Key(key)) => table.get(key).map(Node::of_value),
            (Node::Tables(tables), Step::Member(i)) => tables.get(i).map(Node::Table),
            (Node::Value(Value::Array(array)), Step::Member(i)) => array.get(i).map(Node::of_value),
            _ => None,
        }
    }

    /// The bytes of a value; none for a table with a header.
    pub fn span(self) -> Option<Range<usize>> {
        match self {
            Node::Inline(table) => table.span(),
            Node::Value(value) => value.span(),
            Node::Table(_) | Node::Tables(_) => None,
        }
    }
}

impl<'a> PlanText<'a> {
    pub fn of(text: &'a str) -> Result<PlanText<'a>, EditError> {
        let mark = if text.starts_with('\u{feff}') { "\u{feff}" } else { "" };
        let text = &text[mark.len()..];
        // The plan was read before: what this parser finds on top of that would be a fault of the program.
        let document = Document::parse(text).map_err(|error| {
            let found = format!("the file cannot be taken apart ({})", error.message());
            let advice = "please report this: it should have been caught when the file was read";
            EditError::FaultsBefore(vec![Fault::of_file(crate::PLAN, "not-taken", found, advice)])
        })?;
        Ok(PlanText { mark, text, document, splices: Vec::new() })
    }

    /// What lies at a path.
    pub fn node(&self, path: &[Step]) -> Option<Node<'_>> {
        path.iter().try_fold(Node::Table(self.document.as_table()), |node, step| node.step(*step))
    }

    /// The text as written of some bytes.
    pub fn written(&self, span: Range<usize>) -> &'a str {
        &self.text[span]
    }

    /// Puts words in the place of some bytes.
    pub fn splice(&mut self, span: Range<usize>, words: impl Into<String>) {
        self.splices.push((span, words.into()));
    }

    /// The text with all splices made, with the line ends of the file.
    pub fn into_text(mut self) -> String {
        self.splices.sort_by_key(|(span, _)| (span.start, span.end));
        let crlf = self.text.contains("\r\n");
        let mut out = String::from(self.mark);
        let mut at = 0;
        for (span, words) in &self.splices {
            debug_assert!(at <= span.start, "splices of one edit do not overlap");
            out.push_str(&self.text[at..span.start]);
            let words = words.replace("\r\n", "\n");
            out.push_str(&if crlf { words.replace('\n', "\r\n") } else { words });
            at = span.end;
        }
        out.push_str(&self.text[at..]);
        out
    }

    /// Start of the line that holds a byte.
    pub fn line_start(&self, at: usize) -> usize {
        self.text[..at].rfind('\n').map_or(0, |newline| newline + 1)
    }

    /// End of the line that holds a byte, past its newline.
    pub fn line_end(&self, at: usize) -> usize {
        self.text[at..].find('\n').map_or(self.text.len(), |newline| at + newline + 1)
    }

    /// Blanks at the start of the line that holds a byte.
    pub fn indent(&self, at: usize) -> &'a str {
        let line = &self.text[self.line_start(at)..];
        &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]
    }

    /// The block of a table without its sub-tables; none for the whole file or a table without a header.
    pub fn block(&self, table: &Table) -> Option<Range<usize>> {
        let header = self.header(table)?;
        let mut start = self.line_start(header.start);
        while start > 0 {
            let above = self.line_start(start - 1);
            if !self.text[above..start].trim_start().starts_with('#') {
                break;
            }
            start = above;
        }
        // Remarks right below another table's last key, without a blank line, may be about that one.
        let touches_above = start > 0 && !self.text[self.line_start(start - 1)..start].trim().is_empty();
        let start = if touches_above { self.line_start(header.start) } else { start };
        Some(start..self.body_end(table))
    }

    /// The blocks of a table and of the tables in it, in the order of the text.
    pub fn blocks(&self, table: &Table) -> Vec<Range<usize>> {
        let mut blocks: Vec<Range<usize>> = self.block(table).into_iter().collect();
        for (_, item) in table {
            match item {
                Item::Table(inner) => blocks.extend(self.blocks(inner)),
                Item::ArrayOfTables(inner) => blocks.extend(inner.iter().flat_map(|each| self.blocks(each))),
                _ => {}
            }
        }
        blocks.sort_by_key(|block| block.start);
        blocks
    }

    /// Past the line of the last key of a table itself.
    pub fn body_end(&self, table: &Table) -> usize {
        let last = last_value_end(table).or_else(|| self.header(table).map(|header| header.end));
        last.map_or(0, |last| self.line_end(last))
    }

    fn header(&self, table: &Table) -> Option<Range<usize>> {
        if table.is_dotted() || table.is_implicit() { None } else { table.span() }
    }

    /// Takes some whole lines out, and the blank line above them where one would be left over.
    pub fn take_out(&mut self, block: Range<usize>) {
        let after = &self.text[block.end..];
        let ends_blank = after.is_empty() || after.starts_with('\n') || after.starts_with("\r\n");
        let above = self.line_start(block.start.saturating_sub(1));
        let blank_above = block.start > 0 && self.text[above..block.start].trim().is_empty();
        let start = if ends_blank && blank_above { above } else { block.start };
        self.splice(start..block.end, "");
    }

    /// Past the last line of these keys of the file.
    pub fn after_last_of(&self, keys: &[&str]) -> usize {
        let root = self.document.as_table();
        let ends = keys.iter().filter_map(|key| root.get(key)).map(|item| self.end_of(item));
        ends.max().unwrap_or(self.text.len())
    }

    /// Past the last key of the file itself.
    pub fn root_end(&self) -> usize {
        self.body_end(self.document.as_table())
    }

    /// Past the last line of anything.
    pub fn end_of(&self, item: &Item) -> usize {
        match item {
            Item::None => 0,
            Item::Table(table) => self.end_of_table(table),
            Item::ArrayOfTables(tables) => {
                tables.iter().map(|table| self.end_of_table(table)).max().unwrap_or(0)
            }
            Item::Value(value) => value.span().map_or(0, |span| self.line_end(span.end)),
        }
    }

    /// Past the last line of a table and of the tables in it.
    pub fn end_of_table(&self, table: &Table) -> usize {
        let own = self.body_end(table);
        table.iter().map(|(_, item)| self.end_of(item)).fold(own, usize::max)
    }

    /// Takes a member out of a list in brackets, with what stands on its line where it has one for itself.
    pub fn take_member(&mut self, array: &toml_edit::Array, index: usize) {
        let span = |i: usize| array.get(i).and_then(Value::span);
        let Some(own) = span(index) else { return };
        let line = self.line_start(own.start)..self.line_end(own.end);
        let before = self.text[line.start..own.start].trim();
        let after = self.text[own.end..line.end].trim_start().trim_start_matches(',').trim();
        let alone = before.is_empty() && (after.is_empty() || after.starts_with('#'));
        let cut = match (span(index + 1), index.checked_sub(1).and_then(span)) {
            _ if alone => line,
            (Some(next), _) => own.start..next.start,
            (None, Some(last)) => last.end..own.end,
            (None, None) => own,
        };
        self.splice(cut, "");
    }

    /// Adds a member at the end of a list in brackets.
    pub fn add_member(&mut self, array: &toml_edit::Array, words: &str) {
        let Some(all) = array.span() else { return };
        let Some(last) = array.iter().last().and_then(Value::span) else {
            self.splice(all.start + 1..all.start + 1, words);
            return;
        };
        let alone = self.text[self.line_start(last.start)..last.start].trim().is_empty();
        let between = if alone { format!("\n{}", self.indent(last.start)) } else { " ".to_owned() };
        let comma = comma_after(&self.text[last.end..all.end]);
        match comma {
            Some(offset) => self.splice(last.end + offset..last.end + offset, format!("{between}{words},")),
            None => self.splice(last.end..last.end, format!(",{between}{words}")),
        }
    }
}

/// Past the comma that closes a member, in what follows it; remarks are passed over.
fn comma_after(text: &str) -> Option<usize> {
    let mut in_remark = false;
    for (i, c) in text.char_indices() {
        match c {
            '\n' => in_remark = false,
            '#' => in_remark = true,
            ',' if !in_remark => return Some(i + 1),
            _ => {}
        }
    }
    None
}

/// Where the last value of a table itself ends, those of keys with dots included.
fn last_value_end(table: &Table) -> Option<usize> {
    table
        .iter()
        .filter_map(|(_, item)| match item {
            Item::Value(value) => value.span().map(|span| span.end),
            Item::Table(inner) if inner.is_dotted() => last_value_end(inner),
            _ => None,
        })
        .max()
}
