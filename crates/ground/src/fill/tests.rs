use proptest::prelude::*;

use super::*;
use crate::{Cell, FlowPaths, Way};

fn frame(columns: usize, rows: usize) -> Frame {
    Frame { columns, rows, cell_m: 1.0, west_m: 0.0, north_m: rows as f64 }
}

/// A raster written as digits; a full stop is unknown ground.
fn raster(text: &str) -> Grid {
    let rows: Vec<&str> = text.split_whitespace().collect();
    let digit = |c: char| c.to_digit(10).map_or(f64::NAN, f64::from);
    Grid::new(frame(rows[0].len(), rows.len()), rows.iter().flat_map(|row| row.chars().map(digit)).collect())
}

/// Two hollows side by side above a trough.
const TWO_HOLLOWS_AND_A_TROUGH: &str = "9999999 9559669 9527369 9559648 9999999 9444447 9999999";

/// Both hollows rise to the sill 8 at the eastern edge, the trough to 7: 13 cells by 39 and 5 by 15 in all.
#[test]
fn hand_worked_filling() {
    let filled = fill(raster(TWO_HOLLOWS_AND_A_TROUGH));
    let expected = raster("9999999 9889889 9888889 9889888 9999999 9777777 9999999");
    assert_eq!(filled.ground, expected);
    assert_eq!((filled.raised_cells, filled.volume_m3, filled.deepest_m), (18, 54.0, 6.0));
}

/// A drain takes water away at the pit of the left hollow, which so keeps its heights; the right one spills into
/// it over the 7 between and holds 11 below that; the trough holds 15 as before.
#[test]
fn a_hollow_with_a_drain_is_not_filled() {
    let ground = raster(TWO_HOLLOWS_AND_A_TROUGH);
    let pit = ground.frame().index(Cell { row: 2, column: 2 });
    let drains: Vec<bool> = (0..ground.frame().len()).map(|index| index == pit).collect();
    let filled = fill_to(ground, &drains);
    assert_eq!(filled.ground, raster("9999999 9559779 9527779 9559778 9999999 9777777 9999999"));
    assert_eq!(filled.volume_m3, 26.0);
}

/// The left hollow (pit 2) holds 15 to the cell of 7 between the two, the right one 11; both together 39 to
/// the sill 8, of which 13 lie above the 7. The trough holds 15.
#[test]
fn hand_worked_hollows() {
    let ground = raster(TWO_HOLLOWS_AND_A_TROUGH);
    let filled = fill(ground.clone()).ground;
    let found = hollows(&ground, &filled, &FlowPaths::d8(&filled));
    let cell = |row, column| Cell { row, column };
    let brief: Vec<_> =
        found.iter().map(|h| (h.lowest, h.sill, h.sill_z_m, h.volume_m3, h.cells, h.within)).collect();
    let mut expected = vec![
        (cell(2, 2), cell(2, 3), 7.0, 15.0, 6, Some(2)),
        (cell(2, 4), cell(2, 3), 7.0, 11.0, 6, Some(2)),
        (cell(2, 2), cell(3, 6), 8.0, 39.0, 13, None),
        (cell(5, 1), cell(5, 6), 7.0, 15.0, 5, None),
    ];
    // Which of the two halves is written down first is not part of the promise.
    if brief[0].0 != expected[0].0 {
        expected.swap(0, 1);
    }
    assert_eq!(brief, expected);
}

/// Three hollows whose saddles are equally high are three parts of one, not parts of parts.
#[test]
fn equal_saddles_make_one_hollow() {
    let ground = raster("999999999 912313219 999999998");
    let filled = fill(ground.clone()).ground;
    let found = hollows(&ground, &filled, &FlowPaths::d8(&filled));
    // Floors 1 2, 1 and 2 1 between saddles of 3 hold 3, 2 and 3; seven cells hold 5 each above, to the sill 8.
    let mut volumes: Vec<_> = found.iter().map(|h| (h.volume_m3, h.within)).collect();
    volumes[..3].sort_by(|a, b| a.0.total_cmp(&b.0));
    assert_eq!(volumes, [(2.0, Some(3)), (3.0, Some(3)), (3.0, Some(3)), (43.0, None)]);
}

