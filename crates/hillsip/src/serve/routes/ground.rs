//! The ground: pictures of it, and its height at a place.

use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue};
use axum::response::Response;
use ground::{Point, Surface};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::query::Query;
use crate::serve::app::{Shared, off_thread};
use crate::serve::embedded::with_tag;
use crate::serve::held::Held;
use crate::serve::trouble::Trouble;

/// What the binary answers are.
const BYTES: &str = "application/octet-stream";
/// Header that tells how far apart contours stand.
const INTERVAL: &str = "x-hillsip-interval-m";
/// Contours nearer than this show the raster, not the ground.
const LEAST_INTERVAL_M: f64 = 0.01;
/// And further apart than this nothing.
const MOST_INTERVAL_M: f64 = 1000.0;

/// How far apart.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct ContoursAsked {
    /// From one contour to the next; a set with too many corners for a map comes at a wider interval, told in the
    /// header `x-hillsip-interval-m`.
    pub interval_m: f64,
}

/// Where.
#[derive(Debug, Deserialize, JsonSchema)]
pub struct HeightAsked {
    /// East, site metres.
    pub x: f64,
    /// North, site metres.
    pub y: f64,
}

/// The ground at a place; all none where it was not measured.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HeightView {
    /// Height above the site datum.
    pub z_m: Option<f64>,
    /// Slope, rise over run.
    pub slope: Option<f64>,
    /// The way water takes from there.
    pub water_way: Vec<crate::serve::wire::Place>,
}

fn surface(held: &Held) -> Result<&Surface, Trouble> {
    let none =
        || Trouble::NotFound("the site has no ground: lines by tape have no map under them".to_owned());
    held.site().ground.as_ref().ok_or_else(none)
}

/// Light and shade.
pub async fn relief(State(app): State<Shared>, headers: HeaderMap) -> Result<Response, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        Ok(with_tag(&headers, BYTES, held.pictures.relief(surface(&held)?)))
    })
    .await
}

/// Contours.
pub async fn contours(
    State(app): State<Shared>,
    headers: HeaderMap,
    Query(asked): Query<ContoursAsked>,
) -> Result<Response, Trouble> {
    if !(LEAST_INTERVAL_M..=MOST_INTERVAL_M).contains(&asked.interval_m) {
        let says = format!("interval_m = {}: give {LEAST_INTERVAL_M} to {MOST_INTERVAL_M}", asked.interval_m);
        return Err(Trouble::Bad(says));
    }
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let set = held.pictures.contours(surface(&held)?, asked.interval_m);
        let mut answer = with_tag(&headers, BYTES, &set.bytes);
        if let Ok(interval_m) = HeaderValue::from_str(&set.interval_m.to_string()) {
            answer.headers_mut().insert(INTERVAL, interval_m);
        }
        Ok(answer)
    })
    .await
}

/// The ways in which water gathers on the ground as it is, without the works.
pub async fn flow(State(app): State<Shared>, headers: HeaderMap) -> Result<Response, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        Ok(with_tag(&headers, BYTES, held.pictures.flow(surface(&held)?)))
    })
    .await
}

/// Height, slope and the way of water at a place.
pub async fn height(
    State(app): State<Shared>,
    Query(asked): Query<HeightAsked>,
) -> Result<Json<HeightView>, Trouble> {
    off_thread(&app, move |app| {
        let held = app.desk.held()?;
        let ground = surface(&held)?;
        let at = Point::new(asked.x, asked.y);
        let way = held.layout().water_ways.as_ref().and_then(|ways| ways.from(at));
        Ok(Json(HeightView {
            z_m: ground.z_m(at),
            slope: ground.gradient(at).map(ground::Gradient::slope),
            water_way: way.map_or_else(Vec::new, |way| way.points.into_iter().map(Into::into).collect()),
        }))
    })
    .await
}
