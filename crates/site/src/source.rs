//! Sources: where water comes from, which lines pick it up, and how a seep answers past rain.

use quantity::{Estimate, Fraction};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Xy;
use crate::kinds::SourceKind;

/// Where water comes from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// What it is called.
    pub name: String,
    /// hillside, hard surface or seep.
    pub kind: SourceKind,
    /// The line that takes its water; for a hillside without it, whatever line the ground leads to. Where several
    /// lines pick it up, write [[source.pick_up]] instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub into: Option<String>,
    /// Where along that line the water arrives, m from the first peg. Without it spread over the line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5000.0))]
    pub at_m: Option<f64>,
    /// Area that sheds rain, m². For a hillside without it, read from the ground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 10_000_000.0))]
    pub area_m2: Option<f64>,
    /// The same as a ring of places, site metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<Vec<Xy>>,
    /// Curve number of the ground (30 to 100). For a hillside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 30.0, "maximum" = 100.0))]
    pub curve_number: Option<Estimate>,
    /// Rain that wets a hard surface before any runs off, mm. Without it 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 20.0))]
    pub first_wetting_mm: Option<f64>,
    /// Flow of a seep in the wet months, L/min; with `rises` what it gives when no rain has fallen for long.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000.0))]
    pub flow_l_min: Option<Estimate>,
    /// How a seep answers past rain. Without it its flow stays as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rises: Option<Rises>,
    /// Whether the water comes off a road that belongs to somebody else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub road_water: Option<bool>,
    /// Whether the owner of that road has agreed in writing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub consent: Option<bool>,
    /// The lines that pick up its water, where there are several, each with its share.
    #[serde(default, rename = "pick_up", skip_serializing_if = "Vec::is_empty")]
    pub pick_ups: Vec<PickUp>,
}

/// A line that picks up a share of a source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PickUp {
    /// The line.
    pub line: String,
    /// Where along it the water arrives, m from the first peg. Without it spread over the line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5000.0))]
    pub at_m: Option<f64>,
    /// Share of the source's water that it picks up. All shares of a source together are at most 1; what is left runs
    /// past the works.
    pub share_frac: Fraction,
}

/// How a seep answers past rain: a share of what sinks above it comes out later and falls off by halves.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rises {
    /// The source whose water sinks into the ground above it: of a hillside the rain that does not run off, of a hard
    /// surface or a seep what no line picks up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fed_by: Option<String>,
    /// Or the ground above it on which the rain falls, m².
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 10_000_000.0))]
    pub area_m2: Option<f64>,
    /// Share of that water which comes out here (0 to 1); the rest goes deeper or into the air.
    #[schemars(extend("minimum" = 0.0, "maximum" = 1.0))]
    pub share_frac: Estimate,
    /// Days from the rain to the rise.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 365.0))]
    pub delay_days: f64,
    /// Days in which what it gives above its steady flow falls to half.
    #[schemars(range(min = 0.1, max = 1000.0))]
    pub halves_in_days: f64,
}

/// Water of a source that one line picks up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PickedUp<'a> {
    /// The line.
    pub line: &'a str,
    /// Where along it.
    pub at_m: Option<f64>,
    /// Share of the source's water.
    pub share_frac: f64,
}

impl Source {
    /// The lines that pick up its water, as written by `into` or by `pick_up`.
    pub fn picked_up(&self) -> impl Iterator<Item = PickedUp<'_>> {
        let whole = self.into.iter().map(|line| PickedUp { line, at_m: self.at_m, share_frac: 1.0 });
        let shared = self.pick_ups.iter().map(|pick_up| PickedUp {
            line: &pick_up.line,
            at_m: pick_up.at_m,
            share_frac: pick_up.share_frac.get(),
        });
        whole.chain(shared)
    }

    /// What one line picks up of it.
    pub fn picked_up_by(&self, line: &str) -> impl Iterator<Item = PickedUp<'_>> {
        self.picked_up().filter(move |picked| picked.line == line)
    }

    /// Share of its water that no line picks up. A hillside that names no line sheds into whatever line the ground
    /// leads to, so nothing of it is left.
    pub fn left_frac(&self) -> f64 {
        let picked: f64 = self.picked_up().map(|picked| picked.share_frac).sum();
        let all_over = self.kind == SourceKind::Hillside && self.picked_up().next().is_none();
        if all_over || picked > 1.0 { 0.0 } else { 1.0 - picked }
    }
}
