//! The field sheet: one HTML file for a phone, opened from a file, without a network.
//!
//! It lists the pegs with what to aim for, takes readings and what was dug, says at once what is off and whether it
//! matters, takes down what is seen after rain, keeps all of it, and saves it as a file. Every limit that a reading is
//! held against comes from [`design::setting`]; the script only subtracts and compares.

use design::pegs::{CheckBack, PegRow};
use design::setting::{self, Limits, LineSetting, PegSetting};
use quantity::fingerprint;
use serde::Serialize;

use crate::peg_sheet::reading;
use crate::subject::{Known, Numbered, Subject};
use crate::svg::escape;
use crate::template::filled;
use crate::words::{self, field as said, peg_sheet};

#[cfg(test)]
mod tests;

const TEMPLATE: &str = include_str!("sheet.html");
const SCRIPT: &str = include_str!("sheet.js");

/// What names a file of the sheet, and the version of what stands in it.
pub const FORMAT: &str = "hillsip-field-sheet";
/// Version of the file of the sheet.
pub const VERSION: u32 = 1;

/// What the script is given.
#[derive(Serialize)]
struct Given<'a> {
    format: &'static str,
    version: u32,
    site: &'a str,
    /// One sheet is told from another of the same site by what it asks for.
    sheet: String,
    read_from: setting::ReadFrom,
    lines: Vec<GivenLine<'a>>,
    trees: Vec<&'a str>,
    seen: [Seen; said::SEEN.len()],
    words: std::collections::BTreeMap<&'static str, &'static str>,
    clear_ask: &'static str,
}

#[derive(Serialize)]
struct GivenLine<'a> {
    name: &'a str,
    limits: Limits,
    facts: String,
    no_pegs_because: Option<&'a str>,
    pegs: Vec<GivenPeg<'a>>,
    proof: Option<CheckBack>,
}

#[derive(Serialize)]
struct GivenPeg<'a> {
    #[serde(flatten)]
    setting: &'a PegSetting,
    chainage_m: f64,
    z_m: Option<f64>,
    aim: String,
    after_jump: bool,
    notes: &'a [String],
}

#[derive(Serialize)]
struct Seen {
    kind: &'static str,
    words: &'static str,
    unit: &'static str,
}

/// The field sheet of a site.
pub fn field_sheet(subject: &Subject) -> String {
    let answers = subject.answers;
    let setting = setting::setting(subject.site, &answers.layout, (&answers.pegs, &answers.sizes));
    let known = subject.lines();
    let lines: Vec<GivenLine> =
        setting.lines.iter().filter_map(|line| given_line(subject, &known, line)).collect();
    let site = &subject.site.plan.name;
    let mut given = Given {
        format: FORMAT,
        version: VERSION,
        site,
        sheet: String::new(),
        read_from: setting.read_from,
        lines,
        trees: subject.site.plan.trees.iter().map(|tree| tree.name.as_str()).collect(),
        seen: said::SEEN.map(|(kind, words, unit)| Seen { kind, words, unit }),
        words: said::PAGE.into_iter().collect(),
        clear_ask: said::CLEAR_ASK,
    };
    given.sheet = fingerprint(for_script(&given.lines).as_bytes());
    filled(
        TEMPLATE,
        &[
            ("title", escape(&format!("{site}: {}", said::TITLE))),
            ("site", escape(site)),
            ("heading", said::TITLE.to_owned()),
            ("stops", stops(&subject.findings())),
            ("tool", tool(subject)),
            ("says", escape(said::says(setting.read_from))),
            ("cautions", words::CAUTIONS.map(|caution| format!("<li>{}</li>\n", escape(caution))).concat()),
            ("cautions_title", escape(words::CAUTIONS_TITLE)),
            ("save_json", said::SAVE_JSON.to_owned()),
            ("save_csv", said::SAVE_CSV.to_owned()),
            ("clear", said::CLEAR.to_owned()),
            ("given", for_script(&given)),
            ("script", SCRIPT.to_owned()),
        ],
    )
}

fn given_line<'a>(subject: &Subject, known: &[Known<'a>], setting: &'a LineSetting) -> Option<GivenLine<'a>> {
    let known = known.iter().find(|known| known.line.name == setting.line)?;
    let rows = &known.pegs.pegs;
    let pegs = setting.pegs.iter().zip(rows).enumerate();
    Some(GivenLine {
        name: &known.line.name,
        limits: setting.limits,
        facts: peg_sheet::line_facts(known.line.kind, known.pegs.grade, known.pegs.length_m, rows.len()),
        no_pegs_because: known.pegs.stopped_because.as_deref().filter(|_| rows.is_empty()),
        pegs: pegs.map(|(i, (setting, row))| given_peg(subject, setting, (rows, i, row))).collect(),
        proof: known.pegs.check_back,
    })
}

fn given_peg<'a>(
    subject: &Subject,
    setting: &'a PegSetting,
    (rows, i, row): (&'a [PegRow], usize, &'a PegRow),
) -> GivenPeg<'a> {
    GivenPeg {
        setting,
        chainage_m: row.chainage_m,
        z_m: row.z_m,
        aim: reading::words(&subject.answers.pegs, rows, i),
        after_jump: row.after_jump,
        notes: &row.notes,
    }
}

/// Everything that says stop: the first thing on the sheet.
fn stops(findings: &[Numbered]) -> String {
    let stops: Vec<&Numbered> = findings.iter().filter(|finding| finding.says_stop()).collect();
    if stops.is_empty() {
        return String::new();
    }
    let one = |finding: &&Numbered| {
        let spoken = &finding.spoken;
        format!(
            "<li><b>{}.</b> {} {} {} <i>{} {}</i></li>\n",
            escape(&spoken.title),
            escape(&spoken.says),
            peg_sheet::DO,
            escape(&spoken.remedy),
            peg_sheet::ASK,
            escape(&spoken.ask)
        )
    };
    let list: String = stops.iter().map(one).collect();
    format!(
        "<section class=\"stop\" aria-label=\"{0}\">\n<h2>{0}</h2>\n<p>{1}</p>\n<ul>\n{list}</ul>\n</section>",
        peg_sheet::STOP,
        peg_sheet::STOP_BESIDE
    )
}

fn tool(subject: &Subject) -> String {
    let tool = &subject.site.plan.tool;
    let steps = peg_sheet::how_to(tool.kind, tool.walked);
    let list: String = steps.map(|step| format!("<li>{}</li>\n", escape(step))).concat();
    format!("<p>{}</p>\n<ol>\n{list}</ol>", escape(&words::pegged_with(tool.kind, tool.step_m)))
}

/// JSON that may stand in a script: no tag can open or close in it.
fn for_script(value: &impl Serialize) -> String {
    let json = serde_json::to_string(value).expect("plain data of finite numbers");
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}
