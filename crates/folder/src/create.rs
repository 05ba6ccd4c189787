//! A new site folder: written whole, or not at all over somebody's files.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use crate::Fault;

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
