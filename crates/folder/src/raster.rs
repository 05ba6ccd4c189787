//! Rasters of heights: what portals, phones and drones give, brought to square cells in site metres.
//!
//! A raster is read in three steps. The file's cells are read as they stand, heights in metres and missing
//! ones marked. Then it is found out where they lie. Last they are brought to the site's own x and y: left
//! alone where they already are square cells in metres, turned the right way up where the file runs from the
//! south, and resampled (bilinear between the middles of four known cells, nothing beyond them) where the
//! file is in degrees, in another projected system, rotated, or has cells that are not square.
//!
//! Nothing is done in silence: what was understood and what was changed is told in notes, and what cannot be
//! understood for certain is refused with what to do about it.
//!
//! Leaves out: heights of buildings and trees (a surface model is read like a ground model), tides and
//! geoids (a height stays above whatever the file counts from).
#![doc = include_str!("../../../docs/methods/rasters-and-points.md")]

mod ascii_grid;
pub(crate) mod crs;
mod geokeys;
mod geotiff;
mod resample;

use std::fs::File;
use std::io::{self, BufReader, Cursor, Read, Seek};
use std::path::Path;

use ground::Grid;
use quantity::figures;
use serde::Serialize;
use site::Place;

use crate::Fault;

/// Most cells that are read: in memory a cell takes nine bytes, so 1.8 GB.
pub const MOST_CELLS: usize = 200_000_000;

/// Beyond this no height on Earth lies, above or below: marks of missing cells such as −32768·10 or 1e38 do.
const FARTHEST_HEIGHT: f64 = 1e5;

/// Something that was understood or done when a raster was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Note {
    /// Which kind of note, for programs: `resampled`.
    pub code: &'static str,
    /// In words.
    pub text: String,
}

impl Note {
    pub(crate) fn new(code: &'static str, text: impl Into<String>) -> Note {
        Note { code, text: text.into() }
    }
}

/// What x and y of the site are.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum SiteAxes {
    /// Whatever the raster's own are; metres from the middle of a raster in degrees.
    #[default]
    AsInFile,
    /// A projected system, by its EPSG code, in metres.
    Projected(u32),
    /// Metres from a place on the map, y along a bearing.
    Anchored(site::Anchor),
}

/// What a reader of a raster has to know besides the file.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wanted {
    /// Which band holds the heights, from 1, where a file has several.
    pub band: Option<usize>,
    /// What the site's x and y are.
    pub axes: SiteAxes,
    /// Height of the site above the sea, to notice heights in feet that the file does not declare.
    pub elevation_m: Option<f64>,
}

impl Wanted {
    /// What `[place]` of a site asks for.
    ///
    /// # Errors
    /// `place.crs` is no EPSG code.
    pub fn for_place(place: &Place) -> Result<Wanted, Fault> {
        let axes = match (&place.crs, place.anchor) {
            (Some(crs), _) => SiteAxes::Projected(crs::epsg_code(crs).ok_or_else(|| {
                Fault::of_file(
                    "site.toml",
                    "unknown-crs",
                    format!("place.crs is \"{crs}\""),
                    "write it as an EPSG code, such as \"EPSG:25830\"",
                )
            })?),
            (None, Some(anchor)) => SiteAxes::Anchored(anchor),
            (None, None) => SiteAxes::AsInFile,
        };
        Ok(Wanted { band: None, axes, elevation_m: Some(place.elevation_m) })
    }
}

/// A raster brought to site metres.
#[derive(Debug, Clone, PartialEq)]
pub struct RasterRead {
    /// The heights.
    pub grid: Grid,
    /// EPSG code of the projected system that x and y are in, where they are in one.
    pub epsg: Option<u32>,
    /// What was understood and done.
    pub notes: Vec<Note>,
}

/// How the file's axes lie: x = x0 + a·column + b·row, y = y0 + d·column + e·row, where column and row count
/// from the outer corner of the first cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Affine {
    pub x0: f64,
    pub a: f64,
    pub b: f64,
    pub y0: f64,
    pub d: f64,
    pub e: f64,
}

