//! GPX: waypoints, routes and the segments of tracks.
//!
//! Unknown elements are skipped, in any version and namespace. A height may stand in `<ele>` or, as some programs write,
//! in an attribute `ele`; a missing or blank one is missing, never 0.

use roxmltree::{Document, Node};

use super::xml::{child_text, number};
use super::{Axes, Brought, HeightsBy, Kind, RawVertex, ShapeKind, Thing};
use crate::Fault;
use crate::hand_on::NAMESPACE;

pub(super) fn read(file: &str, document: &Document) -> Result<Brought, Fault> {
    let root = document.root_element();
    let ours = root.namespaces().any(|namespace| namespace.uri() == NAMESPACE);
    let reader = Reader { file, document };
    let mut things = Vec::new();
    for node in root.children().filter(Node::is_element) {
        match node.tag_name().name() {
            "wpt" => things.push(reader.thing(node, ShapeKind::Point, &[node])?),
            "rte" => things.push(reader.thing(node, ShapeKind::Line, &points(node, "rtept"))?),
            "trk" => {
                for segment in node.children().filter(|child| child.tag_name().name() == "trkseg") {
                    things.push(reader.thing(node, ShapeKind::Line, &points(segment, "trkpt"))?);
                }
            }
            _ => {}
        }
    }
    things.retain(|thing| !thing.vertices.is_empty());
    let heights_by = if ours { HeightsBy::Ourselves } else { HeightsBy::Receiver };
    Ok(Brought {
        kind: Kind::Gpx,
        things,
        axes: Axes::Degrees,
        height_unit_m: Some(1.0),
        heights_by,
        notes: Vec::new(),
    })
}

fn points<'a, 'i>(of: Node<'a, 'i>, name: &str) -> Vec<Node<'a, 'i>> {
    of.children().filter(|child| child.tag_name().name() == name).collect()
}

struct Reader<'a> {
    file: &'a str,
    document: &'a Document<'a>,
}

impl Reader<'_> {
    fn thing(&self, node: Node, shape: ShapeKind, points: &[Node]) -> Result<Thing, Fault> {
        let vertices: Result<Vec<RawVertex>, Fault> =
            points.iter().map(|point| self.vertex(*point)).collect();
        let extensions = node.children().find(|child| child.tag_name().name() == "extensions");
        let known = extensions.into_iter().flat_map(|node| node.children()).filter(Node::is_element);
        let attributes = known
            .filter_map(|child| Some((child.tag_name().name().to_owned(), child.text()?.trim().to_owned())));
        Ok(Thing {
            name: child_text(node, "name"),
            layer: child_text(node, "type"),
            shape,
            vertices: vertices?,
            attributes: attributes.filter(|(_, value)| !value.is_empty()).collect(),
        })
    }

    fn vertex(&self, node: Node) -> Result<RawVertex, Fault> {
        let coordinate = |name: &str| {
            node.attribute(name).and_then(number).ok_or_else(|| {
                let found = match node.attribute(name) {
                    Some(text) => format!("{name}=\"{}\" is not a number", crate::fault::shown(text)),
                    None => format!("a point without {name}"),
                };
                let place = self.document.text_pos_at(node.range().start);
                Fault::of_file(self.file, "not-a-place", found, "correct it, or delete the point")
                    .at(place.row as usize, place.col as usize)
            })
        };
        let height = child_text(node, "ele").or_else(|| node.attribute("ele").map(str::to_owned));
        let z = match height.as_deref() {
            None => None,
            Some(text) => Some(number(text).ok_or_else(|| {
                let place = self.document.text_pos_at(node.range().start);
                let found = format!("the height \"{}\" is not a number", crate::fault::shown(text));
                Fault::of_file(self.file, "not-a-height", found, "correct it, or leave it out")
                    .at(place.row as usize, place.col as usize)
            })?),
        };
        Ok(RawVertex { x: coordinate("lon")?, y: coordinate("lat")?, z })
    }
}
