//! One storm worked through the chain of lines: what it does, where it breaks out, where the water goes.
//!
//! `arrive` brings the water to every metre, `build` makes the works a chain, [`water::chain`] solves it in time, and
//! `gather` reads the answer. What is not known well is drawn many times (`draw`), each draw worked through by itself,
//! and the answers make the ranges. [`steps`] asks at which rain each line first fills, spills and breaks out, and what
//! a failing bank takes along.
//!
//! The same request gives the same bits on one thread or many. Methods page: `docs/methods/rain-test.md`.

mod answer;
mod arrive;
mod build;
pub(crate) mod chance;
pub(crate) mod daily;
mod draw;
pub(crate) mod gather;
mod in_time;
mod runs_past;
mod seeps;
pub mod steps;

use quantity::convert::h_to_s;
use rayon::prelude::*;
use site::Site;
use water::chain::{self, Inflow, Outcome, Settings, Start};
use water::rain::Storm;
use water::runoff::Wetness;

use crate::layout::Layout;
use crate::storms::DesignStorm;
use arrive::{Falling, Feeds};
use build::{Lowered, Works};
use draw::Draw;
use seeps::{Rainfall, SeepFlows};

pub use answer::{
    Answer, Breakout, Ensemble, Fastest, FlowInTime, Guess, LeastFreeboard, LeavesBy, LeftOut, LineAt,
    LineRain, LinesBefore, MetreRain, Moment, Outlet, RainSoFar, SillRain, SiteRain, StormTold, TreeRain,
};

/// How long the water is followed after the rain, h: three days, in which mosquitoes are not yet through (the limit of
/// the finding `drains-slowly`).
const FOLLOWED_AFTER_H: f64 = 72.0;
/// Steps of the flows that are kept. Finer ones show no more on paper.
const KEPT_STEP_S: f64 = 300.0;
/// More members than this tell nothing more: the nine-in-ten range of so many is out by one in a hundred.
pub const MOST_MEMBERS: usize = 10_000;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The storm's course.
    pub storm: Storm,
    /// Its shape in words, as told in the answer.
    pub shape: String,
    /// How wet the ground is before it.
    pub wetness: Wetness,
    /// Whether an earlier storm left the lines full.
    pub lines_before: LinesBefore,
    /// Rain of the days before it, the last one next to it: it wakes the seeps.
    pub days_before_mm: Vec<f64>,
    /// How many draws are worked through; 1 is the plan as drawn.
    pub members: usize,
    /// What they are drawn by.
    pub seed: u64,
    /// Times of which the levels are kept, hours from the first drop, rising.
    pub snapshots_h: Vec<f64>,
}

impl Request {
    /// A storm as the site's storms are made, worked through so many times.
    pub fn of(storm: &DesignStorm, members: usize, seed: u64) -> Request {
        Request {
            storm: storm.storm.clone(),
            shape: storm.shape.to_owned(),
            wetness: storm.wetness,
            lines_before: LinesBefore::default(),
            days_before_mm: storm.days_before_mm.clone(),
            members,
            seed,
            snapshots_h: Vec::new(),
        }
    }
}

