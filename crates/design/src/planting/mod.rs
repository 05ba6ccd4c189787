//! Where each tree stands, whether that suits it, and what it will grow into.
//!
//! For every tree of the plan: its spot relative to its line (see [`Spot`]), its ground against the water when the line stands
//! full, whether its species bears that, and what lies within the width of its grown crown: other trees, buildings,
//! services, fences, other works. The list is in walking order, from the top line down and along each line, so that it serves
//! for setting the stakes.
//!
//! Half the grown width is the distance kept (common practice, no source: a crown neither leans on a wall nor over a
//! fence); a buried service is kept 0.6 m from, where spades go by hand only, and a septic field 3 m (10 ft, a
//! gardening page; another asks 15 m). Local rules on boundaries and trees come first.

mod kind;
mod propose;
mod spot;

use ground::{Point, Polyline};
use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use site::{KeepClear, KeepClearKind, LineKind, Plan, Site};

use crate::findings::distance_to_m;
use crate::layout::{LaidTree, Layout};
use crate::section::{self, SectionAt, Sections};
use crate::setback;
use crate::sizes::{self, LineSizes};
use kind::Kind;
use spot::Across;

pub use grove::spacing::Spot;
pub use kind::nearest as nearest_species;
pub use propose::{NoRoom, Nurse, PlantIn, Proposal, ProposeError, Wanted, propose};
pub use spot::{Suits, Verdict};

/// Least distance of a tree from a septic field: 10 ft, a gardening page; others ask more, or grass only.
const SEPTIC_M: f64 = 3.0;
/// Width taken for a species that the list does not hold, m. Common practice, no source.
const UNKNOWN_WIDTH_M: f64 = 4.0;

/// Every tree's place, in walking order.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "PlantingAnswer")]
pub struct Answer {
    /// The trees.
    pub trees: Vec<PlacedTree>,
}

/// One tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlacedTree {
    /// Number of its stake, in walking order.
    pub stake: usize,
    /// What it is called.
    pub tree: String,
    /// Species and, where the plan names one, variety.
    pub species: String,
    /// The line it drinks from.
    pub line: Option<String>,
    /// Where along that line.
    pub chainage_m: Option<f64>,
    /// How far downhill of the pegs; negative uphill.
    pub downhill_m: Option<f64>,
    /// East and north, where the site has places.
    pub at_m: Option<[f64; 2]>,
    /// Its spot; none without a line, or where the line's section is not known.
    pub spot: Option<Spot>,
    /// Ground there above the water when the line stands full.
    pub above_full_water_m: Option<f64>,
    /// Width of the grown crown; none for a species that is not in the list.
    pub width_m: Option<Estimate>,
    /// Whether the spot suits it; none where spot or species is not known.
    pub verdict: Option<Verdict>,
    /// What stands within its grown width.
    pub too_near: Vec<TooNear>,
}

/// Something nearer to a tree than it should be.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TooNear {
    /// What.
    pub thing: String,
    /// What kind of thing: "tree", "fence", "building" …
    pub kind: &'static str,
    /// How far off.
    pub distance_m: f64,
    /// How far it should be.
    pub asked_m: f64,
}

/// The trees' places, in walking order.
pub fn planting(site: &Site, layout: &Layout, sizes: &sizes::Answer) -> Answer {
    let works: Vec<Works> = (0..layout.lines.len()).map(|i| Works::of(site, layout, sizes, i)).collect();
    Answer { trees: in_walking_order(&site.plan, layout, &works, &sizes.spill_order) }
}

/// Every tree of the layout, from the top line down and along each line.
fn in_walking_order(
    plan: &Plan,
    layout: &Layout,
    works: &[Works],
    spill_order: &[String],
) -> Vec<PlacedTree> {
    let mut order: Vec<usize> = (0..layout.trees.len()).collect();
    let turn = |tree: &LaidTree| {
        let on = |name: &String| spill_order.iter().position(|line| line == name);
        tree.line.as_ref().and_then(on).unwrap_or(spill_order.len())
    };
    order.sort_by(|a, b| {
        let (a_tree, b_tree) = (&layout.trees[*a], &layout.trees[*b]);
        let along_m = |tree: &LaidTree| tree.chainage_m.unwrap_or(f64::INFINITY);
        turn(a_tree).cmp(&turn(b_tree)).then(along_m(a_tree).total_cmp(&along_m(b_tree))).then(a.cmp(b))
    });
    order.iter().enumerate().map(|(i, tree)| place(plan, layout, works, (i + 1, *tree))).collect()
}

/// A line as a tree sees it.
struct Works<'a> {
    sizes: &'a LineSizes,
    path: Option<&'a Polyline>,
    downhill_side: f64,
    sections: Option<Sections>,
}

