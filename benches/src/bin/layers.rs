//! Writes what the kernels make of a raster, so that `benches/compare/crosscheck.py` can hold it against other
//! libraries cell by cell.
//!
//! Usage: `layers COLUMNS ROWS IN OUT`. `IN` holds heights as little-endian doubles, row by row from the
//! north-west, not a number where nothing is known. `OUT` gets six layers of the same shape one after another:
//! filled heights; draining heights; D8 direction (eighths of a turn counter-clockwise from east, −1 where water
//! does not go on); D8 area in cells; D∞ direction in radians counter-clockwise from east (−1 likewise); D∞
//! area. Directions and areas are of the heights as they came, not filled.

use std::process::ExitCode;

use ground::{FlowPaths, Frame, Grid, fill, fill_draining};

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match run(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(what) => {
            eprintln!("{what}");
            ExitCode::from(2)
        }
    }
}

fn run(arguments: &[String]) -> Result<(), String> {
    let [columns, rows, source, target] = arguments else {
        return Err("usage: layers COLUMNS ROWS IN OUT".to_owned());
    };
    let count = |text: &String| text.parse::<usize>().map_err(|e| format!("{text}: {e}"));
    let frame =
        Frame { columns: count(columns)?, rows: count(rows)?, cell_m: 1.0, west_m: 0.0, north_m: 0.0 };
    let bytes = std::fs::read(source).map_err(|e| format!("{source}: {e}"))?;
    let doubles = bytes.as_chunks::<8>().0;
    if doubles.len() != frame.len() {
        return Err(format!("{source}: {} doubles for {} cells", doubles.len(), frame.len()));
    }
    let ground = Grid::new(frame, doubles.iter().map(|double| f64::from_le_bytes(*double)).collect());
    let written: Vec<u8> = layers(&ground).iter().flatten().flat_map(|value| value.to_le_bytes()).collect();
    std::fs::write(target, written).map_err(|e| format!("{target}: {e}"))
}

fn layers(ground: &Grid) -> [Vec<f64>; 6] {
    let (d8, d_infinity) = (FlowPaths::d8(ground), FlowPaths::d_infinity(ground));
    let directions = |paths: &FlowPaths| -> Vec<f64> {
        (0..ground.z_m().len()).map(|i| paths.angle_rad(i).unwrap_or(-1.0)).collect()
    };
    let eighths = |rad: f64| {
        if rad < 0.0 { rad } else { (rad / std::f64::consts::FRAC_PI_4).round() }
    };
    [
        fill(ground.clone()).ground.z_m().to_vec(),
        fill_draining(ground.clone()).ground.z_m().to_vec(),
        directions(&d8).into_iter().map(eighths).collect(),
        d8.accumulate(),
        directions(&d_infinity),
        d_infinity.accumulate(),
    ]
}
