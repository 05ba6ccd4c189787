//! What things cost where the site lies.

use quantity::Estimate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What things cost here: each may be left out, and is a number or a range. All in one currency.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// The currency, as you write it behind a number: EUR, KES.
    pub currency: String,
    /// One person's work for a day. Leave it out where the work is your own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub work_per_person_day: Option<Estimate>,
    /// One tree, ready to plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub tree_each: Option<Estimate>,
    /// One nurse plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub nurse_plant_each: Option<Estimate>,
    /// One stake.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub stake_each: Option<Estimate>,
    /// Mulch, a cubic metre, brought to the site.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub mulch_per_m3: Option<Estimate>,
    /// Rock, a cubic metre as laid, brought to the site.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub rock_per_m3: Option<Estimate>,
    /// Seed for the banks, a kilogram.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub seed_per_kg: Option<Estimate>,
    /// Straw for the banks, a kilogram.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("minimum" = 0.0, "maximum" = 10_000_000.0))]
    pub straw_per_kg: Option<Estimate>,
}
