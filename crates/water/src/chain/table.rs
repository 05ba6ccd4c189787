//! A cell's section, made ready for the solver's inner loop.
//!
//! Depth over the bed against area, in the section's own quadratic pieces, so nothing is interpolated. Two things are
//! changed. Where the section fills a second hollow at once the area takes a step; here it grows over [`RAMP_M`] of
//! level instead, so that a level belongs to every area: volumes are exact below and above, the level within the ramp
//! is at most that much too high. And where the water spreads over a ledge the mean radius A/P drops although no
//! water runs slower: it is held at its greatest value below until it rises again.

use crate::section::{Rise, Section};

/// Rise of level over which a second hollow fills, m: less than any hand tool levels to.
const RAMP_M: f64 = 0.002;
/// Least width that a change of volume is turned into a change of level with, m. Only the direction of the solver's
/// next guess depends on it, never the answer.
const LEAST_WIDTH_M: f64 = 0.001;

/// A stretch of depth in which area is a quadratic and perimeter and width are straight.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from_m: f64,
    /// Depth and area at its end; infinite for the last.
    to_m: f64,
    to_m2: f64,
    area_m2: f64,
    /// Growth of the area for each metre, at the start of the piece.
    growth_m: f64,
    growth_per_m: f64,
    perimeter_m: f64,
    perimeter_per_m: f64,
    width_m: f64,
    width_per_m: f64,
    /// Greatest radius of the pieces below.
    radius_below_m: f64,
}

/// What the solver asks of a section at a depth.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Wet {
    pub(super) depth_m: f64,
    pub(super) area_m2: f64,
    /// dA/dh.
    pub(super) growth_m: f64,
    pub(super) perimeter_m: f64,
    /// dP/dh.
    pub(super) perimeter_per_m: f64,
    /// Mean radius for friction.
    pub(super) radius_m: f64,
    /// dR/dh, never below 0.
    pub(super) radius_per_m: f64,
    /// The piece it was found in: the place to look first for the next depth.
    pub(super) piece: usize,
}

/// A section from its bed up.
#[derive(Debug, Clone)]
pub(super) struct Table {
    pieces: Vec<Piece>,
}

impl Table {
    pub(super) fn new(section: &Section) -> Table {
        let bed_z_m = section.bed_z_m();
        let rises = section.rises();
        let mut pieces: Vec<Piece> = Vec::with_capacity(2 * rises.len());
        for (index, rise) in rises.iter().enumerate() {
            let before_m2 = index.checked_sub(1).map_or(0.0, |b| rises[b].area_at(rise.from_z_m));
            let mut from_z_m = rise.from_z_m;
            let stepped = index > 0 && rise.area_m2 > before_m2;
            if stepped {
                let before = &rises[index - 1];
                let half_m = 0.5 * (rise.to_z_m - rise.from_z_m);
                from_z_m += if RAMP_M < half_m { RAMP_M } else { half_m };
                pieces.push(ramp(before, rise, from_z_m, bed_z_m));
            }
            pieces.push(Piece::part(rise, from_z_m, bed_z_m));
        }
        let mut greatest_m = 0.0;
        for index in 0..pieces.len() {
            pieces[index].radius_below_m = greatest_m;
            if let Some((to_m, to_m2)) = pieces.get(index + 1).map(|next| (next.from_m, next.area_m2)) {
                (pieces[index].to_m, pieces[index].to_m2) = (to_m, to_m2);
                let wet = pieces[index].wet(to_m);
                if wet.radius_m > greatest_m {
                    greatest_m = wet.radius_m;
                }
            }
        }
        Table { pieces }
    }

    /// At a depth over the bed, sought from a piece on; all 0 at the bed and below.
    pub(super) fn at_depth(&self, depth_m: f64, near: usize) -> Wet {
        if depth_m <= 0.0 {
            return Wet::default();
        }
        let mut index = near;
        while index > 0 && self.pieces[index].from_m >= depth_m {
            index -= 1;
        }
        while self.pieces[index].to_m < depth_m {
            index += 1;
        }
        Wet { piece: index, ..self.pieces[index].wet(depth_m) }
    }

