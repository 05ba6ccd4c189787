//! A strip chart for each tree: its first three years, one row a year.
//!
//! Soil water as a line over a wash, rain hanging from above, the line's water as bars below, and a band with a black
//! stroke for each dry day, a hatched one for each day with wet feet, a disc for each can. All is read from
//! `design::season::TreeStrip`; nothing is computed here but sums for the words.

use design::season::{StripDay, TreeStrip};
use quantity::figures::{fixed, significant};

use crate::frame::{self, Block};
use crate::ink::{Face, HAIR_PEN, INK, INK_2, MARK_PEN, RAIN_HATCH, WATER, WATER_PEN, WATER_WASH};
use crate::page::{Align, Fill, Mark, Page, Pen, Rect, Spot, Text};
use crate::scale::round_step;
use crate::set::{Names, Paper, file_name};
use crate::subject::Subject;
use crate::words::season as said;

/// Days in a row of the chart.
const ROW_DAYS: usize = 365;
/// Rows on a sheet.
const ROWS: usize = 3;
const FIGURE_MM: f64 = 2.3;
/// Left and right of a row, for figures.
const LEFT_MM: f64 = 26.0;
const RIGHT_MM: f64 = 10.0;
/// Above a row for its words, below for the months.
const HEAD_MM: f64 = 9.0;
const FOOT_MM: f64 = 5.0;
/// Heights of the bands under the soil water.
const LINE_MM: f64 = 6.0;
const DAYS_MM: f64 = 3.5;
const GAP_MM: f64 = 1.0;
/// Height over the soil water in which the rain hangs.
const RAIN_MM: f64 = 8.0;
const CAN_MM: f64 = 0.55;

/// A sheet for each tree.
pub fn papers(subject: &Subject, strips: &[TreeStrip]) -> Vec<Paper> {
    let mut names = Names::default();
    let with_days = strips.iter().filter(|strip| !strip.days.is_empty());
    with_days
        .map(|strip| names.paper(&format!("tree-{}", file_name(&strip.tree)), strip_chart(subject, strip)))
        .collect()
}

/// The first three years of a tree.
pub fn strip_chart(subject: &Subject, strip: &TreeStrip) -> Page {
    let sheet = subject.format.lying();
    let area = frame::drawing_area(sheet);
    let most = Most::of(&strip.days);
    let height_mm = (area.height_mm - 4.0) / ROWS as f64;
    let mut marks = Vec::new();
    for (row, days) in strip.days.chunks(ROW_DAYS).take(ROWS).enumerate() {
        let cell = Rect::new(area.left_mm, area.top_mm + row as f64 * height_mm, area.width_mm, height_mm);
        Row { days, most, cell }.draw(row, &mut marks);
    }
    let key = Spot::new(area.left_mm, area.bottom_mm() - 0.5);
    marks.push(Text::new(key, said::KEY, Face::SerifItalic, 2.4).in_colour(INK_2).into());
    let block = Block { title: said::title(strip), facts: said::facts(strip), scale: String::new() };
    frame::framed(subject, sheet, "tree-years", &block, marks)
}

/// The greatest rain and water of the line on any day: every row has the same scales.
#[derive(Debug, Clone, Copy)]
struct Most {
    rain_mm: f64,
    line_l: f64,
}

impl Most {
    fn of(days: &[StripDay]) -> Most {
        let rounded = |value: f64| if value > 0.0 { round_step(value) } else { 1.0 };
        Most {
            rain_mm: rounded(days.iter().map(|day| day.rain_mm).fold(0.0, f64::max)),
            line_l: rounded(days.iter().map(|day| day.line_l).fold(0.0, f64::max)),
        }
    }
}

/// A year.
struct Row<'a> {
    days: &'a [StripDay],
    most: Most,
    cell: Rect,
}

