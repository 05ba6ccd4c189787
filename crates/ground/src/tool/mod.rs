//! How far a line set out with a hand tool may be from true, and what to do about it.
//!
//! Each step carries a small error of chance, which partly cancels from step to step, and the tool's own
//! fault, which is the same every time. Turned round at each step the fault cancels in pairs; carried with
//! the same end leading it adds up.
//!
//! After n steps: chance σ·√n (one standard error); own fault ε·n if carried, ε after an odd and 0 after an
//! even number of steps if pivoted. Independent errors add as squares: σ² + σ² + … = n·σ².
//!
//! Source: the law of propagation of independent errors; pivoting is what the IIRR Sustainable Agriculture
//! Extension Manual (p. 93–98) tells users of an A-frame to do. Leaves out: slips, a frame that is bent or
//! re-tied halfway, wind, soft ground under one foot (see [`a_frame`]).

pub mod a_frame;
pub mod hose;
mod read_back;

pub use read_back::{CONTOUR_TOLERANCE_M, ReadBack, ReadBackError, Settled, Verdict};

/// The tool that levels are set with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToolKind {
    /// Two legs, a bar and a plumb line.
    AFrame,
    /// A clear hose filled with water, between two staffs.
    Hose,
    /// A spirit level hung on a string.
    LineLevel,
    /// An optical or laser level with a staff.
    Level,
}

/// How a tool goes along a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Walked {
    /// Its back end swings round to the front (or its two staffs leap-frog): turned round at each step.
    Pivoted,
    /// The same end always leads.
    Carried,
}

/// A tool with its errors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tool {
    /// What it is.
    pub kind: ToolKind,
    /// Length one step covers: between the feet or staffs; for a level, what is levelled from one setup.
    pub step_m: f64,
    /// Error of chance in the height difference of one step, one standard error.
    pub random_m: f64,
    /// The tool's own fault in one step, whatever its sign: the same every time.
    pub constant_m: f64,
    /// How it goes along the line.
    pub walked: Walked,
}

/// Error of height between the first peg and a later one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ErrorAlong {
    /// Chance: one standard error.
    pub random_m: f64,
    /// The tool's own fault, added up.
    pub constant_m: f64,
}

/// Foot spacing of an A-frame: the IIRR Sustainable Agriculture Extension Manual (p. 93–98) sets a 6 % fall
/// with a 12 cm block, which is a spacing of 2 m.
const A_FRAME_STEP_M: f64 = 2.0;
/// Assumed; no measured figure found.
const A_FRAME_RANDOM_M: f64 = 0.005;
/// Assumed for a frame reversed on two pegs that day; no measured figure found.
const A_FRAME_CONSTANT_M: f64 = 0.002;
/// Staffs 10 m apart: a hose of about 12 m (Practical Action, "Simple methods of preventing soil erosion")
/// less what hangs down the two staffs.
const HOSE_STEP_M: f64 = 10.0;
/// Assumed for two readings of a meniscus; no measured figure found.
const HOSE_RANDOM_M: f64 = 0.003;
/// Assumed; no measured figure found.
const LINE_LEVEL_STEP_M: f64 = 10.0;
/// Assumed; no measured figure found.
const LINE_LEVEL_RANDOM_M: f64 = 0.010;
/// Assumed for a bubble tested by turning it end for end; no measured figure found.
const LINE_LEVEL_CONSTANT_M: f64 = 0.005;
/// Two sights of 30 m. Common practice.
const LEVEL_STEP_M: f64 = 60.0;
/// Half of the 5 mm a setup that small works allow, which read as two
/// standard errors gives 2.5 mm. Assumed; no measured figure found.
const LEVEL_RANDOM_M: f64 = 0.0025;
/// Standard errors that cover 95 in 100 of what chance does (normal law, 1.96 rounded up).
const WIDE: f64 = 2.0;

impl Tool {
    /// A tool of this kind in careful hands, where nobody has measured its errors: its numbers are
    /// assumptions, and papers say so.
    pub const fn assumed(kind: ToolKind) -> Tool {
        let (step_m, random_m, constant_m) = match kind {
            ToolKind::AFrame => (A_FRAME_STEP_M, A_FRAME_RANDOM_M, A_FRAME_CONSTANT_M),
            ToolKind::Hose => (HOSE_STEP_M, HOSE_RANDOM_M, 0.0),
            ToolKind::LineLevel => (LINE_LEVEL_STEP_M, LINE_LEVEL_RANDOM_M, LINE_LEVEL_CONSTANT_M),
            ToolKind::Level => (LEVEL_STEP_M, LEVEL_RANDOM_M, 0.0),
        };
        let walked = Walked::Pivoted;
        Tool { kind, step_m, random_m, constant_m, walked }
    }

