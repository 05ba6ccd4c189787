//! A landing that the spilt water will scour.

use quantity::figures::fixed;
use site::Lining;

use super::{Facts, Finding, Place, Severity, percent};

/// The finding's code.
pub const CODE: &str = "landing-too-fast";

const SOURCE: &str = "permissible speeds: SCS-TP-61 as reproduced in a US municipal code; slope caution: Catchments & Creeks, Level spreaders";
/// Grass steeper than this wants care even where the speed is allowed, rise over run.
const GRASS_CAUTION_SLOPE: f64 = 0.10;

/// One finding a sill.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (line, laid, sizes) in facts.lines() {
        for (sill, planned) in sizes.sills.iter().zip(&line.sills) {
            let Some(landing) = sill.landing else { continue };
            let cover = planned.landing.unwrap_or(Lining::Grass);
            let (severity, judged) = if landing.speed_m_s > landing.stands_m_s {
                (Severity::Warn, "It will scour.")
            } else if cover != Lining::Rock && landing.slope > GRASS_CAUTION_SLOPE {
                (Severity::Note, "On ground steeper than 10 % even a slow sheet finds the weak place.")
            } else {
                continue;
            };
            let rock = landing.rock_d50_mm.map_or(String::new(), |d50| format!(" of {} mm", fixed(d50, 0)));
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, sill.at_m),
                values: vec![
                    ("speed_m_s", fixed(landing.speed_m_s, 2)),
                    ("slope_percent", percent(landing.slope)),
                    ("cover", cover.words().to_owned()),
                    ("stands_m_s", fixed(landing.stands_m_s, 2)),
                    ("rock", rock),
                    ("judged", judged.to_owned()),
                ],
                source: SOURCE,
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;
    use crate::sizes::Landing;

    #[test]
    fn speed_warns_and_steep_grass_is_noted() {
        for (speed_m_s, slope, severity) in
            [(0.5, 0.08, None), (0.5, 0.14, Some(Severity::Note)), (1.3, 0.08, Some(Severity::Warn))]
        {
            let mut sample = Sample::sound();
            sample.sizes.lines[0].sills[0].landing =
                Some(Landing { slope, speed_m_s, stands_m_s: 0.9, rock_d50_mm: None });
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{speed_m_s} {slope}");
        }
    }
}
