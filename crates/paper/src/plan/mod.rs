//! The plan: the whole site at a stated scale, with a margin of words.

mod around;
mod column;
mod findings;
mod grid;
mod ground;
mod margin;
mod names;
mod rain;
mod sheet;
mod works;

pub use sheet::{Format, Sheet};

use ::ground::{Bounds, Point};

use self::names::Name;
use self::sheet::Division;
use crate::ink::{FRAME_PEN, HAIR_PEN, PLUM_PEN};
use crate::labels::Taken;
use crate::page::{Mark, Page, Spot};
use crate::scale::Window;
use crate::subject::{Subject, point};

/// Works stay this far inside the map's frame.
const AIR_MM: f64 = 13.0;
/// Things stay this far inside it.
const EDGE_MM: f64 = 4.0;
/// A plan that is not legible on A4 goes on A3: from this scale on.
const TOO_SMALL_ONE_TO: u32 = 1000;

/// The plan on the sheet that suits it: A4 if the works fit it at a scale one can build by, else A3. None for a
/// site without places (only tape and tool), or one too large for any scale.
pub fn plan(subject: &Subject) -> Option<Page> {
    plan_on(subject, fitting_sheet(subject)?)
}

/// The plan in a storm: how far each line is wet, what soaks into each metre, where it breaks out, what leaves.
pub fn plan_in_the_rain(subject: &Subject, rain: &design::rain_test::Answer) -> Option<Page> {
    let sheet = fitting_sheet(subject)?;
    let division = sheet.divided();
    let mut sketch = Sketch::new(*subject, window(subject, &division)?);
    let contours_m = ground::draw(&mut sketch);
    around::draw(&mut sketch);
    rain::draw(&mut sketch, rain);
    around::draw_sources(&mut sketch);
    let left_off = names::set(&mut sketch);
    ground::label_contours(&mut sketch);
    let mut columns = column::Columns::new(division.columns.clone());
    let title = crate::words::rain::PLAN_TITLE;
    let facts = margin::Facts { title, sheet: sheet.words(), contours_m, left_off: &left_off };
    rain::write_margin(&sketch, rain, &mut columns, &facts);
    Some(page(sketch, &division, columns, title, "rain-plan"))
}

/// The sheet on which the works can be drawn at a scale one can build by.
fn fitting_sheet(subject: &Subject) -> Option<Sheet> {
    let scale = |sheet: Sheet| Some(window(subject, &sheet.divided())?.one_to);
    let best = |a: Sheet, b: Sheet| match (scale(a), scale(b)) {
        (Some(first), Some(second)) if second < first => Some((b, second)),
        (Some(first), _) => Some((a, first)),
        (None, second) => Some((b, second?)),
    };
    let [wide, high] = subject.format.large();
    let small = best(subject.format.lying(), subject.format.upright());
    match small {
        Some((sheet, one_to)) if one_to < TOO_SMALL_ONE_TO => Some(sheet),
        _ => Some(best(wide, high)?.0),
    }
}

/// The plan on a sheet of this size.
pub fn plan_on(subject: &Subject, sheet: Sheet) -> Option<Page> {
    drawn(subject, sheet).map(|(page, _)| page)
}

/// The plan, with what its labels take of the sheet.
fn drawn(subject: &Subject, sheet: Sheet) -> Option<(Page, Taken)> {
    let division = sheet.divided();
    let window = window(subject, &division)?;
    let mut sketch = Sketch::new(*subject, window);
    let contours_m = ground::draw(&mut sketch);
    around::draw(&mut sketch);
    works::draw(&mut sketch);
    around::draw_sources(&mut sketch);
    findings::draw(&mut sketch);
    let left_off = names::set(&mut sketch);
    ground::label_contours(&mut sketch);
    let mut columns = column::Columns::new(division.columns.clone());
    let facts = margin::Facts {
        title: crate::words::PLAN_TITLE,
        sheet: sheet.words(),
        contours_m,
        left_off: &left_off,
    };
    margin::write(&sketch, &mut columns, &facts);
    let taken = sketch.taken.clone();
    Some((page(sketch, &division, columns, crate::words::PLAN_TITLE, "plan"), taken))
}

/// The page of a map with its words.
fn page(sketch: Sketch, division: &Division, columns: column::Columns, title: &str, key: &str) -> Page {
    let (window, site) = (sketch.window, &sketch.subject.site.plan.name);
    let title = format!("{site}: {title}");
    let mut marks = sketch.into_marks();
    marks.extend(grid::draw(&window));
    marks.push(Mark::run(division.rule.to_vec(), PLUM_PEN));
    marks.extend(columns.into_marks());
    Page {
        title,
        key: key.to_owned(),
        width_mm: division.sheet.width_mm,
        height_mm: division.sheet.height_mm,
        marks,
    }
}

