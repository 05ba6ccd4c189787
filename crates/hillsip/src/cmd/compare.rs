//! `hillsip compare`: the plan beside the layouts kept aside.

use std::io::{self, Write};

use design::compare::{Answer, Gives, InStorm, compare};
use design::storms::{StormRequest, storm};
use quantity::convert::m_to_cm;
use quantity::figures::{fixed, range, significant};

use super::{Document, Ended, Refused, print_json};
use crate::args;
use crate::print::{Column, paragraph, sentence, table};

/// What the table calls the plan itself.
const PLAN: &str = "(the plan)";

/// Prints what each layout gives.
pub fn run(args: &args::Compare, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let asked = StormRequest { depth_mm: args.depth_mm, hours: args.hours, ..StormRequest::default() };
    let storm = storm(&loaded.site, &asked).map_err(|error| Refused::Asked(error.to_string()))?;
    let mut sites = vec![(String::new(), loaded.site.clone())];
    for name in folder::alternatives(&args.dir)? {
        let aside = folder::load_alternative(&args.dir, &name, Some(&loaded))?;
        sites.push((name, aside.site));
    }
    let answers: Vec<design::Answers> = sites.iter().map(|(_, site)| design::answer(site)).collect();
    let layouts: Vec<_> =
        sites.iter().zip(&answers).map(|((name, site), answers)| (name.as_str(), site, answers)).collect();
    let answer = compare(&layouts, &storm);
    if args.json {
        print_json(out, &Document::new(&loaded.site, &answer))?;
    } else {
        print(&answer, out)?;
    }
    Ok(if answer.layouts[0].stop_findings > 0 { Ended::SaysStop } else { Ended::Done })
}

fn print(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let storm = format!("In {} mm of rain in {} h:", fixed(answer.depth_mm, 0), significant(answer.hours, 3));
    paragraph(out, "", &storm)?;
    layouts(&answer.layouts, out)?;
    for layout in &answer.layouts {
        if let Some(because) = &layout.no_storm_because {
            paragraph(out, "  ", &sentence(&format!("{}: {because}", called(layout))))?;
        }
    }
    if answer.layouts.len() == 1 {
        paragraph(
            out,
            "",
            "No other layout is kept aside: copy site.toml to alternatives/NAME.toml, and change one of the two.",
        )?;
    }
    paragraph(
        out,
        "",
        "Trees: litres that soak into the metre of line beside each, summed, and beside the one that gets least. A layout \
         with a finding that says stop is not to be dug: adopt it and run `hillsip check`.",
    )
}

fn called(layout: &Gives) -> &str {
    if layout.name.is_empty() { PLAN } else { &layout.name }
}

fn layouts(layouts: &[Gives], out: &mut dyn Write) -> io::Result<()> {
    let numbers = |heading: &'static str, cell: &dyn Fn(&Gives) -> String| {
        Column::numbers(heading, layouts.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    let of_storm = |heading: &'static str, cell: &dyn Fn(&InStorm) -> String| {
        numbers(heading, &|layout| layout.storm.as_ref().map_or_else(String::new, cell))
    };
    table(
        out,
        vec![
            Column::words("layout", layouts.iter().map(|layout| called(layout).to_owned())),
            numbers("digging\nperson-days", &|layout| range(layout.person_days, 1)),
            numbers("holds\nm³", &|layout| fixed(layout.holds_m3, 1)),
            of_storm("trees, in all\nL", &|storm| fixed(storm.beside_trees_l, 0)),
            of_storm("least\nL", &|storm| {
                storm.beside_driest_tree_l.map_or_else(String::new, |l| fixed(l, 0))
            }),
            of_storm("leaves\nm³", &|storm| fixed(storm.leaves_m3, 1)),
            of_storm("breakouts", &|storm| storm.breakouts.to_string()),
            of_storm("least bank\nabove water\ncm", &|storm| {
                let least = storm.least_freeboard.as_ref();
                least.map_or_else(String::new, |least| fixed(m_to_cm(least.freeboard_m), 0))
            }),
            numbers("stops", &|layout| layout.stop_findings.to_string()),
            numbers("warnings", &|layout| layout.warn_findings.to_string()),
        ],
    )
}
