//! Lines of equal height.
//!
//! Between four neighbouring cell middles a contour enters and leaves over the sides whose ends lie on either
//! side of its level, at the place found by linear interpolation. The pieces are joined end to end by the
//! numbers of the sides they cross, never by comparing coordinates.
//!
//! Source: marching squares, the plane case of Lorensen and Cline 1987, Computer Graphics 21(4), 163–169.
//! On a smooth surface lengths and areas err by the square of the cell; on a dome they fall short.
//!
//! Stated rules. A height equal to the level counts as above it: the level is taken a hair lower, the data
//! stay. What would then be drawn twice, up one side of a crest of equal heights and down the other, is not
//! drawn. Where all four sides are crossed, the mean of the four heights says whether the high corners are
//! joined. Contours end at the edge of known ground. Higher ground lies to the left.

use std::ops::Range;

use crate::{Grid, Point, Polyline};

/// One contour.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// Its height.
    pub z_m: f64,
    /// Its course, higher ground to the left; the last point of a closed one is its first.
    pub line: Polyline,
    /// Whether it comes back to its start, rather than ending at the edge of known ground.
    pub is_closed: bool,
}

/// Multiples of an interval that lie within the heights of a raster; none if nothing is known or the interval
/// is not positive.
pub fn contour_levels(ground: &Grid, interval_m: f64) -> Vec<f64> {
    let heights = || ground.z_m().iter().filter(|z| z.is_finite());
    let lowest_m = heights().fold(f64::INFINITY, |low, z| low.min(*z));
    let highest_m = heights().fold(f64::NEG_INFINITY, |high, z| high.max(*z));
    if !(interval_m > 0.0 && lowest_m <= highest_m) {
        return Vec::new();
    }
    let first = (lowest_m / interval_m).ceil() as i64;
    let last = (highest_m / interval_m).floor() as i64;
    (first..=last).map(|n| n as f64 * interval_m).collect()
}

/// The contours of a raster at some levels: level by level as given, open ones before closed ones, each kind by
/// where it starts.
pub fn contours(ground: &Grid, levels_m: &[f64]) -> Vec<Contour> {
    let mut rising: Vec<usize> = (0..levels_m.len()).collect();
    rising.sort_by(|a, b| levels_m[*a].total_cmp(&levels_m[*b]));
    let sorted_m: Vec<f64> = rising.iter().map(|i| levels_m[*i]).collect();
    let mut pieces = vec![Vec::new(); levels_m.len()];
    for_each_quad(ground, |quad| {
        for level in quad.levels(&sorted_m) {
            quad.cut(sorted_m[level], &mut pieces[rising[level]]);
        }
    });
    let traced = pieces.into_iter().zip(levels_m).flat_map(|(pieces, level_m)| {
        let lines = chain(without_doubles(pieces));
        lines.into_iter().filter_map(|keys| draw(ground, *level_m, &keys))
    });
    traced.collect()
}

/// Where a contour crosses: three numbers a cell, for its middle, the side to its eastern and the side to its
/// southern neighbour.
type Key = usize;

/// A piece of contour from one crossing to the next.
type Piece = (Key, Key);

const AT_MIDDLE: usize = 0;
const TO_EAST: usize = 1;
const TO_SOUTH: usize = 2;
const KEYS_A_CELL: usize = 3;

/// Four neighbouring cell middles, counter-clockwise from the south-west.
struct Quad {
    cells: [usize; 4],
    z_m: [f64; 4],
    /// The key of the side from each corner to the next.
    sides: [Key; 4],
}

fn for_each_quad(ground: &Grid, mut visit: impl FnMut(&Quad)) {
    let (columns, rows) = (ground.frame().columns, ground.frame().rows);
    let z_m = ground.z_m();
    for north in 0..rows.saturating_sub(1) {
        for west in 0..columns.saturating_sub(1) {
            let nw = north * columns + west;
            let sw = nw + columns;
            let cells = [sw, sw + 1, nw + 1, nw];
            let quad = Quad {
                cells,
                z_m: cells.map(|cell| z_m[cell]),
                sides: [
                    sw * KEYS_A_CELL + TO_EAST,
                    (nw + 1) * KEYS_A_CELL + TO_SOUTH,
                    nw * KEYS_A_CELL + TO_EAST,
                    nw * KEYS_A_CELL + TO_SOUTH,
                ],
            };
            if quad.z_m.iter().all(|z| z.is_finite()) {
                visit(&quad);
            }
        }
    }
}

