//! The site as it is shown: where everything lies, what it holds, what is wrong.

use std::fmt::Display;

use design::Answers;
use design::findings::messages::speak;
use design::findings::{Finding, Severity};
use design::layout::{LaidLine, Layout};
use design::pegs::PegRow;
use design::section::{Sections, sections};
use design::sizes::LineSizes;
use folder::Fault;
use ground::{Bounds, Point};
use schemars::JsonSchema;
use serde::Serialize;
use site::{Line, Plan, Site};

use super::{Place, Range};

/// The site at one revision.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SiteView {
    /// Grows by one at each change, from here or from outside.
    pub revision: u64,
    /// What the site is called.
    pub name: String,
    /// Bearing of the map's up, degrees clockwise from true north; none where it is not known.
    pub north_deg: Option<f64>,
    /// What the map has to show; none for a site without places.
    pub bounds_m: Option<BoundsView>,
    /// Whether anything is known of the ground's shape.
    pub has_ground: bool,
    /// Whether what drains to each line, and what follows from it, is known for the lines as they lie now; on a large
    /// ground it follows a moment after a change.
    pub catchments_known: bool,
    /// The lines, in the order of the plan.
    pub lines: Vec<LineView>,
    /// Where water comes from.
    pub sources: Vec<SourceView>,
    /// The trees.
    pub trees: Vec<TreeView>,
    /// What water keeps away from, buried services not among them.
    pub keep_clears: Vec<ThingView>,
    /// What lines have to jump.
    pub barriers: Vec<ThingView>,
    /// Buried pipes and cables.
    pub services: Vec<ThingView>,
    /// What is wrong or doubtful, the gravest first.
    pub findings: Vec<FindingView>,
    /// How many of them say stop.
    pub stop_findings: usize,
    /// What was understood and done while the files were read.
    pub notes: Vec<String>,
    /// What comes before all digging.
    pub cautions: Vec<String>,
    /// What is wrong with the files as they are now; the rest of this view is then the last that could be read.
    pub faults: Vec<FaultView>,
    /// Whether a step can be taken back.
    pub can_undo: bool,
    /// Which.
    pub undo_says: Option<String>,
    /// Whether a step that was taken back can be made again.
    pub can_redo: bool,
    /// Which.
    pub redo_says: Option<String>,
    /// Everything that is decided, as in site.toml.
    pub plan: Option<Plan>,
}

/// A rectangle in plan.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct BoundsView {
    /// West edge.
    pub west_m: f64,
    /// South edge.
    pub south_m: f64,
    /// East edge.
    pub east_m: f64,
    /// North edge.
    pub north_m: f64,
}

/// A line.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LineView {
    /// Its name.
    pub name: String,
    /// swale, drain, chute or pipe.
    pub kind: site::LineKind,
    /// How the plan says where it runs.
    pub laid: Laid,
    /// Fall along it, rise over run.
    pub grade: f64,
    /// From the first peg to the last.
    pub length_m: f64,
    /// Which side is downhill as one walks from the first peg: +1 left, −1 right.
    pub downhill_side: f64,
    /// What takes the water at its end; none for a swale.
    pub to: Option<String>,
    /// The line in plan; empty for a line by tape.
    pub path: Vec<PathPlace>,
    /// Its pegs; a line by tape has them without places.
    pub pegs: Vec<PegView>,
    /// Its long section; empty where it is not known.
    pub along: Vec<AlongView>,
    /// Its sills, in the order of the plan.
    pub sills: Vec<SillView>,
    /// Its usual section.
    pub section: SectionView,
    /// What it holds when it is full; none for what holds nothing.
    pub holds_m3: Option<Range>,
    /// Rain that fills it.
    pub holds_rain_mm: Option<f64>,
    /// Ground that drains to it and to nothing above it.
    pub catchment_m2: Option<f64>,
    /// Days of one person's digging.
    pub person_days: Option<Range>,
    /// Hours from full to empty by soaking alone.
    pub empties_h: Option<Range>,
    /// Whether its levels were taken along the dug line.
    pub as_dug: bool,
    /// Why its walk ended early; none where it did not.
    pub stopped: Option<String>,
    /// Why its section is not known; none where it is.
    pub unknown_because: Option<String>,
}

