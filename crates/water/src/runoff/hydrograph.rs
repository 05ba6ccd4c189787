//! Runoff in time: how the rain on a catchment arrives at its foot.
//!
//! Runoff of one short burst arrives as a hump: soon rising, slowly falling. A storm is many bursts, each with its
//! own hump, laid over one another.
//!
//! Hump: the dimensionless unit hydrograph of the USDA-NRCS, its peak at T_p = D/2 + 0.6·T_c after a burst of length
//! D, T_c the time of concentration. Each step takes from each hump just what passes between its start and its end,
//! so no water is lost: what arrives adds up to what runs off.
//!
//! Source: NEH 630 ch. 16, table 16-1 (also FHWA HDS-2, table 6.10). For catchments that answer as one; take steps
//! of about 0.133·T_c. Leaves out losses on the way.

use super::CurveNumber;
use crate::rain::Storm;

/// Lag from the middle of a burst to the peak, over the time of concentration. NEH 630 ch. 15, eq. 15-3.
const LAG_SHARE: f64 = 0.6;
/// Steps after which a hydrograph is no answer any more: ten days of minutes, several times over.
const STEPS_LIMIT: f64 = 100_000.0;

/// Time over time to peak, flow over peak flow: NEH 630 ch. 16, table 16-1.
#[rustfmt::skip]
const ORDINATES: [(f64, f64); 33] = [
    (0.0, 0.0), (0.1, 0.030), (0.2, 0.100), (0.3, 0.190), (0.4, 0.310), (0.5, 0.470), (0.6, 0.660), (0.7, 0.820),
    (0.8, 0.930), (0.9, 0.990), (1.0, 1.0), (1.1, 0.990), (1.2, 0.930), (1.3, 0.860), (1.4, 0.780), (1.5, 0.680),
    (1.6, 0.560), (1.7, 0.460), (1.8, 0.390), (1.9, 0.330), (2.0, 0.280), (2.2, 0.207), (2.4, 0.147), (2.6, 0.107),
    (2.8, 0.077), (3.0, 0.055), (3.2, 0.040), (3.4, 0.029), (3.6, 0.021), (3.8, 0.015), (4.0, 0.011), (4.5, 0.005),
    (5.0, 0.0),
];

/// Why a hydrograph cannot be computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum HydrographError {
    /// Area, time or step that is not above 0.
    #[error("{name} is {value}: give a number above 0")]
    NotPositive {
        /// Which.
        name: &'static str,
        /// As found.
        value: f64,
    },
    /// So short a step that the answer would never end.
    #[error("a step of {step_s} s cuts the storm into more than 100 000 pieces: take a longer one")]
    StepTooShort {
        /// As found.
        step_s: f64,
    },
}

/// A catchment that answers as one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Catchment {
    /// Its area.
    pub area_m2: f64,
    /// Its curve number.
    pub number: CurveNumber,
    /// Time from its farthest corner to its foot.
    pub concentration_s: f64,
}

impl Catchment {
    /// Time from the start of a burst to the peak of its hump.
    pub fn peak_time_s(&self, burst_s: f64) -> f64 {
        0.5 * burst_s + LAG_SHARE * self.concentration_s
    }

    /// Peak flow for each metre of runoff from one burst.
    pub fn unit_peak_m3_s(&self, burst_s: f64) -> f64 {
        self.area_m2 / (hump_area() * self.peak_time_s(burst_s))
    }

    /// Mean flow at the foot in each step, from the start of the storm until the last hump has passed.
    ///
    /// # Errors
    /// If area, time of concentration or step is not above 0, or the step is far too short.
    pub fn hydrograph_m3_s(&self, storm: &Storm, step_s: f64) -> Result<Vec<f64>, HydrographError> {
        for (name, value) in
            [("area", self.area_m2), ("time of concentration", self.concentration_s), ("step", step_s)]
        {
            if !(value.is_finite() && value > 0.0) {
                return Err(HydrographError::NotPositive { name, value });
            }
        }
        let peak_time_s = self.peak_time_s(step_s);
        let bursts = (storm.duration_s() / step_s).ceil();
        let hump_steps = (ORDINATES[32].0 * peak_time_s / step_s).ceil();
        if bursts + hump_steps > STEPS_LIMIT {
            return Err(HydrographError::StepTooShort { step_s });
        }
        let (bursts, hump_steps) = (bursts as usize, hump_steps as usize);
        let passes: Vec<f64> = (0..hump_steps)
            .map(|i| {
                let (from, to) = (i as f64 * step_s / peak_time_s, (i + 1) as f64 * step_s / peak_time_s);
                passed_share(to) - passed_share(from)
            })
            .collect();
        let mut flows_m3_s = vec![0.0; bursts + hump_steps];
        let mut before_m = 0.0;
        for burst in 0..bursts {
            let so_far_m = self.number.runoff_m(storm.fallen_m((burst + 1) as f64 * step_s));
            for (i, share) in passes.iter().enumerate() {
                flows_m3_s[burst + i] += (so_far_m - before_m) * self.area_m2 * share / step_s;
            }
            before_m = so_far_m;
        }
        Ok(flows_m3_s)
    }
}

/// Area under the hump between straight pieces, in peaks times times to peak.
fn hump_area() -> f64 {
    area_to(ORDINATES[32].0)
}

/// Share of the hump's water that has passed by a time over the time to peak.
fn passed_share(time_over_peak: f64) -> f64 {
    area_to(time_over_peak) / hump_area()
}

