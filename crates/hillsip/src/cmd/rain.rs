//! `hillsip rain`: what one storm does along the lines.

use std::io::{self, Write};
use std::path::Path;

use design::findings::messages::speak;
use design::findings::{self, Severity};
use design::rain_test::{Answer, Breakout, LineRain, LinesBefore, Request, SiteRain, rain_test, steps};
use design::storms::{DesignStorm, Season, StormRequest, StormShape, WetBefore, storm};
use quantity::Estimate;
use quantity::convert::m_to_cm;
use quantity::figures::{fixed, range, significant};
use serde::Serialize;
use site::GaugeReading;

use super::check::{FindingInWords, print_each};
use super::progress::Progress;
use super::{Document, Ended, Refused, print_json};
use crate::args::{self, Shape, WetGround};
use crate::print::{Column, paragraph, sentence, table};

/// Lets it rain.
pub fn run(args: &args::Rain, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let layout = design::layout::lay_out(site);
    let gauge = args.gauge.as_deref().map(read_gauge).transpose()?;
    let storm = storm(site, &asked(args, gauge)).map_err(|error| Refused::Asked(error.to_string()))?;
    let refused = |error: design::rain_test::RainTestError| Refused::Asked(error.to_string());
    let lines_before = if args.full_before { LinesBefore::Full } else { LinesBefore::Empty };
    let request = Request { lines_before, ..Request::of(&storm, args.members as usize, args.seed) };
    if args.steps {
        let answer = steps::steps(site, &layout, &request, &|| ()).map_err(refused)?;
        if args.json {
            print_json(out, &Document::new(site, &answer))?;
        } else {
            print_steps(&answer, &storm, out)?;
        }
        return Ok(Ended::Done);
    }
    let progress = Progress::of(args.members, "storms");
    let answer = rain_test(site, &layout, &request, &|| progress.step()).map_err(refused)?;
    progress.end();
    let found = findings::of_storm(&layout, &answer);
    if args.json {
        let findings = FindingInWords::of(&found.findings);
        print_json(out, &Named { name: &site.plan.name, answer: &answer, findings })?;
    } else {
        print(&answer, &storm, out)?;
        print_each(&found.findings, out)?;
        print_close(&answer, out)?;
    }
    Ok(tell_stops(&found, &args.dir))
}

/// The answer under the name of its site: its own key `site` is the site as a whole.
#[derive(Serialize)]
struct Named<'a> {
    name: &'a str,
    #[serde(flatten)]
    answer: &'a Answer,
    findings: Vec<FindingInWords<'a>>,
}

/// The readings of a gauge.
fn read_gauge(file: &Path) -> Result<Vec<GaugeReading>, Refused> {
    let bytes = std::fs::read(file)
        .map_err(|error| Refused::Asked(format!("{} could not be read: {error}", file.display())))?;
    Ok(folder::read_gauge(&file.display().to_string(), &bytes)?)
}

fn asked(args: &args::Rain, gauge: Option<Vec<GaugeReading>>) -> StormRequest {
    StormRequest {
        depth_mm: args.depth_mm,
        hours: args.hours,
        shape: args.shape.map(|shape| match shape {
            Shape::Even => StormShape::Even,
            Shape::Blocks => StormShape::Blocks,
            Shape::ScsI => StormShape::ScsI,
            Shape::ScsIa => StormShape::ScsIa,
            Shape::ScsIi => StormShape::ScsIi,
            Shape::ScsIii => StormShape::ScsIii,
        }),
        gauge,
        wet_before: match args.wet_before {
            WetGround::Dry => WetBefore::Dry,
            WetGround::Usual => WetBefore::Usual,
            WetGround::Wet => WetBefore::Wet,
            // Of the two seasons the one that calls the ground wet sooner.
            WetGround::FiveDays(rain_mm) => WetBefore::FiveDays { rain_mm, season: Season::Dormant },
            WetGround::OnDay(day) => WetBefore::OnDay { day, season: Season::Dormant },
        },
    }
}

/// Says on standard error which lines are likely to break out.
fn tell_stops(found: &findings::Answer, dir: &Path) -> Ended {
    let stops = found.findings.iter().filter(|finding| finding.severity == Severity::Stop);
    for finding in stops {
        eprintln!("stop: {}", speak(finding).says);
    }
    if found.says_stop() {
        eprintln!(
            "raise the bank where the table says, or lengthen the sill, and see `hillsip check {}`",
            dir.display()
        );
    }
    Ended::of(found)
}

