//! One pass through the days: the lines, then the soil of every tree, for one member.

use grove::water_balance::{DayIn, TreeGround, TreeState};
use grove::water_need::WaterNeed;

use super::answer::StripDay;
use super::rounds::{Rounds, Want, Watering, basin_frac};
use super::share::{Reached, Share, settle};
use super::spots::{Cared, Held, TreeSpot, spreads_m};
use super::weather::RunDays;
use crate::rain_test::chance::{Chance, triangular};
use crate::rain_test::daily::{DailyMember, DailyWorks, DayOfRain};

/// Hours of a day with water over its ground from which a tree's roots count as under water.
const UNDER_WATER_H: usize = 12;
/// Sets the numbers of the trees' soil apart from those of the lines; any number does.
const SOIL_STREAM: u64 = 0x5ea5_0000_0000_0000;
/// A tree planted so many days into a year has not lived that year.
const LATE_DAYS: usize = 92;
/// Years after planting in which trees are watered by hand: until they are established, one to three years by common
/// practice, no source; the longest.
pub(super) const WATERED_YEARS: f64 = 3.0;
/// Days in a year of the seasons.
pub(super) const YEAR_DAYS: f64 = 365.25;

/// What stays the same through all passes.
pub(super) struct Stage<'a> {
    pub run: &'a RunDays,
    pub rain: Vec<DayOfRain>,
    pub daily: &'a DailyWorks<'a>,
    pub spots: &'a [TreeSpot<'a>],
    /// Day of the run on which each tree is planted; before the first day for a tree that is older.
    pub planted_at: Vec<i64>,
    /// Pieces of every line.
    pub pieces_m: Vec<Vec<(f64, f64)>>,
    pub latitude_deg: f64,
    pub seed: u64,
}

/// What one pass tries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Trial {
    pub member: usize,
    pub lines: bool,
    pub mulched: bool,
    pub watering: Option<Watering>,
    /// Whether the days of young trees are kept one by one.
    pub keep_days: bool,
}

/// One year of a tree.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct YearOut {
    pub line_l: f64,
    pub rain_l: f64,
    pub hand_l: f64,
    pub drunk_l: f64,
    pub dry_days: u32,
    pub longest_dry_days: u32,
    pub wet_days: u32,
    pub longest_wet_days: u32,
    pub dry_by_month: [u32; 12],
}

/// What a pass did to a tree.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TreeOut {
    pub years: Vec<YearOut>,
    pub worst_day_frac: f64,
    pub whole_run_frac: f64,
    /// Its first three years day by day, where they are kept.
    pub days: Vec<StripDay>,
}

/// What a pass did to a line, m³ of the whole run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct LineOut {
    pub arrived_m3: f64,
    pub passed_in_m3: f64,
    pub soaked_m3: f64,
    pub passed_on_m3: f64,
    pub left_m3: f64,
    pub stored_m3: f64,
    pub wet_days: u32,
    pub spill_days: u32,
    pub worst_day_frac: f64,
}

/// A pass.
#[derive(Debug, Clone)]
pub(super) struct PassOut {
    pub trees: Vec<TreeOut>,
    pub lines: Vec<LineOut>,
    pub rounds: Rounds,
}

/// A tree on its way through the days.
struct Living {
    ground: TreeGround,
    /// None until it is planted.
    state: Option<TreeState>,
    share: Share,
    want: Option<Want>,
    hand_l: f64,
    account: Account,
    years: Vec<YearOut>,
    days: Option<Vec<StripDay>>,
}

/// Litres of a tree's ground: what came, what went, and the worst day.
#[derive(Debug, Clone, Copy, Default)]
struct Account {
    came_l: f64,
    went_l: f64,
    worst_day_frac: f64,
}

