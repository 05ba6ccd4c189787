//! The ground as the map paints it: relief, contours and the ways water gathers, each made once.
//!
//! Coded for a browser: little-endian, heights and places as 32-bit floats, which tell a hillside of kilometres to the
//! millimetre. Numbers to be read go as text beside it, never through these.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use ground::{FlowPaths, Grid, Point, Surface, contour_levels, contours, fill_draining, hillshade};

/// Version of the codings.
const VERSION: u32 = 1;
/// Cells of the picture of a net of points, m.
const NET_CELL_M: f64 = 1.0;
/// Gentle ground shows better with its heights raised; a drawing's choice, no source.
const EXAGGERATION: f64 = 2.0;
/// Corners of contours that a map is given at most: more are not seen and slow the hand (stroking 50 000 takes about
/// 10 ms in a browser, measured).
const MOST_CORNERS: usize = 50_000;
/// Contours are thinned by so much, m: less than a pixel at any useful scale.
const THINNED_BY_M: f64 = 0.05;
/// Ways of water are drawn from where so much ground drains, m²: a few times what a swale of one person's digging
/// takes. A drawing's choice, no source.
const LEAST_DRAINED_M2: f64 = 400.0;
/// Contour sets kept.
const MOST_SETS: usize = 8;

/// Pictures of one ground.
#[derive(Default)]
pub struct Pictures {
    grid: OnceLock<Arc<Grid>>,
    relief: OnceLock<Vec<u8>>,
    flow: OnceLock<Vec<u8>>,
    contours: Mutex<Vec<(f64, ContourSet)>>,
}

/// Contours as a map takes them.
#[derive(Clone)]
pub struct ContourSet {
    /// How far apart they stand.
    pub interval_m: f64,
    /// The lines.
    pub bytes: Arc<Vec<u8>>,
}

impl Pictures {
    fn grid(&self, surface: &Surface) -> Arc<Grid> {
        Arc::clone(self.grid.get_or_init(|| Arc::new(surface.to_grid(NET_CELL_M))))
    }

    /// Light and shade, a byte a cell from the north-west; 0 where nothing is known.
    pub fn relief(&self, surface: &Surface) -> &[u8] {
        self.relief.get_or_init(|| relief(&self.grid(surface)))
    }

    /// Contours so far apart, or as much further as keeps them few enough for a map.
    pub fn contours(&self, surface: &Surface, wanted_m: f64) -> ContourSet {
        let mut sets = self.contours.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, set)) = sets.iter().find(|(wanted, _)| *wanted == wanted_m) {
            return set.clone();
        }
        let set = contour_set(&self.grid(surface), wanted_m);
        if sets.len() >= MOST_SETS {
            sets.remove(0);
        }
        sets.push((wanted_m, set.clone()));
        set
    }

    /// Ways of water over the ground, with the ground they drain.
    pub fn flow(&self, surface: &Surface) -> &[u8] {
        self.flow.get_or_init(|| flow_bytes(&self.grid(surface)))
    }
}

fn head(magic: &[u8; 4], numbers: &[u32]) -> Vec<u8> {
    let mut bytes = magic.to_vec();
    for number in [&[VERSION], numbers].concat() {
        bytes.extend(number.to_le_bytes());
    }
    bytes
}

fn push_m(bytes: &mut Vec<u8>, metres: f64) {
    bytes.extend((metres as f32).to_le_bytes());
}

fn relief(grid: &Grid) -> Vec<u8> {
    let frame = grid.frame();
    let mut bytes = head(b"HSGR", &[frame.columns as u32, frame.rows as u32]);
    let bounds = frame.bounds();
    for metres in [bounds.min_x_m, bounds.min_y_m, frame.cell_m] {
        push_m(&mut bytes, metres);
    }
    let shade = hillshade(grid, EXAGGERATION);
    // Brightness runs from 0 to 1; 0 stands for no ground, so what is dark begins at 1.
    let byte =
        |shade: &Option<f64>| shade.map_or(0, |light| 1 + (light.clamp(0.0, 1.0) * 254.0).round() as u8);
    bytes.extend(shade.iter().map(byte));
    bytes
}

/// Traced lines with a value each.
fn traced(magic: &[u8; 4], lines: &[(f64, Vec<Point>)]) -> Vec<u8> {
    let mut bytes = head(magic, &[lines.len() as u32]);
    for (value, points) in lines {
        push_m(&mut bytes, *value);
        bytes.extend((points.len() as u32).to_le_bytes());
        for point in points {
            push_m(&mut bytes, point.x_m);
            push_m(&mut bytes, point.y_m);
        }
    }
    bytes
}

fn contour_set(grid: &Grid, wanted_m: f64) -> ContourSet {
    let mut interval_m = wanted_m;
    loop {
        if let Some(lines) = few_enough(grid, interval_m) {
            return ContourSet { interval_m, bytes: Arc::new(traced(b"HSCO", &lines)) };
        }
        interval_m *= 2.0;
    }
}