/// Why a storm cannot be worked through.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RainTestError {
    /// No line with a known section.
    #[error("no line has a known section, so no water can be followed: `hillsip check` says what is missing")]
    NoLines,
    /// No soil under a line.
    #[error("nothing is known of the soil under line \"{line}\": add a [[soil]] with at least its texture")]
    NoSoil {
        /// The line.
        line: String,
    },
    /// No curve number for the ground above a line.
    #[error(
        "nothing tells how the ground above line \"{line}\" sheds rain: add a [[source]] of kind \"hillside\" with a \
         curve_number"
    )]
    NoCurveNumber {
        /// The line.
        line: String,
    },
    /// A number of members that is none.
    #[error("{found} members: give 1 to {MOST_MEMBERS}")]
    BadMembers {
        /// As asked.
        found: usize,
    },
    /// Lines that feed each other, day by day.
    #[error("the surplus of the lines runs in a circle: `hillsip check` names them")]
    Circle,
    /// What arrives cannot be told.
    #[error(transparent)]
    Hydrograph(#[from] water::runoff::HydrographError),
    /// The works are no chain.
    #[error("the works cannot be followed in time: {0}")]
    Chain(#[from] chain::ChainError),
    /// The chain could not be solved.
    #[error("the water could not be followed in time: {0}")]
    Run(#[from] chain::RunError),
    /// A storm that cannot be scaled.
    #[error(transparent)]
    Storm(#[from] water::rain::StormError),
}

/// A member worked through.
#[derive(Debug, Clone)]
struct Member {
    draw: Draw,
    outcome: Outcome,
    /// What would come off the ground without the works, in steps as the outcome keeps its flows.
    before_m3_s: Vec<f64>,
    /// What no line picks up, in the same steps.
    runs_past_m3_s: Vec<f64>,
}

/// A site's works made ready for any number of storms.
///
/// What does not change with the rain is worked out once: the pieces of the lines, where their water goes, the ground
/// that sheds to each. It borrows the site and its layout, and is cheap beside the layout: keep both, and make this anew
/// whenever the plan changes.
///
/// ```no_run
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// # let (site, storms): (site::Site, Vec<design::storms::DesignStorm>) = unimplemented!();
/// let layout = design::layout::lay_out(&site);
/// let prepared = design::rain_test::Prepared::of(&site, &layout)?;
/// for storm in &storms {
///     let answer = prepared.likely(storm)?;
///     println!("{} m³ leave", answer.site.leaves_m3.likely());
/// }
/// # Ok(())
/// # }
/// ```
#[derive(Debug)]
pub struct Prepared<'a> {
    layout: &'a Layout,
    works: Works<'a>,
    feeds: Vec<Feeds<'a>>,
}

impl<'a> Prepared<'a> {
    /// Makes the works of a site ready.
    ///
    /// # Errors
    /// If no line has a known section, or a line's soil or the ground's curve number is not known.
    pub fn of(site: &'a Site, layout: &'a Layout) -> Result<Prepared<'a>, RainTestError> {
        let works = Works::of(site, layout)?;
        let feeds: Result<Vec<Feeds>, RainTestError> =
            works.lines.iter().map(|line| Feeds::of(&works, line)).collect();
        Ok(Prepared { layout, feeds: feeds?, works })
    }

    /// One likely run: the plan as drawn, every value as likely. Its ranges are points.
    ///
    /// # Errors
    /// As [`Prepared::run`].
    pub fn likely(&self, storm: &DesignStorm) -> Result<Answer, RainTestError> {
        self.run(&Request::of(storm, 1, 0), &|| ())
    }

    /// Works a storm through the lines. `told` is called as each member is done, from any thread.
    ///
    /// # Errors
    /// If the number of members is none, a guess lies out of its range, or the water runs in a circle.
    pub fn run(&self, request: &Request, told: &(dyn Fn() + Sync)) -> Result<Answer, RainTestError> {
        if !(1..=MOST_MEMBERS).contains(&request.members) {
            return Err(RainTestError::BadMembers { found: request.members });
        }
        let trial = self.trial(request);
        let members: Result<Vec<Member>, RainTestError> = (0..request.members)
            .into_par_iter()
            .map(|member| {
                let done = trial.member(request, member);
                told();
                done
            })
            .collect();
        Ok(gather::answer(&self.works, self.layout, request, &members?))
    }

    fn trial(&'a self, request: &'a Request) -> Trial<'a> {
        Trial {
            works: &self.works,
            feeds: &self.feeds,
            wetness: request.wetness,
            lines_before: request.lines_before,
            days_before_mm: &request.days_before_mm,
        }
    }
}

/// A storm over the works of a site.
struct Trial<'a> {
    works: &'a Works<'a>,
    feeds: &'a [Feeds<'a>],
    wetness: Wetness,
    lines_before: LinesBefore,
    days_before_mm: &'a [f64],
}

