//! The section that people dig: a trench below the pegs' line, a ledge, and a bank of the spoil.
//!
//! The peg stands on the trench's downhill lip, on ground that is left as it was. The trench goes down from
//! there at the cut's batter to a level bed and comes up on the other side to the hill. Downhill of the peg a
//! ledge of untouched ground keeps the spoil from falling back; then the bank rises to its settled top, which
//! is measured from the ground at the peg because that is what a level on the peg sees.
//!
//! With ground z = −p·x (x downhill) the uphill cut comes out at a run d from the bed, d = m·(depth + p·w)/(1 −
//! m·p), where w is the distance from the peg to the bed's uphill edge and m the batter; the bank's downhill
//! face reaches the ground in the same way.
//!
//! Source: elementary geometry. Holds while batter × slope < 1 on both faces. Leaves out the loose bank before
//! it settles, and spoil beyond what the bank takes.

use super::{Corner, Section, SectionError};

/// Dimensions of a line dug and banked by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandSection {
    /// Slope of the ground across the line, rise over run; it falls downhill.
    pub cross_slope: f64,
    /// Width of the bed.
    pub bed_width_m: f64,
    /// Depth of the bed below the ground at the peg.
    pub depth_m: f64,
    /// Batter of the trench's two sides, metres out for each metre up.
    pub cut_batter: f64,
    /// Untouched ground between the trench's lip and the bank.
    pub ledge_m: f64,
    /// Height of the settled bank's top above the ground at the peg; 0 for a line without a bank.
    pub bank_height_m: f64,
    /// Width of the bank's level top.
    pub bank_top_m: f64,
    /// Batter of the bank's two faces, metres out for each metre up.
    pub bank_batter: f64,
}

/// The corners of a dug line, by name, for drawing and measuring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandCorners {
    /// Where the uphill cut comes out of the hill.
    pub uphill_lip: Corner,
    /// Uphill edge of the bed.
    pub bed_uphill: Corner,
    /// Downhill edge of the bed.
    pub bed_downhill: Corner,
    /// The downhill lip, where the peg stands.
    pub peg: Corner,
    /// The bank, if there is one.
    pub bank: Option<BankCorners>,
}

/// The corners of a bank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BankCorners {
    /// Foot of the uphill face, at the end of the ledge.
    pub uphill_toe: Corner,
    /// Uphill edge of the top.
    pub top_uphill: Corner,
    /// Downhill edge of the top.
    pub top_downhill: Corner,
    /// Foot of the downhill face.
    pub downhill_toe: Corner,
}

impl BankCorners {
    /// The corners from uphill to downhill.
    pub fn in_order(&self) -> [Corner; 4] {
        [self.uphill_toe, self.top_uphill, self.top_downhill, self.downhill_toe]
    }
}

impl HandSection {
    /// Its corners.
    ///
    /// # Errors
    /// If a dimension is not a number of 0 or more, or a face never meets the ground.
    pub fn corners(&self) -> Result<HandCorners, SectionError> {
        self.check()?;
        let bed_z_m = -self.depth_m;
        let to_bed_m = self.cut_batter * self.depth_m;
        let across_bed_m = to_bed_m + self.bed_width_m;
        let ground_above_bed_m = self.depth_m + self.cross_slope * across_bed_m;
        let out_m = self.cut_batter * ground_above_bed_m / (1.0 - self.cut_batter * self.cross_slope);
        Ok(HandCorners {
            uphill_lip: self.on_ground(-across_bed_m - out_m),
            bed_uphill: Corner { offset_m: -across_bed_m, z_m: bed_z_m },
            bed_downhill: Corner { offset_m: -to_bed_m, z_m: bed_z_m },
            peg: self.on_ground(0.0),
            bank: (self.bank_height_m > 0.0).then(|| self.bank_corners()),
        })
    }

    /// The section, with ground uphill to twice the height that the water can reach, so that what overtops
    /// still finds the hill.
    ///
    /// # Errors
    /// As [`HandSection::corners`], and if depth and bank are both 0: nothing holds water then.
    pub fn section(&self) -> Result<Section, SectionError> {
        let corners = self.corners()?;
        let mut profile = Vec::with_capacity(10);
        let reach_m = self.uphill_ground_m(&corners);
        profile.push(self.on_ground(corners.uphill_lip.offset_m - reach_m));
        profile.extend([corners.uphill_lip, corners.bed_uphill, corners.bed_downhill, corners.peg]);
        let mut last = corners.peg;
        if let Some(bank) = corners.bank {
            profile.extend(bank.in_order());
            last = bank.downhill_toe;
        }
        // As much ground downhill as the works are wide: enough to draw, and it never holds water.
        profile.push(self.on_ground(last.offset_m + (last.offset_m - corners.uphill_lip.offset_m)));
        Section::new(profile, corners.bed_downhill.offset_m)
    }

