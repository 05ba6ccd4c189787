//! Benchmarks of the raster kernels on ground of growing size, four times the cells at each step.
//!
//! Rough: a slope with ribs and 2 cm of noise on every cell of 0.1 m, so that half the cells lie in hollows, as
//! on a fine lidar raster. Smooth: the same without the noise.

use divan::{Bencher, black_box};
use ground::{FlowPaths, Frame, Grid, contour_levels, contours, fill, fill_draining, hillshade, hollows};

fn main() {
    divan::main();
}

/// Cells of the rasters; each is a square with a side of a power of two.
const CELLS: [usize; 3] = [1 << 16, 1 << 18, 1 << 20];

fn hillside(cells: usize, noise_m: f64) -> Grid {
    let side = cells.isqrt();
    let frame = Frame { columns: side, rows: side, cell_m: 0.1, west_m: 0.0, north_m: 0.1 * side as f64 };
    let z_m = (0..frame.len()).map(|index| {
        let at = frame.centre(frame.cell(index));
        0.12 * at.y_m + 0.3 * libm::sin(at.x_m / 1.7) + noise_m * scattered(index)
    });
    Grid::new(frame, z_m.collect())
}

/// A number from −1 to 1 that looks random and is the same on every machine: the finishing steps of splitmix64
/// (Steele, Lea and Flood 2014).
fn scattered(index: usize) -> f64 {
    let mut bits = (index as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^= bits >> 31;
    bits as f64 / u64::MAX as f64 * 2.0 - 1.0
}

const NOISE_M: f64 = 0.02;

#[divan::bench(name = "fill/rough", args = CELLS)]
fn fill_rough(bencher: Bencher, cells: usize) {
    let ground = hillside(cells, NOISE_M);
    bencher.with_inputs(|| ground.clone()).bench_values(fill);
}

#[divan::bench(name = "fill/smooth", args = CELLS)]
fn fill_smooth(bencher: Bencher, cells: usize) {
    let ground = hillside(cells, 0.0);
    bencher.with_inputs(|| ground.clone()).bench_values(fill);
}

#[divan::bench(name = "fill_draining/rough", args = CELLS)]
fn fill_draining_rough(bencher: Bencher, cells: usize) {
    let ground = hillside(cells, NOISE_M);
    bencher.with_inputs(|| ground.clone()).bench_values(fill_draining);
}

#[divan::bench(name = "hollows/rough", args = CELLS)]
fn hollows_rough(bencher: Bencher, cells: usize) {
    let ground = hillside(cells, NOISE_M);
    let filled = fill(ground.clone()).ground;
    let paths = FlowPaths::d8(&filled);
    bencher.bench(|| hollows(black_box(&ground), &filled, &paths));
}

#[divan::bench(name = "d8/rough", args = CELLS)]
fn d8(bencher: Bencher, cells: usize) {
    let filled = fill(hillside(cells, NOISE_M)).ground;
    bencher.bench(|| FlowPaths::d8(black_box(&filled)));
}

#[divan::bench(name = "d_infinity/rough", args = CELLS)]
fn d_infinity(bencher: Bencher, cells: usize) {
    let filled = fill(hillside(cells, NOISE_M)).ground;
    bencher.bench(|| FlowPaths::d_infinity(black_box(&filled)));
}

#[divan::bench(name = "area_d8/rough", args = CELLS)]
fn area_d8(bencher: Bencher, cells: usize) {
    let paths = FlowPaths::d8(&fill(hillside(cells, NOISE_M)).ground);
    bencher.bench(|| black_box(&paths).accumulate());
}

#[divan::bench(name = "area_d_infinity/rough", args = CELLS)]
fn area_d_infinity(bencher: Bencher, cells: usize) {
    let paths = FlowPaths::d_infinity(&fill(hillside(cells, NOISE_M)).ground);
    bencher.bench(|| black_box(&paths).accumulate());
}

#[divan::bench(name = "contours/smooth", args = CELLS)]
fn contours_smooth(bencher: Bencher, cells: usize) {
    let ground = hillside(cells, 0.0);
    let levels_m = contour_levels(&ground, 0.25);
    bencher.bench(|| contours(black_box(&ground), &levels_m));
}

#[divan::bench(name = "hillshade/smooth", args = CELLS)]
fn hillshade_smooth(bencher: Bencher, cells: usize) {
    let ground = hillside(cells, 0.0);
    bencher.bench(|| hillshade(black_box(&ground), 1.0));
}
