//! From site metres to paper millimetres, at a scale a ruler can read.

use ground::{Bounds, Point};

use crate::page::{Rect, Spot};

/// Scales of plans, the largest first: those of common scale rulers and of site and farm plans.
pub const PLAN_SCALES: [u32; 10] = [50, 100, 200, 250, 500, 1000, 1250, 2500, 5000, 10_000];
/// Millimetres in a metre.
const MM_PER_M: f64 = 1000.0;

/// A piece of ground shown in a frame on the sheet. The site's y axis points up the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Where on the sheet.
    pub frame: Rect,
    /// The place in the middle of the frame.
    pub centre: Point,
    /// One to so many.
    pub one_to: u32,
}

impl Window {
    /// The largest of [`PLAN_SCALES`] at which `must_show` fits the frame, moved so that as much as may be of
    /// `may_show` comes into it too.
    ///
    /// None where even the smallest scale is too large.
    pub fn fitting(frame: Rect, must_show: Bounds, may_show: Bounds) -> Option<Window> {
        let fits = |one_to: &u32| {
            let mm = paper_mm(1.0, *one_to);
            must_show.width_m() * mm <= frame.width_mm && must_show.height_m() * mm <= frame.height_mm
        };
        let one_to = PLAN_SCALES.into_iter().find(fits)?;
        let half_x_m = frame.width_mm / paper_mm(1.0, one_to) / 2.0;
        let half_y_m = frame.height_mm / paper_mm(1.0, one_to) / 2.0;
        let centre = Point::new(
            middle(half_x_m, (must_show.min_x_m, must_show.max_x_m), (may_show.min_x_m, may_show.max_x_m)),
            middle(half_y_m, (must_show.min_y_m, must_show.max_y_m), (may_show.min_y_m, may_show.max_y_m)),
        );
        Some(Window { frame, centre, one_to })
    }

    /// Where a place of the site comes to lie on the sheet.
    pub fn spot(&self, at: Point) -> Spot {
        let middle = self.frame.centre();
        middle.moved(
            paper_mm(at.x_m - self.centre.x_m, self.one_to),
            -paper_mm(at.y_m - self.centre.y_m, self.one_to),
        )
    }

    /// The place of the site that lies at a spot of the sheet.
    pub fn place(&self, spot: Spot) -> Point {
        let middle = self.frame.centre();
        Point::new(
            self.centre.x_m + self.ground_m(spot.x_mm - middle.x_mm),
            self.centre.y_m - self.ground_m(spot.y_mm - middle.y_mm),
        )
    }

    /// Length on the sheet of a length on the ground.
    pub fn mm(&self, length_m: f64) -> f64 {
        paper_mm(length_m, self.one_to)
    }

    /// Length on the ground of a length on the sheet.
    pub fn ground_m(&self, length_mm: f64) -> f64 {
        length_mm * f64::from(self.one_to) / MM_PER_M
    }

    /// The ground that the frame shows.
    pub fn bounds(&self) -> Bounds {
        let north_west = self.place(Spot::new(self.frame.left_mm, self.frame.top_mm));
        let south_east = self.place(Spot::new(self.frame.right_mm(), self.frame.bottom_mm()));
        Bounds {
            min_x_m: north_west.x_m,
            min_y_m: south_east.y_m,
            max_x_m: south_east.x_m,
            max_y_m: north_west.y_m,
        }
    }
}

/// Length on paper of a length on the ground, at one to so many.
pub fn paper_mm(length_m: f64, one_to: u32) -> f64 {
    length_m * MM_PER_M / f64::from(one_to)
}

/// Middle of a window of half width `half_m` along one axis: that of all that may show if the window still
/// holds what must show, else as near to it as that allows.
fn middle(half_m: f64, must: (f64, f64), may: (f64, f64)) -> f64 {
    let wish = (may.0 + may.1) / 2.0;
    let (least, most) = (must.1 - half_m, must.0 + half_m);
    // Rounding may put `least` a hair above `most` where the fit is exact.
    wish.min(most).max(least.min(most))
}