/// A map that is being drawn.
struct Sketch<'a> {
    subject: Subject<'a>,
    window: Window,
    taken: Taken,
    /// Relief and contours, under everything.
    ground: Vec<Mark>,
    /// Heavy contours that wait for their labels: height, interval of the heavy ones, course.
    contours: Vec<(f64, f64, Vec<Spot>)>,
    contour_labels: Vec<Mark>,
    /// Things and works.
    map: Vec<Mark>,
    /// What lies over all lines: trees, names.
    over: Vec<Mark>,
    /// Names of lines: set first.
    line_names: Vec<Name>,
    /// Other names, and findings: set next.
    names: Vec<Name>,
    /// Figures that may stay away: set last.
    small_names: Vec<Name>,
}

impl<'a> Sketch<'a> {
    fn new(subject: Subject<'a>, window: Window) -> Sketch<'a> {
        Sketch {
            subject,
            window,
            taken: Taken::new(window.frame.inset(0.8)),
            ground: Vec::new(),
            contours: Vec::new(),
            contour_labels: Vec::new(),
            map: Vec::new(),
            over: Vec::new(),
            line_names: Vec::new(),
            names: Vec::new(),
            small_names: Vec::new(),
        }
    }

    fn into_marks(self) -> Vec<Mark> {
        let mut within = self.ground;
        within.extend(self.contour_labels);
        within.extend(self.map);
        within.extend(self.over);
        vec![
            Mark::Within(self.window.frame, within),
            Mark::rect(self.window.frame, Some(FRAME_PEN), None),
            Mark::rect(self.window.frame.inset(-sheet::GRID_BAND_MM), Some(HAIR_PEN), None),
        ]
    }
}

/// The window that shows the works; where there are none, what is there; where there is nothing, the ground.
/// Buildings, wells and the like come into it too where that costs no scale.
fn window(subject: &Subject, division: &Division) -> Option<Window> {
    let inner = division.map.inset(AIR_MM);
    let works = works_places(subject);
    let near = things_places(subject);
    let around = places_around(subject);
    let ground = subject.site.ground.as_ref().map(::ground::Surface::bounds);
    let must = Bounds::around(works.iter().copied())
        .or_else(|| Bounds::around(around.iter().copied()))
        .or(ground)?;
    let all = Bounds::around(corners(must).into_iter().chain(near))?;
    let may =
        Bounds::around(corners(all).into_iter().chain(around).chain(ground.into_iter().flat_map(corners)))?;
    let window = Window::fitting(inner, must, may)?;
    let wider = Window::fitting(division.map.inset(EDGE_MM), all, may).filter(|wider| {
        let shows_works = |wider: &Window| corners(must).iter().all(|at| inner.contains(wider.spot(*at)));
        wider.one_to == window.one_to && shows_works(wider)
    });
    Some(Window { frame: division.map, ..wider.unwrap_or(window) })
}

fn corners(bounds: Bounds) -> [Point; 2] {
    [Point::new(bounds.min_x_m, bounds.min_y_m), Point::new(bounds.max_x_m, bounds.max_y_m)]
}

/// Things that have a place or cover an area, rather than run through.
fn things_places(subject: &Subject) -> Vec<Point> {
    let things = subject.site.plan.keep_clears.iter();
    things.flat_map(|thing| thing.at.iter().chain(thing.area.iter().flatten())).copied().map(point).collect()
}

fn works_places(subject: &Subject) -> Vec<Point> {
    let layout = &subject.answers.layout;
    let lines = layout.lines.iter().filter_map(|line| line.path.as_ref());
    let trees = layout.trees.iter().filter_map(|tree| tree.at);
    lines.flat_map(|path| path.points().iter().copied()).chain(trees).collect()
}

fn places_around(subject: &Subject) -> Vec<Point> {
    let plan = &subject.site.plan;
    let keep_clears = plan.keep_clears.iter().flat_map(|thing| {
        let along = thing.along.iter().flatten();
        along
            .chain(thing.area.iter().flatten())
            .chain(thing.at.iter())
            .copied()
            .map(point)
            .collect::<Vec<_>>()
    });
    let barriers = plan.barriers.iter().flat_map(|barrier| barrier.along.iter().copied().map(point));
    let sources = plan.sources.iter().flat_map(|source| source.area.iter().flatten().copied().map(point));
    keep_clears.chain(barriers).chain(sources).collect()
}
