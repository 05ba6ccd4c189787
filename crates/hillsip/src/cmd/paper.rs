//! `hillsip paper`: the report as one PDF, and every drawing by itself.

use std::io::Write;
use std::path::PathBuf;

use ::paper::report::{Bundle, Chapter, only, report};
use ::paper::{Format, Subject, field, papers, pdf, rain, season, svg, words};
use design::digging::Hands;
use design::findings;
use design::layout::Layout;
use design::rain_test::{self, Request, rain_test, steps};
use design::storms::{StormRequest, WetBefore, storm};
use serde::Serialize;
use site::Site;

use super::{Ended, Refused, print_json, tell_stops};
use crate::args;
use crate::print::{paragraph, sentence};

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
    bytes: Vec<u8>,
}

/// Draws the papers.
pub fn run(args: &args::Paper, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let mut answers = design::answer(site);
    let storm = if args.field { Err(String::new()) } else { in_the_storm(site, &answers.layout) };
    if let Ok(storm) = &storm {
        answers.findings = answers.findings.with(findings::of_storm(&answers.layout, &storm.answer));
    }
    let format = if args.sheet == "letter" { Format::Letter } else { Format::A4 };
    let subject = Subject { format, ..Subject::new(site, &answers) };
    let documents = if args.field { vec![field_sheet(&subject)] } else { on_paper(args, &subject, &storm)? };
    let no_storm_because = storm.as_ref().err().filter(|_| !args.field);
    let files: Vec<folder::NewFile> =
        documents.iter().map(|document| (document.file.as_str(), document.bytes.as_slice())).collect();
    let write = if args.field || args.only.is_some() { folder::add_to_out } else { folder::write_out };
    let paths = write(&args.dir, &files)?;
    let written = Written {
        site: &site.plan.name,
        papers: documents.iter().zip(&paths).map(written_paper).collect(),
        no_storm_because: no_storm_because.map(String::as_str),
    };
    if args.json {
        print_json(out, &written)?;
    } else {
        print(&written, args, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

fn written_paper<'a>((document, path): (&'a Document, &PathBuf)) -> WrittenPaper<'a> {
    WrittenPaper { title: &document.title, file: path.display().to_string() }
}

/// The design storm worked through.
struct Storm {
    answer: rain_test::Answer,
    steps: steps::Answer,
}

/// The report or the chapter that was asked for; with the report every drawing by itself.
fn on_paper(
    args: &args::Paper,
    subject: &Subject,
    storm: &Result<Storm, String>,
) -> Result<Vec<Document>, Refused> {
    let (site, answers) = (subject.site, subject.answers);
    let hands = Hands { people: args.people, days: None };
    let bundle = Bundle {
        subject: *subject,
        rain: storm.as_ref().map(|storm| (&storm.answer, &storm.steps)).map_err(String::as_str),
        digging: &design::digging::digging(site, &answers.layout, &answers.sizes, hands),
        calendar: &design::calendar::of_site(site),
        planting: &design::planting::planting(site, &answers.layout, &answers.sizes),
        neighbours: &design::neighbours::neighbours(site, &answers.layout, &answers.sizes),
    };
    if let Some(chapter) = &args.only {
        return alone(&bundle, chapter).map(|document| vec![document]);
    }
    let pages: Vec<_> = report(&bundle).into_iter().map(|bound| bound.page).collect();
    let title = format!("{}: {}", site.plan.name, words::report::REPORT.to_lowercase());
    let mut documents = vec![bound("report", title, &pages)?];
    documents.extend(alone(&bundle, Chapter::Neighbour.key()).ok());
    documents.extend(papers(subject).into_iter().map(drawn));
    documents.push(field_sheet(subject));
    documents.extend(years(subject));
    if let Ok(storm) = storm {
        documents.extend(drawings(subject, storm));
    }
    Ok(documents)
}

