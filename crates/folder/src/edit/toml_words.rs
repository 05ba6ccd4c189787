//! Values as TOML writes them.

use serde_json::Value;

/// Longest list that stands on one line, characters: the width of a page of text.
const LONGEST_LIST: usize = 100;

/// Places are written to the centimetre: a peg is thicker than that.
const PLACES_A_METRE: f64 = 100.0;

/// A value on one line, or a long list on several.
pub(super) fn value(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(flag) => flag.to_string(),
        Value::Number(number) => number_word(number),
        Value::String(text) => quoted(text),
        Value::Array(items) => list(items),
        Value::Object(keys) => {
            let pairs: Vec<String> = keys
                .iter()
                .filter(|(_, v)| !v.is_null())
                .map(|(k, v)| format!("{} = {}", key(k), self::value(v)))
                .collect();
            if pairs.is_empty() { "{}".to_owned() } else { format!("{{ {} }}", pairs.join(", ")) }
        }
    }
}

/// A number without needless zeros.
pub(super) fn number(value: f64) -> String {
    // −0 and 0 are one place.
    if value == 0.0 { "0".to_owned() } else { value.to_string() }
}

/// A coordinate, to the centimetre.
pub(super) fn coordinate(m: f64) -> String {
    number((m * PLACES_A_METRE).round() / PLACES_A_METRE)
}

/// A coordinate of a new thing, which may have been measured: to the millimetre.
fn brought(m: f64) -> String {
    const MILLIMETRES: f64 = 1000.0;
    number((m * MILLIMETRES).round() / MILLIMETRES)
}

/// A place.
pub(super) fn place(at: site::Xy) -> String {
    format!("[{}, {}]", coordinate(at[0]), coordinate(at[1]))
}

/// Places, one after the other.
pub(super) fn places(all: &[site::Xy]) -> String {
    wrapped(&all.iter().map(|at| place(*at)).collect::<Vec<String>>())
}

/// A text in quotation marks.
pub(super) fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A key, in quotation marks where it needs them.
fn key(name: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    if !name.is_empty() && name.chars().all(plain) { name.to_owned() } else { quoted(name) }
}

fn number_word(written: &serde_json::Number) -> String {
    match written.as_f64() {
        Some(value) if written.is_f64() => number(value),
        _ => written.to_string(),
    }
}

fn list(items: &[Value]) -> String {
    wrapped(&items.iter().map(value).collect::<Vec<String>>())
}

fn wrapped(items: &[String]) -> String {
    let on_one_line = format!("[{}]", items.join(", "));
    if on_one_line.chars().count() <= LONGEST_LIST {
        return on_one_line;
    }
    let mut lines = String::from("[\n");
    let mut line = String::new();
    for item in items {
        if !line.is_empty() && line.chars().count() + item.chars().count() + 3 > LONGEST_LIST {
            lines.push_str(&format!("  {line}\n"));
            line.clear();
        }
        line.push_str(if line.is_empty() { "" } else { " " });
        line.push_str(&format!("{item},"));
    }
    lines.push_str(&format!("  {line}\n]"));
    lines
}

/// The lines `key = value` of a table in the order of its type, without its sub-tables, then those.
pub(super) fn lines_of(table: &serde_json::Map<String, Value>) -> (Vec<String>, Vec<(&str, &[Value])>) {
    let mut lines = Vec::new();
    let mut lists = Vec::new();
    for (name, held) in table {
        match held {
            Value::Null => {}
            Value::Array(items) if name == "sill" => lists.push((name.as_str(), items.as_slice())),
            // Places of what is drawn in the app come with a pointer's fractions, of what is brought to the millimetre.
            Value::Array(_) if is_place(held) => lines.push(format!("{name} = {}", rounded_places(held))),
            held => lines.push(format!("{name} = {}", value(held))),
        }
    }
    (lines, lists)
}

fn is_place(held: &Value) -> bool {
    match held {
        Value::Array(items) if items.len() == 2 && items.iter().all(Value::is_number) => true,
        Value::Array(items) => !items.is_empty() && items.iter().all(is_place),
        _ => false,
    }
}

fn rounded_places(held: &Value) -> String {
    let Value::Array(items) = held else { return value(held) };
    if items.iter().all(Value::is_number) {
        let words: Vec<String> = items.iter().filter_map(Value::as_f64).map(brought).collect();
        return format!("[{}]", words.join(", "));
    }
    wrapped(&items.iter().map(rounded_places).collect::<Vec<String>>())
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn values_are_written_as_a_person_would() {
        for (held, words) in [
            (json!(44.0), "44"),
            (json!(-0.0), "0"),
            (json!(0.45), "0.45"),
            (json!(true), "true"),
            (json!("a \"b\""), "'a \"b\"'"),
            (json!([1.5, 2]), "[1.5, 2]"),
            (json!({"low": 4, "likely": 9.0, "high": 20}), "{ low = 4, likely = 9, high = 20 }"),
        ] {
            assert_eq!(value(&held), words);
        }
        assert_eq!(places(&[[1.234_567, -0.001]]), "[[1.23, 0]]");
    }

    #[test]
    fn long_lists_are_wrapped_and_still_toml() {
        let pegs: Vec<site::Xy> = (0..40).map(|i| [f64::from(i) * 1.25, 60.0]).collect();
        let words = places(&pegs);
        assert!(words.lines().all(|line| line.chars().count() <= LONGEST_LIST), "{words}");
        let read: toml::Table = format!("pegs = {words}").parse().unwrap();
        assert_eq!(read["pegs"].as_array().unwrap().len(), 40);
    }
}
