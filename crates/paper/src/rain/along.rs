//! The storm along a line: levels at a few times, the highest water with its band, where it breaks out, and what
//! soaks into each metre.

use design::rain_test::{Answer, Breakout, LineAt, LineRain, MetreRain};
use quantity::Estimate;
use quantity::figures::{fixed, range};

use super::line_rain;
use crate::chart::{Axis, Chart};
use crate::frame::{self, Block};
use crate::ink::{
    CAUTION, CAUTION_HATCH, CAUTION_PEN, Face, INK, INK_2, PAPER, WATER, WATER_BAND_HATCH, WATER_HATCH,
    WATER_PEN, WATER_WASH,
};
use crate::labels::{LabelBox, Taken};
use crate::lettering::{CAPITAL_SHARE, width_mm};
use crate::page::{Fill, Mark, Page, Pen, Rect, Spot, Text};
use crate::scale::paper_mm;
use crate::sections::facts::{self, Group};
use crate::sections::profile::{Axes, Label, Profile, closed_at, draw_earth, draw_lines, run};
use crate::subject::{Known, Subject};
use crate::symbols;
use crate::words::{self, rain as said};

/// Left of the drawing, for heights.
const AXIS_MM: f64 = 20.0;
/// Right of it, for the times of the levels.
const TIMES_MM: f64 = 34.0;
/// Under it, for what soaks in.
const SOAKED_MM: f64 = 21.0;
/// Under that, for figures.
const FACTS_MM: f64 = 35.0;
const FIGURE_MM: f64 = 2.2;
/// Dashes of the levels, the earliest first.
const DASHES_MM: [&[f64]; 4] = [&[0.4, 0.9], &[1.4, 0.9], &[3.0, 0.8], &[3.0, 0.8, 0.4, 0.8]];
/// Breakouts told in full.
const BREAKOUTS: usize = 2;

/// The storm along a line; none where no heights are known along it or it was not worked through.
pub fn along(subject: &Subject, rain: &Answer, line: &str) -> Option<Page> {
    let known = subject.lines().into_iter().find(|known| known.line.name == line)?;
    let storm = line_rain(rain, line).filter(|storm| !storm.metres.is_empty())?;
    let profile = Profile::of(&known)?;
    let sheet = subject.format.lying();
    let area = frame::drawing_area(sheet);
    let plot = Rect::new(
        area.left_mm + AXIS_MM,
        area.top_mm,
        area.width_mm - AXIS_MM - TIMES_MM,
        area.height_mm - SOAKED_MM - FACTS_MM,
    );
    let highest_z_m = storm.metres.iter().map(|m| m.bed_z_m + m.peak_depth_m.high());
    let axes = Axes::holding(plot, &profile, highest_z_m.fold(f64::NEG_INFINITY, f64::max))?;
    let mut marks = Vec::new();
    axes.draw_grid(&mut marks);
    draw_earth(&axes, &profile, &known, &mut marks);
    draw_highest(&axes, storm, &mut marks);
    let levels = levels(rain, line);
    draw_levels(&axes, storm, &levels, rain.storm.hours, &mut marks);
    draw_lines(&axes, &profile, &mut marks);
    draw_soaked(&axes, storm, &mut marks);
    draw_labels(&axes, &profile, storm, &mut marks);
    let figures = Rect::new(area.left_mm, area.bottom_mm() - FACTS_MM, area.width_mm, FACTS_MM);
    write_facts(&known, rain, storm, figures, &mut marks);
    let at = Spot::new(area.left_mm, area.bottom_mm() + 1.5);
    let words = said::levels_with_bars(&rain.ensemble);
    marks.push(Text::new(at, words, Face::SerifItalic, 2.4).in_colour(INK_2).into());
    let block = Block {
        title: said::along_title(line),
        facts: said::storm(&rain.storm),
        scale: words::long_section_scale(axes.along_one_to, axes.up_one_to),
    };
    Some(frame::framed(subject, sheet, "rain-along", &block, marks))
}

