//! A storm: how much has fallen by when.
//!
//! The same depth is harmless as a day's drizzle and breaks a bank as a cloudburst, so a storm is its whole course:
//! the rain so far against time, straight between the times given.
//!
//! Shapes: even; the 24-hour distributions of the USDA-SCS (FHWA HDS-2, 2nd ed., 2002, table 6.5); blocks round a
//! peak (alternating blocks: the hardest in the middle, the next to its right, the next to its left, …), which hold
//! in every window round the peak the depth of the table for that duration (HDS-2, example 6.6).

/// What has fallen by a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fallen {
    /// Time from the start.
    pub at_s: f64,
    /// Rain so far.
    pub rain_m: f64,
}

/// A storm from its start, at 0, to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Storm {
    course: Vec<Fallen>,
}

/// Why readings make no storm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StormError {
    /// Too few readings.
    #[error("a storm has {found} readings: give at least 2")]
    TooFew {
        /// How many were given.
        found: usize,
    },
    /// A time that does not follow the one before.
    #[error("reading {index} is at {at_s} s, not after the one before at {before_s} s: sort them by time")]
    TimeNotRising {
        /// Place in the list, from 0.
        index: usize,
        /// Its time.
        at_s: f64,
        /// The time before.
        before_s: f64,
    },
    /// Rain so far that falls: a gauge emptied, or a slip.
    #[error(
        "reading {index}: the rain so far goes from {before_m} m to {rain_m} m: it cannot shrink; if the gauge was \
         emptied, add what it held"
    )]
    GaugeReset {
        /// Place in the list, from 0.
        index: usize,
        /// Its rain so far.
        rain_m: f64,
        /// The rain before.
        before_m: f64,
    },
    /// A depth, length or step that is not above 0.
    #[error("{name} is {value}: give a number above 0")]
    NotPositive {
        /// Which.
        name: &'static str,
        /// As found.
        value: f64,
    },
    /// Depths for the blocks that do not grow with duration.
    #[error("block {index}: the rain of {blocks} blocks is not deeper than that of one block fewer")]
    BlocksNotDeeper {
        /// Place in the list, from 0.
        index: usize,
        /// Blocks up to it.
        blocks: usize,
    },
}

/// A published course of a day's rain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayShape {
    /// Pacific coast, wet winters.
    I,
    /// The same, gentler.
    Ia,
    /// Inland, sharp storms.
    II,
    /// Gulf and Atlantic coast, tropical storms.
    III,
}

/// Length of a day, s.
const DAY_S: f64 = 86_400.0;

impl Storm {
    /// A storm from what a gauge showed: the rain so far at rising times. The first reading is the start.
    ///
    /// # Errors
    /// If there are fewer than two readings, times do not rise, or the rain so far shrinks.
    pub fn from_readings(readings: &[Fallen]) -> Result<Storm, StormError> {
        let Some(first) = readings.first().filter(|_| readings.len() > 1) else {
            return Err(StormError::TooFew { found: readings.len() });
        };
        for (index, pair) in readings.windows(2).enumerate() {
            let (before, now) = (pair[0], pair[1]);
            let later = now.at_s.is_finite() && before.at_s.is_finite() && now.at_s > before.at_s;
            if !later {
                return Err(StormError::TimeNotRising {
                    index: index + 1,
                    at_s: now.at_s,
                    before_s: before.at_s,
                });
            }
            let grows = now.rain_m.is_finite() && before.rain_m.is_finite() && now.rain_m >= before.rain_m;
            if !grows {
                return Err(StormError::GaugeReset {
                    index: index + 1,
                    rain_m: now.rain_m,
                    before_m: before.rain_m,
                });
            }
        }
        let course = readings
            .iter()
            .map(|reading| Fallen { at_s: reading.at_s - first.at_s, rain_m: reading.rain_m - first.rain_m });
        Ok(Storm { course: course.collect() })
    }

    /// Rain that falls evenly.
    ///
    /// # Errors
    /// If depth or length is not above 0.
    pub fn even(depth_m: f64, duration_s: f64) -> Result<Storm, StormError> {
        positive("depth", depth_m)?;
        positive("duration", duration_s)?;
        Ok(Storm {
            course: vec![Fallen { at_s: 0.0, rain_m: 0.0 }, Fallen { at_s: duration_s, rain_m: depth_m }],
        })
    }

    /// A day's rain in a published shape, straight between its half hours.
    ///
    /// # Errors
    /// If the depth is not above 0.
    pub fn of_a_day(shape: DayShape, depth_m: f64) -> Result<Storm, StormError> {
        positive("depth", depth_m)?;
        let ordinates = shape.ordinates();
        let steps = (ordinates.len() - 1) as f64;
        let course = ordinates
            .iter()
            .enumerate()
            .map(|(i, share)| Fallen { at_s: DAY_S * i as f64 / steps, rain_m: depth_m * share });
        Ok(Storm { course: course.collect() })
    }

