//! Layouts kept aside: compared, adopted, taken back.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use super::Bench;

async fn edit(bench: &Bench, base_revision: u64, edit: Value) -> Value {
    let (status, changed) =
        bench.post("/api/edit", &json!({ "base_revision": base_revision, "edit": edit })).await;
    assert_eq!(status, StatusCode::OK, "{changed}");
    changed
}

#[tokio::test]
async fn a_layout_is_kept_compared_adopted_and_taken_back() {
    let bench = Bench::demo();
    let first = bench.plan();
    let (status, names) = bench.post("/api/alternatives", &json!({"name": "as drawn"})).await;
    assert_eq!((status, &names), (StatusCode::OK, &json!(["as drawn"])));
    let shallow = json!({"do": "set", "path": ["line", "middle", "depth_m"], "value": 0.2});
    let changed = edit(&bench, 2, shallow).await;
    let (status, view) = bench.json("/api/alternatives?depth_mm=40&hours=6").await;
    assert_eq!(status, StatusCode::OK, "{view}");
    let [plan, aside] = &view["compared"]["layouts"].as_array().unwrap()[..] else { panic!("{view}") };
    assert_eq!((&plan["name"], &aside["name"]), (&json!(""), &json!("as drawn")));
    assert!(plan["cut_m3"].as_f64() < aside["cut_m3"].as_f64(), "{view}");
    assert!(plan["storm"]["soaked_m3"].is_number() && aside["storm"]["beside_trees_l"].is_number(), "{view}");
    let (_, lines) = bench.json("/api/alternatives/as%20drawn").await;
    assert_eq!(lines.as_array().unwrap().len(), 5);
    let second = bench.plan();
    let revision = changed["revision"].clone();
    let (status, told) = bench.post("/api/alternatives/as%20drawn/adopt", &json!({"base_revision": 1})).await;
    assert_eq!(status, StatusCode::CONFLICT, "{told}");
    let asked = json!({"base_revision": revision, "keep_as": "../x"});
    let (status, told) = bench.post("/api/alternatives/as%20drawn/adopt", &asked).await;
    assert_eq!((status, bench.plan()), (StatusCode::UNPROCESSABLE_ENTITY, second.clone()), "{told}");
    let asked = json!({"base_revision": revision, "keep_as": "shallow"});
    let (status, adopted) = bench.post("/api/alternatives/as%20drawn/adopt", &asked).await;
    assert_eq!((status, bench.plan()), (StatusCode::OK, first), "{adopted}");
    assert_eq!(adopted["says"], "adopted the layout \"as drawn\"");
    assert!(!bench.app.desk.look(), "what was kept aside is not another program's");
    let (_, undone) = bench.post("/api/undo", &json!({"base_revision": adopted["revision"]})).await;
    assert_eq!(bench.plan(), second, "{undone}");
    let (status, names) = bench.ask(Method::DELETE, "/api/alternatives/as%20drawn", "").await;
    assert_eq!((status, &names), (StatusCode::OK, &json!(["shallow"])));
}

#[tokio::test]
async fn a_layout_with_faults_is_told_and_not_adopted() {
    let bench = Bench::demo();
    let before = bench.plan();
    std::fs::create_dir(bench.dir().join("alternatives")).unwrap();
    let odd = before.replace("\"a-frame\"", "\"a-fram\"");
    std::fs::write(bench.dir().join("alternatives/odd.toml"), odd).unwrap();
    assert!(bench.app.desk.look(), "a layout brought from outside is noticed");
    let (_, view) = bench.json("/api/alternatives?depth_mm=20&hours=6").await;
    assert_eq!(view["compared"]["layouts"].as_array().unwrap().len(), 1);
    assert!(view["faulty"][0]["faults"][0]["file"].as_str().unwrap().ends_with("odd.toml"), "{view}");
    let (status, _) = bench.post("/api/alternatives/odd/adopt", &json!({"base_revision": 2})).await;
    assert_eq!((status, bench.plan()), (StatusCode::UNPROCESSABLE_ENTITY, before));
    for name in ["..%2fsite", "nothing"] {
        let (status, _) =
            bench.post(&format!("/api/alternatives/{name}/adopt"), &json!({"base_revision": 2})).await;
        assert!(status.is_client_error());
    }
    let (status, told) = bench.post("/api/alternatives", &json!({"name": "../x"})).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{told}");
}
