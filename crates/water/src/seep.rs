//! A seep that answers past rain.
//!
//! Rain that sinks into the ground above a seep fills that ground like a tub with a hole in it: the fuller it is, the
//! more runs out, so what runs out falls by the same share every day until rain fills it again.
//!
//! Q = Q₀·e^(−t/k), and k = t½ / ln 2 with t½ the time in which the flow halves; what the ground still holds is Q·k.
//! What sinks in a step of time h at an even rate r adds to it: Q₁ = Q₀·e^(−h/k) + r·(1 − e^(−h/k)), and the volume
//! that runs out is what was held and sank less what is held at the end, so no water is made or lost. A delay puts off
//! what sinks by the time it takes to come down to the water.
//!
//! Source: E. Maillet, Essais d'hydraulique souterraine et fluviale, 1905: one tub that drains by the law above; with
//! steps of rain it is the linear reservoir. Holds for a seep that falls off evenly in a dry spell: two flows read some
//! days apart give t½. Leaves out: ground that holds rain back until it is moist, and springs with more than one tub.

/// How a seep falls off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recession {
    /// Time in which its flow halves.
    pub half_s: f64,
    /// Time from the rain to the rise.
    pub delay_s: f64,
}

impl Recession {
    /// Time in which the flow falls to 1/e: k.
    pub fn k_s(&self) -> f64 {
        debug_assert!(self.half_s > 0.0, "half_s = {}", self.half_s);
        self.half_s / std::f64::consts::LN_2
    }

    /// The recession that two flows read some time apart show.
    ///
    /// None unless the later flow is less and above nothing.
    pub fn between(earlier_m3_s: f64, later_m3_s: f64, apart_s: f64) -> Option<Recession> {
        let falls = later_m3_s > 0.0 && later_m3_s < earlier_m3_s && apart_s > 0.0;
        falls.then(|| {
            let halvings = libm::log(earlier_m3_s / later_m3_s) / std::f64::consts::LN_2;
            Recession { half_s: apart_s / halvings, delay_s: 0.0 }
        })
    }

    /// The flow after so long without rain.
    pub fn falls_to_m3_s(&self, start_m3_s: f64, after_s: f64) -> f64 {
        start_m3_s * libm::exp(-after_s / self.k_s())
    }

    /// What is still to run out at a flow.
    pub fn holds_m3(&self, flow_m3_s: f64) -> f64 {
        flow_m3_s * self.k_s()
    }

    /// What runs out in each step of what sinks in each; the ground holds nothing at first.
    ///
    /// A delay that is no whole number of steps is shared between the two steps that it falls into.
    pub fn released_m3(&self, sunk_m3: &[f64], step_s: f64) -> Vec<f64> {
        let k_s = self.k_s();
        let runs_out_of_held = -libm::expm1(-step_s / k_s);
        // What sinks evenly in a step is there for half of it, about.
        let runs_out_of_new = 1.0 - k_s / step_s * runs_out_of_held;
        let mut held_m3 = 0.0;
        self.delayed(sunk_m3, step_s)
            .into_iter()
            .map(|new_m3| {
                let out_m3 = held_m3 * runs_out_of_held + new_m3 * runs_out_of_new;
                held_m3 += new_m3 - out_m3;
                out_m3
            })
            .collect()
    }

