//! `hillsip walk`: a level line found over the ground.

use std::io::Write;

use design::walking::{self, Answer, Asked, ShortDrain};
use ground::Point;
use quantity::Slope;
use quantity::figures::fixed;

use super::{Document, Ended, Refused, print_check_back, print_json};
use crate::args::{self, At};
use crate::print::{Column, paragraph, table};

/// Walks a line.
pub fn run(args: &args::Walk, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let asked = Asked {
        from: point(args.from),
        grade: args.grade.rise_run(),
        length_m: args.length_m,
        step_m: args.step_m,
        toward: args.toward.map(point),
    };
    let answer = walking::walk(&loaded.site, &asked).map_err(|error| Refused::Asked(error.to_string()))?;
    if args.json {
        print_json(out, &Document::new(&loaded.site, &answer))?;
    } else {
        print(&answer, out)?;
    }
    Ok(Ended::Done)
}

fn point(at: At) -> Point {
    Point::new(at.x_m, at.y_m)
}

fn print(answer: &Answer, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(
        out,
        "{} m, {}, {} pegs {} m apart; the walk ended because {}.",
        fixed(answer.length_m, 1),
        grade_words(answer.grade),
        answer.pegs.len(),
        fixed(answer.step_m, 2),
        answer.stopped_because
    )?;
    let pegs = || answer.pegs.iter();
    table(
        out,
        vec![
            Column::numbers("peg", pegs().map(|peg| peg.peg.to_string())),
            Column::numbers("along\nm", pegs().map(|peg| fixed(peg.chainage_m, 1))),
            Column::numbers("east\nm", pegs().map(|peg| fixed(peg.x_m, 2))),
            Column::numbers("north\nm", pegs().map(|peg| fixed(peg.y_m, 2))),
            Column::numbers("height\nm", pegs().map(|peg| fixed(peg.z_m, 3))),
            Column::numbers("below\nlast\nmm", pegs().map(|peg| fixed(peg.fall_from_last_mm, 0))),
            Column::numbers("ground\nfalls\n%", pegs().map(|peg| fixed(100.0 * peg.slope, 1))),
            Column::numbers(
                "true\nline\n± m",
                pegs().map(|peg| peg.band_m.map_or("flat".to_owned(), |band_m| fixed(band_m, 2))),
            ),
            Column::words(
                "",
                pegs().map(|peg| if peg.after_jump { "after a barrier" } else { "" }.to_owned()),
            ),
        ],
    )?;
    if let Some(check) = &answer.check_back {
        print_check_back(check, out)?;
    }
    if let Some(drain) = &answer.short_drain {
        paragraph(out, "", &short_drain_words(answer, drain))?;
    } else if answer.too_steep_all_round {
        let words = "The ground at the first peg is too steep for a level line, and no gentler ground was found \
                     within a short drain of it: hold no water here, look for another start.";
        paragraph(out, "", words)?;
    }
    Ok(())
}

/// "level", or "falling 1:200".
pub(super) fn grade_words(grade: f64) -> String {
    if grade == 0.0 {
        "level".to_owned()
    } else if grade > 0.0 {
        format!("falling {}", slope_words(grade))
    } else {
        format!("climbing {}", slope_words(-grade))
    }
}

/// Gentle slopes as people set them, others in percent.
fn slope_words(slope: f64) -> String {
    /// Slopes steeper than 1:20 are said in percent.
    const ONE_IN: f64 = 20.0;
    match Slope::from_rise_run(slope).one_in() {
        Some(one_in) if one_in >= ONE_IN => format!("1:{}", fixed(one_in, 0)),
        _ => format!("{} %", fixed(100.0 * slope, 1)),
    }
}

fn short_drain_words(answer: &Answer, drain: &ShortDrain) -> String {
    format!(
        "The ground at the first peg falls {} %, too steep for a level line (limit {} %). A {} of {} m falling {} \
         brings the water down to {}, {} (height {} m, ground falls {} %), where a level line may start; that \
         costs {} m of height.",
        fixed(100.0 * answer.pegs[0].slope, 0),
        fixed(100.0 * walking::LEVEL_LINE_LIMIT, 0),
        drain.kind,
        fixed(drain.length_m, 1),
        slope_words(drain.grade),
        fixed(drain.x_m, 1),
        fixed(drain.y_m, 1),
        fixed(drain.z_m, 2),
        fixed(100.0 * drain.slope, 0),
        fixed(drain.costs_height_m, 2),
    )
}
