//! What each line holds, moves and costs, and the way its surplus takes.
//!
//! One module a part of the answer: [`spill`] the order in which water meets the lines, `holding` what stands in
//! each, `supply` what comes to it, `sills` and `carry` how it leaves, `digging` what it takes to make.

use quantity::Estimate;
use serde::Serialize;
use site::{Line, LineKind, Site};
use water::storage::LineShape;

use crate::layout::{Arrives, LaidLine, Layout};
use crate::section::{self, SectionUnknown, Sections};
use crate::{soil, tool};

mod carry;
pub(crate) mod cover;
pub(crate) mod digging;
mod holding;
pub(crate) mod land;
pub(crate) mod sills;
pub mod spill;
pub(crate) mod supply;

use spill::SpillGraph;

/// The sizes of every line, and the way the surplus takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// One entry a line, in the order of the plan.
    pub lines: Vec<LineSizes>,
    /// The lines from the first to safe ground, in the order in which water meets them.
    pub spill_order: Vec<String>,
    /// Lines whose surplus goes in a circle; empty in a sound plan.
    pub spill_circle: Vec<String>,
    /// Digging of all lines.
    pub person_days: Estimate,
    /// How fast each soil soaks, and how that is known.
    pub soils: Vec<soil::SoakRate>,
}

/// One line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineSizes {
    /// Its name.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// Whether the levels are those taken along the dug line (true) or planned (false).
    pub as_dug: bool,
    /// From the first peg to the last.
    pub length_m: f64,
    /// What stands in it; none (no such keys) where its section is not known.
    #[serde(flatten)]
    pub holding: Option<Holding>,
    /// What comes to it.
    #[serde(flatten)]
    pub supply: Supply,
    /// Flow of the design peak along a drain, chute or pipe.
    pub flow: Option<AlongFlow>,
    /// What it takes to dig; none (no such keys) where its section is not known.
    #[serde(flatten)]
    pub digging: Option<Digging>,
    /// Why its section is not known.
    pub unknown_because: Option<String>,
    /// Its sills.
    pub sills: Vec<SillSizes>,
    /// Where the surplus goes: line names or "ground", in the order of the sills, then the end. Empty where it
    /// has nowhere to go.
    pub spills_to: Vec<String>,
}

/// What a line holds. A drain, chute or pipe holds nothing: it is open at its end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Holding {
    /// Volume when water stands at the level where the line first spills.
    pub holds_m3: f64,
    /// Farther of the water's two edges from the pegs, anywhere along the line, when it stands full: a swale to
    /// where it spills, a drain or chute to the lip of its trench.
    pub water_half_width_m: f64,
    /// What it may hold when the lowest place of the bank, or the bed, is out by the level error of the tool.
    pub holds_range_m3: Estimate,
    /// Level at which it first spills, over a sill or over its bank; none where no height is known.
    pub spills_at_z_m: Option<f64>,
    /// What lets the water out first at that level.
    pub spills_over: Option<SpillsOver>,
    /// The lowest place of the bank: it rules.
    pub lowest_bank: Option<LowPlace>,
    /// What raising the lowest place of the bank gains.
    pub raise: Vec<Raise>,
    /// Hours from brim-full to empty by soaking alone.
    pub drain_down_h: Option<Estimate>,
}

/// What lets the water out of a line first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SpillsOver {
    /// A sill, as meant.
    Sill,
    /// The bank: a breakout.
    Bank,
    /// The ground uphill, where it is lower than the bank: water walks round behind.
    Uphill,
    /// The end of a drain, chute or pipe, as meant.
    End,
}

/// What comes to a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Supply {
    /// Ground that drains to it and to nothing above it.
    pub catchment_m2: Option<f64>,
    /// The same metre by metre from the first peg, by the side it comes from; empty where it is not known.
    pub drains_here: Vec<Arrives>,
    /// Compass bearing from which that water comes on the whole, degrees.
    pub comes_from_deg: Option<f64>,
    /// Rain that fills it from its own catchment, running off as the curve number says, from the hard surfaces
    /// and through the drains that lead into it, and from the rain on the line itself.
    pub holds_rain_mm: Option<f64>,
    /// Rate of the storm's peak at the line, L/s: all that comes from above passed on at once, nothing held.
    pub design_peak_l_s: Option<Estimate>,
}

/// What a line takes to dig.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Digging {
    /// Undisturbed soil to dig.
    pub cut_m3: f64,
    /// Settled bank to build.
    pub fill_m3: f64,
    /// The soil once it is loose.
    pub loose_m3: Estimate,
    /// Settled bank that the cut makes, less the bank to build: negative is a shortage.
    pub spare_fill_m3: Estimate,
    /// Days of one person's digging.
    pub person_days: Estimate,
}

/// A low place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LowPlace {
    /// Distance along the line.
    pub chainage_m: f64,
    /// Height of the bank's top there.
    pub z_m: f64,
    /// How far it lies below the sill's crest (negative: above it).
    pub below_sill_m: Option<f64>,
}

/// What raising the lowest place of the bank gains.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Raise {
    /// By so much.
    pub by_cm: f64,
    /// It holds so much more.
    pub gains_m3: f64,
}

/// Uniform flow along a drain or chute at the design peak.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AlongFlow {
    /// The flow.
    pub flow_l_s: f64,
    /// Its depth.
    pub depth_m: f64,
    /// Its mean speed.
    pub speed_m_s: f64,
    /// Shear on the bed.
    pub shear_pa: f64,
    /// Mean speed that the bed stands, by soil and lining.
    pub stands_m_s: f64,
    /// Middle size of rock to line the bed with, mm; for a bed of rock.
    pub rock_d50_mm: Option<f64>,
    /// What the trench carries when it is full to its lip.
    pub brim_l_s: f64,
}

