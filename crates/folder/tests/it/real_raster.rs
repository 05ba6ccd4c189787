//! Real hills, in degrees and whole metres, through reading, walking and catchments.
//!
//! The raster is fixtures/jacksboro: public-domain SRTM heights of 3 arc-seconds, see its README.

use std::path::Path;

use folder::raster::{self, Wanted};
use ground::catchment::{Catchments, Ends, Hollows, LineCatchment, Metre};
use ground::walk::{HEIGHT_TOLERANCE_M, Stopped, Walk, Walked, walk};
use ground::{Grid, Point, Polyline, Surface};

const STEP_M: f64 = 2.0;
const LENGTH_M: f64 = 1000.0;

fn jacksboro() -> Grid {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/jacksboro/jacksboro_srtm3_int16.tif");
    raster::read(&path, &Wanted::default()).expect("the fixture is a good raster").grid
}

/// From places a third and two thirds across the raster: hillsides and valley floors as they come.
fn starts(surface: &Surface) -> Vec<Point> {
    let bounds = surface.bounds();
    let thirds = [1.0 / 3.0, 2.0 / 3.0];
    let at = |across: f64, up: f64| {
        Point::new(bounds.min_x_m + across * bounds.width_m(), bounds.min_y_m + up * bounds.height_m())
    };
    thirds.iter().flat_map(|across| thirds.map(|up| at(*across, up))).collect()
}

fn level_line(surface: &Surface, from: Point) -> Walked {
    let level =
        Walk { from, grade: 0.0, step_m: STEP_M, length_m: LENGTH_M, toward: None, stop_at: &[], jump: &[] };
    walk(surface, &level).expect("the start lies on the ground")
}

fn as_line(walked: &Walked) -> Polyline {
    Polyline::new(walked.pegs.iter().map(|peg| peg.at).collect()).expect("a walk of some length")
}

/// A kilometre of level line with a 2 m frame: every peg as high as the first, every leg one step, and the hill
/// on the left all the way. The hill is looked for a tenth of a step to either side of each leg's middle; where
/// bilinear ground bends along the leg its middle may lie off the level, but over a leg of 2 m in cells of some
/// 80 m by far less than it climbs across that distance, unless the ground is all but flat.
#[test]
fn a_level_line_on_real_hills() {
    let surface = Surface::Grid(jacksboro());
    for from in starts(&surface) {
        let walked = level_line(&surface, from);
        assert_eq!(walked.stopped, Stopped::LengthReached, "{from:?}");
        assert_eq!(walked.pegs.len(), 501);
        for legs in walked.pegs.windows(2) {
            let (a, b) = (legs[0].at, legs[1].at);
            assert!((legs[1].z_m - walked.pegs[0].z_m).abs() <= HEIGHT_TOLERANCE_M);
            assert!((a.distance_m(b) - STEP_M).abs() < 1e-9);
            if legs[0].slope < 0.02 {
                continue;
            }
            let middle = a.towards(b, 0.5);
            let (aside_x_m, aside_y_m) = (-(b.y_m - a.y_m) / 10.0, (b.x_m - a.x_m) / 10.0);
            let left_z_m = surface.z_m(Point::new(middle.x_m + aside_x_m, middle.y_m + aside_y_m));
            let right_z_m = surface.z_m(Point::new(middle.x_m - aside_x_m, middle.y_m - aside_y_m));
            assert!(left_z_m > right_z_m, "{middle:?}");
        }
    }
}

/// The land of the four lines, what leaves and what stays in hollows is all the land, to 1e-9 of it; metre by
/// metre the same; and the hill side of each line brings more than the valley side, which has at most the cells
/// that a line cuts across.
#[test]
fn catchments_on_real_hills() {
    let grid = jacksboro();
    let surface = Surface::Grid(grid.clone());
    let lines: Vec<Polyline> =
        starts(&surface).into_iter().map(|from| as_line(&level_line(&surface, from))).collect();
    for hollows in [Hollows::Full, Hollows::Keep] {
        let catchments = Catchments::new(&grid, &lines, hollows);
        let caught_m2: f64 = catchments.lines().iter().map(LineCatchment::area_m2).sum();
        let all_m2 = caught_m2 + catchments.leaving_m2() + catchments.staying_m2();
        let known_m2 = catchments.known_m2();
        assert!((all_m2 - known_m2).abs() <= 1e-9 * known_m2, "{all_m2} of {known_m2}");
        for line in catchments.lines() {
            let by_metres_m2: f64 = line.metres.iter().map(Metre::area_m2).sum();
            assert!((by_metres_m2 - line.area_m2()).abs() <= 1e-9 * line.area_m2());
            assert!(line.from_left_m2 > line.from_right_m2, "{hollows:?}: {line:?}");
        }
    }
}

/// A drop two cells straight up the slope from the middle of a line, which is a dozen cells long, runs into it;
/// what a line spills there goes on to another line or off the ground.
#[test]
fn water_finds_its_way_on_real_hills() {
    let grid = jacksboro();
    let surface = Surface::Grid(grid.clone());
    let lines: Vec<Polyline> =
        starts(&surface).into_iter().map(|from| as_line(&level_line(&surface, from))).collect();
    let catchments = Catchments::new(&grid, &lines, Hollows::Full);
    for (i, line) in lines.iter().enumerate() {
        let spill = catchments.downhill_path(line.at(LENGTH_M / 2.0).unwrap()).unwrap();
        assert!(spill.points.len() > 1 && spill.ends != Ends::Stays, "line {i}: {:?}", spill.ends);
    }
}
