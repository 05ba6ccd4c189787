//! The long section: ground, bed, bank and water along a line, with a table of its pegs underneath.
//!
//! Heights are drawn many times too steep, as the title says, because a fault of a few centimetres over forty
//! metres is what the drawing is for.

use quantity::figures::fixed;
use site::LineKind;

use crate::frame::{self, Block};
use crate::ink::{
    CAUTION, CAUTION_GROUND, CAUTION_PEN, Face, GROUND_HATCH, HAIR_PEN, INK, INK_2, LINE_PEN, LOOSE_SOIL,
    MARK_PEN, PAPER, SOIL, WATER, WATER_HATCH, WATER_PEN, WATER_WASH,
};
use crate::labels::{LabelBox, Taken};
use crate::lettering::width_mm;
use crate::page::{Align, Fill, Mark, Page, Pen, Rect, Spot, Text};
use crate::scale::{paper_mm, round_step, ticks};
use crate::subject::{Known, Subject};
use crate::symbols;
use crate::words;

/// Scales along the line, the largest first: those of common scale rulers.
const ALONG_SCALES: [u32; 13] = [20, 25, 50, 75, 100, 125, 200, 250, 300, 400, 500, 1000, 2500];
/// Scales of heights, the largest first.
const HEIGHT_SCALES: [u32; 7] = [5, 10, 20, 50, 100, 200, 500];
/// Left of the drawing, for heights.
const AXIS_MM: f64 = 20.0;
/// Under the drawing, for the table of pegs.
const TABLE_MM: f64 = 46.0;
/// Heights stay this far inside the drawing.
const AIR_MM: f64 = 12.0;
const FIGURE_MM: f64 = 2.2;
/// A bank is flagged where its lowest place lies deeper than this below its highest: one unit of the last digit
/// that the sheet prints.
const WORTH_A_FLAG_M: f64 = 0.01;

/// The long section of a line; none where no heights are known along it.
pub fn along(subject: &Subject, line: &str) -> Option<Page> {
    let known = subject.lines().into_iter().find(|known| known.line.name == line)?;
    let profile = Profile::of(&known)?;
    let sheet = crate::plan::Sheet::A4Landscape;
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

/// What is known along a line, place by place.
struct Profile {
    places: Vec<Place>,
    /// Level at which it first spills.
    spills_z_m: Option<f64>,
    sills: Vec<SillAt>,
}

struct Place {
    chainage_m: f64,
    ground_z_m: f64,
    bed_z_m: f64,
    bank_z_m: f64,
}

struct SillAt {
    from_m: f64,
    to_m: f64,
    crest_z_m: f64,
}

impl Profile {
    fn of(known: &Known) -> Option<Profile> {
        let sections = known.sections.as_ref()?;
        let places: Vec<Place> = sections
            .places
            .iter()
            .map(|place| Place {
                chainage_m: place.chainage_m,
                ground_z_m: place.ground_z_m,
                bed_z_m: place.ground_z_m - place.hand.depth_m,
                bank_z_m: place.ground_z_m + place.hand.bank_height_m,
            })
            .collect();
        let sills = known
            .line
            .sills
            .iter()
            .map(|sill| SillAt {
                from_m: (sill.at_m - sill.width_m / 2.0).max(0.0),
                to_m: sill.at_m + sill.width_m / 2.0,
                crest_z_m: sections.crest_z_m(sill),
            })
            .collect();
        Some(Profile { places, spills_z_m: known.spills_at_z_m(), sills })
    }

    fn length_m(&self) -> f64 {
        self.places.last().map_or(0.0, |place| place.chainage_m)
    }

    /// Lowest and highest of everything that is drawn.
    fn heights_m(&self) -> (f64, f64) {
        let all = self.places.iter().flat_map(|place| [place.bed_z_m, place.bank_z_m, place.ground_z_m]);
        all.chain(self.spills_z_m)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), z| (low.min(z), high.max(z)))
    }

    /// Top of the bank with the sills let into it, as places from end to end.
    fn bank_with_sills(&self) -> Vec<(f64, f64)> {
        let bank_at = |at_m: f64| {
            let next =
                self.places.partition_point(|place| place.chainage_m < at_m).clamp(1, self.places.len() - 1);
            let (a, b) = (&self.places[next - 1], &self.places[next]);
            let gap_m = b.chainage_m - a.chainage_m;
            let share = if gap_m > 0.0 { ((at_m - a.chainage_m) / gap_m).clamp(0.0, 1.0) } else { 0.0 };
            a.bank_z_m + share * (b.bank_z_m - a.bank_z_m)
        };
        let on_a_sill = |at_m: f64| self.sills.iter().any(|sill| sill.from_m <= at_m && at_m <= sill.to_m);
        let mut tops: Vec<(f64, f64)> = self
            .places
            .iter()
            .filter(|place| !on_a_sill(place.chainage_m))
            .map(|place| (place.chainage_m, place.bank_z_m))
            .collect();
        for sill in &self.sills {
            let to_m = sill.to_m.min(self.length_m());
            tops.extend([
                (sill.from_m, bank_at(sill.from_m)),
                (sill.from_m, sill.crest_z_m),
                (to_m, sill.crest_z_m),
                (to_m, bank_at(to_m)),
            ]);
        }
        // A stable sort keeps the two heights at one edge of a sill in the order they were pushed.
        tops.sort_by(|a, b| a.0.total_cmp(&b.0));
        tops
    }
}

