//! A site folder as one [`Site`], or every fault of every file in it.

use std::collections::BTreeMap;
use std::path::Path;

use ground::Surface;
use site::{DugLevel, GroundFiles, Place, Plan, Site, nearest};

use crate::Fault;
use crate::dug::read_dug;
use crate::inside::SiteDir;
use crate::plan_file::PlanFile;
use crate::raster::{self, Note};

/// Name of the plan in a site folder.
pub const PLAN: &str = "site.toml";

/// A site that was read.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The site.
    pub site: Site,
    /// What was understood and done on the way, such as feet brought to metres: to be told, for nothing is
    /// changed in silence.
    pub notes: Vec<Note>,
}

/// Reads a site folder.
///
/// # Errors
/// Every fault of every file. Nothing is written.
pub fn load(dir: &Path) -> Result<Loaded, Vec<Fault>> {
    let dir = SiteDir::open(dir).map_err(|fault| vec![fault])?;
    let file = dir.shown(PLAN);
    let bytes = match dir.bytes(PLAN) {
        Ok(bytes) => bytes,
        Err(fault) => return Err(vec![without_plan(fault)]),
    };
    let plan_file = PlanFile::read(&file, &bytes);
    let mut notes = Vec::new();
    let mut faults = plan_file.faults().to_vec();
    let mut keep =
        |read: Result<Option<Surface>, Vec<Fault>>| read.map_err(|more| faults.extend(more)).ok().flatten();
    let surface = keep(read_ground(&dir, &plan_file, &mut notes));
    faults.extend(missing_tables(&dir, &plan_file));
    let dug = read_all_dug(&dir, &plan_file).map_err(|more| faults.extend(more));
    match (plan_file.into_plan(), dug) {
        (Ok(plan), Ok(dug)) if faults.is_empty() => Ok(Loaded {
            site: Site {
                plan,
                ground: surface,
                dug,
            },
            notes,
        }),
        _ => Err(faults),
    }
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

fn read_ground(
    dir: &SiteDir,
    plan_file: &PlanFile,
    notes: &mut Vec<Note>,
) -> Result<Option<Surface>, Vec<Fault>> {
    let Some(plan) = plan_file.sure_of(&["ground", "place"]) else {
        return Ok(None);
    };
    match &plan.ground {
        Some(GroundFiles {
            raster: Some(raster), ..
        }) => read_raster(dir, plan_file, (raster, &plan.place), notes).map(Some),
        _ => Ok(None),
    }
}

fn read_raster(
    dir: &SiteDir,
    plan_file: &PlanFile,
    of: (&str, &Place),
    notes: &mut Vec<Note>,
) -> Result<Surface, Vec<Fault>> {
    let (inside, place) = of;
    let path = named_file(dir, plan_file, "ground.raster", inside).map_err(|fault| vec![fault])?;
    let wanted = raster::Wanted::for_place(place).map_err(|fault| vec![fault])?;
    let read = raster::read(&path, &wanted).map_err(|faults| shown_as(&dir.shown(inside), faults))?;
    notes.extend(read.notes);
    Ok(Surface::Grid(read.grid))
}

/// A file that the plan names, or a fault at the key that names it.
fn named_file(
    dir: &SiteDir,
    plan_file: &PlanFile,
    key: &str,
    inside: &str,
) -> Result<std::path::PathBuf, Fault> {
    dir.file(inside).map_err(|fault| {
        plan_file.fault_at(
            key,
            fault.code,
            format!("{inside}: {}", fault.found),
            &fault.advice,
        )
    })
}

/// Faults under the name that the person knows the file by.
fn shown_as(file: &str, faults: Vec<Fault>) -> Vec<Fault> {
    let renamed = |fault: Fault| Fault {
        file: file.to_owned(),
        ..fault
    };
    faults.into_iter().map(renamed).collect()
}

/// Tables of rain that the plan names and that are not there.
fn missing_tables(dir: &SiteDir, plan_file: &PlanFile) -> Vec<Fault> {
    let Some(plan) = plan_file.sure_of(&["rain"]) else {
        return Vec::new();
    };
    let tables = [
        ("rain.table", &plan.rain.table),
        ("rain.record", &plan.rain.record),
    ];
    let named = tables
        .iter()
        .filter_map(|(key, inside)| inside.as_deref().map(|inside| (key, inside)));
    named
        .filter_map(|(key, inside)| named_file(dir, plan_file, key, inside).err())
        .collect()
}

type Dug = BTreeMap<String, Vec<DugLevel>>;

fn read_all_dug(dir: &SiteDir, plan_file: &PlanFile) -> Result<Dug, Vec<Fault>> {
    let names = dir.names("dug", ".csv").map_err(|fault| vec![fault])?;
    let mut dug = BTreeMap::new();
    let mut faults = Vec::new();
    for name in names {
        let inside = format!("dug/{name}");
        let file = dir.shown(&inside);
        let line = name[..name.len() - ".csv".len()].to_owned();
        let plan = plan_file.sure_of(&["line"]);
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
