//! What a line holds: storage against level from its real bed and bank.
//!
//! Water in a closed line stands level, but bed and bank never do. So the volume is the area of water added up
//! along the line, each section with its own bed under the one level, and the lowest place of the bank rules.
//!
//! V(z) = ∫ A(x, z) dx. Between two stations the bed runs straight and the section changes evenly from one to
//! the other: with y the depth over the bed at x and t the share of the way,
//! A = (1 − t)·A₀(bed₀ + y) + t·A₁(bed₁ + y). Split where y passes a corner of either section, that is a cubic
//! in t, which two points of Gauss add up exactly: no step size, no tolerance.
//!
//! Source: elementary geometry; checked against the trapezoid over a wavy bed, V/L = A(ȳ) + m·a²/2, and over a
//! bed that runs dry. Leaves out the sloping faces at the two ends, and any slope of a moving water surface.

use crate::section::Section;

/// A place on a line where its section is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Distance along the line.
    pub chainage_m: f64,
    /// Height above the site datum from which the section's heights are measured: the ground at the peg.
    pub ground_z_m: f64,
    /// The section there.
    pub section: Section,
}

impl Station {
    /// Height of the bed above the site datum.
    pub fn bed_z_m(&self) -> f64 {
        self.ground_z_m + self.section.bed_z_m()
    }

    /// Height of the bank's crest above the site datum.
    pub fn crest_z_m(&self) -> f64 {
        self.ground_z_m + self.section.crest().z_m
    }

    /// Level above the site datum at which water leaves here: the crest, or the ground uphill where that is
    /// lower.
    pub fn brim_z_m(&self) -> f64 {
        self.ground_z_m + self.section.brim_z_m()
    }
}

/// A low place of the bank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowPlace {
    /// Distance along the line.
    pub chainage_m: f64,
    /// Its height above the site datum.
    pub z_m: f64,
}

/// What raising the lowest place of the bank gains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RaiseGain {
    /// The level at which the line spills afterwards.
    pub spill_z_m: f64,
    /// What it holds more than before.
    pub gains_m3: f64,
}

/// A point of the storage curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillPoint {
    /// Level of the water above the site datum.
    pub level_z_m: f64,
    /// Volume held.
    pub volume_m3: f64,
    /// Length of line with water in it.
    pub flooded_m: f64,
}

/// Why a line's shape cannot be built or asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShapeError {
    /// Too few stations.
    #[error("a line has {found} stations: give at least 2")]
    TooFewStations {
        /// How many were given.
        found: usize,
    },
    /// A station that is not a number or does not lie beyond the one before.
    #[error(
        "station {index} at chainage {chainage_m} m, ground {ground_z_m} m: give finite numbers, each chainage \
         beyond the one before"
    )]
    BadStation {
        /// Its place in the list, from 0.
        index: usize,
        /// Its chainage.
        chainage_m: f64,
        /// Its ground.
        ground_z_m: f64,
    },
    /// More water than the line holds, or less than none.
    #[error("{volume_m3} m³ is outside what the line holds: 0 to {holds_m3} m³")]
    VolumeOutside {
        /// What was asked.
        volume_m3: f64,
        /// Brim-full.
        holds_m3: f64,
    },
}

/// Level within which [`LineShape::level_for_volume_z_m`] finds its answer, m: a thousandth of the millimetre
/// that the best staff is read to.
const LEVEL_TOLERANCE_M: f64 = 1e-6;
/// Slices of level in which [`LineShape::soaks_to_empty_m`] is added up, m. The ratio of the areas changes by a
/// few percent a centimetre at most: slices of 2 mm leave a ten-thousandth.
const SOAK_SLICE_M: f64 = 0.002;

/// A line's sections from its first station to its last.
#[derive(Debug, Clone, PartialEq)]
pub struct LineShape {
    stations: Vec<Station>,
}

impl LineShape {
    /// A line through at least two stations, in order.
    ///
    /// # Errors
    /// If there are fewer, or a chainage or height is not finite, or a chainage does not grow.
    pub fn new(stations: Vec<Station>) -> Result<LineShape, ShapeError> {
        if stations.len() < 2 {
            return Err(ShapeError::TooFewStations { found: stations.len() });
        }
        for (index, station) in stations.iter().enumerate() {
            let finite = station.chainage_m.is_finite() && station.ground_z_m.is_finite();
            let beyond = index == 0 || station.chainage_m > stations[index - 1].chainage_m;
            if !(finite && beyond) {
                return Err(ShapeError::BadStation {
                    index,
                    chainage_m: station.chainage_m,
                    ground_z_m: station.ground_z_m,
                });
            }
        }
        Ok(LineShape { stations })
    }

