//! What the things to buy and the days of work cost, by the prices of the plan.
//!
//! Amount times price, low with low and high with high. What has no price is named and left out of the sum.

use quantity::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use site::Prices;

use super::{Grove, Supplies};
use crate::sizes::digging::sum;

/// Costs, in the currency of the plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Costs {
    /// The currency.
    pub currency: String,
    /// One entry a thing that has a price.
    pub things: Vec<Cost>,
    /// All of them.
    pub total_cost: Estimate,
    /// What is needed and has no price.
    pub without_price: Vec<&'static str>,
}

/// What one thing costs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Cost {
    /// What.
    pub thing: &'static str,
    /// In the currency of the plan.
    pub cost: Estimate,
}

/// The costs of the work.
pub(super) fn of(prices: &Prices, person_days: Estimate, supplies: &Supplies, grove: &Grove) -> Costs {
    let trees = grove.trees as f64;
    let trees_and_spare = grove.spare_trees.map_monotone(|spare| trees + spare);
    let wanted = [
        ("work", person_days, prices.work_per_person_day),
        ("trees", trees_and_spare, prices.tree_each),
        ("nurse plants", grove.nurse_plants, prices.nurse_plant_each),
        ("stakes", Estimate::exact(grove.stakes as f64), prices.stake_each),
        ("mulch", grove.mulch_m3, prices.mulch_per_m3),
        ("rock", Estimate::exact(supplies.rock_m3), prices.rock_per_m3),
        ("seed", supplies.seed_kg, prices.seed_per_kg),
        ("straw", supplies.straw_kg, prices.straw_per_kg),
    ];
    let mut things = Vec::new();
    let mut without_price = Vec::new();
    for (thing, amount, price) in wanted {
        match price {
            _ if amount.high() <= 0.0 => {}
            Some(price) => things.push(Cost { thing, cost: times(amount, price) }),
            None => without_price.push(thing),
        }
    }
    let total_cost = sum(things.iter().map(|thing| thing.cost));
    Costs { currency: prices.currency.clone(), things, total_cost, without_price }
}

fn times(amount: Estimate, price: Estimate) -> Estimate {
    Estimate::spanning(
        amount.likely() * price.likely(),
        amount.low() * price.low(),
        amount.high() * price.high(),
    )
}
