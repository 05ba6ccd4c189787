//! A drain, chute or pipe that cannot carry the design storm.

use quantity::figures::fixed;

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "channel-too-small";

/// One finding a drain, chute or pipe.
pub fn find(facts: &Facts) -> Vec<Finding> {
    facts
        .lines()
        .filter_map(|(_, laid, sizes)| sizes.flow.map(|flow| (laid, flow)))
        .filter(|(_, flow)| flow.flow_l_s > flow.brim_l_s)
        .map(|(laid, flow)| Finding {
            code: CODE,
            severity: Severity::Stop,
            place: Place::line(laid),
            values: vec![("flow_l_s", fixed(flow.flow_l_s, 1)), ("brim_l_s", fixed(flow.brim_l_s, 1))],
            source: "uniform flow by Manning's formula; the limit is the trench itself",
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, flow};
    use super::*;

    #[test]
    fn brim_full_passes_and_more_does_not() {
        let mut sample = Sample::sound();
        let mut brim_full = flow(0.4, 0.9);
        brim_full.flow_l_s = brim_full.brim_l_s;
        sample.sizes.lines[0].flow = Some(brim_full);
        assert!(find(&sample.facts()).is_empty());
        brim_full.flow_l_s += 0.1;
        sample.sizes.lines[0].flow = Some(brim_full);
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
    }
}
