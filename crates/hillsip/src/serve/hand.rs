//! What a hand draws on the map, made an edit: names that are free, sections like those of the line drawn before, the
//! place where surplus goes.

use folder::edit::Edit;
use ground::Point;
use quantity::Slope;
use schemars::JsonSchema;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value;
use site::{Line, LineKind, Sill, Tree, Xy};

use super::held::Held;
use super::trouble::Trouble;
use design::layout::WayEnds;

/// A change of the site as a window asks for it: exactly what to write, or what a hand drew.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Asked {
    /// Drawn by hand.
    Drawn(Drawn),
    /// Exactly.
    Edit(Box<Edit>),
}

/// What a hand drew; what it leaves open is taken from the site.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "do", deny_unknown_fields)]
pub enum Drawn {
    /// A line walked from a place. It gets a free name, the section of the last line of its kind, and a swale a sill.
    #[serde(rename = "draw_line")]
    Line {
        /// swale, drain or chute.
        kind: LineKind,
        /// First peg, site metres.
        from: Xy,
        /// A place towards which it sets off.
        #[serde(default)]
        toward: Option<Xy>,
        /// How far to walk, m.
        length_m: f64,
        /// Fall: "level", "1:200", "1%".
        #[serde(default)]
        grade: Option<Slope>,
    },
    /// A sill on a line: as low as the line's others, leading where the ground leads.
    #[serde(rename = "draw_sill")]
    Sill {
        /// The line.
        line: String,
        /// Distance of its middle from the first peg.
        at_m: f64,
        /// Length of its crest.
        width_m: f64,
    },
    /// A tree, with a free name.
    #[serde(rename = "draw_tree")]
    Tree {
        /// Species, in plain words.
        species: String,
        /// The line it drinks from and where along it; or else a place.
        #[serde(default)]
        line: Option<String>,
        /// Where along that line.
        #[serde(default)]
        at_m: Option<f64>,
        /// How far downhill of the pegs.
        #[serde(default)]
        downhill_m: Option<f64>,
        /// East.
        #[serde(default)]
        x_m: Option<f64>,
        /// North.
        #[serde(default)]
        y_m: Option<f64>,
    },
}

/// Safe ground, as the plan names it.
const GROUND: &str = "ground";
/// Section of a first line, m: a spade's work, as in the example (`hillsip new`). Common practice, no source; the
/// sizes and findings judge it at once.
const FIRST: Section = Section { bed_width_m: 0.5, depth_m: 0.4, bank_height_m: 0.3 };
/// Crest of a first sill, m, and how far below the bank; as in the example.
const FIRST_SILL: (f64, f64) = (4.0, 0.15);

#[derive(Clone, Copy)]
struct Section {
    bed_width_m: f64,
    depth_m: f64,
    bank_height_m: f64,
}

impl<'de> Deserialize<'de> for Asked {
    /// By its `do`, so that what is wrong with it is told of the one that was meant.
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Asked, D::Error> {
        let asked = Value::deserialize(from)?;
        let is_drawn = asked["do"].as_str().is_some_and(|word| word.starts_with("draw_"));
        if is_drawn {
            serde_json::from_value(asked).map(Asked::Drawn).map_err(D::Error::custom)
        } else {
            serde_json::from_value(asked).map(|edit| Asked::Edit(Box::new(edit))).map_err(D::Error::custom)
        }
    }
}

impl Asked {
    /// The edit that is meant.
    ///
    /// # Errors
    /// The line it is about is not there.
    pub fn as_edit(&self, held: &Held) -> Result<Edit, Trouble> {
        match self {
            Asked::Edit(edit) => Ok((**edit).clone()),
            Asked::Drawn(Drawn::Line { kind, from, toward, length_m, grade }) => {
                let line = Line {
                    from: Some(*from),
                    toward: *toward,
                    length_m: Some(*length_m),
                    grade: *grade,
                    ..like_the_last(held, *kind, *from, *length_m)
                };
                Ok(Edit::AddLine { line })
            }
            Asked::Drawn(Drawn::Sill { line, at_m, width_m }) => sill(held, line, (*at_m, *width_m)),
            Asked::Drawn(Drawn::Tree { species, line, at_m, downhill_m, x_m, y_m }) => {
                let names = held.site().plan.trees.iter().map(|tree| tree.name.as_str());
                let initial = species.chars().next().map_or_else(String::new, |c| c.to_uppercase().collect());
                Ok(Edit::AddTree {
                    tree: Tree {
                        name: free(&initial, "", names),
                        species: species.clone(),
                        variety: None,
                        line: line.clone(),
                        at_m: *at_m,
                        spot: None,
                        downhill_m: *downhill_m,
                        x_m: *x_m,
                        y_m: *y_m,
                        planted: None,
                    },
                })
            }
        }
    }
}

