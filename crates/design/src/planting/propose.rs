//! Places along the lines for trees that are wanted.
//!
//! The thirstiest species are placed first, of equals the widest. Each tree goes to the swale that holds most water for
//! each tree that drinks from it, with this one; along it to the first place, from the first peg, where the grown crown
//! meets no other tree, fence, building or service, no other works, and no landing of a sill. On a swale it stands at the toe
//! where its roots bear the wet ground for as long as a full line takes to drain, at the slow end of the range; else on a
//! mound. Trench and bank are never proposed.
//!
//! A hollow where cold air gathers is left out: no ground within 15 m lies lower than it by more than 0.2 m (common practice, no
//! source). Everything proposed is a stake to look at after a rain, not a decision.
//!
//! Leaves out: how long the place is dry (a run through the seasons tells), pollination, shade, soil depth.

use ground::{Point, Surface};
use grove::planting_season::{MonthlyWater, PlantingMonths, planting_months};
use grove::spots::{SpotDays, spot_score};
use grove::trees::{self, NURSE, Species};
use quantity::Estimate;
use quantity::convert::m3_to_l;
use schemars::JsonSchema;
use serde::Serialize;
use site::{Line, LineKind, Plan, Site, Tree};

use super::{PlacedTree, Works, half_width_m, in_walking_order, kind, too_near};
use crate::digging::Grove;
use crate::layout::{LaidTree, Layout, beside};
use crate::section;
use crate::sizes;
use grove::spacing::{Spot, trunk_downhill_m};

/// Places along a line are looked at so far apart, m.
const STEP_M: f64 = 0.5;
/// A trunk stands at least so far from the ends of its line, and from the sides of a sill's landing, m. Common practice, no
/// source.
const CLEAR_M: f64 = 1.0;
/// How far round a place lower ground is looked for, m, and how much lower it is, m. Common practice, no source.
const COLD_RUNS_OFF_WITHIN_M: f64 = 15.0;
/// See [`COLD_RUNS_OFF_WITHIN_M`].
const COLD_RUNS_OFF_BELOW_M: f64 = 0.2;
/// Most trees of one kind that are placed at once.
pub const MOST_AT_ONCE: usize = 1000;

/// Trees that are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Species, by any of its names.
    pub species: String,
    /// Variety.
    pub variety: Option<String>,
    /// How many.
    pub count: usize,
}

/// Why nothing is proposed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProposeError {
    /// A species that no list holds.
    #[error("no list holds the species \"{written}\"{}", meant(nearest))]
    UnknownSpecies {
        /// As it was written.
        written: String,
        /// The nearest name that is known, if one is near.
        nearest: Option<&'static str>,
    },
    /// Nothing to plant along.
    #[error("the plan has no swale with known heights: lay one out first")]
    NoLine,
}

fn meant(nearest: &Option<&'static str>) -> String {
    match nearest {
        Some(name) => format!(": did you mean \"{name}\"?"),
        None => ": docs/trees.md names every one".to_owned(),
    }
}

/// What is proposed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Proposal {
    /// The new trees, in walking order.
    pub trees: Vec<PlacedTree>,
    /// Trees for which there is no place.
    pub no_room: Vec<NoRoom>,
    /// What planting the new trees takes.
    pub takes: Grove,
    /// When to plant them; empty where the plan has no `[climate]`.
    pub plant_in: Vec<PlantIn>,
    /// Nurse plants that live on the rain and through the cold of the plan's `[climate]`, in no order of worth; without
    /// one, all that are known.
    pub nurses: Vec<Nurse>,
    /// The new trees as the plan would hold them.
    #[serde(skip)]
    pub planned: Vec<Tree>,
}

/// Trees without a place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NoRoom {
    /// Species.
    pub species: String,
    /// How many.
    pub count: usize,
}

/// When to plant a species.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PlantIn {
    /// Species.
    pub species: &'static str,
    /// The best month, 1 is January.
    pub best_month: u8,
    /// Whether each month will do, January first.
    pub months_suit: [bool; 12],
}

/// A nurse plant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Nurse {
    /// Name.
    pub nurse_plant: &'static str,
    /// Botanical name.
    pub botanical: &'static str,
    /// What to know before planting it.
    pub cautions: Vec<&'static str>,
}

