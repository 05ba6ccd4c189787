//! A line as a pool: how much it wets at each volume, and where it lets its surplus out.

use site::LineKind;
use water::chain::Target;

use crate::rain_test::build::{Piece, Works, WorksLine};

/// Volumes at which the wetted area is kept.
const RUNGS: usize = 48;
/// Levels at which the volume is looked at to find them.
const LEVELS: usize = 512;
/// Depth at which a film wets what the bed wets, m.
const FILM_M: f64 = 0.002;
/// Crests that differ by less let water out together, m.
const ALIKE_M: f64 = 0.005;

/// A place where surplus leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PoolExit {
    pub to: Target,
    pub share_frac: f64,
}

/// A line as a pool.
#[derive(Debug, Clone)]
pub(super) struct Pool {
    /// Whether it falls: then it holds nothing.
    pub falls: bool,
    /// Bed of each piece, m².
    pub pieces: Vec<f64>,
    pub bed_m2: f64,
    pub full_m3: f64,
    pub full_z_m: f64,
    /// Area that is wet, by rung.
    pub wet_m2: Vec<f64>,
    /// Of it what lies on the bed of pieces that the pool has reached.
    pub on_bed_m2: Vec<f64>,
    /// The same wet area piece by piece, rung after rung.
    pub wet_of_piece_m2: Vec<f64>,
    pub exits: Vec<PoolExit>,
    levels: Levels,
}

/// Volume against level, in equal steps of level.
#[derive(Debug, Clone)]
struct Levels {
    lowest_z_m: f64,
    step_m: f64,
    volumes_m3: Vec<f64>,
}

impl Pool {
    pub(super) fn of(works: &Works, index: usize) -> Pool {
        let line = &works.lines[index];
        let falls = line.line.kind != LineKind::Swale;
        let (full_z_m, exits) = if falls { (f64::INFINITY, end(works, index)) } else { lowest(works, index) };
        let pieces: Vec<f64> =
            line.pieces.iter().map(|piece| wet_m2(piece, piece.bed_z_m() + FILM_M)).collect();
        let lowest_z_m = line.pieces.iter().map(Piece::bed_z_m).fold(f64::INFINITY, f64::min);
        let holds = !falls && full_z_m > lowest_z_m;
        let levels = Levels::of(line, lowest_z_m, if holds { full_z_m } else { lowest_z_m });
        let full_m3 = levels.volumes_m3[LEVELS];
        let mut pool = Pool {
            falls,
            bed_m2: pieces.iter().sum(),
            pieces,
            full_m3,
            full_z_m,
            wet_m2: Vec::with_capacity(RUNGS + 1),
            on_bed_m2: Vec::with_capacity(RUNGS + 1),
            wet_of_piece_m2: Vec::new(),
            exits,
            levels,
        };
        for rung in 0..=RUNGS {
            let level_z_m = pool.levels.at_volume_z_m(full_m3 * rung as f64 / RUNGS as f64);
            pool.add_rung(
                line,
                if level_z_m < lowest_z_m + FILM_M { lowest_z_m + FILM_M } else { level_z_m },
            );
        }
        pool
    }

    fn add_rung(&mut self, line: &WorksLine, level_z_m: f64) {
        let (mut wet, mut on_bed) = (0.0, 0.0);
        for (piece, bed_m2) in line.pieces.iter().zip(&self.pieces) {
            let piece_m2 = wet_m2(piece, level_z_m);
            wet += piece_m2;
            on_bed += if piece_m2 < *bed_m2 { piece_m2 } else { *bed_m2 };
            self.wet_of_piece_m2.push(piece_m2);
        }
        self.wet_m2.push(wet);
        self.on_bed_m2.push(on_bed);
    }

    /// The rung at a volume.
    pub(super) fn rung(&self, volume_m3: f64) -> usize {
        if self.full_m3 <= 0.0 {
            return 0;
        }
        let rung = (RUNGS as f64 * volume_m3 / self.full_m3 + 0.5) as usize;
        if rung < RUNGS { rung } else { RUNGS }
    }

