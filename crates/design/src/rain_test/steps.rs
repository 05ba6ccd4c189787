//! Steps of rain: at which rain each line first fills, first spills, first breaks out; and what a failing bank takes
//! along.
//!
//! The storm keeps its shape and length and is stretched from 2 mm to its own depth; each is worked through the plan
//! as drawn with every likely value. An event is found between two steps by halving. More rain only ever brings more
//! water to each line, so an event once there stays.
//!
//! A bank that water passes is bitten down to the ground at its weakest place, and the storm is worked through again:
//! lines that break out only now are taken along, and their banks fail in turn. Leaves out: how fast a bank wears
//! down, and what the earth that is washed out does below.

use quantity::convert::{m_to_mm, mm_to_m};
use schemars::JsonSchema;
use serde::Serialize;
use site::Site;
use water::chain::{CrestKind, Outcome};
use water::rain::{Fallen, Storm};

use super::build::Lowered;
use super::draw::Draw;
use super::gather::{BREAKOUT_M3, crests};
use super::{Prepared, RainTestError, Request, Trial};
use crate::layout::Layout;

/// The least rain that is tried, mm.
const FROM_MM: f64 = 2.0;
/// Steps of the table.
const STEPS: usize = 12;
/// An event is found to half a millimetre of rain: as well as a storm's depth is ever known.
const TOLERANCE_MM: f64 = 0.5;
/// Water this near below the lowest sill or bank fills the line: a centimetre, what a hand-dug bed is out by.
const FULL_WITHIN_M: f64 = 0.01;

/// At which rain what happens.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "StepsAnswer")]
pub struct Answer {
    /// The deepest rain that was tried: all of the storm.
    pub up_to_mm: f64,
    /// One entry a line, in the order of the plan.
    pub lines: Vec<LineSteps>,
    /// The table: what happens at each step of rain.
    pub table: Vec<StepOfRain>,
    /// The line that breaks out at the least rain; none where none does.
    pub fails_first: Option<String>,
    /// What the failing bank of a line takes along in the whole storm.
    pub chain_reaction: ChainReaction,
}

/// At which rain one line does what; none where it does not up to the whole storm.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LineSteps {
    /// Its name.
    pub line: String,
    /// Water stands to within a centimetre of the lowest sill or bank.
    pub fills_mm: Option<f64>,
    /// A litre has gone over a sill.
    pub spills_mm: Option<f64>,
    /// A litre has gone over the bank at some place.
    pub breaks_out_mm: Option<f64>,
}

/// One step of rain.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StepOfRain {
    /// Rain of the whole storm.
    pub rain_mm: f64,
    /// What soaks in, all lines together.
    pub soaked_m3: f64,
    /// What leaves the site.
    pub leaves_m3: f64,
    /// Lines that are full, by name.
    pub full: Vec<String>,
    /// Lines that spill over a sill.
    pub spill: Vec<String>,
    /// Lines that break out.
    pub break_out: Vec<String>,
}

/// What the failing bank of a line takes along.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ChainReaction {
    /// The line whose bank fails: the first to break out, or else the one with the least bank left.
    pub line: String,
    /// Where.
    pub at_m: f64,
    /// Whether it breaks out by itself in the whole storm, or its failure was only supposed.
    pub by_itself: bool,
    /// Lines that break out only because of it, in the order in which they go.
    pub takes_along: Vec<String>,
    /// What leaves the site before.
    pub leaves_before_m3: f64,
    /// What leaves it with all of these banks gone.
    pub leaves_after_m3: f64,
}

/// What a line may do at a rain.
#[derive(Clone, Copy)]
enum Event {
    Fills,
    Spills,
    BreaksOut,
}

impl Event {
    const ALL: [Event; 3] = [Event::Fills, Event::Spills, Event::BreaksOut];
}

