use std::f64::consts::PI;

use proptest::prelude::*;

use super::*;

fn square(cells: usize, cell_m: f64) -> Frame {
    let half_m = cells as f64 * cell_m / 2.0;
    Frame { columns: cells, rows: cells, cell_m, west_m: -half_m, north_m: half_m }
}

fn raster(frame: Frame, height_m: impl Fn(Point) -> f64) -> Grid {
    Grid::from_fn(frame, |p| Some(height_m(p)))
}

fn line(points: &[(f64, f64)]) -> Polyline {
    Polyline::new(points.iter().map(|(x_m, y_m)| Point::new(*x_m, *y_m)).collect()).unwrap()
}

fn circle(r_m: f64) -> Polyline {
    let corner = |i: u32| {
        let (sin, cos) = libm::sincos(2.0 * PI * f64::from(i) / 360.0);
        Point::new(r_m * cos, r_m * sin)
    };
    Polyline::new((0..=360).map(corner).collect()).unwrap()
}

fn balance_m2(catchments: &Catchments) -> f64 {
    let caught_m2: f64 = catchments.lines().iter().map(LineCatchment::area_m2).sum();
    caught_m2 + catchments.leaving_m2() + catchments.staying_m2()
}

/// A plane that climbs northwards, 60 m square, and a level line along the middles of a row, whole metres long.
/// Water runs due south, so each metre gets the cells north of it, one column, and the line's own cell: 24 rows
/// of 1 m lie above y = 6. The next line, 10 m further down, gets the nine rows between.
#[test]
fn a_plane_and_the_strip_between_two_lines() {
    let plane = raster(square(60, 1.0), |p| 0.1 * p.y_m);
    let upper = line(&[(-10.0, 5.5), (10.0, 5.5)]);
    let lower = line(&[(10.0, -4.5), (-10.0, -4.5)]);
    let catchments = Catchments::new(&plane, &[upper, lower], Hollows::Keep);
    let [upper, lower] = catchments.lines() else { panic!("two lines") };
    // The cells of a line that begins on a side between two cells include the one it ends against.
    for metre in &upper.metres[..19] {
        assert!((metre.from_left_m2 - 24.0).abs() < 1e-9, "{metre:?}");
        assert!((metre.own_m2 - 1.0).abs() < 1e-9 && metre.from_right_m2 == 0.0, "{metre:?}");
    }
    // Walked westwards, uphill is on the right.
    for metre in &lower.metres[1..] {
        assert!((metre.from_right_m2 - 9.0).abs() < 1e-9, "{metre:?}");
        assert_eq!(metre.from_left_m2, 0.0);
    }
    assert!(upper.comes_from.unwrap().azimuth_deg() < 1e-9, "from the north");
    assert!((balance_m2(&catchments) - 3600.0).abs() < 1e-9 * 3600.0);
}

/// The same on a plane that falls 25° off the axes, with a level line square to the fall and an upper edge of the
/// ground 40 m above it and parallel to it. Each metre of the line gets 40 m². Cells at the edge and at the line
/// are whole, so that the length is out by up to half a cell's diagonal at either end. D∞ spreads water to the
/// side by a few cells over this length; what one metre loses another gains, so the sum over the middle third,
/// 20 m, is what is compared.
#[test]
fn a_slanting_plane() {
    let (sin, cos) = libm::sincos(25.0_f64.to_radians());
    // Uphill is (sin, cos): 25° east of north.
    let up_m = |p: Point| p.x_m * sin + p.y_m * cos;
    let plane = Grid::from_fn(square(240, 0.5), |p| (up_m(p) <= 40.0).then_some(0.08 * up_m(p)));
    let swale = line(&[(-30.0 * cos, 30.0 * sin), (30.0 * cos, -30.0 * sin)]);
    let catchments = Catchments::new(&plane, &[swale], Hollows::Keep);
    let third = &catchments.lines()[0].metres[20..40];
    let mean_m2: f64 = third.iter().map(Metre::area_m2).sum::<f64>() / 20.0;
    let cell_diagonal_m = 0.5 * 2.0_f64.sqrt();
    assert!((mean_m2 - 40.0).abs() <= cell_diagonal_m, "{mean_m2}");
    assert!(third.iter().all(|metre| metre.from_right_m2 == 0.0));
    let azimuth_deg = catchments.lines()[0].comes_from.unwrap().azimuth_deg();
    assert!((azimuth_deg - 25.0).abs() < 0.01, "{azimuth_deg}");
}

