//! The interface described: as an OpenAPI 3.1 document, and as a page to read.

use std::fmt::Write as _;
use std::sync::LazyLock;

use axum::Json;
use axum::response::Html;
use serde_json::{Map, Value, json};

use super::describe::{Described, Endpoint, Gives, Schemas, Takes, endpoints};
use super::guard::TOKEN;

static DOCUMENT: LazyLock<Value> = LazyLock::new(make);

/// The document.
pub async fn document() -> Json<&'static Value> {
    Json(&DOCUMENT)
}

/// The page.
pub async fn page() -> Html<String> {
    Html(to_read(&DOCUMENT))
}

fn make() -> Value {
    let mut schemas = Schemas::of_all();
    let mut paths: Map<String, Value> = Map::new();
    for endpoint in endpoints() {
        let operation = operation(&endpoint, &mut schemas);
        let path = paths.entry(endpoint.path).or_insert_with(|| json!({}));
        path[endpoint.method.to_lowercase()] = operation;
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Hillsip",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "One site, served on this machine. Units stand in the names: _m, _mm, _m2, _m3, _l_s, _h, _frac. \
                            What changes something carries the token that the page was given.",
        },
        "paths": paths,
        "components": {
            "schemas": schemas.named(),
            "securitySchemes": { "token": { "type": "apiKey", "in": "header", "name": TOKEN } },
        },
    })
}

fn operation(endpoint: &Endpoint, schemas: &mut Schemas) -> Value {
    let mut parameters: Vec<Value> = path_parts(endpoint.path);
    if let Some(query) = endpoint.query {
        parameters.extend(query_keys(query, schemas));
    }
    let (media, schema, words) = match endpoint.gives {
        Gives::Json(described) => {
            ("application/json", Value::from(described(&mut schemas.given)), "The answer.")
        }
        Gives::Other(media, words) => (media, json!({ "type": "string", "format": "binary" }), words),
    };
    let trouble = json!({
        "description": "Why it was not done, in words.",
        "content": { "application/json": { "schema": { "$ref": "#/components/schemas/TroubleView" } } },
    });
    let mut operation = json!({
        "summary": endpoint.says,
        "parameters": parameters,
        "responses": {
            "200": { "description": words, "content": { media: { "schema": schema } } },
            "default": trouble,
        },
    });
    if let Some(body) = endpoint.body {
        let content = match body {
            Takes::Json(described) => {
                json!({ "application/json": { "schema": schemas.asked_as_named(described) } })
            }
            Takes::File(media) => media.split(", ").map(|kind| (kind.to_owned(), json!({}))).collect(),
        };
        operation["requestBody"] = json!({ "required": true, "content": content });
    }
    if endpoint.method != "GET" {
        operation["security"] = json!([{ "token": [] }]);
    }
    operation
}

/// The parts of a path that vary.
fn path_parts(path: &str) -> Vec<Value> {
    let parts = path.split('/').filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'));
    parts
        .map(|name| json!({ "name": name, "in": "path", "required": true, "schema": { "type": "string" } }))
        .collect()
}

/// The keys of a query, one parameter each.
fn query_keys(query: Described, schemas: &mut Schemas) -> Vec<Value> {
    let reference = Value::from(query(&mut schemas.asked));
    let name = reference["$ref"].as_str().and_then(|to| to.rsplit('/').next()).unwrap_or_default();
    let held = schemas.asked.definitions().get(name).cloned().unwrap_or(Value::Null);
    let required: Vec<&str> =
        held["required"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    let keys = held["properties"].as_object().cloned().unwrap_or_default();
    let parameter = |(key, schema): (&String, &Value)| {
        json!({
            "name": key,
            "in": "query",
            "required": required.contains(&key.as_str()),
            "description": schema["description"],
            "schema": schema,
        })
    };
    keys.iter().map(parameter).collect()
}

fn to_read(document: &Value) -> String {
    let mut page = String::from(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>Hillsip: the interface</title></head><body>\
         <h1>The interface of the app</h1><p>The same list as an <a href=\"/api/openapi.json\">OpenAPI document</a>.</p>",
    );
    for (path, operations) in document["paths"].as_object().into_iter().flatten() {
        for (method, operation) in operations.as_object().into_iter().flatten() {
            let _ = write!(
                page,
                "<h2>{} {}</h2><p>{}</p>",
                method.to_uppercase(),
                escaped(path),
                escaped(operation["summary"].as_str().unwrap_or_default())
            );
            list(&mut page, operation);
        }
    }
    page.push_str("</body></html>");
    page
}

fn list(page: &mut String, operation: &Value) {
    page.push_str("<ul>");
    for key in operation["parameters"].as_array().into_iter().flatten() {
        let name = escaped(key["name"].as_str().unwrap_or_default());
        let _ = write!(
            page,
            "<li><code>{name}</code> {}</li>",
            escaped(key["description"].as_str().unwrap_or_default())
        );
    }
    for (what, place) in [
        ("takes", &operation["requestBody"]["content"]["application/json"]["schema"]),
        ("gives", &operation["responses"]["200"]["content"]["application/json"]["schema"]),
    ] {
        if let Some(name) = place["$ref"].as_str().and_then(|to| to.rsplit('/').next()) {
            let _ = write!(page, "<li>{what} <code>{}</code></li>", escaped(name));
        }
    }
    page.push_str("</ul>");
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
