//! How far off a peg, and what is dug at it, may stand: what a reading in the field is held against.
//!
//! A reading is good while chance explains it: two standard errors of the tool over the steps read, and the tool's
//! own fault. Beyond that it matters only for what it does. A peg that stands low lowers the bank built on it, and
//! may do so by what the bank has in hand: its freeboard in the design storm less the freeboard that is wanted. A
//! peg that stands high leaves a hump in the bed that is dug away. The line may stand off by the tolerance of a
//! contour line in any case (`ground::tool::CONTOUR_TOLERANCE_M`, with its source).
//!
//! A bank thrown up loose loses height · s ÷ (1 + s) as it settles; while it is loose it must stand at least at
//! height · (1 + s) with the least s, to be as high as planned if it settles least.

use ground::tool::{CONTOUR_TOLERANCE_M, Tool, levelling_error_m};
use quantity::convert::{m_to_cm, m_to_mm};
use serde::Serialize;
use site::{Line, LineKind, Site, ToolKind};

use crate::layout::Layout;
use crate::pegs::{self, LinePegs, PegRow};
use crate::sizes::{self, LineSizes};
use crate::tool;

/// What readings on the lines of a site are held against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// Which peg a reading is taken against.
    pub read_from: ReadFrom,
    /// One entry a line, in the order of the plan.
    pub lines: Vec<LineSetting>,
}

/// The peg that a reading is taken against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ReadFrom {
    /// The peg before: frame and line level.
    LastPeg,
    /// The first peg of the line: hose and level.
    FirstPeg,
}

/// What readings along one line are held against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineSetting {
    /// Its name.
    pub line: String,
    /// How far off its pegs may stand.
    pub limits: Limits,
    /// One entry a peg.
    pub pegs: Vec<PegSetting>,
}

/// How far off the pegs of one line may stand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Limits {
    /// How far a peg may stand below its height before the bank has less in hand than is wanted.
    pub low_spare_mm: f64,
    /// How far it may stand below before water stands as high as the bank in the design storm; none where that is
    /// not known.
    pub low_brim_mm: Option<f64>,
    /// How far it may stand above before the bed is dug deeper there.
    pub high_spare_mm: f64,
    /// Whether water must fall along it, so that a bed that rises from peg to peg leaves it standing.
    pub must_fall: bool,
}

/// What is held against at one peg.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PegSetting {
    /// 1 for the first.
    pub peg: usize,
    /// How much lower it is to stand than the peg it is read from; minus is higher.
    pub fall_mm: f64,
    /// What chance and the tool's own fault explain of a difference.
    pub chance_mm: f64,
    /// From the ground at the peg down to the bed.
    pub cut_cm: f64,
    /// Settled height of the bank above the ground at the peg; 0 where there is none.
    pub bank_settled_cm: f64,
    /// Height of the loose bank that is enough if it settles as usual.
    pub bank_loose_cm: f64,
    /// Height of the loose bank that is enough if it settles least: with less the bank is too low in any case.
    pub bank_loose_least_cm: f64,
    /// Slope of the ground across the line, rise over run: a peg moves by height ÷ slope. None where not known.
    pub cross_slope: Option<f64>,
}

/// What readings on the lines of a site are held against.
pub fn setting(site: &Site, layout: &Layout, (pegs, sizes): (&pegs::Answer, &sizes::Answer)) -> Answer {
    let read_from = match site.plan.tool.kind {
        ToolKind::AFrame | ToolKind::LineLevel => ReadFrom::LastPeg,
        ToolKind::Hose | ToolKind::Level => ReadFrom::FirstPeg,
    };
    let tool = tool::in_hand(&site.plan.tool);
    let lines = site.plan.lines.iter().zip(&layout.lines).filter_map(|(line, laid)| {
        let pegs = pegs.lines.iter().find(|pegs| pegs.line == line.name)?;
        let sizes = sizes.lines.iter().find(|sizes| sizes.line == line.name)?;
        let slopes: Vec<Option<f64>> = laid.pegs.iter().map(|peg| peg.cross_slope).collect();
        Some(line_setting(line, (pegs, sizes), |i| {
            peg_setting(line, (pegs, i), (&tool, read_from), slopes[i])
        }))
    });
    Answer { read_from, lines: lines.collect() }
}

fn line_setting(
    line: &Line,
    (pegs, sizes): (&LinePegs, &LineSizes),
    peg: impl Fn(usize) -> PegSetting,
) -> LineSetting {
    let tolerance_mm = m_to_mm(CONTOUR_TOLERANCE_M);
    let least_m =
        |of: fn(&sizes::SillSizes) -> Option<f64>| sizes.sills.iter().filter_map(of).reduce(f64::min);
    let in_hand_m = least_m(|sill| Some(sill.freeboard_m? - sill.freeboard_wanted_m));
    let limits = Limits {
        low_spare_mm: in_hand_m.map_or(tolerance_mm, |in_hand_m| m_to_mm(in_hand_m).max(tolerance_mm)),
        low_brim_mm: least_m(|sill| sill.freeboard_m).map(|freeboard_m| m_to_mm(freeboard_m).max(0.0)),
        high_spare_mm: tolerance_mm,
        must_fall: line.kind != LineKind::Swale && pegs.grade > 0.0,
    };
    LineSetting { line: line.name.clone(), limits, pegs: (0..pegs.pegs.len()).map(peg).collect() }
}

