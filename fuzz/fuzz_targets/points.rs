//! Any bytes as a table of points: an answer, or at least one fault; never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    match folder::points::read("fuzz.csv", data, &folder::points::Expected::default()) {
        Ok(points) => {
            if let Err(faults) = points.scattered() {
                assert!(!faults.is_empty(), "refused without a reason");
            }
        }
        Err(faults) => assert!(!faults.is_empty(), "refused without a reason"),
    }
});