/// Places for the trees that are wanted.
///
/// # Errors
/// A species is not known, or there is no swale to plant along.
pub fn propose(
    site: &Site,
    layout: &Layout,
    sizes: &sizes::Answer,
    wanted: &[Wanted],
) -> Result<Proposal, ProposeError> {
    let mut queue = Vec::new();
    for wish in wanted {
        queue.push((known(&wish.species)?, wish));
    }
    let thirst_mm = |species: &Species| species.least_rain_mm.map_or(0.0, |rain| rain.low);
    queue.sort_by(|(a, _), (b, _)| {
        let width_m = |species: &Species| half_width_m(kind::of(species.name));
        thirst_mm(b).total_cmp(&thirst_mm(a)).then(width_m(b).total_cmp(&width_m(a)))
    });
    let works: Vec<Works> = (0..layout.lines.len()).map(|i| Works::of(site, layout, sizes, i)).collect();
    let holds = |works: &Works| works.sizes.kind == LineKind::Swale && works.sections.is_some();
    if !works.iter().any(holds) {
        return Err(ProposeError::NoLine);
    }
    let mut grove = Growing {
        works: &works,
        ground: site.ground.as_ref(),
        plan: site.plan.clone(),
        layout: Layout { lines: layout.lines.clone(), trees: layout.trees.clone(), water_ways: None },
    };
    let mut no_room = Vec::new();
    for (species, wish) in queue {
        let count = wish.count.min(MOST_AT_ONCE);
        let placed = (0..count).take_while(|_| grove.plant(species, wish)).count();
        if placed < wish.count {
            no_room.push(NoRoom { species: species.name.to_owned(), count: wish.count - placed });
        }
    }
    Ok(grove.told(site.plan.trees.len(), &sizes.spill_order, no_room))
}

/// The species of a name.
fn known(written: &str) -> Result<&'static Species, ProposeError> {
    trees::find(written).ok_or_else(|| ProposeError::UnknownSpecies {
        written: written.to_owned(),
        nearest: kind::nearest(written),
    })
}

/// The plan with the trees placed so far.
struct Growing<'a> {
    works: &'a [Works<'a>],
    ground: Option<&'a Surface>,
    plan: Plan,
    layout: Layout,
}

impl Growing<'_> {
    /// Places one tree; false where there is no room.
    fn plant(&mut self, species: &Species, wish: &Wanted) -> bool {
        let mut lines: Vec<(usize, f64)> =
            (0..self.works.len()).filter_map(|i| Some((i, self.litres_each(i)?))).collect();
        lines.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let Some((tree, at)) = lines.into_iter().find_map(|(line, _)| self.first_free(line, species)) else {
            return false;
        };
        self.stand(Tree { variety: wish.variety.clone(), ..tree }, at);
        true
    }

    /// Water that a swale holds for each tree on it, one more counted.
    fn litres_each(&self, line: usize) -> Option<f64> {
        let sizes = self.works[line].sizes;
        let holding = sizes.holding.as_ref().filter(|_| sizes.kind == LineKind::Swale)?;
        let drinking = self.plan.trees.iter().filter(|tree| tree.line.as_ref() == Some(&sizes.line)).count();
        Some(m3_to_l(holding.holds_m3) / (drinking + 1) as f64)
    }

    /// The first free place along a line for a species.
    fn first_free(&mut self, line: usize, species: &Species) -> Option<(Tree, Point)> {
        let works = &self.works[line];
        let spot = spot_for(species, works);
        let steps = ((works.sizes.length_m - 2.0 * CLEAR_M) / STEP_M).floor();
        for i in 0..=steps.max(-1.0) as i64 {
            let at_m = CLEAR_M + STEP_M * i as f64;
            if on_a_landing(&self.plan.lines[line], at_m) {
                continue;
            }
            let hand = works.sections.as_ref()?.at(at_m).hand;
            let Some(dug) = section::dug(&hand) else { continue };
            let downhill_m = trunk_downhill_m(spot, &dug);
            let Some(at) = beside(&self.layout.lines[line], at_m, downhill_m) else { continue };
            let tree = Tree {
                name: free_name(&self.plan, species),
                species: species.name.to_owned(),
                variety: None,
                line: Some(works.sizes.line.clone()),
                at_m: Some(at_m),
                spot: Some(spot),
                downhill_m: None,
                x_m: None,
                y_m: None,
                planted: None,
            };
            if self.is_free(&tree, at) {
                return Some((tree, at));
            }
        }
        None
    }

    /// Whether a tree has room at a place where cold air runs off.
    fn is_free(&mut self, tree: &Tree, at: Point) -> bool {
        if self.ground.is_some_and(|ground| holds_cold_air(ground, at)) {
            return false;
        }
        self.stand(tree.clone(), at);
        let last = self.plan.trees.len() - 1;
        let near = too_near(&self.plan, &self.layout, self.works, (last, at));
        self.plan.trees.pop();
        self.layout.trees.pop();
        near.is_empty()
    }

    fn stand(&mut self, tree: Tree, at: Point) {
        self.layout.trees.push(LaidTree {
            tree: tree.name.clone(),
            species: tree.species.clone(),
            line: tree.line.clone(),
            chainage_m: tree.at_m,
            downhill_m: tree.downhill_m,
            at: Some(at),
        });
        self.plan.trees.push(tree);
    }

    /// The proposal: the trees beyond the first so many are new.
    fn told(self, were: usize, spill_order: &[String], no_room: Vec<NoRoom>) -> Proposal {
        let planned: Vec<Tree> = self.plan.trees[were..].to_vec();
        let is_new = |placed: &PlacedTree| planned.iter().any(|tree| tree.name == placed.tree);
        let mut trees = in_walking_order(&self.plan, &self.layout, self.works, spill_order);
        trees.retain(is_new);
        for (i, tree) in trees.iter_mut().enumerate() {
            tree.stake = i + 1;
        }
        Proposal {
            trees,
            no_room,
            takes: crate::digging::grove::of(&planned.iter().collect::<Vec<_>>()),
            plant_in: plant_in(&self.plan, &planned),
            nurses: nurses(&self.plan),
            planned,
        }
    }
}