fn peg_setting(
    line: &Line,
    (pegs, i): (&LinePegs, usize),
    (tool, read_from): (&Tool, ReadFrom),
    cross_slope: Option<f64>,
) -> PegSetting {
    let row = &pegs.pegs[i];
    let bank_height_m = line.bank_height_m.unwrap_or(0.0);
    let add_frac = pegs.settlement.add_frac;
    PegSetting {
        peg: row.peg,
        fall_mm: match read_from {
            ReadFrom::LastPeg => row.fall_from_last_mm,
            ReadFrom::FirstPeg => row.fall_from_first_mm,
        },
        chance_mm: m_to_mm(
            levelling_error_m(tool, tool.steps_to(read_over_m(&pegs.pegs, i, read_from))).wide_m(),
        ),
        cut_cm: m_to_cm(row.cut_m),
        bank_settled_cm: m_to_cm(bank_height_m),
        bank_loose_cm: m_to_cm(bank_height_m * (1.0 + add_frac.likely())),
        bank_loose_least_cm: m_to_cm(bank_height_m * (1.0 + add_frac.low())),
        cross_slope: cross_slope.filter(|slope| *slope > 0.0),
    }
}

/// Distance along the line from the peg that a reading is taken against.
fn read_over_m(rows: &[PegRow], i: usize, read_from: ReadFrom) -> f64 {
    let from = match read_from {
        ReadFrom::LastPeg => i.saturating_sub(1),
        ReadFrom::FirstPeg => 0,
    };
    rows[i].chainage_m - rows[from].chainage_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial;
    use serde_json::json;

    fn of(site: &Site) -> Answer {
        let answers = crate::answer(site);
        setting(site, &answers.layout, (&answers.pegs, &answers.sizes))
    }

    fn drain() -> Site {
        trial::on_the_hill(&json!({
            "line": [{
                "name": "d", "kind": "drain", "from": [20.0, 30.0], "toward": [40.0, 30.0], "grade": "1:100",
                "length_m": 20.0, "depth_m": 0.25, "bed_width_m": 0.3, "bank_height_m": 0.3, "to": "ground",
            }],
        }))
    }

    /// A pivoted frame of 2 m, 5 mm by chance and 2 mm of its own: one step is 2 · 5 + 2 = 12 mm from the last peg.
    /// A bank of 30 cm is thrown up 15 to 25 % higher: 34.5 cm at the least, 36 as usual.
    #[test]
    fn a_frame_reads_from_the_last_peg() {
        let answer = of(&drain());
        assert_eq!(answer.read_from, ReadFrom::LastPeg);
        let line = &answer.lines[0];
        assert!(line.limits.must_fall);
        let peg = &line.pegs[4];
        for (found, expected) in [
            (peg.fall_mm, 20.0),
            (peg.chance_mm, 12.0),
            (peg.cut_cm, 25.0),
            (peg.bank_settled_cm, 30.0),
            (peg.bank_loose_cm, 36.0),
            (peg.bank_loose_least_cm, 34.5),
        ] {
            assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
        }
        assert_eq!(line.pegs[0].chance_mm, 0.0, "the first peg is where it is");
    }

    /// A hose of 10 m steps reads every peg against the first: 20 m away is two steps, 2 · 3 mm · √2.
    #[test]
    fn a_hose_reads_from_the_first_peg() {
        let mut site = drain();
        site.plan.tool = site::Tool {
            kind: ToolKind::Hose,
            step_m: 10.0,
            random_mm: Some(3.0),
            bias_mm: Some(0.0),
            walked: None,
        };
        let answer = of(&site);
        assert_eq!(answer.read_from, ReadFrom::FirstPeg);
        let last = answer.lines[0].pegs.last().unwrap();
        assert!((last.fall_mm - 200.0).abs() < 1e-9);
        assert!((last.chance_mm - 6.0 * 2f64.sqrt()).abs() < 1e-9, "{}", last.chance_mm);
    }

    /// What the bank has in hand: freeboard less the freeboard wanted, of the sill with the least; a line without a
    /// known peak has the tolerance of a contour line, and never less.
    #[test]
    fn what_the_bank_has_in_hand() {
        let site = drain();
        let mut answers = crate::answer(&site);
        let sill = |freeboard_m| sizes::SillSizes {
            at_m: 4.0,
            width_m: 2.0,
            crest_z_m: None,
            to: "ground".to_owned(),
            design_l_s: None,
            head_m: None,
            head_hard_crest_m: None,
            freeboard_m,
            freeboard_wanted_m: 0.09,
            width_needed_m: None,
            out_of_level_times: None,
            landing: None,
        };
        for (sills, spare_mm, brim_mm) in [
            (vec![], 20.0, None),
            (vec![sill(None)], 20.0, None),
            (vec![sill(Some(0.19)), sill(Some(0.15))], 60.0, Some(150.0)),
            (vec![sill(Some(0.05))], 20.0, Some(50.0)),
            (vec![sill(Some(-0.05))], 20.0, Some(0.0)),
        ] {
            answers.sizes.lines[0].sills = sills;
            let line = &setting(&site, &answers.layout, (&answers.pegs, &answers.sizes)).lines[0];
            assert!((line.limits.low_spare_mm - spare_mm).abs() < 1e-9, "{line:?}");
            assert_eq!(line.limits.low_brim_mm.map(f64::round), brim_mm);
        }
    }
}