/// The line's levels at one time.
struct Level<'a> {
    at_h: f64,
    of: &'a LineAt,
}

/// Up to four levels: while it rises, at the end of the rain, and on the way down.
fn levels<'a>(rain: &'a Answer, line: &str) -> Vec<Level<'a>> {
    let moments: Vec<Level> = rain
        .snapshots
        .iter()
        .filter_map(|moment| {
            let of = moment.lines.iter().find(|level| level.line == line)?;
            Some(Level { at_h: moment.at_h, of })
        })
        .filter(|level| level.at_h > 0.0)
        .collect();
    let storm_h = rain.storm.hours;
    let wanted =
        [storm_h / 3.0, 2.0 * storm_h / 3.0, storm_h, storm_h + 0.25 * (rain.storm.followed_h - storm_h)];
    let mut chosen: Vec<usize> = wanted
        .iter()
        .filter_map(|at_h| {
            let apart = |i: &usize| (moments[*i].at_h - at_h).abs();
            (0..moments.len()).min_by(|a, b| apart(a).total_cmp(&apart(b)))
        })
        .collect();
    chosen.dedup();
    chosen.into_iter().map(|i| Level { at_h: moments[i].at_h, of: moments[i].of }).collect()
}

/// Pieces of a line whose level lies above the bed, as places from end to end.
fn wet_runs(axes: &Axes, metres: &[MetreRain], level_z_m: impl Fn(usize) -> f64) -> Vec<Vec<Spot>> {
    let mut runs: Vec<Vec<Spot>> = Vec::new();
    let mut open = false;
    for (i, metre) in metres.iter().enumerate() {
        let z_m = level_z_m(i);
        let is_wet = z_m > metre.bed_z_m;
        if is_wet && !open {
            runs.push(vec![axes.spot(metre.from_m, z_m)]);
        }
        if is_wet && let Some(run) = runs.last_mut() {
            run.push(axes.spot((metre.from_m + metre.to_m) / 2.0, z_m));
            let next_is_wet = metres.get(i + 1).is_some_and(|next| level_z_m(i + 1) > next.bed_z_m);
            if !next_is_wet {
                run.push(axes.spot(metre.to_m, z_m));
            }
        }
        open = is_wet;
    }
    runs
}

/// The likely highest water as a wash down to the bed, and the band in which it may lie.
fn draw_highest(axes: &Axes, storm: &LineRain, marks: &mut Vec<Mark>) {
    let metres = &storm.metres;
    let bed = |upto: &[Spot]| -> Vec<Spot> {
        let (Some(first), Some(last)) = (upto.first(), upto.last()) else { return Vec::new() };
        let under = |m: &&MetreRain| {
            let x = axes.spot((m.from_m + m.to_m) / 2.0, 0.0).x_mm;
            first.x_mm <= x && x <= last.x_mm
        };
        let corners = metres.iter().filter(under).flat_map(|m| [(m.from_m, m.bed_z_m), (m.to_m, m.bed_z_m)]);
        run(axes, corners)
    };
    let likely = wet_runs(axes, metres, |i| metres[i].bed_z_m + metres[i].peak_depth_m.likely());
    for surface in likely {
        let pool = closed_at(surface.clone(), bed(&surface));
        marks.push(Mark::ring(pool.clone(), None, Some(Fill::Even(WATER_WASH))));
        marks.push(Mark::ring(pool, None, Some(Fill::Hatched(WATER_HATCH))));
        marks.push(Mark::run(surface, WATER_PEN));
    }
    let ranged = |m: &MetreRain| m.peak_depth_m.high() > m.peak_depth_m.low();
    if metres.iter().any(ranged) {
        let side = |depth: fn(Estimate) -> f64| {
            run(axes, metres.iter().map(|m| ((m.from_m + m.to_m) / 2.0, m.bed_z_m + depth(m.peak_depth_m))))
        };
        let band = closed_at(side(Estimate::high), side(Estimate::low));
        marks.push(Mark::ring(band, Some(Pen::new(WATER, 0.15)), Some(Fill::Hatched(WATER_BAND_HATCH))));
    }
}

