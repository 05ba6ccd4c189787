//! The long section: ground, bed, bank and water along a line, with a table of its pegs underneath.
//!
//! Heights are drawn many times too steep, as the title says, because a fault of a few centimetres over forty
//! metres is what the drawing is for.

use quantity::figures::fixed;
use site::LineKind;

use super::profile::{Axes, Label, Profile, closed_at, draw_earth, draw_lines, nearest, run};
use crate::frame::{self, Block};
use crate::ink::{
    CAUTION, CAUTION_GROUND, CAUTION_PEN, Face, HAIR_PEN, INK, INK_2, PAPER, WATER, WATER_HATCH, WATER_PEN,
    WATER_WASH,
};
use crate::labels::Taken;
use crate::page::{Align, Fill, Mark, Page, Pen, Rect, Spot, Text};
use crate::subject::{Known, Subject};
use crate::words;

/// Left of the drawing, for heights.
const AXIS_MM: f64 = 20.0;
/// Under the drawing, for the table of pegs.
const TABLE_MM: f64 = 46.0;
const FIGURE_MM: f64 = 2.2;
/// A bank is flagged where its lowest place lies deeper than this below its highest: one unit of the last digit
/// that the sheet prints.
const WORTH_A_FLAG_M: f64 = 0.01;

/// The long section of a line; none where no heights are known along it.
pub fn along(subject: &Subject, line: &str) -> Option<Page> {
    let known = subject.lines().into_iter().find(|known| known.line.name == line)?;
    let profile = Profile::of(&known)?;
    let sheet = subject.format.lying();
    let plot = frame::drawing_area(sheet);
    let plot = Rect::new(
        plot.left_mm + AXIS_MM,
        plot.top_mm,
        plot.width_mm - AXIS_MM - 6.0,
        plot.height_mm - TABLE_MM,
    );
    let axes = Axes::fitting(plot, &profile)?;
    let mut marks = Vec::new();
    axes.draw_grid(&mut marks);
    draw_earth(&axes, &profile, &known, &mut marks);
    draw_water(&axes, &profile, &known, &mut marks);
    draw_lines(&axes, &profile, &mut marks);
    draw_table(&axes, &profile, &known, &mut marks);
    draw_labels(&axes, &profile, &known, &mut marks);
    let block = Block {
        title: words::long_section_title(&known.line.name),
        facts: words::long_section_facts(known.line.kind, known.laid.grade, known.sizes.as_dug),
        scale: words::long_section_scale(axes.along_one_to, axes.up_one_to),
    };
    Some(frame::framed(subject, sheet, "along", &block, marks))
}

/// Water standing at the level at which the line first spills.
fn draw_water(axes: &Axes, profile: &Profile, known: &Known, marks: &mut Vec<Mark>) {
    let Some(level_z_m) = profile.spills_z_m.filter(|_| known.line.kind == LineKind::Swale) else {
        return;
    };
    let bed: Vec<(f64, f64)> = profile
        .places
        .iter()
        .map(|p| (p.chainage_m, if p.bed_z_m < level_z_m { p.bed_z_m } else { level_z_m }))
        .collect();
    let surface = run(axes, bed.iter().map(|(chainage_m, _)| (*chainage_m, level_z_m)));
    let pool = closed_at(surface.clone(), run(axes, bed));
    marks.push(Mark::ring(pool.clone(), None, Some(Fill::Even(WATER_WASH))));
    marks.push(Mark::ring(pool, None, Some(Fill::Hatched(WATER_HATCH))));
    marks.push(Mark::run(surface, WATER_PEN));
}

