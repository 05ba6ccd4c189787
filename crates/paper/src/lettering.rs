//! How much room words take.
//!
//! A page names fonts but does not carry them, so the width of a text can only be estimated: the advance
//! widths below are those of DejaVu Sans Condensed and DejaVu Serif Condensed 2.37 (font table `hmtx`), the
//! first fonts the papers ask for and wider than the others they fall back to. Letters beyond ASCII count as
//! wide as a capital, other scripts as wide as they are tall: an estimate that errs on the wide side keeps
//! labels apart.

use crate::ink::Face;

/// Widths of the characters from space to tilde, thousandths of the size.
#[rustfmt::skip]
const SANS: [u16; 95] = [
    286, 360, 414, 754, 572, 855, 702, 247, 351, 351, 450, 754, 286, 325, 286, 303, 572, 572, 572, 572, 572, 572,
    572, 572, 572, 572, 303, 303, 754, 754, 754, 478, 900, 615, 617, 628, 693, 568, 518, 697, 677, 265, 265, 590,
    501, 776, 673, 708, 542, 708, 625, 571, 549, 659, 615, 890, 616, 549, 616, 351, 303, 351, 754, 450, 450, 551,
    571, 495, 571, 554, 316, 571, 570, 250, 250, 521, 250, 876, 570, 550, 571, 571, 370, 469, 353, 570, 532, 736,
    532, 532, 472, 572, 303, 572, 754,
];
#[rustfmt::skip]
const SANS_BOLD: [u16; 95] = [
    313, 410, 469, 754, 626, 901, 785, 275, 411, 411, 470, 754, 342, 374, 342, 329, 626, 626, 626, 626, 626, 626,
    626, 626, 626, 626, 360, 360, 754, 754, 754, 522, 900, 696, 686, 660, 747, 615, 615, 738, 753, 334, 334, 697,
    573, 896, 753, 765, 659, 765, 693, 648, 614, 730, 696, 993, 694, 651, 652, 411, 329, 411, 754, 450, 450, 607,
    644, 533, 644, 610, 391, 644, 641, 308, 308, 598, 308, 938, 641, 618, 644, 644, 444, 536, 430, 641, 586, 831,
    580, 586, 523, 641, 329, 641, 754,
];
#[rustfmt::skip]
const SERIF: [u16; 95] = [
    286, 361, 414, 754, 572, 855, 801, 247, 351, 351, 450, 754, 286, 304, 286, 303, 572, 572, 572, 572, 572, 572,
    572, 572, 572, 572, 303, 303, 754, 754, 754, 482, 900, 650, 661, 688, 721, 657, 624, 719, 785, 355, 360, 672,
    598, 921, 787, 738, 605, 738, 677, 616, 600, 758, 650, 925, 641, 594, 625, 351, 303, 351, 754, 450, 450, 536,
    576, 504, 576, 532, 333, 576, 580, 288, 279, 545, 288, 853, 580, 542, 576, 576, 430, 461, 361, 580, 508, 770,
    507, 508, 474, 572, 303, 572, 754,
];
#[rustfmt::skip]
const SERIF_BOLD: [u16; 95] = [
    313, 395, 469, 754, 626, 855, 812, 275, 426, 426, 470, 754, 313, 374, 313, 329, 626, 626, 626, 626, 626, 626,
    626, 626, 626, 626, 332, 332, 754, 754, 754, 527, 900, 698, 760, 716, 780, 686, 639, 769, 850, 421, 426, 782,
    633, 996, 822, 784, 677, 784, 748, 650, 669, 785, 698, 1011, 698, 642, 657, 426, 329, 426, 754, 450, 450, 583,
    629, 548, 629, 572, 387, 629, 654, 342, 325, 624, 342, 952, 654, 600, 629, 629, 474, 506, 416, 654, 523, 774,
    536, 523, 511, 579, 327, 579, 754,
];
/// A Latin letter with an accent, thousandths of the size.
const OTHER_LATIN: u16 = 700;
/// A character of another script.
const OTHER_SCRIPT: u16 = 1000;
/// Where the Latin blocks of Unicode, Extended-B included, end.
const LATIN_END: u32 = 0x250;

