//! The live socket: questions whose answer is wanted within the hand's movement, and news.
//!
//! A window sends `{token}` first, then `{id, ask}`. Of each kind of question only the newest waits: an older one that
//! was not begun is answered `{id, dropped: true}`. An answer is `{id, …}`, or `{id, error}` in words.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use axum::extract::State;
use axum::extract::ws::{Message, WebSocket, WebSocketUpgrade};
use axum::response::Response;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use tokio::sync::{broadcast, mpsc};
use tokio::task::spawn_blocking;

use super::app::{App, MOST_BYTES, Shared};
use super::guard::{OUR_FAULT, is_same};
use super::trouble::Trouble;

mod ask;
pub use ask::{Ask, DraftView, WalkView};

/// The first message.
#[derive(Deserialize)]
struct Hello {
    token: String,
}

/// A question.
#[derive(Deserialize)]
struct Question {
    id: u64,
    ask: Value,
}

/// Opens the socket.
pub async fn live(State(app): State<Shared>, upgrade: WebSocketUpgrade) -> Response {
    upgrade.max_message_size(MOST_BYTES).on_upgrade(move |socket| talk(app, socket))
}

/// Questions that wait, at most one of a kind; and which kinds are being answered.
#[derive(Default)]
struct Waiting {
    newest: BTreeMap<&'static str, (u64, Ask)>,
    busy: BTreeMap<&'static str, bool>,
}

async fn talk(app: Shared, mut socket: WebSocket) {
    if !greeted(&app, &mut socket).await {
        // Whoever it is learns nothing more.
        return;
    }
    let (out, mut answers) = mpsc::unbounded_channel::<String>();
    let waiting = Arc::new(Mutex::new(Waiting::default()));
    let mut news = app.news.subscribe();
    loop {
        tokio::select! {
            message = socket.recv() => match message {
                Some(Ok(Message::Text(text))) => take(&app, &waiting, &out, text.as_str()),
                Some(Ok(Message::Close(_)) | Err(_)) | None => return,
                Some(Ok(_)) => {}
            },
            Some(answer) = answers.recv() => {
                if socket.send(Message::Text(answer.into())).await.is_err() {
                    return;
                }
            }
            told = news.recv() => {
                let text = match told {
                    Ok(told) => to_text(&told),
                    // Missed some: the window is told to look at everything anew.
                    Err(broadcast::error::RecvError::Lagged(_)) => to_text(&json!({
                        "event": "changed", "revision": app.desk.view().revision, "says": "much happened at once"
                    })),
                    Err(broadcast::error::RecvError::Closed) => return,
                };
                if socket.send(Message::Text(text.into())).await.is_err() {
                    return;
                }
            }
        }
    }
}

async fn greeted(app: &App, socket: &mut WebSocket) -> bool {
    let Some(Ok(Message::Text(text))) = socket.recv().await else {
        return false;
    };
    let hello: Option<Hello> = serde_json::from_str(text.as_str()).ok();
    hello.is_some_and(|hello| is_same(hello.token.as_bytes(), app.token.as_bytes()))
}

fn to_text(told: &impl Serialize) -> String {
    serde_json::to_string(told).unwrap_or_default()
}

fn say_error(out: &mpsc::UnboundedSender<String>, id: u64, says: &str) {
    let _ = out.send(to_text(&json!({ "id": id, "error": says })));
}

/// Puts a question behind the one of its kind that is being answered.
fn take(app: &Shared, waiting: &Arc<Mutex<Waiting>>, out: &mpsc::UnboundedSender<String>, text: &str) {
    let question: Question = match serde_json::from_str(text) {
        Ok(question) => question,
        Err(error) => return say_error(out, 0, &format!("this is no question: {error}")),
    };
    let ask: Ask = match serde_json::from_value(question.ask) {
        Ok(ask) => ask,
        Err(error) => {
            return say_error(out, question.id, &format!("this question is not understood: {error}"));
        }
    };
    let kind = ask.kind();
    let mut held = waiting.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((older, _)) = held.newest.insert(kind, (question.id, ask)) {
        let _ = out.send(to_text(&json!({ "id": older, "dropped": true })));
    }
    if !held.busy.insert(kind, true).unwrap_or(false) {
        tokio::spawn(answer_all(Arc::clone(app), Arc::clone(waiting), out.clone(), kind));
    }
}

/// Answers the newest question of a kind until none waits.
async fn answer_all(
    app: Shared,
    waiting: Arc<Mutex<Waiting>>,
    out: mpsc::UnboundedSender<String>,
    kind: &'static str,
) {
    loop {
        let next = {
            let mut held = waiting.lock().unwrap_or_else(PoisonError::into_inner);
            let next = held.newest.remove(kind);
            if next.is_none() {
                held.busy.insert(kind, false);
            }
            next
        };
        let Some((id, ask)) = next else { return };
        let worker = Arc::clone(&app);
        let answered = spawn_blocking(move || ask.answer(&worker)).await.unwrap_or(Err(OUR_FAULT));
        let _ = match answered {
            Ok(Value::Object(mut keys)) => {
                keys.insert("id".to_owned(), json!(id));
                out.send(to_text(&keys))
            }
            Ok(other) => out.send(to_text(&json!({ "id": id, "answer": other }))),
            Err(trouble) => out.send(to_text(&said(id, &trouble))),
        };
    }
}

fn said(id: u64, trouble: &Trouble) -> Value {
    json!({ "id": id, "error": trouble.says() })
}