impl<'a> Works<'a> {
    fn of(site: &Site, layout: &'a Layout, sizes: &'a sizes::Answer, i: usize) -> Works<'a> {
        let laid = &layout.lines[i];
        Works {
            sizes: &sizes.lines[i],
            path: laid.path.as_ref(),
            downhill_side: laid.pegs.first().map_or(1.0, |peg| peg.downhill_side),
            sections: section::sections(site, &site.plan.lines[i], laid).ok(),
        }
    }

    /// The section known nearest to a place along the line.
    fn nearest(&self, chainage_m: f64) -> Option<&SectionAt> {
        let apart_m = |place: &&SectionAt| (place.chainage_m - chainage_m).abs();
        self.sections.as_ref()?.places.iter().min_by(|a, b| apart_m(a).total_cmp(&apart_m(b)))
    }

    /// Where a place in plan lies across the line; none beyond its ends.
    fn across(&self, at: Point) -> Option<Across> {
        let on = self.path?.nearest(at);
        let off_its_end = on.chainage_m <= 0.0 || on.chainage_m >= self.path?.length_m();
        let section = self.nearest(on.chainage_m).filter(|_| !off_its_end)?;
        spot::across(&section.hand, self.downhill_side * on.offset_m)
    }
}

fn place(plan: &Plan, layout: &Layout, works: &[Works], (stake, i): (usize, usize)) -> PlacedTree {
    let (planned, laid) = (&plan.trees[i], &layout.trees[i]);
    let kind = kind::of(&planned.species);
    let line = laid.line.as_ref().and_then(|name| works.iter().find(|works| works.sizes.line == *name));
    let in_plan = line.and_then(|line| Some(line.downhill_side * line.path?.nearest(laid.at?).offset_m));
    // A line by tape lies nowhere in plan, and its trees stand beside it all the same.
    let downhill_m = in_plan.or(laid.downhill_m);
    let section = line.zip(laid.chainage_m).and_then(|(line, at_m)| line.nearest(at_m));
    let across =
        section.zip(downhill_m).and_then(|(section, m)| spot::across_of(&section.hand, m, planned.spot));
    let holding = line.and_then(|line| line.sizes.holding.as_ref());
    let full_z_m = holding.and_then(|holding| holding.spills_at_z_m);
    let above_full_water_m = across
        .zip(section)
        .zip(full_z_m)
        .map(|((across, section), full_z_m)| section.ground_z_m + across.above_peg_m - full_z_m);
    let drain_down_h = holding.and_then(|holding| holding.drain_down_h);
    let variety = planned.variety.as_ref().map_or_else(String::new, |variety| format!(" \"{variety}\""));
    PlacedTree {
        stake,
        tree: laid.tree.clone(),
        species: format!("{}{variety}", planned.species),
        line: laid.line.clone(),
        chainage_m: laid.chainage_m,
        downhill_m,
        at_m: laid.at.map(|at| [at.x_m, at.y_m]),
        spot: across.map(|across| across.spot),
        above_full_water_m,
        width_m: kind.and_then(|kind| kind.width_m),
        verdict: kind
            .zip(across)
            .map(|(kind, across)| spot::verdict(kind, across, above_full_water_m, drain_down_h)),
        too_near: laid.at.map_or_else(Vec::new, |at| too_near(plan, layout, works, (i, at))),
    }
}

/// Half of the grown width: the likely one.
fn half_width_m(kind: Option<Kind>) -> f64 {
    kind.and_then(|kind| kind.width_m).map_or(UNKNOWN_WIDTH_M, Estimate::likely) / 2.0
}

fn too_near(plan: &Plan, layout: &Layout, works: &[Works], (i, at): (usize, Point)) -> Vec<TooNear> {
    let half_m = half_width_m(kind::of(&plan.trees[i].species));
    let trees = other_trees(plan, layout, (i, at), half_m);
    let things = plan.keep_clears.iter().map(|thing| TooNear {
        thing: thing.name.clone(),
        kind: thing.kind.words(),
        distance_m: distance_to_m(thing, at),
        asked_m: asked_m(thing, half_m),
    });
    let barriers = plan.barriers.iter().filter_map(|barrier| {
        let along = Polyline::new(barrier.along.iter().map(|[x_m, y_m]| Point::new(*x_m, *y_m)).collect())?;
        let distance_m = along.nearest(at).offset_m.abs();
        Some(TooNear { thing: barrier.name.clone(), kind: barrier.kind.words(), distance_m, asked_m: half_m })
    });
    let mut near: Vec<TooNear> = trees
        .into_iter()
        .chain(things)
        .chain(barriers)
        .filter(|near| near.distance_m < near.asked_m)
        .collect();
    near.extend(in_other_works(layout, works, (i, at)));
    near
}

