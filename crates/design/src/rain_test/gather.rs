//! The members' outcomes to one answer.

use quantity::Estimate;
use quantity::convert::{m_to_cm, m_to_mm, m3_to_l, s_to_h};
use site::{LineKind, Lining};
use water::chain::{CrestKind, Passage, Target};
use water::runoff::Wetness;
use water::{scour, weir};

use super::answer::{
    Answer, Breakout, Ensemble, Fastest, Guess, LeastFreeboard, LineAt, LineRain, MetreRain, Moment, Outlet,
    RainSoFar, SillRain, SiteRain, StormTold, TreeRain,
};
use super::build::{Works, WorksLine};
use super::{Member, Request, followed_s, in_time};
use crate::layout::Layout;
use crate::section::hand_section;
use crate::sizes::{cover, sills::sill_crest};
use crate::soil;

/// Less than this over a bank is a wet bank, not a breakout: a litre.
pub(super) const BREAKOUT_M3: f64 = 0.001;
/// Nine in ten members lie between the ends of a range.
const ENDS: [f64; 2] = [0.05, 0.95];
/// Length of storm that the worst of is told.
const WORST_S: f64 = 600.0;

/// The range that the members span: nine in ten lie between its ends, half on either side of its middle.
pub(crate) fn range(values: impl IntoIterator<Item = f64>) -> Estimate {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_by(f64::total_cmp);
    let last = values.len() as f64 - 1.0;
    let at = |share: f64| values[(share * last).round() as usize];
    Estimate::spanning(at(0.5), at(ENDS[0]), at(ENDS[1]))
}

/// The same where only some members have a value; none where half or more of them have none.
fn range_of_most(values: impl IntoIterator<Item = Option<f64>>) -> Option<Estimate> {
    let all: Vec<Option<f64>> = values.into_iter().collect();
    let some: Vec<f64> = all.iter().filter_map(|value| *value).collect();
    (2 * some.len() > all.len()).then(|| range(some))
}

/// Reads the answer.
pub(super) fn answer(works: &Works, layout: &Layout, request: &Request, members: &[Member]) -> Answer {
    let lines: Vec<LineRain> =
        (0..works.lines.len()).map(|index| Reader { works, request, members, index }.line()).collect();
    let trees = trees(layout, &lines);
    let errors = members.iter().map(|member| member.outcome.balance.balance_error_frac);
    Answer {
        storm: storm(request),
        ensemble: Ensemble { members: members.len(), seed: request.seed, guesses: guesses(works, members) },
        soils: soil::soak_rates(works.site),
        left_out: works.left_out.clone(),
        trees,
        site: site(works, members),
        balance_error_frac: errors.fold(0.0, f64::max),
        snapshots: snapshots(works, members),
        lines,
    }
}

fn storm(request: &Request) -> StormTold {
    let storm = &request.storm;
    let wet_before = match request.wetness {
        Wetness::Dry => "dry",
        Wetness::Usual => "usual",
        Wetness::Wet => "wet",
    };
    StormTold {
        depth_mm: m_to_mm(storm.total_m()),
        hours: s_to_h(storm.duration_s()),
        worst_ten_minutes_mm: m_to_mm(storm.hardest_m(WORST_S)),
        shape: request.shape.clone(),
        wet_before: wet_before.to_owned(),
        lines_before: request.lines_before,
        followed_h: s_to_h(followed_s(storm)),
        course: storm
            .course()
            .iter()
            .map(|fallen| RainSoFar { at_h: s_to_h(fallen.at_s), rain_mm: m_to_mm(fallen.rain_m) })
            .collect(),
    }
}

fn trees(layout: &Layout, lines: &[LineRain]) -> Vec<TreeRain> {
    let place = |tree: &crate::layout::LaidTree| {
        let line = lines.iter().find(|line| Some(&line.line) == tree.line.as_ref())?;
        let chainage_m = tree.chainage_m?;
        let metre = line.metres.iter().find(|metre| chainage_m <= metre.to_m).or(line.metres.last())?;
        Some(TreeRain {
            tree: tree.tree.clone(),
            line: line.line.clone(),
            chainage_m,
            soaked_l_per_m: metre.soaked_l_per_m,
        })
    };
    layout.trees.iter().filter_map(place).collect()
}

