//! The ground of Quarry Bank, the invented hillside of the demo and the docs.
//!
//! A south-facing slope, 120 m by 100 m, 7 % at its foot and 12 % at its head, with a spur in the west, a
//! shallow draw down the middle, a cart track cut across the top, the level pad of a barn and its yard, and
//! an old quarry in the north-west. Written as an ESRI ASCII grid of 1 m cells with heights in millimetres,
//! as a surveyor would hand it over. Everything here is invented; the sizes were chosen so that every part
//! of the program has something to find.

use std::fmt::Write as _;

const COLUMNS: usize = 120;
const ROWS: usize = 100;

/// Where the file lies in the checkout.
const PATH: &str = "fixtures/quarry-bank/ground/hill.asc";

/// Writes the file.
pub fn write() -> Result<(), String> {
    std::fs::write(PATH, ascii_grid()).map_err(|e| format!("{PATH}: {e}"))
}

fn ascii_grid() -> String {
    let mut text =
        format!("ncols {COLUMNS}\nnrows {ROWS}\nxllcorner 0\nyllcorner 0\ncellsize 1\nNODATA_value -9999\n");
    for row in 0..ROWS {
        let y = ROWS as f64 - row as f64 - 0.5;
        for column in 0..COLUMNS {
            let x = column as f64 + 0.5;
            let separator = if column == 0 { "" } else { " " };
            write!(text, "{separator}{:.3}", height_m(x, y)).expect("a string takes it");
        }
        text.push('\n');
    }
    text
}

fn height_m(x: f64, y: f64) -> f64 {
    let ground = natural_m(x, y);
    let ground = cart_track(x, y, ground);
    let ground = pad(x, y, ground);
    quarry(x, y, ground)
}

/// The hill before people came.
fn natural_m(x: f64, y: f64) -> f64 {
    let fall = 200.0 + 0.07 * y + 0.00025 * y * y;
    let spur = 0.9 * bell((x - 24.0) / 17.0);
    let draw_middle = 66.0 + 0.12 * (50.0 - y);
    let draw = -bell((x - draw_middle) / 15.0) * (0.35 + 0.0065 * y);
    let rolling = 0.14 * libm::sin(x / 9.0) * libm::cos(y / 11.0);
    let tussocks = 0.025 * libm::sin(x / 2.3 + 0.7 * y) * libm::cos(y / 1.9 - 0.4 * x);
    fall + spur + draw + rolling + tussocks
}

/// A track 3 m wide, cut across the slope and falling gently to the east.
fn cart_track(x: f64, y: f64, ground: f64) -> f64 {
    let middle_y = 84.0 - 0.03 * x;
    let level = natural_m(x, middle_y);
    blend(ground, level, (y - middle_y).abs(), 1.5, 3.0)
}

/// The barn's floor and its yard: one level pad.
fn pad(x: f64, y: f64, ground: f64) -> f64 {
    let beyond_x = ((x - 99.0).abs() - 8.0).max(0.0);
    let beyond_y = ((y - 64.0).abs() - 8.0).max(0.0);
    blend(ground, 205.2, (beyond_x * beyond_x + beyond_y * beyond_y).sqrt(), 0.0, 5.0)
}

/// An old quarry: a floor, and a face on three sides.
fn quarry(x: f64, y: f64, ground: f64) -> f64 {
    let across = (x - 17.0).abs() / 10.0;
    let up = (y - 90.0) / 6.0;
    let inside = across * across + if up > 0.0 { up * up } else { 0.25 * up * up };
    let floor = natural_m(17.0, 85.0);
    blend(ground, floor.min(ground), inside.sqrt(), 0.85, 1.15)
}

/// `inner` up to distance `from`, `outer` beyond `to`, smoothly between.
fn blend(outer: f64, inner: f64, distance: f64, from: f64, to: f64) -> f64 {
    let t = ((distance - from) / (to - from)).clamp(0.0, 1.0);
    let t = t * t * (3.0 - 2.0 * t);
    inner + t * (outer - inner)
}

fn bell(u: f64) -> f64 {
    libm::exp(-u * u)
}

#[cfg(test)]
mod tests {
    /// The committed file is what this code makes.
    #[test]
    fn the_committed_ground_is_fresh() {
        let committed = include_str!("../../fixtures/quarry-bank/ground/hill.asc");
        assert!(committed == super::ascii_grid(), "run: cargo run -p xtask -- demo-ground");
    }
}
