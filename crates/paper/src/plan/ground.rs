//! The lie of the land: soft relief and labelled contours.

use ground::{Contour, Grid, Point, contour_levels, contours, hillshade};
use quantity::figures::fixed;

use super::Sketch;
use crate::ink::{CONTOUR, CONTOUR_PEN, Face, INDEX_CONTOUR_PEN, RELIEF_LIGHT, RELIEF_SHADE};
use crate::labels::LabelBox;
use crate::lettering::{BELOW_SHARE, CAPITAL_SHARE, width_mm};
use crate::page::{Align, Mark, Picture, Rect, Spot, Text};
use crate::relief;
use crate::scale::round_step;
use crate::symbols::{Along, length_mm, stations};

/// Contours stand no closer than this on average where the ground has its mean slope.
const SPACING_MM: f64 = 4.0;
const LABEL_MM: f64 = 2.0;
/// From label to label along one contour.
const LABEL_EACH_MM: f64 = 130.0;
/// Gentle ground shows better with its heights raised; a drawing's choice, no source.
const EXAGGERATION: f64 = 2.0;

/// Cells finer than this are not seen on paper.
const FINEST_MM: f64 = 0.5;

/// Draws relief and contours; gives back the interval and that of the heavy contours.
pub(super) fn draw(sketch: &mut Sketch) -> Option<(f64, f64)> {
    let surface = sketch.subject.site.ground.as_ref()?;
    let grid = relief::shown(surface, sketch.window.bounds(), sketch.window.ground_m(FINEST_MM))?;
    draw_relief(sketch, &grid);
    let interval_m = interval_m(sketch, &grid)?;
    let heavy_m = heavy_m(interval_m);
    for contour in contours(&grid, &contour_levels(&grid, interval_m)) {
        draw_contour(sketch, &contour, heavy_m);
    }
    Some((interval_m, heavy_m))
}

/// A round interval at which contours of the window's mean slope stand [`SPACING_MM`] apart.
fn interval_m(sketch: &Sketch, grid: &Grid) -> Option<f64> {
    let shown = sketch.window.bounds();
    let frame = grid.frame();
    let (mut sum, mut count) = (0.0, 0.0);
    for i in 0..frame.len() {
        let cell = frame.cell(i);
        if !shown.contains(frame.centre(cell)) {
            continue;
        }
        if let Some(climb) = grid.gradient(cell) {
            sum += climb.slope();
            count += 1.0;
        }
    }
    let mean = if count > 0.0 { sum / count } else { return None };
    (mean > 0.0).then(|| round_step(mean * sketch.window.ground_m(SPACING_MM)))
}

/// Every fifth contour is heavy, or every fourth where the interval is 5 of something: so that heavy ones have
/// round heights.
fn heavy_m(interval_m: f64) -> f64 {
    let is_five = |ten: f64| (interval_m / ten - 5.0).abs() < 1e-6;
    let ten = 10f64.powi(libm::floor(libm::log10(interval_m * (1.0 + 1e-9))) as i32);
    if is_five(ten) { 4.0 * interval_m } else { 5.0 * interval_m }
}

fn draw_relief(sketch: &mut Sketch, grid: &Grid) {
    let bounds = grid.frame().bounds();
    let shade = hillshade(grid, EXAGGERATION);
    let png = relief::png(grid.frame(), &shade, RELIEF_SHADE, RELIEF_LIGHT);
    let north_west = sketch.window.spot(Point::new(bounds.min_x_m, bounds.max_y_m));
    let south_east = sketch.window.spot(Point::new(bounds.max_x_m, bounds.min_y_m));
    let frame = Rect::new(
        north_west.x_mm,
        north_west.y_mm,
        south_east.x_mm - north_west.x_mm,
        south_east.y_mm - north_west.y_mm,
    );
    sketch.ground.push(Mark::Picture(Picture { frame, png }));
}

fn draw_contour(sketch: &mut Sketch, contour: &Contour, heavy_m: f64) {
    let number = contour.z_m / heavy_m;
    let is_heavy = (number - number.round()).abs() < 1e-6;
    let pen = if is_heavy { INDEX_CONTOUR_PEN } else { CONTOUR_PEN };
    let spots: Vec<Spot> = contour.line.points().iter().map(|at| sketch.window.spot(*at)).collect();
    let reach = sketch.window.frame.inset(-5.0);
    for piece in inside(&spots, &reach) {
        if is_heavy {
            sketch.contours.push((contour.z_m, heavy_m, piece.to_vec()));
        } else {
            sketch.ground.push(Mark::run(piece.to_vec(), pen));
        }
    }
}

/// The pieces of a line that come near the frame, so that a whole hill's contours do not fill the file.
fn inside<'a>(spots: &'a [Spot], reach: &Rect) -> Vec<&'a [Spot]> {
    let near: Vec<bool> = spots.windows(2).map(|pair| pair.iter().any(|s| reach.contains(*s))).collect();
    let mut pieces = Vec::new();
    let mut start = None;
    for (i, near) in near.iter().enumerate() {
        match (near, start) {
            (true, None) => start = Some(i),
            (false, Some(from)) => {
                pieces.push(&spots[from..=i]);
                start = None;
            }
            _ => {}
        }
    }
    if let Some(from) = start {
        pieces.push(&spots[from..]);
    }
    pieces
}

