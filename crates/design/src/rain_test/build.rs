//! The works as a chain: each line cut into pieces of about a metre, with its sills, banks, ends and links.
//!
//! What a piece is made of follows the sections of the plan, or the levels taken along a dug line. What leaves over a
//! bank goes the way of the water over the ground; what leaves by a sill or an end goes to the line that the plan
//! names, to the place where that way meets it, or else to the nearest place of it.
//!
//! A pipe is a pit of a metre at its mouth and the pipe itself. Leaves out: water that the links hold on their way.

use ground::Point;
use quantity::Estimate;
use site::{Line, LineKind, Lining, Site, Soil};
use water::chain::{
    Cell, CellAt, Chain, ChainCrest, ChainLine, ChainParts, ChainPipe, CrestKind, CrestPart, End, Soak,
    Target,
};
use water::pipe::{Mouth, Pipe};
use water::section::{HandSection, Section};
use water::weir::Crest;

use super::RainTestError;
use super::answer::{LeavesBy, LeftOut};
use super::draw::Draw;
use crate::layout::{LaidLine, Layout, WayEnds};
use crate::section::{SectionUnknown, Sections, hand_section, sections};
use crate::sizes::{cover, sills::sill_crest};
use crate::soil;

/// Length of a piece: about the length of a shovel's work, and as fine as land is counted along a line.
const PIECE_M: f64 = 1.0;
/// Shorter bank than this beside a piece is the sill's edge.
const LEAST_BANK_M: f64 = 1e-6;
/// Length of the pit at the mouth of a pipe. Common practice, no source.
const PIT_M: f64 = 1.0;
/// Width and depth of that pit over the diameter, where the plan gives none. Common practice, no source.
const PIT_OVER_DIAMETER: f64 = 2.0;

/// A piece of a line, as drawn.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub from_m: f64,
    pub to_m: f64,
    /// Height of the ground at the pegs.
    pub ground_z_m: f64,
    pub section: Section,
    /// Lowest place where water leaves beside it: the bank, or the ground uphill where that is lower.
    pub bank_z_m: f64,
    /// Where the water goes that leaves there.
    pub bank_to: Target,
    /// Whether its bank can stand in the water of the line that it ends in: nothing breaks out there.
    pub drowned: bool,
}

impl Piece {
    pub(super) fn middle_m(&self) -> f64 {
        0.5 * (self.from_m + self.to_m)
    }

    pub(super) fn length_m(&self) -> f64 {
        self.to_m - self.from_m
    }

    pub(super) fn bed_z_m(&self) -> f64 {
        self.ground_z_m + self.section.bed_z_m()
    }

    /// Width of the trench and the water in front of the bank when it is full: rain on it is all caught.
    pub(super) fn catches_m2(&self) -> f64 {
        self.length_m() * self.section.top_width_m(self.section.brim_z_m())
    }
}

/// A line of the works.
#[derive(Debug)]
pub(super) struct WorksLine<'a> {
    pub line: &'a Line,
    pub laid: &'a LaidLine,
    pub soil: Option<&'a Soil>,
    /// How fast that soil soaks.
    pub soak_mm_h: Option<Estimate>,
    /// Whether the levels were taken along the dug line.
    pub as_dug: bool,
    pub pieces: Vec<Piece>,
    /// Heights of the crests of its sills.
    pub crests_z_m: Vec<f64>,
}

