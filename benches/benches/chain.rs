//! The chain of lines in time, named kernel/site/cells: five lines as long as the demo's, and twenty lines of
//! 100 m in half-metre cells, each through a day with six hours of rain.

use water::chain::{
    Cell, CellAt, Chain, ChainCrest, ChainLine, ChainParts, CrestKind, CrestPart, End, Inflow, Settings,
    Soak, Start, Target, run,
};
use water::section::HandSection;
use water::soak::Texture;
use water::weir::Crest;

fn main() {
    divan::main();
}

/// Lines one below the other, each level within a hand tool's error, a sill at its end, a bank along it.
fn lines_below_each_other(lines: usize, cells: usize, length_m: f64) -> Chain {
    let section = HandSection {
        cross_slope: 0.15,
        bed_width_m: 0.4,
        depth_m: 0.3,
        cut_batter: 1.0,
        ledge_m: 0.2,
        bank_height_m: 0.25,
        bank_top_m: 0.3,
        bank_batter: 1.5,
    }
    .section()
    .expect("a section that the demo digs");
    let mut parts = ChainParts::default();
    for line in 0..lines {
        let ground_z_m = 100.0 - 2.0 * line as f64;
        let cell = |index: usize| Cell {
            length_m,
            ground_z_m: ground_z_m + 0.02 * libm::sin(0.7 * index as f64),
            section: section.clone(),
            manning_n: 0.06,
            soak: Soak::GreenAmpt(Texture::Loam.green_ampt(0.5)),
        };
        parts
            .lines
            .push(ChainLine { cells: (0..cells).map(cell).collect(), ends: [End::Closed, End::Closed] });
        let to = if line + 1 < lines {
            Target::Cell(CellAt { line: line + 1, cell: 0 })
        } else {
            Target::Leaves(0)
        };
        let part = |cell: usize, z_m: f64, length_m: f64| CrestPart { cell, z_m, length_m, to };
        let rough = Crest::Rough { breadth_m: 0.3, manning_n: 0.05 };
        parts.crests.push(ChainCrest {
            line,
            kind: CrestKind::Bank,
            crest: rough,
            parts: (0..cells).map(|index| part(index, ground_z_m + 0.2, length_m)).collect(),
        });
        parts.crests.push(ChainCrest {
            line,
            kind: CrestKind::Sill,
            crest: rough,
            parts: vec![part(cells - 1, ground_z_m + 0.02, 1.5)],
        });
    }
    Chain::new(parts).expect("lines that lead downhill")
}

/// Six hours of rain that swells and ebbs, 0.1 L/s a metre of line at its hardest.
fn storm(chain: &Chain) -> Vec<Inflow> {
    let lines = chain.lines().iter().enumerate();
    let inflow = |(line, chain_line): (usize, &ChainLine)| {
        let cells = chain_line.cells.len();
        let length_m: f64 = chain_line.cells.iter().map(|cell| cell.length_m).sum();
        Inflow {
            line,
            shares: vec![1.0 / cells as f64; cells],
            step_s: 300.0,
            flow_m3_s: (0..72)
                .map(|step| 1e-4 * length_m * libm::pow(libm::sin(0.0436 * f64::from(step)), 4.0))
                .collect(),
        }
    };
    lines.map(inflow).collect()
}

fn a_day() -> Settings {
    Settings { end_s: 86_400.0, snapshots_s: Vec::new(), hydrograph_step_s: 300.0, start: Start::Dry }
}

fn through_a_day(bencher: divan::Bencher, chain: &Chain) {
    let (inflows, settings) = (storm(chain), a_day());
    let work = run(chain, &inflows, &settings).expect("a chain that runs").work;
    eprintln!("{} steps, {} rounds, {} taken back", work.steps, work.rounds, work.rejected);
    bencher.bench(|| run(chain, &inflows, &settings));
}

#[divan::bench(name = "chain/five lines/300")]
fn five_lines(bencher: divan::Bencher) {
    through_a_day(bencher, &lines_below_each_other(5, 60, 1.0));
}

#[divan::bench(name = "chain/two kilometres/4000", sample_count = 5)]
fn two_kilometres(bencher: divan::Bencher) {
    through_a_day(bencher, &lines_below_each_other(20, 200, 0.5));
}
