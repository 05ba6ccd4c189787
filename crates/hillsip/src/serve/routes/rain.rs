//! The next rain.

use axum::Json;
use axum::extract::State;
use design::rain_test::steps::steps as all_steps;
use quantity::figures::{fixed, significant};

use super::query::{Body, Query};
use crate::serve::app::{Shared, off_thread};
use crate::serve::jobs::JobView;
use crate::serve::trouble::Trouble;
use crate::serve::wire::rain::{FramesView, RainView, StormView, frames as frames_view};
use crate::serve::work::{self, RainAsked, request, shown, storm_of, worked};

/// Draws behind a range where none are asked for: enough to tell wide from narrow.
const MEMBERS: usize = 50;
/// Most that a window may ask for.
const MOST_MEMBERS: usize = 1000;
/// Times of an animation where none are asked for.
const TIMES: usize = 60;
/// Most that may be asked for.
const MOST_TIMES: usize = 400;
/// An animation goes on after the rain for as long again: then the water has mostly come to rest.
const FOLLOWED_TIMES: f64 = 2.0;

/// What one storm does, the plan as drawn.
pub async fn rain(
    State(app): State<Shared>,
    Query(asked): Query<RainAsked>,
) -> Result<Json<RainView>, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        work::rain(held.site(), &held.answers, &asked).map(Json)
    })
    .await
}

/// Storms to begin with: the plan's own, then what the official table or the record give.
pub async fn storms(State(app): State<Shared>) -> Result<Json<Vec<StormView>>, Trouble> {
    off_thread(&app, |app| {
        let held = app.desk.held()?;
        let design = &held.site().plan.rain.design;
        let says = format!(
            "{} mm in {} h, about once in {} years",
            fixed(design.depth_mm, 0),
            significant(design.hours, 3),
            significant(design.once_in_years, 3)
        );
        let own = StormView {
            name: "The design storm".to_owned(),
            depth_mm: design.depth_mm,
            hours: design.hours,
            shape: "blocks".to_owned(),
            says,
        };
        let by_table = [2.0, 10.0, 100.0].into_iter().filter_map(|years| {
            let depth = design::storms::design_depth_mm(held.site(), design.hours, years).ok()?;
            Some(StormView {
                name: format!("Once in {} years", fixed(years, 0)),
                depth_mm: depth.depth_mm.likely(),
                hours: design.hours,
                shape: "blocks".to_owned(),
                says: format!(
                    "{} mm in {} h",
                    fixed(depth.depth_mm.likely(), 0),
                    significant(design.hours, 3)
                ),
            })
        });
        Ok(Json(std::iter::once(own).chain(by_table).collect()))
    })
    .await
}

/// Water along every line at some times, for the animation.
pub async fn frames(
    State(app): State<Shared>,
    Query(asked): Query<RainAsked>,
) -> Result<Json<FramesView>, Trouble> {
    let times = asked.times.unwrap_or(TIMES);
    if !(2..=MOST_TIMES).contains(&times) {
        return Err(Trouble::Bad(format!("times = {times}: give 2 to {MOST_TIMES}")));
    }
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let storm = storm_of(held.site(), &asked)?;
        let step_h = FOLLOWED_TIMES * storm.hours / (times - 1) as f64;
        let at_h = (0..times).map(|i| i as f64 * step_h).collect();
        let answer = worked(held.site(), held.layout(), &request(&storm, 1, at_h), &|| ())?;
        Ok(Json(frames_view(&answer, &storm)))
    })
    .await
}

/// Begins the storm with what is not known well drawn many times; the answer is a `RainView` with its ranges.
pub async fn range(
    State(app): State<Shared>,
    Body(asked): Body<RainAsked>,
) -> Result<Json<JobView>, Trouble> {
    let members = asked.members.unwrap_or(MEMBERS);
    if !(1..=MOST_MEMBERS).contains(&members) {
        return Err(Trouble::Bad(format!("members = {members}: give 1 to {MOST_MEMBERS}")));
    }
    let held = app.desk.held()?;
    let storm = storm_of(held.site(), &asked)?;
    let job = app.jobs.begin(("rain-range", held.revision), members, move |progress| {
        let request = request(&storm, members, Vec::new());
        let answer = worked(held.site(), held.layout(), &request, &|| progress.step())?;
        json(&shown(&answer, &storm, held.layout()))
    });
    Ok(Json(job))
}

/// Begins to look for the rain at which each line first fills, spills and breaks out, and what a failing bank takes
/// along.
pub async fn steps(
    State(app): State<Shared>,
    Body(asked): Body<RainAsked>,
) -> Result<Json<JobView>, Trouble> {
    let held = app.desk.held()?;
    let storm = storm_of(held.site(), &asked)?;
    let parts = STEPS_RUNS * held.site().plan.lines.len();
    let job = app.jobs.begin(("rain-steps", held.revision), parts, move |progress| {
        let request = request(&storm, 1, Vec::new());
        let answer = all_steps(held.site(), held.layout(), &request, &|| progress.step());
        json(&answer.map_err(Trouble::refused)?)
    });
    Ok(Json(job))
}

/// Runs of the storm that the steps take for each line, about: halving from nothing to the deepest rain, and one for a
/// failing bank. Only the bar of progress rests on it.
const STEPS_RUNS: usize = 8;

fn json(answer: &impl serde::Serialize) -> Result<serde_json::Value, Trouble> {
    serde_json::to_value(answer).map_err(|_| Trouble::Broken("the answer could not be written down"))
}