/// What happens from 2 mm to the whole storm. `told` is called as each step of the table is done.
///
/// # Errors
/// As [`super::rain_test`].
pub fn steps(
    site: &Site,
    layout: &Layout,
    request: &Request,
    told: &(dyn Fn() + Sync),
) -> Result<Answer, RainTestError> {
    let prepared = Prepared::of(site, layout)?;
    let trial = prepared.trial(request);
    let draw = Draw::likely(trial.works, request.wetness);
    let stepped = Stepped { trial: &trial, draw: &draw, storm: &request.storm };
    let up_to_mm = m_to_mm(request.storm.total_m());
    let mut tried = Vec::with_capacity(STEPS);
    for step in 0..STEPS {
        let rain_mm = rain_of_step(step, up_to_mm);
        tried.push((rain_mm, stepped.run(rain_mm, &[])?));
        told();
    }
    let table = tried.iter().map(|(rain_mm, outcome)| stepped.step(*rain_mm, outcome)).collect();
    let mut lines = Vec::new();
    for (line, works_line) in trial.works.lines.iter().enumerate() {
        let mut first = [None; 3];
        for (event, first) in Event::ALL.into_iter().zip(&mut first) {
            *first = stepped.first_mm(&mut tried, line, event)?;
        }
        let [fills_mm, spills_mm, breaks_out_mm] = first;
        lines.push(LineSteps { line: works_line.line.name.clone(), fills_mm, spills_mm, breaks_out_mm });
    }
    let whole = &tried[tried.len() - 1].1;
    let fails_first = first_to_fail(&lines);
    Ok(Answer {
        up_to_mm,
        table,
        fails_first: fails_first.map(|line| lines[line].line.clone()),
        chain_reaction: stepped.chain_reaction(up_to_mm, whole, fails_first)?,
        lines,
    })
}

/// Even steps, from 2 mm (or less, for a smaller storm) to all of it.
fn rain_of_step(step: usize, up_to_mm: f64) -> f64 {
    let from_mm = FROM_MM.min(up_to_mm / STEPS as f64);
    from_mm + (up_to_mm - from_mm) * step as f64 / (STEPS - 1) as f64
}

fn first_to_fail(lines: &[LineSteps]) -> Option<usize> {
    let failing = lines.iter().enumerate().filter_map(|(i, line)| Some((i, line.breaks_out_mm?)));
    failing.reduce(|first, next| if next.1 < first.1 { next } else { first }).map(|(line, _)| line)
}

/// One plan under the same storm, stretched.
struct Stepped<'a> {
    trial: &'a Trial<'a>,
    draw: &'a Draw,
    storm: &'a Storm,
}

