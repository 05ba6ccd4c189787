//! Changes of the site.

use axum::Json;
use axum::extract::State;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::query::Body;
use crate::serve::app::{Shared, off_thread};
use crate::serve::desk::Changed;
use crate::serve::hand::Asked;
use crate::serve::trouble::Trouble;
use crate::serve::wire::site::SiteView;

/// A change that is asked for.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EditAsked {
    /// The revision of the site that the person saw.
    pub base_revision: u64,
    /// What to change.
    pub edit: Asked,
}

/// A step back, or again.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepAsked {
    /// The revision of the site that the person saw.
    pub base_revision: u64,
}

/// A change that was made.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChangedView {
    /// The revision that it made.
    pub revision: u64,
    /// What it did, and what went with it.
    pub says: String,
    /// The site after it.
    pub site: SiteView,
}

impl From<Changed> for ChangedView {
    fn from(changed: Changed) -> ChangedView {
        ChangedView { revision: changed.revision, says: changed.says, site: changed.site }
    }
}

/// Makes a change and saves it.
pub async fn edit(
    State(app): State<Shared>,
    Body(asked): Body<EditAsked>,
) -> Result<Json<ChangedView>, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let edit = asked.edit.as_edit(&held)?;
        app.desk.edit(asked.base_revision, &edit).map(|changed| Json(changed.into()))
    })
    .await
}

/// Takes the last change back.
pub async fn undo(
    State(app): State<Shared>,
    Body(asked): Body<StepAsked>,
) -> Result<Json<ChangedView>, Trouble> {
    off_thread(&app, move |app| app.desk.undo(asked.base_revision).map(|changed| Json(changed.into()))).await
}

/// Makes the change again that was taken back last.
pub async fn redo(
    State(app): State<Shared>,
    Body(asked): Body<StepAsked>,
) -> Result<Json<ChangedView>, Trouble> {
    off_thread(&app, move |app| app.desk.redo(asked.base_revision).map(|changed| Json(changed.into()))).await
}