impl WorksLine<'_> {
    /// The piece at a distance along it, the nearest at its ends.
    pub(super) fn piece_at(&self, chainage_m: f64) -> usize {
        self.pieces.partition_point(|piece| piece.to_m < chainage_m).min(self.pieces.len() - 1)
    }

    pub(super) fn lining(&self) -> Lining {
        self.line.lining.unwrap_or(Lining::Bare)
    }

    /// The pieces that a sill lies beside, each with the length of it. Beyond the line's ends it lies at the last.
    fn overlaps(&self, sill: &site::Sill) -> Vec<(usize, f64)> {
        let (from_m, to_m) = (sill.at_m - 0.5 * sill.width_m, sill.at_m + 0.5 * sill.width_m);
        let spans = self.pieces.iter().enumerate().filter_map(|(i, piece)| {
            let length_m = piece.to_m.min(to_m) - piece.from_m.max(from_m);
            (length_m > 0.0).then_some((i, length_m))
        });
        let spans: Vec<(usize, f64)> = spans.collect();
        if spans.is_empty() {
            return vec![(self.piece_at(sill.at_m), sill.width_m)];
        }
        spans
    }

    /// Length of bank beside each piece: what its sills leave.
    fn bank_m(&self) -> Vec<f64> {
        let mut free_m: Vec<f64> = self.pieces.iter().map(Piece::length_m).collect();
        for sill in &self.line.sills {
            for (piece, length_m) in self.overlaps(sill) {
                free_m[piece] -= length_m;
            }
        }
        free_m
    }

    /// The pieces with a bank beside them.
    pub(super) fn bank_pieces(&self) -> Vec<usize> {
        let bank_m = self.bank_m();
        let has_bank = |piece: &usize| bank_m[*piece] > LEAST_BANK_M && !self.pieces[*piece].drowned;
        (0..bank_m.len()).filter(has_bank).collect()
    }

    pub(super) fn has_bank(&self) -> bool {
        !self.bank_pieces().is_empty()
    }

    /// Height of the sill or bank beside a piece, whichever lets the water out first.
    pub(super) fn lets_out_z_m(&self, piece: usize) -> f64 {
        let sills = self.line.sills.iter().zip(&self.crests_z_m);
        let beside = sills.filter(|(sill, _)| self.overlaps(sill).iter().any(|(at, _)| *at == piece));
        beside.map(|(_, crest_z_m)| *crest_z_m).fold(self.pieces[piece].bank_z_m, f64::min)
    }

    /// The lowest place of its bank.
    pub(super) fn lowest_bank_z_m(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.bank_z_m).fold(f64::INFINITY, f64::min)
    }
}

/// A place where water leaves the works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Exit {
    /// Its line among the lines of the works.
    pub line: usize,
    pub by: LeavesBy,
    pub at_m: f64,
}

/// The works of a site, ready for any number of storms.
#[derive(Debug)]
pub(super) struct Works<'a> {
    pub site: &'a Site,
    pub lines: Vec<WorksLine<'a>>,
    pub left_out: Vec<LeftOut>,
    /// By the numbers of [`Target::Leaves`].
    pub exits: Vec<Exit>,
    /// For each line its sills' targets, in order, then its end's.
    outlets: Vec<Vec<Target>>,
}

/// A bank brought down to the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lowered {
    pub line: usize,
    pub piece: usize,
}

