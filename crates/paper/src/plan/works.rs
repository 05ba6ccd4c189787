//! The works: lines by their marks, pegs, sills with their spill, trees.

use ground::{Point, Polyline, Surface};
use site::{LineKind, Sill};

use super::Sketch;
use super::names::{Name, numbered_round_spot, round_spot};
use crate::ink::{Colour, Face, INK, INK_2, TREE, WATER, WATER_EDGE_PEN, WATER_WASH};
use crate::labels::LabelBox;
use crate::page::{Fill, Mark, Rect, Spot};
use crate::scale::round_step;
use crate::sections::water_edges;
use crate::subject::Known;
use crate::symbols::{self, station};

const LINE_NAME_MM: f64 = 3.2;
const TREE_NAME_MM: f64 = 2.3;
const CHAINAGE_MM: f64 = 1.9;
/// Chainages stand no closer than this.
const CHAINAGE_SPACING_MM: f64 = 14.0;
/// Length of a spill's arrow to open ground, and the most that one to another line may have.
const SPILL_MM: (f64, f64) = (12.0, 150.0);
/// From place to place along a spill's way over the ground.
const SPILL_STEP_MM: f64 = 0.5;

/// Draws all lines, then their pegs and sills, then the trees.
pub(super) fn draw(sketch: &mut Sketch) {
    let lines = sketch.subject.lines();
    for line in &lines {
        wash(sketch, line);
    }
    for line in &lines {
        draw_line(sketch, line);
    }
    for line in &lines {
        draw_sills(sketch, line);
    }
    for line in &lines {
        draw_pegs(sketch, line);
    }
    draw_trees(sketch);
    for line in &lines {
        name_line(sketch, line);
    }
}

/// What is under water when a line is full.
fn wash(sketch: &mut Sketch, line: &Known) {
    if let Some(level_z_m) = line.spills_at_z_m() {
        wash_to(sketch, line, WATER_WASH, |_| Some(level_z_m));
    }
}

/// What is under water at the level of each chainage, at its true width; water stands uphill of the pegs.
pub(super) fn wash_to(
    sketch: &mut Sketch,
    line: &Known,
    colour: Colour,
    level_z_m: impl Fn(f64) -> Option<f64>,
) {
    let (Some(path), Some(sections)) = (&line.laid.path, &line.sections) else {
        return;
    };
    let run: Vec<Spot> = path.points().iter().map(|at| sketch.window.spot(*at)).collect();
    let whole_mm = symbols::length_mm(&run) * (1.0 - 1e-9);
    let (mut uphill, mut downhill): (Vec<Spot>, Vec<Spot>) = (Vec::new(), Vec::new());
    for (i, place) in sections.places.iter().enumerate() {
        let along = station(&run, sketch.window.mm(place.chainage_m).min(whole_mm));
        let edges = level_z_m(place.chainage_m).and_then(|level_z_m| water_edges(place, level_z_m));
        let is_dry = edges.is_none();
        if let (Some(edges), Some(along)) = (edges, along) {
            let side = downhill_side(line, place.chainage_m);
            uphill.push(along.beside(0.0, side * sketch.window.mm(edges.0)));
            downhill.push(along.beside(0.0, side * sketch.window.mm(edges.1)));
        }
        let next = sections.places.get(i + 1);
        let ends = is_dry || next.is_none_or(|next| jumps_between(line, place.chainage_m, next.chainage_m));
        if ends && uphill.len() > 1 {
            downhill.reverse();
            uphill.append(&mut downhill);
            let pool = std::mem::take(&mut uphill);
            sketch.map.push(Mark::ring(pool, Some(WATER_EDGE_PEN), Some(Fill::Even(colour))));
        } else if ends {
            uphill.clear();
            downhill.clear();
        }
    }
}

/// Whether the line jumps a barrier somewhere between two chainages.
fn jumps_between(line: &Known, from_m: f64, to_m: f64) -> bool {
    line.laid
        .pegs
        .windows(2)
        .any(|pair| pair[1].after_jump && pair[0].chainage_m < to_m && from_m < pair[1].chainage_m)
}