/// The toe where the roots bear the wet ground below a full line, else a mound.
fn spot_for(species: &Species, works: &Works) -> Spot {
    /// Hours of a day.
    const DAY_H: f64 = 24.0;
    let drain_down_h = works.sizes.holding.as_ref().and_then(|holding| holding.drain_down_h);
    let days = SpotDays {
        wet_run_days: drain_down_h.map_or(f64::INFINITY, |hours: Estimate| hours.high() / DAY_H),
        dry_days: 0.0,
        bank_width_m: 0.0,
    };
    if spot_score(species, Spot::Toe, &days).score_frac > 0.0 { Spot::Toe } else { Spot::Mound }
}

/// Whether water from a sill runs over a place.
fn on_a_landing(line: &Line, at_m: f64) -> bool {
    line.sills.iter().any(|sill| (at_m - sill.at_m).abs() < sill.width_m / 2.0 + CLEAR_M)
}

/// Whether no ground near by is lower, so that cold air stays.
fn holds_cold_air(ground: &Surface, at: Point) -> bool {
    let Some(z_m) = ground.z_m(at) else { return false };
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let ways = [(1.0, 0.0), (half, half), (0.0, 1.0), (-half, half)];
    let round = ways.into_iter().flat_map(|(x, y)| [(x, y), (-x, -y)]).map(|(x, y)| {
        ground.z_m(Point::new(at.x_m + COLD_RUNS_OFF_WITHIN_M * x, at.y_m + COLD_RUNS_OFF_WITHIN_M * y))
    });
    let round: Vec<Option<f64>> = round.collect();
    // Beyond what was measured the hill may fall away: that is no hollow.
    round.iter().all(|there| there.is_some_and(|there_z_m| there_z_m >= z_m - COLD_RUNS_OFF_BELOW_M))
}

/// Initial of the species and the first number that no tree bears.
fn free_name(plan: &Plan, species: &Species) -> String {
    let initial: String = species.name.chars().take(1).flat_map(char::to_uppercase).collect();
    let taken = |name: &String| plan.trees.iter().any(|tree| tree.name == *name);
    let named = (1..=plan.trees.len() + 1).map(|number| format!("{initial}{number}"));
    named.into_iter().find(|name| !taken(name)).unwrap_or(initial)
}

/// When to plant each species, in the order of the trees.
fn plant_in(plan: &Plan, planned: &[Tree]) -> Vec<PlantIn> {
    let climate = plan.climate.as_ref();
    let Some(water) = climate.and_then(|climate| {
        MonthlyWater::by_temperatures(
            climate.rain_mm,
            [climate.tmin_c, climate.tmax_c],
            plan.place.latitude_deg,
        )
    }) else {
        return Vec::new();
    };
    let mut told: Vec<PlantIn> = Vec::new();
    for species in planned.iter().filter_map(|tree| trees::find(&tree.species)) {
        if told.iter().all(|known| known.species != species.name) {
            let PlantingMonths { suits, best_month } =
                planting_months(species, &water, plan.place.latitude_deg);
            told.push(PlantIn { species: species.name, best_month, months_suit: suits });
        }
    }
    told
}