/// Levels as broken lines. At the right of the drawing each has its time, and a bar that spans where nine in ten runs
/// have it at its last wet place.
fn draw_levels(axes: &Axes, storm: &LineRain, levels: &[Level], storm_h: f64, marks: &mut Vec<Mark>) {
    let mut ends = Vec::new();
    for (level, dashes) in levels.iter().zip(DASHES_MM) {
        let level_z_m = &level.of.level_z_m;
        let z_m = |i: usize| level_z_m.get(i).copied().unwrap_or(f64::NEG_INFINITY);
        let pen = Pen::dashed(WATER, 0.4, dashes);
        let runs = wet_runs(axes, &storm.metres, z_m);
        let end = runs.last().and_then(|run| run.last().copied());
        marks.extend(runs.into_iter().map(|run| Mark::run(run, pen)));
        let last_wet = (0..storm.metres.len()).rev().find(|i| z_m(*i) > storm.metres[*i].bed_z_m);
        if let (Some(end), Some(piece)) = (end, last_wet) {
            let span_z_m = level.of.low_z_m.get(piece).copied().zip(level.of.high_z_m.get(piece).copied());
            let words = said::level_at(level.at_h, storm_h);
            ends.push(LevelEnd { end, pen, words, span_z_m });
        }
    }
    // From the highest down.
    ends.sort_by(|a, b| a.end.y_mm.total_cmp(&b.end.y_mm));
    let mut next_mm = axes.plot.top_mm;
    for (place, level) in ends.iter().enumerate() {
        next_mm = draw_level_end(axes, level, (place, next_mm), marks);
    }
}

/// Where a level ends at the right, and what is said of it there.
struct LevelEnd {
    end: Spot,
    pen: Pen,
    words: String,
    /// Low and high end over the runs.
    span_z_m: Option<(f64, f64)>,
}

/// Writes one level's time, no higher than `next_mm`; where the next one may stand.
fn draw_level_end(
    axes: &Axes,
    level: &LevelEnd,
    (place, next_mm): (usize, f64),
    marks: &mut Vec<Mark>,
) -> f64 {
    const ROW_MM: f64 = 3.0;
    const BARS_APART_MM: f64 = 1.5;
    let y = level.end.y_mm.max(next_mm);
    let left = axes.right_mm() + 7.0;
    let edge = Spot::new(axes.right_mm() + 0.6, level.end.y_mm);
    marks.push(Mark::run(vec![edge, Spot::new(left, y)], Pen::new(INK_2, 0.15)));
    marks.push(Mark::run(vec![Spot::new(left, y), Spot::new(left + 5.0, y)], level.pen));
    let at = Spot::new(left + 6.0, y + FIGURE_MM * CAPITAL_SHARE / 2.0);
    marks.push(Text::new(at, level.words.clone(), Face::Sans, FIGURE_MM).in_colour(WATER).into());
    let spans = level.span_z_m.filter(|(low, high)| high > low);
    let Some((low_z_m, high_z_m)) = spans else { return y + 1.2 * ROW_MM };
    let x = axes.right_mm() + 1.2 + place as f64 * BARS_APART_MM;
    let ends = [low_z_m, high_z_m].map(|z_m| Spot::new(x, axes.spot(0.0, z_m).y_mm));
    marks.push(Mark::run(ends.to_vec(), Pen::new(WATER, 0.5)));
    for end in ends {
        marks.push(Mark::run(vec![end.moved(-0.5, 0.0), end.moved(0.5, 0.0)], Pen::new(WATER, 0.3)));
    }
    let words = said::level_span(low_z_m, high_z_m);
    marks.push(Text::new(at.moved(0.0, ROW_MM), words, Face::Sans, FIGURE_MM).in_colour(INK_2).into());
    y + 2.2 * ROW_MM
}