/// How the plan says where a line runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Laid {
    /// From a start, over the ground.
    Walked,
    /// By its pegs' places.
    Pegged,
    /// By tape: distances and heights.
    Taped,
}

/// A place on a line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct PathPlace {
    /// East.
    pub x_m: f64,
    /// North.
    pub y_m: f64,
    /// Distance along the line from its first peg.
    pub chainage_m: f64,
}

/// A peg.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PegView {
    /// East; none for a line by tape.
    pub x_m: Option<f64>,
    /// North.
    pub y_m: Option<f64>,
    /// Height of the ground there above the site datum.
    pub z_m: Option<f64>,
    /// Distance along the line from its first peg.
    pub chainage_m: f64,
    /// How far to either side the true line may lie.
    pub band_m: Option<f64>,
    /// How much lower it is to stand than the peg before, mm: the reading to aim for.
    pub reading_mm: f64,
    /// From the ground down to the bed.
    pub cut_m: f64,
    /// Height to throw the loose bank up to.
    pub bank_build_m: Range,
    /// Whether a barrier lies between the peg before and this one.
    pub after_jump: bool,
    /// Sills and trees near it.
    pub notes: Vec<String>,
}

/// A place of the long section.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AlongView {
    /// Distance along the line from its first peg.
    pub chainage_m: f64,
    /// Height of the ground above the site datum.
    pub ground_z_m: f64,
    /// Height of the bed.
    pub bed_z_m: f64,
    /// Height of the settled bank.
    pub bank_z_m: f64,
}

/// A sill.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SillView {
    /// Distance of its middle along the line.
    pub at_m: f64,
    /// Length of its level crest.
    pub width_m: f64,
    /// How far its crest lies below the settled bank.
    pub below_bank_m: f64,
    /// Height of its crest above the site datum.
    pub crest_z_m: Option<f64>,
    /// What takes the water.
    pub to: String,
    /// Where it stands.
    pub at: Option<Place>,
    /// The way its water takes over the ground.
    pub spill_path: Vec<Place>,
    /// The flow it must pass in the design storm.
    pub design_l_s: Option<f64>,
    /// Bank left above that water.
    pub freeboard_m: Option<f64>,
    /// What should be left.
    pub freeboard_wanted_m: f64,
    /// Length of crest that leaves it.
    pub width_needed_m: Option<f64>,
}

/// A line's usual section, as decided.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SectionView {
    /// Width of the bed.
    pub bed_width_m: Option<f64>,
    /// Depth of the trench below the pegs.
    pub depth_m: Option<f64>,
    /// Height of the settled bank above the pegs.
    pub bank_height_m: Option<f64>,
}

/// A source of water.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SourceView {
    /// Its name.
    pub name: String,
    /// hillside, hard surface or seep.
    pub kind: site::SourceKind,
    /// The line it feeds.
    pub into: Option<String>,
    /// Where along that line.
    pub at_m: Option<f64>,
    /// Where in plan.
    pub at: Option<Place>,
    /// Area that sheds rain.
    pub area_m2: Option<f64>,
    /// Where that area lies.
    pub area: Vec<Place>,
    /// Flow of a seep, L/min.
    pub flow_l_min: Option<Range>,
}

/// A tree.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreeView {
    /// Its name.
    pub name: String,
    /// Species and variety.
    pub species: String,
    /// The line it drinks from.
    pub line: Option<String>,
    /// Where along that line.
    pub at_m: Option<f64>,
    /// East; none beside a line by tape.
    pub x_m: Option<f64>,
    /// North.
    pub y_m: Option<f64>,
    /// Its spot relative to its line.
    pub spot: Option<String>,
    /// Width of the grown crown.
    pub canopy_m: Option<f64>,
}

