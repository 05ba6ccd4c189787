//! Flows in time, each under the rain that causes it.

use design::rain_test::{Answer, FlowInTime, LeavesBy, LineRain, Outlet, RainSoFar, SillRain};
use quantity::Estimate;
use quantity::figures::range;

use crate::chart::{Axis, Chart};
use crate::frame::{self, Block};
use crate::ink::{Face, Hatch, INK, INK_2, RAIN_HATCH, WATER, WATER_BAND_HATCH, WATER_PEN, WATER_WASH};
use crate::lettering::cut;
use crate::page::{Align, Fill, Mark, Page, Pen, Rect, Spot, Text};
use crate::sections::facts::{Group, write_group};
use crate::subject::Subject;
use crate::words::rain as said;

/// Charts on a sheet: two beside each other, two rows.
const ON_A_SHEET: usize = 4;
const FIGURE_MM: f64 = 2.3;
const TITLE_MM: f64 = 3.0;
/// Above a chart: its title, its figures, the name of its axis.
const HEAD_MM: f64 = 15.0;
/// Below it: figures and the name of the axis.
const FOOT_MM: f64 = 11.0;
/// Left of it, for figures.
const LEFT_MM: f64 = 12.0;
/// Right of it, for the figures of the rain.
const RIGHT_MM: f64 = 12.0;
/// Share of a chart's height that the rain may hang down.
const RAIN_SHARE: f64 = 0.3;
/// What came off the ground before.
const WITHOUT_PEN: Pen = Pen::dashed(INK_2, 0.35, &[1.6, 0.9]);
/// Where that may lie: strokes that lean the other way.
const WITHOUT_HATCH: Hatch = Hatch { colour: INK_2, width_mm: 0.12, spacing_mm: 1.4, turn_deg: 60.0 };
/// What a sill passes.
const CAPACITY_PEN: Pen = Pen::dashed(INK, 0.4, &[3.0, 1.2]);

/// Sheets of the flows over all sills, and after them what leaves the works.
pub fn flows(subject: &Subject, rain: &Answer) -> Vec<Page> {
    let sheet = subject.format.lying();
    let area = frame::drawing_area(sheet);
    let sills = rain.lines.iter().flat_map(|line| line.sills.iter().map(move |sill| of_sill(line, sill)));
    // What leaves by a sill is already there.
    let others = rain.site.outlets.iter().filter(|outlet| outlet.by != LeavesBy::Sill).map(of_outlet);
    let charts = sills.chain(others).chain([of_site(rain)]).map(Cell::Flow);
    let cells: Vec<Cell> = charts.chain([Cell::Site]).collect();
    let pages = cells.chunks(ON_A_SHEET).map(|some| {
        let mut marks = Vec::new();
        for (place, content) in some.iter().enumerate() {
            match content {
                Cell::Flow(shown) => draw(rain, shown, cell(area, place), &mut marks),
                Cell::Site => draw_site(rain, cell(area, place), &mut marks),
            }
        }
        let block = Block {
            title: said::FLOW_TITLE.to_owned(),
            facts: said::storm(&rain.storm),
            scale: String::new(),
        };
        let at = Spot::new(area.left_mm, area.bottom_mm() - 0.5);
        let words = said::flows_of_the_plan(&rain.ensemble);
        marks.push(Text::new(at, words, Face::SerifItalic, 2.4).in_colour(INK_2).into());
        frame::framed(subject, sheet, "rain-flow", &block, marks)
    });
    pages.collect()
}

/// What a place on a sheet shows.
enum Cell<'a> {
    Flow(Shown<'a>),
    Site,
}

/// A flow in time and what is said of it.
struct Shown<'a> {
    title: String,
    figures: String,
    flow: &'a FlowInTime,
    peak_l_s: Estimate,
    /// When; none where it hardly flows.
    peak_h: Option<f64>,
    /// What a sill passes.
    passes_l_s: Option<f64>,
    /// The same ground without the works.
    without: Option<&'a FlowInTime>,
}

fn of_sill<'a>(line: &LineRain, sill: &'a SillRain) -> Shown<'a> {
    Shown {
        title: said::sill_title(&line.line, sill.at_m, &sill.to),
        figures: figures(sill.peak_l_s, sill.volume_m3),
        flow: &sill.flow,
        peak_l_s: sill.peak_l_s,
        peak_h: sill.peak_h.map(Estimate::likely),
        passes_l_s: sill.passes_l_s,
        without: None,
    }
}

