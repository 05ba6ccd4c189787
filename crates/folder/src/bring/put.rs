//! Into the site folder: points into `ground/`, the rest into `site.toml`, nothing twice.

use std::collections::BTreeMap;
use std::path::Path;

use design::layout::{Layout, lay_out_courses};
use ground::Point;
use quantity::figures::fixed;
use serde::Serialize;
use serde_json::{Map, Value as Json, json};
use site::{Barrier, KeepClear, Line, Plan, Site, Tree, Xy};

use super::ShapeKind;
use super::place::{GoodFor, Placed, PlacedThing};
use crate::edit::{self, Edit};
use crate::inside::SiteDir;
use crate::plan_file::read_plan;
use crate::points::{self, Expected};
use crate::save::save_new;
use crate::{Fault, PLAN, plan_bytes, save};

/// Nearer than this two places are one: what formats in degrees round to, with room.
const SAME_PLACE_M: f64 = 0.002;

/// What a file's things are to become.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum As {
    /// Points of the ground.
    Ground,
    /// Lines of the works.
    Line,
    /// Trees.
    Tree,
    /// What lines have to jump.
    Barrier,
    /// What water must keep away from.
    KeepClear,
}

/// What the person wants who brings a file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wish {
    /// Only things of this layer, folder or type.
    pub layer: Option<String>,
    /// swale, drain …, fence …, building …, where the file does not say.
    pub kind: Option<String>,
    /// What takes a line's surplus, where the file does not say.
    pub to: Option<String>,
    /// Where along a swale it is meant to spill.
    pub sill_at_m: Option<f64>,
    /// Species of trees, where the file does not say.
    pub species: Option<String>,
}

/// What became of it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Done {
    /// The file that was written, from the site folder.
    pub file: String,
    /// Things that are new there.
    pub new: usize,
    /// Things that were there already.
    pub known: usize,
    /// What was left as it was, or could not be taken, in words.
    pub left: Vec<String>,
    /// What else to know or to do.
    pub then: Vec<String>,
}

/// Puts a file's things into the site folder, given with the site that was read from it.
///
/// # Errors
/// What has to be asked for, or why the site would have faults with it. Nothing is written then.
pub fn put(
    site: (&Path, &Site),
    file: &Path,
    placed: &Placed,
    what: As,
    wish: &Wish,
) -> Result<Done, Vec<Fault>> {
    let (dir, site) = site;
    let wanted = |thing: &&PlacedThing| {
        let layer = || thing.layer.as_deref().unwrap_or_default();
        wish.layer.as_deref().is_none_or(|wanted| wanted.eq_ignore_ascii_case(layer()))
    };
    let things: Vec<&PlacedThing> = placed.things.iter().filter(wanted).collect();
    let name = file.display().to_string();
    if things.is_empty() {
        let layers: Vec<&str> = placed.understood.layers.iter().map(|(name, _)| name.as_str()).collect();
        let found = format!("it has no layer \"{}\"", wish.layer.as_deref().unwrap_or_default());
        return Err(vec![Fault::of_file(
            name,
            "no-such-layer",
            found,
            format!("name one of {}", layers.join(", ")),
        )]);
    }
    match what {
        As::Ground => ground(dir, file, &things, placed),
        _ => plan((dir, site), &name, &things, what, wish),
    }
}

/// A row of points.
struct RowOf<'a> {
    name: &'a str,
    line: &'a str,
    at: Point,
    z_m: Option<f64>,
}

const HEAD: &str = "point,x_m,y_m,z_m,line";

fn ground(dir: &Path, file: &Path, things: &[&PlacedThing], placed: &Placed) -> Result<Done, Vec<Fault>> {
    let rows = rows(things);
    let inside = format!("ground/{}.csv", stem(file));
    let site = SiteDir::open(dir).map_err(|fault| vec![fault])?;
    let was = match site.bytes(&inside) {
        Ok(bytes) => Some(bytes),
        Err(fault) if fault.code == "no-file" => None,
        Err(fault) => return Err(vec![fault]),
    };
    let mut there = Places::default();
    for (place, known) in there_already(&site, &inside, was.as_deref())? {
        there.add(place, known);
    }
    let mut done = Done { file: inside.clone(), ..Done::default() };
    let mut fresh = String::new();
    for row in &rows {
        match there.find(row.at, row.line) {
            Some(z_m) if close(z_m, row.z_m) => done.known += 1,
            Some(z_m) => {
                let height = |z: Option<f64>| z.map_or_else(|| "none".to_owned(), |z| fixed(z, 3));
                let place = format!("{}, {}", fixed(row.at.x_m, 2), fixed(row.at.y_m, 2));
                done.left.push(format!(
                    "at {place} the height is {} there, {} here",
                    height(z_m),
                    height(row.z_m)
                ));
            }
            None => {
                done.new += 1;
                there.add(row.at, KnownPoint { line: row.line.to_owned(), z_m: row.z_m });
                fresh += &csv_row(row);
            }
        }
    }
    if done.new > 0 {
        match &was {
            Some(was) => add_points(dir, &inside, was, &fresh),
            None => begin_points((dir, &site), &inside, &fresh, placed),
        }
        .map_err(|fault| vec![fault])?;
    }
    use_it(dir, &inside, placed, &mut done)?;
    Ok(done)
}

