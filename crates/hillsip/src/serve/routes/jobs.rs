//! Long works: how they stand, and stopping them.

use axum::Json;
use axum::extract::{Path, State};

use crate::serve::app::Shared;
use crate::serve::jobs::JobView;
use crate::serve::trouble::Trouble;

/// How a work stands, with its answer once it is done.
pub async fn job(State(app): State<Shared>, Path(id): Path<u64>) -> Result<Json<JobView>, Trouble> {
    app.jobs.view(id).map(Json)
}

/// Stops a work before its next part.
pub async fn cancel(State(app): State<Shared>, Path(id): Path<u64>) -> Result<Json<JobView>, Trouble> {
    app.jobs.cancel(id).map(Json)
}
