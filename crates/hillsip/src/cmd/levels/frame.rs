//! An A-frame turned on two pegs, and pegs read back.

use std::io::{self, Write};

use folder::{PairReadBack, Turned};
use ground::tool::a_frame::{self, AFrame};
use ground::tool::{ReadBack, Settled, Tool, ToolKind, Verdict as Settles};
use quantity::Slope;
use quantity::convert::{m_to_cm, m_to_mm, mm_to_m};
use quantity::figures::fixed;
use serde::Serialize;

use super::{Verdict, called, print_sheet, sheet};
use crate::args;
use crate::cmd::Refused;

/// An A-frame's level mark.
#[derive(Debug, Serialize)]
pub struct TurnedAnswer {
    kind: &'static str,
    readings: Vec<Reversal>,
    /// Mean of the marks.
    level_mark_m: f64,
    /// Furthest any mark lies from the mean.
    marks_within_m: f64,
    /// What that is at the feet.
    at_the_feet_m: f64,
}

#[derive(Debug, Serialize)]
struct Reversal {
    pair: String,
    reading_m: f64,
    turned_m: f64,
    level_mark_m: f64,
    first_peg_lower_m: f64,
}

impl Verdict for TurnedAnswer {
    fn says_stop(&self) -> bool {
        false
    }
}

/// The mark from every reversal, and their mean.
pub fn turned(turned: &[Turned]) -> TurnedAnswer {
    let found: Vec<(AFrame, a_frame::Reversal)> =
        turned.iter().map(|read| (read.frame, read.frame.reverse(read.first_m, read.turned_m))).collect();
    let reversal = |(i, read): (usize, &Turned)| {
        let (_, found) = found[i];
        Reversal {
            pair: if read.pair.is_empty() { format!("pair {}", i + 1) } else { read.pair.clone() },
            reading_m: read.first_m,
            turned_m: read.turned_m,
            level_mark_m: found.level_mark_m,
            first_peg_lower_m: found.first_peg_lower_m,
        }
    };
    let readings: Vec<Reversal> = turned.iter().enumerate().map(reversal).collect();
    let agreed = a_frame::agreement(&found).expect("a file of reversals has a row");
    TurnedAnswer {
        kind: "A-frame turned",
        readings,
        level_mark_m: agreed.level_mark_m,
        marks_within_m: agreed.within_m,
        at_the_feet_m: agreed.at_the_feet_m,
    }
}

/// The marks as a table, and where to put the mark.
pub fn print_turned(answer: &TurnedAnswer, out: &mut dyn Write) -> io::Result<()> {
    let mm = |m: f64| fixed(m_to_mm(m), 1);
    let rows = answer.readings.iter().map(|reading| {
        vec![
            reading.pair.clone(),
            mm(reading.reading_m),
            mm(reading.turned_m),
            mm(reading.level_mark_m),
            mm(reading.first_peg_lower_m),
        ]
    });
    writeln!(out, "An A-frame turned round in its own footprints, millimetres.\n")?;
    print_sheet(out, &sheet(&["pair", "reading", "turned", "level mark", "first peg lower by"], rows))?;
    writeln!(
        out,
        "\nPut the level mark at {} mm on the bar, measured the way you read it.",
        mm(answer.level_mark_m)
    )?;
    if answer.readings.len() > 1 {
        writeln!(
            out,
            "The marks agree to {} mm, which is {} mm at the feet.",
            mm(answer.marks_within_m),
            mm(answer.at_the_feet_m)
        )?;
    } else {
        writeln!(out, "One reversal cannot show how good it is: do it on another pair of pegs.")?;
    }
    writeln!(out, "Do it again whenever the frame was tied anew, on pegs and out of the wind.")
}

