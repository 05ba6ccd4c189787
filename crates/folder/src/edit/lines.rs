//! Edits of lines: pegs moved, lines added, cut, joined and taken out.

use ground::{Point, Polyline};
use site::{Line, LineKind, Sill, TapePeg, Xy};

use super::draft::{Draft, as_table};
use super::text::{Node, Step};
use super::things::{self, Because};
use super::{EditError, Onward, Said, Thing, TreePlace, sills, toml_words};

/// Surplus for which the plan names no line.
const GROUND: &str = "ground";

fn at_line(index: usize) -> [Step<'static>; 2] {
    [Step::Key("line"), Step::Member(index)]
}

fn place_words(at: Xy) -> String {
    format!("{}, {}", toml_words::coordinate(at[0]), toml_words::coordinate(at[1]))
}

/// A peg stands elsewhere.
pub(super) fn move_peg(draft: &mut Draft, name: &str, peg: usize, to: Xy) -> Result<Said, EditError> {
    let (index, line) = draft.line(name)?;
    let mut also = Vec::new();
    match (line.from, &line.pegs) {
        (Some(from), _) if peg == 1 => {
            draft.write(&at_line(index), "from", &toml_words::place(to))?;
            if let Some(toward) = line.toward {
                // The walk sets off the same way as before.
                let shifted = [toward[0] + to[0] - from[0], toward[1] + to[1] - from[1]];
                draft.write(&at_line(index), "toward", &toml_words::place(shifted))?;
                also.push("the place it sets off towards moved with it".to_owned());
            }
        }
        (Some(_), _) => return Err(EditError::WalkedPeg { line: name.to_owned(), peg }),
        (None, Some(pegs)) => {
            if !(1..=pegs.len()).contains(&peg) {
                let line = name.to_owned();
                return Err(EditError::NoMember { line, what: "peg", number: peg, has: pegs.len() });
            }
            let path = [Step::Key("line"), Step::Member(index), Step::Key("pegs"), Step::Member(peg - 1)];
            for (i, metres) in to.iter().enumerate() {
                let part: Vec<Step> = path.iter().copied().chain([Step::Member(i)]).collect();
                if let Some(span) = draft.text.node(&part).and_then(Node::span) {
                    draft.text.splice(span, toml_words::coordinate(*metres));
                }
            }
        }
        (None, None) => return Err(EditError::NoPlaces { line: name.to_owned() }),
    }
    Ok(Said { says: format!("moved peg {peg} of \"{name}\" to {}", place_words(to)), also })
}

/// A walked line keeps the pegs it has.
pub(super) fn fix_pegs(draft: &mut Draft, name: &str, pegs: &[Xy]) -> Result<Said, EditError> {
    let (index, line) = draft.line(name)?;
    if line.from.is_none() {
        return Err(EditError::NotWalked { line: name.to_owned() });
    }
    draft.swap_key(&at_line(index), "from", "pegs", &toml_words::places(pegs))?;
    for key in ["toward", "length_m"] {
        draft.take_key(&at_line(index), key)?;
    }
    Ok(Said::only(format!("fixed the {} pegs of \"{name}\" where they stand", pegs.len())))
}

/// A new line.
pub(super) fn add(draft: &mut Draft, line: &Line) -> Result<Said, EditError> {
    draft.is_free(Thing::Line, &line.name)?;
    draft.add_thing(Thing::Line, line);
    Ok(Said::only(format!("added the {} \"{}\"", line.kind, line.name)))
}

/// Where and how to cut.
pub(super) struct Cut<'a> {
    pub at_m: f64,
    pub name: &'a str,
    pub onward: Option<Onward>,
}

