//! Rounds of carrying water.
//!
//! The aim is to keep young trees alive, not to make them grow as fast as they can: a round is due on the evening of a day
//! on which some young tree got less than half of what it would use. All that are short of water by then get some on the
//! same walk, each as much as takes it out of want; at least a bucket, unless its roots' ground takes less.
//!
//! The water is poured into a basin of half a metre round the trunk: only that much of the ground is wetted from above and
//! evaporates. Where only so many litres can be carried in a week, those who got least come first; what is left over when
//! the last can is empty waits for the next week.
//!
//! What is usually advised: a whip 11 to 19 L twice a week (a nursery), 19 to 38 L a week for each 25 mm of stem, double in
//! drought ([`grove::water_need`]). Leaves out: rain that the grower sees coming, who dies first when the water runs out.

use std::f64::consts::PI;

/// A round is due when a tree gets less than this share of what it would use: a dry day.
const DUE_FRAC: f64 = 0.5;
/// A bucket, L.
const BUCKET_L: f64 = 10.0;
/// Least water worth the walk to a tree, L. Common practice, no source.
const LEAST_L: f64 = 1.0;
/// Radius of the basin that is watered, m. Common practice, no source.
const BASIN_M: f64 = 0.5;
/// Days of a week.
const WEEK_DAYS: usize = 7;

/// How water is carried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Watering {
    /// The most that can be carried in seven days; none for as much as is wanted.
    pub litres_per_week: Option<f64>,
}

/// What a tree lacks in the evening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Want {
    /// Its place among the trees of the run.
    pub tree: usize,
    /// What it got of what it would use.
    pub got_frac: f64,
    /// Litres until it is out of want.
    pub out_of_want_l: f64,
    /// Litres that its roots' ground takes.
    pub takes_l: f64,
}

impl Want {
    fn dose_l(&self) -> f64 {
        let bucket_l = if self.takes_l < BUCKET_L { self.takes_l } else { BUCKET_L };
        if self.out_of_want_l > bucket_l { self.out_of_want_l } else { bucket_l }
    }
}

/// A walk: the day of the run on whose evening it was due, and trees with their litres.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Walk {
    pub at: usize,
    pub trees: Vec<(usize, f64)>,
}

/// The rounds of a pass.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rounds {
    watering: Option<Watering>,
    week: usize,
    carried_l: f64,
    pub walks: Vec<Walk>,
}

impl Rounds {
    pub(super) fn of(watering: Option<Watering>) -> Rounds {
        Rounds { watering, week: 0, carried_l: 0.0, walks: Vec::new() }
    }

    pub(super) fn is_on(&self) -> bool {
        self.watering.is_some()
    }

    /// Who gets how much, for tomorrow morning.
    pub(super) fn evening(&mut self, at: usize, wants: &[Want]) -> Vec<(usize, f64)> {
        let Some(watering) = self.watering else { return Vec::new() };
        if !wants.iter().any(|want| want.got_frac < DUE_FRAC) {
            return Vec::new();
        }
        if at / WEEK_DAYS != self.week {
            self.week = at / WEEK_DAYS;
            self.carried_l = 0.0;
        }
        let mut thirsty: Vec<&Want> = wants.iter().filter(|want| want.got_frac < 1.0).collect();
        thirsty.sort_by(|a, b| a.got_frac.total_cmp(&b.got_frac).then(a.tree.cmp(&b.tree)));
        let mut trees = Vec::new();
        for want in thirsty {
            let left_l = watering.litres_per_week.map_or(f64::INFINITY, |most_l| most_l - self.carried_l);
            let dose_l = want.dose_l();
            let litres = if dose_l < left_l { dose_l } else { left_l };
            if litres >= LEAST_L {
                self.carried_l += litres;
                trees.push((want.tree, litres));
            }
        }
        if !trees.is_empty() {
            self.walks.push(Walk { at, trees: trees.clone() });
        }
        trees
    }
}

/// Share of a tree's ground that is wetted from above when it is watered.
pub(super) fn basin_frac(area_m2: f64) -> f64 {
    let basin_m2 = PI * BASIN_M * BASIN_M;
    if basin_m2 < area_m2 { basin_m2 / area_m2 } else { 1.0 }
}
