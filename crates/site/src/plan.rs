//! `site.toml` as typed values.

use grove::spacing::Spot;
use quantity::{Estimate, Fraction, Slope};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kinds::{BarrierKind, JarTest, KeepClearKind, SoilTexture, ToolKind, WalkedHow};
use crate::{Climate, Line, Prices, Source, Xy};

/// The plan of a site: `site.toml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Hillsip site")]
pub struct Plan {
    /// What the site is called.
    pub name: String,
    /// Where in the world it lies.
    pub place: Place,
    /// What the ground is known from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ground: Option<GroundFiles>,
    /// What levels are set with.
    pub tool: Tool,
    /// The soils.
    #[serde(default, rename = "soil", skip_serializing_if = "Vec::is_empty")]
    pub soils: Vec<Soil>,
    /// The rain to be ready for.
    pub rain: Rain,
    /// The ordinary year, for drawing weather where there is no record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climate: Option<Climate>,
    /// Where water comes from.
    #[serde(default, rename = "source", skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<Source>,
    /// The works, in the order in which water meets them.
    #[serde(default, rename = "line", skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<Line>,
    /// The trees.
    #[serde(default, rename = "tree", skip_serializing_if = "Vec::is_empty")]
    pub trees: Vec<Tree>,
    /// What lines have to jump.
    #[serde(default, rename = "barrier", skip_serializing_if = "Vec::is_empty")]
    pub barriers: Vec<Barrier>,
    /// What water must keep away from.
    #[serde(default, rename = "keep_clear", skip_serializing_if = "Vec::is_empty")]
    pub keep_clears: Vec<KeepClear>,
    /// Opinions of licensed people that are on record.
    #[serde(default, rename = "opinion", skip_serializing_if = "Vec::is_empty")]
    pub opinions: Vec<Opinion>,
    /// What things cost here, for the shopping list.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prices: Option<Prices>,
}

/// Where the site lies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Latitude, degrees north; negative in the south.
    #[schemars(range(min = -90.0, max = 90.0))]
    pub latitude_deg: f64,
    /// Height above the sea, m.
    #[schemars(range(min = -500.0, max = 9000.0))]
    pub elevation_m: f64,
    /// Projected coordinate system of x and y, as an EPSG code such as "EPSG:25830". Without it x and y are
    /// site metres from a corner of your choice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crs: Option<String>,
    /// Where site metres lie on the map, for sites without `crs`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub anchor: Option<Anchor>,
}

/// A point known both in site metres and on the map.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Anchor {
    /// Longitude of the site's zero point, degrees east.
    #[schemars(range(min = -180.0, max = 180.0))]
    pub longitude_deg: f64,
    /// Latitude of the site's zero point, degrees north.
    #[schemars(range(min = -90.0, max = 90.0))]
    pub latitude_deg: f64,
    /// Bearing of the site's y axis, degrees clockwise from true north. 0 where y is north.
    #[serde(default)]
    #[schemars(range(min = -360.0, max = 360.0))]
    pub bearing_deg: f64,
}

/// What the ground is known from: one of a raster, points, or level books with places. Paths are relative to
/// the site folder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroundFiles {
    /// A raster of heights: GeoTIFF or ESRI ASCII grid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub raster: Option<String>,
    /// A table of points: x_m, y_m, z_m, and line for points of a breakline.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points: Option<String>,
    /// Level books; with `points` they give heights to points named in both.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub books: Vec<String>,
    /// How well heights are known, m, one standard error.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 50.0))]
    pub height_error_m: Option<f64>,
}

/// What levels are set with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tool {
    /// a-frame, hose, line level or level.
    pub kind: ToolKind,
    /// Distance between its feet or staffs, m.
    #[schemars(range(min = 0.2, max = 60.0))]
    pub step_m: f64,
    /// Random error of one step, mm, one standard error. Without it the tool's usual.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 200.0))]
    pub random_mm: Option<f64>,
    /// Constant error of one step, mm: what is left after calibration. Without it the tool's usual.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -200.0, max = 200.0))]
    pub bias_mm: Option<f64>,
    /// How an A-frame goes along: pivoted or carried. Without it carried, the worse of the two.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub walked: Option<WalkedHow>,
}

