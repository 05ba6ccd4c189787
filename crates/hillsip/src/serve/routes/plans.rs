//! What follows from the layout: planting, digging, the year, the papers.

use axum::Json;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use design::{calendar, digging, planting};
use paper::{Subject, svg};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::query::Query;
use crate::serve::app::{Shared, off_thread};
use crate::serve::trouble::Trouble;

/// Who digs.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct HandsAsked {
    /// How many people, 1 to 100.
    pub people: u32,
    /// The days they have; as many as it takes where it is left out.
    pub days: Option<u32>,
}

impl Default for HandsAsked {
    fn default() -> HandsAsked {
        HandsAsked { people: 1, days: None }
    }
}

/// A paper that can be drawn.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PaperView {
    /// Its name, as it is asked for: `plan` for `plan.svg`.
    pub name: String,
    /// What is on it.
    pub title: String,
    /// Width of the paper.
    pub width_mm: f64,
    /// Its height.
    pub height_mm: f64,
}

/// Where each tree stands, and whether that suits it.
pub async fn planting(State(app): State<Shared>) -> Result<Json<planting::Answer>, Trouble> {
    off_thread(&app, |app| {
        let held = app.desk.held()?;
        Ok(Json(planting::planting(held.site(), held.layout(), &held.answers.sizes)))
    })
    .await
}

/// The order of work.
pub async fn digging(
    State(app): State<Shared>,
    Query(asked): Query<HandsAsked>,
) -> Result<Json<digging::Answer>, Trouble> {
    if !(1..=100).contains(&asked.people) || asked.days == Some(0) {
        return Err(Trouble::Bad("give 1 to 100 people, and a day or more".to_owned()));
    }
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let hands = digging::Hands { people: asked.people, days: asked.days };
        Ok(Json(digging::digging(held.site(), held.layout(), &held.answers.sizes, hands)))
    })
    .await
}

/// A year of work.
pub async fn calendar(State(app): State<Shared>) -> Result<Json<calendar::Answer>, Trouble> {
    off_thread(&app, |app| {
        let held = app.desk.held()?;
        Ok(Json(calendar::of_site(held.site())))
    })
    .await
}

/// The papers that can be drawn.
pub async fn papers(State(app): State<Shared>) -> Result<Json<Vec<PaperView>>, Trouble> {
    off_thread(&app, |app| {
        let held = app.desk.held()?;
        let papers = paper::papers(&Subject::new(held.site(), &held.answers));
        let view = |paper: paper::Paper| PaperView {
            name: paper.file,
            width_mm: paper.page.width_mm,
            height_mm: paper.page.height_mm,
            title: paper.page.title,
        };
        Ok(Json(papers.into_iter().map(view).collect()))
    })
    .await
}

/// One paper, as a drawing.
pub async fn paper(State(app): State<Shared>, Path(file): Path<String>) -> Result<Response, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let papers = paper::papers(&Subject::new(held.site(), &held.answers));
        let wanted = papers.into_iter().find(|paper| file.strip_suffix(".svg") == Some(paper.file.as_str()));
        let wanted = wanted.ok_or_else(|| Trouble::NotFound(format!("there is no paper \"{file}\"")))?;
        Ok(([(header::CONTENT_TYPE, "image/svg+xml")], svg::write(&wanted.page)).into_response())
    })
    .await
}
