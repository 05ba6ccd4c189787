//! The storm along a line as a moving picture: one HTML file with its drawing and a small script inside.
//!
//! It needs no network and nothing beside it. Without scripts it is a picture of the highest water; who asked for
//! little motion finds it standing still there.

use std::fmt::Write as _;

use design::rain_test::{Answer, LineRain, Moment};
use quantity::figures::fixed;

use super::{flow, line_rain};
use crate::chart::{Axis, Chart};
use crate::ink::{
    CAUTION, Face, GROUND_HATCH, INK, INK_2, LINE_PEN, LOOSE_SOIL, MARK_PEN, PLUM, RAIN_HATCH, SOIL, WATER,
    WATER_HATCH, WATER_PEN, WATER_WASH,
};
use crate::page::{Align, Fill, Mark, Page, Pen, Rect, Spot, Text};
use crate::sections::profile::Profile;
use crate::set::{Names, file_name};
use crate::subject::Subject;
use crate::svg::{self, escape};
use crate::symbols;
use crate::template::filled;
use crate::words::{self, rain as said};

/// The drawing's size. Its letters are large: a phone shows it 100 mm wide or less.
const SIZE_MM: (f64, f64) = (170.0, 122.0);
const FIGURE_MM: f64 = 3.6;
const SECTION: Rect = Rect::new(17.0, 9.0, 149.0, 66.0);
const RAIN: Rect = Rect::new(17.0, 91.0, 149.0, 17.0);
/// The page, with its script.
const TEMPLATE: &str = include_str!("film.html");

/// A moving picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// Name of its file, without the ending.
    pub file: String,
    /// What it shows.
    pub title: String,
    /// The document.
    pub html: String,
}

/// Times of which a film wants the levels, hours from the first drop: close together in the storm, further apart
/// over the day after it.
pub fn moments_h(storm_h: f64) -> Vec<f64> {
    const IN_THE_STORM: u32 = 60;
    const AFTER_IT: u32 = 36;
    const AFTER_H: f64 = 24.0;
    let during = (0..=IN_THE_STORM).map(|i| storm_h * f64::from(i) / f64::from(IN_THE_STORM));
    let share = |i: u32| f64::from(i) / f64::from(AFTER_IT);
    let after = (1..=AFTER_IT).map(|i| storm_h + AFTER_H * share(i) * share(i));
    during.chain(after).collect()
}

/// A film of every line that holds water and was worked through.
pub fn films(subject: &Subject, rain: &Answer) -> Vec<Film> {
    let mut names = Names::default();
    let films = rain.lines.iter().filter_map(|line| {
        let html = film(subject, rain, &line.line)?;
        let title = format!("{}: {}", subject.site.plan.name, said::film_title(&line.line));
        Some(Film { title, file: names.take(&format!("rain-film-{}", file_name(&line.line))), html })
    });
    films.collect()
}

/// The film of a line; none where its levels are not known at two times at least.
pub fn film(subject: &Subject, rain: &Answer, line: &str) -> Option<String> {
    let known = subject.lines().into_iter().find(|known| known.line.name == line)?;
    let profile = Profile::of(&known)?;
    let storm = line_rain(rain, line).filter(|storm| !storm.metres.is_empty())?;
    let frames = frames(rain, storm);
    if frames.len() < 2 {
        return None;
    }
    let stage = Stage::of(&profile, storm, frames.last()?.at_h);
    let page = Page {
        title: format!("{}: {}", subject.site.plan.name, said::film_title(line)),
        key: "film".to_owned(),
        width_mm: SIZE_MM.0,
        height_mm: SIZE_MM.1,
        marks: stage.marks(&profile, rain, storm),
    };
    let peak =
        frames.iter().enumerate().max_by(|a, b| a.1.depth_m.total_cmp(&b.1.depth_m)).map(|(i, _)| i)?;
    let breaks: String = storm
        .breakouts
        .iter()
        .map(|breakout| format!("<p class=\"breaks\">{}</p>\n", escape(&said::breakout_told(breakout))))
        .collect();
    Some(filled(
        TEMPLATE,
        &[
            ("title", escape(&page.title)),
            ("heading", escape(&said::along_title(line))),
            ("site", escape(&subject.site.plan.name)),
            ("storm", escape(&said::storm(&rain.storm))),
            ("drawing", svg::write(&page)),
            ("time", said::clock(frames[peak].at_h)),
            ("rain", format!("{} mm", fixed(frames[peak].rain_mm, 0))),
            ("reach", format!("{} m", fixed(frames[peak].reach_m, 0))),
            ("sills", format!("{} L/s", fixed(frames[peak].sills_l_s, 1))),
            ("last", (frames.len() - 1).to_string()),
            ("breaks", breaks),
            ("says", escape(&said::levels_of_the_plan(&rain.ensemble))),
            ("cautions", escape(&words::CAUTIONS.join(" "))),
            ("film", stage.data(storm, &frames, peak)),
        ],
    ))
}

