//! Edits of `site.toml` by the app: each changes the few words it is about and leaves every other byte alone.
//!
//! The text is parsed for the places of its keys, and an edit is a handful of splices at those places. So remarks,
//! order, indentation and line ends are kept, and a person who has the file open in an editor recognises it. What
//! comes out is read again before it is handed on: an edit that would leave a plan with faults is refused with those
//! faults.
//!
//! Things are named as the person named them, never by their position, so that an edit made on an older state of
//! the file means the same on a newer one ([`Edit::touches`] tells whether it may be carried over).
//!
//! Leaves out: what needs to be computed, such as where a walked line runs; who asks gives such places with the edit.

mod draft;
mod lines;
mod refused;
mod set;
mod sills;
#[cfg(test)]
mod tests;
mod text;
mod things;
mod toml_words;
mod touches;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use site::{Barrier, KeepClear, Line, Plan, Sill, Soil, Source, Tree, Xy};

use crate::plan_file::read_plan;
use crate::{Fault, PLAN};
use draft::Draft;

pub use refused::EditError;
pub use touches::changed;

/// One change of the plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
pub enum Edit {
    /// A peg of a line of given pegs, or the first peg of a walked line, stands elsewhere.
    MovePeg {
        /// The line.
        line: String,
        /// Which peg, 1 for the first.
        peg: usize,
        /// East.
        x_m: f64,
        /// North.
        y_m: f64,
    },
    /// A walked line keeps the pegs it has now, as given places.
    FixPegs {
        /// The line.
        line: String,
        /// Where its pegs stand, in walking order.
        pegs: Vec<Xy>,
    },
    /// A new line.
    AddLine {
        /// The line.
        line: Line,
    },
    /// One line becomes two.
    CutLine {
        /// The line, which keeps the part from its first peg.
        line: String,
        /// Where to cut, m from the first peg.
        at_m: f64,
        /// Name of the part beyond.
        name: String,
        /// For a walked line: where the part beyond starts and towards what it goes.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        onward: Option<Onward>,
    },
    /// Two lines, one the continuation of the other, become one.
    JoinLines {
        /// The line that stays, with its first peg.
        line: String,
        /// The line that continues it and goes.
        with: String,
    },
    /// Something is taken out of the plan. What a removed line passed on goes where its own surplus went.
    Remove {
        /// Which kind of thing.
        what: Thing,
        /// Its name.
        name: String,
        /// For a line: the places of the trees that drink from it, so that they stay where they stand.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        trees: Vec<TreePlace>,
    },
    /// A thing gets another name, and what names it follows.
    Rename {
        /// Which kind of thing.
        what: Thing,
        /// Its name.
        name: String,
        /// Its new name.
        to: String,
    },
    /// A value is written, by its path: `["line", "top", "depth_m"]`, `["line", "top", "sill", "1", "width_m"]`,
    /// `["rain", "design", "depth_mm"]`. Members of lists go by their name, sills and other members without one by
    /// their number from 1.
    Set {
        /// Where.
        path: Vec<String>,
        /// What; null takes the key out.
        value: serde_json::Value,
    },
    /// A new sill.
    AddSill {
        /// The line.
        line: String,
        /// The sill.
        sill: Sill,
    },
    /// A sill moves along its line.
    MoveSill {
        /// The line.
        line: String,
        /// Which, 1 for the first in the file.
        sill: usize,
        /// Where its middle comes to lie, m from the first peg.
        at_m: f64,
    },
    /// A sill gets another crest.
    SizeSill {
        /// The line.
        line: String,
        /// Which, 1 for the first in the file.
        sill: usize,
        /// Length of its crest, m; as it was, where it is left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        width_m: Option<f64>,
        /// How far the crest lies below the settled bank, m; as it was, where it is left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        below_bank_m: Option<f64>,
    },
    /// A sill is taken out.
    RemoveSill {
        /// The line.
        line: String,
        /// Which, 1 for the first in the file.
        sill: usize,
    },
    /// A new source of water.
    AddSource {
        /// The source.
        source: Source,
    },
    /// A new soil.
    AddSoil {
        /// The soil.
        soil: Soil,
    },
    /// A new tree.
    AddTree {
        /// The tree.
        tree: Tree,
    },
    /// Several new trees at once.
    AddTrees {
        /// The trees.
        trees: Vec<Tree>,
    },
    /// A tree stands elsewhere: along its line, or at a place of its own.
    MoveTree {
        /// The tree.
        tree: String,
        /// To where.
        to: TreeSpot,
    },
    /// Something new that lines have to jump.
    AddBarrier {
        /// The barrier.
        barrier: Barrier,
    },
    /// Something new that water must keep away from.
    AddKeepClear {
        /// The place.
        keep_clear: KeepClear,
    },
}

/// A kind of thing that has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Thing {
    /// A swale, drain, chute or pipe.
    Line,
    /// A tree.
    Tree,
    /// A source of water.
    Source,
    /// A soil.
    Soil,
    /// A barrier.
    Barrier,
    /// Something to keep clear of.
    KeepClear,
}

/// How the part of a walked line beyond a cut goes on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Onward {
    /// Its first peg, site metres.
    pub from: Xy,
    /// A place towards which it sets off, site metres.
    pub toward: Xy,
}

