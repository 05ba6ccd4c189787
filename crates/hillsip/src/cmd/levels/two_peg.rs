//! A level tested on two pegs.

use std::io::{self, Write};

use folder::TwoPeg;
use ground::levels::two_peg::{FLAG_M_PER_M, from_midway};
use quantity::convert::m_to_mm;
use quantity::figures::fixed;
use serde::Serialize;

use super::Verdict;
use crate::cmd::Refused;

/// Length of sight that a person pictures the slope over.
const SIGHT_M: f64 = 10.0;

/// What the test shows.
#[derive(Debug, Serialize)]
pub struct Answer {
    kind: &'static str,
    b_above_a_m: f64,
    /// How much too high it reads in ten metres of sight.
    too_high_in_10_m_mm: f64,
    limit_in_10_m_mm: f64,
    corrected_a_m: f64,
    corrected_b_m: f64,
    needs_adjusting: bool,
}

impl Verdict for Answer {
    fn says_stop(&self) -> bool {
        self.needs_adjusting
    }
}

/// Weighs a test.
pub fn answer(test: &TwoPeg) -> Result<Answer, Refused> {
    let found = from_midway(test.midway, test.second).map_err(|error| Refused::Asked(error.to_string()))?;
    Ok(Answer {
        kind: "two-peg test",
        b_above_a_m: found.b_above_a_m,
        too_high_in_10_m_mm: m_to_mm(found.slope_m_per_m * SIGHT_M),
        limit_in_10_m_mm: m_to_mm(FLAG_M_PER_M * SIGHT_M),
        corrected_a_m: found.corrected.a_m,
        corrected_b_m: found.corrected.b_m,
        needs_adjusting: found.needs_adjusting,
    })
}

/// What the test shows, in sentences.
pub fn print(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let side = if answer.too_high_in_10_m_mm < 0.0 { "low" } else { "high" };
    let size_mm = fixed(answer.too_high_in_10_m_mm.abs(), 1);
    let above_m = fixed(answer.b_above_a_m, 3);
    writeln!(out, "A two-peg test. Peg B truly stands {above_m} m above peg A.")?;
    writeln!(out, "In 10 m of sight the level reads {size_mm} mm too {side}.")?;
    if answer.needs_adjusting {
        writeln!(
            out,
            "That is more than {} mm. Have it adjusted until it reads {} on A and {} on B from the second place;\nuntil \
             then keep every backsight as long as its foresight.",
            fixed(answer.limit_in_10_m_mm, 0),
            fixed(answer.corrected_a_m, 3),
            fixed(answer.corrected_b_m, 3)
        )
    } else {
        writeln!(out, "Good enough to peg by. Still keep backsights and foresights about equally long.")
    }
}