/// The first free name: `F1`, `swale 3`.
fn free<'n>(word: &str, gap: &str, taken: impl Iterator<Item = &'n str>) -> String {
    let taken: Vec<&str> = taken.collect();
    let named = |number: usize| format!("{word}{gap}{number}");
    (1..).map(named).find(|name| !taken.contains(&name.as_str())).expect("one of endless numbers is free")
}

/// A line with the section of the last of its kind, a free name, and what a line of its kind needs.
fn like_the_last(held: &Held, kind: LineKind, from: Xy, length_m: f64) -> Line {
    let plan = &held.site().plan;
    let last = plan.lines.iter().rev().find(|line| line.kind == kind);
    let section = last.and_then(|line| {
        let (bed_width_m, depth_m, bank_height_m) = (line.bed_width_m?, line.depth_m?, line.bank_height_m?);
        Some(Section { bed_width_m, depth_m, bank_height_m })
    });
    let section = section.unwrap_or(FIRST);
    let leads_to = leads_to(held, Point::new(from[0], from[1]), None);
    let is_swale = kind == LineKind::Swale;
    Line {
        name: free(kind.words(), " ", plan.lines.iter().map(|line| line.name.as_str())),
        kind,
        pegs: None,
        from: None,
        toward: None,
        length_m: None,
        grade: None,
        tape: None,
        cross_slope: None,
        catchment_m2: None,
        bed_width_m: Some(section.bed_width_m),
        depth_m: Some(section.depth_m),
        cut_batter: None,
        ledge_m: None,
        bank_height_m: Some(section.bank_height_m),
        bank_top_m: None,
        bank_batter: None,
        lining: last.and_then(|line| line.lining),
        pipe_diameter_m: last.and_then(|line| line.pipe_diameter_m),
        to: (!is_swale).then(|| leads_to.clone()),
        sills: if is_swale { vec![first_sill(last, length_m, leads_to)] } else { Vec::new() },
    }
}

/// A sill at the start of a new swale, where the person who pegs begins.
fn first_sill(last: Option<&Line>, length_m: f64, to: String) -> Sill {
    let like = last.and_then(|line| line.sills.first());
    let (width_m, below_bank_m) = like.map_or(FIRST_SILL, |sill| (sill.width_m, sill.below_bank_m));
    let width_m = width_m.min(length_m);
    Sill {
        at_m: 0.5 * width_m,
        width_m,
        below_bank_m,
        to,
        landing: None,
        crest_breadth_m: None,
        on_firm_ground: None,
    }
}

fn sill(held: &Held, name: &str, (at_m, width_m): (f64, f64)) -> Result<Edit, Trouble> {
    let lines = &held.site().plan.lines;
    let index = lines.iter().position(|line| line.name == name);
    let index = index.ok_or_else(|| Trouble::refused(format!("the plan has no line \"{name}\"")))?;
    let at = held.layout().line(name).and_then(|laid| laid.path.as_ref()?.at(at_m));
    let below_bank_m = lines[index].sills.first().map_or(FIRST_SILL.1, |sill| sill.below_bank_m);
    let to = at.map_or_else(|| GROUND.to_owned(), |at| leads_to(held, at, Some(index)));
    Ok(Edit::AddSill {
        line: name.to_owned(),
        sill: Sill {
            at_m,
            width_m,
            below_bank_m,
            to,
            landing: None,
            crest_breadth_m: None,
            on_firm_ground: None,
        },
    })
}

/// The line that the ground leads water to from a place, but the one it comes from; or safe ground.
fn leads_to(held: &Held, from: Point, but: Option<usize>) -> String {
    let way = held.layout().water_ways.as_ref().and_then(|ways| ways.from(from));
    match way.map(|way| way.ends) {
        Some(WayEnds::Line(index)) if Some(index) != but => held.layout().lines[index].line.clone(),
        _ => GROUND.to_owned(),
    }
}
