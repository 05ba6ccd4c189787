//! The marks by which things are told apart on a plan: drawn here once, for the plan and its legend alike.
//!
//! A swale is a line with ticks on its downhill side, like a bank on a field map; a drain is dashed with
//! arrowheads the way it falls; a chute is two lines with steps between; a pipe two fine lines with closed
//! ends. A sill is a bar across each end of its crest, an arrow shows where its water goes. A tree is a circle
//! with a cross.

use crate::ink::{
    CASING_PEN, CAUTION_GROUND, CAUTION_HATCH, CAUTION_PEN, Face, INK, LINE_PEN, MARK_PEN, PAPER, TREE,
    WATER, WATER_PEN,
};
use crate::lettering::CAPITAL_SHARE;
use crate::page::{Align, Fill, Mark, Pen, Spot, Text};

/// From tick to tick of a swale.
const TICK_SPACING_MM: f64 = 2.2;
/// Length of a tick.
const TICK_MM: f64 = 1.3;
/// From arrowhead to arrowhead of a drain.
const ARROW_SPACING_MM: f64 = 7.0;
/// Length of an arrowhead.
const ARROW_MM: f64 = 1.9;
/// Half the width of a chute's or pipe's mark.
const HALF_CHUTE_MM: f64 = 0.75;
/// Radius of a tree's circle.
pub const TREE_RADIUS_MM: f64 = 1.6;
/// Side of the square that a finding's triangle fills.
pub const TRIANGLE_MM: f64 = 4.2;
/// Radius of the circle round a number.
pub const NUMBER_RADIUS_MM: f64 = 1.9;

/// A place along a drawn line and the way it runs there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Along {
    /// Distance from the line's beginning.
    pub at_mm: f64,
    /// The place.
    pub spot: Spot,
    /// To the right, of a length of one.
    pub right: f64,
    /// Down, likewise.
    pub down: f64,
}

impl Along {
    /// The place so far along the line's direction and so far to its left.
    pub fn beside(&self, ahead_mm: f64, left_mm: f64) -> Spot {
        self.spot
            .moved(ahead_mm * self.right + left_mm * self.down, ahead_mm * self.down - left_mm * self.right)
    }

    /// The way the line runs, degrees clockwise from the right, turned so that words along it stand upright.
    pub fn upright_turn_deg(&self) -> f64 {
        let turn_deg = quantity::convert::rad_to_deg(libm::atan2(self.down, self.right));
        if turn_deg > 90.0 {
            turn_deg - 180.0
        } else if turn_deg <= -90.0 {
            turn_deg + 180.0
        } else {
            turn_deg
        }
    }
}

/// Length of a drawn line.
pub fn length_mm(spots: &[Spot]) -> f64 {
    spots.windows(2).map(|pair| pair[0].distance_mm(pair[1])).sum()
}

/// Places along a drawn line, from `first_mm` on, each `spacing_mm` further.
pub fn stations(spots: &[Spot], first_mm: f64, spacing_mm: f64) -> Vec<Along> {
    let mut found = Vec::new();
    let (mut next_mm, mut passed_mm) = (first_mm, 0.0);
    for pair in spots.windows(2) {
        let length_mm = pair[0].distance_mm(pair[1]);
        if length_mm == 0.0 {
            continue;
        }
        while next_mm <= passed_mm + length_mm {
            found.push(Along {
                at_mm: next_mm,
                spot: pair[0].towards(pair[1], (next_mm - passed_mm) / length_mm),
                right: (pair[1].x_mm - pair[0].x_mm) / length_mm,
                down: (pair[1].y_mm - pair[0].y_mm) / length_mm,
            });
            next_mm += spacing_mm;
        }
        passed_mm += length_mm;
    }
    found
}

/// The place at a distance along a drawn line; none beyond its ends.
pub fn station(spots: &[Spot], at_mm: f64) -> Option<Along> {
    stations(spots, at_mm, f64::INFINITY).into_iter().next()
}

/// A swale: ticks on the side that `downhill_side` says (+1 left, −1 right), by distance along the line.
pub fn swale(spots: &[Spot], downhill_side: impl Fn(f64) -> f64) -> Vec<Mark> {
    let mut marks = cased(spots, LINE_PEN);
    marks.extend(ticks(spots, downhill_side).into_iter().map(|tick| Mark::run(tick.to_vec(), MARK_PEN)));
    marks
}

/// The ticks of a swale, each from the line to its foot.
pub fn ticks(spots: &[Spot], downhill_side: impl Fn(f64) -> f64) -> Vec<[Spot; 2]> {
    stations(spots, TICK_SPACING_MM / 2.0, TICK_SPACING_MM)
        .into_iter()
        .map(|along| [along.spot, along.beside(0.0, downhill_side(along.at_mm) * TICK_MM)])
        .collect()
}

