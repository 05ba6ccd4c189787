//! Names on the map: where each would like to stand, and setting them so that none lies on another.

use super::Sketch;
use crate::ink::{Colour, Face, INK, INK_2};
use crate::labels::{LabelBox, Taken};
use crate::lettering::{BELOW_SHARE, CAPITAL_SHARE, width_mm};
use crate::page::{Align, Mark, Pen, Rect, Spot, Text};
use crate::symbols::{NUMBER_RADIUS_MM, length_mm, number, station, stations};

/// Free space round a label.
const AIR_MM: f64 = 0.5;
/// Further out than this a label gets a leader to its thing.
const LEADER_FROM_MM: f64 = 2.5;
/// How far out a label may go, beyond its thing's edge.
const RINGS_MM: [f64; 6] = [0.2, 1.6, 4.0, 7.0, 11.0, 16.0];

/// Which way out a label is tried, degrees clockwise from the right: right, left, above, below, then between.
const TURNS: [f64; 12] = [0.0, 180.0, 270.0, 90.0, 315.0, 45.0, 225.0, 135.0, 290.0, 250.0, 70.0, 110.0];

/// A name that wants a place.
#[derive(Debug, Clone)]
pub(super) struct Name {
    /// What it is called, for saying that it found no room.
    pub words: String,
    /// A number in a circle before the words.
    pub number: Option<usize>,
    face: Face,
    size_mm: f64,
    colour: Colour,
    /// Whether it may stay away without being missed.
    pub optional: bool,
    /// What it names: a leader goes there.
    target: Option<Spot>,
    /// Where it would like to stand, best first.
    wishes: Vec<LabelBox>,
}

impl Name {
    /// The same in another colour.
    pub fn coloured(mut self, colour: Colour) -> Name {
        self.colour = colour;
        self
    }

    /// The same, not missed when it finds no room.
    pub fn optional(mut self) -> Name {
        self.optional = true;
        self
    }

    /// Puts a place before all other wishes.
    pub fn wish_first(&mut self, centre: Spot) {
        let (width_mm, height_mm) = self.size();
        self.wishes.insert(0, LabelBox { centre, width_mm, height_mm, turn_deg: 0.0 });
    }

    /// Adds the wishes of another name for the same words.
    pub fn or_else(&mut self, other: &Name) {
        // Near places of both ends before far places of either.
        let far = self.wishes.len().min(TURNS.len() * 3);
        let tail = self.wishes.split_off(far);
        let other_far = other.wishes.len().min(TURNS.len() * 3);
        self.wishes.extend_from_slice(&other.wishes[..other_far]);
        self.wishes.extend(tail);
        self.wishes.extend_from_slice(&other.wishes[other_far..]);
        self.target = None;
    }

    /// Gives up all wishes that would need a leader.
    pub fn only_near(&mut self) {
        self.wishes.truncate(TURNS.len());
    }

    fn size(&self) -> (f64, f64) {
        label_size(&self.words, self.number, self.face, self.size_mm)
    }
}

fn label_size(words: &str, number: Option<usize>, face: Face, size_mm: f64) -> (f64, f64) {
    let number_mm = if number.is_some() { 2.0 * NUMBER_RADIUS_MM + 0.9 } else { 0.0 };
    let height_mm = ((CAPITAL_SHARE + BELOW_SHARE) * size_mm).max(if number.is_some() {
        2.0 * NUMBER_RADIUS_MM
    } else {
        0.0
    });
    (width_mm(words, face, size_mm) + number_mm + 2.0 * AIR_MM, height_mm + AIR_MM)
}

/// A name beside a spot whose mark has a radius: to the right, left, above, below, then all round and further
/// out with a leader.
pub(super) fn round_spot(words: &str, face: Face, size_mm: f64, (spot, radius_mm): (Spot, f64)) -> Name {
    numbered_round_spot((words, None), face, size_mm, (spot, radius_mm))
}

/// The same with a number in a circle before the words.
pub(super) fn numbered_round_spot(
    (words, number): (&str, Option<usize>),
    face: Face,
    size_mm: f64,
    (spot, radius_mm): (Spot, f64),
) -> Name {
    let (width_mm, height_mm) = label_size(words, number, face, size_mm);
    Name {
        words: words.to_owned(),
        number,
        face,
        size_mm,
        colour: INK,
        optional: false,
        target: Some(spot),
        wishes: ring_wishes(spot, radius_mm, (width_mm, height_mm)),
    }
}