pub(super) fn draw_line(sketch: &mut Sketch, line: &Known) {
    for (run, from_m, jumped) in runs(sketch, line) {
        sketch.taken.ink_along(&run);
        if jumped {
            sketch.map.push(symbols::jump(&run));
            continue;
        }
        let marks = match line.line.kind {
            LineKind::Swale => {
                let window = sketch.window;
                let side = |at_mm: f64| downhill_side(line, from_m + window.ground_m(at_mm));
                for tick in symbols::ticks(&run, side) {
                    sketch.taken.ink_along(&tick);
                }
                symbols::swale(&run, side)
            }
            LineKind::Drain => symbols::drain(&downhill(line, run)),
            LineKind::Chute => symbols::chute(&downhill(line, run)),
            LineKind::Pipe => symbols::pipe(&run),
        };
        sketch.map.extend(marks);
    }
}

/// The line in pieces: those to dig, and those that jump a barrier. With each the chainage where it starts.
fn runs(sketch: &Sketch, line: &Known) -> Vec<(Vec<Spot>, f64, bool)> {
    let Some(path) = &line.laid.path else {
        return Vec::new();
    };
    let mut runs: Vec<(f64, f64, bool)> = Vec::new();
    for pair in line.laid.pegs.windows(2) {
        let (from_m, to_m, jumped) = (pair[0].chainage_m, pair[1].chainage_m, pair[1].after_jump);
        match runs.last_mut() {
            Some(last) if last.2 == jumped => last.1 = to_m,
            _ => runs.push((from_m, to_m, jumped)),
        }
    }
    runs.into_iter()
        .map(|(from_m, to_m, jumped)| {
            let spots = stretch(path, from_m, to_m).into_iter().map(|at| sketch.window.spot(at)).collect();
            (spots, from_m, jumped)
        })
        .collect()
}

/// A line's places from one chainage to another.
fn stretch(path: &Polyline, from_m: f64, to_m: f64) -> Vec<Point> {
    let mut places: Vec<Point> = path.at(from_m).into_iter().collect();
    for (at, chainage_m) in path.points().iter().zip(path.chainages_m()) {
        if from_m < *chainage_m && *chainage_m < to_m {
            places.push(*at);
        }
    }
    places.extend(path.at(to_m.min(path.length_m())));
    places
}

/// Which side is downhill at a chainage: that of the nearest peg.
pub(super) fn downhill_side(line: &Known, chainage_m: f64) -> f64 {
    let apart_m = |peg: &design::layout::LaidPeg| (peg.chainage_m - chainage_m).abs();
    let nearest = line.laid.pegs.iter().min_by(|a, b| apart_m(a).total_cmp(&apart_m(b)));
    nearest.map_or(1.0, |peg| peg.downhill_side)
}

/// The run the way its water flows.
fn downhill(line: &Known, mut run: Vec<Spot>) -> Vec<Spot> {
    if line.laid.grade < 0.0 {
        run.reverse();
    }
    run
}

pub(super) fn draw_sills(sketch: &mut Sketch, line: &Known) {
    let Some(path) = &line.laid.path else { return };
    for sill in &line.line.sills {
        let half_m = sill.width_m / 2.0;
        let (from_m, to_m) = ((sill.at_m - half_m).max(0.0), (sill.at_m + half_m).min(path.length_m()));
        let crest: Vec<Spot> = stretch(path, from_m, to_m).iter().map(|at| sketch.window.spot(*at)).collect();
        if crest.len() < 2 {
            continue;
        }
        if let Some(way) = spill_way(sketch, line, sill) {
            let spots: Vec<Spot> = way.iter().map(|at| sketch.window.spot(*at)).collect();
            sketch.taken.ink_along(&spots);
            sketch.map.extend(symbols::spill(&spots));
        }
        sketch.map.extend(symbols::sill(&crest));
        for spot in &crest {
            sketch.taken.block(LabelBox::upright(Rect::new(spot.x_mm - 1.2, spot.y_mm - 1.2, 2.4, 2.4)));
        }
    }
}

