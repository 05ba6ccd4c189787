//! The reference: small steps, every force on the water in each.
//!
//! Volumes stand in the cells, speeds between them. In each step water speeds up by the fall of its surface and by
//! what the water behind brings along, is braked by the bed at its new speed, and moves; then it soaks.
//!
//!   brought along  [q_r⁻·(u_right − u) − q_l⁺·(u_left − u)]/(distance·A), q the mean flow on each side
//!   step           Δt ≤ 0.45·length/(|u| + √(g·A/T)), Δt ≤ 0.45·surface/(dQ/dη) of every link
//!
//! A crest, end or pipe passes at most a quarter of what would bring both sides to one level; a cell that would give
//! more than it has gives each taker the same share of it, and the step is counted as limited.
//!
//! Source: Stelling and Duinmeijer 2003 (see the module). First order. Leaves out the momentum that a join, a crest
//! or a pipe carries into the next line.

use super::arrivals::Arrivals;
use super::inflow::{RunError, Settings};
use super::laws::Flow;
use super::ledger::{Ledger, Step};
use super::network::{Face, Network, Water};
use super::outcome::{Outcome, Work};
use crate::GRAVITY_M_S2;

/// Share of a cell that a wave may cross in a step; below 1/2 so that waves from both sides fit.
const COURANT: f64 = 0.45;
/// Longest step, s: soaking and filling are followed at least this closely.
const LONGEST_STEP_S: f64 = 5.0;
/// Share of the difference of two levels that a link may take away in a step: two links and their backwash together
/// stay below what would turn the difference round.
const LINK_SHARE: f64 = 0.25;

pub(super) struct Explicit<'a> {
    network: &'a Network,
    volumes_m3: Vec<f64>,
    water: Vec<Water>,
    /// Depth that has soaked through each cell's bed.
    soaked_m: Vec<f64>,
    speeds_m_s: Vec<f64>,
    flows_m3_s: Vec<f64>,
    link_flows: Vec<Flow>,
    before_m_s: Vec<f64>,
    given_m3: Vec<f64>,
    arrived_m3: Vec<f64>,
    soaked_m3: Vec<f64>,
    faces_m3: Vec<f64>,
    links_m3: Vec<f64>,
}