/// One line becomes two.
pub(super) fn cut(draft: &mut Draft, name: &str, cut: &Cut) -> Result<Said, EditError> {
    let (index, line) = draft.line(name)?;
    draft.is_free(Thing::Line, cut.name)?;
    let length_m = length_m(line).ok_or_else(|| EditError::NoLength { line: name.to_owned() })?;
    if !(0.0 < cut.at_m && cut.at_m < length_m) {
        return Err(EditError::CutBeyond { line: name.to_owned(), at_m: cut.at_m, length_m });
    }
    let mut beyond = Line { name: cut.name.to_owned(), sills: Vec::new(), ..line.clone() };
    let mut also = Vec::new();
    cut_course(draft, index, cut, (&mut beyond, length_m))?;
    if let Some(catchment_m2) = line.catchment_m2 {
        // What was paced for the whole line is shared by length.
        let here_m2 = (catchment_m2 * cut.at_m / length_m).round();
        draft.write(&at_line(index), "catchment_m2", &toml_words::number(here_m2))?;
        beyond.catchment_m2 = Some(catchment_m2 - here_m2);
        also.push("the ground that drains to it is shared by length: pace both parts again".to_owned());
    }
    if line.kind != LineKind::Swale && line.to.is_some() {
        draft.write(&at_line(index), "to", &toml_words::quoted(cut.name))?;
        also.push(format!("\"{name}\" now leads into \"{}\"", cut.name));
    }
    let moved = |at_m: f64| at_m > cut.at_m;
    let onto = Onto { line: cut.name, shift_m: -cut.at_m };
    let sills = take_sills(draft, index, |sill| moved(sill.at_m), &onto);
    if line.kind == LineKind::Swale {
        also.extend(sill_for_each(draft, index, cut, (&mut beyond, length_m))?);
    }
    let words = draft.section("[[line]]", "", &as_table(&beyond));
    put_after(draft, index, &beyond, &format!("{words}{sills}"))?;
    also.extend(follow(draft, name, &onto, moved)?);
    Ok(Said {
        says: format!(
            "cut \"{name}\" at {} m; the part beyond is \"{}\"",
            toml_words::coordinate(cut.at_m),
            cut.name
        ),
        also,
    })
}

/// A swale without a sill breaks where its bank is lowest: the part that has none gets one like that of the other,
/// at the cut.
fn sill_for_each(
    draft: &mut Draft,
    index: usize,
    cut: &Cut,
    (beyond, length_m): (&mut Line, f64),
) -> Result<Option<String>, EditError> {
    let line = &draft.plan.lines[index];
    let (here, there): (Vec<&Sill>, Vec<&Sill>) = line.sills.iter().partition(|sill| sill.at_m <= cut.at_m);
    let like = |sill: &Sill, part_m: f64, from_cut: &dyn Fn(f64) -> f64| {
        let width_m = sill.width_m.min(centimetres(part_m));
        Sill { at_m: centimetres(from_cut(0.5 * width_m)), width_m, on_firm_ground: None, ..sill.clone() }
    };
    let (name, sill) = match (here.last(), there.first()) {
        (Some(near), None) => {
            let sill = like(near, length_m - cut.at_m, &|half_m| half_m);
            beyond.sills.push(sill.clone());
            (cut.name, sill)
        }
        (None, Some(near)) => {
            let sill = like(near, cut.at_m, &|half_m| cut.at_m - half_m);
            sills::add(draft, &line.name, &sill)?;
            (line.name.as_str(), sill)
        }
        _ => return Ok(None),
    };
    Ok(Some(format!(
        "\"{name}\" got a sill at {} m like that of the other part: see that its water can come down there",
        toml_words::coordinate(sill.at_m)
    )))
}

/// Where the two parts run.
fn cut_course(
    draft: &mut Draft,
    index: usize,
    cut: &Cut,
    (beyond, length_m): (&mut Line, f64),
) -> Result<(), EditError> {
    let line = &draft.plan.lines[index];
    if let Some(pegs) = &line.pegs {
        let (here, there) = cut_pegs(pegs, cut.at_m);
        beyond.pegs = Some(there);
        return draft.write(&at_line(index), "pegs", &toml_words::places(&here));
    }
    if let Some(tape) = &line.tape {
        let (here, there) = cut_tape(tape, cut.at_m);
        beyond.tape = Some(there);
        return draft.write(&at_line(index), "tape", &tape_words(&here));
    }
    let onward = cut.onward.ok_or_else(|| EditError::CutNeedsOnward { line: line.name.clone() })?;
    beyond.from = Some(onward.from);
    beyond.toward = Some(onward.toward);
    beyond.length_m = Some(centimetres(length_m - cut.at_m));
    draft.write(&at_line(index), "length_m", &toml_words::coordinate(cut.at_m))
}

