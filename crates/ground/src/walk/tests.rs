use std::f64::consts::PI;

use proptest::prelude::*;

use super::*;
use crate::{Frame, Grid};

fn square(side_m: f64, cell_m: f64) -> Frame {
    let cells = (side_m / cell_m) as usize + 1;
    // The outer middles lie on the square's edges, with (0, 0) its middle.
    Frame {
        columns: cells,
        rows: cells,
        cell_m,
        west_m: -(side_m + cell_m) / 2.0,
        north_m: (side_m + cell_m) / 2.0,
    }
}

fn ground(frame: Frame, height_m: impl Fn(Point) -> f64) -> Surface {
    Surface::Grid(Grid::from_fn(frame, |p| Some(height_m(p))))
}

/// A cone of this slope with its top over (0, 0).
fn cone(side_m: f64, cell_m: f64, slope: f64) -> Surface {
    ground(square(side_m, cell_m), |p| 100.0 - slope * p.distance_m(Point::new(0.0, 0.0)))
}

/// How far off its circle a level place on the bilinear surface of a cone may be. Between middles the bilinear
/// surface differs by at most h²/8 · (|z_xx| + |z_yy|) = h²/8 · S/r, and a height is a radius times S; once at
/// the first peg, once at any other. The radius is that of the nearest middle used, a cell diagonal nearer.
fn cone_radius_tolerance_m(cell_m: f64, r_m: f64) -> f64 {
    2.0 * cell_m * cell_m / 8.0 / (r_m - 1.5 * cell_m)
}

fn plain(from: Point, step_m: f64, length_m: f64) -> Walk<'static> {
    Walk { from, grade: 0.0, step_m, length_m, toward: None, stop_at: &[], jump: &[] }
}

fn end(walked: &Walked) -> WalkedPeg {
    walked.pegs[walked.pegs.len() - 1]
}

/// On a plane that climbs northwards the level line runs due east with uphill on the left. A miss of the
/// height tolerance on a slope of 5 % is 2e-7 m of place.
#[test]
fn level_line_on_a_plane_is_straight() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    let walked = walk(&plane, &plain(Point::new(-40.0, 3.3), 2.0, 61.0)).unwrap();
    assert_eq!(walked.stopped, Stopped::LengthReached);
    assert_eq!(walked.pegs.len(), 32, "30 whole steps, the last metre and the first peg");
    for (n, peg) in walked.pegs.iter().enumerate() {
        let chainage_m = (2.0 * n as f64).min(61.0);
        assert_eq!(peg.chainage_m, chainage_m);
        assert!((peg.at.x_m - (chainage_m - 40.0)).abs() < 1e-9, "{peg:?}");
        assert!((peg.at.y_m - 3.3).abs() < 1e-6, "{peg:?}");
        assert!((peg.z_m - 0.165).abs() <= HEIGHT_TOLERANCE_M);
        assert!((peg.slope - 0.05).abs() < 1e-12);
    }
}

/// 25 steps of 2 m: chance 5 mm · √25 = 25 mm, twice that at 95 in 100; on 5 % one metre to either side. Walked
/// by pivoting, 25 steps leave one own fault of 2 mm: 4 cm more.
#[test]
fn band_along_the_line() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    let walked = walk(&plane, &plain(Point::new(-40.0, 0.0), 2.0, 50.0)).unwrap();
    let frame = Tool {
        kind: crate::tool::ToolKind::AFrame,
        step_m: 2.0,
        random_m: 0.005,
        constant_m: 0.002,
        walked: crate::tool::Walked::Pivoted,
    };
    assert!((end(&walked).band_m(&frame).unwrap() - 1.04).abs() < 1e-9);
    assert_eq!(walked.pegs[0].band_m(&frame), Some(0.0));
}

#[test]
fn toward_chooses_the_other_way() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    let walk_west = Walk { toward: Some(Point::new(-30.0, 40.0)), ..plain(Point::new(0.0, 0.0), 2.0, 20.0) };
    let walked = walk(&plane, &walk_west).unwrap();
    assert!((end(&walked).at.x_m + 20.0).abs() < 1e-6);
}