impl Quad {
    /// Which of some rising levels pass through.
    fn levels(&self, sorted_m: &[f64]) -> Range<usize> {
        let lowest_m = self.z_m.iter().fold(f64::INFINITY, |low, z| low.min(*z));
        let highest_m = self.z_m.iter().fold(f64::NEG_INFINITY, |high, z| high.max(*z));
        let first = sorted_m.partition_point(|level| *level <= lowest_m);
        let end = sorted_m.partition_point(|level| *level <= highest_m);
        first..end
    }

    /// Adds the pieces of one level. Walking round the quad with the higher ground inside, the contour goes
    /// from the side where the walk leaves it to the side where it came in.
    fn cut(&self, level_m: f64, pieces: &mut Vec<Piece>) {
        let above = self.z_m.map(|z| z >= level_m);
        let leaves = |k: usize| above[k] && !above[(k + 1) % 4];
        let comes_in = |k: usize| !above[k] && above[(k + 1) % 4];
        let is_saddle = above[0] == above[2] && above[1] == above[3] && above[0] != above[1];
        let middle_m = 0.25 * (self.z_m[0] + self.z_m[1] + self.z_m[2] + self.z_m[3]);
        for out in (0..4).filter(|k| leaves(*k)) {
            // At a saddle the side before belongs to the same corner, the side after to the other one.
            let back = if is_saddle {
                Some(if middle_m >= level_m { out + 1 } else { out + 3 } % 4)
            } else {
                (0..4).find(|k| comes_in(*k))
            };
            let back = back.expect("who leaves came in");
            let piece = (self.crossing(out, level_m), self.crossing(back, level_m));
            if piece.0 != piece.1 {
                pieces.push(piece);
            }
        }
    }

    /// The key of a crossed side, or of the corner that lies just at the level.
    fn crossing(&self, side: usize, level_m: f64) -> Key {
        let ends = [side, (side + 1) % 4];
        let at = ends.into_iter().find(|k| self.z_m[*k] == level_m);
        at.map_or(self.sides[side], |k| self.cells[k] * KEYS_A_CELL + AT_MIDDLE)
    }
}

/// Takes out pieces between two middles that are there in both directions: a crest just at the level.
fn without_doubles(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let unordered = |piece: &Piece| (piece.0.min(piece.1), piece.0.max(piece.1));
    pieces.sort_by_key(|piece| (unordered(piece), *piece));
    let mut single: Vec<Piece> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        // A side of a quad is passed at most once each way, so doubles come in pairs.
        if single.last() == Some(&(piece.1, piece.0)) {
            single.pop();
        } else {
            single.push(piece);
        }
    }
    single
}

/// Joins pieces end to end: first those that start where no other ends, then the rings.
fn chain(mut pieces: Vec<Piece>) -> Vec<Vec<Key>> {
    pieces.sort_unstable();
    let mut ends: Vec<Key> = pieces.iter().map(|piece| piece.1).collect();
    ends.sort_unstable();
    let mut left = Unjoined { used: vec![false; pieces.len()], pieces };
    let mut lines = Vec::new();
    let mut first = 0;
    while first < left.pieces.len() {
        let key = left.pieces[first].0;
        let starting = left.pieces[first..].partition_point(|piece| piece.0 == key);
        let ending = ends.partition_point(|end| *end <= key) - ends.partition_point(|end| *end < key);
        for _ in ending..starting {
            // Not stopped where it passes its own start, or the rest of it would begin in the open.
            lines.extend(left.walk(key, |_| false));
        }
        first += starting;
    }
    for i in 0..left.pieces.len() {
        if !left.used[i] {
            let start = left.pieces[i].0;
            lines.extend(left.walk(start, |at| at == start));
        }
    }
    lines
}

/// Pieces in order of their starts, and which of them have been joined.
struct Unjoined {
    pieces: Vec<Piece>,
    used: Vec<bool>,
}