fn rows<'a>(things: &[&'a PlacedThing]) -> Vec<RowOf<'a>> {
    let mut rows: Vec<RowOf> = Vec::new();
    for thing in things {
        let name = thing.name.as_deref().unwrap_or_default();
        let alone = thing.shape == ShapeKind::Point;
        for vertex in &thing.vertices {
            rows.push(RowOf {
                name: if alone { name } else { "" },
                line: if alone { "" } else { name },
                at: Point::new(vertex.x_m, vertex.y_m),
                z_m: vertex.z_m,
            });
        }
    }
    rows
}

fn close(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= SAME_PLACE_M,
        (None, None) => true,
        _ => false,
    }
}

/// A point that is there.
#[derive(Debug, Clone)]
struct KnownPoint {
    line: String,
    z_m: Option<f64>,
}

/// Points found again by their place: in square cells as wide as two places may differ.
#[derive(Debug, Default)]
struct Places(BTreeMap<(i64, i64), Vec<(Point, KnownPoint)>>);

impl Places {
    fn cell(at: Point) -> (i64, i64) {
        ((at.x_m / SAME_PLACE_M).floor() as i64, (at.y_m / SAME_PLACE_M).floor() as i64)
    }

    fn add(&mut self, at: Point, known: KnownPoint) {
        self.0.entry(Places::cell(at)).or_default().push((at, known));
    }

    /// The height of the point that is there in the same line, or in none.
    fn find(&self, at: Point, line: &str) -> Option<Option<f64>> {
        let (x, y) = Places::cell(at);
        let beside = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        let points = beside.filter_map(|cell| self.0.get(&cell)).flatten();
        points
            .filter(|(place, known)| known.line == line && place.distance_m(at) <= SAME_PLACE_M)
            .map(|(_, known)| known.z_m)
            .next()
    }
}

/// The points of the file as it is.
fn there_already(
    site: &SiteDir,
    inside: &str,
    was: Option<&[u8]>,
) -> Result<Vec<(Point, KnownPoint)>, Vec<Fault>> {
    let Some(bytes) = was else {
        return Ok(Vec::new());
    };
    let shown = site.shown(inside);
    let text = String::from_utf8_lossy(bytes);
    if !text.lines().any(|line| line == HEAD) {
        let found = "a file of this name with other columns is there already".to_owned();
        return Err(vec![Fault::of_file(shown, "name-taken", found, "rename one of the two files")]);
    }
    let read = points::read(&shown, bytes, &Expected::default())?;
    let known = |point: &points::Surveyed| {
        let line = point.line.clone().unwrap_or_default();
        (Point::new(point.x_m, point.y_m), KnownPoint { line, z_m: point.z_m })
    };
    Ok(read.points.iter().map(known).collect())
}

fn csv_row(row: &RowOf) -> String {
    let mut table = csv::WriterBuilder::new().from_writer(Vec::new());
    let z = row.z_m.map_or_else(String::new, |z_m| format!("{z_m:.4}"));
    let cells = [row.name, &format!("{:.4}", row.at.x_m), &format!("{:.4}", row.at.y_m), &z, row.line];
    let in_memory = "a row in memory can be written";
    table.write_record(cells).expect(in_memory);
    String::from_utf8(table.into_inner().expect(in_memory)).expect("its cells are text")
}

/// Rows behind those that are there.
fn add_points(dir: &Path, inside: &str, was: &[u8], fresh: &str) -> Result<(), Fault> {
    let mut now = was.to_vec();
    if !now.ends_with(b"\n") {
        now.push(b'\n');
    }
    now.extend_from_slice(fresh.as_bytes());
    save(dir, inside, was, &now)
}

