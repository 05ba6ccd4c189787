//! What the next rain does, as it is shown.

use design::rain_test::{Answer, Breakout, LineRain, SillRain};
use design::storms::DesignStorm;
use ground::Polyline;
use quantity::convert::{h_to_s, m_to_mm};
use quantity::figures::{fixed, significant};
use schemars::JsonSchema;
use serde::Serialize;

use super::{Place, Range};

/// One storm over the works.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RainView {
    /// All of its rain.
    pub depth_mm: f64,
    /// Its length.
    pub hours: f64,
    /// How it falls, in words.
    pub shape: String,
    /// What it does, in a sentence or two.
    pub says: String,
    /// What the reader should know of the storm.
    pub notes: Vec<String>,
    /// How many draws of what is not known well are behind the ranges; 1 is the plan as drawn.
    pub members: usize,
    /// The lines that were worked through.
    pub lines: Vec<RainLineView>,
    /// Lines that could not be, and why.
    pub left_out: Vec<LeftOutView>,
    /// Trees at lines.
    pub trees: Vec<TreeRainView>,
    /// Where it breaks out first; none where it does not.
    pub first_breakout: Option<FirstBreakout>,
    /// All that comes to the works.
    pub came_m3: f64,
    /// All that soaks in along them.
    pub soaked_m3: f64,
    /// What still stands in them at the end.
    pub stands_m3: f64,
    /// All that leaves them.
    pub leaves_m3: f64,
    /// Greatest flow off the same ground without the works.
    pub peak_without_l_s: f64,
    /// Greatest flow that leaves the works.
    pub peak_with_l_s: f64,
    /// Where water leaves.
    pub outlets: Vec<OutletView>,
    /// What came in less what soaked, stands and left, over what came in.
    pub balance_error_frac: f64,
}

/// What it does along one line.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RainLineView {
    /// Its name.
    pub name: String,
    /// How far along it the water gets.
    pub reach_m: Range,
    /// When it gets there.
    pub reach_h: Option<Range>,
    /// Highest level of the water above the site datum; none for a pipe.
    pub highest_z_m: Option<f64>,
    /// Least bank left above the water; below 0 it goes over.
    pub least_bank_m: Option<f64>,
    /// What comes from its own ground, surfaces and seeps, and the rain on it.
    pub arrived_m3: f64,
    /// What other lines pass to it.
    pub passed_in_m3: f64,
    /// What soaks in along it.
    pub soaked_m3: Range,
    /// What still stands in it at the end.
    pub stands_m3: f64,
    /// What goes on to other lines.
    pub passed_on_m3: f64,
    /// What leaves it for the ground below.
    pub left_m3: f64,
    /// Hours from the end of the rain until it is empty.
    pub empties_h: Option<f64>,
    /// The water's surface at its highest; none where it stays dry.
    pub level: Vec<LevelView>,
    /// What soaks in along it.
    pub soaked_along: Vec<SoakedView>,
    /// Where it spills although it was not meant to.
    pub breakouts: Vec<BreakoutView>,
    /// Its sills, in the order of the plan.
    pub sills: Vec<SillRainView>,
    /// Share of the draws in which it breaks out.
    pub breaks_out_frac: f64,
}

/// The water's surface at one place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct LevelView {
    /// Middle of the piece.
    pub chainage_m: f64,
    /// Height of the water above the site datum; none where it stays dry.
    pub z_m: Option<f64>,
}

/// What soaks in at one place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SoakedView {
    /// Middle of the piece.
    pub chainage_m: f64,
    /// Litres for each metre of line.
    pub l_m: f64,
}

/// A place where it spills although it was not meant to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BreakoutView {
    /// The line.
    pub line: String,
    /// Where it is worst.
    pub at_m: f64,
    /// Start of the stretch.
    pub from_m: f64,
    /// Its end.
    pub to_m: f64,
    /// Where in plan.
    pub at: Option<Place>,
    /// When it begins.
    pub first_h: f64,
    /// Greatest flow.
    pub flow_l_s: f64,
    /// All that goes over.
    pub over_m3: f64,
    /// By how much to raise the bank there.
    pub raise_m: f64,
    /// Share of the draws in which it happens.
    pub chance_frac: f64,
    /// Share of those in which the spill bites into the bank and grows.
    pub washes_out_frac: f64,
    /// Where the water goes.
    pub to: String,
    /// In a sentence.
    pub says: String,
}

/// The first of all breakouts.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FirstBreakout {
    /// The line.
    pub line: String,
    /// Where along it.
    pub at_m: f64,
    /// When, from the first drop.
    pub first_h: f64,
    /// Rain that has fallen by then.
    pub depth_mm: f64,
    /// In a sentence.
    pub says: String,
}

/// What passes over a sill.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SillRainView {
    /// Which, 1 for the first in the plan.
    pub sill: usize,
    /// Greatest flow.
    pub peak_l_s: f64,
    /// Greatest depth of water above its crest.
    pub head_m: f64,
    /// All that passes.
    pub over_m3: f64,
    /// Greatest flow over what it passes before the bank goes under.
    pub use_frac: Option<f64>,
}

