use std::f64::consts::{FRAC_PI_4, TAU};

use proptest::prelude::*;

use super::*;
use crate::{Cell, Point};

/// A raster of unit cells, its north-west corner at (0, 0), of a formula in column and row.
fn raster(columns: usize, rows: usize, z_m: impl Fn(f64, f64) -> f64) -> Grid {
    let frame = frame(columns, rows);
    Grid::from_fn(frame, |p| Some(z_m(p.x_m - 0.5, -p.y_m - 0.5)))
}

fn frame(columns: usize, rows: usize) -> Frame {
    Frame { columns, rows, cell_m: 1.0, west_m: 0.0, north_m: 0.0 }
}

/// A plane of slope 0.1 that falls towards `theta` radians counter-clockwise from east.
fn plane(size: usize, theta: f64) -> Grid {
    let (east, north) = (libm::cos(theta), libm::sin(theta));
    raster(size, size, |column, row| -0.1 * (east * column - north * row))
}

/// Share of the middle of a 3 × 3 raster that goes to each direction.
fn split(paths: &FlowPaths) -> [f64; 8] {
    let mut split = [0.0; 8];
    for to in paths.receivers(4) {
        let direction = (0..8).find(|d| paths.frame().neighbour(4, *d) == Some(to.index));
        split[direction.unwrap()] += to.share_frac;
    }
    split
}

/// Sum of what leaves the ground.
fn leaving(paths: &FlowPaths, cells: &[f64]) -> f64 {
    (0..cells.len()).filter(|i| paths.way(*i) == Way::Leaves).map(|i| cells[i]).sum()
}

/// On a plane D∞ finds the way down exactly, and shares it by the angle (Tarboton 1997, p. 310): at α from the
/// first direction the first gets 1 − α / 45°. D8 takes the nearest of the eight directions, so it errs by up
/// to 22.5°. Printed to five decimals, so the tolerance is half of the fifth.
#[test]
fn closed_form_plane_directions() {
    let two_to_one = libm::atan2(1.0, 2.0) / TAU * 360.0;
    // Way down in degrees counter-clockwise from east; share and direction of the two receivers; D8's direction.
    let rows = [
        (0.0, (0, 1.0), (1, 0.0), 0),
        (10.0, (0, 0.77778), (1, 0.22222), 0),
        (20.0, (0, 0.55556), (1, 0.44444), 0),
        (22.4, (0, 0.50222), (1, 0.49778), 0),
        (22.6, (0, 0.49778), (1, 0.50222), 1),
        (two_to_one, (0, 0.40967), (1, 0.59033), 1),
        (45.0, (1, 1.0), (2, 0.0), 1),
        (60.0, (1, 0.66667), (2, 0.33333), 1),
        (190.5, (4, 0.76667), (5, 0.23333), 4),
        (300.0, (6, 0.33333), (7, 0.66667), 7),
    ];
    for (theta_deg, (first, first_share), (second, second_share), d8) in rows {
        let ground = plane(3, theta_deg / 360.0 * TAU);
        let paths = FlowPaths::d_infinity(&ground);
        let split_frac = split(&paths);
        assert!((split_frac[first] - first_share).abs() <= 0.5e-5, "{theta_deg}°: {split_frac:?}");
        assert!((split_frac[second] - second_share).abs() <= 0.5e-5, "{theta_deg}°: {split_frac:?}");
        let angle_deg = paths.angle_rad(4).unwrap() / TAU * 360.0;
        // Heights near 0.2 are known to 2⁻⁵⁵ m, falls of 0.1 m so to 5e-16 of themselves.
        assert!((angle_deg - theta_deg).abs() <= 1e-12, "{theta_deg}°: {angle_deg}");
        assert_eq!(
            FlowPaths::d8(&ground).receivers(4).next().unwrap().index,
            ground.frame().neighbour(4, d8).unwrap()
        );
    }
}

/// Slopes along the D8 direction on the same plane: 0.1 · cos(error).
#[test]
fn closed_form_plane_d8_slopes() {
    for (theta_deg, slope) in [
        (0.0, 0.1),
        (10.0, 0.098481),
        (20.0, 0.093969),
        (22.4, 0.092455),
        (22.6, 0.092455),
        (45.0, 0.1),
        (60.0, 0.096593),
        (190.5, 0.098325),
        (300.0, 0.096593),
    ] {
        let ground = plane(3, theta_deg / 360.0 * TAU);
        let to = FlowPaths::d8(&ground).receivers(4).next().unwrap().index;
        let frame = ground.frame();
        let distance_m = frame.centre(frame.cell(4)).distance_m(frame.centre(frame.cell(to)));
        let fall = (ground.z_m()[4] - ground.z_m()[to]) / distance_m;
        assert!((fall - slope).abs() <= 0.5e-6, "{theta_deg}°: {fall}");
    }
}

