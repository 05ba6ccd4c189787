//! What long sections share: the earth along a line, the axes it is drawn against, labels that look for room.

use quantity::figures::fixed;

use crate::ink::{Face, GROUND_HATCH, HAIR_PEN, INK, INK_2, LINE_PEN, LOOSE_SOIL, MARK_PEN, SOIL};
use crate::labels::{LabelBox, Taken};
use crate::lettering::width_mm;
use crate::page::{Align, Fill, Mark, Pen, Rect, Spot, Text};
use crate::scale::{paper_mm, round_step, ticks};
use crate::subject::Known;
use crate::symbols;
use crate::words;

/// Scales along the line, the largest first: those of common scale rulers.
const ALONG_SCALES: [u32; 13] = [20, 25, 50, 75, 100, 125, 200, 250, 300, 400, 500, 1000, 2500];
/// Scales of heights, the largest first.
const HEIGHT_SCALES: [u32; 7] = [5, 10, 20, 50, 100, 200, 500];
/// Heights stay this far inside the drawing.
const AIR_MM: f64 = 12.0;
const FIGURE_MM: f64 = 2.2;

/// What is known along a line, place by place.
pub(crate) struct Profile {
    pub(crate) places: Vec<Place>,
    /// Level at which it first spills.
    pub(crate) spills_z_m: Option<f64>,
    pub(crate) sills: Vec<SillAt>,
}

pub(crate) struct Place {
    pub(crate) chainage_m: f64,
    pub(crate) ground_z_m: f64,
    pub(crate) bed_z_m: f64,
    pub(crate) bank_z_m: f64,
}

pub(crate) struct SillAt {
    pub(crate) from_m: f64,
    pub(crate) to_m: f64,
    pub(crate) crest_z_m: f64,
}

impl Profile {
    pub(crate) fn of(known: &Known) -> Option<Profile> {
        let sections = known.sections.as_ref()?;
        let places: Vec<Place> = sections
            .places
            .iter()
            .map(|place| Place {
                chainage_m: place.chainage_m,
                ground_z_m: place.ground_z_m,
                bed_z_m: place.bed_z_m(),
                bank_z_m: place.bank_z_m(),
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

    pub(crate) fn length_m(&self) -> f64 {
        self.places.last().map_or(0.0, |place| place.chainage_m)
    }

    /// Lowest and highest of everything that is drawn.
    pub(crate) fn heights_m(&self) -> (f64, f64) {
        let all = self.places.iter().flat_map(|place| [place.bed_z_m, place.bank_z_m, place.ground_z_m]);
        all.chain(self.spills_z_m)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), z| (low.min(z), high.max(z)))
    }

    /// Top of the bank with the sills let into it, as places from end to end.
    pub(crate) fn bank_with_sills(&self) -> Vec<(f64, f64)> {
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
pub(crate) struct Axes {
    pub(crate) plot: Rect,
    pub(crate) length_m: f64,
    /// Height at the lower edge.
    pub(crate) low_z_m: f64,
    pub(crate) along_one_to: u32,
    pub(crate) up_one_to: u32,
}

impl Axes {
    pub(crate) fn fitting(plot: Rect, profile: &Profile) -> Option<Axes> {
        Axes::holding(plot, profile, f64::NEG_INFINITY)
    }

    /// Axes that also hold a height.
    pub(crate) fn holding(plot: Rect, profile: &Profile, also_z_m: f64) -> Option<Axes> {
        let (low_z_m, high_z_m) = profile.heights_m();
        let high_z_m = high_z_m.max(also_z_m);
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

    pub(crate) fn spot(&self, chainage_m: f64, z_m: f64) -> Spot {
        Spot::new(
            self.plot.left_mm + paper_mm(chainage_m, self.along_one_to),
            self.plot.bottom_mm() - paper_mm(z_m - self.low_z_m, self.up_one_to),
        )
    }

    pub(crate) fn right_mm(&self) -> f64 {
        self.spot(self.length_m, 0.0).x_mm
    }

    pub(crate) fn draw_grid(&self, marks: &mut Vec<Mark>) {
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

pub(crate) fn run(axes: &Axes, tops: impl IntoIterator<Item = (f64, f64)>) -> Vec<Spot> {
    tops.into_iter().map(|(chainage_m, z_m)| axes.spot(chainage_m, z_m)).collect()
}

pub(crate) fn closed_at(mut spots: Vec<Spot>, mut back: Vec<Spot>) -> Vec<Spot> {
    back.reverse();
    spots.extend(back);
    spots
}

/// Undisturbed ground below the bed, and the bank on the ground. What lies between bed and ground is the trench.
pub(crate) fn draw_earth(axes: &Axes, profile: &Profile, known: &Known, marks: &mut Vec<Mark>) {
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

pub(crate) fn draw_lines(axes: &Axes, profile: &Profile, marks: &mut Vec<Mark>) {
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

/// A label that looks for room.
pub(crate) struct Label<'a> {
    pub(crate) words: &'a str,
    pub(crate) face: Face,
    pub(crate) colour: crate::ink::Colour,
}

impl<'a> Label<'a> {
    const SIZE_MM: f64 = 2.6;

    pub(crate) fn above(words: &'a str, face: Face, colour: crate::ink::Colour) -> Label<'a> {
        Label { words, face, colour }
    }

    pub(crate) fn size(&self) -> (f64, f64) {
        (width_mm(self.words, self.face, Self::SIZE_MM) + 1.0, Self::SIZE_MM * 1.25)
    }

    /// Above a spot, or further away with a leader to it.
    pub(crate) fn pointing_at(&self, spot: Spot, taken: &mut Taken, marks: &mut Vec<Mark>) {
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
    pub(crate) fn along(&self, axes: &Axes, line: &[Spot], taken: &mut Taken, marks: &mut Vec<Mark>) {
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

    pub(crate) fn write(&self, centre: Spot, marks: &mut Vec<Mark>) {
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

pub(crate) fn nearest(profile: &Profile, chainage_m: f64) -> Option<&Place> {
    let apart_m = |place: &&Place| (place.chainage_m - chainage_m).abs();
    profile.places.iter().min_by(|a, b| apart_m(a).total_cmp(&apart_m(b)))
}
