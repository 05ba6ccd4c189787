//! Pages that fill from the top with headings, running text and tables, with the same head and foot on each.
//!
//! What is set here is told as well as drawn: headings, paragraphs and cells are parts of the page.

pub(crate) mod findings;

use crate::ink::{CAUTION, Face, HAIR_PEN, INK, INK_2, MARK_PEN, PLUM, PLUM_PEN};
use crate::lettering::{LEADING, cut, width_mm as width_mm_of, wrap};
use crate::page::{Align, Mark, Page, Pen, Rect, Role, Spot, Text};
use crate::plan::Format;
use crate::words;

const BORDER_MM: f64 = 10.0;
const HEAD_MM: f64 = 13.0;
const FOOT_MM: f64 = 11.0;
const HEAD_SIZE_MM: f64 = 4.0;
const SMALL_MM: f64 = 2.5;
/// Size of running text.
pub(crate) const BODY_MM: f64 = 3.1;
const TITLE_MM: f64 = 7.0;
const HEADING_MM: f64 = 4.2;
const CELL_MM: f64 = 2.9;
const CELL_PAD_MM: f64 = 1.2;
/// Height of a box to write in with a muddy pencil.
const BLANK_MM: f64 = 9.0;
/// Every so many rows of a table a rule is stronger, so that the eye keeps its row.
const STRONG_EACH: usize = 5;

/// Pages being written.
pub(crate) struct Flow {
    format: Format,
    pages: Vec<Leaf>,
    top_mm: f64,
}

/// One page before its head is known.
struct Leaf {
    /// What stands in its head beside the site's name.
    about: String,
    marks: Vec<Mark>,
}

/// What the pages are of.
pub(crate) struct Titles<'a> {
    /// The site's name.
    pub site: &'a str,
    /// What kind of sheet it is.
    pub sheet: &'a str,
    /// Short name, letters and hyphens.
    pub key: &'a str,
    /// Whether each page carries its number; pages that are bound are numbered when they are.
    pub numbered: bool,
}

/// A table of words and figures.
pub(crate) struct Table {
    /// Heads of the columns with their share of the width, and where their cells stand.
    pub columns: Vec<(String, f64, Align)>,
    /// The rows, a cell for each column.
    pub rows: Vec<Vec<String>>,
    /// Columns from this one on are boxes to write in.
    pub blank_from: usize,
}

impl Table {
    /// An empty table: names of columns, their shares of the width, and whether they hold figures.
    pub fn of(columns: &[(&str, f64, Align)]) -> Table {
        let columns =
            columns.iter().map(|(head, share, align)| ((*head).to_owned(), *share, *align)).collect();
        Table { columns, rows: Vec::new(), blank_from: usize::MAX }
    }

    /// The same with boxes to write in from this column on.
    pub fn with_blanks_from(self, blank_from: usize) -> Table {
        Table { blank_from, ..self }
    }
}

impl Flow {
    pub fn new(format: Format) -> Flow {
        Flow { format, pages: Vec::new(), top_mm: 0.0 }
    }

    /// Begins a new page.
    pub fn turn(&mut self, about: &str) {
        self.pages.push(Leaf { about: about.to_owned(), marks: Vec::new() });
        self.top_mm = self.body().top_mm;
    }

