//! Writing XML: indented elements with escaped text.

use std::fmt::Write;

/// A document being written.
pub(super) struct Xml {
    text: String,
    open: Vec<&'static str>,
}

impl Xml {
    pub(super) fn new() -> Xml {
        Xml { text: "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_owned(), open: Vec::new() }
    }

    /// Opens an element; `attributes` are written as they are.
    pub(super) fn open(&mut self, name: &'static str, attributes: &str) {
        let space = if attributes.is_empty() { "" } else { " " };
        self.line(&format!("<{name}{space}{attributes}>"));
        self.open.push(name);
    }

    /// Closes what was opened last.
    pub(super) fn close(&mut self) {
        if let Some(name) = self.open.pop() {
            self.line(&format!("</{name}>"));
        }
    }

    /// An element with text.
    pub(super) fn leaf(&mut self, name: &str, text: &str) {
        self.line(&format!("<{name}>{}</{name}>", escape(text)));
    }

    /// A line as it is, indented.
    pub(super) fn line(&mut self, line: &str) {
        let indent = 2 * self.open.len();
        writeln!(self.text, "{:indent$}{line}", "").expect("a string takes what is written to it");
    }

    pub(super) fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        self.text
    }
}

/// Text with the marks of XML escaped and characters that XML 1.0 forbids left out.
pub(super) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\t' | '\n' | '\r' => escaped.push(c),
            '\u{0}'..='\u{1F}' | '\u{FFFE}' | '\u{FFFF}' => {}
            c => escaped.push(c),
        }
    }
    escaped
}
