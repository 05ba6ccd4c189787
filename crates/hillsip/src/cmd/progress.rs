//! How far a long command has come.

use std::io::{self, IsTerminal};
use std::sync::atomic::{AtomicU32, Ordering};

/// How many members are done, on standard error, for people who watch.
pub struct Progress {
    members: u32,
    /// What the members are, in words.
    what: &'static str,
    done: AtomicU32,
    watched: bool,
}

impl Progress {
    /// Of so many members.
    pub fn of(members: u32, what: &'static str) -> Progress {
        Progress {
            members,
            what,
            done: AtomicU32::new(0),
            watched: members > 1 && io::stderr().is_terminal(),
        }
    }

    /// One more is done.
    pub fn step(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        if self.watched {
            eprint!("\r{done} of {} {} worked through", self.members, self.what);
        }
    }

    /// All are done.
    pub fn end(&self) {
        if self.watched {
            eprintln!();
        }
    }
}
