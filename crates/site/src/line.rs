//! Lines: swales, drains, chutes and pipes, with their sills.

use quantity::Slope;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Xy;
use crate::kinds::{LineKind, Lining};

/// One line of the works. Where it runs is given in one of three ways: `pegs` (places), `from` (a start from
/// which it is walked over the ground) or `tape` (distances and heights, no places needed).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// What it is called on the papers. Other keys name it by this.
    pub name: String,
    /// swale, drain, chute or pipe.
    pub kind: LineKind,
    /// Where its pegs stand, in walking order: [[x, y], …], site metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pegs: Option<Vec<Xy>>,
    /// First peg of a line to be walked over the ground, site metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Xy>,
    /// A place towards which the walk sets off; without it uphill stays on the left hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub toward: Option<Xy>,
    /// How far to walk, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.5, max = 5000.0))]
    pub length_m: Option<f64>,
    /// Fall along the line: "level", "1:200", "1%". A swale is level unless said otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<Slope>,
    /// Distances along a tape and heights by the tool, where nothing else is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tape: Option<Vec<TapePeg>>,
    /// Slope of the ground across the line; needed with `tape`, else read from the ground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cross_slope: Option<Slope>,
    /// Ground that drains to the line, m²; needed with `tape`, else read from the ground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 10_000_000.0))]
    pub catchment_m2: Option<f64>,
    /// Width of the trench's bed, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.05, max = 10.0))]
    pub bed_width_m: Option<f64>,
    /// Depth of the trench below the ground at the pegs, which stand on its downhill lip, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 3.0))]
    pub depth_m: Option<f64>,
    /// Batter of the trench's sides, metres out for each metre up. Without it 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 6.0))]
    pub cut_batter: Option<f64>,
    /// Undisturbed ledge between the trench's lip and the bank, m. Without it 0.25.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5.0))]
    pub ledge_m: Option<f64>,
    /// Height of the settled bank above the ground at the pegs, m. 0 for a line without a bank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 3.0))]
    pub bank_height_m: Option<f64>,
    /// Width of the bank's top, m. Without it 0.3.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5.0))]
    pub bank_top_m: Option<f64>,
    /// Batter of the bank's faces, metres out for each metre up. Without it 2.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 6.0))]
    pub bank_batter: Option<f64>,
    /// What covers the bed: bare, sown, grass or rock. Without it bare.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lining: Option<Lining>,
    /// Inner width of a pipe, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.01, max = 2.0))]
    pub pipe_diameter_m: Option<f64>,
    /// What takes the water at the end of a drain, chute or pipe: the name of a line, or "ground" for safe
    /// ground. A swale ends closed; its water leaves over its sills.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    /// Where it is meant to spill.
    #[serde(default, rename = "sill", skip_serializing_if = "Vec::is_empty")]
    pub sills: Vec<Sill>,
}

/// A peg on a tape.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TapePeg {
    /// Distance along the line from its first peg, m.
    #[schemars(range(min = 0.0, max = 5000.0))]
    pub at_m: f64,
    /// Height of the ground there above the site datum, m.
    #[schemars(range(min = -500.0, max = 9000.0))]
    pub z_m: f64,
}

/// A level place where a line is meant to spill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sill {
    /// Distance of its middle along the line from the first peg, m.
    #[schemars(range(min = 0.0, max = 5000.0))]
    pub at_m: f64,
    /// Length of its level crest along the bank, m.
    #[schemars(range(min = 0.1, max = 100.0))]
    pub width_m: f64,
    /// How far its crest lies below the settled bank, m.
    #[schemars(range(min = 0.0, max = 2.0))]
    pub below_bank_m: f64,
    /// What takes the water: the name of a line, or "ground" for safe ground.
    pub to: String,
    /// What covers the landing below: bare, sown, grass or rock. Without it grass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub landing: Option<Lining>,
    /// Breadth of the crest along the flow, m. Without it the bank's top.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.05, max = 10.0))]
    pub crest_breadth_m: Option<f64>,
    /// Whether the sill stands on ground that was never dug. Without it unknown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_firm_ground: Option<bool>,
}
