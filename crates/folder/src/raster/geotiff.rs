//! GeoTIFF: a picture file whose cells are heights.
//!
//! The file is a chain of pages. The first that is neither a smaller copy nor a mask holds the heights, cut
//! into strips or tiles which may be packed. A strip or tile of zero bytes was never written: its cells are
//! missing. A page of type "mask" tells which cells count. Then come, in this order: the number for "no
//! data", scale and offset, the unit of heights, and where the cells lie.
//!
//! Each strip or tile is unpacked alone and put straight into its place, several at a time: bands of rows
//! belong to one thread each, so the result does not depend on how many there are.
//!
//! Source: TIFF 6.0 (Adobe, 1992); OGC 19-008r4, GeoTIFF Standard 1.1 (2019); tags 42112 (metadata) and
//! 42113 ("no data") as registered with the Library of Congress.
//! Leaves out: LERC, LZMA and JPEG packing, palettes and colours.

use std::io::{self, BufReader, Read, Seek, SeekFrom};

use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;
use tiff::{TiffError, TiffFormatError};

use super::geokeys::{self, GeoKeys, HeightUnit};
use super::{Affine, FARTHEST_HEIGHT, MOST_CELLS, Note, Raw, Refusal};
use crate::Fault;

mod pages;
mod place;

use pages::{Page, Patched};

/// Side of a strip or tile beyond which a header is taken as hostile: sixteen times what writers use.
const LONGEST_TILE_SIDE: u64 = 65_536;

type Source<R> = Decoder<BufReader<Patched<R>>>;

/// Reads the cells; `open` gives a new reader of the same bytes, one for each thread.
pub(super) fn read<R: Read + Seek>(
    open: impl Fn() -> io::Result<R> + Sync,
    file: &str,
    band: Option<usize>,
) -> Result<Raw, Fault> {
    read_cells(&open, band).map_err(|refusal| refusal.of(file))
}

fn read_cells<R: Read + Seek>(
    open: &(impl Fn() -> io::Result<R> + Sync),
    band: Option<usize>,
) -> Result<Raw, Refusal> {
    let length = open().and_then(|mut r| r.seek(SeekFrom::End(0))).map_err(|e| broken(&e.into()))?;
    let mut first = start(open, &[], length)?;
    let pages = pages::all(&mut first)?;
    let heights = pages
        .iter()
        .find(|page| page.is_heights())
        .ok_or_else(|| refused("no-heights", "every page is a smaller copy or a mask"))?;
    let band = check(heights, band, length)?;
    let facts = place::Facts::read(&mut first, heights)?;
    let keys = GeoKeys::new(&facts.keys);
    let system = keys.system()?;
    let affine = facts.affine(keys.tie_is_middle())?;
    drop(first);

    let mut notes = Vec::new();
    let unit = height_unit(&keys, &facts, &mut notes)?;
    let scale = facts.scale_of(band);
    let mut job = Job {
        open,
        length,
        page: heights,
        band,
        meaning: Meaning {
            nodata: facts.nodata,
            scale: scale.0,
            offset: scale.1,
            unit_m: unit.map_or(1.0, |u| u.m),
        },
    };
    if scale != (1.0, 0.0) {
        notes.push(Note::new("scaled", format!("heights are {} × the stored number + {}", scale.0, scale.1)));
    }
    let (mut z_m, tally) = job.read_heights()?;
    if let Some(mask) = pages.iter().find(|page| page.masks(heights)) {
        job.page = mask;
        let masked = job.apply_mask(&mut z_m)?;
        notes.push(Note::new("masked", format!("{masked} cells are left out by the file's mask")));
    }
    notes.extend(tally.notes(facts.nodata));
    Ok(Raw { columns: heights.columns, rows: heights.rows, z_m, affine, system, notes })
}

/// A decoder of the file, with the given bytes put over its own (see [`Page::paint_as_numbers`]).
fn start<R: Read + Seek>(
    open: &impl Fn() -> io::Result<R>,
    patches: &[pages::Patch],
    length: u64,
) -> Result<Source<R>, Refusal> {
    let reader = open().map_err(|e| broken(&e.into()))?;
    let patched = BufReader::with_capacity(1 << 16, Patched::new(reader, patches.to_vec()));
    let decoder = Decoder::new(patched).map_err(|e| broken(&e))?;
    Ok(decoder.with_limits(limits(length, 0)))
}

