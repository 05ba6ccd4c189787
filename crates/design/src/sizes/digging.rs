//! What a line takes to dig: cut, bank, swell, days.
//!
//! Cut and bank are the section's areas added up along the line, straight from place to place. Soil swells as
//! it comes loose and shrinks as it is packed, so a cubic metre from the trench makes less than one of settled
//! bank. Leaves out: stripping of topsoil, the lowering of the bank at a sill, hauling beyond a throw of the
//! shovel (3 m).

use quantity::Estimate;
use water::section::SectionError;

use super::Digging;
use crate::section::{SectionUnknown, Sections};

/// Loose volume over undisturbed: common earth 1.2 to 1.3 (soil-volume guides), 1.43 in pond building.
const LOOSE_OVER_CUT: (f64, f64, f64) = (1.20, 1.30, 1.43);

/// Settled bank over undisturbed cut, from heavy clay (0.78 to 0.85) over loam and silty clay (0.82 to 0.88) to sand
/// (0.88 to 0.92): an Indian construction table of bulking and shrinkage. Likely is the middle of loam.
const BANK_OVER_CUT: (f64, f64, f64) = (0.78, 0.85, 0.92);

/// What one person digs and throws in a day, m³. Tasks set on Indian public works run from 0.85 to 2.6 m³ (Times of
/// India 2020, on MGNREGS rates); a building estimator's hours give 2.1 m³ of heavy soil to 5.8 m³ of sand in 7 h. A
/// planner's choice between them: 1.0 alone in stony clay, 2.5 fit in loam.
const DUG_IN_A_DAY_M3: (f64, f64, f64) = (1.0, 1.5, 2.5);

pub(crate) fn range((low, likely, high): (f64, f64, f64)) -> Estimate {
    Estimate::new(low, likely, high).expect("in rising order")
}

/// Digging of a line with these sections.
///
/// # Errors
/// A section cannot be built on its ground.
pub(super) fn of(sections: &Sections) -> Result<Digging, SectionUnknown> {
    let cut_m3 = along(sections, water::section::HandSection::cut_area_m2)?;
    let fill_m3 = along(sections, water::section::HandSection::fill_area_m2)?;
    Ok(Digging {
        cut_m3,
        fill_m3,
        loose_m3: range(LOOSE_OVER_CUT).map_monotone(|swell| cut_m3 * swell),
        spare_fill_m3: range(BANK_OVER_CUT).map_monotone(|packed| cut_m3 * packed - fill_m3),
        person_days: range(DUG_IN_A_DAY_M3).map_monotone(|a_day_m3| cut_m3 / a_day_m3),
    })
}

/// The sum of several ranges: all low together, all high together.
pub(crate) fn sum(ranges: impl Iterator<Item = Estimate>) -> Estimate {
    ranges.fold(Estimate::exact(0.0), |total, range| {
        Estimate::spanning(
            total.likely() + range.likely(),
            total.low() + range.low(),
            total.high() + range.high(),
        )
    })
}

/// An area across the line, added up along it.
pub(crate) fn along(
    sections: &Sections,
    area_m2: fn(&water::section::HandSection) -> Result<f64, SectionError>,
) -> Result<f64, SectionUnknown> {
    let mut volume_m3 = 0.0;
    let mut last: Option<(f64, f64)> = None;
    for place in &sections.places {
        let here_m2 = area_m2(&place.hand)
            .map_err(|why| SectionUnknown::Section { chainage_m: place.chainage_m, why })?;
        if let Some((from_m, from_m2)) = last {
            volume_m3 += (place.chainage_m - from_m) * (from_m2 + here_m2) / 2.0;
        }
        last = Some((place.chainage_m, here_m2));
    }
    Ok(volume_m3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::lay_out;
    use crate::{section, trial};
    use serde_json::json;

    /// Flat ground, 10 m of trench: bed 0.5, batter 1, depth 0.3: (0.5 + 0.3)·0.3 = 0.24 m² → 2.4 m³. Bank 0.3 high, top
    /// 0.3, batter 2: (0.3 + 0.6)·0.3 = 0.27 m² → 2.7 m³. Loose 2.88, 3.12, 3.432 m³; the cut packs to 2.04 m³, 0.66 m³ too
    /// little; 2.4 m³ are 0.96, 1.6, 2.4 days.
    #[test]
    fn ten_metres_by_hand() {
        let site = trial::by_tape(&json!({ "line": [{
            "name": "t", "kind": "swale", "cross_slope": "level", "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
            "tape": [{ "at_m": 0.0, "z_m": 10.0 }, { "at_m": 10.0, "z_m": 10.0 }],
        }] }));
        let laid = lay_out(&site);
        let sections = section::sections(&site, &site.plan.lines[0], &laid.lines[0]).unwrap();
        let digging = of(&sections).unwrap();
        let near =
            |found: f64, expected: f64| assert!((found - expected).abs() < 1e-9, "{found} ≠ {expected}");
        near(digging.cut_m3, 2.4);
        near(digging.fill_m3, 2.7);
        near(digging.loose_m3.low(), 2.88);
        near(digging.loose_m3.high(), 3.432);
        near(digging.spare_fill_m3.likely(), -0.66);
        near(digging.person_days.low(), 0.96);
        near(digging.person_days.likely(), 1.6);
        near(digging.person_days.high(), 2.4);
    }
}