/// Labels the heavy contours where there is room, and draws them with gaps for their labels. Comes after all
/// other names: a contour gives way.
pub(super) fn label_contours(sketch: &mut Sketch) {
    let lines = std::mem::take(&mut sketch.contours);
    for (z_m, heavy_m, spots) in lines {
        let decimals = if heavy_m < 0.95 { 1 } else { 0 };
        let words = fixed(z_m, decimals);
        let size = (width_mm(&words, Face::Sans, LABEL_MM) + 1.2, (CAPITAL_SHARE + BELOW_SHARE) * LABEL_MM);
        let mut gaps = Vec::new();
        let whole_mm = length_mm(&spots);
        let mut next_mm = 0.0;
        for along in stations(&spots, 8.0, 3.0) {
            if along.at_mm < next_mm || along.at_mm > whole_mm - 5.0 {
                continue;
            }
            let wish = LabelBox {
                centre: along.spot,
                width_mm: size.0,
                height_mm: size.1,
                turn_deg: along.upright_turn_deg(),
            };
            if is_straight(&spots, &along, size.0) && sketch.taken.place_off_ink(&wish) {
                gaps.push((along.at_mm - size.0 / 2.0, along.at_mm + size.0 / 2.0));
                sketch.contour_labels.push(label(&words, &along));
                next_mm = along.at_mm + LABEL_EACH_MM;
            }
        }
        for piece in between_gaps(&spots, &gaps) {
            sketch.ground.push(Mark::run(piece, INDEX_CONTOUR_PEN));
        }
    }
}

/// Whether a contour bends so little under a label that the label lies on it.
fn is_straight(spots: &[Spot], along: &Along, width_mm: f64) -> bool {
    const BEND_MM: f64 = 0.5;
    let ends = [along.at_mm - width_mm / 2.0, along.at_mm + width_mm / 2.0];
    let chord = ends.map(|at_mm| stations(spots, at_mm, f64::INFINITY).first().map(|a| a.spot));
    let [Some(from), Some(to)] = chord else {
        return false;
    };
    let middle = from.towards(to, 0.5);
    middle.distance_mm(along.spot) < BEND_MM && from.distance_mm(to) > 0.95 * width_mm
}

fn label(words: &str, along: &Along) -> Mark {
    let turn_deg = along.upright_turn_deg();
    let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(turn_deg));
    let down_mm = LABEL_MM * CAPITAL_SHARE / 2.0;
    Text::new(along.spot.moved(-sin * down_mm, cos * down_mm), words, Face::Sans, LABEL_MM)
        .aligned(Align::Middle)
        .in_colour(CONTOUR)
        .turned(turn_deg)
        .rimmed()
        .into()
}

/// A line without the stretches between pairs of distances along it, which are in order.
fn between_gaps(spots: &[Spot], gaps: &[(f64, f64)]) -> Vec<Vec<Spot>> {
    let mut pieces = vec![Vec::new()];
    let mut gaps = gaps.iter().copied().peekable();
    let mut passed_mm = 0.0;
    pieces[0].extend(spots.first());
    for pair in spots.windows(2) {
        let length_mm = pair[0].distance_mm(pair[1]);
        let at = |mm: f64| pair[0].towards(pair[1], (mm - passed_mm) / length_mm);
        let end_mm = passed_mm + length_mm;
        let mut in_gap = false;
        while let Some((from_mm, to_mm)) = gaps.peek().copied() {
            if from_mm > end_mm {
                break;
            }
            let last = pieces.len() - 1;
            if from_mm >= passed_mm {
                pieces[last].push(at(from_mm));
            }
            if to_mm > end_mm {
                in_gap = true;
                break;
            }
            pieces.push(vec![at(to_mm)]);
            gaps.next();
        }
        if !in_gap {
            let last = pieces.len() - 1;
            pieces[last].push(pair[1]);
        }
        passed_mm = end_mm;
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heavy_contours_have_round_heights() {
        for (interval_m, heavy) in [(0.1, 0.5), (0.2, 1.0), (0.5, 2.0), (1.0, 5.0), (5.0, 20.0)] {
            assert!((heavy_m(interval_m) - heavy).abs() < 1e-9, "{interval_m}: {}", heavy_m(interval_m));
        }
    }

    /// 0 to 10 mm with gaps 2–3 and 4.5–6.5 mm, corners each millimetre.
    #[test]
    fn gaps_are_left_out() {
        let spots: Vec<Spot> = (0..=10).map(|i| Spot::new(f64::from(i), 0.0)).collect();
        let pieces = between_gaps(&spots, &[(2.2, 2.8), (4.5, 6.5)]);
        let ends: Vec<(f64, f64)> =
            pieces.iter().map(|piece| (piece[0].x_mm, piece[piece.len() - 1].x_mm)).collect();
        for (found, expected) in ends.iter().zip([(0.0, 2.2), (2.8, 4.5), (6.5, 10.0)]) {
            assert!((found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9, "{ends:?}");
        }
        assert_eq!(ends.len(), 3);
    }
}
