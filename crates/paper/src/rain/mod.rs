//! A storm on paper: along each line, over its sills, on the plan.
//!
//! Everything drawn is read from a `design::rain_test::Answer`; nothing is computed here. Levels and flows in time are
//! those of the plan as drawn, ranges those of the ensemble.

mod along;
mod film;
mod flow;
mod steps;

use design::rain_test::{Answer, LineRain};

use crate::plan::plan_in_the_rain;
use crate::set::{Names, Paper};
use crate::subject::Subject;

pub use along::along;
pub use film::{Film, film, films, moments_h};
pub use flow::flows;
pub use steps::steps;

/// Every paper that can be drawn of a storm.
pub fn papers(subject: &Subject, rain: &Answer) -> Vec<Paper> {
    let mut names = Names::default();
    let mut papers = Vec::new();
    if let Some(page) = plan_in_the_rain(subject, rain) {
        papers.push(names.paper("rain-plan", page));
    }
    for line in &rain.lines {
        if let Some(page) = along(subject, rain, &line.line) {
            papers.push(names.paper(&format!("rain-along-{}", crate::set::file_name(&line.line)), page));
        }
    }
    for (i, page) in flows(subject, rain).into_iter().enumerate() {
        papers.push(names.paper(&format!("rain-flow-{}", i + 1), page));
    }
    papers
}

/// A line's share of the answer.
fn line_rain<'a>(rain: &'a Answer, line: &str) -> Option<&'a LineRain> {
    rain.lines.iter().find(|entry| entry.line == line)
}
