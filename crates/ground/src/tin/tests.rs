use proptest::prelude::*;

use super::*;
use crate::Surface;

fn p3(x_m: f64, y_m: f64, z_m: f64) -> Point3 {
    Point3 { x_m, y_m, z_m }
}

/// Scattered places in a square of 100 m: multiples of 1/p and 1/p² of it with p³ = p + 1, which spread evenly
/// without rows (300 of them: nearest neighbours 4.02 to 6.79 m apart).
fn scattered(n: usize, height_m: impl Fn(f64, f64) -> f64) -> Vec<Point3> {
    const P: f64 = 1.324_717_957_244_746;
    let share = |i: usize, by: f64| 100.0 * (i as f64 / by).fract();
    (1..=n)
        .map(|i| {
            let (x_m, y_m) = (share(i, P), share(i, P * P));
            p3(x_m, y_m, height_m(x_m, y_m))
        })
        .collect()
}

fn net(points: &[Point3]) -> Tin {
    Tin::new(points, &[], Outline::Peeled).unwrap()
}

/// Triangles are flat, so a plane comes out exactly: heights below 16 m have an ulp of 2e-15 m, and three
/// products and their sum round four times. The same in coordinates of a national grid, where the places
/// themselves round to 1e-9 m, which on this slope is 5e-11 m.
#[test]
fn exact_on_a_plane() {
    for (east_m, north_m, tolerance_m) in [(0.0, 0.0, 2e-14), (3_500_000.0, 5_400_000.0, 2e-10)] {
        let plane = |x: f64, y: f64| 3.0 + 0.05 * x - 0.02 * y;
        let points: Vec<Point3> =
            scattered(300, plane).into_iter().map(|p| p3(p.x_m + east_m, p.y_m + north_m, p.z_m)).collect();
        let tin = net(&points);
        for i in 0..400 {
            let (x, y) = (10.0 + 4.0 * (i % 20) as f64, 10.0 + 4.0 * (i / 20) as f64);
            let at = Point::new(x + east_m, y + north_m);
            let z_m = tin.z_m(at).unwrap();
            assert!((z_m - plane(x, y)).abs() <= tolerance_m, "{at:?}: {z_m}");
            let gradient = tin.gradient(at).unwrap();
            // A triangle here is metres wide: 1e-9 m of place over its smallest height of decimetres.
            assert!((gradient.east - 0.05).abs() < 1e-7 && (gradient.north + 0.02).abs() < 1e-7);
        }
    }
}

#[test]
fn a_point_keeps_its_height() {
    let points = scattered(200, |x, y| 0.001 * (x * x + y * y));
    let tin = net(&points);
    for point in &points {
        if let Some(z_m) = tin.z_m(point.plan()) {
            assert_eq!(z_m, point.z_m);
        }
    }
    let seen = points.iter().filter(|p| tin.z_m(p.plan()).is_some()).count();
    assert_eq!(seen, 200, "no point was peeled away");
}

/// Two slopes meet in a valley along x = 50; the points stand at 0, 45, 55 and 100, so that without a breakline
/// the triangles span the bed at the height of its sides. With it, the bed is as measured.
#[test]
fn a_breakline_keeps_the_bed() {
    let valley = |x: f64| 0.1 * (x - 50.0).abs();
    let mut points = Vec::new();
    for y in 0..=10 {
        for x_m in [0.0, 45.0, 55.0, 100.0] {
            points.push(p3(x_m, 10.0 * y as f64, valley(x_m)));
        }
    }
    let bed = vec![vec![p3(50.0, 0.0, 0.0), p3(50.0, 100.0, 0.0)]];
    let without = net(&points);
    let with = Tin::new(&points, &bed, Outline::Peeled).unwrap();
    let middle = Point::new(50.0, 47.0);
    assert_eq!(without.z_m(middle), Some(0.5));
    assert_eq!(with.z_m(middle), Some(0.0));
    for x_m in [47.0, 49.0, 50.5, 53.0] {
        let z_m = with.z_m(Point::new(x_m, 47.0)).unwrap();
        assert!((z_m - valley(x_m)).abs() < 1e-14, "{x_m}: {z_m}");
    }
}

/// Two breaklines cross in the middle of a square, one at height 0 and one rising from 0 to 2: the later one's
/// height, 1, is used and the disagreement, 1, is told.
#[test]
fn crossing_breaklines_are_split_and_told() {
    let points = [p3(0.0, 0.0, 0.0), p3(10.0, 0.0, 0.0), p3(10.0, 10.0, 2.0), p3(0.0, 10.0, 0.0)];
    let lines =
        vec![vec![p3(10.0, 0.0, 0.0), p3(0.0, 10.0, 0.0)], vec![p3(0.0, 0.0, 0.0), p3(10.0, 10.0, 2.0)]];
    let tin = Tin::new(&points, &lines, Outline::Peeled).unwrap();
    let [crossing] = tin.crossings() else { panic!("{:?}", tin.crossings()) };
    assert_eq!((crossing.at, crossing.disagreement_m), (p3(5.0, 5.0, 1.0), 1.0));
    assert_eq!(tin.z_m(Point::new(5.0, 5.0)), Some(1.0));
    assert_eq!(tin.z_m(Point::new(2.5, 2.5)), Some(0.5));
}

