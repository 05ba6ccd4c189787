//! HTML documents with blanks: `{name}` where a text goes in.

/// The template with its blanks filled. A text that was put in is not looked at again.
pub(crate) fn filled(template: &str, blanks: &[(&str, String)]) -> String {
    let mut out = String::with_capacity(2 * template.len());
    let mut rest = template;
    while let Some(open) = rest.find('{') {
        let blank = blanks.iter().find_map(|(name, text)| {
            let after = rest[open + 1..].strip_prefix(name)?.strip_prefix('}')?;
            Some((text, after))
        });
        match blank {
            Some((text, after)) => {
                out.push_str(&rest[..open]);
                out.push_str(text);
                rest = after;
            }
            None => {
                out.push_str(&rest[..=open]);
                rest = &rest[open + 1..];
            }
        }
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Braces of scripts and styles stay, and what was put in is not searched for blanks.
    #[test]
    fn only_known_blanks_are_filled_and_only_once() {
        let blanks = [("a", "{b}".to_owned()), ("b", "2".to_owned())];
        assert_eq!(filled("{a} {b} {c} { a } if (x) {a}", &blanks), "{b} 2 {c} { a } if (x) {b}");
        assert_eq!(filled("{", &blanks), "{");
    }
}