impl<'a> Works<'a> {
    /// Cuts the lines of a site into pieces and finds where their water goes.
    pub(super) fn of(site: &'a Site, layout: &'a Layout) -> Result<Works<'a>, RainTestError> {
        let mut works =
            Works { site, lines: Vec::new(), left_out: Vec::new(), exits: Vec::new(), outlets: Vec::new() };
        for (line, laid) in site.plan.lines.iter().zip(&layout.lines) {
            match pieces(site, line, laid) {
                Ok((as_dug, pieces, crests_z_m)) => {
                    let soil = soil::soil_of(site, laid);
                    let soak_mm_h = soil.map(|soil| soil::soak_rate(site, soil).soak_mm_h);
                    works.lines.push(WorksLine { line, laid, soil, soak_mm_h, as_dug, pieces, crests_z_m });
                }
                Err(why) => {
                    works.left_out.push(LeftOut { line: line.name.clone(), because: why.to_string() });
                }
            }
        }
        if works.lines.is_empty() {
            return Err(RainTestError::NoLines);
        }
        let no_soil = |line: &&WorksLine| line.soil.is_none() && line.line.kind != LineKind::Pipe;
        if let Some(line) = works.lines.iter().find(no_soil) {
            return Err(RainTestError::NoSoil { line: line.line.name.clone() });
        }
        works.link_outlets(layout);
        works.link_banks(layout);
        Ok(works)
    }

    fn place(&self, name: &str) -> Option<usize> {
        self.lines.iter().position(|line| line.line.name == name)
    }

    fn exit(&mut self, exit: Exit) -> Target {
        self.exits.push(exit);
        Target::Leaves(self.exits.len() - 1)
    }

    /// Sills and ends to what the plan names.
    fn link_outlets(&mut self, layout: &Layout) {
        for from in 0..self.lines.len() {
            let line = self.lines[from].line;
            let end_m = self.lines[from].laid.length_m();
            let mut targets = Vec::new();
            for sill in &line.sills {
                let to = self.meant_for(layout, from, &sill.to, sill.at_m);
                let exit = Exit { line: from, by: LeavesBy::Sill, at_m: sill.at_m };
                targets.push(to.unwrap_or_else(|| self.exit(exit)));
            }
            if line.kind != LineKind::Swale {
                let to = line.to.as_deref().and_then(|name| self.meant_for(layout, from, name, end_m));
                let exit = Exit { line: from, by: LeavesBy::End, at_m: end_m };
                targets.push(to.unwrap_or_else(|| self.exit(exit)));
            }
            self.outlets.push(targets);
        }
    }

    /// The place of the named line that water from a place of another reaches; none for the ground.
    fn meant_for(&self, layout: &Layout, from: usize, name: &str, at_m: f64) -> Option<Target> {
        let to = self.place(name).filter(|to| *to != from)?;
        let laid = self.lines[to].laid;
        let start = self.lines[from].laid.path.as_ref().and_then(|path| path.at(at_m));
        let chainage_m = start.zip(laid.path.as_ref()).map(|(start, path)| {
            let meets = way_to(layout, start).filter(|(line, _)| layout.lines[*line].line == name);
            path.nearest(meets.map_or(start, |(_, at)| at)).chainage_m
        });
        // Lines by tape lie nowhere: the water comes down opposite to where it left.
        let cell = self.lines[to].piece_at(chainage_m.unwrap_or(at_m));
        Some(Target::Cell(CellAt { line: to, cell }))
    }

    /// What goes over a bank goes the way of the water: to the line it meets, or off the works. A way that leads
    /// back to what feeds the line is taken as off the works.
    fn link_banks(&mut self, layout: &Layout) {
        let mut next: Vec<Vec<usize>> = self.outlets.iter().map(|targets| lines_of(targets)).collect();
        for from in 0..self.lines.len() {
            let mut off_works: Option<Target> = None;
            for piece in 0..self.lines[from].pieces.len() {
                let at_m = self.lines[from].pieces[piece].middle_m();
                let to = self.bank_leads(layout, from, at_m).filter(|to| !leads_to(&next, to.line, from));
                let target = match to {
                    Some(at) => {
                        next[from].push(at.line);
                        Target::Cell(at)
                    }
                    None => *off_works.get_or_insert_with(|| {
                        self.exits.push(Exit { line: from, by: LeavesBy::Bank, at_m });
                        Target::Leaves(self.exits.len() - 1)
                    }),
                };
                self.lines[from].pieces[piece].bank_to = target;
                self.lines[from].pieces[piece].drowned = self.is_drowned(from, piece, target);
            }
        }
    }

    /// A drain or chute ends in the water of the line it leads to: where its bank lies below that line's, water stands
    /// on both sides of it.
    fn is_drowned(&self, from: usize, piece: usize, bank_to: Target) -> bool {
        let ends_in = self.outlets[from].last().filter(|_| self.lines[from].line.kind != LineKind::Swale);
        match (ends_in, bank_to) {
            (Some(Target::Cell(end)), Target::Cell(at)) if end.line == at.line => {
                self.lines[from].pieces[piece].bank_z_m < self.lines[at.line].lowest_bank_z_m()
            }
            _ => false,
        }
    }

    fn bank_leads(&self, layout: &Layout, from: usize, at_m: f64) -> Option<CellAt> {
        let Some(start) = self.lines[from].laid.path.as_ref().and_then(|path| path.at(at_m)) else {
            // Nothing is known of the ground: as the sills, opposite to where it left.
            return self.outlets[from].iter().find_map(|to| match to {
                Target::Cell(at) => Some(CellAt { line: at.line, cell: self.lines[at.line].piece_at(at_m) }),
                Target::Leaves(_) => None,
            });
        };
        let (to, at) = way_to(layout, start)?;
        let to = self.place(&layout.lines[to].line).filter(|to| *to != from)?;
        let chainage_m = self.lines[to].laid.path.as_ref()?.nearest(at).chainage_m;
        Some(CellAt { line: to, cell: self.lines[to].piece_at(chainage_m) })
    }

    /// Where what leaves the end of a line goes; none for a swale, which is closed.
    pub(super) fn end_of(&self, line: usize) -> Option<Target> {
        let swale = self.lines[line].line.kind == LineKind::Swale;
        self.outlets[line].last().copied().filter(|_| !swale)
    }

    /// Every sill and bank of a line: height, length and where its water goes.
    pub(super) fn crests_of(&self, line: usize) -> Vec<(f64, f64, Target)> {
        let of_line = &self.lines[line];
        let sills = of_line.line.sills.iter().zip(&of_line.crests_z_m).zip(&self.outlets[line]);
        let mut crests: Vec<(f64, f64, Target)> =
            sills.map(|((sill, z_m), to)| (*z_m, sill.width_m, *to)).collect();
        let bank_m = of_line.bank_m();
        for piece in of_line.bank_pieces() {
            let of_piece = &of_line.pieces[piece];
            crests.push((of_piece.bank_z_m, bank_m[piece], of_piece.bank_to));
        }
        crests
    }

    /// The place of a source among those of the plan.
    pub(super) fn source_place(&self, source: &site::Source) -> usize {
        let place = self.site.plan.sources.iter().position(|of_plan| std::ptr::eq(of_plan, source));
        place.expect("a source of this plan")
    }

    /// The chain of one member, with these banks brought down to the ground.
    pub(super) fn chain(&self, draw: &Draw, lowered: &[Lowered]) -> Result<Chain, RainTestError> {
        let mut parts = ChainParts::default();
        for (index, line) in self.lines.iter().enumerate() {
            let member = MemberLine { works: self, index, line, draw, lowered };
            parts.lines.push(member.chain_line());
            parts.crests.extend(member.sills());
            parts.crests.extend(member.bank());
            parts.pipes.extend(member.pipe());
        }
        Ok(Chain::new(parts)?)
    }
}