fn print(answer: &Answer, storm: &DesignStorm, out: &mut dyn Write) -> Result<(), Refused> {
    print_storm(answer, storm, out)?;
    overview(answer, out)?;
    for line in &answer.lines {
        writeln!(out)?;
        print_line(line, answer.storm.followed_h - answer.storm.hours, out)?;
    }
    for left_out in &answer.left_out {
        writeln!(out)?;
        paragraph(out, "", &sentence(&format!("\"{}\" is left out: {}", left_out.line, left_out.because)))?;
    }
    if !answer.trees.is_empty() {
        writeln!(out)?;
        trees(answer, out)?;
    }
    writeln!(out)?;
    for sentence in site_words(&answer.site) {
        paragraph(out, "", &sentence)?;
    }
    paragraph(out, "", &guess_words(answer))?;
    Ok(())
}

fn print_close(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let close = format!(
        "Balance: in all draws what came in is what soaked, stands or left, to {} of it. This is a reckoning of one \
         storm, not a promise: local codes and licensed practice come first.",
        balance_words(answer.balance_error_frac)
    );
    writeln!(out)?;
    paragraph(out, "", &close)
}

fn balance_words(frac: f64) -> String {
    format!("{frac:.0e}")
}

fn print_storm(answer: &Answer, storm: &DesignStorm, out: &mut dyn Write) -> Result<(), Refused> {
    let words = format!(
        "{} mm in {} h, {}; {} mm in the worst ten minutes. Ground before it: {}.{}",
        fixed(answer.storm.depth_mm, 1),
        significant(answer.storm.hours, 3),
        answer.storm.shape,
        fixed(answer.storm.worst_ten_minutes_mm, 1),
        answer.storm.wet_before,
        match answer.storm.lines_before {
            LinesBefore::Empty => "",
            LinesBefore::Full => " Swales full to their sills when it begins.",
        }
    );
    paragraph(out, "", &words)?;
    for rate in &answer.soils {
        let words = format!("{} soaks {} mm/h: {}.", rate.soil, range(rate.soak_mm_h, 1), rate.known_from());
        paragraph(out, "", &words)?;
    }
    for note in &storm.notes {
        paragraph(out, "", &format!("Note: {note}."))?;
    }
    writeln!(out)?;
    Ok(())
}