/// The fall across a plane of slope S is S times the way downslope, so 100 m of line at grade g go g/S · 100 m
/// downslope and √(1 − (g/S)²) · 100 m along: 99.498744 and 10.000000; 99.874922 and 5.000000; 99.777530 and
/// 6.666667 (the angle with the contour is asin(g/S)). The height tolerance is 1e-8 m, at S = 5 % 2e-7 m of
/// place; the figures are printed to half of 1e-6 m.
#[test]
fn graded_lines_on_planes() {
    let cases =
        [(0.05, 0.005, 99.498744, 10.0), (0.10, 0.005, 99.874922, 5.0), (0.30, 0.02, 99.777530, 6.666667)];
    for (slope, grade, along_m, down_m) in cases {
        let plane = ground(square(220.0, 5.0), |p| slope * p.y_m);
        let graded = Walk { grade, ..plain(Point::new(-50.0, 20.0), 2.0, 100.0) };
        let last = end(&walk(&plane, &graded).unwrap());
        assert!((last.at.x_m + 50.0 - along_m).abs() < 1e-6, "{slope} {grade}: {last:?}");
        assert!((20.0 - last.at.y_m - down_m).abs() < 1e-6, "{slope} {grade}: {last:?}");
        assert!((last.z_m - (20.0 * slope - 100.0 * grade)).abs() <= HEIGHT_TOLERANCE_M);
    }
}

/// Where the line must fall faster than the ground does there is no next peg; at 99 % of the slope there is.
#[test]
fn no_line_steeper_than_the_ground() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    for (grade, stopped) in [(0.051, Stopped::NoNextPeg), (0.0495, Stopped::LengthReached)] {
        let graded = Walk { grade, ..plain(Point::new(0.0, 30.0), 2.0, 20.0) };
        assert_eq!(walk(&plane, &graded).unwrap().stopped, stopped, "{grade}");
    }
}

/// All pegs of a level line on a cone stand on one circle, a step apart, so each is 2·asin(s/2r) further round
/// and what is left to the first peg is a chord of the rest of the turn. The pegs' radii wobble by at most ε
/// (the bilinear surface against the cone), which changes a leg's angle by at most ε/r of itself, plus
/// (2ε)²/2s² of itself for going in and out: over the whole turn 2π·(ε + r·2ε²/s²) of length.
#[test]
fn level_line_on_a_cone_closes() {
    let (r_m, cell_m, step_m) = (40.0, 0.5, 2.0);
    let hill = cone(90.0, cell_m, 0.1);
    let walked = walk(&hill, &plain(Point::new(r_m, 0.0), step_m, 1000.0)).unwrap();
    assert_eq!(walked.stopped, Stopped::CameRound);
    let wobble_m = cone_radius_tolerance_m(cell_m, r_m);
    for peg in &walked.pegs {
        let off_m = peg.at.distance_m(Point::new(0.0, 0.0)) - r_m;
        assert!(off_m.abs() <= wobble_m, "{peg:?} is {off_m} m off");
    }
    let leg_angle = 2.0 * libm::asin(step_m / 2.0 / r_m);
    let legs = (2.0 * PI / leg_angle).floor();
    assert_eq!(walked.pegs.len() as f64, legs + 1.0);
    let rest_m = 2.0 * r_m * libm::sin((2.0 * PI - legs * leg_angle) / 2.0);
    let gap_m = end(&walked).at.distance_m(walked.pegs[0].at);
    let tolerance_m = 2.0 * PI * (wobble_m + r_m * 2.0 * wobble_m * wobble_m / (step_m * step_m));
    assert!(tolerance_m < 0.011, "under 11 mm in 251 m");
    assert!((gap_m - rest_m).abs() <= tolerance_m, "{gap_m} against {rest_m}");
}

/// The bilinear surface errs by the square of the cell, so halving the cells quarters how far pegs are off their
/// circle; less than half is asked, for the worst peg lies elsewhere among smaller cells.
#[test]
fn finer_rasters_converge() {
    let worst_m = |cell_m: f64| {
        let walked = walk(&cone(100.0, cell_m, 0.1), &plain(Point::new(40.0, 0.0), 2.0, 200.0)).unwrap();
        let off_m = |peg: &WalkedPeg| (peg.at.distance_m(Point::new(0.0, 0.0)) - 40.0).abs();
        walked.pegs.iter().map(off_m).fold(0.0, f64::max)
    };
    let errors_m = [4.0, 2.0, 1.0, 0.5].map(worst_m);
    for pair in errors_m.windows(2) {
        assert!(pair[1] < 0.5 * pair[0], "{errors_m:?}");
    }
}

