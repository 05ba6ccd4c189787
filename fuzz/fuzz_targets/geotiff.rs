//! Any bytes as a GeoTIFF: an answer, or at least one fault; never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    if let Err(faults) = folder::raster::read_bytes(data, "fuzz.tif", &folder::raster::Wanted::default()) {
        assert!(!faults.is_empty(), "refused without a reason");
    }
});
