//! `hillsip paper`: the plan, the sections and the peg sheets as drawings.

use std::io::Write;

use ::paper::{Subject, papers, svg};
use serde::Serialize;

use super::{Ended, Refused, print_json, tell_stops};
use crate::args;
use crate::print::paragraph;

/// What was written.
#[derive(Serialize)]
struct Written<'a> {
    site: &'a str,
    papers: Vec<WrittenPaper<'a>>,
}

/// One paper that was written.
#[derive(Serialize)]
struct WrittenPaper<'a> {
    title: &'a str,
    file: String,
}

/// Draws the papers.
pub fn run(args: &args::Paper, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    let papers = papers(&Subject { site, answers: &answers });
    let drawn: Vec<(String, String)> =
        papers.iter().map(|paper| (format!("{}.svg", paper.file), svg::write(&paper.page))).collect();
    let files: Vec<folder::NewFile> =
        drawn.iter().map(|(name, text)| (name.as_str(), text.as_bytes())).collect();
    let paths = folder::write_out(&args.dir, &files)?;
    let written = papers
        .iter()
        .zip(&paths)
        .map(|(paper, path)| WrittenPaper { title: &paper.page.title, file: path.display().to_string() });
    let written = Written { site: &site.plan.name, papers: written.collect() };
    if args.json {
        print_json(out, &written)?;
    } else {
        print(&written, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

fn print(written: &Written, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(out, "{}: {} papers", written.site, written.papers.len())?;
    for paper in &written.papers {
        writeln!(out, "  {}  {}", paper.file, paper.title)?;
    }
    let advice = "Open them in a web browser and print at 100 %, not fitted to the page: the scale bar must \
                  measure true.";
    paragraph(out, "", advice)?;
    Ok(())
}
