//! The letters in the file: five faces of DejaVu 2.37, whose widths [`crate::lettering`] counts with.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Face as Shaper, UnicodeBuffer};

use crate::ink::Face;
use crate::page::Text;

static SANS: &[u8] = include_bytes!("../../fonts/DejaVuSansCondensed.ttf");
static SANS_BOLD: &[u8] = include_bytes!("../../fonts/DejaVuSansCondensed-Bold.ttf");
static SERIF: &[u8] = include_bytes!("../../fonts/DejaVuSerifCondensed.ttf");
static SERIF_BOLD: &[u8] = include_bytes!("../../fonts/DejaVuSerifCondensed-Bold.ttf");
static SERIF_ITALIC: &[u8] = include_bytes!("../../fonts/DejaVuSerifCondensed-Italic.ttf");

/// Stands for a letter that the faces lack.
const LACKING: char = '\u{FFFD}';

/// The faces, ready to be set.
pub(super) struct Letters {
    cuts: [Cut; 5],
}

/// One face.
struct Cut {
    font: Font,
    shaper: Shaper<'static>,
}

/// A text as glyphs.
pub(super) struct Shaped {
    pub font: Font,
    /// What is written, with a mark for each letter that the face lacks.
    pub words: String,
    pub glyphs: Vec<KrillaGlyph>,
    /// Width as a share of the size.
    pub width: f64,
}

impl Letters {
    pub fn load() -> Letters {
        let cut = |bytes: &'static [u8]| Cut {
            font: Font::new(bytes.into(), 0).expect("the faces are part of the program"),
            shaper: Shaper::from_slice(bytes, 0).expect("the faces are part of the program"),
        };
        Letters { cuts: [SANS, SANS_BOLD, SERIF, SERIF_BOLD, SERIF_ITALIC].map(cut) }
    }

    fn cut(&self, face: Face) -> &Cut {
        &self.cuts[match face {
            Face::Sans => 0,
            Face::SansBold => 1,
            Face::Serif => 2,
            Face::SerifBold => 3,
            Face::SerifItalic => 4,
        }]
    }

    /// Whether the face lacks a letter of the text.
    pub fn missing(&self, text: &Text) -> bool {
        let cut = self.cut(text.face);
        shown(&text.words).chars().any(|c| cut.shaper.glyph_index(c).is_none())
    }

    /// The text in glyphs, with their kerning and ligatures.
    pub fn shaped(&self, words: &str, face: Face) -> Shaped {
        let cut = self.cut(face);
        let words: String = shown(words)
            .chars()
            .map(|c| if cut.shaper.glyph_index(c).is_some() { c } else { LACKING })
            .collect();
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(&words);
        buffer.guess_segment_properties();
        let shaped = rustybuzz::shape(&cut.shaper, &[], buffer);
        let em = f64::from(cut.shaper.units_per_em());
        let clusters: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        let share = |units: i32| (f64::from(units) / em) as f32;
        let glyph = |(info, at): (&rustybuzz::GlyphInfo, &rustybuzz::GlyphPosition)| {
            let from = info.cluster as usize;
            let to = clusters.iter().copied().filter(|cluster| *cluster > from).min().unwrap_or(words.len());
            let id = GlyphId::new(info.glyph_id);
            let (advance, x, y) = (share(at.x_advance), share(at.x_offset), share(at.y_offset));
            KrillaGlyph::new(id, advance, x, y, share(at.y_advance), from..to, None)
        };
        let glyphs: Vec<KrillaGlyph> =
            shaped.glyph_infos().iter().zip(shaped.glyph_positions()).map(glyph).collect();
        let width = shaped.glyph_positions().iter().map(|at| f64::from(at.x_advance) / em).sum();
        Shaped { font: cut.font.clone(), words, glyphs, width }
    }
}

/// What can be written of a text: line breaks are spaces, and control characters and the code points that Unicode
/// keeps for marks of its own show as lacking.
pub(super) fn shown(words: &str) -> String {
    words
        .chars()
        .map(|c| match c {
            '\t' | '\n' | '\r' => ' ',
            c if c.is_control() || matches!(c, '\u{FEFF}' | '\u{FFFE}' | '\u{FFFF}') => LACKING,
            c => c,
        })
        .collect()
}