/// The way water takes from a sill: straight down the ground, as far as the line that takes it or as the arrow
/// may be long. Where nothing is known of the ground, straight out on the downhill side.
fn spill_way(sketch: &Sketch, line: &Known, sill: &Sill) -> Option<Vec<Point>> {
    let path = line.laid.path.as_ref()?;
    let at = path.at(sill.at_m)?;
    let side = downhill_side(line, sill.at_m);
    let spot = sketch.window.spot(at);
    let run: Vec<Spot> = path.points().iter().map(|p| sketch.window.spot(*p)).collect();
    let along = station(&run, sketch.window.mm(sill.at_m))?;
    let (open_mm, most_mm) = SPILL_MM;
    let out = sketch.window.place(along.beside(0.0, side * 2.0));
    let target = sketch.subject.answers.layout.line(&sill.to).and_then(|line| line.path.as_ref());
    let limit_m = sketch.window.ground_m(if target.is_some() { most_mm } else { open_mm });
    let Some(ground) = &sketch.subject.site.ground else {
        let foot = sketch.window.place(along.beside(0.0, side * open_mm / 2.0));
        return Some(vec![sketch.window.place(spot), foot]);
    };
    let mut way = vec![at];
    way.extend(descent(ground, out, sketch.window.ground_m(SPILL_STEP_MM), limit_m));
    if let Some(target) = target {
        cut_at(&mut way, target);
    }
    Some(way)
}

/// Straight down the ground from a place, step by step, until it is level, ends, or `limit_m` is walked.
fn descent(ground: &Surface, from: Point, step_m: f64, limit_m: f64) -> Vec<Point> {
    let mut way = vec![from];
    let mut here = from;
    for _ in 0..(limit_m / step_m) as usize {
        let Some(climb) = ground.gradient(here) else { break };
        let slope = climb.slope();
        if slope == 0.0 {
            break;
        }
        here = Point::new(here.x_m - step_m * climb.east / slope, here.y_m - step_m * climb.north / slope);
        way.push(here);
    }
    way
}

/// Ends a way at its first place from which it does not come nearer to the line that takes it, once it is near.
fn cut_at(way: &mut Vec<Point>, target: &Polyline) {
    let offsets: Vec<f64> = way.iter().map(|at| target.nearest(*at).offset_m).collect();
    let crossing = offsets.windows(2).position(|pair| pair[0].signum() != pair[1].signum());
    if let Some(last) = crossing {
        way.truncate(last + 1);
    }
}

pub(super) fn draw_pegs(sketch: &mut Sketch, line: &Known) {
    let pegs = &line.laid.pegs;
    let last = pegs.len().saturating_sub(1);
    let each_m = round_step(sketch.window.ground_m(CHAINAGE_SPACING_MM).max(1.0));
    for (i, peg) in pegs.iter().enumerate() {
        let Some(at) = peg.at else { continue };
        let spot = sketch.window.spot(at);
        sketch.map.push(symbols::peg(spot, i == 0 || i == last));
        sketch.taken.block(LabelBox::upright(Rect::new(spot.x_mm - 0.4, spot.y_mm - 0.4, 0.8, 0.8)));
    }
    let Some(path) = &line.laid.path else { return };
    let length_m = path.length_m();
    let run: Vec<Spot> = path.points().iter().map(|at| sketch.window.spot(*at)).collect();
    let mut chainages_m = crate::scale::ticks(each_m, length_m - 0.4 * each_m, each_m);
    chainages_m.insert(0, 0.0);
    chainages_m.push(length_m);
    for chainage_m in chainages_m {
        let at_mm = sketch.window.mm(chainage_m).min(symbols::length_mm(&run) * (1.0 - 1e-9));
        let Some(along) = station(&run, at_mm) else {
            continue;
        };
        let figure = quantity::figures::fixed(chainage_m, 0);
        let uphill = -downhill_side(line, chainage_m);
        let mut name =
            round_spot(&figure, Face::Sans, CHAINAGE_MM, (along.spot, 1.0)).coloured(INK_2).optional();
        name.only_near();
        name.wish_first(along.beside(0.0, -uphill * 3.0));
        name.wish_first(along.beside(0.0, uphill * 2.2));
        sketch.small_names.push(name);
    }
}

