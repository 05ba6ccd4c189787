//! The text of a file, and where in it a byte stands.

use crate::Fault;

/// A text file as it was read, without its byte order mark.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// The file's name in messages.
    pub file: &'a str,
    /// Its text.
    pub text: &'a str,
}

/// A fault found at a byte of a text.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Path of the key, `line[2].sill[0].at_m`; empty for the whole file.
    pub path: String,
    /// The byte; none where the fault is of the whole file.
    pub at: Option<usize>,
    /// Which kind of fault.
    pub code: &'static str,
    /// What was found, and the limit.
    pub found: String,
    /// What to do.
    pub advice: String,
}

/// What precedes the text of a UTF-8 file that some editors write.
pub const BYTE_ORDER_MARK: &str = "\u{feff}";

impl<'a> Source<'a> {
    /// Takes bytes for UTF-8 text.
    ///
    /// # Errors
    /// They are not; the fault names the place of the first byte that is not.
    pub fn decode(file: &'a str, bytes: &'a [u8]) -> Result<Source<'a>, Fault> {
        let not_text = |found: String, advice: &str| Fault::of_file(file, "not-text", found, advice);
        if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
            let advice = "save it as UTF-8: the editor's \"Save as\" offers the encoding";
            return Err(not_text("the file is saved as UTF-16".to_owned(), advice));
        }
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let good = std::str::from_utf8(&bytes[..error.valid_up_to()]).unwrap_or_default();
            let (line, column) = Source { file, text: good }.place(good.len());
            let found = format!("byte {:#04x} is not UTF-8 text", bytes[error.valid_up_to()]);
            not_text(found, "save the file as UTF-8, or type the character there again").at(line, column)
        })?;
        let text = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
        Ok(Source { file, text })
    }

    /// Line and column of a byte, both from 1, the column in characters.
    pub fn place(self, at: usize) -> (usize, usize) {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        let before = &self.text[..at];
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
        (line, before[line_start..].chars().count() + 1)
    }

    /// The line a byte stands on, without its end.
    pub fn line_at(self, at: usize) -> &'a str {
        let (line, _) = self.place(at);
        self.text.lines().nth(line - 1).unwrap_or_default()
    }

    /// A fault with its place as a person counts it.
    pub fn fault(self, found: Found) -> Fault {
        let fault = Fault::of_file(self.file, found.code, found.found, found.advice);
        match found.at {
            Some(at) => {
                let (line, column) = self.place(at);
                fault.at(line, column)
            }
            None => fault,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_lines_end_either_way() {
        let source = Source { file: "f", text: "à = 1\r\nb = «x»\n" };
        assert_eq!(source.place(0), (1, 1));
        assert_eq!(source.place(source.text.find('=').unwrap()), (1, 3));
        assert_eq!(source.place(source.text.find('x').unwrap()), (2, 6));
        assert_eq!(source.place(999), (3, 1));
        assert_eq!(source.line_at(source.text.find('x').unwrap()), "b = «x»");
    }

    #[test]
    fn bytes_that_are_not_text_are_placed() {
        let fault = Source::decode("f", b"a = 1\nb = \"caf\xe9\"\n").unwrap_err();
        assert_eq!((fault.line, fault.column), (Some(2), Some(9)));
        assert_eq!(fault.found, "byte 0xe9 is not UTF-8 text");
        assert!(Source::decode("f", b"\xff\xfea\0").unwrap_err().found.contains("UTF-16"));
        assert_eq!(Source::decode("f", b"\xef\xbb\xbfa").unwrap().text, "a");
    }
}
