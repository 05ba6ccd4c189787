//! Writes a page as SVG 1.1: one file, no scripts, no links, true to scale in millimetres.
//!
//! The same page gives the same bytes. Every text passes [`escape`]; numbers have three decimals at most, a
//! thousandth of a millimetre, which no printer resolves.

use std::fmt::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::ink::{Face, Hatch, PAPER};
use crate::page::{Align, Drawn, Fill, Mark, Page, Pen, Picture, Rect, Shape, Spot, Text};

/// Letters without serifs, the narrow ones first: a table must fit its column.
const SANS: &str = "'DejaVu Sans Condensed', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif";
/// Letters with serifs.
const SERIF: &str = "'DejaVu Serif Condensed', Charter, Cambria, 'Times New Roman', serif";
/// Width of the rim round letters that lie on a drawing, as a share of their size.
const RIM_SHARE: f64 = 0.3;

/// The page as an SVG document.
pub fn write(page: &Page) -> String {
    let mut writer = Writer { key: &page.key, body: String::new(), hatches: Vec::new(), clips: Vec::new() };
    let sheet = Rect::new(0.0, 0.0, page.width_mm, page.height_mm);
    writer.mark(&Mark::rect(sheet, None, Some(Fill::Even(PAPER))));
    for mark in &page.marks {
        writer.mark(mark);
    }
    let (width, height) = (Num(page.width_mm), Num(page.height_mm));
    let title = escape(&page.title);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\">\n<title>{title}</title>\n"
    );
    out.push_str(&writer.definitions());
    out.push_str(&writer.body);
    out.push_str("</svg>\n");
    out
}

/// A text as XML holds it, in elements and attributes alike. Control characters, which XML 1.0 forbids, become
/// the replacement character rather than vanish.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || c == '\u{FFFE}' || c == '\u{FFFF}' => out.push('\u{FFFD}'),
            c => out.push(c),
        }
    }
    out
}

/// A number as the file holds it: three decimals at most, no trailing zeros, no minus zero.
struct Num(f64);

impl std::fmt::Display for Num {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        debug_assert!(self.0.is_finite(), "a mark lies nowhere: {}", self.0);
        let text = format!("{:.3}", self.0);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        f.write_str(if text == "-0" { "0" } else { text })
    }
}

struct Writer<'a> {
    key: &'a str,
    body: String,
    /// Hatches met so far; their place is their number.
    hatches: Vec<Hatch>,
    /// Rectangles met so far; their place is their number.
    clips: Vec<Rect>,
}

impl Writer<'_> {
    fn mark(&mut self, mark: &Mark) {
        match mark {
            Mark::Drawn(drawn) => self.drawn(drawn),
            Mark::Text(text) => self.text(text),
            Mark::Picture(picture) => self.picture(picture),
            Mark::Named(name, marks) => {
                self.push(format_args!("<g id=\"{}-{}\">\n", escape(self.key), escape(name)));
                for mark in marks {
                    self.mark(mark);
                }
                self.body.push_str("</g>\n");
            }
            Mark::Part(_, marks) => {
                for mark in marks {
                    self.mark(mark);
                }
            }
            Mark::Within(rect, marks) => {
                let clip = number_of(&mut self.clips, *rect);
                self.push(format_args!("<g clip-path=\"url(#{}-clip-{clip})\">\n", escape(self.key)));
                for mark in marks {
                    self.mark(mark);
                }
                self.body.push_str("</g>\n");
            }
        }
    }

    fn drawn(&mut self, drawn: &Drawn) {
        let style = self.style(drawn.pen, drawn.fill);
        match &drawn.shape {
            Shape::Run(spots) => self.push(format_args!("<path d=\"{}\"{style}/>\n", run(spots))),
            Shape::Ring(spots) => self.push(format_args!("<path d=\"{}Z\"{style}/>\n", run(spots))),
            Shape::Disc { centre, radius_mm } => {
                let (x, y, r) = (Num(centre.x_mm), Num(centre.y_mm), Num(*radius_mm));
                self.push(format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{style}/>\n"));
            }
        }
    }

    fn style(&mut self, pen: Option<Pen>, fill: Option<Fill>) -> String {
        let mut style = match fill {
            None => " fill=\"none\"".to_owned(),
            Some(Fill::Even(colour)) => format!(" fill=\"{}\"", colour.hex()),
            Some(Fill::Hatched(hatch)) => {
                let number = number_of(&mut self.hatches, hatch);
                format!(" fill=\"url(#{}-hatch-{number})\"", escape(self.key))
            }
        };
        let Some(pen) = pen else { return style };
        let (colour, width) = (pen.colour.hex(), Num(pen.width_mm));
        write!(style, " stroke=\"{colour}\" stroke-width=\"{width}\"").expect("a string takes it");
        if pen.dashes_mm.is_empty() {
            style.push_str(" stroke-linejoin=\"round\" stroke-linecap=\"round\"");
        } else {
            let dashes: Vec<String> = pen.dashes_mm.iter().map(|d| Num(*d).to_string()).collect();
            write!(style, " stroke-dasharray=\"{}\"", dashes.join(" ")).expect("a string takes it");
        }
        style
    }

    fn text(&mut self, text: &Text) {
        let (family, weight, slant) = match text.face {
            Face::Sans => (SANS, "", ""),
            Face::SansBold => (SANS, " font-weight=\"700\"", ""),
            Face::Serif => (SERIF, "", ""),
            Face::SerifBold => (SERIF, " font-weight=\"700\"", ""),
            Face::SerifItalic => (SERIF, "", " font-style=\"italic\""),
        };
        let anchor = match text.align {
            Align::Start => "",
            Align::Middle => " text-anchor=\"middle\"",
            Align::End => " text-anchor=\"end\"",
        };
        let (x, y, size) = (Num(text.at.x_mm), Num(text.at.y_mm), Num(text.size_mm));
        let turn = if text.turn_deg == 0.0 {
            String::new()
        } else {
            format!(" transform=\"rotate({} {x} {y})\"", Num(text.turn_deg))
        };
        let words = escape(&text.words);
        let place = format!(
            "<text x=\"{x}\" y=\"{y}\" font-family=\"{family}\" font-size=\"{size}\"{weight}{slant}{anchor}{turn}"
        );
        if text.rim {
            // The rim is a text of its own underneath: `paint-order` is not understood everywhere.
            let (colour, width) = (PAPER.hex(), Num(RIM_SHARE * text.size_mm));
            self.push(format_args!(
                "{place} fill=\"{colour}\" stroke=\"{colour}\" stroke-width=\"{width}\" \
                 stroke-linejoin=\"round\" aria-hidden=\"true\">{words}</text>\n"
            ));
        }
        let colour = text.colour.hex();
        self.push(format_args!("{place} fill=\"{colour}\">{words}</text>\n"));
    }

    fn picture(&mut self, picture: &Picture) {
        let frame = &picture.frame;
        let (x, y) = (Num(frame.left_mm), Num(frame.top_mm));
        let (width, height) = (Num(frame.width_mm), Num(frame.height_mm));
        let data = STANDARD.encode(&picture.png);
        self.push(format_args!(
            "<image x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" preserveAspectRatio=\"none\" \
             href=\"data:image/png;base64,{data}\"/>\n"
        ));
    }

    fn definitions(&self) -> String {
        if self.hatches.is_empty() && self.clips.is_empty() {
            return String::new();
        }
        let key = escape(self.key);
        let mut out = String::from("<defs>\n");
        for (number, hatch) in self.hatches.iter().enumerate() {
            let (spacing, middle) = (Num(hatch.spacing_mm), Num(hatch.spacing_mm / 2.0));
            let (turn, width, colour) = (Num(hatch.turn_deg), Num(hatch.width_mm), hatch.colour.hex());
            writeln!(
                out,
                "<pattern id=\"{key}-hatch-{number}\" width=\"{spacing}\" height=\"{spacing}\" \
                 patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate({turn})\"><path d=\"M0 {middle}H{spacing}\" \
                 stroke=\"{colour}\" stroke-width=\"{width}\"/></pattern>"
            )
            .expect("a string takes it");
        }
        for (number, clip) in self.clips.iter().enumerate() {
            let corners = run(&clip.corners());
            writeln!(out, "<clipPath id=\"{key}-clip-{number}\"><path d=\"{corners}Z\"/></clipPath>")
                .expect("a string takes it");
        }
        out.push_str("</defs>\n");
        out
    }

    fn push(&mut self, args: std::fmt::Arguments<'_>) {
        self.body.write_fmt(args).expect("a string takes it");
    }
}

