//! Setting an A-frame's mark by turning it round, and setting it for a fall.
//!
//! The plumb string swings towards the lower foot. With the foot called P lower by Δh, the frame leans by θ,
//! sin θ = Δh / L, and the string crosses the bar at c + d·tan θ, where c is where it would cross on level
//! ground. Swap the feet on the same two pegs and it crosses at c − d·tan θ. So, whatever the ground:
//!
//! c = (m1 + m2) / 2 · Δh = L · sin(atan((m1 − m2) / 2d))
//!
//! L is the spacing of the feet, d the distance of the bar below the hanging point, m a reading along the
//! bar, positive towards P (the scale turns with the frame).
//!
//! Source: the method (mark, turn into the same footprints, take the middle) is taught in the IIRR
//! Sustainable Agriculture Extension Manual, p. 93–98; the proof is the two lines above.
//! Reversal removes the frame's own fault only: not the friction of the string, wind, soft ground under one
//! foot or a frame that bends. Do it on two pegs, not on bare soil, and again after every re-tying.

/// The frame: what the geometry needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AFrame {
    /// Distance between the feet.
    pub spacing_m: f64,
    /// How far the bar is below the point the string hangs from.
    pub bar_below_m: f64,
}

/// What two readings, the frame turned between them, say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reversal {
    /// Where the level mark belongs on the bar.
    pub level_mark_m: f64,
    /// How much lower the peg that P stood on first is than the other.
    pub first_peg_lower_m: f64,
}

/// What several reversals come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// Mean of their level marks.
    pub level_mark_m: f64,
    /// Furthest any of them lies from the mean.
    pub within_m: f64,
    /// The same at the feet, by the most sensitive frame among them.
    pub at_the_feet_m: f64,
}

/// How well reversals agree; none for none.
pub fn agreement(reversals: &[(AFrame, Reversal)]) -> Option<Agreement> {
    if reversals.is_empty() {
        return None;
    }
    let sum_m: f64 = reversals.iter().map(|(_, found)| found.level_mark_m).sum();
    let level_mark_m = sum_m / reversals.len() as f64;
    let mut agreed = Agreement { level_mark_m, within_m: 0.0, at_the_feet_m: 0.0 };
    for (frame, found) in reversals {
        let off_m = (found.level_mark_m - level_mark_m).abs();
        agreed.within_m = agreed.within_m.max(off_m);
        agreed.at_the_feet_m = agreed.at_the_feet_m.max(off_m * frame.feet_per_bar());
    }
    Some(agreed)
}

impl AFrame {
    /// A frame; none unless both lengths are positive and finite.
    pub fn new(spacing_m: f64, bar_below_m: f64) -> Option<AFrame> {
        let length = |m: f64| m.is_finite() && m > 0.0;
        (length(spacing_m) && length(bar_below_m)).then_some(AFrame { spacing_m, bar_below_m })
    }

    /// The level mark from the two readings on the bar.
    pub fn reverse(&self, first_m: f64, turned_m: f64) -> Reversal {
        let lean = (first_m - turned_m) / (2.0 * self.bar_below_m);
        Reversal {
            level_mark_m: (first_m + turned_m) / 2.0,
            first_peg_lower_m: self.spacing_m * libm::sin(libm::atan(lean)),
        }
    }

    /// How much lower P stands than the other foot, from one reading of a frame whose level mark is known.
    pub fn p_lower_m(&self, reading_m: f64, level_mark_m: f64) -> f64 {
        let lean = (reading_m - level_mark_m) / self.bar_below_m;
        self.spacing_m * libm::sin(libm::atan(lean))
    }

    /// How far towards the lower foot the mark for a fall lies from the level mark: d · grade, the grade being
    /// rise over run between the feet, which is tan θ.
    pub fn mark_offset_m(&self, grade: f64) -> f64 {
        self.bar_below_m * grade
    }

