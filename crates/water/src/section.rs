//! The true cross-section of a line: sloping ground, trench and bank, and the water that stands in it.
//!
//! On a slope a level line holds far less than the same trench on the flat, because its uphill side is the
//! hill itself. So the section is taken as it is: straight pieces of ground across the line, and water in the
//! hollow round the bed, up to the bank's crest or the ground uphill, whichever is lower.
//!
//! Between two corners the width of the water surface T changes in a straight line with the level z, and
//! dA/dz = T, so the area A is a quadratic there: A = A₀ + T₀·d + (T₁ − T₀)·d²/(2·D), with d above the lower
//! corner and D from corner to corner. Its root gives the level for an area without iterating.
//!
//! Source: elementary geometry; checked against the trapezoid and the wedge h²/(2p) in front of a bank.
//! Holds for any section that does not overhang. Leaves out water held back by grass or mulch in the trench.
//!
//! Offsets run downhill from the peg; heights are relative to the ground at the peg.

mod hand;

pub use hand::{BankCorners, HandCorners, HandSection};

/// A corner of a cross-section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Distance from the peg across the line, positive downhill.
    pub offset_m: f64,
    /// Height above the ground at the peg.
    pub z_m: f64,
}

/// Why a cross-section cannot be built.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SectionError {
    /// A dimension is not a finite number of zero or more.
    #[error("{name} is {value}: give a number of 0 or more")]
    BadDimension {
        /// Which dimension.
        name: &'static str,
        /// What was given.
        value: f64,
    },
    /// The trench's uphill side is flatter than the hill.
    #[error(
        "on ground of {cross_slope} rise over run a cut of batter {cut_batter} never comes out uphill: \
         batter × slope must stay below 1, so cut it steeper than 1 : {cross_slope}"
    )]
    CutNeverMeetsGround {
        /// Slope of the ground, rise over run.
        cross_slope: f64,
        /// Batter of the cut, horizontal for vertical.
        cut_batter: f64,
    },
    /// The bank's downhill face is flatter than the hill.
    #[error(
        "on ground of {cross_slope} rise over run a bank of batter {bank_batter} never comes down to the \
         ground: batter × slope must stay below 1, so build it steeper or on flatter ground"
    )]
    BankNeverMeetsGround {
        /// Slope of the ground, rise over run.
        cross_slope: f64,
        /// Batter of the bank, horizontal for vertical.
        bank_batter: f64,
    },
    /// Too few corners.
    #[error("a section has {found} corners: give at least 3, from uphill to downhill")]
    TooFewCorners {
        /// How many were given.
        found: usize,
    },
    /// A corner that is not a number.
    #[error("corner {index} of the section is at offset {offset_m} m, height {z_m} m: give finite numbers")]
    BadCorner {
        /// Its place in the list, from 0.
        index: usize,
        /// Its offset.
        offset_m: f64,
        /// Its height.
        z_m: f64,
    },
    /// Corners that run back uphill: the section overhangs or is out of order.
    #[error(
        "corner {index} of the section lies at {offset_m} m, uphill of the corner before it at \
         {before_m} m: list the corners from uphill to downhill"
    )]
    OutOfOrder {
        /// The place in the list of the corner that runs back, from 0.
        index: usize,
        /// Its offset.
        offset_m: f64,
        /// The offset of the corner before it.
        before_m: f64,
    },
    /// The bed is not between the ends.
    #[error("the bed at offset {bed_offset_m} m has no corner on either side of it")]
    BedOutside {
        /// Where the bed was said to be.
        bed_offset_m: f64,
    },
    /// The ground does not rise on both sides of the bed.
    #[error("no hollow: the lowest corner, at offset {offset_m} m, is where the section ends")]
    NoHollow {
        /// Offset of the lowest corner between the crests.
        offset_m: f64,
    },
}

/// Water in one section from one corner's level to the next: all three change in known ways between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rise {
    pub(crate) from_z_m: f64,
    /// Infinite for the last one.
    pub(crate) to_z_m: f64,
    /// Area with water just above `from_z_m`; more than the area just below where a lip is passed.
    pub(crate) area_m2: f64,
    pub(crate) width_m: f64,
    pub(crate) perimeter_m: f64,
    /// Growth of the width for each metre of level.
    pub(crate) width_per_m: f64,
    /// Growth of the wetted perimeter for each metre of level.
    pub(crate) perimeter_per_m: f64,
}

impl Rise {
    pub(crate) fn area_at(&self, level_z_m: f64) -> f64 {
        let d = level_z_m - self.from_z_m;
        self.area_m2 + d * (self.width_m + 0.5 * self.width_per_m * d)
    }

    /// The level above `from_z_m` at which the area is reached: the root of the quadratic, in the form that
    /// loses no digits when the width hardly changes.
    fn level_at(&self, area_m2: f64) -> f64 {
        let more_m2 = area_m2 - self.area_m2;
        if more_m2 <= 0.0 {
            return self.from_z_m;
        }
        let square = self.width_m * self.width_m + 2.0 * self.width_per_m * more_m2;
        self.from_z_m + 2.0 * more_m2 / (self.width_m + square.sqrt())
    }
}

