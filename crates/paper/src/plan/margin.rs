//! The words beside the map: title, north and scale, the way the water takes, marks, trees, findings, cautions.

use std::collections::BTreeMap;

use site::LineKind;

use super::Sketch;
use super::column::Columns;
use crate::ink::{
    CAUTION, CAUTION_HATCH, CAUTION_PEN, Face, HAIR_PEN, INK, INK_2, KEEP_CLEAR_HATCH, THERE_PEN,
    WATER_EDGE_PEN, WATER_WASH,
};
use crate::page::{Align, Fill, Mark, Pen, Rect, Spot, Text};
use crate::scale::round_step;
use crate::subject::{Numbered, Subject};
use crate::symbols;
use crate::words::{self, legend};

const SMALL_MM: f64 = 2.2;
const BODY_MM: f64 = 2.5;
const TITLE_MM: f64 = 7.0;
/// Width of a legend's sample.
const SAMPLE_MM: f64 = 9.0;
/// The scale bar is as long as the longest round length that fits this.
const BAR_AT_MOST_MM: f64 = 50.0;

/// What stands under the title besides the site's name.
pub(super) struct Facts<'a> {
    /// What the plan shows.
    pub title: &'a str,
    /// Size of the sheet in words.
    pub sheet: &'a str,
    /// Interval of the contours and of the heavy ones; none without ground.
    pub contours_m: Option<(f64, f64)>,
    /// Names that found no room on the map.
    pub left_off: &'a [String],
}

/// Writes the margin.
pub(super) fn write(sketch: &Sketch, columns: &mut Columns, facts: &Facts) {
    title(sketch, columns, facts);
    scale_and_north(sketch, columns);
    way_of_the_water(&sketch.subject, columns);
    marks(sketch, columns);
    trees(&sketch.subject, columns);
    if !facts.left_off.is_empty() {
        columns.paragraph(&words::left_off(facts.left_off), (Face::Serif, SMALL_MM, INK_2), 0.0);
    }
    columns.keep_for_the_foot(cautions_height(columns));
    findings(&sketch.subject.findings(), columns);
    cautions(columns);
}

pub(super) fn title(sketch: &Sketch, columns: &mut Columns, facts: &Facts) {
    let plan = &sketch.subject.site.plan;
    columns.paragraph(&plan.name, (Face::SerifBold, TITLE_MM, INK), 0.0);
    let scale = words::scale(sketch.window.one_to);
    let line = format!("{}, {scale} on {}", facts.title, facts.sheet);
    columns.paragraph(&line, (Face::SerifItalic, 3.4, INK), 0.0);
    columns.gap(1.2);
    columns.rule();
    let contours = facts
        .contours_m
        .map_or(words::NO_GROUND.to_owned(), |(each_m, heavy_m)| words::contours(each_m, heavy_m));
    let place = &plan.place;
    let datum = words::datum(place.elevation_m, place.crs.as_deref());
    let pegged = words::pegged_with(plan.tool.kind, plan.tool.step_m);
    columns.paragraph(&format!("{contours} {datum} {pegged}"), (Face::Serif, SMALL_MM, INK_2), 0.0);
    columns.gap(1.5);
}