impl Row<'_> {
    /// Where soil water is drawn.
    fn plot(&self) -> Rect {
        let cell = &self.cell;
        let below_mm = FOOT_MM + DAYS_MM + LINE_MM + 2.0 * GAP_MM;
        let width_mm = cell.width_mm - LEFT_MM - RIGHT_MM;
        Rect::new(
            cell.left_mm + LEFT_MM,
            cell.top_mm + HEAD_MM,
            width_mm,
            cell.height_mm - HEAD_MM - below_mm,
        )
    }

    fn x_mm(&self, day: usize) -> f64 {
        let plot = self.plot();
        plot.left_mm + plot.width_mm * day as f64 / ROW_DAYS as f64
    }

    fn draw(&self, row: usize, marks: &mut Vec<Mark>) {
        self.head(row, marks);
        self.rules(marks);
        self.soil(marks);
        self.rain(marks);
        self.line(marks);
        self.band(marks);
    }

    fn head(&self, row: usize, marks: &mut Vec<Mark>) {
        let at = Spot::new(self.cell.left_mm, self.cell.top_mm + 4.0);
        marks.push(Text::new(at, said::year(row + 1), Face::SerifBold, 3.2).into());
        let count = |is: fn(&StripDay) -> bool| self.days.iter().filter(|day| is(day)).count();
        let sum = |value: fn(&StripDay) -> f64| significant(self.days.iter().map(value).sum::<f64>(), 2);
        let words = said::sum(
            count(|day| day.dry),
            count(|day| day.wet_feet),
            &sum(|day| day.line_l),
            &sum(|day| day.hand_l),
            count(|day| day.hand_l > 0.0),
        );
        let at = Spot::new(self.cell.left_mm + LEFT_MM, self.cell.top_mm + 4.0);
        marks.push(Text::new(at, words, Face::Serif, 2.8).in_colour(INK_2).into());
    }

    /// Frame, figures and months.
    fn rules(&self, marks: &mut Vec<Mark>) {
        let plot = self.plot();
        for (share, figure) in [(0.0, "0"), (0.5, "50"), (1.0, "100")] {
            let y = plot.bottom_mm() - share * plot.height_mm;
            marks.push(Mark::run(vec![Spot::new(plot.left_mm, y), Spot::new(plot.right_mm(), y)], HAIR_PEN));
            marks.push(figure_at(Spot::new(plot.left_mm - 1.5, y + 0.8), figure.to_owned(), Align::End));
        }
        let bottom = self.cell.top_mm + self.cell.height_mm - FOOT_MM;
        for (day, of) in self.days.iter().enumerate().filter(|(_, of)| of.of_month == 1) {
            let x = self.x_mm(day);
            marks.push(Mark::run(vec![Spot::new(x, plot.top_mm - RAIN_MM), Spot::new(x, bottom)], HAIR_PEN));
            let name = said::MONTHS[of.month as usize - 1].to_owned();
            marks.push(figure_at(Spot::new(x + 1.0, bottom + 3.2), name, Align::Start));
        }
        let name = Text::new(
            Spot::new(plot.left_mm, plot.top_mm - RAIN_MM - 1.4),
            said::SOIL_AXIS,
            Face::SerifItalic,
            2.4,
        );
        marks.push(name.in_colour(INK_2).into());
        let at = Spot::new(plot.right_mm() + RIGHT_MM, plot.top_mm - RAIN_MM - 1.4);
        let name = Text::new(at, said::RAIN_AXIS, Face::SerifItalic, 2.4).aligned(Align::End);
        marks.push(name.in_colour(INK_2).into());
    }

    fn soil(&self, marks: &mut Vec<Mark>) {
        let plot = self.plot();
        let y = |day: &StripDay| plot.bottom_mm() - day.soil_frac.clamp(0.0, 1.0) * plot.height_mm;
        let line: Vec<Spot> =
            self.days.iter().enumerate().map(|(i, day)| Spot::new(self.x_mm(i), y(day))).collect();
        let (Some(first), Some(last)) = (line.first().copied(), line.last().copied()) else { return };
        let mut ring = line.clone();
        ring.push(Spot::new(last.x_mm, plot.bottom_mm()));
        ring.push(Spot::new(first.x_mm, plot.bottom_mm()));
        marks.push(Mark::ring(ring, None, Some(Fill::Even(WATER_WASH))));
        marks.push(Mark::run(line, WATER_PEN));
    }

    fn rain(&self, marks: &mut Vec<Mark>) {
        let plot = self.plot();
        let sky = plot.top_mm - RAIN_MM;
        let width_mm = plot.width_mm / ROW_DAYS as f64;
        for (i, day) in self.days.iter().enumerate().filter(|(_, day)| day.rain_mm > 0.0) {
            let bar = Rect::new(self.x_mm(i), sky, width_mm, day.rain_mm / self.most.rain_mm * RAIN_MM);
            marks.push(Mark::rect(bar, None, Some(Fill::Even(WATER))));
        }
        marks.push(Mark::run(vec![Spot::new(plot.left_mm, sky), Spot::new(plot.right_mm(), sky)], HAIR_PEN));
        for share in [0.5, 1.0] {
            let y = sky + share * RAIN_MM;
            let tick = vec![Spot::new(plot.right_mm(), y), Spot::new(plot.right_mm() + 1.2, y)];
            marks.push(Mark::run(tick, Pen::new(INK_2, 0.2)));
            let figure = fixed(share * self.most.rain_mm, 0);
            marks.push(figure_at(Spot::new(plot.right_mm() + 1.8, y + 0.8), figure, Align::Start));
        }
    }

    fn line(&self, marks: &mut Vec<Mark>) {
        let plot = self.plot();
        let foot = plot.bottom_mm() + GAP_MM + LINE_MM;
        let width_mm = plot.width_mm / ROW_DAYS as f64;
        for (i, day) in self.days.iter().enumerate().filter(|(_, day)| day.line_l > 0.0) {
            let height_mm = day.line_l / self.most.line_l * LINE_MM;
            let bar = Rect::new(self.x_mm(i), foot - height_mm, width_mm, height_mm);
            marks.push(Mark::rect(bar, None, Some(Fill::Even(INK_2))));
        }
        marks
            .push(Mark::run(vec![Spot::new(plot.left_mm, foot), Spot::new(plot.right_mm(), foot)], MARK_PEN));
        marks.push(figure_at(Spot::new(plot.left_mm - 1.5, foot), said::LINE_BAND.to_owned(), Align::End));
        let most = said::litres(&fixed(self.most.line_l, 0));
        marks.push(figure_at(Spot::new(plot.right_mm() + 1.8, foot - LINE_MM + 1.6), most, Align::Start));
    }

    fn band(&self, marks: &mut Vec<Mark>) {
        let plot = self.plot();
        let top = plot.bottom_mm() + 2.0 * GAP_MM + LINE_MM;
        for (from, to) in runs(self.days, |day| day.dry) {
            let bar = Rect::new(self.x_mm(from), top, self.x_mm(to) - self.x_mm(from), DAYS_MM);
            marks.push(Mark::rect(bar, None, Some(Fill::Even(INK))));
        }
        for (from, to) in runs(self.days, |day| day.wet_feet) {
            let bar = Rect::new(self.x_mm(from), top, self.x_mm(to) - self.x_mm(from), DAYS_MM);
            marks.push(Mark::rect(bar, Some(Pen::new(WATER, 0.2)), Some(Fill::Hatched(RAIN_HATCH))));
        }
        for (i, _) in self.days.iter().enumerate().filter(|(_, day)| day.hand_l > 0.0) {
            let at = Spot::new(self.x_mm(i), top + DAYS_MM - 2.0 * CAN_MM);
            marks.push(Mark::disc(at, CAN_MM, Some(Pen::new(INK, 0.2)), Some(Fill::Even(WATER_WASH))));
        }
        let at = Spot::new(plot.left_mm - 1.5, top + 2.6);
        marks.push(figure_at(at, said::DAYS_BAND.to_owned(), Align::End));
    }
}

/// First day and the day after the last of each run.
fn runs(days: &[StripDay], is: impl Fn(&StripDay) -> bool) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for i in (0..days.len()).filter(|i| is(&days[*i])) {
        match runs.last_mut().filter(|(_, end)| *end == i) {
            Some((_, end)) => *end = i + 1,
            None => runs.push((i, i + 1)),
        }
    }
    runs
}

fn figure_at(at: Spot, words: String, align: Align) -> Mark {
    Text::new(at, words, Face::Sans, FIGURE_MM).aligned(align).in_colour(INK_2).into()
}
