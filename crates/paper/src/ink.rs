//! Ink, one plum pencil and a blue wash: every colour, pen and hatch of the papers.
//!
//! Lines are ink and are told apart by their mark, not their hue, so a sheet survives a black-and-white
//! printer and every kind of colour sight. Blue is water and nothing else. Vermilion is caution and nothing
//! else, and never stands without a hatch, a sign and words. Plum is what the reader does by hand: the margin
//! rule and the boxes to fill in.

use crate::page::Pen;

/// A colour, red, green and blue from 0 to 255.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// Parallel strokes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hatch {
    /// Colour of the strokes.
    pub colour: Colour,
    /// Width of a stroke.
    pub width_mm: f64,
    /// From stroke to stroke.
    pub spacing_mm: f64,
    /// Which way they run, degrees clockwise from level.
    pub turn_deg: f64,
}

/// A style of letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// Figures and plain words.
    Sans,
    /// Words that carry weight.
    SansBold,
    /// Running text.
    Serif,
    /// Headings.
    SerifBold,
    /// Names of water and of things that are not ours to build.
    SerifItalic,
}

/// The sheet itself.
pub const PAPER: Colour = Colour(0xFF, 0xFF, 0xFF);
/// Lines and words.
pub const INK: Colour = Colour(0x1E, 0x1B, 0x16);
/// Words that explain.
pub const INK_2: Colour = Colour(0x4F, 0x48, 0x3B);
/// Fine rules.
pub const HAIR: Colour = Colour(0xBF, 0xB4, 0x9B);
/// What the reader does by hand.
pub const PLUM: Colour = Colour(0x82, 0x3F, 0x66);
/// Caution.
pub const CAUTION: Colour = Colour(0xB4, 0x45, 0x0F);
/// The ground of a caution.
pub const CAUTION_GROUND: Colour = Colour(0xFB, 0xE6, 0xD8);
/// Trees.
pub const TREE: Colour = Colour(0x17, 0x57, 0x34);
/// Contours.
pub const CONTOUR: Colour = Colour(0x80, 0x6C, 0x5D);
/// Soil in a section.
pub const SOIL: Colour = Colour(0xE9, 0xDF, 0xC8);
/// Loose soil thrown up.
pub const LOOSE_SOIL: Colour = Colour(0xF4, 0xED, 0xDC);
/// Relief in the shade.
pub const RELIEF_SHADE: Colour = Colour(0xC6, 0xBC, 0xA6);
/// Relief in the light.
pub const RELIEF_LIGHT: Colour = Colour(0xFD, 0xFB, 0xF4);
/// A wash of water.
pub const WATER_WASH: Colour = Colour(0xCF, 0xE8, 0xEC);
/// A heavier wash: where a storm's water stood.
pub const WATER_STOOD: Colour = Colour(0x8F, 0xC6, 0xDB);
/// Deep water, and water's words and arrows.
pub const WATER: Colour = Colour(0x20, 0x61, 0x9E);

/// Outline of a swale's, drain's, chute's or pipe's line.
pub const LINE_PEN: Pen = Pen::new(INK, 0.55);
/// Rim in the paper's colour under a line, so that it reads on shade and water.
pub const CASING_PEN: Pen = Pen::new(PAPER, 1.15);
/// Ticks and other small strokes of a mark.
pub const MARK_PEN: Pen = Pen::new(INK, 0.3);
/// Outlines of things that are there already.
pub const THERE_PEN: Pen = Pen::new(INK_2, 0.25);
/// Contours between the heavy ones.
pub const CONTOUR_PEN: Pen = Pen::new(CONTOUR, 0.13);
/// Every fifth contour.
pub const INDEX_CONTOUR_PEN: Pen = Pen::new(CONTOUR, 0.3);
/// Frames.
pub const FRAME_PEN: Pen = Pen::new(INK, 0.35);
/// Fine rules.
pub const HAIR_PEN: Pen = Pen::new(HAIR, 0.15);
/// The margin rule of the notebook, and boxes to fill in.
pub const PLUM_PEN: Pen = Pen::new(PLUM, 0.3);
/// Outlines of cautions.
pub const CAUTION_PEN: Pen = Pen::new(CAUTION, 0.4);
/// Water's arrows.
pub const WATER_PEN: Pen = Pen::new(WATER, 0.4);

/// The water's edge on a plan: on a grey printer the wash is lost in the relief, the edge is not.
pub const WATER_EDGE_PEN: Pen = Pen::new(WATER, 0.2);

