//! The trees: stakes in walking order, whether each place suits, what the design storm brings, and boxes for what became
//! of it.

use quantity::figures::{fixed, range};

use super::{Bundle, Chapter, flowing};
use crate::flow::Table;
use crate::page::{Align, Page};
use crate::words::peg_sheet;
use crate::words::report::{self as said, trees as grove};

pub(super) fn pages(bundle: &Bundle) -> Vec<Page> {
    let trees = &bundle.planting.trees;
    if trees.is_empty() {
        return Vec::new();
    }
    flowing(bundle, Chapter::Trees, |flow| {
        flow.title(said::TREES);
        flow.say(grove::WORDS);
        let mut table = Table::of(&[
            (grove::STAKE, 0.07, Align::End),
            (grove::TREE, 0.20, Align::Start),
            (said::LINE, 0.15, Align::Start),
            (grove::ALONG_M, 0.09, Align::End),
            (grove::DOWNHILL_M, 0.11, Align::End),
            (grove::SPOT, 0.09, Align::Start),
            (grove::ABOVE_M, 0.11, Align::End),
            (grove::WIDE_M, 0.18, Align::End),
        ]);
        let metres =
            |m: Option<f64>, decimals| m.map_or(peg_sheet::NOT_KNOWN.to_owned(), |m| fixed(m, decimals));
        for tree in trees {
            table.rows.push(vec![
                tree.stake.to_string(),
                format!("{}, {}", tree.tree, tree.species),
                tree.line.clone().unwrap_or(peg_sheet::NONE.to_owned()),
                metres(tree.chainage_m, 1),
                metres(tree.downhill_m, 1),
                tree.spot.map_or(peg_sheet::NOT_KNOWN, |spot| spot.words()).to_owned(),
                metres(tree.above_full_water_m, 2),
                tree.width_m.map_or(peg_sheet::NOT_KNOWN.to_owned(), |width_m| range(width_m, 1)),
            ]);
        }
        flow.table(&table);
        flow.heading(grove::CARDS);
        let mut cards = Table::of(&[
            (grove::TREE, 0.16, Align::Start),
            (grove::SUITS, 0.30, Align::Start),
            (grove::STORM_L, 0.18, Align::End),
            (grove::PLANTED, 0.12, Align::Middle),
            (grove::FIRST_SUMMER, 0.12, Align::Middle),
            (grove::SECOND_SUMMER, 0.12, Align::Middle),
        ])
        .with_blanks_from(3);
        for tree in trees {
            let litres =
                bundle.rain.ok().and_then(|(rain, _)| rain.trees.iter().find(|of| of.tree == tree.tree));
            cards.rows.push(vec![
                format!("{} {}", tree.stake, tree.tree),
                grove::verdict(tree),
                litres.map_or(peg_sheet::NOT_KNOWN.to_owned(), |of| range(of.soaked_l_per_m, 0)),
                String::new(),
                String::new(),
                String::new(),
            ]);
        }
        flow.table(&cards);
        flow.say(grove::CAUTION);
    })
}
