use super::*;
use crate::ink::{CAUTION_HATCH, Face, LINE_PEN};
use crate::page::{Fill, Rect, Spot};

fn page(marks: Vec<Mark>) -> Page {
    let (title, key) = ("a page".to_owned(), "test".to_owned());
    Page { title, key, width_mm: 210.0, height_mm: 297.0, marks }
}

fn text(words: &str, face: Face) -> Mark {
    Text::new(Spot::new(20.0, 20.0), words, face, 4.0).into()
}

/// Every kind of mark is written, and twice the same.
#[test]
fn the_same_pages_give_the_same_bytes() {
    let hatched =
        Mark::rect(Rect::new(1.0, 2.0, 30.0, 40.0), Some(LINE_PEN), Some(Fill::Hatched(CAUTION_HATCH)));
    let disc = Mark::disc(Spot::new(50.0, 50.0), 5.0, Some(LINE_PEN), None);
    let within = Mark::Within(Rect::new(0.0, 0.0, 20.0, 20.0), vec![disc, text("within", Face::Serif)]);
    let told = Mark::part(Role::Heading(1, "heading".to_owned()), vec![text("heading", Face::SerifBold)]);
    let pages = [page(vec![hatched.clone(), within.clone()]), page(vec![told, hatched, within])];
    let first = write("title", &pages).unwrap();
    assert!(first.starts_with(b"%PDF-1.7"));
    assert_eq!(first, write("title", &pages).unwrap());
}

/// Shapes without extent, pages without marks and letters that no face has are no reason to fail.
#[test]
fn odd_marks_are_written() {
    let point = Mark::run(vec![Spot::new(1.0, 1.0)], LINE_PEN);
    let flat = Mark::rect(Rect::new(1.0, 1.0, 0.0, 0.0), None, Some(Fill::Hatched(CAUTION_HATCH)));
    let far = Mark::rect(Rect::new(-1e7, -1e7, 3e7, 3e7), None, Some(Fill::Hatched(CAUTION_HATCH)));
    let words = text("水 \u{7}\u{FEFF}\n", Face::SansBold);
    let empty = Mark::part(Role::Paragraph, Vec::new());
    write("水", &[page(vec![]), page(vec![point, flat, far, words.clone()]), page(vec![words, empty])])
        .unwrap();
}

/// A ligature is found by its letters: every letter of the words belongs to the range of a glyph.
#[test]
fn ligatures_keep_their_letters() {
    let letters = Letters::load();
    for face in [Face::Sans, Face::SansBold, Face::Serif, Face::SerifBold, Face::SerifItalic] {
        let shaped = letters.shaped("office fluff m³", face);
        let told: String =
            shaped.glyphs.iter().map(|glyph| &shaped.words[glyph.text_range.clone()]).collect();
        assert_eq!(told, "office fluff m³", "{face:?}");
    }
}

/// The widths that lines are broken by are those of the faces in the file: kerning and ligatures only narrow them.
#[test]
fn lines_broken_by_the_table_fit() {
    let letters = Letters::load();
    let words = "Water leaves over its sills and never over the bank: 12.5 m from peg 7, 0.35 m deep";
    for face in [Face::Sans, Face::SansBold, Face::Serif, Face::SerifBold, Face::SerifItalic] {
        let table_mm = crate::lettering::width_mm(words, face, 1.0);
        let drawn_mm = letters.shaped(words, face).width;
        assert!(drawn_mm <= table_mm * 1.005, "{face:?}: {drawn_mm} against {table_mm}");
        assert!(drawn_mm >= table_mm * 0.95, "{face:?}: {drawn_mm} against {table_mm}");
    }
}
