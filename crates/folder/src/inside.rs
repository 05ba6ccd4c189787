//! Files inside a site folder: found, and read no further than they should be.

use std::fs;
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};

use crate::Fault;

/// Most bytes of a plan or a table that are read, 32 MiB: a thousand times the example's plan, or fifty years
/// of hourly rain. A larger file was brought by mistake.
const MOST_BYTES: u64 = 32 << 20;

/// A site folder that is there.
#[derive(Debug, Clone)]
pub struct SiteDir {
    /// As it was given, for messages.
    given: PathBuf,
    /// Where it is, without links.
    real: PathBuf,
}

impl SiteDir {
    /// The folder at a path.
    ///
    /// # Errors
    /// There is none, or it is a file, or it may not be read.
    pub fn open(dir: &Path) -> Result<SiteDir, Fault> {
        let shown = dir.display().to_string();
        let real = fs::canonicalize(dir).map_err(|error| no_folder(&shown, &error))?;
        if !real.is_dir() {
            let found = "this is a file, not a site folder";
            let advice = "name the folder that holds site.toml";
            return Err(Fault::of_file(shown, "file-not-folder", found, advice));
        }
        Ok(SiteDir { given: dir.to_owned(), real })
    }

    /// How messages name a file of the folder.
    pub fn shown(&self, inside: &str) -> String {
        self.given.join(inside).display().to_string()
    }

    /// Where a file of the folder is.
    ///
    /// # Errors
    /// The path leads out of the folder, also by a link, or to nothing that can be read as a file.
    pub fn file(&self, inside: &str) -> Result<PathBuf, Fault> {
        let shown = self.shown(inside);
        let path = Path::new(inside);
        let stays = path.components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir));
        if inside.is_empty() || !stays {
            return Err(outside(&shown));
        }
        let real = fs::canonicalize(self.real.join(path)).map_err(|error| unreadable(&shown, &error))?;
        if !real.starts_with(&self.real) {
            return Err(outside(&shown));
        }
        let about = fs::metadata(&real).map_err(|error| unreadable(&shown, &error))?;
        if about.is_dir() {
            let found = "this is a folder, not a file";
            return Err(Fault::of_file(shown, "folder-not-file", found, "name a file inside it"));
        }
        if !about.is_file() {
            let found = "this is a device or a pipe, not a file";
            return Err(Fault::of_file(shown, "not-a-file", found, "put a plain file there"));
        }
        Ok(real)
    }

    /// The bytes of a plan or a table.
    ///
    /// # Errors
    /// As [`SiteDir::file`], and a file that is too large.
    pub fn bytes(&self, inside: &str) -> Result<Vec<u8>, Fault> {
        let shown = self.shown(inside);
        let path = self.file(inside)?;
        let mut bytes = Vec::new();
        let opened = fs::File::open(path).map_err(|error| unreadable(&shown, &error))?;
        // One byte more than is allowed tells a file that grows while it is read.
        let read = opened.take(MOST_BYTES + 1).read_to_end(&mut bytes);
        read.map_err(|error| unreadable(&shown, &error))?;
        if bytes.len() as u64 > MOST_BYTES {
            let found = format!("the file is larger than {} MiB", MOST_BYTES >> 20);
            let advice = "see that it is the file you mean; rasters go into [ground] raster";
            return Err(Fault::of_file(shown, "too-large", found, advice));
        }
        Ok(bytes)
    }

    /// Where a folder inside the site's is, not through a link that leads out.
    ///
    /// # Errors
    /// There is none, or it lies elsewhere.
    pub fn folder(&self, folder: &str) -> Result<PathBuf, Fault> {
        let shown = self.shown(folder);
        let real = fs::canonicalize(self.real.join(folder)).map_err(|error| unreadable(&shown, &error))?;
        if real.starts_with(&self.real) { Ok(real) } else { Err(outside(&shown)) }
    }

    /// The names of the files in a folder of the site that end so, sorted; none where there is no such folder.
    ///
    /// # Errors
    /// The folder may not be read, or lies elsewhere.
    pub fn names(&self, folder: &str, ending: &str) -> Result<Vec<String>, Fault> {
        let shown = self.shown(folder);
        let real = match self.folder(folder) {
            Err(fault) if fault.code == "no-file" => return Ok(Vec::new()),
            other => other?,
        };
        let mut names = Vec::new();
        for entry in fs::read_dir(real).map_err(|error| unreadable(&shown, &error))? {
            let entry = entry.map_err(|error| unreadable(&shown, &error))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.to_lowercase().ends_with(ending) && !name.starts_with('.') {
                names.push(name);
            }
        }
        names.sort_unstable();
        Ok(names)
    }
}

fn no_folder(shown: &str, error: &io::Error) -> Fault {
    match error.kind() {
        io::ErrorKind::NotFound => {
            let advice =
                format!("make it with `hillsip new {shown}`, or see the example with `hillsip demo`");
            Fault::of_file(shown, "no-folder", "there is no folder of this name", advice)
        }
        _ => unreadable(shown, error),
    }
}

fn outside(shown: &str) -> Fault {
    Fault::of_file(
        shown,
        "outside-folder",
        "this leads out of the site folder",
        "copy the file into the folder and name it from there, such as \"ground/hill.tif\"",
    )
}

pub(crate) fn unreadable(shown: &str, error: &io::Error) -> Fault {
    match error.kind() {
        io::ErrorKind::NotFound => {
            let advice = "put the file there, or correct its name";
            Fault::of_file(shown, "no-file", "there is no file of this name", advice)
        }
        io::ErrorKind::PermissionDenied => {
            let advice = "change its permissions so that you may read it";
            Fault::of_file(shown, "no-permission", "you have no permission to read it", advice)
        }
        _ => {
            let found = format!("it could not be read ({error})");
            Fault::of_file(shown, "unreadable", found, "see that the disk is there and sound")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_system_refuses_is_told_with_what_to_do() {
        for (kind, code) in [
            (io::ErrorKind::NotFound, "no-file"),
            (io::ErrorKind::PermissionDenied, "no-permission"),
            (io::ErrorKind::InvalidData, "unreadable"),
        ] {
            let fault = unreadable("site.toml", &io::Error::from(kind));
            assert_eq!(fault.code, code);
            assert!(!fault.advice.is_empty());
        }
    }
}