/// Pegs read back.
#[derive(Debug, Serialize)]
pub struct ReadBackAnswer {
    kind: &'static str,
    pairs: Vec<Pair>,
    random_m: f64,
    random_assumed: bool,
    constant_m: f64,
    constant_assumed: bool,
    tolerance_m: f64,
    slope: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Pair {
    pair: String,
    readings: usize,
    verdict: &'static str,
    off_m: f64,
    doubt_m: f64,
    oddest_reading: usize,
    oddest_off_m: f64,
    oddest_chance: f64,
    slip: bool,
    move_uphill_m: Option<f64>,
}

impl Verdict for ReadBackAnswer {
    fn says_stop(&self) -> bool {
        self.pairs.iter().any(|pair| pair.verdict == MOVE)
    }
}

const LEAVE: &str = "leave";
const MOVE: &str = "move";
const READ_MORE: &str = "read more";

/// Weighs the readings of each pair.
pub fn read_back(pairs: &[PairReadBack], args: &args::Levels) -> Result<ReadBackAnswer, Refused> {
    if args.constant_mm.is_some_and(|mm| !mm.is_finite()) {
        return Err(Refused::Asked("--constant-mm is a number of millimetres".to_owned()));
    }
    let assumed = Tool::assumed(ToolKind::AFrame);
    let tool = Tool {
        random_m: args.random_mm.map_or(assumed.random_m, mm_to_m),
        constant_m: args.constant_mm.map_or(assumed.constant_m, mm_to_m),
        ..assumed
    };
    let slope = args.slope.map(Slope::rise_run);
    let weigh = |(i, pair): (usize, &PairReadBack)| {
        let mut readings = ReadBack::level_line(&pair.falls_m, slope.unwrap_or(0.0));
        readings.turned = args.turned;
        let settled = readings.settle(&tool).map_err(|error| Refused::Asked(error.to_string()))?;
        Ok(weighed(called(&pair.pair, i), pair.falls_m.len(), &settled))
    };
    Ok(ReadBackAnswer {
        kind: "pegs read back",
        pairs: pairs.iter().enumerate().map(weigh).collect::<Result<_, Refused>>()?,
        random_m: tool.random_m,
        random_assumed: args.random_mm.is_none(),
        constant_assumed: args.constant_mm.is_none() && !args.turned,
        constant_m: if args.turned { 0.0 } else { tool.constant_m },
        tolerance_m: ground::tool::CONTOUR_TOLERANCE_M,
        slope,
    })
}

fn weighed(pair: String, readings: usize, settled: &Settled) -> Pair {
    Pair {
        pair,
        readings,
        verdict: match settled.verdict {
            Settles::Leave => LEAVE,
            Settles::Move => MOVE,
            Settles::ReadMore => READ_MORE,
        },
        off_m: settled.off_m,
        doubt_m: settled.doubt_m,
        oddest_reading: settled.oddest + 1,
        oddest_off_m: settled.oddest_off_m,
        oddest_chance: settled.oddest_chance,
        slip: settled.slip.is_some(),
        move_uphill_m: settled.move_uphill_m,
    }
}

fn assumed(assumed: bool) -> &'static str {
    if assumed { " (assumed)" } else { "" }
}

/// What to do with each pair of pegs, and why.
pub fn print_read_back(answer: &ReadBackAnswer, out: &mut dyn Write) -> io::Result<()> {
    let mm = |m: f64| fixed(m_to_mm(m), 0);
    writeln!(
        out,
        "Pegs read back. The tool's chance error is taken as {} mm a reading{}, its own fault as {} mm{};\na level line \
         may stand {} mm off.\n",
        mm(answer.random_m),
        assumed(answer.random_assumed),
        mm(answer.constant_m),
        assumed(answer.constant_assumed),
        mm(answer.tolerance_m)
    )?;
    for pair in &answer.pairs {
        let order = match pair.verdict {
            LEAVE => "leave the peg.",
            MOVE => "move the peg.",
            _ => "read more before you touch the peg, the tool turned round for half of it.",
        };
        writeln!(out, "{}: {order}", pair.pair)?;
        if pair.readings > 1 {
            odd_one(pair, out)?;
        }
        let side = if pair.off_m < 0.0 { "above" } else { "below" };
        writeln!(
            out,
            "  Together the readings put the far peg {} mm {side} level, give or take {} mm.",
            mm(pair.off_m.abs()),
            mm(pair.doubt_m)
        )?;
        let most_mm = mm(pair.off_m.abs() + pair.doubt_m);
        let least_mm = mm((pair.off_m.abs() - pair.doubt_m).max(0.0));
        let because = match pair.verdict {
            LEAVE => format!("At most {most_mm} mm, so it stands within what a level line may be off."),
            MOVE => format!("At least {least_mm} mm, so it is the peg that is off, not the reading."),
            _ => format!("Between {least_mm} and {most_mm} mm, so these readings cannot tell."),
        };
        writeln!(out, "  {because}")?;
        if let Some(move_m) = pair.move_uphill_m {
            let way = if move_m < 0.0 { "downhill" } else { "uphill" };
            let moved_cm = fixed(m_to_cm(move_m.abs()), 0);
            writeln!(out, "  On this slope that is {moved_cm} cm of ground, {way}.")?;
        }
    }
    writeln!(
        out,
        "\nWhat one pair is off is handed on to every peg set after it: check the last peg against the first as well."
    )
}

fn odd_one(pair: &Pair, out: &mut dyn Write) -> io::Result<()> {
    let times = fixed(100.0 * pair.oddest_chance, 1);
    let off_mm = fixed(m_to_mm(pair.oddest_off_m.abs()), 0);
    let judged = if pair.slip { "a slip, left out" } else { "kept" };
    writeln!(
        out,
        "  Reading {} of {} is {off_mm} mm from the mean of the others; chance alone does that {times} times in 100: \
         {judged}.",
        pair.oddest_reading, pair.readings
    )
}