/// Labels of the four lines, the sills, the lowest bank and the water, none on another.
fn draw_labels(axes: &Axes, profile: &Profile, known: &Known, marks: &mut Vec<Mark>) {
    let mut taken = Taken::new(axes.plot);
    let places = &profile.places;
    for line in [
        run(axes, places.iter().map(|p| (p.chainage_m, p.ground_z_m))),
        run(axes, places.iter().map(|p| (p.chainage_m, p.bed_z_m))),
        run(axes, profile.bank_with_sills()),
    ] {
        taken.ink_along(&line);
    }
    for peg in &known.pegs.pegs {
        if let Some(place) = nearest(profile, peg.chainage_m) {
            taken.ink_along(&stake(axes, peg.chainage_m, peg.z_m.unwrap_or(place.ground_z_m)));
        }
    }
    for sill in &profile.sills {
        let middle = (sill.from_m + sill.to_m.min(axes.length_m)) / 2.0;
        let spot = axes.spot(middle, sill.crest_z_m);
        let said = words::sill_crest(sill.crest_z_m);
        let label = Label::above(&said, Face::SansBold, INK);
        label.pointing_at(spot, &mut taken, marks);
    }
    let highest_z_m = places.iter().fold(f64::NEG_INFINITY, |high, p| high.max(p.bank_z_m));
    let low = known.holding().and_then(|holding| holding.lowest_bank);
    if let Some(low) = low.filter(|low| low.z_m < highest_z_m - WORTH_A_FLAG_M) {
        let spot = axes.spot(low.chainage_m, low.z_m);
        let said = words::lowest_bank(low.chainage_m, low.z_m);
        let label = Label::above(&said, Face::SansBold, CAUTION);
        label.pointing_at(spot, &mut taken, marks);
        let tip = vec![spot, spot.moved(-1.4, -2.6), spot.moved(1.4, -2.6)];
        marks.push(Mark::ring(tip, Some(CAUTION_PEN), Some(Fill::Even(CAUTION_GROUND))));
    }
    if let Some(level_z_m) = profile.spills_z_m.filter(|_| known.line.kind == LineKind::Swale) {
        let said = words::spills_at(level_z_m);
        let label = Label::above(&said, Face::SansBold, WATER);
        label.along(axes, &taken_run(axes, level_z_m), &mut taken, marks);
    }
    let named = [
        (words::GROUND_LINE, run(axes, places.iter().map(|p| (p.chainage_m, p.ground_z_m)))),
        (words::BED_LINE, run(axes, places.iter().map(|p| (p.chainage_m, p.bed_z_m)))),
        (words::BANK_LINE, run(axes, profile.bank_with_sills())),
    ];
    let has_bank = places.iter().any(|p| p.bank_z_m > p.ground_z_m);
    for (said, line) in named.into_iter().take(if has_bank { 3 } else { 2 }) {
        Label::above(said, Face::SerifItalic, INK_2).along(axes, &line, &mut taken, marks);
    }
}

fn taken_run(axes: &Axes, z_m: f64) -> Vec<Spot> {
    vec![axes.spot(0.0, z_m), axes.spot(axes.length_m, z_m)]
}

/// Under the drawing: what a helper needs at each peg, with a stake drawn up to the ground.
fn draw_table(axes: &Axes, profile: &Profile, known: &Known, marks: &mut Vec<Mark>) {
    const ROWS: [(&str, f64); 5] = [
        (words::PEG_ROW, 5.5),
        (words::CHAINAGE_ROW, 8.0),
        (words::GROUND_ROW, 10.5),
        (words::BED_ROW, 10.5),
        (words::BANK_ROW, 10.5),
    ];
    let mut top_mm = axes.plot.bottom_mm() + 1.0;
    let mut tops = Vec::new();
    for (said, height_mm) in ROWS {
        let rule =
            vec![Spot::new(axes.plot.left_mm - AXIS_MM, top_mm), Spot::new(axes.right_mm() + 3.0, top_mm)];
        marks.push(Mark::run(rule, HAIR_PEN));
        let at = Spot::new(axes.plot.left_mm - AXIS_MM + 0.5, top_mm + height_mm / 2.0 + 0.8);
        marks.push(Text::new(at, said, Face::Serif, FIGURE_MM).into());
        tops.push(top_mm + height_mm / 2.0);
        top_mm += height_mm;
    }
    let mut last_mm = f64::NEG_INFINITY;
    let count = known.pegs.pegs.len();
    for (i, peg) in known.pegs.pegs.iter().enumerate() {
        let x = axes.spot(peg.chainage_m, 0.0).x_mm;
        let Some(place) = nearest(profile, peg.chainage_m) else {
            continue;
        };
        draw_stake(axes, peg.chainage_m, peg.z_m.unwrap_or(place.ground_z_m), marks);
        let is_last = i + 1 == count;
        let last_x = axes.spot(profile.length_m(), 0.0).x_mm;
        // A peg whose figures would touch those before it, or those of the last peg, keeps only its stake.
        if x - last_mm < FIGURE_MM * 1.45 || (!is_last && last_x - x < FIGURE_MM * 1.45) {
            continue;
        }
        last_mm = x;
        let figures = [
            peg.peg.to_string(),
            fixed(peg.chainage_m, 1),
            fixed(place.ground_z_m, 2),
            fixed(place.bed_z_m, 2),
            fixed(place.bank_z_m, 2),
        ];
        for (figure, middle_mm) in figures.into_iter().zip(&tops) {
            let at = Spot::new(x + FIGURE_MM * 0.36, *middle_mm);
            marks.push(
                Text::new(at, figure, Face::Sans, FIGURE_MM).aligned(Align::Middle).turned(-90.0).into(),
            );
        }
    }
}

/// A peg's stake, from just below the ground up.
fn stake(axes: &Axes, chainage_m: f64, ground_z_m: f64) -> Vec<Spot> {
    let foot = axes.spot(chainage_m, ground_z_m);
    vec![foot.moved(0.0, 1.2), foot.moved(0.0, -4.0)]
}

fn draw_stake(axes: &Axes, chainage_m: f64, ground_z_m: f64, marks: &mut Vec<Mark>) {
    let stake = stake(axes, chainage_m, ground_z_m);
    marks.push(Mark::run(stake.clone(), Pen::new(PAPER, 0.9)));
    marks.push(Mark::run(stake, Pen::new(INK, 0.45)));
}