    /// Blocks round a peak, from the depths of the table for 1, 2, 3, … blocks. The hardest block stands at place
    /// (n − 1)/2 counted from 0 and rounded down, the second to its right, the third to its left, and so on.
    ///
    /// # Errors
    /// If the block's length is not above 0, there are no depths, or they do not grow.
    pub fn of_blocks(block_s: f64, depths_m: &[f64]) -> Result<Storm, StormError> {
        positive("block", block_s)?;
        if depths_m.is_empty() {
            return Err(StormError::TooFew { found: 0 });
        }
        let mut blocks_m = Vec::with_capacity(depths_m.len());
        let mut before_m = 0.0;
        for (index, &depth_m) in depths_m.iter().enumerate() {
            if !(depth_m.is_finite() && depth_m > before_m) {
                return Err(StormError::BlocksNotDeeper { index, blocks: index + 1 });
            }
            blocks_m.push(depth_m - before_m);
            before_m = depth_m;
        }
        // A stable sort: of equal blocks the one of the shorter duration comes first.
        blocks_m.sort_by(|a, b| b.total_cmp(a));
        let mut course = vec![Fallen { at_s: 0.0, rain_m: 0.0 }];
        let mut rain_m = 0.0;
        for (i, block_m) in alternating(&blocks_m).into_iter().enumerate() {
            rain_m += block_m;
            course.push(Fallen { at_s: block_s * (i + 1) as f64, rain_m });
        }
        Ok(Storm { course })
    }

    /// The same course with another depth in all.
    ///
    /// # Errors
    /// If the depth is not above 0, or this storm has no rain.
    pub fn scaled_to_m(&self, depth_m: f64) -> Result<Storm, StormError> {
        positive("depth", depth_m)?;
        positive("rain in all", self.total_m())?;
        let times = depth_m / self.total_m();
        let course = self.course.iter().map(|f| Fallen { at_s: f.at_s, rain_m: f.rain_m * times });
        Ok(Storm { course: course.collect() })
    }

    /// Its hardest stretch of this length, as a storm of its own: the earliest of equals; all of it where it is
    /// no longer than that.
    ///
    /// # Errors
    /// If the length is not above 0.
    pub fn hardest_stretch(&self, stretch_s: f64) -> Result<Storm, StormError> {
        positive("stretch", stretch_s)?;
        if stretch_s >= self.duration_s() {
            return Ok(self.clone());
        }
        let mut from_s = 0.0;
        let mut hardest_m = self.fallen_m(stretch_s);
        for start_s in self.starts(stretch_s) {
            let rain_m = self.fallen_m(start_s + stretch_s) - self.fallen_m(start_s);
            if start_s >= 0.0 && start_s + stretch_s <= self.duration_s() && rain_m > hardest_m {
                (from_s, hardest_m) = (start_s, rain_m);
            }
        }
        let before_m = self.fallen_m(from_s);
        let mut course = vec![Fallen { at_s: 0.0, rain_m: 0.0 }];
        let inside = self.course.iter().filter(|f| f.at_s > from_s && f.at_s < from_s + stretch_s);
        course.extend(inside.map(|f| Fallen { at_s: f.at_s - from_s, rain_m: f.rain_m - before_m }));
        course.push(Fallen { at_s: stretch_s, rain_m: self.fallen_m(from_s + stretch_s) - before_m });
        Ok(Storm { course })
    }

    /// Starts of the stretches that begin or end at a corner of the course.
    fn starts(&self, stretch_s: f64) -> impl Iterator<Item = f64> + '_ {
        self.course.iter().flat_map(move |corner| [corner.at_s, corner.at_s - stretch_s])
    }

    /// The rain so far at the times given.
    pub fn course(&self) -> &[Fallen] {
        &self.course
    }

    /// All of it.
    pub fn total_m(&self) -> f64 {
        self.course[self.course.len() - 1].rain_m
    }

    /// Its length.
    pub fn duration_s(&self) -> f64 {
        self.course[self.course.len() - 1].at_s
    }

    /// The rain so far at a time: 0 before the start, all of it after the end.
    pub fn fallen_m(&self, at_s: f64) -> f64 {
        if at_s <= 0.0 {
            return 0.0;
        }
        let next = self.course.partition_point(|f| f.at_s < at_s);
        if next == self.course.len() {
            return self.total_m();
        }
        // A time that is not a number lands on the first reading and stays what it is.
        let (from, to) = (self.course[next.max(1) - 1], self.course[next.max(1)]);
        from.rain_m + (to.rain_m - from.rain_m) * (at_s - from.at_s) / (to.at_s - from.at_s)
    }

    /// The most that falls in any stretch of this length. Between two corners of the course the rain in a sliding
    /// stretch changes in a straight line, so the greatest has an end at a corner.
    pub fn hardest_m(&self, stretch_s: f64) -> f64 {
        let mut hardest_m = 0.0;
        for from_s in self.starts(stretch_s) {
            let rain_m = self.fallen_m(from_s + stretch_s) - self.fallen_m(from_s);
            if rain_m > hardest_m {
                hardest_m = rain_m;
            }
        }
        hardest_m
    }
}

