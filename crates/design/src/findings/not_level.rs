//! A swale whose pegs, or dug bed, are not level.

use quantity::convert::m_to_mm;
use quantity::figures::fixed;
use site::LineKind;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "not-level";

const SOURCE: &str = "Afforestation in arid and semi-arid tropics (field manual): points of a contour line within 2 cm of each other";
/// Farthest a peg may lie from the level of the line, m.
const TOLERANCE_M: f64 = 0.02;

/// One finding for the pegs and one for the dug bed of each swale.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (_, laid, _) in facts.lines().filter(|(line, ..)| line.kind == LineKind::Swale) {
        let pegs = laid.pegs.iter().filter_map(|peg| peg.ground_z_m.map(|z_m| (peg.chainage_m, z_m)));
        let bed =
            facts.site.dug.get(&laid.line).into_iter().flatten().map(|dug| (dug.chainage_m, dug.bed_z_m));
        for (what, levels) in [("line of pegs", pegs.collect::<Vec<_>>()), ("dug bed", bed.collect())] {
            let Some(spread) = Spread::of(&levels, laid.grade) else {
                continue;
            };
            if spread.worst_off_m.abs() <= TOLERANCE_M {
                continue;
            }
            found.push(Finding {
                code: CODE,
                severity: Severity::Warn,
                place: Place::on(laid, spread.worst_chainage_m),
                values: vec![
                    ("what", what.to_owned()),
                    ("spread_mm", fixed(m_to_mm(spread.range_m), 0)),
                    ("offset_mm", offset_words(spread.worst_off_m)),
                ],
                source: SOURCE,
            });
        }
    }
    found
}

fn offset_words(off_m: f64) -> String {
    let side = if off_m > 0.0 { "high" } else { "low" };
    format!("{} {side}", fixed(m_to_mm(off_m.abs()), 0))
}

struct Spread {
    range_m: f64,
    worst_off_m: f64,
    worst_chainage_m: f64,
}

impl Spread {
    /// How levels scatter about their own mean, the planned fall taken out.
    fn of(levels: &[(f64, f64)], grade: f64) -> Option<Spread> {
        if levels.len() < 2 {
            return None;
        }
        let flattened: Vec<(f64, f64)> =
            levels.iter().map(|(at_m, z_m)| (*at_m, z_m + grade * at_m)).collect();
        let mean_m = flattened.iter().map(|(_, z_m)| z_m).sum::<f64>() / flattened.len() as f64;
        let (mut low_m, mut high_m) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut worst = (0.0, 0.0);
        for (at_m, z_m) in flattened {
            let off_m = z_m - mean_m;
            low_m = low_m.min(off_m);
            high_m = high_m.max(off_m);
            if off_m.abs() > f64::abs(worst.1) {
                worst = (at_m, off_m);
            }
        }
        Some(Spread { range_m: high_m - low_m, worst_off_m: worst.1, worst_chainage_m: worst.0 })
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;
    use site::DugLevel;

    /// Four beds at 0, 0, 0 and 60 mm: mean 15, the last lies 45 mm high.
    #[test]
    fn the_worst_peg_is_named() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        let dug = |chainage_m, bed_z_m| DugLevel { chainage_m, bed_z_m, bank_z_m: None };
        let levels = vec![dug(0.0, 9.7), dug(10.0, 9.7), dug(20.0, 9.7), dug(30.0, 9.76)];
        sample.site.dug.insert("top".to_owned(), levels);
        let found = find(&sample.facts());
        assert_eq!(found[0].place.chainage_m, Some(30.0));
        assert!(found[0].values.contains(&("offset_mm", "45 high".to_owned())), "{found:?}");
        assert!(found[0].values.contains(&("spread_mm", "60".to_owned())), "{found:?}");
    }
}
