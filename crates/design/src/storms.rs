//! The storms of a site: how deep, how long, in what order, on what ground.
//!
//! One depth is drizzle or a cloudburst, so a storm is asked for with its shape. The hardest shape is blocks round a
//! peak: each stretch round it holds what the official table gives for that length. Without a table the storm of the
//! plan stands in for one: its worst ten minutes and its whole length, with the power law between.
//!
//! Shapes: even; blocks (FHWA HDS-2, 2nd ed., 2002, example 6.6); USDA-SCS types I, IA, II and III, 24 hours
//! (HDS-2, table 6.5), of which a shorter storm takes the hardest stretch; a gauge's readings. A depth other than the
//! table's stretches the whole course alike. Leaves out how rain moves over the hill, and snow.

mod depth;
mod wetness;

use quantity::convert::{h_to_s, m_to_mm, mm_to_m, s_to_h};
use quantity::figures::{fixed, significant};
use serde::Serialize;
use site::{Day, DesignRain, GaugeReading, Site};
use water::rain::{
    DayShape, DepthTable, DepthTableError, Fallen, Storm, frequency::RecordError, record_rain_m,
};
use water::runoff::Wetness;

pub use depth::{DepthFrom, DesignDepth, design_depth_mm};
use wetness::Before;
pub(crate) use wetness::wetness_by_five_days;
pub use wetness::{Season, WetBefore, five_days_before_mm};

/// The worst ten minutes bring this many times the storm's mean rate. Common practice, no source.
const WORST_OVER_MEAN: f64 = 3.0;
/// Length of the stretch that sizes a peak on small ground, and of a block.
pub(crate) const BLOCK_MIN: f64 = 10.0;
/// Shortest and longest storm that is worked through, h: the limits of `hours` in `site.toml`.
const HOURS: std::ops::RangeInclusive<f64> = 0.05..=240.0;
/// Length of the published day shapes.
const DAY_H: f64 = 24.0;

/// A storm as it is asked for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StormRequest {
    /// Rain of the whole storm; none for what the site must be ready for in so many hours, or the gauge's own.
    pub depth_mm: Option<f64>,
    /// How long it lasts; none for the plan's design storm, or the gauge's own.
    pub hours: Option<f64>,
    /// In what order it falls; none for blocks, or the gauge's course where there is one.
    pub shape: Option<StormShape>,
    /// What a gauge showed; then it tells depth, length and course by itself.
    pub gauge: Option<Vec<GaugeReading>>,
    /// How wet the ground is before.
    pub wet_before: WetBefore,
}

/// In what order rain falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StormShape {
    /// Evenly.
    Even,
    /// Blocks round a peak.
    Blocks,
    /// USDA-SCS type I.
    ScsI,
    /// USDA-SCS type IA.
    ScsIa,
    /// USDA-SCS type II.
    ScsIi,
    /// USDA-SCS type III.
    ScsIii,
}

impl StormShape {
    /// All of them.
    pub const ALL: [StormShape; 6] = [
        StormShape::Even,
        StormShape::Blocks,
        StormShape::ScsI,
        StormShape::ScsIa,
        StormShape::ScsIi,
        StormShape::ScsIii,
    ];

    /// Its name in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            StormShape::Even => "falling evenly",
            StormShape::Blocks => "in ten-minute blocks round a peak",
            StormShape::ScsI => "in the shape of USDA-SCS type I",
            StormShape::ScsIa => "in the shape of USDA-SCS type IA",
            StormShape::ScsIi => "in the shape of USDA-SCS type II",
            StormShape::ScsIii => "in the shape of USDA-SCS type III",
        }
    }

    fn of_a_day(self) -> Option<DayShape> {
        match self {
            StormShape::Even | StormShape::Blocks => None,
            StormShape::ScsI => Some(DayShape::I),
            StormShape::ScsIa => Some(DayShape::Ia),
            StormShape::ScsIi => Some(DayShape::II),
            StormShape::ScsIii => Some(DayShape::III),
        }
    }
}