pub(super) fn scale_and_north(sketch: &Sketch, columns: &mut Columns) {
    const HEIGHT_MM: f64 = 14.0;
    let Some(area) = columns.area(HEIGHT_MM) else {
        return;
    };
    let bar_m = round_down(sketch.window.ground_m(BAR_AT_MOST_MM));
    let bar_mm = sketch.window.mm(bar_m);
    let (left, top) = (area.left_mm + 0.3, area.top_mm + 5.0);
    let mut out = Vec::new();
    for i in 0..4 {
        let cell = Rect::new(left + f64::from(i) * bar_mm / 4.0, top, bar_mm / 4.0, 1.5);
        let fill = (i % 2 == 0).then_some(Fill::Even(INK));
        out.push(Mark::rect(cell, Some(Pen::new(INK, 0.2)), fill));
    }
    for share in [0.0, 0.5, 1.0] {
        let figure = quantity::figures::fixed(share * bar_m, if bar_m < 10.0 { 1 } else { 0 });
        let figure = if share == 1.0 { format!("{figure} m") } else { figure };
        let align = if share == 0.0 { Align::Start } else { Align::Middle };
        let at = Spot::new(left + share * bar_mm, top - 1.0);
        out.push(Text::new(at, figure, Face::Sans, SMALL_MM).aligned(align).into());
    }
    let check = words::print_check(bar_mm);
    let at = Spot::new(left, top + 4.6);
    out.push(Text::new(at, check, Face::Serif, SMALL_MM).in_colour(INK_2).into());
    let bearing_deg = sketch.subject.site.plan.place.anchor.map_or(0.0, |anchor| anchor.bearing_deg);
    let middle = Spot::new(area.right_mm() - 5.5, area.top_mm + 7.0);
    out.extend(north(middle, bearing_deg));
    columns.add(out);
}

/// The largest round length that is no longer than `at_most`.
fn round_down(at_most: f64) -> f64 {
    let up = round_step(at_most);
    if up <= at_most * (1.0 + 1e-9) {
        return up;
    }
    // The step below 10, 5 and 2 times a power of ten.
    let leading = up / 10f64.powi(libm::floor(libm::log10(up * (1.0 + 1e-9))) as i32);
    if (leading - 5.0).abs() < 1e-6 { up / 2.5 } else { up / 2.0 }
}

/// True north. The site's y axis, which points up the sheet, bears `bearing_deg` clockwise from it, so north
/// lies as far anticlockwise.
fn north(centre: Spot, bearing_deg: f64) -> Vec<Mark> {
    const REACH_MM: f64 = 6.0;
    let (sin, cos) = libm::sincos(quantity::convert::deg_to_rad(-bearing_deg));
    let turned = |x: f64, y: f64| centre.moved(x * cos - y * sin, x * sin + y * cos);
    let half = |side: f64, fill: Option<Fill>| {
        let corners = vec![turned(0.0, -REACH_MM), turned(side * 1.7, 3.0), turned(0.0, 1.7)];
        Mark::ring(corners, Some(Pen::new(INK, 0.25)), fill)
    };
    let letter = turned(0.0, -REACH_MM - 2.2).moved(0.0, 1.2);
    vec![
        half(-1.0, Some(Fill::Even(INK))),
        half(1.0, None),
        Text::new(letter, words::NORTH, Face::SerifBold, 3.2).aligned(Align::Middle).into(),
    ]
}

fn way_of_the_water(subject: &Subject, columns: &mut Columns) {
    let lines = subject.lines();
    if lines.is_empty() {
        return;
    }
    columns.heading(words::LINES_TITLE);
    let mut rows: Vec<_> = lines.iter().map(|line| (subject.spill_number(&line.line.name), line)).collect();
    rows.sort_by_key(|(number, _)| number.unwrap_or(usize::MAX));
    for (number, line) in rows {
        let mut facts = vec![format!(
            "{} {} m",
            words::kind(line.line.kind).to_lowercase(),
            quantity::figures::fixed(line.sizes.length_m, 0)
        )];
        if let Some(holding) = line.holding().filter(|_| line.line.kind == LineKind::Swale) {
            facts.push(format!("holds {} m³", quantity::figures::fixed(holding.holds_m3, 1)));
        }
        if let Some(to) = line.sizes.spills_to.first() {
            facts.push(words::goes_to(to));
        }
        let facts = facts.join(", ");
        columns.numbered_row(number, &line.line.name, &facts);
    }
    columns.gap(1.5);
}

/// Samples of the marks that the map has, two in a row.
fn marks(sketch: &Sketch, columns: &mut Columns) {
    write_samples(&samples(sketch), columns);
}