impl Works<'_> {
    /// Levels of lines that are full: swales to the lowest sill or bank, everything else dry.
    pub(super) fn full_levels_z_m(&self, draw: &Draw) -> Vec<Vec<f64>> {
        self.lines.iter().enumerate().map(|(index, line)| full_level_z_m(index, line, draw)).collect()
    }
}

fn full_level_z_m(index: usize, line: &WorksLine, draw: &Draw) -> Vec<f64> {
    let shift_m = |piece: usize| draw.shift_m(index, piece);
    let beds = line.pieces.iter().enumerate().map(|(i, piece)| piece.bed_z_m() + shift_m(i));
    if line.line.kind != LineKind::Swale {
        return beds.collect();
    }
    let sills = line.line.sills.iter().zip(&line.crests_z_m);
    let sills = sills.map(|(sill, crest_z_m)| crest_z_m + shift_m(line.piece_at(sill.at_m)));
    let banks = line.pieces.iter().enumerate().map(|(i, piece)| piece.bank_z_m + shift_m(i));
    let full_z_m = sills.chain(banks).fold(f64::INFINITY, f64::min);
    beds.map(|bed_z_m| if bed_z_m < full_z_m { full_z_m } else { bed_z_m }).collect()
}

/// The line that the way of water from a place meets, and where.
fn way_to(layout: &Layout, start: Point) -> Option<(usize, Point)> {
    let way = layout.water_ways.as_ref()?.from(start)?;
    match way.ends {
        WayEnds::Line(line) => Some((line, *way.points.last()?)),
        WayEnds::Leaves | WayEnds::Stays => None,
    }
}

fn lines_of(targets: &[Target]) -> Vec<usize> {
    let line = |target: &Target| match target {
        Target::Cell(at) => Some(at.line),
        Target::Leaves(_) => None,
    };
    targets.iter().filter_map(line).collect()
}

