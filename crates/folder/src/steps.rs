//! The steps by which a plan came to be what it is: each can be taken back and made again, also after the program was
//! ended, or killed.
//!
//! They stand in `.hillsip/steps.jsonl`, a line a step, the newest last: the few bytes that changed, as they were and as
//! they are. The plan itself is the truth. It is saved first and its step written down after, so that a program killed in
//! between leaves a plan that no step leads to; that difference then becomes a step of its own, as does whatever a text
//! editor changed meanwhile. A last line that was cut off is dropped, and a line that does not fit (two programs on one
//! folder) is passed over.

use std::fs::File;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::save::lock;

/// Where they stand, in a site folder.
const STEPS: &str = ".hillsip/steps.jsonl";

/// A line of the file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(tag = "step", rename_all = "snake_case")]
enum Record {
    /// The plan as it was before the first step.
    Begun { text: String },
    /// A step.
    Made(Made),
    /// The last step was taken back.
    Back { from_bytes: usize },
    /// The step taken back last was made again.
    Again { from_bytes: usize },
}

/// A step, and what it is in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Made {
    says: String,
    /// Bytes of the whole text before it.
    from_bytes: usize,
    /// Where it differs.
    at: usize,
    was: String,
    now: String,
}

/// The steps of a plan, and its text at this moment.
#[derive(Debug)]
pub struct Steps {
    dir: PathBuf,
    text: String,
    back: Vec<Made>,
    again: Vec<Made>,
}

impl Made {
    /// What differs between two texts.
    fn between(before: &str, after: &str, says: &str) -> Made {
        let same = |(a, b): &((usize, char), (usize, char))| a.1 == b.1;
        let start: usize = before
            .char_indices()
            .zip(after.char_indices())
            .take_while(same)
            .last()
            .map_or(0, |((i, c), _)| i + c.len_utf8());
        let (old, new) = (&before[start..], &after[start..]);
        let ends = old.chars().rev().zip(new.chars().rev()).take_while(|(a, b)| a == b);
        let end: usize = ends.map(|(c, _)| c.len_utf8()).sum();
        Made {
            says: says.to_owned(),
            from_bytes: before.len(),
            at: start,
            was: old[..old.len() - end].to_owned(),
            now: new[..new.len() - end].to_owned(),
        }
    }

    fn made(&self, text: &str) -> Option<String> {
        (text.len() == self.from_bytes).then(|| replaced(text, self.at, &self.was, &self.now))?
    }

    fn taken_back(&self, text: &str) -> Option<String> {
        let bytes = self.from_bytes + self.now.len() - self.was.len();
        (text.len() == bytes).then(|| replaced(text, self.at, &self.now, &self.was))?
    }
}

/// A text with other words at a place, if the ones that should stand there do.
fn replaced(text: &str, at: usize, was: &str, now: &str) -> Option<String> {
    let rest = text.get(at..)?.strip_prefix(was)?;
    Some([&text[..at], now, rest].concat())
}

impl Steps {
    /// The steps of a folder's plan, which reads `text` now. Where the last of them does not lead there, somebody else
    /// changed it, and `outside` says so as a step.
    pub fn open(dir: &Path, text: &str, outside: &str) -> Steps {
        let mut steps = Steps::read(dir).unwrap_or_else(|| Steps::none(dir, text));
        if steps.text != text {
            steps.make(text, outside);
        }
        steps
    }

    fn none(dir: &Path, text: &str) -> Steps {
        Steps { dir: dir.to_owned(), text: text.to_owned(), back: Vec::new(), again: Vec::new() }
    }

    /// None where there is no file of steps, or nothing can be made of it.
    fn read(dir: &Path) -> Option<Steps> {
        let _turn = lock(dir).ok()?;
        let path = dir.join(STEPS);
        let bytes = std::fs::read(&path).ok()?;
        let mut steps: Option<Steps> = None;
        let mut sound = 0;
        for line in bytes.split_inclusive(|byte| *byte == b'\n') {
            let record = line.strip_suffix(b"\n").and_then(|line| serde_json::from_slice(line).ok());
            match (record, &mut steps) {
                (Some(Record::Begun { text }), _) => steps = Some(Steps::none(dir, &text)),
                (Some(record), Some(steps)) => steps.take(record),
                _ => break,
            }
            sound += line.len();
        }
        if sound < bytes.len() {
            // What follows a line that was cut off would be part of it.
            let _ = File::options().write(true).open(&path).and_then(|file| file.set_len(sound as u64));
        }
        steps
    }

    fn take(&mut self, record: Record) {
        match record {
            Record::Made(made) => {
                if let Some(text) = made.made(&self.text) {
                    self.text = text;
                    self.back.push(made);
                    self.again.clear();
                }
            }
            Record::Back { from_bytes } if from_bytes == self.text.len() => self.go_back(),
            Record::Again { from_bytes } if from_bytes == self.text.len() => self.go_again(),
            Record::Begun { .. } | Record::Back { .. } | Record::Again { .. } => {}
        }
    }

    fn go_back(&mut self) {
        if let Some((text, made)) =
            self.back.pop().and_then(|made| Some((made.taken_back(&self.text)?, made)))
        {
            self.text = text;
            self.again.push(made);
        }
    }

    fn go_again(&mut self) {
        if let Some((text, made)) = self.again.pop().and_then(|made| Some((made.made(&self.text)?, made))) {
            self.text = text;
            self.back.push(made);
        }
    }

    /// What the last step was, and the text before it.
    pub fn before(&self) -> Option<(&str, String)> {
        let made = self.back.last()?;
        Some((&made.says, made.taken_back(&self.text)?))
    }

