//! Any bytes as a file of levels, of whatever kind: an answer, or at least one fault; never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    if let Err(faults) = folder::read_level_file("fuzz.csv", data) {
        assert!(!faults.is_empty(), "refused without a reason");
    }
});