/// Something in the way or to keep clear of.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ThingView {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: String,
    /// Where, if it is one place.
    pub at: Option<Place>,
    /// Where it runs.
    pub along: Vec<Place>,
    /// What it covers.
    pub area: Vec<Place>,
}

/// Something wrong or doubtful, in words.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FindingView {
    /// Which finding.
    pub code: String,
    /// stop, warn or note.
    pub severity: SeverityView,
    /// A few words that head it.
    pub title: String,
    /// What is found.
    pub says: String,
    /// Why it matters.
    pub why: String,
    /// What to do.
    #[serde(rename = "do")]
    pub remedy: String,
    /// Whom to ask.
    pub ask: String,
    /// The publication behind the limit, or "common practice".
    pub source: String,
    /// Which line.
    pub line: Option<String>,
    /// Where along it.
    pub at_m: Option<f64>,
    /// Where in plan.
    pub at: Option<Place>,
    /// Which other thing.
    pub thing: Option<String>,
}

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SeverityView {
    /// Do not dig before this is settled.
    Stop,
    /// Mend this, or know why not.
    Warn,
    /// Good to know.
    Note,
}

/// What is wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FaultView {
    /// The file.
    pub file: String,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Column in characters, from 1.
    pub column: Option<usize>,
    /// Which kind of fault.
    pub code: String,
    /// What was found, and what to do.
    pub text: String,
}

impl From<&Fault> for FaultView {
    fn from(fault: &Fault) -> FaultView {
        FaultView {
            file: fault.file.clone(),
            line: fault.line,
            column: fault.column,
            code: fault.code.to_owned(),
            text: format!("{}; {}", fault.found, fault.advice),
        }
    }
}

/// What comes before all digging, whatever the findings say.
const CAUTIONS: [&str; 2] = [
    "Local codes and licensed practice come first: slopes, roads, neighbours and buried services are theirs to judge.",
    "Before the spade: ask for buried pipes and cables, and never work alone in a trench that could fall in.",
];

/// The words that stand before all digging.
pub fn cautions() -> Vec<String> {
    CAUTIONS.iter().map(|words| (*words).to_owned()).collect()
}

/// One site with its answers.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The site.
    pub site: &'a Site,
    /// The answers to it.
    pub answers: &'a Answers,
}

impl<'a> Shown<'a> {
    /// The lines.
    pub fn lines(self) -> Vec<LineView> {
        self.site.plan.lines.iter().filter_map(|line| self.line(line)).collect()
    }

    fn line(self, line: &'a Line) -> Option<LineView> {
        let answers = self.answers;
        let laid = answers.layout.line(&line.name)?;
        let pegs = answers.pegs.lines.iter().find(|pegs| pegs.line == line.name)?;
        let sizes = answers.sizes.lines.iter().find(|sizes| sizes.line == line.name)?;
        let known = sections(self.site, line, laid).ok();
        Some(LineView {
            name: line.name.clone(),
            kind: line.kind,
            laid: laid_how(line),
            grade: laid.grade,
            length_m: laid.length_m(),
            downhill_side: laid.pegs.first().map_or(0.0, |peg| peg.downhill_side),
            to: line.to.clone(),
            path: path(laid),
            pegs: pegs.pegs.iter().map(peg).collect(),
            along: known.as_ref().map_or_else(Vec::new, along),
            sills: sills(line, laid, (sizes, &answers.layout)),
            section: SectionView {
                bed_width_m: line.bed_width_m,
                depth_m: line.depth_m,
                bank_height_m: line.bank_height_m,
            },
            holds_m3: sizes.holding.as_ref().map(|holding| holding.holds_range_m3.into()),
            holds_rain_mm: sizes.supply.holds_rain_mm,
            catchment_m2: sizes.supply.catchment_m2,
            person_days: sizes.digging.as_ref().map(|digging| digging.person_days.into()),
            empties_h: sizes.holding.as_ref().and_then(|holding| holding.drain_down_h).map(Range::from),
            as_dug: sizes.as_dug,
            stopped: laid.stopped_early.as_ref().map(ToString::to_string),
            unknown_because: sizes.unknown_because.clone(),
        })
    }

