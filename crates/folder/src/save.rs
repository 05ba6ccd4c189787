//! Saving a file of the site folder so that nothing is lost, whatever happens.
//!
//! The new text is written to a temporary file beside the old one, brought to the disk, and put in its place
//! by one rename: somebody who reads, or a power cut, finds the old text or the new, never half of one. Before
//! that the old text goes into `.hillsip/history/`, where the last [`KEPT`] states of each file stay.
//!
//! A file that changed since it was read is never overwritten: whoever saves gives what they read, and what is
//! on the disk is compared with it, byte for byte. Savers of one folder take turns by a lock.
//!
//! Leaves out: a change made by another program in the moment between the comparison and the rename; it is
//! in no history of ours.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

use atomic_write_file::AtomicWriteFile;

use crate::Fault;
use crate::inside::SiteDir;

/// States of each file that are kept. Our own choice: a day's edits, and less than a photograph.
pub const KEPT: usize = 50;

/// Where past states are kept, in a site folder.
const HISTORY: &str = ".hillsip/history";

/// Name of the lock, in a site folder.
const LOCK: &str = ".hillsip/lock";

/// Replaces a file of the site folder. `was` is what the saver read; what is on the disk must still be that.
///
/// # Errors
/// The file changed since, or cannot be written. The file on the disk is as it was.
pub fn save(dir: &Path, inside: &str, was: &[u8], now: &[u8]) -> Result<(), Fault> {
    let site = SiteDir::open(dir)?;
    let shown = site.shown(inside);
    let real = site.file(inside)?;
    let not_saved = |error: io::Error| not_saved(&shown, &error);
    let _turn = lock(dir).map_err(not_saved)?;
    if site.bytes(inside)? != was {
        let found = "the file was changed by another program since it was read";
        let advice = "read it again and make the change there; both versions are untouched";
        return Err(Fault::of_file(shown, "changed-outside", found, advice));
    }
    if was == now {
        return Ok(());
    }
    remember(dir, inside, was).map_err(not_saved)?;
    replace(&real, now).map_err(not_saved)
}

/// Begins a file in the site folder.
///
/// # Errors
/// It is there already, or cannot be written.
pub(crate) fn save_new(dir: &Path, inside: &str, now: &[u8]) -> Result<(), Fault> {
    let site = SiteDir::open(dir)?;
    let shown = site.shown(inside);
    let not_saved = |error: io::Error| not_saved(&shown, &error);
    let _turn = lock(dir).map_err(not_saved)?;
    let path = dir.join(inside);
    // Also a link that leads nowhere is there: a rename would put a file in its place.
    if fs::symlink_metadata(&path).is_ok() {
        let found = "the file was written by another program in the meantime";
        let advice = "read it and make the change there; it is untouched";
        return Err(Fault::of_file(shown, "changed-outside", found, advice));
    }
    replace(&path, now).map_err(not_saved)
}

/// The past states of a file, the oldest first.
///
/// # Errors
/// The history cannot be read.
pub fn past_states(dir: &Path, inside: &str) -> Result<Vec<Vec<u8>>, Fault> {
    let folder = dir.join(HISTORY).join(inside);
    let read = || -> io::Result<Vec<Vec<u8>>> {
        let names = numbers_in(&folder)?;
        names.iter().map(|number| fs::read(folder.join(state_name(*number)))).collect()
    };
    read().map_err(|error| crate::inside::unreadable(&folder.display().to_string(), &error))
}

/// Waits until no other saver is at work in this folder; the lock goes with the file.
pub(crate) fn lock(dir: &Path) -> io::Result<File> {
    fs::create_dir_all(dir.join(HISTORY))?;
    let file = File::options().create(true).append(true).open(dir.join(LOCK))?;
    file.lock()?;
    Ok(file)
}

