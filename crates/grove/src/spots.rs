//! Which spot beside a line suits a tree.
//!
//! Roots under water die, roots in dust wither: a spot is as good as the worse of the two lets it be. How long a
//! spot is wet and dry comes from a season run; how long the tree stands it from its facts.
//!
//!   score = 1 − max(wet days in a row / the tree's limit, dry days / the tree's limit), no less than 0
//!
//! Source: wet classes UF/IFAS Extension HS202, whose words the limits in days are our reading of; the dry limits
//! and the score are ours. In the trench only tolerant trees, on the bank only where it is 2.4 m wide: growers'
//! advice. Mound and upper side for trees that stand no wet feet: UC Cooperative Extension (planting high).
//! Leaves out: dormant trees stand water far longer than trees in leaf (from memory, unverified).

use crate::spacing::{Spot, WIDE_BANK_M};
use crate::trees::{Drought, Species, WetFeet};

/// Dry days in a growing season after which a planted tree is in danger: ours, no source.
fn dry_limit_days(drought: Option<Drought>) -> f64 {
    match drought {
        Some(Drought::Hardy) => 60.0,
        Some(Drought::Middling) => 30.0,
        // Where nothing is known the careful limit stands.
        Some(Drought::Thirsty) | None => 15.0,
    }
}

/// What a season run says of a spot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpotDays {
    /// Longest run of days with wet feet.
    pub wet_run_days: f64,
    /// Dry days in a growing season.
    pub dry_days: f64,
    /// Width of the bank, m.
    pub bank_width_m: f64,
}

/// Why a spot has the score it has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SpotReason {
    /// Neither wet nor dry takes anything off.
    Suits,
    /// Wet for longer than the species stands.
    TooWet,
    /// Dry for longer than the species stands.
    TooDry,
    /// Wet days take most off.
    Wet,
    /// Dry days take most off.
    Dry,
    /// Only trees that stand wet feet go into a trench.
    TrenchForTolerantOnly,
    /// The bank is too narrow for a tree.
    NarrowBank,
}

/// How well a spot suits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpotScore {
    /// From 0, not here, to 1.
    pub score_frac: f64,
    /// What decided.
    pub reason: SpotReason,
}

/// How well a spot suits a species.
pub fn spot_score(species: &Species, spot: Spot, days: &SpotDays) -> SpotScore {
    let none = |reason| SpotScore { score_frac: 0.0, reason };
    let (wet_feet, _) = species.wet_feet;
    if spot == Spot::Trench && wet_feet != WetFeet::Tolerant {
        return none(SpotReason::TrenchForTolerantOnly);
    }
    if spot == Spot::Bank && days.bank_width_m < WIDE_BANK_M {
        return none(SpotReason::NarrowBank);
    }
    let wet_frac = days.wet_run_days / f64::from(wet_feet.limit_days());
    let dry_frac = days.dry_days / dry_limit_days(species.drought());
    if wet_frac >= 1.0 {
        return none(SpotReason::TooWet);
    }
    if dry_frac >= 1.0 {
        return none(SpotReason::TooDry);
    }
    let reason = match (wet_frac > 0.0 || dry_frac > 0.0, wet_frac >= dry_frac) {
        (false, _) => SpotReason::Suits,
        (true, true) => SpotReason::Wet,
        (true, false) => SpotReason::Dry,
    };
    SpotScore { score_frac: 1.0 - wet_frac.max(dry_frac), reason }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trees::{all, find};

    const DAYS: SpotDays = SpotDays { wet_run_days: 0.0, dry_days: 0.0, bank_width_m: 1.6 };

    #[test]
    fn spots_by_species() {
        let score = |name: &str, spot, days: SpotDays| spot_score(find(name).unwrap(), spot, &days);
        assert_eq!(score("olive", Spot::Trench, DAYS).reason, SpotReason::TrenchForTolerantOnly);
        assert_eq!(score("guava", Spot::Trench, DAYS).reason, SpotReason::Suits);
        assert_eq!(score("fig", Spot::Bank, DAYS).reason, SpotReason::NarrowBank);
        assert_eq!(score("fig", Spot::Bank, SpotDays { bank_width_m: 2.4, ..DAYS }).score_frac, 1.0);
        // Three days of water: over the olive's 2, within the apple's 5 (1 − 3/5).
        let wet = SpotDays { wet_run_days: 3.0, ..DAYS };
        assert_eq!(score("olive", Spot::Toe, wet).reason, SpotReason::TooWet);
        let apple = score("apple", Spot::Toe, wet);
        assert!((apple.score_frac - 0.4).abs() <= 1e-12 && apple.reason == SpotReason::Wet);
        // Twenty dry days: over the apple's 15, a third of the almond's 60.
        let dry = SpotDays { dry_days: 20.0, ..DAYS };
        assert_eq!(score("apple", Spot::Above, dry).reason, SpotReason::TooDry);
        let almond = score("almond", Spot::Above, dry);
        assert!((almond.score_frac - 2.0 / 3.0).abs() <= 1e-12 && almond.reason == SpotReason::Dry);
    }

    proptest! {
        /// Wetter or drier is never better, for any species on any spot.
        #[test]
        fn more_days_never_score_higher(
            wet in 0.0..20.0_f64, dry in 0.0..90.0_f64, wetter in 0.0..5.0_f64, drier in 0.0..20.0_f64,
        ) {
            for species in all() {
                for spot in Spot::ALL {
                    let mild = SpotDays { wet_run_days: wet, dry_days: dry, bank_width_m: 2.4 };
                    let harsh =
                        SpotDays { wet_run_days: wet + wetter, dry_days: dry + drier, ..mild };
                    let (better, worse) = (spot_score(species, spot, &mild), spot_score(species, spot, &harsh));
                    prop_assert!(worse.score_frac <= better.score_frac);
                    prop_assert!((0.0..=1.0).contains(&better.score_frac));
                }
            }
        }
    }
}
