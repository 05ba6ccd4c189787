//! Charts: two axes with round figures, and lines, bands and bars drawn against them.
//!
//! What is drawn is told apart by dashes, strokes and words, never by hue alone.

use quantity::figures::fixed;

use crate::ink::{Face, HAIR_PEN, INK_2, MARK_PEN};
use crate::lettering::CAPITAL_SHARE;
use crate::page::{Align, Fill, Mark, Pen, Rect, Spot, Text};
use crate::scale::{round_step, ticks};

/// Steps of hours that clocks and days divide by.
const HOUR_STEPS: [f64; 9] = [0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0];
/// Length of a tick outside the frame.
const TICK_MM: f64 = 1.2;

/// From where to where an axis reaches, and how far apart its figures stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// At its beginning.
    pub low: f64,
    /// At its end.
    pub high: f64,
    /// From figure to figure.
    pub step: f64,
}

/// A frame with two axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chart {
    /// What lies between the axes.
    pub plot: Rect,
    /// Along the lower edge.
    pub across: Axis,
    /// Up the left edge.
    pub up: Axis,
    /// Size of the figures.
    pub figure_mm: f64,
}

impl Axis {
    /// From 0 to the round figure at or above `high`, with at most so many steps.
    ///
    /// # Panics
    /// `high` is not positive and finite, or there is no step.
    pub fn from_zero(high: f64, at_most: usize) -> Axis {
        let step = round_step(high / at_most as f64);
        Axis { low: 0.0, high: step * (high / step * (1.0 - 1e-9)).ceil(), step }
    }

    /// From 0 to `high` as it is, with at most so many round steps.
    pub fn up_to(high: f64, at_most: usize) -> Axis {
        Axis { low: 0.0, high, step: round_step(high / at_most as f64) }
    }

    /// Hours from 0 to `high`, with at most so many steps that a clock knows.
    pub fn hours(high: f64, at_most: usize) -> Axis {
        let least = high / at_most as f64;
        let step = HOUR_STEPS.into_iter().find(|step| *step >= least * (1.0 - 1e-9));
        Axis { low: 0.0, high, step: step.unwrap_or_else(|| 24.0 * round_step(least / 24.0)) }
    }

    /// Places of its figures.
    pub fn ticks(&self) -> Vec<f64> {
        let hair = 1e-9 * self.step;
        ticks(self.low - hair, self.high + hair, self.step)
    }

    /// A figure with as many decimals as the step needs.
    pub fn figure(&self, value: f64) -> String {
        let decimals = (0..4).find(|n| {
            let scaled = self.step * 10f64.powi(*n);
            (scaled - scaled.round()).abs() < 1e-6
        });
        fixed(value, decimals.unwrap_or(4) as usize)
    }

    fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

impl Chart {
    /// Where a value lies on the sheet. Values beyond the axes lie on the frame.
    pub fn spot(&self, across: f64, up: f64) -> Spot {
        Spot::new(self.x_mm(across), self.y_mm(up))
    }

    /// Where a value of the lower axis lies.
    pub fn x_mm(&self, across: f64) -> f64 {
        self.plot.left_mm + self.across.share(across).clamp(0.0, 1.0) * self.plot.width_mm
    }

    /// Where a value of the left axis lies.
    pub fn y_mm(&self, up: f64) -> f64 {
        self.plot.bottom_mm() - self.up.share(up).clamp(0.0, 1.0) * self.plot.height_mm
    }

    /// Fine rules, ticks and figures of both axes. What is drawn against them comes after.
    pub fn axes(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        for up in self.up.ticks() {
            let y = self.y_mm(up);
            marks.push(Mark::run(
                vec![Spot::new(self.plot.left_mm, y), Spot::new(self.plot.right_mm(), y)],
                HAIR_PEN,
            ));
            let at = Spot::new(self.plot.left_mm - TICK_MM - 0.6, y + self.figure_mm * CAPITAL_SHARE / 2.0);
            marks.push(self.figure(at, self.up.figure(up), Align::End));
        }
        let foot = self.plot.bottom_mm();
        for across in self.across.ticks() {
            let x = self.x_mm(across);
            marks.push(Mark::run(vec![Spot::new(x, foot), Spot::new(x, foot + TICK_MM)], MARK_PEN));
            let at = Spot::new(x, foot + TICK_MM + 0.6 + self.figure_mm * CAPITAL_SHARE);
            marks.push(self.figure(at, self.across.figure(across), Align::Middle));
        }
        marks.push(Mark::run(
            vec![
                Spot::new(self.plot.left_mm, self.plot.top_mm),
                Spot::new(self.plot.left_mm, foot),
                Spot::new(self.plot.right_mm(), foot),
            ],
            MARK_PEN,
        ));
        marks
    }

