//! The trees as the run takes them: species, ground, day of planting, and the strip of wet ground they share.
//!
//! What soaks in along a line wets a strip of ground: from 0.3 m above the trench's uphill edge to some way below the
//! foot of the bank. How far below nobody knows who has not dug after a rain: from a metre short of the foot to 2.5 m
//! beyond it, likely half a metre beyond (assumed, no source; growers plant at the toe because it is wet there). Within
//! the strip the water is taken as even. A tree gets the share of the strip that its roots have reached
//! ([`grove::roots::shared_with_strip_m2`]).
//!
//! Each tree stands in ground that is mulched over and weeded as far as its roots reach. Soil as its texture has it
//! (Saxton and Rawls 2006) with stones by volume; the water it holds is drawn within FAO-56, table 19, where that has the
//! texture, else a fifth less to a fifth more (assumed). It passes water down as fast as it soaks.

use grove::soil_water::{Grains, SoilWater, typical};
use grove::trees::{self, Setting, Species, tree_ground};
use grove::water_balance::TreeGround;
use quantity::{Day, Estimate};
use site::{Site, Soil, nearest};

use super::answer::LeftOut;
use crate::layout::Layout;
use crate::planting::{self, PlacedTree, Spot};
use crate::rain_test::daily::DailyWorks;
use crate::section::{self, hand_section};
use crate::soil;

/// Wet ground above the uphill edge of the trench, m. Assumed, no source.
const SPREADS_UPHILL_M: f64 = 0.3;
/// Wet ground below the foot of the bank, m: low, likely, high. Assumed, no source.
const SPREADS_BELOW_FOOT_M: [f64; 3] = [-1.0, 0.5, 2.5];
/// Narrowest strip below the pegs, m: a bank may be narrower than a metre.
const LEAST_BELOW_PEG_M: f64 = 0.3;
/// Where no table has the texture, the water a soil holds may be this much off. Assumed.
const HELD_OFF_FRAC: f64 = 0.2;
/// Depth of soil where nobody dug, m. Assumed.
const USUAL_SOIL_DEPTH_M: f64 = 1.0;
/// Least distance that counts between trees, m: roots need some ground.
const LEAST_SPACING_M: f64 = 0.8;
/// Distance to a neighbour where a tree stands alone, m. Common practice, no source.
const ALONE_M: f64 = 6.0;
/// Least water content at the wilting point that a draw may come to.
const LEAST_WILTING_FRAC: f64 = 0.01;

/// A tree of the run.
#[derive(Debug, Clone)]
pub(super) struct TreeSpot<'a> {
    /// Its place in walking order.
    pub stake: usize,
    pub species: &'static Species,
    pub soil: &'a Soil,
    pub soak_mm_h: f64,
    pub spacing_m: f64,
    pub planned_day: Option<Day>,
    pub at_line: Option<AtLine>,
    pub placed: PlacedTree,
}

/// A tree beside a line.
#[derive(Debug, Clone)]
pub(super) struct AtLine {
    /// Its line among those of the daily chain.
    pub line: usize,
    pub chainage_m: f64,
    pub downhill_m: f64,
    /// Uphill edge of the trench and foot of the bank, m downhill of the pegs.
    pub uphill_edge_m: f64,
    pub foot_m: f64,
    /// Water in the line over which it stands over the tree's ground; none where it never does.
    pub stands_over_m3: Option<f64>,
}

impl AtLine {
    /// The wet strip, m downhill of the pegs, where water spreads so far of what is possible.
    pub(super) fn strip_m(&self, spreads_m: f64) -> [f64; 2] {
        let below_m = self.foot_m + spreads_m;
        [
            self.uphill_edge_m - SPREADS_UPHILL_M,
            if below_m > LEAST_BELOW_PEG_M { below_m } else { LEAST_BELOW_PEG_M },
        ]
    }
}

/// How far water spreads below the foot of a bank.
pub(super) fn spreads_m() -> Estimate {
    let [low, likely, high] = SPREADS_BELOW_FOOT_M;
    Estimate::new(low, likely, high).expect("the three rise")
}

/// The trees of a plan that can be run, and why the others cannot.
pub(super) fn spots<'a>(
    site: &'a Site,
    layout: &Layout,
    planting: &planting::Answer,
    daily: &DailyWorks,
) -> (Vec<TreeSpot<'a>>, Vec<LeftOut>) {
    let mut spots = Vec::new();
    let mut left_out = Vec::new();
    for index in 0..site.plan.trees.len() {
        match spot(site, layout, planting, daily, index) {
            Ok(spot) => spots.push(spot),
            Err(because) => left_out.push(LeftOut { tree: site.plan.trees[index].name.clone(), because }),
        }
    }
    (spots, left_out)
}

fn spot<'a>(
    site: &'a Site,
    layout: &Layout,
    planting: &planting::Answer,
    daily: &DailyWorks,
    index: usize,
) -> Result<TreeSpot<'a>, String> {
    let planned = &site.plan.trees[index];
    let species = trees::find(&planned.species).ok_or_else(|| unknown(&planned.species))?;
    let laid_line = layout.trees[index].line.as_ref().and_then(|name| layout.line(name));
    let everywhere = || site.plan.soils.iter().find(|soil| soil.area.is_none());
    let soil = laid_line.and_then(|laid| soil::soil_of(site, laid)).or_else(everywhere);
    let soil = soil.ok_or("nothing is known of its soil: add a [[soil]] with at least its texture")?;
    let placed = planting.trees.iter().find(|placed| placed.tree == planned.name);
    let placed = placed.ok_or("it stands nowhere")?.clone();
    Ok(TreeSpot {
        stake: placed.stake,
        species,
        soil,
        soak_mm_h: soil::soak_rate(site, soil).soak_mm_h.likely(),
        spacing_m: spacing_m(layout, index),
        planned_day: planned.planted.as_deref().and_then(Day::parse),
        at_line: at_line(site, layout, daily, &placed),
        placed,
    })
}