    /// Thickness of the block that, tied under the leading downhill foot, sets a fall: L · grade. The spacing
    /// lies along the slope, so this is exact to grade²/2: 2 parts in a thousand at 6 %.
    pub fn block_m(&self, grade: f64) -> f64 {
        self.spacing_m * grade
    }

    /// How many millimetres at the feet one millimetre on the bar means, on nearly level ground: L / d.
    pub fn feet_per_bar(&self) -> f64 {
        self.spacing_m / self.bar_below_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two_metre_frame() -> AFrame {
        AFrame::new(2.0, 1.0).unwrap()
    }

    /// By hand, L 2 m, d 1 m: (12 − 8)/2 = 2 and 2·sin(atan(0.010)) = 0.0200; (37 + 15)/2 = 26 and
    /// 2·sin(atan(0.011)) = 0.0220. A tenth of a millimetre stated, so half of that.
    #[test]
    fn reversal_by_hand() {
        for (first_mm, turned_mm, mark_mm, lower_mm) in [(12.0, -8.0, 2.0, 20.0), (37.0, 15.0, 26.0, 22.0)] {
            let found = two_metre_frame().reverse(first_mm / 1000.0, turned_mm / 1000.0);
            assert!((1000.0 * found.level_mark_m - mark_mm).abs() < 1e-9);
            assert!((1000.0 * found.first_peg_lower_m - lower_mm).abs() <= 0.05);
        }
    }

    /// IIRR Sustainable Agriculture Extension Manual, p. 93–98: 12 cm of block for 6 %.
    #[test]
    fn published_block_for_six_percent() {
        assert!((two_metre_frame().block_m(0.06) - 0.12).abs() <= 0.005);
    }

    /// A frame with any fault on any slope: readings made from the geometry give the fault and the slope back.
    #[test]
    fn reversal_undoes_the_geometry() {
        let frame = AFrame::new(1.83, 0.94).unwrap();
        for fault_m in [-0.05, 0.0, 0.013] {
            for lower_m in [-0.3, -0.01, 0.0, 0.2] {
                let across_m = (frame.spacing_m * frame.spacing_m - lower_m * lower_m).sqrt();
                let swing_m = frame.bar_below_m * lower_m / across_m;
                let found = frame.reverse(fault_m + swing_m, fault_m - swing_m);
                assert!((found.level_mark_m - fault_m).abs() < 1e-12);
                assert!((found.first_peg_lower_m - lower_m).abs() < 1e-12);
                let single_m = frame.p_lower_m(fault_m + swing_m, found.level_mark_m);
                assert!((single_m - lower_m).abs() < 1e-12);
            }
        }
    }

    /// Marks of 2 and 4 mm: 3 mm, within 1 mm, which is 2 mm at the feet.
    #[test]
    fn reversals_that_agree() {
        let frame = two_metre_frame();
        let reversals =
            [(0.012, -0.008), (0.003, 0.005)].map(|(first, turned)| (frame, frame.reverse(first, turned)));
        let agreed = agreement(&reversals).unwrap();
        assert!((agreed.level_mark_m - 0.003).abs() < 1e-12);
        assert!((agreed.within_m - 0.001).abs() < 1e-12);
        assert!((agreed.at_the_feet_m - 0.002).abs() < 1e-12);
        assert_eq!(agreement(&[]), None);
    }

    /// 1 mm on the bar is 2 mm at the feet when the bar hangs 1 m down a 2 m frame; 1 in 200 is 5 mm on the
    /// bar and a 1 cm block.
    #[test]
    fn gentle_fall_by_hand() {
        let frame = two_metre_frame();
        assert_eq!(frame.feet_per_bar(), 2.0);
        assert!((frame.mark_offset_m(0.005) - 0.005).abs() < 1e-15);
        assert!((frame.block_m(0.005) - 0.010).abs() < 1e-15);
        assert_eq!(AFrame::new(0.0, 1.0), None);
        assert_eq!(AFrame::new(2.0, f64::NAN), None);
    }
}
