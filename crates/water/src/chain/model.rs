//! What a chain of lines is made of, and the check at the door.

use crate::pipe::Pipe;
use crate::section::Section;
use crate::soak::GreenAmpt;
use crate::weir::Crest;

/// A cell's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct CellAt {
    /// Which line, from 0.
    pub line: usize,
    /// Which of its cells, from 0.
    pub cell: usize,
}

/// Where water goes that leaves a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// Into a cell of another line.
    Cell(CellAt),
    /// Out of the chain, onto the ground; the number groups what leaves in one place.
    Leaves(usize),
}

/// How fast the bed takes water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Soak {
    /// The same rate at all times; 0 for a bed that is tight.
    Steady {
        /// Depth through each square metre of wetted earth in a second.
        rate_m_s: f64,
    },
    /// Fast at first, slower as the wet front goes down.
    GreenAmpt(GreenAmpt),
}

/// A short piece of a line, with one level of water.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// Length along the line.
    pub length_m: f64,
    /// Height above the site datum from which the section's heights are measured.
    pub ground_z_m: f64,
    /// The section.
    pub section: Section,
    /// Manning's n of the wetted earth, s/m^(1/3); 0 for a bed without friction.
    pub manning_n: f64,
    /// What the wetted earth takes.
    pub soak: Soak,
}

impl Cell {
    /// Height of the bed above the site datum.
    pub fn bed_z_m(&self) -> f64 {
        self.ground_z_m + self.section.bed_z_m()
    }
}

/// An end of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// A dam: nothing passes.
    Closed,
    /// The bed breaks off: water passes at critical depth, less when the water below stands above the bed.
    FreeFall {
        /// Where it goes.
        to: Target,
    },
    /// The line goes on at a steady slope: water passes at normal depth, less when the water below stands above the bed.
    NormalFlow {
        /// Fall of the bed beyond the end, rise over run.
        slope: f64,
        /// Where it goes.
        to: Target,
    },
    /// Water below that is held at a level; it takes what comes and gives nothing back.
    Level {
        /// Its level above the site datum.
        z_m: f64,
        /// Where it goes.
        to: Target,
    },
    /// Open into a cell of another line: water runs either way.
    Into(CellAt),
}

/// A line, cut into cells from its first end to its last.
#[derive(Debug, Clone, PartialEq)]
pub struct ChainLine {
    /// Its cells in order.
    pub cells: Vec<Cell>,
    /// Its first end (before cell 0) and its last.
    pub ends: [End; 2],
}

/// What a crest is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CrestKind {
    /// Meant to spill.
    Sill,
    /// Not meant to: spilling is a breakout.
    Bank,
}

/// The part of a crest beside one cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrestPart {
    /// The cell.
    pub cell: usize,
    /// Height of the crest above the site datum.
    pub z_m: f64,
    /// Length of crest, across the spill.
    pub length_m: f64,
    /// Where the spill goes. Water that stands there above the crest drowns it and runs back when it is higher.
    pub to: Target,
}

/// A sill, or the bank along a line.
#[derive(Debug, Clone, PartialEq)]
pub struct ChainCrest {
    /// The line that spills.
    pub line: usize,
    /// What it is for.
    pub kind: CrestKind,
    /// What its top is like.
    pub crest: Crest,
    /// Its parts.
    pub parts: Vec<CrestPart>,
}

/// A pipe from a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChainPipe {
    /// The cell at its mouth.
    pub from: CellAt,
    /// Height of the mouth's invert above the site datum; the outlet lies lower by slope × length.
    pub invert_z_m: f64,
    /// Where it goes.
    pub to: Target,
    /// The pipe.
    pub pipe: Pipe,
}

/// What a chain is given as.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ChainParts {
    /// The lines.
    pub lines: Vec<ChainLine>,
    /// Sills and banks.
    pub crests: Vec<ChainCrest>,
    /// Pipes.
    pub pipes: Vec<ChainPipe>,
}

/// Lines joined by ends, crests and pipes; checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    parts: ChainParts,
    outlets: usize,
}

/// Where in a chain a fault lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChainPlace {
    /// A line.
    Line(usize),
    /// A cell.
    Cell(CellAt),
    /// An end of a line: 0 the first, 1 the last.
    End(usize, usize),
    /// A crest.
    Crest(usize),
    /// A pipe.
    Pipe(usize),
}