/// What comes to a tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeRainView {
    /// Its name.
    pub name: String,
    /// What soaks into the metre of line beside it.
    pub litres: Option<f64>,
    /// The same with what is known of it.
    pub litres_range: Option<Range>,
}

/// A line that was left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LeftOutView {
    /// Its name.
    pub name: String,
    /// Why.
    pub because: String,
}

/// A place where water leaves the works.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OutletView {
    /// The line it leaves.
    pub line: String,
    /// sill, bank or end.
    pub by: String,
    /// Where along it.
    pub at_m: f64,
    /// Where in plan.
    pub at: Option<Place>,
    /// All that leaves.
    pub left_m3: f64,
    /// Greatest flow.
    pub peak_l_s: f64,
}

/// Water at some times, for the animation.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FramesView {
    /// Times from the first drop.
    pub hours: Vec<f64>,
    /// Rain so far at each.
    pub rain_mm: Vec<f64>,
    /// Mean rate of rain from each time to the next; 0 at the last.
    pub rain_mm_h: Vec<f64>,
    /// The lines.
    pub lines: Vec<LineFrames>,
}

/// Water in one line at those times.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LineFrames {
    /// Its name.
    pub name: String,
    /// Middles of its pieces.
    pub chainage_m: Vec<f64>,
    /// At each time the level in each piece, above the site datum; the bed where it is dry.
    pub z_m: Vec<Vec<f64>>,
    /// At each time the flow over each sill.
    pub sill_l_s: Vec<Vec<f64>>,
}

/// A storm to begin with.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StormView {
    /// What it is called.
    pub name: String,
    /// All of its rain.
    pub depth_mm: f64,
    /// Its length.
    pub hours: f64,
    /// In what order it falls, as it is asked for: `blocks`, `even`.
    pub shape: String,
    /// In words.
    pub says: String,
}

/// A storm that was worked through, as it is shown. `path` gives a line in plan.
pub fn rain(answer: &Answer, storm: &DesignStorm, path: &dyn Fn(&str) -> Option<Polyline>) -> RainView {
    let lines: Vec<RainLineView> = answer.lines.iter().map(|of| line(of, path(&of.line).as_ref())).collect();
    let first_breakout = first(answer, storm);
    RainView {
        depth_mm: answer.storm.depth_mm,
        hours: answer.storm.hours,
        shape: answer.storm.shape.clone(),
        says: says(answer, first_breakout.as_ref()),
        notes: super::site::in_words(&storm.notes),
        members: answer.ensemble.members,
        lines,
        left_out: answer
            .left_out
            .iter()
            .map(|left| LeftOutView { name: left.line.clone(), because: left.because.clone() })
            .collect(),
        trees: answer
            .trees
            .iter()
            .map(|tree| TreeRainView {
                name: tree.tree.clone(),
                litres: Some(tree.soaked_l_per_m.likely()),
                litres_range: Some(tree.soaked_l_per_m.into()),
            })
            .collect(),
        first_breakout,
        came_m3: answer.site.arrived_m3.likely(),
        soaked_m3: answer.site.soaked_m3.likely(),
        stands_m3: answer.site.stored_m3.likely(),
        leaves_m3: answer.site.leaves_m3.likely(),
        peak_without_l_s: answer.site.peak_before_l_s.likely(),
        peak_with_l_s: answer.site.peak_after_l_s.likely(),
        outlets: answer.site.outlets.iter().map(outlet).collect(),
        balance_error_frac: answer.balance_error_frac,
    }
}

fn line(of: &LineRain, path: Option<&Polyline>) -> RainLineView {
    let middle = |from_m: f64, to_m: f64| 0.5 * (from_m + to_m);
    RainLineView {
        name: of.line.clone(),
        reach_m: of.reach_m.into(),
        reach_h: of.reach_h.map(Range::from),
        highest_z_m: of.peak_level_m.map(|level| level.likely()),
        least_bank_m: of.least_freeboard.map(|least| least.freeboard_m.likely()),
        arrived_m3: of.arrived_m3.likely(),
        passed_in_m3: of.passed_in_m3.likely(),
        soaked_m3: of.soaked_m3.into(),
        stands_m3: of.stored_m3.likely(),
        passed_on_m3: of.passed_on_m3.likely(),
        left_m3: of.left_m3.likely(),
        empties_h: of.drain_down_h.map(|hours| hours.likely()),
        level: of
            .metres
            .iter()
            .map(|metre| {
                let depth_m = metre.peak_depth_m.likely();
                LevelView {
                    chainage_m: middle(metre.from_m, metre.to_m),
                    z_m: (depth_m > 0.0).then_some(metre.bed_z_m + depth_m),
                }
            })
            .collect(),
        soaked_along: of
            .metres
            .iter()
            .map(|metre| SoakedView {
                chainage_m: middle(metre.from_m, metre.to_m),
                l_m: metre.soaked_l_per_m.likely(),
            })
            .collect(),
        breakouts: of.breakouts.iter().map(|out| breakout(&of.line, out, path)).collect(),
        sills: of.sills.iter().enumerate().map(sill).collect(),
        breaks_out_frac: of.breaks_out_frac,
    }
}

