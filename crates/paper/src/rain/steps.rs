//! Steps of rain: at which rain each line fills, spills and breaks out, and which fails first.

use design::rain_test::StormTold;
use design::rain_test::steps::{Answer, LineSteps};
use quantity::figures::fixed;

use crate::chart::{Axis, Chart};
use crate::frame::{self, Block};
use crate::ink::{
    CAUTION, CAUTION_GROUND, CAUTION_HATCH, CAUTION_PEN, Face, HAIR_PEN, INK, INK_2, MARK_PEN, RAIN_HATCH,
    WATER_EDGE_PEN, WATER_STOOD, WATER_WASH,
};
use crate::lettering::{cut, wrap};
use crate::page::{Align, Fill, Mark, Page, Rect, Spot, Text};
use crate::subject::Subject;
use crate::symbols;
use crate::words::{rain, steps as said};

/// Left of the bars, for names.
const NAMES_MM: f64 = 46.0;
/// Right of them, for what happens first.
const RIGHT_MM: f64 = 6.0;
/// A line's row, at most.
const ROW_MM: f64 = 22.0;
const BAR_SHARE: f64 = 0.42;
const FIGURE_MM: f64 = 2.4;
const NAME_MM: f64 = 3.2;
/// Under the chart: its axis, the legend and the words.
const FOOT_MM: f64 = 36.0;

/// The sheet; none without a line or without rain.
pub fn steps(subject: &Subject, answer: &Answer, storm: &StormTold) -> Option<Page> {
    if answer.lines.is_empty() || answer.up_to_mm <= 0.0 {
        return None;
    }
    let sheet = subject.format.lying();
    let area = frame::drawing_area(sheet);
    let row_mm = ((area.height_mm - FOOT_MM) / answer.lines.len() as f64).min(ROW_MM);
    let plot = Rect::new(
        area.left_mm + NAMES_MM,
        area.top_mm + 2.0,
        area.width_mm - NAMES_MM - RIGHT_MM,
        row_mm * answer.lines.len() as f64,
    );
    let chart = Chart {
        plot,
        across: Axis::up_to(answer.up_to_mm, 12),
        up: Axis::from_zero(1.0, 1),
        figure_mm: FIGURE_MM,
    };
    let mut marks = axis(&chart);
    for (i, line) in answer.lines.iter().enumerate() {
        let row = Rect::new(area.left_mm, plot.top_mm + i as f64 * row_mm, NAMES_MM, row_mm);
        name(subject, line, row, &mut marks);
        bars(&chart, line, row, &mut marks);
    }
    let foot = Rect::new(area.left_mm, plot.bottom_mm() + 12.0, area.width_mm, FOOT_MM - 14.0);
    legend(foot, &mut marks);
    write_words(answer, foot, &mut marks);
    let block =
        Block { title: said::STEPS_TITLE.to_owned(), facts: said::steps_storm(storm), scale: String::new() };
    Some(frame::framed(subject, sheet, "rain-steps", &block, marks))
}

/// Depths of rain under the rows, with a fine rule up from each.
fn axis(chart: &Chart) -> Vec<Mark> {
    let (top, foot) = (chart.plot.top_mm, chart.plot.bottom_mm());
    let mut marks = Vec::new();
    for depth_mm in chart.across.ticks() {
        let x = chart.x_mm(depth_mm);
        marks.push(Mark::run(vec![Spot::new(x, top), Spot::new(x, foot)], HAIR_PEN));
        let figure =
            Text::new(Spot::new(x, foot + 4.0), chart.across.figure(depth_mm), Face::Sans, FIGURE_MM);
        marks.push(figure.aligned(Align::Middle).in_colour(INK_2).into());
    }
    marks.push(Mark::run(
        vec![Spot::new(chart.plot.left_mm, foot), Spot::new(chart.plot.right_mm(), foot)],
        MARK_PEN,
    ));
    marks.push(chart.name_across(said::DEPTH_AXIS));
    marks
}

fn name(subject: &Subject, line: &LineSteps, row: Rect, marks: &mut Vec<Mark>) {
    let middle = row.centre().y_mm;
    let mut left = row.left_mm;
    if let Some(number) = subject.spill_number(&line.line) {
        left += symbols::NUMBER_RADIUS_MM;
        marks.extend(symbols::number(Spot::new(left, middle), number));
        left += symbols::NUMBER_RADIUS_MM + 1.2;
    }
    let words = cut(&line.line, Face::SerifBold, NAME_MM, row.right_mm() - left - 2.0);
    marks.push(Text::new(Spot::new(left, middle + 1.1), words, Face::SerifBold, NAME_MM).into());
}

