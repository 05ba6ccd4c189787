//! The field book: written down, put right, struck out and brought back; photographs beside it.

use axum::body::Body;
use axum::http::{Request, StatusCode};
use serde_json::{Value, json};

use super::{Bench, taken};
use crate::serve::guard::TOKEN;

async fn write(bench: &Bench, seen: Value, struck: bool) -> (StatusCode, Value) {
    bench.post("/api/field-book", &json!({"seen": seen, "struck": struck})).await
}

#[tokio::test]
async fn what_was_seen_is_written_down_struck_out_and_brought_back() {
    let bench = Bench::demo();
    let rain = json!({"date": "2026-11-25", "time": "7:30", "kind": "rain", "value": 31.5, "who": "=A"});
    let (status, book) = write(&bench, rain, false).await;
    assert_eq!((status, &book["revision"]), (StatusCode::OK, &json!(2)), "{book}");
    let mut entry = book["entries"][0].clone();
    assert!(entry["id"].as_str().unwrap().starts_with("2026-11-25-"), "{entry}");
    assert_eq!((&entry["time"], &entry["who"]), (&json!("07:30"), &json!("=A")));
    entry["value"] = json!(32);
    let (_, book) = write(&bench, entry.clone(), false).await;
    assert_eq!((&book["entries"][0]["value"], book["entries"].as_array().unwrap().len()), (&json!(32.0), 1));
    let (_, book) = write(&bench, entry.clone(), true).await;
    assert!(book["entries"].as_array().unwrap().is_empty());
    let (_, book) = write(&bench, entry, false).await;
    assert_eq!(book["entries"][0]["value"], 32.0);
    let kept = std::fs::read_to_string(bench.dir().join("field-book.csv")).unwrap();
    assert_eq!(kept.lines().count(), 5, "a book: nothing is rubbed out\n{kept}");
    assert!(kept.contains(",31.5,mm,") && kept.contains("'=A"), "{kept}");
    assert!(!bench.app.desk.look(), "our own writing is no change from outside");
    assert_eq!(bench.json("/api/site").await.1["can_undo"], false, "no step of the plan");
}

#[tokio::test]
async fn what_makes_no_sense_is_told_and_not_written() {
    let bench = Bench::demo();
    for (seen, told) in [
        (json!({"date": "2026-02-30", "kind": "rain", "value": 1}), "not a day"),
        (json!({"date": "2026-11-25", "time": "25:00", "kind": "rain"}), "not a clock"),
        (json!({"date": "2026-11-25", "kind": "snow"}), "water edge"),
        (json!({"date": "2026-11-25", "kind": "rain", "value": -1}), "less than nothing"),
        (json!({"date": "2026-11-25", "kind": "rain", "value": 9000}), "never been seen"),
        (json!({"date": "2026-11-25", "kind": "tree", "value": 3}), "no figure"),
        (
            json!({"date": "2026-11-25", "kind": "water edge", "line": "midle", "chainage_m": 20}),
            "\"middle\"?",
        ),
        (json!({"date": "2026-11-25", "kind": "tree", "tree": "F99"}), "no tree"),
        (json!({"date": "2026-11-25", "kind": "note", "x_m": 3}), "both"),
        (json!({"date": "2026-11-25", "kind": "note", "y": 3}), "unknown field"),
    ] {
        let (status, body) = write(&bench, seen.clone(), false).await;
        assert!(status.is_client_error(), "{seen}");
        assert!(body["says"].as_str().unwrap().contains(told), "{seen}: {body}");
    }
    assert!(!bench.dir().join("field-book.csv").exists());
}

async fn send_photo(bench: &Bench, date: &str, bytes: Vec<u8>) -> (StatusCode, Value) {
    let request = Request::post(format!("/api/photo?date={date}"))
        .header("host", "localhost:8460")
        .header(TOKEN, &bench.app.token)
        .body(Body::from(bytes))
        .unwrap();
    let (status, body) = taken(bench.send(request).await).await;
    (status, serde_json::from_slice(&body).unwrap())
}

#[tokio::test]
async fn photographs_are_kept_and_shown_and_nothing_else_is() {
    let bench = Bench::demo();
    let large = [&b"\xff\xd8\xff\xe0"[..], &vec![7; 1 << 20]].concat();
    let (status, kept) = send_photo(&bench, "2026-11-25", large.clone()).await;
    assert_eq!(status, StatusCode::OK, "{kept}");
    let path = format!("/api/photo/{}", kept["photo"].as_str().unwrap());
    let (status, bytes) = bench.get(&path).await;
    assert_eq!((status, bytes.len()), (StatusCode::OK, large.len()));
    for (bytes, expected) in [
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>".to_vec(), StatusCode::UNPROCESSABLE_ENTITY),
        ([&b"\xff\xd8\xff\xe0"[..], &vec![7; 9 << 20]].concat(), StatusCode::PAYLOAD_TOO_LARGE),
    ] {
        let (status, told) = send_photo(&bench, "2026-11-25", bytes).await;
        assert_eq!(status, expected);
        assert!(!told["says"].as_str().unwrap().is_empty());
    }
    assert_eq!(send_photo(&bench, "yesterday", large).await.0, StatusCode::BAD_REQUEST);
    for name in ["..%2fsite.toml", "nothing.jpg", "%2e%2e%2fsite.toml", "..%5csite.toml"] {
        assert_eq!(bench.get(&format!("/api/photo/{name}")).await.0, StatusCode::NOT_FOUND, "{name}");
    }
}