/// Height of capitals and figures as a share of the size (DejaVu 2.37, font table `OS/2`: 0.729).
pub const CAPITAL_SHARE: f64 = 0.73;
/// How far letters reach below the base line, as a share of the size (DejaVu 2.37, font table `hhea`: 0.236).
pub const BELOW_SHARE: f64 = 0.24;
/// From base line to base line of running text, as a share of the size: common practice, no source.
pub const LEADING: f64 = 1.32;

/// Estimated width of a text.
pub fn width_mm(words: &str, face: Face, size_mm: f64) -> f64 {
    let table = match face {
        Face::Sans => &SANS,
        Face::SansBold => &SANS_BOLD,
        Face::Serif | Face::SerifItalic => &SERIF,
        Face::SerifBold => &SERIF_BOLD,
    };
    let thousandths: u64 = words.chars().map(|c| u64::from(character_width(c, table))).sum();
    thousandths as f64 / 1000.0 * size_mm
}

fn character_width(c: char, table: &[u16; 95]) -> u16 {
    match c as u32 {
        code @ 0x20..0x7F => table[code as usize - 0x20],
        0x2009 | 0x202F => 200, // Thin spaces, a fifth of the size by Unicode's definition.
        0x2013 | 0x00B7 | 0x00B0 => table[0], // Dash, dot and degree: about a space, 286 to 500.
        code if code < LATIN_END => OTHER_LATIN,
        _ => OTHER_SCRIPT,
    }
}

/// Running text broken into lines that fit a width. A word that is too long alone is broken.
pub fn wrap(words: &str, face: Face, size_mm: f64, fit_mm: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width_mm(&longer, face, size_mm) <= fit_mm {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = broken(word, face, size_mm, fit_mm, &mut lines);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Pushes the full lines of a word that is too long and gives back what is left of it.
fn broken(word: &str, face: Face, size_mm: f64, fit_mm: f64, lines: &mut Vec<String>) -> String {
    let mut part = String::new();
    for c in word.chars() {
        part.push(c);
        if width_mm(&part, face, size_mm) > fit_mm && part.chars().count() > 1 {
            part.pop();
            lines.push(std::mem::take(&mut part));
            part.push(c);
        }
    }
    part
}

/// A text cut to a width, with "…" where something is missing.
pub fn cut(words: &str, face: Face, size_mm: f64, fit_mm: f64) -> String {
    if width_mm(words, face, size_mm) <= fit_mm {
        return words.to_owned();
    }
    let mut kept = words.to_owned();
    while kept.pop().is_some() {
        let shown = format!("{}…", kept.trim_end());
        if width_mm(&shown, face, size_mm) <= fit_mm {
            return shown;
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Figures are 0.572 of the size wide, so five at 2 mm are 5.72 mm.
    #[test]
    fn width_by_hand() {
        assert!((width_mm("12345", Face::Sans, 2.0) - 5.72).abs() < 1e-12);
        assert_eq!(width_mm("", Face::Serif, 2.0), 0.0);
        assert!(width_mm("é水", Face::Sans, 1.0) >= 1.7);
    }

    #[test]
    fn wrapped_lines_fit_and_lose_nothing() {
        let text = "water leaves over its sills and averyveryverylongwordthatfitsnoline never over the bank";
        let lines = wrap(text, Face::Serif, 2.5, 20.0);
        for line in &lines {
            assert!(width_mm(line, Face::Serif, 2.5) <= 20.0, "{line}");
        }
        let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        assert_eq!(letters(&lines.concat()), letters(text));
    }

    #[test]
    fn cut_says_that_something_is_missing() {
        assert_eq!(cut("barn", Face::Sans, 2.0, 20.0), "barn");
        let shown = cut("water pipe to the barn", Face::Sans, 2.0, 12.0);
        assert!(shown.ends_with('…') && width_mm(&shown, Face::Sans, 2.0) <= 12.0, "{shown}");
    }
}