    fn figure(&self, at: Spot, words: String, align: Align) -> Mark {
        Text::new(at, words, Face::Sans, self.figure_mm).aligned(align).in_colour(INK_2).into()
    }

    /// Words under the lower axis, at its right end.
    pub fn name_across(&self, words: &str) -> Mark {
        let down_mm = TICK_MM + 1.4 + 2.0 * self.figure_mm;
        let at = Spot::new(self.plot.right_mm(), self.plot.bottom_mm() + down_mm);
        self.name(at, words, Align::End)
    }

    /// Words over the left axis.
    pub fn name_up(&self, words: &str) -> Mark {
        let at = Spot::new(self.plot.left_mm - TICK_MM - 6.0, self.plot.top_mm - 1.8);
        self.name(at, words, Align::Start)
    }

    fn name(&self, at: Spot, words: &str, align: Align) -> Mark {
        Text::new(at, words, Face::SerifItalic, 1.1 * self.figure_mm).aligned(align).in_colour(INK_2).into()
    }

    /// Values from place to place.
    pub fn line(&self, points: &[(f64, f64)]) -> Vec<Spot> {
        points.iter().map(|(across, up)| self.spot(*across, *up)).collect()
    }

    /// What lies between two values from place to place: across, low, high.
    pub fn band(&self, points: &[(f64, f64, f64)], pen: Option<Pen>, fill: Fill) -> Mark {
        let mut ring: Vec<Spot> = points.iter().map(|(across, low, _)| self.spot(*across, *low)).collect();
        ring.extend(points.iter().rev().map(|(across, _, high)| self.spot(*across, *high)));
        Mark::ring(ring, pen, Some(fill))
    }

    /// A value as a stair: each step of one length holds its value.
    pub fn stair(&self, step: f64, values: &[f64]) -> Vec<(f64, f64)> {
        let end = self.across.high;
        let mut points = Vec::new();
        for (i, value) in values.iter().enumerate() {
            let from = i as f64 * step;
            if from > end {
                break;
            }
            points.push((from, *value));
            points.push(((from + step).min(end), *value));
        }
        points
    }

    /// A bar up from the lower axis.
    pub fn bar(&self, (from, to): (f64, f64), up: f64) -> Rect {
        let (left, top) = (self.x_mm(from), self.y_mm(up));
        Rect::new(left, top, self.x_mm(to) - left, self.plot.bottom_mm() - top)
    }

    /// A bar that hangs from the upper edge, so long as one up from the lower axis would be high.
    pub fn hanging_bar(&self, span: (f64, f64), down: f64) -> Rect {
        let standing = self.bar(span, down);
        Rect { top_mm: self.plot.top_mm, ..standing }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart() -> Chart {
        Chart {
            plot: Rect::new(10.0, 20.0, 100.0, 50.0),
            across: Axis::hours(10.0, 6),
            up: Axis::from_zero(7.3, 5),
            figure_mm: 2.0,
        }
    }

    #[test]
    fn axes_have_round_figures() {
        let chart = chart();
        assert_eq!((chart.up.high, chart.up.step), (8.0, 2.0), "7.3 in at most 5 steps");
        assert_eq!(chart.across.ticks(), vec![0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        assert_eq!(Axis::hours(96.0, 6).step, 24.0);
        assert_eq!(Axis::hours(2.0, 6).figure(0.5), "0.5");
        assert_eq!(Axis::from_zero(0.03, 3).figure(0.02), "0.02");
        assert_eq!(Axis::from_zero(5.0, 5).high, 5.0, "a round figure stays itself");
    }

    /// 10 h over 100 mm, 8 over 50 mm: 5 h and 2 lie in the middle and a quarter up.
    #[test]
    fn places_by_hand() {
        let chart = chart();
        assert_eq!(chart.spot(5.0, 2.0), Spot::new(60.0, 57.5));
        assert_eq!(chart.spot(50.0, -3.0), Spot::new(110.0, 70.0), "beyond the axes: on the frame");
        assert_eq!(chart.bar((1.0, 2.0), 4.0), Rect::new(20.0, 45.0, 10.0, 25.0));
        assert_eq!(chart.hanging_bar((1.0, 2.0), 4.0), Rect::new(20.0, 20.0, 10.0, 25.0));
        assert_eq!(chart.stair(4.0, &[1.0, 2.0, 3.0]).last(), Some(&(10.0, 3.0)), "cut where the axis ends");
    }
}
