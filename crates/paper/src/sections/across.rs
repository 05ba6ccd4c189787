//! The cross-section: what is dug and built at one peg, in its true shape, with its measures.

use design::section::SectionAt;
use quantity::Estimate;
use site::LineKind;
use water::section::{BankCorners, Corner, HandCorners, Section};

use super::{facts, water_outline};
use crate::frame::{self, Block};
use crate::ink::{
    Colour, Face, GROUND_HATCH, INK, INK_2, LINE_PEN, LOOSE_SOIL, MARK_PEN, PAPER, SOIL, WATER, WATER_HATCH,
    WATER_PEN, WATER_WASH,
};
use crate::lettering::width_mm;
use crate::page::{Align, Fill, Mark, Page, Pen, Rect, Spot, Text};
use crate::scale::paper_mm;
use crate::subject::{Known, Subject};
use crate::words::{self, across as said};

/// Scales of cross-sections, the largest first.
const SCALES: [u32; 8] = [5, 10, 20, 25, 50, 100, 200, 500];
/// Room for measures under the lowest and over the highest place.
const MEASURES_MM: (f64, f64) = (30.0, 26.0);
const WORDS_MM: f64 = 2.8;
/// A stake shows so much of itself above the ground; the drawing's choice.
const PEG_HEIGHT_M: f64 = 0.25;
const AS_IT_WAS_MM: &[f64] = &[2.2, 1.0];
const LOOSE_MM: &[f64] = &[0.8, 0.8];

/// The cross-section of a line in its middle; none where it is not known.
pub fn across(subject: &Subject, line: &str) -> Option<Page> {
    let known = subject.lines().into_iter().find(|known| known.line.name == line)?;
    let places = &known.sections.as_ref()?.places;
    let middle_m = known.sizes.length_m / 2.0;
    let apart_m = |place: &&SectionAt| (place.chainage_m - middle_m).abs();
    let place = *places.iter().min_by(|a, b| apart_m(a).total_cmp(&apart_m(b)))?;
    let cut = Cut::of(&known, place)?;
    let sheet = subject.format.lying();
    let area = frame::drawing_area(sheet);
    let drawing = Rect { height_mm: area.height_mm - facts::HEIGHT_MM, ..area };
    let axes = Axes::fitting(drawing, &cut)?;
    let mut marks = Vec::new();
    let figures = Rect::new(area.left_mm, drawing.bottom_mm(), area.width_mm, facts::HEIGHT_MM);
    facts::write(&known, figures, &mut marks);
    draw_earth(&axes, &cut, &mut marks);
    draw_water(&axes, &cut, &mut marks);
    draw_outline(&axes, &cut, &mut marks);
    draw_peg(&axes, &mut marks);
    measure(&axes, &cut, &mut marks);
    let peg = known.pegs.pegs.iter().find(|peg| peg.chainage_m == place.chainage_m);
    let block = Block {
        title: words::cross_section_title(line),
        facts: words::cross_section_facts(place.chainage_m, peg.map(|peg| peg.peg)),
        scale: words::cross_section_scale(axes.one_to),
    };
    Some(frame::framed(subject, sheet, "across", &block, marks))
}

/// Everything that one cross-section shows. Heights are from the ground at the peg.
struct Cut {
    place: SectionAt,
    section: Section,
    corners: HandCorners,
    /// Water standing when the line first spills, or running in the design storm.
    water: Option<Vec<Corner>>,
    runs: bool,
    /// Height of the bank before it settles.
    loose_m: Option<Estimate>,
}

impl Cut {
    fn of(known: &Known, place: SectionAt) -> Option<Cut> {
        let section = place.hand.section().ok()?;
        let level_m = water_level_m(known, &place, &section);
        let water = level_m.and_then(|level_m| water_outline(&section, level_m));
        let settlement = known.pegs.settlement.add_frac;
        let height_m = place.hand.bank_height_m;
        let loose_m = (height_m > 0.0 && !known.sizes.as_dug)
            .then(|| settlement.map_monotone(|frac| height_m * (1.0 + frac)));
        Some(Cut {
            corners: place.hand.corners().ok()?,
            place,
            section,
            water,
            runs: known.line.kind != LineKind::Swale,
            loose_m,
        })
    }

    fn top_m(&self) -> f64 {
        let bank_m = self.loose_m.map_or(self.place.hand.bank_height_m, Estimate::high);
        bank_m.max(PEG_HEIGHT_M)
    }

