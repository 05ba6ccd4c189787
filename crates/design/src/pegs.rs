//! Where to peg: for every line its pegs, the reading to aim for, the cut and the bank to build.
//!
//! The reading to aim for is a fall: by how much a peg is to stand lower than the one before (frame, line
//! level) or than the first (hose, staff). A level line has falls of 0 throughout, and that is the proof that
//! it is level where the eye, led by the hill behind it, sees it run uphill. Levelling back to the first peg
//! checks it: chance explains 2 · σ · √(2n) there and back over n steps, and a frame carried with the same leg
//! leading shows its own fault 2n times.
//!
//! Loose soil settles: the bank is thrown up to height · (1 + settlement).

use ground::tool::Tool;
use quantity::Estimate;
use quantity::convert::m_to_mm;
use quantity::figures::fixed;
use serde::Serialize;
use site::{Line, LineKind, Site, ToolKind};

use crate::layout::{AS_LONG_AS_ASKED, LaidLine, LaidPeg, Layout};
use crate::tool;

/// The pegs of every line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// The tool the readings are for.
    pub tool: ToolKind,
    /// Distance between its feet or staffs.
    pub step_m: f64,
    /// One entry a line.
    pub lines: Vec<LinePegs>,
}

/// The pegs of one line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinePegs {
    /// Its name.
    pub line: String,
    /// What it is for.
    pub kind: LineKind,
    /// Fall along it, rise over run.
    pub grade: f64,
    /// From the first peg to the last.
    pub length_m: f64,
    /// Heights come from the ground (false) or from the tape as given (true).
    pub from_tape: bool,
    /// The pegs, in walking order; none where nothing is known of the ground.
    pub pegs: Vec<PegRow>,
    /// What the loose bank is thrown up by, over its settled height, and who says so.
    pub settlement: Settlement,
    /// The proof that the line is level, although it may look as if it ran uphill.
    pub check_back: Option<CheckBack>,
    /// Why the walk ended, in words; none where the pegs were given.
    pub stopped_because: Option<String>,
}

/// One row of the peg sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PegRow {
    /// 1 for the first.
    pub peg: usize,
    /// Distance along the line from the first peg.
    pub chainage_m: f64,
    /// East; none for a line given by tape.
    pub x_m: Option<f64>,
    /// North; none for a line given by tape.
    pub y_m: Option<f64>,
    /// Height the peg is meant to stand at (ground level), above the site datum.
    pub z_m: Option<f64>,
    /// How much lower this peg is to stand than the one before: the reading to aim for, step by step.
    pub fall_from_last_mm: f64,
    /// How much lower this peg is to stand than the first: the reading to aim for with a hose or staff.
    pub fall_from_first_mm: f64,
    /// From the ground at the peg down to the bed.
    pub cut_m: f64,
    /// Height to throw the loose bank up to above the ground at the peg, settlement allowed for.
    pub bank_build_m: Estimate,
    /// Half the width of the band in which the true line may lie.
    pub band_m: Option<f64>,
    /// Whether a barrier lies between the peg before and this one.
    pub after_jump: bool,
    /// Sills whose crest begins or ends, and trees that stand, within half a step of this peg.
    pub notes: Vec<String>,
}

/// What a bank loses as it settles.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Settlement {
    /// Height to add, over the settled height.
    pub add_frac: Estimate,
    /// The publication, or "common practice".
    pub source: &'static str,
}

/// Levelling back from the last peg to the first: what to expect.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CheckBack {
    /// Fall from the first peg to the last that the line is meant to have.
    pub expected_fall_mm: f64,
    /// Difference that is within the tool's random error, there and back, two standard errors.
    pub allowed_mm: f64,
    /// What a fault of the tool's own would show on the way back, if the same leg leads.
    pub tool_fault_shows_mm: f64,
}

/// A bank of loose spoil thrown by hand is built 15 to 25 % too high. Common practice, no source; banks of
/// small dams, rammed in layers, are given 10 % or more.
const HAND_THROWN_FRAC: (f64, f64, f64) = (0.15, 0.20, 0.25);
const HAND_THROWN_SOURCE: &str = "common practice for loose spoil thrown by hand";

/// Standard errors that chance hardly exceeds.
const TWO_STANDARD_ERRORS: f64 = 2.0;

impl Settlement {
    /// What a bank of loose spoil loses.
    pub fn hand_thrown() -> Settlement {
        let (low, likely, high) = HAND_THROWN_FRAC;
        Settlement {
            add_frac: Estimate::new(low, likely, high).expect("in rising order"),
            source: HAND_THROWN_SOURCE,
        }
    }
}

/// The pegs of every line of a site.
pub fn pegs(site: &Site, layout: &Layout) -> Answer {
    let lines = site
        .plan
        .lines
        .iter()
        .zip(&layout.lines)
        .map(|(line, laid)| line_pegs(site, line, (laid, layout)))
        .collect();
    Answer { tool: site.plan.tool.kind, step_m: site.plan.tool.step_m, lines }
}

