//! The site: what is there, what is decided, what was seen.
//!
//! [`Plan`] is `site.toml` as typed values, with the unit of every number in its key. [`Site`] is the plan
//! together with what was measured: the ground, and levels along dug lines. [`check`] finds what no single
//! key can show: a sill beyond its line, water sent in a circle, a tree on no line.
//!
//! Must not know: how anything is computed or stored. The doc comments of the fields are the text of the
//! published JSON Schema and of `docs/site-folder.md`, so they speak to the person who writes the file.

mod check;
mod climate;
mod kinds;
mod line;
mod measured;
mod near;
mod plan;
mod prices;
mod seen;
mod source;

pub use check::{Fault, check};
pub use climate::Climate;
pub use kinds::{
    BarrierKind, JarTest, KeepClearKind, LineKind, Lining, SeenKind, SoilTexture, SourceKind, ToolKind,
    WalkedHow,
};
pub use line::{Line, Sill, TapePeg};
pub use measured::{
    DailyRain, DayOfRain, GaugeReading, Measured, RainDepths, SoakHole, SoakReading, SoakTest,
};
pub use near::nearest;
pub use plan::{
    Anchor, Barrier, DesignRain, GroundFiles, KeepClear, Opinion, Place, Plan, Rain, Soil, Tool, Tree,
};
pub use prices::Prices;
pub use quantity::Day;
pub use seen::{Seen, SeenAt, When};
pub use source::{PickUp, PickedUp, Rises, Source};

use std::collections::BTreeMap;

/// A place in site metres, as files write it: `[x, y]`.
pub type Xy = [f64; 2];

/// A site: the plan and what was measured for it.
#[derive(Debug, Clone)]
pub struct Site {
    /// What is decided.
    pub plan: Plan,
    /// The ground as measured; none where only tape and tool were at hand.
    pub ground: Option<ground::Surface>,
    /// Levels taken along lines that are dug, by the name of the line.
    pub dug: BTreeMap<String, Vec<DugLevel>>,
    /// What was measured of rain and of soaking.
    pub measured: Measured,
}

/// One place along a dug line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DugLevel {
    /// Distance along the line from its first peg.
    pub chainage_m: f64,
    /// Height of the bed above the site datum.
    pub bed_z_m: f64,
    /// Height of the bank's top above the site datum; none where there is no bank.
    pub bank_z_m: Option<f64>,
}
