//! A storm on the plan: how far the lines are wet, what soaks in, where they break out, what leaves.

use ::ground::Point;
use design::rain_test::{Answer, LineRain, MetreRain};
use site::LineKind;

use super::Sketch;
use super::column::Columns;
use super::margin::{self, Facts, Sample};
use super::names::round_spot;
use super::works;
use crate::ink::{
    CAUTION, CAUTION_HATCH, CAUTION_PEN, Face, INK, INK_2, PAPER, TREE, WATER, WATER_EDGE_PEN, WATER_STOOD,
};
use crate::labels::LabelBox;
use crate::page::{Fill, Mark, Pen, Rect, Spot};
use crate::subject::Known;
use crate::symbols::{self, station};
use crate::words::{self, legend, rain as said};

const NAME_MM: f64 = 2.4;
const SMALL_MM: f64 = 2.2;
/// Length of the longest bar of what soaks in.
const LONGEST_BAR_MM: f64 = 6.0;

/// Draws the lines with their storm.
pub(super) fn draw(sketch: &mut Sketch, rain: &Answer) {
    let lines = sketch.subject.lines();
    let storm = |line: &Known| rain.lines.iter().find(|storm| storm.line == line.line.name);
    for line in &lines {
        if let Some(storm) = storm(line).filter(|_| line.line.kind != LineKind::Chute) {
            works::wash_to(sketch, line, WATER_STOOD, |at_m| highest_z_m(storm, at_m));
        }
    }
    let longest_l = longest_l(rain);
    for line in &lines {
        if let Some(storm) = storm(line).filter(|_| line.line.kind != LineKind::Chute) {
            draw_soaked(sketch, line, storm, longest_l);
        }
    }
    for line in &lines {
        works::draw_line(sketch, line);
    }
    for line in &lines {
        works::draw_sills(sketch, line);
    }
    for line in &lines {
        works::draw_pegs(sketch, line);
    }
    draw_trees(sketch, rain);
    for line in &lines {
        if let Some(storm) = storm(line) {
            draw_breakouts(sketch, line, storm);
        }
        works::name_line(sketch, line);
    }
    name_outlets(sketch, rain);
}

/// What soaks into the metre that takes most.
fn longest_l(rain: &Answer) -> f64 {
    let metres = rain.lines.iter().flat_map(|line| &line.metres);
    metres.map(|metre| metre.soaked_l_per_m.likely()).fold(0.0, f64::max)
}

fn metre_at(storm: &LineRain, at_m: f64) -> Option<&MetreRain> {
    storm.metres.iter().find(|metre| metre.from_m <= at_m && at_m <= metre.to_m)
}

/// The likely highest water at a chainage; none where it stays dry.
fn highest_z_m(storm: &LineRain, at_m: f64) -> Option<f64> {
    let metre = metre_at(storm, at_m)?;
    let depth_m = metre.peak_depth_m.likely();
    (depth_m > water::chain::WET_DEPTH_M).then_some(metre.bed_z_m + depth_m)
}

/// A bar in each metre, uphill from the line.
fn draw_soaked(sketch: &mut Sketch, line: &Known, storm: &LineRain, longest_l: f64) {
    let Some(path) = &line.laid.path else { return };
    let run: Vec<Spot> = path.points().iter().map(|at| sketch.window.spot(*at)).collect();
    let whole_mm = symbols::length_mm(&run) * (1.0 - 1e-9);
    for metre in storm.metres.iter().filter(|metre| metre.soaked_l_per_m.likely() > 0.0) {
        let at_m = (metre.from_m + metre.to_m) / 2.0;
        let Some(along) = station(&run, sketch.window.mm(at_m).min(whole_mm)) else { continue };
        let uphill = -works::downhill_side(line, at_m);
        let bar_mm = metre.soaked_l_per_m.likely() / longest_l * LONGEST_BAR_MM;
        let bar = vec![along.spot, along.beside(0.0, uphill * bar_mm)];
        sketch.map.push(Mark::run(bar, Pen::new(WATER, 0.4)));
    }
}