    /// The stations in order.
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// Length from the first station to the last.
    pub fn length_m(&self) -> f64 {
        self.stations[self.stations.len() - 1].chainage_m - self.stations[0].chainage_m
    }

    /// Volume of water below a level, as if walls stood on any crest that the level passes: up to
    /// [`LineShape::spill_z_m`] it is what the line holds.
    pub fn volume_m3(&self, level_z_m: f64) -> f64 {
        self.along(level_z_m, Section::area_m2)
    }

    /// Ground under water, in plan.
    pub fn plan_area_m2(&self, level_z_m: f64) -> f64 {
        self.along(level_z_m, Section::top_width_m)
    }

    /// Earth under water, measured along the section: the face that soaks.
    pub fn wetted_area_m2(&self, level_z_m: f64) -> f64 {
        self.along(level_z_m, Section::wetted_perimeter_m)
    }

    /// Depth that must soak through every square metre of wetted earth to empty the line from a level:
    /// ∫ plan area / wetted area dz, down to the lowest bed. Divided by a soak rate it is the time to empty by
    /// soaking alone; soaking through the plan area instead takes depth/rate, a little longer. What stands on a
    /// ledge below its lip is not in it.
    pub fn soaks_to_empty_m(&self, level_z_m: f64) -> f64 {
        let bed_z_m = self.lowest_bed().z_m;
        let depth_m = level_z_m - bed_z_m;
        if depth_m <= 0.0 {
            return 0.0;
        }
        let slices = (depth_m / SOAK_SLICE_M).ceil();
        let slice_m = depth_m / slices;
        let mut soaks_m = 0.0;
        let mut slice = 0.5;
        while slice < slices {
            let middle_z_m = bed_z_m + slice * slice_m;
            soaks_m += slice_m * self.plan_area_m2(middle_z_m) / self.wetted_area_m2(middle_z_m);
            slice += 1.0;
        }
        soaks_m
    }

    /// Length of line whose bed lies below a level.
    pub fn flooded_m(&self, level_z_m: f64) -> f64 {
        self.spans().map(|span| span.length_m() * span.wet_share(level_z_m)).sum()
    }

    /// The lowest place of the bed; of equals the first.
    pub fn lowest_bed(&self) -> LowPlace {
        self.lowest(Station::bed_z_m)
    }

    /// The lowest place of the bank; of equals the first. It rules what the line holds.
    pub fn lowest_bank(&self) -> LowPlace {
        self.lowest(Station::crest_z_m)
    }

    /// The level at which the line first spills: the lowest brim, or the lowest of these sill crests.
    pub fn spill_z_m(&self, sill_crests_z_m: &[f64]) -> f64 {
        let brim_z_m = self.lowest(Station::brim_z_m).z_m;
        lowest_of(brim_z_m, sill_crests_z_m)
    }

    /// Volume when the line first spills.
    pub fn holds_m3(&self, sill_crests_z_m: &[f64]) -> f64 {
        self.volume_m3(self.spill_z_m(sill_crests_z_m))
    }

    /// What raising the lowest place of the bank by this much gains. The next lowest place, a sill, or the
    /// ground uphill rules from there on, so two equal lows gain nothing until both are raised.
    pub fn raise_lowest(&self, by_m: f64, sill_crests_z_m: &[f64]) -> RaiseGain {
        let low = self.lowest_bank();
        let mut spill_z_m = low.z_m + by_m;
        for station in &self.stations {
            let limit_z_m = if station.chainage_m == low.chainage_m {
                station.ground_z_m + station.section.uphill_limit().z_m
            } else {
                station.brim_z_m()
            };
            spill_z_m = spill_z_m.min(limit_z_m);
        }
        spill_z_m = lowest_of(spill_z_m, sill_crests_z_m);
        RaiseGain { spill_z_m, gains_m3: self.volume_m3(spill_z_m) - self.holds_m3(sill_crests_z_m) }
    }

    /// The storage curve from the lowest bed to the level of first spilling, in `steps` equal rises.
    pub fn fill_curve(&self, steps: u32, sill_crests_z_m: &[f64]) -> Vec<FillPoint> {
        let bed_z_m = self.lowest_bed().z_m;
        let depth_m = self.spill_z_m(sill_crests_z_m) - bed_z_m;
        (0..=steps)
            .map(|i| {
                let level_z_m = bed_z_m + depth_m * f64::from(i) / f64::from(steps.max(1));
                FillPoint {
                    level_z_m,
                    volume_m3: self.volume_m3(level_z_m),
                    flooded_m: self.flooded_m(level_z_m),
                }
            })
            .collect()
    }

