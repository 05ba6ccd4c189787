//! An ordinary year from which weather can be drawn.

use grove::generator::ClimateError;

use super::Fault;
use crate::Plan;

pub(super) fn fault(plan: &Plan) -> Option<Fault> {
    let error = plan.climate.as_ref()?.ordinary_year().err()?;
    let key = match error {
        ClimateError::RainDays { month, .. } => format!("rain_days[{}]", month - 1),
        ClimateError::Rain { month, .. } => format!("rain_mm[{}]", month - 1),
        ClimateError::Range { month, .. } => format!("tmin_c[{}]", month - 1),
        ClimateError::Days { name, .. } => name.to_owned(),
    };
    let advice = "write the twelve months as the almanac has them, January first";
    Some(Fault::new(format!("climate.{key}"), "climate-impossible", error.to_string(), advice))
}
