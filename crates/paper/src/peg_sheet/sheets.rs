//! Pages that fill from the top, with the same head and foot on each.

use crate::ink::{CAUTION, Face, INK_2, PLUM_PEN};
use crate::lettering::{LEADING, cut, wrap};
use crate::page::{Align, Mark, Page, Rect, Spot, Text};
use crate::plan::Sheet;
use crate::words;

const BORDER_MM: f64 = 10.0;
const HEAD_MM: f64 = 13.0;
const FOOT_MM: f64 = 11.0;
const HEAD_SIZE_MM: f64 = 4.0;
const SMALL_MM: f64 = 2.5;

/// Pages being written.
pub(super) struct Sheets {
    pages: Vec<Leaf>,
    top_mm: f64,
}

/// One page before its head is known.
struct Leaf {
    /// What stands in its head beside the site's name.
    about: String,
    marks: Vec<Mark>,
}

impl Sheets {
    pub fn new() -> Sheets {
        Sheets { pages: Vec::new(), top_mm: 0.0 }
    }

    /// Begins a new page.
    pub fn turn(&mut self, about: &str) {
        self.pages.push(Leaf { about: about.to_owned(), marks: Vec::new() });
        self.top_mm = self.body().top_mm;
    }

    /// The part of a page between head and foot.
    pub fn body(&self) -> Rect {
        let (width_mm, height_mm) = Sheet::A4Portrait.size_mm();
        Rect::new(
            BORDER_MM,
            BORDER_MM + HEAD_MM,
            width_mm - 2.0 * BORDER_MM,
            height_mm - 2.0 * BORDER_MM - HEAD_MM - FOOT_MM,
        )
    }

    /// What is left of the page.
    pub fn room_mm(&self) -> f64 {
        self.body().bottom_mm() - self.top_mm
    }

    /// The next free stretch of a page; a new page about the same where this one is full.
    pub fn area(&mut self, height_mm: f64) -> Rect {
        if height_mm > self.room_mm() {
            let about = self.pages.last().map_or(String::new(), |leaf| leaf.about.clone());
            self.turn(&about);
        }
        let body = self.body();
        let area = Rect::new(body.left_mm, self.top_mm, body.width_mm, height_mm);
        self.top_mm += height_mm;
        area
    }

    /// Leaves a gap.
    pub fn gap(&mut self, height_mm: f64) {
        self.top_mm += height_mm;
    }

    /// Marks on the page whose area was given out last.
    pub fn add(&mut self, marks: impl IntoIterator<Item = Mark>) {
        let leaf = self.pages.last_mut().expect("a page was begun");
        leaf.marks.extend(marks);
    }

    /// Running text, from page to page.
    pub fn paragraph(&mut self, words: &str, face: Face, size_mm: f64, indent_mm: f64) {
        for line in wrap(words, face, size_mm, self.body().width_mm - indent_mm) {
            let area = self.area(size_mm * LEADING);
            let at = Spot::new(area.left_mm + indent_mm, area.top_mm + size_mm);
            self.add([Text::new(at, line, face, size_mm).into()]);
        }
    }

    /// The pages, each with its head, its foot and its number.
    pub fn into_pages(self, site: &str) -> Vec<Page> {
        let count = self.pages.len();
        let (width_mm, height_mm) = Sheet::A4Portrait.size_mm();
        let inner = Rect::new(0.0, 0.0, width_mm, height_mm).inset(BORDER_MM);
        self.pages
            .into_iter()
            .enumerate()
            .map(|(i, leaf)| {
                let mut marks = head(inner, site, &leaf.about);
                marks.extend(leaf.marks);
                marks.extend(foot(inner, i + 1, count));
                Page {
                    title: format!("{site}: {}, {}", words::PEG_SHEET_TITLE, leaf.about),
                    key: format!("pegs-{}", i + 1),
                    width_mm,
                    height_mm,
                    marks,
                }
            })
            .collect()
    }
}

fn head(inner: Rect, site: &str, about: &str) -> Vec<Mark> {
    let base = inner.top_mm + 6.0;
    let rule = inner.top_mm + HEAD_MM - 4.0;
    let half_mm = inner.width_mm / 2.0 - 2.0;
    let about = cut(about, Face::SerifBold, HEAD_SIZE_MM, half_mm);
    let site = format!("{site}: {}", words::PEG_SHEET_TITLE.to_lowercase());
    let site = cut(&site, Face::SerifItalic, HEAD_SIZE_MM, half_mm);
    vec![
        Text::new(Spot::new(inner.left_mm, base), about, Face::SerifBold, HEAD_SIZE_MM).into(),
        Text::new(Spot::new(inner.right_mm(), base), site, Face::SerifItalic, HEAD_SIZE_MM)
            .aligned(Align::End)
            .into(),
        Mark::run(vec![Spot::new(inner.left_mm, rule), Spot::new(inner.right_mm(), rule)], PLUM_PEN),
    ]
}

fn foot(inner: Rect, page: usize, count: usize) -> Vec<Mark> {
    let base = inner.bottom_mm() - 1.0;
    let rule = inner.bottom_mm() - FOOT_MM + 3.5;
    vec![
        Mark::run(vec![Spot::new(inner.left_mm, rule), Spot::new(inner.right_mm(), rule)], PLUM_PEN),
        Text::new(Spot::new(inner.left_mm, base), words::peg_sheet::FOOT, Face::Serif, SMALL_MM)
            .in_colour(CAUTION)
            .into(),
        Text::new(
            Spot::new(inner.right_mm(), base),
            words::peg_sheet::page(page, count),
            Face::Sans,
            SMALL_MM,
        )
        .aligned(Align::End)
        .in_colour(INK_2)
        .into(),
    ]
}
