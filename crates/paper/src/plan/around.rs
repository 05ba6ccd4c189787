//! What is there already: buildings, wells, roads, drops, fences, and surfaces that shed rain.

use ground::Point;
use site::{KeepClear, KeepClearKind};

use super::Sketch;
use super::names::{Name, along_line, round_spot};
use crate::ink::{Face, HARD_SURFACE_HATCH, INK_2, KEEP_CLEAR_HATCH, PAPER, THERE_PEN, WATER};
use crate::labels::LabelBox;
use crate::page::{Fill, Mark, Pen, Rect, Spot};
use crate::subject::point;
use crate::symbols::{self, stations};

const SIZE_MM: f64 = 2.3;
/// Dashes of a boundary: the old long-dot-dot.
const BOUNDARY_MM: &[f64] = &[5.0, 1.2, 0.6, 1.2, 0.6, 1.2];
/// Dashes of a buried service.
const SERVICE_MM: &[f64] = &[1.6, 1.0];

/// Draws what is there, and asks for room for its names.
pub(super) fn draw(sketch: &mut Sketch) {
    let plan = &sketch.subject.site.plan;
    for source in &plan.sources {
        if let Some(area) = &source.area {
            let ring: Vec<Spot> = area.iter().map(|xy| sketch.window.spot(point(*xy))).collect();
            let fill = Fill::Hatched(HARD_SURFACE_HATCH);
            sketch.map.push(Mark::ring(ring.clone(), Some(THERE_PEN), Some(fill)));
            sketch.names.push(area_name(&source.name, &ring).coloured(WATER));
        }
    }
    for keep_clear in &plan.keep_clears {
        draw_keep_clear(sketch, keep_clear);
    }
    for barrier in &plan.barriers {
        let run = spots(sketch, &barrier.along);
        sketch.map.extend(self::barrier(&run));
        sketch.taken.ink_along(&run);
        sketch.names.push(line_name(sketch, &barrier.name, &run));
    }
}

/// A fence, wall, hedge or rock: a fine line with crosses.
pub(super) fn barrier(run: &[Spot]) -> Vec<Mark> {
    let mut marks = vec![Mark::run(run.to_vec(), THERE_PEN)];
    for along in stations(run, 1.75, 4.0) {
        for lean in [0.7, -0.7] {
            let ends = vec![along.beside(lean, 0.7), along.beside(-lean, -0.7)];
            marks.push(Mark::run(ends, THERE_PEN));
        }
    }
    marks
}

fn draw_keep_clear(sketch: &mut Sketch, keep_clear: &KeepClear) {
    if let Some(area) = &keep_clear.area {
        let ring = spots(sketch, area);
        let pen = Pen::new(INK_2, 0.4);
        let ground = Some(Fill::Even(PAPER));
        sketch.map.push(Mark::ring(ring.clone(), None, ground));
        sketch.map.push(Mark::ring(ring.clone(), Some(pen), Some(Fill::Hatched(KEEP_CLEAR_HATCH))));
        sketch.names.push(area_name(&keep_clear.name, &ring));
    }
    if let Some(along) = &keep_clear.along {
        let run = spots(sketch, along);
        draw_along(sketch, keep_clear.kind, &run);
        sketch.taken.ink_along(&run);
        sketch.names.push(line_name(sketch, &keep_clear.name, &run));
    }
    let spot = keep_clear.at.map(|at| sketch.window.spot(point(at)));
    if let Some(spot) = spot.filter(|spot| sketch.window.frame.contains(*spot)) {
        let hatch = Some(Fill::Hatched(KEEP_CLEAR_HATCH));
        sketch.map.push(Mark::disc(spot, 1.5, None, Some(Fill::Even(PAPER))));
        sketch.map.push(Mark::disc(spot, 1.5, Some(THERE_PEN), hatch));
        sketch.map.push(Mark::disc(spot, 0.5, None, Some(Fill::Even(INK_2))));
        sketch.taken.block(LabelBox::upright(Rect::new(spot.x_mm - 1.5, spot.y_mm - 1.5, 3.0, 3.0)));
        sketch.names.push(round_spot(&keep_clear.name, Face::SerifItalic, SIZE_MM, (spot, 1.9)));
    }
}

