//! The one that users run: long steps, all cells of all lines solved together at the end of each.
//!
//! With V the volume of each cell at the end of the step, V⁰ at its start:
//!
//!   V + Δt·(Q_out(V) − Q_in(V)) + soaked(V) = V⁰ + arriving,   V ≥ 0
//!
//! Every flow grows with the level it comes from and falls with the level it goes to, so there is one answer, no
//! volume in it is below 0 however long the step, and Newton's rounds find it. A cell that takes in all that comes is
//! struck from the equations at V = 0 and soaks just that: it dries to nothing at all. Flows are taken from the last
//! round's straight lines, which fulfil the equations exactly, so no water is lost in the rounding of the rounds.
//!
//! Each flow also passes on a share of what it passed in the last step, which makes the step exact to the second order
//! (Gear 1971). The step follows the water: its error is measured from a parabola through the last three volumes, a
//! front may wet [`FRONT_CELLS`] cells of a line, a line may lose a quarter of its water.
//!
//! Sources: V. Casulli 1990, J. Comput. Phys. 86; Brugnano and Casulli 2008, SIAM J. Sci. Comput. 30. Leaves out what
//! moving water brings along (u·du/dx): where friction rules, and in ponds, it is small; see the methods page.

use super::arrivals::Arrivals;
use super::eliminate::Elimination;
use super::inflow::{RunError, Settings};
use super::ledger::{Ledger, Step};
use super::network::{FaceFlow, Link, Network, Water};
use super::outcome::{Outcome, WET_DEPTH_M, Work};

/// Change of level at which the rounds end, m: a tenth of what a step may err by, and what the change leaves is its
/// square beside the depth.
const ROUND_M: f64 = 1e-5;
/// By how much the rounds may leave a cell overdrawn, m.
const OVERDRAWN_M: f64 = 1e-9;
/// Rounds after which a step is given up and a shorter one tried.
const ROUNDS_LIMIT: u32 = 20;
/// From here on a round after one that changed hardly less than the one before goes half way: a pool at the level of its
/// ledge may swing about the answer.
const HALVED_FROM: u32 = 4;
/// Share of the change before from which a change counts as hardly less: rounds that close in leave far less.
const SWINGS_SHARE: f64 = 0.5;
/// Error of the level that one step may make in a cell, m.
const LEVEL_ERROR_M: f64 = 0.0001;
/// Share of the difference to the parabola that is the step's error: for equal steps it errs by Δt³·V‴, the step by 2/9 of it
/// the other way.
const AHEAD_SHARE: f64 = 2.0 / 11.0;
/// The next step is planned a little shorter than its error would let it be.
const SAFETY: f64 = 0.9;
/// Cells of a line that a front may wet in one step.
const FRONT_CELLS: u32 = 3;
/// First step, and the first after a step that failed many times, s.
const FIRST_STEP_S: f64 = 1.0;
/// Shortest step, s; none has been needed in the tests.
const SHORTEST_STEP_S: f64 = 1e-4;
/// Longest step, s: a quarter of an hour, so that a slow recession is drawn smoothly.
const LONGEST_STEP_S: f64 = 900.0;
/// Share of its water that a line may lose in a step.
const EMPTIED_SHARE: f64 = 0.25;
/// A step so short need not follow an emptying line more closely, s.
const EMPTYING_STEP_S: f64 = 60.0;
/// Depth at which a cell's plan area is taken to turn volumes into levels, m.
const PLAN_DEPTH_M: f64 = 0.01;
/// The own number of a cell held at 0: so great that its answer is 0.
const HELD: f64 = 1e30;

/// Places of a pair of cells in the equations.
#[derive(Debug, Clone, Copy)]
struct Pair {
    from: usize,
    to: usize,
    from_to: usize,
    to_from: usize,
}