/// What a file says about where its coordinates lie.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum System {
    /// Nothing.
    Unstated,
    /// Degrees of longitude and latitude.
    Geographic { epsg: Option<u32> },
    /// A plane; metres in one unit of its coordinates.
    Projected { epsg: Option<u32>, unit_m: f64 },
}

/// The cells as they stand in the file, row-major from its first cell, heights in metres, NaN where missing.
#[derive(Debug, Clone)]
pub(crate) struct Raw {
    pub columns: usize,
    pub rows: usize,
    pub z_m: Vec<f64>,
    pub affine: Affine,
    pub system: System,
    pub notes: Vec<Note>,
}

/// Reads a GeoTIFF or an ESRI ASCII grid.
///
/// # Errors
/// What is wrong with the file, or why it is refused.
pub fn read(path: &Path, wanted: &Wanted) -> Result<RasterRead, Vec<Fault>> {
    let file = path.display().to_string();
    let mut raw = read_raw(path, &file, wanted)?;
    if raw.system == System::Unstated
        && let Ok(text) = std::fs::read_to_string(path.with_extension("prj"))
    {
        raw.system = crs::of_prj(&text).map_err(|fault| vec![fault.of(&file)])?;
    }
    finish(raw, &file, wanted)
}

/// Reads a raster that is in memory already; `file` is only its name for messages.
///
/// # Errors
/// As [`read`].
pub fn read_bytes(bytes: &[u8], file: &str, wanted: &Wanted) -> Result<RasterRead, Vec<Fault>> {
    let raw = match kind_of(bytes) {
        Kind::Tiff => geotiff::read(|| Ok(Cursor::new(bytes)), file, wanted.band).map_err(|f| vec![f])?,
        Kind::Text => ascii_grid::read(bytes, file)?,
        Kind::Other(what) => return Err(vec![not_a_raster(file, what)]),
    };
    finish(raw, file, wanted)
}

fn read_raw(path: &Path, file: &str, wanted: &Wanted) -> Result<Raw, Vec<Fault>> {
    let cannot = |e: &io::Error| vec![cannot_read(file, e)];
    if path.is_dir() {
        return Err(vec![Fault::of_file(
            file,
            "folder-not-file",
            "this is a folder",
            "name the raster file inside it",
        )]);
    }
    let mut head = Vec::new();
    let opened = File::open(path).map_err(|e| cannot(&e))?;
    // Enough to tell the kinds apart.
    (&opened).take(512).read_to_end(&mut head).map_err(|e| cannot(&e))?;
    match kind_of(&head) {
        Kind::Tiff => geotiff::read(|| File::open(path), file, wanted.band).map_err(|f| vec![f]),
        Kind::Text => {
            let mut opened = opened;
            opened.rewind().map_err(|e| cannot(&e))?;
            ascii_grid::read(BufReader::new(opened), file)
        }
        Kind::Other(what) => Err(vec![not_a_raster(file, what)]),
    }
}

fn cannot_read(file: &str, error: &io::Error) -> Fault {
    let advice = match error.kind() {
        io::ErrorKind::NotFound => "check the name, and that the path is relative to the site folder",
        io::ErrorKind::PermissionDenied => "give yourself the right to read it",
        _ => "check that the disk is there and the file opens elsewhere",
    };
    Fault::of_file(file, "cannot-read", format!("cannot be read: {error}"), advice)
}

