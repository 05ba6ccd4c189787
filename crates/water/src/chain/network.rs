//! A chain made ready to be stepped: cells as one row, faces between them, links over ends, crests and pipes.

use super::cube_root::inverse_cube_root;
use super::inflow::RunError;
use super::laws::{CrestLaw, Flow, PipeLaw, critical_flow, held_flow, normal_flow};
use super::model::{CellAt, Chain, CrestKind, End, Soak, Target};
use super::table::{Table, Wet};
use crate::GRAVITY_M_S2;

/// Difference of two levels that is nothing but rounding, m.
const LEVEL_M: f64 = 1e-14;
/// Depth of a film that no longer runs, m.
const STILL_M: f64 = 1e-9;
/// Depth whose perimeter soaks at least, m: the bed of a V has none.
const LEAST_SOAKING_M: f64 = 1e-4;

/// A cell.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) line: usize,
    pub(super) bed_z_m: f64,
    pub(super) length_m: f64,
    /// 1/length.
    pub(super) per_length: f64,
    pub(super) manning_n: f64,
    pub(super) soak: Soak,
    pub(super) least_perimeter_m: f64,
    pub(super) table: Table,
}

/// Water in a cell.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Water {
    pub(super) wet: Wet,
    pub(super) level_z_m: f64,
}

impl Node {
    /// The water of a volume; what was there before tells where to look.
    pub(super) fn water(&self, volume_m3: f64, before: &Water) -> Water {
        let wet = self.table.at_area(volume_m3 * self.per_length, before.wet.piece);
        Water { wet, level_z_m: self.bed_z_m + wet.depth_m }
    }

    pub(super) fn volume_m3(&self, level_z_m: f64) -> f64 {
        self.length_m * self.table.at_depth(level_z_m - self.bed_z_m, 0).area_m2
    }

    /// Perimeter that soaks and its growth with depth.
    pub(super) fn soaking(&self, wet: &Wet) -> (f64, f64) {
        if wet.perimeter_m > self.least_perimeter_m {
            (wet.perimeter_m, wet.perimeter_per_m)
        } else {
            (self.least_perimeter_m, 0.0)
        }
    }

    /// Perimeter that soaks; none in a dry cell.
    pub(super) fn soaked_perimeter_m(&self, wet: &Wet) -> f64 {
        if wet.depth_m > 0.0 { self.soaking(wet).0 } else { 0.0 }
    }

    /// Depth that wetted earth takes in a time, after it has taken `soaked_m`.
    pub(super) fn soaks_m(&self, soaked_m: f64, seconds: f64) -> Result<f64, RunError> {
        match self.soak {
            Soak::Steady { rate_m_s } => Ok(rate_m_s * seconds),
            Soak::GreenAmpt(soil) => Ok(soil.ponded_m(soaked_m, seconds)? - soaked_m),
        }
    }
}

/// The place between two cells through which water runs either way.
#[derive(Debug, Clone, Copy)]
pub(super) struct Face {
    pub(super) left: usize,
    pub(super) right: usize,
    pub(super) distance_m: f64,
    /// Gain of speed in a second for each metre that the surface falls, g/distance.
    pull_per_s2: f64,
    /// g·n² of the bed that it lies over.
    brake_m_s2: f64,
    /// Bed of the right cell above that of the left: depths and this keep digits that heights above a datum lose.
    pub(super) rise_m: f64,
    /// The cell with the higher bed: the water passes through its section. Of equals the left.
    pub(super) higher: usize,
    /// The faces before and after it along the line.
    pub(super) before: Option<usize>,
    pub(super) after: Option<usize>,
    /// Whether it opens into another line, where water falls in no faster than critical.
    pub(super) joins: bool,
}

/// Whose passage a link's flow is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Owner {
    End { line: usize, end: usize },
    Crest { crest: usize, part: usize },
    Pipe { pipe: usize },
}

impl Owner {
    /// Whether it is the same, or another part of the same crest.
    pub(super) fn is_of(self, other: Owner) -> bool {
        match (self, other) {
            (Owner::Crest { crest, .. }, Owner::Crest { crest: of, .. }) => crest == of,
            _ => self == other,
        }
    }
}

