//! Files that are broken, are something else, or mean harm: a clear message, never a panic, never memory that a
//! header asks for and the file cannot fill.

use proptest::prelude::*;

use super::*;

fn bytes_of(name: &str) -> Vec<u8> {
    std::fs::read(fixtures().join(name)).unwrap()
}

fn code_of(bytes: &[u8]) -> &'static str {
    read_bytes(bytes, "brought.tif", &Wanted::default()).unwrap_err()[0].code
}

/// Puts four bytes over the value of a tag in the first page of a little-endian file.
fn with_tag(mut bytes: Vec<u8>, tag: u16, value: u32) -> Vec<u8> {
    let at = u32::from_le_bytes(bytes[4..8].try_into().unwrap()) as usize;
    let count = u16::from_le_bytes(bytes[at..at + 2].try_into().unwrap()) as usize;
    let entry = (0..count)
        .map(|i| at + 2 + 12 * i)
        .find(|e| bytes[*e..*e + 2] == tag.to_le_bytes())
        .unwrap_or_else(|| panic!("no tag {tag}"));
    // A whole number of 32 bits, one of them.
    bytes[entry + 2..entry + 4].copy_from_slice(&4_u16.to_le_bytes());
    bytes[entry + 4..entry + 8].copy_from_slice(&1_u32.to_le_bytes());
    bytes[entry + 8..entry + 12].copy_from_slice(&value.to_le_bytes());
    bytes
}

const COLUMNS: u16 = 256;
const ROWS: u16 = 257;
const ROWS_IN_STRIP: u16 = 278;
const TILE_WIDTH: u16 = 322;
const TILE_LENGTH: u16 = 323;

#[test]
fn a_file_cut_short_says_so() {
    let whole = bytes_of("geotiff/one-strip-f32.tif");
    assert_eq!(code_of(&whole[..whole.len() - 100]), "truncated");
    for name in
        ["geotiff/strips-f32.tif", "geotiff/tiles-deflate-p3-f32.tif", "geotiff/mask-tiles-deflate-f32.tif"]
    {
        let whole = bytes_of(name);
        for length in (0..whole.len()).step_by(37) {
            // Bytes at the end may belong to no cell: then all cells are there.
            if let Err(faults) = read_bytes(&whole[..length], "cut.tif", &Wanted::default()) {
                assert!(
                    ["truncated", "damaged", "not-a-raster"].contains(&faults[0].code),
                    "{name} at {length}: {}",
                    faults[0]
                );
            }
        }
    }
}