impl Stepped<'_> {
    fn run(&self, rain_mm: f64, lowered: &[Lowered]) -> Result<Outcome, RainTestError> {
        let times = mm_to_m(rain_mm) / self.storm.total_m();
        let course: Vec<Fallen> =
            self.storm.course().iter().map(|at| Fallen { rain_m: at.rain_m * times, ..*at }).collect();
        self.trial.run(&Storm::from_readings(&course)?, self.draw, lowered, Vec::new())
    }

    fn happens(&self, outcome: &Outcome, line: usize, event: Event) -> bool {
        let over = |kind: CrestKind| {
            crests(self.trial.works, kind)
                .filter(move |crest| crest.line == line)
                .any(|crest| outcome.crests[crest.place].all.volume_m3 > BREAKOUT_M3)
        };
        match event {
            Event::Fills => {
                let works_line = &self.trial.works.lines[line];
                outcome.lines[line].cells.iter().enumerate().any(|(piece, cell)| {
                    !works_line.pieces[piece].drowned
                        && cell.peak_level_z_m >= works_line.lets_out_z_m(piece) - FULL_WITHIN_M
                })
            }
            Event::Spills => over(CrestKind::Sill),
            Event::BreaksOut => over(CrestKind::Bank),
        }
    }

    /// The least rain at which an event happens, among those tried, in rising order; between the last rain without it
    /// and the first with it more are tried and kept for the next event.
    fn first_mm(
        &self,
        tried: &mut Vec<(f64, Outcome)>,
        line: usize,
        event: Event,
    ) -> Result<Option<f64>, RainTestError> {
        // Each turn halves the bracket, so it ends.
        loop {
            let Some(first) = tried.iter().position(|(_, outcome)| self.happens(outcome, line, event)) else {
                return Ok(None);
            };
            let high_mm = tried[first].0;
            if first == 0 || high_mm - tried[first - 1].0 <= TOLERANCE_MM {
                return Ok(Some(high_mm));
            }
            let middle_mm = 0.5 * (tried[first - 1].0 + high_mm);
            tried.insert(first, (middle_mm, self.run(middle_mm, &[])?));
        }
    }

    fn step(&self, rain_mm: f64, outcome: &Outcome) -> StepOfRain {
        let which = |event: Event| {
            let lines = self.trial.works.lines.iter().enumerate();
            lines
                .filter(|(line, _)| self.happens(outcome, *line, event))
                .map(|(_, line)| line.line.name.clone())
                .collect()
        };
        StepOfRain {
            rain_mm,
            soaked_m3: outcome.balance.soaked_m3,
            leaves_m3: outcome.balance.left_m3,
            full: which(Event::Fills),
            spill: which(Event::Spills),
            break_out: which(Event::BreaksOut),
        }
    }

    /// The piece of a line's bank with the least of it left above the water, and how much.
    fn weakest(&self, outcome: &Outcome, line: usize) -> Option<(usize, f64)> {
        let works_line = &self.trial.works.lines[line];
        let left_m = |piece: usize| {
            let left_m = works_line.pieces[piece].bank_z_m - outcome.lines[line].cells[piece].peak_level_z_m;
            (piece, left_m)
        };
        let pieces = works_line.bank_pieces().into_iter().map(left_m);
        pieces.reduce(|least, next| if next.1 < least.1 { next } else { least })
    }

    /// The swale, or else the line, whose bank is nearest to being passed.
    fn nearest_to_fail(&self, outcome: &Outcome) -> usize {
        let lines = 0..self.trial.works.lines.len();
        let left_m = |line: usize| Some((line, self.weakest(outcome, line)?.1));
        let least =
            lines.filter_map(left_m).reduce(|least, next| if next.1 < least.1 { next } else { least });
        least.map_or(0, |(line, _)| line)
    }

    fn chain_reaction(
        &self,
        rain_mm: f64,
        whole: &Outcome,
        fails_first: Option<usize>,
    ) -> Result<ChainReaction, RainTestError> {
        let works = self.trial.works;
        let breaks_out = |outcome: &Outcome, line: usize| self.happens(outcome, line, Event::BreaksOut);
        let first = fails_first.unwrap_or_else(|| self.nearest_to_fail(whole));
        let mut lowered = Vec::new();
        let weakest = self.weakest(whole, first).map(|(piece, _)| Lowered { line: first, piece });
        lowered.extend(weakest);
        let mut outcome = self.run(rain_mm, &lowered)?;
        let mut takes_along = Vec::new();
        // Each turn brings down at least one more bank, so it ends.
        loop {
            let down = |line: usize| lowered.iter().any(|lowered: &Lowered| lowered.line == line);
            let news: Vec<Lowered> = (0..works.lines.len())
                .filter(|line| !down(*line) && breaks_out(&outcome, *line) && !breaks_out(whole, *line))
                .filter_map(|line| Some(Lowered { line, piece: self.weakest(&outcome, line)?.0 }))
                .collect();
            if news.is_empty() {
                break;
            }
            takes_along.extend(news.iter().map(|lowered| works.lines[lowered.line].line.name.clone()));
            lowered.extend(news);
            outcome = self.run(rain_mm, &lowered)?;
        }
        Ok(ChainReaction {
            line: works.lines[first].line.name.clone(),
            at_m: weakest.map_or(0.0, |weakest| works.lines[first].pieces[weakest.piece].middle_m()),
            by_itself: fails_first.is_some(),
            takes_along,
            leaves_before_m3: whole.balance.left_m3,
            leaves_after_m3: outcome.balance.left_m3,
        })
    }
}
