//! `hillsip soak`: a soak test or a jar brought to a soak rate.

use std::io::Write;

use design::soaking::{self, Answer, Jar};
use folder::{Fault, read_soak_test};
use quantity::figures::{fixed, range};

use super::{Ended, Refused, print_json};
use crate::args;
use crate::print::{Column, paragraph, table};

/// Works a soak test or a jar out.
pub fn run(args: &args::Soak, out: &mut dyn Write) -> Result<Ended, Refused> {
    if let Some(layers) = &args.jar {
        let jar = soaking::jar(layers.sand, layers.silt, layers.clay)
            .map_err(|error| Refused::Asked(error.to_string()))?;
        if args.json {
            print_json(out, &jar)?;
        } else {
            print_jar(&jar, out)?;
        }
        return Ok(Ended::Done);
    }
    let path = args
        .file
        .as_ref()
        .ok_or_else(|| Refused::Asked("give a CSV file, or the layers of a jar".to_owned()))?;
    let file = path.display().to_string();
    let advice = "give a CSV file that can be read; docs/methods/soak.md lists the columns";
    let bytes = std::fs::read(path)
        .map_err(|error| Fault::of_file(file.as_str(), "file-not-read", error.to_string(), advice))?;
    let answer = soaking::soaking(&read_soak_test(&file, &bytes)?);
    if args.json {
        print_json(out, &answer)?;
    } else {
        print(&answer, out)?;
    }
    Ok(Ended::Done)
}

fn print(answer: &Answer, out: &mut dyn Write) -> std::io::Result<()> {
    writeln!(out, "Soak test in a {}: {}", answer.kind, answer.method)?;
    let rates = || answer.rates.iter();
    table(
        out,
        vec![
            Column::numbers("fill", rates().map(|rate| rate.fill.to_string())),
            Column::numbers("from\nmin", rates().map(|rate| fixed(rate.from_min, 1))),
            Column::numbers("to\nmin", rates().map(|rate| fixed(rate.to_min, 1))),
            Column::numbers("soaks\nmm/h", rates().map(|rate| fixed(rate.soak_mm_h, 1))),
            Column::words("counts", rates().map(|rate| if rate.counts { "yes" } else { "no" }.to_owned())),
        ],
    )?;
    writeln!(out, "Soak rate of the wet ground: {} mm/h", range(answer.soak_mm_h, 1))?;
    if answer.one_fill_only {
        paragraph(
            out,
            "",
            "Only one fill was watched. Dry ground drinks several times faster than wet: fill the hole again at once, \
             and a third time, and number the fills.",
        )?;
    }
    match answer.hours_for_300_mm {
        Some(hours) => paragraph(
            out,
            "",
            &format!("Water standing 30 cm deep soaks away through the bed in {} hours.", range(hours, 0)),
        )?,
        None => paragraph(out, "", "In part of the test nothing soaked: a line here may stay full.")?,
    }
    let usual = if answer.usual_of.is_empty() {
        "No texture usually soaks like this: look for cracks, burrows, a pan or rock, and test again beside it."
            .to_owned()
    } else {
        format!("Such a rate is usual in {}.", answer.usual_of.join(", "))
    };
    paragraph(out, "", &usual)?;
    paragraph(
        out,
        "",
        "One hole is one place: test three along each line. Tests kept in the folder soak/ of a site narrow its soak_mm_h.",
    )
}

fn print_jar(jar: &Jar, out: &mut dyn Write) -> std::io::Result<()> {
    writeln!(
        out,
        "Sand {} %, silt {} %, clay {} %: {}",
        fixed(100.0 * jar.sand_frac, 0),
        fixed(100.0 * jar.silt_frac, 0),
        fixed(100.0 * jar.clay_frac, 0),
        jar.texture
    )?;
    writeln!(out, "It usually soaks {} mm/h once it is wet.", range(jar.usual_soak_mm_h, 1))?;
    paragraph(
        out,
        "",
        "A jar reads thickness, not weight, and counts fine silt as clay: it may be the next class in the triangle. \
         A test in a hole tells more.",
    )
}
