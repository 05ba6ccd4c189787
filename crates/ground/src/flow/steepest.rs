//! The steepest way down from each cell, on its own: level places are left for later.

use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_4};

use rayon::prelude::*;

use super::{LEAVES, STAYS, UNKNOWN};
use crate::{Frame, Grid};

/// Heights of the eight neighbours in the order of [`crate::NEIGHBOURS`]; infinite where there is no ground.
type Around = [f64; 8];

/// Codes of the neighbour with the steepest fall, cell by cell. Rows are independent, so the number of threads
/// cannot change the answer.
pub(super) fn of_eight(ground: &Grid) -> Vec<u8> {
    let frame = ground.frame();
    let mut codes = vec![UNKNOWN; frame.len()];
    codes.par_chunks_mut(frame.columns.max(1)).enumerate().for_each(|(row, codes)| {
        for_each_known(ground.z_m(), frame, row, |column, z, around| {
            codes[column] = steepest_neighbour(z, around).unwrap_or_else(|| no_fall(around));
        });
    });
    codes
}

/// Codes and shares of the steepest facet, cell by cell.
pub(super) fn of_facets(ground: &Grid) -> (Vec<u8>, Vec<f64>) {
    let frame = ground.frame();
    let mut codes = vec![UNKNOWN; frame.len()];
    let mut shares = vec![1.0; frame.len()];
    codes
        .par_chunks_mut(frame.columns.max(1))
        .zip(shares.par_chunks_mut(frame.columns.max(1)))
        .enumerate()
        .for_each(|(row, (codes, shares))| {
            for_each_known(ground.z_m(), frame, row, |column, z, around| match steepest_facet(z, around) {
                Some(facet) => (codes[column], shares[column]) = (facet.first, facet.share),
                None => codes[column] = no_fall(around),
            });
        });
    (codes, shares)
}

/// Visits the known cells of a row with their neighbours' heights.
fn for_each_known(z_m: &[f64], frame: &Frame, row: usize, mut visit: impl FnMut(usize, f64, &Around)) {
    let columns = frame.columns;
    let beyond = vec![f64::INFINITY; columns];
    let line = |row: Option<usize>| match row {
        Some(row) if row < frame.rows => &z_m[row * columns..(row + 1) * columns],
        _ => &beyond,
    };
    let (north, here, south) = (line(row.checked_sub(1)), line(Some(row)), line(Some(row + 1)));
    for column in 0..columns {
        let z = here[column];
        if z == f64::INFINITY {
            continue;
        }
        let mut around = [
            f64::INFINITY,
            f64::INFINITY,
            north[column],
            f64::INFINITY,
            f64::INFINITY,
            f64::INFINITY,
            south[column],
            f64::INFINITY,
        ];
        if column + 1 < columns {
            (around[0], around[1], around[7]) = (here[column + 1], north[column + 1], south[column + 1]);
        }
        if column > 0 {
            (around[3], around[4], around[5]) = (north[column - 1], here[column - 1], south[column - 1]);
        }
        visit(column, z, &around);
    }
}

/// What becomes of water that finds no lower neighbour.
fn no_fall(around: &Around) -> u8 {
    if around.contains(&f64::INFINITY) { LEAVES } else { STAYS }
}

/// Direction of the steepest fall; the first of equals; none if no neighbour is lower. Written without branches:
/// on rough ground no processor can guess which neighbour will be the lowest.
fn steepest_neighbour(z: f64, around: &Around) -> Option<u8> {
    let (mut most, mut direction) = (0.0, STAYS);
    for d in 0..around.len() {
        let per_cell = if d % 2 == 0 { 1.0 } else { FRAC_1_SQRT_2 };
        let fall = (z - around[d]) * per_cell;
        direction = if fall > most { d as u8 } else { direction };
        most = if fall > most { fall } else { most };
    }
    (direction != STAYS).then_some(direction)
}

/// The way down over one facet: between direction `first` and the next counter-clockwise.
struct Facet {
    first: u8,
    /// Share of `first`, over 0 and at most 1.
    share: f64,
}

/// The steepest facet of Tarboton (1997), the first of equals; none if no neighbour is lower.
///
/// With the falls per cell s1 = z − z1 towards the neighbour with a common side and s2 = z1 − z2 from there to
/// the one with a common corner, the way down is at α = atan(s2/s1) from the first. It is kept within
/// 0 ≤ α ≤ π/4 by going along the side. The choice among facets compares squared slopes, so it needs no more
/// than + − × <; only the share takes an arctangent, which is the same on every machine.
///
/// At the edge of known ground a facet of which one neighbour is missing offers the way to the other.
fn steepest_facet(z: f64, around: &Around) -> Option<Facet> {
    let mut best_sq = 0.0;
    let mut best: Option<(u8, f64, f64)> = None;
    for first in 0..8_u8 {
        let next = (first + 1) % 8;
        let (straight, corner) = if first.is_multiple_of(2) { (first, next) } else { (next, first) };
        let (s1, s2, slope_sq) = facet_fall(z, around[usize::from(straight)], around[usize::from(corner)]);
        if slope_sq > best_sq {
            best_sq = slope_sq;
            best = Some((first, s1, s2));
        }
    }
    best.map(|(first, s1, s2)| facet(first, s1, s2))
}

/// Falls s1 and s2 over a facet after keeping to it, and the square of its slope, times cell²; all 0 where it
/// does not fall. Straight ahead has s2 = 0, across the corner s1 = s2.
fn facet_fall(z: f64, z_straight: f64, z_corner: f64) -> (f64, f64, f64) {
    let (s1, s2) = (z - z_straight, z_straight - z_corner);
    if s2 <= 0.0 || z_corner == f64::INFINITY {
        return if s1 > 0.0 { (s1, 0.0, s1 * s1) } else { (0.0, 0.0, 0.0) };
    }
    // A missing straight neighbour has s1 = −∞, so it comes here too.
    if s2 >= s1 {
        let half = 0.5 * (z - z_corner);
        return if half > 0.0 { (half, half, 2.0 * half * half) } else { (0.0, 0.0, 0.0) };
    }
    (s1, s2, s1 * s1 + s2 * s2)
}

/// The facet's receivers and the share of the first, as its direction and its corner's position ask.
fn facet(first: u8, s1: f64, s2: f64) -> Facet {
    let next = (first + 1) % 8;
    let straight_is_first = first.is_multiple_of(2);
    if s2 == 0.0 || s1 == s2 {
        let goes_straight = s2 == 0.0;
        let to = if goes_straight == straight_is_first { first } else { next };
        return Facet { first: to, share: 1.0 };
    }
    let to_corner = libm::atan2(s2, s1) / FRAC_PI_4;
    let share = if straight_is_first { 1.0 - to_corner } else { to_corner };
    // So near the next direction that the arctangent cannot tell: all of it goes there.
    if share > 0.0 { Facet { first, share } } else { Facet { first: next, share: 1.0 } }
}