/// Number of a thing in a list, which it joins if it is new.
fn number_of<T: PartialEq>(list: &mut Vec<T>, thing: T) -> usize {
    if let Some(number) = list.iter().position(|other| *other == thing) {
        return number;
    }
    list.push(thing);
    list.len() - 1
}

fn run(spots: &[Spot]) -> String {
    let mut path = String::new();
    for (i, spot) in spots.iter().enumerate() {
        let letter = if i == 0 { 'M' } else { 'L' };
        write!(path, "{letter}{} {}", Num(spot.x_mm), Num(spot.y_mm)).expect("a string takes it");
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{CAUTION_HATCH, INK, LINE_PEN};

    fn page(marks: Vec<Mark>) -> Page {
        Page {
            title: "a <page> & more".to_owned(),
            key: "test".to_owned(),
            width_mm: 100.0,
            height_mm: 50.0,
            marks,
        }
    }

    #[test]
    fn escapes_what_xml_reads() {
        assert_eq!(escape("<b>\"Ann's\" & co\u{7}\n"), "&lt;b&gt;&quot;Ann&#39;s&quot; &amp; co\u{FFFD} ");
        let svg = write(&page(vec![]));
        assert!(svg.contains("<title>a &lt;page&gt; &amp; more</title>"));
    }

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        assert_eq!(Num(1.0).to_string(), "1");
        assert_eq!(Num(-0.0001).to_string(), "0");
        assert_eq!(Num(1.0 / 3.0).to_string(), "0.333");
        assert_eq!(Num(100.0).to_string(), "100");
    }

    /// The whole file by hand.
    #[test]
    fn a_small_page() {
        let hatched = Mark::rect(Rect::new(1.0, 2.0, 3.0, 4.0), None, Some(Fill::Hatched(CAUTION_HATCH)));
        let within = Mark::Within(
            Rect::new(0.0, 0.0, 50.0, 50.0),
            vec![Mark::run(vec![Spot::new(0.0, 0.0), Spot::new(10.5, 20.25)], LINE_PEN)],
        );
        let words =
            Text::new(Spot::new(5.0, 6.0), "a < b", Face::SansBold, 3.0).in_colour(INK).turned(-30.0).into();
        insta::assert_snapshot!(write(&page(vec![hatched, within, words])));
    }

    #[test]
    fn the_same_page_gives_the_same_bytes() {
        let marks = vec![
            Mark::disc(Spot::new(1.0, 1.0), 0.5, Some(LINE_PEN), None),
            Mark::rect(Rect::new(1.0, 2.0, 3.0, 4.0), None, Some(Fill::Hatched(CAUTION_HATCH))),
        ];
        assert_eq!(write(&page(marks.clone())), write(&page(marks)));
    }
}