fn draw_along(sketch: &mut Sketch, kind: KeepClearKind, run: &[Spot]) {
    match kind {
        KeepClearKind::Road => {
            sketch.map.push(Mark::run(run.to_vec(), Pen::new(INK_2, 1.7)));
            sketch.map.push(Mark::run(run.to_vec(), Pen::new(PAPER, 1.3)));
        }
        KeepClearKind::Boundary => {
            sketch.map.push(Mark::run(run.to_vec(), Pen::dashed(INK_2, 0.4, BOUNDARY_MM)));
        }
        KeepClearKind::Service => {
            sketch.map.push(Mark::run(run.to_vec(), Pen::dashed(INK_2, 0.3, SERVICE_MM)));
        }
        KeepClearKind::SteepDrop | KeepClearKind::Slip => draw_drop(sketch, run),
        KeepClearKind::Building | KeepClearKind::Septic | KeepClearKind::Well => {
            sketch.map.push(Mark::run(run.to_vec(), THERE_PEN));
        }
    }
}

/// The edge of a drop: wedges on the side where the ground is lower, a hand's breadth out.
fn draw_drop(sketch: &mut Sketch, run: &[Spot]) {
    const LOOK_MM: f64 = 3.0;
    sketch.map.push(Mark::run(run.to_vec(), Pen::new(INK_2, 0.4)));
    for along in stations(run, 0.8, 1.6) {
        let height = |spot: Spot| {
            sketch.subject.site.ground.as_ref().and_then(|ground| ground.z_m(sketch.window.place(spot)))
        };
        let (left, right) = (height(along.beside(0.0, LOOK_MM)), height(along.beside(0.0, -LOOK_MM)));
        // Where one side was not measured, the other side is the edge's own hill: the drop is beyond.
        let side = match (left, right) {
            (Some(left), Some(right)) if right < left => -1.0,
            (Some(_), None) => -1.0,
            _ => 1.0,
        };
        let wedge = vec![along.beside(0.45, 0.0), along.beside(0.0, side * 1.8), along.beside(-0.45, 0.0)];
        sketch.map.push(Mark::ring(wedge, None, Some(Fill::Even(INK_2))));
    }
}

/// Drops where water comes in, with the names of the sources.
pub(super) fn draw_sources(sketch: &mut Sketch) {
    let subject = sketch.subject;
    // Sources that come in at one place share one drop and stand under each other.
    let mut met: Vec<(Point, Vec<&str>)> = Vec::new();
    for source in &subject.site.plan.sources {
        let Some(at) = subject.place_of_source(source) else {
            continue;
        };
        match met.iter_mut().find(|(place, _)| *place == at) {
            Some((_, names)) => names.push(&source.name),
            None => met.push((at, vec![&source.name])),
        }
    }
    for (at, names) in met {
        let spot = sketch.window.spot(at).moved(0.0, -1.2);
        sketch.over.push(symbols::drop(spot));
        sketch.taken.block(LabelBox::upright(Rect::new(spot.x_mm - 1.1, spot.y_mm - 2.3, 2.2, 3.4)));
        let words = names.join(", ");
        sketch.names.push(
            round_spot(&words, Face::SerifItalic, SIZE_MM, (spot.moved(0.0, -0.6), 2.4)).coloured(WATER),
        );
    }
}

fn area_name(name: &str, ring: &[Spot]) -> Name {
    let (mut low, mut high) = (ring[0], ring[0]);
    for spot in ring {
        low = Spot::new(low.x_mm.min(spot.x_mm), low.y_mm.min(spot.y_mm));
        high = Spot::new(high.x_mm.max(spot.x_mm), high.y_mm.max(spot.y_mm));
    }
    let half = (high.y_mm - low.y_mm) / 2.0;
    let mut label = round_spot(name, Face::SerifItalic, SIZE_MM, (low.towards(high, 0.5), half));
    label.wish_first(low.towards(high, 0.5));
    label
}

fn line_name(sketch: &Sketch, name: &str, run: &[Spot]) -> Name {
    along_line(name, Face::SerifItalic, SIZE_MM, (run, &sketch.window.frame))
}

fn spots(sketch: &Sketch, places: &[site::Xy]) -> Vec<Spot> {
    places.iter().map(|xy| sketch.window.spot(point(*xy))).collect()
}
