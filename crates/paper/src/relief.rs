//! Light and shade as a picture.

use ground::{Bounds, Frame, Grid, Surface};

use crate::ink::Colour;

/// Steps from shade to light: soft enough for the eye, few enough for a small file.
const STEPS: u8 = 32;

/// What a window shows of the ground, as a raster with cells of at least `cell_m`; none where it shows none. A
/// raster keeps its own cells, or one in so many of them where they are finer than that: a hill of any size costs
/// no more than the paper it is drawn on.
pub fn shown(surface: &Surface, window: Bounds, cell_m: f64) -> Option<Grid> {
    let (frame, nth) = match surface {
        Surface::Grid(grid) => (*grid.frame(), odd_at_least(cell_m / grid.frame().cell_m)),
        Surface::Tin(_) => (fine_frame(surface.bounds(), window, cell_m)?, 1),
    };
    let frame = cropped(&frame, window, nth)?;
    Some(match surface {
        Surface::Grid(grid) => Grid::from_fn(frame, |at| grid.cell_z_m(grid.frame().cell_at(at)?)),
        Surface::Tin(_) => Grid::from_fn(frame, |at| surface.z_m(at)),
    })
}

/// An odd number: the middle of so many cells is the middle of one of them.
fn odd_at_least(times: f64) -> usize {
    let times = times.ceil().max(1.0) as usize;
    times + (times + 1) % 2
}

/// Cells of one size over the part of a net that shows.
fn fine_frame(net: Bounds, window: Bounds, cell_m: f64) -> Option<Frame> {
    let (west_m, north_m) = (net.min_x_m.max(window.min_x_m), net.max_y_m.min(window.max_y_m));
    let (width_m, height_m) =
        (net.max_x_m.min(window.max_x_m) - west_m, north_m - net.min_y_m.max(window.min_y_m));
    let count = |length_m: f64| (length_m / cell_m).ceil().max(1.0) as usize;
    let shows = width_m > 0.0 && height_m > 0.0;
    shows.then(|| Frame { columns: count(width_m), rows: count(height_m), cell_m, west_m, north_m })
}

/// The part of a frame that meets a window, in cells `nth` times as large that lie on its own.
fn cropped(frame: &Frame, window: Bounds, nth: usize) -> Option<Frame> {
    let cell_m = frame.cell_m * nth as f64;
    let span = |from_m: f64, to_m: f64, cells: usize| {
        let first = (from_m / cell_m).floor().max(0.0) as usize;
        let end = ((to_m / cell_m).ceil().max(0.0) as usize).min(cells.div_ceil(nth));
        (first < end).then(|| (first, end - first))
    };
    let (column, columns) =
        span(window.min_x_m - frame.west_m, window.max_x_m - frame.west_m, frame.columns)?;
    let (row, rows) = span(frame.north_m - window.max_y_m, frame.north_m - window.min_y_m, frame.rows)?;
    Some(Frame {
        columns,
        rows,
        cell_m,
        west_m: frame.west_m + column as f64 * cell_m,
        north_m: frame.north_m - row as f64 * cell_m,
    })
}

/// A PNG with a pixel a cell, from shade to light by brightness; unknown ground is clear.
///
/// The darkest and the brightest cell get the ends of the range, but a range below a tenth of full brightness
/// is not stretched: nearly even ground stays nearly even.
///
/// # Panics
/// The number of cells is not the frame's.
pub fn png(frame: &Frame, brightness: &[Option<f64>], shade: Colour, light: Colour) -> Vec<u8> {
    assert_eq!(brightness.len(), frame.len(), "cells");
    const LEAST_RANGE: f64 = 0.1;
    let known = || brightness.iter().flatten();
    let low = known().fold(f64::INFINITY, |a, b| a.min(*b));
    let high = known().fold(f64::NEG_INFINITY, |a, b| a.max(*b));
    let range = (high - low).max(LEAST_RANGE);
    let pixel = |value: &Option<f64>| match value {
        None => STEPS,
        Some(value) => {
            let share = 1.0 - (high - value) / range;
            (share * f64::from(STEPS - 1)).round() as u8
        }
    };
    let pixels: Vec<u8> = brightness.iter().map(pixel).collect();
    let mut palette = Vec::new();
    let mut clear = Vec::new();
    for step in 0..STEPS {
        let colour = shade.towards(light, f64::from(step) / f64::from(STEPS - 1));
        palette.extend([colour.0, colour.1, colour.2]);
        clear.push(u8::MAX);
    }
    palette.extend([light.0, light.1, light.2]);
    clear.push(0);
    encode(frame, &pixels, palette, clear).expect("a picture in memory is always written")
}

fn encode(
    frame: &Frame,
    pixels: &[u8],
    palette: Vec<u8>,
    clear: Vec<u8>,
) -> Result<Vec<u8>, png::EncodingError> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, frame.columns as u32, frame.rows as u32);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette);
    encoder.set_trns(clear);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels)?;
    writer.finish()?;
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 900 × 900 cells of 0.1 m; the window shows 20 m by 10 m of them. At 0.25 m on paper three cells make one:
    /// 67 or 68 columns of 0.3 m, and each has the height of the cell in its middle.
    #[test]
    fn a_large_hill_costs_what_its_window_costs() {
        let frame = Frame { columns: 900, rows: 900, cell_m: 0.1, west_m: 0.0, north_m: 90.0 };
        let hill = Surface::Grid(Grid::from_fn(frame, |at| Some(at.x_m + 2.0 * at.y_m)));
        let window = Bounds { min_x_m: 40.0, min_y_m: 30.0, max_x_m: 60.0, max_y_m: 40.0 };
        let grid = shown(&hill, window, 0.25).unwrap();
        let seen = *grid.frame();
        assert!((67..=68).contains(&seen.columns) && (34..=35).contains(&seen.rows), "{seen:?}");
        assert!(seen.bounds().contains(ground::Point::new(50.0, 35.0)), "{seen:?}");
        let middle = seen.centre(seen.cell(seen.len() / 2));
        let z_m = grid.cell_z_m(seen.cell(seen.len() / 2)).unwrap();
        assert!((z_m - (middle.x_m + 2.0 * middle.y_m)).abs() < 1e-9);
        let whole = shown(&hill, Bounds { min_x_m: -5.0, min_y_m: -5.0, max_x_m: 95.0, max_y_m: 95.0 }, 1.0);
        assert_eq!(whole.unwrap().frame().columns, 82, "cells of 1.1 m over 90 m");
        let beside = Bounds { min_x_m: 200.0, min_y_m: 0.0, max_x_m: 210.0, max_y_m: 10.0 };
        assert!(shown(&hill, beside, 0.25).is_none());
    }

    /// Read back by the same library: the brightest cell is the light's colour, the darkest the shade's, and
    /// what is not known is clear.
    #[test]
    fn ends_of_the_range_and_unknown_ground() {
        let frame = Frame { columns: 3, rows: 1, cell_m: 1.0, west_m: 0.0, north_m: 1.0 };
        let (shade, light) = (Colour(10, 20, 30), Colour(200, 210, 220));
        let file = png(&frame, &[Some(0.2), None, Some(0.9)], shade, light);
        let mut decoder = png::Decoder::new(std::io::Cursor::new(file));
        decoder.set_transformations(png::Transformations::EXPAND);
        let mut reader = decoder.read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut pixels).unwrap();
        assert_eq!(&pixels[0..4], [10, 20, 30, 255]);
        assert_eq!(pixels[7], 0);
        assert_eq!(&pixels[8..12], [200, 210, 220, 255]);
    }
}
