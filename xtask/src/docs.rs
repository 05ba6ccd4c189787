//! The documents as a folder of web pages: `cargo run -p xtask -- docs` writes them into `target/docs`.
//!
//! Every link between documents is followed on the way: a file, a picture or a heading that is not there is a complaint.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Component, Path, PathBuf};

use pulldown_cmark::{CowStr, Event, Options, Parser, Tag, TagEnd, html};

use crate::tidy::tree::{File, Tree};

/// Where the pages go.
const OUT: &str = "target/docs";
/// Documents that lie at the root of the checkout.
const AT_ROOT: [&str; 3] = ["README.md", "ARCHITECTURE.md", "CHANGELOG.md"];

const STYLE: &str = "body{max-width:46rem;margin:2rem auto;padding:0 1rem;color:#1e1b16;background:#fff;\
    font:1.05rem/1.55 Georgia,Cambria,serif}h1,h2,h3{line-height:1.2}h2{border-bottom:1px solid #bfb49b}\
    a{color:#20619e}nav{border-bottom:2px solid #823f66;padding-bottom:.4rem}img{max-width:100%}\
    pre{overflow-x:auto;padding:.6rem;background:#f4eddc}code{font-size:.9em}table{border-collapse:collapse}\
    td,th{padding:.2rem .6rem;border-bottom:1px solid #bfb49b;text-align:left;vertical-align:top}\
    @media print{nav{display:none}}";

/// Writes the pages.
pub fn write() -> Result<(), String> {
    let tree = Tree::read()?;
    let complaints = broken_links(&tree);
    if !complaints.is_empty() {
        return Err(complaints.join("\n"));
    }
    let out = Path::new(OUT);
    for page in pages(&tree) {
        put(&out.join(page_name(&page.path)), html_of(page).as_bytes())?;
        for target in local_targets(page) {
            let path = resolved(&page.path, &target);
            if !path.ends_with(".md") && Path::new(&path).is_file() {
                let bytes = std::fs::read(&path).map_err(|e| format!("{path}: {e}"))?;
                put(&out.join(&path), &bytes)?;
            }
        }
    }
    println!("{}", out.join("README.html").display());
    Ok(())
}

fn put(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let told = |e: std::io::Error| format!("{}: {e}", path.display());
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(told)?;
    }
    std::fs::write(path, bytes).map_err(told)
}

fn pages(tree: &Tree) -> impl Iterator<Item = &File> {
    let is_page = |path: &str| AT_ROOT.contains(&path) || path.starts_with("docs/");
    tree.files.iter().filter(move |file| file.path.ends_with(".md") && is_page(&file.path))
}

fn page_name(path: &str) -> String {
    path.strip_suffix(".md").map_or_else(|| path.to_owned(), |name| format!("{name}.html"))
}

/// Links that lead nowhere, each with the page it stands on.
pub fn broken_links(tree: &Tree) -> Vec<String> {
    let anchors: BTreeMap<&str, BTreeSet<String>> =
        pages(tree).map(|page| (page.path.as_str(), headings(&page.text).collect())).collect();
    let mut complaints = Vec::new();
    for page in pages(tree) {
        for target in local_targets(page) {
            let anchor = target.split_once('#').map(|(_, anchor)| anchor);
            let path = resolved(&page.path, &target);
            let leads = if let (Some(anchor), Some(there)) = (anchor, anchors.get(path.as_str())) {
                there.contains(anchor)
            } else {
                Path::new(&path).exists()
            };
            if !leads {
                complaints.push(format!("{}: the link to {target} leads nowhere", page.path));
            }
        }
    }
    complaints
}

/// Targets of links and pictures that lie in the checkout.
fn local_targets(page: &File) -> Vec<String> {
    let targets = parser(&page.text).filter_map(|event| match event {
        Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => Some(dest_url.to_string()),
        _ => None,
    });
    targets.filter(|target| !target.contains("://") && !target.starts_with("mailto:")).collect()
}

