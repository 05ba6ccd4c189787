//! What each of several layouts gives in the same storm: water beside the trees, how safely the surplus goes, and the
//! digging it asks for.
//!
//! Every figure is taken from the answers that each layout gives by itself; nothing is worked out here but sums. All
//! layouts meet the same storm as drawn, without draws of what is not known well: those would be the same on every side.
//!
//! Leaves out: which layout is better. That weighs water against digging and safety, and is for whoever digs.

use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use site::Site;

use crate::Answers;
use crate::findings::Severity;
use crate::rain_test::{self, Request, rain_test};
use crate::storms::DesignStorm;

/// Draws of a storm as drawn.
const AS_DRAWN: usize = 1;
/// Draws nothing: there is one member.
const NO_SEED: u64 = 0;

/// Several layouts side by side.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "CompareAnswer")]
pub struct Answer {
    /// Rain of the storm that all were tried with.
    pub depth_mm: f64,
    /// Its length.
    pub hours: f64,
    /// One entry a layout, as they were given.
    pub layouts: Vec<Gives>,
}

/// What one layout gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Gives {
    /// What it is called; empty for the one in the plan.
    pub name: String,
    /// Swales, drains, chutes and pipes.
    pub lines: usize,
    /// Length of all of them.
    pub length_m: f64,
    /// What they hold before the first spills.
    pub holds_m3: f64,
    /// Digging of all lines.
    pub person_days: Estimate,
    /// Undisturbed soil to dig.
    pub cut_m3: f64,
    /// Findings that say stop.
    pub stop_findings: usize,
    /// Findings that warn.
    pub warn_findings: usize,
    /// What the storm does; none where it could not be worked through.
    pub storm: Option<InStorm>,
    /// Why it could not.
    pub no_storm_because: Option<String>,
}

/// What the storm does in one layout.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct InStorm {
    /// Trees of the plan that stand at a line.
    pub trees: usize,
    /// Trees of the plan that stand at none, or at one that could not be worked through.
    pub trees_without_line: usize,
    /// Of the trees at lines, those beside which less than a litre soaks into the metre of line.
    pub trees_dry: usize,
    /// What soaks into the metre of line beside each tree, summed over the trees.
    pub beside_trees_l: f64,
    /// The same beside the tree that gets least.
    pub beside_driest_tree_l: Option<f64>,
    /// All that soaks in.
    pub soaked_m3: f64,
    /// All that leaves the works and what runs past them.
    pub leaves_m3: f64,
    /// Greatest flow that leaves.
    pub peak_leaves_l_s: f64,
    /// Places where water goes over a bank although it was not meant to.
    pub breakouts: usize,
    /// All that goes over banks there.
    pub over_banks_m3: f64,
    /// Where the least bank is left above the water.
    pub least_freeboard: Option<LeastBank>,
    /// Sills that must pass more than they can before a bank goes under.
    pub sills_overtaxed: usize,
}

/// The least bank above the water.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LeastBank {
    /// Bank left above the water; below 0 water goes over it.
    pub freeboard_m: f64,
    /// On which line that is.
    pub line: String,
}

/// Trees beside which less soaks in count as dry, L for a metre of line: it wets the bed and not the roots. Common
/// practice, no source.
const DRY_L: f64 = 1.0;

/// Compares layouts, each by its name with its site and what was answered to it, in one storm.
pub fn compare(layouts: &[(&str, &Site, &Answers)], storm: &DesignStorm) -> Answer {
    let request = Request::of(storm, AS_DRAWN, NO_SEED);
    Answer {
        depth_mm: storm.depth_mm,
        hours: storm.hours,
        layouts: layouts.iter().map(|layout| gives(*layout, &request)).collect(),
    }
}

fn gives((name, site, answers): (&str, &Site, &Answers), request: &Request) -> Gives {
    let worked = rain_test(site, &answers.layout, request, &|| ());
    let (storm, no_storm_because) = match worked {
        Ok(worked) => (Some(in_storm(site, &worked)), None),
        Err(why) => (None, Some(why.to_string())),
    };
    let lines = &answers.sizes.lines;
    let count = |severity| answers.findings.findings.iter().filter(|f| f.severity == severity).count();
    Gives {
        name: name.to_owned(),
        lines: lines.len(),
        length_m: sum(lines.iter().map(|line| line.length_m)),
        holds_m3: sum(lines.iter().filter_map(|line| Some(line.holding.as_ref()?.holds_m3))),
        person_days: answers.sizes.person_days,
        cut_m3: sum(lines.iter().filter_map(|line| Some(line.digging.as_ref()?.cut_m3))),
        stop_findings: count(Severity::Stop),
        warn_findings: count(Severity::Warn),
        storm,
        no_storm_because,
    }
}

/// The sum, 0 of nothing: that of the standard library is −0 there, and shows its sign.
fn sum(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |sum, value| sum + value)
}

