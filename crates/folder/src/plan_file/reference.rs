//! The published reference of `site.toml`: its JSON Schema and the tables of keys in the documents. Both are
//! made from the plan's types; this test module holds the files against them, and with `UPDATE_DOCS=1` in the
//! environment writes them.

use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use super::shape::{Key, Limits, Shape, schema, shape};
use super::unit::unit_of;

const BEGIN: &str =
    "<!-- The tables below are made from the types: UPDATE_DOCS=1 cargo test -p folder reference -->\n";
const END: &str = "<!-- End of the tables. -->\n";

fn docs(file: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs")).join(file)
}

fn hold(path: &PathBuf, fresh: &str) {
    if std::env::var_os("UPDATE_DOCS").is_some() {
        fs::write(path, fresh).unwrap();
    }
    let on_disk = fs::read_to_string(path).unwrap_or_default();
    assert!(
        on_disk == fresh,
        "{} is stale: run UPDATE_DOCS=1 cargo test -p folder reference",
        path.display()
    );
}

#[test]
fn reference_schema_is_fresh() {
    let fresh = serde_json::to_string_pretty(&schema()).unwrap() + "\n";
    hold(&docs("site.schema.json"), &fresh);
}

#[test]
fn reference_tables_are_fresh() {
    let path = docs("site-folder.md");
    let text = fs::read_to_string(&path).unwrap();
    let (before, rest) = text.split_once(BEGIN).expect("the page marks where the tables begin");
    let (_, after) = rest.split_once(END).expect("the page marks where they end");
    hold(&path, &format!("{before}{BEGIN}{}{END}{after}", tables()));
}

/// Every block of TOML in the page that is a whole plan is a sound one.
#[test]
fn examples_of_the_page_are_sound() {
    let text = fs::read_to_string(docs("site-folder.md")).unwrap();
    let blocks = text.split("```toml\n").skip(1).filter_map(|rest| rest.split("```").next());
    let whole: Vec<&str> = blocks.filter(|block| block.contains("[place]")).collect();
    assert!(!whole.is_empty());
    for block in whole {
        let faults = super::read_plan("example", block.as_bytes()).err().unwrap_or_default();
        assert!(faults.is_empty(), "{faults:?}");
    }
}

/// Every table in the page is one that its reader takes.
#[test]
fn tables_of_the_page_are_sound() {
    let text = fs::read_to_string(docs("site-folder.md")).unwrap();
    let blocks: Vec<&str> =
        text.split("```csv\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert_eq!(blocks.len(), 4);
    for block in blocks {
        let bytes = block.as_bytes();
        let faults = match block.split(',').nth(1) {
            Some("x_m") => crate::points::read("example", bytes, &crate::points::Expected::default()).err(),
            Some("backsight_m") => crate::read_level_book("example", bytes).err(),
            Some("bed_z_m") => crate::read_dug("example", bytes).err(),
            Some("2y") => crate::read_rain_depths("example", bytes).err(),
            other => panic!("no reader for {other:?}"),
        };
        assert_eq!(faults, None);
    }
}

fn tables() -> String {
    let mut text = String::new();
    let plan = shape();
    section(&mut text, "The top of the file", plan);
    visit(&mut text, "", plan);
    text
}

fn visit(text: &mut String, heading: &str, keys: &[Key]) {
    for key in keys {
        let path = if heading.is_empty() { key.name.clone() } else { format!("{heading}.{}", key.name) };
        let (title, keys) = match &key.shape {
            Shape::Table(keys) => (format!("`[{path}]`"), keys),
            Shape::List { of, .. } => match &**of {
                Shape::Table(keys) => (format!("`[[{path}]]`"), keys),
                _ => continue,
            },
            _ => continue,
        };
        section(text, &format!("{title}: {}", lower_first(key.about.trim_end_matches('.'))), keys);
        visit(text, &path, keys);
    }
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn section(text: &mut String, title: &str, keys: &[Key]) {
    writeln!(text, "\n### {title}\n").unwrap();
    writeln!(text, "| key | holds | |\n|---|---|---|").unwrap();
    for key in keys {
        let required = if key.required { " **Needed.**" } else { "" };
        writeln!(text, "| `{}` | {} | {}{required} |", key.name, holds(key), key.about.replace('|', "\\|"))
            .unwrap();
    }
    text.push('\n');
    for key in keys {
        if let Shape::Words(words) = &key.shape {
            writeln!(text, "`{}` is one of:\n", key.name).unwrap();
            for word in words {
                writeln!(text, "- `\"{}\"`: {}", word.word, word.about).unwrap();
            }
            text.push('\n');
        }
    }
}

fn holds(key: &Key) -> String {
    let unit = unit_of(&key.name).map_or(String::new(), |unit| format!(" {}", unit.mark));
    let span = |limits: &Limits| {
        if *limits == Limits::PLACE {
            String::new()
        } else {
            format!(", {} to {}{}", limits.least, limits.most, unit.trim_end())
        }
    };
    match &key.shape {
        Shape::Table(_) => "table".to_owned(),
        Shape::List { of, count } => match (&**of, count) {
            (Shape::Table(_), _) => "any number of tables".to_owned(),
            (Shape::List { .. }, _) => "places, `[[x, y], …]`".to_owned(),
            (_, Some(_)) => "a place, `[x, y]`".to_owned(),
            _ => "texts, `[\"a\", \"b\"]`".to_owned(),
        },
        Shape::Text => "text".to_owned(),
        Shape::Slope => "slope, `\"1:200\"`, `\"0.5%\"`, `\"12deg\"`, `\"level\"`".to_owned(),
        Shape::Number(limits) => format!("number{}", span(limits)),
        Shape::Range(limits) => format!("number or range{}", span(limits)),
        Shape::Words(_) => "one of the words below".to_owned(),
        Shape::Flag => "`true` or `false`".to_owned(),
    }
}