/// Where a tree stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TreePlace {
    /// The tree.
    pub tree: String,
    /// East.
    pub x_m: f64,
    /// North.
    pub y_m: f64,
}

/// Where a tree is moved to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged, deny_unknown_fields)]
pub enum TreeSpot {
    /// Along a line.
    AtLine {
        /// The line it drinks from.
        line: String,
        /// Where along it, m from the first peg.
        at_m: f64,
        /// How far downhill of the pegs, m; as it was, where it is left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        downhill_m: Option<f64>,
    },
    /// At a place of its own.
    AtPlace {
        /// East.
        x_m: f64,
        /// North.
        y_m: f64,
    },
}

/// What an edit did, in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Said {
    /// In one sentence, without a full stop: moved peg 1 of "top" to 24, 60.
    pub says: String,
    /// What went with it, a sentence each: a sill that moved to the new line, a tree that was given a place.
    pub also: Vec<String>,
}

/// Applies an edit to the text of a plan, and says what it did.
///
/// # Errors
/// The text has faults already, the edit names what is not there, or the plan would have faults after it. The text
/// is then to be left as it is.
pub fn apply(text: &str, edit: &Edit) -> Result<(String, Said), EditError> {
    edited(text, edit).map(|edited| (edited.text, edited.said))
}

/// A plan after an edit.
#[derive(Debug, Clone, PartialEq)]
pub struct Edited {
    /// Its text.
    pub text: String,
    /// Its values.
    pub plan: Plan,
    /// What the edit did.
    pub said: Said,
}

/// As [`apply`], with the values of the plan that comes out.
///
/// # Errors
/// As [`apply`].
pub fn edited(text: &str, edit: &Edit) -> Result<Edited, EditError> {
    let before = read_plan(PLAN, text.as_bytes()).map_err(EditError::FaultsBefore)?;
    let mut draft = Draft::of(text, &before)?;
    let said = dispatch(&mut draft, edit)?;
    let text = draft.into_text();
    let plan = read_plan(PLAN, text.as_bytes()).map_err(EditError::Faults)?;
    Ok(Edited { text, plan, said })
}

fn dispatch(draft: &mut Draft, edit: &Edit) -> Result<Said, EditError> {
    match edit {
        Edit::MovePeg { line, peg, x_m, y_m } => lines::move_peg(draft, line, *peg, [*x_m, *y_m]),
        Edit::FixPegs { line, pegs } => lines::fix_pegs(draft, line, pegs),
        Edit::AddLine { line } => lines::add(draft, line),
        Edit::CutLine { line, at_m, name, onward } => {
            lines::cut(draft, line, &lines::Cut { at_m: *at_m, name, onward: *onward })
        }
        Edit::JoinLines { line, with } => lines::join(draft, line, with),
        Edit::Remove { what: Thing::Line, name, trees } => lines::remove(draft, name, trees),
        Edit::Remove { what, name, .. } => things::remove(draft, *what, name),
        Edit::Rename { what, name, to } => things::rename(draft, *what, name, to),
        Edit::Set { path, value } => set::set(draft, path, value),
        Edit::AddSill { line, sill } => sills::add(draft, line, sill),
        Edit::MoveSill { line, sill, at_m } => sills::move_to(draft, line, *sill, *at_m),
        Edit::SizeSill { line, sill, width_m, below_bank_m } => {
            sills::size(draft, line, *sill, (*width_m, *below_bank_m))
        }
        Edit::RemoveSill { line, sill } => sills::remove(draft, line, *sill),
        Edit::AddSource { source } => things::add(draft, Thing::Source, &source.name, source),
        Edit::AddSoil { soil } => things::add(draft, Thing::Soil, &soil.name, soil),
        Edit::AddTree { tree } => things::add(draft, Thing::Tree, &tree.name, tree),
        Edit::AddTrees { trees } => things::add_trees(draft, trees),
        Edit::MoveTree { tree, to } => things::move_tree(draft, tree, to),
        Edit::AddBarrier { barrier } => things::add(draft, Thing::Barrier, &barrier.name, barrier),
        Edit::AddKeepClear { keep_clear } => {
            things::add(draft, Thing::KeepClear, &keep_clear.name, keep_clear)
        }
    }
}

impl Thing {
    /// Every kind, in the order of the file.
    pub const ALL: [Thing; 6] =
        [Thing::Soil, Thing::Source, Thing::Line, Thing::Tree, Thing::Barrier, Thing::KeepClear];

    /// Its key in the file.
    pub const fn key(self) -> &'static str {
        match self {
            Thing::Line => "line",
            Thing::Tree => "tree",
            Thing::Source => "source",
            Thing::Soil => "soil",
            Thing::Barrier => "barrier",
            Thing::KeepClear => "keep_clear",
        }
    }

    /// What people call it.
    pub const fn words(self) -> &'static str {
        match self {
            Thing::KeepClear => "place to keep clear",
            other => other.key(),
        }
    }
}

impl Said {
    fn only(says: String) -> Said {
        Said { says, also: Vec::new() }
    }
}

impl From<Fault> for EditError {
    fn from(fault: Fault) -> EditError {
        EditError::Faults(vec![fault])
    }
}
