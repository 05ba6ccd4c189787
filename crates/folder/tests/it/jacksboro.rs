//! A real public elevation raster (see `fixtures/jacksboro/README.md`): whole metres, hills, 3 arc-seconds.

use std::fs::File;
use std::path::{Path, PathBuf};

use folder::raster::{Wanted, read};
use ground::{Cell, FlowPaths, Frame, Gradient, Grid, Way, fill, fill_draining, hollows, horn};
use tiff::decoder::{Decoder, DecodingResult};

const COLUMNS: usize = 403;
const ROWS: usize = 344;

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/jacksboro/jacksboro_srtm3_int16.tif")
}

/// The cells as they stand in the file, taken as squares of 1 m: it is in degrees, and bringing it to metres
/// would resample the whole numbers that the figures below are about.
fn cells() -> Grid {
    let file = File::open(path()).expect("the fixture is there");
    let mut decoder = Decoder::new(file).expect("the fixture is a TIFF");
    let DecodingResult::I16(heights) = decoder.read_image().expect("the fixture is whole") else {
        panic!("16-bit heights");
    };
    let frame = Frame { columns: COLUMNS, rows: ROWS, cell_m: 1.0, west_m: 0.0, north_m: 0.0 };
    Grid::new(frame, heights.into_iter().map(f64::from).collect())
}

#[test]
fn the_file_is_the_one_its_provenance_tells() {
    let ground = cells();
    assert_eq!(ground.z_m().iter().sum::<f64>(), 73_617_913.0);
    let z_m = |row, column| ground.cell_z_m(Cell { row, column });
    assert_eq!([z_m(0, 0), z_m(343, 402), z_m(172, 201)], [Some(483.0), Some(272.0), Some(583.0)]);
}

/// scikit-image 0.26 (reconstruction by erosion) and py-richdem 2.2.0rc3 (FillDepressions) both raise 6 373
/// cells by 34 124 m in total, the deepest by 32 m.
#[test]
fn filling_agrees_with_two_libraries() {
    let filled = fill(cells());
    assert_eq!((filled.raised_cells, filled.volume_m3, filled.deepest_m), (6373, 34_124.0, 32.0));
}

/// Cells lower than all their eight neighbours: 1 192.
#[test]
fn pits() {
    let ground = cells();
    let paths = FlowPaths::d8(&ground);
    let is_pit = |i: usize| {
        let lower = |d| ground.frame().neighbour(i, d).is_some_and(|n| ground.z_m()[n] > ground.z_m()[i]);
        !ground.is_edge(i) && (0..8).all(lower)
    };
    let pits: Vec<usize> = (0..ground.z_m().len()).filter(|i| is_pit(*i)).collect();
    assert_eq!(pits.len(), 1192);
    assert!(pits.iter().all(|i| paths.way(*i) == Way::Stays));
}

/// Once filled, all water leaves, over level places of thousands of cells too, whether they were filled level
/// or sloping; and the hollows that spill off hold what was filled.
#[test]
fn all_water_leaves() {
    let ground = cells();
    let filled = fill(ground.clone());
    for surface in [&filled.ground, &fill_draining(ground.clone()).ground] {
        for paths in [FlowPaths::d8(surface), FlowPaths::d_infinity(surface)] {
            let area = paths.accumulate();
            let leaving: f64 =
                (0..area.len()).filter(|i| paths.way(*i) == Way::Leaves).map(|i| area[i]).sum();
            // Sums of 138 632 cells in shares that are rounded to 2⁻⁵³.
            assert!((leaving - (COLUMNS * ROWS) as f64).abs() < 1e-6, "{leaving}");
        }
    }
    let found = hollows(&ground, &filled.ground, &FlowPaths::d8(&filled.ground));
    let outer = || found.iter().filter(|hollow| hollow.within.is_none());
    assert_eq!(outer().map(|hollow| hollow.volume_m3).sum::<f64>(), 34_124.0);
    assert_eq!(outer().map(|hollow| hollow.depth_m).fold(0.0, f64::max), 32.0);
}

/// Horn's slope with the true sides of a cell at the middle latitude, 36.589583° N: 3 arc-seconds are
/// 92.474979 m north and 74.573157 m east on the WGS 84 ellipsoid (PROJ's geodesic). The figures are means over
/// all cells with eight neighbours, worked out independently, and given to six decimals.
#[test]
fn slopes_with_unequal_sides() {
    let ground = cells();
    let slope = |row: usize, column: usize| -> Gradient {
        let line = |row: usize| {
            let at = row * COLUMNS + column - 1;
            [ground.z_m()[at], ground.z_m()[at + 1], ground.z_m()[at + 2]]
        };
        horn(&[line(row - 1), line(row), line(row + 1)], 74.573_157, 92.474_979)
    };
    let slopes: Vec<f64> = (1..ROWS - 1)
        .flat_map(|row| (1..COLUMNS - 1).map(move |column| (row, column)))
        .map(|(row, column)| slope(row, column).slope())
        .collect();
    let mean = slopes.iter().sum::<f64>() / slopes.len() as f64;
    let most = slopes.iter().fold(0.0_f64, |most, slope| most.max(*slope));
    assert!((mean - 0.231_623).abs() <= 0.5e-6, "{mean}");
    assert!((most - 0.684_783).abs() <= 0.5e-6, "{most}");
    let at = slope(172, 201);
    assert!((at.east + 0.013_410).abs() <= 0.5e-6 && (at.north + 0.208_164).abs() <= 0.5e-6, "{at:?}");
}

/// Read as a site would read it, it comes to metres and still drains as one piece of ground.
#[test]
fn brought_to_metres() {
    let raster = read(&path(), &Wanted::default()).unwrap();
    let filled = fill(raster.grid);
    let known = filled.ground.known().iter().filter(|known| **known).count();
    let paths = FlowPaths::d8(&filled.ground);
    let area = paths.accumulate();
    let leaving: f64 = (0..area.len()).filter(|i| paths.way(*i) == Way::Leaves).map(|i| area[i]).sum();
    assert_eq!(leaving, known as f64);
}