/// On a cone of slope S the line of grade g makes the constant angle φ = asin(g/S) with the circles: a
/// logarithmic spiral r = r₀·e^(β·tan φ) of length (r − r₀)/sin φ and fall g·length.
/// S 0.1, g 0.005, r₀ 50, quarter turn: r 54.090641, length 81.812825, fall 0.409064; g 0.01: 58.550754,
/// 85.507545, 0.855075. S 0.2, g 0.01, r₀ 30, half turn: 35.109570, 102.191393, 1.021914.
///
/// The walk of that length must end at that radius to within the surface's error. It goes by chords, which
/// turn s²/24r² of the way more than arcs of the same length, and by pegs that wobble by ε in radius: each
/// leg then turns by at most ε/r + tan φ · 2ε/s + (2ε)²/2s² of itself too much or too little.
#[test]
fn graded_lines_on_cones_are_spirals() {
    let cases = [
        (0.1, 0.005, 50.0, PI / 2.0, 54.090641, 81.812825, 0.409064),
        (0.1, 0.01, 50.0, PI / 2.0, 58.550754, 85.507545, 0.855075),
        (0.2, 0.01, 30.0, PI, 35.109570, 102.191393, 1.021914),
    ];
    for (slope, grade, r0_m, turn, r_m, length_m, fall_m) in cases {
        let (cell_m, step_m) = (0.25, 1.0);
        let hill = cone(130.0, cell_m, slope);
        let spiral = Walk { grade, ..plain(Point::new(r0_m, 0.0), step_m, length_m) };
        let walked = walk(&hill, &spiral).unwrap();
        let last = end(&walked);
        let wobble_m = cone_radius_tolerance_m(cell_m, r0_m);
        let found_r_m = last.at.distance_m(Point::new(0.0, 0.0));
        assert!((found_r_m - r_m).abs() <= wobble_m + 5e-7, "{found_r_m} against {r_m}");
        assert!((walked.pegs[0].z_m - last.z_m - fall_m).abs() <= 5e-7 + 2.0 * HEIGHT_TOLERANCE_M);
        // Uphill, the top, stays on the left: the walk goes round against the clock.
        let found_turn = libm::atan2(last.at.y_m, last.at.x_m);
        let tan_phi = grade / slope / (1.0 - (grade / slope) * (grade / slope)).sqrt();
        let by_chords = step_m * step_m / 24.0 / (r0_m * r0_m);
        let by_wobble = wobble_m / r0_m
            + tan_phi * 2.0 * wobble_m / step_m
            + 2.0 * (wobble_m / step_m) * (wobble_m / step_m);
        let error = libm::remainder(found_turn - turn, 2.0 * PI).abs();
        assert!(error <= turn * (by_chords + by_wobble), "{found_turn} against {turn}");
    }
}

/// The outer middles lie at x = 50: of 2 m steps from 0, the last that fits ends there.
#[test]
fn stops_at_the_edge_of_ground() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    let walked = walk(&plane, &plain(Point::new(1.0, 0.5), 2.0, 100.0)).unwrap();
    assert_eq!(walked.stopped, Stopped::EdgeOfGround);
    assert!((end(&walked).at.x_m - 49.0).abs() < 1e-6);
}

fn corners(corners: &[(f64, f64)]) -> Vec<Point> {
    corners.iter().map(|(x_m, y_m)| Point::new(*x_m, *y_m)).collect()
}

#[test]
fn stops_before_what_is_kept_clear() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    let far = Polygon::new(corners(&[(0.0, 30.0), (5.0, 30.0), (5.0, 35.0)])).unwrap();
    // 10 cm wide: both feet of the frame would stand clear, the leg would not.
    let wall = Polygon::new(corners(&[(10.5, -5.0), (10.6, -5.0), (10.6, 5.0), (10.5, 5.0)])).unwrap();
    let areas = [far, wall];
    let clear = Walk { stop_at: &areas, ..plain(Point::new(0.0, 0.0), 2.0, 40.0) };
    let walked = walk(&plane, &clear).unwrap();
    assert_eq!(walked.stopped, Stopped::KeptClear(1));
    assert!((end(&walked).at.x_m - 10.0).abs() < 1e-6);
    let inside = Walk { from: Point::new(4.0, 31.0), ..clear };
    let walked = walk(&plane, &inside).unwrap();
    assert_eq!((walked.pegs.len(), walked.stopped), (1, Stopped::KeptClear(0)));
}