fn in_storm(site: &Site, worked: &rain_test::Answer) -> InStorm {
    let beside = || worked.trees.iter().map(|tree| tree.soaked_l_per_m.likely());
    let breakouts = || worked.lines.iter().flat_map(|line| &line.breakouts);
    let freeboard = |line: &rain_test::LineRain| {
        Some(LeastBank { freeboard_m: line.least_freeboard?.freeboard_m.likely(), line: line.line.clone() })
    };
    let least =
        worked.lines.iter().filter_map(freeboard).min_by(|a, b| a.freeboard_m.total_cmp(&b.freeboard_m));
    let overtaxed = |sill: &&rain_test::SillRain| sill.use_frac.is_some_and(|used| used.likely() > 1.0);
    InStorm {
        trees: worked.trees.len(),
        trees_without_line: site.plan.trees.len().saturating_sub(worked.trees.len()),
        trees_dry: beside().filter(|litres| *litres < DRY_L).count(),
        beside_trees_l: sum(beside()),
        beside_driest_tree_l: beside().min_by(f64::total_cmp),
        soaked_m3: worked.site.soaked_m3.likely(),
        leaves_m3: worked.site.leaves_m3.likely() + worked.site.runs_past_m3.likely(),
        peak_leaves_l_s: worked.site.peak_after_l_s.likely(),
        breakouts: breakouts().count(),
        over_banks_m3: sum(breakouts().map(|breakout| breakout.volume_m3.likely())),
        least_freeboard: least,
        sills_overtaxed: worked.lines.iter().flat_map(|line| &line.sills).filter(overtaxed).count(),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;
    use crate::storms::{StormRequest, storm};
    use crate::trial::{hill_z_m, on_ground};

    /// A swale along the contour, with a sill and a tree below it.
    fn with_depth(depth_m: f64) -> Site {
        let sill = json!({"at_m": 20, "width_m": 2, "below_bank_m": 0.15, "to": "ground"});
        let line = json!({"name": "top", "kind": "swale", "pegs": [[20, 30], [60, 30]], "bed_width_m": 0.5,
            "depth_m": depth_m, "bank_height_m": 0.3, "sill": [sill]});
        let trees = json!([
            {"name": "F1", "species": "fig", "line": "top", "at_m": 10},
            {"name": "F2", "species": "fig", "x_m": 5, "y_m": 5},
        ]);
        let soil = json!([{"name": "field", "texture": "loam"}]);
        let hill = json!([{"name": "hill", "kind": "hillside", "curve_number": 80}]);
        on_ground(&json!({"line": [line], "tree": trees, "soil": soil, "source": hill}), hill_z_m)
    }

    /// A deeper trench holds more, asks for more digging and lets less go; each figure is that of the layout's own
    /// answers, and all that came is soaked, stands or has left.
    #[test]
    fn a_deeper_trench_gives_more_and_costs_more() {
        let sites = [with_depth(0.3), with_depth(0.5)];
        let answers = sites.each_ref().map(crate::answer);
        let asked = StormRequest { depth_mm: Some(150.0), hours: Some(6.0), ..StormRequest::default() };
        let storm = storm(&sites[0], &asked).unwrap();
        let told = compare(&[("", &sites[0], &answers[0]), ("deep", &sites[1], &answers[1])], &storm);
        let [shallow, deep] = &told.layouts[..] else { panic!("two layouts") };
        assert_eq!((told.depth_mm, told.hours, deep.name.as_str()), (150.0, 6.0, "deep"));
        assert!(deep.holds_m3 > shallow.holds_m3 && deep.cut_m3 > shallow.cut_m3);
        assert!(deep.person_days.likely() > shallow.person_days.likely());
        assert_eq!(shallow.no_storm_because, None);
        let (few, more) = (shallow.storm.as_ref().unwrap(), deep.storm.as_ref().unwrap());
        assert!(more.soaked_m3 > few.soaked_m3 && more.leaves_m3 < few.leaves_m3, "{few:?} {more:?}");
        assert_eq!((few.trees, few.trees_without_line, few.trees_dry), (1, 1, 0));
        assert_eq!(few.beside_driest_tree_l, Some(few.beside_trees_l), "one tree is all and the driest");
        let worked = rain_test(&sites[0], &answers[0].layout, &Request::of(&storm, 1, 0), &|| ()).unwrap();
        assert_eq!(few.soaked_m3, worked.site.soaked_m3.likely());
        let stands_m3 = worked.site.stored_m3.likely();
        let came_m3 = worked.site.arrived_m3.likely() + worked.site.runs_past_m3.likely();
        assert!((few.soaked_m3 + few.leaves_m3 + stands_m3 - came_m3).abs() < 1e-9 * came_m3);
    }

    #[test]
    fn a_layout_without_lines_says_why_it_gives_nothing() {
        let site = on_ground(&json!({}), hill_z_m);
        let answers = crate::answer(&site);
        let asked = StormRequest { depth_mm: Some(40.0), hours: Some(6.0), ..StormRequest::default() };
        let told = compare(&[("bare", &site, &answers)], &storm(&site, &asked).unwrap());
        assert!(told.layouts[0].storm.is_none());
        assert!(told.layouts[0].no_storm_because.as_ref().unwrap().contains("no line"));
    }
}
