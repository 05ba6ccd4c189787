//! Numbered triangles where the findings are, tied to the list in the margin.

use super::Sketch;
use super::names::ring_wishes;
use crate::ink::{CAUTION, PAPER};
use crate::labels::LabelBox;
use crate::page::{Mark, Pen, Rect};
use crate::symbols::{TRIANGLE_MM, triangle};

/// Sets a triangle as near to each finding's place as there is room.
pub(super) fn draw(sketch: &mut Sketch) {
    let side_mm = TRIANGLE_MM + 0.4;
    for finding in sketch.subject.findings() {
        let Some(at) = sketch.subject.place_of(finding.finding) else {
            continue;
        };
        let spot = sketch.window.spot(at);
        if !sketch.window.frame.contains(spot) {
            continue;
        }
        let mut wishes: Vec<LabelBox> = ring_wishes(spot, 0.8, (side_mm, side_mm));
        wishes.insert(
            0,
            LabelBox::upright(Rect::new(
                spot.x_mm - side_mm / 2.0,
                spot.y_mm - side_mm - 0.6,
                side_mm,
                side_mm,
            )),
        );
        if let Some(chosen) = sketch.taken.place(&wishes) {
            let centre = wishes[chosen].centre;
            if centre.distance_mm(spot) > side_mm {
                for pen in [Pen::new(PAPER, 0.6), Pen::new(CAUTION, 0.2)] {
                    sketch.over.push(Mark::run(vec![centre, spot], pen));
                }
            }
            sketch.over.extend(triangle(centre, finding.number, finding.says_stop()));
        }
    }
}
