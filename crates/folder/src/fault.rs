//! What is wrong with a file that was brought, and what to do about it.

use serde::Serialize;

/// One fault of one file. Readers collect them all before they give up, so that a file is mended in one go.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Fault {
    /// The file, as a path relative to the site folder, or as it was given.
    pub file: String,
    /// Line, from 1; none where the fault is of the whole file.
    pub line: Option<usize>,
    /// Column in characters, from 1.
    pub column: Option<usize>,
    /// Which kind of fault, for programs: `unknown-key`.
    pub code: &'static str,
    /// What was found, and the limit.
    pub found: String,
    /// What to do.
    pub advice: String,
}

impl Fault {
    /// A fault of the whole file.
    pub fn of_file(
        file: impl Into<String>,
        code: &'static str,
        found: impl Into<String>,
        advice: impl Into<String>,
    ) -> Fault {
        Fault {
            file: file.into(),
            line: None,
            column: None,
            code,
            found: found.into(),
            advice: advice.into(),
        }
    }

    /// The same fault, at a line.
    #[must_use]
    pub fn on_line(mut self, line: usize) -> Fault {
        self.line = Some(line);
        self
    }

    /// The same fault, at a line and a column, both from 1 and the column in characters.
    #[must_use]
    pub fn at(mut self, line: usize, column: usize) -> Fault {
        self.line = Some(line);
        self.column = Some(column);
        self
    }
}

impl std::fmt::Display for Fault {
    /// `site.toml:12:3: what was found; what to do`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        write!(f, ": {}; {}", self.found, self.advice)
    }
}

impl std::error::Error for Fault {}

/// Text as a message shows it: short, and without marks that would disturb a terminal.
pub(crate) fn shown(text: &str) -> String {
    /// Characters that a message repeats.
    const LONGEST: usize = 48;
    let plain = |c: char| if c.is_control() { '\u{FFFD}' } else { c };
    let mut short: String = text.chars().take(LONGEST).map(plain).collect();
    if text.chars().nth(LONGEST).is_some() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_names_its_place_as_far_as_it_is_known() {
        let whole = Fault::of_file("dug/top.csv", "empty", "the file is empty", "type the levels in");
        assert_eq!(whole.to_string(), "dug/top.csv: the file is empty; type the levels in");
        assert_eq!(
            whole.clone().on_line(3).to_string(),
            "dug/top.csv:3: the file is empty; type the levels in"
        );
        assert_eq!(whole.at(3, 9).to_string(), "dug/top.csv:3:9: the file is empty; type the levels in");
    }
}
