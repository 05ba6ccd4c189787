//! Names carry units, and the units are those of the glossary.

use syn::visit::Visit;

use super::tree::Tree;

/// Complains of public `f64` fields and functions whose names end in no unit of the glossary's table, unless
/// the glossary lists the name as having none.
pub fn check(tree: &Tree) -> Vec<String> {
    let Some(glossary) = tree.file("docs/glossary.md") else {
        return vec!["docs/glossary.md is missing".to_owned()];
    };
    let suffixes = first_column(&glossary.text, "## Endings of names");
    let bare = first_column(&glossary.text, "## Names without a unit");
    let mut complaints = Vec::new();
    if suffixes.is_empty() || bare.is_empty() {
        complaints.push(
            "docs/glossary.md lacks its tables \"Endings of names\" and \"Names without a unit\"".to_owned(),
        );
    }
    for name in ["site", "design"] {
        for file in tree.sources(name) {
            let Ok(parsed) = syn::parse_file(&file.text) else {
                continue;
            };
            let mut fields = Fields(Vec::new());
            fields.visit_file(&parsed);
            for field in fields.0 {
                let known =
                    suffixes.iter().any(|suffix| field.ends_with(suffix.as_str())) || bare.contains(&field);
                if !known {
                    complaints.push(format!("{}: {field} ends in no unit of docs/glossary.md", file.path));
                }
            }
        }
    }
    complaints
}

/// Backquoted words that begin the rows of the table under a heading.
fn first_column(text: &str, heading: &str) -> Vec<String> {
    let Some(start) = text.find(heading) else {
        return Vec::new();
    };
    let section = &text[start + heading.len()..];
    let section = section.find("\n## ").map_or(section, |end| &section[..end]);
    section
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .filter_map(|rest| rest.split_once('`').map(|(word, _)| word.to_owned()))
        .collect()
}

/// Names of public number fields.
struct Fields(Vec<String>);

impl<'ast> Visit<'ast> for Fields {
    fn visit_field(&mut self, field: &'ast syn::Field) {
        let public = matches!(field.vis, syn::Visibility::Public(_));
        if let (true, Some(ident), true) = (public, &field.ident, is_number(&field.ty)) {
            self.0.push(ident.to_string());
        }
    }
}

fn is_number(ty: &syn::Type) -> bool {
    let syn::Type::Path(path) = ty else { return false };
    let Some(last) = path.path.segments.last() else {
        return false;
    };
    if last.ident == "f64" || last.ident == "Estimate" {
        return true;
    }
    match &last.arguments {
        syn::PathArguments::AngleBracketed(inner) if last.ident == "Option" => inner
            .args
            .iter()
            .any(|argument| matches!(argument, syn::GenericArgument::Type(ty) if is_number(ty))),
        _ => false,
    }
}