/// From chainage and height to a spot on the sheet.
struct Axes {
    plot: Rect,
    length_m: f64,
    /// Height at the lower edge.
    low_z_m: f64,
    along_one_to: u32,
    up_one_to: u32,
}

impl Axes {
    fn fitting(plot: Rect, profile: &Profile) -> Option<Axes> {
        let (low_z_m, high_z_m) = profile.heights_m();
        let length_m = profile.length_m();
        let along_one_to =
            ALONG_SCALES.into_iter().find(|one_to| paper_mm(length_m, *one_to) <= plot.width_mm)?;
        // Never flatter than true: a steep chute over a short way is drawn as it is.
        let up_one_to = HEIGHT_SCALES
            .into_iter()
            .find(|one_to| paper_mm(high_z_m - low_z_m, *one_to) <= plot.height_mm - 2.0 * AIR_MM)?;
        let spare_mm = plot.height_mm - paper_mm(high_z_m - low_z_m, up_one_to);
        let low_z_m = low_z_m - spare_mm * 0.5 * f64::from(up_one_to) / 1000.0;
        Some(Axes { plot, length_m, low_z_m, along_one_to, up_one_to })
    }

    fn spot(&self, chainage_m: f64, z_m: f64) -> Spot {
        Spot::new(
            self.plot.left_mm + paper_mm(chainage_m, self.along_one_to),
            self.plot.bottom_mm() - paper_mm(z_m - self.low_z_m, self.up_one_to),
        )
    }

    fn right_mm(&self) -> f64 {
        self.spot(self.length_m, 0.0).x_mm
    }

    fn draw_grid(&self, marks: &mut Vec<Mark>) {
        const SPACING_MM: f64 = 9.0;
        let metres_per_mm = f64::from(self.up_one_to) / 1000.0;
        let step_m = round_step(SPACING_MM * metres_per_mm);
        let high_z_m = self.low_z_m + self.plot.height_mm * metres_per_mm;
        let decimals = if step_m < 0.095 {
            2
        } else if step_m < 0.95 {
            1
        } else {
            0
        };
        for z_m in ticks(self.low_z_m, high_z_m, step_m) {
            let y = self.spot(0.0, z_m).y_mm;
            let ends = vec![Spot::new(self.plot.left_mm, y), Spot::new(self.right_mm(), y)];
            marks.push(Mark::run(ends, HAIR_PEN));
            let at = Spot::new(self.plot.left_mm - 2.5, y + FIGURE_MM * 0.36);
            marks.push(
                Text::new(at, fixed(z_m, decimals), Face::Sans, FIGURE_MM)
                    .aligned(Align::End)
                    .in_colour(INK_2)
                    .into(),
            );
        }
        let at = Spot::new(self.plot.left_mm - 15.0, self.plot.centre().y_mm);
        marks.push(
            Text::new(at, words::HEIGHT_AXIS, Face::SerifItalic, 2.5)
                .aligned(Align::Middle)
                .turned(-90.0)
                .into(),
        );
    }
}

fn run(axes: &Axes, tops: impl IntoIterator<Item = (f64, f64)>) -> Vec<Spot> {
    tops.into_iter().map(|(chainage_m, z_m)| axes.spot(chainage_m, z_m)).collect()
}

fn closed_at(mut spots: Vec<Spot>, mut back: Vec<Spot>) -> Vec<Spot> {
    back.reverse();
    spots.extend(back);
    spots
}

