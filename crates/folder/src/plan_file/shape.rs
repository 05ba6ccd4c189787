//! The shape of `site.toml`: which keys there are, and what each may hold.
//!
//! Read once from the JSON Schema that the plan's types give, so that the reader, the published schema and
//! the tables of `docs/site-folder.md` cannot say different things.

use std::sync::LazyLock;

use serde_json::Value;

/// What a key may hold.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Keys and values: `[tool]`, or `{ … }`.
    Table(Vec<Key>),
    /// Several of one shape. `[[line]]` where that is a table.
    List {
        /// The shape of each.
        of: Box<Shape>,
        /// How many there must be, where that is fixed.
        count: Option<usize>,
    },
    /// Any text.
    Text,
    /// A text that is a slope with its unit.
    Slope,
    /// A number.
    Number(Limits),
    /// A number, or `{ low, likely, high }`.
    Range(Limits),
    /// One of these words.
    Words(Vec<Word>),
    /// true or false.
    Flag,
}

/// Least and greatest value, inclusive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Least.
    pub least: f64,
    /// Greatest.
    pub most: f64,
}

/// A word a key may hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    /// As files write it.
    pub word: String,
    /// What it means.
    pub about: String,
}

/// One key of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Key {
    /// As files write it.
    pub name: String,
    /// What it is.
    pub about: String,
    /// Whether it must be there.
    pub required: bool,
    /// What it may hold.
    pub shape: Shape,
}

impl Limits {
    /// What a coordinate may be, m: no two places on Earth lie further apart than half its girth over the
    /// poles, 20 004 km (WGS 84: NIMA Technical Report 8350.2, 3rd edition 2000, meridian quadrant
    /// 10 001 965.7293 m).
    pub const PLACE: Limits = Limits { least: -20_003_931.0, most: 20_003_931.0 };

    /// Whether a number keeps to them; NaN does not.
    pub fn hold(self, value: f64) -> bool {
        (self.least..=self.most).contains(&value)
    }
}

/// The JSON Schema of `site.toml`, as it is published.
///
/// TOML has no null: a key that may be left out is left out. So what the types say of null is dropped.
pub fn schema() -> Value {
    let mut schema = schemars::schema_for!(site::Plan).to_value();
    without_null(&mut schema);
    schema
}

/// The shape of `site.toml`. Made once: a plan is read at every edit.
pub fn shape() -> &'static [Key] {
    static SHAPE: LazyLock<Vec<Key>> = LazyLock::new(|| {
        let schema = schema();
        keys(&schema, &schema)
    });
    &SHAPE
}

fn without_null(value: &mut Value) {
    match value {
        Value::Object(map) => {
            if let Some(Value::Array(types)) = map.get_mut("type") {
                types.retain(|of| of != "null");
                if let [only] = &types[..] {
                    let only = only.clone();
                    map.insert("type".to_owned(), only);
                }
            }
            if let Some(Value::Array(forms)) = map.get_mut("anyOf") {
                forms.retain(|form| form.get("type").is_none_or(|of| of != "null"));
                if let [Value::Object(only)] = &forms[..] {
                    let only = only.clone();
                    map.remove("anyOf");
                    map.extend(only);
                }
            }
            if let Some(Value::String(text)) = map.get_mut("description") {
                *text = text.replace('\n', " ");
            }
            map.values_mut().for_each(without_null);
        }
        Value::Array(values) => values.iter_mut().for_each(without_null),
        _ => {}
    }
}

/// The keys of a table's schema. The schema is made from our own types, so a form not met here is a fault of
/// the program that its tests find.
fn keys(root: &Value, table: &Value) -> Vec<Key> {
    let required = table["required"].as_array();
    let is_required = |name: &str| required.is_some_and(|all| all.iter().any(|key| key == name));
    let properties = table["properties"].as_object().expect("a table's schema has properties");
    properties
        .iter()
        .map(|(name, of)| Key {
            name: name.clone(),
            about: of["description"].as_str().unwrap_or_default().to_owned(),
            required: is_required(name),
            shape: shape_of(root, of),
        })
        .collect()
}