/// Lists over the cells.
#[derive(Debug, Clone)]
struct Cells {
    /// Account at the start of the step.
    volumes_m3: Vec<f64>,
    /// The answer so far.
    trial_m3: Vec<f64>,
    /// Where the last two steps point.
    ahead_m3: Vec<f64>,
    /// Change of volume in a second in the last step, and in the one before.
    trend_m3_s: Vec<f64>,
    old_trend_m3_s: Vec<f64>,
    /// What the step starts from: volumes, arrivals and what the last step hands on.
    given_m3: Vec<f64>,
    /// Perimeter that soaked at the start of the step.
    perimeters_m: Vec<f64>,
    water: Vec<Water>,
    /// Change of level for a cubic metre more; of a dry cell as if it were just wet.
    per_m3: Vec<f64>,
    /// Depth that has soaked through the bed.
    soaked_m: Vec<f64>,
    /// Depth that wetted earth takes in this step.
    soaks_m: Vec<f64>,
    plan_m2: Vec<f64>,
    sides_m3: Vec<f64>,
    /// Cells struck from the equations at 0.
    held: Vec<bool>,
    soaks_m3: Vec<f64>,
    soaks_per_m3: Vec<f64>,
    arrived_m3: Vec<f64>,
}

/// The equations of a step: which cells touch, and where the numbers of each pair stand. A bank that has never passed
/// water is left out: most stay dry, and each would make the equations longer.
struct Equations {
    elimination: Elimination,
    face_pairs: Vec<Pair>,
    link_pairs: Vec<Option<Pair>>,
    /// Links that are in: all but those over banks that have stayed dry.
    awake: Vec<bool>,
}

impl Equations {
    fn new(network: &Network, awake: Vec<bool>) -> Equations {
        let mut touching: Vec<(usize, usize)> = network.faces.iter().map(|f| (f.left, f.right)).collect();
        let links = network.links.iter().zip(&awake).filter(|(_, awake)| **awake);
        touching.extend(links.filter_map(|(link, _)| Some((link.from, link.to?))));
        let elimination = Elimination::new(network.nodes.len(), &touching);
        let pair = |from: usize, to: usize| Pair {
            from,
            to,
            from_to: elimination.place(from, to),
            to_from: elimination.place(to, from),
        };
        let link_pair =
            |(link, awake): (&Link, &bool)| link.to.filter(|_| *awake).map(|to| pair(link.from, to));
        Equations {
            face_pairs: network.faces.iter().map(|face| pair(face.left, face.right)).collect(),
            link_pairs: network.links.iter().zip(&awake).map(link_pair).collect(),
            elimination,
            awake,
        }
    }

    /// Takes in a link that passes water for the first time, and all of its bank: the rest of it soon follows.
    fn wake(&mut self, network: &Network, index: usize) {
        let owner = network.links[index].owner;
        let mut awake = std::mem::take(&mut self.awake);
        for (awake, link) in awake.iter_mut().zip(&network.links) {
            *awake |= link.owner.is_of(owner);
        }
        *self = Equations::new(network, awake);
    }
}

pub(super) struct Implicit<'a> {
    network: &'a Network,
    equations: Equations,
    cells: Cells,
    speeds_m_s: Vec<f64>,
    faces: Vec<FaceFlow>,
    /// For each link: flow, its growth with the volumes of both cells.
    links: Vec<[f64; 3]>,
    faces_m3: Vec<f64>,
    links_m3: Vec<f64>,
    /// Share of the last step's flows that is handed on to this one.
    on_share: f64,
    /// Share of this step's length for which its own flows count.
    own_share: f64,
    /// Lengths of the last step and the one before.
    lasted_s: [f64; 2],
    work: Work,
}