fn centimetres(m: f64) -> f64 {
    (m * 100.0).round() / 100.0
}

fn point(at: &Xy) -> Point {
    Point::new(at[0], at[1])
}

fn cut_pegs(pegs: &[Xy], at_m: f64) -> (Vec<Xy>, Vec<Xy>) {
    let path = Polyline::new(pegs.iter().map(point).collect()).expect("a line that was read has two pegs");
    let at = path.at(at_m).expect("the cut lies between the ends");
    let cut = [at.x_m, at.y_m];
    let side = |keep: &dyn Fn(f64) -> bool| -> Vec<Xy> {
        pegs.iter().zip(path.chainages_m()).filter(|(_, c)| keep(**c)).map(|(peg, _)| *peg).collect()
    };
    let mut here = side(&|c| c < at_m);
    let mut there = vec![cut];
    here.push(cut);
    there.extend(side(&|c| c > at_m));
    (here, there)
}

fn cut_tape(tape: &[TapePeg], at_m: f64) -> (Vec<TapePeg>, Vec<TapePeg>) {
    let next = tape.partition_point(|peg| peg.at_m < at_m).max(1);
    let (a, b) = (tape[next - 1], tape[next]);
    let z_m = a.z_m + (b.z_m - a.z_m) * (at_m - a.at_m) / (b.at_m - a.at_m);
    let millimetres = |m: f64| (m * 1000.0).round() / 1000.0;
    let z_m = millimetres(z_m);
    let mut here: Vec<TapePeg> = tape.iter().filter(|peg| peg.at_m < at_m).copied().collect();
    here.push(TapePeg { at_m, z_m });
    let mut there = vec![TapePeg { at_m: 0.0, z_m }];
    let beyond = tape.iter().filter(|peg| peg.at_m > at_m);
    there.extend(beyond.map(|peg| TapePeg { at_m: millimetres(peg.at_m - at_m), z_m: peg.z_m }));
    (here, there)
}

fn tape_words(tape: &[TapePeg]) -> String {
    let rows = tape.iter().map(|peg| {
        format!("  {{ at_m = {}, z_m = {} }},\n", toml_words::number(peg.at_m), toml_words::number(peg.z_m))
    });
    format!("[\n{}]", rows.collect::<String>())
}

/// How long the plan says a line is; none for one that is walked as far as the ground goes.
fn length_m(line: &Line) -> Option<f64> {
    if let Some(pegs) = &line.pegs {
        return Polyline::new(pegs.iter().map(point).collect()).map(|path| path.length_m());
    }
    match &line.tape {
        Some(tape) => tape.last().map(|peg| peg.at_m),
        None => line.length_m,
    }
}

/// The line that takes things over, and by how much their distances from the first peg change.
struct Onto<'a> {
    line: &'a str,
    shift_m: f64,
}

impl Onto<'_> {
    fn at_m(&self, at_m: f64) -> f64 {
        centimetres(at_m + self.shift_m).max(0.0)
    }
}

/// Takes sills out of a line and gives them back as words for another, remarks and all.
fn take_sills(draft: &mut Draft, index: usize, which: impl Fn(&Sill) -> bool, onto: &Onto) -> String {
    let list = [Step::Key("line"), Step::Member(index), Step::Key("sill")];
    let mut words = String::new();
    for (i, sill) in draft.plan.lines[index].sills.iter().enumerate().filter(|(_, sill)| which(sill)) {
        words.push('\n');
        words.push_str(&sill_words(draft, &list, i, &Sill { at_m: onto.at_m(sill.at_m), ..sill.clone() }));
        draft.take_table(&list, i);
    }
    words
}