/// A crossroads of eighty breaklines in the coordinates of a national grid: every crossing is split.
#[test]
fn many_crossings_in_large_coordinates() {
    let (east_m, north_m) = (3_500_000.0, 5_400_000.0);
    let points: Vec<Point3> =
        scattered(200, |_, _| 7.0).iter().map(|p| p3(p.x_m + east_m, p.y_m + north_m, 7.0)).collect();
    let mut lines = Vec::new();
    for i in 0..40 {
        let along_m = 1.3 + 2.41 * f64::from(i);
        let at = |x: f64, y: f64| p3(east_m + x, north_m + y, 7.0);
        lines.push(vec![at(along_m, 0.3), at(along_m, 99.1)]);
        lines.push(vec![at(0.7, along_m), at(98.9, along_m)]);
    }
    let tin = Tin::new(&points, &lines, Outline::Peeled).unwrap();
    assert_eq!(tin.crossings().len(), 1600);
    assert!(tin.crossings().iter().all(|c| c.disagreement_m < 1e-9));
    // A crossing's corner lies on both lines only to the rounding of its place, so a corner may sit a nanometre
    // beyond the edge it splits; the heights are all 7 m.
    for i in 0..2500 {
        let at =
            Point::new(east_m + 10.0 + 1.6 * f64::from(i % 50), north_m + 10.0 + 1.6 * f64::from(i / 50));
        let z_m = tin.z_m(at).unwrap();
        assert!((z_m - 7.0).abs() < 1e-14, "{at:?}: {z_m}");
    }
}

/// An L of places a metre apart, arms 20 m long and 4 m wide. The hull spans the corner between the arms;
/// nobody measured there. The longest edges are diagonals of a metre square, so 2·√2 m is the limit.
#[test]
fn no_ground_in_the_bay_of_an_l() {
    let mut points = Vec::new();
    for x in 0..=20 {
        for y in 0..=20 {
            if x <= 4 || y <= 4 {
                points.push(p3(f64::from(x), f64::from(y), 1.0));
            }
        }
    }
    let bay = Point::new(10.0, 8.0);
    let tin = net(&points);
    assert_eq!(tin.z_m(bay), None);
    assert!(tin.peeled() > 0);
    for arm in [(2.5, 18.5), (18.5, 2.5), (3.9, 3.9), (0.0, 20.0), (20.0, 4.0)] {
        assert_eq!(tin.z_m(Point::new(arm.0, arm.1)), Some(1.0), "{arm:?}");
    }
    let whole =
        Polygon::new(vec![Point::new(-1.0, -1.0), Point::new(21.0, -1.0), Point::new(-1.0, 21.0)]).unwrap();
    let given = Tin::new(&points, &[], Outline::Given(whole)).unwrap();
    assert_eq!(given.z_m(bay), Some(1.0), "the surveyor answers for it");
    assert_eq!(given.z_m(Point::new(19.0, 3.0)), None, "outside the given area");
}

#[test]
fn no_ground_outside_the_hull() {
    let tin = net(&[p3(0.0, 0.0, 1.0), p3(10.0, 0.0, 1.0), p3(0.0, 10.0, 1.0)]);
    assert_eq!(tin.z_m(Point::new(5.0, 5.0)), Some(1.0), "on the edge");
    assert_eq!(tin.z_m(Point::new(5.001, 5.0)), None);
    assert_eq!(tin.z_m(Point::new(f64::NAN, 5.0)), None);
}

#[test]
fn every_place_with_two_heights_is_listed() {
    let points = [
        p3(0.0, 0.0, 1.0),
        p3(10.0, 0.0, 1.0),
        p3(0.0, 10.0, 1.0),
        p3(10.0, 0.0, 1.4),
        p3(0.0005, 10.0, 1.0),
        p3(0.0, 0.0, 0.9),
    ];
    let TinError::SamePlace(list) = Tin::new(&points, &[], Outline::Peeled).unwrap_err() else {
        panic!("not told")
    };
    let pairs: Vec<(Measured, Measured)> = list.iter().map(|d| (d.first, d.second)).collect();
    let point = Measured::Point;
    assert_eq!(pairs, [(point(1), point(3)), (point(0), point(5))]);
    let message = TinError::SamePlace(list).to_string();
    assert!(message.contains("point no. 2 and point no. 4 at (10, 0): 1 m and 1.4 m"), "{message}");
    let agreeing = &points[..3];
    let twice: Vec<Point3> = agreeing.iter().chain(agreeing).copied().collect();
    assert_eq!(net(&twice).merged(), 3);
}

