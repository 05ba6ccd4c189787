//! How a sheet of paper is divided: the map in its frame, and beside it the margin for words.

use crate::page::{Rect, Spot};

/// A size of paper and which way it lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// A4, 297 mm wide.
    A4Landscape,
    /// A4, 210 mm wide.
    A4Portrait,
    /// A3, 420 mm wide.
    A3Landscape,
    /// A3, 297 mm wide.
    A3Portrait,
    /// Letter, 11 inches wide.
    LetterLandscape,
    /// Letter, 8½ inches wide.
    LetterPortrait,
    /// Two Letter sheets side by side, 17 inches wide.
    TabloidLandscape,
    /// The same, 11 inches wide.
    TabloidPortrait,
}

/// The paper in the printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Format {
    /// A4, and A3 for what is large.
    #[default]
    A4,
    /// Letter, and two of them side by side for what is large.
    Letter,
}

impl Format {
    /// The usual sheet, upright.
    pub fn upright(self) -> Sheet {
        match self {
            Format::A4 => Sheet::A4Portrait,
            Format::Letter => Sheet::LetterPortrait,
        }
    }

    /// The usual sheet, lying.
    pub fn lying(self) -> Sheet {
        match self {
            Format::A4 => Sheet::A4Landscape,
            Format::Letter => Sheet::LetterLandscape,
        }
    }

    /// The large sheet, lying and upright.
    pub fn large(self) -> [Sheet; 2] {
        match self {
            Format::A4 => [Sheet::A3Landscape, Sheet::A3Portrait],
            Format::Letter => [Sheet::TabloidLandscape, Sheet::TabloidPortrait],
        }
    }
}

/// Border that a printer leaves free.
const BORDER_MM: f64 = 8.0;
/// Between the map's neat line and its outer line, for the figures of the grid.
pub(super) const GRID_BAND_MM: f64 = 4.5;
/// Width of the margin of words beside the map.
const MARGIN_WIDTH_MM: f64 = 66.0;
/// Height of the strip of words under a map on an upright sheet.
const STRIP_HEIGHT_MM: f64 = 88.0;
/// Between the map and the margin; the plum rule runs in its middle.
const GUTTER_MM: f64 = 7.0;

/// A divided sheet.
#[derive(Debug, Clone)]
pub(super) struct Division {
    /// The whole sheet.
    pub sheet: Rect,
    /// What the map shows ends here: the neat line.
    pub map: Rect,
    /// Columns for words, to be filled one after the other.
    pub columns: Vec<Rect>,
    /// The plum rule between map and words.
    pub rule: [Spot; 2],
}

impl Sheet {
    /// Width and height, mm: ISO 216, and ANSI/ASME Y14.1 sizes A and B at 25.4 mm to the inch.
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Sheet::A4Landscape => (297.0, 210.0),
            Sheet::A4Portrait => (210.0, 297.0),
            Sheet::A3Landscape => (420.0, 297.0),
            Sheet::A3Portrait => (297.0, 420.0),
            Sheet::LetterLandscape => (279.4, 215.9),
            Sheet::LetterPortrait => (215.9, 279.4),
            Sheet::TabloidLandscape => (431.8, 279.4),
            Sheet::TabloidPortrait => (279.4, 431.8),
        }
    }

    /// What a person calls it.
    pub fn words(self) -> &'static str {
        match self {
            Sheet::A4Landscape | Sheet::A4Portrait => "A4",
            Sheet::A3Landscape | Sheet::A3Portrait => "A3",
            Sheet::LetterLandscape | Sheet::LetterPortrait => "Letter",
            Sheet::TabloidLandscape | Sheet::TabloidPortrait => "Tabloid",
        }
    }

    pub(super) fn divided(self) -> Division {
        let (width_mm, height_mm) = self.size_mm();
        let sheet = Rect::new(0.0, 0.0, width_mm, height_mm);
        let inner = sheet.inset(BORDER_MM);
        if width_mm > height_mm { beside(sheet, inner) } else { below(sheet, inner) }
    }
}

fn beside(sheet: Rect, inner: Rect) -> Division {
    let map_width = inner.width_mm - MARGIN_WIDTH_MM - GUTTER_MM;
    let outer = Rect::new(inner.left_mm, inner.top_mm, map_width, inner.height_mm);
    let column = Rect::new(outer.right_mm() + GUTTER_MM, inner.top_mm, MARGIN_WIDTH_MM, inner.height_mm);
    let rule_x_mm = outer.right_mm() + GUTTER_MM / 2.0;
    Division {
        sheet,
        map: outer.inset(GRID_BAND_MM),
        columns: vec![column],
        rule: [Spot::new(rule_x_mm, inner.top_mm), Spot::new(rule_x_mm, inner.bottom_mm())],
    }
}

fn below(sheet: Rect, inner: Rect) -> Division {
    let map_height = inner.height_mm - STRIP_HEIGHT_MM - GUTTER_MM;
    let outer = Rect::new(inner.left_mm, inner.top_mm, inner.width_mm, map_height);
    let top_mm = outer.bottom_mm() + GUTTER_MM;
    let count = (inner.width_mm / MARGIN_WIDTH_MM).floor().max(1.0);
    let width_mm = (inner.width_mm - (count - 1.0) * GUTTER_MM) / count;
    let column = |i: usize| {
        let left_mm = inner.left_mm + i as f64 * (width_mm + GUTTER_MM);
        Rect::new(left_mm, top_mm, width_mm, STRIP_HEIGHT_MM)
    };
    let rule_y_mm = outer.bottom_mm() + GUTTER_MM / 2.0;
    Division {
        sheet,
        map: outer.inset(GRID_BAND_MM),
        columns: (0..count as usize).map(column).collect(),
        rule: [Spot::new(inner.left_mm, rule_y_mm), Spot::new(inner.right_mm(), rule_y_mm)],
    }
}
