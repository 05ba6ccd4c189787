//! From a file's coordinates to the site's, and what there is to say about it.

use std::str::FromStr;

use ground::{Bounds, Point};
use proj4rs::transform::transform;
use quantity::figures::fixed;
use serde::Serialize;

use super::{Axes, Brought, HeightsBy, Kind, Known, RawVertex, ShapeKind, Thing};
use crate::Fault;
use crate::hand_on::Vertex;
use crate::raster::{Note, SiteAxes, crs, maybe_feet};
use crate::site_plane::SitePlane;

/// Farther than this from the site's own places nothing belongs to it: a holding of hand-dug lines is some hundred
/// metres wide.
const FARTHEST_M: f64 = 20_000.0;
/// How far beyond the site's own places a file without a system may lie and still be taken for the site's own metres.
const BESIDE_M: f64 = 300.0;
/// Degrees of latitude that 20 km are, with room.
const FARTHEST_DEG: f64 = 0.25;
/// A line of 1:200 falls 10 cm in 20 m; heights to 1 cm can show that, coarser ones cannot.
const FINE_ENOUGH_M: f64 = 0.0101;

/// What x and y of a file are, as the person who brings it says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AskedSystem {
    /// The site's own.
    Site,
    /// Longitude and latitude.
    Degrees,
    /// A projected system, by its EPSG code.
    Epsg(u32),
}

impl FromStr for AskedSystem {
    type Err = String;

    fn from_str(text: &str) -> Result<AskedSystem, String> {
        match text.to_ascii_lowercase().as_str() {
            "site" => Ok(AskedSystem::Site),
            "degrees" | "epsg:4326" => Ok(AskedSystem::Degrees),
            other => crs::epsg_code(other)
                .map(AskedSystem::Epsg)
                .ok_or_else(|| "write site, degrees or an EPSG code such as EPSG:25830".to_owned()),
        }
    }
}

/// What the person says who brings a file.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Asked {
    /// Metres in one unit of the file.
    pub unit_m: Option<f64>,
    /// What x and y are.
    pub system: Option<AskedSystem>,
}

/// What the heights of a file are good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum GoodFor {
    /// Setting out and checking lines.
    Digging,
    /// Choosing where lines may run, not setting them out.
    Planning,
    /// Nothing that has to do with water.
    Nothing,
}

/// What was understood of a file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Understood {
    /// What it is.
    pub kind: Kind,
    /// Things at one place.
    pub points: usize,
    /// Lines.
    pub lines: usize,
    /// Rings.
    pub areas: usize,
    /// Vertices of all of them.
    pub vertices: usize,
    /// Vertices with a height.
    pub with_height: usize,
    /// West, south, east and north edge in site metres.
    pub extent_m: [f64; 4],
    /// Lowest and highest height in metres; none where there is none.
    pub heights_m: Option<[f64; 2]>,
    /// What x and y were, in words.
    pub system: String,
    /// What unit the heights were in; none where there is none.
    pub unit: Option<String>,
    /// Who measured the heights.
    pub heights_by: HeightsBy,
    /// What the heights are good for; none where there is none.
    pub good_for: Option<GoodFor>,
    /// Why.
    pub because: String,
    /// The layers, folders or types of the file, with how many things each has.
    pub layers: Vec<(String, usize)>,
}

/// One thing in site metres.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedThing {
    /// What it is called.
    pub name: Option<String>,
    /// The layer, folder or type it is in.
    pub layer: Option<String>,
    /// What kind of shape it has.
    pub shape: ShapeKind,
    /// Its vertices in site metres.
    pub vertices: Vec<Vertex>,
    /// What else is said of it.
    pub attributes: Vec<(String, String)>,
}

impl PlacedThing {
    /// One of its attributes.
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }
}

/// A file in site metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Its things.
    pub things: Vec<PlacedThing>,
    /// What was understood.
    pub understood: Understood,
    /// What was understood and done on the way.
    pub notes: Vec<Note>,
}