fn snapshots(works: &Works, members: &[Member]) -> Vec<Moment> {
    let moment = |(number, snapshot): (usize, &water::chain::Snapshot)| Moment {
        at_h: s_to_h(snapshot.at_s),
        lines: (0..works.lines.len()).map(|line| line_at(works, members, number, line)).collect(),
    };
    members[0].outcome.snapshots.iter().enumerate().map(moment).collect()
}

/// A line's levels at one time.
fn line_at(works: &Works, members: &[Member], moment: usize, index: usize) -> LineAt {
    let line = &works.lines[index];
    let pieces: &[super::build::Piece] = if line.line.kind == LineKind::Pipe { &[] } else { &line.pieces };
    // A member's bed lies higher or lower than the one as drawn: dry, its level says nothing.
    let level_z_m = |member: &Member, piece: usize| {
        let level_z_m = member.outcome.snapshots[moment].level_z_m[index][piece];
        let bed_z_m = pieces[piece].bed_z_m();
        let wet = level_z_m - (bed_z_m + member.draw.shift_m(index, piece)) > water::chain::WET_DEPTH_M;
        if wet { level_z_m } else { bed_z_m }
    };
    let ranges: Vec<Estimate> =
        (0..pieces.len()).map(|piece| range(members.iter().map(|member| level_z_m(member, piece)))).collect();
    LineAt {
        line: line.line.name.clone(),
        level_z_m: (0..pieces.len())
            .map(|piece| members[0].outcome.snapshots[moment].level_z_m[index][piece])
            .collect(),
        low_z_m: ranges.iter().map(|range| range.low()).collect(),
        high_z_m: ranges.iter().map(|range| range.high()).collect(),
    }
}

/// What goes over banks, in a member.
fn over_banks_m3(works: &Works, member: &Member) -> f64 {
    crests(works, CrestKind::Bank).map(|crest| member.outcome.crests[crest.place].all.volume_m3).sum()
}

/// A crest of the chain by what it is: for each line its sills in order, then its bank.
#[derive(Clone, Copy)]
pub(super) struct CrestPlace {
    pub line: usize,
    kind: CrestKind,
    /// Its place among the chain's crests.
    pub place: usize,
}

/// The crests, in the order in which [`Works::chain`] lists them.
pub(super) fn crests(works: &Works, kind: CrestKind) -> impl Iterator<Item = CrestPlace> {
    let mut all = Vec::new();
    for (line, works_line) in works.lines.iter().enumerate() {
        for _ in &works_line.line.sills {
            all.push(CrestPlace { line, kind: CrestKind::Sill, place: all.len() });
        }
        if works_line.has_bank() {
            all.push(CrestPlace { line, kind: CrestKind::Bank, place: all.len() });
        }
    }
    all.into_iter().filter(move |crest| crest.kind == kind)
}

fn guesses(works: &Works, members: &[Member]) -> Vec<Guess> {
    let drawn = &members[1..];
    if drawn.len() < 3 {
        return Vec::new();
    }
    let outcomes: [(&str, Vec<f64>); 3] = [
        ("what goes over banks", drawn.iter().map(|member| over_banks_m3(works, member)).collect()),
        ("what leaves the site", drawn.iter().map(|member| member.outcome.balance.left_m3).collect()),
        ("what soaks in", drawn.iter().map(|member| member.outcome.balance.soaked_m3).collect()),
    ];
    let moves =
        |(_, values): &&(&str, Vec<f64>)| values.iter().any(|value| (value - values[0]).abs() > BREAKOUT_M3);
    let Some((against, values)) = outcomes.iter().find(moves) else {
        return Vec::new();
    };
    let seeps = works.site.plan.sources.iter().any(|source| source.kind == site::SourceKind::Seep);
    let all: Vec<(&str, Vec<f64>)> = vec![
        ("soak rate", drawn.iter().map(|member| member.draw.mean_soak_u()).collect()),
        ("runoff", drawn.iter().map(|member| member.draw.runoff_u).collect()),
        ("seep", drawn.iter().map(|member| member.draw.seep_u).collect()),
        ("levels", drawn.iter().map(|member| member.draw.out_of_level_m()).collect()),
    ];
    let mut guesses: Vec<Guess> = all
        .iter()
        .filter(|(guess, _)| *guess != "seep" || seeps)
        .map(|(guess, drawn)| Guess {
            guess: (*guess).to_owned(),
            rank_correlation: rank_correlation(drawn, values),
            against: (*against).to_owned(),
        })
        .collect();
    guesses.sort_by(|a, b| b.rank_correlation.abs().total_cmp(&a.rank_correlation.abs()));
    guesses
}

