//! How much of the reference evapotranspiration an orchard uses, and how that changes through the year.
//!
//! Water use is read off a well-watered lawn (ETo) and multiplied: by a single coefficient Kc, or by a basal one
//! Kcb for the plant and another Ke for the soil between, which suits young trees with mulch.
//!
//! The tables hold for a middling climate (wind 2 m/s, least humidity 45 %); elsewhere
//!   K = K_table + [0.04 (u2 − 2) − 0.004 (RHmin − 45)] (h/3)^0.3,
//! with u2 kept in 1–6 m/s, RHmin in 20–80 %, h in 0.1–10 m; the late figure only from 0.45 up.
//! Between the stages the coefficient runs straight (eq. 66).
//!
//! Source: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56: tables 11, 12, 17 and 22,
//! eq. 62, 65, 66, 70. Fig, pomegranate, carob, mulberry, chestnut, persimmon, hazel, loquat, mango, guava and
//! jujube stand in none of them: a row lent to such a tree is a stand-in and must be shown as one.
//! Leaves out: varieties, rootstocks, crop load.

/// Size and roots of an orchard crop as the tables have them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Height of the mature crop, lowest and highest, m (table 12).
    pub height_m: [f64; 2],
    /// Greatest depth of the roots, m (table 22): the smaller suits watering schedules, the larger rain alone.
    pub root_depth_m: [f64; 2],
    /// Share of the available water used without stress at 5 mm/d (table 22).
    pub depletion_frac: f64,
}

/// One row of tables 12, 17 and 22.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// The table's words.
    pub name: &'static str,
    /// Kc at the start, in mid-season, at the end.
    pub single: [f64; 3],
    /// Kcb at the start, in mid-season, at the end.
    pub basal: [f64; 3],
    /// Height, roots, depletion.
    pub body: Body,
    /// Whether the last figure stands for the days before leaf drop.
    pub drops_leaves: bool,
}

/// Kcb of a bare tree over bare dry soil or dead cover, after leaf drop (table 17, footnote).
pub const LEAFLESS_BASAL: f64 = 0.15;
/// Least basal coefficient: what a dry bare soil still loses to the air (eq. 76, 98: 0.15 to 0.20).
pub const LEAST_BASAL: f64 = 0.15;

const fn body(height_m: [f64; 2], root_depth_m: [f64; 2], depletion_frac: f64) -> Body {
    Body { height_m, root_depth_m, depletion_frac }
}

/// Body of the apple, cherry and pear rows.
const POME: Body = body([4.0, 4.0], [1.0, 2.0], 0.50);
/// Body of the apricot, peach and stone fruit rows.
const STONE: Body = body([3.0, 3.0], [1.0, 2.0], 0.50);
const CITRUS_70: Body = body([4.0, 4.0], [1.2, 1.5], 0.50);
const CITRUS_50: Body = body([3.0, 3.0], [1.1, 1.5], 0.50);
const CITRUS_20: Body = body([2.0, 2.0], [0.8, 1.1], 0.50);
const COFFEE: Body = body([2.0, 3.0], [0.9, 1.5], 0.40);

const fn evergreen(name: &'static str, single: [f64; 3], basal: [f64; 3], body: Body) -> Row {
    Row { name, single, basal, body, drops_leaves: false }
}

const fn deciduous(name: &'static str, single: [f64; 3], basal: [f64; 3], body: Body) -> Row {
    Row { name, single, basal, body, drops_leaves: true }
}

