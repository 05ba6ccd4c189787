//! Faults of form: what is not TOML, in words for somebody who has never heard of TOML.

use super::source::{Found, Source};
use super::unit::unit_of;
use crate::fault::shown;

/// Codes of faults that move what follows under another heading: nothing said of it would be true.
pub const HIDING: [&str; 2] = ["open-bracket", "key-twice"];

/// What the reader says of a form it does not know, as it begins; our code; what was found, where `{line}`
/// and `{piece}` stand for the text; what to do.
type Words = (&'static str, &'static str, &'static str, &'static str);

const BRACKETS: &str = "write [tool] for what there is once, [[line]] for what there may be several of";
const QUOTES: &str = "end it with a quotation mark like the one it begins with";
const DIGITS: &str = "write a digit on both sides of the point, and no zero before other digits: 0.5, 5.0, 5";

const WORDS: &[Words] = &[
    ("unclosed table", HIDING[0], "`{line}` opens more brackets than it closes", BRACKETS),
    ("unclosed array table", HIDING[0], "`{line}` opens more brackets than it closes", BRACKETS),
    (
        "duplicate key",
        HIDING[1],
        "{piece} is there twice",
        "delete one of the two; what there may be several of has two pairs of brackets: [[line]]",
    ),
    (
        "unexpected key or value",
        "not-toml",
        "`{line}` goes on after its value",
        "write one key on a line; a remark begins with #",
    ),
    (
        "key with no value",
        "not-toml",
        "`{line}` is no key with a value",
        "write key = value; a remark begins with #",
    ),
    (
        "invalid unquoted key",
        "not-toml",
        "`{line}` is no key with a value",
        "write key = value; a remark begins with #",
    ),
    (
        "invalid boolean",
        "not-toml",
        "{piece} is neither true nor false",
        "write true or false, in small letters",
    ),
    ("invalid basic string", "not-toml", "`{line}` has a text that does not end", QUOTES),
    ("invalid literal string", "not-toml", "`{line}` has a text that does not end", QUOTES),
    ("invalid mantissa", "not-toml", "`{line}` has a number that is not written out", DIGITS),
    ("invalid fraction", "not-toml", "`{line}` has a number that is not written out", DIGITS),
    ("unexpected leading zero", "not-toml", "`{line}` has a number that is not written out", DIGITS),
];

/// What the reader said of the form, one fault a line: more would say the same slip again.
pub fn faults(source: Source, errors: &[toml::de::Error]) -> Vec<Found> {
    let mut errors: Vec<(usize, usize, &toml::de::Error)> = errors
        .iter()
        .map(|error| {
            let at = error.span().map_or(0, |span| span.start);
            (source.place(at).0, at, error)
        })
        .collect();
    // The first slip of a line is the cause, and what the reader makes of the rest the consequence.
    errors.sort_by_key(|(line, at, _)| (*line, *at));
    errors.dedup_by_key(|(line, _, _)| *line);
    errors.into_iter().map(|(_, at, error)| in_plain_words(source, error, at)).collect()
}

fn in_plain_words(source: Source, error: &toml::de::Error, at: usize) -> Found {
    let message = error.message();
    let piece = source.text.get(error.span().unwrap_or(at..at)).unwrap_or_default();
    let key = key_before(source.text.get(..at).unwrap_or_default());
    let after = source.text.get(at..).unwrap_or_default();
    let line = shown(source.line_at(at).trim());
    let told = |code: &'static str, found: String, advice: String| Found {
        path: String::new(),
        at: Some(at),
        code,
        found,
        advice,
    };
    if message.starts_with("string values must be quoted") {
        let (found, advice) = unquoted(piece, key, &line);
        return told("not-toml", found, advice);
    }
    if message.starts_with("unexpected key or value") && after.starts_with(',') {
        let found = format!("`{line}` has a comma within a number");
        return told("not-toml", found, "write numbers with a point: 0.3".to_owned());
    }
    match WORDS.iter().find(|(beginning, ..)| message.starts_with(beginning)) {
        Some((_, code, found, advice)) => {
            let found = found.replace("{line}", &line).replace("{piece}", &shown(piece));
            told(code, found, (*advice).to_owned())
        }
        None => {
            let found = format!("`{line}` cannot be read ({message})");
            told("not-toml", found, "compare it with the examples in docs/site-folder.md".to_owned())
        }
    }
}

/// The key whose value begins where this text ends.
fn key_before(text: &str) -> &str {
    let text = text.trim_end().trim_end_matches('=').trim_end();
    let of_key = |c: char| c.is_alphanumeric() || "_-.".contains(c);
    &text[text.trim_end_matches(of_key).len()..]
}

/// A value that is neither a number nor in quotation marks.
fn unquoted(piece: &str, key: &str, line: &str) -> (String, String) {
    let piece = piece.trim();
    if piece.is_empty() {
        return (
            format!("{} has no value", shown(key)),
            "write one behind the =, or delete the key".to_owned(),
        );
    }
    let end = piece.find(|c: char| !(c.is_ascii_digit() || "+-._".contains(c)));
    if piece[..end.unwrap_or(piece.len())].parse::<f64>().is_ok() {
        let unit = unit_of(key).map_or_else(String::new, |unit| format!(", in {}", unit.words));
        let rest = if line.contains('{') {
            "a comma before the next key"
        } else {
            "the next key on a line of its own"
        };
        return (
            format!("{} = {} is more than a number", shown(key), shown(piece)),
            format!("write the number alone{unit}, and {rest}"),
        );
    }
    let bare = piece.trim_matches(|c: char| "“”„«»‘’'\"".contains(c));
    (
        format!("{} is neither a number nor a text in plain quotation marks", shown(piece)),
        format!("write {} = \"{}\"", shown(key), shown(bare)),
    )
}