/// The trees' first years, where there is weather and a tree to live through it: `hillsip season` says what is missing.
fn years(subject: &Subject) -> Vec<Document> {
    let asked = design::season::Request::default();
    let strips = design::season::strips(subject.site, &subject.answers.layout, &asked);
    strips.map_or_else(
        |_| Vec::new(),
        |strips| season::papers(subject, &strips).into_iter().map(drawn).collect(),
    )
}

fn alone(bundle: &Bundle, asked: &str) -> Result<Document, Refused> {
    let refused = || Refused::Asked(format!("the report has no chapter \"{asked}\""));
    let chapter = Chapter::ALL.into_iter().find(|chapter| chapter.key() == asked).ok_or_else(refused)?;
    let pages = only(bundle, chapter);
    let name = &bundle.subject.site.plan.name;
    if pages.is_empty() {
        let title = chapter.title().to_lowercase();
        return Err(Refused::Asked(format!("{name} has nothing yet for this chapter: {title}")));
    }
    bound(chapter.key(), format!("{name}: {}", chapter.title()), &pages)
}

fn bound(file: &str, title: String, pages: &[::paper::page::Page]) -> Result<Document, Refused> {
    let bytes = pdf::write(&title, pages).map_err(|error| Refused::Asked(error.to_string()))?;
    Ok(Document { file: format!("{file}.pdf"), title, bytes })
}

fn field_sheet(subject: &Subject) -> Document {
    let title = format!("{}: {}", subject.site.plan.name, words::field::TITLE);
    let bytes = field::field_sheet(subject).into_bytes();
    Document { file: "field-sheet.html".to_owned(), title, bytes }
}

fn drawn(paper: ::paper::Paper) -> Document {
    let bytes = svg::write(&paper.page).into_bytes();
    Document { file: format!("{}.svg", paper.file), bytes, title: paper.page.title }
}

/// The design storm, or why there is none: what arrives or soaks may not be known.
fn in_the_storm(site: &Site, layout: &Layout) -> Result<Storm, String> {
    let asked =
        StormRequest { depth_mm: None, hours: None, shape: None, gauge: None, wet_before: WetBefore::Usual };
    let storm = storm(site, &asked).map_err(|error| error.to_string())?;
    let request = Request { snapshots_h: rain::moments_h(storm.hours), ..Request::of(&storm, MEMBERS, SEED) };
    let answer = rain_test(site, layout, &request, &|| ()).map_err(|error| error.to_string())?;
    let steps = steps::steps(site, layout, &request, &|| ()).map_err(|error| error.to_string())?;
    Ok(Storm { answer, steps })
}

/// The storm's drawings, and its films.
fn drawings(subject: &Subject, storm: &Storm) -> Vec<Document> {
    let mut documents: Vec<Document> = rain::papers(subject, &storm.answer).into_iter().map(drawn).collect();
    let page = rain::steps(subject, &storm.steps, &storm.answer.storm);
    documents.extend(page.map(|page| drawn(::paper::Paper { file: "rain-steps".to_owned(), page })));
    let films = rain::films(subject, &storm.answer).into_iter();
    documents.extend(films.map(|film| Document {
        file: format!("{}.html", film.file),
        title: film.title,
        bytes: film.html.into_bytes(),
    }));
    documents
}

fn print(written: &Written, args: &args::Paper, out: &mut dyn Write) -> Result<(), Refused> {
    if args.field {
        writeln!(out, "{}: the field sheet", written.site)?;
    } else {
        let papers = if written.papers.len() == 1 { "paper" } else { "papers" };
        writeln!(out, "{}: {} {papers}", written.site, written.papers.len())?;
    }
    for paper in &written.papers {
        writeln!(out, "  {}  {}", paper.file, paper.title)?;
    }
    if let Some(because) = written.no_storm_because {
        paragraph(out, "", &sentence(&format!("The design storm is not among them: {because}")))?;
    }
    let advice = if args.field {
        FIELD_ADVICE
    } else {
        "Print at 100 %, not fitted to the page: the scale bar must measure true. The drawings open in a web browser."
    };
    paragraph(out, "", advice)?;
    Ok(())
}