/// Whether water from one line ever comes to another.
fn leads_to(next: &[Vec<usize>], from: usize, to: usize) -> bool {
    let mut met = vec![false; next.len()];
    let mut waiting = vec![from];
    while let Some(line) = waiting.pop() {
        if line == to {
            return true;
        }
        if !met[line] {
            met[line] = true;
            waiting.extend(&next[line]);
        }
    }
    false
}

/// One line in one member.
struct MemberLine<'a> {
    works: &'a Works<'a>,
    index: usize,
    line: &'a WorksLine<'a>,
    draw: &'a Draw,
    lowered: &'a [Lowered],
}

impl MemberLine<'_> {
    fn shift_m(&self, piece: usize) -> f64 {
        self.draw.shift_m(self.index, piece)
    }

    fn chain_line(&self) -> ChainLine {
        let manning_n = cover::channel_n(self.line.lining());
        let soak = self.soak();
        let cells = self.line.pieces.iter().enumerate().map(|(i, piece)| Cell {
            length_m: piece.length_m(),
            ground_z_m: piece.ground_z_m + self.shift_m(i),
            section: piece.section.clone(),
            manning_n,
            soak,
        });
        ChainLine { cells: cells.collect(), ends: [End::Closed, self.last_end()] }
    }

    fn soak(&self) -> Soak {
        let pit = self.line.line.kind == LineKind::Pipe;
        let known = self.line.soil.zip(self.line.soak_mm_h).filter(|_| !pit);
        known.map_or(Soak::Steady { rate_m_s: 0.0 }, |(soil, rate)| self.draw.soak(soil, rate))
    }

    /// A swale is closed at its end; a drain or chute falls off, or runs into the line it leads to where that lies as
    /// high as its own bed.
    fn last_end(&self) -> End {
        if matches!(self.line.line.kind, LineKind::Swale | LineKind::Pipe) {
            return End::Closed;
        }
        let targets = &self.works.outlets[self.index];
        let to = targets[targets.len() - 1];
        let bed_z_m = self.line.pieces[self.line.pieces.len() - 1].bed_z_m();
        match to {
            Target::Cell(at) if self.works.lines[at.line].pieces[at.cell].bank_z_m > bed_z_m => End::Into(at),
            to => End::FreeFall { to },
        }
    }

    fn sills(&self) -> Vec<ChainCrest> {
        let sills = self.line.line.sills.iter().enumerate();
        sills
            .map(|(i, sill)| {
                let shift_m = self.shift_m(self.line.piece_at(sill.at_m));
                let spans = self.line.overlaps(sill);
                let covered_m: f64 = spans.iter().map(|(_, length_m)| length_m).sum();
                let part = |(cell, length_m): (usize, f64)| CrestPart {
                    cell,
                    z_m: self.line.crests_z_m[i] + shift_m,
                    // A sill that reaches beyond the line's end keeps its length.
                    length_m: length_m * sill.width_m / covered_m,
                    to: self.works.outlets[self.index][i],
                };
                ChainCrest {
                    line: self.index,
                    kind: CrestKind::Sill,
                    crest: sill_crest(self.line.line, sill),
                    parts: spans.into_iter().map(part).collect(),
                }
            })
            .collect()
    }

    /// The bank beside every piece, but for what its sills take.
    fn bank(&self) -> Option<ChainCrest> {
        let hand = hand_section(self.line.line, 0.0);
        let bank_m = self.line.bank_m();
        let parts = self.line.bank_pieces().into_iter().map(|i| {
            let piece = &self.line.pieces[i];
            let down = self.lowered.contains(&Lowered { line: self.index, piece: i });
            let z_m = if down { piece.ground_z_m } else { piece.bank_z_m };
            CrestPart { cell: i, z_m: z_m + self.shift_m(i), length_m: bank_m[i], to: piece.bank_to }
        });
        let parts: Vec<CrestPart> = parts.collect();
        (!parts.is_empty()).then_some(ChainCrest {
            line: self.index,
            kind: CrestKind::Bank,
            crest: Crest::Rough {
                breadth_m: hand.bank_top_m,
                // A bank is bare or thinly sown when it first matters.
                manning_n: cover::crest_n(Lining::Bare),
            },
            parts,
        })
    }

    fn pipe(&self) -> Option<ChainPipe> {
        let diameter_m = self.line.line.pipe_diameter_m.filter(|_| self.line.line.kind == LineKind::Pipe)?;
        let targets = &self.works.outlets[self.index];
        let slope = self.line.laid.grade;
        Some(ChainPipe {
            from: CellAt { line: self.index, cell: 0 },
            invert_z_m: self.line.pieces[0].bed_z_m(),
            to: targets[targets.len() - 1],
            pipe: Pipe {
                diameter_m,
                length_m: self.line.laid.length_m(),
                slope: if slope > 0.0 { slope } else { 0.0 },
                manning_n: cover::PIPE_N,
                mouth: Mouth::CorrugatedProjecting,
            },
        })
    }
}

