//! A drain or chute that runs faster than its bed stands.

use quantity::figures::fixed;
use site::Lining;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "channel-too-fast";

const SOURCE: &str =
    "non-scour speeds: Keown et al. 1977; grass: SCS-TP-61 as reproduced in a US municipal code";

/// One finding a drain or chute.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .lines()
        .filter_map(|(line, laid, sizes)| sizes.flow.map(|flow| (line, laid, flow)))
        .filter(|(_, _, flow)| flow.speed_m_s > flow.stands_m_s)
        .map(|(line, laid, flow)| Finding {
            code: CODE,
            severity: Severity::Warn,
            place: Place::line(laid),
            values: vec![
                ("speed_m_s", fixed(flow.speed_m_s, 2)),
                ("stands_m_s", fixed(flow.stands_m_s, 2)),
                ("cover", line.lining.unwrap_or(Lining::Bare).words().to_owned()),
            ],
            source: SOURCE,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, flow};
    use super::*;

    #[test]
    fn only_above_what_the_bed_stands() {
        let mut sample = Sample::sound();
        sample.sizes.lines[0].flow = Some(flow(0.44, 0.45));
        assert!(find(&sample.facts()).is_empty());
        sample.sizes.lines[0].flow = Some(flow(0.60, 0.45));
        assert_eq!(find(&sample.facts())[0].severity, Severity::Warn);
    }
}
