//! The types of the wire as TypeScript, made from the schemas that the program's own types give.

use std::fmt::Write as _;

use serde_json::{Map, Value};

/// Opens the file.
const HEAD: &str =
    "// Made from the program's own types: UPDATE_WIRE=1 cargo test -p hillsip wire. Not to be edited.\n";

/// Every named type.
pub fn types(schemas: &Map<String, Value>) -> String {
    let mut names: Vec<&String> = schemas.keys().collect();
    names.sort();
    let mut out = String::from(HEAD);
    for name in names {
        let schema = &schemas[name];
        out.push('\n');
        remark(&mut out, "", schema);
        if is_plain_object(schema) {
            let _ = writeln!(out, "export interface {name} {}", object(schema, ""));
        } else {
            let _ = writeln!(out, "export type {name} = {};", of(schema, ""));
        }
    }
    out
}

fn is_plain_object(schema: &Value) -> bool {
    schema["properties"].is_object()
        && ["oneOf", "anyOf", "allOf", "$ref"].iter().all(|key| schema[key].is_null())
}

fn remark(out: &mut String, indent: &str, schema: &Value) {
    if let Some(words) = schema["description"].as_str() {
        let words = words.replace("*/", "* /");
        let lines: Vec<&str> = words.lines().collect();
        if let [line] = lines[..] {
            let _ = writeln!(out, "{indent}/** {line} */");
        } else {
            let _ = writeln!(out, "{indent}/**");
            for line in lines {
                let _ = writeln!(out, "{}", format!("{indent} * {line}").trim_end());
            }
            let _ = writeln!(out, "{indent} */");
        }
    }
}

/// The type of a schema.
fn of(schema: &Value, indent: &str) -> String {
    let mut parts = Vec::new();
    if let Some(to) = schema["$ref"].as_str() {
        parts.push(to.rsplit('/').next().unwrap_or(to).to_owned());
    }
    for key in ["oneOf", "anyOf"] {
        if let Some(choices) = schema[key].as_array() {
            let words: Vec<String> = choices.iter().map(|choice| of(choice, indent)).collect();
            parts.push(union(words));
        }
    }
    for all in schema["allOf"].as_array().into_iter().flatten() {
        parts.push(of(all, indent));
    }
    if let Some(constant) = schema.get("const") {
        parts.push(literal(constant));
    } else if let Some(words) = schema["enum"].as_array() {
        parts.push(union(words.iter().map(literal).collect()));
    } else if schema["properties"].is_object() {
        parts.push(object(schema, indent));
    } else if !schema["type"].is_null() {
        parts.push(by_type(schema, indent));
    }
    match parts.len() {
        0 => "unknown".to_owned(),
        1 => parts.remove(0),
        // What is flattened into a table holds together with it.
        _ => parts
            .iter()
            .map(|part| if part.contains(" | ") { format!("({part})") } else { part.clone() })
            .collect::<Vec<_>>()
            .join(" & "),
    }
}

fn union(words: Vec<String>) -> String {
    let mut once: Vec<String> = Vec::new();
    for word in words {
        if !once.contains(&word) {
            once.push(word);
        }
    }
    once.join(" | ")
}

fn literal(value: &Value) -> String {
    match value {
        Value::String(text) => format!("'{}'", text.replace('\\', "\\\\").replace('\'', "\\'")),
        other => other.to_string(),
    }
}

fn by_type(schema: &Value, indent: &str) -> String {
    match &schema["type"] {
        Value::Array(types) => {
            let each = |kind: &Value| {
                let mut one = schema.clone();
                one["type"] = kind.clone();
                by_type(&one, indent)
            };
            union(types.iter().map(each).collect())
        }
        Value::String(kind) => match kind.as_str() {
            "number" | "integer" => "number".to_owned(),
            "array" => list(schema, indent),
            "object" => match &schema["additionalProperties"] {
                Value::Object(_) => {
                    format!("Record<string, {}>", of(&schema["additionalProperties"], indent))
                }
                _ => "Record<string, unknown>".to_owned(),
            },
            plain => plain.to_owned(),
        },
        _ => "unknown".to_owned(),
    }
}

fn list(schema: &Value, indent: &str) -> String {
    if let Some(items) = schema["prefixItems"].as_array() {
        let words: Vec<String> = items.iter().map(|item| of(item, indent)).collect();
        return format!("[{}]", words.join(", "));
    }
    let item = of(&schema["items"], indent);
    let count = schema["minItems"].as_u64().filter(|least| schema["maxItems"].as_u64() == Some(*least));
    match count {
        Some(count) => format!("[{}]", vec![item; count as usize].join(", ")),
        None if item.contains(" | ") || item.contains(" & ") => format!("({item})[]"),
        None => format!("{item}[]"),
    }
}

fn object(schema: &Value, indent: &str) -> String {
    let required: Vec<&str> =
        schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    let deeper = format!("{indent}  ");
    let mut out = String::from("{\n");
    for (name, held) in schema["properties"].as_object().into_iter().flatten() {
        remark(&mut out, &deeper, held);
        let mark = if required.contains(&name.as_str()) { "" } else { "?" };
        let _ = writeln!(out, "{deeper}{name}{mark}: {};", of(held, &deeper));
    }
    let _ = write!(out, "{indent}}}");
    out
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn schemas_read_as_types() {
        for (schema, expected) in [
            (json!({"type": ["number", "null"]}), "number | null"),
            (json!({"$ref": "#/components/schemas/Place"}), "Place"),
            (json!({"anyOf": [{"$ref": "#/x/Place"}, {"type": "null"}]}), "Place | null"),
            (
                json!({"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}),
                "[number, number]",
            ),
            (json!({"type": "array", "items": {"type": ["string", "null"]}}), "(string | null)[]"),
            (json!({"type": "string", "enum": ["a", "it's"]}), "'a' | 'it\\'s'"),
            (json!({"const": "edit"}), "'edit'"),
            (json!(true), "unknown"),
            (json!({"type": "object", "additionalProperties": {"type": "string"}}), "Record<string, string>"),
        ] {
            assert_eq!(of(&schema, ""), expected, "{schema}");
        }
    }
}