#[test]
fn refuses_what_is_no_surface() {
    let refuse = |points: &[Point3]| Tin::new(points, &[], Outline::Peeled).unwrap_err();
    assert_eq!(refuse(&[]), TinError::TooFew { found: 0 });
    assert_eq!(refuse(&[p3(1.0, 2.0, 3.0)]), TinError::TooFew { found: 1 });
    let row: Vec<Point3> = (0..20).map(|i| p3(0.1 * f64::from(i), 0.3 * f64::from(i), 1.0)).collect();
    assert!(matches!(refuse(&row), TinError::InARow { width_m } if width_m < 1e-9));
    let bad = [p3(0.0, 0.0, 0.0), p3(1.0, f64::NAN, 0.0), p3(1e308, 0.0, 0.0)];
    assert_eq!(refuse(&bad), TinError::NotOnEarth(Measured::Point(1)));
    let short = Tin::new(&row, &[vec![row[0]]], Outline::Peeled).unwrap_err();
    assert_eq!(short, TinError::ShortBreakline(0));
}

/// The same points in another order give the same surface: the plane pieces are the same, whatever the names of
/// their corners, to the rounding of three products.
#[test]
fn order_of_points_does_not_matter() {
    let points = scattered(150, |x, y| 0.001 * (x * x + y * y));
    let reversed: Vec<Point3> = points.iter().rev().copied().collect();
    let (a, b) = (net(&points), net(&reversed));
    for i in 0..900 {
        let at = Point::new(3.1 * f64::from(i % 30) + 5.0, 3.1 * f64::from(i / 30) + 5.0);
        match (a.z_m(at), b.z_m(at)) {
            (Some(one), Some(other)) => assert!((one - other).abs() < 1e-14, "{at:?}"),
            (one, other) => assert_eq!(one, other, "{at:?}"),
        }
    }
}

/// As a raster the plane is still the plane, and beyond the hull there is still no ground.
#[test]
fn a_net_as_a_raster() {
    let tin = net(&[p3(0.0, 0.0, 0.0), p3(10.0, 0.0, 1.0), p3(0.0, 10.0, 2.0)]);
    let surface = Surface::Tin(tin);
    let grid = surface.to_grid(0.5);
    assert_eq!(*grid.frame(), surface.frame(0.5));
    assert_eq!((grid.frame().columns, grid.frame().rows), (20, 20));
    for i in 0..grid.frame().len() {
        let at = grid.frame().centre(grid.frame().cell(i));
        let expected = (at.x_m + at.y_m <= 10.0).then_some(0.1 * at.x_m + 0.2 * at.y_m);
        match (grid.cell_z_m(grid.frame().cell(i)), expected) {
            (Some(z_m), Some(expected_z_m)) => assert!((z_m - expected_z_m).abs() < 1e-14),
            (found, expected) => assert_eq!(found, expected, "{at:?}"),
        }
    }
}

/// A point mistyped by 50 000 km does not ask for 2.5e15 cells of a metre.
#[test]
fn a_raster_of_a_wide_net_is_bounded() {
    let tin = net(&[p3(0.0, 0.0, 0.0), p3(5e7, 0.0, 1.0), p3(0.0, 5e7, 2.0)]);
    assert!(tin.frame(1.0).len() <= 16_000_000);
    let strip = net(&[p3(0.0, 0.0, 0.0), p3(5e7, 0.0, 1.0), p3(0.0, 0.1, 2.0)]);
    assert!(strip.frame(0.5).len() <= 16_000_000);
}

/// A long track of close points and one point mistyped far aside: its fan of thousands of long triangles is
/// looked up through the buckets along its two long sides, at most 180 each of 90 by 90, not through all 8100.
#[test]
fn a_fan_of_long_triangles_is_found() {
    let mut points: Vec<Point3> = (0..4000)
        .map(|i| {
            let along_m = 0.5 * f64::from(i);
            p3(along_m, along_m + 0.2 * f64::from(i % 3), 0.01 * along_m)
        })
        .collect();
    points.push(p3(0.0, 2000.0, 30.0));
    let tin = net(&points);
    assert!(tin.z_m(Point::new(300.0, 1300.0)).is_some());
    assert!(tin.lookup.size() < 100 * tin.triangles.len() * 4, "{}", tin.lookup.size());
}

