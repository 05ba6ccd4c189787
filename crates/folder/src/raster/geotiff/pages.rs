//! The pages of a TIFF: how each is cut up, packed and typed.

use std::collections::BTreeSet;
use std::io::{self, Read, Seek, SeekFrom};

use tiff::tags::ByteOrder;

use super::*;

/// A file has a page of heights, a mask and a dozen smaller copies of both; more is a loop or an attack.
const MOST_PAGES: usize = 256;

/// Bits of tag 254: a smaller copy of another page; a mask of another page.
const SMALLER_COPY: u64 = 1;
const MASK: u64 = 4;

/// Tag 262, how numbers are painted: 1 says that the smallest is black.
const PAINTED: u16 = 262;

/// Tag 339: whole, signed and decimal numbers.
const WHOLE: u64 = 1;
const SIGNED: u64 = 2;
const DECIMAL: u64 = 3;

/// Packings that are read, by tag 259: none, LZW, deflate (two codes), packbits, Zstandard.
const PACKINGS: [u64; 6] = [1, 5, 8, 32946, 32773, 50000];
/// Packings that have a name but are not read.
const OTHER_PACKINGS: [(u64, &str); 8] = [
    (2, "fax"),
    (3, "fax"),
    (4, "fax"),
    (6, "JPEG"),
    (7, "JPEG"),
    (34887, "LERC"),
    (34925, "LZMA"),
    (50001, "WebP"),
];

/// One page of the file.
#[derive(Debug)]
pub(super) struct Page {
    pub index: usize,
    pub columns: usize,
    pub rows: usize,
    pub bands: usize,
    pub bits: u32,
    pub chunk_columns: usize,
    pub chunk_rows: usize,
    pub byte_counts: Vec<u64>,
    offsets: Vec<u64>,
    kind: u64,
    packing: u64,
    number: u64,
    predictor: u64,
    planar: bool,
    painted: Option<Patch>,
    painted_as: u64,
}

/// Two bytes to put over the file's own.
#[derive(Debug, Clone, Copy)]
pub(super) struct Patch {
    at: u64,
    bytes: [u8; 2],
}

/// All pages, in the file's order.
pub(super) fn all<R: Read + Seek>(source: &mut Source<R>) -> Result<Vec<Page>, Refusal> {
    let mut pages = Vec::new();
    let mut seen = BTreeSet::new();
    let mut next = source.ifd_pointer();
    while let Some(pointer) = next {
        if !seen.insert(pointer.0) || pages.len() == MOST_PAGES {
            return Err(refused("damaged", "the chain of pages has no end"));
        }
        let directory = source.read_directory(pointer).map_err(|e| broken(&e))?;
        pages.push(Page::read(source, pages.len(), pointer.0, &directory)?);
        next = directory.next();
    }
    Ok(pages)
}

impl Page {
    fn read<R: Read + Seek>(
        source: &mut Source<R>,
        index: usize,
        at: u64,
        directory: &tiff::Directory,
    ) -> Result<Page, Refusal> {
        let painted = painted_at(source, at).map_err(|e| broken(&e.into()))?;
        let mut tags = source.read_directory_tags(directory);
        let mut all = |tag| {
            tags.find_tag_unsigned_vec::<u64>(tag).map(Option::unwrap_or_default).map_err(|e| broken(&e))
        };
        let mut one = |tag, otherwise| Ok(all(tag)?.first().copied().unwrap_or(otherwise));
        let columns = one(Tag::ImageWidth, 0)?;
        let rows = one(Tag::ImageLength, 0)?;
        let tiled = one(Tag::TileWidth, 0)? != 0;
        let (chunk_columns, chunk_rows) = if tiled {
            (one(Tag::TileWidth, 0)?, one(Tag::TileLength, 0)?)
        } else {
            (columns, one(Tag::RowsPerStrip, rows)?.min(rows))
        };
        let page = Page {
            index,
            columns: length(columns)?,
            rows: length(rows)?,
            bands: length(one(Tag::SamplesPerPixel, 1)?)?,
            bits: u32::try_from(one(Tag::BitsPerSample, 1)?).unwrap_or(u32::MAX),
            chunk_columns: length(chunk_columns)?,
            chunk_rows: length(chunk_rows)?,
            kind: one(Tag::NewSubfileType, 0)?,
            packing: one(Tag::Compression, 1)?,
            number: one(Tag::SampleFormat, WHOLE)?,
            predictor: one(Tag::Predictor, 1)?,
            planar: one(Tag::PlanarConfiguration, 1)? == 2,
            painted_as: one(Tag::PhotometricInterpretation, 1)?,
            painted,
            byte_counts: all(if tiled { Tag::TileByteCounts } else { Tag::StripByteCounts })?,
            offsets: all(if tiled { Tag::TileOffsets } else { Tag::StripOffsets })?,
        };
        Ok(page)
    }