/// Undisturbed ground below the bed, and the bank on the ground. What lies between bed and ground is the trench.
fn draw_earth(axes: &Axes, profile: &Profile, known: &Known, marks: &mut Vec<Mark>) {
    let bed = run(axes, profile.places.iter().map(|p| (p.chainage_m, p.bed_z_m)));
    let ground = run(axes, profile.places.iter().map(|p| (p.chainage_m, p.ground_z_m)));
    let floor = vec![
        Spot::new(axes.plot.left_mm, axes.plot.bottom_mm()),
        Spot::new(axes.right_mm(), axes.plot.bottom_mm()),
    ];
    let below = closed_at(bed, floor);
    marks.push(Mark::ring(below.clone(), None, Some(Fill::Even(SOIL))));
    marks.push(Mark::ring(below, None, Some(Fill::Hatched(GROUND_HATCH))));
    if known.line.bank_height_m.unwrap_or(0.0) > 0.0 {
        let bank = closed_at(run(axes, profile.bank_with_sills()), ground);
        marks.push(Mark::ring(bank, None, Some(Fill::Even(LOOSE_SOIL))));
    }
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

fn draw_lines(axes: &Axes, profile: &Profile, marks: &mut Vec<Mark>) {
    const GROUND_MM: &[f64] = &[2.0, 0.8];
    let places = &profile.places;
    let ground = run(axes, places.iter().map(|p| (p.chainage_m, p.ground_z_m)));
    marks.push(Mark::run(ground, Pen::dashed(INK, 0.3, GROUND_MM)));
    let bed = run(axes, places.iter().map(|p| (p.chainage_m, p.bed_z_m)));
    marks.push(Mark::run(bed, LINE_PEN));
    marks.push(Mark::run(run(axes, profile.bank_with_sills()), MARK_PEN));
    for sill in &profile.sills {
        let crest = run(axes, [(sill.from_m, sill.crest_z_m), (sill.to_m, sill.crest_z_m)]);
        marks.push(Mark::run(crest, Pen::new(INK, 0.9)));
    }
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

/// A label that looks for room.
struct Label<'a> {
    words: &'a str,
    face: Face,
    colour: crate::ink::Colour,
}

impl<'a> Label<'a> {
    const SIZE_MM: f64 = 2.6;

    fn above(words: &'a str, face: Face, colour: crate::ink::Colour) -> Label<'a> {
        Label { words, face, colour }
    }

    fn size(&self) -> (f64, f64) {
        (width_mm(self.words, self.face, Self::SIZE_MM) + 1.0, Self::SIZE_MM * 1.25)
    }

    /// Above a spot, or further away with a leader to it.
    fn pointing_at(&self, spot: Spot, taken: &mut Taken, marks: &mut Vec<Mark>) {
        let (width_mm, height_mm) = self.size();
        let mut wishes = Vec::new();
        for up_mm in [8.0, 12.0, 16.0, 20.0, 26.0, 32.0] {
            for right_mm in [0.0, 10.0, -10.0, 20.0, -20.0] {
                wishes.push(LabelBox {
                    centre: spot.moved(right_mm, -up_mm),
                    width_mm,
                    height_mm,
                    turn_deg: 0.0,
                });
            }
        }
        if let Some(chosen) = taken.place(&wishes) {
            let centre = wishes[chosen].centre;
            let foot = Spot::new(
                spot.x_mm.clamp(centre.x_mm - width_mm / 2.0, centre.x_mm + width_mm / 2.0),
                centre.y_mm + height_mm / 2.0,
            );
            marks.push(Mark::run(vec![foot, spot], Pen::new(self.colour, 0.2)));
            self.write(centre, marks);
        }
    }

    /// Just above or below a line, wherever there is room.
    fn along(&self, axes: &Axes, line: &[Spot], taken: &mut Taken, marks: &mut Vec<Mark>) {
        let (width_mm, height_mm) = self.size();
        let mut wishes = Vec::new();
        for up_mm in [2.3, -2.3, 3.4, -3.6] {
            let mut places = symbols::stations(line, 0.55 * width_mm, 6.0);
            places.retain(|along| along.spot.x_mm < axes.right_mm() - width_mm / 2.0);
            wishes.extend(places.into_iter().map(|along| LabelBox {
                centre: along.spot.moved(0.0, -up_mm),
                width_mm,
                height_mm,
                turn_deg: 0.0,
            }));
        }
        if let Some(chosen) = taken.place(&wishes) {
            self.write(wishes[chosen].centre, marks);
        }
    }

    fn write(&self, centre: Spot, marks: &mut Vec<Mark>) {
        let at = centre.moved(0.0, Self::SIZE_MM * 0.36);
        marks.push(
            Text::new(at, self.words, self.face, Self::SIZE_MM)
                .aligned(Align::Middle)
                .in_colour(self.colour)
                .rimmed()
                .into(),
        );
    }
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

fn nearest(profile: &Profile, chainage_m: f64) -> Option<&Place> {
    let apart_m = |place: &&Place| (place.chainage_m - chainage_m).abs();
    profile.places.iter().min_by(|a, b| apart_m(a).total_cmp(&apart_m(b)))
}