/// Spreading: the top of a cone inside a circle of radius r is π·r² over 2π·r of line, r/2 a metre. Gathering: a
/// bowl inside a ring from R down to r gives π(R² − r²) over 2π·r, (R² − r²)/2r a metre. Round the circle the
/// cells of the line are caught whole, half a cell inside and half outside of it in the mean, so the land of a
/// metre is out by less than half a cell's diagonal; single metres differ by what D∞ spreads: for single cells
/// of cones of this size its standard deviation is 12 % spreading and 9 % gathering, and a metre joins two cells.
#[test]
fn cones_spread_and_gather() {
    let (r_m, outer_m, cell_m) = (30.0, 55.0, 0.5);
    for (sign, expected_m2) in [(-1.0, r_m / 2.0), (1.0, (outer_m * outer_m - r_m * r_m) / (2.0 * r_m))] {
        let cone = Grid::from_fn(square(241, cell_m), |p| {
            let from_top_m = p.distance_m(Point::new(0.0, 0.0));
            (from_top_m <= outer_m).then_some(100.0 + sign * 0.1 * from_top_m)
        });
        let catchments = Catchments::new(&cone, &[circle(r_m)], Hollows::Keep);
        let ring = &catchments.lines()[0];
        let mean_m2 = ring.area_m2() / (2.0 * PI * r_m);
        assert!((mean_m2 - expected_m2).abs() <= cell_m / 2.0_f64.sqrt(), "{mean_m2} against {expected_m2}");
        let whole = &ring.metres[..ring.metres.len() - 1];
        let squares = whole.iter().map(|m| (m.area_m2() / mean_m2 - 1.0) * (m.area_m2() / mean_m2 - 1.0));
        let sd = (squares.sum::<f64>() / whole.len() as f64).sqrt();
        assert!(sd < 0.13, "{sd}");
        // Walked counter-clockwise the inside is on the left.
        let (inside_m2, outside_m2) = (ring.from_left_m2, ring.from_right_m2);
        assert!(if sign < 0.0 { outside_m2 == 0.0 } else { inside_m2 == 0.0 });
        assert!((balance_m2(&catchments) - catchments.known_m2()).abs() < 1e-9 * catchments.known_m2());
    }
}

/// The fall is 20° off the grid; the path stays within a cell of the straight way down, where going to the
/// nearest neighbour would drift off by tan 20° of 110 m, 40 m. The drift it carries is at most half of what the
/// two neighbours differ by, (sin 20° + √2 · sin 25°) / 2 = 0.47 cells. At the edge of the ground it has no
/// triangle to see the fall from and is not compared.
#[test]
fn downhill_path_does_not_drift() {
    let (sin, cos) = libm::sincos(20.0_f64.to_radians());
    let plane = raster(square(121, 1.0), |p| -0.1 * (p.x_m * cos + p.y_m * sin));
    let catchments = Catchments::new(&plane, &[], Hollows::Keep);
    let path = catchments.downhill_path(Point::new(-50.0, -30.0)).unwrap();
    assert_eq!(path.ends, Ends::Leaves);
    let inner: Vec<&Point> = path.points.iter().filter(|point| point.x_m < 59.5).collect();
    assert!(inner.len() > 100);
    for point in inner {
        let off_m = -(point.x_m + 50.0) * sin + (point.y_m + 30.0) * cos;
        assert!(off_m.abs() <= 0.48, "{point:?} is {off_m} m off");
    }
    assert!((path.points[path.points.len() - 1].x_m - 60.0).abs() < 1e-9);
}

/// From above it ends at the upper line; from the upper line it is that line's spill, and ends at the lower.
#[test]
fn paths_end_at_lines() {
    let plane = raster(square(60, 1.0), |p| 0.1 * p.y_m);
    let lines = [line(&[(-10.0, 5.5), (10.0, 5.5)]), line(&[(-10.0, -4.5), (10.0, -4.5)])];
    let catchments = Catchments::new(&plane, &lines, Hollows::Keep);
    let ends = |x_m, y_m| catchments.downhill_path(Point::new(x_m, y_m)).map(|path| path.ends);
    assert_eq!(ends(3.2, 20.0), Some(Ends::Line(0)));
    assert_eq!(ends(3.2, 5.5), Some(Ends::Line(1)));
    assert_eq!(ends(3.2, -4.5), Some(Ends::Leaves));
    assert_eq!(ends(13.2, 20.0), Some(Ends::Leaves), "past the end of both");
    assert_eq!(ends(33.2, 20.0), None, "off the ground");
}