    /// From where to where the drawing reaches across the line: the works, and as much again of the hill.
    fn reach_m(&self) -> (f64, f64) {
        const HILL_SHARE: f64 = 0.15;
        let right_m = self.corners.bank.map_or(0.0, |bank| bank.downhill_toe.offset_m);
        let left_m = self.corners.uphill_lip.offset_m;
        let hill_m = HILL_SHARE * (right_m - left_m);
        (left_m - hill_m, right_m + hill_m)
    }

    fn on_ground(&self, offset_m: f64) -> Corner {
        self.place.hand.on_ground(offset_m)
    }

    /// The earth as it is when all is dug and has settled, from end to end of the drawing.
    fn surface(&self) -> Vec<Corner> {
        let (left_m, right_m) = self.reach_m();
        let mut surface = vec![self.on_ground(left_m)];
        let between = |c: &&Corner| left_m < c.offset_m && c.offset_m < right_m;
        surface.extend(self.section.profile().iter().filter(between));
        surface.push(self.on_ground(right_m));
        surface
    }
}

/// Level of the water that is drawn, from the ground at the peg.
fn water_level_m(known: &Known, place: &SectionAt, section: &Section) -> Option<f64> {
    match known.line.kind {
        LineKind::Swale => Some(known.spills_at_z_m()? - place.ground_z_m),
        LineKind::Drain | LineKind::Chute => Some(section.bed_z_m() + known.sizes.flow.as_ref()?.depth_m),
        LineKind::Pipe => None,
    }
}

/// From an offset and a height to a spot on the sheet.
struct Axes {
    one_to: u32,
    peg: Spot,
    floor_mm: f64,
}

impl Axes {
    fn fitting(area: Rect, cut: &Cut) -> Option<Axes> {
        let (left_m, right_m) = cut.reach_m();
        let low_m = (-cut.place.hand.depth_m).min(cut.on_ground(right_m).z_m);
        let high_m = cut.top_m().max(cut.on_ground(left_m).z_m);
        let (below_mm, above_mm) = MEASURES_MM;
        let room_mm = area.height_mm - below_mm - above_mm;
        let one_to = SCALES.into_iter().find(|one_to| {
            paper_mm(right_m - left_m, *one_to) <= area.width_mm
                && paper_mm(high_m - low_m, *one_to) <= room_mm
        })?;
        let spare_x_mm = area.width_mm - paper_mm(right_m - left_m, one_to);
        let spare_y_mm = room_mm - paper_mm(high_m - low_m, one_to);
        let peg = Spot::new(
            area.left_mm + spare_x_mm / 2.0 - paper_mm(left_m, one_to),
            area.top_mm + above_mm + spare_y_mm / 2.0 + paper_mm(high_m, one_to),
        );
        let floor_mm = peg.y_mm - paper_mm(low_m, one_to) + 0.55 * below_mm;
        Some(Axes { one_to, peg, floor_mm })
    }

    fn spot(&self, at: Corner) -> Spot {
        self.peg.moved(paper_mm(at.offset_m, self.one_to), -paper_mm(at.z_m, self.one_to))
    }

    fn spots(&self, corners: &[Corner]) -> Vec<Spot> {
        corners.iter().map(|c| self.spot(*c)).collect()
    }
}

/// Undisturbed earth, hatched, then the bank as loose soil.
fn draw_earth(axes: &Axes, cut: &Cut, marks: &mut Vec<Mark>) {
    let c = &cut.corners;
    let (left_m, right_m) = cut.reach_m();
    let undisturbed =
        [cut.on_ground(left_m), c.uphill_lip, c.bed_uphill, c.bed_downhill, c.peg, cut.on_ground(right_m)];
    let mut ring = axes.spots(&undisturbed);
    let (first, last) = (ring[0], ring[ring.len() - 1]);
    ring.push(Spot::new(last.x_mm, axes.floor_mm));
    ring.push(Spot::new(first.x_mm, axes.floor_mm));
    marks.push(Mark::ring(ring.clone(), None, Some(Fill::Even(SOIL))));
    marks.push(Mark::ring(ring, None, Some(Fill::Hatched(GROUND_HATCH))));
    if let Some(bank) = c.bank {
        let ring = axes.spots(&bank.in_order());
        marks.push(Mark::ring(ring, None, Some(Fill::Even(LOOSE_SOIL))));
    }
}

fn draw_water(axes: &Axes, cut: &Cut, marks: &mut Vec<Mark>) {
    let Some(water) = &cut.water else { return };
    let ring = axes.spots(water);
    marks.push(Mark::ring(ring.clone(), None, Some(Fill::Even(WATER_WASH))));
    marks.push(Mark::ring(ring.clone(), None, Some(Fill::Hatched(WATER_HATCH))));
    marks.push(Mark::run(vec![ring[0], ring[ring.len() - 1]], WATER_PEN));
}