fn area_to(time_over_peak: f64) -> f64 {
    let mut area = 0.0;
    for pair in ORDINATES.windows(2) {
        let ((from, q_from), (to, q_to)) = (pair[0], pair[1]);
        if time_over_peak <= from {
            break;
        }
        let until = if time_over_peak < to { time_over_peak } else { to };
        let q_until = q_from + (q_to - q_from) * (until - from) / (to - from);
        area += 0.5 * (until - from) * (q_from + q_until);
    }
    area
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use quantity::convert::{ft_to_m, h_to_s, inch_to_mm, mm_to_m, s_to_h};

    use super::*;

    fn catchment(area_m2: f64, concentration_h: f64) -> Catchment {
        Catchment {
            area_m2,
            number: CurveNumber::new(80.0).unwrap(),
            concentration_s: h_to_s(concentration_h),
        }
    }

    /// NEH 630 ch. 16, table 16-1: share of the volume passed at each time; the table's own rounding is 0.0021 off the
    /// area between straight pieces. The area itself is 1.3360 (peak factor 645.33/1.3360 = 483, nominal 484).
    #[test]
    fn published_mass_curve() {
        #[rustfmt::skip]
        let passed = [
            0.0, 0.001, 0.006, 0.017, 0.035, 0.065, 0.107, 0.163, 0.228, 0.300, 0.375, 0.450, 0.522, 0.589, 0.650, 0.705,
            0.751, 0.790, 0.822, 0.849, 0.871, 0.908, 0.934, 0.953, 0.967, 0.977, 0.984, 0.989, 0.993, 0.995, 0.997, 0.999,
            1.0,
        ];
        for ((time, _), expected) in ORDINATES.into_iter().zip(passed) {
            assert!((passed_share(time) - expected).abs() <= 0.0021, "{time}");
        }
        assert!((hump_area() - 1.3360).abs() <= 0.0005);
    }

    /// NEH 630 ch. 16, example 16-1: 4.6 mi², T_c 2.3 h, burst 0.3 h: T_p 1.53 h, 1455 ft³/s an inch. McCuen, example
    /// 9-23: 300 acres, T_c 1.34 h: 0.893 h, 254 ft³/s an inch. Olyaei & Ebtehaj 2024, example 7.2: 3.0 km², T_c 1.25 h,
    /// burst 10 min: 0.833 h, 7.49 m³/s a cm. Peak factors of 484 and our 483 are 0.2 % apart: 0.5 %.
    #[test]
    fn published_unit_peaks() {
        let mile_m2 = ft_to_m(5280.0) * ft_to_m(5280.0);
        let cfs_in = ft_to_m(1.0).powi(3) / mm_to_m(inch_to_mm(1.0));
        for (area_m2, hours, burst_h, peak_h, expected) in [
            (4.6 * mile_m2, 2.3, 0.3, 1.53, 1455.0 * cfs_in),
            (300.0 / 640.0 * mile_m2, 1.34, 0.133 * 1.34, 0.893, 254.0 * cfs_in),
            (3.0e6, 1.25, 1.0 / 6.0, 0.833, 7.49 / 0.01),
        ] {
            let c = catchment(area_m2, hours);
            let burst_s = h_to_s(burst_h);
            assert!((s_to_h(c.peak_time_s(burst_s)) - peak_h).abs() <= 0.0011, "{hours}");
            let found = c.unit_peak_m3_s(burst_s);
            assert!((found - expected).abs() <= 0.005 * expected, "{found} against {expected}");
        }
    }

    /// FHWA HDS-2, 2002, example 6.10: 1.2 km², T_c 1.34 h, burst 0.18 h: peak after 0.89 h, 0.28 m³/s a mm, and the
    /// ordinates at 0.4, 0.7, 1, 1.5, 2 and 3 times that.
    #[test]
    fn published_unit_hydrograph() {
        let c = catchment(1.2e6, 1.34);
        let burst_s = h_to_s(0.18);
        assert!((s_to_h(c.peak_time_s(burst_s)) - 0.89).abs() <= 0.005);
        let peak = mm_to_m(c.unit_peak_m3_s(burst_s));
        for (time, expected) in
            [(0.4, 0.087), (0.7, 0.230), (1.0, 0.280), (1.5, 0.190), (2.0, 0.078), (3.0, 0.015)]
        {
            let share = ORDINATES.iter().find(|o| o.0 == time).unwrap().1;
            assert!((peak * share - expected).abs() <= 0.002, "{time}");
        }
    }

    #[test]
    fn impossible_catchments_are_refused() {
        let storm = Storm::even(0.05, 3600.0).unwrap();
        let none = catchment(0.0, 0.5).hydrograph_m3_s(&storm, 300.0);
        assert!(matches!(none, Err(HydrographError::NotPositive { name: "area", .. })));
        let endless = catchment(1e4, 0.5).hydrograph_m3_s(&storm, 1e-3);
        assert!(matches!(endless, Err(HydrographError::StepTooShort { .. })));
        assert!(catchment(1e4, 0.5).hydrograph_m3_s(&storm, f64::NAN).is_err());
    }

    proptest! {
        /// What arrives is what runs off, to 1e-9 of it; no flow is negative.
        #[test]
        fn nothing_is_lost(depth in 0.02..0.3_f64, hours in 0.2..30.0_f64, tc in 0.05..3.0_f64, step in 30.0..900.0_f64) {
            let c = catchment(5_000.0, tc);
            let storm = Storm::even(depth, h_to_s(hours)).unwrap();
            let flows = c.hydrograph_m3_s(&storm, step).unwrap();
            let arrived: f64 = flows.iter().map(|q| q * step).sum();
            let shed = c.area_m2 * c.number.runoff_m(depth);
            prop_assert!((arrived - shed).abs() <= 1e-9 * shed, "{arrived} against {shed}");
            prop_assert!(flows.iter().all(|q| *q >= 0.0));
        }
    }
}