#[derive(Debug, Clone, Copy)]
pub(super) enum Law {
    Critical,
    Normal { slope: f64 },
    Held { z_m: f64 },
    Crest { law: usize, z_m: f64, length_m: f64 },
    Pipe { law: usize, invert_z_m: f64 },
}

/// A way from a cell to another line or out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Link {
    pub(super) from: usize,
    pub(super) to: Option<usize>,
    pub(super) outlet: Option<usize>,
    pub(super) owner: Owner,
    pub(super) law: Law,
    /// Whether it lies over a bank: most banks never pass water.
    pub(super) over_bank: bool,
}

impl Link {
    /// The cell that it takes from; water that runs back comes from the far side.
    pub(super) fn giver(&self, volume_m3: f64) -> Option<usize> {
        if volume_m3 > 0.0 { Some(self.from) } else { self.to.filter(|_| volume_m3 < 0.0) }
    }
}

/// Flow through a face.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct FaceFlow {
    pub(super) m3_s: f64,
    pub(super) speed_m_s: f64,
    /// For a metre more left and right.
    pub(super) per_left_m: f64,
    pub(super) per_right_m: f64,
}

#[derive(Debug, Clone)]
pub(super) struct Network {
    pub(super) nodes: Vec<Node>,
    pub(super) faces: Vec<Face>,
    pub(super) links: Vec<Link>,
    /// First cell of each line, and the number of all cells at the end.
    pub(super) first: Vec<usize>,
    /// For each line's ends the face that joins it to another line.
    pub(super) joins: Vec<[Option<usize>; 2]>,
    crest_laws: Vec<CrestLaw>,
    pipe_laws: Vec<PipeLaw>,
}

impl Network {
    pub(super) fn new(chain: &Chain) -> Result<Network, RunError> {
        let mut network = Network {
            nodes: Vec::new(),
            faces: Vec::new(),
            links: Vec::new(),
            first: vec![0],
            joins: vec![[None; 2]; chain.lines().len()],
            crest_laws: Vec::new(),
            pipe_laws: Vec::new(),
        };
        network.add_cells(chain);
        network.add_faces(chain);
        network.add_ends(chain);
        network.add_crests(chain);
        for (index, pipe) in chain.pipes().iter().enumerate() {
            network.pipe_laws.push(PipeLaw::new(pipe.pipe)?);
            let law = Law::Pipe { law: index, invert_z_m: pipe.invert_z_m };
            network.add_link(network.index(pipe.from), pipe.to, Owner::Pipe { pipe: index }, law);
        }
        Ok(network)
    }

    pub(super) fn index(&self, at: CellAt) -> usize {
        self.first[at.line] + at.cell
    }

    fn add_cells(&mut self, chain: &Chain) {
        for (line, chain_line) in chain.lines().iter().enumerate() {
            for cell in &chain_line.cells {
                let table = Table::new(&cell.section);
                self.nodes.push(Node {
                    line,
                    bed_z_m: cell.bed_z_m(),
                    length_m: cell.length_m,
                    per_length: 1.0 / cell.length_m,
                    manning_n: cell.manning_n,
                    soak: cell.soak,
                    least_perimeter_m: table.at_depth(LEAST_SOAKING_M, 0).perimeter_m,
                    table,
                });
            }
            self.first.push(self.nodes.len());
        }
    }

    fn add_faces(&mut self, chain: &Chain) {
        for line in 0..chain.lines().len() {
            let (from, to) = (self.first[line], self.first[line + 1]);
            for left in from..to - 1 {
                let index = self.faces.len();
                let mut face = self.face(left, left + 1);
                face.before = (left > from).then(|| index - 1);
                face.after = (left + 2 < to).then_some(index + 1);
                self.faces.push(face);
            }
        }
    }

