//! Changes: saved at once, come back to by their bytes, never lost to another window or a text editor.

use axum::http::StatusCode;
use proptest::prelude::*;
use serde_json::{Value, json};

use super::Bench;

fn move_peg(line: &str, x_m: f64) -> Value {
    json!({"do": "move_peg", "line": line, "peg": 1, "x_m": x_m, "y_m": 41.0})
}

async fn edit(bench: &Bench, base_revision: u64, edit: Value) -> (StatusCode, Value) {
    bench.post("/api/edit", &json!({ "base_revision": base_revision, "edit": edit })).await
}

#[tokio::test]
async fn a_change_is_on_the_disk_when_it_is_answered() {
    let bench = Bench::demo();
    let before = bench.plan();
    let (status, changed) = edit(&bench, 1, move_peg("middle", 25.5)).await;
    assert_eq!(status, StatusCode::OK, "{changed}");
    assert_eq!(changed["revision"], 2);
    assert_eq!(changed["site"]["lines"][3]["pegs"][0]["x_m"], 25.5);
    assert_eq!(changed["site"]["undo_says"], "moved peg 1 of \"middle\" to 25.5, 41");
    assert_eq!(
        bench.plan(),
        before.replace("from = [24, 41]", "from = [25.5, 41]").replace("[40, 43]", "[41.5, 43]")
    );
    let (_, undone) = bench.post("/api/undo", &json!({"base_revision": 2})).await;
    assert_eq!(bench.plan(), before);
    assert_eq!((&undone["site"]["can_undo"], &undone["site"]["can_redo"]), (&json!(false), &json!(true)));
    let (_, redone) = bench.post("/api/redo", &json!({"base_revision": 3})).await;
    assert_eq!(redone["site"]["lines"][3]["pegs"][0]["x_m"], 25.5);
    let (status, told) = bench.post("/api/redo", &json!({"base_revision": 4})).await;
    assert_eq!(
        (status, &told["says"]),
        (StatusCode::UNPROCESSABLE_ENTITY, &json!("there is nothing to make again"))
    );
}

#[tokio::test]
async fn a_change_that_cannot_be_is_told_and_leaves_the_file_alone() {
    let bench = Bench::demo();
    let before = bench.plan();
    let (status, told) =
        edit(&bench, 1, json!({"do": "set", "path": ["line", "top", "depth_m"], "value": 99})).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(told["faults"][0]["code"], "out-of-range");
    // Levels were taken along "top": its file would belong to no line.
    let (status, told) =
        edit(&bench, 1, json!({"do": "rename", "what": "line", "name": "top", "to": "upper"})).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(told["says"].as_str().unwrap().contains("dug"), "{told}");
    assert_eq!(bench.plan(), before);
}

#[tokio::test]
async fn two_windows_do_not_lose_each_others_work() {
    let bench = Bench::demo();
    assert_eq!(edit(&bench, 1, move_peg("middle", 25.0)).await.0, StatusCode::OK);
    // The other window still sees revision 1, and moves another line: both are kept.
    let (status, both) = edit(&bench, 1, move_peg("low", 21.0)).await;
    assert_eq!((status, &both["revision"]), (StatusCode::OK, &json!(3)));
    assert!(bench.plan().contains("from = [25, 41]") && bench.plan().contains("from = [21, 41]"));
    // The same line: refused, with the site as it is now.
    let (status, told) = edit(&bench, 1, move_peg("middle", 30.0)).await;
    assert_eq!((status, &told["site"]["revision"]), (StatusCode::CONFLICT, &json!(3)));
    assert!(bench.plan().contains("from = [25, 41]"));
    assert_eq!(bench.post("/api/undo", &json!({"base_revision": 1})).await.0, StatusCode::CONFLICT);
    assert_eq!(edit(&bench, 999, move_peg("low", 30.0)).await.0, StatusCode::CONFLICT);
}

