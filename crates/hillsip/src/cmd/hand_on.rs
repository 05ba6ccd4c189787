//! `hillsip hand-on`: the works as a file that others open.

use std::io::Write;

use folder::NewFile;
use folder::hand_on::{Format, Handed, Layer, hand_on};
use serde::Serialize;

use super::{Ended, Refused, print_json, tell_stops};
use crate::args;
use crate::print::{Column, paragraph, table};

/// What was written.
#[derive(Serialize)]
struct Written<'a> {
    site: &'a str,
    format: Format,
    files: Vec<String>,
    layers: Vec<Count>,
    left_out: &'a [String],
    notes: &'a [String],
}

/// How many things of a layer were written.
#[derive(Serialize)]
struct Count {
    layer: Layer,
    count: usize,
    vertices: usize,
    with_height: usize,
}

/// Writes the works in a format.
pub fn run(args: &args::HandOn, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    let handed = hand_on(site, &answers, args.format)?;
    let files: Vec<NewFile> =
        handed.files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    let paths = match &args.to {
        Some(dir) => folder::write_to(dir, &files)?,
        None => folder::add_to_out(&args.dir, &files)?,
    };
    let written = Written {
        site: &site.plan.name,
        format: args.format,
        files: paths.iter().map(|path| path.display().to_string()).collect(),
        layers: counts(&handed),
        left_out: &handed.features.left_out,
        notes: &handed.notes,
    };
    if args.json {
        print_json(out, &written)?;
    } else {
        print(&written, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

fn counts(handed: &Handed) -> Vec<Count> {
    let count = |layer: Layer| {
        let shapes = || handed.features.of(layer).map(|feature| &feature.shape);
        let vertices = || shapes().flat_map(|shape| shape.vertices());
        Count {
            layer,
            count: shapes().count(),
            vertices: vertices().count(),
            with_height: vertices().filter(|vertex| vertex.z_m.is_some()).count(),
        }
    };
    Layer::ALL.into_iter().map(count).filter(|count| count.count > 0).collect()
}

fn print(written: &Written, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(out, "{} as {}", written.site, written.format)?;
    for file in &written.files {
        writeln!(out, "  {file}")?;
    }
    let layers = || written.layers.iter();
    table(
        out,
        vec![
            Column::words("", layers().map(|layer| layer.layer.name().replace('_', " "))),
            Column::numbers("how many", layers().map(|layer| layer.count.to_string())),
            Column::numbers("places", layers().map(|layer| layer.vertices.to_string())),
            Column::numbers("with height", layers().map(|layer| layer.with_height.to_string())),
        ],
    )?;
    for note in written.notes {
        paragraph(out, "", note)?;
    }
    if !written.left_out.is_empty() {
        paragraph(
            out,
            "",
            &format!("Left out, because they have no place: {}.", written.left_out.join(", ")),
        )?;
    }
    Ok(())
}