/// What the decoder may ask memory for: lists of numbers that the file can hold, the unpacked bytes of one strip
/// or tile, and packed bytes that the file can hold.
fn limits(length: u64, chunk_bytes: usize) -> Limits {
    /// Bytes in memory of one number of a list, which takes at least one byte of the file.
    const LISTED: usize = size_of::<tiff::decoder::ifd::Value>();
    let length = usize::try_from(length).unwrap_or(usize::MAX);
    let mut limits = Limits::default();
    limits.intermediate_buffer_size = length;
    limits.decoding_buffer_size = length.saturating_mul(LISTED).max(chunk_bytes);
    limits
}

fn height_unit(
    keys: &GeoKeys,
    facts: &place::Facts,
    notes: &mut Vec<Note>,
) -> Result<Option<HeightUnit>, Refusal> {
    let by_word = match &facts.height_unit_word {
        Some(word) => Some(geokeys::unit_by_word(word).ok_or_else(|| {
            Refusal::new(
                "unit-not-known",
                format!("heights are in \"{word}\""),
                "save the raster with heights in metres",
            )
        })?),
        None => None,
    };
    let unit = keys.height_unit()?.or(by_word);
    match unit {
        Some(unit) if unit.m != 1.0 => notes.push(Note::new(
            "heights-converted",
            format!("heights were in {} and are now metres", unit.name),
        )),
        Some(_) => {}
        None => notes.push(keys.unknown_vertical().unwrap_or_else(|| {
            Note::new("unit-assumed", "the file names no unit for its heights; they were taken as metres")
        })),
    }
    Ok(unit)
}

/// Everything about the page of heights that can be refused before memory is asked for. Gives the band, from 0.
fn check(page: &Page, band: Option<usize>, length: u64) -> Result<usize, Refusal> {
    let cells = page.columns as u128 * page.rows as u128;
    if cells == 0 {
        return Err(refused("no-heights", "the raster has no cells"));
    }
    if cells > MOST_CELLS as u128 {
        return Err(Refusal::new(
            "too-large",
            format!(
                "{} × {} cells are {} million; at most {} million are read",
                page.columns,
                page.rows,
                cells / 1_000_000,
                MOST_CELLS / 1_000_000
            ),
            "cut out the part with your land, or save it with larger cells",
        ));
    }
    page.check_packing()?;
    page.check_sample_type()?;
    page.check_layout(LONGEST_TILE_SIDE, length)?;
    let band = match (band, page.bands) {
        (None, 1) => 1,
        (None, bands) => {
            return Err(Refusal::new(
                "several-bands",
                format!("the file has {bands} bands and does not say which holds the heights"),
                "save the band of heights alone, or name it",
            ));
        }
        (Some(band), bands) if (1..=bands).contains(&band) => band,
        (Some(band), bands) => {
            return Err(Refusal::new(
                "no-such-band",
                format!("band {band} was asked for and the file has {bands}"),
                "name one of its bands, counted from 1",
            ));
        }
    };
    Ok(band - 1)
}

/// What a stored number means.
#[derive(Debug, Clone, Copy)]
struct Meaning {
    nodata: Option<f64>,
    scale: f64,
    offset: f64,
    unit_m: f64,
}

impl Meaning {
    /// The same for numbers stored whole or with 64 bits, with 32 and with 16: "no data" is compared after it
    /// went through the type of the cells, because −3.4e38 as text and as a stored number differ in their last
    /// digits.
    fn as_stored(self) -> (Meaning, Meaning, Meaning) {
        let with = |through: fn(f64) -> f64| Meaning { nodata: self.nodata.map(through), ..self };
        (self, with(place::round_to_single), with(place::round_to_half))
    }
}

/// How many cells are missing, and why.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Tally {
    unwritten: usize,
    no_data: usize,
    impossible: usize,
}

impl Tally {
    fn add(&mut self, other: Tally) {
        self.unwritten += other.unwritten;
        self.no_data += other.no_data;
        self.impossible += other.impossible;
    }

    fn notes(self, nodata: Option<f64>) -> Vec<Note> {
        let mut notes = Vec::new();
        if self.unwritten > 0 {
            let text = format!("{} cells lie in tiles that were never written", self.unwritten);
            notes.push(Note::new("unwritten", text));
        }
        if let (Some(mark), true) = (nodata, self.no_data > 0) {
            let text = format!("{} cells hold the mark for \"no data\", {mark}", self.no_data);
            notes.push(Note::new("no-data", text));
        }
        if self.impossible > 0 {
            let text = format!(
                "{} cells hold no number or one beyond ±100 000, and were taken as missing",
                self.impossible
            );
            notes.push(Note::new("impossible-heights", text));
        }
        notes
    }
}