fn unknown(species: &str) -> String {
    let known = trees::all().flat_map(Species::names);
    match nearest(species, known) {
        Some(near) => format!("no list holds the species \"{species}\"; did you mean \"{near}\"?"),
        None => format!(
            "no list holds the species \"{species}\": write one that docs/trees.md names and that lives like it"
        ),
    }
}

/// Distance to the nearest tree.
fn spacing_m(layout: &Layout, index: usize) -> f64 {
    let here = layout.trees[index].at;
    let others = layout.trees.iter().enumerate().filter(|(other, _)| *other != index);
    let apart = others.filter_map(|(_, other)| Some(other.at?.distance_m(here?)));
    let nearest_m = apart.fold(ALONE_M, |nearest, m| if m < nearest { m } else { nearest });
    if nearest_m > LEAST_SPACING_M { nearest_m } else { LEAST_SPACING_M }
}

fn at_line(site: &Site, layout: &Layout, daily: &DailyWorks, placed: &PlacedTree) -> Option<AtLine> {
    let name = placed.line.as_deref()?;
    let line = daily.names().position(|of_works| of_works == name)?;
    let place = layout.lines.iter().position(|laid| laid.line == name)?;
    let sections = section::sections(site, &site.plan.lines[place], &layout.lines[place]);
    let chainage_m = placed.chainage_m?;
    let hand = match &sections {
        Ok(sections) => sections.at(chainage_m).hand,
        Err(_) => hand_section(&site.plan.lines[place], 0.0),
    };
    let corners = hand.corners().ok()?;
    let stands_over_m3 = placed
        .above_full_water_m
        .filter(|_| matches!(placed.spot, Some(Spot::Above | Spot::Trench)))
        .filter(|above_m| *above_m < 0.0)
        .and_then(|above_m| daily.holds_at_m3(line, daily.full_z_m(line) + above_m));
    Some(AtLine {
        line,
        chainage_m,
        downhill_m: placed.downhill_m?,
        uphill_edge_m: corners.uphill_lip.offset_m,
        foot_m: corners.bank.map_or(0.0, |bank| bank.downhill_toe.offset_m),
        stands_over_m3,
    })
}

/// What is drawn of a tree's soil, and what is done for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cared {
    /// Water held between field capacity and wilting point, of what the texture usually holds.
    pub held: Held,
    pub soak_mm_h: f64,
    pub mulched: bool,
}

/// How much of the range of held water is drawn: none for the likely figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Held(pub Option<f64>);

impl TreeSpot<'_> {
    /// The ground that the balance works on.
    pub(super) fn ground(&self, latitude_deg: f64, cared: Cared) -> Result<TreeGround, String> {
        let soil = water_of(self.soil, cared)?;
        let setting = Setting {
            soil,
            soil_depth_m: self.soil.depth_m.unwrap_or(USUAL_SOIL_DEPTH_M),
            under_mm_h: cared.soak_mm_h,
            latitude_deg,
            spacing_m: self.spacing_m,
            mulched_frac: if cared.mulched { 1.0 } else { 0.0 },
            live_cover_frac: 0.0,
        };
        tree_ground(self.species, &setting).map_err(|error| error.to_string())
    }
}

fn water_of(soil: &Soil, cared: Cared) -> Result<SoilWater, String> {
    let texture = soil::texture(soil.texture);
    let fines = Grains::of_texture(texture);
    let bare = fines.water().map_err(|error| error.to_string())?;
    let stones_frac = soil.gravel_frac.map_or(0.0, quantity::Fraction::get);
    let stony = Grains { gravel_frac: bare.gravel_by_mass(stones_frac), ..fines };
    let usual = stony.water().map_err(|error| error.to_string())?;
    let held_frac = usual.field_capacity_frac - usual.wilting_point_frac;
    let earth_frac = 1.0 - usual.gravel_volume_frac;
    let [low, high] = typical(texture).map_or([1.0 - HELD_OFF_FRAC, 1.0 + HELD_OFF_FRAC], |range| {
        range.available_frac.map(|frac| frac * earth_frac / held_frac)
    });
    let times = match cared.held.0 {
        None => 1.0,
        Some(u) => {
            let range = Estimate::spanning(1.0, low, high);
            crate::rain_test::chance::triangular(u, range.low(), 1.0, range.high())
        }
    };
    let wilting_point_frac = usual.field_capacity_frac - times * held_frac;
    Ok(SoilWater {
        wilting_point_frac: if wilting_point_frac > LEAST_WILTING_FRAC {
            wilting_point_frac
        } else {
            LEAST_WILTING_FRAC
        },
        conductivity_mm_h: cared.soak_mm_h,
        ..usual
    })
}

/// Leaves out trees whose ground the balance does not hold for, and says why.
pub(super) fn leave_out_unworkable(
    spots: &mut Vec<TreeSpot>,
    left_out: &mut Vec<LeftOut>,
    latitude_deg: f64,
) {
    spots.retain(|spot| {
        let cared = Cared { held: Held(None), soak_mm_h: spot.soak_mm_h, mulched: true };
        match spot.ground(latitude_deg, cared) {
            Ok(_) => true,
            Err(because) => {
                left_out.push(LeftOut { tree: spot.placed.tree.clone(), because });
                false
            }
        }
    });
}