/// A legend, two samples in a row.
pub(super) fn write_samples<W: AsRef<str>>(samples: &[Sample<W>], columns: &mut Columns) {
    columns.heading(words::LEGEND_TITLE);
    const ROW_MM: f64 = 4.6;
    for pair in samples.chunks(2) {
        let Some(area) = columns.area(ROW_MM) else { return };
        for (i, (draw, said)) in pair.iter().enumerate() {
            let left = area.left_mm + i as f64 * area.width_mm / 2.0;
            let middle_y = area.top_mm + ROW_MM / 2.0;
            let run = [Spot::new(left + 0.5, middle_y), Spot::new(left + SAMPLE_MM - 1.0, middle_y)];
            columns.add(draw(&run));
            let at = Spot::new(left + SAMPLE_MM + 0.6, middle_y + 0.8);
            let fit_mm = area.width_mm / 2.0 - SAMPLE_MM - 1.0;
            let said = crate::lettering::cut(said.as_ref(), Face::Serif, SMALL_MM - 0.1, fit_mm);
            columns.add(vec![Text::new(at, said, Face::Serif, SMALL_MM - 0.1).into()]);
        }
    }
    columns.gap(1.5);
}

/// A mark drawn over a short run, and its words.
pub(super) type Sample<W> = (fn(&[Spot; 2]) -> Vec<Mark>, W);

fn samples(sketch: &Sketch) -> Vec<Sample<&'static str>> {
    let plan = &sketch.subject.site.plan;
    let has_kind = |kind| plan.lines.iter().any(|line| line.kind == kind);
    let mut samples: Vec<(bool, Sample<&'static str>)> = vec![
        (has_kind(LineKind::Swale), (|run| symbols::swale(run, |_| -1.0), legend::SWALE)),
        (has_kind(LineKind::Drain), (|run| symbols::drain(run), legend::DRAIN)),
        (has_kind(LineKind::Chute), (|run| symbols::chute(&shorter(run)), legend::CHUTE)),
        (has_kind(LineKind::Pipe), (|run| symbols::pipe(&shorter(run)), legend::PIPE)),
    ];
    let jumps = |line: &design::layout::LaidLine| line.pegs.iter().any(|peg| peg.after_jump);
    let layout = &sketch.subject.answers.layout;
    let comes_in = plan.sources.iter().any(|source| sketch.subject.place_of_source(source).is_some());
    samples.extend([
        (
            layout.lines.iter().any(jumps),
            ((|run| vec![symbols::jump(run)]) as fn(&[Spot; 2]) -> Vec<Mark>, legend::JUMP),
        ),
        (plan.lines.iter().any(|line| !line.sills.is_empty()), (sample_sill, legend::SILL)),
        (!layout.lines.is_empty(), (|run| vec![symbols::peg(centre(run), false)], legend::PEG)),
        (has_kind(LineKind::Swale), (sample_wash, legend::WATER)),
        (!plan.trees.is_empty(), (|run| symbols::tree(centre(run)), legend::TREE)),
        (comes_in, (|run| vec![symbols::drop(centre(run).moved(0.0, 0.6))], legend::DROP)),
        (!plan.keep_clears.is_empty(), (sample_keep_clear, legend::KEEP_CLEAR)),
        (!plan.barriers.is_empty(), (sample_barrier, legend::BARRIER)),
        (
            !sketch.subject.answers.findings.findings.is_empty(),
            (|run| symbols::triangle(centre(run), 1, false), legend::FINDING),
        ),
    ]);
    samples.into_iter().filter_map(|(has, sample)| has.then_some(sample)).collect()
}

pub(super) fn centre(run: &[Spot; 2]) -> Spot {
    run[0].towards(run[1], 0.5)
}

/// A sample with room for round ends.
fn shorter(run: &[Spot; 2]) -> [Spot; 2] {
    [run[0].moved(1.0, 0.0), run[1].moved(-1.0, 0.0)]
}

