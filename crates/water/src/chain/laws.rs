//! What passes an end, a crest or a pipe, with how it answers to the levels on both sides.
//!
//! Crests and pipes have roots to search in their laws, too slow for an inner loop, so each is searched once a run.
//! A crest's coefficient q/H^1.5 is kept at [`CREST_POINTS`] heads spaced evenly in H^(1/4) and taken straight
//! between; the flow is within 0.1 % of the law. A pipe's mouth is kept at [`PIPE_POINTS`] flows; within 0.5 %.
//!
//! Villemonte's drowned share falls without bound where both levels meet: in the last [`NEARLY_LEVEL`] of the head it
//! goes straight to 0. A pipe's law steps down where its mouth drowns and the whole length begins to rule; a pipe here
//! passes at least what it passed with a lower pool, and never more than the full pipe under the difference of levels.

use super::table::{Table, Wet};
use crate::GRAVITY_M_S2;
use crate::pipe::{Pipe, PipeError};
use crate::weir::{Crest, drowned_share};

/// Heads at which a crest's coefficient is kept.
const CREST_POINTS: usize = 64;
/// Greatest of them, m; above it the coefficient stays.
const CREST_HEAD_M: f64 = 1.0;
/// Flows at which a pipe's mouth is kept.
const PIPE_POINTS: usize = 96;
/// Pool up to which it is kept, in diameters; above it the flow grows with the root of the pool.
const PIPE_POOL_DIAMETERS: f64 = 6.0;
/// Share of the head within which two levels count as meeting.
const NEARLY_LEVEL: f64 = 0.01;
/// Difference of levels below which the flow into held water grows straight, m: the root of a difference has no slope
/// to work with at 0.
const NEARLY_HELD_M: f64 = 1e-4;

/// A flow and how it grows with the level on each side.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Flow {
    pub(super) m3_s: f64,
    /// For a metre more on the side it comes from.
    pub(super) per_upper_m: f64,
    /// For a metre more on the side it goes to.
    pub(super) per_lower_m: f64,
}

impl Flow {
    /// What is left of a free flow out of an end when the water below stands `below_m` above the end's bed: an end is a
    /// crest as high as its bed.
    pub(super) fn drowned(self, upper: &Wet, below_m: f64) -> Flow {
        if below_m <= 0.0 || upper.depth_m <= 0.0 {
            return self;
        }
        if below_m >= upper.depth_m {
            return Flow::default();
        }
        let ratio = below_m / upper.depth_m;
        let (share, share_per_ratio) = drowned(ratio);
        Flow {
            m3_s: self.m3_s * share,
            per_upper_m: self.per_upper_m * share - self.m3_s * share_per_ratio * ratio / upper.depth_m,
            per_lower_m: self.m3_s * share_per_ratio / upper.depth_m,
        }
    }
}

/// A crest's law, searched once.
#[derive(Debug, Clone)]
pub(super) struct CrestLaw {
    pub(super) crest: Crest,
    coefficients: Vec<f64>,
}

impl CrestLaw {
    pub(super) fn new(crest: Crest) -> CrestLaw {
        let mut coefficients: Vec<f64> = (1..=CREST_POINTS)
            .map(|k| {
                let share = k as f64 / CREST_POINTS as f64;
                let head_m = CREST_HEAD_M * share * share * share * share;
                crest.unit_flow_m2_s(head_m) / (head_m * head_m.sqrt())
            })
            .collect();
        // A rough crest passes nothing to speak of under a head of nothing.
        coefficients.insert(0, coefficients[0]);
        CrestLaw { crest, coefficients }
    }

    /// Flow over a metre of crest, and its growth with the head.
    pub(super) fn unit_flow(&self, head_m: f64) -> (f64, f64) {
        if head_m <= 0.0 {
            return (0.0, 0.0);
        }
        let root = head_m.sqrt();
        let place = (root / CREST_HEAD_M.sqrt()).sqrt() * CREST_POINTS as f64;
        let index = place as usize;
        if index >= CREST_POINTS {
            let coefficient = self.coefficients[CREST_POINTS];
            return (coefficient * head_m * root, 1.5 * coefficient * root);
        }
        let (low, high) = (self.coefficients[index], self.coefficients[index + 1]);
        let coefficient = low + (high - low) * (place - index as f64);
        // d(place)/dH = place/(4·H).
        let growth = 1.5 * coefficient + 0.25 * place * (high - low);
        (coefficient * head_m * root, growth * root)
    }

