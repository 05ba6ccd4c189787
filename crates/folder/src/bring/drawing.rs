//! DXF in its ASCII form: points and lines, each with its layer.
//!
//! The file is pairs of lines, a group code and a value. Heights of points and 3-D polylines stand under 30; a flat
//! polyline has one height for all of it, under 38 (LWPOLYLINE) or in the header of the POLYLINE. Curves, solids and
//! words are counted and told, not taken: a bulge between two vertices is taken as a straight line, and told.
//! `$INSUNITS` names the unit; where it says none, it is asked for.

use std::collections::BTreeMap;

use super::{Axes, Brought, HeightsBy, Kind, RawVertex, ShapeKind, Thing};
use crate::Fault;
use crate::raster::Note;

/// Our own name among the extended data of an entity.
pub(crate) const APPLICATION: &str = "HILLSIP";

/// Metres in one unit of `$INSUNITS`.
const UNITS: [(i64, f64); 8] = [
    (1, 0.0254),
    (2, 0.3048),
    (4, 0.001),
    (5, 0.01),
    (6, 1.0),
    (7, 1000.0),
    (10, 0.9144),
    (21, 1200.0 / 3937.0),
];

/// One entity: its kind and its groups.
struct Entity<'a> {
    kind: &'a str,
    groups: Vec<(i32, &'a str)>,
    line: usize,
}

impl<'a> Entity<'a> {
    fn text(&self, code: i32) -> Option<&'a str> {
        self.groups.iter().find(|(known, _)| *known == code).map(|(_, value)| *value)
    }

    fn number(&self, code: i32) -> Option<f64> {
        self.text(code)?.trim().parse().ok()
    }

    fn flag(&self, bit: i64) -> bool {
        self.text(70).and_then(|text| text.trim().parse::<i64>().ok()).is_some_and(|flags| flags & bit != 0)
    }
}

pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Brought, Fault> {
    // Old drawings are in whatever alphabet their machine had: only the names can suffer.
    let text = String::from_utf8_lossy(bytes);
    let entities = entities(file, &text)?;
    let unit_m = unit(&entities);
    let mut reader = Reader { file, things: Vec::new(), skipped: BTreeMap::new(), bulges: 0 };
    reader.all(&entities)?;
    let mut things = reader.things;
    let mut notes = Vec::new();
    if !reader.skipped.is_empty() {
        let counts: Vec<String> =
            reader.skipped.iter().map(|(kind, count)| format!("{count} {kind}")).collect();
        notes.push(Note::new("not-taken", format!("not taken: {}", counts.join(", "))));
    }
    if reader.bulges > 0 {
        let text = format!("{} arcs within polylines were taken as straight", reader.bulges);
        notes.push(Note::new("straightened", text));
    }
    let ours = things.iter().any(|thing| thing.attribute("hillsip").is_some());
    // Release 12 has no variable for units: our own drawings say it with each thing.
    let unit_m = unit_m.or(ours.then_some(1.0));
    for thing in things.iter_mut().filter(|thing| thing.attribute("heights") == Some("no")) {
        thing.vertices.iter_mut().for_each(|vertex| vertex.z = None);
    }
    let heights = || things.iter().flat_map(|thing| &thing.vertices).filter_map(|vertex| vertex.z);
    if heights().next().is_some() && heights().all(|z| z == 0.0) {
        let words = "every height is 0, which is how drawings say that there is none; spot heights may stand as words beside the points";
        notes.push(Note::new("heights-all-zero", words));
        for vertex in things.iter_mut().flat_map(|thing| &mut thing.vertices) {
            vertex.z = None;
        }
    }
    Ok(Brought {
        kind: Kind::Dxf,
        things,
        axes: Axes::Plane { unit_m, epsg: None },
        height_unit_m: unit_m,
        heights_by: if ours { HeightsBy::Ourselves } else { HeightsBy::Unknown },
        notes,
    })
}