fn begin_points(
    (dir, site): (&Path, &SiteDir),
    inside: &str,
    fresh: &str,
    placed: &Placed,
) -> Result<(), Fault> {
    let about = &placed.understood;
    let head =
        format!("# Brought from {}. {}: {}.\n{HEAD}\n", about.kind.words(), about.system, about.because);
    std::fs::create_dir_all(dir.join("ground")).map_err(|error| {
        Fault::of_file(
            site.shown("ground"),
            "not-saved",
            format!("it could not be made ({error})"),
            "see that the folder can be written",
        )
    })?;
    site.folder("ground")?;
    save_new(dir, inside, (head + fresh).as_bytes())
}

/// Names the file in the plan where the plan has no ground yet and the heights will do; else says what to write.
fn use_it(dir: &Path, inside: &str, placed: &Placed, done: &mut Done) -> Result<(), Vec<Fault>> {
    let bytes = plan_bytes(dir)?;
    let plan = read_plan(PLAN, &bytes)?;
    if plan.ground.as_ref().is_some_and(|ground| ground.points.as_deref() == Some(inside)) {
        return Ok(());
    }
    if plan.ground.is_some() {
        done.then.push(format!(
            "the plan has its ground already: to use this instead, write [ground] points = \"{inside}\""
        ));
        return Ok(());
    }
    if placed.understood.good_for == Some(GoodFor::Nothing) {
        done.then.push(format!("it is not used as ground, because of its heights; level the points and name {inside} in [ground] then"));
        return Ok(());
    }
    let site = SiteDir::open(dir).map_err(|fault| vec![fault])?;
    let written = site.bytes(inside).map_err(|fault| vec![fault])?;
    let surface = points::read(inside, &written, &Expected::default())
        .and_then(|points| points.scattered().map(|_| ()));
    if let Err(faults) = surface {
        let first = faults.first().map_or_else(String::new, |fault| fault.found.clone());
        done.then.push(format!("it makes no surface yet ({first}), so the plan does not name it"));
        return Ok(());
    }
    let edit = Edit::Set { path: vec!["ground".to_owned(), "points".to_owned()], value: json!(inside) };
    let text = String::from_utf8_lossy(&bytes);
    let (now, said) = edit::apply(&text, &edit).map_err(|error| not_edited(&error))?;
    save(dir, PLAN, &bytes, now.as_bytes()).map_err(|fault| vec![fault])?;
    done.then.push(format!("the plan uses it as its ground now ({})", said.says));
    Ok(())
}

fn not_edited(error: &edit::EditError) -> Vec<Fault> {
    match error {
        edit::EditError::FaultsBefore(faults) | edit::EditError::Faults(faults) => faults.clone(),
        other => {
            vec![Fault::of_file(PLAN, "not-edited", other.to_string(), "mend it and bring the file again")]
        }
    }
}

fn plan(
    (dir, site): (&Path, &Site),
    file: &str,
    things: &[&PlacedThing],
    what: As,
    wish: &Wish,
) -> Result<Done, Vec<Fault>> {
    let bytes = plan_bytes(dir)?;
    let plan = read_plan(PLAN, &bytes)?;
    let mut done = Done { file: PLAN.to_owned(), ..Done::default() };
    let laid = lay_out_courses(site);
    let mut making = Making { file, wish, what, plan: &plan, laid: &laid, faults: Vec::new() };
    let edits = making.edits(things, &mut done);
    if !making.faults.is_empty() {
        let mut faults = making.faults;
        faults.dedup();
        return Err(faults);
    }
    let mut text = std::str::from_utf8(&bytes)
        .map_err(|_| {
            vec![Fault::of_file(PLAN, "not-utf8", "it is not written in UTF-8", "save it as UTF-8")]
        })?
        .to_owned();
    for edit in &edits {
        text = edit::apply(&text, edit).map_err(|error| not_edited(&error))?.0;
    }
    save(dir, PLAN, &bytes, text.as_bytes()).map_err(|fault| vec![fault])?;
    Ok(done)
}

/// Making edits of things.
struct Making<'a> {
    file: &'a str,
    wish: &'a Wish,
    what: As,
    plan: &'a Plan,
    laid: &'a Layout,
    faults: Vec<Fault>,
}