/// What a line does from so much rain on: its bar, thicker with each event.
fn bars(chart: &Chart, line: &LineSteps, row: Rect, marks: &mut Vec<Mark>) {
    let height_mm = BAR_SHARE * row.height_mm;
    let bar = |from_mm: f64, to_mm: f64| {
        let (left, right) = (chart.x_mm(from_mm), chart.x_mm(to_mm));
        Rect::new(left, row.centre().y_mm - height_mm / 2.0, right - left, height_mm)
    };
    let end_mm = chart.across.high;
    let full = Rect::new(chart.plot.left_mm, bar(0.0, end_mm).top_mm, chart.plot.width_mm, height_mm);
    marks.push(Mark::rect(full, Some(WATER_EDGE_PEN), Some(Fill::Even(WATER_WASH))));
    if let Some(fills_mm) = line.fills_mm {
        let rect = bar(fills_mm, end_mm);
        marks.push(Mark::rect(rect, Some(WATER_EDGE_PEN), Some(Fill::Even(WATER_STOOD))));
    }
    if let Some(spills_mm) = line.spills_mm {
        marks.push(Mark::rect(bar(spills_mm, end_mm), Some(WATER_EDGE_PEN), Some(Fill::Hatched(RAIN_HATCH))));
    }
    if let Some(breaks_mm) = line.breaks_out_mm {
        let rect = bar(breaks_mm, end_mm);
        marks.push(Mark::rect(rect, None, Some(Fill::Even(CAUTION_GROUND))));
        marks.push(Mark::rect(rect, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH))));
        marks.extend(symbols::breakout_flag(Spot::new(rect.left_mm, rect.top_mm), 4.2));
    }
    let foot_mm = bar(0.0, end_mm).bottom_mm() + FIGURE_MM + 0.3;
    let events = [
        (line.fills_mm, said::FILLS, INK_2),
        (line.spills_mm, said::SPILLS, INK),
        (line.breaks_out_mm, said::BREAKS_OUT, CAUTION),
    ];
    let told: Vec<_> = events
        .into_iter()
        .filter_map(|(at_mm, words, colour)| Some((at_mm?, format!("{words} {}", fixed(at_mm?, 0)), colour)))
        .collect();
    let Some((first_mm, ..)) = told.first() else { return };
    let width = |words: &str| crate::lettering::width_mm(words, Face::SansBold, FIGURE_MM) + 2.0;
    let whole_mm: f64 = told.iter().map(|(_, words, _)| width(words)).sum();
    // From the first event on, but not beyond the end of the sheet.
    let mut left_mm = chart.x_mm(*first_mm).min(chart.plot.right_mm() + RIGHT_MM - whole_mm);
    for (_, words, colour) in told {
        let next_mm = left_mm + width(&words);
        let text = Text::new(Spot::new(left_mm, foot_mm), words, Face::SansBold, FIGURE_MM).in_colour(colour);
        marks.push(text.into());
        left_mm = next_mm;
    }
}

fn legend(foot: Rect, marks: &mut Vec<Mark>) {
    let samples = [
        (vec![(Some(WATER_EDGE_PEN), Fill::Even(WATER_WASH))], said::LEGEND_HOLDS),
        (vec![(Some(WATER_EDGE_PEN), Fill::Even(WATER_STOOD))], said::LEGEND_FULL),
        (
            vec![(None, Fill::Even(WATER_STOOD)), (Some(WATER_EDGE_PEN), Fill::Hatched(RAIN_HATCH))],
            said::LEGEND_SPILLS,
        ),
        (
            vec![(None, Fill::Even(CAUTION_GROUND)), (Some(CAUTION_PEN), Fill::Hatched(CAUTION_HATCH))],
            rain::LEGEND_BREAKOUT,
        ),
    ];
    for (i, (fills, words)) in samples.into_iter().enumerate() {
        let left = foot.left_mm + i as f64 * foot.width_mm / 4.0;
        let rect = Rect::new(left, foot.top_mm, 9.0, 4.0);
        marks.extend(fills.into_iter().map(|(pen, fill)| Mark::rect(rect, pen, Some(fill))));
        marks.push(Text::new(Spot::new(left + 11.0, foot.top_mm + 3.0), words, Face::Serif, 2.6).into());
    }
}

fn write_words(answer: &Answer, foot: Rect, marks: &mut Vec<Mark>) {
    let reaction = &answer.chain_reaction;
    let first = answer.fails_first.as_deref();
    let words = format!("{} {}", said::fails_first(first, answer), said::chain_reaction(reaction));
    for (row, line) in wrap(&words, Face::Serif, 2.8, foot.width_mm).into_iter().take(3).enumerate() {
        let at = Spot::new(foot.left_mm, foot.top_mm + 10.0 + row as f64 * 3.9);
        marks.push(Text::new(at, line, Face::Serif, 2.8).into());
    }
}
