//! What to say of a faulty key: what was found, and what to do.

use quantity::{SlopeError, figures};
use site::nearest;
use toml::de::DeValue;

use super::shape::{Key, Limits, Shape, Word};
use super::unit::{Unit, other_unit, unit_of};
use crate::fault::shown;

/// What was found, and what to do.
type Told = (String, String);

/// What to say of a key that the table does not know, and the key that was surely meant.
pub struct Unknown<'a> {
    /// What was found, and what to do.
    pub told: Told,
    /// The key that was meant.
    pub meant: Option<&'a str>,
}

/// A key that the table does not know.
pub fn unknown_key<'a>(written: &str, value: &DeValue, keys: &'a [Key], root: &[Key]) -> Unknown<'a> {
    let found = format!("{} is not a key that is known here", shown(written));
    let names: Vec<&str> = keys.iter().map(|key| key.name.as_str()).collect();
    if let Some(other) = other_unit(written, &names) {
        let unit = unit_of(other.key).map_or_else(String::new, |unit| format!(", in {}", unit.words));
        let number = number_in(value).zip(other.convert);
        let advice = match number {
            Some((number, convert)) => format!("write {} = {}{unit}", other.key, plain(convert(number))),
            None => format!("write {}{unit}", other.key),
        };
        let meant = Some(other.key);
        return Unknown { told: (found, advice), meant };
    }
    let meant = nearest(written, names.iter().copied());
    let homes = homes_of(written, "", root);
    let advice = if let Some(list) = list_of_kind(written, root) {
        format!("write [[{list}]] with kind = \"{}\"", written.trim_end_matches('s'))
    } else if !homes.is_empty() {
        format!("it belongs to {}: move it under that heading", homes.join(" or "))
    } else if let Some(near) = meant {
        format!("did you mean {near}?")
    } else {
        format!("delete it, or use one of {}", names.join(", "))
    };
    Unknown { told: (found, advice), meant }
}

/// The list, such as `line`, whose kinds include this word.
fn list_of_kind<'a>(word: &str, root: &'a [Key]) -> Option<&'a str> {
    let word = word.trim_end_matches('s');
    let list = root.iter().find(|key| {
        let kind = table_of(&key.shape).and_then(|keys| keys.iter().find(|key| key.name == "kind"));
        matches!(kind.map(|kind| &kind.shape), Some(Shape::Words(words)) if words.iter().any(|w| w.word == word))
    })?;
    Some(&list.name)
}

/// The headings under which a key of this name is known.
fn homes_of(name: &str, heading: &str, keys: &[Key]) -> Vec<String> {
    let mut homes = Vec::new();
    if keys.iter().any(|key| key.name == name) {
        homes.push(if heading.is_empty() { "the top of the file".to_owned() } else { heading.to_owned() });
    }
    for key in keys {
        if let Some(inner) = table_of(&key.shape) {
            let path = format!("{}.{}", heading.trim_matches(['[', ']']), key.name);
            let path = path.trim_start_matches('.');
            let inner_heading = match key.shape {
                Shape::List { .. } => format!("[[{path}]]"),
                _ => format!("[{path}]"),
            };
            homes.extend(homes_of(name, &inner_heading, inner));
        }
    }
    homes
}

fn table_of(shape: &Shape) -> Option<&[Key]> {
    match shape {
        Shape::Table(keys) => Some(keys),
        Shape::List { of, .. } => table_of(of),
        _ => None,
    }
}

/// A key that must be there and is not.
pub fn missing_key(key: &Key) -> Told {
    let about = key.about.trim_end_matches('.');
    match &key.shape {
        Shape::Table(inner) => {
            let required: Vec<&str> = inner.iter().filter(|k| k.required).map(|k| k.name.as_str()).collect();
            let advice = format!("add it with {}", required.join(", "));
            (format!("[{}] is missing", key.name), advice)
        }
        _ => (format!("{} is missing", key.name), format!("add {} ({})", key.name, lower_first(about))),
    }
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// A value of another kind than the key holds.
pub fn wrong_type(name: &str, shape: &Shape, value: &DeValue, written: &str) -> Told {
    let found = format!("{name} = {written} is {}, not {}", kind_of(value), due(shape));
    (found, instead(name, shape, value, written))
}

fn kind_of(value: &DeValue) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "a yes or no",
        DeValue::Datetime(_) => "a bare date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

fn due(shape: &Shape) -> &'static str {
    match shape {
        Shape::Table(_) => "a table of keys",
        Shape::List { .. } => "a list",
        Shape::Text => "a text",
        Shape::Slope => "a slope with its unit",
        Shape::Number(_) => "a number",
        Shape::Range(_) => "a number or a range",
        Shape::Words(_) => "one of its words",
        Shape::Flag => "true or false",
    }
}

