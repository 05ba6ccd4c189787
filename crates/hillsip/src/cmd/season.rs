//! `hillsip season`: the trees through the years, and when to carry water.

use std::io::{self, Write};

use design::season::{Answer, Period, Request, TreeSeason, season};
use quantity::figures::{fixed, range, significant};

use super::progress::Progress;
use super::{Document, Ended, Refused, print_json};
use crate::args;
use crate::print::{Column, paragraph, sentence, table};

/// Rounds that are printed; the rest stand in the JSON.
const ROUNDS_SHOWN: usize = 40;
/// Letters that stand over the months.
const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// Lives through the years.
pub fn run(args: &args::Season, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let layout = design::layout::lay_out(site);
    let request = Request {
        from: args.from,
        to: args.to,
        years: args.years,
        members: args.members as usize,
        seed: args.seed,
        litres_per_week: args.litres_per_week,
    };
    let progress = Progress::of(args.members, "lives of the grove");
    let answer = season(site, &layout, &request, &|| progress.step());
    progress.end();
    let answer = answer.map_err(|error| Refused::Asked(error.to_string()))?;
    if args.json {
        print_json(out, &Document::new(site, &answer))?;
    } else {
        for note in loaded.notes.iter().filter(|note| note.code == "rain-very-deep") {
            paragraph(out, "  Note: ", &note.text)?;
        }
        print(&answer, out)?;
    }
    Ok(Ended::Done)
}

fn print(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    paragraph(out, "", &headline(&answer.period, answer.members))?;
    for note in &answer.notes {
        paragraph(out, "  Note: ", note)?;
    }
    trees(&answer.trees, out)?;
    for left_out in &answer.left_out {
        paragraph(out, "  ", &sentence(&format!("\"{}\" is left out: {}", left_out.tree, left_out.because)))?;
    }
    months(&answer.trees, out)?;
    compare(&answer.trees, out)?;
    lines(answer, out)?;
    rounds(answer, out)?;
    balance(answer, out)?;
    paragraph(
        out,
        "",
        "A dry day is one on which a tree gets less than half of what it would use; a dry spell is a fortnight of them. \
         Figures are of trees that nobody waters, unless they say by hand. How far water spreads below a bank is \
         assumed: dig a hole at the toe after a rain and look. Look at the leaves and the soil before you carry \
         water by a table.",
    )
}

fn headline(period: &Period, members: usize) -> String {
    let weather = if period.drawn { "drawn weather that never happened" } else { "the record" };
    let ranges = if members > 1 {
        format!("; ranges hold nine in ten of {members} draws of what is not known well")
    } else {
        String::new()
    };
    format!(
        "{} to {}, {} days of {weather}, {} whole years: {} mm of rain a year against {} mm that a lawn would use{ranges}.",
        period.from,
        period.to,
        period.days,
        period.whole_years,
        fixed(period.rain_per_year_mm, 0),
        fixed(period.eto_per_year_mm, 0)
    )
}

fn trees(trees: &[TreeSeason], out: &mut dyn Write) -> io::Result<()> {
    paragraph(out, "", "The trees in a mean year, from planting on:")?;
    let litres = |heading: &'static str, value: fn(&TreeSeason) -> quantity::Estimate| {
        Column::numbers(heading, trees.iter().map(move |tree| rounded(value(tree))))
    };
    let days = |heading: &'static str, value: fn(&TreeSeason) -> quantity::Estimate| {
        Column::numbers(heading, trees.iter().map(move |tree| range(value(tree), 0)))
    };
    let chances = |heading: &'static str, value: fn(&TreeSeason) -> f64| {
        Column::numbers(heading, trees.iter().map(move |tree| percent(value(tree))))
    };
    table(
        out,
        vec![
            Column::words("tree", trees.iter().map(|tree| tree.place.tree.clone())),
            Column::words("species", trees.iter().map(|tree| tree.place.species.clone())),
            Column::words("line", trees.iter().map(|tree| tree.place.line.clone().unwrap_or_default())),
            litres("from line\nL", |tree| tree.gets.litres_from_line),
            litres("from rain\nL", |tree| tree.gets.litres_from_rain),
            litres("drunk\nL", |tree| tree.gets.litres_drunk),
            days("dry\ndays", |tree| tree.stands.dry_days),
            chances("years with\ndry spell", |tree| tree.stands.chance_of_dry_spell_frac),
            days("wet feet\ndays", |tree| tree.stands.wet_feet_days),
            chances("years with\ntoo many", |tree| tree.stands.chance_of_wet_feet_frac),
        ],
    )
}