fn draw_trees(sketch: &mut Sketch, rain: &Answer) {
    for tree in &sketch.subject.answers.layout.trees {
        let Some(at) = tree.at else { continue };
        let spot = sketch.window.spot(at);
        let r = symbols::TREE_RADIUS_MM;
        sketch.over.extend(symbols::tree(spot));
        sketch.taken.block(LabelBox::upright(Rect::new(spot.x_mm - r, spot.y_mm - r, 2.0 * r, 2.0 * r)));
        let litres = rain.trees.iter().find(|entry| entry.tree == tree.tree);
        let words = litres.map_or_else(
            || tree.tree.clone(),
            |entry| said::tree_litres(&tree.tree, entry.soaked_l_per_m.likely()),
        );
        sketch.names.push(round_spot(&words, Face::SansBold, NAME_MM, (spot, r)).coloured(TREE));
    }
}

fn draw_breakouts(sketch: &mut Sketch, line: &Known, storm: &LineRain) {
    let Some(path) = &line.laid.path else { return };
    for breakout in &storm.breakouts {
        let Some(at) = path.at(breakout.at_m.min(path.length_m())) else { continue };
        let spot = sketch.window.spot(at);
        sketch.over.extend(symbols::breakout(spot));
        sketch.taken.block(LabelBox::upright(Rect::new(spot.x_mm - 0.6, spot.y_mm - 6.2, 5.6, 6.6)));
        let words = said::breaks_out_with(breakout);
        let name = round_spot(&words, Face::SansBold, NAME_MM, (spot, 1.5)).coloured(CAUTION);
        sketch.line_names.push(name);
    }
}

/// What leaves the works, beside the place where it does.
fn name_outlets(sketch: &mut Sketch, rain: &Answer) {
    for outlet in rain.site.outlets.iter().filter(|outlet| outlet.volume_m3.high() > 0.0) {
        let on_line = || {
            let path = sketch.subject.answers.layout.line(&outlet.line)?.path.as_ref()?;
            path.at(outlet.at_m.min(path.length_m()))
        };
        let known = outlet.x_m.zip(outlet.y_m).map(|(x_m, y_m)| Point::new(x_m, y_m));
        if let Some(at) = known.or_else(on_line) {
            let words = said::leaves_here(outlet.volume_m3);
            let spot = sketch.window.spot(at);
            sketch.names.push(round_spot(&words, Face::SansBold, NAME_MM, (spot, 4.0)).coloured(WATER));
        }
    }
}

/// Writes the words beside the map.
pub(super) fn write_margin(sketch: &Sketch, rain: &Answer, columns: &mut Columns, facts: &Facts) {
    margin::title(sketch, columns, facts);
    columns.paragraph(&said::storm(&rain.storm), (Face::SerifBold, 2.8, INK), 0.0);
    columns.gap(1.0);
    margin::scale_and_north(sketch, columns);
    what_lines_do(sketch, rain, columns);
    margin::write_samples(&samples(rain), columns);
    columns.gap(1.5);
    if !facts.left_off.is_empty() {
        columns.paragraph(&words::left_off(facts.left_off), (Face::Serif, SMALL_MM, INK_2), 0.0);
    }
    columns.keep_for_the_foot(margin::cautions_height(columns));
    breakouts(rain, columns);
    columns.gap(1.5);
    columns.paragraph(&said::levels_of_the_plan(&rain.ensemble), (Face::SerifItalic, SMALL_MM, INK_2), 0.0);
    margin::cautions(columns);
}

fn what_lines_do(sketch: &Sketch, rain: &Answer, columns: &mut Columns) {
    columns.heading(said::LINES_TITLE);
    let number = |line: &str| sketch.subject.spill_number(line);
    let mut rows: Vec<_> = rain.lines.iter().map(|storm| (number(&storm.line), storm)).collect();
    rows.sort_by_key(|(number, _)| number.unwrap_or(usize::MAX));
    for (number, storm) in rows {
        let facts = said::line_facts(storm.reach_m, storm.soaked_m3, storm.breakouts.len());
        columns.numbered_row(number, &storm.line, &facts);
    }
    columns.gap(1.5);
}

