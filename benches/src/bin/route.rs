//! Reads a raster, fills its hollows and routes its water (D8): the job that `benches/compare/terrain.sh` times.
//!
//! Usage: `route FILE.tif`. Prints one JSON document.

use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

use folder::raster::{Wanted, read};
use ground::{FlowPaths, fill};

fn main() -> ExitCode {
    let Some(path) = std::env::args().nth(1) else {
        eprintln!("usage: route FILE.tif");
        return ExitCode::from(2);
    };
    let start = Instant::now();
    let raster = match read(Path::new(&path), &Wanted::default()) {
        Ok(raster) => raster,
        Err(faults) => {
            eprintln!("{path}: {faults:?}");
            return ExitCode::from(2);
        }
    };
    let read_s = start.elapsed().as_secs_f64();
    let filled = fill(raster.grid);
    let fill_s = start.elapsed().as_secs_f64() - read_s;
    let paths = FlowPaths::d8(&filled.ground);
    let (raised_cells, volume_m3) = (filled.raised_cells, filled.volume_m3);
    // The heights are not needed for the sums.
    drop(filled.ground);
    let cells = paths.accumulate();
    let route_s = start.elapsed().as_secs_f64() - fill_s - read_s;
    let most_cells = cells.iter().fold(0.0_f64, |most, area| most.max(*area));
    println!(
        "{{\"raised_cells\": {raised_cells}, \"volume_m3\": {volume_m3}, \"most_cells\": {most_cells}, \
         \"read_s\": {read_s}, \"fill_s\": {fill_s}, \"route_s\": {route_s}}}"
    );
    ExitCode::SUCCESS
}
