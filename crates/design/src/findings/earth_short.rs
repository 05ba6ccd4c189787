//! A trench that does not give the earth its bank needs.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "earth-short";

const SOURCE: &str =
    "the plan's own sections; shrinkage from bank to compacted by soil: Indian construction bulking table";
/// A shortage below this share of the bank is within the error of a spade. Common practice, no source.
const SMALL_SHARE: f64 = 0.1;

/// One finding a line that is short of earth even if the soil shrinks little.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .lines()
        .filter_map(|(_, laid, sizes)| sizes.digging.as_ref().map(|digging| (laid, digging)))
        .filter(|(_, digging)| digging.spare_fill_m3.high() < -SMALL_SHARE * digging.fill_m3)
        .map(|(laid, digging)| Finding {
            code: CODE,
            severity: Severity::Note,
            place: Place::line(laid),
            values: vec![
                ("fill_m3", fixed(digging.fill_m3, 1)),
                ("short_m3", fixed(-digging.spare_fill_m3.likely(), 1)),
            ],
            source: SOURCE,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;
    use quantity::Estimate;

    /// The sample's bank takes 5 m³: half a cubic metre short is a spade's error, two are not.
    #[test]
    fn a_spade_error_passes_and_a_real_shortage_is_noted() {
        for (spare_m3, severity) in [(-0.4, None), (-2.0, Some(Severity::Note))] {
            let mut sample = Sample::sound();
            sample.sizes.lines[0].digging.as_mut().unwrap().spare_fill_m3 = Estimate::exact(spare_m3);
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{spare_m3}");
        }
    }
}