/// Brings a file's places to site metres.
///
/// # Errors
/// What has to be asked for, or that it does not lie on this site's land.
pub fn placed(
    file: &str,
    brought: &Brought,
    axes: SiteAxes,
    asked: Asked,
    known: &Known,
) -> Result<Placed, Vec<Fault>> {
    let fault = |code, found: String, advice: String| vec![Fault::of_file(file, code, found, advice)];
    let mut notes = brought.notes.clone();
    let coming = Coming { file, brought, axes, asked, known };
    let route = coming.route(&mut notes).map_err(|fault| vec![fault])?;
    let height_unit_m = height_unit(file, brought, asked).map_err(|fault| vec![fault])?;
    let mut things = Vec::with_capacity(brought.things.len());
    for thing in &brought.things {
        let vertices = route.vertices(thing, height_unit_m).map_err(|error| {
            let found = format!("its places cannot be brought to the site's: {error}");
            fault("cannot-project", found, "check place.crs or place.anchor, and --crs".to_owned())
        })?;
        things.push(PlacedThing {
            name: thing.name.clone(),
            layer: thing.layer.clone(),
            shape: thing.shape,
            vertices,
            attributes: thing.attributes.clone(),
        });
    }
    let bounds = bounds(&things).ok_or_else(|| {
        fault("no-places", "it has no places".to_owned(), "see that you exported what you meant".to_owned())
    })?;
    near_enough(file, &bounds, brought, known).map_err(|fault| vec![fault])?;
    let understood = understood(brought, &things, &bounds, route.words, height_unit_m);
    if let Some([low_m, high_m]) = understood.heights_m {
        notes.extend(maybe_feet(low_m, high_m, Some(known.elevation_m)));
    }
    Ok(Placed { things, understood, notes })
}

/// How a file's coordinates become the site's.
struct Route {
    through: Option<(proj4rs::Proj, SitePlane)>,
    degrees: bool,
    unit_m: f64,
    words: String,
}

/// A file that is to be brought, with all that decides how.
struct Coming<'a> {
    file: &'a str,
    brought: &'a Brought,
    axes: SiteAxes,
    asked: Asked,
    known: &'a Known,
}

impl Coming<'_> {
    fn fault(&self, code: &'static str, found: impl Into<String>, advice: &str) -> Fault {
        Fault::of_file(self.file, code, found, advice)
    }

    fn route(&self, notes: &mut Vec<Note>) -> Result<Route, Fault> {
        let (unit_m, epsg) = match self.brought.axes {
            Axes::Degrees => return self.through_degrees(),
            Axes::Plane { unit_m, epsg } => (unit_m, epsg),
        };
        let system = self.asked.system.or(epsg.map(AskedSystem::Epsg));
        if system == Some(AskedSystem::Degrees) {
            return self.through_degrees();
        }
        let unit_m = unit_m.or(self.asked.unit_m).ok_or_else(|| {
            let found = "the file does not say in what unit its numbers are";
            self.fault("ask-unit", found, "say it: --unit m, ft, us-ft, cm or mm")
        })?;
        let as_they_are = |words: String| Route { through: None, degrees: false, unit_m, words };
        match system {
            Some(AskedSystem::Epsg(code)) if self.axes != SiteAxes::Projected(code) => {
                let from = crs::known(code).map_err(|refusal| refusal.of(self.file))?;
                let to = self.site_plane()?;
                Ok(Route { through: Some((from, to)), degrees: false, unit_m, words: format!("EPSG:{code}") })
            }
            Some(AskedSystem::Epsg(code)) => Ok(as_they_are(format!("EPSG:{code}, the site's own"))),
            Some(_) => Ok(as_they_are("the site's own x and y".to_owned())),
            None => {
                notes.push(own_metres(self.file, self.brought, unit_m, self.known)?);
                Ok(as_they_are("taken as the site's own x and y".to_owned()))
            }
        }
    }

    fn through_degrees(&self) -> Result<Route, Fault> {
        let contradicts = matches!(self.asked.system, Some(AskedSystem::Site | AskedSystem::Epsg(_)));
        if contradicts {
            let found = format!("{} counts in longitude and latitude", self.brought.kind.words());
            return Err(self.fault("crs-contradicts", found, "leave --crs out"));
        }
        let through = Some((crs::proj(crs::WGS84), self.site_plane()?));
        Ok(Route { through, degrees: true, unit_m: 1.0, words: "longitude and latitude, WGS 84".to_owned() })
    }

    fn site_plane(&self) -> Result<SitePlane, Fault> {
        site_plane(self.file, self.brought, self.axes)
    }
}

impl Route {
    fn vertices(&self, thing: &Thing, height_unit_m: f64) -> Result<Vec<Vertex>, proj4rs::errors::Error> {
        let mut places: Vec<(f64, f64)> =
            thing.vertices.iter().map(|vertex| (vertex.x * self.unit_m, vertex.y * self.unit_m)).collect();
        if let Some((from, to)) = &self.through {
            if self.degrees {
                to.degrees_to_site(&mut places)?;
            } else {
                transform(from, &to.proj, places.as_mut_slice())?;
                to.turn_to_site(&mut places);
            }
        }
        let heights = thing.vertices.iter().map(|vertex| vertex.z.map(|z| z * height_unit_m));
        Ok(places.into_iter().zip(heights).map(|((x_m, y_m), z_m)| Vertex { x_m, y_m, z_m }).collect())
    }
}

