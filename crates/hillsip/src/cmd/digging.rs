//! `hillsip digging`: what to dig first, in how many days, what to bring, and a year of work.

use std::io::{self, Write};

use design::calendar;
use design::digging::{Answer, Costs, Covers, Day, Hands, SOURCES, Sourced, Stage, Turn};
use quantity::Estimate;
use quantity::convert::m_to_cm;
use quantity::figures::{fixed, range};
use serde::Serialize;

use super::{Document, Ended, Refused, print_json, tell_stops};
use crate::args;
use crate::print::{Column, paragraph, table};

/// The answer with what stands beside it.
#[derive(Serialize)]
struct Told<'a> {
    #[serde(flatten)]
    digging: &'a Answer,
    calendar: &'a calendar::Answer,
    sources: &'a [Sourced],
}

/// Prints the order of work and what it needs.
pub fn run(args: &args::Digging, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    let hands = Hands { people: args.people, days: args.days };
    let digging = design::digging::digging(site, &answers.layout, &answers.sizes, hands);
    let calendar = calendar::of_site(site);
    if args.json {
        let told = Told { digging: &digging, calendar: &calendar, sources: SOURCES };
        print_json(out, &Document::new(site, &told))?;
    } else {
        print(&digging, &calendar, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

fn print(digging: &Answer, calendar: &calendar::Answer, out: &mut dyn Write) -> io::Result<()> {
    print_order(digging, out)?;
    print_days(digging, out)?;
    print_supplies(digging, out)?;
    print_grove(digging, out)?;
    if let Some(costs) = &digging.costs {
        print_costs(costs, out)?;
    }
    print_year(calendar, out)?;
    print_sources(out)
}

fn print_order(digging: &Answer, out: &mut dyn Write) -> io::Result<()> {
    if !digging.already_dug.is_empty() {
        let dug: Vec<&str> = digging.already_dug.iter().map(|dug| dug.line.as_str()).collect();
        paragraph(out, "", &format!("Dug already: {}.", dug.join(", ")))?;
    }
    let turns = &digging.order;
    let numbers = |heading: &'static str, cell: &dyn Fn(&Turn) -> String| {
        Column::numbers(heading, turns.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    if !turns.is_empty() {
        table(
            out,
            vec![
                Column::numbers("turn", (1..=turns.len()).map(|turn| turn.to_string())),
                Column::words("line", turns.iter().map(|turn| turn.line.clone())),
                Column::words("kind", turns.iter().map(|turn| turn.kind.to_string())),
                numbers("cut\nm³", &|turn| fixed(turn.cut_m3, 1)),
                numbers("trial\ntrench\nm³", &|turn| {
                    turn.trial.map_or_else(String::new, |trial| fixed(trial.cut_m3, 1))
                }),
                numbers("person-days", &|turn| range(turn.person_days, 1)),
                numbers("holds for\nits trees\nL", &|turn| fixed(turn.for_trees_l, 0)),
                numbers("L for a\nperson-day", &|turn| fixed(turn.for_trees_l_per_person_day, 0)),
            ],
        )?;
    }
    paragraph(out, "", order_words(digging))?;
    if !digging.later.is_empty() {
        let later =
            format!("Left for later, because only whole lines are begun: {}.", digging.later.join(", "));
        paragraph(out, "", &later)?;
    }
    let dug =
        digging.already_dug.iter().map(|dug| (&dug.line, &dug.spills_meanwhile_over, &dug.pours_unsafely_on));
    let to_dig = turns.iter().map(|turn| (&turn.line, &turn.spills_meanwhile_over, &turn.pours_unsafely_on));
    for (line, spills, pours) in dug.chain(to_dig) {
        for words in meanwhile_words(line, spills, pours) {
            paragraph(out, "  ", &words)?;
        }
    }
    writeln!(out)
}

fn order_words(digging: &Answer) -> &'static str {
    match (digging.order.is_empty(), digging.days_are_few) {
        (true, false) => "Nothing is left to dig.",
        (true, true) => "The days are too few to dig any line whole.",
        (false, true) => {
            "The days are too few for all: first comes what holds most for its trees for a day's digging, and what \
             it would otherwise pour on unsafely."
        }
        (false, false) => {
            "From the top of the slope down; a line that would pour on ground that does not stand it comes after \
             the line that is to take its water."
        }
    }
}

/// What a line does until those below it are dug.
fn meanwhile_words(line: &str, spills_over: &[String], pours_on: &[String]) -> Vec<String> {
    let mut words = Vec::new();
    if !spills_over.is_empty() {
        words.push(format!(
            "Until \"{}\" is dug, \"{line}\" spills over bare hill there: its landing stands the design rain, but look after \
             each rain where the water goes on.",
            spills_over.join("\", \"")
        ));
    }
    if !pours_on.is_empty() {
        words.push(format!(
            "Keep \"{line}\" from spilling until \"{}\" is dug: what it pours does not land safely.",
            pours_on.join("\", \"")
        ));
    }
    words
}

fn print_days(digging: &Answer, out: &mut dyn Write) -> io::Result<()> {
    if digging.days.is_empty() {
        return Ok(());
    }
    let people =
        if digging.people == 1 { "1 person".to_owned() } else { format!("{} people", digging.people) };
    let days = format!(
        "{people}: {} days of digging, {} person-days. Half the first day goes into pegging. First a trench a spade \
         deep along each swale and drain; then wait for a rain, see where it stands level and where it runs, move the \
         pegs, and only then dig the sections. A drain's trial stays blocked until its receiver is dug.",
        range(digging.needed_days, 0),
        range(digging.person_days, 1)
    );
    paragraph(out, "", &days)?;
    let spells = spells(&digging.days);
    table(
        out,
        vec![
            Column::words("day", spells.iter().map(|spell| spell.days_words())),
            Column::words("what", spells.iter().map(|spell| stage_words(spell.last.stage).to_owned())),
            Column::words("by the last evening", spells.iter().map(|spell| work_words(spell.last))),
        ],
    )?;
    let tools: Vec<String> =
        digging.tools.iter().map(|tool| format!("{} × {}", tool.count, tool.tool)).collect();
    paragraph(out, "Tools: ", &format!("{}.", tools.join(", ")))?;
    writeln!(out)
}

/// Days in a row that go into one and the same line.
struct Spell<'a> {
    from_day: u32,
    last: &'a Day,
}

impl Spell<'_> {
    fn days_words(&self) -> String {
        if self.from_day == self.last.day {
            self.from_day.to_string()
        } else {
            format!("{} to {}", self.from_day, self.last.day)
        }
    }

    /// Whether a day goes on with the one line of this spell.
    fn goes_on(&self, day: &Day) -> bool {
        let one = |day: &Day| (day.work.len() == 1).then(|| day.work[0].line.clone());
        day.stage == self.last.stage && one(day).is_some() && one(day) == one(self.last)
    }
}

fn spells(days: &[Day]) -> Vec<Spell<'_>> {
    let mut spells: Vec<Spell> = Vec::new();
    for day in days {
        match spells.last_mut() {
            Some(spell) if spell.goes_on(day) => spell.last = day,
            _ => spells.push(Spell { from_day: day.day, last: day }),
        }
    }
    spells
}

