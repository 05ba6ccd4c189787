//! The facts as a page that a grower reads, every figure with the letter of its source.

use super::{Fact, Source, Species, Use, WetFeet, all};
use quantity::figures::fixed;

const TOP: &str = "\
# Trees and nurse plants

What the program knows of each plant, and where it knows it from.
The letter after a figure names its source, at the foot of the page.
A figure marked *m* is from memory and nobody has checked it: it is a place to start asking, no more.
Growers nearby and the seller of the rootstock know better; `site.toml` takes your own figures.

This page is made from the program's own table: `cargo run -p xtask -- trees-page`.
";

const HOW: &str = "\
The row of coefficients is that of FAO-56 where it names the tree; *lent* means that it stands in none of its tables and goes by another's.
Killing cold is given at rest and in early growth.
Wet feet: *not tolerant* dies or suffers after one to a few days of wet soil, *moderate* stands several days, *tolerant* several days to a few weeks.
";

/// The page, as Markdown.
pub fn page() -> String {
    let mut page = String::from(TOP);
    for (heading, nurses) in [("Fruit and nut trees", false), ("Nurse plants", true)] {
        page += &format!("\n## {heading}\n\n");
        page += if nurses { NURSES } else { HOW };
        page += "\n| plant | coefficients | roots m | width m | wet feet | least rain mm a year | killing cold °C | ";
        page += "blossom °C |\n|---|---|---|---|---|---|---|---|\n";
        for species in all().filter(|species| (species.used_for == Use::Nurse) == nurses) {
            page += &row(species);
        }
    }
    page += "\n## Cautions\n\n";
    for species in all() {
        for words in [species.caution, species.cold.doubt].into_iter().flatten() {
            page += &format!("- **{}**: {words}.\n", species.name);
        }
    }
    page += "\n## Sources\n\n";
    for source in Source::ALL {
        page += &format!("- *{}*: {}.\n", letter(source), source.citation());
    }
    page
}

const NURSES: &str = "\
They are in no order of worth.
Check your national list of invasive plants before you plant any of them: a plant that is on no list of the worst may still be a pest where you are.
A live nurse plant drinks from the same ground as the tree until it is lopped.
";

fn row(species: &Species) -> String {
    let body = &species.coefficients.row().body;
    let [low_m, high_m] = body.root_depth_m;
    let lent = if species.coefficients.own { "" } else { " (lent)" };
    let wet = match species.wet_feet.0 {
        WetFeet::NotTolerant => "not tolerant",
        WetFeet::Moderate => "moderate",
        WetFeet::Tolerant => "tolerant",
    };
    format!(
        "| {} (*{}*) | {}{lent} | {}–{} | {} | {wet} *{}* | {} | {} | {} |\n",
        species.name,
        species.botanical,
        species.coefficients.row().name,
        fixed(low_m, 1),
        fixed(high_m, 1),
        figure(species.width_m, 1),
        letter(species.wet_feet.1),
        figure(species.least_rain_mm, 0),
        cold(species),
        figure(species.cold.bloom_c, 1),
    )
}

fn cold(species: &Species) -> String {
    match (species.cold.rest_c, species.cold.early_c) {
        (None, None) => "–".to_owned(),
        (rest, early) => format!("{} / {}", figure(rest, 0), figure(early, 0)),
    }
}

fn figure(fact: Option<Fact>, decimals: usize) -> String {
    let Some(Fact { low, high, source }) = fact else {
        return "–".to_owned();
    };
    let letter = letter(source);
    if low == high {
        return format!("{} *{letter}*", fixed(low, decimals));
    }
    format!("{} to {} *{letter}*", fixed(low, decimals), fixed(high, decimals))
}

fn letter(source: Source) -> &'static str {
    match source {
        Source::Fao56 => "a",
        Source::Ecocrop => "e",
        Source::Florida => "f",
        Source::Hortscience => "h",
        Source::Ranney => "r",
        Source::Peach => "p",
        Source::Frost => "b",
        Source::Maine => "s",
        Source::NutChart => "n",
        Source::Grower => "w",
        Source::OliveGuide => "o",
        Source::GardenPage => "g",
        Source::Invaders => "i",
        Source::CommonPractice => "c",
        Source::Memory => "m",
    }
}