impl Making<'_> {
    fn edits(&mut self, things: &[&PlacedThing], done: &mut Done) -> Vec<Edit> {
        let mut edits = Vec::new();
        let mut taken: Vec<String> = self.names();
        for (i, thing) in things.iter().enumerate() {
            let fits = match self.what {
                As::Line | As::Barrier => thing.shape != ShapeKind::Point,
                As::Tree => thing.shape == ShapeKind::Point,
                As::Ground | As::KeepClear => true,
            };
            let name =
                thing.name.clone().unwrap_or_else(|| format!("{} {}", stem(Path::new(self.file)), i + 1));
            if !fits {
                done.left.push(format!("\"{name}\" has not the shape for this"));
                continue;
            }
            if self.is_there(thing) {
                done.known += 1;
                continue;
            }
            if taken.contains(&name) {
                done.left.push(format!(
                    "\"{name}\" lies elsewhere in the plan: rename one of the two, or move it"
                ));
                continue;
            }
            if let Some(edit) = self.edit(&name, thing, things) {
                taken.push(name);
                done.new += 1;
                edits.push(edit);
            }
        }
        edits
    }

    fn names(&self) -> Vec<String> {
        let plan = self.plan;
        match self.what {
            As::Ground => Vec::new(),
            As::Line => plan.lines.iter().map(|line| line.name.clone()).collect(),
            As::Tree => plan.trees.iter().map(|tree| tree.name.clone()).collect(),
            As::Barrier => plan.barriers.iter().map(|barrier| barrier.name.clone()).collect(),
            As::KeepClear => plan.keep_clears.iter().map(|thing| thing.name.clone()).collect(),
        }
    }

    /// Whether the plan has something of this kind in the same place.
    fn is_there(&self, thing: &PlacedThing) -> bool {
        let here: Vec<Xy> = thing.vertices.iter().map(|vertex| [vertex.x_m, vertex.y_m]).collect();
        let same =
            |there: &[Xy]| there.len() == here.len() && there.iter().zip(&here).all(|(a, b)| near(*a, *b));
        let plan = self.plan;
        match self.what {
            As::Ground => false,
            // A walked line and a tree beside its line have their places from the layout.
            As::Line => self.laid.lines.iter().any(|line| {
                let pegs: Vec<Xy> = line.pegs.iter().filter_map(|peg| Some(xy(peg.at?))).collect();
                same(&pegs)
            }),
            As::Tree => self.laid.trees.iter().any(|tree| tree.at.is_some_and(|at| same(&[xy(at)]))),
            As::Barrier => plan.barriers.iter().any(|barrier| same(&barrier.along)),
            As::KeepClear => plan.keep_clears.iter().any(|known| {
                known.at.is_some_and(|at| same(&[at]))
                    || known.along.as_deref().is_some_and(same)
                    || known.area.as_deref().is_some_and(same)
            }),
        }
    }

    fn edit(&mut self, name: &str, thing: &PlacedThing, all: &[&PlacedThing]) -> Option<Edit> {
        let places: Vec<Json> =
            thing.vertices.iter().map(|vertex| json!([tidy(vertex.x_m), tidy(vertex.y_m)])).collect();
        let mut table = Map::new();
        table.insert("name".to_owned(), json!(name));
        match self.what {
            As::Ground => None,
            As::Tree => {
                let species = thing.attribute("species").or(self.wish.species.as_deref()).map(str::to_owned);
                table.insert(
                    "species".to_owned(),
                    json!(self.asked(species, "which species the trees are", "--species fig")?),
                );
                table.insert("x_m".to_owned(), places[0][0].clone());
                table.insert("y_m".to_owned(), places[0][1].clone());
                copy(thing, &mut table, &["variety", "planted"], &[]);
                self.typed::<Tree>(table).map(|tree| Edit::AddTree { tree })
            }
            As::Barrier => {
                let kind = self.kind(thing, "--kind fence, rock, wall or hedge")?;
                table.insert("kind".to_owned(), json!(kind));
                table.insert("along".to_owned(), Json::Array(places));
                self.typed::<Barrier>(table).map(|barrier| Edit::AddBarrier { barrier })
            }
            As::KeepClear => {
                let kind = self.kind(
                    thing,
                    "--kind building, septic, well, boundary, road, service, \"steep drop\" or slip",
                )?;
                table.insert("kind".to_owned(), json!(kind));
                let (key, value) = match thing.shape {
                    ShapeKind::Point => ("at", places[0].clone()),
                    ShapeKind::Line => ("along", Json::Array(places)),
                    ShapeKind::Area => ("area", Json::Array(places)),
                };
                table.insert(key.to_owned(), value);
                copy(thing, &mut table, &[], &["distance_m"]);
                self.typed::<KeepClear>(table).map(|keep_clear| Edit::AddKeepClear { keep_clear })
            }
            As::Line => {
                table.insert("pegs".to_owned(), Json::Array(places));
                self.line(name, thing, all, table)
            }
        }
    }

    fn line(
        &mut self,
        name: &str,
        thing: &PlacedThing,
        all: &[&PlacedThing],
        mut table: Map<String, Json>,
    ) -> Option<Edit> {
        let kind = self.kind(thing, "--kind swale, drain, chute or pipe");
        let to = self.wish.to.clone().or_else(|| thing.attribute("spills_to").map(str::to_owned));
        let to = self.asked(to, "where the surplus of a line goes", "--to ground, or the name of a line");
        let (kind, to) = (kind?, to?);
        table.insert("kind".to_owned(), json!(kind));
        let lengths = ["bed_width_m", "depth_m", "bank_height_m", "pipe_diameter_m"];
        copy(thing, &mut table, &["lining"], &lengths);
        if kind == "swale" {
            let sills = sills_of(name, all);
            let sills = if sills.is_empty() {
                let at_m = self.asked(
                    self.wish.sill_at_m,
                    "where along a swale it is meant to spill",
                    "--sill-at-m 6",
                )?;
                vec![json!({ "at_m": at_m, "width_m": 2.0, "below_bank_m": 0.1, "to": to })]
            } else {
                sills
            };
            table.insert("sill".to_owned(), Json::Array(sills));
        } else {
            table.insert("to".to_owned(), json!(to));
        }
        self.typed::<Line>(table).map(|line| Edit::AddLine { line })
    }

    fn kind(&mut self, thing: &PlacedThing, say: &str) -> Option<String> {
        let kind = self.wish.kind.clone().or_else(|| thing.attribute("kind").map(str::to_owned));
        self.asked(kind, "of which kind they are", say)
    }

    /// A thing that cannot be known, or a fault that asks for it.
    fn asked<T>(&mut self, known: Option<T>, what: &str, say: &str) -> Option<T> {
        if known.is_none() {
            let found = format!("the file does not say {what}");
            let fault = Fault::of_file(self.file, "ask", found, format!("say it: {say}"));
            if !self.faults.contains(&fault) {
                self.faults.push(fault);
            }
        }
        known
    }

    fn typed<T: serde::de::DeserializeOwned>(&mut self, table: Map<String, Json>) -> Option<T> {
        let typed = serde_json::from_value(Json::Object(table));
        typed
            .map_err(|error| {
                let found = format!("it holds what the plan does not take ({error})");
                self.faults.push(Fault::of_file(
                    self.file,
                    "not-taken",
                    found,
                    "say it with --kind, or mend the file",
                ));
            })
            .ok()
    }
}