/// A sill as its file has it but for its place; written anew where it stands in brackets.
fn sill_words(draft: &Draft, list: &[Step], index: usize, sill: &Sill) -> String {
    let Some(Node::Tables(tables)) = draft.text.node(list) else {
        return draft.section("[[line.sill]]", &draft.set_in(), &as_table(sill));
    };
    let table = tables.get(index).expect("the plan and its text have the same sills");
    let at = table.get("at_m").and_then(|item| item.as_value()).and_then(toml_edit::Value::span);
    match (draft.text.block(table), at) {
        (Some(block), Some(at)) => format!(
            "{}{}{}",
            draft.text.written(block.start..at.start),
            toml_words::number(sill.at_m),
            draft.text.written(at.end..block.end)
        ),
        _ => draft.section("[[line.sill]]", &draft.set_in(), &as_table(sill)),
    }
}

/// Puts the words of a line right after another.
fn put_after(draft: &mut Draft, index: usize, line: &Line, words: &str) -> Result<(), EditError> {
    match draft.text.node(&at_line(index)) {
        Some(Node::Table(table)) => {
            let at = draft.text.end_of_table(table);
            draft.insert_lines(at, &format!("\n{words}"));
            Ok(())
        }
        _ => {
            draft.add_thing(Thing::Line, line);
            Ok(())
        }
    }
}

/// What stands at a line follows to another: trees and sources along it.
fn follow(
    draft: &mut Draft,
    from: &str,
    onto: &Onto,
    moved: impl Fn(f64) -> bool,
) -> Result<Vec<String>, EditError> {
    let mut also = Vec::new();
    let plan = draft.plan;
    let trees = plan.trees.iter().map(|tree| (&tree.name, &tree.line, tree.at_m));
    let sources = plan.sources.iter().map(|source| (&source.name, &source.into, source.at_m));
    let things = trees
        .enumerate()
        .map(|(i, thing)| ("tree", "line", i, thing))
        .chain(sources.enumerate().map(|(i, thing)| ("source", "into", i, thing)));
    for (list, key, i, (name, line, at_m)) in things {
        let Some(at_m) = at_m.filter(|at_m| line.as_deref() == Some(from) && moved(*at_m)) else {
            continue;
        };
        let table = [Step::Key(list), Step::Member(i)];
        draft.write(&table, key, &toml_words::quoted(onto.line))?;
        draft.write(&table, "at_m", &toml_words::number(onto.at_m(at_m)))?;
        also.push(format!("the {list} \"{name}\" is now at \"{}\"", onto.line));
    }
    Ok(also)
}

/// Two lines become one.
pub(super) fn join(draft: &mut Draft, name: &str, with: &str) -> Result<Said, EditError> {
    let (index, line) = draft.line(name)?;
    let (gone, other) = draft.line(with)?;
    if index == gone {
        return Err(EditError::JoinItself { line: name.to_owned() });
    }
    let shift_m = join_course(draft, index, (line, other))?;
    let mut also = Vec::new();
    if let (Some(here_m2), Some(there_m2)) = (line.catchment_m2, other.catchment_m2) {
        draft.write(&at_line(index), "catchment_m2", &toml_words::number(here_m2 + there_m2))?;
        also.push("the ground that drains to it is that of both".to_owned());
    }
    if line.kind != LineKind::Swale && line.to != other.to {
        match &other.to {
            Some(to) => draft.write(&at_line(index), "to", &toml_words::quoted(to))?,
            None => drop(draft.take_key(&at_line(index), "to")?),
        }
        also.push(format!("it ends where \"{with}\" ended"));
    }
    let onto = Onto { line: name, shift_m };
    let sills = take_sills(draft, gone, |_| true, &onto);
    if !sills.is_empty() {
        let end = match draft.text.node(&at_line(index)) {
            Some(Node::Table(table)) => draft.text.end_of_table(table),
            _ => return Err(EditError::OddForm { path: vec!["line".to_owned(), name.to_owned()] }),
        };
        draft.insert_lines(end, &sills);
    }
    also.extend(follow(draft, with, &onto, |_| true)?);
    also.extend(things::name_anew(draft, with, name, Because::Joined)?);
    take_without_sills(draft, gone);
    Ok(Said { says: format!("joined \"{with}\" to \"{name}\""), also })
}