/// Spearman's rank correlation: that of the ranks, ties sharing their mean rank; 0 where one does not vary.
pub(super) fn rank_correlation(a: &[f64], b: &[f64]) -> f64 {
    let (a, b) = (ranks(a), ranks(b));
    let mean = (a.len() as f64 - 1.0) / 2.0;
    let product =
        |x: &[f64], y: &[f64]| -> f64 { x.iter().zip(y).map(|(x, y)| (x - mean) * (y - mean)).sum() };
    let spread = (product(&a, &a) * product(&b, &b)).sqrt();
    if spread > 0.0 { product(&a, &b) / spread } else { 0.0 }
}

fn ranks(values: &[f64]) -> Vec<f64> {
    let below = |value: f64| values.iter().filter(|other| **other < value).count();
    let alike = |value: f64| values.iter().filter(|other| **other == value).count();
    values.iter().map(|value| below(*value) as f64 + (alike(*value) as f64 - 1.0) / 2.0).collect()
}

fn site(works: &Works, members: &[Member]) -> SiteRain {
    let balance = |value: fn(&water::chain::Balance) -> f64| {
        range(members.iter().map(|member| value(&member.outcome.balance)))
    };
    let before: Vec<&[f64]> = members.iter().map(|member| &member.before_m3_s[..]).collect();
    let after_m3_s: Vec<Vec<f64>> = members.iter().map(after_m3_s).collect();
    let after: Vec<&[f64]> = after_m3_s.iter().map(Vec::as_slice).collect();
    let runs_past_m3 = |member: &Member| {
        // Of no flow at all the sum is −0.
        0.0 + super::KEPT_STEP_S * member.runs_past_m3_s.iter().sum::<f64>()
    };
    SiteRain {
        stood_before_m3: balance(|balance| balance.start_m3),
        arrived_m3: balance(|balance| balance.arrived_m3),
        soaked_m3: balance(|balance| balance.soaked_m3),
        stored_m3: balance(|balance| balance.stored_m3),
        leaves_m3: balance(|balance| balance.left_m3),
        runs_past_m3: range(members.iter().map(runs_past_m3)),
        peak_before_l_s: range(before.iter().map(|flow| peak_l_s(flow))),
        peak_after_l_s: range(after.iter().map(|flow| peak_l_s(flow))),
        flow_before: in_time::flow(&before, super::KEPT_STEP_S),
        flow_after: in_time::flow(&after, super::KEPT_STEP_S),
        outlets: outlets(works, members),
    }
}

/// All that leaves, in a member: out of the works and past them.
fn after_m3_s(member: &Member) -> Vec<f64> {
    let mut flow_m3_s = Vec::new();
    for outlet in &member.outcome.outlets {
        super::arrive::add(&mut flow_m3_s, &outlet.flow_m3_s);
    }
    super::arrive::add(&mut flow_m3_s, &member.runs_past_m3_s);
    flow_m3_s
}

fn peak_l_s(flow_m3_s: &[f64]) -> f64 {
    m3_to_l(flow_m3_s.iter().copied().fold(0.0, f64::max))
}

/// The places where water leaves in any member.
fn outlets(works: &Works, members: &[Member]) -> Vec<Outlet> {
    let outlet = |(number, exit): (usize, &super::build::Exit)| {
        let flows: Vec<&[f64]> = members
            .iter()
            .map(|member| member.outcome.outlets.get(number).map_or(&[][..], |flow| &flow.flow_m3_s))
            .collect();
        let volume_m3 = |flow: &[f64]| flow.iter().sum::<f64>() * super::KEPT_STEP_S;
        let leaves = flows.iter().any(|flow| volume_m3(flow) > BREAKOUT_M3);
        let line = &works.lines[exit.line];
        let at = line.laid.path.as_ref().and_then(|path| path.at(exit.at_m));
        leaves.then(|| Outlet {
            line: line.line.name.clone(),
            by: exit.by,
            at_m: exit.at_m,
            x_m: at.map(|at| at.x_m),
            y_m: at.map(|at| at.y_m),
            volume_m3: range(flows.iter().map(|flow| volume_m3(flow))),
            peak_l_s: range(flows.iter().map(|flow| peak_l_s(flow))),
            flow: in_time::flow(&flows, super::KEPT_STEP_S),
        })
    };
    works.exits.iter().enumerate().filter_map(outlet).collect()
}