/// A target as a path from the root of the checkout, without its anchor.
fn resolved(page: &str, target: &str) -> String {
    let path = target.split('#').next().unwrap_or_default();
    if path.is_empty() {
        return page.to_owned();
    }
    let folder = Path::new(page).parent().unwrap_or(Path::new(""));
    let mut plain = PathBuf::new();
    for part in folder.join(path).components() {
        match part {
            Component::ParentDir => {
                plain.pop();
            }
            Component::Normal(name) => plain.push(name),
            _ => {}
        }
    }
    plain.to_string_lossy().into_owned()
}

fn parser(text: &str) -> Parser<'_> {
    Parser::new_ext(text, Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH)
}

/// Names of a page's headings, as links say them.
fn headings(text: &str) -> impl Iterator<Item = String> + use<> {
    let mut found = Vec::new();
    let mut open: Option<String> = None;
    for event in parser(text) {
        match event {
            Event::Start(Tag::Heading { .. }) => open = Some(String::new()),
            Event::End(TagEnd::Heading(_)) => found.extend(open.take().map(|words| anchor(&words))),
            Event::Text(words) | Event::Code(words) => {
                if let Some(open) = &mut open {
                    open.push_str(&words);
                }
            }
            _ => {}
        }
    }
    found.into_iter()
}

/// A heading as a link says it: lower case, hyphens for spaces, no punctuation.
fn anchor(words: &str) -> String {
    let kept = words.chars().filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_'));
    kept.collect::<String>().to_lowercase().replace(' ', "-")
}

fn html_of(page: &File) -> String {
    let mut names = headings(&page.text);
    let mut title = String::new();
    let events = parser(&page.text).map(|event| match event {
        Event::Start(Tag::Heading { level, classes, attrs, .. }) => {
            let id = names.next().map(CowStr::from);
            if title.is_empty() {
                title = id.as_deref().unwrap_or_default().replace('-', " ");
            }
            Event::Start(Tag::Heading { level, id, classes, attrs })
        }
        Event::Start(Tag::Link { link_type, dest_url, title, id }) => {
            let dest_url = CowStr::from(to_page(&dest_url));
            Event::Start(Tag::Link { link_type, dest_url, title, id })
        }
        event => event,
    });
    let mut body = String::new();
    html::push_html(&mut body, events);
    let up = "../".repeat(page.path.matches('/').count());
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>Hillsip: {title}</title><style>{STYLE}</style></head>\n\
         <body><nav><a href=\"{up}README.html\">Hillsip</a> · <a href=\"{up}docs/guide/README.html\">guide</a> · \
         <a href=\"{up}docs/README.html\">all documents</a></nav>\n{body}</body></html>\n"
    )
}

/// A link to a document as a link to its page.
fn to_page(target: &str) -> String {
    if target.contains("://") {
        return target.to_owned();
    }
    match target.split_once('#') {
        Some((path, anchor)) => format!("{}#{anchor}", page_name(path)),
        None => page_name(target),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(files: &[(&str, &str)]) -> Tree {
        let file = |(path, text): &(&str, &str)| File { path: (*path).to_owned(), text: (*text).to_owned() };
        Tree { files: files.iter().map(file).collect() }
    }

    #[test]
    fn links_lead_to_files_and_headings() {
        let good = tree(&[
            ("docs/a.md", "# A b\n[c](guide/c.md#the-end) [up](#a-b) [far](https://example.org)"),
            ("docs/guide/c.md", "# C\n## The *end*\n[a](../a.md)"),
        ]);
        // Files beside the tree are looked for on the disk: only headings of known pages are answered from it.
        let told = broken_links(&good);
        assert!(told.iter().all(|told| told.contains("../a.md")), "{told:?}");
        let bad = tree(&[("docs/a.md", "[b](no-such.md) [c](#nothing)")]);
        assert_eq!(broken_links(&bad).len(), 2);
    }

    #[test]
    fn pages_link_to_pages() {
        let page = File { path: "docs/a.md".to_owned(), text: "# The A\n[b](guide/b.md#x) `<i>`".to_owned() };
        let html = html_of(&page);
        assert!(html.contains("href=\"guide/b.html#x\"") && html.contains("<h1 id=\"the-a\">"), "{html}");
        assert!(html.contains("&lt;i&gt;") && html.contains("href=\"../README.html\""), "{html}");
    }
}
