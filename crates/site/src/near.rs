//! What a person meant by a word that is not known.

/// The known word nearest to what was written, if one is near: at most one slip in three letters.
pub fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written = written.to_lowercase();
    let mut best: Option<(usize, &str)> = None;
    for word in known {
        let slips = slips(&written, &word.to_lowercase());
        let allowed = 1 + written.chars().count().max(word.chars().count()) / 4;
        if slips <= allowed && best.is_none_or(|(fewest, _)| slips < fewest) {
            best = Some((slips, word));
        }
    }
    best.map(|(_, word)| word)
}

/// Letters to add, drop, change or swap with their neighbour to turn one word into the other.
fn slips(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().collect();
    let b: Vec<char> = b.chars().collect();
    let mut before_last = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    let mut row = vec![0; b.len() + 1];
    for i in 1..=a.len() {
        row[0] = i;
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            row[j] = (last[j - 1] + change).min(last[j] + 1).min(row[j - 1] + 1);
            let swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if swapped {
                row[j] = row[j].min(before_last[j - 2] + 1);
            }
        }
        std::mem::swap(&mut before_last, &mut last);
        std::mem::swap(&mut last, &mut row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_counted_as_a_reader_would() {
        for (a, b, expected) in [
            ("sill", "sill", 0),
            ("sil", "sill", 1),
            ("slil", "sill", 1),
            ("", "bed", 3),
            ("swale", "swales", 1),
            ("drain", "chute", 5),
        ] {
            assert_eq!(slips(a, b), expected, "{a} {b}");
            assert_eq!(slips(b, a), expected, "{b} {a}");
        }
    }

    #[test]
    fn the_nearest_is_offered_only_when_it_is_near() {
        let known = ["bed_width_m", "depth_m", "bank_height_m"];
        assert_eq!(nearest("bed_widht_m", known), Some("bed_width_m"));
        assert_eq!(nearest("Depth_m", known), Some("depth_m"));
        assert_eq!(nearest("colour", known), None);
    }
}