impl std::fmt::Display for ChainPlace {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            ChainPlace::Line(line) => write!(f, "line {line}"),
            ChainPlace::Cell(at) => write!(f, "line {} cell {}", at.line, at.cell),
            ChainPlace::End(line, end) => write!(f, "line {line} end {end}"),
            ChainPlace::Crest(crest) => write!(f, "crest {crest}"),
            ChainPlace::Pipe(pipe) => write!(f, "pipe {pipe}"),
        }
    }
}

/// Why lines make no chain. Lines, cells, crests and pipes are counted from 0.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ChainError {
    /// A line without cells, or a crest without parts.
    #[error("{place} has no pieces: give at least 1")]
    Empty {
        /// Which.
        place: ChainPlace,
    },
    /// A number out of its range.
    #[error("{place}: {name} is {value}: give {wanted}")]
    BadNumber {
        /// Where.
        place: ChainPlace,
        /// Which number.
        name: &'static str,
        /// As found.
        value: f64,
        /// What would do.
        wanted: &'static str,
    },
    /// A link from or to a cell that does not exist.
    #[error("{place} names line {} cell {}, which does not exist: there are {lines} lines", .at.line, .at.cell)]
    NoSuchCell {
        /// The link.
        place: ChainPlace,
        /// The cell it names.
        at: CellAt,
        /// How many lines there are.
        lines: usize,
    },
    /// A link from a line to itself.
    #[error("{place} leads line {line} back into itself: send it to another line or out")]
    ToItself {
        /// The link.
        place: ChainPlace,
        /// The line.
        line: usize,
    },
    /// Links that lead round in a circle.
    #[error("the lines {lines:?} pass water on in a circle: let one of them spill elsewhere")]
    Circle {
        /// The lines, in the order in which they pass it on.
        lines: Vec<usize>,
    },
}

const ABOVE_0: &str = "a number above 0";
const NOT_BELOW_0: &str = "a number of 0 or more";
const FINITE: &str = "a finite number";

impl Chain {
    /// A chain from its parts.
    ///
    /// # Errors
    /// If a line is empty, a number is out of range, a link leads to no cell or to its own line, or the lines pass
    /// water on in a circle.
    pub fn new(parts: ChainParts) -> Result<Chain, ChainError> {
        for (line, chain_line) in parts.lines.iter().enumerate() {
            check_line(line, chain_line)?;
        }
        let mut links = Vec::new();
        for (line, chain_line) in parts.lines.iter().enumerate() {
            for (end, kind) in chain_line.ends.iter().enumerate() {
                links.extend(end_target(*kind).map(|to| (ChainPlace::End(line, end), line, to)));
            }
        }
        for (index, crest) in parts.crests.iter().enumerate() {
            check_crest(&parts, index)?;
            let place = ChainPlace::Crest(index);
            links.extend(crest.parts.iter().map(|part| (place, crest.line, part.to)));
        }
        for (index, pipe) in parts.pipes.iter().enumerate() {
            check_pipe(&parts, index)?;
            links.push((ChainPlace::Pipe(index), pipe.from.line, pipe.to));
        }
        let mut outlets = 0;
        let mut next: Vec<Vec<usize>> = vec![Vec::new(); parts.lines.len()];
        for (place, from, to) in links {
            match to {
                Target::Leaves(outlet) => outlets = outlets.max(outlet + 1),
                Target::Cell(at) => {
                    cell_exists(&parts, place, at)?;
                    if at.line == from {
                        return Err(ChainError::ToItself { place, line: from });
                    }
                    next[from].push(at.line);
                }
            }
        }
        check_circles(&next)?;
        Ok(Chain { parts, outlets })
    }

    /// Its lines.
    pub fn lines(&self) -> &[ChainLine] {
        &self.parts.lines
    }

    /// Its sills and banks.
    pub fn crests(&self) -> &[ChainCrest] {
        &self.parts.crests
    }

    /// Its pipes.
    pub fn pipes(&self) -> &[ChainPipe] {
        &self.parts.pipes
    }

    /// One more than the greatest number of a place where water leaves.
    pub fn outlets(&self) -> usize {
        self.outlets
    }
}

fn end_target(end: End) -> Option<Target> {
    match end {
        End::Closed => None,
        End::FreeFall { to } | End::NormalFlow { to, .. } | End::Level { to, .. } => Some(to),
        End::Into(at) => Some(Target::Cell(at)),
    }
}