/// What is shown at one time.
struct Frame<'a> {
    at_h: f64,
    level_z_m: &'a [f64],
    /// Depths of all pieces together: when this is greatest, the line is fullest.
    depth_m: f64,
    rain_mm: f64,
    reach_m: f64,
    sills_l_s: f64,
}

fn frames<'a>(rain: &'a Answer, storm: &LineRain) -> Vec<Frame<'a>> {
    let frame = |moment: &'a Moment| {
        let level = moment.lines.iter().find(|level| level.line == storm.line)?;
        if level.level_z_m.len() != storm.metres.len() {
            return None;
        }
        let depths = storm.metres.iter().zip(&level.level_z_m).map(|(metre, z_m)| z_m - metre.bed_z_m);
        let wet =
            depths.clone().zip(&storm.metres).filter(|(depth_m, _)| *depth_m > water::chain::WET_DEPTH_M);
        let flows = storm.sills.iter().map(|sill| {
            let step = (moment.at_h / sill.flow.step_h) as usize;
            sill.flow.flow_l_s.get(step).copied().unwrap_or(0.0)
        });
        Some(Frame {
            at_h: moment.at_h,
            level_z_m: &level.level_z_m,
            depth_m: depths.sum(),
            rain_mm: rain_so_far_mm(rain, moment.at_h),
            reach_m: wet.map(|(_, metre)| metre.to_m).fold(0.0, f64::max),
            sills_l_s: flows.sum(),
        })
    };
    rain.snapshots.iter().filter_map(frame).collect()
}

fn rain_so_far_mm(rain: &Answer, at_h: f64) -> f64 {
    let fallen = flow::rates(&rain.storm.course).into_iter().map(|(from_h, to_h, rate)| {
        let until_h = if at_h < to_h { at_h } else { to_h };
        if until_h > from_h { (until_h - from_h) * rate } else { 0.0 }
    });
    fallen.sum()
}

/// Where everything stands.
struct Stage {
    section: Chart,
    rain: Chart,
}

impl Stage {
    fn of(profile: &Profile, storm: &LineRain, last_h: f64) -> Stage {
        const AIR_SHARE: f64 = 0.12;
        let (low_z_m, high_z_m) = profile.heights_m();
        let peaks = storm.metres.iter().map(|m| m.bed_z_m + m.peak_depth_m.likely());
        let high_z_m = peaks.fold(high_z_m, f64::max);
        let air_m = AIR_SHARE * (high_z_m - low_z_m).max(0.1);
        let (low, high) = (low_z_m - air_m, high_z_m + 2.0 * air_m);
        let up = Axis { low, high, step: crate::scale::round_step((high - low) / 6.0) };
        Stage {
            section: Chart {
                plot: SECTION,
                across: Axis::up_to(profile.length_m(), 6),
                up,
                figure_mm: FIGURE_MM,
            },
            rain: Chart {
                plot: RAIN,
                across: Axis::hours(last_h, 8),
                up: Axis::from_zero(1.0, 1),
                figure_mm: FIGURE_MM,
            },
        }
    }

    fn marks(&self, profile: &Profile, rain: &Answer, storm: &LineRain) -> Vec<Mark> {
        let mut marks = self.section.axes();
        self.draw_earth(profile, &mut marks);
        marks.push(Mark::Named("water".to_owned(), self.highest(storm)));
        let places = &profile.places;
        let bed = self.section.line(&places.iter().map(|p| (p.chainage_m, p.bed_z_m)).collect::<Vec<_>>());
        marks.push(Mark::run(bed, LINE_PEN));
        marks.push(Mark::run(self.section.line(&profile.bank_with_sills()), MARK_PEN));
        for sill in &profile.sills {
            let ends = [(sill.from_m, sill.crest_z_m), (sill.to_m, sill.crest_z_m)];
            marks.push(Mark::run(self.section.line(&ends), Pen::new(INK, 1.2)));
            let at = self.section.spot((sill.from_m + sill.to_m) / 2.0, sill.crest_z_m).moved(0.0, -1.6);
            marks.push(words_at(at, said::SILL, INK));
        }
        for (number, breakout) in storm.breakouts.iter().enumerate() {
            let z_m = crate::sections::profile::nearest(profile, breakout.at_m).map_or(0.0, |p| p.bank_z_m);
            let foot = self.section.spot(breakout.at_m, z_m);
            marks.push(Mark::Named(format!("flag-{number}"), self.flag(foot)));
        }
        let name = Spot::new(2.0, SECTION.top_mm - 3.4);
        marks.push(plain(name, words::HEIGHT_AXIS, Align::Start));
        let name = Spot::new(SECTION.right_mm(), SECTION.bottom_mm() + 10.3);
        marks.push(plain(name, said::ALONG_AXIS, Align::End));
        self.draw_rain(rain, &mut marks);
        marks
    }