/// One sill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SillSizes {
    /// Distance of its middle along the line.
    pub at_m: f64,
    /// Length of its crest.
    pub width_m: f64,
    /// Height of its crest above the site datum.
    pub crest_z_m: Option<f64>,
    /// What takes the water.
    pub to: String,
    /// The flow it must pass.
    pub design_l_s: Option<f64>,
    /// Depth of water above the crest at that flow, by the energy balance of a rough crest.
    pub head_m: Option<f64>,
    /// The same by the hard-crest rule: what a smooth sill would need, for comparison.
    pub head_hard_crest_m: Option<f64>,
    /// What is left between that water and the lowest place of the bank.
    pub freeboard_m: Option<f64>,
    /// What should be left.
    pub freeboard_wanted_m: f64,
    /// Length of crest that leaves it; none where no length does, because the crest lies too high.
    pub width_needed_m: Option<f64>,
    /// The most that one metre of the lip carries, over the mean, when the lip is 6 mm out of level.
    pub out_of_level_times: Option<f64>,
    /// Where the water comes down.
    pub landing: Option<Landing>,
}

/// Where the water of a sill comes down.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Landing {
    /// Slope of the ground, rise over run.
    pub slope: f64,
    /// Speed of the sheet.
    pub speed_m_s: f64,
    /// Speed that the landing stands, by what covers it.
    pub stands_m_s: f64,
    /// Middle size of rock to lay here, mm; none where what covers it stands.
    pub rock_d50_mm: Option<f64>,
}

/// The sizes of every line of a site.
pub fn sizes(site: &Site, layout: &Layout) -> Answer {
    let plan = &site.plan;
    let graph = SpillGraph::of(&plan.lines);
    let works: Vec<Works> =
        plan.lines.iter().zip(&layout.lines).map(|(line, laid)| Works::of(site, line, laid)).collect();
    let own: Vec<supply::Own> = works.iter().map(Works::own).collect();
    let supplies = supply::of(site, &layout.lines, &graph, &own);
    let lines: Vec<LineSizes> =
        works.into_iter().zip(supplies).map(|(works, supply)| works.sizes(site, supply)).collect();
    let name = |i: &usize| plan.lines[*i].name.clone();
    let days = lines.iter().filter_map(|line| Some(line.digging.as_ref()?.person_days));
    Answer {
        person_days: digging::sum(days),
        soils: soil::soak_rates(site),
        spill_order: graph.order.iter().map(name).collect(),
        spill_circle: graph.circle.iter().map(name).collect(),
        lines,
    }
}

/// A line with its sections, where they are known.
struct Works<'a> {
    line: &'a Line,
    laid: &'a LaidLine,
    known: Result<Known, SectionUnknown>,
}

/// What is known where the sections of a line are.
struct Known {
    sections: Sections,
    shape: LineShape,
    holding: Holding,
    digging: Digging,
}

impl<'a> Works<'a> {
    fn of(site: &'a Site, line: &'a Line, laid: &'a LaidLine) -> Works<'a> {
        let known = section::sections(site, line, laid).and_then(|sections| {
            let shape = sections.shape()?;
            let holding = if line.kind == LineKind::Swale {
                holding::of_swale(line, &sections, &shape, &tool::in_hand(&site.plan.tool))
            } else {
                holding::of_carrier(&shape)
            };
            Ok(Known { digging: digging::of(&sections)?, sections, shape, holding })
        });
        Works { line, laid, known }
    }

    /// What its supply depends on.
    fn own(&self) -> supply::Own {
        let swale = self.known.as_ref().ok().filter(|_| self.line.kind == LineKind::Swale);
        let full = swale.and_then(|known| Some((known, known.holding.spills_at_z_m?)));
        full.map_or(supply::Own::default(), |(known, level_z_m)| supply::Own {
            holds_m3: Some(known.holding.holds_m3),
            surface_m2: known.shape.plan_area_m2(level_z_m),
        })
    }

    fn sizes(self, site: &Site, supply: Supply) -> LineSizes {
        let soil = soil::soil_of(site, self.laid);
        let peak_l_s = supply.design_peak_l_s.map(Estimate::likely);
        let (known, unknown_because) = match self.known {
            Ok(known) => (Some(known), None),
            Err(why) => (None, Some(why.to_string())),
        };
        let sills = sills::LineAt {
            line: self.line,
            laid: self.laid,
            sections: known.as_ref().map(|known| &known.sections),
            holding: known.as_ref().map(|known| &known.holding),
            soil,
            peak_l_s,
        }
        .sills();
        let flow = known
            .as_ref()
            .and_then(|known| carry::along(self.line, (self.laid.grade, &known.shape), peak_l_s, soil));
        LineSizes {
            line: self.line.name.clone(),
            kind: self.line.kind,
            as_dug: known.as_ref().is_some_and(|known| known.sections.as_dug),
            length_m: self.laid.length_m(),
            supply,
            flow,
            unknown_because,
            sills,
            spills_to: spills_to(self.line),
            holding: known.as_ref().map(|known| Holding {
                drain_down_h: soil.zip(known.holding.spills_at_z_m).and_then(|(soil, level_z_m)| {
                    holding::drain_down_h(&known.shape, level_z_m, soil::soak_rate(site, soil).soak_mm_h)
                }),
                ..known.holding.clone()
            }),
            digging: known.map(|known| known.digging),
        }
    }
}

/// Names of what takes the surplus of a line: of its sills in order, then of its end.
fn spills_to(line: &Line) -> Vec<String> {
    let by_sills = line.sills.iter().map(|sill| sill.to.clone());
    let by_end = line.to.iter().filter(|_| line.kind != LineKind::Swale).cloned();
    by_sills.chain(by_end).collect()
}

#[cfg(test)]
mod tests;
