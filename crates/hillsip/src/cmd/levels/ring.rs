//! Tape-and-compass rings.

use std::io::{self, Write};

use folder::TraverseLeg;
use ground::Point;
use ground::traverse::{Anchor, HAND_PRECISION, Leg, Traverse, close};
use quantity::convert::{deg_to_rad, rad_to_deg};
use quantity::figures::fixed;
use serde::Serialize;

use super::{Verdict, called, print_sheet, sheet};
use crate::args;
use crate::cmd::Refused;

/// A ring closed by the compass rule. Places count from the first corner.
#[derive(Debug, Serialize)]
pub struct Answer {
    kind: &'static str,
    legs: Vec<ClosedLeg>,
    declination_deg: f64,
    length_m: f64,
    north_error_m: f64,
    east_error_m: f64,
    closing_error_m: f64,
    one_in: Option<f64>,
    /// Whether it closes as well as a hand compass and tape should.
    closed: bool,
    /// Legs whose fore and back bearings disagree by more than reading them explains.
    bearings_disagree: Vec<String>,
    /// Legs whose length to measure again first.
    suspects: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ClosedLeg {
    leg: String,
    length_m: f64,
    slope_took_m: f64,
    north_m: f64,
    east_m: f64,
    north_correction_m: f64,
    east_correction_m: f64,
    back_differs_deg: Option<f64>,
    adjusted_length_m: f64,
    adjusted_bearing_deg: f64,
    x_m: f64,
    y_m: f64,
}

impl Verdict for Answer {
    fn says_stop(&self) -> bool {
        !self.closed
    }
}

/// Closes a ring.
pub fn answer(legs: &[TraverseLeg], args: &args::Levels) -> Result<Answer, Refused> {
    if !args.declination_deg.is_finite() {
        return Err(Refused::Asked("--declination-deg is a number of degrees".to_owned()));
    }
    let start = Point::new(0.0, 0.0);
    let anchor = Anchor { start, end: start, declination_rad: deg_to_rad(args.declination_deg) };
    let measured: Vec<Leg> = legs.iter().map(|leg| leg.leg).collect();
    let ring = close(&measured, &anchor).map_err(|error| Refused::Asked(error.to_string()))?;
    let name = |i: usize| {
        if legs[i].name.is_empty() { format!("leg {}", i + 1) } else { called(&legs[i].name, i) }
    };
    let disagree = (0..legs.len()).filter(|i| ring.legs[*i].bearings_disagree());
    Ok(Answer {
        kind: "tape-and-compass ring",
        legs: (0..legs.len()).map(|i| closed_leg(name(i), &legs[i], &ring, i)).collect(),
        declination_deg: args.declination_deg,
        length_m: ring.length_m,
        north_error_m: ring.north_error_m,
        east_error_m: ring.east_error_m,
        closing_error_m: ring.closing_error_m(),
        one_in: ring.one_in(),
        closed: ring.good_for_hand_tools(),
        bearings_disagree: disagree.map(name).collect(),
        suspects: ring.suspects().into_iter().map(name).collect(),
    })
}

fn closed_leg(leg: String, measured: &TraverseLeg, ring: &Traverse, i: usize) -> ClosedLeg {
    let closed = &ring.legs[i];
    ClosedLeg {
        leg,
        length_m: measured.leg.length_m,
        slope_took_m: measured.slope_took_m,
        north_m: closed.north_m,
        east_m: closed.east_m,
        north_correction_m: closed.north_correction_m,
        east_correction_m: closed.east_correction_m,
        back_differs_deg: closed.back_differs_rad.map(rad_to_deg),
        adjusted_length_m: closed.adjusted_length_m(),
        adjusted_bearing_deg: rad_to_deg(closed.adjusted_bearing_rad()),
        x_m: closed.to.x_m,
        y_m: closed.to.y_m,
    }
}

/// The ring as a table, and what it comes to in sentences.
pub fn print(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let heads = [
        "leg", "length m", "north m", "east m", "corr. N", "corr. E", "bearing", "length", "to x m", "to y m",
    ];
    let rows = answer.legs.iter().map(|leg| {
        let hundredths = |m: f64| fixed(m, 2);
        vec![
            leg.leg.clone(),
            hundredths(leg.length_m),
            hundredths(leg.north_m),
            hundredths(leg.east_m),
            hundredths(leg.north_correction_m),
            hundredths(leg.east_correction_m),
            format!("{}°", fixed(leg.adjusted_bearing_deg, 1)),
            hundredths(leg.adjusted_length_m),
            hundredths(leg.x_m),
            hundredths(leg.y_m),
        ]
    });
    writeln!(out, "A tape-and-compass ring, {} m round.\n", fixed(answer.length_m, 2))?;
    print_sheet(out, &sheet(&heads, rows))?;
    let error = format!("{} m", fixed(answer.closing_error_m, 2));
    let precision = answer.one_in.map_or_else(|| "exactly".to_owned(), |n| format!("1 in {}", fixed(n, 0)));
    let limit = fixed(1.0 / HAND_PRECISION, 0);
    if answer.closed {
        writeln!(
            out,
            "\nDoes it close? Yes: {error} out, {precision}; 1 in {limit} is good for hand tools."
        )?;
    } else {
        writeln!(
            out,
            "\nDoes it close? No: {error} out, {precision}; hand tools should reach 1 in {limit}."
        )?;
        writeln!(
            out,
            "What to do: measure again. The corrections spread the error; they do not remove a blunder."
        )?;
    }
    if !answer.suspects.is_empty() {
        let legs = answer.suspects.join(", ");
        writeln!(out, "The error runs along {legs}: look at its length first.")?;
    }
    if !answer.bearings_disagree.is_empty() {
        let legs = answer.bearings_disagree.join(", ");
        writeln!(
            out,
            "Fore and back bearing disagree on {legs}: look for iron (fence, vehicle, knife) near either end before \
             you trust the closing."
        )?;
    }
    Ok(())
}
