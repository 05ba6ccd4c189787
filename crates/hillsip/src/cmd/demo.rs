//! `hillsip demo`: the example site.

use std::io::Write;

use super::{Ended, Refused, print_json};
use crate::args;

/// Embeds one file of the example.
macro_rules! quarry_bank {
    ($($path:literal),* $(,)?) => {
        &[$(($path, include_bytes!(concat!("../../../../fixtures/quarry-bank/", $path)))),*]
    };
}

/// Every file of the example site; a test holds this against the folder.
pub const FILES: &[folder::NewFile] = quarry_bank![
    "site.toml",
    "ground/hill.asc",
    "bring/phone.gpx",
    "bring/well.csv",
    "dug/top.csv",
    "levels/barn-loop.csv",
    "levels/read-back.csv",
    "rain/depths.csv",
    "rain/storm-gauge.csv",
    "soak/pit-1.csv",
    "weather.csv"
];

/// What was written.
#[derive(serde::Serialize)]
struct Written<'a> {
    folder: String,
    files: Vec<&'a str>,
}

/// Writes the example site.
pub fn run(args: &args::Demo, out: &mut dyn Write) -> Result<Ended, Refused> {
    folder::create(&args.dir, FILES)?;
    let folder = args.dir.display().to_string();
    if args.json {
        let files = FILES.iter().map(|(path, _)| *path).collect();
        print_json(out, &Written { folder, files })?;
        return Ok(Ended::Done);
    }
    writeln!(out, "Quarry Bank is in {folder}: an invented hillside, free to spoil.")?;
    for (path, _) in FILES {
        writeln!(out, "  {path}")?;
    }
    writeln!(out, "Next:")?;
    for command in ["check", "pegs", "sizes", "digging", "paper"] {
        writeln!(out, "  hillsip {command} {folder}")?;
    }
    Ok(Ended::Done)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use std::path::{Path, PathBuf};

    #[test]
    fn every_file_of_the_example_is_embedded() {
        let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures/quarry-bank"));
        let on_disk = files_below(root);
        let embedded: BTreeSet<PathBuf> = FILES.iter().map(|(path, _)| root.join(path)).collect();
        assert_eq!(on_disk, embedded);
    }

    fn files_below(dir: &Path) -> BTreeSet<PathBuf> {
        let mut files = BTreeSet::new();
        for entry in std::fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                files.extend(files_below(&path));
            } else {
                files.insert(path);
            }
        }
        files
    }
}
