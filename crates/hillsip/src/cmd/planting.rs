//! `hillsip planting`: where each tree stands, and whether that suits it.

use std::io::{self, Write};

use design::planting::{Answer, PlacedTree, Suits, TooNear};
use quantity::figures::{fixed, range};

use super::{Document, Ended, Refused, print_json, tell_stops};
use crate::args;
use crate::print::{Column, paragraph, table};

/// Prints the stake list and what is wrong with a tree's place.
pub fn run(args: &args::Planting, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    let planting = design::planting::planting(site, &answers.layout, &answers.sizes);
    if args.json {
        print_json(out, &Document::new(site, &planting))?;
    } else {
        print(&planting, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

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
        "Stakes first: set each, walk the lines after a rain, and plant only where the ground was as wet as meant. \
         Widths and tolerances go by species; rootstock and growers nearby know better. Local rules on trees near \
         boundaries and wires come first.",
    )
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
            "\"{}\": no list holds {}, so its width (4 m is taken) and whether its roots bear the place are not known.",
            tree.tree, tree.species
        ));
    }
    words.extend(tree.too_near.iter().map(|near| near_words(&tree.tree, near)));
    words
}

fn near_words(tree: &str, near: &TooNear) -> String {
    if near.distance_m == 0.0 {
        return format!("\"{tree}\" stands in {} \"{}\".", near.kind, near.thing);
    }
    format!(
        "\"{tree}\" stands {} m from {} \"{}\": grown, it wants {} m.",
        fixed(near.distance_m, 1),
        near.kind,
        near.thing,
        fixed(near.asked_m, 1)
    )
}
