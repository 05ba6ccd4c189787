//! Chains and storms by the dozen, for the properties that must hold whatever the chain. Used by the tests beside the
//! code and by the long test.

use water::chain::*;
use water::pipe::{Mouth, Pipe};
use water::section::{HandSection, Section};
use water::soak::Texture;
use water::weir::Crest;

/// Numbers that look random and are the same on every machine: Marsaglia's 64-bit xorshift (2003).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(0x9E37_79B9_7F4A_7C15 ^ (seed + 1).wrapping_mul(0xD134_2543_DE82_EF95))
    }

    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    pub fn one_in(&mut self, n: u32) -> bool {
        self.next() * f64::from(n) < 1.0
    }

    fn whole(&mut self, below: usize) -> usize {
        (self.next() * below as f64) as usize
    }
}

fn dug(dice: &mut Dice) -> Section {
    HandSection {
        cross_slope: dice.between(0.05, 0.3),
        bed_width_m: dice.between(0.2, 0.6),
        depth_m: dice.between(0.2, 0.4),
        cut_batter: dice.between(0.5, 1.0),
        ledge_m: dice.between(0.0, 0.3),
        bank_height_m: dice.between(0.1, 0.3),
        bank_top_m: 0.3,
        bank_batter: 1.0,
    }
    .section()
    .unwrap()
}

/// A line of hand-dug cells: level with the tool's error, falling, falling backwards, with a hump, or steep.
fn random_line(dice: &mut Dice, top_z_m: f64) -> ChainLine {
    let section = dug(dice);
    let cells = 5 + dice.whole(25);
    let length_m = dice.between(0.5, 2.0);
    let slope = match dice.whole(5) {
        0 => dice.between(0.002, 0.02),
        1 => -dice.between(0.002, 0.01),
        2 => dice.between(0.05, 0.3),
        _ => 0.0,
    };
    let hump = dice.whole(2 * cells);
    let uneven_m = dice.between(0.0, 0.03);
    let beds_z_m: Vec<f64> = (0..cells)
        .map(|cell| {
            let hump_m = if cell == hump { 0.12 } else { 0.0 };
            top_z_m - slope * length_m * cell as f64 + dice.between(-uneven_m, uneven_m) + hump_m
        })
        .collect();
    let soak = if dice.one_in(2) {
        Soak::Steady { rate_m_s: dice.between(0.0, 60.0) / 3.6e6 }
    } else {
        Soak::GreenAmpt(Texture::Loam.green_ampt(dice.between(0.0, 1.0)))
    };
    {
        let manning_n = dice.between(0.03, 0.15);
        let cell = |z_m: &f64| Cell { length_m, ground_z_m: *z_m, section: section.clone(), manning_n, soak };
        ChainLine { cells: beds_z_m.iter().map(cell).collect(), ends: [End::Closed, End::Closed] }
    }
}

/// Lines one below the other, each with its bank, most with a sill, some joined or piped on.
pub fn random_chain(dice: &mut Dice) -> Chain {
    let count = 1 + dice.whole(4);
    let mut parts = ChainParts::default();
    for number in 0..count {
        let below_m = dice.between(0.2, 1.5);
        parts.lines.push(random_line(dice, 100.0 - below_m * number as f64));
    }
    for number in 0..count {
        let next = parts.lines.get(number + 1).map(|line| line.cells.len());
        let to = |dice: &mut Dice| match next {
            Some(cells) => Target::Cell(CellAt { line: number + 1, cell: dice.whole(cells) }),
            None => Target::Leaves(dice.whole(2)),
        };
        let last = match dice.whole(6) {
            0 => End::FreeFall { to: to(dice) },
            1 => End::NormalFlow { slope: 0.02, to: to(dice) },
            2 if next.is_some() => End::Into(CellAt { line: number + 1, cell: dice.whole(next.unwrap()) }),
            _ => End::Closed,
        };
        parts.lines[number].ends[1] = last;
        add_crests(dice, &mut parts, number, to);
    }
    Chain::new(parts).unwrap()
}