/// A drain: dashes, with arrowheads the way the line is given.
pub fn drain(spots: &[Spot]) -> Vec<Mark> {
    const DASHES_MM: &[f64] = &[2.4, 0.9];
    let mut marks = cased(spots, Pen::dashed(INK, LINE_PEN.width_mm, DASHES_MM));
    for along in stations(spots, ARROW_SPACING_MM / 2.0, ARROW_SPACING_MM) {
        marks.push(arrowhead(along, INK));
    }
    marks
}

/// A chute: two lines with a step across now and then, pointing the way the line is given.
pub fn chute(spots: &[Spot]) -> Vec<Mark> {
    let mut marks = twin(spots, MARK_PEN, HALF_CHUTE_MM);
    for along in stations(spots, 0.9, 1.5) {
        let step = vec![along.beside(-0.5, HALF_CHUTE_MM), along.spot, along.beside(-0.5, -HALF_CHUTE_MM)];
        marks.push(Mark::run(step, MARK_PEN));
    }
    marks
}

/// A pipe: two fine lines, closed at both ends.
pub fn pipe(spots: &[Spot]) -> Vec<Mark> {
    const HALF_MM: f64 = 0.5;
    let mut marks = twin(spots, MARK_PEN, HALF_MM);
    let ends = [station(spots, 0.0), station(spots, length_mm(spots) * (1.0 - 1e-9))];
    for end in ends.into_iter().flatten() {
        let bar = vec![end.beside(0.0, 1.1), end.beside(0.0, -1.1)];
        marks.push(Mark::run(bar, LINE_PEN));
    }
    marks
}

/// The stretch of a line that jumps a barrier and is not dug: dots.
pub fn jump(spots: &[Spot]) -> Mark {
    const DOTS_MM: &[f64] = &[0.3, 0.9];
    Mark::run(spots.to_vec(), Pen::dashed(INK, 0.3, DOTS_MM))
}

/// A sill: its crest from end to end in white, with a bar across each end.
pub fn sill(crest: &[Spot]) -> Vec<Mark> {
    const HALF_BAR_MM: f64 = 1.7;
    let mut marks = vec![Mark::run(crest.to_vec(), Pen::new(PAPER, 1.0))];
    marks.push(Mark::run(crest.to_vec(), MARK_PEN));
    let ends = [station(crest, 0.0), station(crest, length_mm(crest) * (1.0 - 1e-9))];
    for end in ends.into_iter().flatten() {
        let bar = vec![end.beside(0.0, HALF_BAR_MM), end.beside(0.0, -HALF_BAR_MM)];
        marks.push(Mark::run(bar, Pen::new(INK, 0.7)));
    }
    marks
}

/// Where water goes: a blue arrow along a path.
pub fn spill(path: &[Spot]) -> Vec<Mark> {
    let length = length_mm(path);
    let mut marks = vec![Mark::run(path.to_vec(), CASING_PEN), Mark::run(path.to_vec(), WATER_PEN)];
    if let Some(end) = station(path, length * (1.0 - 1e-9)) {
        marks.push(arrowhead(end, WATER));
    }
    marks
}

/// A peg.
pub fn peg(spot: Spot, is_end: bool) -> Mark {
    let radius_mm = if is_end { 0.75 } else { 0.5 };
    Mark::disc(spot, radius_mm, Some(Pen::new(INK, 0.2)), Some(Fill::Even(PAPER)))
}

/// A tree.
pub fn tree(spot: Spot) -> Vec<Mark> {
    let pen = Pen::new(TREE, 0.35);
    let r = TREE_RADIUS_MM;
    vec![
        Mark::disc(spot, r, Some(pen), Some(Fill::Even(PAPER))),
        Mark::run(vec![spot.moved(-r, 0.0), spot.moved(r, 0.0)], pen),
        Mark::run(vec![spot.moved(0.0, -r), spot.moved(0.0, r)], pen),
    ]
}

/// Where water comes in: a drop.
pub fn drop(spot: Spot) -> Mark {
    let (r, steps) = (1.0, 16);
    let mut outline = vec![spot.moved(0.0, -2.2 * r)];
    for i in 0..=steps {
        let turn = std::f64::consts::PI * (1.5 * f64::from(i) / f64::from(steps) - 0.25);
        let (sin, cos) = libm::sincos(turn);
        outline.push(spot.moved(r * cos, r * sin));
    }
    Mark::ring(outline, Some(Pen::new(PAPER, 0.25)), Some(Fill::Even(WATER)))
}

/// A finding's triangle with its number. One that says stop is filled.
pub fn triangle(centre: Spot, number: usize, says_stop: bool) -> Vec<Mark> {
    let half = TRIANGLE_MM / 2.0;
    let corners = vec![centre.moved(0.0, -half), centre.moved(half, half), centre.moved(-half, half)];
    let (ground, figure) = if says_stop { (CAUTION_PEN.colour, PAPER) } else { (CAUTION_GROUND, INK) };
    let size_mm = if number < 10 { 2.3 } else { 1.9 };
    let figure_at = centre.moved(0.0, half - 0.45);
    vec![
        Mark::ring(corners, Some(CAUTION_PEN), Some(Fill::Even(ground))),
        Text::new(figure_at, number.to_string(), Face::SansBold, size_mm)
            .aligned(Align::Middle)
            .in_colour(figure)
            .into(),
    ]
}