    /// Wet areas of the pieces at a rung.
    pub(super) fn wet_at(&self, rung: usize) -> &[f64] {
        let count = self.pieces.len();
        &self.wet_of_piece_m2[rung * count..(rung + 1) * count]
    }

    pub(super) fn volume_at_m3(&self, level_z_m: f64) -> f64 {
        self.levels.at_level_m3(level_z_m)
    }

    pub(super) fn leads_to(&self, line: usize) -> bool {
        self.exits.iter().any(|exit| matches!(exit.to, Target::Cell(at) if at.line == line))
    }

    pub(super) const fn rungs() -> usize {
        RUNGS + 1
    }
}

fn wet_m2(piece: &Piece, level_z_m: f64) -> f64 {
    let above_peg_m = level_z_m - piece.ground_z_m;
    if level_z_m <= piece.bed_z_m() {
        0.0
    } else {
        piece.length_m() * piece.section.wetted_perimeter_m(above_peg_m)
    }
}

impl Levels {
    fn of(line: &WorksLine, lowest_z_m: f64, full_z_m: f64) -> Levels {
        let step_m = (full_z_m - lowest_z_m) / LEVELS as f64;
        let volume_m3 = |level: usize| {
            let z_m = lowest_z_m + level as f64 * step_m;
            let of_piece = |piece: &Piece| piece.length_m() * piece.section.area_m2(z_m - piece.ground_z_m);
            if level == 0 { 0.0 } else { line.pieces.iter().map(of_piece).sum() }
        };
        Levels { lowest_z_m, step_m, volumes_m3: (0..=LEVELS).map(volume_m3).collect() }
    }

    fn at_volume_z_m(&self, volume_m3: f64) -> f64 {
        let next = self.volumes_m3.partition_point(|held_m3| *held_m3 < volume_m3).clamp(1, LEVELS);
        let (below, above) = (self.volumes_m3[next - 1], self.volumes_m3[next]);
        let share = if above > below { (volume_m3 - below) / (above - below) } else { 0.0 };
        self.lowest_z_m + (next as f64 - 1.0 + share) * self.step_m
    }

    fn at_level_m3(&self, level_z_m: f64) -> f64 {
        let steps = if self.step_m > 0.0 { (level_z_m - self.lowest_z_m) / self.step_m } else { 0.0 };
        if steps <= 0.0 {
            return 0.0;
        }
        if steps >= LEVELS as f64 {
            return f64::INFINITY;
        }
        let below = steps as usize;
        let share = steps - below as f64;
        self.volumes_m3[below] + share * (self.volumes_m3[below + 1] - self.volumes_m3[below])
    }
}

/// A falling line lets out at its end.
fn end(works: &Works, index: usize) -> Vec<PoolExit> {
    let to = works.end_of(index);
    to.into_iter().map(|to| PoolExit { to, share_frac: 1.0 }).collect()
}

/// A level line lets out over the lowest of its sills and banks; of equals each by its length.
fn lowest(works: &Works, index: usize) -> (f64, Vec<PoolExit>) {
    let crests = works.crests_of(index);
    let full_z_m = crests.iter().map(|(z_m, _, _)| *z_m).fold(f64::INFINITY, f64::min);
    let open: Vec<&(f64, f64, Target)> =
        crests.iter().filter(|(z_m, _, _)| *z_m <= full_z_m + ALIKE_M).collect();
    let length_m: f64 = open.iter().map(|(_, length_m, _)| length_m).sum();
    let mut exits: Vec<PoolExit> = Vec::new();
    for (_, of_crest_m, to) in open {
        let share_frac = of_crest_m / length_m;
        match exits.iter_mut().find(|exit| exit.to == *to) {
            Some(exit) => exit.share_frac += share_frac,
            None => exits.push(PoolExit { to: *to, share_frac }),
        }
    }
    (full_z_m, exits)
}