    fn face(&self, left: usize, right: usize) -> Face {
        let (a, b) = (&self.nodes[left], &self.nodes[right]);
        let distance_m = 0.5 * (a.length_m + b.length_m);
        let manning_n = if b.bed_z_m > a.bed_z_m { b.manning_n } else { a.manning_n };
        Face {
            left,
            right,
            distance_m,
            pull_per_s2: GRAVITY_M_S2 / distance_m,
            brake_m_s2: GRAVITY_M_S2 * manning_n * manning_n,
            rise_m: b.bed_z_m - a.bed_z_m,
            higher: if b.bed_z_m > a.bed_z_m { right } else { left },
            before: None,
            after: None,
            joins: false,
        }
    }

    fn add_ends(&mut self, chain: &Chain) {
        for (line, chain_line) in chain.lines().iter().enumerate() {
            for (end, kind) in chain_line.ends.iter().enumerate() {
                let from = if end == 0 { self.first[line] } else { self.first[line + 1] - 1 };
                let owner = Owner::End { line, end };
                match *kind {
                    End::Closed => {}
                    End::FreeFall { to } => self.add_link(from, to, owner, Law::Critical),
                    End::NormalFlow { slope, to } => self.add_link(from, to, owner, Law::Normal { slope }),
                    End::Level { z_m, to } => self.add_link(from, to, owner, Law::Held { z_m }),
                    End::Into(at) => {
                        self.joins[line][end] = Some(self.faces.len());
                        let face = Face { joins: true, ..self.face(from, self.index(at)) };
                        self.faces.push(face);
                    }
                }
            }
        }
    }

    fn add_crests(&mut self, chain: &Chain) {
        for (index, crest) in chain.crests().iter().enumerate() {
            let known = self.crest_laws.iter().position(|law| law.crest == crest.crest);
            let law = known.unwrap_or(self.crest_laws.len());
            if known.is_none() {
                self.crest_laws.push(CrestLaw::new(crest.crest));
            }
            for (number, part) in crest.parts.iter().enumerate() {
                let owner = Owner::Crest { crest: index, part: number };
                let from = self.first[crest.line] + part.cell;
                let to = match part.to {
                    Target::Cell(at) => Some(self.index(at)),
                    Target::Leaves(_) => None,
                };
                // A bed that lies above the crest, on either side, is what the water has to pass.
                let beds_z_m = [Some(from), to].into_iter().flatten().map(|cell| self.nodes[cell].bed_z_m);
                let spill = Law::Crest {
                    law,
                    z_m: beds_z_m.fold(part.z_m, |z, bed_z_m| if bed_z_m > z { bed_z_m } else { z }),
                    length_m: part.length_m,
                };
                self.add_link(from, part.to, owner, spill);
                if let Some(link) = self.links.last_mut() {
                    link.over_bank = crest.kind == CrestKind::Bank;
                }
            }
        }
    }

    fn add_link(&mut self, from: usize, to: Target, owner: Owner, law: Law) {
        let (to, outlet) = match to {
            Target::Cell(at) => (Some(self.index(at)), None),
            Target::Leaves(outlet) => (None, Some(outlet)),
        };
        self.links.push(Link { from, to, outlet, owner, law, over_bank: false });
    }

    /// Whether a link lies over a crest that no water reaches.
    pub(super) fn is_dry(link: &Link, water: &[Water]) -> bool {
        let Law::Crest { z_m, .. } = link.law else {
            return false;
        };
        water[link.from].level_z_m <= z_m && link.to.is_none_or(|to| water[to].level_z_m <= z_m)
    }

    /// Flow through a link.
    pub(super) fn link_flow(&self, link: &Link, water: &[Water]) -> Flow {
        let upper = &water[link.from];
        let node = &self.nodes[link.from];
        let lower_z_m = link.to.map_or(f64::NEG_INFINITY, |to| water[to].level_z_m);
        let still = upper.wet.depth_m <= STILL_M;
        match link.law {
            Law::Critical | Law::Normal { .. } | Law::Held { .. } if still => Flow::default(),
            Law::Critical => {
                critical_flow(&node.table, &upper.wet).drowned(&upper.wet, lower_z_m - node.bed_z_m)
            }
            Law::Normal { slope } => {
                normal_flow(&upper.wet, slope, node.manning_n).drowned(&upper.wet, lower_z_m - node.bed_z_m)
            }
            Law::Held { z_m } => {
                let fall_m = upper.level_z_m - z_m;
                held_flow(&node.table, &upper.wet, fall_m, 0.5 * node.length_m, node.manning_n)
            }
            Law::Crest { law, z_m, length_m } => {
                self.crest_laws[law].flow(z_m, length_m, upper.level_z_m, lower_z_m)
            }
            Law::Pipe { law, invert_z_m } => self.pipe_laws[law].flow(invert_z_m, upper.level_z_m, lower_z_m),
        }
    }