fn add_crests(dice: &mut Dice, parts: &mut ChainParts, number: usize, to: impl Fn(&mut Dice) -> Target) {
    let cells = &parts.lines[number].cells;
    let rough = Crest::Rough { breadth_m: 0.3, manning_n: 0.05 };
    let bank = cells
        .iter()
        .enumerate()
        .map(|(cell, piece)| CrestPart {
            cell,
            z_m: piece.ground_z_m + piece.section.brim_z_m() + dice.between(-0.02, 0.0),
            length_m: piece.length_m,
            to: to(dice),
        })
        .collect();
    let sill_cell = dice.whole(cells.len());
    let piece = &cells[sill_cell];
    let sill_z_m = piece.bed_z_m() + dice.between(0.05, 0.8) * piece.section.brim_z_m().abs().max(0.2);
    parts.crests.push(ChainCrest { line: number, kind: CrestKind::Bank, crest: rough, parts: bank });
    if !dice.one_in(4) {
        parts.crests.push(ChainCrest {
            line: number,
            kind: CrestKind::Sill,
            crest: Crest::Smooth,
            parts: vec![CrestPart {
                cell: sill_cell,
                z_m: sill_z_m,
                length_m: dice.between(0.3, 2.0),
                to: to(dice),
            }],
        });
    }
    if dice.one_in(4) {
        let from = dice.whole(cells.len());
        parts.pipes.push(ChainPipe {
            from: CellAt { line: number, cell: from },
            invert_z_m: cells[from].bed_z_m() + 0.05,
            to: to(dice),
            pipe: Pipe {
                diameter_m: dice.between(0.05, 0.2),
                length_m: 3.0,
                slope: 0.02,
                manning_n: 0.012,
                mouth: Mouth::SquareInHeadwall,
            },
        });
    }
}

/// A storm on some lines, from the side or at one place, dry or drenched.
pub fn random_storm(dice: &mut Dice, chain: &Chain) -> Vec<Inflow> {
    let mut inflows = Vec::new();
    for (number, line) in chain.lines().iter().enumerate() {
        let cells = line.cells.len();
        if dice.one_in(3) {
            continue;
        }
        let even = dice.one_in(2);
        let place = dice.whole(cells);
        let shares = (0..cells)
            .map(|cell| match (even, cell == place) {
                (true, _) => 1.0 / cells as f64,
                (false, true) => 1.0,
                (false, false) => 0.0,
            })
            .collect();
        let most_m3_s = dice.between(0.0002, 0.01);
        inflows.push(Inflow {
            line: number,
            shares,
            step_s: 300.0,
            flow_m3_s: (0..12).map(|_| most_m3_s * dice.next()).collect(),
        });
    }
    inflows
}

/// Runs one of them for six hours: every drop accounted for, no cell with less than nothing in it.
pub fn check_random_chain(seed: u64) {
    let mut dice = Dice::new(seed);
    let chain = random_chain(&mut dice);
    let inflows = random_storm(&mut dice, &chain);
    let settings = Settings {
        end_s: 6.0 * 3600.0,
        snapshots_s: vec![1800.0, 6.0 * 3600.0],
        hydrograph_step_s: 600.0,
        start: Start::Dry,
    };
    let outcome = run(&chain, &inflows, &settings).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
    let error_frac = outcome.balance.balance_error_frac;
    assert!(error_frac <= 1e-12, "seed {seed}: {error_frac}");
    assert_eq!(outcome.work.limited_steps_frac, 0.0);
    for line in &outcome.lines {
        let came_m3 = line.start_m3 + line.arrived_m3 + line.passed_in_m3;
        let gone_m3 = line.soaked_m3 + line.stored_m3 + line.passed_on_m3 + line.left_m3;
        assert!((came_m3 - gone_m3).abs() <= 1e-9, "seed {seed}: {came_m3} and {gone_m3}");
        // A cell may owe the next step what the last round left: at most a millilitre a cell, here a thousandth of it.
        assert!(line.stored_m3 >= -1e-9, "seed {seed}: {} stored", line.stored_m3);
        assert!(line.cells.iter().all(|cell| cell.soaked_m3 >= 0.0), "seed {seed}");
    }
}
