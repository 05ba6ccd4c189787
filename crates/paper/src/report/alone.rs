//! The chapters of the report, by name.

use crate::words::report as said;

/// A chapter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chapter {
    /// The job in words, and what must stop it.
    Job,
    /// The plan.
    Plan,
    /// The water budget.
    Water,
    /// The peg sheets.
    Pegs,
    /// The sections along and across each line.
    Sections,
    /// The sill cards with their landings.
    Sills,
    /// The rain test and what fails first.
    Rain,
    /// The trees and their stakes.
    Trees,
    /// Digging days and shopping list.
    Digging,
    /// The year of work.
    Year,
    /// The sheet to fill in after a rain.
    AfterRain,
    /// The findings with their sources, and the cautions.
    Findings,
    /// What was assumed, with its ranges.
    Assumptions,
    /// The page for those next door; by itself, not bound.
    Neighbour,
}

impl Chapter {
    /// All of them, in the order of the report.
    pub const ALL: [Chapter; 14] = [
        Chapter::Job,
        Chapter::Plan,
        Chapter::Water,
        Chapter::Pegs,
        Chapter::Sections,
        Chapter::Sills,
        Chapter::Rain,
        Chapter::Trees,
        Chapter::Digging,
        Chapter::Year,
        Chapter::AfterRain,
        Chapter::Findings,
        Chapter::Assumptions,
        Chapter::Neighbour,
    ];

    /// Its short name, as it is asked for and as its file is called.
    pub const fn key(self) -> &'static str {
        match self {
            Chapter::Job => "job",
            Chapter::Plan => "plan",
            Chapter::Water => "water",
            Chapter::Pegs => "pegs",
            Chapter::Sections => "sections",
            Chapter::Sills => "sills",
            Chapter::Rain => "rain",
            Chapter::Trees => "trees",
            Chapter::AfterRain => "after-rain",
            Chapter::Neighbour => "neighbour",
            Chapter::Digging => "digging",
            Chapter::Year => "year",
            Chapter::Findings => "findings",
            Chapter::Assumptions => "assumptions",
        }
    }

    /// Its title.
    pub const fn title(self) -> &'static str {
        match self {
            Chapter::Job => said::JOB,
            Chapter::Plan => crate::words::PLAN_TITLE,
            Chapter::Water => said::WATER,
            Chapter::Pegs => crate::words::PEG_SHEET_TITLE,
            Chapter::Sections => said::SECTIONS,
            Chapter::Sills => said::SILLS,
            Chapter::Rain => said::RAIN,
            Chapter::Trees => said::TREES,
            Chapter::AfterRain => said::AFTER_RAIN,
            Chapter::Neighbour => said::NEIGHBOUR,
            Chapter::Digging => said::DIGGING,
            Chapter::Year => said::YEAR,
            Chapter::Findings => said::FINDINGS,
            Chapter::Assumptions => said::ASSUMPTIONS,
        }
    }
}