impl<'a> Implicit<'a> {
    pub(super) fn new(network: &'a Network, volumes_m3: Vec<f64>) -> Implicit<'a> {
        let count = network.nodes.len();
        let water: Vec<Water> =
            network.nodes.iter().zip(&volumes_m3).map(|(n, v)| n.water(*v, &Water::default())).collect();
        let perimeters = network.nodes.iter().zip(&water).map(|(n, water)| n.soaked_perimeter_m(&water.wet));
        let plan =
            |node: &super::network::Node| node.length_m * node.table.at_depth(PLAN_DEPTH_M, 0).growth_m;
        Implicit {
            equations: Equations::new(network, network.links.iter().map(|link| !link.over_bank).collect()),
            cells: Cells {
                perimeters_m: perimeters.collect(),
                water,
                per_m3: vec![0.0; count],
                plan_m2: network.nodes.iter().map(plan).collect(),
                trial_m3: volumes_m3.clone(),
                ahead_m3: volumes_m3.clone(),
                volumes_m3,
                trend_m3_s: vec![0.0; count],
                old_trend_m3_s: vec![0.0; count],
                given_m3: vec![0.0; count],
                soaked_m: vec![0.0; count],
                soaks_m: vec![0.0; count],
                sides_m3: vec![0.0; count],
                held: vec![false; count],
                soaks_m3: vec![0.0; count],
                soaks_per_m3: vec![0.0; count],
                arrived_m3: vec![0.0; count],
            },
            speeds_m_s: vec![0.0; network.faces.len()],
            faces: vec![FaceFlow::default(); network.faces.len()],
            links: vec![[0.0; 3]; network.links.len()],
            faces_m3: vec![0.0; network.faces.len()],
            links_m3: vec![0.0; network.links.len()],
            on_share: 0.0,
            own_share: 1.0,
            lasted_s: [0.0; 2],
            work: Work::default(),
            network,
        }
    }

    pub(super) fn run(
        mut self,
        arrivals: &[Arrivals],
        settings: &Settings,
        mut ledger: Ledger,
    ) -> Result<Outcome, RunError> {
        let mut now_s = 0.0;
        let mut step_s = FIRST_STEP_S;
        let mut snapshots = settings.snapshots_s.iter().copied().peekable();
        loop {
            while snapshots.next_if(|at_s| *at_s <= now_s).is_some() {
                ledger.snapshot(now_s, &self.cells.water, &self.speeds_m_s);
            }
            if now_s >= settings.end_s {
                break;
            }
            let stop_s = snapshots.peek().copied().unwrap_or(settings.end_s);
            let cut = now_s + step_s >= stop_s;
            let to_s = if cut { stop_s } else { now_s + step_s };
            let taken_s = to_s - now_s;
            let solved = self.attempt(arrivals, now_s, to_s)?;
            let growth = if solved { self.growth() } else { 0.25 };
            if !solved || growth < 0.5 && taken_s > FIRST_STEP_S {
                self.work.rejected += 1;
                step_s = growth * taken_s;
                if step_s < SHORTEST_STEP_S {
                    return Err(RunError::NoStep { at_s: now_s, step_s });
                }
                continue;
            }
            self.accept(taken_s);
            ledger.take(&Step {
                from_s: now_s,
                to_s,
                arrived_m3: &self.cells.arrived_m3,
                soaked_m3: &self.cells.soaks_m3,
                volumes_m3: &self.cells.volumes_m3,
                water: &self.cells.water,
                faces_m3: &self.faces_m3,
                speeds_m_s: &self.speeds_m_s,
                links_m3: &self.links_m3,
            });
            now_s = to_s;
            self.lasted_s = [taken_s, self.lasted_s[0]];
            // A step cut short by a stop says nothing against the length that was planned.
            let planned_s = if cut && growth >= 1.0 { step_s } else { growth * taken_s };
            step_s = planned_s.clamp(SHORTEST_STEP_S, self.emptying_s());
        }
        Ok(ledger.close(&self.cells.volumes_m3, self.work))
    }

    /// Tries a step; whether the rounds ended.
    fn attempt(&mut self, arrivals: &[Arrivals], from_s: f64, to_s: f64) -> Result<bool, RunError> {
        let step_s = to_s - from_s;
        self.cells.arrived_m3.fill(0.0);
        for arrival in arrivals {
            arrival.add(from_s, to_s, &mut self.cells.arrived_m3);
        }
        self.hand_on(step_s);
        self.look_ahead(step_s);
        for (index, node) in self.network.nodes.iter().enumerate() {
            let cells = &mut self.cells;
            cells.soaks_m[index] = node.soaks_m(cells.soaked_m[index], step_s)?;
        }
        let mut swings = false;
        let mut last_m = f64::INFINITY;
        for round in 1..=ROUNDS_LIMIT {
            self.work.rounds += 1;
            self.see_water();
            self.see_links();
            self.equations.elimination.values().fill(0.0);
            self.weigh_cells();
            self.weigh_faces(step_s);
            self.weigh_links(self.own_share * step_s);
            let halved = round >= HALVED_FROM && swings;
            let change_m = self.improve(if halved { 0.5 } else { 1.0 });
            swings = !halved && change_m > SWINGS_SHARE * last_m;
            last_m = if halved { 2.0 * change_m } else { change_m };
            if change_m <= ROUND_M && !halved {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// With r this step's length over the last one's, each flow passes a share s ≤ r²/(1 + 2r) of what it passed in the
    /// last step, and its own for the share 1 − s/r of this one: a steady flow passes the same whatever s. The greatest
    /// share makes the step exact to the second order; a smaller one keeps every cell from being overdrawn.
    fn hand_on(&mut self, step_s: f64) {
        let cells = &mut self.cells;
        cells.given_m3.fill(0.0);
        for (face, volume_m3) in self.network.faces.iter().zip(&self.faces_m3) {
            cells.given_m3[face.left] -= volume_m3;
            cells.given_m3[face.right] += volume_m3;
        }
        for (link, volume_m3) in self.network.links.iter().zip(&self.links_m3) {
            cells.given_m3[link.from] -= volume_m3;
            if let Some(to) = link.to {
                cells.given_m3[to] += volume_m3;
            }
        }
        let ratio = if self.lasted_s[0] > 0.0 { step_s / self.lasted_s[0] } else { 0.0 };
        let mut share = ratio * ratio / (1.0 + 2.0 * ratio);
        for (given_m3, has_m3) in cells.given_m3.iter().zip(&cells.volumes_m3) {
            if *given_m3 < 0.0 && has_m3 + share * given_m3 < 0.0 {
                share = if *has_m3 > 0.0 { -has_m3 / given_m3 } else { 0.0 };
            }
        }
        self.on_share = share;
        self.own_share = if share > 0.0 { 1.0 - share / ratio } else { 1.0 };
        for index in 0..cells.volumes_m3.len() {
            cells.given_m3[index] =
                cells.volumes_m3[index] + cells.arrived_m3[index] + share * cells.given_m3[index];
        }
    }

    /// Where a parabola through the last three volumes points: the first guess, and the measure of the error.
    fn look_ahead(&mut self, step_s: f64) {
        let [last_s, before_s] = self.lasted_s;
        let bend = if before_s > 0.0 { (step_s + last_s) / (last_s + before_s) } else { 0.0 };
        let cells = &mut self.cells;
        for index in 0..cells.volumes_m3.len() {
            let trend_m3_s = cells.trend_m3_s[index];
            let trend_m3_s = trend_m3_s + bend * (trend_m3_s - cells.old_trend_m3_s[index]);
            let ahead_m3 = cells.volumes_m3[index] + step_s * trend_m3_s;
            cells.ahead_m3[index] = if ahead_m3 > 0.0 { ahead_m3 } else { 0.0 };
            cells.trial_m3[index] = cells.ahead_m3[index];
        }
    }

    fn see_water(&mut self) {
        let cells = &mut self.cells;
        let count = self.network.nodes.len();
        let (trial_m3, plan_m2) = (&cells.trial_m3[..count], &cells.plan_m2[..count]);
        let (water, per_m3) = (&mut cells.water[..count], &mut cells.per_m3[..count]);
        for (index, node) in self.network.nodes.iter().enumerate() {
            water[index] = node.water(trial_m3[index], &water[index]);
            let growth_m = water[index].wet.growth_m;
            per_m3[index] = if growth_m > 0.0 { node.per_length / growth_m } else { 1.0 / plan_m2[index] };
        }
    }

    /// What is in each cell and soaks there against what was there and arrives.
    fn weigh_cells(&mut self) {
        let cells = &mut self.cells;
        let count = self.network.nodes.len();
        let values = &mut self.equations.elimination.values()[..count];
        let (water, perimeters_m, per_m3) =
            (&cells.water[..count], &cells.perimeters_m[..count], &cells.per_m3[..count]);
        let (soaks_m, given_m3, trial_m3) =
            (&cells.soaks_m[..count], &cells.given_m3[..count], &cells.trial_m3[..count]);
        let (sides_m3, soaks_m3, soaks_per_m3) =
            (&mut cells.sides_m3[..count], &mut cells.soaks_m3[..count], &mut cells.soaks_per_m3[..count]);
        for (index, node) in self.network.nodes.iter().enumerate() {
            let (perimeter_m, per_m) = node.soaking(&water[index].wet);
            let depth_over_m2 = 0.5 * soaks_m[index] * node.length_m;
            let takes_m3 = depth_over_m2 * (perimeters_m[index] + perimeter_m);
            let wet = water[index].wet.growth_m > 0.0;
            let takes_per_m3 = if wet { depth_over_m2 * per_m * per_m3[index] } else { 0.0 };
            soaks_m3[index] = takes_m3;
            soaks_per_m3[index] = takes_per_m3;
            sides_m3[index] = given_m3[index] - trial_m3[index] - takes_m3;
            values[index] = 1.0 + takes_per_m3;
        }
    }

    fn weigh_faces(&mut self, step_s: f64) {
        let counts_s = self.own_share * step_s;
        for (index, face) in self.network.faces.iter().enumerate() {
            let pair = self.equations.face_pairs[index];
            let cells = &self.cells;
            if cells.trial_m3[pair.from] <= 0.0 && cells.trial_m3[pair.to] <= 0.0 {
                self.faces[index] = FaceFlow::default();
                continue;
            }
            let mut flow = self.network.face_flow(face, &cells.water, self.speeds_m_s[index], step_s);
            flow.per_left_m *= cells.per_m3[pair.from];
            flow.per_right_m *= cells.per_m3[pair.to];
            self.faces[index] = flow;
            let growths = [counts_s * flow.per_left_m, counts_s * flow.per_right_m];
            self.weigh_pair(pair, counts_s * flow.m3_s, growths);
        }
    }

    /// Flows of the links, and the equations made longer where one passes water for the first time.
    fn see_links(&mut self) {
        for (index, link) in self.network.links.iter().enumerate() {
            if Network::is_dry(link, &self.cells.water) {
                self.links[index] = [0.0; 3];
                continue;
            }
            let flow = self.network.link_flow(link, &self.cells.water);
            let per_from = flow.per_upper_m * self.cells.per_m3[link.from];
            let per_to = link.to.map_or(0.0, |to| flow.per_lower_m * self.cells.per_m3[to]);
            self.links[index] = [flow.m3_s, per_from, per_to];
            if !self.equations.awake[index] && link.to.is_some() {
                self.equations.wake(self.network, index);
            }
        }
    }

    fn weigh_links(&mut self, counts_s: f64) {
        for (index, link) in self.network.links.iter().enumerate() {
            let [flow_m3_s, per_from, per_to] = self.links[index];
            if flow_m3_s == 0.0 && per_from == 0.0 && per_to == 0.0 {
                continue;
            }
            if let Some(pair) = self.equations.link_pairs[index] {
                self.weigh_pair(pair, counts_s * flow_m3_s, [counts_s * per_from, counts_s * per_to]);
            } else {
                self.cells.sides_m3[link.from] -= counts_s * flow_m3_s;
                self.equations.elimination.values()[link.from] += counts_s * per_from;
            }
        }
    }

    fn weigh_pair(&mut self, pair: Pair, volume_m3: f64, growths: [f64; 2]) {
        self.cells.sides_m3[pair.from] -= volume_m3;
        self.cells.sides_m3[pair.to] += volume_m3;
        let values = self.equations.elimination.values();
        values[pair.from] += growths[0];
        values[pair.to_from] -= growths[0];
        values[pair.to] -= growths[1];
        values[pair.from_to] += growths[1];
    }

    /// Solves for the changes and makes this share of them; returns the greatest, as a level.
    fn improve(&mut self, share: f64) -> f64 {
        let count = self.network.nodes.len();
        let cells = &mut self.cells;
        let (trial_m3, plan_m2) = (&mut cells.trial_m3[..count], &cells.plan_m2[..count]);
        let (sides_m3, held) = (&mut cells.sides_m3[..count], &mut cells.held[..count]);
        let values = &mut self.equations.elimination.values()[..count];
        for index in 0..count {
            held[index] = trial_m3[index] <= 0.0 && sides_m3[index] <= 0.0;
            if held[index] {
                values[index] = HELD;
                sides_m3[index] = 0.0;
            }
        }
        self.equations.elimination.solve(sides_m3);
        let mut greatest_m = 0.0;
        for index in 0..count {
            let wanted_m3 = trial_m3[index] + share * sides_m3[index];
            let next_m3 = if wanted_m3 > 0.0 && !held[index] { wanted_m3 } else { 0.0 };
            // What a cell would be overdrawn by is made good in another round.
            if !held[index] && wanted_m3 < -OVERDRAWN_M * plan_m2[index] {
                greatest_m = f64::INFINITY;
            }
            // From here on the change that was made.
            sides_m3[index] = next_m3 - trial_m3[index];
            trial_m3[index] = next_m3;
            let change_m = sides_m3[index].abs() / plan_m2[index];
            if change_m.is_nan() || change_m > greatest_m {
                greatest_m = change_m;
            }
        }
        greatest_m
    }

    /// By what the step may grow, from its error and from the cells that fronts have wetted.
    fn growth(&self) -> f64 {
        let cells = &self.cells;
        let (mut error_m, mut front, mut line) = (0.0, 0, 0);
        let mut most = 0;
        for (index, node) in self.network.nodes.iter().enumerate() {
            if node.line != line {
                (line, front) = (node.line, 0);
            }
            let wet_m3 = WET_DEPTH_M * cells.plan_m2[index];
            if cells.volumes_m3[index] > wet_m3 {
                let off_m = (cells.trial_m3[index] - cells.ahead_m3[index]).abs() / cells.plan_m2[index];
                if off_m > error_m {
                    error_m = off_m;
                }
            } else if cells.trial_m3[index] > wet_m3 && 2.0 * cells.arrived_m3[index] < cells.trial_m3[index]
            {
                front += 1;
                most = front.max(most);
            }
        }
        let mut growth = 2.0;
        if error_m > 0.0 {
            let by_error = SAFETY * libm::cbrt(LEVEL_ERROR_M / (AHEAD_SHARE * error_m));
            growth = if by_error < growth { by_error } else { growth };
        }
        if most > FRONT_CELLS {
            let by_front = f64::from(FRONT_CELLS) / f64::from(most);
            growth = if by_front < growth { by_front } else { growth };
        }
        if growth > 0.2 { growth } else { 0.2 }
    }

    /// The longest step that follows the line that empties soonest.
    fn emptying_s(&self) -> f64 {
        let mut longest_s = LONGEST_STEP_S;
        for line in 1..self.network.first.len() {
            let cells = self.network.first[line - 1]..self.network.first[line];
            let holds_m3: f64 = self.cells.volumes_m3[cells.clone()].iter().sum();
            let trend_m3_s: f64 = self.cells.trend_m3_s[cells].iter().sum();
            let step_s = -EMPTIED_SHARE * holds_m3 / trend_m3_s;
            if trend_m3_s < 0.0 && step_s < longest_s {
                longest_s = step_s;
            }
        }
        if longest_s > EMPTYING_STEP_S { longest_s } else { EMPTYING_STEP_S }
    }

    /// Takes the step: flows from the last round's straight lines, volumes from the flows.
    fn accept(&mut self, step_s: f64) {
        self.work.steps += 1;
        let counts_s = self.own_share * step_s;
        let cells = &mut self.cells;
        cells.ahead_m3.copy_from_slice(&cells.volumes_m3);
        cells.old_trend_m3_s.copy_from_slice(&cells.trend_m3_s);
        for index in 0..cells.volumes_m3.len() {
            cells.volumes_m3[index] += cells.arrived_m3[index];
        }
        for (index, pair) in self.equations.face_pairs.iter().enumerate() {
            let flow = &self.faces[index];
            let change_m3_s =
                cells.change(pair.from, flow.per_left_m) + cells.change(pair.to, flow.per_right_m);
            let volume_m3 = self.on_share * self.faces_m3[index] + counts_s * (flow.m3_s + change_m3_s);
            self.faces_m3[index] = volume_m3;
            self.speeds_m_s[index] = flow.speed_m_s;
            cells.volumes_m3[pair.from] -= volume_m3;
            cells.volumes_m3[pair.to] += volume_m3;
        }
        for (index, link) in self.network.links.iter().enumerate() {
            let [flow_m3_s, per_from, per_to] = self.links[index];
            let back_m3_s = link.to.map_or(0.0, |to| cells.change(to, per_to));
            let change_m3_s = cells.change(link.from, per_from) + back_m3_s;
            let volume_m3 = self.on_share * self.links_m3[index] + counts_s * (flow_m3_s + change_m3_s);
            self.links_m3[index] = volume_m3;
            cells.volumes_m3[link.from] -= volume_m3;
            if let Some(to) = link.to {
                cells.volumes_m3[to] += volume_m3;
            }
        }
        for (index, node) in self.network.nodes.iter().enumerate() {
            cells.soak(index);
            cells.trend_m3_s[index] = (cells.volumes_m3[index] - cells.ahead_m3[index]) / step_s;
            cells.water[index] = node.water(cells.volumes_m3[index], &cells.water[index]);
            cells.perimeters_m[index] = node.soaked_perimeter_m(&cells.water[index].wet);
        }
    }
}

impl Cells {
    /// By how much a flow changes in the last round that grows so with a cell's volume.
    fn change(&self, index: usize, per_m3: f64) -> f64 {
        per_m3 * self.sides_m3[index]
    }

    /// Soaks a cell whose account is otherwise closed. An emptied cell soaks all that is left; one that the rounds
    /// left a rounding short soaks that much less, or owes it to the next step.
    fn soak(&mut self, index: usize) {
        let takes_m3 = self.soaks_m3[index] + self.change(index, self.soaks_per_m3[index]);
        let has_m3 = self.volumes_m3[index];
        let soaks_m3 = if takes_m3 <= 0.0 || has_m3 <= 0.0 {
            0.0
        } else if self.trial_m3[index] <= 0.0 || has_m3 < takes_m3 {
            has_m3
        } else {
            takes_m3
        };
        self.volumes_m3[index] = has_m3 - soaks_m3;
        self.soaks_m3[index] = soaks_m3;
        if soaks_m3 > 0.0 {
            self.soaked_m[index] += self.soaks_m[index] * (soaks_m3 / takes_m3).min(1.0);
        }
    }
}
