//! Any bytes as the plan of a site: an answer, or at least one fault; never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    if let Err(faults) = folder::plan_file::read_plan("site.toml", data) {
        assert!(!faults.is_empty(), "refused without a reason");
    }
});