/// The rows of orchards, vines and bushes.
#[rustfmt::skip]
pub const ROWS: [Row; 29] = [
    deciduous("almond, no ground cover", [0.40, 0.90, 0.65], [0.20, 0.85, 0.60], body([5.0, 5.0], [1.0, 2.0], 0.40)),
    deciduous("apple, cherry, pear: no ground cover, killing frost", [0.45, 0.95, 0.70], [0.35, 0.90, 0.65], POME),
    deciduous("apple, cherry, pear: no ground cover, no frost", [0.60, 0.95, 0.75], [0.50, 0.90, 0.70], POME),
    deciduous("apple, cherry, pear: active ground cover, killing frost", [0.50, 1.20, 0.95], [0.45, 1.15, 0.90], POME),
    deciduous("apple, cherry, pear: active ground cover, no frost", [0.80, 1.20, 0.85], [0.75, 1.15, 0.80], POME),
    deciduous("apricot, peach, stone fruit: no ground cover, killing frost", [0.45, 0.90, 0.65], [0.35, 0.85, 0.60], STONE),
    deciduous("apricot, peach, stone fruit: no ground cover, no frost", [0.55, 0.90, 0.65], [0.45, 0.85, 0.60], STONE),
    deciduous("apricot, peach, stone fruit: active ground cover, killing frost", [0.50, 1.15, 0.90], [0.45, 1.10, 0.85], STONE),
    deciduous("apricot, peach, stone fruit: active ground cover, no frost", [0.80, 1.15, 0.85], [0.75, 1.10, 0.80], STONE),
    evergreen("avocado, no ground cover", [0.60, 0.85, 0.75], [0.50, 0.80, 0.70], body([3.0, 3.0], [0.5, 1.0], 0.70)),
    evergreen("citrus, no ground cover, 70 % canopy", [0.70, 0.65, 0.70], [0.65, 0.60, 0.65], CITRUS_70),
    evergreen("citrus, no ground cover, 50 % canopy", [0.65, 0.60, 0.65], [0.60, 0.55, 0.60], CITRUS_50),
    evergreen("citrus, no ground cover, 20 % canopy", [0.50, 0.45, 0.55], [0.45, 0.40, 0.50], CITRUS_20),
    evergreen("citrus, active ground cover, 70 % canopy", [0.75, 0.70, 0.75], [0.75, 0.70, 0.75], CITRUS_70),
    evergreen("citrus, active ground cover, 50 % canopy", [0.80, 0.80, 0.80], [0.75, 0.75, 0.75], CITRUS_50),
    evergreen("citrus, active ground cover, 20 % canopy", [0.85, 0.85, 0.85], [0.80, 0.80, 0.85], CITRUS_20),
    deciduous("kiwi", [0.40, 1.05, 1.05], [0.20, 1.00, 1.00], body([3.0, 3.0], [0.7, 1.3], 0.35)),
    evergreen("olive", [0.65, 0.70, 0.70], [0.55, 0.65, 0.65], body([3.0, 5.0], [1.2, 1.7], 0.65)),
    deciduous("pistachio, no ground cover", [0.40, 1.10, 0.45], [0.20, 1.05, 0.40], body([3.0, 5.0], [1.0, 1.5], 0.40)),
    deciduous("walnut", [0.50, 1.10, 0.65], [0.40, 1.05, 0.60], body([4.0, 5.0], [1.7, 2.4], 0.50)),
    evergreen("conifers", [1.00, 1.00, 1.00], [0.95, 0.95, 0.95], body([10.0, 10.0], [1.0, 1.5], 0.70)),
    deciduous("grape, table or raisin", [0.30, 0.85, 0.45], [0.15, 0.80, 0.40], body([2.0, 2.0], [1.0, 2.0], 0.35)),
    deciduous("grape, wine", [0.30, 0.70, 0.45], [0.15, 0.65, 0.40], body([1.5, 2.0], [1.0, 2.0], 0.45)),
    deciduous("berries, bushes", [0.30, 1.05, 0.50], [0.20, 1.00, 0.40], body([1.5, 1.5], [0.6, 1.2], 0.50)),
    evergreen("banana, first year", [0.50, 1.10, 1.00], [0.15, 1.05, 0.90], body([3.0, 3.0], [0.5, 0.9], 0.35)),
    evergreen("banana, second year", [1.00, 1.20, 1.10], [0.60, 1.10, 1.05], body([4.0, 4.0], [0.5, 0.9], 0.35)),
    evergreen("coffee, bare ground", [0.90, 0.95, 0.95], [0.80, 0.90, 0.90], COFFEE),
    evergreen("coffee, with weeds", [1.05, 1.10, 1.10], [1.00, 1.05, 1.05], COFFEE),
    evergreen("date palm", [0.90, 0.95, 0.95], [0.80, 0.85, 0.85], body([8.0, 8.0], [1.5, 2.5], 0.50)),
];

/// Lengths of the four stages of a season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stages {
    /// What the table calls the crop and where.
    pub name: &'static str,
    /// Days of the initial, development, mid-season and late stage.
    pub days: [u16; 4],
    /// Month in which the season starts in the northern hemisphere, 1 to 12.
    pub northern_start_month: u8,
}