/// The site's plane, or the lines that would tie it to the map.
fn site_plane(file: &str, brought: &Brought, axes: SiteAxes) -> Result<SitePlane, Fault> {
    let plane = SitePlane::of(axes).map_err(|refusal| refusal.of(crate::PLAN))?;
    plane.ok_or_else(|| {
        let found = "its places are on the map, and nothing says where the site's x and y lie".to_owned();
        let advice = match (brought.axes, middle(brought)) {
            (Axes::Degrees, Some((longitude, latitude))) => format!(
                "write under [place]: anchor = {{ longitude_deg = {}, latitude_deg = {}, bearing_deg = 0 }} (the middle of \
                 this file; the site's zero point is then there)",
                fixed(longitude, 6),
                fixed(latitude, 6)
            ),
            _ => "write place.crs or place.anchor".to_owned(),
        };
        Fault::of_file(file, "no-anchor", found, advice)
    })
}

fn middle(brought: &Brought) -> Option<(f64, f64)> {
    let places = brought.things.iter().flat_map(|thing| &thing.vertices).map(|v| Point::new(v.x, v.y));
    let bounds = Bounds::around(places)?;
    Some((0.5 * (bounds.min_x_m + bounds.max_x_m), 0.5 * (bounds.min_y_m + bounds.max_y_m)))
}

/// A file that names no system is taken for the site's own only where it lies among the site's places.
fn own_metres(file: &str, brought: &Brought, unit_m: f64, known: &Known) -> Result<Note, Fault> {
    let own = Bounds::around(known.places.iter().copied());
    let (x, y) = middle(brought).unwrap_or((f64::NAN, f64::NAN));
    let (x_m, y_m) = (x * unit_m, y * unit_m);
    let among = own.is_some_and(|own| {
        (own.min_x_m - BESIDE_M..=own.max_x_m + BESIDE_M).contains(&x_m)
            && (own.min_y_m - BESIDE_M..=own.max_y_m + BESIDE_M).contains(&y_m)
    });
    if among {
        let text = "the file names no coordinate system; it lies among the site's places and was taken as the site's own x and y";
        return Ok(Note::new("crs-assumed", text));
    }
    let degrees = x.abs() <= 180.0 && y.abs() <= 90.0;
    let maybe = if degrees { " (they may be degrees)" } else { "" };
    let lies = match own {
        Some(own) => format!(
            ", and the site's lie from {}, {} to {}, {}",
            fixed(own.min_x_m, 0),
            fixed(own.min_y_m, 0),
            fixed(own.max_x_m, 0),
            fixed(own.max_y_m, 0)
        ),
        None => String::new(),
    };
    let found = format!(
        "the file does not say what its x and y are; they lie round {}, {}{maybe}{lies}",
        fixed(x_m, 1),
        fixed(y_m, 1)
    );
    Err(Fault::of_file(file, "ask-crs", found, "say it: --crs site, --crs degrees or --crs EPSG:25830"))
}

fn height_unit(file: &str, brought: &Brought, asked: Asked) -> Result<f64, Fault> {
    let has = brought.things.iter().flat_map(|thing| &thing.vertices).any(|vertex| vertex.z.is_some());
    let unit = brought.height_unit_m.or(asked.unit_m);
    unit.or((!has).then_some(1.0)).ok_or_else(|| {
        let found = "the file does not say in what unit its heights are".to_owned();
        Fault::of_file(file, "ask-unit", found, "say it: --unit m, ft, us-ft, cm or mm")
    })
}

fn bounds(things: &[PlacedThing]) -> Option<Bounds> {
    Bounds::around(things.iter().flat_map(|thing| &thing.vertices).map(|v| Point::new(v.x_m, v.y_m)))
}

/// That the file lies on this site's land.
fn near_enough(file: &str, bounds: &Bounds, brought: &Brought, known: &Known) -> Result<(), Fault> {
    let (x, y) = middle(brought).unwrap_or((f64::NAN, f64::NAN));
    let swapped = brought.axes == Axes::Degrees
        && (y - known.latitude_deg).abs() > FARTHEST_DEG
        && (x - known.latitude_deg).abs() <= FARTHEST_DEG;
    let far_north = brought.axes == Axes::Degrees && (y - known.latitude_deg).abs() > FARTHEST_DEG;
    let at = Point::new(0.5 * (bounds.min_x_m + bounds.max_x_m), 0.5 * (bounds.min_y_m + bounds.max_y_m));
    let own = Bounds::around(known.places.iter().copied());
    let away_m = own.map(|own| {
        let nearest =
            Point::new(at.x_m.clamp(own.min_x_m, own.max_x_m), at.y_m.clamp(own.min_y_m, own.max_y_m));
        at.distance_m(nearest)
    });
    let far = !(bounds.width_m() <= 2.0 * FARTHEST_M && bounds.height_m() <= 2.0 * FARTHEST_M)
        || away_m.is_some_and(|away_m| away_m.is_nan() || away_m > FARTHEST_M);
    if !far && !far_north {
        return Ok(());
    }
    let (found, advice) = if swapped {
        (
            format!(
                "latitude {} and longitude {} fit the site only the other way round",
                fixed(y, 4),
                fixed(x, 4)
            ),
            "exchange latitude and longitude where the file was made",
        )
    } else {
        let away =
            away_m.map_or_else(String::new, |m| format!(", {} km from the site", fixed(m / 1000.0, 0)));
        (
            format!("it lies round {}, {}{away}", fixed(x, 4), fixed(y, 4)),
            "see that it is the right file, and that --crs and place.crs or place.anchor are right",
        )
    };
    Err(Fault::of_file(file, "far-away", found, advice))
}