    fn draw_earth(&self, profile: &Profile, marks: &mut Vec<Mark>) {
        let places = &profile.places;
        let floor = |at_m: f64| (at_m, self.section.up.low);
        let mut below: Vec<(f64, f64)> = places.iter().map(|p| (p.chainage_m, p.bed_z_m)).collect();
        below.extend([floor(profile.length_m()), floor(0.0)]);
        let below = self.section.line(&below);
        marks.push(Mark::ring(below.clone(), None, Some(Fill::Even(SOIL))));
        marks.push(Mark::ring(below, None, Some(Fill::Hatched(GROUND_HATCH))));
        if places.iter().any(|p| p.bank_z_m > p.ground_z_m) {
            let mut bank = profile.bank_with_sills();
            bank.extend(places.iter().rev().map(|p| (p.chainage_m, p.ground_z_m)));
            marks.push(Mark::ring(self.section.line(&bank), None, Some(Fill::Even(LOOSE_SOIL))));
        }
    }

    /// Wash, strokes and surface of the highest water: three paths, as the script expects.
    fn highest(&self, storm: &LineRain) -> Vec<Mark> {
        let level = |m: &design::rain_test::MetreRain| m.bed_z_m + m.peak_depth_m.likely();
        let top: Vec<(f64, f64)> =
            storm.metres.iter().flat_map(|m| [(m.from_m, level(m)), (m.to_m, level(m))]).collect();
        let mut ring = top.clone();
        ring.extend(storm.metres.iter().rev().flat_map(|m| [(m.to_m, m.bed_z_m), (m.from_m, m.bed_z_m)]));
        let ring = self.section.line(&ring);
        vec![
            Mark::ring(ring.clone(), None, Some(Fill::Even(WATER_WASH))),
            Mark::ring(ring, None, Some(Fill::Hatched(WATER_HATCH))),
            Mark::run(self.section.line(&top), Pen { width_mm: 0.7, ..WATER_PEN }),
        ]
    }

    fn flag(&self, foot: Spot) -> Vec<Mark> {
        let mut marks = symbols::breakout(foot);
        let room_mm = 30.0;
        let is_right = foot.x_mm > SECTION.right_mm() - room_mm;
        let (at, align) = if is_right {
            (foot.moved(-1.5, -3.6), Align::End)
        } else {
            (foot.moved(5.6, -3.6), Align::Start)
        };
        let text = Text::new(at, said::BREAKS_OUT, Face::SansBold, FIGURE_MM).aligned(align);
        marks.push(text.in_colour(CAUTION).rimmed().into());
        marks
    }

    /// Hanging bars of rain over the time that is shown, with the present as a plum rule.
    fn draw_rain(&self, rain: &Answer, marks: &mut Vec<Mark>) {
        let rates = flow::rates(&rain.storm.course);
        let most = rates.iter().map(|(_, _, rate)| *rate).fold(0.0, f64::max);
        for (from_h, to_h, rate) in rates.into_iter().filter(|(_, _, rate)| *rate > 0.0) {
            let bar = self.rain.hanging_bar((from_h, to_h), rate / most);
            marks.push(Mark::rect(bar, Some(Pen::new(WATER, 0.2)), Some(Fill::Hatched(RAIN_HATCH))));
        }
        let foot = RAIN.bottom_mm();
        for hours in self.rain.across.ticks() {
            let x = self.rain.x_mm(hours);
            marks.push(Mark::run(vec![Spot::new(x, foot), Spot::new(x, foot + 1.4)], MARK_PEN));
            let figure = self.rain.across.figure(hours);
            marks.push(
                Text::new(Spot::new(x, foot + 5.0), figure, Face::Sans, FIGURE_MM)
                    .aligned(Align::Middle)
                    .in_colour(INK_2)
                    .into(),
            );
        }
        let ends = vec![Spot::new(RAIN.left_mm, foot), Spot::new(RAIN.right_mm(), foot)];
        marks.push(Mark::run(ends, MARK_PEN));
        let most = format!("{} {}", said::MOST_RAIN, fixed(most, 0));
        marks.push(plain(Spot::new(2.0, RAIN.top_mm - 2.0), &most, Align::Start));
        marks.push(plain(Spot::new(RAIN.right_mm(), foot + 10.0), said::TIME_AXIS, Align::End));
        let x = self.rain.x_mm(rain.storm.hours);
        let now = vec![Spot::new(x, RAIN.top_mm), Spot::new(x, foot)];
        marks.push(Mark::Named("now".to_owned(), vec![Mark::run(now, Pen::new(PLUM, 0.8))]));
    }

