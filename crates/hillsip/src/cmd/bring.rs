//! `hillsip bring`: a file of others, understood and put into the site folder.

use std::io::Write;

use folder::bring::{self, As, Asked, Done, GoodFor, Placed, Understood, Wish};
use folder::raster::Note;
use quantity::figures::fixed;
use serde::Serialize;

use super::{Ended, Refused, print_json};
use crate::args::{self, BringAs};
use crate::print::paragraph;

/// What was understood and done.
#[derive(Serialize)]
struct Told<'a> {
    site: &'a str,
    file: String,
    understood: &'a Understood,
    notes: &'a [Note],
    /// What was written; none where nothing was asked for.
    done: Option<&'a Done>,
}

/// Brings a file.
pub fn run(args: &args::Bring, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    if let Some(sheet) = bring::field_sheet(&args.file)? {
        let done = bring::merge(&args.dir, &loaded.site, &args.file, &sheet)?;
        if args.json {
            print_json(out, &done)?;
        } else {
            writeln!(out, "{} is what a field sheet saved.", args.file.display())?;
            print_done(&done, out)?;
        }
        return Ok(Ended::Done);
    }
    let asked = Asked { unit_m: args.unit, system: args.crs };
    let placed = bring::understand(&args.file, &loaded.site, asked)?;
    let done = match args.what {
        Some(what) => {
            Some(bring::put((&args.dir, &loaded.site), &args.file, &placed, as_what(what), &wish(args))?)
        }
        None => None,
    };
    let told = Told {
        site: &loaded.site.plan.name,
        file: args.file.display().to_string(),
        understood: &placed.understood,
        notes: &placed.notes,
        done: done.as_ref(),
    };
    if args.json {
        print_json(out, &told)?;
    } else {
        print(&told, &placed, out)?;
    }
    match done {
        Some(_) => Ok(Ended::Done),
        None => Err(Refused::Asked(
            "nothing was written: say what these things are to become, --as ground, line, tree, barrier or keep-clear"
                .to_owned(),
        )),
    }
}

fn as_what(what: BringAs) -> As {
    match what {
        BringAs::Ground => As::Ground,
        BringAs::Line => As::Line,
        BringAs::Tree => As::Tree,
        BringAs::Barrier => As::Barrier,
        BringAs::KeepClear => As::KeepClear,
    }
}

fn wish(args: &args::Bring) -> Wish {
    Wish {
        layer: args.layer.clone(),
        kind: args.kind.clone(),
        to: args.to.clone(),
        sill_at_m: args.sill_at_m,
        species: args.species.clone(),
    }
}

fn print(told: &Told, placed: &Placed, out: &mut dyn Write) -> Result<(), Refused> {
    let it = told.understood;
    writeln!(out, "{} is {}.", told.file, it.kind.words())?;
    let counts = [(it.points, "point", "points"), (it.lines, "line", "lines"), (it.areas, "ring", "rings")];
    let counts = counts.iter().filter(|(count, ..)| *count > 0);
    let counts: Vec<String> = counts
        .map(|(count, one, many)| format!("{count} {}", if *count == 1 { one } else { many }))
        .collect();
    writeln!(out, "  holds    {}: {} vertices in all", counts.join(", "), it.vertices)?;
    if !it.layers.is_empty() {
        let layers: Vec<String> = it.layers.iter().map(|(name, count)| format!("{name} ({count})")).collect();
        paragraph(out, "  layers   ", &layers.join(", "))?;
    }
    writeln!(out, "  x and y  {}", it.system)?;
    let [west, south, east, north] = it.extent_m.map(|m| fixed(m, 1));
    writeln!(out, "  lies     from {west} to {east} m east, {south} to {north} m north, site metres")?;
    match it.heights_m {
        Some([low, high]) => {
            let unit = it.unit.as_deref().unwrap_or_default();
            let of = format!("{} of {} vertices", it.with_height, it.vertices);
            writeln!(
                out,
                "  heights  {} to {} m, at {of}; the file's are {unit}",
                fixed(low, 2),
                fixed(high, 2)
            )?;
        }
        None => writeln!(out, "  heights  none")?,
    }
    if let Some(good_for) = it.good_for {
        let words = match good_for {
            GoodFor::Digging => "to dig by",
            GoodFor::Planning => "to plan by, not to dig by",
            GoodFor::Nothing => "NOT to dig by",
        };
        paragraph(out, "  good     ", &format!("{words}: {}", it.because))?;
    }
    for note in &placed.notes {
        paragraph(out, "  note     ", &note.text)?;
    }
    told.done.map_or(Ok(()), |done| print_done(done, out))
}

fn print_done(done: &Done, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(out)?;
    let known = if done.known > 0 { format!(", {} were there already", done.known) } else { String::new() };
    writeln!(out, "{}: {} new{known}.", done.file, done.new)?;
    for left in &done.left {
        paragraph(out, "  left out: ", left)?;
    }
    for then in &done.then {
        paragraph(out, "  ", &format!("{then}."))?;
    }
    Ok(())
}