fn samples(rain: &Answer) -> Vec<Sample<String>> {
    let mut samples: Vec<Sample<String>> = vec![
        (sample_wet, said::LEGEND_WET.to_owned()),
        (sample_bars, said::legend_soaked(longest_l(rain))),
        (margin::sample_sill, legend::SILL.to_owned()),
        (|run| symbols::tree(margin::centre(run)), said::LEGEND_TREE.to_owned()),
    ];
    if rain.lines.iter().any(|line| !line.breakouts.is_empty()) {
        samples.push((
            |run| symbols::breakout_flag(margin::centre(run).moved(-1.5, 1.8), 3.9),
            said::LEGEND_BREAKOUT.to_owned(),
        ));
    }
    samples
}

fn sample_wet(run: &[Spot; 2]) -> Vec<Mark> {
    let rect = Rect::new(run[0].x_mm, run[0].y_mm - 1.0, run[1].x_mm - run[0].x_mm, 2.0);
    vec![Mark::rect(rect, Some(WATER_EDGE_PEN), Some(Fill::Even(WATER_STOOD)))]
}

/// One bar as long as the longest, lying so that the row holds it.
fn sample_bars(run: &[Spot; 2]) -> Vec<Mark> {
    let left = run[0].moved(0.5, 0.0);
    vec![
        Mark::run(vec![left, left.moved(LONGEST_BAR_MM, 0.0)], Pen::new(PAPER, 1.2)),
        Mark::run(vec![left, left.moved(LONGEST_BAR_MM, 0.0)], Pen::new(WATER, 0.4)),
        Mark::run(vec![left.moved(0.0, -1.0), left.moved(0.0, 1.0)], crate::ink::LINE_PEN),
    ]
}

/// Every breakout in a sentence beside a hatched sign, as far as there is room.
fn breakouts(rain: &Answer, columns: &mut Columns) {
    const SIGN_MM: f64 = 3.6;
    columns.heading(said::BREAKOUTS_TITLE);
    let all: Vec<_> =
        rain.lines.iter().flat_map(|line| line.breakouts.iter().map(move |b| (&line.line, b))).collect();
    if all.is_empty() {
        let words = format!("{}: {}.", said::NO_BREAKOUT, said::NO_BREAKOUT_BESIDE);
        columns.paragraph(&words, (Face::Serif, SMALL_MM, INK), 0.0);
        return;
    }
    for (i, (line, breakout)) in all.iter().enumerate() {
        let words = said::breakout_row(line, breakout);
        let lines = crate::lettering::wrap(&words, Face::Serif, SMALL_MM, columns.width_mm() - SIGN_MM);
        let height_mm = lines.len() as f64 * SMALL_MM * crate::lettering::LEADING + 0.8;
        let last = i + 1 == all.len();
        if columns.is_last() && columns.room_mm() < height_mm + if last { 0.0 } else { 4.0 } {
            columns.paragraph(&said::more_breakouts(all.len() - i), (Face::SerifItalic, SMALL_MM, INK), 0.0);
            return;
        }
        let Some(area) = columns.area(height_mm) else { return };
        let sign = Rect::new(area.left_mm + 0.3, area.top_mm + 0.2, 2.0, height_mm - 1.0);
        columns.add(vec![Mark::rect(sign, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH)))]);
        for (row, line) in lines.into_iter().enumerate() {
            let down_mm = SMALL_MM * (0.95 + row as f64 * crate::lettering::LEADING);
            let at = Spot::new(area.left_mm + SIGN_MM, area.top_mm + down_mm);
            columns.add(vec![crate::page::Text::new(at, line, Face::Serif, SMALL_MM).into()]);
        }
    }
}