/// On a plane that falls due south each cell takes what its whole column above it yields.
#[test]
fn closed_form_area_on_a_plane_to_the_south() {
    let ground = raster(21, 21, |_, row| -0.1 * row);
    for paths in [FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)] {
        let cells = paths.accumulate();
        for (i, area) in cells.iter().enumerate() {
            assert!((area - (i / 21 + 1) as f64).abs() < 1e-9, "{i}: {area}");
        }
        assert!((leaving(&paths, &cells) - 441.0).abs() < 1e-9);
    }
}

/// On a plane that falls to the south-east each cell takes its whole diagonal.
#[test]
fn closed_form_area_on_a_plane_to_the_south_east() {
    // Whole numbers, so that the diagonal is exact.
    let ground = raster(21, 21, |column, row| -(column + row));
    for paths in [FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)] {
        let cells = paths.accumulate();
        for row in 0..20 {
            for column in 0..20 {
                assert_eq!(cells[row * 21 + column], (row.min(column) + 1) as f64);
            }
        }
        assert_eq!(leaving(&paths, &cells), 441.0);
    }
}

/// Falling at 10°, 26.565° and 40° east of south, a cell out of reach of the western edge takes row + 1 cells;
/// one near that edge takes less: by A(i, j) = 1 + (1 − p) A(i−1, j) + p A(i−1, j−1) with p = α/45°, summed by
/// hand for row 10 and column 3. Given to six decimals.
#[test]
fn closed_form_area_on_planes_across_the_rows() {
    for (off_south_deg, near_edge) in [(10.0, 10.555_061), (26.565_05, 6.704_338), (40.0, 4.499_997)] {
        let ground = plane(21, 0.75 * TAU + off_south_deg / 360.0 * TAU);
        let paths = FlowPaths::d_infinity(&ground);
        let cells = paths.accumulate();
        assert!((cells[10 * 21 + 15] - 11.0).abs() < 1e-9, "{}", cells[10 * 21 + 15]);
        assert!((cells[10 * 21 + 3] - near_edge).abs() <= 0.5e-6, "{}", cells[10 * 21 + 3]);
        assert!((leaving(&paths, &cells) - 441.0).abs() < 1e-9);
        let cells = FlowPaths::d8(&ground).accumulate();
        assert_eq!(cells[10 * 21 + 15], 11.0);
    }
}

/// A cone of slope 0.1 with its apex at the middle of a cell, on a disc of radius 79.
fn cone(sign: f64) -> Grid {
    Grid::from_fn(frame(161, 161), |p| {
        let r = p.distance_m(Point::new(80.5, -80.5));
        (r <= 79.0).then_some(sign * 0.1 * r)
    })
}

/// Mean and standard deviation of area / (exact specific area · cell · cos δ) for radii 15 to 65.
fn against_the_exact_cone(paths: &FlowPaths, exact_m: impl Fn(f64) -> f64) -> (f64, f64) {
    let cells = paths.accumulate();
    let mut ratios = Vec::new();
    for (i, area) in cells.iter().enumerate() {
        let Cell { row, column } = paths.frame().cell(i);
        let (dx, dy) = ((column as f64 - 80.0).abs(), (row as f64 - 80.0).abs());
        let r = (dx * dx + dy * dy).sqrt();
        if (15.0..=65.0).contains(&r) {
            // cos of the angle to the nearest axis.
            ratios.push(area / (exact_m(r) * dx.max(dy) / r));
        }
    }
    let n = ratios.len() as f64;
    let mean = ratios.iter().sum::<f64>() / n;
    let variance = ratios.iter().map(|q| (q - mean) * (q - mean)).sum::<f64>() / n;
    (mean, variance.sqrt())
}

/// Water spreading from the top of a cone: between two ways down at a small angle apart lies r²/2 of area per
/// r of width, so r/2 a unit width. Gathering towards the bottom of one of radius R: (R² − r²)/2r.
/// D∞ must come within 1 % on average and scatter by less than 13 %; D8 cannot (it makes stripes).
#[test]
fn closed_form_area_on_cones() {
    let (spreading, gathering) = (cone(-1.0), cone(1.0));
    let known = spreading.known().iter().filter(|known| **known).count();
    assert_eq!(known, 19_577);
    let exact_spreading = |r: f64| r / 2.0;
    let exact_gathering = |r: f64| (79.0 * 79.0 - r * r) / (2.0 * r);
    let (mean, sd) = against_the_exact_cone(&FlowPaths::d_infinity(&spreading), exact_spreading);
    assert!((mean - 1.0).abs() < 0.01 && sd < 0.13, "{mean} {sd}");
    let (mean, sd) = against_the_exact_cone(&FlowPaths::d_infinity(&gathering), exact_gathering);
    assert!((mean - 1.0).abs() < 0.01 && sd < 0.13, "{mean} {sd}");
    let (mean, sd) = against_the_exact_cone(&FlowPaths::d8(&spreading), exact_spreading);
    assert!((mean - 1.0).abs() < 0.01 && sd > 0.5, "{mean} {sd}");
    let (mean, sd) = against_the_exact_cone(&FlowPaths::d8(&gathering), exact_gathering);
    assert!((mean - 1.0).abs() < 0.02 && sd > 1.5, "{mean} {sd}");
}