/// Stages of FAO-56, table 11. Examples for the places named: dates seen on the spot are better.
#[rustfmt::skip]
pub const STAGES: [Stages; 11] = [
    Stages { name: "citrus, Mediterranean", days: [60, 90, 120, 95], northern_start_month: 1 },
    Stages { name: "deciduous orchard, high latitudes", days: [20, 70, 90, 30], northern_start_month: 3 },
    Stages { name: "deciduous orchard, low latitudes", days: [20, 70, 120, 60], northern_start_month: 3 },
    Stages { name: "deciduous orchard, California", days: [30, 50, 130, 30], northern_start_month: 3 },
    Stages { name: "olive, Mediterranean", days: [30, 90, 60, 90], northern_start_month: 3 },
    Stages { name: "pistachio, Mediterranean", days: [20, 60, 30, 40], northern_start_month: 2 },
    Stages { name: "walnut, Utah", days: [20, 10, 130, 30], northern_start_month: 4 },
    Stages { name: "grape, low latitudes", days: [20, 40, 120, 60], northern_start_month: 4 },
    Stages { name: "grape, California", days: [20, 50, 75, 60], northern_start_month: 3 },
    Stages { name: "grape, high latitudes", days: [20, 50, 90, 20], northern_start_month: 5 },
    Stages { name: "grape, wine, mid latitudes", days: [30, 60, 40, 80], northern_start_month: 4 },
];

