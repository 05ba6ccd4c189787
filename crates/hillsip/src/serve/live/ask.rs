//! The questions of the live socket: a line walked before it is drawn, the next rain, and an edit before it is made.

use std::time::Instant;

use design::Answers;
use design::walking::{self, Asked as WalkAsked};
use ground::Point;
use quantity::Slope;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use site::{Site, Xy};

use crate::serve::app::App;
use crate::serve::hand::Asked;
use crate::serve::held::{at_once, is_large};
use crate::serve::trouble::Trouble;
use crate::serve::wire::rain::RainView;
use crate::serve::wire::site::{LineView, PathPlace, Shown};
use crate::serve::work::{self, RainAsked};

/// A question.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(tag = "ask", rename_all = "snake_case")]
pub enum Ask {
    /// A line walked over the ground and not kept. Answered with a `WalkView`.
    Walk {
        /// First peg.
        from: Xy,
        /// A place towards which it sets off.
        #[serde(default)]
        toward: Option<Xy>,
        /// Fall: "level", "1:200", "1%".
        #[serde(default)]
        grade: Option<Slope>,
        /// How far to walk.
        length_m: f64,
    },
    /// The next rain. Answered with a `RainView`.
    Rain {
        /// The storm.
        #[serde(flatten)]
        rain: RainAsked,
    },
    /// What an edit would make of the site. Answered with a `DraftView`.
    Drag {
        /// The edit.
        edit: Box<Asked>,
        /// The rain to let fall on it; none for no rain.
        #[serde(default)]
        rain: Option<RainAsked>,
        /// On a large ground: work out what drains to the lines too, however long it takes; asked when the hand rests.
        #[serde(default)]
        whole: bool,
    },
}

/// A line that was walked.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WalkView {
    /// Where it runs.
    pub path: Vec<PathPlace>,
    /// From the first peg to the last.
    pub length_m: f64,
    /// How far to either side the true line may lie at its end.
    pub band_m: Option<f64>,
    /// Fall from the first peg to the last.
    pub drop_m: f64,
    /// Steepest slope of the ground at its pegs, rise over run.
    pub steepest_slope: f64,
    /// Why the walk ended.
    pub stopped: Option<String>,
}

/// What an edit would make of the site.
#[derive(Debug, Serialize, JsonSchema)]
pub struct DraftView {
    /// The lines that would be others than they are.
    pub lines: Vec<LineView>,
    /// Whether what drains to the lines was worked out for the draft. If not, what rests on it (catchments, sill flows,
    /// findings, rain) is left out until it is asked for with `whole`.
    pub catchments_known: bool,
    /// The rain, if it was asked for and the catchments are known.
    pub rain: Option<RainView>,
    /// Why there is no rain, if something is missing for it.
    pub no_rain_because: Option<String>,
    /// How many findings would say stop.
    pub stop_findings: usize,
    /// How long the answer took here.
    pub took_ms: f64,
}

impl Ask {
    /// Its kind: of each the newest waits.
    pub fn kind(&self) -> &'static str {
        match self {
            Ask::Walk { .. } => "walk",
            Ask::Rain { .. } => "rain",
            // Where the line comes to run is there well before what the rain does to it: neither waits for the other.
            Ask::Drag { rain: None, .. } => "shape",
            Ask::Drag { .. } => "drag",
        }
    }

    /// Answers it.
    ///
    /// # Errors
    /// It cannot be answered, and why.
    pub fn answer(&self, app: &App) -> Result<Value, Trouble> {
        match self {
            Ask::Walk { from, toward, grade, length_m } => {
                let held = app.desk.held()?;
                let point = |xy: Xy| Point::new(xy[0], xy[1]);
                let asked = WalkAsked {
                    from: point(*from),
                    grade: grade.map_or(0.0, Slope::rise_run),
                    length_m: *length_m,
                    step_m: None,
                    toward: toward.map(point),
                };
                let answer = walking::walk(held.site(), &asked).map_err(Trouble::refused)?;
                json(&walk_view(&answer))
            }
            Ask::Rain { rain } => {
                let held = app.desk.held()?;
                json(&work::rain(held.site(), &held.answers, rain)?)
            }
            Ask::Drag { edit, rain, whole } => json(&draft(app, edit, rain.as_ref(), *whole)?),
        }
    }
}

fn json(view: &impl Serialize) -> Result<Value, Trouble> {
    serde_json::to_value(view).map_err(|_| Trouble::Broken("the answer could not be written down"))
}

fn walk_view(answer: &walking::Answer) -> WalkView {
    let place = |peg: &walking::Peg| PathPlace { x_m: peg.x_m, y_m: peg.y_m, chainage_m: peg.chainage_m };
    let (first, last) = (answer.pegs.first(), answer.pegs.last());
    WalkView {
        path: answer.pegs.iter().map(place).collect(),
        length_m: answer.length_m,
        band_m: last.and_then(|last| last.band_m),
        drop_m: first.zip(last).map_or(0.0, |(first, last)| first.z_m - last.z_m),
        steepest_slope: answer.steepest_slope,
        stopped: Some(answer.stopped_because.clone()),
    }
}

fn draft(app: &App, asked: &Asked, rain: Option<&RainAsked>, whole: bool) -> Result<DraftView, Trouble> {
    let began = Instant::now();
    let edit = asked.as_edit(&*app.desk.held()?)?;
    let (held, plan) = app.desk.draft(&edit)?;
    let site = Site { plan, ..held.site().clone() };
    let catchments_known = whole || !is_large(&site);
    let answers: Answers =
        if catchments_known { design::answer(&site) } else { at_once(&site, &held.answers) };
    let before = Shown { site: held.site(), answers: &held.answers }.lines();
    let lines: Vec<LineView> = Shown { site: &site, answers: &answers }
        .lines()
        .into_iter()
        .filter(|line| !before.contains(line))
        .collect();
    let rained = rain.filter(|_| catchments_known).map(|rain| work::rain(&site, &answers, rain));
    let (rain, no_rain_because) = match rained {
        Some(Ok(rain)) => (Some(rain), None),
        Some(Err(trouble)) => (None, Some(trouble.says().to_owned())),
        None => (None, None),
    };
    let stops = answers.findings.findings.iter().filter(|of| of.severity == design::findings::Severity::Stop);
    Ok(DraftView {
        lines,
        catchments_known,
        rain,
        no_rain_because,
        stop_findings: stops.count(),
        took_ms: 1000.0 * began.elapsed().as_secs_f64(),
    })
}