/// The pieces of a line, whether they are as dug, and the heights of its sills.
fn pieces(site: &Site, line: &Line, laid: &LaidLine) -> Result<(bool, Vec<Piece>, Vec<f64>), SectionUnknown> {
    if line.kind == LineKind::Pipe {
        return Ok((false, vec![pit(line, laid)?], Vec::new()));
    }
    let sections = sections(site, line, laid)?;
    let from_m = sections.places[0].chainage_m;
    let length_m = sections.places[sections.places.len() - 1].chainage_m - from_m;
    let count = (length_m / PIECE_M).ceil().max(1.0);
    let along = |i: usize| from_m + length_m * i as f64 / count;
    let pieces: Result<Vec<Piece>, SectionUnknown> =
        (0..count as usize).map(|i| piece(&sections, along(i), along(i + 1))).collect();
    let crests_z_m = line.sills.iter().map(|sill| sections.crest_z_m(sill)).collect();
    Ok((sections.as_dug, pieces?, crests_z_m))
}

fn piece(sections: &Sections, from_m: f64, to_m: f64) -> Result<Piece, SectionUnknown> {
    let middle = sections.at(0.5 * (from_m + to_m));
    let why = |why| SectionUnknown::Section { chainage_m: middle.chainage_m, why };
    let section = middle.hand.section().map_err(why)?;
    // The lowest place of the bank beside the piece, not the mean: there it breaks out.
    let inside = sections.places.iter().map(|place| place.chainage_m).filter(|m| (from_m..=to_m).contains(m));
    let lowest_z_m =
        inside.chain([from_m, to_m]).map(|m| sections.bank_top_z_m(m)).fold(f64::INFINITY, f64::min);
    let brim_z_m = middle.ground_z_m + section.brim_z_m();
    Ok(Piece {
        from_m,
        to_m,
        ground_z_m: middle.ground_z_m,
        bank_z_m: if brim_z_m < lowest_z_m { brim_z_m } else { lowest_z_m },
        section,
        bank_to: Target::Leaves(0),
        drowned: false,
    })
}

/// The pit at the mouth of a pipe: upright, level ground round it.
fn pit(line: &Line, laid: &LaidLine) -> Result<Piece, SectionUnknown> {
    let ground_z_m = laid.pegs.first().and_then(|peg| peg.ground_z_m).ok_or(SectionUnknown::NoHeights)?;
    let diameter_m = line.pipe_diameter_m.ok_or(SectionUnknown::Pipe)?;
    let hand = HandSection {
        cross_slope: 0.0,
        bed_width_m: line.bed_width_m.unwrap_or(PIT_OVER_DIAMETER * diameter_m),
        depth_m: line.depth_m.unwrap_or(PIT_OVER_DIAMETER * diameter_m),
        cut_batter: 0.0,
        bank_height_m: 0.0,
        ..hand_section(line, 0.0)
    };
    let section = hand.section().map_err(|why| SectionUnknown::Section { chainage_m: 0.0, why })?;
    Ok(Piece {
        from_m: 0.0,
        to_m: PIT_M,
        ground_z_m,
        section,
        bank_z_m: ground_z_m,
        bank_to: Target::Leaves(0),
        drowned: false,
    })
}
