//! The site as it is.

use axum::Json;
use axum::extract::State;

use crate::serve::app::{Shared, off_thread};
use crate::serve::trouble::Trouble;
use crate::serve::wire::site::SiteView;

/// The site at its newest revision.
pub async fn site(State(app): State<Shared>) -> Result<Json<SiteView>, Trouble> {
    off_thread(&app, |app| Ok(Json(app.desk.view()))).await
}