/// Puts a state into the history and drops the oldest beyond those that are kept.
pub(crate) fn remember(dir: &Path, inside: &str, state: &[u8]) -> io::Result<()> {
    let folder = dir.join(HISTORY).join(inside);
    fs::create_dir_all(&folder)?;
    let numbers = numbers_in(&folder)?;
    let next = numbers.last().map_or(1, |last| last + 1);
    replace(&folder.join(state_name(next)), state)?;
    let too_many = (numbers.len() + 1).saturating_sub(KEPT);
    for number in &numbers[..too_many] {
        fs::remove_file(folder.join(state_name(*number)))?;
    }
    Ok(())
}

fn state_name(number: u64) -> String {
    format!("{number:06}")
}

/// Numbers of the states in a history folder, rising; what else lies there is left alone.
fn numbers_in(folder: &Path) -> io::Result<Vec<u64>> {
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        other => other?,
    };
    let mut numbers = Vec::new();
    for entry in entries {
        let name = entry?.file_name();
        let number = name.to_str().and_then(|name| name.parse().ok());
        numbers.extend(number.filter(|number| name.to_str() == Some(&state_name(*number))));
    }
    numbers.sort_unstable();
    Ok(numbers)
}

/// Writes beside, brings to the disk, renames.
pub(crate) fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = AtomicWriteFile::open(path)?;
    file.write_all(bytes)?;
    file.commit()
}

