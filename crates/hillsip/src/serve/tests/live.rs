//! The live socket, over a real connection.

use std::sync::Arc;
use std::time::Duration;

use futures_util::{SinkExt, StreamExt};
use serde_json::{Value, json};
use tokio::net::{TcpListener, TcpStream};
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::{WebSocketStream, client_async};

use super::Bench;
use crate::serve::app::router;

type Socket = WebSocketStream<TcpStream>;

/// Longest that a test waits for an answer, for machines busy with much else.
const PATIENCE: Duration = Duration::from_secs(60);

async fn connect(bench: &Bench) -> Socket {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let app = router(Arc::clone(&bench.app));
    tokio::spawn(async move { axum::serve(listener, app).await });
    let stream = TcpStream::connect(address).await.unwrap();
    client_async(format!("ws://{address}/api/live"), stream).await.unwrap().0
}

async fn say(socket: &mut Socket, words: &Value) {
    socket.send(Message::text(words.to_string())).await.unwrap();
}

async fn hear(socket: &mut Socket) -> Option<Value> {
    loop {
        match tokio::time::timeout(PATIENCE, socket.next()).await.unwrap()? {
            Ok(Message::Text(text)) => return Some(serde_json::from_str(text.as_str()).unwrap()),
            Ok(Message::Close(_)) | Err(_) => return None,
            Ok(_) => {}
        }
    }
}

async fn greeted(bench: &Bench) -> Socket {
    let mut socket = connect(bench).await;
    say(&mut socket, &json!({"token": bench.app.token})).await;
    socket
}

#[tokio::test(flavor = "multi_thread")]
async fn nobody_is_heard_without_the_token() {
    let bench = Bench::demo();
    let mut socket = connect(&bench).await;
    say(&mut socket, &json!({"token": "0123"})).await;
    assert_eq!(hear(&mut socket).await, None);
}

#[tokio::test(flavor = "multi_thread")]
async fn questions_are_answered_under_their_number() {
    let bench = Bench::demo();
    let mut socket = greeted(&bench).await;
    say(
        &mut socket,
        &json!({"id": 7, "ask": {"ask": "walk", "from": [24, 46], "toward": [40, 48], "length_m": 20}}),
    )
    .await;
    let walk = hear(&mut socket).await.unwrap();
    assert_eq!((&walk["id"], walk["path"].as_array().unwrap().len()), (&json!(7), 11));
    let edit = json!({"do": "move_peg", "line": "middle", "peg": 1, "x_m": 25, "y_m": 41});
    let rain = json!({"depth_mm": 40, "hours": 6});
    say(&mut socket, &json!({"id": 8, "ask": {"ask": "drag", "edit": edit, "rain": rain}})).await;
    let draft = hear(&mut socket).await.unwrap();
    assert_eq!(draft["lines"].as_array().unwrap().iter().filter(|line| line["name"] == "middle").count(), 1);
    assert!(draft["rain"]["came_m3"].is_number() && draft["catchments_known"] == true, "{draft}");
    assert_eq!(bench.app.desk.view().revision, 1, "a draft is not kept");
    say(&mut socket, &json!({"id": 9, "ask": {"ask": "fly"}})).await;
    assert!(hear(&mut socket).await.unwrap()["error"].as_str().unwrap().contains("fly"));
    socket.send(Message::text("{")).await.unwrap();
    assert!(hear(&mut socket).await.unwrap()["error"].is_string());
}

#[tokio::test(flavor = "multi_thread")]
async fn of_a_kind_the_newest_question_waits() {
    let bench = Bench::demo();
    let mut socket = greeted(&bench).await;
    for id in 1..=20 {
        let rain = json!({"ask": "rain", "depth_mm": 20 + id, "hours": 6});
        say(&mut socket, &json!({"id": id, "ask": rain})).await;
    }
    let (mut dropped, mut answered) = (Vec::new(), Vec::new());
    while dropped.len() + answered.len() < 20 {
        let heard = hear(&mut socket).await.unwrap();
        let id = heard["id"].as_u64().unwrap();
        if heard["dropped"] == true { dropped.push(id) } else { answered.push(id) }
    }
    assert_eq!(answered.last(), Some(&20), "the last question is always answered");
    assert!(!dropped.is_empty() && answered.is_sorted(), "{answered:?} {dropped:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn every_window_hears_of_a_change() {
    let bench = Bench::demo();
    let mut sockets = [greeted(&bench).await, greeted(&bench).await];
    for (i, socket) in sockets.iter_mut().enumerate() {
        // An answer tells that the socket is in conversation and hears news.
        say(socket, &json!({"id": i, "ask": {"ask": "walk", "from": [24, 46], "length_m": 4}})).await;
        assert_eq!(hear(socket).await.unwrap()["id"], i);
    }
    let edit = json!({"do": "move_peg", "line": "low", "peg": 1, "x_m": 21, "y_m": 24});
    bench.post("/api/edit", &json!({"base_revision": 1, "edit": edit})).await;
    for socket in &mut sockets {
        let told = hear(socket).await.unwrap();
        assert_eq!((&told["event"], &told["revision"]), (&json!("changed"), &json!(2)));
    }
}
