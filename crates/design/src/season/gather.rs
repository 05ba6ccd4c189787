//! The passes to one answer.

use quantity::Estimate;

use super::answer::{
    Answer, Balance, Case, Compare, LeftOut, LineSeason, Period, Round, RoundTree, Summer, TreeGets,
    TreePlace, TreeSeason, TreeStands, TreeStrip, TreeYear, WaterRound,
};
use super::rounds::Walk;
use super::run::{LineOut, PassOut, Stage, YEAR_DAYS, YearOut};
use super::{DRY_SPELL_DAYS, Passes, Request};
use crate::rain_test::gather::range;

/// Days of the busiest week.
const WEEK_DAYS: usize = 7;

/// Reads the answer.
pub(super) fn answer(stage: &Stage, request: &Request, passes: &Passes, left_out: Vec<LeftOut>) -> Answer {
    let walks = &passes.watered[0].rounds.walks;
    Answer {
        period: period(stage),
        members: request.members,
        seed: request.seed,
        dry_spell_days: DRY_SPELL_DAYS,
        trees: (0..stage.spots.len()).map(|tree| Reader { stage, passes, tree }.tree()).collect(),
        lines: lines(stage, passes),
        rounds: walks.iter().map(|walk| round(stage, walk)).collect(),
        summers: summers(stage, passes),
        left_out,
        balance: balance(passes),
        notes: stage.run.notes.clone(),
    }
}

fn period(stage: &Stage) -> Period {
    let days = &stage.run.days;
    let years = days.len() as f64 / YEAR_DAYS;
    Period {
        from: days[0].day.to_string(),
        to: days[days.len() - 1].day.to_string(),
        days: days.len(),
        whole_years: stage.run.whole_years(),
        drawn: stage.run.drawn_seed.is_some(),
        rain_per_year_mm: days.iter().map(|day| day.rain.rain_mm).sum::<f64>() / years,
        eto_per_year_mm: days.iter().map(|day| day.eto_mm).sum::<f64>() / years,
    }
}

/// Reads one tree.
struct Reader<'a> {
    stage: &'a Stage<'a>,
    passes: &'a Passes,
    tree: usize,
}

