//! A grade that drowns in the error of the tool.

use quantity::convert::m_to_mm;
use quantity::figures::fixed;
use site::LineKind;

use super::{Facts, Finding, Place, Severity, percent};

/// The finding's code.
pub const CODE: &str = "grade-too-flat";

const SOURCE: &str = "Peace Corps R0062: about 1 % where levels are home-made, 0.25 % is too fine for them";
/// What home-made levels can set, rise over run.
const HAND_GRADE: f64 = 0.01;

/// One finding a drain.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for (_, laid, _) in facts.lines().filter(|(line, ..)| line.kind == LineKind::Drain) {
        if laid.length_m() == 0.0 {
            continue; // It could not be laid out, which is told elsewhere.
        }
        let fall_m = laid.grade * laid.length_m();
        let error_m = facts.levelling_error_m(laid.pegs.len().saturating_sub(1));
        let severity = if fall_m <= error_m {
            Severity::Warn
        } else if laid.grade < HAND_GRADE && facts.tool_is_home_made() {
            Severity::Note
        } else {
            continue;
        };
        found.push(Finding {
            code: CODE,
            severity,
            place: Place::line(laid),
            values: vec![
                ("grade_percent", percent(laid.grade)),
                ("length_m", fixed(laid.length_m(), 0)),
                ("fall_mm", fixed(m_to_mm(fall_m), 0)),
                ("error_mm", fixed(m_to_mm(error_m), 0)),
            ],
            source: SOURCE,
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn a_fall_within_the_error_warns_and_a_fine_grade_is_noted() {
        for (grade, severity) in
            [(0.012, None), (0.008, Some(Severity::Note)), (0.0001, Some(Severity::Warn))]
        {
            let mut sample = Sample::sound();
            sample.make(LineKind::Drain);
            sample.layout.lines[0].grade = grade;
            assert_eq!(find(&sample.facts()).first().map(|f| f.severity), severity, "{grade}");
        }
    }

    #[test]
    fn a_drain_that_could_not_be_laid_out_has_no_grade() {
        let mut sample = Sample::sound();
        sample.make(LineKind::Drain);
        assert_eq!(find(&sample.facts()).len(), 1, "level by make");
        sample.layout.lines[0].pegs.clear();
        assert!(find(&sample.facts()).is_empty());
    }
}
