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
    /// Digging days and shopping list.
    Digging,
    /// The year of work.
    Year,
    /// The findings with their sources, and the cautions.
    Findings,
    /// What was assumed, with its ranges.
    Assumptions,
}

impl Chapter {
    /// All of them, in the order of the report.
    pub const ALL: [Chapter; 11] = [
        Chapter::Job,
        Chapter::Plan,
        Chapter::Water,
        Chapter::Pegs,
        Chapter::Sections,
        Chapter::Sills,
        Chapter::Rain,
        Chapter::Digging,
        Chapter::Year,
        Chapter::Findings,
        Chapter::Assumptions,
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
            Chapter::Digging => said::DIGGING,
            Chapter::Year => said::YEAR,
            Chapter::Findings => said::FINDINGS,
            Chapter::Assumptions => said::ASSUMPTIONS,
        }
    }
}
