//! `hillsip planting`: where each tree stands, and whether that suits it.

use std::io::{self, Write};

use design::planting::{Answer, PlacedTree, Proposal, Suits, TooNear, Wanted, nearest_species, propose};
use folder::PLAN;
use folder::edit::{self, Edit};
use quantity::figures::{fixed, range};

use site::Site;

use super::{Document, Ended, Refused, print_json, tell_stops};
use crate::args;
use crate::print::{Column, paragraph, table};

/// Prints the stake list and what is wrong with a tree's place.
pub fn run(args: &args::Planting, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    if args.propose {
        proposed(args, site, &answers, out)?;
        return Ok(tell_stops(&answers.findings, &args.dir));
    }
    let planting = design::planting::planting(site, &answers.layout, &answers.sizes);
    if args.json {
        print_json(out, &Document::new(site, &planting))?;
    } else {
        print(&planting, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

/// Proposes places, and writes them into the plan if so asked.
fn proposed(
    args: &args::Planting,
    site: &Site,
    answers: &design::Answers,
    out: &mut dyn Write,
) -> Result<(), Refused> {
    let wanted: Vec<Wanted> = args
        .trees
        .iter()
        .cloned()
        .map(|args::TreesWanted { species, variety, count }| Wanted { species, variety, count })
        .collect();
    let proposal = propose(site, &answers.layout, &answers.sizes, &wanted)
        .map_err(|error| Refused::Asked(error.to_string()))?;
    let written = args.write && !proposal.planned.is_empty();
    if written {
        write_down(args, &proposal)?;
    }
    if args.json {
        print_json(out, &Document::new(site, &proposal))?;
        return Ok(());
    }
    print_proposal(&proposal, out)?;
    let words = match (written, proposal.planned.is_empty()) {
        (true, _) => "Written into site.toml; the plan as it was is kept in .hillsip/history.",
        (false, false) => "Nothing is written: --write puts these trees into site.toml.",
        (false, true) => "Nothing to write.",
    };
    paragraph(out, "", words)?;
    Ok(())
}

/// Puts the proposed trees into the plan; every other byte stays.
fn write_down(args: &args::Planting, proposal: &Proposal) -> Result<(), Refused> {
    let was = folder::plan_bytes(&args.dir)?;
    let text = std::str::from_utf8(&was).map_err(|error| Refused::Asked(error.to_string()))?;
    let edit = Edit::AddTrees { trees: proposal.planned.clone() };
    let (now, _) = edit::apply(text, &edit).map_err(|error| Refused::Asked(error.to_string()))?;
    Ok(folder::save(&args.dir, PLAN, &was, now.as_bytes())?)
}

fn print_proposal(proposal: &Proposal, out: &mut dyn Write) -> io::Result<()> {
    if !proposal.trees.is_empty() {
        stake_list(&proposal.trees, out)?;
    }
    for none in &proposal.no_room {
        let words = format!(
            "No room along the swales for {} more of {}: another line, or narrower trees.",
            none.count, none.species
        );
        paragraph(out, "", &words)?;
    }
    let takes = &proposal.takes;
    if takes.trees > 0 {
        let words = format!(
            "For each tree a stake ({} in all), set before anything is dug; a ring of mulch that leaves the bark bare, \
             {} m³ for all; {} nurse plants for all, 1 to 2 m from the trunks, thinned as crowns meet; and a sown ground \
             cover between them, kept short under the crown.",
            takes.stakes,
            range(takes.mulch_m3, 1),
            range(takes.nurse_plants, 0)
        );
        paragraph(out, "", &words)?;
    }
    for plant in &proposal.plant_in {
        let months: Vec<&str> = (0..12).filter(|i| plant.months_suit[*i]).map(|i| MONTHS[i]).collect();
        let when = if months.len() == 12 {
            "any month will do".to_owned()
        } else {
            format!("{} will do", months.join(", "))
        };
        let best = MONTHS[usize::from(plant.best_month) - 1];
        paragraph(
            out,
            "  ",
            &format!("Plant {} best in {best}, before the wettest time; {when}.", plant.species),
        )?;
    }
    if proposal.plant_in.is_empty() && takes.trees > 0 {
        paragraph(out, "  ", "When to plant is not told: the plan has no [climate].")?;
    }
    if takes.trees > 0 {
        print_nurses(proposal, out)?;
        paragraph(out, "", CLOSING)?;
    }
    Ok(())
}

/// Names of the months, short.
const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

fn print_nurses(proposal: &Proposal, out: &mut dyn Write) -> io::Result<()> {
    let names: Vec<String> =
        proposal.nurses.iter().map(|nurse| format!("{} ({})", nurse.nurse_plant, nurse.botanical)).collect();
    let words = format!(
        "Nurse plants that may live here, in no order of worth: {}. Check your national list of invasive plants before you \
         plant any of them.",
        names.join(", ")
    );
    paragraph(out, "", &words)?;
    for nurse in &proposal.nurses {
        // The first caution is that of every nurse plant, and was just said.
        for caution in nurse.cautions.iter().skip(1) {
            paragraph(out, "  ", &format!("Caution, {}: {caution}.", nurse.nurse_plant))?;
        }
    }
    Ok(())
}

/// What stands under every stake list.
const CLOSING: &str = "Stakes first: set each, walk the lines after a rain, and plant only where the ground was as wet as \
    meant. Widths and tolerances go by species; rootstock and growers nearby know better. Local rules on trees near \
    boundaries and wires come first.";

fn print(planting: &Answer, out: &mut dyn Write) -> io::Result<()> {
    let trees = &planting.trees;
    if trees.is_empty() {
        return paragraph(
            out,
            "",
            "The plan has no trees yet: add them as [[tree]], each with its line and at_m.",
        );
    }
    stake_list(trees, out)?;
    for tree in trees {
        for words in faults(tree) {
            paragraph(out, "  ", &words)?;
        }
    }
    paragraph(
        out,
        "",
        "Below a bank a minus before \"above full water\" is no flood: so far does the ground lie under the water that the \
         bank holds back.",
    )?;
    paragraph(out, "", CLOSING)
}

fn stake_list(trees: &[PlacedTree], out: &mut dyn Write) -> io::Result<()> {
    let numbers = |heading: &'static str, decimals: usize, value: &dyn Fn(&PlacedTree) -> Option<f64>| {
        let cell = |tree| value(tree).map_or_else(String::new, |value| fixed(value, decimals));
        Column::numbers(heading, trees.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    let words = |heading: &'static str, value: &dyn Fn(&PlacedTree) -> String| {
        Column::words(heading, trees.iter().map(value).collect::<Vec<_>>().into_iter())
    };
    table(
        out,
        vec![
            Column::numbers("stake", trees.iter().map(|tree| tree.stake.to_string())),
            words("tree", &|tree| tree.tree.clone()),
            words("species", &|tree| tree.species.clone()),
            words("line", &|tree| tree.line.clone().unwrap_or_default()),
            numbers("along\nm", 1, &|tree| tree.chainage_m),
            numbers("downhill\nm", 1, &|tree| tree.downhill_m),
            words("spot", &|tree| tree.spot.map_or_else(String::new, |spot| spot.words().to_owned())),
            numbers("above full\nwater\nm", 2, &|tree| tree.above_full_water_m),
            Column::numbers(
                "grows\nwide\nm",
                trees.iter().map(|tree| tree.width_m.map_or_else(String::new, |width| range(width, 1))),
            ),
            words("suits", &|tree| tree.verdict.map_or("", |verdict| suits_word(verdict.suits)).to_owned()),
        ],
    )
}

const fn suits_word(suits: Suits) -> &'static str {
    match suits {
        Suits::Yes => "yes",
        Suits::Doubtful => "doubtful",
        Suits::No => "no",
    }
}

fn faults(tree: &PlacedTree) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(verdict) = tree.verdict.filter(|verdict| verdict.suits != Suits::Yes) {
        words.push(format!("\"{}\": {}.", tree.tree, verdict.because));
    }
    if tree.verdict.is_none() && tree.spot.is_some() {
        words.push(format!(
            "\"{}\": no list holds {}, so its width (4 m is taken) and whether its roots bear the place are not known.{}",
            tree.tree,
            tree.species,
            nearest_species(tree.species.split(" \"").next().unwrap_or_default()).map_or_else(String::new, |name| format!(" Did you mean \"{name}\"?"))
        ));
    }
    words.extend(tree.too_near.iter().map(|near| near_words(&tree.tree, near)));
    words
}

fn near_words(tree: &str, near: &TooNear) -> String {
    let thing = format!("{} \"{}\"", near.kind, near.thing);
    match (near.distance_m == 0.0, near.kind) {
        (true, "tree") => format!("\"{tree}\" and {thing} stand in one place: move one of them."),
        (true, _) => format!("\"{tree}\" stands in the {thing}: move it out."),
        (false, _) => format!(
            "\"{tree}\" stands {} m from {thing}: grown, it wants {} m.",
            fixed(near.distance_m, 1),
            fixed(near.asked_m, 1)
        ),
    }
}
