//! The files of the checkout, read once.

use std::path::{Path, PathBuf};

/// Text files of the project by their path from its root.
pub struct Tree {
    pub files: Vec<File>,
}

/// One text file.
pub struct File {
    pub path: String,
    pub text: String,
}

/// Folders that hold nothing of ours.
const SKIP: [&str; 6] = [".git", "target", "out", "node_modules", ".venv", "quarry-bank.demo"];
/// Endings of files that hold text to check.
const TEXT: [&str; 9] = ["rs", "md", "toml", "sh", "py", "yml", "ts", "css", "html"];

impl Tree {
    /// Reads the tree under the current folder.
    pub fn read() -> Result<Tree, String> {
        let mut files = Vec::new();
        gather(Path::new("."), &mut files)?;
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(Tree { files })
    }

    /// The Rust sources of a crate's `src`.
    pub fn sources<'a>(&'a self, crate_name: &str) -> impl Iterator<Item = &'a File> + use<'a> {
        let prefix = format!("crates/{crate_name}/src/");
        self.files.iter().filter(move |file| file.path.starts_with(&prefix) && file.path.ends_with(".rs"))
    }

    /// One file.
    pub fn file(&self, path: &str) -> Option<&File> {
        self.files.iter().find(|file| file.path == path)
    }
}

impl File {
    /// The code before the unit tests at the foot of the file.
    pub fn without_tests(&self) -> &str {
        self.text.find("#[cfg(test)]\nmod ").map_or(&self.text, |at| &self.text[..at])
    }
}

fn gather(folder: &Path, files: &mut Vec<File>) -> Result<(), String> {
    let entries = std::fs::read_dir(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    for entry in entries {
        let path: PathBuf = entry.map_err(|e| e.to_string())?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            if !SKIP.contains(&name.as_str()) {
                gather(&path, files)?;
            }
        } else if TEXT.iter().any(|ending| name.ends_with(&format!(".{ending}"))) {
            let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
            let path = path.strip_prefix(".").unwrap_or(&path).to_string_lossy().into_owned();
            files.push(File { path, text });
        }
    }
    Ok(())
}