/// Nurse plants that bear the rain and the mean night of the coldest month, where these are known.
fn nurses(plan: &Plan) -> Vec<Nurse> {
    let bears = |species: &&Species| {
        plan.climate.as_ref().is_none_or(|climate| {
            let year_mm: f64 = climate.rain_mm.iter().sum();
            let coldest_c =
                climate.tmin_c.iter().copied().fold(f64::INFINITY, |a, b| if b < a { b } else { a });
            species.least_rain_mm.is_none_or(|least| least.low <= year_mm)
                && species.cold.rest_c.is_none_or(|kills| kills.high < coldest_c)
        })
    };
    let told = |species: &Species| Nurse {
        nurse_plant: species.name,
        botanical: species.botanical,
        cautions: species.cautions(),
    };
    NURSE.iter().filter(bears).map(told).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::lay_out;
    use crate::planting::Suits;
    use crate::trial;
    use proptest::prelude::*;
    use serde_json::{Value, json};

    /// A swale of 40 m along the hill of 10 %, its sill from 3 to 7 m.
    fn site(more: &Value) -> Site {
        let mut plan = json!({
            "soil": [{ "name": "hill", "texture": "loam" }],
            "line": [{
                "name": "swale", "kind": "swale", "pegs": [[10.0, 30.0], [50.0, 30.0]],
                "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
                "sill": [{ "at_m": 5.0, "width_m": 4.0, "below_bank_m": 0.15, "to": "ground" }],
            }],
        });
        for (key, value) in more.as_object().unwrap() {
            plan[key] = value.clone();
        }
        trial::on_the_hill(&plan)
    }

    fn proposed(site: &Site, wanted: &[(&str, usize)]) -> Result<Proposal, ProposeError> {
        let layout = lay_out(site);
        let sizes = sizes::sizes(site, &layout);
        let wish =
            |&(species, count): &(&str, usize)| Wanted { species: species.to_owned(), variety: None, count };
        propose(site, &layout, &sizes, &wanted.iter().map(wish).collect::<Vec<_>>())
    }

    /// Pomegranates grow 3 to 5 m wide, 4 likely: the first at 1 m, then clear of the landing from 2 to 8 m at 8 m, then
    /// every 4 m up to 36: nine in all (8, 12 … 36 are eight, and the one at 1 m).
    #[test]
    fn a_row_by_hand() {
        let proposal = proposed(&site(&json!({})), &[("pomegranate", 20)]).unwrap();
        let along: Vec<f64> = proposal.trees.iter().map(|tree| tree.chainage_m.unwrap()).collect();
        assert_eq!(along, [1.0, 8.0, 12.0, 16.0, 20.0, 24.0, 28.0, 32.0, 36.0]);
        assert_eq!(proposal.no_room, [NoRoom { species: "pomegranate".to_owned(), count: 11 }]);
        assert_eq!(proposal.takes.stakes, 9);
    }

    /// A fence that crosses at 20 m takes the places within 2 m of it.
    #[test]
    fn what_is_in_the_way_is_kept_from() {
        let fence = json!({ "barrier": [{ "name": "fence", "kind": "fence", "along": [[30.0, 0.0], [30.0, 60.0]] }] });
        let proposal = proposed(&site(&fence), &[("pomegranate", 9)]).unwrap();
        assert!(proposal.trees.iter().all(|tree| (tree.at_m.unwrap()[0] - 30.0).abs() >= 2.0));
        assert_eq!(proposal.trees.len(), 9, "12, 16 then 22 …");
    }

    #[test]
    fn a_species_that_is_not_known_is_refused_with_the_nearest() {
        let refused = proposed(&site(&json!({})), &[("pomgranate", 1)]).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "no list holds the species \"pomgranate\": did you mean \"pomegranate\"?"
        );
        let bare = trial::on_the_hill(&json!({}));
        assert_eq!(proposed(&bare, &[("fig", 1)]).unwrap_err(), ProposeError::NoLine);
    }

    /// A bowl keeps its cold air, a slope does not.
    #[test]
    fn cold_hollows_are_left_out() {
        let bowl = trial::on_ground(&json!({}), |at| {
            0.01 * ((at.x_m - 40.0) * (at.x_m - 40.0) + (at.y_m - 30.0) * (at.y_m - 30.0))
        });
        let here = Point::new(40.0, 30.0);
        assert!(holds_cold_air(bowl.ground.as_ref().unwrap(), here));
        assert!(!holds_cold_air(trial::on_the_hill(&json!({})).ground.as_ref().unwrap(), here));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(12))]
        /// Whatever is wanted: nothing is proposed that stands too near, unsuitably, or in a trench; every tree wanted is
        /// either placed or told to have no room; and asking for more of the same never places fewer.
        #[test]
        fn proposals_are_sound(figs in 0usize..6, olives in 0usize..6, guavas in 0usize..6) {
            let site = site(&json!({}));
            let wanted = [("fig", figs), ("olive", olives), ("guava", guavas)];
            let proposal = proposed(&site, &wanted).unwrap();
            for tree in &proposal.trees {
                prop_assert!(tree.too_near.is_empty(), "{tree:?}");
                prop_assert_eq!(tree.verdict.unwrap().suits, Suits::Yes);
            }
            let left: usize = proposal.no_room.iter().map(|none| none.count).sum();
            prop_assert_eq!(proposal.trees.len() + left, figs + olives + guavas);
        }
    }
}