impl Unjoined {
    /// Follows pieces from a key until none goes on or it is told to stop.
    fn walk(&mut self, start: Key, stops: impl Fn(Key) -> bool) -> Option<Vec<Key>> {
        let mut keys = vec![start];
        let mut at = start;
        while let Some(i) = self.next_from(at) {
            self.used[i] = true;
            at = self.pieces[i].1;
            keys.push(at);
            if stops(at) {
                break;
            }
        }
        (keys.len() > 1).then_some(keys)
    }

    fn next_from(&self, key: Key) -> Option<usize> {
        let first = self.pieces.partition_point(|piece| piece.0 < key);
        let here = self.pieces[first..].iter().take_while(|piece| piece.0 == key);
        (first..).zip(here).map(|(i, _)| i).find(|i| !self.used[*i])
    }
}

/// A chain of crossings as a line in plan.
fn draw(ground: &Grid, level_m: f64, keys: &[Key]) -> Option<Contour> {
    let mut points: Vec<Point> = keys.iter().map(|key| place(ground, level_m, *key)).collect();
    // A height so near the level that the crossing rounds to the middle gives the same place twice.
    points.dedup();
    Polyline::new(points).map(|line| Contour { z_m: level_m, line, is_closed: keys.first() == keys.last() })
}

/// Where a level crosses, from the lower cell number to the higher one, so that both quads find the same place.
fn place(ground: &Grid, level_m: f64, key: Key) -> Point {
    let frame = ground.frame();
    let from = key / KEYS_A_CELL;
    let to = match key % KEYS_A_CELL {
        TO_EAST => from + 1,
        TO_SOUTH => from + frame.columns,
        _ => return frame.centre(frame.cell(from)),
    };
    let (from_z_m, to_z_m) = (ground.z_m()[from], ground.z_m()[to]);
    let share = (level_m - from_z_m) / (to_z_m - from_z_m);
    let (start, end) = (frame.centre(frame.cell(from)), frame.centre(frame.cell(to)));
    start.towards(end, share)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::Frame;

    fn frame(columns: usize, rows: usize, cell_m: f64) -> Frame {
        Frame { columns, rows, cell_m, west_m: -0.5 * cell_m, north_m: (rows as f64 - 0.5) * cell_m }
    }

    /// Whole heights from north to south; the south-western middle lies at (0, 0).
    fn raster(rows: &[&[i32]]) -> Grid {
        let z_m = rows.iter().flat_map(|row| row.iter().map(|z| f64::from(*z))).collect();
        Grid::new(frame(rows[0].len(), rows.len(), 1.0), z_m)
    }

    fn area_m2(contour: &Contour) -> f64 {
        let points = contour.line.points();
        0.5 * points.windows(2).map(|p| p[0].x_m * p[1].y_m - p[1].x_m * p[0].y_m).sum::<f64>()
    }

    /// The ring at a level of the cone z = r, its apex on the middle of the middle cell.
    fn ring(half: usize, cell_m: f64, level_m: f64) -> Contour {
        let side = 2 * half + 1;
        let apex = Point::new(half as f64 * cell_m, half as f64 * cell_m);
        let ground = Grid::from_fn(frame(side, side, cell_m), |p| Some(p.distance_m(apex)));
        let mut found = contours(&ground, &[level_m]);
        assert_eq!(found.len(), 1);
        found.remove(0)
    }

    /// Linear interpolation on the cone z = r puts every vertex on or inside the circle, as r is convex along a
    /// side. Two independent tracers of isolines give these digits; the circle has 2πr and πr².
    #[test]
    fn closed_form_cone() {
        let rows = [
            (10.3, 84, 64.679_69, 332.651_32, 10.288_857),
            (20.3, 164, 127.529_76, 1_293.985_73, 20.294_103),
            (50.3, 404, 316.036_59, 7_947.851_77, 50.297_558),
        ];
        for (level_m, vertices, length_m, area, nearest_m) in rows {
            let ring = ring(60, 1.0, level_m);
            assert!(ring.is_closed);
            assert_eq!(ring.line.points().len() - 1, vertices);
            assert!((ring.line.length_m() - length_m).abs() <= 0.5e-5, "{}", ring.line.length_m());
            assert!((area_m2(&ring).abs() - area).abs() <= 0.5e-5, "{}", area_m2(&ring));
            let radii = ring.line.points().iter().map(|p| p.distance_m(Point::new(60.0, 60.0)));
            let (low, high) =
                radii.fold((f64::INFINITY, 0.0_f64), |(low, high), r| (low.min(r), high.max(r)));
            assert!((low - nearest_m).abs() <= 0.5e-6, "{low}");
            // Rounding of coordinates near 110 m: 2⁻⁴⁷ m each.
            assert!((high - level_m).abs() <= 1e-13, "{high}");
        }
    }

    /// Halving the cell quarters what is missing of the area.
    #[test]
    fn closed_form_cone_converges() {
        let exact_m2 = std::f64::consts::PI * 20.3 * 20.3;
        for (half, cell_m, short, tolerance) in [
            (6, 4.0, 8.6e-3, 0.05e-3),
            (12, 2.0, 2.0e-3, 0.05e-3),
            (24, 1.0, 4.9e-4, 0.05e-4),
            (48, 0.5, 1.2e-4, 0.05e-4),
            (96, 0.25, 3.1e-5, 0.05e-5),
        ] {
            let found = 1.0 - area_m2(&ring(half, cell_m, 20.3)).abs() / exact_m2;
            assert!((found - short).abs() <= tolerance, "{cell_m}: {found}");
        }
    }

    /// Higher ground to the left: round a hill counter-clockwise, round a hollow clockwise.
    #[test]
    fn higher_ground_lies_to_the_left() {
        assert!(area_m2(&contours(&raster(&[&[0, 0, 0], &[0, 1, 0], &[0, 0, 0]]), &[0.5])[0]) > 0.0);
        assert!(area_m2(&ring(10, 1.0, 5.3)) < 0.0);
    }

    /// On 0.1x + 0.2y the contour 1.05 is x + 2y = 10.5: from (10, 0.25) at the eastern edge to (0, 5.25).
    #[test]
    fn closed_form_plane() {
        let ground = Grid::from_fn(frame(11, 11, 1.0), |p| Some(0.1 * p.x_m + 0.2 * p.y_m));
        let found = contours(&ground, &[1.05]);
        assert_eq!(found.len(), 1);
        assert!(!found[0].is_closed, "it ends at the edge");
        let points = found[0].line.points();
        // 11 crossings of north-south sides, one a column, and 5 of east-west sides.
        assert_eq!(points.len(), 16);
        for p in points {
            assert!((p.x_m + 2.0 * p.y_m - 10.5).abs() < 1e-13, "{p:?}");
        }
        let ends = [points[0], points[points.len() - 1]];
        assert!(ends.iter().any(|p| p.distance_m(Point::new(0.0, 5.25)) < 1e-13), "{ends:?}");
        assert!(ends.iter().any(|p| p.distance_m(Point::new(10.0, 0.25)) < 1e-13), "{ends:?}");
    }

    /// Both answers to a saddle are lawful; the mean of the corners chooses, and a level at the mean joins.
    #[test]
    fn saddles_go_by_their_middle() {
        let ground = raster(&[&[1, 0], &[0, 1]]);
        // Joined: each line cuts off one low corner; apart: one high corner.
        let low_corner =
            |c: &Contour| c.line.at(0.5 * c.line.length_m()).is_some_and(|p| (p.x_m - p.y_m).abs() < 1e-9);
        for (level_m, joined) in [(0.25, true), (0.5, true), (0.75, false)] {
            let found = contours(&ground, &[level_m]);
            assert_eq!(found.len(), 2);
            assert!(found.iter().all(|c| low_corner(c) == joined), "{level_m}");
        }
    }

    /// Heights just at the level: a lone summit and a crest leave nothing, a plateau is drawn once round.
    #[test]
    fn levels_at_middles() {
        let summit = raster(&[&[0, 0, 0], &[0, 1, 0], &[0, 0, 0]]);
        assert_eq!(contours(&summit, &[1.0]), []);
        let crest = raster(&[&[0, 0, 0], &[1, 1, 1], &[0, 0, 0]]);
        assert_eq!(contours(&crest, &[1.0]), []);
        let plateau = raster(&[&[0, 0, 0, 0], &[0, 1, 1, 0], &[0, 1, 1, 0], &[0, 0, 0, 0]]);
        let found = contours(&plateau, &[1.0]);
        assert_eq!(found.len(), 1);
        assert!(found[0].is_closed);
        assert_eq!(area_m2(&found[0]), 1.0);
        assert_eq!(found[0].line.length_m(), 4.0);
        let ramp = raster(&[&[0, 1, 2], &[0, 1, 2], &[0, 1, 2]]);
        let found = contours(&ramp, &[1.0]);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].line.length_m(), 2.0);
    }

    #[test]
    fn contours_stop_at_unknown_ground() {
        let mut z_m: Vec<f64> = (0..25).map(|i| f64::from(i / 5)).collect();
        z_m[12] = f64::NAN;
        let found = contours(&Grid::new(frame(5, 5, 1.0), z_m), &[1.5]);
        let mut spans: Vec<(f64, f64)> = found
            .iter()
            .map(|c| (c.line.points()[0].x_m, c.line.points()[c.line.points().len() - 1].x_m))
            .map(|(a, b)| (a.min(b), a.max(b)))
            .collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert_eq!(spans, [(0.0, 1.0), (3.0, 4.0)]);
    }

    /// A line that sets out from a corner at the level, runs a ring back to it and goes on: it once was cut there, and
    /// its rest began in the open, away from any edge.
    #[test]
    fn a_line_that_passes_its_own_start_is_not_cut() {
        let mut heights = vec![0.0; 42];
        for (index, z_m) in [(26, 3.0), (31, 2.0), (33, 2.0), (38, 2.0), (39, 2.0), (40, 2.0), (41, f64::NAN)]
        {
            heights[index] = z_m;
        }
        let ground = Grid::new(frame(7, 6, 1.0), heights);
        for contour in contours(&ground, &[2.0]).iter().filter(|contour| !contour.is_closed) {
            for end in [contour.line.points()[0], *contour.line.points().last().unwrap()] {
                let cell = ground.frame().cell_at(end).unwrap();
                assert!(ground.is_edge(ground.frame().index(cell)), "{end:?}");
            }
        }
    }

    #[test]
    fn levels_are_multiples_of_the_interval() {
        let ground = raster(&[&[-1, 0], &[1, 2]]);
        assert_eq!(contour_levels(&ground, 0.5), [-1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0]);
        assert!(contour_levels(&ground, 0.0).is_empty());
        let unknown = Grid::new(frame(1, 1, 1.0), vec![f64::NAN]);
        assert!(contour_levels(&unknown, 1.0).is_empty());
    }

    proptest! {
        /// On any raster of whole heights, at a level that many of them equal: no piece without length, none
        /// drawn twice, and an open line ends only at the edge or beside unknown ground.
        #[test]
        fn pieces_are_whole_and_single(
            heights in proptest::collection::vec(prop_oneof![9 => 0..4_i32, 1 => Just(-9)], 42),
            level_m in prop_oneof![Just(1.0), Just(2.0), Just(1.5)],
        ) {
            let z_m = heights.iter().map(|z| if *z < 0 { f64::NAN } else { f64::from(*z) }).collect();
            let ground = Grid::new(frame(7, 6, 1.0), z_m);
            let mut pieces = Vec::new();
            for contour in contours(&ground, &[level_m]) {
                for pair in contour.line.points().windows(2) {
                    prop_assert!(pair[0] != pair[1]);
                    let ends = [(pair[0].x_m, pair[0].y_m), (pair[1].x_m, pair[1].y_m)];
                    let (low, high) = if ends[0] < ends[1] { (ends[0], ends[1]) } else { (ends[1], ends[0]) };
                    prop_assert!(!pieces.contains(&(low, high)));
                    pieces.push((low, high));
                }
                let ends = [contour.line.points()[0], *contour.line.points().last().unwrap()];
                for end in ends {
                    let frame = ground.frame();
                    let beside_edge = (0..frame.len())
                        .filter(|i| frame.centre(frame.cell(*i)).distance_m(end) < 1.0)
                        .any(|i| ground.is_edge(i));
                    prop_assert!(contour.is_closed || beside_edge);
                }
            }
        }
    }
}
