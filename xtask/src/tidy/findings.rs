//! Every finding has its words, its page and its test; every placeholder of the words is a value it gives.

use super::tree::{File, Tree};

/// What every finding can say without giving it as a value.
const ALWAYS: [&str; 3] = ["line", "thing", "chainage_m"];

/// Complains of findings without words, page or test, and of placeholders nobody fills.
pub fn check(tree: &Tree) -> Vec<String> {
    let Some(messages) = tree.file("messages/en.md") else {
        return vec!["messages/en.md is missing".to_owned()];
    };
    let mut complaints = Vec::new();
    for file in tree.sources("design").filter(|file| file.path.contains("/findings/")) {
        let Some(code) = between(&file.text, "pub const CODE: &str = \"", "\"") else {
            continue;
        };
        complaints.extend(check_one(tree, messages, file, code));
    }
    complaints
}

fn check_one(tree: &Tree, messages: &File, file: &File, code: &str) -> Vec<String> {
    let mut complaints = Vec::new();
    match between(&messages.text, &format!("\n## {code}\n"), "\n## ")
        .or_else(|| last_section(&messages.text, code))
    {
        None => complaints.push(format!("{code} has no section in messages/en.md")),
        Some(section) => {
            for name in placeholders(section) {
                let given = file.text.contains(&format!("\"{name}\",")) || ALWAYS.contains(&name);
                if !given {
                    complaints.push(format!(
                        "{code}: messages/en.md asks for {{{name}}}, which {} does not give",
                        file.path
                    ));
                }
            }
        }
    }
    if tree.file(&format!("docs/findings/{code}.md")).is_none() {
        complaints.push(format!("{code} has no page docs/findings/{code}.md"));
    }
    if !file.text.contains("#[test]") {
        complaints.push(format!("{} has no test", file.path));
    }
    complaints
}

fn last_section<'a>(text: &'a str, code: &str) -> Option<&'a str> {
    text.split_once(&format!("\n## {code}\n")).map(|(_, rest)| rest)
}

fn between<'a>(text: &'a str, start: &str, end: &str) -> Option<&'a str> {
    let (_, rest) = text.split_once(start)?;
    rest.split_once(end).map(|(inside, _)| inside)
}

fn placeholders(text: &str) -> impl Iterator<Item = &str> {
    text.split('{').skip(1).filter_map(|rest| rest.split_once('}').map(|(name, _)| name))
}
