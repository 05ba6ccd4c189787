//! The hollows one by one: how much each holds, how deep it is and over which cell it spills.
//!
//! Small hollows lie within larger ones. Water rises in each on its own until it stands at the saddle to a
//! neighbour; from there the two are one. So the cells of a filled place are taken from the lowest up and put
//! together with their neighbours; where a cell joins two waters, both had their sill there.

use super::NEIGHBOURS;
use crate::{Cell, FlowPaths, Grid};

/// A place where water gathers before any of it goes on.
#[derive(Debug, Clone, PartialEq)]
pub struct Hollow {
    /// Its lowest cell; the first of equals.
    pub lowest: Cell,
    /// The cell it spills over.
    pub sill: Cell,
    /// Height of that cell, and of the water when it spills.
    pub sill_z_m: f64,
    /// From the lowest cell up to the sill.
    pub depth_m: f64,
    /// Cells under water when it spills.
    pub cells: usize,
    /// Their area.
    pub area_m2: f64,
    /// What it holds up to its sill, the hollows within it included.
    pub volume_m3: f64,
    /// The hollow it becomes part of when it has spilled into its neighbour; none if it spills off.
    pub within: Option<usize>,
}

/// All hollows, from the ground as it is, the same [filled](super::fill) and the D8 ways over that. Those that
/// lie within another stand before it; otherwise by their place in the raster.
pub fn hollows(ground: &Grid, filled: &Grid, paths: &FlowPaths) -> Vec<Hollow> {
    debug_assert!(ground.frame() == filled.frame() && ground.frame() == paths.frame());
    let mut sorter = Sorter {
        ground,
        filled,
        water_of: vec![NO_WATER; ground.z_m().len()],
        waters: Vec::new(),
        hollows: Vec::new(),
    };
    for start in 0..ground.z_m().len() {
        if sorter.is_raised(start) && sorter.water_of[start] == NO_WATER {
            let sill = sill_below(&sorter, paths, start);
            sorter.sort_place(start, sill);
        }
    }
    sorter.hollows
}

/// Where water leaves a filled place: the first cell on its way that was not raised.
fn sill_below(sorter: &Sorter, paths: &FlowPaths, mut index: usize) -> usize {
    while sorter.is_raised(index) {
        let to = paths.receivers(index).next();
        index = to.expect("filled ground drains").index;
    }
    index
}

const NO_WATER: u32 = u32::MAX;
/// Put down for a cell that waits for its turn, so that it is not collected twice.
const WAITS: u32 = u32::MAX - 1;

/// Standing water, as it rises.
struct Water {
    /// Water this one became part of; itself while it stands alone.
    part_of: u32,
    lowest: usize,
    level_m: f64,
    cells: usize,
    /// Cells below the level; those at it are not under water.
    cells_below: usize,
    volume_cells_m: f64,
    /// Hollows that were joined to it and await one to lie within.
    joined: Vec<usize>,
    /// Level at which it was joined together; the same as `level_m` if it has not risen since.
    joined_at_m: f64,
}

struct Sorter<'a> {
    ground: &'a Grid,
    filled: &'a Grid,
    water_of: Vec<u32>,
    waters: Vec<Water>,
    hollows: Vec<Hollow>,
}