    pub(super) fn is_heights(&self) -> bool {
        self.kind & (SMALLER_COPY | MASK) == 0
    }

    /// Whether this is the mask of the page of heights, and not of a smaller copy.
    pub(super) fn masks(&self, heights: &Page) -> bool {
        self.kind & (SMALLER_COPY | MASK) == MASK
            && (self.columns, self.rows) == (heights.columns, heights.rows)
            && self.bands == 1
            && matches!(self.bits, 1 | 8)
    }

    /// How to read the numbers as they are stored, however they are meant to be painted: a mask, or a page on
    /// which white is zero, would be turned over or refused.
    pub(super) fn paint_as_numbers(&self) -> Vec<Patch> {
        self.painted.into_iter().collect()
    }

    pub(super) fn chunks_across(&self) -> usize {
        self.columns.div_ceil(self.chunk_columns)
    }

    /// Columns of the strip or tile that lie on the raster.
    pub(super) fn chunk_width(&self, across: usize) -> usize {
        self.chunk_columns.min(self.columns - across * self.chunk_columns)
    }

    /// Numbers in an unpacked strip or tile, what hangs over the raster's edge left out.
    fn chunk_numbers(&self) -> usize {
        let bands = if self.planar { 1 } else { self.bands };
        let rows = self.chunk_rows.min(self.rows);
        self.chunk_columns.min(self.columns).saturating_mul(rows).saturating_mul(bands)
    }

    pub(super) fn chunk_bytes(&self) -> usize {
        self.chunk_numbers().saturating_mul((self.bits as usize).div_ceil(8))
    }

    /// Place of a strip or tile in the file's lists.
    pub(super) fn chunk_index(&self, down: usize, across: usize, band: usize) -> usize {
        let layer = if self.planar { band } else { 0 };
        let chunks_down = self.rows.div_ceil(self.chunk_rows);
        (layer * chunks_down + down) * self.chunks_across() + across
    }

    /// Where a band's numbers start in an unpacked strip or tile, and how far apart they are.
    pub(super) fn picked(&self, band: usize) -> (usize, usize) {
        if self.planar { (0, 1) } else { (band, self.bands) }
    }

    pub(super) fn check_packing(&self) -> Result<(), Refusal> {
        if PACKINGS.contains(&self.packing) {
            return Ok(());
        }
        let name = OTHER_PACKINGS.iter().find(|(code, _)| *code == self.packing);
        Err(Refusal::new(
            "packing-not-read",
            match name {
                Some((code, name)) => {
                    format!("the cells are packed as {name} (code {code}), which is not read")
                }
                None => format!("the cells are packed in a way that is not known (code {})", self.packing),
            },
            "save the raster again with deflate, LZW or no compression",
        ))
    }

    pub(super) fn check_sample_type(&self) -> Result<(), Refusal> {
        if !matches!(self.painted_as, 0 | 1) && self.is_heights() {
            return Err(Refusal::new(
                "picture-not-heights",
                "this is a picture in colours, not heights",
                "bring the raster of heights (often called DEM, DTM or elevation)",
            ));
        }
        let read = match self.number {
            WHOLE | SIGNED => matches!(self.bits, 8 | 16 | 32),
            DECIMAL => matches!(self.bits, 16 | 32 | 64),
            _ => false,
        };
        let predicted = matches!((self.predictor, self.number), (1 | 2, _) | (3, DECIMAL));
        if read && predicted { Ok(()) } else { self.sample_type_refused() }
    }

    pub(super) fn sample_type_refused<T>(&self) -> Result<T, Refusal> {
        let kind = match self.number {
            WHOLE => "whole",
            SIGNED => "signed whole",
            DECIMAL => "decimal",
            _ => "unusual",
        };
        Err(refused(
            "sample-type-not-read",
            &format!("the cells are {kind} numbers of {} bits (predictor {})", self.bits, self.predictor),
        ))
    }

