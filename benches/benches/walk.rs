//! Benchmarks of surfaces, the level-line walk and catchments of lines, on hillsides made by formula.

use divan::{Bencher, black_box};
use ground::catchment::{Catchments, Hollows};
use ground::tin::Outline;
use ground::walk::{Walk, walk};
use ground::{Frame, Grid, Point, Point3, Polyline, Surface, Tin};

fn main() {
    divan::main();
}

/// Undulations of a hillside: ribs and hollows some 70 m wide on a slope of 12 %.
const RIB_M: f64 = 11.0;

fn hillside_z_m(p: Point) -> f64 {
    0.12 * p.y_m + 0.9 * libm::sin(p.x_m / RIB_M) + 0.4 * libm::sin((p.x_m + 2.0 * p.y_m) / (2.0 * RIB_M))
}

/// A square raster with 1 m cells, its middle at (0, 0).
fn hillside(cells: usize) -> Grid {
    let half_m = cells as f64 / 2.0;
    let frame = Frame { columns: cells, rows: cells, cell_m: 1.0, west_m: -half_m, north_m: half_m };
    Grid::from_fn(frame, |p| Some(hillside_z_m(p)))
}

/// A level line with pegs 2 m apart across most of a hillside, at most 1 km.
fn level_line(cells: usize) -> Walk<'static> {
    let side_m = cells as f64;
    Walk {
        from: Point::new(-0.4 * side_m, 0.0),
        grade: 0.0,
        step_m: 2.0,
        length_m: (0.7 * side_m).min(1000.0),
        toward: None,
        stop_at: &[],
        jump: &[],
    }
}

#[divan::bench(name = "walk/hillside", args = [1_000_000, 16_000_000])]
fn walk_hillside(bencher: Bencher, cells: usize) {
    let surface = Surface::Grid(hillside(cells.isqrt()));
    let level = level_line(cells.isqrt());
    bencher.bench(|| walk(black_box(&surface), black_box(&level)));
}

#[divan::bench(name = "catchments/hillside", args = [250_000, 1_000_000])]
fn catchments_hillside(bencher: Bencher, cells: usize) {
    let grid = hillside(cells.isqrt());
    let walked =
        walk(&Surface::Grid(grid.clone()), &level_line(cells.isqrt())).expect("it starts on the ground");
    let pegs = walked.pegs.iter().map(|peg| peg.at).collect();
    let lines = [Polyline::new(pegs).expect("more than one peg")];
    bencher.bench(|| Catchments::new(black_box(&grid), black_box(&lines), Hollows::Full));
}

#[divan::bench(name = "net/hillside", args = [10_000, 100_000])]
fn net_hillside(bencher: Bencher, points: u32) {
    // Multiples of 1/p and 1/p² with p³ = p + 1 spread evenly without rows.
    const P: f64 = 1.324_717_957_244_746;
    let share = |i: u32, by: f64| 1000.0 * (f64::from(i) / by).fract();
    let places: Vec<Point3> = (1..=points)
        .map(|i| {
            let p = Point::new(share(i, P), share(i, P * P));
            Point3 { x_m: p.x_m, y_m: p.y_m, z_m: hillside_z_m(p) }
        })
        .collect();
    bencher.bench(|| Tin::new(black_box(&places), &[], Outline::Peeled));
}