/// A hollow in the way keeps its water, or is full and passes it on. A bowl, r²/100, in the middle of a plane that
/// climbs northwards; from its sill at the foot the water leaves to the south, from the pit it cannot.
#[test]
fn a_hollow_keeps_its_water_or_is_full() {
    let bowl = raster(square(21, 1.0), |p| (0.01 * (p.x_m * p.x_m + p.y_m * p.y_m)).min(0.25) + 0.01 * p.y_m);
    let from = Point::new(1.2, 2.1);
    let keeping = Catchments::new(&bowl, &[], Hollows::Keep);
    assert!(keeping.staying_m2() > 25.0);
    assert_eq!(keeping.downhill_path(from).unwrap().ends, Ends::Stays);
    let full = Catchments::new(&bowl, &[], Hollows::Full);
    assert_eq!((full.staying_m2(), full.downhill_path(from).unwrap().ends), (0.0, Ends::Leaves));
    assert!((balance_m2(&full) - 441.0).abs() < 1e-9 * 441.0);
}

/// A line through a bowl gets all that drains into it: the bowl is not filled past the line.
#[test]
fn a_line_empties_the_hollow_it_runs_through() {
    let bowl = raster(square(21, 1.0), |p| 0.01 * (p.x_m * p.x_m + p.y_m * p.y_m));
    let beside = line(&[(3.2, -2.0), (3.2, 2.0)]);
    let catchments = Catchments::new(&bowl, &[beside], Hollows::Full);
    assert!((catchments.lines()[0].area_m2() - 441.0).abs() < 1e-9 * 441.0);
    assert_eq!(catchments.leaving_m2(), 0.0);
}

/// A line off the ground, or on unknown ground, gets nothing and is no sink.
#[test]
fn a_line_off_the_ground_gets_nothing() {
    let plane = raster(square(20, 1.0), |p| 0.1 * p.y_m);
    let catchments = Catchments::new(&plane, &[line(&[(50.0, 0.0), (60.0, 0.0)])], Hollows::Keep);
    assert_eq!(catchments.lines()[0].area_m2(), 0.0);
    assert_eq!(catchments.lines()[0].comes_from, None);
    assert_eq!(catchments.lines()[0].metres.len(), 10);
    assert!((catchments.leaving_m2() - 400.0).abs() < 1e-9 * 400.0);
}

fn uneven(p: Point) -> f64 {
    0.09 * p.y_m + 0.6 * libm::sin(p.x_m / 7.0 + 0.3) + 0.5 * libm::sin((p.x_m + 2.0 * p.y_m) / 13.0)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Nothing is lost, wherever the lines run; and no metre of a line gets what the line does not.
    #[test]
    fn all_land_drains_somewhere(ends in prop::collection::vec((-35.0..35.0, -35.0..35.0), 4..9)) {
        let ground = raster(square(60, 1.0), uneven);
        let lines: Vec<Polyline> = ends.windows(2).step_by(2).map(line).collect();
        for hollows in [Hollows::Full, Hollows::Keep] {
            let catchments = Catchments::new(&ground, &lines, hollows);
            prop_assert!((balance_m2(&catchments) - 3600.0).abs() < 1e-9 * 3600.0);
            prop_assert!(hollows == Hollows::Keep || catchments.staying_m2() == 0.0);
            for line in catchments.lines() {
                let by_metres: f64 = line.metres.iter().map(Metre::area_m2).sum();
                prop_assert!((by_metres - line.area_m2()).abs() < 1e-9 * 3600.0);
            }
        }
    }

    /// Turned by a quarter, the ground gives the same catchments; sides stay sides. The middles of cells turn onto
    /// each other, but a line through a corner of cells does not, and hardly any random line is one.
    #[test]
    fn turned_ground_drains_alike(x_m in -20.0..20.0, y_m in -20.0..20.0, dx_m in -9.0..9.0, dy_m in -9.0..9.0) {
        let (a, b) = ((x_m, y_m), (x_m + dx_m, y_m + dy_m));
        let turn = |p: (f64, f64)| (-p.1, p.0);
        let plain = Catchments::new(&raster(square(60, 1.0), uneven), &[line(&[a, b])], Hollows::Keep);
        let turned_ground = raster(square(60, 1.0), |p| uneven(Point::new(p.y_m, -p.x_m)));
        let turned = Catchments::new(&turned_ground, &[line(&[turn(a), turn(b)])], Hollows::Keep);
        let (plain, turned) = (&plain.lines()[0], &turned.lines()[0]);
        prop_assert!((plain.from_left_m2 - turned.from_left_m2).abs() < 1e-6);
        prop_assert!((plain.from_right_m2 - turned.from_right_m2).abs() < 1e-6);
        prop_assert!((plain.own_m2 - turned.own_m2).abs() < 1e-9);
    }
}
