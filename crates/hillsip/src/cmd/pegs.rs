//! `hillsip pegs`: the peg table of every line.

use std::io::Write;

use design::pegs::{Answer, LinePegs, PegRow};
use quantity::figures::{fixed, range};
use site::ToolKind;

use super::walk::grade_words;
use super::{Document, Ended, Refused, only_line, print_check_back, print_json, tell_stops};
use crate::args;
use crate::print::{Column, paragraph, table};

/// Prints where to peg.
pub fn run(args: &args::Pegs, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    let mut pegs = answers.pegs;
    only_line(&mut pegs.lines, args.line.as_deref(), |line| &line.line)?;
    if args.json {
        print_json(out, &Document::new(site, &pegs))?;
    } else {
        print(&pegs, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

fn print(answer: &Answer, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(out, "Tool: {}, {} m from foot to foot.", answer.tool, fixed(answer.step_m, 2))?;
    for line in &answer.lines {
        writeln!(out)?;
        writeln!(
            out,
            "{} \"{}\": {} m, {}, {} pegs",
            capitalised(&line.kind.to_string()),
            line.line,
            fixed(line.length_m, 1),
            grade_words(line.grade),
            line.pegs.len()
        )?;
        if line.pegs.is_empty() {
            writeln!(out, "  Nothing is known of the ground here.")?;
            continue;
        }
        print_line(answer.tool, line, out)?;
    }
    if let Some(line) = answer.lines.iter().find(|line| !line.pegs.is_empty()) {
        writeln!(out)?;
        let settles = format!(
            "Loose soil settles: \"bank, loose\" is thrown up {} % higher than the bank is to be ({}).",
            range(line.settlement.add_frac.map_monotone(|frac| 100.0 * frac), 0),
            line.settlement.source
        );
        paragraph(out, "", &settles)?;
    }
    Ok(())
}

fn print_line(tool: ToolKind, line: &LinePegs, out: &mut dyn Write) -> Result<(), Refused> {
    let pegs = || line.pegs.iter();
    let number =
        |value: Option<f64>, decimals: usize| value.map_or_else(String::new, |value| fixed(value, decimals));
    // A frame or a line level compares with the peg before, a hose or a staff with the first.
    let from_first = matches!(tool, ToolKind::Hose | ToolKind::Level);
    let reading = |peg: &PegRow| {
        if from_first { peg.fall_from_first_mm } else { peg.fall_from_last_mm }
    };
    table(
        out,
        vec![
            Column::numbers("peg", pegs().map(|peg| peg.peg.to_string())),
            Column::numbers("along\nm", pegs().map(|peg| fixed(peg.chainage_m, 1))),
            Column::numbers("east\nm", pegs().map(|peg| number(peg.x_m, 2))),
            Column::numbers("north\nm", pegs().map(|peg| number(peg.y_m, 2))),
            Column::numbers("ground\nm", pegs().map(|peg| number(peg.z_m, 3))),
            Column::numbers(
                if from_first { "below\nfirst\nmm" } else { "below\nlast\nmm" },
                pegs().map(|peg| fixed(reading(peg), 0)),
            ),
            Column::numbers("cut\nm", pegs().map(|peg| fixed(peg.cut_m, 2))),
            Column::numbers("bank,\nloose\nm", pegs().map(|peg| fixed(peg.bank_build_m.likely(), 2))),
            Column::numbers("true\nline\n± m", pegs().map(|peg| number(peg.band_m, 2))),
            Column::words("", pegs().map(notes)),
        ],
    )?;
    if let Some(check) = &line.check_back {
        print_check_back(check, out)?;
    }
    if let Some(because) = &line.stopped_because {
        paragraph(out, "", &format!("The walk ended because {because}."))?;
    }
    Ok(())
}

fn notes(peg: &PegRow) -> String {
    let mut notes = peg.notes.clone();
    if peg.after_jump {
        notes.insert(0, "after a barrier".to_owned());
    }
    notes.join(", ")
}

fn capitalised(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