impl Stage<'_> {
    /// Whether a tree lives through a whole year.
    pub(super) fn counts(&self, tree: usize, year: usize) -> bool {
        let from = self.year_starts_at(year) as i64;
        let whole = year < self.run.whole_years() || self.run.whole_years() == 0;
        whole && self.planted_at[tree] <= from + LATE_DAYS as i64
    }

    fn year_starts_at(&self, year: usize) -> usize {
        (self.run.years_from[year].number() - self.run.days[0].day.number()) as usize
    }

    /// Whether a tree is in its first three years when a year begins.
    pub(super) fn is_young(&self, tree: usize, year: usize) -> bool {
        let from = self.year_starts_at(year) as i64;
        ((from - self.planted_at[tree]) as f64) < WATERED_YEARS * YEAR_DAYS - LATE_DAYS as f64
    }

    /// The ground of every tree in one pass. Trees whose ground cannot be worked were left out before.
    fn grounds(&self, trial: Trial, member: &DailyMember) -> Vec<TreeGround> {
        let held = Held(self.chance(trial.member).map(|mut chance| chance.uniform()));
        let of_tree = |spot: &TreeSpot| {
            let of_line =
                spot.at_line.as_ref().map(|at| member.soak_mm_h(at.line)).filter(|mm_h| *mm_h > 0.0);
            let cared = Cared { held, soak_mm_h: of_line.unwrap_or(spot.soak_mm_h), mulched: trial.mulched };
            spot.ground(self.latitude_deg, cared).expect("the ground was worked with the likely soil")
        };
        self.spots.iter().map(of_tree).collect()
    }

    /// Chance of one member's soil; none for the likely one. Other numbers than those of the lines.
    fn chance(&self, member: usize) -> Option<Chance> {
        (member > 0).then(|| Chance::of_member(self.seed ^ SOIL_STREAM, member))
    }

    /// Lives through all days.
    pub(super) fn pass(&self, trial: Trial) -> PassOut {
        let mut member = self.daily.member(self.seed, trial.member, &self.rain);
        let grounds = self.grounds(trial, &member);
        let spreads = spreads_m();
        let spread_m = self.chance(trial.member).map_or(spreads.likely(), |mut chance| {
            chance.uniform();
            triangular(chance.uniform(), spreads.low(), spreads.likely(), spreads.high())
        });
        let years = self.run.years_from.len();
        let mut trees: Vec<Living> =
            grounds.into_iter().map(|ground| Living::of(ground, years, trial.keep_days)).collect();
        let mut lines = vec![LineOut::default(); self.pieces_m.len()];
        let mut rounds = Rounds::of(trial.watering);
        for at in 0..self.run.days.len() {
            member.step(at, &self.rain[at]);
            for (index, line) in lines.iter_mut().enumerate() {
                line.add(member.line(index));
            }
            let new_stature = self.plant_and_grow(&mut trees, at);
            if new_stature && trial.lines {
                self.share_out(&mut trees, spread_m);
            }
            for (tree, living) in trees.iter_mut().enumerate() {
                living.live(self, (tree, at), trial.lines.then_some(&member), &member);
            }
            self.carry(&mut rounds, &mut trees, at);
        }
        PassOut { trees: trees.iter().map(Living::out).collect(), lines, rounds }
    }

    /// Plants what is to be planted. Gives whether any tree's size changes today.
    fn plant_and_grow(&self, trees: &mut [Living], at: usize) -> bool {
        let mut changed = false;
        for (tree, living) in trees.iter_mut().enumerate() {
            let age_days = at as i64 - self.planted_at[tree];
            if living.state.is_none() && age_days >= 0 {
                living.plant(age_days as u32);
            }
            changed |= living.state.as_ref().is_some_and(TreeState::is_measured_today);
        }
        changed
    }

    /// What of each line's water each tree's roots reach.
    fn share_out(&self, trees: &mut [Living], spread_m: f64) {
        for (line, pieces_m) in self.pieces_m.iter().enumerate() {
            let mut shares: Vec<&mut Share> = Vec::new();
            for (living, spot) in trees.iter_mut().zip(self.spots) {
                let Some(at) = spot.at_line.as_ref().filter(|at| at.line == line) else { continue };
                let Some(state) = &living.state else { continue };
                let area_m2 = state.area_today_m2(&living.ground);
                let reached = Reached { chainage_m: at.chainage_m, downhill_m: at.downhill_m, area_m2 };
                living.share = Share::of(reached, at.strip_m(spread_m), pieces_m);
                shares.push(&mut living.share);
            }
            settle(&mut shares, pieces_m.len());
        }
    }

    /// Water carried on the evening of a day, by what the trees lack.
    fn carry(&self, rounds: &mut Rounds, trees: &mut [Living], at: usize) {
        if !rounds.is_on() {
            return;
        }
        let young = |tree: usize| ((at as i64 - self.planted_at[tree]) as f64) < WATERED_YEARS * YEAR_DAYS;
        let wants: Vec<Want> =
            trees.iter().filter_map(|living| living.want).filter(|want| young(want.tree)).collect();
        for (tree, litres) in rounds.evening(at, &wants) {
            trees[tree].hand_l = litres;
        }
    }
}

impl Living {
    fn of(ground: TreeGround, years: usize, keep_days: bool) -> Living {
        Living {
            ground,
            state: None,
            share: Share::default(),
            want: None,
            hand_l: 0.0,
            account: Account::default(),
            years: vec![YearOut::default(); years],
            days: keep_days.then(Vec::new),
        }
    }

    /// Puts the tree in, soaked as is done at planting; one that is older than the run stands in moist ground.
    fn plant(&mut self, age_days: u32) {
        let state = TreeState::grown(&self.ground, 1.0, age_days);
        self.account.came_l += state.stored_l();
        self.state = Some(state);
    }

