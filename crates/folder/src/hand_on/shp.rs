//! Shapefiles (ESRI shapefile technical description, July 1998): a set of files for each layer and kind of shape.
//!
//! Things whose every vertex has a height go into a file with heights, the others into one without. Names of columns have
//! ten letters at most, so the longer ones are shortened by one table; texts are UTF-8 and cut at 254 bytes, the most that
//! a column holds.

use super::{Feature, Layer, Shape, Value, Vertex, Works, plain};

/// Columns whose names are too long, and what they are called.
pub(crate) const SHORT: [(&str, &str); 9] = [
    ("fall_percent", "fall_pct"),
    ("bed_width_m", "bed_w_m"),
    ("bank_height_m", "bank_h_m"),
    ("pipe_diameter_m", "pipe_d_m"),
    ("spills_at_z_m", "spill_z_m"),
    ("fall_from_last_mm", "f_last_mm"),
    ("fall_from_first_mm", "f_first_mm"),
    ("bank_build_m", "bank_bld_m"),
    ("below_bank_m", "below_bk_m"),
];
/// See [`SHORT`].
pub(crate) const SHORT_MORE: [(&str, &str); 1] = [("curve_number", "curve_no")];

/// Longest text of a column, bytes.
const LONGEST: usize = 254;
/// Width and decimals of columns of numbers.
const NUMBER: (u8, u8) = (20, 6);

/// One set of files: shapes of one kind, all with heights or all without.
struct Set<'a> {
    name: String,
    kind: Kind,
    with_z: bool,
    features: Vec<&'a Feature>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Point,
    Line,
    Area,
}

impl Kind {
    const ALL: [(Kind, &'static str); 3] =
        [(Kind::Point, "points"), (Kind::Line, "lines"), (Kind::Area, "areas")];

    fn of(shape: &Shape) -> Kind {
        match shape {
            Shape::Point(_) => Kind::Point,
            Shape::Line(_) => Kind::Line,
            Shape::Area(_) => Kind::Area,
        }
    }

    /// Number of the shape type.
    fn code(self, with_z: bool) -> i32 {
        let flat = match self {
            Kind::Point => 1,
            Kind::Line => 3,
            Kind::Area => 5,
        };
        flat + if with_z { 10 } else { 0 }
    }
}

pub(super) fn write(works: &Works) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    for set in sets(works) {
        let records: Vec<Vec<u8>> =
            set.features.iter().map(|feature| record(works, feature, set.with_z)).collect();
        let (shp, shx) = shapes(works, &set, &records);
        files.push((format!("{}.shp", set.name), shp));
        files.push((format!("{}.shx", set.name), shx));
        files.push((format!("{}.dbf", set.name), table(works, &set)));
        files.push((format!("{}.cpg", set.name), b"UTF-8".to_vec()));
        if let Some(wkt) = &works.wkt {
            files.push((format!("{}.prj", set.name), wkt.clone().into_bytes()));
        }
    }
    files
}

fn sets<'a>(works: &Works<'a>) -> Vec<Set<'a>> {
    let mut sets = Vec::new();
    for layer in Layer::ALL {
        let of = |kind: Kind, with_z: bool| -> Vec<&'a Feature> {
            let features = works.features.of(layer);
            features.filter(|f| Kind::of(&f.shape) == kind && f.shape.all_heights() == with_z).collect()
        };
        let several = Kind::ALL
            .iter()
            .filter(|(kind, _)| !of(*kind, true).is_empty() || !of(*kind, false).is_empty())
            .count()
            > 1;
        for (kind, word) in Kind::ALL {
            for with_z in [true, false] {
                let features = of(kind, with_z);
                if features.is_empty() {
                    continue;
                }
                let mut name = format!("works-{}", layer.name().replace('_', "-"));
                if several {
                    name += &format!("-{word}");
                }
                if !with_z {
                    name += "-flat";
                }
                sets.push(Set { name, kind, with_z, features });
            }
        }
    }
    sets
}

/// The content of one record.
fn record(works: &Works, feature: &Feature, with_z: bool) -> Vec<u8> {
    let places = |vertices: &[Vertex]| -> Vec<(f64, f64, f64)> {
        vertices
            .iter()
            .map(|v| {
                let (x, y) = works.on_plane(v);
                (x, y, v.z_m.unwrap_or(0.0))
            })
            .collect()
    };
    let kind = Kind::of(&feature.shape);
    let vertices = match &feature.shape {
        Shape::Point(vertex) => places(std::slice::from_ref(vertex)),
        Shape::Line(vertices) => places(vertices),
        Shape::Area(vertices) => {
            // Outer rings run clockwise and close.
            let mut ring = super::anticlockwise(vertices);
            ring.reverse();
            ring.extend(ring.first().copied());
            places(&ring)
        }
    };
    let mut bytes = Vec::new();
    bytes.extend(kind.code(with_z).to_le_bytes());
    if kind == Kind::Point {
        let (x, y, z) = vertices[0];
        push(&mut bytes, &[x, y]);
        if with_z {
            push(&mut bytes, &[z, 0.0]);
        }
        return bytes;
    }
    let bounds = bounds(vertices.iter().copied());
    push(&mut bytes, &[bounds[0], bounds[1], bounds[2], bounds[3]]);
    bytes.extend(1_i32.to_le_bytes());
    bytes.extend((vertices.len() as i32).to_le_bytes());
    bytes.extend(0_i32.to_le_bytes());
    for (x, y, _) in &vertices {
        push(&mut bytes, &[*x, *y]);
    }
    if with_z {
        push(&mut bytes, &[bounds[4], bounds[5]]);
        for (_, _, z) in &vertices {
            push(&mut bytes, &[*z]);
        }
    }
    bytes
}