/// Bars of what soaks in, under the drawing and to its scale.
fn draw_soaked(axes: &Axes, storm: &LineRain, marks: &mut Vec<Mark>) {
    const FOOT_MM: f64 = 8.5;
    let most = storm.metres.iter().map(|m| m.soaked_l_per_m.likely()).fold(0.0, f64::max);
    let chart = Chart {
        plot: Rect::new(
            axes.plot.left_mm,
            axes.plot.bottom_mm() + 3.0,
            paper_mm(axes.length_m, axes.along_one_to),
            SOAKED_MM - 3.0 - FOOT_MM,
        ),
        across: Axis::up_to(axes.length_m, 12),
        up: Axis::from_zero(if most > 0.0 { most } else { 1.0 }, 3),
        figure_mm: FIGURE_MM,
    };
    marks.extend(chart.axes());
    for metre in &storm.metres {
        let litres = metre.soaked_l_per_m.likely();
        if litres > 0.0 {
            let bar = chart.bar((metre.from_m, metre.to_m.min(axes.length_m)), litres);
            marks.push(Mark::rect(bar, Some(Pen::new(PAPER, 0.15)), Some(Fill::Even(WATER))));
        }
    }
    let right = chart.plot.right_mm() + 3.0;
    let at = Spot::new(right, chart.plot.top_mm + 2.2);
    for (row, words) in crate::lettering::wrap(said::SOAKED_AXIS, Face::SerifItalic, 2.3, TIMES_MM - 3.5)
        .into_iter()
        .enumerate()
    {
        let at = at.moved(0.0, row as f64 * 3.0);
        marks.push(Text::new(at, words, Face::SerifItalic, 2.3).in_colour(INK_2).into());
    }
    let at = Spot::new(right, chart.plot.bottom_mm() + 3.3);
    marks.push(Text::new(at, said::ALONG_AXIS, Face::SerifItalic, 2.3).in_colour(INK_2).into());
}

fn draw_labels(axes: &Axes, profile: &Profile, storm: &LineRain, marks: &mut Vec<Mark>) {
    let mut taken = Taken::new(axes.plot);
    let places = &profile.places;
    let bank = run(axes, profile.bank_with_sills());
    let bed = run(axes, places.iter().map(|p| (p.chainage_m, p.bed_z_m)));
    let ground = run(axes, places.iter().map(|p| (p.chainage_m, p.ground_z_m)));
    for line in [&bank, &bed, &ground] {
        taken.ink_along(line);
    }
    for breakout in &storm.breakouts {
        flag(axes, profile, breakout, &mut taken, marks);
    }
    for sill in &profile.sills {
        let middle_m = (sill.from_m + sill.to_m.min(axes.length_m)) / 2.0;
        let words = words::sill_crest(sill.crest_z_m);
        let label = Label::above(&words, Face::SansBold, INK);
        label.pointing_at(axes.spot(middle_m, sill.crest_z_m), &mut taken, marks);
    }
    if let Some(least) = storm.least_freeboard.filter(|least| least.freeboard_m.likely() >= 0.0) {
        let bank_z_m = bank_z_m(storm, least.at_m);
        let top = axes.spot(least.at_m, bank_z_m);
        let foot = axes.spot(least.at_m, bank_z_m - least.freeboard_m.likely());
        marks.push(Mark::run(vec![top, foot], Pen::new(INK, 0.5)));
        let words = said::freeboard(least.freeboard_m);
        Label::above(&words, Face::SansBold, INK).pointing_at(top, &mut taken, marks);
    }
    mark_reach(axes, storm, &mut taken, marks);
    if let Some(level_m) = storm.peak_level_m {
        let metres = &storm.metres;
        let surface = wet_runs(axes, metres, |i| metres[i].bed_z_m + metres[i].peak_depth_m.likely());
        let words = said::highest(level_m);
        let label = Label::above(&words, Face::SansBold, WATER);
        let longest = surface.iter().max_by_key(|run| run.len());
        if let Some(surface) = longest {
            label.along(axes, surface, &mut taken, marks);
        }
    }
    let named = [(words::GROUND_LINE, ground), (words::BED_LINE, bed), (words::BANK_LINE, bank)];
    let has_bank = places.iter().any(|p| p.bank_z_m > p.ground_z_m);
    for (words, line) in named.into_iter().take(if has_bank { 3 } else { 2 }) {
        Label::above(words, Face::SerifItalic, INK_2).along(axes, &line, &mut taken, marks);
    }
}