/// Sills that the same file gives for a line.
fn sills_of(line: &str, all: &[&PlacedThing]) -> Vec<Json> {
    let of_line = all.iter().filter(|thing| thing.attribute("line") == Some(line));
    let sill = |thing: &&PlacedThing| {
        let number = |name: &str| thing.attribute(name)?.parse::<f64>().ok();
        let mut sill = Map::new();
        sill.insert("at_m".to_owned(), json!(number("chainage_m")?));
        sill.insert("width_m".to_owned(), json!(number("width_m")?));
        sill.insert("below_bank_m".to_owned(), json!(number("below_bank_m")?));
        sill.insert("to".to_owned(), json!(thing.attribute("to")?));
        copy(thing, &mut sill, &["landing"], &[]);
        Some(Json::Object(sill))
    };
    of_line.filter_map(sill).collect()
}

/// Copies what is known under the same name.
fn copy(thing: &PlacedThing, table: &mut Map<String, Json>, texts: &[&str], numbers: &[&str]) {
    for name in texts {
        if let Some(text) = thing.attribute(name) {
            table.insert((*name).to_owned(), json!(text));
        }
    }
    for name in numbers {
        if let Some(number) = thing.attribute(name).and_then(|text| text.parse::<f64>().ok()) {
            table.insert((*name).to_owned(), json!(number));
        }
    }
}

fn xy(at: Point) -> Xy {
    [at.x_m, at.y_m]
}

fn near(a: Xy, b: Xy) -> bool {
    Point::new(a[0], a[1]).distance_m(Point::new(b[0], b[1])) <= SAME_PLACE_M
}

/// A place as a plan has it: to the millimetre.
fn tidy(m: f64) -> f64 {
    (m * 1000.0).round() / 1000.0
}

/// The name of a file without its ending, fit for a file of ours.
fn stem(file: &Path) -> String {
    let stem = file.file_stem().map(|stem| stem.to_string_lossy().to_lowercase()).unwrap_or_default();
    let plain: String = stem.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let plain = plain.trim_matches('-').to_owned();
    if plain.is_empty() { "brought".to_owned() } else { plain }
}