fn push(bytes: &mut Vec<u8>, numbers: &[f64]) {
    for number in numbers {
        bytes.extend(number.to_le_bytes());
    }
}

/// Least and greatest x, y, x, y, then z.
fn bounds(vertices: impl Iterator<Item = (f64, f64, f64)>) -> [f64; 6] {
    let start = [
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
    ];
    vertices.fold(start, |b, (x, y, z)| {
        [b[0].min(x), b[1].min(y), b[2].max(x), b[3].max(y), b[4].min(z), b[5].max(z)]
    })
}

/// The file of shapes and the index to it; lengths count words of two bytes.
fn shapes(works: &Works, set: &Set, records: &[Vec<u8>]) -> (Vec<u8>, Vec<u8>) {
    let all = set.features.iter().flat_map(|feature| feature.shape.vertices());
    let b = bounds(all.map(|v| {
        let (x, y) = works.on_plane(v);
        (x, y, v.z_m.unwrap_or(0.0))
    }));
    let header = |bytes: usize| {
        let mut head = Vec::with_capacity(100);
        head.extend(9994_i32.to_be_bytes());
        head.extend([0; 20]);
        head.extend(((bytes / 2) as i32).to_be_bytes());
        head.extend(1000_i32.to_le_bytes());
        head.extend(set.kind.code(set.with_z).to_le_bytes());
        let (low_z, high_z) = if set.with_z { (b[4], b[5]) } else { (0.0, 0.0) };
        push(&mut head, &[b[0], b[1], b[2], b[3], low_z, high_z, 0.0, 0.0]);
        head
    };
    let length: usize = records.iter().map(|record| record.len() + 8).sum();
    let (mut shp, mut shx) = (header(100 + length), header(100 + 8 * records.len()));
    for (i, record) in records.iter().enumerate() {
        shx.extend(((shp.len() / 2) as i32).to_be_bytes());
        shx.extend(((record.len() / 2) as i32).to_be_bytes());
        shp.extend((i as i32 + 1).to_be_bytes());
        shp.extend(((record.len() / 2) as i32).to_be_bytes());
        shp.extend(record);
    }
    (shp, shx)
}

/// A column: its name here and in the file, and its width; a number where it has decimals.
struct Column {
    name: &'static str,
    short: &'static str,
    width: u8,
    decimals: Option<u8>,
}

fn short(name: &'static str) -> &'static str {
    let known = SHORT.iter().chain(&SHORT_MORE).find(|(long, _)| *long == name);
    known.map_or(name, |(_, short)| short)
}

fn columns(works: &Works, set: &Set) -> Vec<Column> {
    let layer = set.features[0].layer;
    let longest = |name: &'static str| {
        let texts = set.features.iter().map(|feature| cell(feature, name).len());
        texts.max().unwrap_or(1).clamp(1, LONGEST) as u8
    };
    let mut columns = vec![Column { name: "name", short: "name", width: longest("name"), decimals: None }];
    for name in works.features.columns(layer) {
        let number = |feature: &&&Feature| matches!(feature.attribute(name), Some(Value::Number(_)));
        let is_number = set.features.iter().any(|feature| number(&feature));
        let (width, decimals) = if is_number { (NUMBER.0, Some(NUMBER.1)) } else { (longest(name), None) };
        columns.push(Column { name, short: short(name), width, decimals });
    }
    columns
}

fn cell(feature: &Feature, name: &str) -> String {
    match (name, feature.attribute(name)) {
        ("name", _) => feature.name.clone(),
        (_, Some(Value::Number(number))) => format!("{:.1$}", plain(*number), usize::from(NUMBER.1)),
        (_, Some(Value::Text(text))) => text.clone(),
        (_, None) => String::new(),
    }
}

/// The table of attributes, dBASE III; its date is a fixed one, so that the same works give the same bytes.
fn table(works: &Works, set: &Set) -> Vec<u8> {
    let columns = columns(works, set);
    let row_bytes = 1 + columns.iter().map(|column| usize::from(column.width)).sum::<usize>();
    let mut dbf = vec![3, 100, 1, 1];
    dbf.extend((set.features.len() as u32).to_le_bytes());
    dbf.extend((32 * (columns.len() as u16 + 1) + 1).to_le_bytes());
    dbf.extend((row_bytes as u16).to_le_bytes());
    dbf.extend([0; 20]);
    for column in &columns {
        let mut name = column.short.as_bytes().to_vec();
        name.resize(11, 0);
        dbf.extend(name);
        dbf.push(if column.decimals.is_some() { b'N' } else { b'C' });
        dbf.extend([0; 4]);
        dbf.extend([column.width, column.decimals.unwrap_or(0)]);
        dbf.extend([0; 14]);
    }
    dbf.push(0x0D);
    for feature in &set.features {
        dbf.push(b' ');
        for column in &columns {
            dbf.extend(padded(&cell(feature, column.name), column));
        }
    }
    dbf.push(0x1A);
    dbf
}

/// A cell as wide as its column: numbers to the right, texts to the left and cut between letters.
fn padded(text: &str, column: &Column) -> Vec<u8> {
    let width = usize::from(column.width);
    let end = (0..=width.min(text.len())).rev().find(|end| text.is_char_boundary(*end)).unwrap_or(0);
    let blanks = vec![b' '; width - end];
    let text = text.as_bytes()[..end].to_vec();
    if column.decimals.is_some() { [blanks, text].concat() } else { [text, blanks].concat() }
}
