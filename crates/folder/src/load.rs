//! A site folder as one [`Site`], or every fault of every file in it.

mod known;
pub(crate) mod surface;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use grove::weather::Weather;
use site::{DugLevel, Measured, Plan, Seen, Site, SoakTest, nearest};

use crate::Fault;
use crate::daily_rain::read_daily_rain;
use crate::dug::read_dug;
use crate::field_book::{FIELD_BOOK, read_field_book, what_holds};
use crate::inside::SiteDir;
use crate::plan_file::PlanFile;
use crate::rain_depths::read_rain_depths;
use crate::raster::Note;
use crate::soak_test::read_soak_test;
use crate::weather::read_weather;

/// Name of the plan in a site folder.
pub const PLAN: &str = "site.toml";
/// Name of the record of days in a site folder.
const WEATHER: &str = "weather.csv";

/// A site that was read.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The site.
    pub site: Site,
    /// What was understood and done on the way, such as feet brought to metres: to be told, for nothing is
    /// changed in silence.
    pub notes: Vec<Note>,
    /// How many of them, the first, are about the ground.
    notes_on_ground: usize,
}

/// Reads a site folder.
///
/// # Errors
/// Every fault of every file. Nothing is written.
pub fn load(dir: &Path) -> Result<Loaded, Vec<Fault>> {
    let bytes = plan_bytes(dir)?;
    load_with(dir, &bytes, None)
}

/// The bytes of a folder's plan.
///
/// # Errors
/// There is no folder, or no plan in it.
pub fn plan_bytes(dir: &Path) -> Result<Vec<u8>, Vec<Fault>> {
    let dir = SiteDir::open(dir).map_err(|fault| vec![fault])?;
    dir.bytes(PLAN).map_err(|fault| vec![without_plan(fault)])
}

/// Reads a site folder with this text in the place of its plan's. Where the plan names the same ground as `before`,
/// that ground is taken over and its files are not read again: who asks knows that they have not changed.
///
/// # Errors
/// Every fault of every file. Nothing is written.
pub fn load_with(dir: &Path, plan: &[u8], before: Option<&Loaded>) -> Result<Loaded, Vec<Fault>> {
    load_plan(dir, PLAN, plan, before)
}

/// As [`load_with`], the plan's faults told of the file of this name.
pub(crate) fn load_plan(
    dir: &Path,
    inside: &str,
    plan: &[u8],
    before: Option<&Loaded>,
) -> Result<Loaded, Vec<Fault>> {
    let dir = SiteDir::open(dir).map_err(|fault| vec![fault])?;
    let file = dir.shown(inside);
    let reading = Reading { plan_file: PlanFile::read(&file, plan), dir };
    let mut faults = reading.plan_file.faults().to_vec();
    let mut notes = Vec::new();
    let surface = match before.filter(|before| same_ground(&reading, before)) {
        Some(before) => {
            notes.extend_from_slice(&before.notes[..before.notes_on_ground]);
            before.site.ground.clone()
        }
        None => surface::read(&reading, &mut notes).unwrap_or_else(|more| {
            faults.extend(more);
            None
        }),
    };
    let notes_on_ground = notes.len();
    let mut measured = rain(&reading, &mut notes).unwrap_or_else(|more| {
        faults.extend(more);
        Measured::default()
    });
    measured.soak_tests = soak_tests(&reading).unwrap_or_else(|more| {
        faults.extend(more);
        Vec::new()
    });
    measured.weather = weather(&reading, &mut notes).unwrap_or_else(|more| {
        faults.extend(more);
        None
    });
    measured.field_book = field_book(&reading).unwrap_or_else(|more| {
        faults.extend(more);
        Vec::new()
    });
    let dug = all_dug(&reading).unwrap_or_else(|more| {
        faults.extend(more);
        Dug::new()
    });
    match reading.plan_file.into_plan() {
        Ok(plan) if faults.is_empty() => {
            Ok(Loaded { site: Site { plan, ground: surface, dug, measured }, notes, notes_on_ground })
        }
        _ => Err(faults),
    }
}

/// Whether the ground is read from the same files in the same place.
fn same_ground(reading: &Reading, before: &Loaded) -> bool {
    let known = &before.site.plan;
    let plan = reading.plan_file.sure_of(&["ground", "place"]);
    plan.is_some_and(|plan| plan.ground == known.ground && plan.place == known.place)
}

/// A folder that has no plan is not a site yet, and that is what to say of it.
fn without_plan(fault: Fault) -> Fault {
    if fault.code != "no-file" {
        return fault;
    }
    Fault {
        found: format!("the folder has no {PLAN}"),
        advice: "name the folder that holds it, or start one with `hillsip new`".to_owned(),
        ..fault
    }
}

/// A folder being read, and its plan.
struct Reading<'a> {
    dir: SiteDir,
    plan_file: PlanFile<'a>,
}

/// A file that the plan names, or a fault at the key that names it.
fn named_file(reading: &Reading, key: &str, inside: &str) -> Result<PathBuf, Fault> {
    reading.dir.file(inside).map_err(|fault| {
        let found = format!("{inside}: {}", fault.found);
        reading.plan_file.fault_at(key, fault.code, found, &fault.advice)
    })
}

/// Faults under the name that the person knows the file by.
fn shown_as(file: &str, faults: Vec<Fault>) -> Vec<Fault> {
    let renamed = |fault: Fault| Fault { file: file.to_owned(), ..fault };
    faults.into_iter().map(renamed).collect()
}