impl Reader<'_> {
    fn tree(&self) -> TreeSeason {
        let years = self.counted(&self.passes.members[0]);
        TreeSeason {
            place: self.place(),
            gets: TreeGets {
                litres_from_line: self.mean_year(|year| year.line_l),
                litres_from_rain: self.mean_year(|year| year.rain_l),
                litres_drunk: self.mean_year(|year| year.drunk_l),
                litres_by_hand: range(self.passes.watered.iter().map(|pass| self.by_hand_l(pass))),
            },
            stands: self.stands(),
            years: years.iter().map(|(at, year)| self.year(*at, year)).collect(),
            water_rounds: self.water_rounds(),
            compare: self.compare(),
        }
    }

    fn place(&self) -> TreePlace {
        let placed = &self.stage.spots[self.tree].placed;
        TreePlace {
            tree: placed.tree.clone(),
            species: placed.species.clone(),
            line: placed.line.clone(),
            chainage_m: placed.chainage_m,
            spot: placed.spot,
            planted: planted(self.stage, self.tree),
        }
    }

    fn stands(&self) -> TreeStands {
        let bears_days = self.stage.spots[self.tree].species.wet_feet.0.limit_days();
        let years = self.counted(&self.passes.members[0]);
        let by_month = |month: usize| self.mean_year(|year| f64::from(year.dry_by_month[month]));
        TreeStands {
            dry_days: self.mean_year(|year| f64::from(year.dry_days)),
            dry_days_by_month: (0..12).map(by_month).collect(),
            wet_feet_days: self.mean_year(|year| f64::from(year.wet_days)),
            longest_wet_feet_days: years.iter().map(|(_, year)| year.longest_wet_days).max().unwrap_or(0),
            bears_wet_feet_days: bears_days,
            chance_of_wet_feet_frac: self.chance(|year| year.longest_wet_days > bears_days),
            chance_of_dry_spell_frac: self.chance(|year| year.longest_dry_days >= DRY_SPELL_DAYS),
        }
    }

    /// The years of a pass that count for this tree: its first day's at least.
    fn counted<'p>(&self, pass: &'p PassOut) -> Vec<(usize, &'p YearOut)> {
        let years = pass.trees[self.tree].years.iter().enumerate();
        years.filter(|(at, _)| self.stage.counts(self.tree, *at)).collect()
    }

    /// The same of its first three years.
    fn young<'p>(&self, pass: &'p PassOut) -> Vec<(usize, &'p YearOut)> {
        let mut years = self.counted(pass);
        years.retain(|(at, _)| self.stage.is_young(self.tree, *at));
        years
    }

    fn mean_year(&self, value: impl Fn(&YearOut) -> f64) -> Estimate {
        range(self.passes.members.iter().map(|pass| mean(&self.counted(pass), &value)))
    }

    fn chance(&self, happens: impl Fn(&YearOut) -> bool) -> f64 {
        let of_pass = |pass| mean(&self.counted(pass), |year| f64::from(u8::from(happens(year))));
        self.passes.members.iter().map(of_pass).sum::<f64>() / self.passes.members.len() as f64
    }

    fn by_hand_l(&self, pass: &PassOut) -> f64 {
        pass.trees[self.tree].years.iter().map(|year| year.hand_l).sum()
    }

    fn year(&self, at: usize, year: &YearOut) -> TreeYear {
        TreeYear {
            from: self.stage.run.years_from[at].to_string(),
            litres_from_line: year.line_l,
            litres_from_rain: year.rain_l,
            dry_days: year.dry_days,
            longest_dry_days: year.longest_dry_days,
            wet_feet_days: year.wet_days,
            longest_wet_feet_days: year.longest_wet_days,
        }
    }

    fn water_rounds(&self) -> Vec<WaterRound> {
        let walks = &self.passes.watered[0].rounds.walks;
        let of_tree = |walk: &Walk| {
            let (_, litres) = walk.trees.iter().find(|(tree, _)| *tree == self.tree)?;
            Some(WaterRound { date: date(self.stage, walk), litres: *litres })
        };
        walks.iter().filter_map(of_tree).collect()
    }

    fn compare(&self) -> Compare {
        let case = |bare: &PassOut, watered: &PassOut| Case {
            dry_days: mean(&self.young(bare), |year| f64::from(year.dry_days)),
            litres_by_hand: mean(&self.young(watered), |year| year.hand_l),
        };
        let [no_lines, no_mulch, neither] = &self.passes.without;
        Compare {
            lines_and_mulch: case(&self.passes.members[0], &self.passes.as_wanted),
            lines_only: case(&no_mulch[0], &no_mulch[1]),
            mulch_only: case(&no_lines[0], &no_lines[1]),
            neither: case(&neither[0], &neither[1]),
            as_carried: case(&self.passes.watered[0], &self.passes.watered[0]),
        }
    }
}

fn mean(years: &[(usize, &YearOut)], value: impl Fn(&YearOut) -> f64) -> f64 {
    let sum: f64 = years.iter().map(|(_, year)| value(year)).sum();
    sum / years.len().max(1) as f64
}

/// The day of a walk: the morning after the evening on which it was seen to be due.
fn walk_at(stage: &Stage, walk: &Walk) -> usize {
    (walk.at + 1).min(stage.run.days.len() - 1)
}

fn date(stage: &Stage, walk: &Walk) -> String {
    stage.run.days[walk_at(stage, walk)].day.to_string()
}

fn round(stage: &Stage, walk: &Walk) -> Round {
    let mut trees = walk.trees.clone();
    trees.sort_by_key(|(tree, _)| stage.spots[*tree].stake);
    let named =
        |(tree, litres): (usize, f64)| RoundTree { tree: stage.spots[tree].placed.tree.clone(), litres };
    Round { date: date(stage, walk), litres: walk_l(walk), trees: trees.into_iter().map(named).collect() }
}

fn walk_l(walk: &Walk) -> f64 {
    walk.trees.iter().map(|(_, litres)| litres).sum()
}