impl Sorter<'_> {
    fn is_raised(&self, index: usize) -> bool {
        self.filled.z_m()[index] > self.ground.z_m()[index]
    }

    fn neighbours(&self, index: usize) -> impl Iterator<Item = usize> + use<> {
        let frame = *self.ground.frame();
        (0..NEIGHBOURS.len()).filter_map(move |direction| frame.neighbour(index, direction))
    }

    /// Sorts one filled place into its hollows.
    fn sort_place(&mut self, start: usize, sill: usize) {
        let mut cells = self.collect(start);
        let z_m = self.ground.z_m();
        cells.sort_by(|a, b| z_m[*a].total_cmp(&z_m[*b]).then(a.cmp(b)));
        for index in cells {
            self.add(index);
        }
        let all = self.water(start);
        let sill_z_m = self.filled.z_m()[start];
        self.waters[all].rise_to(sill_z_m);
        self.close(all, sill);
    }

    /// The raised cells connected to one. All stand at one level: between neighbours at two levels the higher
    /// would drain.
    fn collect(&mut self, start: usize) -> Vec<usize> {
        self.water_of[start] = WAITS;
        let mut cells = vec![start];
        let mut next = 0;
        while let Some(&index) = cells.get(next) {
            next += 1;
            for neighbour in self.neighbours(index) {
                if self.water_of[neighbour] == NO_WATER && self.is_raised(neighbour) {
                    self.water_of[neighbour] = WAITS;
                    cells.push(neighbour);
                }
            }
        }
        cells
    }

    /// The water a placed cell now belongs to.
    fn water(&mut self, index: usize) -> usize {
        let mut water = self.water_of[index];
        while self.waters[water as usize].part_of != water {
            let next = self.waters[water as usize].part_of;
            self.waters[water as usize].part_of = self.waters[next as usize].part_of;
            water = next;
        }
        self.water_of[index] = water;
        water as usize
    }

    /// Lets the water rise to a cell, and puts together what meets there.
    fn add(&mut self, index: usize) {
        let z_m = self.ground.z_m()[index];
        let mut here: Option<usize> = None;
        for neighbour in self.neighbours(index) {
            if self.water_of[neighbour] >= WAITS {
                continue;
            }
            let water = self.water(neighbour);
            match here {
                Some(one) if one == water => {}
                Some(one) => here = Some(self.join(one, water, index)),
                None => {
                    self.waters[water].rise_to(z_m);
                    here = Some(water);
                }
            }
        }
        let water = here.unwrap_or_else(|| self.spring(index));
        self.waters[water].cells += 1;
        self.water_of[index] = water as u32;
    }

    /// A new water at its lowest cell.
    fn spring(&mut self, index: usize) -> usize {
        let z_m = self.ground.z_m()[index];
        let water = self.waters.len();
        self.waters.push(Water {
            part_of: water as u32,
            lowest: index,
            level_m: z_m,
            cells: 0,
            cells_below: 0,
            volume_cells_m: 0.0,
            joined: Vec::new(),
            joined_at_m: f64::NEG_INFINITY,
        });
        water
    }

    /// Makes one water of two that meet at a cell; the first takes in the second. Only if both have depth were
    /// they two hollows; a level place at the brink of one is just part of it.
    fn join(&mut self, one: usize, other: usize, sill: usize) -> usize {
        let level_m = self.ground.z_m()[sill];
        self.waters[other].rise_to(level_m);
        if self.depth_m(one) > 0.0 && self.depth_m(other) > 0.0 {
            self.close(one, sill);
            self.close(other, sill);
            self.waters[one].joined_at_m = level_m;
        }
        let (one, other) = if self.depth_m(one) > 0.0 { (one, other) } else { (other, one) };
        let other = self.waters[other].moved_into(one);
        let z_m = self.ground.z_m();
        let water = &mut self.waters[one];
        if (z_m[other.lowest], other.lowest) < (z_m[water.lowest], water.lowest) {
            water.lowest = other.lowest;
        }
        water.cells += other.cells;
        water.cells_below += other.cells_below;
        water.volume_cells_m += other.volume_cells_m;
        water.joined.extend(other.joined);
        one
    }

    fn depth_m(&self, water: usize) -> f64 {
        let water = &self.waters[water];
        water.level_m - self.ground.z_m()[water.lowest]
    }

    /// Writes down a water that stands at its sill. One that has not risen since it was put together is no
    /// hollow of its own, and neither is a level place without depth.
    fn close(&mut self, water: usize, sill: usize) {
        let frame = *self.ground.frame();
        let cell_m2 = frame.cell_m * frame.cell_m;
        let depth_m = self.depth_m(water);
        let water = &mut self.waters[water];
        if depth_m <= 0.0 || water.joined_at_m == water.level_m {
            return;
        }
        let number = self.hollows.len();
        for joined in water.joined.drain(..) {
            self.hollows[joined].within = Some(number);
        }
        water.joined.push(number);
        self.hollows.push(Hollow {
            lowest: frame.cell(water.lowest),
            sill: frame.cell(sill),
            sill_z_m: water.level_m,
            depth_m,
            cells: water.cells_below,
            area_m2: water.cells_below as f64 * cell_m2,
            volume_m3: water.volume_cells_m * cell_m2,
            within: None,
        });
    }
}

impl Water {
    /// Leaves a note of where it went and gives itself away.
    fn moved_into(&mut self, one: usize) -> Water {
        let gone = Water { part_of: one as u32, joined: Vec::new(), ..*self };
        std::mem::replace(self, gone)
    }

    fn rise_to(&mut self, level_m: f64) {
        if level_m > self.level_m {
            self.volume_cells_m += self.cells as f64 * (level_m - self.level_m);
            self.cells_below = self.cells;
            self.level_m = level_m;
        }
    }
}