fn draw_outline(axes: &Axes, cut: &Cut, marks: &mut Vec<Mark>) {
    let c = &cut.corners;
    let before = axes.spots(&[c.uphill_lip, c.peg]);
    marks.push(Mark::run(before, Pen::dashed(INK_2, 0.3, AS_IT_WAS_MM)));
    if let Some(bank) = c.bank {
        let under = axes.spots(&[bank.uphill_toe, bank.downhill_toe]);
        marks.push(Mark::run(under, Pen::dashed(INK_2, 0.3, AS_IT_WAS_MM)));
        if let Some(loose) = cut.loose_m {
            marks.push(Mark::run(
                axes.spots(&loose_outline(&bank, loose.likely())),
                Pen::dashed(INK, 0.45, LOOSE_MM),
            ));
        }
    }
    marks.push(Mark::run(axes.spots(&cut.surface()), LINE_PEN));
}

/// The bank as thrown up: higher on the same feet, so that it settles onto the bank that is meant.
fn loose_outline(bank: &BankCorners, height_m: f64) -> [Corner; 4] {
    let raised = |c: Corner| Corner { z_m: height_m, ..c };
    [bank.uphill_toe, raised(bank.top_uphill), raised(bank.top_downhill), bank.downhill_toe]
}

fn draw_peg(axes: &Axes, marks: &mut Vec<Mark>) {
    const HALF_MM: f64 = 0.9;
    let height_mm = paper_mm(PEG_HEIGHT_M, axes.one_to);
    let foot = axes.peg.moved(0.0, 0.5 * height_mm);
    let top_mm = -height_mm;
    let stake = vec![
        axes.peg.moved(-HALF_MM, top_mm),
        axes.peg.moved(HALF_MM, top_mm),
        axes.peg.moved(HALF_MM, 0.3 * height_mm),
        foot,
        axes.peg.moved(-HALF_MM, 0.3 * height_mm),
    ];
    marks.push(Mark::ring(stake, Some(Pen::new(INK, 0.35)), Some(Fill::Even(PAPER))));
    write(axes.peg.moved(0.0, top_mm - 1.8), said::PEG, (Face::SansBold, INK), 0.0, marks);
}

/// All measures and words.
fn measure(axes: &Axes, cut: &Cut, marks: &mut Vec<Mark>) {
    let (c, hand) = (&cut.corners, &cut.place.hand);
    let below_mm = axes.floor_mm + 3.5;
    for (from, to, words) in [
        (c.bed_uphill, c.bed_downhill, said::bed(hand.bed_width_m)),
        (c.bed_downhill, c.peg, said::metres(c.peg.offset_m - c.bed_downhill.offset_m)),
        (c.uphill_lip, c.bed_uphill, said::metres(c.bed_uphill.offset_m - c.uphill_lip.offset_m)),
    ] {
        level_measure(axes, (from, to), below_mm, &words, marks);
    }
    if let Some(bank) = c.bank {
        level_measure(axes, (c.peg, bank.uphill_toe), below_mm, &said::ledge(hand.ledge_m), marks);
        let toe_to_toe = bank.downhill_toe.offset_m - bank.uphill_toe.offset_m;
        level_measure(
            axes,
            (bank.uphill_toe, bank.downhill_toe),
            below_mm,
            &said::bank_foot(toe_to_toe),
            marks,
        );
        measure_bank(axes, cut, &bank, marks);
    }
    let depth_at =
        axes.spot(c.bed_uphill).x_mm + 0.3 * (axes.spot(c.bed_downhill).x_mm - axes.spot(c.bed_uphill).x_mm);
    upright_measure(axes, depth_at, (0.0, -hand.depth_m), marks);
    // The height that the depth is measured from: the ground at the peg, carried across the trench.
    marks.push(Mark::run(vec![Spot::new(depth_at - 2.0, axes.peg.y_mm), axes.peg], Pen::new(INK_2, 0.15)));
    let middle_mm = axes.peg.y_mm + 0.5 * paper_mm(hand.depth_m, axes.one_to);
    label_right(Spot::new(depth_at + 1.5, middle_mm), &said::depth(hand.depth_m), INK, marks);
    along_face(axes, (c.uphill_lip, c.bed_uphill), &said::batter(hand.cut_batter), marks);
    draw_sides(axes, cut, marks);
    label_water(axes, cut, marks);
}

