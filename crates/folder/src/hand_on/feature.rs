//! The works as plain things that every format can carry: a name, a shape with heights, and attributes.
//!
//! An attribute's name carries its unit. What is not known is left out, never 0.

use serde::Serialize;

/// What a thing is: one layer, folder or table of a format each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Layer {
    /// Swales, drains, chutes and pipes.
    Lines,
    /// Their pegs.
    Pegs,
    /// Their sills.
    Sills,
    /// Trees.
    Trees,
    /// Where water comes from.
    Sources,
    /// What lines have to jump.
    Barriers,
    /// What water must keep away from.
    KeepClear,
}

impl Layer {
    /// All of them, in the order in which they are written.
    pub const ALL: [Layer; 7] = [
        Layer::Lines,
        Layer::Pegs,
        Layer::Sills,
        Layer::Trees,
        Layer::Sources,
        Layer::Barriers,
        Layer::KeepClear,
    ];

    /// Its name in files.
    pub fn name(self) -> &'static str {
        match self {
            Layer::Lines => "lines",
            Layer::Pegs => "pegs",
            Layer::Sills => "sills",
            Layer::Trees => "trees",
            Layer::Sources => "sources",
            Layer::Barriers => "barriers",
            Layer::KeepClear => "keep_clear",
        }
    }

    /// What one thing of it is called.
    pub fn one(self) -> &'static str {
        match self {
            Layer::Lines => "line",
            Layer::Pegs => "peg",
            Layer::Sills => "sill",
            Layer::Trees => "tree",
            Layer::Sources => "source",
            Layer::Barriers => "barrier",
            Layer::KeepClear => "keep clear",
        }
    }
}

/// A place with its height above the site datum, where it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// East, site metres.
    pub x_m: f64,
    /// North, site metres.
    pub y_m: f64,
    /// Height of the ground above the site datum.
    pub z_m: Option<f64>,
}

/// Where a thing lies.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// At one place.
    Point(Vertex),
    /// Along a line.
    Line(Vec<Vertex>),
    /// Within a ring; the first vertex is not repeated at the end.
    Area(Vec<Vertex>),
}

impl Shape {
    /// Whether the height of every vertex is known.
    pub fn all_heights(&self) -> bool {
        self.vertices().iter().all(|vertex| vertex.z_m.is_some())
    }

    /// Its vertices, in order.
    pub fn vertices(&self) -> &[Vertex] {
        match self {
            Shape::Point(vertex) => std::slice::from_ref(vertex),
            Shape::Line(vertices) | Shape::Area(vertices) => vertices,
        }
    }
}

/// The value of an attribute.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Value {
    /// A number in the unit that the attribute's name carries.
    Number(f64),
    /// Words.
    Text(String),
}

/// One thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    /// Its layer.
    pub layer: Layer,
    /// What it is called.
    pub name: String,
    /// Where it lies.
    pub shape: Shape,
    /// What else is known of it, by name; names are the same and in the same order within a layer.
    pub attributes: Vec<(&'static str, Value)>,
}

/// The things of a site, and those without a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Features {
    /// Layer by layer, in the order of the plan.
    pub features: Vec<Feature>,
    /// What has no place, such as a line by tape, in words.
    pub left_out: Vec<String>,
}

impl Features {
    /// The things of one layer.
    pub fn of(&self, layer: Layer) -> impl Iterator<Item = &Feature> {
        self.features.iter().filter(move |feature| feature.layer == layer)
    }

    /// The names of a layer's attributes, each once, in the order of the things.
    pub fn columns(&self, layer: Layer) -> Vec<&'static str> {
        let mut columns = Vec::new();
        for (name, _) in self.of(layer).flat_map(|feature| &feature.attributes) {
            if !columns.contains(name) {
                columns.push(*name);
            }
        }
        columns
    }
}

impl Feature {
    /// One of its attributes.
    pub fn attribute(&self, name: &str) -> Option<&Value> {
        self.attributes.iter().find(|(known, _)| *known == name).map(|(_, value)| value)
    }
}

/// A ring in the order in which formats want outer rings: anticlockwise, seen from above.
pub(super) fn anticlockwise(ring: &[Vertex]) -> Vec<Vertex> {
    let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
    let twice_area: f64 = pairs.map(|(a, b)| a.x_m * b.y_m - b.x_m * a.y_m).sum();
    let mut ring = ring.to_vec();
    if twice_area < 0.0 {
        ring.reverse();
    }
    ring
}
