//! Light and shade as a picture.

use ground::Frame;

use crate::ink::Colour;

/// Steps from shade to light: soft enough for the eye, few enough for a small file.
const STEPS: u8 = 32;

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
