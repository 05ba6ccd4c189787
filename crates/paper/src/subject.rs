//! What a drawing is of: a site and the answers to it.

use design::findings::messages::{Spoken, speak};
use design::findings::{Finding, Severity};
use design::layout::LaidLine;
use design::section::{Sections, sections};
use design::sizes::{Holding, LineSizes};
use design::{Answers, pegs::LinePegs};
use ground::{Point, Polyline};
use site::Site;

use crate::plan::Format;

/// A site with its answers.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The site.
    pub site: &'a Site,
    /// The answers to it.
    pub answers: &'a Answers,
    /// The paper that the drawings must fit.
    pub format: Format,
}

/// A finding with its number on the papers and its words.
#[derive(Debug, Clone)]
pub(crate) struct Numbered<'a> {
    /// 1 for the gravest.
    pub number: usize,
    /// The finding.
    pub finding: &'a Finding,
    /// Its words.
    pub spoken: Spoken,
}

impl Numbered<'_> {
    /// Whether nobody should dig before it is settled.
    pub fn says_stop(&self) -> bool {
        self.finding.severity == Severity::Stop
    }
}

/// One line, as everything that is known of it.
#[derive(Debug, Clone)]
pub(crate) struct Known<'a> {
    /// As decided.
    pub line: &'a site::Line,
    /// As laid out.
    pub laid: &'a LaidLine,
    /// As pegged.
    pub pegs: &'a LinePegs,
    /// As sized.
    pub sizes: &'a LineSizes,
    /// Its cross-sections; none where they are not known.
    pub sections: Option<Sections>,
}

impl<'a> Known<'a> {
    /// What stands in it; none for a line that holds nothing.
    pub(crate) fn holding(&self) -> Option<&'a Holding> {
        self.sizes.holding.as_ref()
    }

    /// Level of the water when the line first spills.
    pub(crate) fn spills_at_z_m(&self) -> Option<f64> {
        self.holding()?.spills_at_z_m
    }
}

impl<'a> Subject<'a> {
    /// A site with its answers, for A4.
    pub fn new(site: &'a Site, answers: &'a Answers) -> Subject<'a> {
        Subject { site, answers, format: Format::A4 }
    }

    /// The lines, in the order of the plan. A line without an answer of its name has not been computed and is
    /// left out; [`design::answer`] gives one for each.
    pub(crate) fn lines(&self) -> Vec<Known<'a>> {
        let answers = self.answers;
        let known = |line: &'a site::Line| {
            let laid = answers.layout.line(&line.name)?;
            Some(Known {
                line,
                laid,
                sections: sections(self.site, line, laid).ok(),
                pegs: answers.pegs.lines.iter().find(|pegs| pegs.line == line.name)?,
                sizes: answers.sizes.lines.iter().find(|sizes| sizes.line == line.name)?,
            })
        };
        self.site.plan.lines.iter().filter_map(known).collect()
    }

    /// The findings with their numbers.
    pub(crate) fn findings(&self) -> Vec<Numbered<'a>> {
        let findings = self.answers.findings.findings.iter().enumerate();
        findings.map(|(i, finding)| Numbered { number: i + 1, finding, spoken: speak(finding) }).collect()
    }

    /// Place of a line in the order in which water meets them, 1 for the first; none for a line outside it.
    pub(crate) fn spill_number(&self, line: &str) -> Option<usize> {
        let order = &self.answers.sizes.spill_order;
        order.iter().position(|name| name == line).map(|i| i + 1)
    }

    /// Where a finding lies in plan, if it lies anywhere.
    pub(crate) fn place_of(&self, finding: &Finding) -> Option<Point> {
        let place = &finding.place;
        let on_line = || {
            let path = self.answers.layout.line(place.line.as_deref()?)?.path.as_ref()?;
            let middle_m = path.length_m() / 2.0;
            path.at(place.chainage_m.unwrap_or(middle_m).clamp(0.0, path.length_m()))
        };
        let thing = || self.place_of_thing(place.thing.as_deref()?);
        place.at().or_else(on_line).or_else(thing)
    }

    fn place_of_thing(&self, name: &str) -> Option<Point> {
        let plan = &self.site.plan;
        let tree = self.answers.layout.trees.iter().find(|tree| tree.tree == name);
        let keep_clear = plan.keep_clears.iter().find(|thing| thing.name == name);
        let source = plan.sources.iter().find(|source| source.name == name);
        tree.and_then(|tree| tree.at)
            .or_else(|| keep_clear.and_then(|thing| thing.at).map(point))
            .or_else(|| keep_clear.and_then(|thing| middle(thing.area.as_deref())))
            .or_else(|| keep_clear.and_then(|thing| halfway(thing.along.as_deref()?)))
            .or_else(|| source.and_then(|source| middle(source.area.as_deref())))
            .or_else(|| source.and_then(|source| self.place_of_source(source)))
    }

    /// Where a source's water comes to its line, where it comes in at one place; of several lines at the first.
    pub(crate) fn place_of_source(&self, source: &site::Source) -> Option<Point> {
        let picked = source.picked_up().next()?;
        self.answers.layout.line(picked.line)?.path.as_ref()?.at(picked.at_m?)
    }
}

/// A place as files write it.
pub(crate) fn point(xy: site::Xy) -> Point {
    Point::new(xy[0], xy[1])
}

/// Middle of the rectangle round an area.
pub(crate) fn middle(area: Option<&[site::Xy]>) -> Option<Point> {
    let bounds = ground::Bounds::around(area?.iter().copied().map(point))?;
    Some(Point::new((bounds.min_x_m + bounds.max_x_m) / 2.0, (bounds.min_y_m + bounds.max_y_m) / 2.0))
}

fn halfway(along: &[site::Xy]) -> Option<Point> {
    let line = Polyline::new(along.iter().copied().map(point).collect())?;
    line.at(line.length_m() / 2.0)
}
