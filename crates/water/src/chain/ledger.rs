//! Keeps the account while a chain is stepped, and hands it over at the end.

use super::inflow::Settings;
use super::model::Chain;
use super::network::{Link, Network, Owner, Water};
use super::outcome::{
    Balance, CellOutcome, CrestOutcome, Hydrograph, LineOutcome, LinkOutcome, Outcome, Passage, Snapshot,
    WET_DEPTH_M, Work,
};

/// A step that was taken.
pub(super) struct Step<'a> {
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    /// Cell by cell what came from outside and what soaked in.
    pub(super) arrived_m3: &'a [f64],
    pub(super) soaked_m3: &'a [f64],
    /// Volumes and levels at its end.
    pub(super) volumes_m3: &'a [f64],
    pub(super) water: &'a [Water],
    /// Face by face what passed to the right, and how fast at the end.
    pub(super) faces_m3: &'a [f64],
    pub(super) speeds_m_s: &'a [f64],
    /// Link by link what passed.
    pub(super) links_m3: &'a [f64],
}

/// Flow through a link or a join so far.
#[derive(Debug, Clone, Default)]
struct Gauge {
    passage: Passage,
    bins_m3: Vec<f64>,
}

impl Gauge {
    fn read(&mut self, volume_m3: f64, head_m: f64, step: &Step, bin_s: f64) {
        if volume_m3 == 0.0 {
            return;
        }
        let passage = &mut self.passage;
        passage.volume_m3 += volume_m3;
        let flow_m3_s = volume_m3 / (step.to_s - step.from_s);
        if flow_m3_s > passage.peak_m3_s {
            passage.peak_m3_s = flow_m3_s;
            passage.peak_s = step.to_s;
        }
        if head_m > passage.peak_head_m {
            passage.peak_head_m = head_m;
        }
        passage.first_s = passage.first_s.or(Some(step.from_s));
        passage.last_s = Some(step.to_s);
        add_to_bins(&mut self.bins_m3, bin_s, step, volume_m3);
    }

    fn hydrograph(&self, step_s: f64) -> Hydrograph {
        Hydrograph { step_s, flow_m3_s: self.bins_m3.iter().map(|volume_m3| volume_m3 / step_s).collect() }
    }

    fn outcome(&self, step_s: f64) -> LinkOutcome {
        LinkOutcome { all: self.passage, hydrograph: self.hydrograph(step_s) }
    }
}

/// Shares a step's volume among the bins that it lies over.
fn add_to_bins(bins_m3: &mut Vec<f64>, bin_s: f64, step: &Step, volume_m3: f64) {
    let (first, last) = ((step.from_s / bin_s) as usize, (step.to_s / bin_s) as usize);
    if bins_m3.len() <= last {
        bins_m3.resize(last + 1, 0.0);
    }
    if first == last {
        bins_m3[first] += volume_m3;
        return;
    }
    let per_s = volume_m3 / (step.to_s - step.from_s);
    for bin in first..=last {
        let from_s = (bin as f64 * bin_s).max(step.from_s);
        let to_s = ((bin + 1) as f64 * bin_s).min(step.to_s);
        bins_m3[bin] += per_s * (to_s - from_s);
    }
}

pub(super) struct Ledger<'a> {
    network: &'a Network,
    bin_s: f64,
    start_m3: Vec<f64>,
    arrived_m3: Vec<f64>,
    cells: Vec<CellOutcome>,
    /// Volume of each line below which it counts as empty.
    film_m3: Vec<f64>,
    drained_s: Vec<Option<f64>>,
    held_m3: Vec<f64>,
    passed_in_m3: Vec<f64>,
    passed_on_m3: Vec<f64>,
    left_m3: Vec<f64>,
    peak_speed_m_s: Vec<f64>,
    links: Vec<Gauge>,
    joins: Vec<Gauge>,
    outlets: Vec<Gauge>,
    crests: Vec<Gauge>,
    snapshots: Vec<Snapshot>,
}

