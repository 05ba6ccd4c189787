//! Metre figures round the map, with short ticks inwards: where a place is in site metres.

use quantity::figures::fixed;

use super::sheet::GRID_BAND_MM;
use crate::ink::{Face, INK_2, MARK_PEN};
use crate::page::{Align, Mark, Spot, Text};
use crate::scale::{Window, round_step, ticks};

const FIGURE_MM: f64 = 2.0;
/// Figures stand at least so far apart.
const SPACING_MM: f64 = 18.0;
const TICK_MM: f64 = 1.8;

/// Ticks and figures on all four sides.
pub(super) fn draw(window: &Window) -> Vec<Mark> {
    let bounds = window.bounds();
    let step_m = round_step(window.ground_m(SPACING_MM));
    let decimals = if step_m < 1.0 { 1 } else { 0 };
    let frame = &window.frame;
    let mut marks = Vec::new();
    for x_m in ticks(bounds.min_x_m, bounds.max_x_m, step_m) {
        let x = window.spot(::ground::Point::new(x_m, bounds.min_y_m)).x_mm;
        for (edge, inwards, base) in [
            (frame.top_mm, TICK_MM, frame.top_mm - 1.3),
            (frame.bottom_mm(), -TICK_MM, frame.bottom_mm() + GRID_BAND_MM - 1.5),
        ] {
            marks.push(Mark::run(vec![Spot::new(x, edge), Spot::new(x, edge + inwards)], MARK_PEN));
            marks.push(figure(Spot::new(x, base), fixed(x_m, decimals), 0.0));
        }
    }
    for y_m in ticks(bounds.min_y_m, bounds.max_y_m, step_m) {
        let y = window.spot(::ground::Point::new(bounds.min_x_m, y_m)).y_mm;
        for (edge, inwards, base) in [
            (frame.left_mm, TICK_MM, frame.left_mm - 1.3),
            (frame.right_mm(), -TICK_MM, frame.right_mm() + GRID_BAND_MM - 1.5),
        ] {
            marks.push(Mark::run(vec![Spot::new(edge, y), Spot::new(edge + inwards, y)], MARK_PEN));
            marks.push(figure(Spot::new(base, y), fixed(y_m, decimals), -90.0));
        }
    }
    marks
}

fn figure(at: Spot, words: String, turn_deg: f64) -> Mark {
    Text::new(at, words, Face::Sans, FIGURE_MM)
        .aligned(Align::Middle)
        .in_colour(INK_2)
        .turned(turn_deg)
        .into()
}