/// The tables of rain that the plan names.
fn rain(reading: &Reading, notes: &mut Vec<Note>) -> Result<Measured, Vec<Fault>> {
    let mut measured = Measured::default();
    let Some(plan) = reading.plan_file.sure_of(&["rain"]) else {
        return Ok(measured);
    };
    let mut faults = Vec::new();
    if let Some(inside) = &plan.rain.table {
        match named_bytes(reading, "rain.table", inside)
            .and_then(|(file, bytes)| read_rain_depths(&file, &bytes))
        {
            Ok(depths) => measured.rain_depths = Some(depths),
            Err(more) => faults.extend(more),
        }
    }
    if let Some(inside) = &plan.rain.record {
        match named_bytes(reading, "rain.record", inside)
            .and_then(|(file, bytes)| read_daily_rain(&file, &bytes))
        {
            Ok((record, told)) => {
                measured.rain_record = Some(record);
                notes.extend(told);
            }
            Err(more) => faults.extend(more),
        }
    }
    if faults.is_empty() { Ok(measured) } else { Err(faults) }
}

/// The name and bytes of a file that the plan names, or a fault at the key that names it.
fn named_bytes(reading: &Reading, key: &str, inside: &str) -> Result<(String, Vec<u8>), Vec<Fault>> {
    named_file(reading, key, inside).map_err(|fault| vec![fault])?;
    let bytes = reading.dir.bytes(inside).map_err(|fault| vec![fault])?;
    Ok((reading.dir.shown(inside), bytes))
}

/// The weather of the folder, where there is a file of it.
fn weather(reading: &Reading, notes: &mut Vec<Note>) -> Result<Option<Weather>, Vec<Fault>> {
    let bytes = match reading.dir.bytes(WEATHER) {
        Ok(bytes) => bytes,
        Err(fault) if fault.code == "no-file" => return Ok(None),
        Err(fault) => return Err(vec![fault]),
    };
    let read = read_weather(&reading.dir.shown(WEATHER), &bytes)?;
    notes.extend(read.notes);
    Ok(Some(read.weather))
}

/// The field book of the folder, where there is one.
fn field_book(reading: &Reading) -> Result<Vec<Seen>, Vec<Fault>> {
    let bytes = match reading.dir.bytes(FIELD_BOOK) {
        Ok(bytes) => bytes,
        Err(fault) if fault.code == "no-file" => return Ok(Vec::new()),
        Err(fault) => return Err(vec![fault]),
    };
    Ok(what_holds(&read_field_book(&reading.dir.shown(FIELD_BOOK), &bytes)?))
}

/// The soak tests of the folder.
fn soak_tests(reading: &Reading) -> Result<Vec<SoakTest>, Vec<Fault>> {
    let dir = &reading.dir;
    let mut tests = Vec::new();
    let mut faults = Vec::new();
    for name in dir.names("soak", ".csv").map_err(|fault| vec![fault])? {
        let inside = format!("soak/{name}");
        let file = dir.shown(&inside);
        match dir.bytes(&inside).map_err(|fault| vec![fault]).and_then(|bytes| read_soak_test(&file, &bytes))
        {
            Ok(test) => {
                let plan = reading.plan_file.sure_of(&["soil"]);
                faults.extend(plan.and_then(|plan| soak_in_no_soil(plan, &test)));
                tests.push(test);
            }
            Err(more) => faults.extend(more),
        }
    }
    if faults.is_empty() { Ok(tests) } else { Err(faults) }
}

fn soak_in_no_soil(plan: &Plan, test: &SoakTest) -> Option<Fault> {
    let named = test.soil.as_deref()?;
    let names: Vec<&str> = plan.soils.iter().map(|soil| soil.name.as_str()).collect();
    if names.contains(&named) {
        return None;
    }
    let advice = match nearest(named, names) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => "name a soil of the plan, or leave the remark out".to_owned(),
    };
    Some(Fault::of_file(
        test.file.as_str(),
        "no-such-soil",
        format!("the plan has no soil \"{named}\""),
        advice,
    ))
}

type Dug = BTreeMap<String, Vec<DugLevel>>;

fn all_dug(reading: &Reading) -> Result<Dug, Vec<Fault>> {
    let dir = &reading.dir;
    let names = dir.names("dug", ".csv").map_err(|fault| vec![fault])?;
    let mut dug = BTreeMap::new();
    let mut faults = Vec::new();
    for name in names {
        let inside = format!("dug/{name}");
        let file = dir.shown(&inside);
        let line = name[..name.len() - ".csv".len()].to_owned();
        let plan = reading.plan_file.sure_of(&["line"]);
        faults.extend(plan.and_then(|plan| dug_of_no_line(plan, &file, &line)));
        match dir.bytes(&inside) {
            Ok(bytes) => match read_dug(&file, &bytes) {
                Ok(levels) => {
                    dug.insert(line, levels);
                }
                Err(of_file) => faults.extend(of_file),
            },
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(dug) } else { Err(faults) }
}

fn dug_of_no_line(plan: &Plan, file: &str, name: &str) -> Option<Fault> {
    let names: Vec<&str> = plan.lines.iter().map(|line| line.name.as_str()).collect();
    if names.contains(&name) {
        return None;
    }
    let advice = match nearest(name, names) {
        Some(near) => format!("did you mean dug/{near}.csv?"),
        None => "name the file after the line, as the plan writes it".to_owned(),
    };
    let found = format!("the plan has no line \"{name}\"");
    Some(Fault::of_file(file, "no-such-line", found, advice))
}

#[cfg(test)]
mod tests;