    /// At an area, sought from a piece on.
    pub(super) fn at_area(&self, area_m2: f64, near: usize) -> Wet {
        if area_m2 <= 0.0 {
            return Wet::default();
        }
        let mut index = near;
        while index > 0 && self.pieces[index].area_m2 >= area_m2 {
            index -= 1;
        }
        while self.pieces[index].to_m2 < area_m2 {
            index += 1;
        }
        let piece = &self.pieces[index];
        Wet { piece: index, ..piece.wet(piece.depth_at(area_m2)) }
    }

    /// Width of the water surface, without the ramps.
    pub(super) fn width_m(&self, depth_m: f64) -> f64 {
        let above = self.pieces.partition_point(|piece| piece.from_m < depth_m);
        above.checked_sub(1).map_or(0.0, |index| {
            let piece = &self.pieces[index];
            piece.width_m + piece.width_per_m * (depth_m - piece.from_m)
        })
    }
}

/// The piece in which a second hollow fills, from the lip's level to `to_z_m`.
fn ramp(before: &Rise, rise: &Rise, to_z_m: f64, bed_z_m: f64) -> Piece {
    let lip_z_m = rise.from_z_m;
    let over_m = to_z_m - lip_z_m;
    let d_m = lip_z_m - before.from_z_m;
    let area_m2 = before.area_at(lip_z_m);
    let perimeter_m = before.perimeter_m + before.perimeter_per_m * d_m;
    let width_m = before.width_m + before.width_per_m * d_m;
    let perimeter_to_m = rise.perimeter_m + rise.perimeter_per_m * over_m;
    let width_to_m = rise.width_m + rise.width_per_m * over_m;
    Piece {
        from_m: lip_z_m - bed_z_m,
        to_m: f64::INFINITY,
        to_m2: f64::INFINITY,
        area_m2,
        growth_m: (rise.area_at(to_z_m) - area_m2) / over_m,
        growth_per_m: 0.0,
        perimeter_m,
        perimeter_per_m: (perimeter_to_m - perimeter_m) / over_m,
        width_m,
        width_per_m: (width_to_m - width_m) / over_m,
        radius_below_m: 0.0,
    }
}

impl Piece {
    /// A rise from a level within it on.
    fn part(rise: &Rise, from_z_m: f64, bed_z_m: f64) -> Piece {
        let d_m = from_z_m - rise.from_z_m;
        let width_m = rise.width_m + rise.width_per_m * d_m;
        Piece {
            from_m: from_z_m - bed_z_m,
            to_m: f64::INFINITY,
            to_m2: f64::INFINITY,
            area_m2: rise.area_at(from_z_m),
            growth_m: width_m,
            growth_per_m: rise.width_per_m,
            perimeter_m: rise.perimeter_m + rise.perimeter_per_m * d_m,
            perimeter_per_m: rise.perimeter_per_m,
            width_m,
            width_per_m: rise.width_per_m,
            radius_below_m: 0.0,
        }
    }

    fn depth_at(&self, area_m2: f64) -> f64 {
        let more_m2 = area_m2 - self.area_m2;
        let square = self.growth_m * self.growth_m + 2.0 * self.growth_per_m * more_m2;
        self.from_m + 2.0 * more_m2 / (self.growth_m + square.sqrt())
    }

    fn wet(&self, depth_m: f64) -> Wet {
        let d_m = depth_m - self.from_m;
        let area_m2 = self.area_m2 + d_m * (self.growth_m + 0.5 * self.growth_per_m * d_m);
        let growth_m = self.growth_m + self.growth_per_m * d_m;
        let perimeter_m = self.perimeter_m + self.perimeter_per_m * d_m;
        let per_perimeter = 1.0 / perimeter_m;
        let radius_m = area_m2 * per_perimeter;
        let held = radius_m < self.radius_below_m;
        let radius_per_m = (growth_m - radius_m * self.perimeter_per_m) * per_perimeter;
        Wet {
            depth_m,
            area_m2,
            growth_m: if growth_m > LEAST_WIDTH_M { growth_m } else { LEAST_WIDTH_M },
            perimeter_m,
            perimeter_per_m: self.perimeter_per_m,
            radius_m: if held { self.radius_below_m } else { radius_m },
            radius_per_m: if held || radius_per_m < 0.0 { 0.0 } else { radius_per_m },
            piece: 0,
        }
    }
}
