//! Why an edit is refused.

use site::nearest;

use super::Thing;
use crate::Fault;

/// Why an edit was not made. The text is as it was.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The plan has faults before the edit.
    #[error("the plan has faults, and is edited once they are mended: {}", first(.0))]
    FaultsBefore(Vec<Fault>),
    /// The plan would have faults after the edit.
    #[error("{}", first(.0))]
    Faults(Vec<Fault>),
    /// Nothing of this name.
    #[error("the plan has no {what} \"{name}\"{}", meant(.near))]
    NoSuch {
        /// Which kind of thing.
        what: &'static str,
        /// As asked.
        name: String,
        /// What may have been meant.
        near: Option<String>,
    },
    /// The name is taken.
    #[error("there is a {what} \"{name}\" already: give another name")]
    NameTaken {
        /// Which kind of thing.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// No member of this number.
    #[error("line \"{line}\" has {has} {what}s, and {what} {number} was asked for")]
    NoMember {
        /// The line.
        line: String,
        /// peg or sill.
        what: &'static str,
        /// As asked, from 1.
        number: usize,
        /// How many there are.
        has: usize,
    },
    /// A peg that the walk places.
    #[error(
        "peg {peg} of \"{line}\" stands where the walk from peg 1 puts it: move peg 1, change the length, or fix the \
         pegs first"
    )]
    WalkedPeg {
        /// The line.
        line: String,
        /// As asked.
        peg: usize,
    },
    /// A line by tape has no places.
    #[error("line \"{line}\" is given by tape and has no places: change its distances and heights")]
    NoPlaces {
        /// The line.
        line: String,
    },
    /// A line that is not walked has its pegs already.
    #[error("line \"{line}\" is not walked: its pegs are given already")]
    NotWalked {
        /// The line.
        line: String,
    },
    /// A cut beyond an end.
    #[error("\"{line}\" is {length_m} m long and cannot be cut at {at_m} m: cut between its ends")]
    CutBeyond {
        /// The line.
        line: String,
        /// As asked.
        at_m: f64,
        /// Its length.
        length_m: f64,
    },
    /// A walked line is cut at a place that only the walk tells.
    #[error("to cut the walked line \"{line}\", say where the part beyond starts and towards what it goes")]
    CutNeedsOnward {
        /// The line.
        line: String,
    },
    /// A walked line whose length is not in the plan.
    #[error("\"{line}\" is walked as far as the ground goes: write its length_m first")]
    NoLength {
        /// The line.
        line: String,
    },
    /// Lines that are not given in the same way.
    #[error(
        "\"{line}\" and \"{with}\" are not given in the same way (pegs, walk or tape): fix the pegs of both first"
    )]
    JoinUnlike {
        /// The line that stays.
        line: String,
        /// The line that would go.
        with: String,
    },
    /// A line joined with itself.
    #[error("\"{line}\" cannot be joined with itself: name the line that continues it")]
    JoinItself {
        /// The line.
        line: String,
    },
    /// A path that leads nowhere.
    #[error("there is no place for a value at {}", .path.join(" › "))]
    NoPath {
        /// As asked.
        path: Vec<String>,
    },
    /// A whole table where a value was meant.
    #[error("{} is a table of its own: set one of its keys", .path.join(" › "))]
    NotAValue {
        /// As asked.
        path: Vec<String>,
    },
    /// Keys written with dots.
    #[error("the table at {} is written in a form that is not edited from here: change it in the file", .path.join(" › "))]
    OddForm {
        /// Where.
        path: Vec<String>,
    },
}

impl EditError {
    pub(super) fn no_such<'a>(
        what: Thing,
        name: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) -> EditError {
        EditError::NoSuch {
            what: what.words(),
            name: name.to_owned(),
            near: nearest(name, known).map(str::to_owned),
        }
    }

    /// The faults of the plan, where those are the reason.
    pub fn faults(&self) -> &[Fault] {
        match self {
            EditError::FaultsBefore(faults) | EditError::Faults(faults) => faults,
            _ => &[],
        }
    }
}

fn first(faults: &[Fault]) -> String {
    faults
        .first()
        .map_or_else(|| "a fault that is not told".to_owned(), |f| format!("{}; {}", f.found, f.advice))
}

fn meant(near: &Option<String>) -> String {
    near.as_ref().map_or_else(String::new, |near| format!("; did you mean \"{near}\"?"))
}