    /// Whole steps needed to get this far along a line. A length within a thousandth of a step of a whole
    /// number counts as that number: the tape is no better.
    pub fn steps_to(&self, chainage_m: f64) -> usize {
        debug_assert!(self.step_m > 0.0, "step_m = {}", self.step_m);
        debug_assert!(chainage_m >= 0.0, "chainage_m = {chainage_m}");
        (chainage_m / self.step_m - STEP_SLACK).ceil().max(0.0) as usize
    }
}

/// Share of a step by which a length may exceed a whole number of steps.
const STEP_SLACK: f64 = 1e-3;

impl ErrorAlong {
    /// Both parts as one standard error about the true height: √(constant² + random²).
    pub fn rms_m(self) -> f64 {
        (self.constant_m * self.constant_m + self.random_m * self.random_m).sqrt()
    }

    /// What the height will hardly differ by more than: the own fault and two standard errors of chance.
    pub fn wide_m(self) -> f64 {
        self.constant_m.abs() + WIDE * self.random_m
    }
}

/// Error of height between the first peg and the one this many steps on.
pub fn levelling_error_m(tool: &Tool, steps: usize) -> ErrorAlong {
    let n = steps as f64;
    let constant_m = match tool.walked {
        Walked::Carried => tool.constant_m * n,
        Walked::Pivoted if steps % 2 == 1 => tool.constant_m,
        Walked::Pivoted => 0.0,
    };
    ErrorAlong { random_m: tool.random_m * n.sqrt(), constant_m }
}

/// Half the width, on the ground, of the band in which the true level line lies 95 times in 100: an error of
/// height moves a line across the slope by error ÷ slope. None where the ground is level, because there a
/// level line may lie anywhere.
pub fn band_m(error: ErrorAlong, slope: f64) -> Option<f64> {
    (slope > 0.0).then(|| error.wide_m() / slope)
}

/// What levelling out and back over the same pegs shows when only chance is at work: the differences of 2n
/// steps have the standard error σ·√(2n), and the mean of a normal deviate's size is √(2/π) of that.
pub fn expected_out_and_back_m(tool: &Tool, steps_out: usize) -> f64 {
    (2.0 / std::f64::consts::PI).sqrt() * tool.random_m * (2.0 * steps_out as f64).sqrt()
}