/// Days of a year without 29 February before the first of each month.
const DAYS_BEFORE_MONTH: [u16; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
/// Months by which the seasons of the hemispheres differ.
const HALF_A_YEAR_MONTHS: u8 = 6;
const DAYS_IN_YEAR: u16 = 365;

impl Stages {
    /// Day of the year on which the season starts, 1 to 365; six months later south of the equator.
    pub fn start_day(&self, latitude_deg: f64) -> u16 {
        let shift = if latitude_deg < 0.0 { HALF_A_YEAR_MONTHS } else { 0 };
        let month = usize::from((self.northern_start_month - 1 + shift) % 12);
        1 + DAYS_BEFORE_MONTH[month]
    }

    /// Coefficient on a day of the season: `figures` are those of start, mid-season and end, and 0 is the first
    /// day. None after the end. FAO-56, eq. 66.
    pub fn coefficient(&self, figures: [f64; 3], day_of_season: u16) -> Option<f64> {
        let day = f64::from(day_of_season);
        let [initial, development, mid, late] = self.days.map(f64::from);
        let [start, middle, end] = figures;
        let straight = |from: f64, to: f64, gone: f64, length: f64| from + (to - from) * gone / length;
        if day < initial {
            Some(start)
        } else if day < initial + development {
            Some(straight(start, middle, day - initial, development))
        } else if day < initial + development + mid {
            Some(middle)
        } else if day <= initial + development + mid + late {
            Some(straight(middle, end, day - initial - development - mid, late))
        } else {
            None
        }
    }
}

/// Days since the season's start, 0 on its first day; the year has 365 days and day 366 counts as 365.
pub fn day_of_season(start_day: u16, day_of_year: u16) -> u16 {
    (day_of_year.min(DAYS_IN_YEAR) + DAYS_IN_YEAR - start_day) % DAYS_IN_YEAR
}

/// Bounds within which the climate adjustment was fitted: wind m/s, least humidity %, height m (FAO-56, eq. 62).
const WIND_M_S: [f64; 2] = [1.0, 6.0];
const LEAST_HUMIDITY_PERCENT: [f64; 2] = [20.0, 80.0];
const HEIGHT_M: [f64; 2] = [0.1, 10.0];
/// Late coefficients below this are left as the table has them (FAO-56, eq. 65).
const LEAST_ADJUSTED: f64 = 0.45;

/// 0.04 (u2 − 2) − 0.004 (RHmin − 45), the part of the adjustment that is the weather's.
pub fn climate_term(wind_m_s: f64, least_humidity_frac: f64) -> f64 {
    let wind_m_s = wind_m_s.clamp(WIND_M_S[0], WIND_M_S[1]);
    let percent = (100.0 * least_humidity_frac).clamp(LEAST_HUMIDITY_PERCENT[0], LEAST_HUMIDITY_PERCENT[1]);
    0.04 * (wind_m_s - 2.0) - 0.004 * (percent - 45.0)
}

/// (h/3)^0.3, the part that is the crop's.
pub fn height_term(height_m: f64) -> f64 {
    libm::pow(height_m.clamp(HEIGHT_M[0], HEIGHT_M[1]) / 3.0, 0.3)
}

/// A mid-season coefficient in another climate (FAO-56, eq. 62 and 70).
pub fn adjusted(table: f64, climate_term: f64, height_term: f64) -> f64 {
    table + climate_term * height_term
}

/// A late coefficient in another climate (FAO-56, eq. 65).
pub fn adjusted_late(table: f64, climate_term: f64, height_term: f64) -> f64 {
    if table < LEAST_ADJUSTED { table } else { adjusted(table, climate_term, height_term) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str) -> &'static Row {
        ROWS.iter().find(|row| row.name == name).unwrap()
    }

    /// FAO-56, tables 12, 17 and 22: the rows the demo's trees use, and every basal figure of mid-season at most
    /// 0.10 under the single one, which is what little a shaded soil adds.
    #[test]
    fn published_rows() {
        let almond = named("almond, no ground cover");
        assert_eq!((almond.single, almond.basal), ([0.40, 0.90, 0.65], [0.20, 0.85, 0.60]));
        assert_eq!((almond.body.root_depth_m, almond.body.depletion_frac), ([1.0, 2.0], 0.40));
        let olive = named("olive");
        assert_eq!((olive.single, olive.basal), ([0.65, 0.70, 0.70], [0.55, 0.65, 0.65]));
        assert_eq!((olive.body.root_depth_m, olive.body.depletion_frac), ([1.2, 1.7], 0.65));
        let walnut = named("walnut");
        assert_eq!((walnut.single, walnut.basal), ([0.50, 1.10, 0.65], [0.40, 1.05, 0.60]));
        for row in &ROWS {
            let gap = row.single[1] - row.basal[1];
            assert!((-1e-9..=0.10 + 1e-9).contains(&gap), "{}: {gap}", row.name);
        }
    }

    /// FAO-56, table 11: sums as printed.
    #[test]
    fn published_season_lengths() {
        let sums = [365, 210, 270, 240, 270, 150, 190, 240, 205, 180, 210];
        for (stages, sum) in STAGES.iter().zip(sums) {
            assert_eq!(stages.days.iter().sum::<u16>(), sum, "{}", stages.name);
        }
    }

    /// FAO-56, examples 27 and 40, printed to hundredths.
    #[test]
    fn published_climate_adjustment() {
        for (table, wind_m_s, humidity_frac, height_m, expected) in [
            (1.20, 1.3, 0.75, 2.0, 1.07),
            (1.20, 4.6, 0.44, 2.0, 1.30),
            (1.20, 1.1, 0.30, 0.75, 1.22),
            (1.15, 1.1, 0.30, 0.75, 1.17),
        ] {
            let found = adjusted(table, climate_term(wind_m_s, humidity_frac), height_term(height_m));
            assert!((found - expected).abs() <= 0.005, "{found} against {expected}");
        }
    }

    /// At 2 m/s and 45 % nothing changes; beyond the bounds the bound counts: 0.90 + 0.16 + 0.10 at 3 m height.
    #[test]
    fn neutral_and_bounded_climates() {
        assert!((adjusted(0.90, climate_term(2.0, 0.45), height_term(5.0)) - 0.90).abs() <= 1e-12);
        assert!((adjusted(0.90, climate_term(8.0, 0.10), height_term(3.0)) - 1.16).abs() <= 1e-12);
        assert_eq!(adjusted_late(0.40, climate_term(6.0, 0.20), height_term(4.0)), 0.40);
        assert!(adjusted_late(0.45, climate_term(6.0, 0.20), height_term(4.0)) > 0.45);
        // (4/3)^0.3 = 1.09014: 0.70 + 0.12·1.09014 and 0.95 − 0.18·1.09014.
        assert!((adjusted(0.70, climate_term(3.0, 0.25), height_term(4.0)) - 0.83082).abs() <= 5e-6);
        assert!((adjusted(0.95, climate_term(1.0, 0.80), height_term(4.0)) - 0.75378).abs() <= 5e-6);
    }

    /// FAO-56, example 30: Kcb 0.15 / 1.14 / 0.25 over 25/25/30/20 days; days 12, 37, 65, 90 (counted from 0 here
    /// as in the example's line, where day 37 lies 12 days into the development).
    #[test]
    fn published_straight_lines() {
        let bean = Stages { name: "dry bean", days: [25, 25, 30, 20], northern_start_month: 5 };
        for (day, expected) in [(12, 0.15), (37, 0.63), (65, 1.14), (90, 0.70)] {
            let found = bean.coefficient([0.15, 1.14, 0.25], day).unwrap();
            // 0.695 is printed 0.70: half a unit and the last bit.
            assert!((found - expected).abs() <= 0.005 + 1e-9, "day {day}: {found}");
        }
        assert_eq!(bean.coefficient([0.15, 1.14, 0.25], 101), None);
    }

    /// South of the equator the season starts half a year later.
    #[test]
    fn hemispheres_mirror() {
        for stages in &STAGES {
            let (north, south) = (stages.start_day(38.7), stages.start_day(-38.7));
            let apart = day_of_season(north, south);
            assert!((181..=184).contains(&apart), "{}: {apart}", stages.name);
        }
        assert_eq!(STAGES[3].start_day(38.7), 60);
        assert_eq!(day_of_season(60, 59), 364);
        assert_eq!(day_of_season(60, 366), 305);
    }
}