/// Ground and earth across a line at one place, and the hollow that holds water there.
///
/// Water fills the hollow round its lowest corner. When it passes a lip with a second hollow behind it (the
/// ledge between trench and bank falls towards the bank) that hollow fills at once, so the area takes a step
/// at the lip's level; [`Section::area_m2`] gives the lower value at exactly that level.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    profile: Vec<Corner>,
    uphill: usize,
    crest: usize,
    rises: Vec<Rise>,
}

impl Section {
    /// A section from its corners, listed from uphill to downhill, with the bed somewhere near `bed_offset_m`.
    ///
    /// The bank's crest is the highest corner downhill of the bed, the uphill limit the highest corner uphill
    /// of it (of equals the nearest to the bed).
    ///
    /// # Errors
    /// If the corners are fewer than three, not finite or out of order, or leave no hollow.
    pub fn new(profile: Vec<Corner>, bed_offset_m: f64) -> Result<Section, SectionError> {
        check_profile(&profile)?;
        let split = profile.partition_point(|c| c.offset_m <= bed_offset_m);
        if split == 0 || split == profile.len() {
            return Err(SectionError::BedOutside { bed_offset_m });
        }
        let uphill = (0..split).fold(0, |best, i| if profile[i].z_m >= profile[best].z_m { i } else { best });
        let crest = (split..profile.len())
            .fold(split, |best, i| if profile[i].z_m > profile[best].z_m { i } else { best });
        let low = (uphill..=crest).fold(
            uphill,
            |best, i| {
                if profile[i].z_m < profile[best].z_m { i } else { best }
            },
        );
        if low == uphill || low == crest {
            return Err(SectionError::NoHollow { offset_m: profile[low].offset_m });
        }
        let rises = rises(&profile[uphill..=crest], low - uphill);
        Ok(Section { profile, uphill, crest, rises })
    }

    /// The corners from uphill to downhill.
    pub fn profile(&self) -> &[Corner] {
        &self.profile
    }

    /// The lowest place of the hollow.
    pub fn bed_z_m(&self) -> f64 {
        self.rises[0].from_z_m
    }

    /// The crest of the bank, or the downhill lip where there is no bank.
    pub fn crest(&self) -> Corner {
        self.profile[self.crest]
    }

    /// The highest ground uphill of the bed: water that passes it walks off uphill.
    pub fn uphill_limit(&self) -> Corner {
        self.profile[self.uphill]
    }

    /// The pieces in which area, width and perimeter change evenly, from the bed up.
    pub(crate) fn rises(&self) -> &[Rise] {
        &self.rises
    }

    /// The levels at which the outline under water gains a corner, from the bed up.
    pub fn corner_levels_z_m(&self) -> impl Iterator<Item = f64> {
        self.rises.iter().map(|rise| rise.from_z_m)
    }

    /// The level at which water leaves the section: the crest, or the ground uphill where that is lower (a
    /// bank on flat ground holds nothing: the water walks round it).
    pub fn brim_z_m(&self) -> f64 {
        self.profile[self.crest].z_m.min(self.profile[self.uphill].z_m)
    }

    /// Area of water at a level; 0 at the bed and below. Above [`Section::brim_z_m`] it is the area between
    /// upright walls at the two crests, so that a solver that overtops sees no step.
    pub fn area_m2(&self, level_z_m: f64) -> f64 {
        self.rise_below(level_z_m).map_or(0.0, |rise| rise.area_at(level_z_m))
    }

    /// Width of the water surface, which is also the width of ground under water in plan.
    pub fn top_width_m(&self, level_z_m: f64) -> f64 {
        self.rise_below(level_z_m)
            .map_or(0.0, |rise| rise.width_m + rise.width_per_m * (level_z_m - rise.from_z_m))
    }

    /// Length of earth under water, measured along the section.
    pub fn wetted_perimeter_m(&self, level_z_m: f64) -> f64 {
        self.rise_below(level_z_m)
            .map_or(0.0, |rise| rise.perimeter_m + rise.perimeter_per_m * (level_z_m - rise.from_z_m))
    }

    /// The level at which the water has this area: the inverse of [`Section::area_m2`], and the lip's level
    /// for the areas that a step at a lip leaves out. No area, or less than none, gives the bed.
    pub fn level_for_area_z_m(&self, area_m2: f64) -> f64 {
        let above = self.rises.partition_point(|rise| rise.area_m2 <= area_m2);
        let rise = &self.rises[above.saturating_sub(1)];
        // Beyond the end of its rise lies a step: the level waits there until the step is filled.
        let level_z_m = rise.level_at(area_m2);
        if level_z_m > rise.to_z_m { rise.to_z_m } else { level_z_m }
    }

    /// The last rise that starts below a level, none at the bed and below it: at a lip's own level the water
    /// has not yet passed the lip. A level that is not a number gets a rise, and so no number comes out.
    fn rise_below(&self, level_z_m: f64) -> Option<&Rise> {
        if level_z_m <= self.bed_z_m() {
            return None;
        }
        let above = self.rises.partition_point(|rise| rise.from_z_m < level_z_m);
        Some(&self.rises[above.saturating_sub(1)])
    }
}

