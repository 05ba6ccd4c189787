//! What the interface says of itself.

use std::fs;

use axum::http::StatusCode;
use serde_json::Value;

use super::Bench;
use crate::serve::describe::{Schemas, endpoints};
use crate::serve::typescript::types;

/// The front end's types are made here.
const TYPES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../web/src/wire/index.ts");

#[test]
fn wire_types_of_the_front_end_are_fresh() {
    let fresh = types(&Schemas::of_all().named());
    if std::env::var_os("UPDATE_WIRE").is_some() {
        fs::create_dir_all(std::path::Path::new(TYPES).parent().unwrap()).unwrap();
        fs::write(TYPES, &fresh).unwrap();
    }
    let on_disk = fs::read_to_string(TYPES).unwrap_or_default();
    assert!(on_disk == fresh, "web/src/wire/index.ts is stale: run UPDATE_WIRE=1 cargo test -p hillsip wire");
}

/// Every reference of the document leads somewhere, and every address is in it.
#[tokio::test]
async fn the_document_holds_every_address_and_every_type() {
    let bench = Bench::demo();
    let (status, document) = bench.json("/api/openapi.json").await;
    assert_eq!(status, StatusCode::OK);
    for endpoint in endpoints() {
        let operation = &document["paths"][endpoint.path][endpoint.method.to_lowercase()];
        assert!(!operation["summary"].as_str().unwrap().is_empty(), "{} {}", endpoint.method, endpoint.path);
    }
    let mut referred = 0;
    visit(&document, &mut |to| {
        let name = to.strip_prefix("#/components/schemas/").unwrap_or_else(|| panic!("{to}"));
        assert!(document["components"]["schemas"][name].is_object(), "{to}");
        referred += 1;
    });
    assert!(referred > 50, "{referred}");
    let (status, page) = bench.get("/api/").await;
    assert_eq!(status, StatusCode::OK);
    assert!(String::from_utf8(page).unwrap().contains("POST /api/edit"));
}

fn visit(value: &Value, told: &mut dyn FnMut(&str)) {
    match value {
        Value::Object(keys) => {
            if let Some(to) = keys.get("$ref").and_then(Value::as_str) {
                told(to);
            }
            keys.values().for_each(|held| visit(held, told));
        }
        Value::Array(items) => items.iter().for_each(|held| visit(held, told)),
        _ => {}
    }
}

/// What the program gives keeps to what it says it gives: every required key is there, no other is.
#[tokio::test]
async fn answers_keep_to_their_schemas() {
    let bench = Bench::demo();
    let named = Schemas::of_all().named();
    for (path, name) in [
        ("/api/site", "SiteView"),
        ("/api/rain?depth_mm=90&hours=6", "RainView"),
        ("/api/rain/frames?times=3", "FramesView"),
        ("/api/height?x=30&y=40", "HeightView"),
        ("/api/planting", "PlantingAnswer"),
        ("/api/digging?people=2", "DiggingAnswer"),
        ("/api/calendar", "CalendarAnswer"),
        ("/api/field-book", "FieldBookView"),
        ("/api/alternatives?depth_mm=20&hours=6", "AlternativesView"),
    ] {
        let (status, answer) = bench.json(path).await;
        assert_eq!(status, StatusCode::OK, "{path}");
        keeps_to(&answer, &named[name], &named, name);
    }
}

fn keeps_to(answer: &Value, schema: &Value, named: &serde_json::Map<String, Value>, path: &str) {
    if let Some(to) = schema["$ref"].as_str() {
        return keeps_to(answer, &named[to.rsplit('/').next().unwrap()], named, path);
    }
    if let (Some(items), Some(of)) = (answer.as_array(), schema.get("items")) {
        items.iter().for_each(|item| keeps_to(item, of, named, &format!("{path}[]")));
    }
    if let (Some(keys), Some(properties)) = (answer.as_object(), schema["properties"].as_object()) {
        for required in schema["required"].as_array().into_iter().flatten() {
            assert!(keys.contains_key(required.as_str().unwrap()), "{path} lacks {required}");
        }
        for (key, held) in keys {
            assert!(properties.contains_key(key), "{path} has {key}, which its schema does not tell");
            keeps_to(held, &properties[key], named, &format!("{path}.{key}"));
        }
    }
}

#[tokio::test]
async fn every_paper_that_is_listed_is_drawn() {
    let bench = Bench::demo();
    let (_, papers) = bench.json("/api/paper").await;
    assert!(papers.as_array().unwrap().len() > 5);
    for paper in papers.as_array().unwrap() {
        let (status, svg) = bench.get(&format!("/api/paper/{}.svg", paper["name"].as_str().unwrap())).await;
        assert_eq!((status, &svg[..4]), (StatusCode::OK, &b"<svg"[..]), "{paper}");
    }
    assert_eq!(bench.get("/api/paper/..%2f..%2fsite.toml").await.0, StatusCode::NOT_FOUND);
}

/// Two types of one name would come out as `Name` and `Name2`.
#[test]
fn every_type_has_a_name_of_its_own() {
    let named = Schemas::of_all().named();
    let numbered: Vec<&String> =
        named.keys().filter(|name| name.ends_with(|c: char| c.is_ascii_digit())).collect();
    assert!(numbered.is_empty(), "{numbered:?}");
}