pub(super) fn sample_sill(run: &[Spot; 2]) -> Vec<Mark> {
    let up = |spot: Spot| spot.moved(0.0, -0.9);
    let mut marks = vec![Mark::run(vec![up(run[0]), up(run[1])], crate::ink::LINE_PEN)];
    let middle = up(centre(run));
    marks.extend(symbols::spill(&[middle, middle.moved(0.0, 3.2)]));
    marks.extend(symbols::sill(&[middle.moved(-1.8, 0.0), middle.moved(1.8, 0.0)]));
    marks
}

fn sample_wash(run: &[Spot; 2]) -> Vec<Mark> {
    let rect = Rect::new(run[0].x_mm, run[0].y_mm - 1.0, run[1].x_mm - run[0].x_mm, 2.0);
    vec![Mark::rect(rect, Some(WATER_EDGE_PEN), Some(Fill::Even(WATER_WASH)))]
}

fn sample_keep_clear(run: &[Spot; 2]) -> Vec<Mark> {
    let rect = Rect::new(run[0].x_mm, run[0].y_mm - 1.4, run[1].x_mm - run[0].x_mm, 2.8);
    vec![Mark::rect(rect, Some(THERE_PEN), Some(Fill::Hatched(KEEP_CLEAR_HATCH)))]
}

fn sample_barrier(run: &[Spot; 2]) -> Vec<Mark> {
    super::around::barrier(run)
}

fn trees(subject: &Subject, columns: &mut Columns) {
    let mut by_species: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for tree in &subject.answers.layout.trees {
        by_species.entry(&tree.species).or_default().push(&tree.tree);
    }
    if by_species.is_empty() {
        return;
    }
    columns.heading(words::TREES_TITLE);
    let rows: Vec<String> =
        by_species.into_iter().map(|(species, names)| format!("{species} {}", names.join(", "))).collect();
    columns.paragraph(&rows.join("; "), (Face::Serif, SMALL_MM, INK), 0.0);
    columns.gap(1.5);
}

fn findings(findings: &[Numbered], columns: &mut Columns) {
    columns.heading(words::FINDINGS_TITLE);
    if findings.is_empty() {
        columns.paragraph(words::NO_FINDINGS, (Face::Serif, SMALL_MM, INK), 0.0);
        return;
    }
    let (stops, others): (Vec<&Numbered>, Vec<&Numbered>) = findings.iter().partition(|f| f.says_stop());
    let mut groups: Vec<Entry> = stops
        .into_iter()
        .map(|stop| Entry {
            numbers: vec![stop.number],
            says_stop: true,
            words: format!("{}. {}", stop.spoken.title, stop.spoken.says),
        })
        .collect();
    for finding in others {
        let title = &finding.spoken.title;
        match groups.iter_mut().find(|group| group.words == *title) {
            Some(group) => group.numbers.push(finding.number),
            None => {
                groups.push(Entry { numbers: vec![finding.number], says_stop: false, words: title.clone() });
            }
        }
    }
    for (i, group) in groups.iter().enumerate() {
        let room_mm = columns.room_mm() - if i + 1 < groups.len() { 4.0 } else { 0.0 };
        if columns.is_last() && group.height_mm(columns.width_mm()) > room_mm {
            let left = groups[i..].iter().map(|group| group.numbers.len()).sum();
            let more = words::more_on_peg_sheet(left);
            columns.paragraph(&more, (Face::SerifItalic, SMALL_MM, INK), 0.0);
            return;
        }
        group.write(columns);
    }
}

/// A row of the list of findings: what says stop in full, of others those alike together by their title. The
/// peg sheet tells all of each.
struct Entry {
    numbers: Vec<usize>,
    says_stop: bool,
    words: String,
}

impl Entry {
    /// From triangle to triangle.
    const STEP_MM: f64 = 4.9;
    const LEAST_MM: f64 = 4.9;
    /// So many triangles stand before the words; more go under them.
    const AT_MOST: usize = 5;

    fn indent_mm(&self) -> f64 {
        let signs = self.numbers.len().min(Self::AT_MOST);
        1.0 + Self::STEP_MM * signs as f64
    }

    fn face(&self) -> Face {
        if self.says_stop { Face::SerifBold } else { Face::Serif }
    }

