//! `hillsip new`: a site of one's own.

use std::io::Write;

use super::{Ended, Refused, print_json};
use crate::args;

/// What was written.
#[derive(serde::Serialize)]
struct Written {
    folder: String,
    files: [&'static str; 1],
}

/// Writes a starter plan into a new folder.
pub fn run(args: &args::New, out: &mut dyn Write) -> Result<Ended, Refused> {
    let of_folder = || args.dir.file_name().map(|name| name.to_string_lossy().into_owned());
    let name = args.name.clone().or_else(of_folder).unwrap_or_else(|| "My slope".to_owned());
    if name.trim().is_empty() {
        return Err(Refused::Asked("a site needs a name: it stands on every paper".to_owned()));
    }
    folder::create(&args.dir, &[(folder::PLAN, folder::starter(&name).as_bytes())])?;
    let folder = args.dir.display().to_string();
    if args.json {
        let files = [folder::PLAN];
        print_json(out, &Written { folder, files })?;
        return Ok(Ended::Done);
    }
    writeln!(out, "\"{name}\" is in {folder}, with an example to write your own over.")?;
    writeln!(out, "Next: open {folder}/{} in a text editor; then", folder::PLAN)?;
    writeln!(out, "  hillsip check {folder}")?;
    Ok(Ended::Done)
}
