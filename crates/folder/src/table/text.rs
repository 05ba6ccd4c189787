//! Bytes to text: UTF-8, or UTF-16 with its mark. Nothing is guessed.

use crate::Fault;

const UTF8_MARK: [u8; 3] = [0xEF, 0xBB, 0xBF];
const UTF16_LITTLE_MARK: [u8; 2] = [0xFF, 0xFE];
const UTF16_BIG_MARK: [u8; 2] = [0xFE, 0xFF];

/// The text of a file, its byte-order mark removed.
pub(crate) fn decode(file: &str, bytes: &[u8]) -> Result<String, Fault> {
    let text = if let Some(rest) = bytes.strip_prefix(&UTF16_LITTLE_MARK) {
        utf16(file, rest, u16::from_le_bytes)?
    } else if let Some(rest) = bytes.strip_prefix(&UTF16_BIG_MARK) {
        utf16(file, rest, u16::from_be_bytes)?
    } else {
        utf8(file, bytes.strip_prefix(&UTF8_MARK).unwrap_or(bytes))?
    };
    match text.find('\0') {
        Some(at) => Err(not_text(file, &text[..at], "a zero byte: this is not a text file")),
        None => Ok(text),
    }
}

fn utf8(file: &str, bytes: &[u8]) -> Result<String, Fault> {
    std::str::from_utf8(bytes).map(str::to_owned).map_err(|error| {
        let good = &bytes[..error.valid_up_to()];
        let before = std::str::from_utf8(good).expect("valid up to there");
        let byte = bytes[error.valid_up_to()];
        not_text(file, before, &format!("byte {byte:#04x}, which is not UTF-8"))
    })
}

fn utf16(file: &str, bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<String, Fault> {
    let pairs = bytes.chunks_exact(2);
    let odd = !pairs.remainder().is_empty();
    let units = pairs.map(|pair| unit([pair[0], pair[1]]));
    let mut text = String::with_capacity(bytes.len() / 2);
    for decoded in char::decode_utf16(units) {
        match decoded {
            Ok(c) => text.push(c),
            Err(_) => return Err(not_text(file, &text, "half a UTF-16 character")),
        }
    }
    if odd {
        return Err(not_text(file, &text, "half a UTF-16 character"));
    }
    Ok(text)
}

fn not_text(file: &str, before: &str, found: &str) -> Fault {
    let line = 1 + before.matches('\n').count();
    let column = 1 + before.chars().rev().take_while(|c| *c != '\n').count();
    Fault::of_file(file, "not-text", found, "save the table as CSV in UTF-8").at(line, column)
}
