//! Reading XML: tolerant of what is unknown, strict about what could hurt.
//!
//! Entities of a document's own are refused: nested, they make gigabytes of a few lines. Text in Latin-1 that says so is
//! understood.

use roxmltree::{Document, Node, ParsingOptions};

use crate::Fault;
use crate::table::text;

/// The text of a file in the encoding that it declares.
pub(super) fn decode(file: &str, bytes: &[u8]) -> Result<String, Fault> {
    let head: String = bytes.iter().take(120).map(|byte| byte.to_ascii_lowercase() as char).collect();
    let declared = head.split("encoding=").nth(1).map(|rest| rest.trim_start_matches(['"', '\'']));
    let latin =
        declared.is_some_and(|name| name.starts_with("iso-8859-1") || name.starts_with("windows-1252"));
    if latin {
        return Ok(bytes.iter().map(|byte| *byte as char).collect());
    }
    text::decode(file, bytes)
}

/// The document.
pub(super) fn parse<'t>(file: &str, text: &'t str) -> Result<Document<'t>, Fault> {
    let options = ParsingOptions { allow_dtd: false, nodes_limit: 20_000_000, ..ParsingOptions::default() };
    Document::parse_with_options(text.trim_start(), options).map_err(|error| {
        let (found, advice) = match error {
            roxmltree::Error::DtdDetected => (
                "it declares entities of its own, which may grow without end".to_owned(),
                "export the file without a DOCTYPE",
            ),
            roxmltree::Error::NodesLimitReached => {
                ("it has more elements than can be taken".to_owned(), "cut out the part with your land")
            }
            error => (
                format!("the file breaks off or is not well formed ({error})"),
                "copy or export it again: a copy that was interrupted looks like this",
            ),
        };
        let pos = error_position(text, &found);
        let fault = Fault::of_file(file, "xml-broken", found, advice);
        pos.map_or(fault.clone(), |(line, column)| fault.at(line, column))
    })
}

/// Line and column out of "… at 3:14".
fn error_position(_text: &str, found: &str) -> Option<(usize, usize)> {
    let (line, column) = found.trim_end_matches(')').rsplit_once(" at ")?.1.split_once(':')?;
    Some((line.parse().ok()?, column.parse().ok()?))
}

/// The text of the first child of this name, whatever its namespace; none where it is blank.
pub(super) fn child_text(node: Node, name: &str) -> Option<String> {
    let child = node.children().find(|child| child.tag_name().name() == name)?;
    let text: String = child.descendants().filter(Node::is_text).filter_map(|node| node.text()).collect();
    let text = text.trim().to_owned();
    (!text.is_empty()).then_some(text)
}

/// A number as people and programs write it: blanks round it, or a decimal comma.
pub(super) fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    let value = text.parse::<f64>().ok();
    value.or_else(|| if text.matches(',').count() == 1 { text.replace(',', ".").parse().ok() } else { None })
}
