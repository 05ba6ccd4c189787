//! Writes pages as one PDF: fonts inside, text that can be searched, and told to a reader who listens.
//!
//! The file claims PDF/UA-1 (ISO 14289-1): every mark is either part of what is told or marked as an ornament,
//! drawings carry words, headings are bookmarks. It holds no date and no chance, so the same pages give the same
//! bytes. Hatches are strokes cut to their shape, not tiles: tiles show seams on screens and printers.
//!
//! A page without a [`Mark::Part`] is one drawing, told by its title. On a page with parts, words outside them are
//! paragraphs and strokes outside them are ornaments.

mod draw;
mod letters;
#[cfg(test)]
mod tests;

use std::num::NonZeroU16;

use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::geom::Point;
use krilla::geom::Transform;
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, ListNumbering, Node, SpanTag, TableHeaderScope, Tag, TagGroup,
    TagKind, TagTree,
};
use krilla::{Document, SerializeSettings};

use self::draw::Pencil;
use self::letters::{Letters, shown};
use crate::page::{Mark, Page, Role, Text};

/// Points of a PDF in a millimetre.
const PT_PER_MM: f64 = 72.0 / 25.4;
/// Language of the papers' words, by BCP 47.
const LANGUAGE: &str = "en";

/// A file that could not be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PdfError {
    /// What the library that lays out the file says.
    because: String,
}

impl std::fmt::Display for PdfError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the PDF could not be put together ({})", self.because)
    }
}

impl std::error::Error for PdfError {}

/// The pages as one file under a title.
///
/// # Errors
/// A page has no size, or what is on it cannot be told apart from ornament.
pub fn write(title: &str, pages: &[Page]) -> Result<Vec<u8>, PdfError> {
    let failed = |because: String| PdfError { because };
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| failed(format!("{error:?}")))?;
    let mut document =
        Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    let letters = Letters::load();
    let mut told = Told { root: Vec::new(), headings: Vec::new() };
    for (index, page) in pages.iter().enumerate() {
        let (width, height) = (pt(page.width_mm), pt(page.height_mm));
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| failed(format!("page {} is {width} by {height} points", index + 1)))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        surface.push_transform(&Transform::from_scale(PT_PER_MM as f32, PT_PER_MM as f32));
        write_page(page, index, Pencil::new(&mut surface, &letters, page), &mut told);
        surface.pop();
        surface.finish();
        sheet.finish();
    }
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .language(LANGUAGE.to_owned())
            .creator(crate::words::MADE_WITH.to_owned()),
    );
    let mut tree = TagTree::new().with_lang(Some(LANGUAGE.to_owned()));
    for node in told.root {
        tree.push(node);
    }
    document.set_tag_tree(tree);
    document.set_outline(outline(title, &told.headings));
    document.finish().map_err(|error| failed(format!("{error:?}")))
}

fn pt(mm: f64) -> f32 {
    (mm * PT_PER_MM) as f32
}

/// What a reader who listens is told, in order.
struct Told {
    root: Vec<Node>,
    headings: Vec<Heading>,
}

/// A heading and where it stands.
struct Heading {
    level: u16,
    words: String,
    page: usize,
    at: Point,
}

fn write_page(page: &Page, index: usize, mut pencil: Pencil, told: &mut Told) {
    let mut headings = Vec::new();
    let is_drawing = !page.marks.iter().any(|mark| matches!(mark, Mark::Part(..)));
    if is_drawing {
        let drawing = Mark::Part(Role::Figure(page.title.clone()), page.marks.clone());
        headings.push((1, page.title.clone(), 0.0));
        // A heading must be told, and the drawing's own title is part of its picture: the alternative words tell it.
        set(std::slice::from_ref(&drawing), &mut pencil, &mut told.root, &mut headings);
    } else {
        set(&page.marks, &mut pencil, &mut told.root, &mut headings);
    }
    told.headings.extend(headings.into_iter().map(|(level, words, top_mm)| Heading {
        level,
        words,
        page: index,
        at: Point::from_xy(0.0, pt(top_mm)),
    }));
}

/// Headings met, with their level and their place from the top of the page.
type Met = Vec<(u16, String, f64)>;

