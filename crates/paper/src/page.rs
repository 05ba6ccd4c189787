//! A page as plain data, in paper millimetres from its upper left corner.
//!
//! Drawings are built as pages and handed to a writer; [`crate::svg`] is one. Nothing here knows of a site:
//! by the time a thing is a mark it has a place on the sheet, a width and a colour.

use crate::ink::{Colour, Face, Hatch};

/// A place on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// From the left edge.
    pub x_mm: f64,
    /// From the upper edge, downwards.
    pub y_mm: f64,
}

/// An upright rectangle on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub left_mm: f64,
    /// Upper edge.
    pub top_mm: f64,
    /// From left to right.
    pub width_mm: f64,
    /// From top to bottom.
    pub height_mm: f64,
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// What the page shows, for screen readers and window titles.
    pub title: String,
    /// Short name that tells the page's parts from those of other pages in one document: letters and hyphens.
    pub key: String,
    /// Width of the sheet.
    pub width_mm: f64,
    /// Height of the sheet.
    pub height_mm: f64,
    /// What is on it, in drawing order.
    pub marks: Vec<Mark>,
}

/// Something on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line or a shape.
    Drawn(Drawn),
    /// Words.
    Text(Text),
    /// A picture made of dots.
    Picture(Picture),
    /// Marks of which only what lies within a rectangle shows.
    Within(Rect, Vec<Mark>),
    /// Marks that a script may find by their name: letters, digits and hyphens.
    Named(String, Vec<Mark>),
    /// Marks that together are one thing to a reader who listens: a heading, a paragraph, a cell.
    Part(Role, Vec<Mark>),
}

/// What marks are to a reader who listens.
#[derive(Debug, Clone, PartialEq)]
pub enum Role {
    /// A heading, 1 for the highest, with its words.
    Heading(u16, String),
    /// Running text.
    Paragraph,
    /// A list of items.
    List,
    /// One item of a list.
    Item,
    /// A table of rows.
    Table,
    /// A row of cells.
    Row,
    /// A cell at the head of a column.
    Head,
    /// A cell.
    Cell,
    /// A drawing, told in words.
    Figure(String),
    /// Rules, page numbers and the like: nothing to be told.
    Ornament,
}

/// A line or a shape with its pen and its filling.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The shape.
    pub shape: Shape,
    /// The pen; none for a shape without an outline.
    pub pen: Option<Pen>,
    /// The filling; none for a line.
    pub fill: Option<Fill>,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A line from place to place.
    Run(Vec<Spot>),
    /// The same, closed.
    Ring(Vec<Spot>),
    /// A circle.
    Disc {
        /// Its middle.
        centre: Spot,
        /// Its radius.
        radius_mm: f64,
    },
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// In which colour.
    pub colour: Colour,
    /// How wide.
    pub width_mm: f64,
    /// Lengths drawn and left out in turn, mm; empty for an unbroken line.
    pub dashes_mm: &'static [f64],
}

/// What fills a shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fill {
    /// Even colour.
    Even(Colour),
    /// Parallel strokes, with nothing between them.
    Hatched(Hatch),
}

/// Words on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where the base line starts, is centred or ends.
    pub at: Spot,
    /// What it says.
    pub words: String,
    /// The letters.
    pub face: Face,
    /// Height of the letters' body.
    pub size_mm: f64,
    /// Colour of the letters.
    pub colour: Colour,
    /// Which part of the text stands at its place.
    pub align: Align,
    /// Turned clockwise about its place, degrees.
    pub turn_deg: f64,
    /// Whether a rim in the paper's colour lifts the letters off what lies under them.
    pub rim: bool,
}

/// Which part of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A picture made of dots.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Where it lies.
    pub frame: Rect,
    /// The file: a PNG.
    pub png: Vec<u8>,
}

impl Spot {
    /// A place from its two coordinates.
    pub const fn new(x_mm: f64, y_mm: f64) -> Spot {
        Spot { x_mm, y_mm }
    }

    /// The place so far to the right and down.
    pub fn moved(self, right_mm: f64, down_mm: f64) -> Spot {
        Spot::new(self.x_mm + right_mm, self.y_mm + down_mm)
    }

    /// The place a share `t` of the way to another.
    pub fn towards(self, other: Spot, t: f64) -> Spot {
        self.moved(t * (other.x_mm - self.x_mm), t * (other.y_mm - self.y_mm))
    }