/// The groups of the file, parted at every 0.
fn entities<'a>(file: &str, text: &'a str) -> Result<Vec<Entity<'a>>, Fault> {
    let mut entities: Vec<Entity> = Vec::new();
    let mut lines = text.lines().enumerate();
    let broken = |line: usize, found: String| {
        Fault::of_file(
            file,
            "dxf-broken",
            found,
            "copy or export it again: a copy that was interrupted looks like this",
        )
        .on_line(line)
    };
    while let Some((at, code)) = lines.next() {
        if code.trim().is_empty() {
            continue;
        }
        let code: i32 = code.trim().parse().map_err(|_| {
            broken(at + 1, format!("\"{}\" stands where a group code is due", crate::fault::shown(code)))
        })?;
        let Some((_, value)) = lines.next() else {
            return Err(broken(at + 1, "the file breaks off after a group code".to_owned()));
        };
        if code == 0 {
            entities.push(Entity { kind: value.trim(), groups: Vec::new(), line: at + 1 });
        } else if let Some(last) = entities.last_mut() {
            last.groups.push((code, value.trim_end()));
        }
    }
    if entities.last().is_none_or(|last| last.kind != "EOF") {
        let end = text.lines().count();
        return Err(broken(end, "the drawing breaks off before its end (no EOF)".to_owned()));
    }
    Ok(entities)
}

/// The unit that the header names.
fn unit(entities: &[Entity]) -> Option<f64> {
    let header =
        entities.iter().find(|entity| entity.kind == "SECTION" && entity.text(2) == Some("HEADER"))?;
    let at = header.groups.iter().position(|(code, value)| *code == 9 && *value == "$INSUNITS")?;
    let code: i64 = header.groups.get(at + 1).filter(|(code, _)| *code == 70)?.1.trim().parse().ok()?;
    UNITS.iter().find(|(known, _)| *known == code).map(|(_, m)| *m)
}

struct Reader<'a> {
    file: &'a str,
    things: Vec<Thing>,
    skipped: BTreeMap<String, usize>,
    bulges: usize,
}