#[test]
fn other_things_with_the_name_of_a_raster() {
    assert_eq!(code_of(b""), "not-a-raster");
    assert_eq!(code_of(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"), "not-a-raster");
    assert_eq!(code_of(b"\xFF\xD8\xFF\xE0\0\x10JFIF\0"), "not-a-raster");
    assert_eq!(code_of(b"x_m,y_m,z_m\n1,2,3\n"), "not-a-raster");
    assert_eq!(code_of(b"Dear neighbour, about the ditch"), "not-a-raster");
    assert_eq!(code_of(b"II*\0"), "truncated");
    assert_eq!(code_of(&[0; 600]), "not-a-raster");
    let faults = super::super::read(&fixtures(), &Wanted::default()).unwrap_err();
    assert_eq!(codes(&faults), ["folder-not-file"]);
    let faults = super::super::read(&fixtures().join("none.tif"), &Wanted::default()).unwrap_err();
    assert_eq!(codes(&faults), ["cannot-read"]);
}

#[test]
fn headers_that_ask_for_too_much() {
    let plain = bytes_of("geotiff/one-strip-f32.tif");
    let billion = with_tag(with_tag(plain.clone(), COLUMNS, 40_000), ROWS, 25_000);
    // As many strips as it lists, or it contradicts itself before it is too large.
    let billion = with_tag(billion, ROWS_IN_STRIP, 25_000);
    let faults = read_bytes(&billion, "brought.tif", &Wanted::default()).unwrap_err();
    assert_eq!(faults[0].code, "too-large");
    assert!(faults[0].found.contains("1000 million"), "{}", faults[0]);
    assert_eq!(code_of(&with_tag(plain.clone(), COLUMNS, u32::MAX)), "too-large");
    assert_eq!(code_of(&with_tag(plain.clone(), COLUMNS, 0)), "no-heights");
    assert_eq!(code_of(&with_tag(plain.clone(), ROWS, 0)), "no-heights");
    assert_eq!(code_of(&with_tag(plain, ROWS_IN_STRIP, 0)), "damaged");
    // As many cells as are read, in a file of two thousand bytes.
    let wide = with_tag(with_tag(bytes_of("geotiff/one-strip-f32.tif"), COLUMNS, 20_000), ROWS, 10_000);
    let wide = with_tag(wide, ROWS_IN_STRIP, 10_000);
    assert_eq!(code_of(&wide), "truncated");
    let tiled = bytes_of("geotiff/tiles-deflate-p3-f32.tif");
    for (tag, value) in [(TILE_WIDTH, u32::MAX), (TILE_LENGTH, u32::MAX), (TILE_WIDTH, 0), (TILE_LENGTH, 0)] {
        let code = code_of(&with_tag(tiled.clone(), tag, value));
        assert_eq!(code, "damaged", "tag {tag} = {value}");
    }
}

#[test]
fn pages_that_lead_back_to_themselves() {
    let mut bytes = bytes_of("geotiff/one-strip-f32.tif");
    let at = u32::from_le_bytes(bytes[4..8].try_into().unwrap());
    let count = u16::from_le_bytes(bytes[at as usize..at as usize + 2].try_into().unwrap());
    let next = at as usize + 2 + 12 * usize::from(count);
    bytes[next..next + 4].copy_from_slice(&at.to_le_bytes());
    assert_eq!(code_of(&bytes), "damaged");
    bytes[next..next + 4].copy_from_slice(&u32::MAX.to_le_bytes());
    assert_eq!(code_of(&bytes), "truncated");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// A few bytes of a good raster changed, anywhere: an answer or a message, never a panic.
    #[test]
    fn a_damaged_geotiff_is_read_or_refused(
        file in 0_usize..6,
        changes in proptest::collection::vec((0_usize..6000, 0_u8..=255), 1..6),
    ) {
        let names = ["strips-f32", "tiles-lzw-p3-f32", "mask-with-copies-f32", "big-endian-p2-i16", "bigtiff-f32", "degrees-f32"];
        let mut bytes = bytes_of(&format!("geotiff/{}.tif", names[file]));
        for (at, byte) in changes {
            let length = bytes.len();
            bytes[at % length] = byte;
        }
        if let Err(faults) = read_bytes(&bytes, "damaged.tif", &Wanted::default()) {
            prop_assert!(!faults.is_empty());
        }
    }

    /// The list of tags changed, where a file can do most harm.
    #[test]
    fn a_damaged_list_of_tags_is_read_or_refused(
        file in 0_usize..4,
        changes in proptest::collection::vec((0_usize..240, 0_u8..=255), 1..4),
    ) {
        let names = ["one-strip-f32", "tiles-deflate-p2-i16", "mask-strips-f32", "half-p3-f16"];
        let mut bytes = bytes_of(&format!("geotiff/{}.tif", names[file]));
        let at = u32::from_le_bytes(bytes[4..8].try_into().unwrap()) as usize;
        for (offset, byte) in changes {
            let length = bytes.len();
            bytes[(at + offset) % length] = byte;
        }
        if let Err(faults) = read_bytes(&bytes, "damaged.tif", &Wanted::default()) {
            prop_assert!(!faults.is_empty());
        }
    }

    /// The same for text.
    #[test]
    fn a_damaged_ascii_grid_is_read_or_refused(
        changes in proptest::collection::vec((0_usize..200, 0_u8..=255), 1..6),
    ) {
        let mut bytes = bytes_of("ascii/standard.asc");
        for (at, byte) in changes {
            let length = bytes.len();
            bytes[at % length] = byte;
        }
        if let Err(faults) = read_bytes(&bytes, "damaged.asc", &Wanted::default()) {
            prop_assert!(!faults.is_empty());
        }
    }
}