    /// Numbers for the script: paper millimetres, heights in tenths of them.
    fn data(&self, storm: &LineRain, frames: &[Frame], peak: usize) -> String {
        let tenths = |z_m: f64| (10.0 * self.section.y_mm(z_m)).round();
        let list = |values: &mut dyn Iterator<Item = f64>, decimals: usize| {
            let figures: Vec<String> = values.map(|value| short(value, decimals)).collect();
            format!("[{}]", figures.join(","))
        };
        let metres = &storm.metres;
        let mut xs = metres.iter().map(|m| m.from_m).chain(metres.last().map(|m| m.to_m));
        let mut out = String::from("{");
        let mut put =
            |name: &str, value: String| write!(out, "\"{name}\":{value},").expect("a string takes it");
        put("x", list(&mut xs.by_ref().map(|at_m| self.section.x_mm(at_m)), 1));
        put("bed", list(&mut metres.iter().map(|m| tenths(m.bed_z_m)), 0));
        put("at_h", list(&mut frames.iter().map(|f| f.at_h), 3));
        put("rain_mm", list(&mut frames.iter().map(|f| f.rain_mm), 1));
        put("reach_m", list(&mut frames.iter().map(|f| f.reach_m), 0));
        put("sills_l_s", list(&mut frames.iter().map(|f| f.sills_l_s), 2));
        put("first_h", list(&mut storm.breakouts.iter().map(|b| b.first_h.likely()), 2));
        let last_h = self.rain.across.high;
        let now = [RAIN.left_mm, RAIN.right_mm(), last_h, RAIN.top_mm, RAIN.bottom_mm()];
        put("now", list(&mut now.into_iter(), 2));
        put("peak", peak.to_string());
        let levels: Vec<String> =
            frames.iter().map(|f| list(&mut f.level_z_m.iter().map(|z_m| tenths(*z_m)), 0)).collect();
        write!(out, "\"level\":[{}]}}", levels.join(",\n")).expect("a string takes it");
        out
    }
}

/// A number as scripts read it: plain digits, no thousands mark.
fn short(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if decimals == 0 { text } else { text.trim_end_matches('0').trim_end_matches('.').to_owned() }
}

fn words_at(at: Spot, words: &str, colour: crate::ink::Colour) -> Mark {
    let text = Text::new(at, words, Face::SansBold, FIGURE_MM).aligned(Align::Middle);
    text.in_colour(colour).rimmed().into()
}

fn plain(at: Spot, words: &str, align: Align) -> Mark {
    Text::new(at, words, Face::SerifItalic, FIGURE_MM).aligned(align).in_colour(INK_2).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A name that looks like a blank stays a name, and braces of styles and script stay.
    #[test]
    fn blanks_are_filled_once() {
        let filled = filled(TEMPLATE, &[("title", "a {storm} b".to_owned()), ("storm", "62 mm".to_owned())]);
        assert!(filled.contains("<title>a {storm} b</title>"));
        assert!(filled.contains("; 62 mm</p>"));
        assert!(filled.contains("{ display: none; }") && filled.contains("const clock = (hours) => {"));
    }

    /// To a day after a storm of 6 h, rising, closer together while it rains.
    #[test]
    fn moments_rise() {
        let moments = moments_h(6.0);
        assert!(moments.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!((moments[0], moments[60], *moments.last().unwrap()), (0.0, 6.0, 30.0));
    }

    #[test]
    fn numbers_for_scripts() {
        assert_eq!(
            (short(12345.0, 0), short(0.50, 2), short(3.0, 1)),
            ("12345".into(), "0.5".into(), "3".into())
        );
    }
}