struct Job<'a, F> {
    open: &'a F,
    length: u64,
    page: &'a Page,
    band: usize,
    meaning: Meaning,
}

impl<R: Read + Seek, F: Fn() -> io::Result<R> + Sync> Job<'_, F> {
    fn read_heights(&self) -> Result<(Vec<f64>, Tally), Refusal> {
        let page = self.page;
        let mut z_m = vec![0.0; page.columns * page.rows];
        let bands_down = page.rows.div_ceil(page.chunk_rows);
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        let share = bands_down.div_ceil(threads);
        let slice = share * page.chunk_rows * page.columns;
        let parts: Vec<Result<Tally, Refusal>> = std::thread::scope(|scope| {
            let running: Vec<_> = z_m
                .chunks_mut(slice)
                .enumerate()
                .map(|(part, cells)| scope.spawn(move || self.read_bands(part * share, cells)))
                .collect();
            let join = |thread: std::thread::ScopedJoinHandle<'_, _>| {
                thread
                    .join()
                    .unwrap_or_else(|_| Err(refused("damaged", "a strip or tile cannot be unpacked")))
            };
            running.into_iter().map(join).collect()
        });
        let mut tally = Tally::default();
        for part in parts {
            tally.add(part?);
        }
        Ok((z_m, tally))
    }

    fn at_page(&self) -> Result<Source<R>, Refusal> {
        let page = self.page;
        let mut source = start(self.open, &page.paint_as_numbers(), self.length)?;
        source.seek_to_image(page.index).map_err(|e| broken(&e))?;
        Ok(source.with_limits(limits(self.length, page.chunk_bytes())))
    }

    /// Reads the strips or tiles of some bands of rows, the first of them given, into their cells.
    fn read_bands(&self, first_band: usize, cells: &mut [f64]) -> Result<Tally, Refusal> {
        let page = self.page;
        let mut source = self.at_page()?;
        let mut tally = Tally::default();
        for (down, rows) in cells.chunks_mut(page.chunk_rows * page.columns).enumerate() {
            for across in 0..page.chunks_across() {
                let chunk = page.chunk_index(first_band + down, across, self.band);
                let mut window = Window {
                    cells: &mut *rows,
                    row_length: page.columns,
                    first_column: across * page.chunk_columns,
                    width: page.chunk_width(across),
                };
                if page.byte_counts[chunk] == 0 {
                    tally.unwritten += window.forget();
                    continue;
                }
                let numbers = source.read_chunk(index(chunk)?).map_err(|e| broken(&e))?;
                tally.add(window.put(&numbers, page, self.band, self.meaning)?);
            }
        }
        Ok(tally)
    }

    /// Forgets the cells the mask leaves out; gives how many had a height.
    fn apply_mask(&self, z_m: &mut [f64]) -> Result<usize, Refusal> {
        let page = self.page;
        page.check_packing()?;
        page.check_layout(LONGEST_TILE_SIDE, self.length)?;
        let mut source = self.at_page()?;
        let mut forgotten = 0;
        for (down, rows) in z_m.chunks_mut(page.chunk_rows * page.columns).enumerate() {
            for across in 0..page.chunks_across() {
                let chunk = page.chunk_index(down, across, 0);
                let window = Window {
                    cells: &mut *rows,
                    row_length: page.columns,
                    first_column: across * page.chunk_columns,
                    width: page.chunk_width(across),
                };
                // A mask's tile that was never written masks everything: its bits are all 0.
                let bits = if page.byte_counts[chunk] == 0 {
                    Vec::new()
                } else {
                    match source.read_chunk(index(chunk)?).map_err(|e| broken(&e))? {
                        DecodingResult::U8(bits) => bits,
                        _ => return Err(refused("damaged", "the mask is not made of bits or bytes")),
                    }
                };
                forgotten += window.mask(&bits, page.bits);
            }
        }
        Ok(forgotten)
    }
}

fn index(chunk: usize) -> Result<u32, Refusal> {
    u32::try_from(chunk)
        .map_err(|_| refused("too-large", "the file has more than four thousand million tiles"))
}

/// The cells of one strip or tile within its band of rows.
struct Window<'a> {
    cells: &'a mut [f64],
    row_length: usize,
    first_column: usize,
    width: usize,
}