#[tokio::test]
async fn a_text_editor_is_noticed_and_never_overwritten() {
    let bench = Bench::demo();
    let typed = bench.plan().replace("depth_m = 0.9", "depth_m = 0.8");
    std::fs::write(bench.dir().join("site.toml"), &typed).unwrap();
    // Another thing: carried over onto what was typed.
    let (status, changed) = edit(&bench, 1, move_peg("middle", 25.0)).await;
    assert_eq!(status, StatusCode::OK, "{changed}");
    assert!(bench.plan().contains("depth_m = 0.8") && bench.plan().contains("from = [25, 41]"));
    // The same thing.
    let revision = changed["revision"].as_u64().unwrap();
    let typed = bench.plan().replace("from = [25, 41]", "from = [26, 41]");
    std::fs::write(bench.dir().join("site.toml"), &typed).unwrap();
    let (status, told) = edit(&bench, revision, move_peg("middle", 27.0)).await;
    assert_eq!(status, StatusCode::CONFLICT, "{told}");
    assert_eq!(bench.plan(), typed);
    // What was typed is a step as any other.
    let now = told["site"]["revision"].as_u64().unwrap();
    let (_, undone) = bench.post("/api/undo", &json!({ "base_revision": now })).await;
    assert!(undone["says"].as_str().unwrap().contains("another program"), "{undone}");
    assert!(bench.plan().contains("from = [25, 41]"));
}

#[tokio::test]
async fn a_file_broken_in_an_editor_is_told_and_the_last_site_still_shown() {
    let bench = Bench::demo();
    let good = bench.plan();
    std::fs::write(bench.dir().join("site.toml"), good.replace("\"a-frame\"", "\"a-fram\"")).unwrap();
    assert!(bench.app.desk.look());
    let (_, site) = bench.json("/api/site").await;
    assert_eq!(site["faults"][0]["code"], "not-a-word");
    assert_eq!((&site["faults"][0]["line"], site["lines"].as_array().unwrap().len()), (&json!(18), 5));
    let (status, _) = edit(&bench, 2, move_peg("middle", 25.0)).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    std::fs::write(bench.dir().join("site.toml"), &good).unwrap();
    assert!(bench.app.desk.look() && !bench.app.desk.look());
    let (_, site) = bench.json("/api/site").await;
    assert!(site["faults"].as_array().unwrap().is_empty());
}

#[tokio::test]
async fn other_files_are_watched_too() {
    let bench = Bench::demo();
    assert!(!bench.app.desk.look());
    let soak = bench.dir().join("soak/pit-1.csv");
    std::fs::write(&soak, std::fs::read_to_string(&soak).unwrap() + "\n").unwrap();
    assert!(bench.app.desk.look());
    assert_eq!(bench.json("/api/site").await.1["revision"], 2);
}

#[tokio::test]
async fn what_a_hand_draws_becomes_a_sound_line() {
    let bench = Bench::demo();
    let drawn =
        json!({"do": "draw_line", "kind": "swale", "from": [24, 32], "toward": [40, 34], "length_m": 30});
    let (status, changed) = edit(&bench, 1, drawn).await;
    assert_eq!(status, StatusCode::OK, "{changed}");
    let lines = changed["site"]["lines"].as_array().unwrap();
    let new = lines.last().unwrap();
    assert_eq!((&new["name"], &new["sills"][0]["to"]), (&json!("swale 1"), &json!("low")));
    let tree = json!({"do": "draw_tree", "species": "fig", "line": "swale 1", "at_m": 9});
    let (_, changed) = edit(&bench, 2, tree).await;
    assert_eq!(changed["site"]["trees"].as_array().unwrap().last().unwrap()["name"], "F4");
    let sill = json!({"do": "draw_sill", "line": "swale 1", "at_m": 20, "width_m": 3});
    let (status, changed) = edit(&bench, 3, sill).await;
    assert_eq!(status, StatusCode::OK, "{changed}");
    let cut = json!({"do": "cut_line", "line": "swale 1", "at_m": 14, "name": "swale 2"});
    let (status, changed) = edit(&bench, 4, cut).await;
    assert_eq!(status, StatusCode::OK, "{changed}");
    let (status, changed) = edit(&bench, 5, json!({"do": "remove", "what": "line", "name": "swale 1"})).await;
    assert_eq!(status, StatusCode::OK, "{changed}");
    let fig = changed["site"]["trees"].as_array().unwrap().last().unwrap().clone();
    assert!(fig["line"].is_null() && fig["x_m"].is_number(), "{fig}");
}

