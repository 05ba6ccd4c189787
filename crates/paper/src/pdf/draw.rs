//! Shapes, words and pictures on the surface of a page, in paper millimetres.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::num::NormalizedF32;
use krilla::paint::{Fill as Ink, FillRule, LineCap, LineJoin, Stroke, StrokeDash};

use super::Sheet;
use super::letters::Letters;
use crate::ink::{Colour, Hatch, PAPER};
use crate::page::{Align, Drawn, Fill, Mark, Page, Pen, Picture, Rect, Shape, Spot, Text};

/// Width of the rim round letters that lie on a drawing, as a share of their size.
const RIM_SHARE: f64 = 0.3;
/// How far a curve's handles lie from a quarter circle's ends, as a share of its radius: 4/3 · (√2 − 1), which keeps
/// the curve within 0.03 % of the circle.
const QUARTER_CIRCLE: f64 = 0.552_284_749_830_793_4;

/// What draws on a page.
pub(super) struct Pencil<'p, 'a> {
    pub surface: &'p mut Sheet<'a>,
    pub letters: &'p Letters,
    page: Rect,
}

impl<'p, 'a> Pencil<'p, 'a> {
    pub fn new(surface: &'p mut Sheet<'a>, letters: &'p Letters, page: &Page) -> Pencil<'p, 'a> {
        Pencil { surface, letters, page: Rect::new(0.0, 0.0, page.width_mm, page.height_mm) }
    }

    /// Draws marks, whatever they tell.
    pub fn marks(&mut self, marks: &[Mark]) {
        for mark in marks {
            match mark {
                Mark::Drawn(drawn) => self.drawn(drawn),
                Mark::Text(text) => self.text(text, false),
                Mark::Picture(picture) => self.picture(picture),
                Mark::Named(_, inner) | Mark::Part(_, inner) => self.marks(inner),
                Mark::Within(rect, inner) => {
                    self.push_clip(*rect);
                    self.marks(inner);
                    self.pop();
                }
            }
        }
    }

    /// Lets only what lies in the rectangle show until [`Pencil::pop`].
    pub fn push_clip(&mut self, rect: Rect) {
        let clip = ring(&rect.corners()).or_else(|| ring(&self.page.corners()));
        let clip = clip.expect("a page has an area");
        self.surface.push_clip_path(&clip, &FillRule::NonZero);
    }

    pub fn pop(&mut self) {
        self.surface.pop();
    }

    fn drawn(&mut self, drawn: &Drawn) {
        let Some(path) = path(&drawn.shape) else {
            return;
        };
        if let Some(Fill::Hatched(hatch)) = drawn.fill {
            self.hatched(&path, bounds(&drawn.shape), hatch);
        }
        let fill = match drawn.fill {
            Some(Fill::Even(colour)) => Some(ink(colour)),
            Some(Fill::Hatched(_)) | None => None,
        };
        let stroke = drawn.pen.map(stroke);
        if fill.is_none() && stroke.is_none() {
            return;
        }
        self.surface.set_fill(fill);
        self.surface.set_stroke(stroke);
        self.surface.draw_path(&path);
    }

    /// Strokes cut to the shape. They keep one phase over the whole sheet, as tiles would.
    fn hatched(&mut self, path: &Path, bounds: Rect, hatch: Hatch) {
        let Some(bounds) = overlap(bounds, self.page) else {
            return;
        };
        let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(hatch.turn_deg));
        let along = |spot: Spot| cos * spot.x_mm + sin * spot.y_mm;
        let over = |spot: Spot| cos * spot.y_mm - sin * spot.x_mm;
        let (from, to) = spread(bounds.corners().map(along));
        let (low, high) = spread(bounds.corners().map(over));
        let mut strokes = PathBuilder::new();
        let first = libm::floor(low / hatch.spacing_mm) as i64;
        let last = libm::ceil(high / hatch.spacing_mm) as i64;
        for k in first..=last {
            let offset_mm = (k as f64 + 0.5) * hatch.spacing_mm;
            let at = |d: f64| (cos * d - sin * offset_mm, sin * d + cos * offset_mm);
            let ((x0, y0), (x1, y1)) = (at(from), at(to));
            strokes.move_to(x0 as f32, y0 as f32);
            strokes.line_to(x1 as f32, y1 as f32);
        }
        if let Some(strokes) = strokes.finish() {
            self.surface.push_clip_path(path, &FillRule::NonZero);
            self.surface.set_fill(None);
            self.surface.set_stroke(Some(stroke(Pen::new(hatch.colour, hatch.width_mm))));
            self.surface.draw_path(&strokes);
            self.surface.pop();
        }
    }

    /// Words; followed by a space where they go on in another line.
    pub fn text(&mut self, text: &Text, goes_on: bool) {
        let shaped = self.letters.shaped(&text.words, text.face);
        let width_mm = shaped.width * text.size_mm;
        let back_mm = match text.align {
            Align::Start => 0.0,
            Align::Middle => width_mm / 2.0,
            Align::End => width_mm,
        };
        let shaped =
            if goes_on { self.letters.shaped(&format!("{} ", text.words), text.face) } else { shaped };
        let (x, y) = (text.at.x_mm as f32, text.at.y_mm as f32);
        if text.turn_deg != 0.0 {
            self.surface.push_transform(&Transform::from_rotate_at(text.turn_deg as f32, x, y));
        }
        let start = Point::from_xy((text.at.x_mm - back_mm) as f32, y);
        let size = text.size_mm as f32;
        if text.rim {
            // As outlines, so that the words are found once.
            let rim = Pen::new(PAPER, RIM_SHARE * text.size_mm);
            self.surface.set_fill(Some(ink(PAPER)));
            self.surface.set_stroke(Some(stroke(rim)));
            self.surface.draw_glyphs(start, &shaped.glyphs, shaped.font.clone(), &shaped.words, size, true);
        }
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(ink(text.colour)));
        self.surface.draw_glyphs(start, &shaped.glyphs, shaped.font.clone(), &shaped.words, size, false);
        if text.turn_deg != 0.0 {
            self.surface.pop();
        }
    }

    fn picture(&mut self, picture: &Picture) {
        let frame = &picture.frame;
        let size = Size::from_wh(frame.width_mm as f32, frame.height_mm as f32);
        let image = Image::from_png(picture.png.clone().into(), false).ok();
        if let (Some(size), Some(image)) = (size, image) {
            self.surface
                .push_transform(&Transform::from_translate(frame.left_mm as f32, frame.top_mm as f32));
            self.surface.draw_image(image, size);
            self.surface.pop();
        }
    }
}