impl<'a> Ledger<'a> {
    pub(super) fn new(
        network: &'a Network,
        settings: &Settings,
        chain: &Chain,
        volumes_m3: &[f64],
    ) -> Ledger<'a> {
        let lines = network.first.len() - 1;
        let film = |node: &super::network::Node| node.volume_m3(node.bed_z_m + WET_DEPTH_M);
        let mut ledger = Ledger {
            network,
            bin_s: settings.hydrograph_step_s,
            start_m3: vec![0.0; lines],
            arrived_m3: vec![0.0; lines],
            cells: vec![CellOutcome::default(); network.nodes.len()],
            film_m3: vec![0.0; lines],
            drained_s: vec![Some(0.0); lines],
            held_m3: vec![0.0; lines],
            passed_in_m3: vec![0.0; lines],
            passed_on_m3: vec![0.0; lines],
            left_m3: vec![0.0; lines],
            peak_speed_m_s: vec![0.0; network.faces.len()],
            links: vec![Gauge::default(); network.links.len()],
            joins: vec![Gauge::default(); network.faces.len()],
            outlets: vec![Gauge::default(); chain.outlets()],
            crests: vec![Gauge::default(); chain.crests().len()],
            snapshots: Vec::new(),
        };
        for (index, node) in network.nodes.iter().enumerate() {
            ledger.start_m3[node.line] += volumes_m3[index];
            ledger.film_m3[node.line] += film(node);
            ledger.cells[index].peak_level_z_m = node.bed_z_m;
        }
        let water: Vec<Water> = network
            .nodes
            .iter()
            .zip(volumes_m3)
            .map(|(node, volume_m3)| node.water(*volume_m3, &Water::default()))
            .collect();
        ledger.see_levels(0.0, &water);
        ledger.see_drained(0.0, 0.0, volumes_m3);
        ledger
    }

    pub(super) fn take(&mut self, step: &Step) {
        for (index, node) in self.network.nodes.iter().enumerate() {
            self.arrived_m3[node.line] += step.arrived_m3[index];
            self.cells[index].soaked_m3 += step.soaked_m3[index];
        }
        self.see_levels(step.to_s, step.water);
        self.see_drained(step.from_s, step.to_s, step.volumes_m3);
        for (index, face) in self.network.faces.iter().enumerate() {
            let speed_m_s = step.speeds_m_s[index].abs();
            if speed_m_s > self.peak_speed_m_s[index] {
                self.peak_speed_m_s[index] = speed_m_s;
            }
            if face.joins {
                let volume_m3 = step.faces_m3[index];
                let (left, right) = (self.network.nodes[face.left].line, self.network.nodes[face.right].line);
                self.passed_on_m3[left] += volume_m3;
                self.passed_in_m3[right] += volume_m3;
                self.joins[index].read(volume_m3, step.water[face.left].wet.depth_m, step, self.bin_s);
            }
        }
        let mut crest = (usize::MAX, 0.0, 0.0);
        for (index, link) in self.network.links.iter().enumerate() {
            let volume_m3 = step.links_m3[index];
            if volume_m3 == 0.0 {
                continue;
            }
            let head_m = self.network.link_head_m(link, step.water);
            self.links[index].read(volume_m3, head_m, step, self.bin_s);
            self.hand_on(link, step, volume_m3);
            // The parts of a crest follow one another: its flow is read when they are through.
            if let Owner::Crest { crest: number, .. } = link.owner {
                if number != crest.0 {
                    self.read_crest(crest, step);
                    crest = (number, 0.0, 0.0);
                }
                crest.1 += volume_m3;
                crest.2 = if head_m > crest.2 { head_m } else { crest.2 };
            }
        }
        self.read_crest(crest, step);
    }

    fn hand_on(&mut self, link: &Link, step: &Step, volume_m3: f64) {
        let line = self.network.nodes[link.from].line;
        if let Some(to) = link.to {
            self.passed_on_m3[line] += volume_m3;
            self.passed_in_m3[self.network.nodes[to].line] += volume_m3;
        }
        if let Some(outlet) = link.outlet {
            self.left_m3[line] += volume_m3;
            self.outlets[outlet].read(volume_m3, 0.0, step, self.bin_s);
        }
    }

    fn read_crest(&mut self, (crest, volume_m3, head_m): (usize, f64, f64), step: &Step) {
        if crest < self.crests.len() {
            self.crests[crest].read(volume_m3, head_m, step, self.bin_s);
        }
    }

    fn see_levels(&mut self, at_s: f64, water: &[Water]) {
        for (cell, water) in self.cells.iter_mut().zip(water) {
            if water.level_z_m > cell.peak_level_z_m {
                cell.peak_level_z_m = water.level_z_m;
                cell.peak_s = at_s;
            }
            if cell.first_wet_s.is_none() && water.wet.depth_m >= WET_DEPTH_M {
                cell.first_wet_s = Some(at_s);
            }
        }
    }

    /// A line that empties in a long step is taken to do so evenly.
    fn see_drained(&mut self, from_s: f64, to_s: f64, volumes_m3: &[f64]) {
        for line in 0..self.film_m3.len() {
            let cells = self.network.first[line]..self.network.first[line + 1];
            let (film_m3, before_m3) = (self.film_m3[line], self.held_m3[line]);
            let held_m3: f64 = volumes_m3[cells].iter().sum();
            self.held_m3[line] = held_m3;
            if held_m3 > film_m3 {
                self.drained_s[line] = None;
            } else if self.drained_s[line].is_none() {
                let share = (before_m3 - film_m3) / (before_m3 - held_m3);
                self.drained_s[line] = Some(from_s + share * (to_s - from_s));
            }
        }
    }

    pub(super) fn snapshot(&mut self, at_s: f64, water: &[Water], speeds_m_s: &[f64]) {
        let lines = 0..self.network.first.len() - 1;
        let level_z_m = lines
            .clone()
            .map(|line| {
                let cells = self.network.first[line]..self.network.first[line + 1];
                water[cells].iter().map(|w| w.level_z_m).collect()
            })
            .collect();
        let speed_m_s = lines.map(|line| self.along(line, speeds_m_s)).collect();
        self.snapshots.push(Snapshot { at_s, level_z_m, speed_m_s });
    }

    /// What is kept for each face, between the cells of one line. Each line has a face less than cells.
    fn along(&self, line: usize, of_faces: &[f64]) -> Vec<f64> {
        let from = self.network.first[line] - line;
        let to = self.network.first[line + 1] - line - 1;
        of_faces[from..to].to_vec()
    }

    pub(super) fn close(self, volumes_m3: &[f64], work: Work) -> Outcome {
        let lines: Vec<LineOutcome> =
            (0..self.film_m3.len()).map(|line| self.line_outcome(line, volumes_m3)).collect();
        let mut balance = Balance::default();
        for line in &lines {
            balance.start_m3 += line.start_m3;
            balance.arrived_m3 += line.arrived_m3;
            balance.soaked_m3 += line.soaked_m3;
            balance.stored_m3 += line.stored_m3;
            balance.left_m3 += line.left_m3;
        }
        let came_m3 = balance.start_m3 + balance.arrived_m3;
        if came_m3 > 0.0 {
            let gone_m3 = balance.soaked_m3 + balance.stored_m3 + balance.left_m3;
            balance.balance_error_frac = (came_m3 - gone_m3).abs() / came_m3;
        }
        let mut outcome = Outcome {
            ends: vec![<[LinkOutcome; 2]>::default(); lines.len()],
            lines,
            outlets: self.outlets.iter().map(|gauge| gauge.hydrograph(self.bin_s)).collect(),
            crests: self.crests.iter().map(|gauge| self.crest_outcome(gauge)).collect(),
            balance,
            work,
            ..Outcome::default()
        };
        for (gauge, link) in self.links.iter().zip(&self.network.links) {
            match link.owner {
                Owner::End { line, end } => outcome.ends[line][end] = gauge.outcome(self.bin_s),
                Owner::Crest { crest, .. } => outcome.crests[crest].parts.push(gauge.passage),
                Owner::Pipe { .. } => outcome.pipes.push(gauge.outcome(self.bin_s)),
            }
        }
        for (line, joins) in self.network.joins.iter().enumerate() {
            for (end, face) in joins.iter().enumerate() {
                if let Some(face) = face {
                    outcome.ends[line][end] = self.joins[*face].outcome(self.bin_s);
                }
            }
        }
        outcome.snapshots = self.snapshots;
        outcome
    }

    fn crest_outcome(&self, gauge: &Gauge) -> CrestOutcome {
        CrestOutcome { all: gauge.passage, parts: Vec::new(), hydrograph: gauge.hydrograph(self.bin_s) }
    }

    fn line_outcome(&self, line: usize, volumes_m3: &[f64]) -> LineOutcome {
        let cells = self.network.first[line]..self.network.first[line + 1];
        LineOutcome {
            start_m3: self.start_m3[line],
            arrived_m3: self.arrived_m3[line],
            passed_in_m3: self.passed_in_m3[line],
            soaked_m3: self.cells[cells.clone()].iter().map(|cell| cell.soaked_m3).sum(),
            stored_m3: volumes_m3[cells.clone()].iter().sum(),
            passed_on_m3: self.passed_on_m3[line],
            left_m3: self.left_m3[line],
            drained_s: self.drained_s[line],
            cells: self.cells[cells].to_vec(),
            peak_speed_m_s: self.along(line, &self.peak_speed_m_s),
        }
    }
}
