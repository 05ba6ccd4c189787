//! Edits of sills.

use site::Sill;

use super::draft::{Draft, as_table};
use super::text::{Node, Step};
use super::{EditError, Said, toml_words};

fn list(line: usize) -> [Step<'static>; 3] {
    [Step::Key("line"), Step::Member(line), Step::Key("sill")]
}

/// The line's place and the sill's, both from 0.
fn found(draft: &Draft, line: &str, sill: usize) -> Result<[Step<'static>; 4], EditError> {
    let (index, held) = draft.line(line)?;
    let has = held.sills.len();
    if !(1..=has).contains(&sill) {
        return Err(EditError::NoMember { line: line.to_owned(), what: "sill", number: sill, has });
    }
    let [a, b, c] = list(index);
    Ok([a, b, c, Step::Member(sill - 1)])
}

/// A new sill, after the others of its line.
pub(super) fn add(draft: &mut Draft, line: &str, sill: &Sill) -> Result<Said, EditError> {
    let (index, _) = draft.line(line)?;
    let table = as_table(sill);
    match (draft.text.node(&list(index)), draft.text.node(&list(index)[..2])) {
        (Some(Node::Value(toml_edit::Value::Array(array))), _) => {
            let array = array.clone();
            draft.text.add_member(&array, &toml_words::value(&serde_json::Value::Object(table)));
        }
        (_, Some(Node::Table(held))) => {
            let at = draft.text.end_of_table(held);
            let words = draft.section("[[line.sill]]", &draft.set_in(), &table);
            draft.insert_lines(at, &format!("\n{words}"));
        }
        (_, Some(Node::Inline(_))) => {
            let words = format!("[{}]", toml_words::value(&serde_json::Value::Object(table)));
            draft.write(&list(index)[..2], "sill", &words)?;
        }
        _ => return Err(EditError::OddForm { path: vec!["line".to_owned(), line.to_owned()] }),
    }
    let at = toml_words::coordinate(sill.at_m);
    Ok(Said::only(format!("added a sill at {at} m of \"{line}\"")))
}

/// A sill moves along.
pub(super) fn move_to(draft: &mut Draft, line: &str, sill: usize, at_m: f64) -> Result<Said, EditError> {
    let path = found(draft, line, sill)?;
    let at = toml_words::coordinate(at_m);
    draft.write(&path, "at_m", &at)?;
    Ok(Said::only(format!("moved sill {sill} of \"{line}\" to {at} m")))
}

/// A sill gets another crest: its length, and how far it lies below the bank.
pub(super) fn size(
    draft: &mut Draft,
    line: &str,
    sill: usize,
    (width_m, below_bank_m): (Option<f64>, Option<f64>),
) -> Result<Said, EditError> {
    let path = found(draft, line, sill)?;
    let mut words = Vec::new();
    for (key, value, what) in [("width_m", width_m, "wide"), ("below_bank_m", below_bank_m, "below the bank")]
    {
        if let Some(value) = value {
            let written = toml_words::coordinate(value);
            draft.write(&path, key, &written)?;
            words.push(format!("{written} m {what}"));
        }
    }
    let says = if words.is_empty() { "as it was".to_owned() } else { words.join(" and ") };
    Ok(Said::only(format!("sill {sill} of \"{line}\" is {says}")))
}

/// A sill is taken out.
pub(super) fn remove(draft: &mut Draft, line: &str, sill: usize) -> Result<Said, EditError> {
    let path = found(draft, line, sill)?;
    draft.take_table(&path[..3], sill - 1);
    Ok(Said::only(format!("took out sill {sill} of \"{line}\"")))
}
