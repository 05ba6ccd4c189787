//! Other layouts, kept aside: compared with the plan, and adopted.

use axum::Json;
use axum::extract::{Path, State};
use design::compare;
use folder::{Loaded, alternative_bytes, alternatives, drop_alternative, keep_alternative, load_alternative};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::edit::ChangedView;
use super::query::{Body, Query};
use crate::serve::app::{App, Shared, off_thread};
use crate::serve::desk::kept_aside;
use crate::serve::trouble::Trouble;
use crate::serve::wire::site::{FaultView, LineView, Shown};
use crate::serve::work::{RainAsked, storm_of};

/// The layouts side by side.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AlternativesView {
    /// The revision of the plan that they are compared with.
    pub revision: u64,
    /// What each gives, the plan first.
    pub compared: compare::Answer,
    /// Layouts that cannot be read, and why.
    pub faulty: Vec<FaultyView>,
}

/// A layout that cannot be read.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FaultyView {
    /// What it is called.
    pub name: String,
    /// What is wrong with it.
    pub faults: Vec<FaultView>,
}

/// A name for the plan as it is.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeepAsked {
    /// 1 to 40 letters, digits, spaces and hyphens.
    pub name: String,
}

/// A layout that is to become the plan.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AdoptAsked {
    /// The revision of the site that the person saw.
    pub base_revision: u64,
    /// Under which name to keep what was the plan; none where it need not be kept aside.
    #[serde(default)]
    pub keep_as: Option<String>,
}

/// The plan and the layouts kept aside, in one storm.
pub async fn compared(
    State(app): State<Shared>,
    Query(asked): Query<RainAsked>,
) -> Result<Json<AlternativesView>, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let storm = storm_of(held.site(), &asked)?;
        let (read, faulty) = read_all(app, &held.loaded)?;
        let answers: Vec<design::Answers> =
            read.iter().map(|(_, loaded)| design::answer(&loaded.site)).collect();
        let aside =
            read.iter().zip(&answers).map(|((name, loaded), answers)| (name.as_str(), &loaded.site, answers));
        let layouts: Vec<_> = std::iter::once(("", held.site(), &held.answers)).chain(aside).collect();
        let compared = compare::compare(&layouts, &storm);
        Ok(Json(AlternativesView { revision: held.revision, compared, faulty }))
    })
    .await
}

type Read = (Vec<(String, Loaded)>, Vec<FaultyView>);

fn read_all(app: &App, present: &Loaded) -> Result<Read, Trouble> {
    let mut read: Read = (Vec::new(), Vec::new());
    for name in names(app)? {
        match load_alternative(app.desk.dir(), &name, Some(present)) {
            Ok(loaded) => read.0.push((name, loaded)),
            Err(faults) => {
                read.1.push(FaultyView { name, faults: faults.iter().map(FaultView::from).collect() });
            }
        }
    }
    Ok(read)
}

fn names(app: &App) -> Result<Vec<String>, Trouble> {
    alternatives(app.desk.dir()).map_err(|fault| Trouble::faults(vec![fault]))
}

/// Keeps the plan aside.
pub async fn keep(
    State(app): State<Shared>,
    Body(asked): Body<KeepAsked>,
) -> Result<Json<Vec<String>>, Trouble> {
    off_thread(&app, move |app| {
        keep_as(app, &asked.name)?;
        Ok(Json(names(app)?))
    })
    .await
}

fn keep_as(app: &App, name: &str) -> Result<(), Trouble> {
    let held = app.desk.held()?;
    app.desk.write_beside(|dir| {
        let kept = keep_alternative(dir, name, held.text.as_bytes());
        kept.map(|()| ((), kept_aside(name))).map_err(|fault| vec![fault])
    })
}

/// The lines of a layout.
pub async fn lines(
    State(app): State<Shared>,
    Path(name): Path<String>,
) -> Result<Json<Vec<LineView>>, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let loaded = load_alternative(app.desk.dir(), &name, Some(&held.loaded)).map_err(Trouble::faults)?;
        let answers = design::answer(&loaded.site);
        Ok(Json(Shown { site: &loaded.site, answers: &answers }.lines()))
    })
    .await
}

/// Drops a layout.
pub async fn drop_one(
    State(app): State<Shared>,
    Path(name): Path<String>,
) -> Result<Json<Vec<String>>, Trouble> {
    off_thread(&app, move |app| {
        let says = format!("dropped the layout \"{name}\"");
        app.desk.write_beside(|dir| {
            drop_alternative(dir, &name).map(|()| ((), says)).map_err(|fault| vec![fault])
        })?;
        Ok(Json(names(app)?))
    })
    .await
}

/// Makes a layout the plan.
pub async fn adopt(
    State(app): State<Shared>,
    Path(name): Path<String>,
    Body(asked): Body<AdoptAsked>,
) -> Result<Json<ChangedView>, Trouble> {
    off_thread(&app, move |app| {
        let one = |fault| Trouble::faults(vec![fault]);
        let bytes = alternative_bytes(app.desk.dir(), &name).map_err(one)?;
        // Faults are told of its own file, before anything is written.
        let held = app.desk.held()?;
        load_alternative(app.desk.dir(), &name, Some(&held.loaded)).map_err(Trouble::faults)?;
        let text =
            String::from_utf8(bytes).map_err(|_| Trouble::refused("the layout is not written in UTF-8"))?;
        let says = format!("adopted the layout \"{name}\"");
        let changed = app.desk.become_text(asked.base_revision, text, says, asked.keep_as.as_deref())?;
        Ok(Json(changed.into()))
    })
    .await
}