fn of_outlet(outlet: &Outlet) -> Shown<'_> {
    Shown {
        title: said::leaves_by(&outlet.line, outlet.by, outlet.at_m),
        figures: figures(outlet.peak_l_s, outlet.volume_m3),
        flow: &outlet.flow,
        peak_l_s: outlet.peak_l_s,
        peak_h: None,
        passes_l_s: None,
        without: None,
    }
}

fn of_site(rain: &Answer) -> Shown<'_> {
    let site = &rain.site;
    Shown {
        title: said::LEAVES_IN_TIME.to_owned(),
        figures: said::peaks(site.peak_before_l_s, site.peak_after_l_s),
        flow: &site.flow_after,
        peak_l_s: site.peak_after_l_s,
        peak_h: None,
        passes_l_s: None,
        without: Some(&site.flow_before),
    }
}

fn figures(peak_l_s: Estimate, volume_m3: Estimate) -> String {
    if peak_l_s.high() > 0.0 { said::peak(peak_l_s, volume_m3) } else { said::NO_FLOW.to_owned() }
}

/// Where water leaves, and the greatest flow with and without the works.
fn draw_site(rain: &Answer, cell: Rect, marks: &mut Vec<Mark>) {
    const OUTLETS: usize = 3;
    let site = &rain.site;
    let mut rows: Vec<(String, String)> = site
        .outlets
        .iter()
        .take(OUTLETS)
        .map(|out| (said::leaves_by(&out.line, out.by, out.at_m), said::leaving(out.volume_m3, out.peak_l_s)))
        .collect();
    if site.outlets.len() > OUTLETS {
        rows.push((said::more_outlets(site.outlets.len() - OUTLETS), String::new()));
    }
    if rows.is_empty() {
        rows.push((said::NOTHING_LEAVES.to_owned(), String::new()));
    }
    rows.push((said::LEAVES_IN_ALL.to_owned(), range(site.leaves_m3, 1)));
    rows.push((said::PEAK_BEFORE.to_owned(), range(site.peak_before_l_s, 0)));
    rows.push((said::PEAK_AFTER.to_owned(), range(site.peak_after_l_s, 0)));
    write_group(&Group { title: said::SITE_TITLE.to_owned(), rows }, cell, marks);
}

/// The place of a chart, with all that belongs to it.
fn cell(area: Rect, place: usize) -> Rect {
    const GUTTER_MM: f64 = 8.0;
    const LINE_MM: f64 = 5.0;
    let width_mm = (area.width_mm - GUTTER_MM) / 2.0;
    let height_mm = (area.height_mm - LINE_MM) / 2.0;
    let left_mm = area.left_mm + (place % 2) as f64 * (width_mm + GUTTER_MM);
    Rect::new(left_mm, area.top_mm + (place / 2) as f64 * height_mm, width_mm, height_mm)
}

fn draw(rain: &Answer, shown: &Shown, cell: Rect, marks: &mut Vec<Mark>) {
    let title = cut(&shown.title, Face::SerifBold, TITLE_MM, cell.width_mm);
    marks
        .push(Text::new(Spot::new(cell.left_mm, cell.top_mm + 3.0), title, Face::SerifBold, TITLE_MM).into());
    let most = shown.most_l_s();
    // Where what it passes lies far above all that comes, words do: a line would press the flow flat.
    let near = shown.passes_l_s.filter(|passes| *passes < 2.0 * most);
    let mut figures = shown.figures.clone();
    if let Some(far) = shown.passes_l_s.filter(|_| near.is_none()) {
        figures = format!("{figures}; {}", said::passes(far));
    }
    let at = Spot::new(cell.left_mm, cell.top_mm + 7.2);
    let figures = cut(&figures, Face::Serif, 2.6, cell.width_mm);
    marks.push(Text::new(at, figures, Face::Serif, 2.6).in_colour(INK_2).into());
    let plot = Rect::new(
        cell.left_mm + LEFT_MM,
        cell.top_mm + HEAD_MM,
        cell.width_mm - LEFT_MM - RIGHT_MM,
        cell.height_mm - HEAD_MM - FOOT_MM,
    );
    let hours = shown_hours(rain, shown);
    let top = near.map_or(most, |passes| passes.max(most));
    let chart = Chart {
        plot,
        across: Axis::hours(hours, 8),
        // The rain hangs into what is left above the greatest flow.
        up: Axis::from_zero(if top > 0.0 { top / (1.0 - RAIN_SHARE) } else { 1.0 }, 5),
        figure_mm: FIGURE_MM,
    };
    marks.extend(chart.axes());
    marks.push(chart.name_up(said::FLOW_AXIS));
    marks.push(chart.name_across(said::TIME_AXIS));
    hang_rain(rain, &chart, marks);
    draw_flow(&chart, shown, marks);
    if let Some(passes) = near {
        draw_capacity(&chart, passes, marks);
    }
}