fn shape_of(root: &Value, of: &Value) -> Shape {
    let outer = limits(of);
    let of = resolved(root, of);
    if of.get("anyOf").is_some() {
        return Shape::Range(outer.or(limits(of)).unwrap_or(Limits::PLACE));
    }
    if let Some(words) = of["oneOf"].as_array() {
        return Shape::Words(words.iter().map(word).collect());
    }
    match (of["type"].as_str(), of["format"].as_str()) {
        (Some("object"), _) => Shape::Table(keys(root, of)),
        (Some("array"), _) => Shape::List {
            of: Box::new(shape_of(root, &of["items"])),
            count: of["maxItems"].as_u64().map(|count| count as usize),
        },
        (Some("string"), Some("slope")) => Shape::Slope,
        (Some("string"), _) => Shape::Text,
        (Some("number"), _) => Shape::Number(outer.or(limits(of)).unwrap_or(Limits::PLACE)),
        (Some("boolean"), _) => Shape::Flag,
        other => unreachable!("the plan's types give no schema such as {other:?}"),
    }
}

fn resolved<'a>(root: &'a Value, of: &'a Value) -> &'a Value {
    match of["$ref"].as_str().and_then(|path| path.strip_prefix('#')) {
        Some(pointer) => root.pointer(pointer).expect("a reference names a definition"),
        None => of,
    }
}

fn limits(of: &Value) -> Option<Limits> {
    let least = of["minimum"].as_f64();
    let most = of["maximum"].as_f64();
    (least.is_some() || most.is_some()).then(|| Limits {
        least: least.unwrap_or(Limits::PLACE.least),
        most: most.unwrap_or(Limits::PLACE.most),
    })
}

fn word(of: &Value) -> Word {
    Word {
        word: of["const"].as_str().unwrap_or_default().to_owned(),
        about: of["description"].as_str().unwrap_or_default().to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key<'a>(keys: &'a [Key], name: &str) -> &'a Key {
        keys.iter().find(|key| key.name == name).unwrap()
    }

    #[test]
    fn the_types_give_the_shape() {
        let plan = shape();
        assert_eq!(plan[0].name, "name");
        assert!(plan[0].required);
        let Shape::List { of, count: None } = &key(plan, "line").shape else {
            panic!("lines are a list");
        };
        let Shape::Table(line) = &**of else {
            panic!("a line is a table");
        };
        assert_eq!(key(line, "grade").shape, Shape::Slope);
        assert_eq!(key(line, "bed_width_m").shape, Shape::Number(Limits { least: 0.05, most: 10.0 }));
        assert!(!key(line, "bed_width_m").required);
        let Shape::Words(kinds) = &key(line, "kind").shape else {
            panic!("a kind is a word");
        };
        assert_eq!(kinds[0].word, "swale");
    }

    /// Every number but a coordinate has limits of its own, so that a slip of a unit or 1e308 is refused.
    #[test]
    fn every_number_has_limits() {
        fn visit(keys: &[Key]) {
            for key in keys {
                match &key.shape {
                    Shape::Number(limits) | Shape::Range(limits) => {
                        let coordinate = ["x_m", "y_m"].contains(&key.name.as_str());
                        assert_eq!(*limits == Limits::PLACE, coordinate, "{}", key.name);
                    }
                    Shape::Table(keys) => visit(keys),
                    Shape::List { of, .. } => {
                        if let Shape::Table(keys) = &**of {
                            visit(keys);
                        }
                    }
                    _ => {}
                }
            }
        }
        visit(shape());
    }

    #[test]
    fn nothing_in_the_published_schema_may_be_null() {
        assert!(!schema().to_string().contains("\"null\""));
    }
}
