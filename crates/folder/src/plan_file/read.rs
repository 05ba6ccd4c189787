//! Holds what was written against the shape of the plan, and collects every fault on the way.
//!
//! A faulty value is replaced by a placeholder so that the rest can still be checked across its keys; the
//! placeholder's table is remembered as doubtful, and a plan with any fault is never handed on.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use quantity::{Estimate, Slope};
use serde_json::{Map, Value};
use toml::Spanned;
use toml::de::{DeArray, DeFloat, DeInteger, DeTable, DeValue};

use super::advice;
use super::shape::{Key, Limits, Shape, Word};
use super::source::{Found, Source};
use crate::fault::shown;

/// What came of reading a plan.
pub struct Reading {
    /// The plan as JSON that keeps to the shape, placeholders and all.
    pub value: Value,
    /// Faults of single keys.
    pub faults: Vec<Found>,
    /// Where in the text each key's value stands, by path.
    pub spans: BTreeMap<String, Range<usize>>,
    /// Paths of tables in which something was faulty.
    pub doubtful: BTreeSet<String>,
}

/// Reads a whole document.
pub fn read(source: Source, root: &[Key], document: &Spanned<DeTable>) -> Reading {
    let mut reader =
        Reader { source, root, faults: Vec::new(), spans: BTreeMap::new(), doubtful: BTreeSet::new() };
    let place = Place { path: String::new(), label: String::new(), header: None };
    let value = reader.table(&place, root, document.get_ref());
    Reading { value, faults: reader.faults, spans: reader.spans, doubtful: reader.doubtful }
}

struct Reader<'a> {
    source: Source<'a>,
    root: &'a [Key],
    faults: Vec<Found>,
    spans: BTreeMap<String, Range<usize>>,
    doubtful: BTreeSet<String>,
}

/// A table being read.
struct Place {
    /// Its path: `line[2]`; empty for the whole file.
    path: String,
    /// How messages name it: `line "top"`; empty for the whole file.
    label: String,
    /// The byte its header or bracket stands at; none for the whole file.
    header: Option<usize>,
}

/// How messages name the two numbers of a place.
const COORDINATES: [&str; 2] = ["x", "y"];

/// A value being read: the table it belongs to, its path and how messages name it.
struct Slot<'p> {
    place: &'p Place,
    path: String,
    name: String,
}

impl Place {
    fn slot(&self, key: &str) -> Slot<'_> {
        let path = if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) };
        Slot { place: self, path, name: key.to_owned() }
    }
}

impl Slot<'_> {
    fn item(&self, index: usize) -> Slot<'_> {
        Slot {
            place: self.place,
            path: format!("{}[{index}]", self.path),
            name: format!("{} {}", self.name, index + 1),
        }
    }

    /// East or north of a place.
    fn coordinate(&self, index: usize) -> Slot<'_> {
        Slot { name: format!("{} of {}", COORDINATES[index], self.name), ..self.item(index) }
    }

    /// The table in this slot, named by its own name where it has one.
    fn table(&self, value: &Spanned<DeValue>) -> Place {
        let own = value.get_ref().get("name").and_then(|name| name.get_ref().as_str());
        let name = match own {
            Some(own) => format!(
                "{} \"{}\"",
                self.name.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end(),
                shown(own)
            ),
            None => self.name.clone(),
        };
        let label =
            if self.place.label.is_empty() { name } else { format!("{name} of {}", self.place.label) };
        Place { path: self.path.clone(), label, header: Some(value.span().start) }
    }
}