    fn live(
        &mut self,
        stage: &Stage,
        (tree, at): (usize, usize),
        lines: Option<&DailyMember>,
        sheds: &DailyMember,
    ) {
        let Some(state) = &mut self.state else { return };
        let day = &stage.run.days[at];
        let spot = stage.spots[tree].at_line.as_ref();
        let area_m2 = state.area_today_m2(&self.ground);
        let line_l = match (spot, lines) {
            (Some(at), Some(lines)) => self.share.litres(&lines.line(at.line).soaked_of_piece_m3),
            _ => 0.0,
        };
        let under_water = match (spot, lines) {
            (Some(at), Some(lines)) => at
                .stands_over_m3
                .is_some_and(|volume_m3| lines.line(at.line).hours_above(volume_m3) >= UNDER_WATER_H),
            _ => false,
        };
        let hand_mm = self.hand_l / area_m2;
        let from_above = basin_frac(area_m2);
        let shed_frac = spot.map_or(0.0, |at| sheds.sheds_frac(at.line, &day.rain));
        let today = DayIn {
            day_of_year: day.day_of_year,
            eto_mm: day.eto_mm,
            climate_term: day.climate_term,
            rain_mm: day.rain.rain_mm * (1.0 - shed_frac),
            // What soaks down from the basin comes to the rest of the roots' ground from below, as the line's water.
            line_mm: line_l / area_m2 + (1.0 - from_above) * hand_mm,
            hand_mm: from_above * hand_mm,
            under_water,
        };
        let before_mm = state.root_mm + state.below_mm;
        let out = state.step(&self.ground, &today);
        self.account.day(&today, &out, before_mm, state);
        let need = WaterNeed::of(&self.ground, state, out.readily_mm);
        self.want = Some(Want {
            tree,
            got_frac: out.stress_frac,
            out_of_want_l: need.refill_l - out.litres(out.readily_mm),
            takes_l: need.refill_l,
        });
        let year = &mut self.years[day.year];
        year.line_l += line_l;
        year.hand_l += self.hand_l;
        year.add(&today, &out, state, day.day.month());
        if let Some(days) =
            self.days.as_mut().filter(|_| f64::from(state.age_days) <= WATERED_YEARS * YEAR_DAYS)
        {
            let available_mm = self.ground.soil.available_mm(state.stature.root_depth_m);
            days.push(StripDay {
                month: day.day.month(),
                of_month: day.day.of_month(),
                soil_frac: (1.0 - out.depletion_mm / available_mm).max(0.0),
                rain_mm: day.rain.rain_mm,
                line_l,
                hand_l: self.hand_l,
                got_frac: out.stress_frac,
                dry: out.dry,
                wet_feet: out.wet_feet,
            });
        }
        self.hand_l = 0.0;
    }

    fn out(&self) -> TreeOut {
        let Account { came_l, went_l, worst_day_frac } = self.account;
        let left_l = self.state.as_ref().map_or(0.0, TreeState::stored_l);
        let error_l = (came_l - went_l - left_l).abs();
        TreeOut {
            years: self.years.clone(),
            days: self.days.clone().unwrap_or_default(),
            worst_day_frac,
            whole_run_frac: if came_l > 0.0 { error_l / came_l } else { 0.0 },
        }
    }
}

impl Account {
    fn day(&mut self, today: &DayIn, out: &grove::water_balance::DayOut, before_mm: f64, state: &TreeState) {
        let came_mm = today.rain_mm + today.line_mm + today.hand_mm;
        let flux = &out.flux;
        let went_mm =
            flux.drained_mm + flux.turned_away_mm + flux.by_tree_mm + flux.by_cover_mm + flux.evaporated_mm;
        let after_mm = state.root_mm + state.below_mm;
        let error_frac = (before_mm + came_mm - went_mm - after_mm).abs() / (before_mm + came_mm);
        if error_frac > self.worst_day_frac {
            self.worst_day_frac = error_frac;
        }
        self.came_l += out.litres(came_mm) + before_mm * out.widened_m2;
        self.went_l += out.litres(went_mm);
    }
}

impl YearOut {
    fn add(&mut self, today: &DayIn, out: &grove::water_balance::DayOut, state: &TreeState, month: u32) {
        self.rain_l += out.litres(today.rain_mm);
        self.drunk_l += out.litres(out.flux.by_tree_mm);
        if out.dry {
            self.dry_days += 1;
            self.dry_by_month[month as usize - 1] += 1;
        }
        self.wet_days += u32::from(out.wet_feet);
        self.longest_dry_days = self.longest_dry_days.max(state.dry_run_days);
        self.longest_wet_days = self.longest_wet_days.max(state.wet_run_days);
    }
}

impl LineOut {
    fn add(&mut self, day: &crate::rain_test::daily::LineDay) {
        self.arrived_m3 += day.arrived_m3;
        self.passed_in_m3 += day.passed_in_m3;
        self.soaked_m3 += day.soaked_m3;
        self.passed_on_m3 += day.passed_on_m3;
        self.left_m3 += day.left_m3;
        self.stored_m3 = day.stored_m3;
        self.wet_days += u32::from(day.soaked_m3 > 0.0);
        self.spill_days += u32::from(day.passed_on_m3 + day.left_m3 > 0.0);
        let error_frac = day.balance_error_frac();
        if error_frac > self.worst_day_frac {
            self.worst_day_frac = error_frac;
        }
    }
}