/// Reads one line.
struct Reader<'a> {
    works: &'a Works<'a>,
    request: &'a Request,
    members: &'a [Member],
    index: usize,
}

impl Reader<'_> {
    fn works_line(&self) -> &WorksLine<'_> {
        &self.works.lines[self.index]
    }

    fn outcome<'m>(&self, member: &'m Member) -> &'m water::chain::LineOutcome {
        &member.outcome.lines[self.index]
    }

    fn over(&self, value: impl Fn(&water::chain::LineOutcome) -> f64) -> Estimate {
        range(self.members.iter().map(|member| value(self.outcome(member))))
    }

    fn line(&self) -> LineRain {
        let works_line = self.works_line();
        let open = works_line.line.kind != LineKind::Pipe;
        let breakouts = self.breakouts();
        let rain_s = self.request.storm.duration_s();
        let drain_down = self.members.iter().map(|member| {
            self.outcome(member).drained_s.map(|at_s| s_to_h(if at_s > rain_s { at_s - rain_s } else { 0.0 }))
        });
        let breaks_out = self.members.iter().filter(|member| self.breaks_out(member)).count();
        LineRain {
            line: works_line.line.name.clone(),
            kind: works_line.line.kind,
            length_m: works_line.laid.length_m(),
            stood_before_m3: self.over(|line| line.start_m3),
            arrived_m3: self.over(|line| line.arrived_m3),
            passed_in_m3: self.over(|line| line.passed_in_m3),
            soaked_m3: self.over(|line| line.soaked_m3),
            stored_m3: self.over(|line| line.stored_m3),
            passed_on_m3: self.over(|line| line.passed_on_m3),
            left_m3: self.over(|line| line.left_m3),
            reach_m: range(self.members.iter().map(|member| self.reach(member).map_or(0.0, |(m, _)| m))),
            reach_h: range_of_most(self.members.iter().map(|member| Some(s_to_h(self.reach(member)?.1)))),
            wet_m: range(self.members.iter().map(|member| self.wet_m(member))),
            peak_level_m: open.then(|| self.peak_level_m()),
            least_freeboard: self.least_freeboard().filter(|_| open),
            breaks_out_frac: breaks_out as f64 / self.members.len() as f64,
            breakouts,
            sills: (0..works_line.line.sills.len()).map(|sill| self.sill(sill)).collect(),
            fastest: self.fastest().filter(|_| open),
            drain_down_h: range_of_most(drain_down),
            metres: if open { self.metres() } else { Vec::new() },
        }
    }

    /// The farthest piece that gets wet: its end and when.
    fn reach(&self, member: &Member) -> Option<(f64, f64)> {
        let cells = self.outcome(member).cells.iter().zip(&self.works_line().pieces);
        cells.rev().find_map(|(cell, piece)| Some((piece.to_m, cell.first_wet_s?)))
    }

    fn wet_m(&self, member: &Member) -> f64 {
        let cells = self.outcome(member).cells.iter().zip(&self.works_line().pieces);
        cells.filter(|(cell, _)| cell.first_wet_s.is_some()).map(|(_, piece)| piece.length_m()).sum()
    }

    fn peak_level_m(&self) -> Estimate {
        self.over(|line| line.cells.iter().map(|cell| cell.peak_level_z_m).fold(f64::NEG_INFINITY, f64::max))
    }

    /// Bank left above the highest water beside each piece, in a member.
    fn freeboards(&self, member: &Member) -> Vec<(f64, f64)> {
        let cells = self.outcome(member).cells.iter().zip(&self.works_line().pieces).enumerate();
        cells
            .filter(|(_, (_, piece))| !piece.drowned)
            .map(|(i, (cell, piece))| {
                let bank_z_m = piece.bank_z_m + member.draw.shift_m(self.index, i);
                (piece.middle_m(), bank_z_m - cell.peak_level_z_m)
            })
            .collect()
    }

    fn least_freeboard(&self) -> Option<LeastFreeboard> {
        let least = |member: &Member| {
            let all = self.freeboards(member).into_iter();
            all.reduce(|low, here| if here.1 < low.1 { here } else { low })
        };
        let at_m = least(&self.members[0])?.0;
        let all = self.members.iter().filter_map(|member| Some(least(member)?.1));
        Some(LeastFreeboard { freeboard_m: range(all), at_m })
    }

    fn bank(&self) -> Option<CrestPlace> {
        crests(self.works, CrestKind::Bank).find(|crest| crest.line == self.index)
    }

    fn breaks_out(&self, member: &Member) -> bool {
        self.bank().is_some_and(|bank| {
            member.outcome.crests[bank.place].parts.iter().any(|part| part.volume_m3 > BREAKOUT_M3)
        })
    }

    /// Parts of the bank side by side over which water goes in any member make one breakout.
    fn breakouts(&self) -> Vec<Breakout> {
        let Some(bank) = self.bank() else {
            return Vec::new();
        };
        let parts = self.works_line().bank_pieces();
        let wet = |part: usize| {
            self.members
                .iter()
                .any(|member| member.outcome.crests[bank.place].parts[part].volume_m3 > BREAKOUT_M3)
        };
        let mut stretches: Vec<Vec<usize>> = Vec::new();
        for part in (0..parts.len()).filter(|part| wet(*part)) {
            match stretches.last_mut() {
                Some(stretch) if stretch.last() == part.checked_sub(1).as_ref() => stretch.push(part),
                _ => stretches.push(vec![part]),
            }
        }
        stretches.into_iter().map(|stretch| self.breakout(bank, &parts, &stretch)).collect()
    }

    fn breakout(&self, bank: CrestPlace, parts: &[usize], stretch: &[usize]) -> Breakout {
        let line = self.works_line();
        let piece = |part: usize| &line.pieces[parts[part]];
        let spilt: Vec<Vec<Passage>> = self
            .members
            .iter()
            .map(|member| stretch.iter().map(|part| member.outcome.crests[bank.place].parts[*part]).collect())
            .filter(|passages: &Vec<Passage>| passages.iter().any(|passage| passage.volume_m3 > BREAKOUT_M3))
            .collect();
        let summed = |i: usize| spilt.iter().map(|passages| passages[i].volume_m3).sum::<f64>();
        let worst = (0..stretch.len()).fold(0, |most, i| if summed(i) > summed(most) { i } else { most });
        let most = |value: fn(&Passage) -> f64| {
            let spilt = &spilt;
            range(spilt.iter().map(move |passages| passages.iter().map(value).fold(0.0, f64::max)))
        };
        let first_s = |passages: &Vec<Passage>| {
            passages.iter().filter_map(|passage| passage.first_s).fold(f64::INFINITY, f64::min)
        };
        let hand = hand_section(line.line, 0.0);
        let speed_m_s = |passages: &Vec<Passage>| {
            let unit_flows = passages
                .iter()
                .zip(stretch)
                .map(|(passage, part)| passage.peak_m3_s / piece(*part).length_m());
            let unit_flow_m2_s = unit_flows.fold(0.0, f64::max);
            scour::landing_sheet(unit_flow_m2_s, 1.0 / hand.bank_batter, cover::sheet_n(Lining::Bare))
                .speed_m_s
        };
        let fill_stands_m_s = cover::stands_m_s(Lining::Bare, 0.0, line.soil);
        let washed = spilt.iter().filter(|passages| speed_m_s(passages) > fill_stands_m_s).count();
        Breakout {
            from_m: piece(stretch[0]).from_m,
            to_m: piece(stretch[stretch.len() - 1]).to_m,
            at_m: piece(stretch[worst]).middle_m(),
            chance_frac: spilt.len() as f64 / self.members.len() as f64,
            first_h: range(spilt.iter().map(|passages| s_to_h(first_s(passages)))),
            peak_l_s: range(spilt.iter().map(|passages| m3_to_l(passages.iter().map(|p| p.peak_m3_s).sum()))),
            volume_m3: range(spilt.iter().map(|passages| passages.iter().map(|p| p.volume_m3).sum())),
            raise_cm: most(|passage| m_to_cm(passage.peak_head_m)),
            face_speed_m_s: range(spilt.iter().map(speed_m_s)),
            fill_stands_m_s,
            washes_out_frac: washed as f64 / spilt.len() as f64,
            to: self.name_of(piece(stretch[worst]).bank_to),
        }
    }

    fn name_of(&self, target: Target) -> String {
        match target {
            Target::Cell(at) => self.works.lines[at.line].line.name.clone(),
            Target::Leaves(_) => "ground".to_owned(),
        }
    }

    fn sill(&self, sill: usize) -> SillRain {
        let line = self.works_line();
        let written = &line.line.sills[sill];
        let place = crests(self.works, CrestKind::Sill)
            .filter(|crest| crest.line == self.index)
            .nth(sill)
            .expect("every sill has a crest")
            .place;
        let passages = || self.members.iter().map(|member| &member.outcome.crests[place].all);
        let peak_h = |passage: &Passage| passage.first_s.map(|_| s_to_h(passage.peak_s));
        let peak_l_s = range(passages().map(|passage| m3_to_l(passage.peak_m3_s)));
        let bank_z_m = if line.line.kind == LineKind::Swale {
            line.lowest_bank_z_m()
        } else {
            line.pieces[line.piece_at(written.at_m)].bank_z_m
        };
        let crest = weir::Sill { length_m: written.width_m, crest: sill_crest(line.line, written) };
        let head_m = bank_z_m - line.crests_z_m[sill];
        let passes_l_s = (head_m > 0.0).then(|| m3_to_l(crest.flow_m3_s(head_m)));
        let flows: Vec<&[f64]> = self
            .members
            .iter()
            .map(|member| &member.outcome.crests[place].hydrograph.flow_m3_s[..])
            .collect();
        SillRain {
            at_m: written.at_m,
            width_m: written.width_m,
            to: written.to.clone(),
            volume_m3: range(passages().map(|passage| passage.volume_m3)),
            peak_l_s,
            peak_h: range_of_most(passages().map(peak_h)),
            head_m: range(passages().map(|passage| passage.peak_head_m)),
            passes_l_s,
            use_frac: passes_l_s.map(|passes| peak_l_s.map_monotone(|peak| peak / passes)),
            flow: in_time::flow(&flows, super::KEPT_STEP_S),
        }
    }

    fn fastest(&self) -> Option<Fastest> {
        let line = self.works_line();
        let top = |member: &Member| {
            let speeds = self.outcome(member).peak_speed_m_s.iter().copied().enumerate();
            speeds.reduce(|top, here| if here.1 > top.1 { here } else { top })
        };
        let at = top(&self.members[0])?.0;
        let slope = line.laid.grade.abs();
        Some(Fastest {
            speed_m_s: range(self.members.iter().filter_map(|member| Some(top(member)?.1))),
            at_m: line.pieces[at].to_m,
            stands_m_s: cover::stands_m_s(line.lining(), slope, line.soil),
        })
    }

    fn metres(&self) -> Vec<MetreRain> {
        let pieces = self.works_line().pieces.iter().enumerate();
        pieces
            .map(|(i, piece)| {
                let depth = |member: &Member| {
                    let bed_z_m = piece.bed_z_m() + member.draw.shift_m(self.index, i);
                    let depth_m = self.outcome(member).cells[i].peak_level_z_m - bed_z_m;
                    // A dry cell's level is its bed, out by rounding.
                    if depth_m > 0.0 { depth_m } else { 0.0 }
                };
                MetreRain {
                    from_m: piece.from_m,
                    to_m: piece.to_m,
                    bed_z_m: piece.bed_z_m(),
                    bank_z_m: self.works_line().lets_out_z_m(i),
                    peak_depth_m: range(self.members.iter().map(depth)),
                    soaked_l_per_m: self.over(|line| m3_to_l(line.cells[i].soaked_m3) / piece.length_m()),
                }
            })
            .collect()
    }
}