/// A fence at x = 9.9 is 1.9 m beyond the peg at 8. One step ends 0.1 m behind it, too near for a foot; a
/// quarter of a metre more leaves 0.35 m. The line goes on level and the chainage counts the jump.
#[test]
fn jumps_a_fence_and_resumes() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    let fence = [Polyline::new(corners(&[(9.9, -20.0), (9.9, 20.0)])).unwrap()];
    let fenced = Walk { jump: &fence, ..plain(Point::new(0.0, 0.0), 2.0, 20.0) };
    let walked = walk(&plane, &fenced).unwrap();
    assert_eq!(walked.stopped, Stopped::LengthReached);
    let jumped: Vec<f64> = walked.pegs.iter().filter(|p| p.after_jump).map(|p| p.chainage_m).collect();
    assert_eq!(jumped, [10.25]);
    assert!((end(&walked).at.x_m - 20.0).abs() < 1e-6);
    assert!(walked.pegs.iter().all(|p| (p.z_m).abs() <= HEIGHT_TOLERANCE_M));
}

/// A rock outline from x = 9 to `far_m`; from the peg at 8 a jump reaches 14, less the room beyond.
#[test]
fn jumps_a_rock_unless_it_is_too_wide() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    for (far_m, stopped, last_x_m) in
        [(12.0, Stopped::LengthReached, 20.0), (13.9, Stopped::BarrierTooWide(0), 8.0)]
    {
        let outline = corners(&[(9.0, -5.0), (far_m, -5.0), (far_m, 5.0), (9.0, 5.0), (9.0, -5.0)]);
        let rock = [Polyline::new(outline).unwrap()];
        let rocky = Walk { jump: &rock, ..plain(Point::new(0.0, 0.0), 2.0, 20.0) };
        let walked = walk(&plane, &rocky).unwrap();
        assert_eq!(walked.stopped, stopped, "to {far_m}");
        assert!((end(&walked).at.x_m - last_x_m).abs() < 1e-6);
    }
}

#[test]
fn refuses_what_is_no_walk() {
    let plane = ground(square(100.0, 2.0), |p| 0.05 * p.y_m);
    let good = plain(Point::new(0.0, 0.0), 2.0, 20.0);
    let with = |change: fn(&mut Walk)| {
        let mut bad = good.clone();
        change(&mut bad);
        walk(&plane, &bad).unwrap_err()
    };
    assert_eq!(with(|w| w.from.x_m = 51.0), WalkError::NoGround { x_m: 51.0, y_m: 0.0 });
    assert_eq!(with(|w| w.step_m = 0.0), WalkError::Step { step_m: 0.0 });
    assert_eq!(with(|w| w.length_m = -1.0), WalkError::Length { length_m: -1.0 });
    assert!(matches!(with(|w| w.grade = f64::NAN), WalkError::Grade { .. }));
    assert!(matches!(with(|w| w.length_m = 1e308), WalkError::TooManyPegs { .. }));
    assert!(matches!(with(|w| w.from.y_m = f64::NAN), WalkError::NoGround { .. }));
}

/// On flat ground nothing says which way: asked, it goes straight; not asked, it does not set off.
#[test]
fn flat_ground_needs_a_direction() {
    let flat = ground(square(20.0, 1.0), |_| 5.0);
    let unasked = plain(Point::new(0.0, 0.0), 2.0, 6.0);
    assert_eq!(walk(&flat, &unasked).unwrap().stopped, Stopped::NoNextPeg);
    let asked = Walk { toward: Some(Point::new(0.0, 9.0)), ..unasked };
    assert_eq!(end(&walk(&flat, &asked).unwrap()).at, Point::new(0.0, 6.0));
}

/// A hillside with a hollow and a rib, without any symmetry.
fn uneven(p: Point) -> f64 {
    0.12 * p.y_m + 0.9 * libm::sin(p.x_m / 11.0 + 0.3) + 0.4 * libm::sin((p.x_m + 2.0 * p.y_m) / 17.0)
}