/// A soil.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Soil {
    /// What it is called.
    pub name: String,
    /// Texture by feel or jar.
    pub texture: SoilTexture,
    /// Rate at which water soaks in once the ground is wet, mm/h, as you think without the tests in soak/, which narrow
    /// it. Without it the texture's usual range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 5000.0))]
    pub soak_mm_h: Option<Estimate>,
    /// Depth to rock, pan or water, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 50.0))]
    pub depth_m: Option<f64>,
    /// What crumbs did in rain water: holds, slakes or clouds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jar_test: Option<JarTest>,
    /// Share of stones and gravel by volume, as seen on the face of a pit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gravel_frac: Option<Fraction>,
    /// Where it lies, as a ring of places, site metres. Without it everywhere no other soil is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<Vec<Xy>>,
}

/// The rain to be ready for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rain {
    /// The storm that sills must pass.
    pub design: DesignRain,
    /// The official table of depths: a CSV of durations and return periods.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub table: Option<String>,
    /// A daily record: a CSV with date and rain_mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub record: Option<String>,
}

/// One storm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DesignRain {
    /// Rain of the whole storm, mm.
    #[schemars(range(min = 0.1, max = 2000.0))]
    pub depth_mm: f64,
    /// How long it lasts, h.
    #[schemars(range(min = 0.05, max = 240.0))]
    pub hours: f64,
    /// How often it comes: once in so many years.
    #[schemars(range(min = 1.0, max = 1000.0))]
    pub once_in_years: f64,
    /// The most that falls in ten minutes of it, mm. Without it three times the storm's mean rate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.1, max = 200.0))]
    pub worst_ten_minutes_mm: Option<f64>,
}

/// A tree.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tree {
    /// What it is called.
    pub name: String,
    /// Species, in plain words: fig, almond, pomegranate …
    pub species: String,
    /// Variety.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub variety: Option<String>,
    /// The line it drinks from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// Where along that line it stands, m from the first peg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 5000.0))]
    pub at_m: Option<f64>,
    /// Where across the line it stands: trench, bank, toe, above (uphill of the trench) or mound. Without it at the toe
    /// of the bank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spot: Option<Spot>,
    /// How far downhill of the pegs it stands, m, in place of a spot; negative uphill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -50.0, max = 50.0))]
    pub downhill_m: Option<f64>,
    /// Where it stands, site metres east, for a tree that is not given by its line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub x_m: Option<f64>,
    /// Where it stands, site metres north.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub y_m: Option<f64>,
    /// Day of planting, "2026-11-20".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planted: Option<String>,
}

/// Something a line has to jump.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Barrier {
    /// What it is called.
    pub name: String,
    /// fence, rock, wall or hedge.
    pub kind: BarrierKind,
    /// Where it runs: [[x, y], …], site metres.
    pub along: Vec<Xy>,
}

/// Something water must keep away from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeepClear {
    /// What it is called.
    pub name: String,
    /// building, septic, well, boundary, road, service, steep drop or slip.
    pub kind: KeepClearKind,
    /// One place: [x, y], site metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Xy>,
    /// Where it runs, for a boundary, road, service or drop: [[x, y], …].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub along: Option<Vec<Xy>>,
    /// What it covers, for a building or field: a ring of places.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<Vec<Xy>>,
    /// Your local distance, m, where it differs from the usual.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 500.0))]
    pub distance_m: Option<f64>,
}

/// An opinion of a licensed person, on record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Opinion {
    /// What was asked: the code of the finding it answers, such as "ground-too-steep".
    pub about: String,
    /// Who gave it and in what capacity.
    pub by: String,
    /// Day it was given, "2026-11-20".
    pub date: String,
    /// The line it is about; without it the whole site.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// Steepest ground it allows, where it sets a limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub up_to: Option<Slope>,
}