    fn delayed(&self, sunk_m3: &[f64], step_s: f64) -> Vec<f64> {
        let steps = self.delay_s / step_s;
        let whole = steps as usize;
        let later = steps - whole as f64;
        let at = |i: Option<usize>| i.map_or(0.0, |i| sunk_m3[i]);
        (0..sunk_m3.len())
            .map(|i| (1.0 - later) * at(i.checked_sub(whole)) + later * at(i.checked_sub(whole + 1)))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::convert::{l_to_m3, m3_to_l};

    const DAY_S: f64 = 86_400.0;

    /// By hand: 5 L/s that fall by e^(−0.01 t), t in days: 3.704 after 30, half after 69.315, 1.839 after 100; held at
    /// first 5 L/s × 86 400 s / 0.01 = 43 200 m³.
    #[test]
    fn a_dry_spell_by_hand() {
        let seep = Recession { half_s: 69.314_72 * DAY_S, delay_s: 0.0 };
        for (days, expected_l_s) in [(30.0, 3.704), (69.315, 2.500), (100.0, 1.839)] {
            let flow_l_s = m3_to_l(seep.falls_to_m3_s(l_to_m3(5.0), days * DAY_S));
            assert!((flow_l_s - expected_l_s).abs() <= 0.0005, "{days} d: {flow_l_s}");
        }
        assert!((seep.holds_m3(l_to_m3(5.0)) - 43_200.0).abs() <= 0.5);
    }

    /// By hand: from 5 to 2 L/s in 60 days, ln 2.5 / 60 = 0.015272 a day; what ran out meanwhile is 3 L/s × k:
    /// 16 973 m³.
    #[test]
    fn two_readings_tell_how_it_falls() {
        let seep = Recession::between(l_to_m3(5.0), l_to_m3(2.0), 60.0 * DAY_S).unwrap();
        assert!((DAY_S / seep.k_s() - 0.015_272).abs() <= 5e-7);
        let ran_out_m3 = seep.holds_m3(l_to_m3(5.0)) - seep.holds_m3(l_to_m3(2.0));
        assert!((ran_out_m3 - 16_973.0).abs() <= 0.5, "{ran_out_m3}");
        for (earlier, later) in [(2.0, 5.0), (5.0, 5.0), (5.0, 0.0)] {
            assert_eq!(Recession::between(earlier, later, DAY_S), None);
        }
    }

    /// 10 m³ sink evenly in the first of hourly steps. From then on the flow halves every six steps: what runs out in
    /// step 7 is half of what ran out in step 1, and so on.
    #[test]
    fn what_sank_once_runs_out_by_halves() {
        let seep = Recession { half_s: 6.0 * 3600.0, delay_s: 0.0 };
        let mut sunk_m3 = vec![0.0; 40];
        sunk_m3[0] = 10.0;
        let out_m3 = seep.released_m3(&sunk_m3, 3600.0);
        for i in 1..34 {
            assert!((out_m3[i + 6] / out_m3[i] - 0.5).abs() <= 1e-12);
        }
    }

    /// Steady rain for ever: out of the ground comes what goes in, to the last e^(−400/10).
    #[test]
    fn steady_rain_gives_a_steady_seep() {
        let seep = Recession { half_s: 10.0 * std::f64::consts::LN_2, delay_s: 2.5 };
        let out_m3 = seep.released_m3(&[3.0; 400], 1.0);
        assert_eq!(out_m3[..2], [0.0, 0.0]);
        assert!((out_m3[399] - 3.0).abs() <= 1e-12);
    }

    proptest! {
        /// What sank has run out or is still held; more rain never means less flow; a delay only puts it off.
        #[test]
        fn no_water_is_made_or_lost(
            sunk_m3 in prop::collection::vec(0.0..5.0_f64, 1..60),
            half_steps in 0.2..40.0_f64, delay_steps in 0.0..9.0_f64, more_m3 in 0.0..3.0_f64,
        ) {
            let seep = Recession { half_s: half_steps, delay_s: delay_steps };
            // Room for the delay and for all but 2^(−40) of the rest to run out.
            let padded = |sunk: &[f64]| {
                let mut all = sunk.to_vec();
                all.resize(sunk.len() + 12 + (41.0 * half_steps) as usize, 0.0);
                all
            };
            let out_m3 = seep.released_m3(&padded(&sunk_m3), 1.0);
            let (came, went) = (sunk_m3.iter().sum::<f64>(), out_m3.iter().sum::<f64>());
            prop_assert!((came - went).abs() <= 1e-9 * (1.0 + came), "{came} {went}");
            prop_assert!(out_m3.iter().all(|m3| *m3 >= -1e-12));
            let mut wetter = sunk_m3.clone();
            wetter[0] += more_m3;
            let more = seep.released_m3(&padded(&wetter), 1.0);
            prop_assert!(more.iter().zip(&out_m3).all(|(more, less)| *more >= less - 1e-12));
        }
    }
}