fn sill((index, of): (usize, &SillRain)) -> SillRainView {
    SillRainView {
        sill: index + 1,
        peak_l_s: of.peak_l_s.likely(),
        head_m: of.head_m.likely(),
        over_m3: of.volume_m3.likely(),
        use_frac: of.use_frac.map(|used| used.likely()),
    }
}

fn breakout(line: &str, of: &Breakout, path: Option<&Polyline>) -> BreakoutView {
    BreakoutView {
        line: line.to_owned(),
        at_m: of.at_m,
        from_m: of.from_m,
        to_m: of.to_m,
        at: path.and_then(|path| path.at(of.at_m)).map(Place::from),
        first_h: of.first_h.likely(),
        flow_l_s: of.peak_l_s.likely(),
        over_m3: of.volume_m3.likely(),
        raise_m: quantity::convert::cm_to_m(of.raise_cm.likely()),
        chance_frac: of.chance_frac,
        washes_out_frac: of.washes_out_frac,
        to: of.to.clone(),
        says: format!(
            "“{line}” breaks out at {} m: raise the bank there by {} cm.",
            fixed(of.at_m, 0),
            fixed(of.raise_cm.likely(), 0)
        ),
    }
}

fn outlet(of: &design::rain_test::Outlet) -> OutletView {
    use design::rain_test::LeavesBy;
    OutletView {
        line: of.line.clone(),
        by: match of.by {
            LeavesBy::Sill => "sill",
            LeavesBy::Bank => "bank",
            LeavesBy::End => "end",
        }
        .to_owned(),
        at_m: of.at_m,
        at: of.x_m.zip(of.y_m).map(|(x_m, y_m)| Place { x_m, y_m }),
        left_m3: of.volume_m3.likely(),
        peak_l_s: of.peak_l_s.likely(),
    }
}

/// The breakout that begins first; of two at once that of the line that stands first in the plan.
fn first(answer: &Answer, storm: &DesignStorm) -> Option<FirstBreakout> {
    let all = answer.lines.iter().flat_map(|line| line.breakouts.iter().map(move |out| (&line.line, out)));
    let (line, out) = all.min_by(|(_, a), (_, b)| a.first_h.likely().total_cmp(&b.first_h.likely()))?;
    let first_h = out.first_h.likely();
    let depth_mm = m_to_mm(storm.storm.fallen_m(h_to_s(first_h)));
    Some(FirstBreakout {
        line: line.clone(),
        at_m: out.at_m,
        first_h,
        depth_mm,
        says: format!(
            "“{line}” is the first to break out, at {} m, {} h after the first drop, when {} mm have fallen.",
            fixed(out.at_m, 0),
            significant(first_h, 2),
            fixed(depth_mm, 0)
        ),
    })
}

fn says(answer: &Answer, first: Option<&FirstBreakout>) -> String {
    let storm = &answer.storm;
    let site = &answer.site;
    let opening = format!(
        "{} mm in {} h, {}. {} m³ come to the lines, {} m³ soak in, {} m³ leave.",
        fixed(storm.depth_mm, 0),
        significant(storm.hours, 3),
        storm.shape,
        fixed(site.arrived_m3.likely(), 0),
        fixed(site.soaked_m3.likely(), 0),
        fixed(site.leaves_m3.likely(), 0)
    );
    let close = first.map_or_else(|| "No bank is passed.".to_owned(), |first| first.says.clone());
    format!("{opening} {close}")
}

/// Water at the times that were asked for.
pub fn frames(answer: &Answer, storm: &DesignStorm) -> FramesView {
    let hours: Vec<f64> = answer.snapshots.iter().map(|moment| moment.at_h).collect();
    let line = |of: &LineRain| LineFrames {
        name: of.line.clone(),
        chainage_m: of.metres.iter().map(|metre| 0.5 * (metre.from_m + metre.to_m)).collect(),
        z_m: answer
            .snapshots
            .iter()
            .map(|moment| {
                let held = moment.lines.iter().find(|line| line.line == of.line);
                held.map_or_else(Vec::new, |line| line.level_z_m.clone())
            })
            .collect(),
        sill_l_s: hours
            .iter()
            .map(|at_h| of.sills.iter().map(|sill| flow_at(sill, *at_h)).collect())
            .collect(),
    };
    let rain_mm: Vec<f64> = hours.iter().map(|at_h| m_to_mm(storm.storm.fallen_m(h_to_s(*at_h)))).collect();
    let rate = |i: usize| match (hours.get(i + 1), rain_mm.get(i + 1)) {
        (Some(next_h), Some(next_mm)) => (next_mm - rain_mm[i]) / (next_h - hours[i]),
        _ => 0.0,
    };
    FramesView {
        rain_mm_h: (0..hours.len()).map(rate).collect(),
        rain_mm,
        lines: answer.lines.iter().map(line).collect(),
        hours,
    }
}

/// Mean flow of the step that holds a time.
fn flow_at(sill: &SillRain, at_h: f64) -> f64 {
    let step = (at_h / sill.flow.step_h) as usize;
    sill.flow.flow_l_s.get(step).copied().unwrap_or(0.0)
}