/// A gully that drains only over corners does so: eight neighbours.
#[test]
fn hand_worked_diagonal_gully() {
    let ground = raster("99999 91999 99399 99929 99991");
    let filled = fill(ground);
    assert_eq!(filled.ground, raster("99999 93999 99399 99929 99991"));
    assert_eq!((filled.raised_cells, filled.volume_m3), (1, 2.0));
}

/// A hole in the data drains what lies round it.
#[test]
fn unknown_ground_is_an_outlet() {
    let ground = raster("99999 92229 92.29 92229 99999");
    assert_eq!(fill(ground.clone()).ground, ground);
    let nothing = raster("... ... ...");
    assert_eq!(fill(nothing.clone()).ground, nothing);
    assert_eq!(fill(Grid::new(frame(0, 0), Vec::new())).raised_cells, 0);
}

/// The definition, carried out slowly: start with all inner cells under endless water and let it sink to
/// max(ground, lowest neighbour) until nothing changes.
fn slow_fill(ground: &Grid) -> Vec<f64> {
    let frame = *ground.frame();
    let mut water: Vec<f64> =
        (0..frame.len()).map(|i| if ground.is_edge(i) { ground.z_m()[i] } else { f64::INFINITY }).collect();
    loop {
        let mut changed = false;
        for i in (0..frame.len()).filter(|i| ground.known()[*i]) {
            for direction in 0..8 {
                let Some(n) = frame.neighbour(i, direction).filter(|n| ground.known()[*n]) else {
                    continue;
                };
                let level = ground.z_m()[i].max(water[n]);
                if level < water[i] {
                    water[i] = level;
                    changed = true;
                }
            }
        }
        if !changed {
            return water;
        }
    }
}

/// Small rasters of whole heights, so that equal heights, flats and nested hollows are common; −9 is unknown.
fn whole_heights() -> impl Strategy<Value = Grid> {
    (1..13_usize, 1..15_usize).prop_flat_map(|(columns, rows)| {
        let height = prop_oneof![19 => (-3..9_i32).prop_map(f64::from), 1 => Just(f64::NAN)];
        proptest::collection::vec(height, columns * rows)
            .prop_map(move |z_m| Grid::new(frame(columns, rows), z_m))
    })
}