impl Shown<'_> {
    /// Greatest flow that is drawn.
    fn most_l_s(&self) -> f64 {
        let without = self.without.into_iter().flat_map(|flow| flow.flow_l_s.iter().chain(&flow.high_l_s));
        let drawn = self.flow.flow_l_s.iter().chain(&self.flow.high_l_s).chain(without);
        drawn.copied().chain([self.peak_l_s.high()]).fold(0.0, f64::max)
    }
}

/// How long a chart shows: the storm, and as long as a flow is worth drawing.
fn shown_hours(rain: &Answer, shown: &Shown) -> f64 {
    let worth_l_s = 0.01 * shown.most_l_s();
    let last_h = |flow: &FlowInTime| {
        let worth = |step: &usize| flow.flow_l_s[*step].max(flow.high_l_s[*step]) > worth_l_s;
        (0..flow.flow_l_s.len()).rev().find(worth).map_or(0.0, |last| (last + 1) as f64 * flow.step_h)
    };
    let last_h = shown.without.map_or(0.0, last_h).max(last_h(shown.flow));
    let wanted_h = (1.25 * rain.storm.hours).max(last_h);
    if wanted_h < rain.storm.followed_h { wanted_h } else { rain.storm.followed_h }
}

/// The rain in each stretch of the storm, mm/h: from, to, rate.
pub(super) fn rates(course: &[RainSoFar]) -> Vec<(f64, f64, f64)> {
    let pairs = course.windows(2).filter(|pair| pair[1].at_h > pair[0].at_h);
    pairs
        .map(|pair| {
            (pair[0].at_h, pair[1].at_h, (pair[1].rain_mm - pair[0].rain_mm) / (pair[1].at_h - pair[0].at_h))
        })
        .collect()
}

/// Bars of rain from the upper edge, with an axis of their own on the right.
fn hang_rain(rain: &Answer, chart: &Chart, marks: &mut Vec<Mark>) {
    let rates = rates(&rain.storm.course);
    let most = rates.iter().map(|(_, _, rate)| *rate).fold(0.0, f64::max);
    if most <= 0.0 {
        return;
    }
    let down = Axis::from_zero(most, 2);
    let height_mm = RAIN_SHARE * chart.plot.height_mm;
    let mm = |rate: f64| rate / down.high * height_mm;
    for (from_h, to_h, rate) in rates {
        let (left, right) = (chart.x_mm(from_h), chart.x_mm(to_h));
        if rate > 0.0 && right > left {
            let bar = Rect::new(left, chart.plot.top_mm, right - left, mm(rate));
            marks.push(Mark::rect(bar, Some(Pen::new(WATER, 0.15)), Some(Fill::Hatched(RAIN_HATCH))));
        }
    }
    let right = chart.plot.right_mm();
    for rate in down.ticks() {
        let y = chart.plot.top_mm + mm(rate);
        marks.push(Mark::run(vec![Spot::new(right, y), Spot::new(right + 1.2, y)], Pen::new(INK_2, 0.2)));
        let at = Spot::new(right + 1.8, y + FIGURE_MM * 0.36);
        marks.push(Text::new(at, down.figure(rate), Face::Sans, FIGURE_MM).in_colour(INK_2).into());
    }
    let at = Spot::new(right + RIGHT_MM, chart.plot.top_mm - 1.8);
    let name = Text::new(at, said::RAIN_AXIS, Face::SerifItalic, 1.1 * FIGURE_MM);
    marks.push(name.aligned(Align::End).in_colour(INK_2).into());
}

