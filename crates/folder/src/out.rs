//! What the program writes into a site's `out/` folder.
//!
//! The names of what was written stand in `out/.written`. What was written before and is not any more, such as
//! the section of a line that was given up, is deleted, so that nobody digs by an old paper; what somebody
//! else put there is left alone.

use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

use crate::Fault;
use crate::create::NewFile;
use crate::inside::SiteDir;
use crate::save::replace;

/// Name of the folder, in a site folder.
const OUT: &str = "out";

/// Name of the list of what was written.
const WRITTEN: &str = ".written";

/// Writes files into `out/`, each whole or not at all, and gives their paths. They are all that is written there:
/// what was written before and is not among them is deleted.
///
/// # Errors
/// The folder is a link that leads elsewhere, or cannot be written.
pub fn write_out(dir: &Path, files: &[NewFile]) -> Result<Vec<PathBuf>, Fault> {
    put(dir, files, |out| {
        forget_old(out, files)?;
        Ok(Vec::new())
    })
}

/// Writes files into `out/` beside those that were written before, which stay, and gives their paths.
///
/// # Errors
/// The folder is a link that leads elsewhere, or cannot be written.
pub fn add_to_out(dir: &Path, files: &[NewFile]) -> Result<Vec<PathBuf>, Fault> {
    put(dir, files, |out| Ok(listed(out)?.into_iter().filter(|name| !is_among(files, name)).collect()))
}

/// Writes files into a folder of somebody's choice, each whole or not at all, and gives their paths.
///
/// # Errors
/// There is no such folder, or it cannot be written.
pub fn write_to(dir: &Path, files: &[NewFile]) -> Result<Vec<PathBuf>, Fault> {
    let shown = dir.display().to_string();
    if !dir.is_dir() {
        let advice = "make it first, or leave `--to` out: then it goes into the site's out/";
        return Err(Fault::of_file(shown, "no-folder", "there is no folder of this name", advice));
    }
    let not_written = |error: io::Error| {
        let advice = "see that the folder can be written";
        Fault::of_file(&shown, "not-written", format!("it could not be written ({error})"), advice)
    };
    for (name, bytes) in files {
        replace(&dir.join(name), bytes).map_err(not_written)?;
    }
    Ok(files.iter().map(|(name, _)| dir.join(name)).collect())
}

/// Writes the files and the list of them, behind the names of those that stay.
fn put(
    dir: &Path,
    files: &[NewFile],
    staying: impl Fn(&Path) -> io::Result<Vec<String>>,
) -> Result<Vec<PathBuf>, Fault> {
    let site = SiteDir::open(dir)?;
    let shown = site.shown(OUT);
    let not_written = |error: io::Error| {
        let advice = "see that the folder can be written; it is safe to delete";
        Fault::of_file(&shown, "not-written", format!("it could not be written ({error})"), advice)
    };
    fs::create_dir_all(dir.join(OUT)).map_err(not_written)?;
    let out = site.folder(OUT)?;
    let mut names = staying(&out).map_err(not_written)?;
    for (name, bytes) in files {
        replace(&out.join(name), bytes).map_err(not_written)?;
    }
    names.extend(files.iter().map(|(name, _)| (*name).to_owned()));
    replace(&out.join(WRITTEN), (names.join("\n") + "\n").as_bytes()).map_err(not_written)?;
    Ok(files.iter().map(|(name, _)| dir.join(OUT).join(name)).collect())
}

fn is_among(files: &[NewFile], name: &str) -> bool {
    files.iter().any(|(written, _)| *written == name)
}

/// Names of what was written before.
fn listed(out: &Path) -> io::Result<Vec<String>> {
    match fs::read_to_string(out.join(WRITTEN)) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        list => Ok(list?.lines().map(str::to_owned).collect()),
    }
}

/// Deletes what the list says we wrote and what is not written now.
fn forget_old(out: &Path, files: &[NewFile]) -> io::Result<()> {
    for name in listed(out)? {
        let plain = matches!(Path::new(&name).components().collect::<Vec<_>>()[..], [Component::Normal(_)]);
        if plain && !is_among(files, &name) {
            match fs::remove_file(out.join(&name)) {
                Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn old_papers_go_and_what_is_not_ours_stays() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out");
        write_out(home.path(), &[("plan.svg", b"1"), ("along-top.svg", b"2")]).unwrap();
        fs::write(out.join("notes.txt"), "mine").unwrap();
        let written = write_out(home.path(), &[("plan.svg", b"3")]).unwrap();
        assert_eq!(written, [out.join("plan.svg")]);
        assert_eq!(fs::read(out.join("plan.svg")).unwrap(), b"3");
        assert!(!out.join("along-top.svg").exists());
        assert!(out.join("notes.txt").exists());
    }

    /// What is added stays among what is ours: the next whole set deletes it if it is not in it.
    #[test]
    fn one_paper_is_added_and_the_others_stay() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out");
        write_out(home.path(), &[("plan.svg", b"1"), ("sheet.html", b"2")]).unwrap();
        for _ in 0..2 {
            let written = add_to_out(home.path(), &[("sheet.html", b"3")]).unwrap();
            assert_eq!(written, [out.join("sheet.html")]);
        }
        assert_eq!(fs::read(out.join("plan.svg")).unwrap(), b"1");
        assert_eq!(fs::read(out.join("sheet.html")).unwrap(), b"3");
        assert_eq!(fs::read_to_string(out.join(WRITTEN)).unwrap(), "plan.svg\nsheet.html\n");
        write_out(home.path(), &[("plan.svg", b"4")]).unwrap();
        assert!(!out.join("sheet.html").exists());
    }

    #[test]
    fn a_list_that_was_tampered_with_deletes_nothing_elsewhere() {
        let home = tempfile::tempdir().unwrap();
        fs::write(home.path().join("site.toml"), "mine").unwrap();
        write_out(home.path(), &[]).unwrap();
        fs::write(home.path().join("out/.written"), "../site.toml\n/etc/x\n..\n\n").unwrap();
        write_out(home.path(), &[("plan.svg", b"3")]).unwrap();
        assert!(home.path().join("site.toml").exists());
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_elsewhere_is_not_written_through() {
        let home = tempfile::tempdir().unwrap();
        let elsewhere = tempfile::tempdir().unwrap();
        std::os::unix::fs::symlink(elsewhere.path(), home.path().join("out")).unwrap();
        let fault = write_out(home.path(), &[("plan.svg", b"3")]).unwrap_err();
        assert_eq!(fault.code, "outside-folder");
        assert_eq!(fs::read_dir(elsewhere.path()).unwrap().count(), 0);
    }
}