/// Where water breaks out: a flag on a staff, its foot in the place.
pub fn breakout(foot: Spot) -> Vec<Mark> {
    const HIGH_MM: f64 = 6.0;
    breakout_flag(foot, HIGH_MM)
}

/// The same on a staff of any height.
pub fn breakout_flag(foot: Spot, high_mm: f64) -> Vec<Mark> {
    let top = foot.moved(0.0, -high_mm);
    let cloth = vec![top, top.moved(4.6, 1.5), top.moved(0.0, 3.0)];
    vec![
        Mark::run(vec![foot, top], Pen::new(PAPER, 1.3)),
        Mark::ring(cloth.clone(), Some(Pen::new(PAPER, 1.0)), Some(Fill::Even(CAUTION_GROUND))),
        Mark::ring(cloth, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH))),
        Mark::run(vec![foot, top], Pen::new(CAUTION_PEN.colour, 0.6)),
    ]
}

/// A number in a circle: the order in which water meets the lines.
pub fn number(centre: Spot, number: usize) -> Vec<Mark> {
    const SIZE_MM: f64 = 2.7;
    vec![
        Mark::disc(centre, NUMBER_RADIUS_MM, Some(Pen::new(INK, 0.35)), Some(Fill::Even(PAPER))),
        Text::new(
            centre.moved(0.0, SIZE_MM * CAPITAL_SHARE / 2.0),
            number.to_string(),
            Face::SansBold,
            SIZE_MM,
        )
        .aligned(Align::Middle)
        .into(),
    ]
}

fn cased(spots: &[Spot], pen: Pen) -> Vec<Mark> {
    vec![Mark::run(spots.to_vec(), CASING_PEN), Mark::run(spots.to_vec(), pen)]
}

/// Two lines side by side, with the sheet's colour between.
fn twin(spots: &[Spot], pen: Pen, half_mm: f64) -> Vec<Mark> {
    let outer = 2.0 * half_mm + pen.width_mm;
    vec![
        Mark::run(spots.to_vec(), Pen::new(PAPER, outer + 0.6)),
        Mark::run(spots.to_vec(), Pen::new(pen.colour, outer)),
        Mark::run(spots.to_vec(), Pen::new(PAPER, outer - 2.0 * pen.width_mm)),
    ]
}

fn arrowhead(along: Along, colour: crate::ink::Colour) -> Mark {
    const HALF_SHARE: f64 = 0.42;
    let corners = vec![
        along.beside(ARROW_MM / 2.0, 0.0),
        along.beside(-ARROW_MM / 2.0, HALF_SHARE * ARROW_MM),
        along.beside(-ARROW_MM / 4.0, 0.0),
        along.beside(-ARROW_MM / 2.0, -HALF_SHARE * ARROW_MM),
    ];
    Mark::ring(corners, Some(Pen::new(PAPER, 0.15)), Some(Fill::Even(colour)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::{Drawn, Shape};

    fn east() -> Vec<Spot> {
        vec![Spot::new(0.0, 10.0), Spot::new(6.0, 10.0), Spot::new(11.0, 10.0)]
    }

    /// Ticks at 1.1, 3.3, 5.5, 7.7 and 9.9 mm of an 11 mm line that runs to the right. Left of it is up the
    /// sheet, so ticks of a line with downhill on its right (−1) point down the sheet.
    #[test]
    fn ticks_lie_downhill() {
        let marks = swale(&east(), |_| -1.0);
        let ticks: Vec<_> = marks[2..]
            .iter()
            .map(|mark| match mark {
                Mark::Drawn(Drawn { shape: Shape::Run(spots), .. }) => (spots[0], spots[1]),
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!(ticks.len(), 5);
        for (i, (head, foot)) in ticks.into_iter().enumerate() {
            assert!((head.x_mm - (1.1 + 2.2 * i as f64)).abs() < 1e-9);
            assert!((foot.y_mm - (10.0 + TICK_MM)).abs() < 1e-9);
        }
    }

    #[test]
    fn stations_go_round_corners() {
        let elbow = [Spot::new(0.0, 0.0), Spot::new(3.0, 0.0), Spot::new(3.0, 4.0)];
        let at = station(&elbow, 5.0).unwrap();
        assert_eq!((at.spot, at.right, at.down), (Spot::new(3.0, 2.0), 0.0, 1.0));
        assert_eq!(at.beside(1.0, 1.0), Spot::new(4.0, 3.0), "walking down the sheet, left is right");
        assert!(station(&elbow, 7.1).is_none());
    }

    #[test]
    fn words_along_a_line_stand_upright() {
        for (right, down, turn_deg) in
            [(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 90.0), (0.0, -1.0, 90.0)]
        {
            let along = Along { at_mm: 0.0, spot: Spot::new(0.0, 0.0), right, down };
            assert!((along.upright_turn_deg() - turn_deg).abs() < 1e-9, "{right} {down}");
        }
    }
}