    /// The level at which the line holds this volume, to a thousandth of a millimetre.
    ///
    /// # Errors
    /// If the volume is less than 0 or more than the line holds brim-full.
    pub fn level_for_volume_z_m(&self, volume_m3: f64) -> Result<f64, ShapeError> {
        let (mut low_z_m, mut high_z_m) = (self.lowest_bed().z_m, self.spill_z_m(&[]));
        let holds_m3 = self.volume_m3(high_z_m);
        if !(0.0..=holds_m3).contains(&volume_m3) {
            return Err(ShapeError::VolumeOutside { volume_m3, holds_m3 });
        }
        // Each turn halves the bracket, so it ends: metres take about 25 turns.
        while high_z_m - low_z_m > LEVEL_TOLERANCE_M {
            let middle_z_m = 0.5 * (low_z_m + high_z_m);
            if self.volume_m3(middle_z_m) < volume_m3 {
                low_z_m = middle_z_m;
            } else {
                high_z_m = middle_z_m;
            }
        }
        Ok(0.5 * (low_z_m + high_z_m))
    }

    fn spans(&self) -> impl Iterator<Item = Span<'_>> {
        self.stations.windows(2).map(|pair| Span { from: &pair[0], to: &pair[1] })
    }

    fn along(&self, level_z_m: f64, across: fn(&Section, f64) -> f64) -> f64 {
        self.spans().map(|span| span.integral(level_z_m, across)).sum()
    }

    fn lowest(&self, height_z_m: fn(&Station) -> f64) -> LowPlace {
        let mut low =
            LowPlace { chainage_m: self.stations[0].chainage_m, z_m: height_z_m(&self.stations[0]) };
        for station in &self.stations[1..] {
            let z_m = height_z_m(station);
            if z_m < low.z_m {
                low = LowPlace { chainage_m: station.chainage_m, z_m };
            }
        }
        low
    }
}

fn lowest_of(first_z_m: f64, others_z_m: &[f64]) -> f64 {
    others_z_m.iter().fold(first_z_m, |low, z| if *z < low { *z } else { low })
}

/// The line between two stations.
struct Span<'a> {
    from: &'a Station,
    to: &'a Station,
}

impl Span<'_> {
    fn length_m(&self) -> f64 {
        self.to.chainage_m - self.from.chainage_m
    }

    /// Depth of water over the bed at both stations, negative where the bed is dry.
    fn depths_m(&self, level_z_m: f64) -> (f64, f64) {
        (level_z_m - self.from.bed_z_m(), level_z_m - self.to.bed_z_m())
    }

    fn wet_share(&self, level_z_m: f64) -> f64 {
        let (from_m, to_m) = self.depths_m(level_z_m);
        match (from_m > 0.0, to_m > 0.0) {
            (true, true) => 1.0,
            (false, false) => 0.0,
            _ => from_m.max(to_m) / (from_m - to_m).abs(),
        }
    }

    /// The quantity across the line added up along the span.
    fn integral(&self, level_z_m: f64, across: fn(&Section, f64) -> f64) -> f64 {
        let (from_m, to_m) = self.depths_m(level_z_m);
        let at = |t: f64| {
            let depth_m = from_m + t * (to_m - from_m);
            let (a, b) = (&self.from.section, &self.to.section);
            (1.0 - t) * across(a, a.bed_z_m() + depth_m) + t * across(b, b.bed_z_m() + depth_m)
        };
        // Gauss–Legendre on two points: at ½ ± ½/√3 of each piece; exact for cubics, and never on a corner.
        let gauss = 0.5 / 3.0_f64.sqrt();
        let cuts = self.cuts(from_m, to_m);
        let share: f64 = cuts
            .windows(2)
            .map(|piece| {
                let (middle, width) = (0.5 * (piece[0] + piece[1]), piece[1] - piece[0]);
                0.5 * width * (at(middle - gauss * width) + at(middle + gauss * width))
            })
            .sum();
        self.length_m() * share
    }

    /// Shares of the way, from 0 to 1, at which the water passes a corner of either section.
    fn cuts(&self, from_m: f64, to_m: f64) -> Vec<f64> {
        let mut cuts = vec![0.0, 1.0];
        if from_m != to_m {
            for section in [&self.from.section, &self.to.section] {
                let depths_m = section.corner_levels_z_m().map(|z| z - section.bed_z_m());
                let shares = depths_m.map(|depth_m| (depth_m - from_m) / (to_m - from_m));
                cuts.extend(shares.filter(|t| 0.0 < *t && *t < 1.0));
            }
        }
        cuts.sort_by(f64::total_cmp);
        cuts
    }
}

#[cfg(test)]
mod tests;
