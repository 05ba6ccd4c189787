//! Questions of rain and of drafts, asked of `design` for whoever asks.

use design::Answers;
use design::layout::Layout;
use design::rain_test::{self, Answer, Request, rain_test};
use design::storms::{DesignStorm, StormRequest, StormShape, WetBefore, storm};
use ground::Polyline;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use site::Site;

use super::trouble::Trouble;
use super::wire::rain::{self as view, RainView};

/// What the members of an ensemble are drawn by: the same question gives the same answer.
const SEED: u64 = 1;

/// A storm as a window asks for it; what is left out is the plan's.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct RainAsked {
    /// Rain of the whole storm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth_mm: Option<f64>,
    /// How long it lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
    /// In what order it falls.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shape: Option<ShapeAsked>,
    /// How wet the ground is before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wet_before: Option<WetAsked>,
    /// For ranges: how many draws of what is not known well, 1 to 1000; 50 where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub members: Option<usize>,
    /// For the animation: how many times, 2 to 400; 60 where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub times: Option<usize>,
}

/// In what order rain falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShapeAsked {
    /// Evenly.
    Even,
    /// In blocks round a peak.
    Blocks,
    /// USDA-SCS type I.
    ScsI,
    /// USDA-SCS type IA.
    ScsIa,
    /// USDA-SCS type II.
    ScsIi,
    /// USDA-SCS type III.
    ScsIii,
}

/// How wet the ground is before a storm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WetAsked {
    /// Dry.
    Dry,
    /// As usual.
    Usual,
    /// Wet.
    Wet,
}

impl From<ShapeAsked> for StormShape {
    fn from(asked: ShapeAsked) -> StormShape {
        match asked {
            ShapeAsked::Even => StormShape::Even,
            ShapeAsked::Blocks => StormShape::Blocks,
            ShapeAsked::ScsI => StormShape::ScsI,
            ShapeAsked::ScsIa => StormShape::ScsIa,
            ShapeAsked::ScsIi => StormShape::ScsIi,
            ShapeAsked::ScsIii => StormShape::ScsIii,
        }
    }
}

/// The storm that is asked for.
///
/// # Errors
/// It is no storm, or nothing tells its depth.
pub fn storm_of(site: &Site, asked: &RainAsked) -> Result<DesignStorm, Trouble> {
    let request = StormRequest {
        depth_mm: asked.depth_mm,
        hours: asked.hours,
        shape: asked.shape.map(StormShape::from),
        gauge: None,
        wet_before: match asked.wet_before {
            Some(WetAsked::Dry) => WetBefore::Dry,
            Some(WetAsked::Wet) => WetBefore::Wet,
            Some(WetAsked::Usual) | None => WetBefore::Usual,
        },
    };
    storm(site, &request).map_err(Trouble::refused)
}

/// What is asked of `design` about a storm.
pub fn request(storm: &DesignStorm, members: usize, snapshots_h: Vec<f64>) -> Request {
    Request { snapshots_h, ..Request::of(storm, members, SEED) }
}

/// A storm worked through.
///
/// # Errors
/// Something is not known that it needs.
pub fn worked(
    site: &Site,
    layout: &Layout,
    request: &Request,
    told: &(dyn Fn() + Sync),
) -> Result<Answer, Trouble> {
    rain_test(site, layout, request, told).map_err(|error: rain_test::RainTestError| Trouble::refused(error))
}

/// One run of a storm as it is shown.
///
/// # Errors
/// As [`storm_of`] and [`worked`].
pub fn rain(site: &Site, answers: &Answers, asked: &RainAsked) -> Result<RainView, Trouble> {
    let storm = storm_of(site, asked)?;
    let answer = worked(site, &answers.layout, &request(&storm, 1, Vec::new()), &|| ())?;
    Ok(shown(&answer, &storm, &answers.layout))
}

/// A worked storm as it is shown.
pub fn shown(answer: &Answer, storm: &DesignStorm, layout: &Layout) -> RainView {
    view::rain(answer, storm, &|line: &str| -> Option<Polyline> { layout.line(line)?.path.clone() })
}