fn line_pegs(site: &Site, line: &Line, (laid, layout): (&LaidLine, &Layout)) -> LinePegs {
    let falls = Falls::of(line, laid);
    LinePegs {
        line: line.name.clone(),
        kind: line.kind,
        grade: laid.grade,
        length_m: laid.length_m(),
        from_tape: line.tape.is_some(),
        pegs: rows(line, laid, &falls, notes(line, laid, layout)),
        settlement: Settlement::hand_thrown(),
        check_back: check_back(&tool::in_hand(&site.plan.tool), laid.length_m(), falls.whole()),
        stopped_because: is_walked(line).then(|| ended(laid)),
    }
}

fn is_walked(line: &Line) -> bool {
    line.from.is_some() && line.pegs.is_none() && line.tape.is_none()
}

/// Why a walk ended, in words.
fn ended(laid: &LaidLine) -> String {
    let early = laid.stopped_early.as_ref();
    early.map_or(AS_LONG_AS_ASKED.to_owned(), ToString::to_string)
}

fn rows(line: &Line, laid: &LaidLine, falls: &Falls, notes: Vec<Vec<String>>) -> Vec<PegRow> {
    let bank_height_m = line.bank_height_m.unwrap_or(0.0);
    let add_frac = Settlement::hand_thrown().add_frac;
    let row = |(i, (peg, notes)): (usize, (&LaidPeg, Vec<String>))| PegRow {
        peg: i + 1,
        chainage_m: peg.chainage_m,
        x_m: peg.at.map(|at| at.x_m),
        y_m: peg.at.map(|at| at.y_m),
        z_m: peg.ground_z_m,
        fall_from_last_mm: m_to_mm(falls.between(i.saturating_sub(1), i)),
        fall_from_first_mm: m_to_mm(falls.between(0, i)),
        cut_m: line.depth_m.unwrap_or(0.0),
        bank_build_m: add_frac.map_monotone(|frac| bank_height_m * (1.0 + frac)),
        band_m: peg.band_m,
        after_jump: peg.after_jump,
        notes,
    };
    laid.pegs.iter().zip(notes).enumerate().map(row).collect()
}

/// Falls between the pegs of a line, m.
struct Falls(Vec<f64>);

impl Falls {
    /// As asked where the line is walked, because the pegs are set by these readings; else as the heights say;
    /// where there are none, as the grade says.
    fn of(line: &Line, laid: &LaidLine) -> Falls {
        let first = laid.pegs.first();
        let walked = is_walked(line);
        let below_first_m = |peg: &LaidPeg| {
            let heights = first.and_then(|first| first.ground_z_m).zip(peg.ground_z_m);
            match heights {
                Some((first_z_m, z_m)) if !walked => first_z_m - z_m,
                _ => laid.grade * peg.chainage_m,
            }
        };
        Falls(laid.pegs.iter().map(below_first_m).collect())
    }

    fn between(&self, from: usize, to: usize) -> f64 {
        self.0[to] - self.0[from]
    }

    fn whole(&self) -> f64 {
        self.0.last().copied().unwrap_or(0.0)
    }
}

/// What levelling back over a line of this length should show; none for a line of one peg.
pub(crate) fn check_back(tool: &Tool, length_m: f64, fall_m: f64) -> Option<CheckBack> {
    let steps = tool.steps_to(length_m);
    let there_and_back = ground::tool::levelling_error_m(tool, 2 * steps);
    let fault_m = ground::tool::fault_out_and_back_m(tool, steps, true);
    (steps > 0).then(|| CheckBack {
        expected_fall_mm: m_to_mm(fall_m),
        allowed_mm: m_to_mm(TWO_STANDARD_ERRORS * there_and_back.random_m),
        tool_fault_shows_mm: m_to_mm(fault_m),
    })
}

