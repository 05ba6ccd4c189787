//! The field book as it is shown and written.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use site::{Seen, SeenKind};

/// The field book.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FieldBookView {
    /// The revision of the site that it belongs to.
    pub revision: u64,
    /// What holds, in the order in which it was first written down.
    pub entries: Vec<SeenView>,
    /// Kinds of things that can be seen.
    pub kinds: Vec<SeenKindView>,
}

/// A kind of thing that can be seen.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SeenKindView {
    /// As an entry names it.
    pub kind: String,
    /// Unit of its figure; none where it has no figure.
    pub unit: Option<String>,
}

/// One thing seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeenView {
    /// Tells it from all others. Left out, a new one is made.
    #[serde(default)]
    pub id: String,
    /// The day, 2026-11-25.
    pub date: String,
    /// The clock of the place, 14:05; empty where it is not known.
    #[serde(default)]
    pub time: String,
    /// What: rain, water edge, breakout …
    pub kind: String,
    /// At which line.
    #[serde(default)]
    pub line: Option<String>,
    /// How far along it.
    #[serde(default)]
    pub chainage_m: Option<f64>,
    /// Or at which place: east.
    #[serde(default)]
    pub x_m: Option<f64>,
    /// North.
    #[serde(default)]
    pub y_m: Option<f64>,
    /// Or at which tree.
    #[serde(default)]
    pub tree: Option<String>,
    /// The figure, in the unit of its kind.
    #[serde(default)]
    pub value: Option<f64>,
    /// In the words of who saw it.
    #[serde(default)]
    pub note: String,
    /// Name of a photograph.
    #[serde(default)]
    pub photo: Option<String>,
    /// Who saw it.
    #[serde(default)]
    pub who: Option<String>,
}

impl From<&Seen> for SeenView {
    fn from(seen: &Seen) -> SeenView {
        SeenView {
            id: seen.id.clone(),
            date: seen.when.day.to_string(),
            time: seen.when.clock(),
            kind: seen.kind.words().to_owned(),
            line: seen.place.line.clone(),
            chainage_m: seen.place.chainage_m,
            x_m: seen.place.at.map(|at| at[0]),
            y_m: seen.place.at.map(|at| at[1]),
            tree: seen.place.tree.clone(),
            value: seen.value,
            note: seen.note.clone(),
            photo: seen.photo.clone(),
            who: seen.who.clone(),
        }
    }
}

/// Kinds of things that can be seen.
pub fn kinds() -> Vec<SeenKindView> {
    let view = |kind: &SeenKind| SeenKindView {
        kind: kind.words().to_owned(),
        unit: kind.unit().map(str::to_owned),
    };
    SeenKind::ALL.iter().map(view).collect()
}
