//! A value set by its path.

use serde_json::Value;

use super::draft::Draft;
use super::text::{Node, Step};
use super::{EditError, Said, Thing, toml_words};

/// Writes a value, or takes its key out.
pub(super) fn set(draft: &mut Draft, path: &[String], value: &Value) -> Result<Said, EditError> {
    let steps = steps(draft, path)?;
    let Some((last, table)) = steps.split_last() else {
        return Err(EditError::NoPath { path: path.to_vec() });
    };
    let label = label(path);
    match last {
        Step::Key(key) if value.is_null() => {
            let was_there = draft.take_key(table, key)?;
            let says = if was_there { format!("took out {label}") } else { format!("{label} was not there") };
            Ok(Said::only(says))
        }
        Step::Key(key) => {
            let words = toml_words::value(value);
            draft.write(table, key, &words)?;
            Ok(Said::only(format!("{label} is {}", one_line(&words))))
        }
        Step::Member(_) => {
            let span = draft.text.node(&steps).and_then(Node::span);
            let span = span.ok_or_else(|| EditError::NotAValue { path: path.to_vec() })?;
            let words = toml_words::value(value);
            draft.text.splice(span, words.clone());
            Ok(Said::only(format!("{label} is {}", one_line(&words))))
        }
    }
}

/// Names and numbers of a path brought to places in the text.
fn steps<'p>(draft: &Draft, path: &'p [String]) -> Result<Vec<Step<'p>>, EditError> {
    let mut steps: Vec<Step<'p>> = Vec::new();
    for (depth, part) in path.iter().enumerate() {
        let is_list = matches!(
            draft.text.node(&steps),
            Some(Node::Tables(_) | Node::Value(toml_edit::Value::Array(_)))
        );
        if !is_list {
            steps.push(Step::Key(part));
            continue;
        }
        let named = Thing::ALL.into_iter().find(|what| depth == 1 && what.key() == path[0]);
        let member = match named {
            Some(what) => draft.index(what, part)?,
            None => number(part).ok_or_else(|| EditError::NoPath { path: path.to_vec() })?,
        };
        steps.push(Step::Member(member));
    }
    Ok(steps)
}

/// A number from 1, as a place from 0.
fn number(part: &str) -> Option<usize> {
    part.parse::<usize>().ok()?.checked_sub(1)
}

/// How a sentence names a path: `depth_m of line "top"`.
fn label(path: &[String]) -> String {
    let owner = |what: &str, name: &str| format!("{what} \"{name}\"");
    match path {
        [what, name, rest @ ..] if Thing::ALL.iter().any(|thing| thing.key() == what) && !rest.is_empty() => {
            let of = owner(what, name);
            match rest {
                [list, member, key @ ..] if !key.is_empty() => {
                    format!("{} of {list} {member} of {of}", key.join(" "))
                }
                key => format!("{} of {of}", key.join(" ")),
            }
        }
        [table, key @ ..] if !key.is_empty() => format!("{} of {table}", key.join(" ")),
        other => other.join(" "),
    }
}

fn one_line(words: &str) -> String {
    /// Characters of a value that a sentence repeats.
    const LONGEST: usize = 40;
    let line = words.split_whitespace().collect::<Vec<&str>>().join(" ");
    if line.chars().count() <= LONGEST {
        return line;
    }
    format!("{}…", line.chars().take(LONGEST).collect::<String>())
}
