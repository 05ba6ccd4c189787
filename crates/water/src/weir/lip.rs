//! A lip that is not level.
//!
//! Hand tools leave a lip some millimetres out, and the head over it is only a few centimetres: the low places
//! draw most of the water, and there it bites first. The flow is added up along the lip, each place under its
//! own head: Q(z) = ∫ q(z − lip(x)) dx.
//!
//! Source: the sum itself is elementary; lips level to 6 mm (¼ inch) over their whole length are asked for by
//! the North Carolina rule on level spreaders, 15A NCAC 02H .1059. Leaves out water running along the crest
//! from the high places to the low ones.

use super::{Crest, Sill, SillError};
use crate::root::rising_root;

/// Levels are found to a micrometre.
const LEVEL_TOLERANCE_M: f64 = 1e-6;
/// Slices of each straight piece, each added up at two points of Gauss. The worst place is where the lip comes out
/// of the water, where q starts as head^1.5: there one slice in 16 is off by under a thousandth of the piece's flow.
const SLICES: u32 = 16;

/// A place on a lip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LipPoint {
    /// Distance along the lip.
    pub along_m: f64,
    /// Height above any datum, the same for the whole lip.
    pub z_m: f64,
}

/// A lip of straight pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Lip {
    points: Vec<LipPoint>,
    crest: Crest,
}

impl Lip {
    /// A lip through two places or more, in order along it.
    ///
    /// # Errors
    /// If there are fewer, one is not finite, or one lies back along the lip; or if the crest is impossible.
    pub fn new(points: Vec<LipPoint>, crest: Crest) -> Result<Lip, SillError> {
        crest.check()?;
        let finite = points.iter().all(|p| p.along_m.is_finite() && p.z_m.is_finite());
        let in_order = points.windows(2).all(|p| p[0].along_m < p[1].along_m);
        if points.len() < 2 || !finite || !in_order {
            return Err(SillError::BadLip);
        }
        Ok(Lip { points, crest })
    }

    /// Length along the lip.
    pub fn length_m(&self) -> f64 {
        self.points[self.points.len() - 1].along_m - self.points[0].along_m
    }

    /// Its lowest place; of equals the first.
    pub fn lowest(&self) -> LipPoint {
        let first = self.points[0];
        self.points.iter().fold(first, |low, p| if p.z_m < low.z_m { *p } else { low })
    }

    /// Flow over the whole lip with the pool at a level.
    pub fn flow_m3_s(&self, level_z_m: f64) -> f64 {
        self.points.windows(2).map(|pair| self.piece_m3_s(pair[0], pair[1], level_z_m)).sum()
    }

    /// Level of the pool that drives a flow over the lip.
    ///
    /// # Errors
    /// If the flow is not a number of 0 or more.
    pub fn level_for_flow_z_m(&self, flow_m3_s: f64) -> Result<f64, SillError> {
        if !(flow_m3_s.is_finite() && flow_m3_s >= 0.0) {
            return Err(SillError::BadFlow { flow_m3_s });
        }
        let low_z_m = self.lowest().z_m;
        if flow_m3_s == 0.0 {
            return Ok(low_z_m);
        }
        let guess_m = Sill { length_m: self.length_m(), crest: self.crest }.head_m(flow_m3_s)?;
        rising_root(guess_m, LEVEL_TOLERANCE_M, |head_m| self.flow_m3_s(low_z_m + head_m) - flow_m3_s)
            .map(|head_m| low_z_m + head_m)
            .ok_or(SillError::NoHead { flow_m3_s })
    }

    /// Flow over one straight piece.
    fn piece_m3_s(&self, from: LipPoint, to: LipPoint, level_z_m: f64) -> f64 {
        let gauss = 0.5 / 3.0_f64.sqrt();
        let slice = 1.0 / f64::from(SLICES);
        let mut unit_flows_m2_s = 0.0;
        for i in 0..SLICES {
            let middle = (f64::from(i) + 0.5) * slice;
            for t in [middle - gauss * slice, middle + gauss * slice] {
                let lip_z_m = from.z_m + t * (to.z_m - from.z_m);
                unit_flows_m2_s += self.crest.unit_flow_m2_s(level_z_m - lip_z_m);
            }
        }
        0.5 * slice * (to.along_m - from.along_m) * unit_flows_m2_s
    }
}

/// What a lip out of level does to the spill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfLevel {
    /// Flow over the lowest metre, over the mean along the lip.
    pub peak_over_mean: f64,
    /// Share of the flow that the lower half of the lip takes.
    pub lower_half_share: f64,
    /// Head over the middle of the lip, less what a level lip needs.
    pub extra_head_m: f64,
    /// Flow over a metre at the lowest place, for the check of the landing.
    pub peak_unit_flow_m2_s: f64,
}

/// What becomes of a flow when one end of the sill lies `error_m` too low and the other as much too high.
///
/// # Errors
/// As [`Lip::new`] and [`Lip::level_for_flow_z_m`].
pub fn out_of_level(sill: &Sill, flow_m3_s: f64, error_m: f64) -> Result<OutOfLevel, SillError> {
    super::not_negative("error of the lip", error_m)?;
    let point = |along_m, z_m| LipPoint { along_m, z_m };
    let middle_m = 0.5 * sill.length_m;
    let lower = Lip::new(vec![point(0.0, -error_m), point(middle_m, 0.0)], sill.crest)?;
    let whole = Lip::new(
        vec![point(0.0, -error_m), point(middle_m, 0.0), point(sill.length_m, error_m)],
        sill.crest,
    )?;
    let level_z_m = whole.level_for_flow_z_m(flow_m3_s)?;
    let peak_unit_flow_m2_s = sill.crest.unit_flow_m2_s(level_z_m + error_m);
    let nothing_flows = flow_m3_s == 0.0;
    Ok(OutOfLevel {
        peak_over_mean: if nothing_flows { 1.0 } else { peak_unit_flow_m2_s * sill.length_m / flow_m3_s },
        lower_half_share: if nothing_flows { 0.5 } else { lower.flow_m3_s(level_z_m) / flow_m3_s },
        extra_head_m: level_z_m - sill.head_m(flow_m3_s)?,
        peak_unit_flow_m2_s,
    })
}