/// Trees with whose grown crown its own would meet, each named by both.
fn other_trees(plan: &Plan, layout: &Layout, (i, at): (usize, Point), half_m: f64) -> Vec<TooNear> {
    let others = layout.trees.iter().enumerate().filter(|(other, _)| *other != i);
    others
        .filter_map(|(other, laid)| {
            let their_half_m = half_width_m(kind::of(&plan.trees[other].species));
            Some(TooNear {
                thing: laid.tree.clone(),
                kind: "tree",
                distance_m: laid.at?.distance_m(at),
                asked_m: half_m + their_half_m,
            })
        })
        .collect()
}

/// How far a tree keeps from a thing.
fn asked_m(thing: &KeepClear, half_m: f64) -> f64 {
    let least_m = match thing.kind {
        KeepClearKind::Septic => SEPTIC_M,
        KeepClearKind::Service => setback::usual_m(KeepClearKind::Service),
        _ => 0.0,
    };
    if half_m > least_m { half_m } else { least_m }
}

/// Trenches and banks of lines other than its own in which it stands.
fn in_other_works(layout: &Layout, works: &[Works], (i, at): (usize, Point)) -> Vec<TooNear> {
    let own = layout.trees[i].line.as_ref();
    works
        .iter()
        .filter(|works| Some(&works.sizes.line) != own && works.sizes.kind != LineKind::Pipe)
        .filter(|works| works.across(at).is_some_and(|a| matches!(a.spot, Spot::Trench | Spot::Bank)))
        .map(|works| TooNear {
            thing: works.sizes.line.clone(),
            kind: works.sizes.kind.words(),
            distance_m: 0.0,
            asked_m: half_width_m(None),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::lay_out;
    use crate::trial;
    use serde_json::{Value, json};

    /// A swale from (10, 30) to (50, 30) on the plane hill, which falls to the south.
    fn placed(trees: &Value, more: &Value) -> Answer {
        let mut plan = json!({
            "soil": [{ "name": "hill", "texture": "loam" }],
            "line": [{
                "name": "swale", "kind": "swale", "pegs": [[10.0, 30.0], [50.0, 30.0]],
                "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
                "sill": [{ "at_m": 5.0, "width_m": 4.0, "below_bank_m": 0.15, "to": "ground" }],
            }],
            "tree": trees,
        });
        for (key, value) in more.as_object().unwrap() {
            plan[key] = value.clone();
        }
        let site = trial::on_the_hill(&plan);
        let layout = lay_out(&site);
        let sizes = sizes::sizes(&site, &layout);
        planting(&site, &layout, &sizes)
    }

    fn tree(name: &str, species: &str, at_m: f64, downhill_m: f64) -> Value {
        json!({ "name": name, "species": species, "line": "swale", "at_m": at_m, "downhill_m": downhill_m })
    }

    /// The bank stands on 10 %: from 0.25 (−0.025) its top at 0.3 is reached after 2 · 0.325 = 0.65, is 0.3 wide, and its
    /// outer face runs 2 · (0.3 + 0.12)/(1 − 0.2) = 1.05 m: its foot is 2.25 m downhill. The sill lies 0.15 above the pegs.
    #[test]
    fn a_tree_at_the_toe_by_hand() {
        let answer = placed(&json!([tree("F", "fig", 20.0, 2.5)]), &json!({}));
        let fig = &answer.trees[0];
        assert_eq!((fig.spot, fig.stake), (Some(Spot::Toe), 1));
        assert!((fig.downhill_m.unwrap() - 2.5).abs() < 1e-9);
        assert!((fig.above_full_water_m.unwrap() - (-0.25 - 0.15)).abs() < 1e-6);
        assert_eq!(fig.at_m, Some([30.0, 27.5]));
        assert!(fig.too_near.is_empty());
    }

    /// The same section: ledge 0.25 m, foot of the bank at 2.25 m. The toe is 0.5 m below the foot, a mound's middle 1 m,
    /// the middle of the bank halfway between 0.25 and 2.25. A mound lifts the roots by 0.3 m.
    #[test]
    fn spots_follow_the_section() {
        let at = |name: &str, at_m: f64, spot: &str| json!({ "name": name, "species": "fig", "line": "swale", "at_m": at_m, "spot": spot });
        let plain = json!({ "name": "plain", "species": "fig", "line": "swale", "at_m": 12.0 });
        let trees = json!([plain, at("b", 20.0, "bank"), at("m", 28.0, "mound"), at("a", 36.0, "above")]);
        let answer = placed(&trees, &json!({}));
        let found: Vec<Option<Spot>> = answer.trees.iter().map(|tree| tree.spot).collect();
        assert_eq!(found, [Spot::Toe, Spot::Bank, Spot::Mound, Spot::Above].map(Some));
        for (tree, downhill_m) in answer.trees.iter().zip([2.75, 1.25, 3.25]) {
            assert!((tree.downhill_m.unwrap() - downhill_m).abs() < 1e-9, "{tree:?}");
        }
        assert!((answer.trees[2].above_full_water_m.unwrap() - (-0.325 + 0.3 - 0.15)).abs() < 1e-6);
    }

    /// A line by tape lies nowhere in plan: its trees have their spot all the same, by the section of the line. Slope 10 %:
    /// the section above, so that the toe is 2.75 m downhill.
    #[test]
    fn trees_at_a_line_by_tape_have_their_spot() {
        let site = trial::by_tape(&json!({
            "soil": [{ "name": "hill", "texture": "loam" }],
            "line": [{ "name": "t", "kind": "swale", "cross_slope": "10%", "bed_width_m": 0.5, "depth_m": 0.3,
                "bank_height_m": 0.3, "tape": [{ "at_m": 0.0, "z_m": 10.0 }, { "at_m": 20.0, "z_m": 10.0 }],
                "sill": [{ "at_m": 5.0, "width_m": 4.0, "below_bank_m": 0.15, "to": "ground" }] }],
            "tree": [{ "name": "F", "species": "fig", "line": "t", "at_m": 12.0 }],
        }));
        let layout = lay_out(&site);
        let sizes = sizes::sizes(&site, &layout);
        let fig = &planting(&site, &layout, &sizes).trees[0];
        assert_eq!((fig.spot, fig.at_m), (Some(Spot::Toe), None));
        assert!((fig.downhill_m.unwrap() - 2.75).abs() < 1e-9, "{fig:?}");
        assert!((fig.above_full_water_m.unwrap() - (-0.275 - 0.15)).abs() < 1e-6, "{fig:?}");
    }

    #[test]
    fn stakes_are_in_walking_order() {
        let trees = json!([
            tree("late", "fig", 35.0, 2.5),
            tree("early", "fig", 8.0, 2.5),
            { "name": "alone", "species": "fig", "x_m": 70.0, "y_m": 50.0 },
        ]);
        let answer = placed(&trees, &json!({}));
        let order: Vec<(usize, &str)> = answer.trees.iter().map(|t| (t.stake, t.tree.as_str())).collect();
        assert_eq!(order, [(1, "early"), (2, "late"), (3, "alone")]);
        assert_eq!(answer.trees[2].spot, None);
    }

    /// Two trees of an unknown kind, taken as 4 m wide, 3.5 m apart; a third 4 m on.
    #[test]
    fn crowns_that_would_meet_are_named_by_both() {
        let trees = json!([
            tree("a", "dragon tree", 10.0, 2.5),
            tree("b", "dragon tree", 13.5, 2.5),
            tree("c", "dragon tree", 17.5, 2.5),
        ]);
        let answer = placed(&trees, &json!({}));
        let near: Vec<Vec<&str>> =
            answer.trees.iter().map(|t| t.too_near.iter().map(|n| n.thing.as_str()).collect()).collect();
        assert_eq!(near, [vec!["b"], vec!["a"], vec![]]);
        assert_eq!(answer.trees[0].verdict, None, "an unknown species is not judged");
    }

    /// A fence 1.9 m from a tree that grows 4 m wide, a pipe 2.1 m from it, and a septic field 2.9 m.
    #[test]
    fn things_within_the_grown_width() {
        let more = json!({
            "barrier": [{ "name": "fence", "kind": "fence", "along": [[0.0, 25.6], [60.0, 25.6]] }],
            "keep_clear": [
                { "name": "pipe", "kind": "service", "along": [[0.0, 25.4], [60.0, 25.4]] },
                { "name": "field", "kind": "septic", "along": [[0.0, 24.6], [60.0, 24.6]] },
            ],
        });
        let answer = placed(&json!([tree("a", "dragon tree", 20.0, 2.5)]), &more);
        let near: Vec<&str> = answer.trees[0].too_near.iter().map(|n| n.thing.as_str()).collect();
        assert_eq!(near, ["field", "fence"]);
    }

    /// A tree of its own on the bank of somebody else's line.
    #[test]
    fn standing_in_other_works_is_told() {
        let trees = json!([{ "name": "x", "species": "fig", "x_m": 30.0, "y_m": 29.0 }]);
        let answer = placed(&trees, &json!({}));
        assert_eq!(answer.trees[0].too_near[0].thing, "swale");
    }
}