/// A round step (1, 2 or 5 times a power of ten) that is at least `at_least`.
///
/// # Panics
/// `at_least` is not positive and finite.
pub fn round_step(at_least: f64) -> f64 {
    assert!(at_least > 0.0 && at_least.is_finite(), "at_least = {at_least}");
    let ten = 10f64.powi(libm::floor(libm::log10(at_least)) as i32);
    // A hair of slack, so that a step that is round already stays itself.
    let slack = 1.0 - 1e-9;
    [1.0, 2.0, 5.0].into_iter().map(|n| n * ten).find(|step| *step >= at_least * slack).unwrap_or(10.0 * ten)
}

/// Multiples of a step from `low` to `high`, both included.
pub fn ticks(low: f64, high: f64, step: f64) -> Vec<f64> {
    let first = (low / step).ceil() as i64;
    let last = (high / step).floor() as i64;
    (first..=last).map(|n| n as f64 * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Rect = Rect::new(10.0, 10.0, 200.0, 180.0);

    fn bounds(min_x_m: f64, min_y_m: f64, max_x_m: f64, max_y_m: f64) -> Bounds {
        Bounds { min_x_m, min_y_m, max_x_m, max_y_m }
    }

    /// 80 m by 60 m in 200 mm by 180 mm: 1:500 makes it 160 mm by 120 mm, 1:250 would make it 320 mm wide.
    #[test]
    fn a_50_m_line_is_100_mm_at_1_to_500() {
        let works = bounds(0.0, 0.0, 80.0, 60.0);
        let window = Window::fitting(FRAME, works, works).unwrap();
        assert_eq!(window.one_to, 500);
        let (a, b) = (window.spot(Point::new(10.0, 20.0)), window.spot(Point::new(40.0, 60.0)));
        assert!((a.distance_mm(b) - 100.0).abs() < 1e-9, "a 3-4-5 line of 50 m");
        assert!(b.y_mm < a.y_mm, "north is up");
    }

    /// Coordinates of a projected system lose nothing: 4.6e6 m has an ulp of 1e-9 m, which is 2e-9 mm here.
    #[test]
    fn far_from_zero() {
        let works = bounds(500_000.0, 4_600_000.0, 500_080.0, 4_600_060.0);
        let window = Window::fitting(FRAME, works, works).unwrap();
        let spot = window.spot(Point::new(500_000.0, 4_600_000.0));
        let back = window.place(spot);
        assert!(FRAME.contains(spot));
        assert!((back.x_m - 500_000.0).abs() < 1e-8 && (back.y_m - 4_600_000.0).abs() < 1e-8);
    }

    #[test]
    fn works_come_before_surroundings() {
        let works = bounds(0.0, 0.0, 80.0, 60.0);
        let around = bounds(0.0, 0.0, 900.0, 60.0);
        let window = Window::fitting(FRAME, works, around).unwrap();
        assert_eq!(window.one_to, 500);
        assert!(FRAME.contains(window.spot(Point::new(0.0, 0.0))));
        assert!(window.centre.x_m > 40.0, "moved towards the surroundings: {:?}", window.centre);
        assert!(Window::fitting(FRAME, bounds(0.0, 0.0, 1e6, 1.0), works).is_none());
    }

    #[test]
    fn round_steps_and_ticks() {
        for (at_least, step) in [(0.03, 0.05), (0.2, 0.2), (3.0, 5.0), (7.0, 10.0), (100.0, 100.0)] {
            assert!((round_step(at_least) - step).abs() < 1e-12, "{at_least}: {}", round_step(at_least));
        }
        assert_eq!(ticks(-1.0, 4.1, 2.0), vec![0.0, 2.0, 4.0]);
        assert_eq!(ticks(0.5, 0.9, 2.0), Vec::<f64>::new());
    }
}