enum Kind {
    Tiff,
    Text,
    Other(&'static str),
}

/// What a file is, by its first bytes and never by its name.
fn kind_of(head: &[u8]) -> Kind {
    match head {
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => Kind::Tiff,
        [] => Kind::Other("the file is empty"),
        [0x89, b'P', b'N', b'G', ..] => Kind::Other("this is a PNG picture"),
        [0xFF, 0xD8, 0xFF, ..] => Kind::Other("this is a JPEG picture"),
        [b'P', b'K', 3, 4, ..] => Kind::Other("this is a zip archive"),
        [b'%', b'P', b'D', b'F', ..] => Kind::Other("this is a PDF"),
        [b'L', b'A', b'S', b'F', ..] => Kind::Other("this is a point cloud (LAS)"),
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => Kind::Other("this is text in UTF-16"),
        _ if head.contains(&0) => Kind::Other("this is neither a TIFF nor text"),
        _ => Kind::Text,
    }
}

fn not_a_raster(file: &str, what: &str) -> Fault {
    Fault::of_file(
        file,
        "not-a-raster",
        what,
        "bring heights as a GeoTIFF (.tif) or an ESRI ASCII grid (.asc), saved as plain text in UTF-8",
    )
}

/// From the file's cells to the site's, with what there is to tell about them.
fn finish(raw: Raw, file: &str, wanted: &Wanted) -> Result<RasterRead, Vec<Fault>> {
    if raw.z_m.iter().all(|z| z.is_nan()) {
        let why: Vec<&str> = raw.notes.iter().map(|n| n.text.as_str()).collect();
        return Err(vec![Fault::of_file(
            file,
            "no-heights",
            format!("no cell holds a height ({})", why.join("; ")),
            "check that the file covers your land and which number stands for \"no data\"",
        )]);
    }
    let mut notes = describe(&raw, wanted);
    let (grid, epsg, moved) = resample::to_site_metres(raw, wanted.axes).map_err(|f| vec![f.of(file)])?;
    notes.extend(moved);
    Ok(RasterRead { grid, epsg, notes })
}

fn describe(raw: &Raw, wanted: &Wanted) -> Vec<Note> {
    let (mut low_m, mut high_m, mut count) = (f64::INFINITY, f64::NEG_INFINITY, 0_usize);
    for z in raw.z_m.iter().copied().filter(|z| !z.is_nan()) {
        low_m = low_m.min(z);
        high_m = high_m.max(z);
        count += 1;
    }
    let mut notes = vec![
        Note::new("cells", format!("{} × {} cells", raw.columns, raw.rows)),
        Note::new(
            "heights",
            format!(
                "heights from {} to {} m in {count} cells, {} without",
                figures::fixed(low_m, 2),
                figures::fixed(high_m, 2),
                raw.z_m.len() - count
            ),
        ),
    ];
    notes.extend(raw.notes.iter().cloned());
    notes.extend(maybe_feet(low_m, high_m, wanted.elevation_m));
    notes
}

/// Feet hide in files that declare nothing: noticed where the site's own height fits the heights as feet but
/// not as metres.
pub(crate) fn maybe_feet(low_m: f64, high_m: f64, elevation_m: Option<f64>) -> Option<Note> {
    let elevation_m = elevation_m?;
    let feet = |z| quantity::convert::ft_to_m(z);
    let fits = (low_m..=high_m).contains(&elevation_m);
    let fits_as_feet = (feet(low_m)..=feet(high_m)).contains(&elevation_m);
    (!fits && fits_as_feet).then(|| {
        Note::new(
            "maybe-feet",
            format!(
                "the heights were read as metres, but the site's {} m lies among them only if they are feet; \
                 ask whoever made the file",
                figures::fixed(elevation_m, 0)
            ),
        )
    })
}

/// A fault that does not know yet which file it is of.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Refusal {
    pub code: &'static str,
    pub found: String,
    pub advice: String,
}

impl Refusal {
    pub(crate) fn new(code: &'static str, found: impl Into<String>, advice: impl Into<String>) -> Refusal {
        Refusal { code, found: found.into(), advice: advice.into() }
    }

    pub(crate) fn of(self, file: &str) -> Fault {
        Fault::of_file(file, self.code, self.found, self.advice)
    }
}

#[cfg(test)]
mod tests;
