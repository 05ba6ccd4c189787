//! Surplus that goes in a circle.

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "surplus-in-a-circle";

/// One finding a site.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let circle = &facts.sizes.spill_circle;
    let Some(first) = circle.first() else {
        return Vec::new();
    };
    let way: Vec<&str> = circle.iter().chain([first]).map(String::as_str).collect();
    vec![Finding {
        code: CODE,
        severity: Severity::Stop,
        place: Place { line: Some(first.clone()), ..Place::default() },
        values: vec![("circle", way.join(" → "))],
        source: "water does not run uphill",
    }]
}

#[cfg(test)]
mod tests {
    use super::super::sample::Sample;
    use super::*;

    #[test]
    fn the_way_round_is_told() {
        let mut sample = Sample::sound();
        assert!(find(&sample.facts()).is_empty());
        sample.sizes.spill_circle = vec!["top".to_owned(), "low".to_owned()];
        assert_eq!(find(&sample.facts())[0].values, vec![("circle", "top → low → top".to_owned())]);
    }
}