/// Blocks in falling order, set round the peak: right, left, right, …
fn alternating(falling: &[f64]) -> Vec<f64> {
    let n = falling.len();
    let peak = (n - 1) / 2;
    let mut arranged = vec![0.0; n];
    for (rank, block) in falling.iter().enumerate() {
        let away = rank.div_ceil(2);
        let place = if rank % 2 == 1 { peak + away } else { peak - away };
        arranged[place] = *block;
    }
    arranged
}

fn positive(name: &'static str, value: f64) -> Result<(), StormError> {
    if value.is_finite() && value > 0.0 { Ok(()) } else { Err(StormError::NotPositive { name, value }) }
}

impl DayShape {
    /// Share of the day's rain that has fallen by each half hour, from 0 to 24 h.
    pub fn ordinates(self) -> &'static [f64; 49] {
        match self {
            DayShape::I => &TYPE_I,
            DayShape::Ia => &TYPE_IA,
            DayShape::II => &TYPE_II,
            DayShape::III => &TYPE_III,
        }
    }
}

#[rustfmt::skip]
const TYPE_I: [f64; 49] = [
    0.000, 0.008, 0.017, 0.026, 0.035, 0.045, 0.055, 0.065, 0.076, 0.087, 0.099, 0.112,
    0.126, 0.140, 0.156, 0.174, 0.194, 0.219, 0.254, 0.303, 0.515, 0.583, 0.624, 0.655,
    0.682, 0.706, 0.728, 0.748, 0.766, 0.783, 0.799, 0.815, 0.830, 0.844, 0.857, 0.870,
    0.882, 0.893, 0.905, 0.916, 0.926, 0.936, 0.946, 0.956, 0.965, 0.974, 0.983, 0.992,
    1.000,
];
#[rustfmt::skip]
const TYPE_IA: [f64; 49] = [
    0.000, 0.010, 0.020, 0.035, 0.050, 0.067, 0.082, 0.098, 0.116, 0.135, 0.156, 0.180,
    0.206, 0.237, 0.268, 0.310, 0.425, 0.480, 0.520, 0.550, 0.577, 0.601, 0.624, 0.645,
    0.664, 0.683, 0.701, 0.719, 0.736, 0.753, 0.769, 0.785, 0.800, 0.815, 0.830, 0.844,
    0.858, 0.871, 0.884, 0.896, 0.908, 0.920, 0.932, 0.944, 0.956, 0.967, 0.978, 0.989,
    1.000,
];
#[rustfmt::skip]
const TYPE_II: [f64; 49] = [
    0.000, 0.005, 0.011, 0.016, 0.022, 0.028, 0.035, 0.041, 0.048, 0.056, 0.063, 0.071,
    0.080, 0.089, 0.098, 0.109, 0.120, 0.133, 0.147, 0.162, 0.181, 0.204, 0.235, 0.283,
    0.663, 0.735, 0.772, 0.799, 0.820, 0.838, 0.854, 0.868, 0.880, 0.891, 0.902, 0.912,
    0.921, 0.929, 0.937, 0.945, 0.952, 0.959, 0.965, 0.972, 0.978, 0.984, 0.989, 0.995,
    1.000,
];
#[rustfmt::skip]
const TYPE_III: [f64; 49] = [
    0.000, 0.005, 0.010, 0.015, 0.020, 0.025, 0.031, 0.037, 0.043, 0.050, 0.057, 0.064,
    0.072, 0.081, 0.091, 0.102, 0.114, 0.128, 0.146, 0.166, 0.189, 0.212, 0.250, 0.298,
    0.500, 0.702, 0.750, 0.784, 0.811, 0.834, 0.854, 0.872, 0.886, 0.898, 0.910, 0.920,
    0.928, 0.936, 0.943, 0.950, 0.957, 0.963, 0.969, 0.975, 0.981, 0.986, 0.991, 0.996,
    1.000,
];

#[cfg(test)]
mod tests;
