//! The field book and its photographs.

use axum::Json;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::Response;
use folder::field_book::{Entry, note_down};
use folder::photos;
use quantity::Day;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use site::{Plan, Seen, SeenAt, SeenKind, When, nearest};

use super::query::{Body, Query};
use crate::serve::app::{App, Shared, off_thread, random_hex};
use crate::serve::embedded::with_tag;
use crate::serve::trouble::Trouble;
use crate::serve::wire::field_book::{FieldBookView, SeenView, kinds};

/// Bytes of chance in the name of an entry: enough that two people on one day do not meet.
const NAME_BYTES: usize = 6;

/// Something seen that is to be written down.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeenAsked {
    /// What was seen.
    pub seen: SeenView,
    /// Whether it strikes out what was written under its id.
    #[serde(default)]
    pub struck: bool,
}

/// Of a photograph.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct PhotoAsked {
    /// The day it was taken, 2026-11-25.
    pub date: String,
}

/// A photograph that was kept.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PhotoKept {
    /// Its name, for the field book.
    pub photo: String,
}

/// What was seen.
pub async fn field_book(State(app): State<Shared>) -> Result<Json<FieldBookView>, Trouble> {
    off_thread(&app, |app| Ok(Json(view(app)?))).await
}

fn view(app: &App) -> Result<FieldBookView, Trouble> {
    let held = app.desk.held()?;
    let entries = held.site().measured.field_book.iter().map(SeenView::from).collect();
    Ok(FieldBookView { revision: held.revision, entries, kinds: kinds() })
}

/// Writes something down.
pub async fn write_down(
    State(app): State<Shared>,
    Body(asked): Body<SeenAsked>,
) -> Result<Json<FieldBookView>, Trouble> {
    off_thread(&app, move |app| {
        let entry = Entry { seen: seen(&asked.seen)?, struck: asked.struck };
        if !entry.struck {
            is_there(&app.desk.held()?.site().plan, &entry.seen.place)?;
        }
        let did = if entry.struck { "struck out" } else { "wrote down" };
        let says = format!("{did}: {} of {}", entry.seen.kind, entry.seen.when.day);
        app.desk.write_beside(|dir| Ok((note_down(dir, &[entry])?, says)))?;
        Ok(Json(view(app)?))
    })
    .await
}

/// What is meant by an entry as a window writes it.
fn seen(asked: &SeenView) -> Result<Seen, Trouble> {
    let at = match (asked.x_m, asked.y_m) {
        (Some(x_m), Some(y_m)) => Some([x_m, y_m]),
        (None, None) => None,
        _ => return Err(Trouble::Bad("give both x_m and y_m, or neither".to_owned())),
    };
    let when = When { day: day(&asked.date)?, minute: minute(&asked.time)? };
    let id = if asked.id.is_empty() {
        format!("{}-{}", when.day, random_hex(NAME_BYTES))
    } else {
        asked.id.clone()
    };
    Ok(Seen {
        id,
        when,
        kind: kind(&asked.kind)?,
        place: SeenAt {
            line: asked.line.clone(),
            chainage_m: asked.chainage_m,
            tree: asked.tree.clone(),
            at,
        },
        value: asked.value,
        note: asked.note.clone(),
        photo: asked.photo.clone(),
        who: asked.who.clone(),
    })
}

fn day(text: &str) -> Result<Day, Trouble> {
    Day::parse(text).ok_or_else(|| Trouble::Bad(format!("\"{text}\" is not a day: write it as 2026-11-25")))
}

fn minute(clock: &str) -> Result<Option<u16>, Trouble> {
    if clock.is_empty() {
        return Ok(None);
    }
    let bad = || Trouble::Bad(format!("\"{clock}\" is not a clock: write it as 14:05, or leave it out"));
    When::minute_of(clock).map(Some).ok_or_else(bad)
}

fn kind(text: &str) -> Result<SeenKind, Trouble> {
    let known: Vec<&str> = SeenKind::ALL.iter().map(|kind| kind.words()).collect();
    let found = SeenKind::ALL.iter().copied().find(|kind| kind.words() == text);
    found.ok_or_else(|| {
        Trouble::Bad(format!("\"{text}\" is no kind of thing seen: give one of {}", known.join(", ")))
    })
}

/// That the line and the tree are in the plan: a slip of the name would be lost to what learns from the book.
fn is_there(plan: &Plan, place: &SeenAt) -> Result<(), Trouble> {
    let lines = || plan.lines.iter().map(|line| line.name.as_str());
    let trees = || plan.trees.iter().map(|tree| tree.name.as_str());
    let missing = |what: &str, name: &str, near: Option<&str>| {
        let meant = near.map_or_else(String::new, |near| format!("; did you mean \"{near}\"?"));
        Err(Trouble::refused(format!("the plan has no {what} \"{name}\"{meant}")))
    };
    match (&place.line, &place.tree) {
        (Some(line), _) if !lines().any(|known| known == line) => {
            missing("line", line, nearest(line, lines()))
        }
        (_, Some(tree)) if !trees().any(|known| known == tree) => {
            missing("tree", tree, nearest(tree, trees()))
        }
        _ => Ok(()),
    }
}

/// Keeps a photograph.
pub async fn keep_photo(
    State(app): State<Shared>,
    Query(asked): Query<PhotoAsked>,
    body: Result<Bytes, BytesRejection>,
) -> Result<Json<PhotoKept>, Trouble> {
    let bytes = body.map_err(|_| {
        Trouble::TooLarge(format!(
            "a photograph may have {} MiB: make it smaller",
            photos::MOST_PHOTO_BYTES >> 20
        ))
    })?;
    off_thread(&app, move |app| {
        let day = day(&asked.date)?;
        let kept = photos::keep_photo(app.desk.dir(), day, &bytes);
        kept.map(|photo| Json(PhotoKept { photo })).map_err(|fault| Trouble::faults(vec![fault]))
    })
    .await
}

/// A photograph.
pub async fn photo(
    State(app): State<Shared>,
    Path(name): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Trouble> {
    off_thread(&app, move |app| {
        let none = |_| Trouble::NotFound(format!("there is no photograph \"{name}\""));
        let (kind, bytes) = photos::photo(app.desk.dir(), &name).map_err(none)?;
        Ok(with_tag(&headers, kind.media_type(), &bytes))
    })
    .await
}