/// On a net of a plane the level line is as straight as on a raster of it.
#[test]
fn a_level_line_on_a_net() {
    use crate::walk::{Stopped, Walk, walk};
    let surface = Surface::Tin(net(&scattered(300, |x, y| 10.0 + 0.03 * x + 0.04 * y)));
    let level = Walk {
        from: Point::new(20.0, 60.0),
        grade: 0.0,
        step_m: 2.0,
        length_m: 50.0,
        toward: None,
        stop_at: &[],
        jump: &[],
    };
    let walked = walk(&surface, &level).unwrap();
    assert_eq!(walked.stopped, Stopped::LengthReached);
    // Uphill is (3, 4)/5; with it on the left the line runs along (4, −3)/5.
    let last = walked.pegs[25];
    assert!((last.at.x_m - 60.0).abs() < 1e-6 && (last.at.y_m - 30.0).abs() < 1e-6, "{last:?}");
    assert!((last.slope - 0.05).abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// On a lattice everything degenerates: places in rows and on circles, breaklines through places, along and
    /// across each other, back and forth. On a plane the net must still be that plane, and have ground at every
    /// place that was measured unless it was peeled away with the outer triangles.
    #[test]
    fn lattices_and_tangled_breaklines(
        places in prop::collection::vec((0..9_i32, 0..9_i32), 3..40),
        tangle in prop::collection::vec(prop::collection::vec((0..9_i32, 0..9_i32), 2..5), 0..6),
        east_m in prop::sample::select(vec![0.0, 3_500_000.0]),
    ) {
        let plane = |x: i32, y: i32| p3(east_m + f64::from(x), f64::from(y), f64::from(x + 2 * y) / 8.0);
        let points: Vec<Point3> = places.iter().map(|(x, y)| plane(*x, *y)).collect();
        let lines: Vec<Vec<Point3>> = tangle
            .iter()
            .map(|line| line.iter().map(|(x, y)| plane(*x, *y)).collect())
            .collect();
        match Tin::new(&points, &lines, Outline::Peeled) {
            Err(refused) => {
                let named = matches!(refused, TinError::TooFew { .. } | TinError::InARow { .. });
                prop_assert!(named, "{refused}");
            }
            Ok(tin) => {
                for i in 0..400 {
                    let at = Point::new(east_m + 0.41 * f64::from(i % 20), 0.43 * f64::from(i / 20));
                    if let Some(z_m) = tin.z_m(at) {
                        // Crossings lie on both lines to the rounding of their places, 1e-9 m of it.
                        let expected_m = (at.x_m - east_m + 2.0 * at.y_m) / 8.0;
                        prop_assert!((z_m - expected_m).abs() < 1e-8, "{at:?}: {z_m}");
                    }
                }
                if tin.peeled() == 0 {
                    for point in &points {
                        let z_m = tin.z_m(point.plan());
                        prop_assert!(z_m.is_some_and(|z_m| (z_m - point.z_m).abs() < 1e-8), "{point:?}: {z_m:?}");
                    }
                }
            }
        }
    }

    /// Breaklines of any direction in the coordinates of a national grid, crossing at all angles.
    #[test]
    fn slanting_breaklines(
        ends in prop::collection::vec((0.0..100.0, 0.0..100.0, 0.0..100.0, 0.0..100.0), 0..25),
    ) {
        let plane = |x: f64, y: f64| p3(3_500_000.0 + x, 5_400_000.0 + y, 0.1 * x - 0.05 * y);
        let points: Vec<Point3> = scattered(60, |_, _| 0.0).iter().map(|p| plane(p.x_m, p.y_m)).collect();
        let lines: Vec<Vec<Point3>> = ends.iter().map(|(a, b, c, d)| vec![plane(*a, *b), plane(*c, *d)]).collect();
        // Hundreds of crossings would make the open ground between them a gap: the surveyor answers for it.
        let corner = |x, y| plane(x, y).plan();
        let square = Polygon::new(vec![corner(0.0, 0.0), corner(100.0, 0.0), corner(100.0, 100.0), corner(0.0, 100.0)]);
        let tin = Tin::new(&points, &lines, Outline::Given(square.unwrap())).unwrap();
        for crossing in tin.crossings() {
            // A third breakline may pass within what counts as the same place, on a slope of 11.2 %.
            prop_assert!(crossing.disagreement_m < 0.112 * SAME_PLACE_M, "{crossing:?}");
        }
        for i in 0..400 {
            let (x, y) = (15.0 + 3.5 * f64::from(i % 20), 15.0 + 3.5 * f64::from(i / 20));
            let z_m = tin.z_m(Point::new(3_500_000.0 + x, 5_400_000.0 + y)).unwrap();
            prop_assert!((z_m - (0.1 * x - 0.05 * y)).abs() < 1e-6, "({x}, {y}): {z_m}");
        }
    }
}