/// A storm ready to be worked through.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignStorm {
    /// Its course.
    pub storm: Storm,
    /// Rain of the whole storm.
    pub depth_mm: f64,
    /// Its length.
    pub hours: f64,
    /// Its shape in words.
    pub shape: &'static str,
    /// How wet the ground is before it.
    pub wetness: Wetness,
    /// Rain of the days before it, the last one next to it; empty for dry ground.
    pub days_before_mm: Vec<f64>,
    /// What the reader should know of it.
    pub notes: Vec<StormNote>,
}

/// What the reader should know of a storm or a depth. Its words are its `Display`.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StormNote {
    /// Depth was stretched to what was asked.
    #[error(
        "the course is that of a rain of {} mm, stretched to {} mm in all", fixed(*.from_mm, 1), fixed(*.to_mm, 1)
    )]
    Stretched {
        /// Depth of the table or the plan.
        from_mm: f64,
        /// Depth asked for.
        to_mm: f64,
    },
    /// No table: the blocks come from the plan's storm.
    #[error(
        "without an official table the blocks are laid between the plan's worst ten minutes, {} mm, and its whole \
         storm", fixed(*.worst_mm, 1)
    )]
    BlocksFromPlan {
        /// Worst ten minutes used.
        worst_mm: f64,
    },
    /// The table's shortest rain is longer than ten minutes.
    #[error("the table begins at {} minutes, so the blocks are that long and the peak is duller than it will be",
        significant(*.minutes, 3))]
    DullPeak {
        /// Shortest duration of the table.
        minutes: f64,
    },
    /// A day's shape cut to a shorter storm.
    #[error("of the published day the hardest {} hours are taken", significant(*.hours, 3))]
    PartOfDay {
        /// Length taken.
        hours: f64,
    },
    /// Longer than the curve number was made for.
    #[error(
        "curve numbers were made for the rain of a day: over {} hours the ground recovers between the showers and \
         sheds less than is computed", significant(*.hours, 3)
    )]
    LongerThanADay {
        /// Length.
        hours: f64,
    },
    /// The class of wetness came from five days' rain.
    #[error(
        "{} mm in the five days before: {class} by the old handbook limits (NEH-4), which the handbook of 2004 \
         withdrew because the ground follows them poorly", fixed(*.rain_mm, 0)
    )]
    WetnessByRain {
        /// Rain of the five days before.
        rain_mm: f64,
        /// The class in words.
        class: &'static str,
    },
    /// A record that is short.
    #[error(
        "the record has {years} usable years: under 20 it says little, and nothing beyond twice its length; use the \
         high end, or ask for the official table"
    )]
    ShortRecord {
        /// Usable years.
        years: usize,
    },
    /// A rarity the record cannot know.
    #[error("once in {} years lies beyond twice the record's {record_years} years: it is a guess", significant(*.years, 3))]
    BeyondRecord {
        /// Asked for.
        years: f64,
        /// Usable years.
        record_years: usize,
    },
    /// Years that were left out.
    #[error("{count} years of the record miss more than a tenth of their days and are left out")]
    YearsLeftOut {
        /// How many.
        count: usize,
    },
    /// A greatest rain too small to be one.
    #[error(
        "the greatest rain of {year} is {} mm, less than a quarter of the usual: see whether that year was read to \
         its end", fixed(*.rain_mm, 1)
    )]
    LowYear {
        /// The year.
        year: i32,
        /// Its greatest rain.
        rain_mm: f64,
    },
    /// Daily readings under-read.
    #[error(
        "the gauge was read once a day, and the hardest 24 hours seldom begin at the hour of reading: true depths are \
         larger"
    )]
    ReadDaily,
    /// What Gumbel's curve says, for comparison.
    #[error("Gumbel's curve gives {} mm", fixed(*.gumbel_mm, 1))]
    Gumbel {
        /// Its depth.
        gumbel_mm: f64,
    },
}