impl<'a> Explicit<'a> {
    pub(super) fn new(network: &'a Network, volumes_m3: Vec<f64>) -> Explicit<'a> {
        let cells = network.nodes.len();
        let (faces, links) = (network.faces.len(), network.links.len());
        Explicit {
            network,
            volumes_m3,
            water: vec![Water::default(); cells],
            soaked_m: vec![0.0; cells],
            speeds_m_s: vec![0.0; faces],
            flows_m3_s: vec![0.0; faces],
            link_flows: vec![Flow::default(); links],
            before_m_s: vec![0.0; faces],
            given_m3: vec![0.0; cells],
            arrived_m3: vec![0.0; cells],
            soaked_m3: vec![0.0; cells],
            faces_m3: vec![0.0; faces],
            links_m3: vec![0.0; links],
        }
    }

    pub(super) fn run(
        mut self,
        arrivals: &[Arrivals],
        settings: &Settings,
        mut ledger: Ledger,
    ) -> Result<Outcome, RunError> {
        let mut now_s = 0.0;
        let mut limited = 0_u64;
        let mut work = Work::default();
        let mut snapshots = settings.snapshots_s.iter().copied().peekable();
        self.see_water();
        loop {
            while snapshots.next_if(|at_s| *at_s <= now_s).is_some() {
                ledger.snapshot(now_s, &self.water, &self.speeds_m_s);
            }
            if now_s >= settings.end_s {
                break;
            }
            let stop_s = snapshots.peek().copied().unwrap_or(settings.end_s);
            let change_s = arrivals.iter().map(|a| a.next_change_s(now_s)).fold(stop_s, f64::min);
            self.see_links();
            let step_s = self.longest_step_s();
            let to_s = if now_s + step_s >= change_s { change_s } else { now_s + step_s };
            self.arrived_m3.fill(0.0);
            for arrival in arrivals {
                arrival.add(now_s, to_s, &mut self.arrived_m3);
            }
            limited += u64::from(self.step(to_s - now_s)?);
            work.steps += 1;
            ledger.take(&Step {
                from_s: now_s,
                to_s,
                arrived_m3: &self.arrived_m3,
                soaked_m3: &self.soaked_m3,
                volumes_m3: &self.volumes_m3,
                water: &self.water,
                faces_m3: &self.faces_m3,
                speeds_m_s: &self.speeds_m_s,
                links_m3: &self.links_m3,
            });
            now_s = to_s;
        }
        work.rounds = work.steps;
        work.limited_steps_frac = limited as f64 / work.steps as f64;
        Ok(ledger.close(&self.volumes_m3, work))
    }

    fn see_water(&mut self) {
        for (index, node) in self.network.nodes.iter().enumerate() {
            self.water[index] = node.water(self.volumes_m3[index], &self.water[index]);
        }
    }

    fn longest_step_s(&self) -> f64 {
        let mut longest_s = LONGEST_STEP_S;
        for (index, face) in self.network.faces.iter().enumerate() {
            for side in [face.left, face.right] {
                let wet = &self.water[side].wet;
                if wet.area_m2 <= 0.0 {
                    continue;
                }
                let node = &self.network.nodes[side];
                let wave_m_s = (GRAVITY_M_S2 * wet.area_m2 / node.table.width_m(wet.depth_m)).sqrt();
                let fits_s = COURANT * node.length_m / (self.speeds_m_s[index].abs() + wave_m_s);
                if fits_s < longest_s {
                    longest_s = fits_s;
                }
            }
        }
        for (link, flow) in self.network.links.iter().zip(&self.link_flows) {
            let surface_m2 = self.surface_m2(link.from);
            let fits_s = COURANT * surface_m2 / flow.per_upper_m;
            if flow.per_upper_m > 0.0 && surface_m2 > 0.0 && fits_s < longest_s {
                longest_s = fits_s;
            }
        }
        longest_s
    }

    fn see_links(&mut self) {
        for (index, link) in self.network.links.iter().enumerate() {
            let dry = Network::is_dry(link, &self.water);
            self.link_flows[index] =
                if dry { Flow::default() } else { self.network.link_flow(link, &self.water) };
        }
    }

    fn surface_m2(&self, cell: usize) -> f64 {
        self.network.nodes[cell].length_m * self.water[cell].wet.growth_m
    }

    /// One step; whether a cell had to be held back.
    fn step(&mut self, step_s: f64) -> Result<bool, RunError> {
        self.move_faces(step_s);
        self.move_links(step_s);
        let limited = self.hold_back();
        for index in 0..self.volumes_m3.len() {
            self.volumes_m3[index] += self.arrived_m3[index];
        }
        for (index, face) in self.network.faces.iter().enumerate() {
            self.volumes_m3[face.left] -= self.faces_m3[index];
            self.volumes_m3[face.right] += self.faces_m3[index];
            self.flows_m3_s[index] = self.faces_m3[index] / step_s;
        }
        for (index, link) in self.network.links.iter().enumerate() {
            self.volumes_m3[link.from] -= self.links_m3[index];
            if let Some(to) = link.to {
                self.volumes_m3[to] += self.links_m3[index];
            }
        }
        self.see_water();
        self.soak(step_s)?;
        Ok(limited)
    }

    fn move_faces(&mut self, step_s: f64) {
        self.before_m_s.copy_from_slice(&self.speeds_m_s);
        for (index, face) in self.network.faces.iter().enumerate() {
            let carried_m_s = self.before_m_s[index] - step_s * self.brought_along(index, face);
            let flow = self.network.face_flow(face, &self.water, carried_m_s, step_s);
            self.speeds_m_s[index] = flow.speed_m_s;
            self.faces_m3[index] = flow.m3_s * step_s;
        }
    }

    /// What the water behind takes from the speed of a face in a second.
    fn brought_along(&self, index: usize, face: &Face) -> f64 {
        if face.joins {
            return 0.0;
        }
        let area_m2 = 0.5 * (self.water[face.left].wet.area_m2 + self.water[face.right].wet.area_m2);
        if area_m2 <= 0.0 {
            return 0.0;
        }
        let speed_m_s = self.before_m_s[index];
        let mut gains = 0.0;
        if let Some(after) = face.after {
            let mean_m3_s = 0.5 * (self.flows_m3_s[index] + self.flows_m3_s[after]);
            if mean_m3_s < 0.0 {
                gains += mean_m3_s * (self.before_m_s[after] - speed_m_s);
            }
        }
        if let Some(before) = face.before {
            let mean_m3_s = 0.5 * (self.flows_m3_s[index] + self.flows_m3_s[before]);
            if mean_m3_s > 0.0 {
                gains -= mean_m3_s * (self.before_m_s[before] - speed_m_s);
            }
        }
        gains / (face.distance_m * area_m2)
    }

    fn move_links(&mut self, step_s: f64) {
        for (index, link) in self.network.links.iter().enumerate() {
            let mut volume_m3 = self.link_flows[index].m3_s * step_s;
            if let Some(to) = link.to {
                let (upper, lower) = (&self.water[link.from], &self.water[to]);
                let difference_m = upper.level_z_m - lower.level_z_m;
                let giver = if difference_m > 0.0 { link.from } else { to };
                let most_m3 = LINK_SHARE * difference_m.abs() * self.surface_m2(giver);
                if volume_m3.abs() > most_m3 {
                    volume_m3 = most_m3.copysign(volume_m3);
                }
            }
            self.links_m3[index] = volume_m3;
        }
    }

    /// Scales what leaves a cell to what it has; whether any was.
    fn hold_back(&mut self) -> bool {
        self.given_m3.fill(0.0);
        for (index, face) in self.network.faces.iter().enumerate() {
            let giver = if self.faces_m3[index] > 0.0 { face.left } else { face.right };
            self.given_m3[giver] += self.faces_m3[index].abs();
        }
        for (index, link) in self.network.links.iter().enumerate() {
            if let Some(giver) = link.giver(self.links_m3[index]) {
                self.given_m3[giver] += self.links_m3[index].abs();
            }
        }
        let short = |cell: usize| self.given_m3[cell] > self.volumes_m3[cell];
        if !(0..self.volumes_m3.len()).any(short) {
            return false;
        }
        let share = |cell: usize, given: &[f64], has: &[f64]| {
            if given[cell] > has[cell] { has[cell] / given[cell] } else { 1.0 }
        };
        for (index, face) in self.network.faces.iter().enumerate() {
            let giver = if self.faces_m3[index] > 0.0 { face.left } else { face.right };
            self.faces_m3[index] *= share(giver, &self.given_m3, &self.volumes_m3);
        }
        for (index, link) in self.network.links.iter().enumerate() {
            if let Some(giver) = link.giver(self.links_m3[index]) {
                self.links_m3[index] *= share(giver, &self.given_m3, &self.volumes_m3);
            }
        }
        true
    }

    /// Soaks from what stands in each cell after it has moved.
    fn soak(&mut self, step_s: f64) -> Result<(), RunError> {
        for (index, node) in self.network.nodes.iter().enumerate() {
            self.soaked_m3[index] = 0.0;
            let has_m3 = self.volumes_m3[index];
            if has_m3 <= 0.0 {
                continue;
            }
            let depth_m = node.soaks_m(self.soaked_m[index], step_s)?;
            let takes_m3 = depth_m * node.soaking(&self.water[index].wet).0 * node.length_m;
            if takes_m3 <= 0.0 {
                continue;
            }
            let soaks_m3 = if takes_m3 < has_m3 { takes_m3 } else { has_m3 };
            self.soaked_m3[index] = soaks_m3;
            self.soaked_m[index] += depth_m * (soaks_m3 / takes_m3);
            self.volumes_m3[index] -= soaks_m3;
            self.water[index] = node.water(self.volumes_m3[index], &self.water[index]);
        }
        Ok(())
    }
}