    /// Head over a link's crest or mouth; the depth of the last cell at an end.
    pub(super) fn link_head_m(&self, link: &Link, water: &[Water]) -> f64 {
        let upper = &water[link.from];
        match link.law {
            Law::Crest { z_m, .. } => upper.level_z_m - z_m,
            Law::Pipe { invert_z_m, .. } => upper.level_z_m - invert_z_m,
            Law::Critical | Law::Normal { .. } | Law::Held { .. } => upper.wet.depth_m,
        }
    }

    /// Flow through a face at the end of a step in which the water sped up from `speed_m_s` (what inertia and the
    /// water behind would give it) by the fall of its surface and was braked:
    /// u + b·u·|u| = w, b = Δt·g·n²/R^(4/3), w = speed + Δt·g·(η_left − η_right)/distance.
    pub(super) fn face_flow(&self, face: &Face, water: &[Water], speed_m_s: f64, step_s: f64) -> FaceFlow {
        let (left, right) = (&water[face.left], &water[face.right]);
        let pull = step_s * face.pull_per_s2;
        let difference_m = left.wet.depth_m - right.wet.depth_m - face.rise_m;
        let fall_m = if difference_m.abs() <= LEVEL_M { 0.0 } else { difference_m };
        let wanted_m_s = speed_m_s + pull * fall_m;
        let forwards = wanted_m_s >= 0.0;
        let upper = if forwards { face.left } else { face.right };
        let wet = self.face_wet(face, upper, water);
        if wet.depth_m <= STILL_M {
            return FaceFlow::default();
        }
        // R^(−1/3), its cube 1/R and its fourth power: no division.
        let root_m = inverse_cube_root(wet.radius_m);
        let per_radius = root_m * root_m * root_m;
        let braking = step_s * face.brake_m_s2 * per_radius * root_m;
        let size_m_s = wanted_m_s.abs();
        // 1 + 2·b·u is the root itself.
        let eased = (1.0 + 4.0 * braking * size_m_s).sqrt();
        let share = 1.0 / (eased * (1.0 + eased));
        let speed = 2.0 * size_m_s * eased * share;
        let eases = (1.0 + eased) * share;
        // The braking falls with the radius: db/dh = −(4/3)·b·R'/R.
        let speed_per_upper = speed * speed * eases * 4.0 / 3.0 * braking * wet.radius_per_m * per_radius;
        let from_upper = wet.growth_m * speed + wet.area_m2 * speed_per_upper;
        let from_fall = wet.area_m2 * eases * pull;
        let (mut size_m3_s, mut per_upper, mut per_lower) =
            (wet.area_m2 * speed, from_upper + from_fall, -from_fall);
        let mut speed = speed;
        if face.joins {
            let critical = critical_flow(&self.nodes[face.higher].table, &wet);
            if critical.m3_s < size_m3_s {
                (size_m3_s, per_upper, per_lower) = (critical.m3_s, critical.per_upper_m, 0.0);
                speed = size_m3_s / wet.area_m2;
            }
        }
        if forwards {
            FaceFlow { m3_s: size_m3_s, speed_m_s: speed, per_left_m: per_upper, per_right_m: per_lower }
        } else {
            FaceFlow { m3_s: -size_m3_s, speed_m_s: -speed, per_left_m: -per_lower, per_right_m: -per_upper }
        }
    }

    /// The section through which a face passes the water of the cell it comes from.
    fn face_wet(&self, face: &Face, upper: usize, water: &[Water]) -> Wet {
        if upper == face.higher {
            return water[upper].wet;
        }
        let node = &self.nodes[face.higher];
        node.table.at_depth(water[upper].wet.depth_m - face.rise_m.abs(), water[face.higher].wet.piece)
    }
}
