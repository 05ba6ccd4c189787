//! `hillsip paper`: the plan, the sections, the peg sheets and the design storm as drawings.

use std::io::Write;

use ::paper::{Subject, field, papers, rain, svg, words};
use design::rain_test::{Request, rain_test, steps};
use design::storms::{StormRequest, WetBefore, storm};
use serde::Serialize;

use super::{Ended, Refused, print_json, tell_stops};
use crate::args;
use crate::print::paragraph;

/// Draws behind the ranges of the storm's papers: enough to tell wide from narrow. `hillsip rain` takes more.
const MEMBERS: usize = 20;
/// What they are drawn by.
const SEED: u64 = 1;

const FIELD_ADVICE: &str = "Send it to a phone and open it there in a web browser: it needs no network. What is typed into \
                            it stays on that phone until it is saved as a file there and sent back.";

/// What was written.
#[derive(Serialize)]
struct Written<'a> {
    site: &'a str,
    papers: Vec<WrittenPaper<'a>>,
    /// Why the storm is not among them; none when it is.
    no_storm_because: Option<&'a str>,
}

/// One paper that was written.
#[derive(Serialize)]
struct WrittenPaper<'a> {
    title: &'a str,
    file: String,
}

/// A document to write.
struct Document {
    file: String,
    title: String,
    text: String,
}

/// Draws the papers.
pub fn run(args: &args::Paper, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    let subject = Subject { site, answers: &answers };
    if args.field {
        return for_the_field(args, &subject, out);
    }
    let mut documents: Vec<Document> = papers(&subject).into_iter().map(drawn).collect();
    documents.push(field_sheet(&subject));
    let storm = in_the_storm(&subject);
    let no_storm_because = storm.as_ref().err().cloned();
    documents.extend(storm.unwrap_or_default());
    let files: Vec<folder::NewFile> =
        documents.iter().map(|document| (document.file.as_str(), document.text.as_bytes())).collect();
    let paths = folder::write_out(&args.dir, &files)?;
    let written = documents
        .iter()
        .zip(&paths)
        .map(|(document, path)| WrittenPaper { title: &document.title, file: path.display().to_string() });
    let written = Written {
        site: &site.plan.name,
        papers: written.collect(),
        no_storm_because: no_storm_because.as_deref(),
    };
    if args.json {
        print_json(out, &written)?;
    } else {
        print(&written, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

fn field_sheet(subject: &Subject) -> Document {
    let title = format!("{}: {}", subject.site.plan.name, words::field::TITLE);
    Document { file: "field-sheet.html".to_owned(), title, text: field::field_sheet(subject) }
}

/// Writes the field sheet and leaves the other papers as they are.
fn for_the_field(args: &args::Paper, subject: &Subject, out: &mut dyn Write) -> Result<Ended, Refused> {
    let sheet = field_sheet(subject);
    let paths = folder::add_to_out(&args.dir, &[(&sheet.file, sheet.text.as_bytes())])?;
    let file = paths[0].display().to_string();
    let site = subject.site.plan.name.as_str();
    if args.json {
        let papers = vec![WrittenPaper { title: &sheet.title, file }];
        print_json(out, &Written { site, papers, no_storm_because: None })?;
    } else {
        writeln!(out, "{site}: the field sheet\n  {file}")?;
        paragraph(out, "", FIELD_ADVICE)?;
    }
    Ok(tell_stops(&subject.answers.findings, &args.dir))
}

fn drawn(paper: ::paper::Paper) -> Document {
    Document { file: format!("{}.svg", paper.file), text: svg::write(&paper.page), title: paper.page.title }
}

/// The design storm on paper, or why there is none: what arrives or soaks may not be known.
fn in_the_storm(subject: &Subject) -> Result<Vec<Document>, String> {
    let (site, layout) = (subject.site, &subject.answers.layout);
    let asked =
        StormRequest { depth_mm: None, hours: None, shape: None, gauge: None, wet_before: WetBefore::Usual };
    let storm = storm(site, &asked).map_err(|error| error.to_string())?;
    let request = Request { snapshots_h: rain::moments_h(storm.hours), ..Request::of(&storm, MEMBERS, SEED) };
    let answer = rain_test(site, layout, &request, &|| ()).map_err(|error| error.to_string())?;
    let mut documents: Vec<Document> = rain::papers(subject, &answer).into_iter().map(drawn).collect();
    let stepped = steps::steps(site, layout, &request, &|| ()).map_err(|error| error.to_string())?;
    let page = rain::steps(subject, &stepped, &answer.storm);
    documents.extend(page.map(|page| drawn(::paper::Paper { file: "rain-steps".to_owned(), page })));
    let films = rain::films(subject, &answer).into_iter();
    documents.extend(films.map(|film| Document {
        file: format!("{}.html", film.file),
        title: film.title,
        text: film.html,
    }));
    Ok(documents)
}

fn print(written: &Written, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(out, "{}: {} papers", written.site, written.papers.len())?;
    for paper in &written.papers {
        writeln!(out, "  {}  {}", paper.file, paper.title)?;
    }
    if let Some(because) = written.no_storm_because {
        paragraph(out, "", &format!("The design storm is not among them: {because}."))?;
    }
    let advice = "Open them in a web browser and print at 100 %, not fitted to the page: the scale bar must \
                  measure true.";
    paragraph(out, "", advice)?;
    Ok(())
}
