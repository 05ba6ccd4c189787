//! Words of the digging days and the shopping list.

use design::digging::{Answer, Rock};
use quantity::convert::m_to_cm;
use quantity::figures::{fixed, range};

/// Heading.
pub const ORDER: &str = "Which line first";
/// Column.
pub const TURN: &str = "turn";
/// Column.
pub const KIND: &str = "kind";
/// Column.
pub const CUT_M3: &str = "dig, m³";
/// Column.
pub const TRIAL_M3: &str = "trial, m³";
/// Why this order.
pub fn order_words(digging: &Answer) -> &'static str {
    match (digging.order.is_empty(), digging.days_are_few) {
        (true, false) => "Nothing is left to dig.",
        (true, true) => "The days are too few to dig any line whole.",
        (false, true) => {
            "The days are too few for all: first comes what holds most for its trees for a day's digging, and what it would \
             otherwise pour on unsafely."
        }
        (false, false) => {
            "From the top of the slope down; a line that would pour on ground that does not stand it comes after the line that \
             is to take its water."
        }
    }
}
/// What is dug already.
pub fn already_dug(lines: &[&str]) -> String {
    format!("Dug already: {}.", lines.join(", "))
}
/// What waits.
pub fn later(lines: &[String]) -> String {
    format!("Left for later, because only whole lines are begun: {}.", lines.join(", "))
}
/// What a line does until those below it are dug.
pub fn meanwhile(line: &str, spills_over: &[String], pours_on: &[String]) -> Vec<String> {
    let mut told = Vec::new();
    if !spills_over.is_empty() {
        told.push(format!(
            "Until {} is dug, {line} spills over bare hill there: its landing stands the design rain, but look after each rain \
             where the water goes on.",
            spills_over.join(", ")
        ));
    }
    if !pours_on.is_empty() {
        told.push(format!(
            "Keep {line} from spilling until {} is dug: what it pours does not land safely.",
            pours_on.join(", ")
        ));
    }
    told
}

/// Heading.
pub const DAYS: &str = "Day by day";
/// Column.
pub const DAY: &str = "day";
/// Column.
pub const STAGE: &str = "what";
/// Column.
pub const BY_EVENING: &str = "by the evening";
/// A box to tick.
pub const TICK: &str = "□";
/// Stage.
pub const TRIAL: &str = "trial trenches";
/// Stage.
pub const SECTION: &str = "sections, banks, sills";
/// How far a line is.
pub fn done(line: &str, done_frac: f64) -> String {
    if done_frac >= 1.0 {
        format!("{line} (done)")
    } else {
        format!("{line} ({} % done)", fixed(100.0 * done_frac, 0))
    }
}
/// The pace.
pub fn days_words(digging: &Answer) -> String {
    let people =
        if digging.people == 1 { "1 person".to_owned() } else { format!("{} people", digging.people) };
    format!(
        "{people}: {} days of digging, {} person-days. Half the first day goes into pegging. First a trench a spade deep along \
         each swale and drain; then wait for a rain, see where it stands level and where it runs, move the pegs, and only then \
         dig the sections. A drain's trial stays blocked until its receiver is dug.",
        range(digging.needed_days, 0),
        range(digging.person_days, 1)
    )
}

/// Heading.
pub const BRING: &str = "What to bring";
/// The tools.
pub fn tools(tools: &str) -> String {
    format!("Tools: {tools}.")
}
/// Column.
pub const GOT: &str = "got";
/// Row.
pub const PEGS: &str = "pegs";
/// Row.
pub const SEED: &str = "seed, sown the day a bank is shaped";
/// Row.
pub const STRAW: &str = "straw over it";
/// Row.
pub const ROCK: &str = "rock, as laid";
/// Row.
pub const BARROWS: &str = "barrow trips for soil and rock";
/// Row.
pub const RESERVE: &str = "more trees in reserve";
/// Row.
pub const STAKES: &str = "stakes, set first";
/// Row.
pub const NURSE: &str = "nurse plants (look at your country's list of invasive plants)";
/// Row.
pub const MULCH: &str = "mulch, about 10 cm, bark bare";
/// Row.
pub const PLANTING_WATER: &str = "water at planting";
/// With its unit.
pub fn kg(figure: &str) -> String {
    format!("{figure} kg")
}
/// With its unit.
pub fn litres(figure: &str) -> String {
    format!("{figure} L")
}
/// By volume and weight.
pub fn rock(m3: &str, kg: &str) -> String {
    format!("{m3} m³, {kg} kg")
}
/// A species and its variety.
pub fn tree_kind(species: &str, variety: Option<&str>) -> String {
    match variety {
        Some(variety) => format!("{species} \"{variety}\""),
        None => species.to_owned(),
    }
}
/// Rock, place by place.
pub fn rock_at(rock: &Rock, at_m: Option<f64>) -> String {
    let place = match at_m {
        Some(at_m) => format!("below the sill at {} m", fixed(at_m, 1)),
        None => "along the bed".to_owned(),
    };
    format!(
        "Rock on {} {place}: {} mm in the middle size, {} cm thick, {} m², {} m³.",
        rock.line,
        fixed(rock.d50_mm, 0),
        fixed(m_to_cm(rock.layer_m), 0),
        fixed(rock.area_m2, 1),
        fixed(rock.rock_m3, 1)
    )
}
/// Heading.
pub fn costs(currency: &str) -> String {
    format!("What it costs, {currency}, by the prices of the plan")
}
/// Column.
pub const COST: &str = "cost";
/// Row.
pub const TOTAL: &str = "all of these";
/// What has no price.
pub fn without_price(things: &str) -> String {
    format!("Without a price, and not in the sum: {things}.")
}
/// Heading.
pub const SOURCES: &str = "Where the figures come from";