/// Takes a line out whose sills are taken out already.
fn take_without_sills(draft: &mut Draft, index: usize) {
    match draft.text.node(&at_line(index)) {
        Some(Node::Table(table)) => {
            if let Some(block) = draft.text.block(table) {
                draft.text.take_out(block);
            }
        }
        _ => draft.take_thing(Thing::Line, index),
    }
}

/// Where the joined line runs; how far the first peg of the second lies along it.
fn join_course(draft: &mut Draft, index: usize, (line, other): (&Line, &Line)) -> Result<f64, EditError> {
    match (line, other) {
        (Line { pegs: Some(here), .. }, Line { pegs: Some(there), .. }) => {
            let gap_m = point(&here[here.len() - 1]).distance_m(point(&there[0]));
            let whole: Vec<Xy> = if gap_m == 0.0 {
                here.iter().chain(&there[1..]).copied().collect()
            } else {
                here.iter().chain(there).copied().collect()
            };
            draft.write(&at_line(index), "pegs", &toml_words::places(&whole))?;
            Ok(length_m(line).expect("a line of pegs has a length") + gap_m)
        }
        (Line { tape: Some(here), .. }, Line { tape: Some(there), .. }) => {
            let shift_m = here[here.len() - 1].at_m;
            let moved = there.iter().skip(1).map(|peg| TapePeg { at_m: peg.at_m + shift_m, ..*peg });
            let whole: Vec<TapePeg> = here.iter().copied().chain(moved).collect();
            draft.write(&at_line(index), "tape", &tape_words(&whole))?;
            Ok(shift_m)
        }
        (Line { from: Some(_), .. }, Line { from: Some(_), .. }) => {
            let of =
                |line: &Line| line.length_m.ok_or_else(|| EditError::NoLength { line: line.name.clone() });
            let (here_m, there_m) = (of(line)?, of(other)?);
            draft.write(&at_line(index), "length_m", &toml_words::coordinate(here_m + there_m))?;
            Ok(here_m)
        }
        _ => Err(EditError::JoinUnlike { line: line.name.clone(), with: other.name.clone() }),
    }
}

/// A line is taken out. Its surplus went somewhere; now what it took goes there.
pub(super) fn remove(draft: &mut Draft, name: &str, trees: &[TreePlace]) -> Result<Said, EditError> {
    let (index, line) = draft.line(name)?;
    let heir = line.sills.first().map(|sill| sill.to.as_str()).or(line.to.as_deref());
    let heir = heir.filter(|heir| *heir != name).unwrap_or(GROUND);
    let mut also = Vec::new();
    for (i, tree) in
        draft.plan.trees.iter().enumerate().filter(|(_, tree)| tree.line.as_deref() == Some(name))
    {
        let table = [Step::Key("tree"), Step::Member(i)];
        for key in ["line", "at_m", "spot", "downhill_m"] {
            draft.take_key(&table, key)?;
        }
        if let Some(place) = trees.iter().find(|place| place.tree == tree.name) {
            draft.write(&table, "x_m", &toml_words::coordinate(place.x_m))?;
            draft.write(&table, "y_m", &toml_words::coordinate(place.y_m))?;
        }
        also.push(format!("the tree \"{}\" drinks from no line now", tree.name));
    }
    also.extend(things::name_anew(draft, name, heir, Because::Removed)?);
    draft.take_thing(Thing::Line, index);
    Ok(Said { says: format!("took out the {} \"{name}\"", line.kind), also })
}