proptest! {
    #[test]
    fn equals_the_slow_definition(ground in whole_heights()) {
        let filled = fill(ground.clone());
        let slow = slow_fill(&ground);
        prop_assert_eq!(filled.ground.z_m(), &slow[..]);
        let raised: Vec<f64> = (0..slow.len()).filter(|i| ground.known()[*i]).map(|i| slow[i] - ground.z_m()[i]).collect();
        prop_assert_eq!(filled.volume_m3, raised.iter().sum::<f64>());
        prop_assert_eq!(filled.raised_cells, raised.iter().filter(|by| **by > 0.0).count());
    }

    #[test]
    fn again_changes_nothing_and_edges_stay(ground in whole_heights()) {
        let once = fill(ground.clone()).ground;
        let twice = fill(once.clone());
        prop_assert_eq!(twice.raised_cells, 0);
        prop_assert_eq!(&twice.ground, &once);
        for i in 0..ground.z_m().len() {
            prop_assert!(once.z_m()[i] >= ground.z_m()[i]);
            prop_assert!(!ground.is_edge(i) || once.z_m()[i] == ground.z_m()[i]);
        }
    }

    #[test]
    fn lifted_ground_fills_alike(ground in whole_heights()) {
        let lift = |grid: &Grid| Grid::new(*grid.frame(), grid.z_m().iter().map(|z| z + 64.0).collect());
        prop_assert_eq!(fill(lift(&ground)).ground, lift(&fill(ground).ground));
    }

    /// On filled ground all water leaves, whichever way it is routed.
    #[test]
    fn filled_ground_drains(ground in whole_heights()) {
        let filled = fill(ground).ground;
        for paths in [FlowPaths::d8(&filled), FlowPaths::d_infinity(&filled)] {
            let cells = paths.accumulate();
            let known = filled.known().iter().filter(|known| **known).count() as f64;
            prop_assert!((0..cells.len()).all(|i| paths.way(i) != Way::Stays));
            let leaving: f64 = (0..cells.len()).filter(|i| paths.way(*i) == Way::Leaves).map(|i| cells[i]).sum();
            prop_assert!((leaving - known).abs() < 1e-9);
        }
    }

    /// Every cell but an outlet falls to some neighbour, and the least steps stay far below what was measured.
    #[test]
    fn draining_ground_falls_everywhere(ground in whole_heights()) {
        let level = fill(ground.clone()).ground;
        let sloping = fill_draining(ground).ground;
        let frame = *level.frame();
        for i in (0..frame.len()).filter(|i| level.known()[*i]) {
            let z = sloping.z_m()[i];
            let falls = (0..8).filter_map(|d| frame.neighbour(i, d)).any(|n| sloping.z_m()[n] < z);
            prop_assert!(falls || level.is_edge(i));
            // At most one step of 2⁻⁴⁹ m a cell of the way out, heights being under 16 m.
            prop_assert!((0.0..1e-12).contains(&(z - level.z_m()[i])));
        }
    }

    /// The hollows that spill off hold all there is, and none is lost between them.
    #[test]
    fn hollows_hold_what_was_filled(ground in whole_heights()) {
        let filled = fill(ground.clone());
        let found = hollows(&ground, &filled.ground, &FlowPaths::d8(&filled.ground));
        let outer = || found.iter().filter(|h| h.within.is_none());
        prop_assert_eq!(outer().map(|h| h.volume_m3).sum::<f64>(), filled.volume_m3);
        prop_assert_eq!(outer().map(|h| h.cells).sum::<usize>(), filled.raised_cells);
        for (i, hollow) in found.iter().enumerate() {
            prop_assert!(hollow.depth_m > 0.0);
            prop_assert_eq!(ground.cell_z_m(hollow.sill), Some(hollow.sill_z_m));
            let parts = || found.iter().filter(|part| part.within == Some(i));
            prop_assert!(parts().count() != 1, "one part alone is the hollow itself");
            prop_assert!(parts().map(|part| part.volume_m3).sum::<f64>() < hollow.volume_m3);
        }
    }
}

/// Growth: four times the cells must not queue more than four times as often, nor crowd the ordered bin.
/// Rough ground with a gentle fall, the same at every size.
#[test]
fn work_grows_with_the_cells() {
    let queued = |side: usize| {
        let mut ground = Grid::from_fn(frame(side, side), |p| {
            // A hash of the place in whole numbers gives noise that is the same on every machine.
            let mix = (p.x_m as u64 * 0x9E37_79B9 + p.y_m as u64 * 0x85EB_CA6B) % 65_521;
            Some(0.02 * p.y_m + 0.04 * (mix as f64 / 65_521.0))
        });
        let frame = *ground.frame();
        let (z_m, known) = ground.parts_mut();
        let mut flood = Flood::from_the_edge(frame, z_m, known);
        flood.fill_level();
        (flood.queued as f64, flood.queue.busiest() as f64)
    };
    let (small, small_busiest) = queued(128);
    let (large, large_busiest) = queued(256);
    assert!(small <= 128.0 * 128.0 && large <= 256.0 * 256.0, "each cell waits at most once");
    assert!(large <= 4.2 * small, "{small} {large}");
    assert!(large_busiest <= 4.2 * small_busiest, "{small_busiest} {large_busiest}");
}