/// What is at each peg, by the peg nearest to it; the first of equals.
fn notes(line: &Line, laid: &LaidLine, layout: &Layout) -> Vec<Vec<String>> {
    let mut notes = vec![Vec::new(); laid.pegs.len()];
    let mut add = |chainage_m: f64, text: String| {
        let apart_m = |peg: &LaidPeg| (peg.chainage_m - chainage_m).abs();
        let nearest =
            (0..laid.pegs.len()).min_by(|a, b| apart_m(&laid.pegs[*a]).total_cmp(&apart_m(&laid.pegs[*b])));
        if let Some(peg) = nearest {
            notes[peg].push(text);
        }
    };
    for sill in &line.sills {
        let half_m = sill.width_m / 2.0;
        for (at_m, what) in [(sill.at_m - half_m, "begins"), (sill.at_m + half_m, "ends")] {
            add(at_m, format!("sill {what} at {} m", fixed(at_m, 1)));
        }
    }
    for tree in layout.trees.iter().filter(|tree| tree.line.as_deref() == Some(&line.name)) {
        if let Some(at_m) = tree.chainage_m {
            add(at_m, format!("tree {} at {} m", tree.tree, fixed(at_m, 1)));
        }
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::lay_out;
    use crate::trial;
    use serde_json::json;

    /// Grade 1:100 walked in 2 m steps: 20 mm a step, 200 mm over ten. Bank 0.30 m thrown up 15, 20, 25 % high:
    /// 0.345, 0.36, 0.375 m. Check back over ten steps there and ten back: 2 · 5 mm · √20 = 44.7 mm.
    #[test]
    fn a_peg_sheet_by_hand() {
        let site = trial::on_the_hill(&json!({
            "line": [{
                "name": "d", "kind": "drain", "from": [20.0, 30.0], "toward": [40.0, 30.0], "grade": "1:100",
                "length_m": 20.0, "depth_m": 0.25, "bed_width_m": 0.3, "bank_height_m": 0.3, "to": "ground",
            }],
            "tree": [{ "name": "F1", "species": "fig", "line": "d", "at_m": 6.9 }],
        }));
        let answer = pegs(&site, &lay_out(&site));
        let line = &answer.lines[0];
        assert_eq!(line.pegs.len(), 11);
        assert_eq!(line.pegs[0].fall_from_last_mm, 0.0);
        for (i, row) in line.pegs.iter().enumerate().skip(1) {
            assert!((row.fall_from_last_mm - 20.0).abs() < 1e-9);
            assert!((row.fall_from_first_mm - 20.0 * i as f64).abs() < 1e-9);
            assert_eq!(row.cut_m, 0.25);
        }
        let build = line.pegs[4].bank_build_m;
        for (found, expected) in [(build.low(), 0.345), (build.likely(), 0.36), (build.high(), 0.375)] {
            assert!((found - expected).abs() < 1e-12);
        }
        let back = line.check_back.unwrap();
        assert!((back.expected_fall_mm - 200.0).abs() < 1e-9);
        assert!((back.allowed_mm - 10.0 * 20f64.sqrt()).abs() < 1e-9);
        assert_eq!(back.tool_fault_shows_mm, 0.0, "a pivoted frame's fault cancels");
        assert_eq!(line.pegs[3].notes, ["tree F1 at 6.9 m"]);
        assert_eq!(line.stopped_because.as_deref(), Some("it is as long as was asked"));
    }

    /// Frame carried, the same leg leading home: ten steps out and ten back of 2 mm each are 40 mm.
    #[test]
    fn a_carried_frame_shows_its_fault() {
        let mut site = trial::by_tape(&json!({
            "line": [{ "name": "t", "kind": "swale", "cross_slope": "10%",
                "tape": [{ "at_m": 0.0, "z_m": 10.0 }, { "at_m": 10.0, "z_m": 10.03 }, { "at_m": 20.0, "z_m": 9.98 }],
                "sill": [{ "at_m": 10.0, "width_m": 3.0, "below_bank_m": 0.1, "to": "ground" }] }],
        }));
        site.plan.tool.walked = Some(site::WalkedHow::Carried);
        let answer = pegs(&site, &lay_out(&site));
        let line = &answer.lines[0];
        assert!((line.check_back.unwrap().tool_fault_shows_mm - 40.0).abs() < 1e-9);
        let falls: Vec<f64> = line.pegs.iter().map(|row| row.fall_from_last_mm).collect();
        for (found, expected) in falls.iter().zip([0.0, -30.0, 50.0]) {
            assert!((found - expected).abs() < 1e-9, "{falls:?}");
        }
        assert!(line.from_tape && line.stopped_because.is_none());
        assert_eq!(line.pegs[1].notes, ["sill begins at 8.5 m", "sill ends at 11.5 m"]);
    }

    #[test]
    fn a_line_without_ground_has_no_pegs() {
        let site = trial::by_tape(&json!({ "line": [{ "name": "t", "kind": "swale", "from": [0.0, 0.0] }] }));
        let answer = pegs(&site, &lay_out(&site));
        assert!(answer.lines[0].pegs.is_empty() && answer.lines[0].check_back.is_none());
        assert_eq!(
            answer.lines[0].stopped_because.as_deref(),
            Some("no ground was measured at its first peg")
        );
    }

    #[test]
    fn the_document_as_others_read_it() {
        let site = trial::by_tape(&json!({
            "line": [{ "name": "t", "kind": "swale", "cross_slope": "10%", "depth_m": 0.3, "bank_height_m": 0.25,
                "tape": [{ "at_m": 0.0, "z_m": 10.0 }, { "at_m": 8.0, "z_m": 10.0 }],
                "sill": [{ "at_m": 4.0, "width_m": 3.0, "below_bank_m": 0.1, "to": "ground" }] }],
        }));
        insta::assert_json_snapshot!(pegs(&site, &lay_out(&site)));
    }
}