    /// The sources.
    pub fn sources(self) -> Vec<SourceView> {
        let at = |source: &site::Source| {
            let line = self.answers.layout.line(source.into.as_deref()?)?;
            line.path.as_ref()?.at(source.at_m?).map(Place::from)
        };
        let view = |source: &site::Source| SourceView {
            name: source.name.clone(),
            kind: source.kind,
            into: source.into.clone(),
            at_m: source.at_m,
            at: at(source),
            area_m2: source.area_m2,
            area: places(source.area.as_deref()),
            flow_l_min: source.flow_l_min.map(Range::from),
        };
        self.site.plan.sources.iter().map(view).collect()
    }

    /// The trees, in the order of the plan.
    pub fn trees(self) -> Vec<TreeView> {
        let placed = design::planting::planting(self.site, &self.answers.layout, &self.answers.sizes);
        let view = |laid: &design::layout::LaidTree| {
            let placed = placed.trees.iter().find(|placed| placed.tree == laid.tree);
            TreeView {
                name: laid.tree.clone(),
                species: placed.map_or_else(|| laid.species.clone(), |placed| placed.species.clone()),
                line: laid.line.clone(),
                at_m: laid.chainage_m,
                x_m: laid.at.map(|at| at.x_m),
                y_m: laid.at.map(|at| at.y_m),
                spot: placed.and_then(|placed| placed.spot).map(|spot| spot.words().to_owned()),
                canopy_m: placed.and_then(|placed| placed.width_m).map(|width_m| width_m.likely()),
            }
        };
        self.answers.layout.trees.iter().map(view).collect()
    }

    /// What the map has to show: the ground, or everything that has a place.
    pub fn bounds_m(self) -> Option<BoundsView> {
        let ground = self.site.ground.as_ref().map(ground::Surface::bounds);
        ground.or_else(|| Bounds::around(self.all_places())).map(|bounds| BoundsView {
            west_m: bounds.min_x_m,
            south_m: bounds.min_y_m,
            east_m: bounds.max_x_m,
            north_m: bounds.max_y_m,
        })
    }

    fn all_places(self) -> Vec<Point> {
        let plan = &self.site.plan;
        let given = |xys: Option<&[site::Xy]>| -> Vec<Point> {
            xys.unwrap_or_default().iter().map(|xy| Point::new(xy[0], xy[1])).collect()
        };
        let lines = self.answers.layout.lines.iter().filter_map(|line| line.path.as_ref());
        let mut all: Vec<Point> = lines.flat_map(|path| path.points().to_vec()).collect();
        all.extend(self.answers.layout.trees.iter().filter_map(|tree| tree.at));
        for clear in &plan.keep_clears {
            all.extend(clear.at.map(|at| Point::new(at[0], at[1])));
            all.extend(given(clear.along.as_deref()));
            all.extend(given(clear.area.as_deref()));
        }
        all.extend(plan.barriers.iter().flat_map(|barrier| given(Some(&barrier.along))));
        all
    }
}

fn laid_how(line: &Line) -> Laid {
    match (&line.tape, &line.from) {
        (Some(_), _) => Laid::Taped,
        (None, Some(_)) => Laid::Walked,
        (None, None) => Laid::Pegged,
    }
}

fn path(laid: &LaidLine) -> Vec<PathPlace> {
    let Some(path) = &laid.path else { return Vec::new() };
    let places = path.points().iter().zip(path.chainages_m());
    places.map(|(at, chainage_m)| PathPlace { x_m: at.x_m, y_m: at.y_m, chainage_m: *chainage_m }).collect()
}

