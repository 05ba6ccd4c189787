//! Columns of words, filled from the top, one after the other.

use crate::ink::{Colour, Face, HAIR_PEN, INK, INK_2};
use crate::lettering::{LEADING, cut, width_mm, wrap};
use crate::page::{Mark, Rect, Spot, Text};
use crate::symbols::{NUMBER_RADIUS_MM, number};

const HEADING_MM: f64 = 3.0;
const ROW_MM: f64 = 4.6;
const NAME_MM: f64 = 2.6;
const SMALL_MM: f64 = 2.2;

/// Columns that are being filled.
#[derive(Debug)]
pub(super) struct Columns {
    columns: Vec<Rect>,
    current: usize,
    top_mm: f64,
    /// Kept free at the foot of the last column.
    foot_mm: f64,
    marks: Vec<Mark>,
}

impl Columns {
    /// Empty columns.
    pub fn new(columns: Vec<Rect>) -> Columns {
        let top_mm = columns[0].top_mm;
        Columns { columns, current: 0, top_mm, foot_mm: 0.0, marks: Vec::new() }
    }

    /// Width of the columns.
    pub fn width_mm(&self) -> f64 {
        self.columns[self.current].width_mm
    }

    /// Whether no other column follows.
    pub fn is_last(&self) -> bool {
        self.current + 1 == self.columns.len()
    }

    /// What is left of the current column.
    pub fn room_mm(&self) -> f64 {
        let foot_mm = if self.is_last() { self.foot_mm } else { 0.0 };
        self.columns[self.current].bottom_mm() - foot_mm - self.top_mm
    }

    /// Keeps the foot of the last column free.
    pub fn keep_for_the_foot(&mut self, height_mm: f64) {
        self.foot_mm = height_mm;
    }

    /// The foot of the last column.
    pub fn foot(&self, height_mm: f64) -> Rect {
        let last = self.columns[self.columns.len() - 1];
        Rect::new(last.left_mm, last.bottom_mm() - height_mm, last.width_mm, height_mm)
    }

    /// The next free area of a height, in the next column if this one is full; none when all are.
    pub fn area(&mut self, height_mm: f64) -> Option<Rect> {
        if height_mm > self.room_mm() {
            if self.is_last() {
                return None;
            }
            self.current += 1;
            self.top_mm = self.columns[self.current].top_mm;
            if height_mm > self.room_mm() {
                return None;
            }
        }
        let column = self.columns[self.current];
        let area = Rect::new(column.left_mm, self.top_mm, column.width_mm, height_mm);
        self.top_mm += height_mm;
        Some(area)
    }

    /// Marks whose place was asked for.
    pub fn add(&mut self, marks: Vec<Mark>) {
        self.marks.extend(marks);
    }

    /// Leaves a gap, unless the column has just begun.
    pub fn gap(&mut self, height_mm: f64) {
        if self.top_mm > self.columns[self.current].top_mm {
            self.top_mm += height_mm;
        }
    }

    /// A fine rule across the column.
    pub fn rule(&mut self) {
        if let Some(area) = self.area(1.2) {
            let ends = vec![Spot::new(area.left_mm, area.top_mm), Spot::new(area.right_mm(), area.top_mm)];
            self.marks.push(Mark::run(ends, HAIR_PEN));
        }
    }

    /// A heading over a fine rule; it goes to the next column with what follows rather than stand alone.
    pub fn heading(&mut self, words: &str) {
        const WITH_WHAT_FOLLOWS_MM: f64 = 12.0;
        if self.room_mm() < WITH_WHAT_FOLLOWS_MM && !self.is_last() {
            self.current += 1;
            self.top_mm = self.columns[self.current].top_mm;
        }
        let Some(area) = self.area(HEADING_MM * 1.35) else {
            return;
        };
        let at = Spot::new(area.left_mm, area.top_mm + HEADING_MM * 0.9);
        self.marks.push(Text::new(at, words, Face::SerifBold, HEADING_MM).into());
        self.rule();
    }

    /// Running text.
    pub fn paragraph(&mut self, words: &str, (face, size_mm, colour): (Face, f64, Colour), indent_mm: f64) {
        for line in wrap(words, face, size_mm, self.width_mm() - indent_mm) {
            let Some(area) = self.area(size_mm * LEADING) else {
                return;
            };
            let at = Spot::new(area.left_mm + indent_mm, area.top_mm + size_mm * 0.95);
            self.marks.push(Text::new(at, line, face, size_mm).in_colour(colour).into());
        }
    }

    /// A number in a circle, a name, and facts behind it or under it.
    pub fn numbered_row(&mut self, order: Option<usize>, name: &str, facts: &str) {
        const INDENT_MM: f64 = 2.0 * NUMBER_RADIUS_MM + 1.2;
        let fit_mm = self.width_mm() - INDENT_MM;
        let name = cut(name, Face::SerifBold, NAME_MM, fit_mm);
        let name_mm = width_mm(&name, Face::SerifBold, NAME_MM) + 1.2;
        let beside = name_mm + width_mm(facts, Face::Serif, SMALL_MM) <= fit_mm;
        let Some(area) = self.area(if beside { ROW_MM } else { ROW_MM + SMALL_MM * LEADING }) else {
            return;
        };
        let base_mm = area.top_mm + ROW_MM / 2.0 + 0.9;
        if let Some(order) = order {
            let centre = Spot::new(area.left_mm + NUMBER_RADIUS_MM + 0.2, area.top_mm + ROW_MM / 2.0);
            self.marks.extend(number(centre, order));
        }
        let left_mm = area.left_mm + INDENT_MM;
        self.marks.push(Text::new(Spot::new(left_mm, base_mm), name, Face::SerifBold, NAME_MM).into());
        let facts_at = if beside {
            Spot::new(left_mm + name_mm, base_mm)
        } else {
            Spot::new(left_mm, base_mm + SMALL_MM * LEADING)
        };
        let facts = cut(facts, Face::Serif, SMALL_MM, fit_mm);
        self.marks.push(
            Text::new(facts_at, facts, Face::Serif, SMALL_MM)
                .in_colour(if beside { INK_2 } else { INK })
                .into(),
        );
    }

    /// Everything written.
    pub fn into_marks(self) -> Vec<Mark> {
        self.marks
    }
}