fn draw_trees(sketch: &mut Sketch) {
    for tree in &sketch.subject.answers.layout.trees {
        let Some(at) = tree.at else { continue };
        let spot = sketch.window.spot(at);
        let r = symbols::TREE_RADIUS_MM;
        sketch.over.extend(symbols::tree(spot));
        sketch.taken.block(LabelBox::upright(Rect::new(spot.x_mm - r, spot.y_mm - r, 2.0 * r, 2.0 * r)));
        sketch.names.push(round_spot(&tree.tree, Face::SansBold, TREE_NAME_MM, (spot, r)).coloured(TREE));
    }
}

/// The line's name, with its number in the order of water, off its first or last peg.
pub(super) fn name_line(sketch: &mut Sketch, line: &Known) {
    let pegs = &line.laid.pegs;
    let (Some(first), Some(last)) = (pegs.first().and_then(|peg| peg.at), pegs.last().and_then(|peg| peg.at))
    else {
        return;
    };
    let number = sketch.subject.spill_number(&line.line.name);
    let spot = sketch.window.spot(first);
    let words = (line.line.name.as_str(), number);
    let mut name: Name = numbered_round_spot(words, Face::SerifBold, LINE_NAME_MM, (spot, 2.0));
    let other = numbered_round_spot(words, Face::SerifBold, LINE_NAME_MM, (sketch.window.spot(last), 2.0));
    name.or_else(&other);
    let colour = if line.line.kind == LineKind::Pipe { WATER } else { INK };
    sketch.line_names.push(name.coloured(colour));
}

#[cfg(test)]
mod tests {
    use super::*;
    use ground::{Frame, Grid};

    /// On z = 0.1·y the way down is due south, whatever the step.
    #[test]
    fn water_runs_straight_down_a_plane() {
        let frame = Frame { columns: 30, rows: 30, cell_m: 1.0, west_m: 0.0, north_m: 30.0 };
        let ground = Surface::Grid(Grid::from_fn(frame, |p| Some(0.1 * p.y_m)));
        let way = descent(&ground, Point::new(10.0, 20.0), 0.5, 5.0);
        assert_eq!(way.len(), 11);
        let end = way[10];
        assert!((end.x_m - 10.0).abs() < 1e-9 && (end.y_m - 15.0).abs() < 1e-9);
        let off_the_edge = descent(&ground, Point::new(10.0, 2.0), 0.5, 50.0);
        assert!(off_the_edge.last().unwrap().y_m >= 0.0, "it ends where the ground does");
    }

    #[test]
    fn a_way_ends_at_the_line_that_takes_it() {
        let target = Polyline::new(vec![Point::new(0.0, 5.0), Point::new(20.0, 5.0)]).unwrap();
        let mut way: Vec<Point> = (0..10).map(|i| Point::new(10.0, 10.2 - f64::from(i))).collect();
        cut_at(&mut way, &target);
        assert_eq!(way.last().unwrap().y_m, 10.2 - 5.0);
    }

    #[test]
    fn a_stretch_keeps_the_corners_between() {
        let path =
            Polyline::new(vec![Point::new(0.0, 0.0), Point::new(3.0, 0.0), Point::new(3.0, 4.0)]).unwrap();
        assert_eq!(
            stretch(&path, 1.0, 5.0),
            vec![Point::new(1.0, 0.0), Point::new(3.0, 0.0), Point::new(3.0, 2.0)]
        );
    }
}
