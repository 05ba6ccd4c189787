//! Labels that do not lie on each other.
//!
//! Greedy: labels are set in the order of their weight, each at the first of its wished places that is free,
//! or else at the one with the least ink under it. A place is free when the label's box meets no other box and
//! stays on the sheet. Boxes may be turned; two turned boxes are apart when a side of one parts them
//! (separating axis).

use crate::page::{Rect, Spot};

/// A rectangle, turned about its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelBox {
    /// Its middle.
    pub centre: Spot,
    /// Along the words.
    pub width_mm: f64,
    /// Across the words.
    pub height_mm: f64,
    /// Turned clockwise, degrees.
    pub turn_deg: f64,
}

/// What is taken on a sheet.
#[derive(Debug, Clone)]
pub struct Taken {
    within: Rect,
    boxes: Vec<LabelBox>,
    /// Places on lines that a label would rather not cover.
    ink: Vec<Spot>,
}

impl LabelBox {
    /// An upright box from a rectangle.
    pub fn upright(rect: Rect) -> LabelBox {
        LabelBox { centre: rect.centre(), width_mm: rect.width_mm, height_mm: rect.height_mm, turn_deg: 0.0 }
    }

    /// Its corners, in order round it.
    pub fn corners(&self) -> [Spot; 4] {
        let (along, across) = self.axes();
        let (w, h) = (self.width_mm / 2.0, self.height_mm / 2.0);
        [(-w, -h), (w, -h), (w, h), (-w, h)]
            .map(|(u, v)| self.centre.moved(u * along.0 + v * across.0, u * along.1 + v * across.1))
    }

    /// Whether two boxes share any area.
    pub fn meets(&self, other: &LabelBox) -> bool {
        let (a, b) = (self.corners(), other.corners());
        let (sides, other_sides) = (self.axes(), other.axes());
        [sides.0, sides.1, other_sides.0, other_sides.1].into_iter().all(|axis| {
            let (a_low, a_high) = shadow(&a, axis);
            let (b_low, b_high) = shadow(&b, axis);
            a_low < b_high && b_low < a_high
        })
    }

    /// Whether a place lies in it.
    pub fn contains(&self, spot: Spot) -> bool {
        let (along, across) = self.axes();
        let (dx, dy) = (spot.x_mm - self.centre.x_mm, spot.y_mm - self.centre.y_mm);
        let (u, v) = (dx * along.0 + dy * along.1, dx * across.0 + dy * across.1);
        u.abs() <= self.width_mm / 2.0 && v.abs() <= self.height_mm / 2.0
    }

    fn axes(&self) -> ((f64, f64), (f64, f64)) {
        let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(self.turn_deg));
        ((cos, sin), (-sin, cos))
    }
}