/// What levelling out and back shows of the tool's own fault. If the same leg leads both ways it shows twice
/// over; if the other leg leads on the way back it cancels and stays hidden.
pub fn fault_out_and_back_m(tool: &Tool, steps_out: usize, same_leg_leads_back: bool) -> f64 {
    match tool.walked {
        Walked::Carried if same_leg_leads_back => 2.0 * tool.constant_m * steps_out as f64,
        // Turned at each of 2n steps, or reversed for the way home: pairs cancel.
        Walked::Carried | Walked::Pivoted => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(random_mm: f64, constant_mm: f64, walked: Walked) -> Tool {
        Tool {
            random_m: random_mm / 1000.0,
            constant_m: constant_mm / 1000.0,
            walked,
            ..Tool::assumed(ToolKind::AFrame)
        }
    }

    /// σ·√n: 25 steps are 5σ, 50 steps 7.071σ. Whole millimetres, so half a millimetre.
    #[test]
    fn chance_grows_with_the_root_of_the_steps() {
        for (random_mm, after_25_mm, after_50_mm) in
            [(3.0, 15.0, 21.0), (5.0, 25.0, 35.0), (10.0, 50.0, 71.0)]
        {
            let tool = frame(random_mm, 0.0, Walked::Carried);
            let at = |steps| 1000.0 * levelling_error_m(&tool, steps).random_m;
            assert!((at(25) - after_25_mm).abs() <= 0.5, "{random_mm}");
            assert!((at(50) - after_50_mm).abs() <= 0.5, "{random_mm}");
        }
    }

    /// ε·n carried; over 50 steps of 2 m that is a false grade of ε ÷ 2 m: 0.05, 0.10, 0.25 %.
    #[test]
    fn a_carried_fault_runs_away() {
        for (constant_mm, after_25_mm, after_50_mm, grade_percent) in
            [(1.0, 25.0, 50.0, 0.05), (2.0, 50.0, 100.0, 0.10), (5.0, 125.0, 250.0, 0.25)]
        {
            let tool = frame(0.0, constant_mm, Walked::Carried);
            let at = |steps| 1000.0 * levelling_error_m(&tool, steps).constant_m;
            assert!((at(25) - after_25_mm).abs() < 1e-9);
            assert!((at(50) - after_50_mm).abs() < 1e-9);
            let percent = 100.0 * levelling_error_m(&tool, 50).constant_m / (50.0 * tool.step_m);
            assert!((percent - grade_percent).abs() < 1e-9);
        }
    }

    #[test]
    fn a_pivoted_fault_stays_at_one_step() {
        let tool = frame(0.0, 2.0, Walked::Pivoted);
        for steps in 0..60 {
            let expected_m = if steps % 2 == 1 { 0.002 } else { 0.0 };
            assert_eq!(levelling_error_m(&tool, steps).constant_m, expected_m);
        }
    }

    /// √(mean² + σ²n), σ 5 mm, ε 3 mm. A simulation of 20 000 walks gave 79.1, 154.0, 25.1 and 35.5; its own
    /// standard error is rms/√(2·20 000) ≤ 0.8 mm, and the closed form is 79.06, 154.11, 25.18, 35.36.
    #[test]
    fn root_mean_square_of_both_parts() {
        for (walked, steps, closed_form_mm, simulated_mm) in [
            (Walked::Carried, 25, 79.06, 79.1),
            (Walked::Carried, 50, 154.11, 154.0),
            (Walked::Pivoted, 25, 25.18, 25.1),
            (Walked::Pivoted, 50, 35.36, 35.5),
        ] {
            let rms_mm = 1000.0 * levelling_error_m(&frame(5.0, 3.0, walked), steps).rms_m();
            assert!((rms_mm - closed_form_mm).abs() <= 0.005, "{rms_mm}");
            assert!((rms_mm - simulated_mm).abs() <= rms_mm / 200.0, "{rms_mm}");
        }
    }

    /// The sum itself, every combination of signs over few steps: mean of squares is n·σ² and a carried fault
    /// adds its square. No chance involved, so the tolerance is rounding.
    #[test]
    fn growth_against_every_combination_of_signs() {
        let (random_m, constant_m) = (0.005, 0.003);
        for steps in 1..=10_usize {
            let mut sum_of_squares = 0.0;
            for signs in 0..1_u32 << steps {
                let mut z_m = 0.0;
                for step in 0..steps {
                    let sign = if signs >> step & 1 == 1 { 1.0 } else { -1.0 };
                    z_m += sign * random_m + constant_m;
                }
                sum_of_squares += z_m * z_m;
            }
            let rms_m = (sum_of_squares / f64::from(1_u32 << steps)).sqrt();
            let tool = frame(5.0, 3.0, Walked::Carried);
            assert!((levelling_error_m(&tool, steps).rms_m() - rms_m).abs() < 1e-12);
        }
    }

    /// Nothing of a hose adds up but chance: 3 mm a transfer is 9.5 mm after ten.
    #[test]
    fn a_hose_has_no_fault_that_grows() {
        let error = levelling_error_m(&Tool::assumed(ToolKind::Hose), 10);
        assert_eq!(error.constant_m, 0.0);
        assert!((1000.0 * error.random_m - 9.487).abs() < 5e-4);
    }

    /// 2·25 mm across a 10 % slope is half a metre; level ground has no band.
    #[test]
    fn band_by_hand() {
        let error = levelling_error_m(&frame(5.0, 0.0, Walked::Pivoted), 25);
        assert!((band_m(error, 0.10).unwrap() - 0.5).abs() < 1e-12);
        assert_eq!(band_m(error, 0.0), None);
    }

    /// √(2/π) = 0.798, so 25 steps of 5 mm out and back differ by about 28 mm.
    #[test]
    fn out_and_back_by_hand() {
        let tool = frame(5.0, 2.0, Walked::Carried);
        assert!((1000.0 * expected_out_and_back_m(&tool, 25) - 28.21).abs() < 5e-3);
        assert!((fault_out_and_back_m(&tool, 25, true) - 0.1).abs() < 1e-12);
        assert_eq!(fault_out_and_back_m(&tool, 25, false), 0.0);
        assert_eq!(fault_out_and_back_m(&frame(5.0, 2.0, Walked::Pivoted), 25, true), 0.0);
    }

    #[test]
    fn steps_are_whole() {
        let tool = frame(5.0, 0.0, Walked::Pivoted);
        for (chainage_m, steps) in [(0.0, 0), (1.0, 1), (2.0, 1), (2.001, 1), (2.1, 2), (50.0, 25)] {
            assert_eq!(tool.steps_to(chainage_m), steps, "{chainage_m}");
        }
    }
}