    /// Strips and tiles: as many as the raster needs, of a sane size, and all inside the file.
    pub(super) fn check_layout(&self, longest_side: u64, length: u64) -> Result<(), Refusal> {
        let sides = [self.chunk_columns, self.chunk_rows];
        let tile_is_wide =
            self.chunk_columns != self.columns && sides.iter().any(|&s| s as u64 > longest_side);
        if sides.contains(&0) || tile_is_wide {
            return Err(refused(
                "damaged",
                &format!("tiles are {} × {} cells", self.chunk_columns, self.chunk_rows),
            ));
        }
        if self.chunk_numbers() > MOST_CELLS {
            return Err(refused(
                "too-large",
                &format!("a strip or tile holds {} numbers", self.chunk_numbers()),
            ));
        }
        let layers = if self.planar { self.bands } else { 1 };
        let expected = self.chunks_across() * self.rows.div_ceil(self.chunk_rows) * layers;
        if self.byte_counts.len() != expected || self.offsets.len() != expected {
            return Err(refused(
                "damaged",
                &format!(
                    "the raster needs {expected} strips or tiles and the file lists {}",
                    self.byte_counts.len().min(self.offsets.len())
                ),
            ));
        }
        let inside =
            |(offset, count): (&u64, &u64)| offset.checked_add(*count).is_some_and(|end| end <= length);
        match self.offsets.iter().zip(&self.byte_counts).position(|chunk| !inside(chunk)) {
            None => Ok(()),
            Some(chunk) => Err(Refusal::new(
                "truncated",
                format!("strip or tile {} of {expected} lies beyond the end of the file", chunk + 1),
                "download or copy the file again",
            )),
        }
    }
}

fn length(value: u64) -> Result<usize, Refusal> {
    u32::try_from(value)
        .map(|v| v as usize)
        .map_err(|_| refused("damaged", &format!("the header asks for {value} cells in a row")))
}

/// Where the page's list holds how its numbers are painted, and the bytes that say "as they are".
fn painted_at<R: Read + Seek>(source: &mut Source<R>, page_at: u64) -> io::Result<Option<Patch>> {
    let order = source.byte_order();
    let reader = source.inner();
    let back_to = reader.stream_position()?;
    let patch = find_painted(reader, order, page_at);
    reader.seek(SeekFrom::Start(back_to))?;
    patch
}

fn find_painted(
    reader: &mut (impl Read + Seek),
    order: ByteOrder,
    page_at: u64,
) -> io::Result<Option<Patch>> {
    let big = {
        let mut head = [0; 4];
        reader.seek(SeekFrom::Start(0))?;
        reader.read_exact(&mut head)?;
        head[2] == 43 || head[3] == 43
    };
    reader.seek(SeekFrom::Start(page_at))?;
    let (count_size, entry_size) = if big { (8, 20) } else { (2, 12) };
    let mut count = [0; 8];
    reader.read_exact(&mut count[..count_size])?;
    let short = |bytes: [u8; 2]| match order {
        ByteOrder::LittleEndian => u16::from_le_bytes(bytes),
        ByteOrder::BigEndian => u16::from_be_bytes(bytes),
    };
    // The count's low two bytes are enough: a page has a few dozen entries.
    let count = match order {
        ByteOrder::BigEndian if big => short([count[6], count[7]]),
        _ => short([count[0], count[1]]),
    };
    for entry in 0..u64::from(count) {
        let mut bytes = [0; 20];
        reader.read_exact(&mut bytes[..entry_size])?;
        if short([bytes[0], bytes[1]]) == PAINTED {
            let value_at = if big { 12 } else { 8 };
            return Ok(Some(Patch {
                at: page_at + count_size as u64 + entry * entry_size as u64 + value_at,
                bytes: match order {
                    ByteOrder::LittleEndian => [1, 0],
                    ByteOrder::BigEndian => [0, 1],
                },
            }));
        }
    }
    Ok(None)
}

/// A reader with a few of its bytes replaced.
#[derive(Debug)]
pub(super) struct Patched<R> {
    inner: R,
    at: u64,
    patches: Vec<Patch>,
}

impl<R> Patched<R> {
    pub(super) fn new(inner: R, patches: Vec<Patch>) -> Patched<R> {
        Patched { inner, at: 0, patches }
    }
}

impl<R: Read> Read for Patched<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        for patch in &self.patches {
            for (i, byte) in patch.bytes.iter().enumerate() {
                let place = (patch.at + i as u64).checked_sub(self.at);
                if let Some(place) = place.filter(|p| *p < count as u64) {
                    buffer[place as usize] = *byte;
                }
            }
        }
        self.at += count as u64;
        Ok(count)
    }
}

impl<R: Seek> Seek for Patched<R> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.at = self.inner.seek(to)?;
        Ok(self.at)
    }
}