fn instead(name: &str, shape: &Shape, value: &DeValue, written: &str) -> String {
    match (shape, value) {
        (Shape::Slope, _) => {
            format!("write {name} = \"1:200\", \"0.5%\" or \"12deg\": a bare number could be any of them")
        }
        (Shape::Number(_) | Shape::Range(_), DeValue::String(text)) => number_instead(name, text),
        (Shape::Number(_) | Shape::Range(_), _) => format!("write {}", number_in_words(name)),
        (Shape::Text, DeValue::Array(_) | DeValue::Table(_)) => {
            "write one text in quotation marks".to_owned()
        }
        (Shape::Text, _) => format!("write it in quotation marks: {name} = \"{written}\""),
        (Shape::Words(words), _) => format!("write one of {}", listed(words)),
        (Shape::Flag, _) => "write true or false, without quotation marks".to_owned(),
        (Shape::List { of, .. }, _) if table_of(of).is_some() => {
            format!("write [[{name}]] with two pairs of brackets, once for each")
        }
        (Shape::List { count: Some(_), .. }, _) => {
            "write a place as [x, y]: metres east, metres north".to_owned()
        }
        (Shape::List { of, .. }, _) => match **of {
            Shape::List { .. } => "write places as [[x, y], [x, y]]".to_owned(),
            _ => "write a list as [\"one\", \"two\"]".to_owned(),
        },
        (Shape::Table(_), DeValue::Array(_)) => {
            format!("write [{name}] with one pair of brackets, and only once")
        }
        (Shape::Table(_), _) => format!("write it as a table: [{name}], and its keys below"),
    }
}

/// What number somebody meant who wrote a text.
fn number_instead(name: &str, text: &str) -> String {
    let text = text.trim().replace(',', ".");
    let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    let Ok(number) = digits.parse::<f64>() else {
        return format!("write {}", number_in_words(name));
    };
    let behind = text[digits.len()..].trim();
    let ours = unit_of(name);
    if behind.is_empty() || ours.is_some_and(|unit| unit.mark == behind) {
        return format!("write {name} = {digits}, without quotation marks");
    }
    let converted = ours.and_then(|unit| convert_to(unit, name, behind, number));
    match converted {
        Some(number) => format!("write {name} = {}: the unit stands in the key's name", plain(number)),
        None => format!("write {}", number_in_words(name)),
    }
}

fn convert_to(ours: Unit, name: &str, behind: &str, number: f64) -> Option<f64> {
    let stem = name.strip_suffix(ours.ending)?;
    let other = other_unit(&format!("{stem}_{}", behind.replace('/', "_")), &[name])?;
    other.convert.map(|convert| convert(number))
}

fn number_in_words(name: &str) -> String {
    match unit_of(name) {
        Some(unit) => format!("the number of {}, without quotation marks", unit.words),
        None => "a number, without quotation marks".to_owned(),
    }
}

/// A text that is no slope.
pub fn not_a_slope(name: &str, written: &str, error: &SlopeError) -> Told {
    let found = format!("{name} = {written} is not a slope");
    let advice = match error {
        SlopeError::NotASlope { .. } => "write \"1:200\" (one in two hundred), \"0.5%\" or \"12deg\"",
        SlopeError::TooSteep { .. } => "write one that is less than upright: 90 degrees is a wall",
    };
    (found, advice.to_owned())
}

/// A text that is none of the words.
pub fn not_a_word(name: &str, written: &str, words: &[Word]) -> Told {
    let found = format!("{name} = \"{}\" is none of its words", shown(written));
    let near = nearest(written, words.iter().map(|word| word.word.as_str()));
    let advice = match near {
        Some(near) => format!("did you mean \"{near}\"? It may be {}", listed(words)),
        None => format!("write one of {}", listed(words)),
    };
    (found, advice)
}

fn listed(words: &[Word]) -> String {
    let words: Vec<String> = words.iter().map(|word| format!("\"{}\"", word.word)).collect();
    words.join(", ")
}

/// A number beyond its limits, or none at all.
pub fn not_in_limits(name: &str, written: &str, number: f64, limits: Limits) -> Told {
    let unit = unit_of(name).map_or_else(String::new, |unit| format!(" {}", unit.words));
    let advice = if limits == Limits::PLACE {
        "write site metres, or coordinates of the system that [place] crs names".to_owned()
    } else {
        format!("write{unit} from {} to {}", plain(limits.least), plain(limits.most))
    };
    let found = if number.is_nan() {
        format!("{name} = {written} is not a number that can be computed with")
    } else if number < limits.least {
        format!("{name} = {written} is less than {}", plain(limits.least))
    } else {
        format!("{name} = {written} is more than {}", plain(limits.most))
    };
    (found, advice)
}

/// The keys of a range.
pub fn range_keys(limits: Limits) -> Vec<Key> {
    let part = |name: &str, about: &str| Key {
        name: name.to_owned(),
        about: about.to_owned(),
        required: true,
        shape: Shape::Number(limits),
    };
    vec![
        part("low", "the least it may be"),
        part("likely", "the most likely value"),
        part("high", "the most it may be"),
    ]
}

fn number_in(value: &DeValue) -> Option<f64> {
    match value {
        DeValue::Integer(integer) => integer.as_str().parse().ok(),
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}

/// A number as one types it into a file: no thousands marks, no needless zeros.
fn plain(number: f64) -> String {
    /// Figures that are kept of a converted value.
    const FIGURES: usize = 9;
    if !number.is_finite() {
        return "a finite number".to_owned();
    }
    let text = figures::significant(number, FIGURES).replace('\u{2009}', "");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
