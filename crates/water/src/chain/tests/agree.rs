//! The two solvers against each other, and what must hold whatever the chain.

use super::build::*;
use super::random::*;
use crate::GRAVITY_M_S2;
use crate::chain::*;

/// Shares of what came that two answers differ by at most.
fn apart_frac(a: &Outcome, b: &Outcome) -> f64 {
    let came_m3 = a.balance.arrived_m3;
    let mut worst_m3 = 0.0_f64;
    for (a, b) in a.lines.iter().zip(&b.lines) {
        for (x, y) in [
            (a.soaked_m3, b.soaked_m3),
            (a.stored_m3, b.stored_m3),
            (a.passed_on_m3, b.passed_on_m3),
            (a.left_m3, b.left_m3),
        ] {
            worst_m3 = worst_m3.max((x - y).abs());
        }
    }
    if came_m3 > 0.0 { worst_m3 / came_m3 } else { worst_m3 }
}

fn reached(line: &LineOutcome) -> usize {
    line.cells.iter().filter(|cell| cell.first_wet_s.is_some()).count()
}

/// Volumes to 1 % of what came, reach to one cell, peak levels to 2 mm and what the long steps leave out: water that
/// is brought to rest lifts the level by up to u²/g (its momentum Q·u against the push g·A of a metre).
#[test]
fn both_solvers_agree() {
    for seed in 0..12 {
        let mut dice = Dice::new(seed);
        let chain = random_chain(&mut dice);
        let inflows = random_storm(&mut dice, &chain);
        let [long, small] = BOTH.map(|solver| run_with(solver, &chain, &inflows, &until(3600.0)).unwrap());
        let apart_frac = apart_frac(&long, &small);
        assert!(apart_frac <= 0.01, "seed {seed}: {apart_frac} of the water");
        for (a, b) in long.lines.iter().zip(&small.lines) {
            assert!(reached(a).abs_diff(reached(b)) <= 1, "seed {seed}");
            let speed_m_s = b.peak_speed_m_s.iter().copied().fold(0.0, f64::max);
            let room_m = 0.002 + speed_m_s * speed_m_s / GRAVITY_M_S2;
            for (p, q) in a.cells.iter().zip(&b.cells) {
                let apart_m = (p.peak_level_z_m - q.peak_level_z_m).abs();
                assert!(apart_m <= room_m, "seed {seed}: {apart_m} m, room {room_m} m");
            }
        }
    }
}

/// Every drop is accounted for, none is made, and steps are never held back.
#[test]
fn no_water_is_lost_in_any_chain() {
    for seed in 100..140 {
        check_random_chain(seed);
    }
}

/// One run a thread, or one after the other: the same bits.
#[test]
fn threads_change_nothing() {
    let answer = |seed: u64| {
        let mut dice = Dice::new(seed);
        let chain = random_chain(&mut dice);
        let inflows = random_storm(&mut dice, &chain);
        run(&chain, &inflows, &until(3600.0)).unwrap()
    };
    let alone: Vec<Outcome> = (20..26).map(answer).collect();
    let together: Vec<Outcome> = std::thread::scope(|scope| {
        let runs: Vec<_> = (20..26).map(|seed| scope.spawn(move || answer(seed))).collect();
        runs.into_iter().map(|run| run.join().unwrap()).collect()
    });
    assert_eq!(alone, together);
}

/// A single line with a sill: more rain never spills less, and a bed that takes more is never wetted farther.
#[test]
fn more_rain_spills_more_and_more_soaking_reaches_less_far() {
    let section = trapezoid(0.4, 1.0, 0.6);
    let beds_z_m: Vec<f64> = (0..40).map(|i| 0.02 * libm::sin(f64::from(i)) - 0.004 * f64::from(i)).collect();
    let answer = |flow_m3_s: f64, rate_mm_h: f64| {
        let soak = Soak::Steady { rate_m_s: rate_mm_h / 3.6e6 };
        let chain = Chain::new(ChainParts {
            lines: vec![line(&section, 1.0, 0.06, soak, &beds_z_m)],
            crests: vec![sill(39, 0.1, 0.5)],
            pipes: Vec::new(),
        })
        .unwrap();
        run(&chain, &[into_cell(0, 40, 0, flow_m3_s, 3600.0)], &until(7200.0)).unwrap()
    };
    // A litre: what the rounds of different runs may differ by.
    let room_m3 = 0.001;
    let mut before_m3 = 0.0;
    for step in 0..8 {
        let left_m3 = answer(0.0005 * f64::from(step), 100.0).lines[0].left_m3;
        assert!(left_m3 >= before_m3 - room_m3, "step {step}: {left_m3} after {before_m3}");
        before_m3 = left_m3;
    }
    assert!(before_m3 > 1.0, "the hardest rain spills");
    let mut before = 41;
    for rate_mm_h in [20.0, 100.0, 300.0, 1000.0, 3000.0] {
        let cells = reached(&answer(0.001, rate_mm_h).lines[0]);
        assert!(cells <= before, "{rate_mm_h} mm/h: {cells} cells after {before}");
        before = cells;
    }
    assert!(before < 40, "the thirstiest bed stops the water");
}

/// The work is counted in cells × rounds: four times the line of the same kind takes four times as much, give or take
/// the steps that the longer way of the front needs.
#[test]
fn work_grows_with_the_metres() {
    let work = |lines: usize| {
        let mut parts = ChainParts::default();
        for _ in 0..lines {
            parts.lines.push(line(&trapezoid(0.4, 1.0, 0.6), 1.0, 0.06, TIGHT, &[0.0; 50]));
        }
        let chain = Chain::new(parts).unwrap();
        let inflows: Vec<Inflow> = (0..lines).map(|line| into_cell(line, 50, 0, 0.001, 600.0)).collect();
        run(&chain, &inflows, &until(3600.0)).unwrap().work.rounds * (50 * lines) as u64
    };
    let (one, sixteen) = (work(1), work(16));
    assert!(sixteen <= 20 * one && 12 * one <= sixteen, "{one} and {sixteen}");
}