/// Why a storm cannot be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StormError {
    /// A depth that is not one.
    #[error("a storm of {depth_mm} mm is no rain: give a depth above 0")]
    NoDepth {
        /// As asked.
        depth_mm: f64,
    },
    /// Deeper than anything seen on earth.
    #[error("{depth_mm} mm in {hours} hours is more than was ever measured, {} mm: check the unit", fixed(*.record_mm, 0))]
    BeyondAllRain {
        /// As asked.
        depth_mm: f64,
        /// As asked.
        hours: f64,
        /// The deepest rain on record for these hours.
        record_mm: f64,
    },
    /// A length that is not worked through.
    #[error("a storm of {hours} hours is not worked through: give 0.05 (three minutes) to 240 (ten days)")]
    BadHours {
        /// As asked.
        hours: f64,
    },
    /// A rarity that is none.
    #[error("once in {years} years is no rarity: give more than 1")]
    BadYears {
        /// As asked.
        years: f64,
    },
    /// A gauge besides a depth, a length or a shape.
    #[error("the gauge tells depth, length and course by itself: leave out {besides}")]
    GaugeAndMore {
        /// What was given besides.
        besides: &'static str,
    },
    /// A published day shape for more than a day.
    #[error("{shape} is a day's course, and the storm lasts {hours} hours: ask for even rain or blocks")]
    LongerThanShape {
        /// The shape in words.
        shape: &'static str,
        /// As asked.
        hours: f64,
    },
    /// Nothing tells this depth.
    #[error(
        "nothing tells how deep the rain of {hours} hours once in {years} years is: the plan's storm is {} mm in {} \
         hours once in {} years; give a depth, or add the official table as rain.table",
        .design.depth_mm, .design.hours, .design.once_in_years
    )]
    DepthUnknown {
        /// As asked.
        hours: f64,
        /// As asked.
        years: f64,
        /// The plan's storm.
        design: DesignRain,
    },
    /// No record tells the days before.
    #[error(
        "no record tells the days before {day}: name one as rain.record, or write the rain of the five days before in mm"
    )]
    NoRecord {
        /// As asked.
        day: Day,
    },
    /// One of the five days before was not read.
    #[error("the record misses one of the five days before {day}: write their rain in mm instead")]
    DaysMissing {
        /// As asked.
        day: Day,
    },
    /// The official table does not hold together.
    #[error(transparent)]
    Table(#[from] DepthTableError),
    /// The record cannot be used.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// The course does not hold together.
    #[error(transparent)]
    Course(#[from] water::rain::StormError),
}

/// The storm that is asked for.
///
/// # Errors
/// If depth, length or gauge make no storm, or nothing tells the depth.
pub fn storm(site: &Site, asked: &StormRequest) -> Result<DesignStorm, StormError> {
    let mut notes = Vec::new();
    let before = asked.wet_before.before(site, &mut notes)?;
    if let Some(readings) = &asked.gauge {
        return by_gauge(asked, readings, before, notes);
    }
    let design = &site.plan.rain.design;
    let hours = asked.hours.unwrap_or(design.hours);
    if !HOURS.contains(&hours) {
        return Err(StormError::BadHours { hours });
    }
    let depth_mm = match asked.depth_mm {
        Some(depth_mm) => depth_mm,
        None => {
            let depth = depth_to_be_ready_for(site, asked, hours)?;
            notes.extend(depth.notes);
            depth.depth_mm.likely()
        }
    };
    possible(depth_mm, hours)?;
    let shape = asked.shape.unwrap_or(StormShape::Blocks);
    let course = match shape {
        StormShape::Even => Storm::even(mm_to_m(depth_mm), h_to_s(hours))?,
        StormShape::Blocks => blocks(site, depth_mm, hours, &mut notes)?,
        day => part_of_day(day, depth_mm, hours, &mut notes)?,
    };
    if hours > DAY_H {
        notes.push(StormNote::LongerThanADay { hours });
    }
    let (wetness, days_before_mm) = (before.wetness, before.days_mm);
    Ok(DesignStorm { storm: course, depth_mm, hours, shape: shape.words(), wetness, days_before_mm, notes })
}

/// The plan's own storm where nothing else is asked; else what table or record give for these hours at its rarity.
fn depth_to_be_ready_for(site: &Site, asked: &StormRequest, hours: f64) -> Result<DesignDepth, StormError> {
    let design = &site.plan.rain.design;
    if asked.hours.is_none_or(|hours| hours == design.hours) {
        return Ok(DesignDepth::of_plan(design));
    }
    design_depth_mm(site, hours, design.once_in_years)
}

fn possible(depth_mm: f64, hours: f64) -> Result<(), StormError> {
    if !(depth_mm.is_finite() && depth_mm > 0.0) {
        return Err(StormError::NoDepth { depth_mm });
    }
    let record_mm = m_to_mm(record_rain_m(h_to_s(hours)));
    if depth_mm > record_mm {
        return Err(StormError::BeyondAllRain { depth_mm, hours, record_mm });
    }
    Ok(())
}

fn by_gauge(
    asked: &StormRequest,
    readings: &[GaugeReading],
    before: Before,
    mut notes: Vec<StormNote>,
) -> Result<DesignStorm, StormError> {
    let besides = [
        (asked.depth_mm.is_some(), "the depth"),
        (asked.hours.is_some(), "the hours"),
        (asked.shape.is_some(), "the shape"),
    ];
    if let Some((_, besides)) = besides.into_iter().find(|(given, _)| *given) {
        return Err(StormError::GaugeAndMore { besides });
    }
    let fallen: Vec<Fallen> =
        readings.iter().map(|r| Fallen { at_s: 60.0 * r.at_min, rain_m: mm_to_m(r.rain_mm) }).collect();
    let course = Storm::from_readings(&fallen)?;
    let (depth_mm, hours) = (m_to_mm(course.total_m()), s_to_h(course.duration_s()));
    if !HOURS.contains(&hours) {
        return Err(StormError::BadHours { hours });
    }
    possible(depth_mm, hours)?;
    if hours > DAY_H {
        notes.push(StormNote::LongerThanADay { hours });
    }
    Ok(DesignStorm {
        storm: course,
        depth_mm,
        hours,
        shape: "as the gauge saw it",
        wetness: before.wetness,
        days_before_mm: before.days_mm,
        notes,
    })
}

fn part_of_day(
    shape: StormShape,
    depth_mm: f64,
    hours: f64,
    notes: &mut Vec<StormNote>,
) -> Result<Storm, StormError> {
    let Some(day) = shape.of_a_day().filter(|_| hours <= DAY_H) else {
        return Err(StormError::LongerThanShape { shape: shape.words(), hours });
    };
    if hours < DAY_H {
        notes.push(StormNote::PartOfDay { hours });
    }
    let stretch = Storm::of_a_day(day, mm_to_m(depth_mm))?.hardest_stretch(h_to_s(hours))?;
    Ok(stretch.scaled_to_m(mm_to_m(depth_mm))?)
}

/// Blocks of ten minutes, or as long as the table's shortest rain, that fill the storm's length.
fn blocks(site: &Site, depth_mm: f64, hours: f64, notes: &mut Vec<StormNote>) -> Result<Storm, StormError> {
    let design = &site.plan.rain.design;
    let whole_s = h_to_s(hours);
    let (table, shortest_s, years) = match official_table(site)? {
        Some((table, shortest_s)) if table.depth_m(whole_s, design.once_in_years).is_some() => {
            (table, shortest_s, design.once_in_years)
        }
        _ => {
            let worst_mm = worst_ten_minutes_of_plan_mm(design);
            notes.push(StormNote::BlocksFromPlan { worst_mm });
            match table_of_plan(design, worst_mm, whole_s)? {
                Some(table) => (table, 60.0 * BLOCK_MIN, design.once_in_years),
                None => return Ok(Storm::even(mm_to_m(depth_mm), whole_s)?),
            }
        }
    };
    if shortest_s > 60.0 * BLOCK_MIN {
        notes.push(StormNote::DullPeak { minutes: shortest_s / 60.0 });
    }
    let least_s = if shortest_s > 60.0 * BLOCK_MIN { shortest_s } else { 60.0 * BLOCK_MIN };
    let count = libm::floor(whole_s / least_s + BLOCKS_ROUNDING) as usize;
    if count <= 1 {
        return Ok(Storm::even(mm_to_m(depth_mm), whole_s)?);
    }
    let block_s = whole_s / count as f64;
    let depths: Option<Vec<f64>> = (1..=count)
        .map(|n| table.depth_m(if n == count { whole_s } else { block_s * n as f64 }, years))
        .collect();
    let depths = depths.ok_or(StormError::DepthUnknown { hours, years, design: *design })?;
    let course = Storm::of_blocks(block_s, &depths)?;
    let from_mm = m_to_mm(course.total_m());
    if (from_mm - depth_mm).abs() > ROUNDING_MM {
        notes.push(StormNote::Stretched { from_mm, to_mm: depth_mm });
    }
    Ok(course.scaled_to_m(mm_to_m(depth_mm))?)
}

/// A length that is whole blocks but for rounding is whole blocks.
const BLOCKS_ROUNDING: f64 = 1e-9;
/// A twentieth of a millimetre is beyond what tables print.
const ROUNDING_MM: f64 = 0.05;

/// The official table with its shortest duration, s.
fn official_table(site: &Site) -> Result<Option<(DepthTable, f64)>, DepthTableError> {
    let Some(read) = &site.measured.rain_depths else {
        return Ok(None);
    };
    let seconds: Vec<f64> = read.minutes.iter().map(|minutes| 60.0 * minutes).collect();
    let shortest_s = seconds.first().copied().unwrap_or(0.0);
    let depths_m = read.depths_mm.iter().map(|row| row.iter().map(|mm| mm_to_m(*mm)).collect()).collect();
    Ok(Some((DepthTable::new(seconds, read.years.clone(), depths_m)?, shortest_s)))
}

/// The plan's storm as a table of two rows, ten minutes and its whole length, read on by the same power law where
/// the storm asked for is longer. None where it is no longer than ten minutes, or its worst ten minutes bring it all.
fn table_of_plan(
    design: &DesignRain,
    worst_mm: f64,
    whole_s: f64,
) -> Result<Option<DepthTable>, DepthTableError> {
    let (short_s, long_s) = (60.0 * BLOCK_MIN, h_to_s(design.hours));
    if long_s <= short_s || whole_s <= short_s || worst_mm >= design.depth_mm {
        return Ok(None);
    }
    let power = libm::log(design.depth_mm / worst_mm) / libm::log(long_s / short_s);
    let whole_mm = worst_mm * libm::pow(whole_s / short_s, power);
    let rows = vec![vec![mm_to_m(worst_mm)], vec![mm_to_m(whole_mm)]];
    DepthTable::new(vec![short_s, whole_s], vec![design.once_in_years], rows).map(Some)
}

/// Most of what falls in ten minutes of the plan's storm: written, else three times its mean rate.
fn worst_ten_minutes_of_plan_mm(design: &DesignRain) -> f64 {
    let mean_mm = design.depth_mm / (design.hours * 60.0) * BLOCK_MIN;
    design.worst_ten_minutes_mm.unwrap_or(WORST_OVER_MEAN * mean_mm)
}

/// Most of what falls in ten minutes of the plan's storm: as the plan writes it, else by the official table at the
/// plan's rarity, else three times the mean rate.
pub(crate) fn worst_ten_minutes_mm(site: &Site) -> f64 {
    let design = &site.plan.rain.design;
    let by_table = || {
        let (table, _) = official_table(site).ok().flatten()?;
        table.depth_m(60.0 * BLOCK_MIN, design.once_in_years).map(m_to_mm)
    };
    match design.worst_ten_minutes_mm.or_else(by_table) {
        Some(worst_mm) => worst_mm,
        None => worst_ten_minutes_of_plan_mm(design),
    }
}

#[cfg(test)]
mod tests;
