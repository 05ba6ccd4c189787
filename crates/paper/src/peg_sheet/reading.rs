//! The reading to aim for, in words a helper follows with the tool in hand.

use design::pegs::PegRow;
use quantity::figures::fixed;
use site::ToolKind;

use crate::words::peg_sheet as said;

/// Pegs this many steps of the tool apart, or more, are reached by several readings.
const FAR_STEPS: f64 = 1.5;

/// What the tool shall show at a peg, by its place in the list.
///
/// Frame and string are set from peg to peg, so their reading is the fall from the last peg; hose and level are
/// read against the first peg. A peg that is to stand lower has a longer staff below the water or the sight.
pub(crate) fn words(answer: &design::pegs::Answer, rows: &[PegRow], i: usize) -> String {
    let row = &rows[i];
    if i == 0 {
        return said::FIRST_PEG.to_owned();
    }
    let is_far = row.chainage_m - rows[i - 1].chainage_m >= FAR_STEPS * answer.step_m;
    match answer.tool {
        ToolKind::AFrame | ToolKind::LineLevel if is_far => several_steps(row.fall_from_last_mm),
        ToolKind::AFrame => frame(row.fall_from_last_mm),
        ToolKind::LineLevel => string(row.fall_from_last_mm),
        ToolKind::Hose | ToolKind::Level => staff(row.fall_from_first_mm),
    }
}

fn several_steps(fall_mm: f64) -> String {
    let (mm, order) = whole_mm(fall_mm);
    match order {
        std::cmp::Ordering::Equal => said::LEVEL_IN_STEPS.to_owned(),
        std::cmp::Ordering::Greater => said::lower_in_steps(&mm),
        std::cmp::Ordering::Less => said::higher_in_steps(&mm),
    }
}

/// A whole millimetre: none of these tools shows less.
fn whole_mm(fall_mm: f64) -> (String, std::cmp::Ordering) {
    let whole = fall_mm.round();
    let order = whole.partial_cmp(&0.0).unwrap_or(std::cmp::Ordering::Equal);
    (fixed(whole.abs(), 0), order)
}

fn frame(fall_mm: f64) -> String {
    let (mm, order) = whole_mm(fall_mm);
    match order {
        std::cmp::Ordering::Equal => said::ON_THE_MARK.to_owned(),
        std::cmp::Ordering::Greater => said::leading_foot_low(&mm),
        std::cmp::Ordering::Less => said::leading_foot_high(&mm),
    }
}

fn string(fall_mm: f64) -> String {
    let (mm, order) = whole_mm(fall_mm);
    match order {
        std::cmp::Ordering::Equal => said::BUBBLE_CENTRED.to_owned(),
        std::cmp::Ordering::Greater => said::string_up(&mm),
        std::cmp::Ordering::Less => said::string_down(&mm),
    }
}

fn staff(fall_mm: f64) -> String {
    let (mm, order) = whole_mm(fall_mm);
    match order {
        std::cmp::Ordering::Equal => said::AS_AT_FIRST.to_owned(),
        std::cmp::Ordering::Greater => said::more_than_at_first(&mm),
        std::cmp::Ordering::Less => said::less_than_at_first(&mm),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Estimate;

    fn row(fall_from_last_mm: f64, fall_from_first_mm: f64) -> PegRow {
        PegRow {
            peg: 4,
            chainage_m: 6.0,
            x_m: None,
            y_m: None,
            z_m: None,
            fall_from_last_mm,
            fall_from_first_mm,
            cut_m: 0.3,
            bank_build_m: Estimate::exact(0.36),
            band_m: None,
            after_jump: false,
            notes: vec![],
        }
    }

    fn words_with(tool: ToolKind, step_m: f64, second: PegRow) -> String {
        let mut first = row(0.0, 0.0);
        first.peg = 1;
        first.chainage_m = 4.0;
        let answer = design::pegs::Answer { tool, step_m, lines: vec![] };
        words(&answer, &[first, second], 1)
    }

    #[test]
    fn readings_by_tool() {
        for (tool, falling, climbing, level) in [
            (ToolKind::AFrame, "front foot 33 mm low", "front foot 30 mm high", "on the mark"),
            (ToolKind::LineLevel, "string 33 mm higher here", "string 30 mm lower here", "bubble centred"),
            (ToolKind::Hose, "100 mm more than at peg 1", "20 mm less than at peg 1", "same as at peg 1"),
            (ToolKind::Level, "100 mm more than at peg 1", "20 mm less than at peg 1", "same as at peg 1"),
        ] {
            assert_eq!(words_with(tool, 2.0, row(33.3, 100.0)), falling);
            assert_eq!(words_with(tool, 2.0, row(-30.0, -20.0)), climbing);
            assert_eq!(words_with(tool, 2.0, row(0.3, -0.4)), level);
        }
    }

    /// Pegs 2 m apart, a frame of 1 m: no single reading spans them.
    #[test]
    fn far_pegs_take_several_steps() {
        assert_eq!(words_with(ToolKind::AFrame, 1.0, row(784.0, 784.0)), "784 mm lower, in steps");
        assert_eq!(words_with(ToolKind::Hose, 1.0, row(784.0, 784.0)), "784 mm more than at peg 1");
    }
}
