//! When a tree must be watered by hand, and how much.
//!
//! A can is due when the tree has drawn what it can draw without stress. The round then brings the roots' ground
//! back to field capacity: more would drain away. The litres are those of the ground the roots have reached, so
//! that a whip needs little and often, and a tree of three summers much and seldom.
//!
//! Source: trigger and refill, Allen et al. 1998, FAO-56, ch. 8 (RAW and depletion). What is usually advised for
//! comparison: 19 to 38 L a week for each 25 mm of stem (Georgia Forestry Commission; eXtension), double in
//! drought; a week with 25 to 38 mm of rain is skipped (city tree programmes).
//! Leaves out: water lost on the way into the ground, the loss to a basin wider than the roots.

use crate::water_balance::{TreeGround, TreeState};

/// Litres a week for each 25 mm of stem, from Georgia's least to the extension service's most
/// (Georgia Forestry Commission: 19 to 28; eXtension.org and Colorado: 38).
const WEEKLY_L_PER_STEM: [f64; 2] = [19.0, 38.0];
/// The stem that those litres are for, mm.
const STEM_MM: f64 = 25.0;
/// Rain in a week that stands in for watering, mm: 1 to 1.5 inches (city tree programmes).
pub const RAIN_INSTEAD_MM: [f64; 2] = [25.0, 38.0];
/// Least soak at planting of a tree in tube stock, L (a council's planting guide, New South Wales).
pub const PLANTING_SOAK_L: f64 = 10.0;

/// How much a tree lacks today.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterNeed {
    /// Litres that bring its roots' ground back to field capacity.
    pub refill_l: f64,
    /// What has been drawn against what can be drawn without stress: 1 is when stress begins.
    pub drawn_frac: f64,
}

impl WaterNeed {
    /// What the tree lacks at the end of a day. `readily_mm` is what it could draw that day without stress.
    pub fn of(ground: &TreeGround, state: &TreeState, readily_mm: f64) -> WaterNeed {
        let depletion_mm = state.depletion_mm(ground);
        WaterNeed { refill_l: depletion_mm * state.stature.area_m2, drawn_frac: depletion_mm / readily_mm }
    }

    /// Whether a round is due: `trigger_frac` 1 waits for the first stress, less waters before it.
    pub fn is_due(&self, trigger_frac: f64) -> bool {
        self.drawn_frac >= trigger_frac
    }
}

/// Depth that some litres are over the roots' ground, mm: what a can of `water_l` adds to the balance.
pub fn can_mm(state: &TreeState, water_l: f64) -> f64 {
    water_l / state.stature.area_m2
}

/// What is usually advised for a stem of this thickness in its first years, L a week, lowest and highest.
pub fn usual_weekly_l(stem_mm: f64) -> [f64; 2] {
    WEEKLY_L_PER_STEM.map(|water_l| water_l * stem_mm / STEM_MM)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::water_balance::DayIn;
    use crate::water_balance::tests::fig;

    fn dry_day() -> DayIn {
        DayIn {
            day_of_year: 190,
            eto_mm: 6.5,
            climate_term: 0.04,
            rain_mm: 0.0,
            line_mm: 0.0,
            hand_mm: 0.0,
            under_water: false,
        }
    }

    /// Rounds at the trigger keep the tree from stress, the refill closes the gap exactly, and one trigger earlier
    /// means smaller rounds.
    #[test]
    fn rounds_keep_a_tree_from_stress() {
        let ground = fig();
        let mut litres = [0.0, 0.0];
        for (i, trigger_frac) in [0.3, 0.9].into_iter().enumerate() {
            let mut state = TreeState::planted(&ground, 1.0);
            let mut out = state.step(&ground, &dry_day());
            let mut rounds = 0;
            for _ in 0..60 {
                let need = WaterNeed::of(&ground, &state, out.readily_mm);
                let due = need.is_due(trigger_frac);
                let hand_mm = if due { can_mm(&state, need.refill_l) } else { 0.0 };
                if due {
                    assert!((hand_mm - state.depletion_mm(&ground)).abs() <= 1e-9);
                    rounds += 1;
                    litres[i] += need.refill_l;
                }
                out = state.step(&ground, &DayIn { hand_mm, ..dry_day() });
            }
            assert!(rounds > 5, "{rounds}");
            litres[i] /= f64::from(rounds);
        }
        assert!(litres[0] < litres[1], "{litres:?}");
    }

    /// A whip in its hole of 0.28 m² and 0.3 m holds 0.1426 · 0.3 · 1000 · 0.2827 = 12.1 L to use.
    #[test]
    fn a_hole_holds_little() {
        let ground = fig();
        let state = TreeState::planted(&ground, 0.0);
        let need = WaterNeed::of(&ground, &state, 20.0);
        assert!((need.refill_l - 12.1).abs() <= 0.05, "{need:?}");
        assert!(need.is_due(1.0));
    }

    /// 19 and 38 L a week for 25 mm of stem; half as thick, half as much.
    #[test]
    fn published_weekly_litres() {
        assert_eq!(usual_weekly_l(25.0), [19.0, 38.0]);
        assert_eq!(usual_weekly_l(12.5), [9.5, 19.0]);
    }
}
