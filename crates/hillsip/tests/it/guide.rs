//! The guide is true: every command in it runs on the example, and what stands under a command is in what it prints.

use std::path::Path;

use crate::{run, with_sites};

/// A command of the guide with the lines that stand under it.
struct Shown {
    command: Vec<String>,
    lines: Vec<String>,
}

/// The console blocks of a page: a line "$ hillsip …" and what it prints, or some of it.
fn shown(page: &str) -> Vec<Shown> {
    let blocks = page.split("```console\n").skip(1).filter_map(|rest| rest.split("```").next());
    let block = |block: &str| {
        let mut lines = block.lines();
        let command = lines.next().and_then(|line| line.strip_prefix("$ hillsip ")).expect("a command");
        Shown {
            command: command.split_whitespace().map(str::to_owned).collect(),
            lines: lines.map(str::to_owned).collect(),
        }
    };
    blocks.map(block).collect()
}

#[test]
fn the_guide_runs() {
    let home = with_sites();
    let guide = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/guide");
    let mut pages: Vec<_> = std::fs::read_dir(guide).unwrap().map(|entry| entry.unwrap().path()).collect();
    pages.sort();
    let mut ran = 0;
    for page in pages {
        let text = std::fs::read_to_string(&page).unwrap();
        for shown in shown(&text) {
            let args: Vec<&str> = shown.command.iter().map(String::as_str).collect();
            let (out, told, code) = run(&home, &args);
            assert!(code < 2, "{}: {args:?}: {told}", page.display());
            for line in &shown.lines {
                assert!(
                    out.contains(line.as_str()),
                    "{}: {args:?} does not print: {line}\n{out}",
                    page.display()
                );
            }
            ran += 1;
        }
    }
    assert!(ran >= 10, "{ran} commands");
}