/// A flag where it breaks out, standing in the place where the water goes over.
fn flag(axes: &Axes, profile: &Profile, breakout: &Breakout, taken: &mut Taken, marks: &mut Vec<Mark>) {
    let nearest = crate::sections::profile::nearest(profile, breakout.at_m);
    let Some(place) = nearest else { return };
    let foot = axes.spot(breakout.at_m, place.bank_z_m);
    let stretch = Rect::new(
        axes.spot(breakout.from_m, 0.0).x_mm,
        foot.y_mm - 1.6,
        paper_mm(breakout.to_m - breakout.from_m, axes.along_one_to).max(0.8),
        1.6,
    );
    marks.push(Mark::rect(stretch, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH))));
    let words = said::breaks_out(breakout);
    let label = Label::above(&words, Face::SansBold, CAUTION);
    taken.block(LabelBox::upright(Rect::new(foot.x_mm - 2.5, foot.y_mm - 6.0, 7.0, 6.0)));
    marks.extend(symbols::breakout(foot));
    label.pointing_at(foot.moved(0.0, -6.0), taken, marks);
}

/// How far the water gets, where that is not the whole line in every run.
fn mark_reach(axes: &Axes, storm: &LineRain, taken: &mut Taken, marks: &mut Vec<Mark>) {
    const TO_THE_END_M: f64 = 0.5;
    let reach_m = storm.reach_m;
    if reach_m.likely() <= 0.0 || reach_m.low() >= storm.length_m - TO_THE_END_M {
        return;
    }
    let y = axes.plot.bottom_mm() - 2.5;
    let x = |at_m: f64| axes.spot(at_m.min(axes.length_m), 0.0).x_mm;
    let (low, likely, high) = (x(reach_m.low()), x(reach_m.likely()), x(reach_m.high()));
    marks.push(Mark::run(vec![Spot::new(low, y), Spot::new(high, y)], Pen::new(WATER, 0.5)));
    for end in [low, high] {
        marks.push(Mark::run(vec![Spot::new(end, y - 1.2), Spot::new(end, y + 1.2)], Pen::new(WATER, 0.3)));
    }
    marks.push(Mark::disc(Spot::new(likely, y), 0.9, Some(Pen::new(PAPER, 0.2)), Some(Fill::Even(WATER))));
    let words = said::reach(reach_m);
    let width = width_mm(&words, Face::SansBold, 2.6);
    let centre = Spot::new(
        (likely).min(axes.right_mm() - width / 2.0 - 1.0).max(axes.plot.left_mm + width / 2.0 + 1.0),
        y - 4.0,
    );
    let label = Label::above(&words, Face::SansBold, WATER);
    let (width_mm, height_mm) = label.size();
    taken.block(LabelBox { centre, width_mm, height_mm, turn_deg: 0.0 });
    label.write(centre, marks);
}

/// Bank as drawn at a chainage.
fn bank_z_m(storm: &LineRain, at_m: f64) -> f64 {
    let holds = |m: &&MetreRain| m.from_m <= at_m && at_m <= m.to_m;
    let nearest = storm.metres.iter().find(holds).or(storm.metres.last());
    nearest.map_or(f64::NAN, |metre| metre.bank_z_m)
}