fn peg(row: &PegRow) -> PegView {
    PegView {
        x_m: row.x_m,
        y_m: row.y_m,
        z_m: row.z_m,
        chainage_m: row.chainage_m,
        band_m: row.band_m,
        reading_mm: row.fall_from_last_mm,
        cut_m: row.cut_m,
        bank_build_m: row.bank_build_m.into(),
        after_jump: row.after_jump,
        notes: row.notes.clone(),
    }
}

fn along(sections: &Sections) -> Vec<AlongView> {
    let view = |place: &design::section::SectionAt| AlongView {
        chainage_m: place.chainage_m,
        ground_z_m: place.ground_z_m,
        bed_z_m: place.bed_z_m(),
        bank_z_m: place.bank_z_m(),
    };
    sections.places.iter().map(view).collect()
}

fn sills(line: &Line, laid: &LaidLine, (sizes, layout): (&LineSizes, &Layout)) -> Vec<SillView> {
    line.sills
        .iter()
        .zip(&sizes.sills)
        .map(|(sill, sized)| {
            let at = laid.path.as_ref().and_then(|path| path.at(sill.at_m));
            let way = at.and_then(|at| layout.water_ways.as_ref()?.from(at));
            SillView {
                at_m: sill.at_m,
                width_m: sill.width_m,
                below_bank_m: sill.below_bank_m,
                crest_z_m: sized.crest_z_m,
                to: sill.to.clone(),
                at: at.map(Place::from),
                spill_path: way
                    .map_or_else(Vec::new, |way| way.points.into_iter().map(Place::from).collect()),
                design_l_s: sized.design_l_s,
                freeboard_m: sized.freeboard_m,
                freeboard_wanted_m: sized.freeboard_wanted_m,
                width_needed_m: sized.width_needed_m,
            }
        })
        .collect()
}

fn places(xys: Option<&[site::Xy]>) -> Vec<Place> {
    xys.unwrap_or_default().iter().map(|xy| Place::from(*xy)).collect()
}

/// The barriers.
pub fn barriers(plan: &Plan) -> Vec<ThingView> {
    let barrier = |barrier: &site::Barrier| ThingView {
        name: barrier.name.clone(),
        kind: barrier.kind.to_string(),
        at: None,
        along: places(Some(&barrier.along)),
        area: Vec::new(),
    };
    plan.barriers.iter().map(barrier).collect()
}

/// What to keep clear of: buried services, or all else.
pub fn keep_clears(plan: &Plan, services: bool) -> Vec<ThingView> {
    let of_kind = |clear: &&site::KeepClear| (clear.kind == site::KeepClearKind::Service) == services;
    let view = |clear: &site::KeepClear| ThingView {
        name: clear.name.clone(),
        kind: clear.kind.to_string(),
        at: clear.at.map(Place::from),
        along: places(clear.along.as_deref()),
        area: places(clear.area.as_deref()),
    };
    plan.keep_clears.iter().filter(of_kind).map(view).collect()
}

/// A finding in words.
pub fn finding(finding: &Finding) -> FindingView {
    let spoken = speak(finding);
    FindingView {
        code: finding.code.to_owned(),
        severity: match finding.severity {
            Severity::Stop => SeverityView::Stop,
            Severity::Warn => SeverityView::Warn,
            Severity::Note => SeverityView::Note,
        },
        title: spoken.title,
        says: spoken.says,
        why: spoken.why,
        remedy: spoken.remedy,
        ask: spoken.ask,
        source: finding.source.to_owned(),
        line: finding.place.line.clone(),
        at_m: finding.place.chainage_m,
        at: finding.place.at().map(Place::from),
        thing: finding.place.thing.clone(),
    }
}

/// Sentences of things that are said.
pub fn in_words<T: Display>(said: &[T]) -> Vec<String> {
    said.iter().map(ToString::to_string).collect()
}