/// Everything on a cone upside down gathers at its lowest cell, and stays there: it was not filled.
#[test]
fn a_cone_gathers_all() {
    let ground = cone(1.0);
    let middle = 80 * 161 + 80;
    for paths in [FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)] {
        assert_eq!(paths.way(middle), Way::Stays);
        assert!((paths.accumulate()[middle] - 19_577.0).abs() < 1e-6);
    }
}

/// Root mean square and largest D∞ direction error on a cone, degrees, for radii 15 to 65.
fn direction_errors_deg(sign: f64) -> (f64, f64) {
    let paths = FlowPaths::d_infinity(&cone(sign));
    let (mut worst_deg, mut sum_sq, mut n) = (0.0_f64, 0.0, 0.0);
    for i in 0..paths.frame().len() {
        let Cell { row, column } = paths.frame().cell(i);
        let (x, y) = (column as f64 - 80.0, 80.0 - row as f64);
        let r = (x * x + y * y).sqrt();
        if (15.0..=65.0).contains(&r) {
            let off = (paths.angle_rad(i).unwrap() - libm::atan2(-sign * y, -sign * x)) / TAU;
            let off_deg = (off - libm::round(off)).abs() * 360.0;
            worst_deg = worst_deg.max(off_deg);
            sum_sq += off_deg * off_deg;
            n += 1.0;
        }
    }
    ((sum_sq / n).sqrt(), worst_deg)
}

/// Facets are flat and a cone is not. On an axis at r the next ring is at r + 1 straight on and at
/// √((r+1)² + 1) across the corner, so the facet falls aside by their difference d and the way down errs by
/// atan(d), about 1/(2(r+1)): at r = 15 that is the largest error there is, 1.788°.
#[test]
fn closed_form_d_infinity_directions_on_a_cone() {
    let (rms_deg, worst_deg) = direction_errors_deg(-1.0);
    let on_axis_deg = libm::atan(257.0_f64.sqrt() - 16.0) / TAU * 360.0;
    assert!((worst_deg - on_axis_deg).abs() < 1e-9, "{worst_deg} {on_axis_deg}");
    assert!(rms_deg < 0.405, "{rms_deg}");
    let (rms_deg, worst_deg) = direction_errors_deg(1.0);
    assert!(rms_deg < 0.405 && worst_deg < 1.775, "{rms_deg} {worst_deg}");
}

/// A ditch across a plane takes what the ground above yields, and the ground below starts anew.
#[test]
fn sinks_keep_what_arrives() {
    let ground = raster(21, 21, |_, row| -0.1 * row);
    let mut sinks = vec![false; 441];
    sinks[8 * 21..9 * 21].fill(true);
    for paths in [FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)] {
        let cells = paths.accumulate_to(&sinks);
        for column in 0..21 {
            assert!((cells[8 * 21 + column] - 9.0).abs() < 1e-9);
            assert!((cells[20 * 21 + column] - 12.0).abs() < 1e-9);
            let arriving: f64 =
                paths.givers(8 * 21 + column).iter().map(|giver| giver.share_frac * cells[giver.index]).sum();
            assert!((arriving - 8.0).abs() < 1e-9, "all from the north");
        }
    }
}

/// Level ground drains by the fewest steps to its outlet; nothing stays and nothing turns in a circle.
#[test]
fn level_ground_drains() {
    let ground = raster(9, 7, |column, row| {
        if (column, row) == (8.0, 3.0) {
            4.0
        } else if (1.0..8.0).contains(&column) && (1.0..6.0).contains(&row) {
            5.0
        } else {
            9.0
        }
    });
    let paths = FlowPaths::d8(&ground);
    let cells = paths.accumulate();
    // The outlet takes the 35 level cells and those of the rim that fall inwards; the four corners of the rim
    // fall inwards across the corner, so all of the raster does.
    assert_eq!(cells[3 * 9 + 8], 63.0);
    assert_eq!(leaving(&paths, &cells), 63.0);
}