fn write_facts(known: &Known, rain: &Answer, storm: &LineRain, area: Rect, marks: &mut Vec<Mark>) {
    let groups = vec![water(storm), course(storm), breakouts(known, rain, storm)];
    facts::write_groups(groups, area, marks);
    if !storm.breakouts.is_empty() {
        let gutter_mm = 2.4;
        let third = area.left_mm + 2.0 * (area.width_mm + 9.0) / 3.0;
        let sign = Rect::new(third - gutter_mm - 1.8, area.top_mm + 0.5, gutter_mm, FACTS_MM - 5.0);
        marks.push(Mark::rect(sign, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH))));
    }
}

fn water(storm: &LineRain) -> Group {
    let rows = [
        (said::ARRIVES, storm.arrived_m3),
        (said::PASSED_IN, storm.passed_in_m3),
        (said::SOAKS, storm.soaked_m3),
        (said::STANDS, storm.stored_m3),
        (said::PASSES_ON, storm.passed_on_m3),
        (said::LEAVES, storm.left_m3),
    ];
    let rows = rows.into_iter().map(|(what, m3)| (what.to_owned(), range(m3, 1))).collect();
    Group { title: said::WATER_TITLE.to_owned(), rows }
}

fn course(storm: &LineRain) -> Group {
    let mut rows = vec![(said::REACH.to_owned(), range(storm.reach_m, 0))];
    let when = storm.reach_h.map_or(said::NOT_WET.to_owned(), |at_h| range(at_h, 1));
    rows.push((said::REACH_WHEN.to_owned(), when));
    if let Some(level_m) = storm.peak_level_m {
        rows.push((said::PEAK_LEVEL.to_owned(), range(level_m, 2)));
    }
    if let Some(least) = storm.least_freeboard {
        let figure = format!("{} at {} m", range(least.freeboard_m, 2), fixed(least.at_m, 0));
        rows.push((said::FREEBOARD.to_owned(), figure));
    }
    if let Some(fastest) = storm.fastest {
        let figure = words::facts::of(&range(fastest.speed_m_s, 2), &fixed(fastest.stands_m_s, 2));
        rows.push((said::FASTEST.to_owned(), figure));
    }
    let dry = storm.drain_down_h.map_or(said::STILL_WET.to_owned(), |hours| range(hours, 0));
    rows.push((said::DRY_AFTER.to_owned(), dry));
    Group { title: said::COURSE_TITLE.to_owned(), rows }
}

fn breakouts(known: &Known, rain: &Answer, storm: &LineRain) -> Group {
    let mut rows = Vec::new();
    let members = rain.ensemble.members;
    for breakout in storm.breakouts.iter().take(BREAKOUTS) {
        let apart_m = |peg: &&design::pegs::PegRow| (peg.chainage_m - breakout.at_m).abs();
        let peg = known.pegs.pegs.iter().min_by(|a, b| apart_m(a).total_cmp(&apart_m(b)));
        rows.push((
            said::breakout_place(breakout, peg.map(|peg| peg.peg), members),
            said::breakout_remedy(breakout),
        ));
        rows.push((said::breakout_time(breakout), said::breakout_flow(breakout)));
        if breakout.washes_out_frac > 0.5 {
            rows.push((said::WASHES_OUT.to_owned(), String::new()));
        }
    }
    if storm.breakouts.len() > BREAKOUTS {
        rows.push((said::more_breakouts(storm.breakouts.len() - BREAKOUTS), String::new()));
    }
    if rows.is_empty() {
        rows.push((said::NO_BREAKOUT.to_owned(), said::NO_BREAKOUT_BESIDE.to_owned()));
    }
    Group { title: said::BREAKOUTS_TITLE.to_owned(), rows }
}