/// Boxes of one size all round a spot, nearest first; on each ring right, left, above and below first.
pub(super) fn ring_wishes(spot: Spot, radius_mm: f64, (width_mm, height_mm): (f64, f64)) -> Vec<LabelBox> {
    let mut wishes = Vec::new();
    for out_mm in RINGS_MM {
        for turn_deg in TURNS {
            let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(turn_deg));
            // The box touches the ring with the side or corner that looks at the spot.
            let reach_mm = radius_mm + out_mm;
            let centre = spot.moved(
                cos * reach_mm + signum(cos) * width_mm / 2.0,
                sin * reach_mm + signum(sin) * height_mm / 2.0,
            );
            wishes.push(LabelBox { centre, width_mm, height_mm, turn_deg: 0.0 });
        }
    }
    wishes
}

/// −1, 0 or 1; a hair round 0 counts as 0.
fn signum(v: f64) -> f64 {
    if v.abs() < 1e-9 { 0.0 } else { v.signum() }
}

/// A name along what a frame shows of a line, on either side of it, wherever there is room.
pub(super) fn along_line(words: &str, face: Face, size_mm: f64, (run, frame): (&[Spot], &Rect)) -> Name {
    let (width_mm, height_mm) = label_size(words, None, face, size_mm);
    let mut wishes = Vec::new();
    for out_mm in [1.2, 2.2, 3.6] {
        let mut places = stations(run, width_mm / 2.0 + 2.0, 4.0);
        places.retain(|along| along.at_mm < length_mm(run) - width_mm / 2.0 && frame.contains(along.spot));
        for along in places {
            for side in [1.0, -1.0] {
                wishes.push(LabelBox {
                    centre: along.beside(0.0, side * (out_mm + height_mm / 2.0)),
                    width_mm,
                    height_mm,
                    turn_deg: along.upright_turn_deg(),
                });
            }
        }
    }
    // A line too short for its name along it: beside its middle.
    let middle = station(run, length_mm(run) / 2.0).filter(|middle| frame.contains(middle.spot));
    if let Some(middle) = middle {
        wishes.extend(ring_wishes(middle.spot, 1.2, (width_mm, height_mm)));
    }
    Name {
        words: words.to_owned(),
        number: None,
        face,
        size_mm,
        colour: INK_2,
        optional: false,
        target: None,
        wishes,
    }
}

/// Sets the names in the order they were asked for. Gives back those that found no room and are missed.
pub(super) fn set(sketch: &mut Sketch) -> Vec<String> {
    let mut names = std::mem::take(&mut sketch.line_names);
    names.append(&mut sketch.names);
    names.append(&mut sketch.small_names);
    let mut left_off = Vec::new();
    let mut marks = Vec::new();
    for name in names {
        match sketch.taken.place(&name.wishes) {
            Some(chosen) => marks.extend(written(&name, &name.wishes[chosen])),
            None if name.optional || !is_near(&name, &sketch.taken) => {}
            None => left_off.push(name.words),
        }
    }
    sketch.over.extend(marks);
    left_off
}

/// Whether any wish lies on the map at all: what is outside it needs no name.
fn is_near(name: &Name, taken: &Taken) -> bool {
    name.wishes.iter().any(|wish| taken.within().contains(wish.centre))
}

fn written(name: &Name, place: &LabelBox) -> Vec<Mark> {
    let mut marks = Vec::new();
    if let Some(target) = name.target {
        let from = nearest_on(place, target);
        if from.distance_mm(target) > LEADER_FROM_MM + NUMBER_RADIUS_MM {
            marks.push(Mark::run(vec![from, target], Pen::new(INK_2, 0.15)));
        }
    }
    let mut left_mm = -place.width_mm / 2.0 + AIR_MM;
    if let Some(n) = name.number {
        marks.extend(number(place.centre.moved(left_mm + NUMBER_RADIUS_MM, 0.0), n));
        left_mm += 2.0 * NUMBER_RADIUS_MM + 0.9;
    }
    let down_mm = name.size_mm * CAPITAL_SHARE / 2.0;
    let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(place.turn_deg));
    let (at, align) = if name.number.is_some() {
        (place.centre.moved(left_mm, down_mm), Align::Start)
    } else {
        (place.centre.moved(-sin * down_mm, cos * down_mm), Align::Middle)
    };
    let text = Text::new(at, &name.words, name.face, name.size_mm)
        .in_colour(name.colour)
        .aligned(align)
        .turned(place.turn_deg)
        .rimmed();
    marks.push(text.into());
    marks
}

/// The place of an upright box that is nearest to a spot.
fn nearest_on(place: &LabelBox, spot: Spot) -> Spot {
    let (half_w, half_h) = (place.width_mm / 2.0 - AIR_MM, place.height_mm / 2.0 - AIR_MM / 2.0);
    Spot::new(
        spot.x_mm.clamp(place.centre.x_mm - half_w, place.centre.x_mm + half_w),
        spot.y_mm.clamp(place.centre.y_mm - half_h, place.centre.y_mm + half_h),
    )
}
