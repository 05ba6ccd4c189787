//! A new site folder: written whole, or not at all over somebody's files.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use crate::plan_file::read_plan;
use crate::save::{save, save_new};
use crate::{Fault, PLAN};

/// A file of a new folder: its path inside the folder, and its bytes.
pub type NewFile<'a> = (&'a str, &'a [u8]);

/// Makes a folder and writes files into it.
///
/// # Errors
/// The folder holds something already, or cannot be written. Nothing that was there is touched.
pub fn create(dir: &Path, files: &[NewFile]) -> Result<(), Fault> {
    let shown = dir.display().to_string();
    match is_empty_or_absent(dir) {
        Ok(true) => {}
        Ok(false) => {
            return Err(Fault::of_file(
                shown,
                "folder-not-empty",
                "the folder holds files already",
                "give the name of a folder that is not there yet",
            ));
        }
        Err(error) => return Err(not_written(&shown, &error)),
    }
    for (path, bytes) in files {
        let file = dir.join(path);
        write_new(&file, bytes).map_err(|error| not_written(&file.display().to_string(), &error))?;
    }
    Ok(())
}

/// Fills a folder whose plan is not there yet, or still the starter as it was written, with a site.
///
/// # Errors
/// The plan is somebody's own by now, one of the other files is there already, or something cannot be written. What
/// was there is untouched; of new files the plan is the last.
pub fn begin(dir: &Path, files: &[NewFile]) -> Result<(), Fault> {
    let was = begun_with(dir)?;
    if let Some((path, _)) = files.iter().find(|(path, _)| *path != PLAN && dir.join(path).exists()) {
        return Err(in_the_way(&dir.join(path)));
    }
    let mut in_order: Vec<&NewFile> = files.iter().collect();
    in_order.sort_by_key(|(path, _)| *path == PLAN);
    for (path, bytes) in in_order {
        let file = dir.join(path);
        if let Some(parent) = file.parent() {
            fs::create_dir_all(parent).map_err(|error| not_written(&file.display().to_string(), &error))?;
        }
        match &was {
            Some(was) if *path == PLAN => save(dir, path, was, bytes)?,
            _ => save_new(dir, path, bytes)?,
        }
    }
    Ok(())
}

/// The bytes of a plan that nobody has written in yet; none where there is no plan.
fn begun_with(dir: &Path) -> Result<Option<Vec<u8>>, Fault> {
    let plan = dir.join(PLAN);
    let bytes = match fs::read(&plan) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(not_written(&plan.display().to_string(), &error)),
    };
    let is_starter = read_plan(PLAN, &bytes).is_ok_and(|read| starter(&read.name).as_bytes() == bytes);
    if is_starter { Ok(Some(bytes)) } else { Err(in_the_way(&plan)) }
}

fn in_the_way(file: &Path) -> Fault {
    let advice = "it is untouched: begin in a folder of its own";
    Fault::of_file(file.display().to_string(), "folder-not-empty", "the folder holds a site already", advice)
}

/// The plan of a new site: an example with remarks, which needs no more than an A-frame, a tape and a rain
/// gauge.
pub fn starter(name: &str) -> String {
    let quoted = toml::Value::String(name.to_owned()).to_string();
    include_str!("starter.toml").replacen("\"My slope\"", &quoted, 1)
}

fn is_empty_or_absent(dir: &Path) -> io::Result<bool> {
    match fs::read_dir(dir) {
        Ok(mut entries) => Ok(entries.next().is_none()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(true),
        Err(error) => Err(error),
    }
}

fn write_new(file: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(parent) = file.parent() {
        fs::create_dir_all(parent)?;
    }
    let mut out = fs::File::create_new(file)?;
    out.write_all(bytes)?;
    out.sync_all()
}

fn not_written(shown: &str, error: &io::Error) -> Fault {
    let advice = match error.kind() {
        io::ErrorKind::NotADirectory => "a file of that name is in the way: give another name",
        io::ErrorKind::PermissionDenied => "choose a folder that you may write in",
        io::ErrorKind::StorageFull => "make room on the disk",
        _ => "see that the disk is there and can be written",
    };
    Fault::of_file(shown, "not-written", format!("it could not be written ({error})"), advice)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILES: &[NewFile] = &[("site.toml", b"name = \"A\"\n"), ("ground/hill.asc", b"x")];

    #[test]
    fn a_new_folder_is_written_and_a_full_one_left_alone() {
        let home = tempfile::tempdir().unwrap();
        let dir = home.path().join("fields/back");
        create(&dir, FILES).unwrap();
        assert_eq!(fs::read(dir.join("ground/hill.asc")).unwrap(), b"x");

        fs::write(dir.join("site.toml"), "mine").unwrap();
        assert_eq!(create(&dir, FILES).unwrap_err().code, "folder-not-empty");
        assert_eq!(fs::read(dir.join("site.toml")).unwrap(), b"mine");
    }

    #[test]
    fn a_site_is_begun_over_nothing_or_the_starter_and_over_nothing_else() {
        let home = tempfile::tempdir().unwrap();
        let dir = home.path();
        begin(dir, &[(PLAN, starter("Back field").as_bytes())]).unwrap();
        begin(dir, FILES).unwrap();
        assert_eq!(fs::read(dir.join(PLAN)).unwrap(), FILES[0].1);
        assert_eq!(crate::past_states(dir, PLAN).unwrap(), [starter("Back field").into_bytes()]);
        assert_eq!(begin(dir, FILES).unwrap_err().code, "folder-not-empty");

        fs::write(dir.join(PLAN), starter("Back field")).unwrap();
        let fault = begin(dir, FILES).unwrap_err();
        assert!(fault.file.ends_with("hill.asc"), "{fault}");
        assert_eq!(fs::read(dir.join(PLAN)).unwrap(), starter("Back field").into_bytes());
    }

    #[test]
    fn the_starter_is_a_sound_plan_under_any_name() {
        for name in ["Back field", "a \"b\" \\ c", "a\nb = 1"] {
            let plan = crate::plan_file::read_plan("site.toml", starter(name).as_bytes()).unwrap();
            assert_eq!(plan.name, name);
            assert!(plan.lines[0].tape.is_some() && plan.ground.is_none());
        }
    }

    #[test]
    fn a_file_in_the_way_is_named() {
        let home = tempfile::tempdir().unwrap();
        let file = home.path().join("notes");
        fs::write(&file, "mine").unwrap();
        let fault = create(&file, FILES).unwrap_err();
        assert_eq!(fault.code, "not-written");
        assert!(fault.advice.contains("a file of that name is in the way"), "{fault}");
        assert_eq!(fs::read(&file).unwrap(), b"mine");
    }
}