fn ink(colour: Colour) -> Ink {
    Ink {
        paint: rgb::Color::new(colour.0, colour.1, colour.2).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}

fn stroke(pen: Pen) -> Stroke {
    let colour = pen.colour;
    let plain = Stroke {
        paint: rgb::Color::new(colour.0, colour.1, colour.2).into(),
        width: pen.width_mm as f32,
        ..Stroke::default()
    };
    if pen.dashes_mm.is_empty() {
        Stroke { line_cap: LineCap::Round, line_join: LineJoin::Round, ..plain }
    } else {
        let array = pen.dashes_mm.iter().map(|mm| *mm as f32).collect();
        Stroke { dash: Some(StrokeDash { array, offset: 0.0 }), ..plain }
    }
}

fn path(shape: &Shape) -> Option<Path> {
    match shape {
        Shape::Run(spots) => run(spots).finish(),
        Shape::Ring(spots) => ring(spots),
        Shape::Disc { centre, radius_mm } => disc(*centre, *radius_mm),
    }
}

fn run(spots: &[Spot]) -> PathBuilder {
    let mut builder = PathBuilder::new();
    for (i, spot) in spots.iter().enumerate() {
        let (x, y) = (spot.x_mm as f32, spot.y_mm as f32);
        if i == 0 { builder.move_to(x, y) } else { builder.line_to(x, y) }
    }
    builder
}

fn ring(spots: &[Spot]) -> Option<Path> {
    let mut builder = run(spots);
    builder.close();
    builder.finish()
}

fn disc(centre: Spot, radius_mm: f64) -> Option<Path> {
    let (reach, handle) = (radius_mm, radius_mm * QUARTER_CIRCLE);
    let at = |x: f64, y: f64| ((centre.x_mm + x) as f32, (centre.y_mm + y) as f32);
    let mut builder = PathBuilder::new();
    let (x, y) = at(reach, 0.0);
    builder.move_to(x, y);
    // Quarter by quarter; a turn by a right angle takes (x, y) to (−y, x).
    let mut quarter = [(reach, handle), (handle, reach), (0.0, reach)];
    for _ in 0..4 {
        let [(x1, y1), (x2, y2), (x3, y3)] = quarter.map(|(x, y)| at(x, y));
        builder.cubic_to(x1, y1, x2, y2, x3, y3);
        quarter = quarter.map(|(x, y)| (-y, x));
    }
    builder.close();
    builder.finish()
}

fn bounds(shape: &Shape) -> Rect {
    match shape {
        Shape::Run(spots) | Shape::Ring(spots) => {
            let (left, right) = spread(spots.iter().map(|spot| spot.x_mm));
            let (top, bottom) = spread(spots.iter().map(|spot| spot.y_mm));
            Rect::new(left, top, right - left, bottom - top)
        }
        Shape::Disc { centre, radius_mm } => Rect::new(centre.x_mm, centre.y_mm, 0.0, 0.0).inset(-radius_mm),
    }
}

/// The least and the most; of nothing, nought.
fn spread(values: impl IntoIterator<Item = f64>) -> (f64, f64) {
    let both = values.into_iter().fold(None, |spread, value| match spread {
        None => Some((value, value)),
        Some((least, most)) => {
            Some((if value < least { value } else { least }, if value > most { value } else { most }))
        }
    });
    both.unwrap_or((0.0, 0.0))
}

fn overlap(a: Rect, b: Rect) -> Option<Rect> {
    let (left, right) = (a.left_mm.max(b.left_mm), a.right_mm().min(b.right_mm()));
    let (top, bottom) = (a.top_mm.max(b.top_mm), a.bottom_mm().min(b.bottom_mm()));
    (left < right && top < bottom).then(|| Rect::new(left, top, right - left, bottom - top))
}