    /// What the step was that was taken back last, and the text after it.
    pub fn after(&self) -> Option<(&str, String)> {
        let made = self.again.last()?;
        Some((&made.says, made.made(&self.text)?))
    }

    /// A step was made: the plan reads `text` now.
    pub fn make(&mut self, text: &str, says: &str) {
        let made = Made::between(&self.text, text, says);
        self.write(Record::Made(made));
    }

    /// The last step was taken back.
    pub fn take_back(&mut self) {
        self.write(Record::Back { from_bytes: self.text.len() });
    }

    /// The step that was taken back last was made again.
    pub fn make_again(&mut self) {
        self.write(Record::Again { from_bytes: self.text.len() });
    }

    /// A step that cannot be written down is known until the program ends; the plan is saved all the same.
    fn write(&mut self, record: Record) {
        let _ = self.append(&record);
        self.take(record);
    }

    fn append(&self, record: &Record) -> io::Result<()> {
        let _turn = lock(&self.dir)?;
        let mut file = File::options().create(true).append(true).open(self.dir.join(STEPS))?;
        let mut lines = String::new();
        if file.metadata()?.len() == 0 {
            lines += &line(&Record::Begun { text: self.text.clone() })?;
        }
        lines += &line(record)?;
        file.write_all(lines.as_bytes())?;
        file.sync_data()
    }
}

fn line(record: &Record) -> io::Result<String> {
    Ok(serde_json::to_string(record)? + "\n")
}

#[cfg(test)]
mod tests {
    use std::fs;

    use proptest::prelude::*;

    use super::*;

    const OUTSIDE: &str = "changed outside";

    fn journal(dir: &Path) -> String {
        fs::read_to_string(dir.join(STEPS)).unwrap()
    }

    #[test]
    fn steps_outlive_the_program() {
        let home = tempfile::tempdir().unwrap();
        let mut steps = Steps::open(home.path(), "a = 1 # é\n", OUTSIDE);
        assert!(steps.before().is_none() && !home.path().join(STEPS).exists());
        steps.make("a = 2 # é\n", "a is 2");
        steps.make("a = 2 # è\n", "another accent");
        steps.take_back();
        let steps = Steps::open(home.path(), "a = 2 # é\n", OUTSIDE);
        assert_eq!(steps.before(), Some(("a is 2", "a = 1 # é\n".to_owned())));
        assert_eq!(steps.after(), Some(("another accent", "a = 2 # è\n".to_owned())));
    }

    /// Killed between the plan and its step, or changed in an editor while no program ran.
    #[test]
    fn a_plan_that_no_step_leads_to_becomes_a_step() {
        let home = tempfile::tempdir().unwrap();
        Steps::open(home.path(), "one", OUTSIDE).make("two", "made two");
        let steps = Steps::open(home.path(), "three", OUTSIDE);
        assert_eq!(steps.before(), Some((OUTSIDE, "two".to_owned())));
        let steps = Steps::open(home.path(), "three", OUTSIDE);
        assert_eq!(steps.back.len(), 2, "told once");
    }

    #[test]
    fn a_line_cut_off_is_dropped_and_the_next_stands_on_its_own() {
        let home = tempfile::tempdir().unwrap();
        let mut steps = Steps::open(home.path(), "one", OUTSIDE);
        steps.make("two", "made two");
        steps.make("three", "made three");
        let whole = journal(home.path());
        fs::write(home.path().join(STEPS), &whole[..whole.len() - 5]).unwrap();
        let mut steps = Steps::open(home.path(), "two", OUTSIDE);
        assert_eq!(steps.before(), Some(("made two", "one".to_owned())));
        steps.make("four", "made four");
        assert_eq!(Steps::open(home.path(), "four", OUTSIDE).back.len(), 2);
        fs::write(home.path().join(STEPS), "no steps").unwrap();
        assert!(Steps::open(home.path(), "four", OUTSIDE).before().is_none());
    }

    /// Two programs on one folder: each sees the other's change as one from outside, and neither's steps mislead.
    #[test]
    fn two_programs_share_one_file() {
        let home = tempfile::tempdir().unwrap();
        let mut one = Steps::open(home.path(), "text", OUTSIDE);
        one.make("text 1", "one's");
        let mut two = Steps::open(home.path(), "text 1", OUTSIDE);
        two.make("text 12", "two's");
        // The first has not looked yet, and takes back what is no longer the last.
        one.take_back();
        let both = Steps::open(home.path(), "text 12", OUTSIDE);
        assert_eq!(both.before(), Some(("two's", "text 1".to_owned())));
    }

    proptest! {
        /// Any texts at all: as many steps back give each of them again, and as many again forward, also in a program
        /// started anew.
        #[test]
        fn every_text_comes_back(texts in prop::collection::vec("[aé\n\u{1F333}]{0,6}", 1..8), anew in any::<bool>()) {
            let home = tempfile::tempdir().unwrap();
            let mut steps = Steps::open(home.path(), &texts[0], OUTSIDE);
            for text in &texts[1..] {
                steps.make(text, "made");
            }
            for text in texts.iter().rev().skip(1) {
                let before = steps.before().unwrap().1;
                prop_assert_eq!(&before, text);
                steps.take_back();
                if anew {
                    steps = Steps::open(home.path(), text, OUTSIDE);
                }
                prop_assert_eq!(&steps.text, text);
            }
            for text in &texts[1..] {
                prop_assert_eq!(&steps.after().unwrap().1, text);
                steps.make_again();
            }
            prop_assert!(steps.after().is_none());
        }
    }
}
