//! What is read.

use axum::body::Body;
use axum::http::{Request, StatusCode};

use super::Bench;

#[tokio::test]
async fn the_site_is_shown_with_what_it_holds_and_what_is_wrong() {
    let bench = Bench::demo();
    let (status, site) = bench.json("/api/site").await;
    assert_eq!(status, StatusCode::OK);
    assert_eq!(site["name"], "Quarry Bank");
    let lines = site["lines"].as_array().unwrap();
    let names: Vec<&str> = lines.iter().map(|line| line["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["top", "yard drain", "yard chute", "middle", "low"]);
    let middle = &lines[3];
    assert_eq!((&middle["laid"], &middle["kind"]), (&"walked".into(), &"swale".into()));
    // Pegs two metres apart along 60 m, the first among them.
    assert_eq!(middle["pegs"].as_array().unwrap().len(), 31);
    assert!(middle["holds_m3"]["likely"].as_f64().unwrap() > 1.0);
    assert!(!middle["sills"][0]["spill_path"].as_array().unwrap().is_empty());
    assert!(!site["findings"].as_array().unwrap().is_empty());
    assert_eq!(site["can_undo"], false);
    assert_eq!(site["services"][0]["name"], "water pipe to the barn");
}

#[tokio::test]
async fn pictures_of_the_ground_keep_a_tag() {
    let bench = Bench::demo();
    for (path, magic) in
        [("/api/ground", b"HSGR"), ("/api/contours?interval_m=0.5", b"HSCO"), ("/api/flow", b"HSFL")]
    {
        let (status, bytes) = bench.get(path).await;
        assert_eq!((status, &bytes[..4]), (StatusCode::OK, &magic[..]), "{path}");
        let request = Request::get(path).header("host", "localhost").body(Body::empty()).unwrap();
        let tag = bench.send(request).await.headers()["etag"].clone();
        let again =
            Request::get(path).header("host", "localhost").header("if-none-match", tag).body(Body::empty());
        assert_eq!(bench.send(again.unwrap()).await.status(), StatusCode::NOT_MODIFIED);
    }
    for bad in ["/api/contours?interval_m=0", "/api/contours?interval_m=nan", "/api/contours"] {
        assert_eq!(bench.get(bad).await.0, StatusCode::BAD_REQUEST, "{bad}");
    }
}

#[tokio::test]
async fn a_height_is_told_where_it_was_measured() {
    let bench = Bench::demo();
    let (_, inside) = bench.json("/api/height?x=30&y=40").await;
    assert!(inside["z_m"].as_f64().unwrap() > 190.0 && inside["slope"].as_f64().unwrap() > 0.0);
    let (status, outside) = bench.json("/api/height?x=-500&y=40").await;
    assert_eq!((status, outside["z_m"].is_null()), (StatusCode::OK, true));
}

#[tokio::test]
async fn the_next_rain_adds_up() {
    let bench = Bench::demo();
    let (status, rain) = bench.json("/api/rain?depth_mm=40&hours=6&shape=blocks").await;
    assert_eq!(status, StatusCode::OK);
    let m3 = |key: &str| rain[key].as_f64().unwrap();
    let left = m3("came_m3") - m3("soaked_m3") - m3("stands_m3") - m3("leaves_m3");
    // The chain balances to 1e-9 of what came in.
    assert!(left.abs() <= 1e-9 * m3("came_m3"), "{left}");
    assert_eq!(rain["trees"].as_array().unwrap().len(), 12);
    let (status, told) = bench.json("/api/rain?depth_mm=99999&hours=1").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(told["says"].as_str().unwrap().contains("more than was ever measured"), "{told}");
}

#[tokio::test]
async fn frames_are_as_many_as_were_asked_for() {
    let bench = Bench::demo();
    let (_, frames) = bench.json("/api/rain/frames?depth_mm=40&hours=6&times=5").await;
    assert_eq!(frames["hours"].as_array().unwrap().len(), 5);
    let line = &frames["lines"][0];
    assert_eq!(line["z_m"].as_array().unwrap().len(), 5);
    assert_eq!(line["z_m"][4].as_array().unwrap().len(), line["chainage_m"].as_array().unwrap().len());
    let rain_mm: Vec<f64> =
        frames["rain_mm"].as_array().unwrap().iter().map(|mm| mm.as_f64().unwrap()).collect();
    assert!(rain_mm.is_sorted() && (rain_mm[4] - 40.0).abs() < 1e-9, "{rain_mm:?}");
}

/// The starter: a line by tape, no places anywhere.
#[tokio::test]
async fn a_site_without_places_is_shown_too() {
    let bench = Bench::on(|dir| {
        std::fs::write(dir.join("site.toml"), folder::starter("Back field")).unwrap();
    });
    let (status, site) = bench.json("/api/site").await;
    assert_eq!(status, StatusCode::OK);
    assert!(site["bounds_m"].is_null() && site["has_ground"] == false);
    assert_eq!(site["lines"][0]["laid"], "taped");
    assert_eq!(site["lines"][0]["pegs"].as_array().unwrap().len(), 4);
    assert_eq!(bench.get("/api/ground").await.0, StatusCode::NOT_FOUND);
    assert_eq!(bench.get("/api/rain?depth_mm=40&hours=6").await.0, StatusCode::OK);
}
