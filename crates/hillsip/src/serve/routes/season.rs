//! The trees through the years.

use axum::Json;
use axum::extract::State;
use design::season::{Request, season as live_through};
use schemars::JsonSchema;
use serde::Deserialize;

use super::query::Body;
use crate::serve::app::Shared;
use crate::serve::jobs::JobView;
use crate::serve::trouble::Trouble;

/// Draws where none are asked for: enough to tell wide from narrow, and done in seconds.
const MEMBERS: usize = 12;
/// Most that a window may ask for.
const MOST_MEMBERS: usize = 1000;
/// Most years that may be drawn.
const MOST_YEARS: u32 = 200;

/// Which seasons.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct SeasonAsked {
    /// So many years drawn by chance from the ordinary year instead of the record, 1 to 200.
    pub years: Option<u32>,
    /// How many draws of what is not known well, 1 to 1000; 12 where it is left out.
    pub members: Option<usize>,
    /// The most water that can be carried in a week, L; as much as is wanted where it is left out.
    pub litres_per_week: Option<f64>,
}

/// Begins to live through the years; the answer is a `SeasonAnswer`.
pub async fn season(
    State(app): State<Shared>,
    Body(asked): Body<SeasonAsked>,
) -> Result<Json<JobView>, Trouble> {
    let members = asked.members.unwrap_or(MEMBERS);
    if !(1..=MOST_MEMBERS).contains(&members) {
        return Err(Trouble::Bad(format!("members = {members}: give 1 to {MOST_MEMBERS}")));
    }
    if asked.years.is_some_and(|years| !(1..=MOST_YEARS).contains(&years)) {
        return Err(Trouble::Bad(format!("give 1 to {MOST_YEARS} years")));
    }
    if asked.litres_per_week.is_some_and(|litres| litres.is_nan() || litres < 1.0) {
        return Err(Trouble::Bad("give 1 L a week or more, or leave it out".to_owned()));
    }
    let held = app.desk.held()?;
    let request =
        Request { years: asked.years, members, litres_per_week: asked.litres_per_week, ..Request::default() };
    let job = app.jobs.begin(("season", held.revision), members, move |progress| {
        let answer = live_through(held.site(), held.layout(), &request, &|| progress.step());
        let answer = answer.map_err(Trouble::refused)?;
        serde_json::to_value(answer).map_err(|_| Trouble::Broken("the answer could not be written down"))
    });
    Ok(Json(job))
}
