//! Level books, readings in a row and hose books.

use std::io::{self, Write};

use folder::{Booking, LevelBook};
use ground::levels::{Check, ClosesOn, Grade, Levelled, Rule, Settings, Sights, Spread, Station, level};
use quantity::convert::m_to_mm;
use quantity::figures::fixed;
use serde::Serialize;

use super::{Verdict, called, metres, millimetres, print_sheet, sheet};
use crate::args;
use crate::cmd::Refused;

/// A book worked out.
#[derive(Debug, Serialize)]
pub struct Answer {
    kind: &'static str,
    points: Vec<Point>,
    setups: usize,
    #[serde(flatten)]
    sums: Sums,
    checks: Checks,
    arithmetic_holds: bool,
    /// Whether the heights of the file were taken as worked out by hand, and checked.
    worked_by_hand: bool,
    slips: Vec<Slip>,
    marks: Vec<Mark>,
    #[serde(flatten)]
    closure: Closure,
}

#[derive(Debug, Serialize)]
struct Point {
    point: String,
    setup: usize,
    backsight_m: Option<f64>,
    intermediate_m: Option<f64>,
    foresight_m: Option<f64>,
    collimation_z_m: Option<f64>,
    rise_m: Option<f64>,
    fall_m: Option<f64>,
    z_m: f64,
    z_by_rises_m: f64,
    correction_m: Option<f64>,
    adjusted_z_m: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Sums {
    sum_backsight_m: f64,
    sum_intermediate_m: f64,
    sum_foresight_m: f64,
    sum_rise_m: f64,
    sum_fall_m: f64,
}

#[derive(Debug, Serialize)]
struct Checks {
    sights: Sides,
    rises: Sides,
    collimation: Sides,
}

#[derive(Debug, Serialize)]
struct Sides {
    readings_m: f64,
    heights_m: f64,
    holds: bool,
}

#[derive(Debug, Serialize)]
struct Slip {
    point: String,
    worked_z_m: f64,
    follows_z_m: f64,
}

#[derive(Debug, Serialize)]
struct Mark {
    point: String,
    known_z_m: f64,
    differs_m: f64,
    within_allowed: bool,
}

#[derive(Debug, Serialize)]
struct Closure {
    closes_on: Option<&'static str>,
    known_z_m: Option<f64>,
    misclosure_m: Option<f64>,
    allowed_misclosure_m: f64,
    allowed_by: String,
    closed: bool,
    /// Whether it misses by more than chance explains.
    blundered: bool,
}

impl Verdict for Answer {
    /// A book that does not add up, or misses its mark. One without a mark is only unproven.
    fn says_stop(&self) -> bool {
        !self.arithmetic_holds || self.closure.misclosure_m.is_some() && !self.closure.closed
    }
}

/// Works a book out.
pub fn answer(read: &LevelBook, args: &args::Levels) -> Result<Answer, Refused> {
    let stations = read.book.stations();
    let settings = settings(stations, args)?;
    let levelled = level(&read.book, &settings).map_err(|error| Refused::Asked(error.to_string()))?;
    let name = |i: usize| called(&stations[i].point, i);
    let sums = levelled.reduction.sums;
    Ok(Answer {
        kind: match read.booking {
            Booking::Sights => "level book",
            Booking::Readings => "readings in a row",
            Booking::Hose => "hose book",
        },
        points: (0..stations.len()).map(|i| point(&stations[i], &levelled, i)).collect(),
        setups: levelled.reduction.setups,
        sums: Sums {
            sum_backsight_m: sums.backsight_m,
            sum_intermediate_m: sums.intermediate_m,
            sum_foresight_m: sums.foresight_m,
            sum_rise_m: sums.rise_m,
            sum_fall_m: sums.fall_m,
        },
        checks: Checks {
            sights: sides(levelled.checks.sights),
            rises: sides(levelled.checks.rises),
            collimation: sides(levelled.checks.collimation),
        },
        arithmetic_holds: levelled.arithmetic_holds(),
        worked_by_hand: levelled.worked_by_hand,
        slips: levelled
            .slips
            .iter()
            .map(|slip| Slip {
                point: name(slip.station),
                worked_z_m: slip.worked_z_m,
                follows_z_m: slip.follows_z_m,
            })
            .collect(),
        marks: levelled
            .marks
            .iter()
            .map(|mark| Mark {
                point: name(mark.station),
                known_z_m: mark.known_z_m,
                differs_m: mark.differs_m,
                within_allowed: levelled.within_allowed(mark.differs_m),
            })
            .collect(),
        closure: closure(&levelled, &settings),
    })
}

/// Options and the book's own length to settings.
fn settings(stations: &[Station], args: &args::Levels) -> Result<Settings, Refused> {
    if args.length_m.is_some_and(|m| !(m > 0.0 && m.is_finite())) {
        return Err(Refused::Asked("--length-m is a length above 0".to_owned()));
    }
    if args.closes_on.is_some_and(|z_m| !z_m.is_finite()) {
        return Err(Refused::Asked("--closes-on is a height in metres".to_owned()));
    }
    let booked_m = stations.last().and_then(|station| station.chainage_m);
    let length_m = args.length_m.or(booked_m).filter(|m| *m > 0.0);
    let named = args.grade.as_deref().map(|name| Grade::named(name).expect("only known grades are taken"));
    let rule = match (named, length_m) {
        (Some(grade), Some(length_m)) => Rule::OverLength { grade, length_m },
        (None, Some(length_m)) => Rule::OverLength {
            grade: Grade::named("construction").expect("it is one of the grades"),
            length_m,
        },
        (None, None) => Rule::PerSetup,
        (Some(grade), None) => {
            let words =
                format!("grade {} goes by length: give --length-m, or chainage_m in the book", grade.name);
            return Err(Refused::Asked(words));
        }
    };
    Ok(Settings {
        closes_on_z_m: args.closes_on,
        rule,
        spread: match args.spread {
            args::Spread::Setups => Spread::BySetup,
            args::Spread::Distance => Spread::ByDistance,
        },
    })
}

fn point(station: &Station, levelled: &Levelled, i: usize) -> Point {
    let reduced = levelled.reduction.points[i];
    let (intermediate_m, foresight_m) = match station.sights {
        Sights::Intermediate { intermediate_m } => (Some(intermediate_m), None),
        sights => (None, sights.forward_m()),
    };
    Point {
        point: station.point.clone(),
        setup: reduced.setup,
        backsight_m: station.sights.back_m(),
        intermediate_m,
        foresight_m,
        collimation_z_m: reduced.collimation_z_m,
        rise_m: reduced.rise_m.filter(|m| *m >= 0.0),
        fall_m: reduced.rise_m.filter(|m| *m < 0.0).map(|m| -m),
        z_m: reduced.z_m,
        z_by_rises_m: reduced.z_by_rises_m,
        correction_m: levelled.corrections_m.as_ref().map(|all| all[i]),
        adjusted_z_m: levelled.adjusted_z_m(i),
    }
}

fn sides(check: Check) -> Sides {
    Sides { readings_m: check.readings_m, heights_m: check.heights_m, holds: check.holds() }
}

fn closure(levelled: &Levelled, settings: &Settings) -> Closure {
    let on = levelled.closing.map(|closing| match closing.on {
        ClosesOn::Asked => "the height asked for",
        ClosesOn::LastPoint => "the known height of the last point",
        ClosesOn::Start => "the start",
    });
    Closure {
        closes_on: on,
        known_z_m: levelled.closing.map(|closing| closing.known_z_m),
        misclosure_m: levelled.closing.map(|closing| closing.misclosure_m),
        allowed_misclosure_m: levelled.allowed_m,
        allowed_by: match settings.rule {
            Rule::PerSetup => "5 mm times the root of the number of setups".to_owned(),
            Rule::OverLength { grade, .. } => format!(
                "{} mm times the root of the kilometres ({}), and never under 5 mm",
                fixed(grade.mm_per_root_km, 0),
                grade.name
            ),
        },
        closed: levelled.closed(),
        blundered: levelled.blundered(),
    }
}

/// The book as a table, and what it comes to in sentences.
pub fn print(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let heads =
        ["point", "back", "between", "fore", "plane", "rise", "fall", "height", "corr. mm", "adjusted"];
    let rows = answer.points.iter().map(|p| {
        vec![
            p.point.clone(),
            metres(p.backsight_m),
            metres(p.intermediate_m),
            metres(p.foresight_m),
            metres(p.collimation_z_m),
            metres(p.rise_m),
            metres(p.fall_m),
            metres(Some(p.z_m)),
            millimetres(p.correction_m),
            metres(p.adjusted_z_m),
        ]
    });
    writeln!(out, "A {}, metres; {} setups.\n", answer.kind, answer.setups)?;
    print_sheet(out, &sheet(&heads, rows))?;
    let sums = &answer.sums;
    writeln!(
        out,
        "\nSums: back {}, fore {}, rises {}, falls {}.\n",
        fixed(sums.sum_backsight_m, 3),
        fixed(sums.sum_foresight_m, 3),
        fixed(sums.sum_rise_m, 3),
        fixed(sums.sum_fall_m, 3)
    )?;
    adds_up(answer, out)?;
    for mark in &answer.marks {
        let words = offset(mark.differs_m, mark.known_z_m);
        let judged = if mark.within_allowed { "" } else { ": more than is allowed for the whole run" };
        writeln!(out, "On the way, {} comes out {words}{judged}.", mark.point)?;
    }
    closes(answer, out)
}

/// "3 mm above the known 207.000 m".
fn offset(differs_m: f64, known_z_m: f64) -> String {
    let side = if differs_m < 0.0 { "below" } else { "above" };
    let size_mm = fixed(m_to_mm(differs_m.abs()), 0);
    format!("{size_mm} mm {side} the known {} m", fixed(known_z_m, 3))
}

fn adds_up(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    if answer.arithmetic_holds {
        let whose = if answer.worked_by_hand { "the heights worked by hand" } else { "the heights" };
        return writeln!(
            out,
            "Does it add up? Yes: sights, rises and falls, and planes all agree with {whose} ({} m from first to last).",
            fixed(answer.checks.sights.heights_m, 3)
        );
    }
    writeln!(out, "Does it add up? No.")?;
    for slip in &answer.slips {
        writeln!(
            out,
            "  {}: written as {}, but from its reading it is {}.",
            slip.point,
            fixed(slip.worked_z_m, 3),
            fixed(slip.follows_z_m, 3)
        )?;
    }
    let checks = [
        ("backsights less foresights", &answer.checks.sights),
        ("rises less falls", &answer.checks.rises),
        ("planes less the readings below them", &answer.checks.collimation),
    ];
    for (name, sides) in checks.iter().filter(|(_, sides)| !sides.holds) {
        writeln!(
            out,
            "  {name}: {} from the readings, {} from the heights.",
            fixed(sides.readings_m, 3),
            fixed(sides.heights_m, 3)
        )?;
    }
    writeln!(out, "What to do: mend these heights first; the table shows ours. Nothing was adjusted.")
}

fn closes(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let closure = &answer.closure;
    let (Some(misclosure_m), Some(known_z_m)) = (closure.misclosure_m, closure.known_z_m) else {
        return writeln!(
            out,
            "Does it close? Not known: its end has no known height, so a misread staff would not show.\n\
             What to do: level back to the first point, or give the known height with --closes-on."
        );
    };
    let found = offset(misclosure_m, known_z_m);
    let allowed =
        format!("{} mm allowed: {}", fixed(m_to_mm(closure.allowed_misclosure_m), 0), closure.allowed_by);
    if closure.closed {
        writeln!(out, "Does it close? Yes: it ends {found} ({allowed}).")?;
        writeln!(out, "The difference is spread in the last column: peg by those heights.")
    } else if answer.arithmetic_holds {
        writeln!(out, "Does it close? No: it ends {found} ({allowed}).")?;
        if closure.blundered {
            writeln!(
                out,
                "That is no chance: look for a misread metre or tenth, a wrong mark, a change point that moved."
            )?;
        }
        writeln!(
            out,
            "What to do: level it again, or the half that a check in the middle shows to be wrong. The last column \
             spreads\nthe difference to show its size; do not dig by it."
        )
    } else {
        writeln!(out, "Does it close? Our heights end {found} ({allowed}).")
    }
}