const fn stage_words(stage: Stage) -> &'static str {
    match stage {
        Stage::Trial => "trial trenches",
        Stage::Section => "sections, banks, sills",
    }
}

fn work_words(day: &Day) -> String {
    let parts = day.work.iter().map(|work| {
        let done = if work.done_frac >= 1.0 {
            "done".to_owned()
        } else {
            format!("{} % done", fixed(100.0 * work.done_frac, 0))
        };
        format!("{} ({done})", work.line)
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// Rows of "what", "how much" and its unit.
fn amounts(rows: &[(&'static str, String, &'static str)], out: &mut dyn Write) -> io::Result<()> {
    table(
        out,
        vec![
            Column::words("what", rows.iter().map(|row| row.0.to_owned())),
            Column::numbers("how much", rows.iter().map(|row| row.1.clone())),
            Column::words("", rows.iter().map(|row| row.2.to_owned())),
        ],
    )
}

fn print_supplies(digging: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let supplies = &digging.supplies;
    if digging.order.is_empty() {
        return Ok(());
    }
    paragraph(out, "", "For the lines:")?;
    let left = supplies.loose_left_over_m3;
    let (soil, soil_m3) = if left.likely() < 0.0 {
        ("loose soil wanting", left.map_monotone(|m3| -m3))
    } else {
        ("loose soil left over", left)
    };
    amounts(
        &[
            ("pegs", supplies.pegs.to_string(), ""),
            ("face of the banks", fixed(supplies.bank_m2, 0), "m²"),
            ("seed, the day a bank is shaped", range(supplies.seed_kg, 2), "kg"),
            ("straw over it", range(supplies.straw_kg, 0), "kg"),
            ("rock", fixed(supplies.rock_m3, 1), "m³ as laid"),
            ("the same", range(supplies.rock_kg, 0), "kg"),
            (soil, range(soil_m3, 1), "m³"),
            ("barrow trips for soil and rock", range(supplies.barrow_trips, 0), ""),
        ],
        out,
    )?;
    for rock in &supplies.rock {
        let place = match (rock.covers, rock.at_m) {
            (Covers::Landing, Some(at_m)) => format!("below the sill at {} m", fixed(at_m, 1)),
            _ => "along the bed".to_owned(),
        };
        let words = format!(
            "Rock on \"{}\" {place}: {} mm in the middle size, {} cm thick, {} m², {} m³.",
            rock.line,
            fixed(rock.d50_mm, 0),
            fixed(m_to_cm(rock.layer_m), 0),
            fixed(rock.area_m2, 1),
            fixed(rock.rock_m3, 1)
        );
        paragraph(out, "  ", &words)?;
    }
    writeln!(out)
}

fn print_grove(digging: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let grove = &digging.grove;
    if grove.trees == 0 {
        return Ok(());
    }
    let kinds: Vec<String> = grove
        .kinds
        .iter()
        .map(|kind| {
            let variety = kind.variety.as_ref().map_or_else(String::new, |variety| format!(" \"{variety}\""));
            format!("{} {}{variety}", kind.count, kind.species)
        })
        .collect();
    paragraph(out, "", &format!("For the grove: {}.", kinds.join(", ")))?;
    amounts(
        &[
            ("trees", grove.trees.to_string(), ""),
            ("more in reserve", range(grove.spare_trees, 0), ""),
            ("stakes, set first", grove.stakes.to_string(), ""),
            ("nurse plants", range(grove.nurse_plants, 0), ""),
            ("mulch, about 10 cm, bark bare", range(grove.mulch_m3, 1), "m³"),
            ("water at planting", range(grove.planting_water_l, 0), "L"),
            ("planting, all told", range(grove.planting_person_days, 1), "person-days"),
            ("holes alone", ends(grove.holes_per_person_day), "a person-day"),
            ("bare seedlings in a slit", ends(grove.bare_seedlings_per_person_day), "a person-day"),
        ],
        out,
    )?;
    paragraph(
        out,
        "",
        "Before you buy a nurse plant, look at your country's list of invasive plants: many that feed the soil also run wild.",
    )?;
    writeln!(out)
}

/// A range without a likely value of its own.
fn ends(estimate: Estimate) -> String {
    format!("{} to {}", fixed(estimate.low(), 0), fixed(estimate.high(), 0))
}

fn print_costs(costs: &Costs, out: &mut dyn Write) -> io::Result<()> {
    let mut things: Vec<String> = costs.things.iter().map(|cost| cost.thing.to_owned()).collect();
    let mut amounts: Vec<String> = costs.things.iter().map(|cost| range(cost.cost, 0)).collect();
    things.push("all of these".to_owned());
    amounts.push(range(costs.total_cost, 0));
    paragraph(out, "", &format!("Costs, {}, by the prices of the plan:", costs.currency))?;
    table(
        out,
        vec![Column::words("what", things.into_iter()), Column::numbers("cost", amounts.into_iter())],
    )?;
    if !costs.without_price.is_empty() {
        paragraph(
            out,
            "",
            &format!("Without a price, and not in the sum: {}.", costs.without_price.join(", ")),
        )?;
    }
    writeln!(out)
}

/// Names of the months, short.
const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

fn month(number: u32) -> &'static str {
    MONTHS[number as usize - 1]
}

fn print_year(year: &calendar::Answer, out: &mut dyn Write) -> io::Result<()> {
    let season = match year.rain_season {
        calendar::RainSeason::Winter => "rain in winter, a dry summer",
        calendar::RainSeason::Summer => "rain in the warm months",
        calendar::RainSeason::AllYear => "rain in every month",
    };
    let doubt = if year.guessed_by_latitude {
        " That is guessed from the latitude alone: shift it to your own months of rain."
    } else {
        ""
    };
    paragraph(out, "", &format!("A year of work, with {season}.{doubt}"))?;
    let months = |work: &calendar::Work| match (work.from_month, work.to_month) {
        (1, 12) => "all year".to_owned(),
        (from, to) if from == to => month(from).to_owned(),
        (from, to) => format!("{} to {}", month(from), month(to)),
    };
    table(
        out,
        vec![
            Column::words("when", year.work.iter().map(months)),
            Column::words("what", year.work.iter().map(|work| work.task.words().to_owned())),
        ],
    )?;
    for work in &year.work {
        paragraph(
            out,
            "  ",
            &format!("{}: {} ({}).", capitalised(work.task.words()), work.note, work.source),
        )?;
    }
    writeln!(out)
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn print_sources(out: &mut dyn Write) -> io::Result<()> {
    paragraph(out, "", "Where the figures come from:")?;
    for sourced in SOURCES {
        paragraph(out, "  ", &format!("{}: {}.", sourced.figure, sourced.source))?;
    }
    paragraph(
        out,
        "",
        "Amounts are of the plan, not a promise. Have buried services located before any digging; local codes and \
         licensed practice come first.",
    )
}