fn check_profile(profile: &[Corner]) -> Result<(), SectionError> {
    if profile.len() < 3 {
        return Err(SectionError::TooFewCorners { found: profile.len() });
    }
    for (index, corner) in profile.iter().enumerate() {
        if !corner.offset_m.is_finite() || !corner.z_m.is_finite() {
            return Err(SectionError::BadCorner { index, offset_m: corner.offset_m, z_m: corner.z_m });
        }
        if index > 0 && corner.offset_m < profile[index - 1].offset_m {
            return Err(SectionError::OutOfOrder {
                index,
                offset_m: corner.offset_m,
                before_m: profile[index - 1].offset_m,
            });
        }
    }
    Ok(())
}

/// The rises of a hollow, from its lowest corner up, one for each level at which a corner lies.
fn rises(hollow: &[Corner], low: usize) -> Vec<Rise> {
    let mut levels_z_m: Vec<f64> = hollow.iter().map(|c| c.z_m).collect();
    levels_z_m.sort_by(f64::total_cmp);
    levels_z_m.dedup();
    let mut rises = Vec::with_capacity(levels_z_m.len());
    for (k, &from_z_m) in levels_z_m.iter().enumerate() {
        let (left, right) = wet_corners(hollow, low, from_z_m);
        let wet = WetCorners { hollow, left, right };
        // Above the highest corner any level does: between upright walls all growth is steady.
        let to_z_m = levels_z_m.get(k + 1).copied().unwrap_or(f64::INFINITY);
        let sample_z_m = if to_z_m.is_finite() { to_z_m } else { from_z_m + 1.0 };
        let span_m = sample_z_m - from_z_m;
        let (width_m, perimeter_m) = (wet.width_m(from_z_m), wet.perimeter_m(from_z_m));
        rises.push(Rise {
            from_z_m,
            to_z_m,
            area_m2: wet.area_m2(from_z_m),
            width_m,
            perimeter_m,
            // Nothing overhangs, so the width never shrinks; its rounding may.
            width_per_m: ((wet.width_m(sample_z_m) - width_m) / span_m).max(0.0),
            perimeter_per_m: (wet.perimeter_m(sample_z_m) - perimeter_m) / span_m,
        });
    }
    rises
}

/// First and last corner of the run round `low` that lies nowhere above `level_z_m`.
fn wet_corners(hollow: &[Corner], low: usize, level_z_m: f64) -> (usize, usize) {
    let mut left = low;
    while left > 0 && hollow[left - 1].z_m <= level_z_m {
        left -= 1;
    }
    let mut right = low;
    while right + 1 < hollow.len() && hollow[right + 1].z_m <= level_z_m {
        right += 1;
    }
    (left, right)
}

/// A run of drowned corners, with the pieces of the two sides that rise out of the water.
struct WetCorners<'a> {
    hollow: &'a [Corner],
    left: usize,
    right: usize,
}

impl WetCorners<'_> {
    /// Where the water meets the ground beyond a drowned corner; upright above the last corner.
    fn edge(&self, from: usize, beyond: Option<usize>, level_z_m: f64) -> Corner {
        let wet = self.hollow[from];
        let offset_m = beyond.map_or(wet.offset_m, |i| {
            let dry = self.hollow[i];
            wet.offset_m + (dry.offset_m - wet.offset_m) * (level_z_m - wet.z_m) / (dry.z_m - wet.z_m)
        });
        Corner { offset_m, z_m: level_z_m }
    }

    fn edges(&self, level_z_m: f64) -> (Corner, Corner) {
        let uphill = self.left.checked_sub(1);
        let downhill = Some(self.right + 1).filter(|i| *i < self.hollow.len());
        (self.edge(self.left, uphill, level_z_m), self.edge(self.right, downhill, level_z_m))
    }

    /// The wetted outline from edge to edge.
    fn outline(&self, level_z_m: f64) -> Vec<Corner> {
        let (first, last) = self.edges(level_z_m);
        let mut outline = vec![first];
        outline.extend_from_slice(&self.hollow[self.left..=self.right]);
        outline.push(last);
        outline
    }

    fn width_m(&self, level_z_m: f64) -> f64 {
        let (first, last) = self.edges(level_z_m);
        last.offset_m - first.offset_m
    }

    fn area_m2(&self, level_z_m: f64) -> f64 {
        let outline = self.outline(level_z_m);
        outline
            .windows(2)
            .map(|p| (p[1].offset_m - p[0].offset_m) * (level_z_m - 0.5 * (p[0].z_m + p[1].z_m)))
            .sum()
    }

    fn perimeter_m(&self, level_z_m: f64) -> f64 {
        let outline = self.outline(level_z_m);
        outline
            .windows(2)
            .map(|p| {
                let (run, rise) = (p[1].offset_m - p[0].offset_m, p[1].z_m - p[0].z_m);
                (run * run + rise * rise).sqrt()
            })
            .sum()
    }
}

#[cfg(test)]
mod tests;