fn check_line(line: usize, chain_line: &ChainLine) -> Result<(), ChainError> {
    if chain_line.cells.is_empty() {
        return Err(ChainError::Empty { place: ChainPlace::Line(line) });
    }
    for (cell, piece) in chain_line.cells.iter().enumerate() {
        let place = ChainPlace::Cell(CellAt { line, cell });
        above_0(place, "length_m", piece.length_m)?;
        finite(place, "ground_z_m", piece.ground_z_m)?;
        not_below_0(place, "manning_n", piece.manning_n)?;
        match piece.soak {
            Soak::Steady { rate_m_s } => not_below_0(place, "soak rate_m_s", rate_m_s)?,
            Soak::GreenAmpt(soil) => {
                not_below_0(place, "soak conductivity_m_s", soil.conductivity_m_s)?;
                not_below_0(place, "soak suction_m", soil.suction_m)?;
                not_below_0(place, "soak deficit_frac", soil.deficit_frac)?;
            }
        }
    }
    for (end, kind) in chain_line.ends.iter().enumerate() {
        let place = ChainPlace::End(line, end);
        match *kind {
            End::NormalFlow { slope, .. } => {
                above_0(place, "slope", slope)?;
                let cell = if end == 0 { 0 } else { chain_line.cells.len() - 1 };
                above_0(place, "manning_n of its cell", chain_line.cells[cell].manning_n)?;
            }
            End::Level { z_m, .. } => finite(place, "z_m", z_m)?,
            End::Closed | End::FreeFall { .. } | End::Into(_) => {}
        }
    }
    Ok(())
}

fn check_crest(parts: &ChainParts, index: usize) -> Result<(), ChainError> {
    let place = ChainPlace::Crest(index);
    let crest = &parts.crests[index];
    if crest.parts.is_empty() {
        return Err(ChainError::Empty { place });
    }
    if let Crest::Rough { breadth_m, manning_n } = crest.crest {
        not_below_0(place, "breadth_m", breadth_m)?;
        not_below_0(place, "manning_n", manning_n)?;
    }
    for part in &crest.parts {
        let at = CellAt { line: crest.line, cell: part.cell };
        cell_exists(parts, place, at)?;
        finite(place, "z_m", part.z_m)?;
        above_0(place, "length_m", part.length_m)?;
    }
    Ok(())
}

fn check_pipe(parts: &ChainParts, index: usize) -> Result<(), ChainError> {
    let place = ChainPlace::Pipe(index);
    let pipe = &parts.pipes[index];
    cell_exists(parts, place, pipe.from)?;
    finite(place, "invert_z_m", pipe.invert_z_m)?;
    above_0(place, "diameter_m", pipe.pipe.diameter_m)?;
    above_0(place, "length_m", pipe.pipe.length_m)?;
    above_0(place, "manning_n", pipe.pipe.manning_n)?;
    not_below_0(place, "slope", pipe.pipe.slope)
}

fn cell_exists(parts: &ChainParts, place: ChainPlace, at: CellAt) -> Result<(), ChainError> {
    match parts.lines.get(at.line) {
        Some(line) if at.cell < line.cells.len() => Ok(()),
        _ => Err(ChainError::NoSuchCell { place, at, lines: parts.lines.len() }),
    }
}

/// Follows the links from each line in turn; a line met again while it is being followed closes a circle.
fn check_circles(next: &[Vec<usize>]) -> Result<(), ChainError> {
    let mut done = vec![false; next.len()];
    for start in 0..next.len() {
        // The way from `start` to here, each with the next link of it to try.
        let mut way = vec![(start, 0)];
        while let Some((line, link)) = way.last_mut() {
            let line = *line;
            let Some(&to) = next[line].get(*link).filter(|_| !done[line]) else {
                done[line] = true;
                way.pop();
                continue;
            };
            *link += 1;
            if let Some(from) = way.iter().position(|(on_way, _)| *on_way == to) {
                let lines = way[from..].iter().map(|(on_way, _)| *on_way).collect();
                return Err(ChainError::Circle { lines });
            }
            way.push((to, 0));
        }
    }
    Ok(())
}

fn bad(place: ChainPlace, name: &'static str, value: f64, wanted: &'static str) -> ChainError {
    ChainError::BadNumber { place, name, value, wanted }
}

fn above_0(place: ChainPlace, name: &'static str, value: f64) -> Result<(), ChainError> {
    let holds = value.is_finite() && value > 0.0;
    holds.then_some(()).ok_or_else(|| bad(place, name, value, ABOVE_0))
}

fn not_below_0(place: ChainPlace, name: &'static str, value: f64) -> Result<(), ChainError> {
    let holds = value.is_finite() && value >= 0.0;
    holds.then_some(()).ok_or_else(|| bad(place, name, value, NOT_BELOW_0))
}

fn finite(place: ChainPlace, name: &'static str, value: f64) -> Result<(), ChainError> {
    value.is_finite().then_some(()).ok_or_else(|| bad(place, name, value, FINITE))
}