    fn lines(&self, width_mm: f64) -> Vec<String> {
        crate::lettering::wrap(&self.words, self.face(), SMALL_MM, width_mm - self.indent_mm())
    }

    fn height_mm(&self, width_mm: f64) -> f64 {
        let words_mm = self.lines(width_mm).len() as f64 * SMALL_MM * crate::lettering::LEADING + 0.6;
        let rows = self.numbers.len().div_ceil(Self::AT_MOST);
        words_mm.max(rows as f64 * Self::LEAST_MM)
    }

    fn write(&self, columns: &mut Columns) {
        let lines = self.lines(columns.width_mm());
        let Some(area) = columns.area(self.height_mm(columns.width_mm())) else {
            return;
        };
        let mut out = Vec::new();
        for (i, number) in self.numbers.iter().enumerate() {
            let (row, place) = (i / Self::AT_MOST, i % Self::AT_MOST);
            let sign = Spot::new(
                area.left_mm + 2.3 + Self::STEP_MM * place as f64,
                area.top_mm + 2.3 + Self::LEAST_MM * row as f64,
            );
            out.extend(symbols::triangle(sign, *number, self.says_stop));
        }
        // One line stands level with the middle of its triangles.
        let first_mm = if lines.len() == 1 { 1.4 } else { 0.95 };
        for (row, line) in lines.into_iter().enumerate() {
            let down_mm = SMALL_MM * (first_mm + row as f64 * crate::lettering::LEADING);
            let at = Spot::new(area.left_mm + self.indent_mm(), area.top_mm + down_mm);
            out.push(Text::new(at, line, self.face(), SMALL_MM).into());
        }
        columns.add(out);
    }
}

pub(super) fn cautions_height(columns: &Columns) -> f64 {
    let lines = caution_lines(columns.width_mm()).len();
    BODY_MM * 2.2 + lines as f64 * SMALL_MM * crate::lettering::LEADING + 5.0
}

fn caution_lines(width_mm: f64) -> Vec<String> {
    crate::lettering::wrap(&words::CAUTIONS.join(" "), Face::Serif, SMALL_MM, width_mm - 4.0)
}

pub(super) fn cautions(columns: &mut Columns) {
    let height_mm = cautions_height(columns);
    let area = columns.foot(height_mm);
    let band = Rect::new(area.left_mm, area.top_mm, 2.2, height_mm - 4.0);
    let mut out = vec![Mark::rect(band, Some(CAUTION_PEN), Some(Fill::Hatched(CAUTION_HATCH)))];
    let left = area.left_mm + 4.0;
    let mut y = area.top_mm + BODY_MM;
    out.push(
        Text::new(Spot::new(left, y), words::CAUTIONS_TITLE, Face::SerifBold, BODY_MM + 0.3)
            .in_colour(CAUTION)
            .into(),
    );
    y += BODY_MM * 1.25;
    for line in caution_lines(area.width_mm) {
        out.push(Text::new(Spot::new(left, y), line, Face::Serif, SMALL_MM).into());
        y += SMALL_MM * crate::lettering::LEADING;
    }
    let made = Text::new(
        Spot::new(area.right_mm(), area.bottom_mm()),
        words::MADE_WITH,
        Face::SerifItalic,
        SMALL_MM,
    )
    .aligned(Align::End)
    .in_colour(INK_2);
    out.push(made.into());
    out.push(Mark::run(
        vec![
            Spot::new(area.left_mm, area.bottom_mm() - 2.8),
            Spot::new(area.right_mm(), area.bottom_mm() - 2.8),
        ],
        HAIR_PEN,
    ));
    columns.add(out);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scale_bars_have_round_lengths() {
        for (at_most, length) in
            [(25.0, 20.0), (20.0, 20.0), (62.5, 50.0), (12.5, 10.0), (5.0, 5.0), (4.9, 2.0)]
        {
            assert!((round_down(at_most) - length).abs() < 1e-9, "{at_most}: {}", round_down(at_most));
        }
    }
}