/// From where to where corners reach along an axis.
fn shadow(corners: &[Spot; 4], axis: (f64, f64)) -> (f64, f64) {
    let along = corners.map(|c| c.x_mm * axis.0 + c.y_mm * axis.1);
    along.into_iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

impl Taken {
    /// A free area.
    pub fn new(within: Rect) -> Taken {
        Taken { within, boxes: Vec::new(), ink: Vec::new() }
    }

    /// Keeps labels off a place.
    pub fn block(&mut self, taken: LabelBox) {
        self.boxes.push(taken);
    }

    /// Marks a line as one that labels would rather not cover: a place each half millimetre.
    pub fn ink_along(&mut self, spots: &[Spot]) {
        const STEP_MM: f64 = 0.5;
        for pair in spots.windows(2) {
            let steps = (pair[0].distance_mm(pair[1]) / STEP_MM).ceil().max(1.0);
            for i in 0..=steps as usize {
                let spot = pair[0].towards(pair[1], i as f64 / steps);
                if self.within.contains(spot) {
                    self.ink.push(spot);
                }
            }
        }
    }

    /// Whether a label here meets no other and stays inside.
    pub fn is_free(&self, wanted: &LabelBox) -> bool {
        let inside = wanted.corners().iter().all(|corner| self.within.contains(*corner));
        inside && !self.boxes.iter().any(|taken| taken.meets(wanted))
    }

    /// Takes the best of the wished places: the first that is free and covers no line, else the free one that
    /// covers the least. Gives back which; none where no place is free.
    pub fn place(&mut self, wished: &[LabelBox]) -> Option<usize> {
        let mut best: Option<(usize, usize)> = None;
        for (i, wanted) in wished.iter().enumerate() {
            if !self.is_free(wanted) {
                continue;
            }
            let covered = self.ink.iter().filter(|spot| wanted.contains(**spot)).count();
            if best.is_none_or(|(least, _)| covered < least) {
                best = Some((covered, i));
            }
            if covered == 0 {
                break;
            }
        }
        let (_, chosen) = best?;
        self.boxes.push(wished[chosen]);
        Some(chosen)
    }

    /// Takes a place if it is free and covers no line.
    pub fn place_off_ink(&mut self, wanted: &LabelBox) -> bool {
        let is_good = self.is_free(wanted) && !self.ink.iter().any(|spot| wanted.contains(*spot));
        if is_good {
            self.boxes.push(*wanted);
        }
        is_good
    }

    /// Where labels must stay.
    pub fn within(&self) -> Rect {
        self.within
    }

    /// Everything that is taken, in the order in which it was.
    pub fn boxes(&self) -> &[LabelBox] {
        &self.boxes
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SHEET: Rect = Rect::new(0.0, 0.0, 100.0, 100.0);

    fn upright(left_mm: f64, top_mm: f64) -> LabelBox {
        LabelBox::upright(Rect::new(left_mm, top_mm, 10.0, 4.0))
    }

    #[test]
    fn boxes_side_by_side_do_not_meet() {
        assert!(!upright(0.0, 0.0).meets(&upright(10.0, 0.0)));
        assert!(upright(0.0, 0.0).meets(&upright(9.9, 3.9)));
    }

    /// A square of side 2 turned by 45° reaches √2 = 1.414 to the right of its middle: a box that begins at
    /// 1.40 meets it, one that begins at 1.43 does not, although their upright bounds would at both heights.
    #[test]
    fn turned_boxes() {
        let turned = LabelBox { centre: Spot::new(0.0, 0.0), width_mm: 2.0, height_mm: 2.0, turn_deg: 45.0 };
        let at = |left_mm: f64, top_mm: f64| LabelBox::upright(Rect::new(left_mm, top_mm, 1.0, 1.0));
        assert!(turned.meets(&at(1.40, -0.5)));
        assert!(!turned.meets(&at(1.43, -0.5)));
        assert!(!turned.meets(&at(0.9, 0.9)), "in the corner of the bounds only");
    }

    #[test]
    fn takes_the_free_place_with_the_least_ink() {
        let mut taken = Taken::new(SHEET);
        taken.block(upright(0.0, 0.0));
        taken.ink_along(&[Spot::new(20.0, 2.0), Spot::new(30.0, 2.0)]);
        taken.ink_along(&[Spot::new(45.0, 0.0), Spot::new(45.0, 4.0)]);
        let wished = [upright(5.0, 1.0), upright(20.0, 0.0), upright(40.0, 0.0), upright(95.0, 0.0)];
        assert_eq!(taken.place(&wished), Some(2), "taken, on a line, across a line, off the sheet");
        assert_eq!(taken.boxes().len(), 2);
    }

    proptest! {
        /// Whatever is wished, what was placed does not overlap and lies on the sheet.
        #[test]
        fn placed_boxes_never_meet(wishes in prop::collection::vec((0.0..100.0f64, 0.0..100.0f64, -90.0..90.0f64), 1..40)) {
            let mut taken = Taken::new(SHEET);
            for (x_mm, y_mm, turn_deg) in wishes {
                let wanted = LabelBox { centre: Spot::new(x_mm, y_mm), width_mm: 12.0, height_mm: 3.0, turn_deg };
                taken.place(&[wanted]);
            }
            for (i, a) in taken.boxes().iter().enumerate() {
                prop_assert!(a.corners().iter().all(|c| SHEET.contains(*c)));
                for b in &taken.boxes()[i + 1..] {
                    prop_assert!(!a.meets(b) && !b.meets(a));
                }
            }
        }
    }
}