    /// The part of a page between head and foot.
    pub fn body(&self) -> Rect {
        let (width_mm, height_mm) = self.format.upright().size_mm();
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

    /// A row of a table on the page whose area was given out last, behind the row that stands there already.
    pub fn add_row(&mut self, row: Vec<Mark>) {
        let leaf = self.pages.last_mut().expect("a page was begun");
        let row = Mark::part(Role::Row, row);
        match leaf.marks.last_mut() {
            Some(Mark::Part(Role::Table, rows)) => rows.push(row),
            _ => leaf.marks.push(Mark::part(Role::Table, vec![row])),
        }
    }

    /// The title of a part.
    pub fn title(&mut self, words: &str) {
        let lines = wrap(words, Face::SerifBold, TITLE_MM, self.body().width_mm);
        let area = self.area(TITLE_MM * (0.35 + 1.15 * lines.len() as f64));
        let line = |(row, line): (usize, String)| {
            let down_mm = TITLE_MM * (0.85 + 1.15 * row as f64);
            Text::new(Spot::new(area.left_mm, area.top_mm + down_mm), line, Face::SerifBold, TITLE_MM).into()
        };
        let marks = lines.into_iter().enumerate().map(line).collect();
        self.add([Mark::part(Role::Heading(1, words.to_owned()), marks)]);
    }

    /// A heading with its rule, and room for something under it.
    pub fn heading(&mut self, words: &str) {
        const WITH_WHAT_FOLLOWS_MM: f64 = 20.0;
        if self.room_mm() < WITH_WHAT_FOLLOWS_MM {
            self.gap(WITH_WHAT_FOLLOWS_MM);
        }
        let area = self.area(HEADING_MM * 1.6);
        let base = area.top_mm + HEADING_MM;
        let at = Spot::new(area.left_mm, base);
        let shown = cut(words, Face::SerifBold, HEADING_MM, area.width_mm);
        let text = Text::new(at, shown, Face::SerifBold, HEADING_MM).in_colour(INK).into();
        self.add([
            Mark::part(Role::Heading(2, words.to_owned()), vec![text]),
            across(area, base + 1.2, HAIR_PEN),
        ]);
    }

    /// Running text, from page to page.
    pub fn paragraph(&mut self, words: &str, face: Face, size_mm: f64, indent_mm: f64) {
        let mut told: Vec<Mark> = Vec::new();
        for line in wrap(words, face, size_mm, self.body().width_mm - indent_mm) {
            if self.room_mm() < size_mm * LEADING && !told.is_empty() {
                self.add([Mark::part(Role::Paragraph, std::mem::take(&mut told))]);
            }
            let area = self.area(size_mm * LEADING);
            let at = Spot::new(area.left_mm + indent_mm, area.top_mm + size_mm);
            told.push(Text::new(at, line, face, size_mm).into());
        }
        if !told.is_empty() {
            self.add([Mark::part(Role::Paragraph, told)]);
        }
    }

    /// Running text in the usual letters, with a gap behind it.
    pub fn say(&mut self, words: &str) {
        self.paragraph(words, Face::Serif, BODY_MM, 0.0);
        self.gap(1.2);
    }

    /// Items behind a dash each.
    pub fn list(&mut self, items: &[String]) {
        const INDENT_MM: f64 = 4.5;
        let mut told = Vec::new();
        for item in items {
            let lines = wrap(item, Face::Serif, BODY_MM, self.body().width_mm - INDENT_MM);
            let height_mm = lines.len() as f64 * BODY_MM * LEADING + 0.6;
            if self.room_mm() < height_mm && !told.is_empty() {
                self.add([Mark::part(Role::List, std::mem::take(&mut told))]);
            }
            let area = self.area(height_mm);
            let dash = Spot::new(area.left_mm, area.top_mm + BODY_MM);
            let mut marks: Vec<Mark> =
                vec![Text::new(dash, "–", Face::Serif, BODY_MM).in_colour(INK_2).into()];
            for (row, line) in lines.into_iter().enumerate() {
                let down_mm = BODY_MM * (1.0 + row as f64 * LEADING);
                let at = Spot::new(area.left_mm + INDENT_MM, area.top_mm + down_mm);
                marks.push(Text::new(at, line, Face::Serif, BODY_MM).into());
            }
            told.push(Mark::part(Role::Item, marks));
        }
        if !told.is_empty() {
            self.add([Mark::part(Role::List, told)]);
        }
        self.gap(1.2);
    }

    /// Boxes to write in, side by side, each behind its words.
    pub fn blanks(&mut self, words: &[&str]) {
        const HEIGHT_MM: f64 = 11.0;
        let area = self.area(HEIGHT_MM);
        let width_mm = area.width_mm / words.len().max(1) as f64;
        let mut marks = Vec::new();
        for (i, words) in words.iter().enumerate() {
            let left = area.left_mm + i as f64 * width_mm;
            let at = Spot::new(left, area.top_mm + 6.2);
            let label = Text::new(at, *words, Face::SerifBold, BODY_MM).in_colour(PLUM);
            let from = left + width_mm_of(words, Face::SerifBold, BODY_MM) + 2.0;
            let blank = Rect::new(from, area.top_mm + 1.0, left + width_mm - 3.0 - from, HEIGHT_MM - 2.5);
            marks.push(Mark::part(Role::Paragraph, vec![label.into()]));
            marks.push(Mark::rect(blank, Some(PLUM_PEN), None));
        }
        self.add(marks);
    }

    /// A table, its heads again on each page.
    pub fn table(&mut self, table: &Table) {
        if table.rows.is_empty() {
            return;
        }
        let heads: Vec<String> = table.columns.iter().map(|(head, ..)| head.clone()).collect();
        let head = Cells::of(self, table, &heads, Face::SerifBold, CELL_MM - 0.3);
        if let Some(first) = table.rows.first() {
            let first = Cells::of(self, table, first, Face::Sans, CELL_MM);
            if self.room_mm() < head.height_mm + first.height_mm {
                self.gap(head.height_mm + first.height_mm);
            }
        }
        self.write_row(table, &head, &Role::Head, Pen::new(INK, 0.45));
        for (i, row) in table.rows.iter().enumerate() {
            let cells = Cells::of(self, table, row, Face::Sans, CELL_MM);
            if self.room_mm() < cells.height_mm {
                let about = self.pages.last().map_or(String::new(), |leaf| leaf.about.clone());
                self.turn(&about);
                self.write_row(table, &head, &Role::Head, Pen::new(INK, 0.45));
            }
            let rule = if (i + 1) % STRONG_EACH == 0 { MARK_PEN } else { HAIR_PEN };
            self.write_row(table, &cells, &Role::Cell, rule);
        }
        self.add([Mark::part(Role::Ornament, Vec::new())]);
        self.gap(3.0);
    }

    fn write_row(&mut self, table: &Table, cells: &Cells, role: &Role, rule: Pen) {
        let area = self.area(cells.height_mm);
        let mut row = Vec::new();
        let mut left = area.left_mm;
        for (i, ((_, share, align), lines)) in table.columns.iter().zip(&cells.lines).enumerate() {
            let width = share * area.width_mm;
            let x = match align {
                Align::Start => left + CELL_PAD_MM,
                Align::Middle => left + width / 2.0,
                Align::End => left + width - CELL_PAD_MM,
            };
            let line = |(i, line): (usize, &String)| {
                let y = area.top_mm + CELL_PAD_MM + cells.size_mm * (0.95 + i as f64 * LEADING);
                Text::new(Spot::new(x, y), line, cells.face, cells.size_mm).aligned(*align).into()
            };
            let mut marks: Vec<Mark> = lines.iter().enumerate().map(line).collect();
            if i >= table.blank_from && *role == Role::Cell {
                let cell = Rect::new(left, area.top_mm, width, area.height_mm);
                marks.push(Mark::rect(cell.inset(0.7), Some(PLUM_PEN), None));
            }
            row.push(Mark::part(role.clone(), marks));
            left += width;
        }
        row.push(across(area, area.bottom_mm(), rule));
        self.add_row(row);
    }

    /// The pages, each with its head, its foot and, where asked, its number.
    pub fn into_pages(self, titles: &Titles) -> Vec<Page> {
        let count = self.pages.len();
        let (width_mm, height_mm) = self.format.upright().size_mm();
        let inner = Rect::new(0.0, 0.0, width_mm, height_mm).inset(BORDER_MM);
        let page = |(i, leaf): (usize, Leaf)| {
            let mut marks = vec![Mark::part(Role::Ornament, head(inner, titles, &leaf.about))];
            marks.extend(leaf.marks);
            let number = titles.numbered.then(|| words::peg_sheet::page(i + 1, count));
            marks.push(Mark::part(Role::Ornament, foot(inner, number)));
            Page {
                title: format!("{}: {}, {}", titles.site, titles.sheet, leaf.about),
                key: format!("{}-{}", titles.key, i + 1),
                width_mm,
                height_mm,
                marks,
            }
        };
        self.pages.into_iter().enumerate().map(page).collect()
    }
}

/// A row with its cells broken into lines.
struct Cells {
    lines: Vec<Vec<String>>,
    face: Face,
    size_mm: f64,
    height_mm: f64,
}

impl Cells {
    fn of(flow: &Flow, table: &Table, row: &[String], face: Face, size_mm: f64) -> Cells {
        let width_mm = flow.body().width_mm;
        let lines: Vec<Vec<String>> = table
            .columns
            .iter()
            .zip(row)
            .map(|((_, share, _), cell)| wrap(cell, face, size_mm, share * width_mm - 2.0 * CELL_PAD_MM))
            .collect();
        let most = lines.iter().map(Vec::len).max().unwrap_or(1).max(1);
        let words_mm = size_mm * (1.0 + (most as f64 - 1.0) * LEADING + 0.25) + 2.0 * CELL_PAD_MM;
        let height_mm =
            if table.blank_from < table.columns.len() { words_mm.max(BLANK_MM) } else { words_mm };
        Cells { lines, face, size_mm, height_mm }
    }
}

/// A rule across an area.
pub(crate) fn across(area: Rect, y_mm: f64, pen: Pen) -> Mark {
    Mark::run(vec![Spot::new(area.left_mm, y_mm), Spot::new(area.right_mm(), y_mm)], pen)
}

fn head(inner: Rect, titles: &Titles, about: &str) -> Vec<Mark> {
    let base = inner.top_mm + 6.0;
    let rule = inner.top_mm + HEAD_MM - 4.0;
    let half_mm = inner.width_mm / 2.0 - 2.0;
    let about = cut(about, Face::SerifBold, HEAD_SIZE_MM, half_mm);
    let site = format!("{}: {}", titles.site, titles.sheet.to_lowercase());
    let site = cut(&site, Face::SerifItalic, HEAD_SIZE_MM, half_mm);
    vec![
        Text::new(Spot::new(inner.left_mm, base), about, Face::SerifBold, HEAD_SIZE_MM).into(),
        Text::new(Spot::new(inner.right_mm(), base), site, Face::SerifItalic, HEAD_SIZE_MM)
            .aligned(Align::End)
            .into(),
        across(inner, rule, PLUM_PEN),
    ]
}

fn foot(inner: Rect, number: Option<String>) -> Vec<Mark> {
    let base = inner.bottom_mm() - 1.0;
    let mut marks = vec![
        across(inner, inner.bottom_mm() - FOOT_MM + 3.5, PLUM_PEN),
        Text::new(Spot::new(inner.left_mm, base), words::peg_sheet::FOOT, Face::Serif, SMALL_MM)
            .in_colour(CAUTION)
            .into(),
    ];
    if let Some(number) = number {
        let at = Spot::new(inner.right_mm(), base);
        let number = Text::new(at, number, Face::Sans, SMALL_MM).aligned(Align::End).in_colour(INK_2);
        marks.push(number.into());
    }
    marks
}