impl Window<'_> {
    fn rows(&mut self) -> impl Iterator<Item = &mut [f64]> {
        let columns = self.first_column..self.first_column + self.width;
        self.cells.chunks_mut(self.row_length).map(move |row| &mut row[columns.clone()])
    }

    fn forget(&mut self) -> usize {
        let mut count = 0;
        for row in self.rows() {
            row.fill(f64::NAN);
            count += row.len();
        }
        count
    }

    fn mask(mut self, bits: &[u8], bits_in_sample: u32) -> usize {
        let bytes_in_row = (self.width * bits_in_sample as usize).div_ceil(8);
        let mut forgotten = 0;
        for (row, cells) in self.rows().enumerate() {
            let bits = bits.get(row * bytes_in_row..).unwrap_or_default();
            for (column, z) in cells.iter_mut().enumerate() {
                let counts = match bits_in_sample {
                    1 => bits.get(column / 8).is_some_and(|byte| byte & (0x80 >> (column % 8)) != 0),
                    _ => bits.get(column).is_some_and(|byte| *byte != 0),
                };
                if !counts && !z.is_nan() {
                    *z = f64::NAN;
                    forgotten += 1;
                }
            }
        }
        forgotten
    }

    fn put(
        &mut self,
        numbers: &DecodingResult,
        page: &Page,
        band: usize,
        meaning: Meaning,
    ) -> Result<Tally, Refusal> {
        let picked = page.picked(band);
        let (stored, single, half) = meaning.as_stored();
        Ok(match numbers {
            DecodingResult::U8(v) => self.put_all(v, picked, f64::from, stored),
            DecodingResult::U16(v) => self.put_all(v, picked, f64::from, stored),
            DecodingResult::U32(v) => self.put_all(v, picked, f64::from, stored),
            DecodingResult::I8(v) => self.put_all(v, picked, f64::from, stored),
            DecodingResult::I16(v) => self.put_all(v, picked, f64::from, stored),
            DecodingResult::I32(v) => self.put_all(v, picked, f64::from, stored),
            DecodingResult::F16(v) => self.put_all(v, picked, |x| x.to_f64(), half),
            DecodingResult::F32(v) => self.put_all(v, picked, f64::from, single),
            DecodingResult::F64(v) => self.put_all(v, picked, |x| x, stored),
            DecodingResult::U64(_) | DecodingResult::I64(_) => return page.sample_type_refused(),
        })
    }

    fn put_all<T: Copy>(
        &mut self,
        numbers: &[T],
        (start, step): (usize, usize),
        number: impl Fn(T) -> f64,
        meaning: Meaning,
    ) -> Tally {
        let mut tally = Tally::default();
        let width = self.width;
        for (row, cells) in self.rows().enumerate() {
            let numbers = numbers.get(row * width * step..).unwrap_or_default();
            let numbers = numbers.iter().skip(start).step_by(step);
            for (z, &stored) in cells.iter_mut().zip(numbers) {
                let stored = number(stored);
                let height = stored * meaning.scale + meaning.offset;
                *z = if Some(stored) == meaning.nodata {
                    tally.no_data += 1;
                    f64::NAN
                } else if height.abs() <= FARTHEST_HEIGHT {
                    height * meaning.unit_m
                } else {
                    tally.impossible += 1;
                    f64::NAN
                };
            }
        }
        tally
    }
}

fn refused(code: &'static str, found: &str) -> Refusal {
    Refusal::new(code, found, "save the heights again as a GeoTIFF with one band of 32-bit decimals")
}

/// Why the decoder gave up, in a grower's words where there are some.
fn broken(error: &TiffError) -> Refusal {
    let download = "download or copy the file again";
    match error {
        TiffError::IoError(e) if e.kind() == io::ErrorKind::UnexpectedEof => {
            Refusal::new("truncated", "the file ends before its cells do", download)
        }
        TiffError::IoError(e) => {
            Refusal::new("damaged", format!("the file cannot be read to its end: {e}"), download)
        }
        TiffError::FormatError(TiffFormatError::InvalidDimensions(columns, rows)) => {
            Refusal::new("no-heights", format!("the raster is {columns} × {rows} cells"), download)
        }
        TiffError::UnsupportedError(e) => {
            refused("not-read", &format!("the file is of a kind that is not read: {e}"))
        }
        other => Refusal::new("damaged", format!("the file contradicts itself: {other}"), download),
    }
}