/// The contours with their heights; none where they have more corners than a map can show.
fn few_enough(grid: &Grid, interval_m: f64) -> Option<Vec<(f64, Vec<Point>)>> {
    let levels_m = contour_levels(grid, interval_m);
    let mut lines = Vec::new();
    let mut corners = 0;
    for level_m in levels_m {
        for contour in contours(grid, &[level_m]) {
            let points = thinned(contour.line.points(), THINNED_BY_M);
            corners += points.len();
            lines.push((contour.z_m, points));
        }
        if corners > MOST_CORNERS {
            return None;
        }
    }
    Some(lines)
}

/// A line without the corners that lie within a distance of the line through those that stay (Douglas and Peucker 1973,
/// The Canadian Cartographer 10(2), 112–122).
fn thinned(points: &[Point], within_m: f64) -> Vec<Point> {
    let mut keep = vec![false; points.len()];
    let mut stretches = vec![(0, points.len().saturating_sub(1))];
    while let Some((first, last)) = stretches.pop() {
        keep[first] = true;
        keep[last] = true;
        let furthest = (first + 1..last)
            .map(|i| (i, off_m(points[i], points[first], points[last])))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((i, off)) = furthest.filter(|(_, off)| *off > within_m) {
            stretches.push((first, i));
            stretches.push((i, last));
            debug_assert!(off.is_finite());
        }
    }
    points.iter().zip(keep).filter(|(_, keep)| *keep).map(|(point, _)| *point).collect()
}

/// Distance of a place from the straight line between two others.
fn off_m(p: Point, a: Point, b: Point) -> f64 {
    let length_m = a.distance_m(b);
    if length_m == 0.0 {
        return p.distance_m(a);
    }
    ((b.x_m - a.x_m) * (p.y_m - a.y_m) - (b.y_m - a.y_m) * (p.x_m - a.x_m)).abs() / length_m
}

/// From each place where enough ground has gathered, the way down to the next that is drawn already.
fn flow_bytes(grid: &Grid) -> Vec<u8> {
    let filled = fill_draining(grid.clone()).ground;
    let paths = FlowPaths::d8(&filled);
    let cells = paths.accumulate();
    let cell_m2 = grid.frame().cell_m * grid.frame().cell_m;
    let mut starts: Vec<usize> =
        (0..cells.len()).filter(|i| cells[*i] * cell_m2 >= LEAST_DRAINED_M2).collect();
    // From the divides down: the longest way is drawn whole, others end where they join.
    starts.sort_by(|a, b| cells[*a].total_cmp(&cells[*b]).then(a.cmp(b)));
    let mut drawn = vec![false; cells.len()];
    let mut lines = Vec::new();
    for start in starts {
        if drawn[start] {
            continue;
        }
        let mut points = Vec::new();
        let mut at = Some(start);
        let mut most = 0.0_f64;
        while let Some(index) = at {
            points.push(grid.frame().centre(grid.frame().cell(index)));
            if drawn[index] {
                break;
            }
            drawn[index] = true;
            most = most.max(cells[index] * cell_m2);
            at = paths.receivers(index).next().map(|to| to.index);
        }
        if points.len() > 1 {
            lines.push((most, thinned(&points, 0.5 * grid.frame().cell_m)));
        }
    }
    traced(b"HSFL", &lines)
}

#[cfg(test)]
mod tests {
    use ground::Frame;

    use super::*;

    fn valley() -> Surface {
        let frame = Frame { columns: 40, rows: 60, cell_m: 1.0, west_m: 100.0, north_m: 80.0 };
        Surface::Grid(Grid::from_fn(frame, |p| Some(0.1 * (p.x_m - 120.0).abs() + 0.05 * p.y_m)))
    }

    fn number(bytes: &[u8], at: usize) -> u32 {
        u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap())
    }

    #[test]
    fn relief_is_a_byte_a_cell_behind_its_head() {
        let pictures = Pictures::default();
        let bytes = pictures.relief(&valley());
        assert_eq!(&bytes[..4], b"HSGR");
        assert_eq!((number(bytes, 8), number(bytes, 12)), (40, 60));
        assert_eq!(f32::from_le_bytes(bytes[20..24].try_into().unwrap()), 20.0, "south edge");
        assert_eq!(bytes.len(), 28 + 40 * 60);
        assert!(bytes[28..].iter().all(|light| *light > 0));
    }

    #[test]
    fn contours_and_ways_of_water_end_where_they_say() {
        let pictures = Pictures::default();
        for bytes in [pictures.contours(&valley(), 0.5).bytes.to_vec(), pictures.flow(&valley()).to_vec()] {
            let mut at = 12;
            for _ in 0..number(&bytes, 8) {
                let count = number(&bytes, at + 4) as usize;
                assert!(count > 1);
                at += 8 + 8 * count;
            }
            assert_eq!(at, bytes.len());
            assert!(number(&bytes, 8) > 0, "{}", String::from_utf8_lossy(&bytes[..4]));
        }
    }

    #[test]
    fn thinning_keeps_corners_and_drops_what_is_straight() {
        let bent: Vec<Point> = (0..10).map(|i| Point::new(f64::from(i), f64::from((i - 5).max(0)))).collect();
        let places: Vec<(f64, f64)> = thinned(&bent, 0.01).iter().map(|p| (p.x_m, p.y_m)).collect();
        assert_eq!(places, [(0.0, 0.0), (5.0, 0.0), (9.0, 4.0)]);
    }
}