/// Draws marks and adds what they tell to the branch.
fn set(marks: &[Mark], pencil: &mut Pencil, branch: &mut Vec<Node>, met: &mut Met) {
    for mark in marks {
        match mark {
            Mark::Part(Role::Ornament, inner) => ornament(inner, pencil),
            Mark::Part(role @ Role::Figure(_), inner) => branch.push(whole(role, inner, pencil)),
            Mark::Part(role, inner) => branch.extend(part(role, inner, pencil, met)),
            Mark::Within(rect, inner) => {
                pencil.push_clip(*rect);
                set(inner, pencil, branch, met);
                pencil.pop();
            }
            Mark::Named(_, inner) => set(inner, pencil, branch, met),
            Mark::Text(_) => branch.extend(part(&Role::Paragraph, std::slice::from_ref(mark), pencil, met)),
            Mark::Drawn(_) | Mark::Picture(_) => ornament(std::slice::from_ref(mark), pencil),
        }
    }
}

/// A part with what is told in it; none where nothing is.
fn part(role: &Role, inner: &[Mark], pencil: &mut Pencil, met: &mut Met) -> Option<Node> {
    let is_cell = matches!(role, Role::Cell | Role::Head);
    if is_cell && first_text(inner).is_none() {
        return Some(whole(role, inner, pencil));
    }
    if let Role::Heading(level, words) = role {
        let top_mm = first_text(inner).map_or(0.0, |text| text.at.y_mm - 2.0 * text.size_mm);
        met.push((*level, words.clone(), if top_mm > 0.0 { top_mm } else { 0.0 }));
    }
    let mut group = TagGroup::new(tag(role));
    let last = inner.iter().rposition(|mark| matches!(mark, Mark::Text(_)));
    for (i, mark) in inner.iter().enumerate() {
        if let Mark::Text(text) = mark {
            group.push(words(text, last != Some(i), pencil));
        } else {
            let mut children = Vec::new();
            set(std::slice::from_ref(mark), pencil, &mut children, met);
            children.into_iter().for_each(|child| group.push(child));
        }
    }
    (!group.children.is_empty()).then(|| group.into())
}

fn first_text(marks: &[Mark]) -> Option<&Text> {
    marks.iter().find_map(|mark| match mark {
        Mark::Text(text) => Some(text),
        Mark::Within(_, inner) | Mark::Named(_, inner) | Mark::Part(_, inner) => first_text(inner),
        Mark::Drawn(_) | Mark::Picture(_) => None,
    })
}

/// Words of a part; a line that goes on ends in a space, so that words do not run together when listened to.
fn words(text: &Text, goes_on: bool, pencil: &mut Pencil) -> Node {
    let missing = pencil.letters.missing(text);
    let actual = missing.then(|| text.words.clone());
    let span = SpanTag::empty().with_actual_text(actual.as_deref());
    let id = pencil.surface.start_tagged(ContentTag::Span(span));
    pencil.text(text, goes_on);
    pencil.surface.end_tagged();
    id.into()
}

/// Marks that are told as one, by their alternative words or not at all.
fn whole(role: &Role, inner: &[Mark], pencil: &mut Pencil) -> Node {
    let id = pencil.surface.start_tagged(ContentTag::Other);
    pencil.marks(inner);
    pencil.surface.end_tagged();
    TagGroup::with_children(tag(role), vec![id.into()]).into()
}

fn ornament(marks: &[Mark], pencil: &mut Pencil) {
    pencil.surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Other)));
    pencil.marks(marks);
    pencil.surface.end_tagged();
}

fn tag(role: &Role) -> TagKind {
    match role {
        Role::Heading(level, words) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(shown(words))).into()
        }
        Role::Paragraph | Role::Ornament => Tag::P.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::Table => Tag::Table.into(),
        Role::Row => Tag::TR.into(),
        Role::Head => Tag::TH(TableHeaderScope::Column).into(),
        Role::Cell => Tag::TD.into(),
        Role::Figure(told) => Tag::Figure(Some(told.clone())).into(),
    }
}

/// Bookmarks: headings of the first two levels, the second under the first.
fn outline(title: &str, headings: &[Heading]) -> Outline {
    let mut outline = Outline::new();
    let node = |heading: &Heading| {
        let destination = krilla::destination::XyzDestination::new(heading.page, heading.at);
        OutlineNode::new(heading.words.clone(), destination)
    };
    let mut open: Option<OutlineNode> = None;
    for heading in headings {
        match (&mut open, heading.level) {
            (Some(above), 2) => above.push_child(node(heading)),
            (_, 1 | 2) => {
                if let Some(done) = open.replace(node(heading)) {
                    outline.push_child(done);
                }
            }
            _ => {}
        }
    }
    let last = open.unwrap_or_else(|| {
        node(&Heading { level: 1, words: title.to_owned(), page: 0, at: Point::from_xy(0.0, 0.0) })
    });
    outline.push_child(last);
    outline
}

/// A surface in paper millimetres.
type Sheet<'a> = Surface<'a>;
