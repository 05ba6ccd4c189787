//! DXF, release 12 (AC1009), which every drawing program opens: a layer of the drawing for each of ours.
//!
//! Lines are 3-D polylines, places are points with their name beside them. x and y are the site's own, in metres; the
//! release has no variable for units, so it is said in a remark and in our extended data, which also holds what else is
//! known of each thing. A thing with a vertex of unknown height is flat.

use std::fmt::Write;

use super::{Feature, Layer, Shape, Value, Vertex, Works, metres, plain};
use crate::bring::DXF_APPLICATION as APPLICATION;

/// Height of the names, m on the ground: 2.5 mm on paper at 1:200.
const NAMES_M: f64 = 0.5;
/// A string of extended data holds no more.
const LONGEST: usize = 250;

pub(super) fn write(works: &Works) -> String {
    let mut out = Dxf(String::new());
    out.pair(999, "Hillsip. Units are metres. Heights are above the site datum.");
    out.section("HEADER", |out| {
        out.pair(9, "$ACADVER");
        out.pair(1, "AC1009");
    });
    out.section("TABLES", |out| tables(out, works));
    out.section("ENTITIES", |out| {
        for feature in &works.features.features {
            entity(out, feature);
        }
    });
    out.pair(0, "EOF");
    out.0
}

/// A drawing being written: pairs of a group code and a value.
struct Dxf(String);

impl Dxf {
    fn pair(&mut self, code: i32, value: &str) {
        write!(self.0, "{code:>3}\n{value}\n").expect("a string takes what is written to it");
    }

    fn number(&mut self, code: i32, value: f64) {
        self.pair(code, &format!("{:?}", metres(value)));
    }

    fn place(&mut self, vertex: &Vertex, z_m: f64) {
        self.number(10, vertex.x_m);
        self.number(20, vertex.y_m);
        self.number(30, z_m);
    }

    fn section(&mut self, name: &str, inside: impl FnOnce(&mut Dxf)) {
        self.pair(0, "SECTION");
        self.pair(2, name);
        inside(self);
        self.pair(0, "ENDSEC");
    }

    fn table(&mut self, name: &str, count: usize, inside: impl FnOnce(&mut Dxf)) {
        self.pair(0, "TABLE");
        self.pair(2, name);
        self.pair(70, &count.to_string());
        inside(self);
        self.pair(0, "ENDTAB");
    }
}

fn tables(out: &mut Dxf, works: &Works) {
    out.table("LTYPE", 1, |out| {
        for (code, value) in [
            (0, "LTYPE"),
            (2, "CONTINUOUS"),
            (70, "0"),
            (3, "Solid line"),
            (72, "65"),
            (73, "0"),
            (40, "0.0"),
        ] {
            out.pair(code, value);
        }
    });
    let layers: Vec<Layer> =
        Layer::ALL.into_iter().filter(|layer| works.features.of(*layer).next().is_some()).collect();
    out.table("LAYER", layers.len(), |out| {
        for layer in &layers {
            out.pair(0, "LAYER");
            out.pair(2, &name_of(*layer));
            out.pair(70, "0");
            // 7 is black on white and white on black: told apart by layer, not by colour.
            out.pair(62, "7");
            out.pair(6, "CONTINUOUS");
        }
    });
    out.table("APPID", 1, |out| {
        out.pair(0, "APPID");
        out.pair(2, APPLICATION);
        out.pair(70, "0");
    });
}

fn name_of(layer: Layer) -> String {
    layer.name().to_uppercase()
}

fn entity(out: &mut Dxf, feature: &Feature) {
    let layer = name_of(feature.layer);
    let known = feature.shape.all_heights();
    match &feature.shape {
        Shape::Point(vertex) => {
            out.pair(0, "POINT");
            out.pair(8, &layer);
            out.place(vertex, vertex.z_m.unwrap_or(0.0));
            extended(out, feature, known);
            out.pair(0, "TEXT");
            out.pair(8, &layer);
            out.place(&Vertex { x_m: vertex.x_m + 0.5 * NAMES_M, ..*vertex }, vertex.z_m.unwrap_or(0.0));
            out.number(40, NAMES_M);
            out.pair(1, &escaped(&feature.name));
        }
        Shape::Line(vertices) => polyline(out, feature, &layer, vertices),
        Shape::Area(vertices) => polyline(out, feature, &layer, vertices),
    }
}

fn polyline(out: &mut Dxf, feature: &Feature, layer: &str, vertices: &[Vertex]) {
    let known = feature.shape.all_heights();
    let closed = matches!(feature.shape, Shape::Area(_));
    out.pair(0, "POLYLINE");
    out.pair(8, layer);
    out.pair(66, "1");
    out.place(&Vertex { x_m: 0.0, y_m: 0.0, z_m: None }, 0.0);
    out.pair(70, &(8 * i32::from(known) + i32::from(closed)).to_string());
    extended(out, feature, known);
    for vertex in vertices {
        out.pair(0, "VERTEX");
        out.pair(8, layer);
        out.place(vertex, vertex.z_m.filter(|_| known).unwrap_or(0.0));
        out.pair(70, if known { "32" } else { "0" });
    }
    out.pair(0, "SEQEND");
    out.pair(8, layer);
}

/// What else is known of a thing, as extended data.
fn extended(out: &mut Dxf, feature: &Feature, heights: bool) {
    out.pair(1001, APPLICATION);
    let mut say = |name: &str, value: &str| {
        let text: String = escaped(&format!("{name}={value}")).chars().take(LONGEST).collect();
        out.pair(1000, &text);
    };
    say("name", &feature.name);
    say("unit", "m");
    say("heights", if heights { "yes" } else { "no" });
    for (name, value) in &feature.attributes {
        match value {
            Value::Number(number) => say(name, &plain(*number).to_string()),
            Value::Text(text) => say(name, text),
        }
    }
}

/// Letters beyond ASCII as `\U+00FB`, and no line ends.
fn escaped(text: &str) -> String {
    let mut escaped = String::new();
    for c in text.chars() {
        match c {
            c if c.is_control() => escaped.push(' '),
            c if c.is_ascii() => escaped.push(c),
            c => write!(escaped, "\\U+{:04X}", u32::from(c).min(0xFFFF))
                .expect("a string takes what is written to it"),
        }
    }
    escaped
}