fn measure_bank(axes: &Axes, cut: &Cut, bank: &BankCorners, marks: &mut Vec<Mark>) {
    let hand = &cut.place.hand;
    let x_mm = axes.spot(bank.downhill_toe).x_mm + 4.0;
    let foot = Spot::new(axes.spot(bank.downhill_toe).x_mm, axes.peg.y_mm);
    marks.push(Mark::run(
        vec![Spot::new(axes.peg.x_mm, foot.y_mm), Spot::new(x_mm + 2.0, foot.y_mm)],
        Pen::new(INK_2, 0.15),
    ));
    upright_measure(axes, x_mm, (hand.bank_height_m, 0.0), marks);
    let settled_mm = axes.peg.y_mm - 0.5 * paper_mm(hand.bank_height_m, axes.one_to);
    label_right(Spot::new(x_mm + 1.5, settled_mm), &said::settled(hand.bank_height_m), INK, marks);
    let top = axes.spot(bank.top_downhill);
    marks.push(Mark::run(vec![top, Spot::new(x_mm + 2.0, top.y_mm)], Pen::new(INK_2, 0.15)));
    if let Some(loose) = cut.loose_m {
        let outline = axes.spots(&loose_outline(bank, loose.likely()));
        let middle = outline[1].towards(outline[2], 0.5);
        let words = said::loose(loose);
        let at = middle.moved(0.0, -9.0);
        marks.push(Mark::run(vec![at.moved(0.0, 1.0), middle], Pen::new(INK, 0.2)));
        write(at, &words, (Face::SansBold, INK), 0.0, marks);
    }
    along_face(axes, (bank.top_downhill, bank.downhill_toe), &said::batter(hand.bank_batter), marks);
}

/// Uphill, downhill, the ground's slope.
fn draw_sides(axes: &Axes, cut: &Cut, marks: &mut Vec<Mark>) {
    let (left_m, right_m) = cut.reach_m();
    let left = axes.spot(cut.on_ground(left_m));
    let right = axes.spot(cut.on_ground(right_m));
    let face = (Face::SerifItalic, INK_2);
    write_from(left.moved(1.0, -3.0 - 3.6), said::UPHILL, face, Align::Start, marks);
    write_from(right.moved(-1.0, -3.0), said::DOWNHILL, face, Align::End, marks);
    // Under the ground's line at the downhill end, in the earth: nothing else is written there.
    let fall = turn_deg(left, right);
    let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(fall));
    let text = Text::new(
        right.moved(-sin * 4.0 - 1.5, cos * 4.0),
        said::slope(cut.place.hand.cross_slope),
        Face::SerifItalic,
        WORDS_MM,
    );
    marks.push(text.in_colour(INK_2).aligned(Align::End).turned(fall).rimmed().into());
    if let Some(bank) = cut.corners.bank {
        let before = axes.spots(&[bank.uphill_toe, bank.downhill_toe]);
        let turn = turn_deg(before[0], before[1]);
        let at = before[0].towards(before[1], 0.45).moved(0.0, -1.4);
        write(at, said::GROUND_BEFORE, face, turn, marks);
    }
}

fn label_water(axes: &Axes, cut: &Cut, marks: &mut Vec<Mark>) {
    let Some(water) = &cut.water else { return };
    let (first, last) = (axes.spot(water[0]), axes.spot(water[water.len() - 1]));
    let level_m = water[0].z_m;
    // The level mark of surveyors: a triangle standing on the water.
    let tip = first.towards(last, 0.2);
    let mark = vec![tip, tip.moved(-1.5, -2.4), tip.moved(1.5, -2.4)];
    marks.push(Mark::ring(mark, Some(Pen::new(WATER, 0.3)), Some(Fill::Even(PAPER))));
    let highest = axes.spot(cut.corners.uphill_lip);
    let at = Spot::new(tip.x_mm, tip.y_mm.min(highest.y_mm) - 14.0);
    marks.push(Mark::run(vec![at.moved(0.0, 1.0), tip.moved(0.0, -2.4)], Pen::new(WATER, 0.2)));
    let words = if cut.runs { said::running(level_m - cut.section.bed_z_m()) } else { said::brim(level_m) };
    write(at, &words, (Face::SansBold, WATER), 0.0, marks);
    if !cut.runs {
        measure_freeboard(axes, cut, last, marks);
    }
}