    /// Height of the ground at an offset, relative to the ground at the peg.
    pub fn on_ground(&self, offset_m: f64) -> Corner {
        Corner {
            offset_m,
            // Not −slope × offset: that would give a peg at −0.
            z_m: 0.0 - self.cross_slope * offset_m,
        }
    }

    /// Area of the trench below the ground as it was: what is dug.
    ///
    /// # Errors
    /// As [`HandSection::corners`].
    pub fn cut_area_m2(&self) -> Result<f64, SectionError> {
        let c = self.corners()?;
        Ok(polygon_area_m2(&[c.uphill_lip, c.bed_uphill, c.bed_downhill, c.peg]))
    }

    /// Area of the settled bank above the ground: what is built.
    ///
    /// # Errors
    /// As [`HandSection::corners`].
    pub fn fill_area_m2(&self) -> Result<f64, SectionError> {
        let c = self.corners()?;
        Ok(c.bank.map_or(0.0, |bank| polygon_area_m2(&bank.in_order())))
    }

    /// Ground to keep uphill of the trench. Flat ground rises nowhere: as much as the trench is wide will do.
    fn uphill_ground_m(&self, corners: &HandCorners) -> f64 {
        let rise_m = 2.0 * self.bank_height_m.max(self.depth_m) - corners.uphill_lip.z_m;
        let trench_m = corners.peg.offset_m - corners.uphill_lip.offset_m;
        if self.cross_slope > 0.0 && rise_m > 0.0 { trench_m + rise_m / self.cross_slope } else { trench_m }
    }

    fn bank_corners(&self) -> BankCorners {
        let top_z_m = self.bank_height_m;
        let uphill_toe = self.on_ground(self.ledge_m);
        let top_uphill_m = self.ledge_m + self.bank_batter * (top_z_m - uphill_toe.z_m);
        let top_downhill_m = top_uphill_m + self.bank_top_m;
        let fall_m = top_z_m + self.cross_slope * top_downhill_m;
        let out_m = self.bank_batter * fall_m / (1.0 - self.bank_batter * self.cross_slope);
        BankCorners {
            uphill_toe,
            top_uphill: Corner { offset_m: top_uphill_m, z_m: top_z_m },
            top_downhill: Corner { offset_m: top_downhill_m, z_m: top_z_m },
            downhill_toe: self.on_ground(top_downhill_m + out_m),
        }
    }

    fn check(&self) -> Result<(), SectionError> {
        let dimensions = [
            ("cross slope", self.cross_slope),
            ("bed width", self.bed_width_m),
            ("depth", self.depth_m),
            ("cut batter", self.cut_batter),
            ("ledge", self.ledge_m),
            ("bank height", self.bank_height_m),
            ("bank top", self.bank_top_m),
            ("bank batter", self.bank_batter),
        ];
        for (name, value) in dimensions {
            if !(value.is_finite() && value >= 0.0) {
                return Err(SectionError::BadDimension { name, value });
            }
        }
        if self.cut_batter * self.cross_slope >= 1.0 {
            return Err(SectionError::CutNeverMeetsGround {
                cross_slope: self.cross_slope,
                cut_batter: self.cut_batter,
            });
        }
        if self.bank_height_m > 0.0 && self.bank_batter * self.cross_slope >= 1.0 {
            return Err(SectionError::BankNeverMeetsGround {
                cross_slope: self.cross_slope,
                bank_batter: self.bank_batter,
            });
        }
        Ok(())
    }
}

/// Area of a closed outline, whichever way round it is listed.
fn polygon_area_m2(corners: &[Corner]) -> f64 {
    let mut twice_m2 = 0.0;
    for (i, a) in corners.iter().enumerate() {
        let b = corners[(i + 1) % corners.len()];
        twice_m2 += a.offset_m * b.z_m - b.offset_m * a.z_m;
    }
    0.5 * twice_m2.abs()
}
