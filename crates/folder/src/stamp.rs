//! Whether anything in a site folder was changed, by whoever.
//!
//! Each file's size and time of change are remembered; a file that is written again, added or taken away gives
//! another stamp. What the program writes for itself (`out/`, `.hillsip/`) and photographs are left out. A change
//! within the same tick of the disk's clock that keeps the size is missed: who must not miss it reads the bytes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Folders that are no part of the site's data.
const LEFT_OUT: [&str; 3] = ["out", ".hillsip", "photos"];
/// How deep folders are looked through, and how many files: more is no site folder.
const DEEPEST: usize = 4;
/// See [`DEEPEST`].
const MOST_FILES: usize = 2000;

/// Sizes and times of the files of a folder.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stamp(BTreeMap<PathBuf, (u64, Option<SystemTime>)>);

impl Stamp {
    /// Of a folder as it is now. What cannot be looked at counts as not there.
    pub fn of(dir: &Path) -> Stamp {
        let mut stamp = Stamp::default();
        stamp.collect(dir, dir, DEEPEST);
        stamp
    }

    /// The same with one file, named from the folder, as it is now: for whoever wrote it.
    #[must_use]
    pub fn with_new(&self, dir: &Path, inside: &str) -> Stamp {
        let mut stamp = self.clone();
        match fs::metadata(dir.join(inside)) {
            Ok(about) => stamp.0.insert(PathBuf::from(inside), (about.len(), about.modified().ok())),
            Err(_) => stamp.0.remove(Path::new(inside)),
        };
        stamp
    }

    /// The files that are not as they were, named from the folder.
    pub fn changed_since(&self, before: &Stamp) -> Vec<PathBuf> {
        let either: BTreeSet<&PathBuf> = self.0.keys().chain(before.0.keys()).collect();
        either.into_iter().filter(|file| self.0.get(*file) != before.0.get(*file)).cloned().collect()
    }

    fn collect(&mut self, root: &Path, dir: &Path, deeper: usize) {
        for entry in fs::read_dir(dir).into_iter().flatten().flatten() {
            let path = entry.path();
            let inside = path.strip_prefix(root).unwrap_or(&path).to_owned();
            let left_out = LEFT_OUT.iter().any(|name| inside == Path::new(name));
            if left_out || self.0.len() >= MOST_FILES {
                continue;
            }
            match fs::metadata(&path) {
                Ok(about) if about.is_dir() && deeper > 0 => self.collect(root, &path, deeper - 1),
                Ok(about) if about.is_file() => {
                    self.0.insert(inside, (about.len(), about.modified().ok()));
                }
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_anywhere_gives_another_stamp_and_our_own_papers_do_not() {
        let home = tempfile::tempdir().unwrap();
        let dir = home.path();
        fs::create_dir_all(dir.join("dug")).unwrap();
        fs::create_dir_all(dir.join("out")).unwrap();
        fs::write(dir.join("site.toml"), "one").unwrap();
        let before = Stamp::of(dir);
        fs::write(dir.join("out/plan.svg"), "<svg/>").unwrap();
        assert_eq!(Stamp::of(dir), before);
        fs::write(dir.join("dug/top.csv"), "x").unwrap();
        assert_ne!(Stamp::of(dir), before);
        let with = Stamp::of(dir);
        fs::write(dir.join("site.toml"), "other").unwrap();
        assert_ne!(Stamp::of(dir), with);
        assert_eq!(Stamp::of(dir).changed_since(&with), [PathBuf::from("site.toml")]);
        assert_eq!(with.with_new(dir, "site.toml"), Stamp::of(dir));
        fs::remove_file(dir.join("dug/top.csv")).unwrap();
        assert_eq!(Stamp::of(dir).changed_since(&with).len(), 2);
    }
}
