//! Ground too steep for standing water.
//!
//! The ladder of the guard: to 8 % ordinary, to 15 % shallow and short, to 25 % basins or narrow terraces
//! rather than long level lines, above 25 % none without a geotechnical opinion. It is a synthesis, for the
//! sources disagree: 5 % (Critchley & Siegert, FAO AGL/MISC/17/91), 5–20 % for up-slope banks on deep soil
//! (FU Berlin IWRM), 12–50 % for hillside ditches and tree terraces (Peace Corps R0062, Honduras).

use super::{Facts, Finding, Place, Severity, percent};
use site::LineKind;

/// The finding's code.
pub const CODE: &str = "ground-too-steep";

const SOURCE: &str =
    "synthesis of FAO AGL/MISC/17/91 (5 %), Peace Corps R0062 (12 to 50 %) and FU Berlin IWRM (5 to 20 %)";
/// Above this a level line is kept shallow and short.
const SHALLOW_AND_SHORT: f64 = 0.08;
/// Above this basins and narrow terraces serve better.
const BASINS_INSTEAD: f64 = 0.15;
/// Above this no water is held without an opinion on record.
const NEVER_UNASKED: f64 = 0.25;

/// One finding a swale, at its steepest peg.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (_, laid, _) in facts.lines().filter(|(line, ..)| line.kind == LineKind::Swale) {
        let steepest = laid.pegs.iter().filter_map(|peg| peg.cross_slope.map(|slope| (slope, peg))).fold(
            None,
            |worst: Option<(f64, _)>, next| match worst {
                Some(worst) if worst.0 >= next.0 => Some(worst),
                _ => Some(next),
            },
        );
        let Some((slope, peg)) = steepest else { continue };
        let Some((severity, remedy)) = weigh(slope, facts.opinion_allows(CODE, &laid.line, slope)) else {
            continue;
        };
        found.push(Finding {
            code: CODE,
            severity,
            place: Place::on(laid, peg.chainage_m),
            values: vec![("slope_percent", percent(slope)), ("remedy", remedy.to_owned())],
            source: SOURCE,
        });
    }
    found
}

fn weigh(slope: f64, allowed: bool) -> Option<(Severity, &'static str)> {
    if slope > NEVER_UNASKED && !allowed {
        return Some((
            Severity::Stop,
            "Hold no water here. Lead it on with a drain that falls, and plant in small basins.",
        ));
    }
    if slope > BASINS_INSTEAD {
        return Some((
            Severity::Warn,
            "Dig small basins round single trees or narrow terraces instead of a long level line.",
        ));
    }
    if slope > SHALLOW_AND_SHORT {
        return Some((
            Severity::Note,
            "Keep the line shallow and short, armour its sill, and set the trees on small ledges.",
        ));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    /// The ladder's rungs.
    #[test]
    fn each_rung_weighs_more() {
        for (slope, severity) in [
            (0.08, None),
            (0.12, Some(Severity::Note)),
            (0.20, Some(Severity::Warn)),
            (0.26, Some(Severity::Stop)),
        ] {
            let mut sample = Sample::sound();
            sample.layout.lines[0].pegs[1].cross_slope = Some(slope);
            let found = find(&sample.facts());
            assert_eq!(found.first().map(|f| f.severity), severity, "{slope}");
        }
    }

    #[test]
    fn an_opinion_on_record_lifts_the_stop_but_not_the_warning() {
        let mut sample = Sample::sound();
        sample.layout.lines[0].pegs[1].cross_slope = Some(0.30);
        sample.record_opinion(CODE, "35%");
        assert_eq!(find(&sample.facts())[0].severity, Severity::Warn);
        sample.record_opinion(CODE, "28%");
        assert_eq!(find(&sample.facts())[0].severity, Severity::Stop);
    }
}