impl Trial<'_> {
    fn seeps(&self, storm: &Storm, draw: &Draw) -> SeepFlows {
        let rainfall = Rainfall { storm, before_mm: self.days_before_mm };
        SeepFlows::of(&self.works.site.plan.sources, rainfall, draw)
    }

    fn inflows(&self, falling: &Falling) -> Result<Vec<Inflow>, RainTestError> {
        let mut inflows = Vec::new();
        for (index, (line, feeds)) in self.works.lines.iter().zip(self.feeds).enumerate() {
            inflows.extend(feeds.inflows(index, line, falling)?);
        }
        Ok(inflows)
    }

    fn run(
        &self,
        storm: &Storm,
        draw: &Draw,
        lowered: &[Lowered],
        snapshots_s: Vec<f64>,
    ) -> Result<Outcome, RainTestError> {
        let end_s = followed_s(storm);
        let chain = self.works.chain(draw, lowered)?;
        let seeps = self.seeps(storm, draw);
        let inflows = self.inflows(&Falling { storm, draw, seeps: &seeps })?;
        let start = match self.lines_before {
            LinesBefore::Empty => Start::Dry,
            LinesBefore::Full => Start::Levels(self.works.full_levels_z_m(draw)),
        };
        let settings = Settings { end_s, snapshots_s, hydrograph_step_s: KEPT_STEP_S, start };
        Ok(chain::run(&chain, &inflows, &settings)?)
    }

    fn member(&self, request: &Request, member: usize) -> Result<Member, RainTestError> {
        let draw = Draw::of_member(self.works, self.wetness, request.seed, member);
        let snapshots_s = request.snapshots_h.iter().map(|at_h| h_to_s(*at_h)).collect();
        let seeps = self.seeps(&request.storm, &draw);
        let falling = Falling { storm: &request.storm, draw: &draw, seeps: &seeps };
        let mut outcome = self.run(&request.storm, &draw, &[], snapshots_s)?;
        for snapshot in &mut outcome.snapshots {
            // Nobody asks for them, and of hundreds of members they fill the memory.
            snapshot.speed_m_s = Vec::new();
        }
        Ok(Member {
            outcome,
            before_m3_s: self.before_m3_s(&falling)?,
            runs_past_m3_s: runs_past::runs_past_m3_s(&self.works.site.plan, &falling, KEPT_STEP_S)?,
            draw,
        })
    }

    /// Flow off the same ground without the works: the strips above the lines are one strip, as long as all of them
    /// one below the other, and all of it comes down together.
    fn before_m3_s(&self, falling: &Falling) -> Result<Vec<f64>, RainTestError> {
        let strip_m: f64 = self.feeds.iter().map(Feeds::strip_m).sum();
        let step_s = arrive::step_s(falling.storm);
        let mut flow_m3_s = runs_past::runs_past_m3_s(&self.works.site.plan, falling, step_s)?;
        for feeds in self.feeds {
            arrive::add(&mut flow_m3_s, &feeds.without_works_m3_s(falling, strip_m)?);
        }
        Ok(in_time::in_steps_of(&flow_m3_s, step_s, KEPT_STEP_S))
    }
}

/// How long the water is followed, from the first drop.
fn followed_s(storm: &Storm) -> f64 {
    storm.duration_s() + h_to_s(FOLLOWED_AFTER_H)
}

/// Works a storm through the lines of a site: [`Prepared`] and its run in one. `told` is called as each member is done, from any thread.
///
/// # Errors
/// If a line's soil or the ground's curve number is not known, nothing can be followed, or the water runs in a circle.
pub fn rain_test(
    site: &Site,
    layout: &Layout,
    request: &Request,
    told: &(dyn Fn() + Sync),
) -> Result<Answer, RainTestError> {
    Prepared::of(site, layout)?.run(request, told)
}

#[cfg(test)]
mod tests;