/// The flow of the plan as drawn over a wash, the band in which nine in ten of the draws lie at each time, and beside
/// its greatest value how far that may lie off.
fn draw_flow(chart: &Chart, shown: &Shown, marks: &mut Vec<Mark>) {
    if let Some(without) = shown.without {
        draw_band(chart, without, WITHOUT_HATCH, marks);
        marks.push(Mark::run(chart.line(&chart.stair(without.step_h, &without.flow_l_s)), WITHOUT_PEN));
    }
    let flow = shown.flow;
    if shown.peak_l_s.high() <= 0.0 {
        return;
    }
    let stair = chart.stair(flow.step_h, &flow.flow_l_s);
    let under: Vec<(f64, f64, f64)> = stair.iter().map(|(at_h, l_s)| (*at_h, 0.0, *l_s)).collect();
    marks.push(chart.band(&under, None, Fill::Even(WATER_WASH)));
    draw_band(chart, flow, WATER_BAND_HATCH, marks);
    marks.push(Mark::run(chart.line(&stair), WATER_PEN));
    if let Some(at_h) = shown.peak_h {
        draw_peak(chart, at_h, shown.peak_l_s, marks);
    }
    if let Some(without) = shown.without {
        draw_names(chart, without, flow, marks);
    }
}

/// Between the ends of the draws at each time; nothing where there is one draw.
fn draw_band(chart: &Chart, flow: &FlowInTime, hatch: Hatch, marks: &mut Vec<Mark>) {
    if flow.low_l_s == flow.high_l_s {
        return;
    }
    let low = chart.stair(flow.step_h, &flow.low_l_s);
    let high = chart.stair(flow.step_h, &flow.high_l_s);
    let band: Vec<(f64, f64, f64)> =
        low.iter().zip(&high).map(|((at_h, low), (_, high))| (*at_h, *low, *high)).collect();
    marks.push(chart.band(&band, Some(Pen::new(hatch.colour, 0.12)), Fill::Hatched(hatch)));
}

/// How far the greatest flow may lie off.
fn draw_peak(chart: &Chart, at_h: f64, peak_l_s: Estimate, marks: &mut Vec<Mark>) {
    let (x, low, high) = (chart.x_mm(at_h), chart.y_mm(peak_l_s.low()), chart.y_mm(peak_l_s.high()));
    if low - high < 0.5 {
        return;
    }
    let pen = Pen::new(INK, 0.3);
    marks.push(Mark::run(vec![Spot::new(x, low), Spot::new(x, high)], pen));
    for end in [low, high] {
        marks.push(Mark::run(vec![Spot::new(x - 1.0, end), Spot::new(x + 1.0, end)], pen));
    }
}

/// Which curve is which, beside the highest place of each.
fn draw_names(chart: &Chart, without: &FlowInTime, with: &FlowInTime, marks: &mut Vec<Mark>) {
    // The smaller curve has its words inside, clear of the other.
    for (flow, words, up_share) in [(without, said::WITHOUT_WORKS, 1.0), (with, said::WITH_WORKS, 0.4)] {
        let top = flow.flow_l_s.iter().copied().enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((step, l_s)) = top else { continue };
        let at = chart.spot((step as f64 + 1.0) * flow.step_h, up_share * l_s).moved(1.2, 1.0);
        marks.push(Text::new(at, words, Face::SerifItalic, 2.4).in_colour(INK).rimmed().into());
    }
}

/// What the sill passes before the bank goes under.
fn draw_capacity(chart: &Chart, passes_l_s: f64, marks: &mut Vec<Mark>) {
    let y = chart.y_mm(passes_l_s);
    let ends = vec![Spot::new(chart.plot.left_mm, y), Spot::new(chart.plot.right_mm(), y)];
    marks.push(Mark::run(ends, CAPACITY_PEN));
    let at = Spot::new(chart.plot.left_mm + 1.5, y - 1.0);
    let words = said::passes(passes_l_s);
    marks.push(Text::new(at, words, Face::SerifItalic, 2.4).in_colour(INK).rimmed().into());
}