#[test]
fn water_does_not_run_into_unknown_ground() {
    let mut z_m: Vec<f64> = (0..49).map(|i| -f64::from(i)).collect();
    z_m[24] = f64::NAN;
    let ground = Grid::new(frame(7, 7), z_m);
    for paths in [FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)] {
        assert_eq!(paths.way(24), Way::Unknown);
        assert!(paths.givers(24).is_empty());
        let cells = paths.accumulate();
        assert_eq!(cells[24], 0.0);
        assert!((leaving(&paths, &cells) - 48.0).abs() < 1e-9);
    }
}

/// Rough ground on which no two falls are equal: heights are distinct powers' sums, turned by a seed.
fn rough(columns: usize, rows: usize) -> impl Strategy<Value = Grid> {
    proptest::collection::vec(0.0..10.0_f64, columns * rows)
        .prop_map(move |z_m| Grid::new(frame(columns, rows), z_m))
}

/// A raster turned a quarter counter-clockwise: its east side becomes its north side.
fn turned(ground: &Grid) -> Grid {
    let (columns, rows) = (ground.frame().columns, ground.frame().rows);
    let z_m =
        (0..columns * rows).map(|i| ground.z_m()[(i % rows) * columns + (columns - 1 - i / rows)]).collect();
    Grid::new(frame(rows, columns), z_m)
}

fn mirrored(ground: &Grid) -> Grid {
    let columns = ground.frame().columns;
    let z_m = (0..ground.z_m().len())
        .map(|i| ground.z_m()[i / columns * columns + (columns - 1 - i % columns)])
        .collect();
    Grid::new(*ground.frame(), z_m)
}

fn close(a: &[f64], b: &[f64]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-9)
}

proptest! {
    /// Turn or mirror the ground and the areas turn and mirror with it; lift it and they stay. Filling comes
    /// with the other kernel, so hollows keep their water here.
    #[test]
    fn areas_turn_mirror_and_lift(ground in rough(9, 6)) {
        for route in [FlowPaths::d8, FlowPaths::d_infinity] {
            let cells = Grid::new(*ground.frame(), route(&ground).accumulate());
            let of_turned = route(&turned(&ground)).accumulate();
            prop_assert!(close(&of_turned, turned(&cells).z_m()));
            let of_mirrored = route(&mirrored(&ground)).accumulate();
            prop_assert!(close(&of_mirrored, mirrored(&cells).z_m()));
            // A power of two over all heights; lifting rounds them by up to 2⁻⁴⁷ m, which ties would show.
            let lifted = Grid::new(*ground.frame(), ground.z_m().iter().map(|z| z + 64.0).collect());
            prop_assert!(close(&route(&lifted).accumulate(), cells.z_m()));
        }
    }

    /// Each cell's water ends where it leaves or stays: nothing is lost on the way.
    #[test]
    fn nothing_is_lost(ground in rough(12, 9)) {
        for paths in [FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)] {
            let cells = paths.accumulate();
            let ends: f64 = (0..cells.len()).filter(|i| paths.way(*i) != Way::On).map(|i| cells[i]).sum();
            prop_assert!((ends - 108.0).abs() < 1e-9);
        }
    }

    /// D∞ never sends water up, and shares of a cell sum to one.
    #[test]
    fn water_never_climbs(ground in rough(8, 8)) {
        for paths in [FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)] {
            for i in 0..64 {
                let shares: f64 = paths.receivers(i).map(|to| to.share_frac).sum();
                prop_assert!(paths.way(i) != Way::On || shares == 1.0);
                prop_assert!(paths.receivers(i).all(|to| ground.z_m()[to.index] < ground.z_m()[i]));
            }
        }
    }
}

/// The number of threads does not change a bit of the answer.
#[test]
fn parallel_equals_serial() {
    let ground = raster(301, 203, |x, y| libm::sin(0.3 * x) * libm::cos(0.21 * y) + 0.01 * x - 0.02 * y);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| (FlowPaths::d8(&ground), FlowPaths::d_infinity(&ground)))
    };
    let (serial, parallel) = (on(1), on(4));
    assert_eq!(serial, parallel);
    let bits = |cells: Vec<f64>| cells.into_iter().map(f64::to_bits).collect::<Vec<_>>();
    assert_eq!(bits(serial.1.accumulate()), bits(parallel.1.accumulate()));
}

#[test]
fn angles_are_eighths_of_a_turn_for_d8() {
    let paths = FlowPaths::d8(&raster(3, 3, |column, _| column));
    assert_eq!(paths.angle_rad(4), Some(4.0 * FRAC_PI_4));
    assert_eq!(paths.angle_rad(3), None, "the western edge lets its water leave");
}