    /// Flow over a crest from one pool to another, drowned or free, positive from the upper to the lower.
    pub(super) fn flow(&self, crest_z_m: f64, length_m: f64, upper_z_m: f64, lower_z_m: f64) -> Flow {
        if upper_z_m >= lower_z_m {
            return self.one_way(length_m, upper_z_m - crest_z_m, lower_z_m - crest_z_m);
        }
        let back = self.one_way(length_m, lower_z_m - crest_z_m, upper_z_m - crest_z_m);
        Flow { m3_s: -back.m3_s, per_upper_m: -back.per_lower_m, per_lower_m: -back.per_upper_m }
    }

    fn one_way(&self, length_m: f64, head_m: f64, below_m: f64) -> Flow {
        let (unit_m2_s, growth_m_s) = self.unit_flow(head_m);
        if unit_m2_s <= 0.0 {
            return Flow::default();
        }
        if below_m <= 0.0 {
            return Flow { m3_s: length_m * unit_m2_s, per_upper_m: length_m * growth_m_s, per_lower_m: 0.0 };
        }
        let ratio = below_m / head_m;
        let (share, share_per_ratio) = drowned(ratio);
        // ratio = below/head, so it falls by ratio/head for each metre of head.
        Flow {
            m3_s: length_m * unit_m2_s * share,
            per_upper_m: length_m * (growth_m_s * share - unit_m2_s * share_per_ratio * ratio / head_m),
            per_lower_m: length_m * unit_m2_s * share_per_ratio / head_m,
        }
    }
}

/// The drowned share and its growth (below 0) with below/head, above 0.
fn drowned(ratio: f64) -> (f64, f64) {
    let last = 1.0 - NEARLY_LEVEL;
    if ratio >= last {
        let at_last = drowned_share(1.0, last);
        return (at_last * (1.0 - ratio) / NEARLY_LEVEL, -at_last / NEARLY_LEVEL);
    }
    let share = drowned_share(1.0, ratio);
    let open = 1.0 - ratio * ratio.sqrt();
    // d/dr (1 − r^1.5)^0.385.
    (share, -0.385 * share / open * 1.5 * ratio.sqrt())
}

/// A pipe's law, searched once.
#[derive(Debug, Clone)]
pub(super) struct PipeLaw {
    pipe: Pipe,
    /// Pool above the mouth's invert and flow, rising.
    mouth: Vec<(f64, f64)>,
    /// Flow of the full pipe under a metre of head, which grows with its root.
    full_m3_s: f64,
}

impl PipeLaw {
    pub(super) fn new(pipe: Pipe) -> Result<PipeLaw, PipeError> {
        let greatest_m3_s = pipe.flow_m3_s(PIPE_POOL_DIAMETERS * pipe.diameter_m, 0.0)?;
        let full_m3_s = pipe.full_flow_m3_s(1.0);
        let free = |pool_m: f64, at_mouth_m3_s: f64| {
            let drives_m = pool_m - pipe.diameter_m + pipe.slope * pipe.length_m;
            let full_m3_s = if drives_m > 0.0 { full_m3_s * drives_m.sqrt() } else { 0.0 };
            if pool_m >= pipe.diameter_m && full_m3_s < at_mouth_m3_s { full_m3_s } else { at_mouth_m3_s }
        };
        let mut mouth = vec![(0.0, 0.0)];
        let mut most_m3_s = 0.0;
        let mut step = 1;
        loop {
            // Beyond the greatest flow of the free pipe the mouth would pass more, so a few steps more may be due
            // until the pool has risen to its limit.
            let at_mouth_m3_s = greatest_m3_s * f64::from(step) / PIPE_POINTS as f64;
            let pool_m = pipe.pool_at_mouth_m(at_mouth_m3_s)?;
            let passes_m3_s = free(pool_m, at_mouth_m3_s);
            if passes_m3_s > most_m3_s {
                most_m3_s = passes_m3_s;
            }
            let rises = mouth.last().is_none_or(|(last_m, _)| pool_m > *last_m);
            if rises {
                mouth.push((pool_m, most_m3_s));
            }
            step += 1;
            if pool_m > PIPE_POOL_DIAMETERS * pipe.diameter_m || step > 8 * PIPE_POINTS as i32 {
                break;
            }
        }
        Ok(PipeLaw { pipe, mouth, full_m3_s })
    }

