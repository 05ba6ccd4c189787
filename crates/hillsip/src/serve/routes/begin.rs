//! The beginning of a site, in a folder that has none.

use axum::Json;
use axum::extract::State;
use folder::PLAN;
use schemars::JsonSchema;
use serde::Deserialize;

use super::edit::ChangedView;
use super::query::Body;
use crate::cmd::demo;
use crate::serve::app::{Shared, off_thread};
use crate::serve::trouble::Trouble;

/// What a site begins with.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(tag = "with", rename_all = "snake_case", deny_unknown_fields)]
pub enum BeginAsked {
    /// The example, to try things on.
    Example,
    /// A plan of one's own, with values to write over.
    Own {
        /// What the site is called.
        name: String,
    },
}

/// Begins the site.
pub async fn begin(
    State(app): State<Shared>,
    Body(asked): Body<BeginAsked>,
) -> Result<Json<ChangedView>, Trouble> {
    off_thread(&app, move |app| {
        let changed = match asked {
            BeginAsked::Example => app.desk.begin(demo::FILES, "began with the example")?,
            BeginAsked::Own { name } if name.trim().is_empty() => {
                return Err(Trouble::Bad("a site needs a name: it stands on every paper".to_owned()));
            }
            BeginAsked::Own { name } => {
                let plan = folder::starter(name.trim());
                app.desk.begin(&[(PLAN, plan.as_bytes())], "began a site")?
            }
        };
        Ok(Json(changed.into()))
    })
    .await
}