/// A range of litres to three figures: nobody measures more.
fn rounded(litres: quantity::Estimate) -> String {
    let to_figures = |value: f64| significant(value, 2);
    if litres.is_exact() {
        return to_figures(litres.likely());
    }
    format!("{} to {} ({})", to_figures(litres.low()), to_figures(litres.high()), to_figures(litres.likely()))
}

fn percent(frac: f64) -> String {
    format!("{} %", fixed(100.0 * frac, 0))
}

fn months(trees: &[TreeSeason], out: &mut dyn Write) -> io::Result<()> {
    paragraph(out, "", "Dry days by month in a mean year, likely:")?;
    let mut columns = vec![Column::words("tree", trees.iter().map(|tree| tree.place.tree.clone()))];
    for (month, name) in MONTHS.iter().enumerate() {
        let cell = |tree: &TreeSeason| {
            let days = tree.stands.dry_days_by_month[month].likely();
            if days > 0.0 { fixed(days, 0) } else { String::new() }
        };
        columns.push(Column::numbers(name, trees.iter().map(cell).collect::<Vec<_>>().into_iter()));
    }
    table(out, columns)
}

fn compare(trees: &[TreeSeason], out: &mut dyn Write) -> io::Result<()> {
    paragraph(
        out,
        "",
        "With and without lines and mulch, in the first three years, dry days a year / litres by hand a year:",
    )?;
    let case = |heading: &'static str, value: fn(&design::season::Compare) -> design::season::Case| {
        let cell = move |tree: &TreeSeason| {
            let case = value(&tree.compare);
            format!("{} / {}", fixed(case.dry_days, 0), fixed(case.litres_by_hand, 0))
        };
        Column::numbers(heading, trees.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    table(
        out,
        vec![
            Column::words("tree", trees.iter().map(|tree| tree.place.tree.clone())),
            case("lines and\nmulch", |compare| compare.lines_and_mulch),
            case("lines\nonly", |compare| compare.lines_only),
            case("mulch\nonly", |compare| compare.mulch_only),
            case("neither", |compare| compare.neither),
            case("rounds as\nwalked", |compare| compare.as_carried),
        ],
    )
}

fn lines(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let lines = &answer.lines;
    paragraph(out, "", "The lines in a mean year:")?;
    let ranges = |heading: &'static str,
                  decimals: usize,
                  value: fn(&design::season::LineSeason) -> quantity::Estimate| {
        Column::numbers(heading, lines.iter().map(move |line| range(value(line), decimals)))
    };
    table(
        out,
        vec![
            Column::words("line", lines.iter().map(|line| line.line.clone())),
            ranges("arrives\nm³", 0, |line| line.arrived_m3),
            ranges("from above\nm³", 0, |line| line.passed_in_m3),
            ranges("soaks in\nm³", 0, |line| line.soaked_m3),
            ranges("passed on\nm³", 0, |line| line.passed_on_m3),
            ranges("leaves\nm³", 0, |line| line.left_m3),
            ranges("wet days", 0, |line| line.wet_days),
            ranges("days with\nsurplus", 0, |line| line.spill_days),
        ],
    )
}

fn rounds(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    if answer.rounds.is_empty() {
        return paragraph(out, "", "No water needs to be carried in the first three summers.");
    }
    for summer in &answer.summers {
        paragraph(
            out,
            "",
            &format!(
                "In the year from {}: {} rounds, {} L in all, which must be stored where nothing flows in summer; the \
                 busiest week takes {} L.",
                summer.year_from,
                summer.rounds,
                rounded(summer.litres),
                significant(summer.busiest_week_l, 2)
            ),
        )?;
    }
    let shown = &answer.rounds[..answer.rounds.len().min(ROUNDS_SHOWN)];
    let trees = |round: &design::season::Round| {
        let words: Vec<String> =
            round.trees.iter().map(|tree| format!("{} {}", tree.tree, fixed(tree.litres, 0))).collect();
        words.join(", ")
    };
    table(
        out,
        vec![
            Column::words("round", shown.iter().map(|round| round.date.clone())),
            Column::numbers("litres", shown.iter().map(|round| fixed(round.litres, 0))),
            Column::words("each, in walking order", shown.iter().map(trees)),
        ],
    )?;
    let more = answer.rounds.len() - shown.len();
    if more > 0 {
        paragraph(out, "", &format!("And {more} more rounds: `--json` gives them all."))?;
    }
    Ok(())
}

fn balance(answer: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let balance = &answer.balance;
    paragraph(
        out,
        "",
        &format!(
            "The water is accounted for: lines to {:.0e} on the worst day and {:.0e} over the run, soil to {:.0e} and \
             {:.0e}, of what came.",
            balance.lines_worst_day_frac,
            balance.lines_whole_run_frac,
            balance.soil_worst_day_frac,
            balance.soil_whole_run_frac
        ),
    )
}