    /// Flow with the pool and the water below at levels above the datum; none back up the pipe.
    pub(super) fn flow(&self, invert_z_m: f64, upper_z_m: f64, lower_z_m: f64) -> Flow {
        let pool_m = upper_z_m - invert_z_m;
        if pool_m <= 0.0 || lower_z_m >= upper_z_m {
            return Flow::default();
        }
        let (m3_s, per_upper_m) = self.free(pool_m);
        let outlet_z_m = invert_z_m - self.pipe.slope * self.pipe.length_m;
        if lower_z_m <= outlet_z_m {
            return Flow { m3_s, per_upper_m, per_lower_m: 0.0 };
        }
        let (full_m3_s, per_m) = straightened_root(upper_z_m - lower_z_m);
        if self.full_m3_s * full_m3_s >= m3_s {
            return Flow { m3_s, per_upper_m, per_lower_m: 0.0 };
        }
        Flow {
            m3_s: self.full_m3_s * full_m3_s,
            per_upper_m: self.full_m3_s * per_m,
            per_lower_m: -self.full_m3_s * per_m,
        }
    }

    fn free(&self, pool_m: f64) -> (f64, f64) {
        let above = self.mouth.partition_point(|(at_m, _)| *at_m <= pool_m);
        if above == self.mouth.len() {
            let (at_m, m3_s) = self.mouth[above - 1];
            let flow = m3_s * (pool_m / at_m).sqrt();
            return (flow, 0.5 * flow / pool_m);
        }
        let (from, to) = (self.mouth[above - 1], self.mouth[above]);
        let growth = (to.1 - from.1) / (to.0 - from.0);
        (from.1 + growth * (pool_m - from.0), growth)
    }
}

/// √x and its growth; straight from 0 to [`NEARLY_HELD_M`].
fn straightened_root(difference_m: f64) -> (f64, f64) {
    if difference_m < NEARLY_HELD_M {
        let growth = 1.0 / NEARLY_HELD_M.sqrt();
        return (difference_m * growth, growth);
    }
    let root = difference_m.sqrt();
    (root, 0.5 / root)
}

/// Flow at critical depth: Q = A·√(g·A/T).
pub(super) fn critical_flow(table: &Table, wet: &Wet) -> Flow {
    if wet.area_m2 <= 0.0 {
        return Flow::default();
    }
    let width_m = table.width_m(wet.depth_m);
    let m3_s = wet.area_m2 * (GRAVITY_M_S2 * wet.area_m2 / width_m).sqrt();
    Flow {
        m3_s,
        // The growth of the width is left out: it only steers the next guess.
        per_upper_m: 1.5 * m3_s * wet.growth_m / wet.area_m2,
        per_lower_m: 0.0,
    }
}

/// Flow at normal depth on a slope.
pub(super) fn normal_flow(wet: &Wet, slope: f64, manning_n: f64) -> Flow {
    if wet.area_m2 <= 0.0 {
        return Flow::default();
    }
    let speed_m_s = crate::manning::speed_m_s(wet.radius_m, slope, manning_n);
    Flow {
        m3_s: wet.area_m2 * speed_m_s,
        per_upper_m: speed_m_s * (wet.growth_m + 2.0 / 3.0 * wet.area_m2 * wet.radius_per_m / wet.radius_m),
        per_lower_m: 0.0,
    }
}

/// Flow from a cell into water held at a level `distance_m` away: Manning's on the fall of the surface, at most
/// critical, none back.
pub(super) fn held_flow(table: &Table, wet: &Wet, fall_m: f64, distance_m: f64, manning_n: f64) -> Flow {
    if wet.area_m2 <= 0.0 || fall_m <= 0.0 {
        return Flow::default();
    }
    let critical = critical_flow(table, wet);
    if manning_n <= 0.0 {
        return critical;
    }
    let (root, root_per_m) = straightened_root(fall_m);
    let at_unit_fall = normal_flow(wet, 1.0 / distance_m, manning_n);
    let m3_s = at_unit_fall.m3_s * root;
    if m3_s >= critical.m3_s {
        return critical;
    }
    Flow {
        m3_s,
        per_upper_m: at_unit_fall.per_upper_m * root + at_unit_fall.m3_s * root_per_m,
        per_lower_m: 0.0,
    }
}