    /// Distance to another place.
    pub fn distance_mm(self, other: Spot) -> f64 {
        let (dx, dy) = (other.x_mm - self.x_mm, other.y_mm - self.y_mm);
        (dx * dx + dy * dy).sqrt()
    }
}

impl Rect {
    /// A rectangle from its upper left corner and its size.
    pub const fn new(left_mm: f64, top_mm: f64, width_mm: f64, height_mm: f64) -> Rect {
        Rect { left_mm, top_mm, width_mm, height_mm }
    }

    /// Right edge.
    pub fn right_mm(&self) -> f64 {
        self.left_mm + self.width_mm
    }

    /// Lower edge.
    pub fn bottom_mm(&self) -> f64 {
        self.top_mm + self.height_mm
    }

    /// Its middle.
    pub fn centre(&self) -> Spot {
        Spot::new(self.left_mm + self.width_mm / 2.0, self.top_mm + self.height_mm / 2.0)
    }

    /// The corners, clockwise from the upper left.
    pub fn corners(&self) -> [Spot; 4] {
        [
            Spot::new(self.left_mm, self.top_mm),
            Spot::new(self.right_mm(), self.top_mm),
            Spot::new(self.right_mm(), self.bottom_mm()),
            Spot::new(self.left_mm, self.bottom_mm()),
        ]
    }

    /// The rectangle with every edge moved inwards; outwards when negative.
    pub fn inset(&self, by_mm: f64) -> Rect {
        Rect::new(
            self.left_mm + by_mm,
            self.top_mm + by_mm,
            self.width_mm - 2.0 * by_mm,
            self.height_mm - 2.0 * by_mm,
        )
    }

    /// Whether a place lies in it or on its edge.
    pub fn contains(&self, spot: Spot) -> bool {
        (self.left_mm..=self.right_mm()).contains(&spot.x_mm)
            && (self.top_mm..=self.bottom_mm()).contains(&spot.y_mm)
    }
}

impl Pen {
    /// An unbroken line.
    pub const fn new(colour: Colour, width_mm: f64) -> Pen {
        Pen { colour, width_mm, dashes_mm: &[] }
    }

    /// A broken line.
    pub const fn dashed(colour: Colour, width_mm: f64, dashes_mm: &'static [f64]) -> Pen {
        Pen { colour, width_mm, dashes_mm }
    }
}

impl Mark {
    /// A line from place to place.
    pub fn run(spots: Vec<Spot>, pen: Pen) -> Mark {
        Mark::Drawn(Drawn { shape: Shape::Run(spots), pen: Some(pen), fill: None })
    }

    /// Marks that together are one thing to a reader who listens.
    pub fn part(role: Role, marks: Vec<Mark>) -> Mark {
        Mark::Part(role, marks)
    }

    /// A closed shape.
    pub fn ring(spots: Vec<Spot>, pen: Option<Pen>, fill: Option<Fill>) -> Mark {
        Mark::Drawn(Drawn { shape: Shape::Ring(spots), pen, fill })
    }

    /// A rectangle.
    pub fn rect(rect: Rect, pen: Option<Pen>, fill: Option<Fill>) -> Mark {
        Mark::ring(rect.corners().to_vec(), pen, fill)
    }

    /// A circle.
    pub fn disc(centre: Spot, radius_mm: f64, pen: Option<Pen>, fill: Option<Fill>) -> Mark {
        Mark::Drawn(Drawn { shape: Shape::Disc { centre, radius_mm }, pen, fill })
    }
}

impl Text {
    /// Words that start at a place, in ink.
    pub fn new(at: Spot, words: impl Into<String>, face: Face, size_mm: f64) -> Text {
        Text {
            at,
            words: words.into(),
            face,
            size_mm,
            colour: crate::ink::INK,
            align: Align::Start,
            turn_deg: 0.0,
            rim: false,
        }
    }

    /// The same in another colour.
    pub fn in_colour(mut self, colour: Colour) -> Text {
        self.colour = colour;
        self
    }

    /// The same, centred on its place or ending there.
    pub fn aligned(mut self, align: Align) -> Text {
        self.align = align;
        self
    }

    /// The same with a rim in the paper's colour.
    pub fn rimmed(mut self) -> Text {
        self.rim = true;
        self
    }

    /// The same, turned clockwise about its place.
    pub fn turned(mut self, turn_deg: f64) -> Text {
        self.turn_deg = turn_deg;
        self
    }
}

impl From<Text> for Mark {
    fn from(text: Text) -> Mark {
        Mark::Text(text)
    }
}
