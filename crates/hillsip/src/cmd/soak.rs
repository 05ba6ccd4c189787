//! `hillsip soak`: a soak test, a jar or a handful brought to a soak rate.

use std::io::Write;

use design::soaking::{self, Answer, Felt, Jar, Usual};
use folder::{Fault, read_soak_test};
use quantity::convert::mm_to_m;
use quantity::figures::{fixed, range};
use water::soak::feel::{Feel, Rubs};

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
    if let Some(handful) = args.feel {
        let felt = soaking::felt(feel(handful));
        if args.json {
            print_json(out, &felt)?;
        } else {
            print_felt(&felt, out)?;
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

fn feel(handful: args::Handful) -> Feel {
    match handful {
        args::Handful::Crumbles => Feel::FallsApart,
        args::Handful::Ball => Feel::NoRibbon,
        args::Handful::Ribbon { mm, rubs } => Feel::Ribbon {
            length_m: mm_to_m(mm),
            rubs: match rubs {
                args::Pinch::Gritty => Rubs::Gritty,
                args::Pinch::Smooth => Rubs::Smooth,
                args::Pinch::Neither => Rubs::Neither,
            },
        },
    }
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
        jar.usual.texture
    )?;
    print_usual(&jar.usual, out)?;
    paragraph(
        out,
        "",
        "A jar reads thickness, not weight, and counts fine silt as clay: it may be the next class in the triangle. \
         A test in a hole tells more.",
    )
}

/// What soil of a texture usually does.
fn print_usual(usual: &Usual, out: &mut dyn Write) -> std::io::Result<()> {
    let words = format!(
        "It usually soaks {} mm/h once it is wet; {} of 100 parts of it are pores that drain and fill, and dry it draws \
         water like {} cm of suction. Stones make each of these less.",
        range(usual.usual_soak_mm_h, 1),
        fixed(100.0 * usual.pores_frac, 0),
        fixed(usual.suction_mm / 10.0, 0)
    );
    paragraph(out, "", &words)
}

fn print_felt(felt: &Felt, out: &mut dyn Write) -> std::io::Result<()> {
    writeln!(out, "By feel: {}", felt.usual.texture)?;
    print_usual(&felt.usual, out)?;
    if let Some(other) = &felt.or_else {
        let words = format!(
            "Printings of this test differ in the length of the ribbon: by another it is {}, which usually soaks {} mm/h.",
            other.texture,
            range(other.usual_soak_mm_h, 1)
        );
        paragraph(out, "", &words)?;
    }
    paragraph(
        out,
        "",
        "Hands differ: feel three handfuls from the depth of the trench. Lime and humus feel like silt. A test in a hole \
         tells more.",
    )
}
