//! The design storm: the plan in the rain, over the sills, and what fails first.

use super::{Bundle, Chapter, flowing};
use crate::page::Page;
use crate::words::{self, rain as rain_said, report as said};

pub(super) fn pages(bundle: &Bundle) -> Vec<Page> {
    let subject = &bundle.subject;
    let (rain, steps) = match bundle.rain {
        Ok(rain) => rain,
        Err(because) => {
            return flowing(bundle, Chapter::Rain, |flow| {
                flow.title(said::RAIN);
                flow.say(&said::no_storm(because));
            });
        }
    };
    let mut pages = flowing(bundle, Chapter::Rain, |flow| {
        flow.title(said::RAIN);
        flow.say(&format!("{}.", rain_said::storm(&rain.storm)));
        flow.heading(words::steps::STEPS_TITLE);
        flow.say(&words::steps::fails_first(steps.fails_first.as_deref(), steps));
        flow.say(&words::steps::chain_reaction(&steps.chain_reaction));
        flow.heading(rain_said::BREAKOUTS_TITLE);
        let breakouts: Vec<String> = rain
            .lines
            .iter()
            .flat_map(|line| line.breakouts.iter().map(|b| rain_said::breakout_row(&line.line, b)))
            .collect();
        if breakouts.is_empty() {
            flow.say(said::NO_BREAKOUTS);
        }
        flow.list(&breakouts);
    });
    pages.extend(crate::rain::steps(subject, steps, &rain.storm));
    pages.extend(crate::plan::plan_in_the_rain(subject, rain));
    pages.extend(crate::rain::flows(subject, rain));
    pages
}