/// What is left between the water's edge and the top of the bank.
fn measure_freeboard(axes: &Axes, cut: &Cut, edge: Spot, marks: &mut Vec<Mark>) {
    let level_m = cut.water.as_ref().map_or(0.0, |water| water[0].z_m);
    let freeboard_m = cut.place.hand.bank_height_m - level_m;
    if let Some(bank) = cut.corners.bank.filter(|_| freeboard_m > 0.0) {
        let x_mm = axes.spot(bank.top_uphill).x_mm - 2.0;
        let (top, low) = (axes.spot(bank.top_uphill).y_mm, edge.y_mm);
        let ends = [Spot::new(x_mm, top), Spot::new(x_mm, low)];
        marks.push(Mark::run(ends.to_vec(), MARK_PEN));
        for end in ends {
            marks.push(tick(end));
        }
        marks.push(Mark::run(
            vec![Spot::new(x_mm - 1.5, top), axes.spot(bank.top_uphill)],
            Pen::new(INK_2, 0.15),
        ));
        write_from(
            Spot::new(x_mm - 1.2, (top + low) / 2.0 + 1.0),
            &said::left(freeboard_m),
            (Face::Sans, INK),
            Align::End,
            marks,
        );
    }
}

/// A measure drawn level, with its words over it or, where it is too short for them, under it.
fn level_measure(axes: &Axes, (from, to): (Corner, Corner), y_mm: f64, words: &str, marks: &mut Vec<Mark>) {
    let (a, b) = (axes.spot(from).x_mm, axes.spot(to).x_mm);
    if b - a < 0.5 {
        return;
    }
    let ends = [Spot::new(a, y_mm), Spot::new(b, y_mm)];
    marks.push(Mark::run(ends.to_vec(), MARK_PEN));
    for (end, corner) in ends.into_iter().zip([from, to]) {
        marks.push(tick(end));
        let guide = vec![axes.spot(corner).moved(0.0, 1.0), end.moved(0.0, 1.0)];
        marks.push(Mark::run(guide, Pen::new(INK_2, 0.12)));
    }
    let down_mm = if width_mm(words, Face::Sans, WORDS_MM) < b - a - 1.0 { -1.2 } else { 4.2 };
    let at = ends[0].towards(ends[1], 0.5).moved(0.0, down_mm);
    write(at, words, (Face::Sans, INK), 0.0, marks);
}

fn upright_measure(axes: &Axes, x_mm: f64, (top_m, low_m): (f64, f64), marks: &mut Vec<Mark>) {
    let y = |z_m: f64| axes.peg.y_mm - paper_mm(z_m, axes.one_to);
    let ends = [Spot::new(x_mm, y(top_m)), Spot::new(x_mm, y(low_m))];
    marks.push(Mark::run(ends.to_vec(), MARK_PEN));
    for end in ends {
        marks.push(tick(end));
    }
}

/// The slanting stroke at the end of a measure.
fn tick(at: Spot) -> Mark {
    Mark::run(vec![at.moved(-0.8, 0.8), at.moved(0.8, -0.8)], Pen::new(INK, 0.4))
}

/// Words along a face of the trench or bank, on its outer side.
fn along_face(axes: &Axes, (from, to): (Corner, Corner), words: &str, marks: &mut Vec<Mark>) {
    let (a, b) = (axes.spot(from), axes.spot(to));
    let turn_deg = turn_deg(a, b);
    let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(turn_deg));
    // Below the line: the words lie in the earth.
    let out_mm = 3.4;
    let at = a.towards(b, 0.5).moved(-sin * out_mm, cos * out_mm);
    write(at, words, (Face::Sans, INK_2), turn_deg, marks);
}

fn turn_deg(from: Spot, to: Spot) -> f64 {
    quantity::convert::rad_to_deg(libm::atan2(to.y_mm - from.y_mm, to.x_mm - from.x_mm))
}

fn label_right(at: Spot, words: &str, colour: Colour, marks: &mut Vec<Mark>) {
    write_from(at.moved(0.0, 1.0), words, (Face::Sans, colour), Align::Start, marks);
}

fn write(at: Spot, words: &str, (face, colour): (Face, Colour), turn_deg: f64, marks: &mut Vec<Mark>) {
    let text = Text::new(at, words, face, WORDS_MM)
        .aligned(Align::Middle)
        .in_colour(colour)
        .turned(turn_deg)
        .rimmed();
    marks.push(text.into());
}

fn write_from(at: Spot, words: &str, (face, colour): (Face, Colour), align: Align, marks: &mut Vec<Mark>) {
    let text = Text::new(at, words, face, WORDS_MM).aligned(align).in_colour(colour).rimmed();
    marks.push(text.into());
}
