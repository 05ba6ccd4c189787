//! Sills: the head the design peak needs, what is left above it, and where the water comes down.
//!
//! All sills of a line lie under one water, so the flow shares itself by the lengths of their crests. Head and
//! bank decide together: what is left between the water over the crest and the lowest place of the bank is the
//! freeboard, and a longer crest leaves more of it.

use quantity::convert::{l_to_m3, mm_to_m};
use site::{Line, LineKind, Lining, Sill, Soil};
use water::scour;
use water::weir::{self, Crest};

use super::{Holding, Landing, SillSizes, cover};
use crate::layout::LaidLine;
use crate::section::Sections;

/// Freeboard of ditches and diversions: 0.3 ft, as a mine permit quotes USDA-NRCS practice standard 362.
const FREEBOARD_M: f64 = 0.09;

/// How far a lip made by hand lies out of level: the ¼ in that the North Carolina rule on level spreaders allows
/// along a whole lip, 15A NCAC 02H .1059.
const LIP_ERROR_MM: f64 = 6.0;

/// What the sills of one line are sized by.
pub(super) struct LineAt<'a> {
    pub line: &'a Line,
    pub laid: &'a LaidLine,
    pub sections: Option<&'a Sections>,
    pub holding: Option<&'a Holding>,
    pub soil: Option<&'a Soil>,
    /// All that the line must pass at the peak.
    pub peak_l_s: Option<f64>,
}

impl LineAt<'_> {
    /// The sizes of the sills, in the order of the site file.
    pub(super) fn sills(&self) -> Vec<SillSizes> {
        let width_m: f64 = self.line.sills.iter().map(|sill| sill.width_m).sum();
        // What a drain or chute does not carry to its end is a storm's question, not a size.
        let all_over_sills = self.line.kind == LineKind::Swale || self.line.to.is_none();
        let peak_l_s = self.peak_l_s.filter(|_| all_over_sills);
        self.line
            .sills
            .iter()
            .map(|sill| self.size(sill, peak_l_s.map(|peak| peak * sill.width_m / width_m)))
            .collect()
    }

    fn size(&self, sill: &Sill, design_l_s: Option<f64>) -> SillSizes {
        let crest = sill_crest(self.line, sill);
        let over = |crest: Crest| weir::Sill { length_m: sill.width_m, crest };
        let flow_m3_s = design_l_s.map(l_to_m3);
        let head_m = flow_m3_s.and_then(|flow| over(crest).head_m(flow).ok());
        let crest_z_m = self.sections.map(|sections| sections.crest_z_m(sill));
        let above_crest_m = crest_z_m.zip(self.bank_z_m(sill)).map(|(crest, bank)| bank - crest);
        let out_of_level = flow_m3_s
            .filter(|flow| *flow > 0.0)
            .and_then(|flow| weir::out_of_level(&over(crest), flow, mm_to_m(LIP_ERROR_MM)).ok());
        SillSizes {
            at_m: sill.at_m,
            width_m: sill.width_m,
            crest_z_m,
            to: sill.to.clone(),
            design_l_s,
            head_m,
            head_hard_crest_m: flow_m3_s.and_then(|flow| over(Crest::Smooth).head_m(flow).ok()),
            freeboard_m: above_crest_m.zip(head_m).map(|(above, head)| above - head),
            freeboard_wanted_m: FREEBOARD_M,
            width_needed_m: above_crest_m
                .zip(flow_m3_s)
                .and_then(|(above, flow)| weir::Sill::length_needed_m(crest, flow, above - FREEBOARD_M)),
            out_of_level_times: out_of_level.map(|lip| lip.peak_over_mean),
            landing: out_of_level.and_then(|lip| self.landing(sill, lip.peak_unit_flow_m2_s)),
        }
    }

    /// The bank that the water over the sill may not reach: the lowest of a level line, that beside the sill of a
    /// falling one.
    fn bank_z_m(&self, sill: &Sill) -> Option<f64> {
        let lowest_z_m = self.holding?.lowest_bank.map(|low| low.z_m);
        lowest_z_m.or_else(|| Some(self.sections?.bank_top_z_m(sill.at_m)))
    }

    /// The sheet on the landing, where a lip out of level pours most.
    fn landing(&self, sill: &Sill, unit_flow_m2_s: f64) -> Option<Landing> {
        let slope = self.cross_slope(sill.at_m).filter(|slope| *slope > 0.0)?;
        let covered = landing_cover(sill);
        let sheet = scour::landing_sheet(unit_flow_m2_s, slope, cover::sheet_n(covered));
        let stands_m_s = cover::stands_m_s(covered, slope, self.soil);
        let needs_rock = covered == Lining::Rock || sheet.speed_m_s > stands_m_s;
        let rock = || scour::rock_chute(unit_flow_m2_s, slope).ok();
        Some(Landing {
            slope,
            speed_m_s: sheet.speed_m_s,
            stands_m_s,
            rock_d50_mm: needs_rock.then(rock).flatten().map(|rock| rock.lay_d50_mm),
        })
    }

    /// Slope of the ground across the line at the peg nearest to a place along it.
    fn cross_slope(&self, at_m: f64) -> Option<f64> {
        let apart_m = |peg: &&crate::layout::LaidPeg| (peg.chainage_m - at_m).abs();
        self.laid.pegs.iter().min_by(|a, b| apart_m(a).total_cmp(&apart_m(b)))?.cross_slope
    }
}

/// What the crest of a sill is like.
pub(crate) fn sill_crest(line: &Line, sill: &Sill) -> Crest {
    let bank_top_m = || crate::section::hand_section(line, 0.0).bank_top_m;
    Crest::Rough {
        breadth_m: sill.crest_breadth_m.unwrap_or_else(bank_top_m),
        manning_n: cover::crest_n(landing_cover(sill)),
    }
}

/// What covers a sill and its landing; grass where the site file does not say.
fn landing_cover(sill: &Sill) -> Lining {
    sill.landing.unwrap_or(Lining::Grass)
}