/// Ground to keep clear of.
pub const KEEP_CLEAR_HATCH: Hatch = Hatch { colour: INK_2, width_mm: 0.13, spacing_mm: 1.3, turn_deg: -45.0 };
/// What must not be overlooked.
pub const CAUTION_HATCH: Hatch = Hatch { colour: CAUTION, width_mm: 0.45, spacing_mm: 1.5, turn_deg: -45.0 };
/// Undisturbed ground in a section.
pub const GROUND_HATCH: Hatch = Hatch { colour: HAIR, width_mm: 0.13, spacing_mm: 1.6, turn_deg: 45.0 };
/// Water in a section, beside its wash: level strokes, as water lies.
pub const WATER_HATCH: Hatch = Hatch { colour: WATER, width_mm: 0.12, spacing_mm: 1.2, turn_deg: 0.0 };
/// Where the water's level may lie: strokes that neither lie as water does nor as soil does.
pub const WATER_BAND_HATCH: Hatch = Hatch { colour: WATER, width_mm: 0.18, spacing_mm: 1.4, turn_deg: -60.0 };
/// Rain: strokes that fall.
pub const RAIN_HATCH: Hatch = Hatch { colour: WATER, width_mm: 0.25, spacing_mm: 0.7, turn_deg: 75.0 };
/// Surfaces that shed rain.
pub const HARD_SURFACE_HATCH: Hatch =
    Hatch { colour: WATER, width_mm: 0.12, spacing_mm: 1.6, turn_deg: 90.0 };

impl Colour {
    /// As web pages write it.
    pub fn hex(self) -> String {
        format!("#{:02X}{:02X}{:02X}", self.0, self.1, self.2)
    }

    /// The colour a share `t` of the way to another.
    pub fn towards(self, other: Colour, t: f64) -> Colour {
        let mix = |a: u8, b: u8| (f64::from(a) + t * (f64::from(b) - f64::from(a))).round() as u8;
        Colour(mix(self.0, other.0), mix(self.1, other.1), mix(self.2, other.2))
    }

    /// Relative luminance: 0 black, 1 white.
    ///
    /// Source: W3C, Web Content Accessibility Guidelines 2.1 (2018), definition of relative luminance.
    pub fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let c = f64::from(channel) / 255.0;
            if c <= 0.03928 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// Contrast against another colour, from 1 (none) to 21.
    ///
    /// Source: W3C, Web Content Accessibility Guidelines 2.1 (2018), definition of contrast ratio.
    pub fn contrast(self, other: Colour) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// W3C, Web Content Accessibility Guidelines 2.1 (2018): black on white is 21:1, and #767676 is the
    /// lightest grey with 4.5:1 on white (#777777 falls short).
    #[test]
    fn published_contrast() {
        let (black, white) = (Colour(0, 0, 0), Colour(255, 255, 255));
        assert!((black.contrast(white) - 21.0).abs() < 1e-9);
        assert!(Colour(0x76, 0x76, 0x76).contrast(white) >= 4.5);
        assert!(Colour(0x77, 0x77, 0x77).contrast(white) < 4.5);
    }

    /// WCAG 2.1, success criterion 1.4.3 asks 4.5:1 of words and 1.4.11 asks 3:1 of marks. The worst ground
    /// under them is the relief's shade, but words there have a rim in the paper's colour.
    #[test]
    fn words_and_marks_stand_out() {
        for words in [INK, INK_2, PLUM, CAUTION, TREE, CONTOUR, WATER] {
            assert!(words.contrast(PAPER) >= 4.5, "{words:?}: {}", words.contrast(PAPER));
        }
        for marks in [INK, INK_2, PLUM, TREE, WATER] {
            assert!(marks.contrast(RELIEF_SHADE) >= 3.0, "{marks:?}: {}", marks.contrast(RELIEF_SHADE));
        }
        assert!(CAUTION.contrast(CAUTION_GROUND) >= 4.5);
        assert!(INK.contrast(CAUTION_GROUND) >= 7.0);
        assert!(WATER.contrast(WATER_WASH) >= 4.5);
    }

    /// On a grey printer only luminance is left. Washes and soils must part from each other and from the
    /// paper by more than the 1.1 that neighbouring areas need to be told apart (common practice, no source);
    /// where hue carried a meaning (water against soil) a hatch carries it too, so these pairs are enough.
    #[test]
    fn washes_part_in_grey() {
        for (a, b) in [(WATER_WASH, PAPER), (SOIL, PAPER), (SOIL, LOOSE_SOIL), (RELIEF_SHADE, RELIEF_LIGHT)] {
            assert!(a.contrast(b) > 1.1, "{a:?} {b:?}: {}", a.contrast(b));
        }
        assert_ne!(WATER_HATCH.turn_deg, GROUND_HATCH.turn_deg, "water and soil part by their strokes too");
        assert_ne!(KEEP_CLEAR_HATCH.width_mm, CAUTION_HATCH.width_mm);
    }
}