impl Reader<'_> {
    /// Every entity of the section ENTITIES; what stands in blocks has no place of its own.
    fn all(&mut self, entities: &[Entity]) -> Result<(), Fault> {
        let starts = |entity: &Entity| entity.kind == "SECTION" && entity.text(2) == Some("ENTITIES");
        let Some(start) = entities.iter().position(starts) else {
            return Ok(());
        };
        let section: Vec<&Entity> =
            entities[start + 1..].iter().take_while(|entity| entity.kind != "ENDSEC").collect();
        let mut i = 0;
        while i < section.len() {
            let entity = section[i];
            let followers =
                section[i + 1..].iter().take_while(|next| matches!(next.kind, "VERTEX" | "ATTRIB"));
            let followers: Vec<&Entity> = followers.copied().collect();
            i += 1 + followers.len();
            match entity.kind {
                "POINT" => self.point(entity, &[])?,
                "INSERT" => self.point(entity, &followers)?,
                "LINE" => self.line(entity)?,
                "LWPOLYLINE" => self.flat_polyline(entity)?,
                "POLYLINE" => self.polyline(entity, &followers)?,
                "SEQEND" => {}
                other => *self.skipped.entry(crate::fault::shown(other)).or_default() += 1,
            }
        }
        Ok(())
    }

    fn vertex(&self, entity: &Entity, codes: (i32, i32, i32)) -> Result<RawVertex, Fault> {
        match (entity.number(codes.0), entity.number(codes.1)) {
            (Some(x), Some(y)) => Ok(RawVertex { x, y, z: entity.number(codes.2) }),
            _ => {
                let found = format!("a {} without a place", entity.kind);
                Err(Fault::of_file(self.file, "not-a-place", found, "export the drawing again")
                    .on_line(entity.line))
            }
        }
    }

    fn add(
        &mut self,
        entity: &Entity,
        shape: ShapeKind,
        vertices: Vec<RawVertex>,
        more: Vec<(String, String)>,
    ) {
        let mut attributes = more;
        let mut ours = false;
        for (code, value) in &entity.groups {
            match code {
                1001 => ours = *value == APPLICATION,
                1000 if ours => {
                    if let Some((name, value)) = value.split_once('=') {
                        attributes.push((name.to_owned(), unescaped(value)));
                    }
                }
                _ => {}
            }
        }
        if ours {
            attributes.push(("hillsip".to_owned(), "yes".to_owned()));
        }
        let name = attributes
            .iter()
            .find(|(name, _)| name.eq_ignore_ascii_case("name"))
            .map(|(_, value)| value.clone());
        let layer = entity.text(8).map(unescaped);
        self.things.push(Thing { name, layer, shape, vertices, attributes });
    }

    /// A point, or a block that stands at one with its attributes.
    fn point(&mut self, entity: &Entity, attributes: &[&Entity]) -> Result<(), Fault> {
        let vertex = self.vertex(entity, (10, 20, 30))?;
        let told = attributes
            .iter()
            .filter_map(|entity| Some((entity.text(2)?.to_lowercase(), unescaped(entity.text(1)?))));
        self.add(entity, ShapeKind::Point, vec![vertex], told.collect());
        Ok(())
    }

    fn line(&mut self, entity: &Entity) -> Result<(), Fault> {
        let ends = vec![self.vertex(entity, (10, 20, 30))?, self.vertex(entity, (11, 21, 31))?];
        self.add(entity, ShapeKind::Line, ends, Vec::new());
        Ok(())
    }

    fn flat_polyline(&mut self, entity: &Entity) -> Result<(), Fault> {
        let z = entity.number(38);
        let mut vertices: Vec<RawVertex> = Vec::new();
        for (code, value) in &entity.groups {
            let number = || {
                value.trim().parse::<f64>().map_err(|_| {
                    let found = format!("\"{}\" is not a number", crate::fault::shown(value));
                    Fault::of_file(self.file, "not-a-place", found, "export the drawing again")
                        .on_line(entity.line)
                })
            };
            match code {
                10 => vertices.push(RawVertex { x: number()?, y: f64::NAN, z }),
                20 => {
                    if let Some(last) = vertices.last_mut() {
                        last.y = number()?;
                    }
                }
                42 if number()? != 0.0 => self.bulges += 1,
                _ => {}
            }
        }
        let shape = if entity.flag(1) { ShapeKind::Area } else { ShapeKind::Line };
        self.add(entity, shape, vertices, Vec::new());
        Ok(())
    }

    fn polyline(&mut self, entity: &Entity, followers: &[&Entity]) -> Result<(), Fault> {
        if entity.flag(16) || entity.flag(64) {
            *self.skipped.entry("MESH".to_owned()).or_default() += 1;
            return Ok(());
        }
        let level = entity.number(30).filter(|_| !entity.flag(8));
        let mut vertices = Vec::new();
        for vertex in followers.iter().filter(|follower| follower.kind == "VERTEX") {
            let mut at = self.vertex(vertex, (10, 20, 30))?;
            if !entity.flag(8) {
                at.z = level.or(at.z);
            }
            self.bulges += usize::from(vertex.number(42).is_some_and(|bulge| bulge != 0.0));
            vertices.push(at);
        }
        let shape = if entity.flag(1) { ShapeKind::Area } else { ShapeKind::Line };
        self.add(entity, shape, vertices, Vec::new());
        Ok(())
    }
}

/// Text with `\U+00FB` as the letter it stands for.
fn unescaped(text: &str) -> String {
    let mut parts = text.split("\\U+");
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (code, rest) = part.split_at_checked(4).unwrap_or(("", part));
        match u32::from_str_radix(code, 16).ok().and_then(char::from_u32) {
            Some(letter) => plain.push(letter),
            None => plain.push_str(code),
        }
        plain.push_str(rest);
    }
    plain
}