/// Places are compared to 1e-4 m: a peg may be off by the height tolerance over the slope (here above 4 %,
/// 2.5e-7 m), and the direction of each leg hands a part of that on to the next; over these 20 pegs the sum
/// stays under a hundred times it, as any honest turn of the ground does, while a wrong turn is metres off.
const SAME_PLACE_M: f64 = 1e-4;

fn same_pegs(a: &Walked, b: &Walked, move_b: impl Fn(Point) -> Point) {
    assert_eq!((a.pegs.len(), a.stopped), (b.pegs.len(), b.stopped));
    for (a, b) in a.pegs.iter().zip(&b.pegs) {
        let off_m = a.at.distance_m(move_b(b.at));
        assert!(off_m < SAME_PLACE_M, "{off_m} m between {a:?} and {b:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Turning the ground by a quarter, or mirroring it, turns or mirrors the pegs; lifting it leaves them.
    #[test]
    fn turned_mirrored_lifted(x_m in -20.0..20.0, y_m in -15.0..15.0, grade in 0.0..0.01, up_m in -50.0..2000.0) {
        let frame = square(120.0, 1.0);
        let from = Point::new(x_m, y_m);
        let graded = Walk { grade, toward: Some(Point::new(90.0, y_m)), ..plain(from, 2.0, 40.0) };
        let plain_walk = walk(&ground(frame, uneven), &graded).unwrap();

        let quarter = |p: Point| Point::new(-p.y_m, p.x_m);
        let back = |p: Point| Point::new(p.y_m, -p.x_m);
        let turned = Walk { from: quarter(from), toward: graded.toward.map(quarter), ..graded.clone() };
        same_pegs(&plain_walk, &walk(&ground(frame, |p| uneven(back(p))), &turned).unwrap(), back);

        let flip = |p: Point| Point::new(-p.x_m, p.y_m);
        let mirrored = Walk { from: flip(from), toward: graded.toward.map(flip), ..graded.clone() };
        same_pegs(&plain_walk, &walk(&ground(frame, |p| uneven(flip(p))), &mirrored).unwrap(), flip);

        same_pegs(&plain_walk, &walk(&ground(frame, |p| uneven(p) + up_m), &graded).unwrap(), |p| p);
    }

    /// No height is lost or won along the line: every peg is where the first and the grade say it is.
    #[test]
    fn heights_do_not_drift(x_m in -20.0..20.0, y_m in -15.0..15.0, grade in -0.01..0.01) {
        let graded = Walk { grade, ..plain(Point::new(x_m, y_m), 2.0, 200.0) };
        let walked = walk(&ground(square(120.0, 1.0), uneven), &graded).unwrap();
        for peg in &walked.pegs {
            let aim_z_m = walked.pegs[0].z_m - grade * peg.chainage_m;
            prop_assert!((peg.z_m - aim_z_m).abs() <= HEIGHT_TOLERANCE_M);
        }
        for legs in walked.pegs.windows(2) {
            prop_assert!((legs[0].at.distance_m(legs[1].at) - 2.0).abs() < 1e-12 * 200.0);
        }
    }

    /// From the last peg, back toward the one before with the opposite grade, the walk finds the same pegs.
    #[test]
    fn walking_back_returns(x_m in -20.0..20.0, y_m in -15.0..15.0, grade in -0.01..0.01) {
        let surface = ground(square(120.0, 1.0), uneven);
        let out = Walk { grade, ..plain(Point::new(x_m, y_m), 2.0, 40.0) };
        let out_pegs = walk(&surface, &out).unwrap().pegs;
        prop_assume!(out_pegs.len() == 21);
        let back = Walk {
            from: out_pegs[20].at,
            toward: Some(out_pegs[19].at),
            grade: -grade,
            ..out
        };
        let back_pegs = walk(&surface, &back).unwrap().pegs;
        prop_assert_eq!(back_pegs.len(), 21);
        for (there, here) in out_pegs.iter().rev().zip(&back_pegs) {
            let off_m = there.at.distance_m(here.at);
            prop_assert!(off_m < SAME_PLACE_M, "{off_m} m between {there:?} and {here:?}");
        }
    }
}