fn overview(answer: &Answer, out: &mut dyn Write) -> Result<(), Refused> {
    let lines = &answer.lines;
    let likely = |heading: &'static str, decimals: usize, value: &dyn Fn(&LineRain) -> Option<f64>| {
        let cell = |line| value(line).map_or_else(String::new, |value| fixed(value, decimals));
        Column::numbers(heading, lines.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    table(
        out,
        vec![
            Column::words("line", lines.iter().map(|line| line.line.clone())),
            likely("arrived\nm³", 1, &|line| Some(line.arrived_m3.likely())),
            likely("passed\nto it\nm³", 1, &|line| Some(line.passed_in_m3.likely())),
            likely("soaked\nm³", 1, &|line| Some(line.soaked_m3.likely())),
            likely("stands\nm³", 1, &|line| Some(line.stored_m3.likely())),
            likely("passed\non\nm³", 1, &|line| Some(line.passed_on_m3.likely())),
            likely("left\nm³", 1, &|line| Some(line.left_m3.likely())),
            likely("reach\nm", 0, &|line| Some(line.reach_m.likely())),
            likely("bank\nleft\ncm", 0, &|line| {
                line.least_freeboard.map(|least| m_to_cm(least.freeboard_m.likely()))
            }),
            likely("breaks\nout in\nof 100", 0, &|line| Some(100.0 * line.breaks_out_frac)),
            likely("empty\nafter\nh", 0, &|line| line.drain_down_h.map(Estimate::likely)),
        ],
    )?;
    if answer.ensemble.members > 1 {
        let words = "Each figure is the middle of the draws by itself, so a row need not add up as it does in every draw. \
                     With --members 1 it is the plan as drawn.";
        paragraph(out, "", words)?;
    }
    Ok(())
}

fn print_line(line: &LineRain, followed_h: f64, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(out, "\"{}\"", line.line)?;
    let mut sentences = vec![reach_words(line)];
    sentences.extend(freeboard_words(line));
    for sill in &line.sills {
        let size = sill.use_frac.map_or_else(
            || "; no bank stands above it".to_owned(),
            |used| {
                format!(
                    ", {} of 100 of what it passes below the bank",
                    range(used.map_monotone(|f| 100.0 * f), 0)
                )
            },
        );
        sentences.push(format!(
            "Sill at {} m: {} L/s at the peak{size}; {} m³ in all, to {}.",
            fixed(sill.at_m, 1),
            range(sill.peak_l_s, 1),
            range(sill.volume_m3, 1),
            sill.to
        ));
    }
    sentences.extend(line.breakouts.iter().map(breakout_words));
    if let Some(fastest) = line.fastest.filter(|fastest| fastest.speed_m_s.high() > 0.0) {
        sentences.push(format!(
            "Runs fastest at {} m: {} m/s, where the bed stands {} m/s.",
            fixed(fastest.at_m, 0),
            range(fastest.speed_m_s, 2),
            fixed(fastest.stands_m_s, 2)
        ));
    }
    sentences.push(line.drain_down_h.map_or_else(
        || format!("Still holds water {} h after the rain.", fixed(followed_h, 0)),
        |hours| format!("Empty {} h after the rain.", range(hours, 0)),
    ));
    for sentence in sentences {
        paragraph(out, "  ", &sentence)?;
    }
    Ok(())
}

fn reach_words(line: &LineRain) -> String {
    let when =
        line.reach_h.map_or_else(String::new, |hours| format!(", {} h from the first drop", range(hours, 1)));
    format!(
        "Water gets {} m along its {} m{when}; {} m³ soak in.",
        range(line.reach_m, 0),
        fixed(line.length_m, 0),
        range(line.soaked_m3, 1)
    )
}

fn freeboard_words(line: &LineRain) -> Option<String> {
    let (level_m, least) = (line.peak_level_m?, line.least_freeboard?);
    Some(format!(
        "Highest water {} m; least bank left {} cm, at {} m.",
        range(level_m, 2),
        range(least.freeboard_m.map_monotone(m_to_cm), 0),
        fixed(least.at_m, 0)
    ))
}

fn breakout_words(breakout: &Breakout) -> String {
    let wash_out = if breakout.washes_out_frac > 0.0 {
        format!(
            " In {} of 100 of these it runs down the bank faster than bare fill stands ({} m/s against {}): it washes \
             out.",
            fixed(100.0 * breakout.washes_out_frac, 0),
            range(breakout.face_speed_m_s, 1),
            fixed(breakout.fill_stands_m_s, 2)
        )
    } else {
        String::new()
    };
    format!(
        "Breaks out at {} m (between {} and {} m) in {} of 100 draws: from {} h on, {} L/s, {} m³, to {}. Raise it \
         there by {} cm.{wash_out}",
        fixed(breakout.at_m, 0),
        fixed(breakout.from_m, 0),
        fixed(breakout.to_m, 0),
        fixed(100.0 * breakout.chance_frac, 0),
        range(breakout.first_h, 1),
        range(breakout.peak_l_s, 1),
        range(breakout.volume_m3, 2),
        breakout.to,
        range(breakout.raise_cm, 1)
    )
}

fn trees(answer: &Answer, out: &mut dyn Write) -> Result<(), Refused> {
    let trees = &answer.trees;
    table(
        out,
        vec![
            Column::words("tree", trees.iter().map(|tree| tree.tree.clone())),
            Column::words("line", trees.iter().map(|tree| tree.line.clone())),
            Column::numbers("at\nm", trees.iter().map(|tree| fixed(tree.chainage_m, 1))),
            Column::numbers(
                "soaks in beside it\nL a metre",
                trees.iter().map(|tree| range(tree.soaked_l_per_m, 0)),
            ),
        ],
    )?;
    Ok(())
}

fn site_words(site: &SiteRain) -> Vec<String> {
    let stood = if site.stood_before_m3.high() > 0.0 {
        format!("{} m³ stand in the works when it begins. ", range(site.stood_before_m3, 1))
    } else {
        String::new()
    };
    let mut words = vec![format!(
        "{stood}Of {} m³ that come to the works {} m³ soak in and {} m³ leave. Peak off this ground: {} L/s without the works, \
         {} L/s with them.",
        range(site.arrived_m3, 1),
        range(site.soaked_m3, 1),
        range(site.leaves_m3, 1),
        range(site.peak_before_l_s, 1),
        range(site.peak_after_l_s, 1)
    )];
    if site.runs_past_m3.high() > 0.0 {
        words.push(format!(
            "Another {} m³ of the sources are picked up by no line and run past the works.",
            range(site.runs_past_m3, 1)
        ));
    }
    for outlet in &site.outlets {
        let by = match outlet.by {
            design::rain_test::LeavesBy::Sill => "the sill",
            design::rain_test::LeavesBy::Bank => "the bank",
            design::rain_test::LeavesBy::End => "the end",
        };
        words.push(format!(
            "It leaves over {by} of \"{}\" at {} m: {} m³, {} L/s at the peak.",
            outlet.line,
            fixed(outlet.at_m, 0),
            range(outlet.volume_m3, 1),
            range(outlet.peak_l_s, 1)
        ));
    }
    words
}

fn guess_words(answer: &Answer) -> String {
    let members = answer.ensemble.members;
    if members == 1 {
        return "One draw: the plan as drawn with every likely value, so no ranges.".to_owned();
    }
    let most = answer.ensemble.guesses.first().map_or_else(String::new, |guess| {
        format!(
            " What matters most for {} is the {} (rank correlation {}).",
            guess.against,
            guess.guess,
            fixed(guess.rank_correlation, 2)
        )
    });
    format!(
        "Ranges hold nine in ten of {members} draws of soak rate, runoff, seeps and levels (seed {}).{most}",
        answer.ensemble.seed
    )
}

fn print_steps(answer: &steps::Answer, storm: &DesignStorm, out: &mut dyn Write) -> Result<(), Refused> {
    let words = format!(
        "Rain of {} h, {}, from {} to {} mm; the plan as drawn with every likely value.",
        significant(storm.hours, 3),
        storm.shape,
        fixed(answer.table[0].rain_mm, 0),
        fixed(answer.up_to_mm, 0)
    );
    paragraph(out, "", &words)?;
    writeln!(out)?;
    let lines = &answer.lines;
    let at = |heading: &'static str, value: fn(&steps::LineSteps) -> Option<f64>| {
        let cell = |line| value(line).map_or_else(|| "-".to_owned(), |mm| fixed(mm, 0));
        Column::numbers(heading, lines.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    table(
        out,
        vec![
            Column::words("line", lines.iter().map(|line| line.line.clone())),
            at("fills\nat mm", |line| line.fills_mm),
            at("spills\nat mm", |line| line.spills_mm),
            at("breaks\nout at mm", |line| line.breaks_out_mm),
        ],
    )?;
    writeln!(out)?;
    let steps = &answer.table;
    let names = |heading: &'static str, value: fn(&steps::StepOfRain) -> &Vec<String>| {
        Column::words(heading, steps.iter().map(move |step| value(step).join(", ")))
    };
    table(
        out,
        vec![
            Column::numbers("rain\nmm", steps.iter().map(|step| fixed(step.rain_mm, 0))),
            Column::numbers("soaked\nm³", steps.iter().map(|step| fixed(step.soaked_m3, 1))),
            Column::numbers("leaves\nm³", steps.iter().map(|step| fixed(step.leaves_m3, 1))),
            names("spill", |step| &step.spill),
            names("break out", |step| &step.break_out),
        ],
    )?;
    writeln!(out)?;
    paragraph(out, "", &reaction_words(answer))?;
    Ok(())
}

fn reaction_words(answer: &steps::Answer) -> String {
    let reaction = &answer.chain_reaction;
    let first = answer.fails_first.as_ref().map_or_else(
        || {
            format!(
                "No line breaks out. If the bank of \"{}\" failed at {} m, where least of it is left,",
                reaction.line,
                fixed(reaction.at_m, 0)
            )
        },
        |line| format!("\"{line}\" fails first. With its bank gone at {} m", fixed(reaction.at_m, 0)),
    );
    let along = if reaction.takes_along.is_empty() {
        "it would take no other line along".to_owned()
    } else {
        format!("it would take along: {}", reaction.takes_along.join(", "))
    };
    format!(
        "{first} {along}; {} m³ would leave the site instead of {}.",
        fixed(reaction.leaves_after_m3, 1),
        fixed(reaction.leaves_before_m3, 1)
    )
}