pub(crate) fn not_saved(shown: &str, error: &io::Error) -> Fault {
    let advice = match error.kind() {
        io::ErrorKind::PermissionDenied => "change the permissions of the folder so that you may write in it",
        io::ErrorKind::StorageFull => "make room on the disk and save again",
        _ => "see that the disk is there and can be written, and save again",
    };
    Fault::of_file(shown, "not-saved", format!("it could not be saved ({error})"), advice)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder_with(text: &str) -> tempfile::TempDir {
        let home = tempfile::tempdir().unwrap();
        fs::write(home.path().join("site.toml"), text).unwrap();
        home
    }

    #[test]
    fn a_save_replaces_the_file_and_remembers_the_state_before() {
        let home = folder_with("one");
        save(home.path(), "site.toml", b"one", b"two").unwrap();
        save(home.path(), "site.toml", b"two", b"\xef\xbb\xbfthree\r\n").unwrap();
        assert_eq!(fs::read(home.path().join("site.toml")).unwrap(), b"\xef\xbb\xbfthree\r\n");
        let past = past_states(home.path(), "site.toml").unwrap();
        assert_eq!(past, [b"one", b"two"]);
        save(home.path(), "site.toml", b"\xef\xbb\xbfthree\r\n", b"\xef\xbb\xbfthree\r\n").unwrap();
        assert_eq!(past_states(home.path(), "site.toml").unwrap().len(), 2);
    }

    #[test]
    fn a_file_changed_outside_is_never_overwritten() {
        let home = folder_with("one");
        fs::write(home.path().join("site.toml"), "theirs").unwrap();
        let fault = save(home.path(), "site.toml", b"one", b"mine").unwrap_err();
        assert_eq!(fault.code, "changed-outside");
        assert_eq!(fs::read(home.path().join("site.toml")).unwrap(), b"theirs");
        assert!(past_states(home.path(), "site.toml").unwrap().is_empty());
        fs::remove_file(home.path().join("site.toml")).unwrap();
        assert_eq!(save(home.path(), "site.toml", b"one", b"mine").unwrap_err().code, "no-file");
        assert_eq!(save(home.path(), "../x", b"", b"mine").unwrap_err().code, "outside-folder");
    }

    #[test]
    fn the_history_is_bounded_and_keeps_the_last() {
        let home = folder_with("0");
        for i in 0..KEPT + 7 {
            let (was, now) = (i.to_string(), (i + 1).to_string());
            save(home.path(), "site.toml", was.as_bytes(), now.as_bytes()).unwrap();
        }
        let past = past_states(home.path(), "site.toml").unwrap();
        assert_eq!(past.len(), KEPT);
        assert_eq!(past[0], b"7");
        assert_eq!(past[KEPT - 1], (KEPT + 6).to_string().as_bytes());
    }

    /// Two savers who read the same state: one wins, the other is told; every state written is whole.
    #[test]
    fn savers_take_turns() {
        let home = folder_with("start");
        let wins: usize = std::thread::scope(|scope| {
            let savers: Vec<_> = (0..8)
                .map(|i| {
                    let dir = home.path();
                    scope.spawn(move || {
                        let text = format!("{i}").repeat(100_000);
                        usize::from(save(dir, "site.toml", b"start", text.as_bytes()).is_ok())
                    })
                })
                .collect();
            savers.into_iter().map(|saver| saver.join().unwrap()).sum()
        });
        assert_eq!(wins, 1);
        let text = fs::read(home.path().join("site.toml")).unwrap();
        assert_eq!(text.len(), 100_000);
        assert!(text.iter().all(|byte| *byte == text[0]));
    }

    /// Where the saver below saves without end; set only by the test that kills it.
    const KILLED_SAVER: &str = "HILLSIP_TEST_KILLED_SAVER";

    /// Not a test by itself: the process that the next test kills.
    #[test]
    fn saver_to_be_killed() {
        let Some(dir) = std::env::var_os(KILLED_SAVER) else {
            return;
        };
        let mut was = fs::read(Path::new(&dir).join("site.toml")).unwrap();
        for i in 0u64.. {
            let now = format!("{}\n", i % 10).repeat(50_000).into_bytes();
            save(Path::new(&dir), "site.toml", &was, &now).unwrap();
            was = now;
        }
    }

    /// Killed twelve times, each time later: the file is whole and of one state, and saving goes on.
    #[test]
    fn a_saver_killed_at_any_moment_leaves_a_whole_file() {
        let home = folder_with(&"0\n".repeat(50_000));
        for round in 1..=12u64 {
            let mut saver = std::process::Command::new(std::env::current_exe().unwrap())
                .args(["--exact", "save::tests::saver_to_be_killed", "--quiet"])
                .env(KILLED_SAVER, home.path())
                .stdout(std::process::Stdio::null())
                .stderr(std::process::Stdio::null())
                .spawn()
                .unwrap();
            std::thread::sleep(std::time::Duration::from_millis(20 + 7 * round));
            saver.kill().unwrap();
            saver.wait().unwrap();
            let bytes = fs::read(home.path().join("site.toml")).unwrap();
            assert_eq!(bytes.len(), 100_000);
            assert!(bytes.chunks(2).all(|line| line == &bytes[..2]));
            for state in past_states(home.path(), "site.toml").unwrap() {
                assert_eq!(state.len(), 100_000);
            }
            save(home.path(), "site.toml", &bytes, &"9\n".repeat(50_000).into_bytes()).unwrap();
        }
    }

    #[cfg(unix)]
    #[test]
    fn others_who_could_read_the_file_still_can() {
        use std::os::unix::fs::PermissionsExt;
        let home = folder_with("one");
        let path = home.path().join("site.toml");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
        save(home.path(), "site.toml", b"one", b"two").unwrap();
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o644);
    }

    /// A link inside the folder stays a link, and its file is what is saved.
    #[cfg(unix)]
    #[test]
    fn a_linked_plan_stays_linked() {
        let home = tempfile::tempdir().unwrap();
        fs::write(home.path().join("plan-2026.toml"), "one").unwrap();
        std::os::unix::fs::symlink("plan-2026.toml", home.path().join("site.toml")).unwrap();
        save(home.path(), "site.toml", b"one", b"two").unwrap();
        assert_eq!(fs::read(home.path().join("plan-2026.toml")).unwrap(), b"two");
        assert!(fs::symlink_metadata(home.path().join("site.toml")).unwrap().is_symlink());
    }
}