impl Reader<'_> {
    fn fault(&mut self, place: &Place, at: Option<usize>, code: &'static str, told: (String, String)) {
        let (found, advice) = told;
        let found = if place.label.is_empty() { found } else { format!("{}: {found}", place.label) };
        self.doubtful.insert(place.path.clone());
        self.faults.push(Found { path: place.path.clone(), at, code, found, advice });
    }

    /// A fault of the value in a slot.
    fn value_fault(&mut self, slot: &Slot, span: &Range<usize>, code: &'static str, told: (String, String)) {
        self.doubtful.insert(slot.path.clone());
        self.fault(slot.place, Some(span.start), code, told);
    }

    /// The text of a value as it was written.
    fn written(&self, span: &Range<usize>) -> String {
        shown(self.source.text.get(span.clone()).unwrap_or_default())
    }

    fn table(&mut self, place: &Place, keys: &[Key], table: &DeTable) -> Value {
        let mut meant = Vec::new();
        for (written, value) in table {
            if !keys.iter().any(|key| key.name == written.get_ref().as_ref()) {
                let unknown = advice::unknown_key(written.get_ref(), value.get_ref(), keys, self.root);
                self.fault(place, Some(written.span().start), "unknown-key", unknown.told);
                meant.extend(unknown.meant);
            }
        }
        let mut values = Map::new();
        for key in keys {
            let value = match table.get(key.name.as_str()) {
                Some(value) => self.value(&place.slot(&key.name), &key.shape, value),
                None if key.required => {
                    // Told once is enough: as the slip, not as the gap it leaves.
                    if !meant.contains(&key.name.as_str()) {
                        self.fault(place, place.header, "missing-key", advice::missing_key(key));
                    }
                    placeholder(&key.shape)
                }
                None => continue,
            };
            values.insert(key.name.clone(), value);
        }
        Value::Object(values)
    }

    fn value(&mut self, slot: &Slot, shape: &Shape, value: &Spanned<DeValue>) -> Value {
        let span = value.span();
        self.spans.insert(slot.path.clone(), span.clone());
        match (shape, value.get_ref()) {
            (Shape::Table(keys), DeValue::Table(table)) => self.table(&slot.table(value), keys, table),
            (Shape::List { of, count }, DeValue::Array(array)) => self.list(slot, of, *count, (array, span)),
            (Shape::Text, DeValue::String(text)) => Value::String(text.clone().into_owned()),
            (Shape::Slope, DeValue::String(text)) => self.slope(slot, &span, text),
            (Shape::Words(words), DeValue::String(text)) => self.word(slot, &span, words, text),
            (Shape::Flag, DeValue::Boolean(flag)) => Value::Bool(*flag),
            (Shape::Number(limits) | Shape::Range(limits), DeValue::Integer(_) | DeValue::Float(_)) => {
                self.number(slot, *limits, value)
            }
            (Shape::Range(limits), DeValue::Table(table)) => {
                self.range(&slot.table(value), *limits, (table, span))
            }
            (_, other) => {
                let told = advice::wrong_type(&slot.name, shape, other, &self.written(&span));
                self.value_fault(slot, &span, "wrong-type", told);
                placeholder(shape)
            }
        }
    }

    fn list(
        &mut self,
        slot: &Slot,
        of: &Shape,
        count: Option<usize>,
        list: (&DeArray, Range<usize>),
    ) -> Value {
        let (array, span) = list;
        if let Some(count) = count
            && array.len() != count
        {
            let found = format!("{} = {} holds {} values", slot.name, self.written(&span), array.len());
            let advice = "write a place as [x, y]: metres east, metres north".to_owned();
            self.value_fault(slot, &span, "not-a-place", (found, advice));
            return Value::Array(vec![placeholder(of); count]);
        }
        let items = array.iter().enumerate();
        let is_place = count == Some(COORDINATES.len());
        let slot_of = |i: usize| {
            if is_place { slot.coordinate(i) } else { slot.item(i) }
        };
        Value::Array(items.map(|(i, item)| self.value(&slot_of(i), of, item)).collect())
    }

    fn slope(&mut self, slot: &Slot, span: &Range<usize>, text: &str) -> Value {
        if let Err(error) = Slope::parse(text) {
            let told = advice::not_a_slope(&slot.name, &self.written(span), &error);
            self.value_fault(slot, span, "not-a-slope", told);
            return placeholder(&Shape::Slope);
        }
        Value::String(text.to_owned())
    }

    fn word(&mut self, slot: &Slot, span: &Range<usize>, words: &[Word], text: &str) -> Value {
        if !words.iter().any(|known| known.word == text) {
            let told = advice::not_a_word(&slot.name, text, words);
            self.value_fault(slot, span, "not-a-word", told);
            return Value::String(words[0].word.clone());
        }
        Value::String(text.to_owned())
    }

    fn number(&mut self, slot: &Slot, limits: Limits, value: &Spanned<DeValue>) -> Value {
        let span = value.span();
        let number = match value.get_ref() {
            DeValue::Integer(integer) => integer_value(integer),
            DeValue::Float(float) => float_value(float),
            _ => f64::NAN,
        };
        if limits.hold(number) {
            return Value::from(number);
        }
        let told = advice::not_in_limits(&slot.name, &self.written(&span), number, limits);
        let code = if number.is_nan() { "not-a-number" } else { "out-of-range" };
        self.value_fault(slot, &span, code, told);
        placeholder(&Shape::Number(limits))
    }

    fn range(&mut self, place: &Place, limits: Limits, range: (&DeTable, Range<usize>)) -> Value {
        let (table, span) = range;
        let faults_before = self.faults.len();
        let value = self.table(place, &advice::range_keys(limits), table);
        if self.faults.len() > faults_before {
            return placeholder(&Shape::Range(limits));
        }
        let part = |key: &str| value[key].as_f64().unwrap_or(f64::NAN);
        if Estimate::new(part("low"), part("likely"), part("high")).is_err() {
            let found = format!("{} is not in rising order", self.written(&span));
            self.fault(
                place,
                Some(span.start),
                "range-out-of-order",
                (found, "write them so that low ≤ likely ≤ high".to_owned()),
            );
            return placeholder(&Shape::Range(limits));
        }
        value
    }
}

fn integer_value(integer: &DeInteger) -> f64 {
    // What is too long for 128 bits is too long for any limit here as well.
    i128::from_str_radix(integer.as_str(), integer.radix()).map_or(f64::INFINITY, |whole| whole as f64)
}

fn float_value(float: &DeFloat) -> f64 {
    float.as_str().parse().unwrap_or(f64::NAN)
}

/// A value that keeps to a shape, for what could not be read.
fn placeholder(shape: &Shape) -> Value {
    match shape {
        Shape::Table(keys) => {
            let required = keys.iter().filter(|key| key.required);
            Value::Object(required.map(|key| (key.name.clone(), placeholder(&key.shape))).collect())
        }
        Shape::List { of, count } => Value::Array(vec![placeholder(of); count.unwrap_or(0)]),
        Shape::Text => Value::String(String::new()),
        Shape::Slope => Value::String("level".to_owned()),
        Shape::Number(limits) | Shape::Range(limits) if limits.hold(0.0) => Value::from(0.0),
        Shape::Number(limits) | Shape::Range(limits) => Value::from(limits.least),
        Shape::Words(words) => Value::String(words[0].word.clone()),
        Shape::Flag => Value::Bool(false),
    }
}