fn summers(stage: &Stage, passes: &Passes) -> Vec<Summer> {
    let in_year = |walk: &Walk, year: usize| stage.run.days[walk_at(stage, walk)].year == year;
    let of_year = |pass: &PassOut, year: usize| -> f64 {
        pass.rounds.walks.iter().filter(|walk| in_year(walk, year)).map(walk_l).sum()
    };
    let summer = |year: usize| {
        let walks: Vec<&Walk> =
            passes.watered[0].rounds.walks.iter().filter(|walk| in_year(walk, year)).collect();
        Summer {
            year_from: stage.run.years_from[year].to_string(),
            rounds: walks.len(),
            litres: range(passes.watered.iter().map(|pass| of_year(pass, year))),
            busiest_week_l: most_in_a_week(&walks),
        }
    };
    (0..stage.run.years_from.len()).map(summer).filter(|summer| summer.litres.high() > 0.0).collect()
}

fn most_in_a_week(walks: &[&Walk]) -> f64 {
    let within = |from: usize| {
        let week = walks.iter().filter(|walk| (from..from + WEEK_DAYS).contains(&walk.at));
        week.map(|walk| walk_l(walk)).sum::<f64>()
    };
    walks.iter().map(|walk| within(walk.at)).fold(0.0, f64::max)
}

fn lines(stage: &Stage, passes: &Passes) -> Vec<LineSeason> {
    let years = stage.run.days.len() as f64 / YEAR_DAYS;
    let line = |(index, name): (usize, &str)| {
        let mean = |value: fn(&LineOut) -> f64| {
            range(passes.members.iter().map(|pass| value(&pass.lines[index]) / years))
        };
        LineSeason {
            line: name.to_owned(),
            arrived_m3: mean(|line| line.arrived_m3),
            passed_in_m3: mean(|line| line.passed_in_m3),
            soaked_m3: mean(|line| line.soaked_m3),
            passed_on_m3: mean(|line| line.passed_on_m3),
            left_m3: mean(|line| line.left_m3),
            wet_days: mean(|line| f64::from(line.wet_days)),
            spill_days: mean(|line| f64::from(line.spill_days)),
        }
    };
    stage.daily.names().enumerate().map(line).collect()
}

fn balance(passes: &Passes) -> Balance {
    let mut worst = Balance::default();
    let larger = |a: &mut f64, b: f64| {
        if b > *a {
            *a = b;
        }
    };
    let without = passes.without.iter().flatten();
    for pass in passes.members.iter().chain(&passes.watered).chain(without).chain([&passes.as_wanted]) {
        let sum = |value: fn(&LineOut) -> f64| pass.lines.iter().map(value).sum::<f64>();
        let came_m3 = sum(|line| line.arrived_m3);
        let went_m3 = sum(|line| line.soaked_m3 + line.left_m3 + line.stored_m3);
        if came_m3 > 0.0 {
            larger(&mut worst.lines_whole_run_frac, (came_m3 - went_m3).abs() / came_m3);
        }
        for line in &pass.lines {
            larger(&mut worst.lines_worst_day_frac, line.worst_day_frac);
        }
        for tree in &pass.trees {
            larger(&mut worst.soil_worst_day_frac, tree.worst_day_frac);
            larger(&mut worst.soil_whole_run_frac, tree.whole_run_frac);
        }
    }
    worst
}

fn planted(stage: &Stage, tree: usize) -> String {
    let at = stage.planted_at[tree];
    let planned = stage.spots[tree].planned_day.filter(|_| at < 0);
    let day = planned.unwrap_or_else(|| stage.run.days[at.max(0) as usize].day);
    day.to_string()
}

/// The trees' first years day by day.
pub(super) fn strips(stage: &Stage, pass: PassOut) -> Vec<TreeStrip> {
    let strip = |(tree, out): (usize, super::run::TreeOut)| TreeStrip {
        tree: stage.spots[tree].placed.tree.clone(),
        species: stage.spots[tree].placed.species.clone(),
        planted: planted(stage, tree),
        drawn: stage.run.drawn_seed.is_some(),
        days: out.days,
    };
    pass.trees.into_iter().enumerate().map(strip).collect()
}