#[tokio::test]
async fn a_long_work_tells_how_far_it_is_and_can_be_stopped() {
    let bench = Bench::demo();
    let (status, job) =
        bench.post("/api/rain/range", &json!({"depth_mm": 30, "hours": 2, "members": 3})).await;
    assert_eq!((status, &job["kind"]), (StatusCode::OK, &json!("rain-range")));
    let mut view = job;
    while view["state"] == "running" {
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
        view = bench.json(&format!("/api/jobs/{}", view["id"])).await.1;
    }
    assert_eq!((&view["state"], &view["answer"]["members"]), (&json!("done"), &json!(3)));
    let (_, job) = bench.post("/api/rain/range", &json!({"depth_mm": 30, "hours": 2, "members": 1000})).await;
    let path = format!("/api/jobs/{}", job["id"]);
    bench.ask(axum::http::Method::DELETE, &path, "").await;
    let mut view = bench.json(&path).await.1;
    while view["state"] == "running" {
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
        view = bench.json(&path).await.1;
    }
    assert_eq!(view["state"], "cancelled");
    assert!(view["done_frac"].as_f64().unwrap() < 1.0);
    assert_eq!(bench.get("/api/jobs/77").await.0, StatusCode::NOT_FOUND);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3))]

    /// Whatever is edited: as many steps back give the bytes that were there, and as many again the last ones.
    #[test]
    fn steps_back_and_again_return_the_bytes(steps in prop::collection::vec((0..5_usize, 20.0..60.0_f64), 1..6)) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let bench = Bench::demo();
            let mut states = vec![bench.plan()];
            for (which, metres) in steps {
                let revision = states.len() as u64;
                let asked = match which {
                    0 => move_peg("middle", metres),
                    1 => json!({"do": "set", "path": ["line", "low", "depth_m"], "value": metres / 100.0}),
                    2 => json!({"do": "draw_tree", "species": "fig", "x_m": metres, "y_m": metres}),
                    3 => json!({"do": "draw_sill", "line": "low", "at_m": metres, "width_m": 2}),
                    _ => json!({"do": "cut_line", "line": "low", "at_m": metres, "name": format!("cut {revision}")}),
                };
                if edit(&bench, revision, asked).await.0 == StatusCode::OK {
                    states.push(bench.plan());
                }
            }
            let made = states.len();
            let mut revision = made as u64;
            for state in states[..made - 1].iter().rev() {
                prop_assert_eq!(bench.post("/api/undo", &json!({"base_revision": revision})).await.0, StatusCode::OK);
                prop_assert_eq!(&bench.plan(), state);
                revision += 1;
            }
            for state in &states[1..] {
                prop_assert_eq!(bench.post("/api/redo", &json!({"base_revision": revision})).await.0, StatusCode::OK);
                prop_assert_eq!(&bench.plan(), state);
                revision += 1;
            }
            Ok(())
        })?;
    }
}

#[tokio::test]
async fn steps_outlive_the_program() {
    let bench = Bench::demo();
    let before = bench.plan();
    edit(&bench, 1, move_peg("middle", 25.0)).await;
    edit(&bench, 2, move_peg("low", 21.0)).await;
    bench.post("/api/undo", &json!({"base_revision": 3})).await;
    let bench = bench.started_anew();
    let (_, site) = bench.json("/api/site").await;
    assert_eq!(site["undo_says"], "moved peg 1 of \"middle\" to 25, 41");
    assert_eq!(site["redo_says"], "moved peg 1 of \"low\" to 21, 41");
    bench.post("/api/undo", &json!({"base_revision": 1})).await;
    assert_eq!(bench.plan(), before);
    // What an editor did while no program ran is a step too.
    std::fs::write(bench.dir().join("site.toml"), before.replace("depth_m = 0.9", "depth_m = 0.8")).unwrap();
    let bench = bench.started_anew();
    let (_, undone) = bench.post("/api/undo", &json!({"base_revision": 1})).await;
    assert!(undone["says"].as_str().unwrap().contains("another program"), "{undone}");
    assert_eq!(bench.plan(), before);
}

#[tokio::test]
async fn a_site_is_begun_once_over_nothing_or_the_starter() {
    let bench = Bench::on(|_| ());
    let (_, none) = bench.json("/api/site").await;
    assert_eq!(none["faults"][0]["code"], "no-file");
    let (status, _) = bench.post("/api/begin", &json!({"with": "own", "name": " "})).await;
    assert_eq!(status, StatusCode::BAD_REQUEST);
    let (status, begun) = bench.post("/api/begin", &json!({"with": "own", "name": "Back field"})).await;
    assert_eq!(status, StatusCode::OK, "{begun}");
    assert_eq!((&begun["site"]["name"], &begun["site"]["faults"]), (&json!("Back field"), &json!([])));

    let (status, example) = bench.post("/api/begin", &json!({"with": "example"})).await;
    assert_eq!(status, StatusCode::OK, "{example}");
    assert_eq!(example["site"]["name"], "Quarry Bank");
    assert_eq!(example["site"]["has_ground"], true);
    let (status, told) = bench.post("/api/begin", &json!({"with": "own", "name": "Other"})).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(told["says"].as_str().unwrap().contains("holds a site already"), "{told}");
}