fn understood(
    brought: &Brought,
    things: &[PlacedThing],
    bounds: &Bounds,
    system: String,
    height_unit_m: f64,
) -> Understood {
    let of = |shape| things.iter().filter(|thing| thing.shape == shape).count();
    let vertices = || things.iter().flat_map(|thing| &thing.vertices);
    let heights = || vertices().filter_map(|vertex| vertex.z_m);
    let range = heights().reduce(f64::min).zip(heights().reduce(f64::max));
    let quality = range.map(|_| good_for(brought, height_unit_m));
    let mut layers: Vec<(String, usize)> = Vec::new();
    for name in things.iter().filter_map(|thing| thing.layer.as_ref()) {
        match layers.iter_mut().find(|(known, _)| known == name) {
            Some((_, count)) => *count += 1,
            None => layers.push((name.clone(), 1)),
        }
    }
    Understood {
        kind: brought.kind,
        points: of(ShapeKind::Point),
        lines: of(ShapeKind::Line),
        areas: of(ShapeKind::Area),
        vertices: vertices().count(),
        with_height: heights().count(),
        extent_m: [bounds.min_x_m, bounds.min_y_m, bounds.max_x_m, bounds.max_y_m],
        heights_m: range.map(|(low, high)| [low, high]),
        system,
        unit: range.map(|_| unit_words(height_unit_m)),
        heights_by: brought.heights_by,
        good_for: quality.as_ref().map(|(good, _)| *good),
        because: quality.map_or_else(|| "it has no heights".to_owned(), |(_, because)| because),
        layers,
    }
}

fn unit_words(unit_m: f64) -> String {
    const NAMES: [(f64, &str); 4] =
        [(1.0, "metres"), (0.3048, "feet"), (0.01, "centimetres"), (0.001, "millimetres")];
    let named = NAMES.iter().find(|(m, _)| *m == unit_m);
    named.map_or_else(|| format!("units of {unit_m} m"), |(_, name)| (*name).to_owned())
}

/// What heights are good for: by who took them, else by how finely they are written.
fn good_for(brought: &Brought, height_unit_m: f64) -> (GoodFor, String) {
    match brought.heights_by {
        HeightsBy::Receiver => (
            GoodFor::Nothing,
            "heights of a phone or handheld receiver are out by metres (5 to 15 is usual; from memory, unverified), and a \
             ditch of 1:200 falls 10 cm in 20 m: use its places, and take the heights by level"
                .to_owned(),
        ),
        HeightsBy::Globe => (
            GoodFor::Nothing,
            "heights from a globe come from a coarse model of the ground or from nowhere: use its places, and take the \
             heights by level"
                .to_owned(),
        ),
        HeightsBy::Ourselves => (GoodFor::Digging, "they are the site's own heights, as they were handed on".to_owned()),
        HeightsBy::Unknown => by_fineness(brought, height_unit_m),
    }
}

fn by_fineness(brought: &Brought, height_unit_m: f64) -> (GoodFor, String) {
    let heights: Vec<f64> =
        brought.things.iter().flat_map(|thing| &thing.vertices).filter_map(|vertex| vertex.z).collect();
    let whole = |tens: f64| heights.iter().all(|z| ((z * tens) - (z * tens).round()).abs() < 1e-6);
    let step = [1.0, 10.0, 100.0, 1000.0].into_iter().find(|tens| whole(*tens));
    match step.map(|tens| height_unit_m / tens) {
        Some(step_m) if step_m > FINE_ENOUGH_M => (
            GoodFor::Planning,
            format!(
                "heights are written to {} m only, and a ditch of 1:200 falls 10 cm in 20 m: good for choosing where, not for \
                 setting out",
                quantity::figures::significant(step_m, 2)
            ),
        ),
        _ => (
            GoodFor::Digging,
            "heights are written finely enough; the file does not say who took them: by level or total station they will \
             do, by a drone or an aeroplane they are out by 5 to 20 cm (common practice, no source) and serve for \
             planning only"
                .to_owned(),
        ),
    }
}

/// A vertex as the file gives it, for a message.
impl std::fmt::Display for RawVertex {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}, {}", self.x, self.y)
    }
}
